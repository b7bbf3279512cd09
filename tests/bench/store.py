"""Measure what keeping costs on a long journal and on a short one, and what opening a job costs.

Run: ``python tests/bench/store.py [--rounds N] [--folder DIR]``. Appends are taken in turns in one
run with the least that each can cost, a bare write and fsync of its bytes, so that the ratios say
what the store adds whatever the medium is, and what grows with the journal. Opening a job is
measured in its parts beside ``json.loads`` of the same job file.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
import tempfile
from collections.abc import Callable
from itertools import count, pairwise
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

import clock
from log import log_of, orchard
from promises import rows_of
from rows import Row, told

from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold
from fieldapp.exchange.records import document
from fieldapp.services import World
from fieldapp.shelf import Shelf
from fieldapp.store.files import open_files
from fieldapp.store.journal import encode
from fieldapp.store.keeper import Keeper

LENGTHS = (0, 5_000, 50_000)
"""entries in the journals that are appended to"""
OPENED = 5_000
"""entries in the job that is opened; more than a technician keeps on one site"""
BARE = "bare write and fsync"
DRAFT = {
    "what": "reading",
    "at": "R1.in",
    "kind": "volts",
    "value": 48.7,
    "meter": "M1",
    "by": "Ida",
}


def started(folder: Path) -> Keeper:
    world = World()
    return asyncio.run(open_files(folder, now=world.stamp, draw=lambda: "aa"))


def created(store: Keeper, length: int, repeats: bool = False) -> Any:
    """A journal of a job with so long a log."""
    doc = orchard()
    doc.pop("log", None)
    job = f"LONG-{length}-{int(repeats)}"
    entries = tuple(log_of(length, 0, repeats))
    return asyncio.run(store.create(job, {**doc, "id": job}, entries=entries))


def appends(folder: Path, rounds: int) -> clock.Turns:
    """What one more entry costs, beside a bare write and fsync of the same bytes."""
    store = started(folder)
    shelf, numbers = Shelf(store, World()), count()
    fd = os.open(folder / "bare", os.O_WRONLY | os.O_CREAT)
    line = encode({"id": "x" * 36, "t": "2031-05-04T10:00:00Z", "device": "aa", "n": 1, **DRAFT})

    def bare() -> None:
        os.write(fd, line)
        os.fsync(fd)

    def appender(journal: Any) -> Callable[[], None]:
        return lambda: journal.append({"id": f"new{next(numbers)}", "n": 1, **DRAFT})

    calls: dict[str, Callable[[], Any]] = {BARE: bare}
    journals = {length: created(store, length) for length in LENGTHS}
    for length, journal in journals.items():
        calls[f"append behind {length}"] = appender(journal)
        calls[f"keep behind {length}"] = lambda journal=journal: shelf.keep(journal, (DRAFT,))
    turns = clock.in_turns(rounds, calls, clock=perf_counter)
    os.close(fd)
    store.close()
    return turns


def opened(folder: Path, length: int, repeats: bool) -> tuple[list[float], float]:
    """What opening a job costs in its parts, to what the screens are drawn from; ``json.loads`` of
    the same file. [ms]

    Processor time, the least of five.
    """
    store = started(folder / "open")
    journal = created(store, length, repeats)
    text, name = json.dumps(document(journal.records)), journal.job
    journal.close()
    store.close()
    best: list[float] = []
    for _ in range(5):
        store = started(folder / "open")
        times = [process_time()]
        journal = asyncio.run(store.open(name))
        times.append(process_time())
        file = read_job(document(journal.records))
        times.append(process_time())
        state = fold(file)
        times.append(process_time())
        judge(file)  # which folds again
        times.append(process_time())
        assert len(state.entries) == length
        store.close()
        parts = [(b - a) * 1e3 for a, b in pairwise(times)]
        parts[3] -= parts[2]
        best = min(best or parts, parts, key=sum)
    return best, 1e3 * clock.seconds(lambda: json.loads(text))


def rows(rounds: int = 300, folder: Path | None = None, show: bool = False) -> list[Row]:
    """The promised figures; with ``show`` all that was timed is printed."""
    row, out = rows_of("store"), []
    with tempfile.TemporaryDirectory(dir=folder) as made:
        turns = appends(Path(made), rounds)
        last, first = (f"append behind {length}" for length in (LENGTHS[-1], LENGTHS[0]))
        beside = f"{turns.ms(first):.2f} ms, one in twenty over {turns.late(first):.2f} ms"
        out.append(row("append", turns.times(first, BARE), beside))
        out.append(row("flat", turns.times(last, first), f"{turns.ms(last):.2f} ms"))
        if show:
            print(f"{f'ms, {rounds} rounds':32}{'median':>9}{'p95':>9}{'x bare':>9}")
            for name in turns.each:
                print(f"{name:32}{turns.ms(name):9.3f}{turns.late(name):9.3f}"
                      f"{turns.times(name, BARE):9.2f}")  # fmt: skip
        for key, repeats in (("replaced", True), ("current", False)):
            parts, plain = opened(Path(made), OPENED, repeats)
            out.append(row(key, sum(parts), in_parts(parts, plain)))
        if show:
            parts, plain = opened(Path(made), LENGTHS[-1], True)
            print(f"{LENGTHS[-1]} entries: {sum(parts):.0f} ms; {in_parts(parts, plain)}")
    return out


def in_parts(parts: list[float], plain: float) -> str:
    """What an opening is made of."""
    names = ("store", "read", "fold", "judge")
    each = ", ".join(f"{name} {ms:.0f}" for name, ms in zip(names, parts, strict=True))
    return f"{each} ms; {sum(parts) / plain:.1f} times json"


def main() -> int:
    """Print both tables."""
    parser = clock.options(__doc__, rounds=300)
    parser.add_argument("--folder", type=Path, help="where to write; default: a temporary folder")
    given = parser.parse_args()
    return told(rows(given.rounds, given.folder, show=True))


if __name__ == "__main__":
    sys.exit(main())
