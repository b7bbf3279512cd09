"""A network's numbers at one corner of the design: ohms, volts, watts of each tree.

Low volts go with high ohms and watts: ``OPPOSITE`` turns one into the other.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from engine.band import Band, Corner
from engine.defaults import DEFAULTS
from engine.job import Box, BoxSheet, CableSheet, Job, Span
from engine.network import Network, Node, Tree
from engine.pairs import in_parallel
from engine.standards import conductors, heat

OPPOSITE: dict[Corner, Corner] = {"low": "high", "expected": "expected", "high": "low"}
"""the ohms and watts that go with low volts are the high ones"""


def conductor_ohms(cable: CableSheet) -> Band:
    """One conductor at 20 °C: the sheet's ohms win over those worked out from the gauge. [ohm/km]"""
    if cable.ohms_per_km is not None:
        return cable.ohms_per_km
    return conductors.ohms_per_km(
        cable.awg if cable.awg is not None else int(DEFAULTS["gauge"].value),
        cable.material,
        copper_percent=cable.copper_percent or DEFAULTS["copper-share"].value,
        stranded=cable.stranded,
    )


def alpha_per_k(cable: CableSheet) -> float:
    """How the ohms of a cable's conductors grow with temperature. [1/K]"""
    alpha = cable.alpha_per_k
    return alpha if alpha is not None else conductors.alpha20(cable.material)


def is_indoor(span: Span) -> bool:
    """The span's own word: its route, or ``indoor`` without one (job format, section 1)."""
    return span.route == "indoor" or (span.route is None and span.indoor is True)


def ambient_celsius(job: Job, span: Span, corner: Corner) -> float:
    """Temperature around a span: its own, else by its route, else the site's. [°C]"""
    if span.ambient_c is not None:
        return span.ambient_c.at(corner)
    if is_indoor(span):
        return (job.site.indoor_c or job.site.ambient_c).at(corner)
    return heat.route_celsius(job.site.ambient_c, span.route, span.sun).at(corner)


def loop_factor(pairs: int) -> float:
    """Loop ohms from the ohms of one conductor: whole on two pairs, half on four.

    Of a set of two pairs, two conductors in parallel go out and two come back; two sets are
    side by side.
    """
    return in_parallel([1.0] * (pairs // 2))


def wire_ohms(job: Job, span: Span, corner: Corner, rise: float = 0.0) -> float:
    """One conductor of a span at its temperature, without the ends. [ohm]

    ``rise`` is what a bundle adds to the temperature around it. [K]
    """
    return conductors.at_temperature(
        conductor_ohms(span.cable).at(corner) / 1000 * span.length_m.at(corner),
        ambient_celsius(job, span, corner) + rise,
        alpha_per_k(span.cable),
    )


def span_ohms(job: Job, span: Span, pairs: int, corner: Corner, rise: float = 0.0) -> float:
    """Loop resistance of a span with its two ends. [ohm]"""
    return wire_ohms(job, span, corner, rise) * loop_factor(pairs) + span.end_ohms.at(corner)


def edge_ohms(job: Job, node: Node, feed: BoxSheet, volts: Corner) -> float:
    """Loop ohms between a node and its parent; at the feed, its droop. [ohm]

    Ohms in series of an injector or a regenerating box are not in any tree: power starts at
    its out port, and its volts are stated there.
    """
    corner = OPPOSITE[volts]
    if node.via is None:
        return feed.ohms.at(corner)
    if isinstance(node.via, Span):
        # the ends are stated for the pairs in force; where a set of them leads nowhere, the
        # same contacts stand in fewer conductors side by side
        ends = node.via.end_ohms.at(corner) * node.pairs / node.loop_pairs
        return wire_ohms(job, node.via, corner) * loop_factor(node.loop_pairs) + ends
    return node.via.sheet.ohms_per_conductor.at(corner) * loop_factor(node.loop_pairs)


def feed_volts(sheet: BoxSheet) -> Band:
    """Volts that a feed puts on its pairs: a source's own, or a regenerating box's new ones."""
    volts = sheet.out_volts if sheet.regenerates else sheet.volts
    assert volts is not None  # no file is read without them
    return volts


def draw(box: Box) -> Band:
    """Watts that a box draws of itself, without what they move by from moment to moment. [W]"""
    return box.sheet.watts if box.kind == "endpoint" else box.sheet.own_watts


def swing_factor(box: Box, volts: Corner) -> float:
    """By how much the draw of an endpoint may have moved, at the corner of its volts. [1]

    The bands of the prediction leave it out, the check of a reading has it in.
    """
    if box.kind != "endpoint":
        return 1.0
    share = box.sheet.watts_swing_percent / 100
    return {"low": 1 + share, "expected": 1.0, "high": 1 - share}[volts]


@frozen
class Bundled:
    """A span that heats itself and its neighbours: how its ohms follow its temperature."""

    node: int
    span: Span
    metres: float
    cold_ohms: float
    """loop ohms of the wire alone, with no rise"""
    ohms_per_kelvin: float

    def rise(self, amps: float, rise: float) -> float:
        """Rise at the centre of the bundle when every cable of it carries these amps. [K]

        Gives the rise that follows from the ohms at a present ``rise``.
        """
        ohms = self.cold_ohms + self.ohms_per_kelvin * rise
        return heat.bundle_rise(self.span.bundle or 1, amps * amps * ohms / self.metres)


@frozen
class TreeNumbers:
    """A tree as the solver takes it, all at one corner; ``ohms`` with no bundle heating."""

    parent: tuple[int, ...]
    ohms: tuple[float, ...]
    volts: float
    bundled: tuple[Bundled, ...]


@frozen
class Circuit:
    """A job's trees with all their numbers: those of one corner of the design, or of a site.

    ``draws`` are the watts of each box of itself, ``efficiency`` that of each box that makes
    new volts.
    """

    job: Job
    network: Network
    corner: Corner
    trees: tuple[TreeNumbers, ...]
    draws: Mapping[str, float]
    efficiency: Mapping[str, float]


def wire(job: Job, network: Network, corner: Corner) -> Circuit:
    """The numbers of all trees at a corner of their volts."""
    return Circuit(
        job,
        network,
        corner,
        tuple(_numbers(job, tree, corner) for tree in network.trees),
        {box.id: draw(box).at(OPPOSITE[corner]) for box in job.boxes.values()},
        {b.id: b.sheet.efficiency.at(corner) for b in job.boxes.values() if b.sheet.regenerates},
    )


def _numbers(job: Job, tree: Tree, volts: Corner) -> TreeNumbers:
    sheet = tree.box.sheet
    return TreeNumbers(
        tuple(node.parent for node in tree.nodes),
        tuple(edge_ohms(job, node, sheet, volts) for node in tree.nodes),
        feed_volts(sheet).at(volts),
        tuple(
            _bundled(job, i, node, node.via, OPPOSITE[volts])
            for i, node in enumerate(tree.nodes)
            if isinstance(node.via, Span) and node.via.bundle and node.via.length_m.low > 0
        ),
    )


def _bundled(job: Job, index: int, node: Node, span: Span, corner: Corner) -> Bundled:
    factor = loop_factor(node.loop_pairs)
    cold, warm = (wire_ohms(job, span, corner, rise) * factor for rise in (0.0, 1.0))
    return Bundled(index, span, span.length_m.at(corner), cold, warm - cold)
