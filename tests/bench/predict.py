"""Measure a whole prediction in single solves, and how one solve grows with the nodes.

A prediction of a six-box job (bands, links, rules, load share, watts to spare) is timed
against one solve of the same job's tree, in turns in one run. The growth of a solve is told
per node from 10 to 10,000 nodes, and a prediction of 40 boxes and of a fresh process in
milliseconds, beside what an empty interpreter costs.
Run: ``python tests/bench/predict.py [--rounds N] [--profile]``.
"""

from __future__ import annotations

import cProfile
import json
import pstats
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import clock
from clock import REPEATS, ROOT
from jobs import active, chain, endpoint, run, source
from operating import numbers_of, six_boxes
from promises import rows_of
from random_jobs import with_bundles
from rows import Row, told

from engine.jobfile import read_job
from engine.predict import predict
from engine.sweeps import Solved, solve

NODES = (10, 100, 1000, 10_000)
PROCESSES = 7


def forty_boxes() -> dict:
    """A source, 38 repeaters and an endpoint."""
    middle = [part for _ in range(38) for part in (run(20), active(0.3))]
    return chain(source(56), *middle, run(20), endpoint(3))


def ladder(count: int) -> Callable[[], object]:
    """A call that solves a run of so many loaded nodes, light enough to hold."""
    parent = list(range(-1, count - 1))
    ohms, watts = [10 / count] * count, [20 / count] * count

    def work() -> object:
        found = solve(parent, ohms, watts, 54.0)
        assert isinstance(found, Solved)
        return found

    return work


def rows(rounds: int = 15) -> list[Row]:
    """The promised figures; beside them what else was timed."""
    row = rows_of("predict")
    six, forty = read_job(six_boxes()).plan, read_job(forty_boxes()).plan
    warm = read_job(with_bundles(six_boxes(), 0)).plan
    parent, ohms, watts, feed = numbers_of(six_boxes())
    work: dict[str, Callable[[], object]] = {
        "solve": lambda: solve(parent, ohms, watts, feed),
        "six": lambda: predict(six),
        "warm": lambda: predict(warm),
        "forty": lambda: predict(forty),
    }
    turns = clock.in_turns(rounds, work, {"solve": REPEATS, "six": 5})
    beside = f"{turns.ms('six'):.2f} ms; its spans in bundles {turns.ms('warm'):.2f} ms"
    return [
        row("six", turns.times("six", "solve"), beside),
        row("forty", turns.ms("forty")),
        linear(rounds),
        process(min(rounds, PROCESSES)),
    ]


def linear(rounds: int) -> Row:
    """How one solve grows with its nodes."""
    many = {str(count): max(1, 2000 // count) for count in NODES}
    turns = clock.in_turns(rounds, {str(count): ladder(count) for count in NODES}, many)
    each = {count: 1e3 * turns.ms(str(count)) / count for count in NODES}
    beside = ", ".join(f"{count:,} nodes {us:.2f} us each" for count, us in each.items())
    return rows_of("predict")("linear", turns.times("10000", "100") / 100, beside)


def process(rounds: int) -> Row:
    """A fresh process that predicts, and what of it is start and imports."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "job.json"
        path.write_text(json.dumps(six_boxes()))
        commands = {
            "nothing": ("-c", "pass"),
            "imports": ("-c", "import engine.__main__"),
            "predict": ("-m", "engine", "predict", str(path)),
        }
        work = {name: lambda each=each: command(*each) for name, each in commands.items()}
        turns = clock.in_turns(rounds, work, clock=clock.commands)
    beside = ", ".join(f"{name} {turns.ms(name):.0f} ms" for name in commands)
    return rows_of("predict")("process", turns.times("imports", "predict"), beside)


def command(*arguments: str) -> None:
    """A fresh process."""
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, cwd=ROOT)


def main() -> int:
    """Print the table."""
    options = clock.options(__doc__, rounds=15)
    options.add_argument("--profile", action="store_true", help="where a prediction goes")
    given = options.parse_args()
    out = told(rows(given.rounds))
    if given.profile:
        six = read_job(six_boxes()).plan
        profile = cProfile.Profile()
        profile.runcall(lambda: [predict(six) for _ in range(100)])
        pstats.Stats(profile).sort_stats("cumulative").print_stats(25)
    return out


if __name__ == "__main__":
    sys.exit(main())
