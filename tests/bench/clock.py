"""What all measurements share: where things lie, calls timed in turns, gaps between two yields.

Imported first, since it makes the packages, the tests' own jobs and the other benches importable.
Two things are only ever compared within one run, each taken in turns with the other, so that the
machine and what else it does weigh on both alike. Work of this process is timed by what it has of the
processor, unless it waits for a medium or a page: another program then counts for less.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter, process_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample_jobs"
_FOLDERS = [str(ROOT / folder) for folder in ("", "tests", "tests/bench")]
sys.path[:0] = [folder for folder in _FOLDERS if folder not in sys.path]

REPEATS = 50
"""calls timed together where one is some microseconds"""

Clock = Callable[[], float]


def commands() -> float:
    """The clock of processes that were started and have ended: what they had of the processor. [s]"""
    from resource import RUSAGE_CHILDREN, getrusage  # which the browser's Python lacks

    used = getrusage(RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def options(doc: str, rounds: int | None = None) -> argparse.ArgumentParser:
    """Options of a bench, with the first line of its text; ``--rounds`` where it has them."""
    parser = argparse.ArgumentParser(description=doc.splitlines()[0])
    if rounds is not None:
        parser.add_argument("--rounds", type=int, default=rounds)
    return parser


def seconds(work: Callable[[], object], repeats: int = 1, clock: Clock = process_time) -> float:
    """Time of one call. [s]"""
    begin = clock()
    for _ in range(repeats):
        work()
    return (clock() - begin) / repeats


@dataclass(frozen=True)
class Turns:
    """How long each of some calls took, one round after another. [s]"""

    each: Mapping[str, Sequence[float]]

    def middle(self, name: str) -> float:
        """The median of a call. [s]"""
        return median(self.each[name])

    def ms(self, name: str) -> float:
        """The median of a call. [ms]"""
        return 1e3 * self.middle(name)

    def late(self, name: str) -> float:
        """What one call in twenty takes longer than. [ms]"""
        return 1e3 * quantiles(self.each[name], n=20)[-1]

    def times(self, name: str, other: str) -> float:
        """How many times as long as another: the median over the rounds' pairs."""
        pairs = zip(self.each[name], self.each[other], strict=True)
        return median(one / two for one, two in pairs)


def in_turns(
    rounds: int,
    calls: Mapping[str, Callable[[], object]],
    repeats: Mapping[str, int] | int = 1,
    clock: Clock = process_time,
) -> Turns:
    """Each call once a round, or as often as ``repeats`` says."""
    each: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(rounds):
        for name, call in calls.items():
            many = repeats if isinstance(repeats, int) else repeats.get(name, 1)
            each[name].append(seconds(call, many, clock))
    return Turns(each)


def gaps(work: Generator[Any, None, Any], clock: Clock = perf_counter) -> list[float]:
    """How long each stretch between two yields takes: so long may a tap wait. [ms]"""
    out = []
    while True:
        start = clock()
        try:
            next(work)
        except StopIteration:
            return [*out, 1e3 * (clock() - start)]
        out.append(1e3 * (clock() - start))
