"""Measure the order of the work: its minutes, and the time it takes to find it.

Minutes of the natural order, of the plan for one and of the plan for two, with the lower
bounds, on the sample jobs and on made-up jobs of 6, 12 and 40 boxes whose stops lie along
their tree. Times are of a plan from nothing, and of one more entry on a plan that is known; the ratio is to putting the same steps
in the natural order. Run:
``python tests/bench/route.py [--jobs N] [--boxes N …]``.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import mean, median

import clock
from clock import SAMPLES
from promises import rows_of
from random_jobs import large_tree, random_job
from route_jobs import spread
from rows import Row, told

from engine import route
from engine.job import Job
from engine.jobfile import read_job
from engine.judge import judge
from engine.route import Work, plan_work
from engine.route_tasks import footed
from engine.step import Step

LARGE = 40
SIZES = (6, 12, LARGE)


def work_of(doc: dict) -> tuple[Job, list[Step]]:
    """The job and its steps in their natural order."""
    one = judge(read_job({**doc, "log": []}))
    return one.state.job, list(one.steps)


@dataclass(frozen=True)
class Planned:
    """The orders of one job, and what each took to find. [min] [ms]"""

    steps: int
    natural: float
    one: Work
    two: Work
    ms: float
    ms_two: float
    again: float
    sorting: float


def planned(doc: dict) -> Planned:
    """All of one job: from nothing for one and for two, and one more entry half-way through."""
    job, steps = work_of(doc)
    one, ms = fresh(job, steps, 1)
    done = [step.id for step in one.steps[: len(one.steps) // 2]]
    again = 1e3 * clock.seconds(lambda: plan_work(job, steps, one.people, done))
    two, ms_two = fresh(job, steps, 2)
    sorting = 1e3 * clock.seconds(lambda: footed(steps))
    natural = route.natural_minutes(job, steps)
    return Planned(len(steps), natural, one, two, ms, ms_two, again, sorting)


def fresh(job: Job, steps: list[Step], people: int) -> tuple[Work, float]:
    """A plan from nothing, and its time. [ms]"""
    route.forget()
    found: list[Work] = []
    took = clock.seconds(lambda: found.append(plan_work(job, steps, people)))
    return found[0], 1e3 * took


def made(jobs: int, sizes: Sequence[int]) -> dict[str, list[Planned]]:
    """All kinds of job by their names."""
    out = {
        path.stem: [planned(json.loads(path.read_text(encoding="utf-8")))]
        for path in sorted(SAMPLES.glob("*.json"))
    }
    for boxes in sizes:
        docs = [spread(random_job(seed, boxes), seed) for seed in range(jobs)]
        out[f"{boxes} boxes"] = [planned(doc) for doc in docs]
    docs = [spread(large_tree(seed, LARGE), seed) for seed in range(jobs)]
    return out | {f"{LARGE}, a tree": [planned(doc) for doc in docs]}


def line(name: str, found: Sequence[Planned]) -> str:
    """One line: means of minutes, medians and greatest of times."""
    minutes = [
        mean(of(one) for one in found)
        for of in (
            lambda one: one.natural,
            lambda one: one.one.minutes,
            lambda one: one.one.bound,
            lambda one: one.two.minutes,
            lambda one: one.two.bound,
        )
    ]
    natural, one, bound, two, bound_two = minutes
    ms, ms_two, again, ratio = (
        median(of(one) for one in found)
        for of in (
            lambda one: one.ms,
            lambda one: one.ms_two,
            lambda one: one.again,
            lambda one: one.ms / one.sorting,
        )
    )
    return (
        f"{name:14}{len(found):5}{mean(one.steps for one in found):6.0f}{natural:9.0f}{one:7.0f}"
        f"{bound:7.0f}{two:7.0f}{bound_two:7.0f}{ms:9.1f}{max(f.ms for f in found):8.1f}"
        f"{ms_two:9.1f}{again:8.1f}{ratio:8.0f}"
    )


def rows(jobs: int = 10, sizes: Sequence[int] = SIZES, show: bool = False) -> list[Row]:
    """The promised figures; with ``show`` all kinds of job are printed."""
    row, found = rows_of("route"), made(jobs, sorted({*sizes, LARGE}))
    if show:
        print(f"{'':25}{'minutes':>9}{'':28}{'ms':>9}")
        print(
            f"{'job':14}{'jobs':>5}{'steps':>6}{'natural':>9}{'one':>7}{'bound':>7}{'two':>7}"
            f"{'bound':>7}{'one':>9}{'most':>8}{'two':>9}{'again':>8}{'ratio':>8}"
        )
        print(*(line(name, each) for name, each in found.items()), sep="\n")
    large = [one for name, each in found.items() if name.startswith(str(LARGE)) for one in each]
    every = [one for each in found.values() for one in each]
    most = max(one.steps for one in large)
    return [
        row("one", max(one.ms for one in large), f"{len(large)} jobs, up to {most} steps"),
        row(
            "two",
            max(one.ms_two for one in large),
            f"median {median(o.ms_two for o in large):.0f} ms",
        ),
        row("worse", max(one.two.minutes / one.one.minutes for one in every), f"{len(every)} jobs"),
        row("again", median(one.again for one in large)),
    ]


def main() -> int:
    """Print the table."""
    parser = clock.options(__doc__)
    parser.add_argument("--jobs", type=int, default=10)
    parser.add_argument("--boxes", type=int, nargs="*", default=SIZES)
    given = parser.parse_args()
    return told(rows(given.jobs, given.boxes, show=True))


if __name__ == "__main__":
    sys.exit(main())
