"""Measure judging in single solves, and one more entry on a long log against one on a short.

Thirteen readings of a six-port job (volts and amps at each port, watts at the source) are
judged from nothing and timed against one solve of the same job's tree, in turns in one run.
Then one reading more is judged on top of logs of 50 and of 5,000 entries of three sorts:
remarks, readings that a later one replaced, readings that all still count.
Run: ``python tests/bench/judge.py [--rounds N]``.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from attrs import evolve
from jobs import active, band, chain, endpoint, run, source
from operating import numbers_of, seconds

from engine.entries import read_entry
from engine.jobfile import JobFile, read_job
from engine.judge import judge
from engine.log import fold
from engine.predict import predict
from engine.sweeps import solve
from engine.weigh import judge_all

MOST_SOLVES = 40
MOST_MS = 10.0
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


def long_log(sort: str, count: int) -> list[dict]:
    """So many entries of one sort, after a walk."""
    log = walked(plan())
    for number in range(len(log), count):
        if sort == "remarks":
            head = {"id": f"r{number:05}", "device": "d", "n": number + 1}
            log.append({**head, "what": "note", "text": "hedge cut back"})
        else:
            moment = "again" if sort == "replaced" else f"m{number}"
            log.append(reading(number, "E1.in", "volts", 49.5, moment=moment))
    return log


def append_ms(sort: str, count: int, rounds: int) -> float:
    """Median time of judging one reading more. [ms]"""
    file = read_job({**plan(), "log": long_log(sort, count)})
    before = judge(file)
    times = []
    for extra in range(rounds):
        entry = read_entry(reading(count + extra, "E1.in", "volts", 49.6, moment=f"x{extra}"))
        grown: JobFile = evolve(file, entries=(*file.entries, entry))
        begin = perf_counter()
        judge(grown, known=before)
        times.append(perf_counter() - begin)
    return 1000 * median(times)


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rounds", type=int, default=15)
    given = options.parse_args()
    doc = plan()
    state = fold(read_job({**doc, "log": walked(doc)}))
    prediction = predict(state.job)
    parent, ohms, watts, feed = numbers_of(doc)
    solves, wholes = [], []
    for _ in range(given.rounds):
        solves.append(seconds(lambda: solve(parent, ohms, watts, feed)))
        wholes.append(seconds(lambda: judge_all(state, prediction), 5))
    count = len(state.readings)
    each = median(w / s / count for w, s in zip(wholes, solves, strict=True))
    print(f"one solve                   {1e6 * median(solves):8.1f} us")
    print(
        f"{count} readings judged          {1e3 * median(wholes):8.2f} ms  (aim: under {MOST_MS:g})"
    )
    print(f"  single solves a reading   {each:8.1f}     (aim: at most {MOST_SOLVES})")
    print("one reading more, judged with steps and holds, on a log of")
    for sort in ("remarks", "replaced", "counting"):
        short, long = (append_ms(sort, count, given.rounds) for count in (50, 5000))
        print(
            f"  {sort:10} 50: {short:6.2f} ms   5,000: {long:7.2f} ms   ratio {long / short:5.2f}"
        )


if __name__ == "__main__":
    main()
