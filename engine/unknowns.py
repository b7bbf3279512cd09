"""What nobody knows exactly about a site: one table of unknowns, and the site that they make.

Each quantity of a job with a band is an unknown with a mean and a standard deviation. What
one thing has in common is one unknown: the air is that of every span in it, a splitter's ohms
are those of both its branches. Some are drawn anew: the load's swing for each moment, the
temperatures for each visit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import copy
from functools import cached_property
from math import sqrt

from attrs import frozen

from engine.band import Band
from engine.circuit import (
    Bundled,
    Circuit,
    TreeNumbers,
    alpha_per_k,
    conductor_ohms,
    draw,
    feed_volts,
    is_indoor,
    loop_factor,
)
from engine.job import Job, Span
from engine.network import Network, Node, Tree
from engine.standards import heat
from engine.standards.meters import METERS

Key = tuple[str, ...]
"""what kind of quantity, and whose"""
Slope = dict[Key, float]
"""how one figure moves with each quantity, per unit of it"""

RECTANGULAR = METERS["rectangular-divisor"].value
PLUG_OHMS = METERS["plug-floor-ohms"].value
EVEN = 1e-9
"""a band whose middle lies so near its expected value (share of its width) is symmetric"""

Edge = Callable[[Mapping[Key, float]], tuple[float, Slope, float]]
"""loop ohms of an edge, how they move with the unknowns, and by each kelvin of its own warmth"""

PER_MOMENT = frozenset({"swing"})
PER_VISIT = frozenset({"air", "indoor", "ground", "ambient", "sun"})


@frozen
class Unknown:
    """A quantity as it is known before any reading: mean, and standard deviation (0: exact)."""

    mean: float
    sd: float = 0.0


def moments(band: Band) -> Unknown:
    """Mean and standard deviation of a quantity of which only the limits are known.

    Symmetric limits are taken as a rectangle, others as a triangle with its top at
    ``expected`` (JCGM 100:2008, 4.3.7 and 4.3.9; the triangle's moments are textbook).

    >>> moments(Band(-1, 0, 1)).sd * 3**0.5
    1.0
    """
    low, top, high = band.low, band.expected, band.high
    width = high - low
    if abs((low + high) / 2 - top) <= EVEN * width:
        return Unknown(top, width / (2 * RECTANGULAR))
    return triangle(band)


def triangle(band: Band) -> Unknown:
    """Mean and standard deviation of a triangle with its top at ``expected`` (textbook)."""
    low, top, high = band.low, band.expected, band.high
    squares = low * low + top * top + high * high - low * top - low * high - top * high
    return Unknown((low + top + high) / 3, sqrt(max(squares, 0.0) / 18))


def scoped(key: Key, visit: int, moment: str) -> Key:
    """The key of an unknown that is drawn anew for each moment or visit; others as they are."""
    if key[0] in PER_MOMENT:
        return (*key, moment)
    return (*key, str(visit)) if key[0] in PER_VISIT else key


@frozen
class Wire:
    """How a span's ohms follow from its unknowns.

    ``factor`` turns ohms of a conductor into those of the loop; ``ends`` those of its ends.
    """

    span: Span
    ohms: Key
    length: Key
    warm: tuple[Key, ...]
    alpha: float
    factor: float
    ends_key: Key
    ends: float

    def at_celsius(self, celsius: float) -> Slope:
        """The values that give the wire this temperature."""
        first, *others = self.warm
        return {first: celsius, **dict.fromkeys(others, 0.0)}

    def at(self, value: Mapping[Key, float]) -> tuple[float, Slope, float]:
        """Loop ohms with no rise, how they move, and ohms per kelvin of rise."""
        per_metre, metres = value[self.ohms] / 1000, value[self.length]
        warmth = 1 + self.alpha * (sum(value[key] for key in self.warm) - 20)
        kelvin = per_metre * metres * self.factor * self.alpha
        slope = {
            self.ohms: metres * self.factor * warmth / 1000,
            self.length: per_metre * self.factor * warmth,
            self.ends_key: self.ends,
        }
        for key in self.warm:
            slope[key] = kelvin
        wire = per_metre * metres * self.factor * warmth
        return wire + value[self.ends_key] * self.ends, slope, kelvin


class Site:
    """The unknowns of a job, and the circuit that given values of them make."""

    def __init__(self, job: Job, network: Network) -> None:
        self.job = job
        self.network = network
        self.unknowns: dict[Key, Unknown] = {}
        for stop in job.stops.values():
            self.air(indoor=stop.indoor)
        for box in job.boxes.values():
            self._unknown(("watts", box.id), draw(box))
            if box.sheet.regenerates:
                self._unknown(("efficiency", box.id), box.sheet.efficiency)
            if box.kind == "endpoint" and box.sheet.watts_swing_percent:
                share = box.sheet.watts_swing_percent / 100
                self.unknowns["swing", box.id] = Unknown(0.0, share / RECTANGULAR)
        self._edges = tuple(
            tuple(self._edge(tree, node) for node in tree.nodes) for tree in network.trees
        )
        self.loops = {span.id: self._loop(span) for span in job.spans.values()}
        """one pair of each span with its far end shorted, the run switched off"""

    def bent(
        self,
        unknowns: Mapping[Key, Unknown],
        times: Mapping[tuple[int, int], float],
        more: Mapping[tuple[int, int], Key],
    ) -> Site:
        """The same wiring with other unknowns, by the tree and node of an edge.

        ``times`` are its ohms of what the plan's would be; ``more`` is an unknown that adds to
        the ohms for power, and to none of its pairs by itself.
        """
        other = copy(self)
        other.__dict__.pop("means", None)
        other.unknowns = {**self.unknowns, **unknowns}
        other._edges = tuple(
            tuple(
                _altered(edge, times.get((t, i), 1.0), more.get((t, i)))
                if (t, i) in times or (t, i) in more
                else edge
                for i, edge in enumerate(edges)
            )
            for t, edges in enumerate(self._edges)
        )
        return other

    @cached_property
    def means(self) -> dict[Key, float]:
        """Each unknown at its mean."""
        return {key: unknown.mean for key, unknown in self.unknowns.items()}

    def _unknown(self, key: Key, band: Band) -> Key:
        if key not in self.unknowns:
            self.unknowns[key] = moments(band)
        return key

    def wire(self, span: Span, pairs: int, factor: float, ends: float) -> Wire:
        """How the ohms of a span follow from its unknowns, which are made known here.

        ``pairs`` are those in force, for which the ohms of its ends are stated.
        """
        cable = span.cable
        ends_key = ("ends", span.id)
        if ends_key not in self.unknowns:
            stated = moments(span.end_ohms)
            floor = PLUG_OHMS * loop_factor(pairs) / RECTANGULAR * sqrt(2)
            self.unknowns[ends_key] = Unknown(stated.mean, sqrt(stated.sd**2 + floor**2))
        return Wire(
            span,
            self._unknown(("ohms", span.id), conductor_ohms(cable)),
            self._unknown(("length", span.id), span.length_m),
            self._warmth(span),
            alpha_per_k(cable),
            factor,
            ends_key,
            ends,
        )

    def _loop(self, span: Span) -> Wire:
        nodes = (self.network.node(end) for end in (span.a, span.b))
        powered = next((node for node in nodes if node is not None and node.via == span), None)
        pairs = powered.pairs if powered else span.pairs_carried
        return self.wire(span, pairs, loop_factor(pairs) * pairs, pairs)

    def _warmth(self, span: Span) -> tuple[Key, ...]:
        """The temperatures that a span's own is the sum of."""
        site = self.job.site
        if span.ambient_c is not None:
            return (self._unknown(("ambient", span.id), span.ambient_c),)
        if is_indoor(span):
            return (self.air(indoor=True),)
        parts = heat.route_parts(site.ambient_c, span.route, span.sun)
        return tuple(self._unknown(tuple(name.split("-")), band) for name, band in parts.items())

    def air(self, *, indoor: bool) -> Key:
        """The air of the site, or that inside where the job states one."""
        site = self.job.site
        if indoor and site.indoor_c is not None:
            return self._unknown(("indoor",), site.indoor_c)
        return self._unknown(("air",), site.ambient_c)

    def _edge(self, tree: Tree, node: Node) -> Edge:
        """How the ohms between a node and its parent follow from the unknowns."""
        if isinstance(node.via, Span):
            return self.wire(
                node.via,
                node.pairs,
                loop_factor(node.loop_pairs),
                node.pairs / node.loop_pairs,
            ).at
        if node.via is None:
            self._unknown(("volts", tree.box.id), feed_volts(tree.box.sheet))
            key, factor = self._unknown(("droop", tree.box.id), tree.box.sheet.ohms), 1.0
        else:
            key = self._unknown(("box-ohms", node.via.id), node.via.sheet.ohms_per_conductor)
            factor = loop_factor(node.loop_pairs)
        slope = {key: factor}
        return lambda value: (value[key] * factor, slope, 0.0)

    def circuit(self, value: Mapping[Key, float]) -> Circuit:
        """The site with these values; what cannot be below nothing is held at nothing."""
        draws = {
            box: max(value["watts", box] * (1 + value.get(("swing", box), 0.0)), 0.0)
            for box in self.job.boxes
        }
        efficiency = {
            box.id: value["efficiency", box.id]
            for box in self.job.boxes.values()
            if box.sheet.regenerates
        }
        trees = tuple(
            self._numbers(tree, edges, value)
            for tree, edges in zip(self.network.trees, self._edges, strict=True)
        )
        return Circuit(self.job, self.network, "expected", trees, draws, efficiency)

    def _numbers(
        self, tree: Tree, edges: Sequence[Edge], value: Mapping[Key, float]
    ) -> TreeNumbers:
        found = [edge(value) for edge in edges]
        bundled = tuple(
            Bundled(i, node.via, value["length", node.via.id], ohms, kelvin)
            for i, (node, (ohms, _, kelvin)) in enumerate(zip(tree.nodes, found, strict=True))
            if isinstance(node.via, Span) and node.via.bundle and node.via.length_m.low > 0
        )
        return TreeNumbers(
            tuple(node.parent for node in tree.nodes),
            tuple(max(ohms, 0.0) for ohms, _, _ in found),
            value["volts", tree.box.id],
            bundled,
        )

    def edge_slopes(self, tree: int, value: Mapping[Key, float]) -> list[Slope]:
        """How the ohms of each edge of a tree move with the unknowns."""
        return [edge(value)[1] for edge in self._edges[tree]]


def _altered(edge: Edge, times: float, more: Key | None) -> Edge:
    """An edge with so many times the ohms, and all that moves them; with an unknown more."""

    def altered(value: Mapping[Key, float]) -> tuple[float, Slope, float]:
        ohms, slope, kelvin = edge(value)
        moves = {key: times * by for key, by in slope.items()}
        if more is None:
            return times * ohms, moves, times * kelvin
        return times * ohms + value[more], {**moves, more: 1.0}, times * kelvin

    return altered
