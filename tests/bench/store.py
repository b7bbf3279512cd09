"""Measure what keeping costs on a long journal and on a short one, and what opening a job costs.

Run: ``python tests/bench/store.py [--rounds N] [--folder DIR]``. Appends are taken in turns in one
run with the least that each can cost, a bare write and fsync of its bytes, so that the ratios say
what the store adds whatever the medium is, and what grows with the journal. Opening a job is
measured in its parts beside ``json.loads`` of the same job file.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import sys
import tempfile
from collections.abc import Callable
from itertools import count, pairwise
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter, process_time
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from log import SAMPLES, rows

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
    doc = json.loads((SAMPLES / "orchard-gate.json").read_text(encoding="utf-8"))
    doc.pop("log", None)
    job = f"LONG-{length}-{int(repeats)}"
    entries = tuple(rows(length, 0, repeats))
    return asyncio.run(store.create(job, {**doc, "id": job}, entries=entries))


def in_turns(rounds: int, calls: dict[str, Callable[[], Any]]) -> dict[str, list[float]]:
    """What each call takes, one after the other, so many times. [ms]"""
    taken: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(rounds):
        for name, call in calls.items():
            start = perf_counter()
            call()
            taken[name].append((perf_counter() - start) * 1e3)
    return taken


def appends(folder: Path, rounds: int) -> None:
    """Print what one more entry costs, against a bare write and fsync of the same bytes."""
    store = started(folder)
    shelf, numbers = Shelf(store, World()), count()
    fd = os.open(folder / "bare", os.O_WRONLY | os.O_CREAT)
    line = encode({"id": "x" * 36, "t": "2031-05-04T10:00:00Z", "device": "aa", "n": 1, **DRAFT})

    def bare() -> None:
        os.write(fd, line)
        os.fsync(fd)

    def appender(journal: Any) -> Callable[[], None]:
        return lambda: journal.append({"id": f"new{next(numbers)}", "n": 1, **DRAFT})

    calls: dict[str, Callable[[], Any]] = {"bare write and fsync": bare}
    journals = {length: created(store, length) for length in LENGTHS}
    for length, journal in journals.items():
        calls[f"append behind {length}"] = appender(journal)
        calls[f"keep behind {length}"] = lambda journal=journal: shelf.keep(journal, (DRAFT,))
    taken = in_turns(rounds, calls)
    os.close(fd)
    store.close()
    least = median(taken["bare write and fsync"])
    print(f"{f'ms, {rounds} rounds':32}{'median':>9}{'p95':>9}{'x bare':>9}")
    for name, values in taken.items():
        middle = median(values)
        print(f"{name:32}{middle:9.3f}{quantiles(values, n=20)[-1]:9.3f}{middle / least:9.2f}")
    flat = [median(taken[f"append behind {length}"]) for length in (LENGTHS[-1], LENGTHS[0])]
    print(
        f"an append behind {LENGTHS[-1]} against one behind {LENGTHS[0]}: {flat[0] / flat[1]:.2f}"
    )


def openings(folder: Path) -> None:
    """Print what opening a job costs: from the folder to what the screens are drawn from.

    Processor time, so that another program on the machine counts for less.
    """
    print(
        f"\n{'ms of processor, least of 5':32}{'store':>9}{'read':>9}{'fold':>9}{'judge':>9}{'all':>9}{'x json':>9}"
    )
    for length, repeats in ((OPENED, True), (OPENED, False), (LENGTHS[-1], True)):
        store = started(folder / "open")
        journal = created(store, length, repeats)
        text = json.dumps(document(journal.records))
        name = journal.job
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
        start = process_time()
        json.loads(text)
        plain = (process_time() - start) * 1e3
        said = f"{length}, {'most replaced' if repeats else 'all current'}"
        cells = "".join(f"{value:9.0f}" for value in (*best, sum(best)))
        print(f"{said:32}{cells}{sum(best) / plain:9.1f}")


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=300)
    parser.add_argument("--folder", type=Path, help="where to write; default: a temporary folder")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=options.folder) as folder:
        appends(Path(folder), options.rounds)
        openings(Path(folder))


if __name__ == "__main__":
    main()
