"""What a row of the table of steps is, and what several rows look for in a plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from attrs import frozen

from engine.job import Box, Job, Point, Span, Stop
from engine.say import Say
from engine.step import Asks
from engine.study import Prediction


@frozen
class Found:
    """One thing of a plan that calls for a step: what stands in the step beside its row."""

    of: str
    stop: str
    say: Say
    box: str | None = None
    span: str | None = None
    asks: Asks | None = None
    rests_on: tuple[str, ...] = ()
    """ids of steps, where the row's own words do not reach"""
    minutes: float | None = None
    """where the row's minutes do not do"""


Find = Callable[[Prediction], Iterator[Found]]


@frozen
class Rule:
    """One row: the steps that a plan calls for, and what they rest on (``kind@scope``).

    Scope is ``own`` for the step of the same thing, ``here`` for those at the same stop,
    ``all`` for all of that kind.
    """

    kind: str
    part: str
    power: str
    minutes: float
    find: Find
    rests_on: tuple[str, ...] = ()
    holds: str | None = None
    needs: tuple[str, ...] = ()
    both_ends: bool = False
    wires: bool = False
    each_visit: bool = False
    """done anew by whoever comes back after the site was left"""


def at_box(box: Box, statement: Say, **more: Any) -> Found:
    """A step at a box."""
    return Found(box.id, box.stop, statement, box=box.id, **more)


def first_stop(job: Job) -> Stop | None:
    """Where one arrives: the stop at the least metres."""
    return min(job.stops.values(), key=lambda stop: (stop.at_m, stop.id), default=None)


def at_site(statement: Say, called_for: Callable[[Prediction], bool] = lambda _: True) -> Find:
    """Finds the one step of the whole site, where one arrives."""

    def find(prediction: Prediction) -> Iterator[Found]:
        stop = first_stop(prediction.job)
        if stop is not None and called_for(prediction):
            yield Found("site", stop.id, statement)

    return find


def at_van(prediction: Prediction, box: Box, statement: Say) -> Found:
    """A step about a box before it is carried out: where one arrives; a feed is there already."""
    first = first_stop(prediction.job)
    stop = box.stop if box.sheet.facts.feeds or first is None else first.id
    return Found(box.id, stop, statement, box=box.id)


def used_stops(job: Job) -> list[Stop]:
    """The stops at which something stands, outwards."""
    used = {box.stop for box in job.boxes.values()}
    stops = (stop for stop in job.stops.values() if stop.id in used)
    return sorted(stops, key=lambda stop: (stop.at_m, stop.id))


def feeds(job: Job) -> Iterator[Box]:
    """The boxes at which power starts."""
    return (box for box in job.boxes.values() if box.sheet.facts.feeds)


def endpoints(job: Job) -> Iterator[Box]:
    """The boxes that the run is for."""
    return (box for box in job.boxes.values() if box.kind == "endpoint")


def bonded(job: Job) -> Iterator[Box]:
    """The boxes that get an earth lead: every arrestor, and what else the plan bonds."""
    return (box for box in job.boxes.values() if box.kind == "arrestor" or box.bond)


def orientable(job: Job, box: Box) -> bool:
    """Whether a box between feed and endpoint has a way round, by what its sides face."""
    between = box.kind not in ("source", "endpoint")
    return between and any(box.sheet.faces(port) != "any" for port in job.ports(box))


def long_spans(job: Job) -> Iterator[Span]:
    """Spans that are pulled: those that leave one stop for another."""
    for span in job.spans.values():
        if job.boxes[span.a.box].stop != job.boxes[span.b.box].stop:
            yield span


def outer(prediction: Prediction, span: Span) -> Point:
    """The end of a span that lies farther from the feed."""
    where = prediction.study.network.where
    return max((span.a, span.b), key=lambda end: where.get(end, (0, 0)))


def at_far_end(prediction: Prediction, span: Span, statement: Say, **more: Any) -> Found:
    """A step at the outer end of a span."""
    stop = prediction.job.boxes[outer(prediction, span).box].stop
    return Found(span.id, stop, statement, span=span.id, **more)


def measured_points(job: Job, prediction: Prediction) -> Iterator[Point]:
    """The ports of active boxes that power reaches, from the source outwards."""
    for point in prediction.study.network.where:
        if job.boxes[point.box].sheet.facts.active and job.span_at(point) is not None:
            yield point
