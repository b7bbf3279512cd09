"""Measure the order of the work: its minutes, and the time it takes to find it.

Minutes of the natural order, of the plan for one and of the plan for two, with the lower
bounds, on the sample jobs and on made-up jobs of 6, 12 and 40 boxes whose stops lie along
their tree; of each size the job with most steps by itself too. Times are of a plan from
nothing, and of one more entry on a plan that is known; the ratio is to putting the same steps
in the natural order. Run:
``python tests/bench/route.py [--jobs N] [--boxes N …]``.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from statistics import mean, median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from jobs import large_tree, random_job
from route_jobs import spread

from engine import route
from engine.job import Job
from engine.jobfile import read_job
from engine.judge import judge
from engine.route import Work, plan_work
from engine.route_tasks import footed
from engine.step import Step

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"


def work_of(doc: dict) -> tuple[Job, list[Step]]:
    """The job and its steps in their natural order."""
    one = judge(read_job({**doc, "log": []}))
    return one.state.job, list(one.steps)


def fresh(job: Job, steps: list[Step], people: int) -> tuple[Work, float]:
    """A plan from nothing, and its time. [ms]"""
    route.forget()
    start = perf_counter()
    work = plan_work(job, steps, people)
    return work, 1e3 * (perf_counter() - start)


def once_more(job: Job, steps: list[Step], work: Work) -> float:
    """The time of one more entry, half-way through. [ms]"""
    done = [step.id for step in work.steps[: len(work.steps) // 2]]
    start = perf_counter()
    plan_work(job, steps, work.people, done)
    return 1e3 * (perf_counter() - start)


def sorting(steps: list[Step]) -> float:
    """The time of a plain order by what rests on what. [ms]"""
    start = perf_counter()
    footed(steps)
    return 1e3 * (perf_counter() - start)


def row(name: str, count: int, docs: list[dict]) -> str:
    """One line: means of minutes, medians and greatest of times."""
    figures = []
    for doc in docs:
        job, steps = work_of(doc)
        natural = route.natural_minutes(job, steps)
        one, ms = fresh(job, steps, 1)
        again = once_more(job, steps, one)
        two, ms_two = fresh(job, steps, 2)
        least = (natural, one.minutes, one.bound, two.minutes, two.bound)
        figures.append((len(steps), *least, ms, ms_two, again, ms / sorting(steps)))
    steps, natural, one, bound, two, bound_two = (mean(f[n] for f in figures) for n in range(6))
    ms, ms_two, again, ratio = (median(f[n] for f in figures) for n in range(6, 10))
    return (
        f"{name:14}{count:5}{steps:6.0f}{natural:9.0f}{one:7.0f}{bound:7.0f}{two:7.0f}{bound_two:7.0f}"
        f"{ms:9.1f}{max(f[6] for f in figures):8.1f}{ms_two:9.1f}{again:8.1f}{ratio:8.0f}"
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--jobs", type=int, default=10)
    parser.add_argument("--boxes", type=int, nargs="*", default=(6, 12, 40))
    options = parser.parse_args()
    print(f"{'':25}{'minutes':>9}{'':28}{'ms':>9}")
    print(
        f"{'job':14}{'jobs':>5}{'steps':>6}{'natural':>9}{'one':>7}{'bound':>7}{'two':>7}{'bound':>7}"
        f"{'one':>9}{'most':>8}{'two':>9}{'again':>8}{'ratio':>8}"
    )
    for path in sorted(SAMPLES.glob("*.json")):
        print(row(path.stem, 1, [json.loads(path.read_text(encoding="utf-8"))]))
    for boxes in options.boxes:
        docs = [spread(random_job(seed, boxes), seed) for seed in range(options.jobs)]
        print(row(f"{boxes} boxes", len(docs), docs))
        largest = max(docs, key=lambda doc: len(work_of(doc)[1]))
        print(row(f"{boxes}, most steps", 1, [largest]))
    docs = [spread(large_tree(seed, 40), seed) for seed in range(options.jobs)]
    print(row("40, a tree", len(docs), docs))


if __name__ == "__main__":
    main()
