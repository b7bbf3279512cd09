"""Measure judging in single solves, and one more entry on a long log against one on a short.

Thirteen readings of a six-port job (volts and amps at each port, watts at the source) are
judged from nothing and timed against one solve of the same job's tree, in turns in one run.
Then one reading more is judged on top of logs of 50 and of 5,000 entries of three sorts:
remarks, readings that a later one replaced, readings that all still count.
Run: ``python tests/bench/judge.py [--rounds N]``.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import clock
from attrs import evolve
from clock import REPEATS
from jobs import active, band, chain, endpoint, run, source
from operating import numbers_of
from promises import rows_of
from rows import Row, told

from engine.entries import read_entry
from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold
from engine.predict import predict
from engine.sweeps import solve
from engine.weigh import judge_all

SORTS = ("remarks", "replaced", "counting")
LENGTHS = (50, 5000)
POINTS = ("S1.out", "L1.in", "L1.out", "L2.in", "L2.out", "E1.in")


def plan() -> dict:
    """70, 280 and 60 m with two boxes that let the power through."""
    unit = active(band(2, 2.5, 3), "long-span", ohms_per_conductor=0.05)
    load = endpoint(band(6, 12, 19))
    feed = source(band(52.5, 53.5, 54.5), watts_max=90, grants="always")
    return chain(feed, run(70), unit, run(280), unit, run(60), load, ambient_c=band(-5, 15, 35))


def walked(doc: dict) -> list[dict]:
    """Thirteen readings that agree with the plan, one moment a point."""
    points = {str(at): one for at, one in predict(read_job(doc).plan).points.items()}
    log: list[dict] = []

    def read(at: str, kind: str, value: float) -> None:
        log.append(reading(len(log), at, kind, round(value, 2), moment=at))

    for at in POINTS:
        read(at, "volts", points[at].volts.expected)
        read(at, "milliamps", 1000 * points[at].amps.expected)
    read("S1.out", "watts", points["S1.out"].watts.expected)
    return log


def reading(number: int, at: str, kind: str, value: float, **more: object) -> dict:
    """An entry of the one phone."""
    head = {"id": f"r{number:05}", "device": "d", "n": number + 1, "what": "reading"}
    return {**head, "at": at, "kind": kind, "value": value, **more}


def long_log(sort: str, length: int) -> list[dict]:
    """So many entries of one sort, after a walk."""
    log = walked(plan())
    for number in range(len(log), length):
        if sort == "remarks":
            head = {"id": f"r{number:05}", "device": "d", "n": number + 1}
            log.append({**head, "what": "note", "text": "hedge cut back"})
        else:
            moment = "again" if sort == "replaced" else f"m{number}"
            log.append(reading(number, "E1.in", "volts", 49.5, moment=moment))
    return log


def one_more(sort: str, length: int, rounds: int) -> Callable[[], object]:
    """A call that judges one reading more behind such a log, so many times."""
    file = read_job({**plan(), "log": long_log(sort, length)})
    before, grown = judge(file), []
    for number in range(length, length + rounds):
        entry = read_entry(reading(number, "E1.in", "volts", 49.6, moment=f"x{number}"))
        grown.append(evolve(file, entries=(*file.entries, entry)))
    each = iter(grown)
    return lambda: judge(next(each), known=before)


def rows(rounds: int = 15) -> list[Row]:
    """The promised figures."""
    row, doc = rows_of("judge"), plan()
    state = fold(read_job({**doc, "log": walked(doc)}))
    prediction = predict(state.job)
    parent, ohms, watts, feed = numbers_of(doc)
    work = {
        "solve": lambda: solve(parent, ohms, watts, feed),
        "judge": lambda: judge_all(state, prediction),
    }
    turns = clock.in_turns(rounds, work, {"solve": REPEATS, "judge": 5})
    each = turns.times("judge", "solve") / len(state.readings)
    out = [row("solves", each), row("ms", turns.ms("judge"))]
    for sort in SORTS:
        calls = {str(length): one_more(sort, length, rounds) for length in LENGTHS}
        more = clock.in_turns(rounds, calls)
        beside = ", ".join(f"{int(length):,}: {more.ms(length):.2f} ms" for length in calls)
        out.append(row(sort, more.times("5000", "50"), beside))
    return out


def main() -> int:
    """Print the table."""
    return told(rows(clock.options(__doc__, rounds=15).parse_args().rounds))


if __name__ == "__main__":
    sys.exit(main())
