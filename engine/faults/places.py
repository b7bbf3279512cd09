"""Where a cause can be: for each sort of cause, the places of a job that it fits."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol

from engine.circuit import draw
from engine.job import ANY_METER, Job, MeterSheet, Point, Span
from engine.limits import FeedLimit
from engine.links import Link
from engine.network import Network


class Ground(Protocol):
    """What places are looked for in: a job with its network, limits of feeds, and links."""

    @property
    def job(self) -> Job: ...
    @property
    def network(self) -> Network: ...
    @property
    def limits(self) -> Mapping[Point, FeedLimit]: ...
    @property
    def planned_links(self) -> tuple[Link, ...]: ...


Places = Callable[[Ground], tuple[str, ...]]


def fed(site: Ground) -> dict[str, Point]:
    """Boxes at which power starts, each with its feed; those that something hangs on."""
    return {
        tree.box.id: tree.feed
        for tree in site.network.trees
        if not tree.box.sheet.regenerates and any(node.load for node in tree.nodes)
    }


def powered(site: Ground) -> dict[str, Point]:
    """Spans that carry power, each with the point behind it."""
    return {
        node.via.id: node.point
        for tree in site.network.trees
        if any(node.load for node in tree.nodes)
        for node in tree.nodes
        if isinstance(node.via, Span)
    }


def feeds(site: Ground) -> tuple[str, ...]:
    return tuple(fed(site))


def spans(site: Ground) -> tuple[str, ...]:
    return tuple(powered(site))


def whole(site: Ground) -> tuple[str, ...]:
    """Spans over which both sets of pairs carry power."""
    nodes = ((span, site.network.node(point)) for span, point in powered(site).items())
    return tuple(span for span, node in nodes if node and node.loop_pairs == 4)


def boxes_of(*kinds: str, wired: bool = True, draws: bool = False) -> Places:
    """Boxes of these kinds: ``wired`` to a feed, and such as draw watts of themselves."""

    def places(site: Ground) -> tuple[str, ...]:
        return tuple(
            box.id
            for box in site.job.boxes.values()
            if box.kind in kinds
            and (not wired or site.network.upstream_port(box.id))
            and (not draws or draw(box).low > 0)
        )

    return places


active = boxes_of("repeater", "long-span", "splitter")
drawing_boxes = boxes_of("repeater", "long-span", "splitter", draws=True)
drawing_ends = boxes_of("endpoint", draws=True)
endpoints = boxes_of("endpoint")
arrestors = boxes_of("arrestor")


def turnable(site: Ground) -> tuple[str, ...]:
    """Boxes with two ports that want to meet different things."""
    boxes = (site.job.boxes[name] for name in boxes_of("repeater", "long-span")(site))
    return tuple(box.id for box in boxes if len({box.sheet.faces(p) for p in ("in", "out")}) == 2)


def links(site: Ground) -> tuple[str, ...]:
    return tuple(str(link.start) for link in site.planned_links if link.expected_mbps)


def linked_spans(site: Ground) -> tuple[str, ...]:
    ways = (link.through for link in site.planned_links if link.expected_mbps)
    return tuple(dict.fromkeys(name for way in ways for name in way if name in site.job.spans))


def gigabit_ends(site: Ground) -> tuple[str, ...]:
    """Endpoints at a link whose other end has no slower speed."""
    ends = (
        (link.end.box, link.start_speeds)
        if site.job.boxes[link.end.box].kind == "endpoint"
        else (link.start.box, link.end_speeds)
        for link in site.planned_links
        if link.expected_mbps
    )
    only = {box for box, speeds in ends if speeds and min(speeds) >= 1000}
    return tuple(name for name in endpoints(site) if name in only)


def read(site: Ground) -> tuple[str, ...]:
    """Points at which volts are read."""
    return tuple(
        str(point) for point in site.network.where if site.job.boxes[point.box].sheet.facts.active
    )


def probing(site: Ground) -> tuple[str, ...]:
    return tuple(box for box, feed in fed(site).items() if site.limits[feed].probes)


def sharing(site: Ground) -> tuple[str, ...]:
    return tuple(box for box in fed(site) if site.job.boxes[box].budget)


def earths(site: Ground) -> tuple[str, ...]:
    return tuple(site.job.earths)


def ohm_meters(site: Ground) -> tuple[str, ...]:
    """The meter that one would take for ohms, where there is a span to take them of."""
    meter = next((m.id for m in site.job.meters.values() if "loop_ohms" in m.sheet.accuracy), None)
    plain = site.job.sheets.get(ANY_METER)
    if meter is None and isinstance(plain, MeterSheet) and "loop_ohms" in plain.accuracy:
        meter = ANY_METER
    return (meter,) if meter and site.job.spans else ()


def ends_of(site: Ground, box: str) -> frozenset[str]:
    return frozenset(str(Point(box, port)) for port in site.job.ports(site.job.boxes[box]))
