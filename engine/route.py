"""In which order the steps are done, and how far one walks for them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.job import Job
from engine.step import PARTS, Step

PACE_M_PER_MIN = 50.0
"""walking pace (job format, section 5)"""


def in_order(
    job: Job, along: Mapping[str, int], row: Mapping[str, int], steps: list[Step]
) -> list[Step]:
    """Part by part, outwards through a part by stop, back inwards for the last one.

    Of the steps whose footing is laid the first in that order comes next, so whatever a
    step rests on always comes before it.

    Parameters
    ----------
    along : place of each point along the run, from the feed outwards.
    row : place of each kind of step in the table of rules: the order within one stop.
    """
    outward = {stop.id: stop.at_m for stop in job.stops.values()}

    def key(step: Step) -> tuple:
        kind, _, of = step.id.partition(".")
        part = PARTS.index(step.part)
        metres = outward.get(step.stop, 0.0)
        if kind == "energise":
            return (part, -1.0, "", 0, of)
        if kind in ("volts", "link"):
            return (part, 0.0, "", along.get(of, len(along)), row[kind], of)
        if step.part == "load":
            return (part, row[kind], "", metres, of)
        return (part, -metres if step.part == "leave" else metres, step.stop, row[kind], of)

    place = {step.id: i for i, step in enumerate(sorted(steps, key=key))}
    by_id = {step.id: step for step in steps}
    waits = {step.id: {name for name in step.after if name in by_id} for step in steps}
    out: list[Step] = []
    while waits:
        ready = [name for name, rest in waits.items() if not rest] or list(waits)
        name = min(ready, key=place.__getitem__)
        del waits[name]
        for rest in waits.values():
            rest.discard(name)
        out.append(by_id[name])
    return out


def walk_m(job: Job, steps: Iterable[Step]) -> float:
    """Metres between successive steps: by ``walks`` where the job gives them, else the run's."""
    total, here = 0.0, None
    for step in steps:
        if here is not None and step.stop != here:
            total += between(job, here, step.stop)
        here = step.stop
    return total


def between(job: Job, a: str, b: str) -> float:
    """Metres to walk from stop to stop: along the spans, or by the plan's own ``walks``."""
    for one, other, metres in job.walks:
        if {one, other} == {a, b}:
            return metres
    return _ways(job, a).get(b, abs(job.stops[a].at_m - job.stops[b].at_m))


def _ways(job: Job, start: str) -> dict[str, float]:
    """Metres along the spans from a stop to all that they lead to."""
    beside: dict[str, list[tuple[str, float]]] = {}
    for span in job.spans.values():
        a, b = (job.boxes[end.box].stop for end in (span.a, span.b))
        metres = abs(job.stops[a].at_m - job.stops[b].at_m)
        beside.setdefault(a, []).append((b, metres))
        beside.setdefault(b, []).append((a, metres))
    out, waiting = {start: 0.0}, [start]
    while waiting:
        here = waiting.pop()
        for there, metres in beside.get(here, ()):
            if out[here] + metres < out.get(there, float("inf")):
                out[there] = out[here] + metres
                waiting.append(there)
    return out


def total_minutes(job: Job, steps: Iterable[Step]) -> float:
    """Work and walk together. [min]"""
    steps = tuple(steps)
    return sum(step.minutes for step in steps) + walk_m(job, steps) / PACE_M_PER_MIN
