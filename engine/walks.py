"""How far one walks: metres from stop to stop, and along an order of steps."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping
from itertools import pairwise

from engine.job import Job
from engine.step import Step

PACE_M_PER_MIN = 50.0
"""walking pace (job format, section 5)"""


def between(job: Job, a: str, b: str) -> float:
    """Metres to walk from stop to stop: along the spans, or by the plan's own ``walks``."""
    return metres_between(job, [a, b])[0][1]


def metres_between(job: Job, stops: Iterable[str]) -> tuple[tuple[float, ...], ...]:
    """Metres from each of these stops to each, as a table."""
    stops = tuple(stops)
    said = {frozenset((one, other)): metres for one, other, metres in reversed(job.walks)}
    beside = _beside(job)
    rows = []
    for a in stops:
        ways = _ways(beside, a)
        rows.append(
            tuple(
                0.0
                if a == b
                else said.get(
                    frozenset((a, b)),
                    # no cable leads there: as far as the plan's metres are apart
                    ways.get(b, abs(job.stops[a].at_m - job.stops[b].at_m)),
                )
                for b in stops
            )
        )
    return tuple(rows)


def _beside(job: Job) -> Mapping[str, list[tuple[str, float]]]:
    """The stops that one span leads to from each, with the metres."""
    out: dict[str, list[tuple[str, float]]] = {}
    for span in job.spans.values():
        a, b = (job.boxes[end.box].stop for end in (span.a, span.b))
        metres = abs(job.stops[a].at_m - job.stops[b].at_m)
        out.setdefault(a, []).append((b, metres))
        out.setdefault(b, []).append((a, metres))
    return out


def _ways(beside: Mapping[str, list[tuple[str, float]]], start: str) -> Mapping[str, float]:
    """Metres along the spans from a stop to all that they lead to."""
    out: dict[str, float] = {}
    waiting = [(0.0, start)]
    while waiting:
        metres, here = heapq.heappop(waiting)
        if here in out:
            continue
        out[here] = metres
        for there, more in beside.get(here, ()):
            if there not in out:
                heapq.heappush(waiting, (metres + more, there))
    return out


def walk_m(job: Job, steps: Iterable[Step]) -> float:
    """Metres between successive steps."""
    stops = [step.stop for step in steps]
    listed = {stop: i for i, stop in enumerate(dict.fromkeys(stops))}
    table = metres_between(job, listed)
    return sum(table[listed[a]][listed[b]] for a, b in pairwise(stops))


def total_minutes(job: Job, steps: Iterable[Step]) -> float:
    """Work and the walk between successive steps together. [min]"""
    steps = tuple(steps)
    return sum(step.minutes for step in steps) + walk_m(job, steps) / PACE_M_PER_MIN
