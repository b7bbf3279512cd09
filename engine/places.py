"""Where things are in a plan: the stop of a place, its electrical runs, what an edit touches."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from attrs import define, field

from engine.job import Job, Point
from engine.network import Network, build

_SPLIT = re.compile(r"out[1-9][0-9]*")


def stop_of(job: Job, at: str) -> str | None:
    """The stop of a point, a box, an earth or a stop; None for a span."""
    box = job.boxes.get(Point.parse(at).box) or job.boxes.get(at)
    if box is not None:
        return box.stop
    if at in job.earths:
        return job.earths[at].stop
    return at if at in job.stops else None


def runs_of(job: Job, network: Network, where: str) -> frozenset[str]:
    """The electrical runs that a box, span or point belongs to, each named by its feed.

    A box that makes its own volts lies in two runs; each of its ports in one. What no feed
    reaches yet is a run by itself, and so are an earth and a stop.
    """

    def at(*points: Point) -> frozenset[str]:
        trees = {network.where[point][0] for point in points if point in network.where}
        return frozenset(str(network.trees[tree].feed) for tree in trees)

    span = job.spans.get(where)
    if span is not None:
        return at(span.a) & at(span.b) or frozenset({where})
    if where in job.earths or where in job.stops:
        return frozenset({where})
    if where in job.boxes:
        return at(*(point for point in network.where if point.box == where)) or frozenset({where})
    point = Point.parse(where)
    return at(point) or frozenset({point.box} & job.boxes.keys())


def is_there(job: Job, at: str) -> bool:
    """Whether the plan has this point, box, span, earth or stop."""
    if any(at in group for group in (job.spans, job.earths, job.stops, job.boxes)):
        return True
    point = Point.parse(at)
    box = job.boxes.get(point.box)
    if box is None:
        return False
    if box.kind == "splitter" and _SPLIT.fullmatch(point.port):
        return True
    return point.port in box.sheet.facts.ports


def touched(job: Job, path: tuple[str, ...]) -> frozenset[str]:
    """The boxes, spans and earths that a plan edit at a path alters; with a sheet, its users."""
    group, *names = path or ("",)
    things: Mapping[str, Mapping[str, object]] = {
        "boxes": job.boxes,
        "spans": job.spans,
        "earths": job.earths,
    }
    if group in things:
        return frozenset({job.named(names[0])} if names else things[group])
    if group == "sheets":
        users = [(box.id, box.sheet.id) for box in job.boxes.values()]
        users += [(span.id, span.cable.id) for span in job.spans.values()]
        return frozenset(user for user, sheet in users if not names or sheet == names[0])
    return frozenset()


@define(eq=False)
class Plan:
    """A plan at one time, as document and as job; what is asked of it often is remembered."""

    doc: Mapping[str, Any]
    job: Job
    _network: Network | None = None
    _named: dict[str, str] = field(factory=dict)
    _runs: dict[str, frozenset[str]] = field(factory=dict)

    @property
    def network(self) -> Network:
        """Its electrical network."""
        if self._network is None:
            self._network = build(self.job)
        return self._network

    def named(self, at: str) -> str:
        """A place as the plan spells it."""
        if at not in self._named:
            self._named[at] = self.job.named(at)
        return self._named[at]

    def runs(self, where: str) -> frozenset[str]:
        """The electrical runs of a place."""
        if where not in self._runs:
            self._runs[where] = runs_of(self.job, self.network, where)
        return self._runs[where]

    def runs_touched(self, path: tuple[str, ...]) -> frozenset[str]:
        """The electrical runs that a plan edit at a path alters."""
        return frozenset().union(*map(self.runs, touched(self.job, path)))
