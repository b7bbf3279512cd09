"""Measure a whole prediction in single solves, and how one solve grows with the nodes.

A prediction of a six-box job (bands, links, rules, load share, watts to spare) is timed
against one solve of the same job's tree, in turns in one run. The growth of a solve is told
per node from 10 to 10,000 nodes, and a prediction of 40 boxes and of a fresh process in
milliseconds, beside what an empty interpreter costs.
Run: ``python tests/bench/predict.py [--rounds N] [--profile]``.
"""

from __future__ import annotations

import argparse
import cProfile
import json
import pstats
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from jobs import active, chain, endpoint, run, source, with_bundles
from operating import numbers_of, seconds, six_boxes

from engine.jobfile import read_job
from engine.predict import predict
from engine.sweeps import Solved, solve

ROOT = Path(__file__).resolve().parents[2]
MOST_SOLVES = 600
MOST_MS_40 = 50.0


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


def process_ms(arguments: list[str]) -> float:
    """Median time of a fresh process. [ms]"""
    times = []
    for _ in range(7):
        begin = perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True, cwd=ROOT)
        times.append(perf_counter() - begin)
    return 1000 * median(times)


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rounds", type=int, default=15)
    options.add_argument("--profile", action="store_true", help="where a prediction goes")
    given = options.parse_args()
    six, forty = read_job(six_boxes()).plan, read_job(forty_boxes()).plan
    parent, ohms, watts, feed = numbers_of(six_boxes())
    warm = read_job(with_bundles(six_boxes(), 0)).plan
    solves, wholes, warms, forties = [], [], [], []
    for _ in range(given.rounds):
        solves.append(seconds(lambda: solve(parent, ohms, watts, feed)))
        wholes.append(seconds(lambda: predict(six), 5))
        warms.append(seconds(lambda: predict(warm), 1))
        forties.append(seconds(lambda: predict(forty), 1))
    ratio = median(whole / solve for whole, solve in zip(wholes, solves, strict=True))
    print(f"one solve, six boxes        {1e6 * median(solves):8.1f} us")
    print(f"predict, six boxes          {1e3 * median(wholes):8.2f} ms")
    print(f"  in single solves          {ratio:8.0f}     (aim: at most {MOST_SOLVES})")
    print(f"  its spans in bundles      {1e3 * median(warms):8.2f} ms")
    print(
        f"predict, forty boxes        {1e3 * median(forties):8.1f} ms  (aim: under {MOST_MS_40:g})"
    )
    for count in (10, 100, 1000, 10_000):
        spent = median(seconds(ladder(count), max(1, 2000 // count)) for _ in range(5))
        print(f"one solve, {count:6} nodes     {1e6 * spent / count:8.3f} us a node")
    with TemporaryDirectory() as folder:
        path = Path(folder) / "job.json"
        path.write_text(json.dumps(six_boxes()))
        print(f"python -c pass              {process_ms(['-c', 'pass']):8.0f} ms")
        print(f"import engine.__main__      {process_ms(['-c', 'import engine.__main__']):8.0f} ms")
        print(
            f"engine predict, a process   {process_ms(['-m', 'engine', 'predict', str(path)]):8.0f} ms"
        )
    if given.profile:
        profile = cProfile.Profile()
        profile.runcall(lambda: [predict(six) for _ in range(100)])
        pstats.Stats(profile).sort_stats("cumulative").print_stats(25)


if __name__ == "__main__":
    main()
