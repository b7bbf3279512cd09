"""Ethernet links: from one transceiver to the next, through joints, arrestors and injectors.

A link runs at the highest speed that both ends support, that the pairs present carry and
whose reach holds. Beyond the reach that a port's own sheet states it does not run; beyond
the ordinary reach it is only not assured.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from engine.defaults import DEFAULTS
from engine.job import Job, Point
from engine.network import Network
from engine.standards.ethernet import pairs_needed


@frozen
class Way:
    """A way from one port to the next active port, through passive things."""

    start: Point
    end: Point
    through: tuple[str, ...]
    """spans and passive boxes in order"""
    spans: tuple[str, ...]


@frozen
class Link:
    """One link, and the speed to be expected on it."""

    start: Point
    end: Point
    through: tuple[str, ...]
    length_m: float
    pairs: int
    expected_mbps: int
    assured: bool
    margin_m: float | None
    """metres to spare at the expected speed; None where there is no such speed"""
    start_speeds: tuple[int, ...]
    end_speeds: tuple[int, ...]
    limits: Mapping[int, str]
    """why a shared speed is not to be had: ``pairs``, ``passive`` (a box between) or ``reach``"""

    @property
    def shared(self) -> tuple[int, ...]:
        """Speeds that both ends list, whatever the cable allows."""
        return tuple(speed for speed in self.start_speeds if speed in self.end_speeds)


def ways(job: Job, looking_through: frozenset[str]) -> list[Way]:
    """Every way between two ports of boxes whose kind is not looked through."""
    out = []
    for box in job.boxes.values():
        if box.kind in looking_through:
            continue
        for port in job.ports(box):
            way = next_port(job, Point(box.id, port), looking_through)
            if way and not any(known.start == way.end and known.end == way.start for known in out):
                out.append(way)
    return out


def next_port(job: Job, start: Point, looking_through: frozenset[str]) -> Way | None:
    """What a port meets: the next port of a box that is not looked through, if any."""
    here, through, spans = start, [], []
    while True:
        span = job.span_at(here)
        if span is None:
            return None
        there = span.far(here)
        through.append(span.id)
        spans.append(span.id)
        box = job.boxes[there.box]
        if box.kind not in looking_through:
            return Way(start, there, tuple(through), tuple(spans))
        through.append(box.id)
        others = [port for port in job.ports(box) if port != there.port]
        if len(others) != 1:
            return None
        here = Point(box.id, others[0])


DATA_PASSES = frozenset({"joint", "arrestor", "injector"})
"""a link runs through these (job format, section 1)"""
FACING_PASSES = frozenset({"joint", "arrestor"})
"""a port looks through these for what it meets (job format, section 1)"""


def find(job: Job, network: Network) -> tuple[Link, ...]:
    """All links of a job with their expected speeds; ``start`` is the end nearer the feed."""

    def place(end: Point) -> tuple:
        return (*network.where.get(end, (len(network.trees), 0)), str(end))

    turned = (
        way
        if place(way.start) <= place(way.end)
        else Way(way.end, way.start, way.through[::-1], way.spans[::-1])
        for way in ways(job, DATA_PASSES)
    )
    ordered = sorted(turned, key=lambda way: (place(way.start), place(way.end)))
    return tuple(_link(job, way) for way in ordered)


def _link(job: Job, way: Way) -> Link:
    length = sum(job.spans[span].length_m.expected for span in way.spans)
    carried = [job.spans[span].pairs_carried for span in way.spans]
    passive = [job.boxes[name] for name in way.through if name in job.boxes]
    pairs = min([*carried, *(box.pairs_carried for box in passive)])
    ends = [job.boxes[end.box].sheet for end in (way.start, way.end)]
    speeds = [tuple(sorted(sheet.speeds_mbps)) for sheet in ends]
    best, assured, margin = 0, True, None
    limits: dict[int, str] = {}
    for speed in sorted(set(speeds[0]) & set(speeds[1]), reverse=True):
        stated = [
            reach
            for sheet, end in zip(ends, (way.start, way.end), strict=True)
            if (reach := sheet.reach_m(end.port, speed)) is not None
        ]
        if pairs < pairs_needed(speed):
            limits[speed] = "pairs"
        elif not _all_pass(passive, speed):
            limits[speed] = "passive"
        elif stated and length > min(stated):
            limits[speed] = "reach"
        else:
            ordinary = DEFAULTS["reach"].value
            reach = min(stated) if len(stated) == 2 else min([*stated, ordinary])
            best, assured, margin = speed, length <= reach, reach - length
            break
    return Link(
        way.start,
        way.end,
        way.through,
        length,
        pairs,
        best,
        assured,
        margin,
        speeds[0],
        speeds[1],
        limits,
    )


def _all_pass(passive, speed: int) -> bool:
    """A passive box without a list of speeds passes them all."""
    return all(not box.sheet.speeds_mbps or speed in box.sheet.speeds_mbps for box in passive)
