"""How far one walks: metres from stop to stop, and along an order of steps."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping
from functools import lru_cache

from engine.job import Job

PACE_M_PER_MIN = 50.0
"""walking pace (job format, section 5)"""


def between(job: Job, a: str, b: str) -> float:
    """Metres to walk from stop to stop: along the spans, or by the plan's own ``walks``."""
    return metres_between(job, [a, b])[0][1]


def metres_between(job: Job, stops: Iterable[str]) -> tuple[tuple[float, ...], ...]:
    """Metres from each of these stops to each, as a table."""
    return _table(
        tuple((stop, job.stops[stop].at_m) for stop in stops),
        tuple(
            (job.boxes[span.a.box].stop, job.boxes[span.b.box].stop) for span in job.spans.values()
        ),
        tuple((stop.id, stop.at_m) for stop in job.stops.values()),
        tuple(job.walks),
    )


@lru_cache(maxsize=8)
def _table(
    stops: tuple[tuple[str, float], ...],
    spans: tuple[tuple[str, str], ...],
    at_m: tuple[tuple[str, float], ...],
    walks: tuple[tuple[str, str, float], ...],
) -> tuple[tuple[float, ...], ...]:
    """The table by all that it depends on: it is asked for again after every entry."""
    said = {frozenset((one, other)): metres for one, other, metres in reversed(walks)}
    beside = _beside(spans, dict(at_m))
    rows = []
    for a, a_m in stops:
        ways = _ways(beside, a)
        rows.append(
            tuple(
                0.0
                if a == b
                else said.get(
                    frozenset((a, b)),
                    # no cable leads there: as far as the plan's metres are apart
                    ways.get(b, abs(a_m - b_m)),
                )
                for b, b_m in stops
            )
        )
    return tuple(rows)


def _beside(
    spans: Iterable[tuple[str, str]], at_m: Mapping[str, float]
) -> Mapping[str, list[tuple[str, float]]]:
    """The stops that one span leads to from each, with the metres."""
    out: dict[str, list[tuple[str, float]]] = {}
    for a, b in spans:
        metres = abs(at_m[a] - at_m[b])
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
