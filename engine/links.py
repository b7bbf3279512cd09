"""Ethernet links: from one transceiver to the next, through joints, arrestors and injectors.

A link runs at the highest speed that both ends support, that the pairs present carry and
whose insertion-loss limit holds at its length and temperature. Beyond the reach that a
port's own sheet states it does not run; beyond the ordinary limits it is only not assured.
Ohms and insertion loss follow temperature by laws of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from engine.band import Corner
from engine.circuit import ambient_celsius
from engine.defaults import DEFAULTS
from engine.job import Box, Job, Point, Span
from engine.network import Network
from engine.standards import delay, loss
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
class Margin:
    """How far a link's insertion loss stays under the limit of a speed, where it is tightest."""

    db: float
    mhz: float
    loss_db: float
    limit_db: float


@frozen
class Offer:
    """A speed that both ends, the pairs and the boxes between allow, and what may be against it.

    ``doubt`` is why it is not assured: ``length`` (beyond the ordinary reach), ``loss``,
    ``category`` (the cable is not made for it), or None. ``hot_doubt`` is the same at the
    longest and hottest that the plan allows; there a stated reach is held against it too.
    """

    mbps: int
    margin: Margin | None
    """None where the ports' own sheets state the reach"""
    margin_m: float | None
    doubt: str | None
    hot_doubt: str | None


@frozen
class Link:
    """One link, and the speed to be expected on it."""

    start: Point
    end: Point
    through: tuple[str, ...]
    length_m: float
    pairs: int
    offers: tuple[Offer, ...]
    """fastest first"""
    delay_ns: float
    skew_ns: float
    start_speeds: tuple[int, ...]
    end_speeds: tuple[int, ...]
    limits: Mapping[int, str]
    """why a shared speed is not to be had: ``pairs``, ``passive`` (a box between) or ``reach``"""

    @property
    def known(self) -> bool:
        """Both ends' sheets list their speeds; else nothing is predicted."""
        return bool(self.start_speeds and self.end_speeds)

    @property
    def offer(self) -> Offer | None:
        """The fastest assured speed; where none is, the fastest that may come."""
        assured = (offer for offer in self.offers if offer.doubt is None)
        return next(assured, self.offers[0] if self.offers else None)

    @property
    def expected_mbps(self) -> int:
        """The speed to be expected; 0 for no link."""
        return self.offer.mbps if self.offer else 0

    @property
    def assured(self) -> bool:
        """The limits promise the expected speed."""
        return self.offer is None or self.offer.doubt is None

    @property
    def shared(self) -> tuple[int, ...]:
        """Speeds that both ends list, whatever the cable allows."""
        return tuple(speed for speed in self.start_speeds if speed in self.end_speeds)


def ways(job: Job, looking_through: frozenset[str]) -> list[Way]:
    """Every way between two ports of boxes whose kind is not looked through."""
    out: list[Way] = []
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


def find(job: Job, network: Network, rises: Rises | None = None) -> tuple[Link, ...]:
    """All links of a job with their expected speeds; ``start`` is the end nearer the feed.

    ``rises`` is what its bundle adds to a span's temperature. [K]
    """

    def place(end: Point) -> tuple[int, int, str]:
        return (*network.where.get(end, (len(network.trees), 0)), str(end))

    turned = (
        way
        if place(way.start) <= place(way.end)
        else Way(way.end, way.start, way.through[::-1], way.spans[::-1])
        for way in ways(job, DATA_PASSES)
    )
    ordered = sorted(turned, key=lambda way: (place(way.start), place(way.end)))
    return tuple(_link(job, way, rises or {}) for way in ordered)


def _link(job: Job, way: Way, rises: Rises) -> Link:
    length = _length(job, way, "expected")
    passive = [job.boxes[name] for name in way.through if name in job.boxes]
    carried = [job.spans[span].pairs_carried for span in way.spans]
    pairs = min([*carried, *(box.pairs_carried for box in passive)])
    ends = [job.boxes[end.box].sheet for end in (way.start, way.end)]
    speeds = [tuple(sorted(sheet.speeds_mbps)) for sheet in ends]
    limits: dict[int, str] = {}
    offers = []
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
        elif len(stated) == 2:
            longest = _length(job, way, "high")
            at_worst = "length" if longest > min(stated) else None
            offers.append(Offer(speed, None, min(stated) - length, None, at_worst))
        else:
            offers.append(_ordinary(job, way, passive, speed, rises))
    return Link(
        way.start,
        way.end,
        way.through,
        length,
        pairs,
        tuple(offers),
        delay.cable_ns(length, SLOWEST_MHZ),
        delay.skew_ns(length),
        speeds[0],
        speeds[1],
        limits,
    )


Rises = Mapping[Corner, Mapping[str, float]]
"""what its bundle adds to a span's temperature, as expected and at its high corner [K]"""
SLOWEST_MHZ = 1.0
"""the frequency at which the cable's delay is stated at its longest"""
CONNECTIONS = {"joint": 1, "arrestor": 2, "injector": 2}
"""matings that a box between adds: a joint is one, a box with two sockets two (common practice)"""


def _ordinary(job: Job, way: Way, passive: list[Box], speed: int, rises: Rises) -> Offer:
    """A speed of ordinary ports: held against the channel's length and insertion loss."""
    margin, hot = (
        _margin(job, way, passive, speed, corner, rises) for corner in ("expected", "high")
    )
    return Offer(
        speed,
        margin,
        None,
        _doubt(job, way, speed, "expected", margin),
        _doubt(job, way, speed, "high", hot),
    )


def _doubt(job: Job, way: Way, speed: int, corner: Corner, margin: Margin) -> str | None:
    length = _length(job, way, corner)
    if length > DEFAULTS["reach"].value:
        return "length"
    for name in way.spans:
        if not loss.made_for(speed, job.spans[name].cable.category, length):
            return "category"
    return "loss" if margin.db < 0 else None


def _margin(
    job: Job,
    way: Way,
    passive: list[Box],
    speed: int,
    corner: Corner,
    rises: Rises,
) -> Margin:
    """Where the limit of a speed is tightest over its frequencies."""
    spans = [job.spans[name] for name in way.spans]
    category = min((span.cable.category or loss.UNKNOWN for span in spans), key=loss.category_mhz)
    count = sum(CONNECTIONS[box.kind] for box in passive)
    found = []
    for mhz in loss.frequencies(speed):
        lost = count * loss.connection_db(category, mhz)
        lost += sum(_span_db(job, span, mhz, corner, rises) for span in spans)
        limit = loss.limit_db(speed, mhz)
        found.append(Margin(limit - lost, mhz, lost, limit))
    return min(found, key=lambda margin: margin.db)


def _span_db(job: Job, span: Span, mhz: float, corner: Corner, rises: Rises) -> float:
    cable = span.cable
    return loss.cable_db(
        cable.category,
        mhz,
        span.length_m.at(corner),
        ambient_celsius(job, span, corner) + rises.get(corner, {}).get(span.id, 0.0),
        stranded=cable.stranded,
        awg=cable.awg,
        screened=cable.screened,
    )


def _length(job: Job, way: Way, corner: Corner) -> float:
    return sum(job.spans[span].length_m.at(corner) for span in way.spans)


def _all_pass(passive: list[Box], speed: int) -> bool:
    """A passive box without a list of speeds passes them all."""
    return all(not box.sheet.speeds_mbps or speed in box.sheet.speeds_mbps for box in passive)
