"""Job to electrical network: which point hangs on which, by what ohms, under what load.

The shape (``Tree``) is separate from the numbers, which are taken at a corner of the
design: ``low``, ``expected`` or ``high`` volts. A tree starts at a feed: a source, an
injector's out, or each out of a regenerating box.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import evolve, field, frozen

from engine.band import Corner
from engine.defaults import DEFAULTS
from engine.job import Box, BoxSheet, CableSheet, Job, Point, Span
from engine.standards import conductors

OPPOSITE: dict[Corner, Corner] = {"low": "high", "expected": "expected", "high": "low"}
"""the ohms and watts that go with low volts are the high ones"""


@frozen
class Standing:
    """What stands in place of the plan while a reading is taken (the entry's ``with``).

    ``off`` boxes draw nothing; ``known`` ones draw exactly these watts; ``beyond`` is
    the point behind which everything is unplugged.
    """

    off: frozenset[str] = frozenset()
    known: Mapping[str, float] = field(factory=dict)
    beyond: Point | None = None

    @property
    def as_planned(self) -> bool:
        """Nothing was changed for the reading."""
        return not (self.off or self.known or self.beyond)


AS_PLANNED = Standing()


@frozen
class Node:
    """A point of a tree; ``via`` is the span or the box between it and its parent."""

    point: Point
    parent: int
    via: Span | Box | None
    pairs: int
    """the fewest along the path since the feed: what is in force here"""
    load: Box | None = None
    """the box whose watts are drawn here"""
    loop_pairs: int = 0
    """pairs that carry current between here and the parent: the fewest of the whole section
    between two places where the pair sets are joined"""


@frozen
class Tree:
    """The points that one feed reaches, parents first; ``nodes[0]`` is the feed itself."""

    feed: Point
    box: Box
    nodes: tuple[Node, ...]


@frozen
class Network:
    """All trees of a job, upstream ones first, and what the wiring breaks."""

    trees: tuple[Tree, ...]
    unfed: tuple[str, ...]
    """boxes that need power and get none"""
    twice: tuple[tuple[str, Point, Point], ...]
    """a box, and the two feeds that reach it"""

    where: Mapping[Point, tuple[int, int]] = field(init=False, eq=False, repr=False)
    """the place of a point: which tree, which node"""

    @where.default
    def _index_of_points(self) -> Mapping[Point, tuple[int, int]]:
        return {
            node.point: (t, i)
            for t, tree in enumerate(self.trees)
            for i, node in enumerate(tree.nodes)
        }

    def node(self, point: Point) -> Node | None:
        """The node of a point, or None where no feed reaches."""
        place = self.where.get(point)
        return self.trees[place[0]].nodes[place[1]] if place else None

    def upstream_port(self, box: str) -> Point | None:
        """The port of a box that power reaches first."""
        return next((point for point in self.where if point.box == box), None)


def build(job: Job) -> Network:
    """The network of a job. Loops are refused by the file's reader, so every run ends."""
    builder = _Builder(job)
    # sources first, then by id: the order in which a file is written changes nothing
    for box in sorted(job.boxes.values(), key=lambda box: (box.kind != "source", box.id)):
        if box.sheet.facts.feeds:
            builder.grow(Point(box.id, box.sheet.facts.feeds), box, 4)
    reached = {node.point.box for tree in builder.trees for node in tree.nodes if node.load}
    needs = [b.id for b in job.boxes.values() if b.sheet.facts.active and b.kind != "source"]
    return Network(
        tuple(builder.trees),
        tuple(box for box in needs if box not in reached),
        tuple(builder.twice),
    )


class _Builder:
    """Grows trees from feeds; a point that two feeds reach belongs to the first."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.trees: list[Tree] = []
        self.twice: list[tuple[str, Point, Point]] = []
        self.owner: dict[Point, Point] = {}

    def grow(self, feed: Point, box: Box, arriving: int) -> None:
        if feed in self.owner:
            self._clash(box.id, self.owner[feed], feed)
            return
        pairs = min(box.pairs_carried, box.sheet.pairs_out or arriving)
        slot = len(self.trees)
        self.trees.append(Tree(feed, box, ()))
        nodes = [Node(feed, -1, None, pairs)]
        self.owner[feed] = feed
        later: list[tuple[Point, Box, int]] = []
        stack = [0]
        while stack:
            here = stack.pop()
            span = self.job.span_at(nodes[here].point)
            if span is None:
                continue
            point = span.far(nodes[here].point)
            if point in self.owner:
                self._clash(point.box, self.owner[point], feed)
                continue
            arrives = min(nodes[here].pairs, span.pairs_carried)
            stack.extend(reversed(self._enter(nodes, here, span, point, arrives, feed, later)))
        self.trees[slot] = Tree(feed, box, _sections(nodes))
        for out, owner, count in later:
            self.grow(out, owner, count)

    def _enter(self, nodes, here, span, point, pairs, feed, later) -> list[int]:
        """Add the port that a span leads to, and the ports behind it; give those to walk on."""
        box = self.job.boxes[point.box]
        facts = box.sheet.facts
        takes = facts.active and box.kind != "source"
        dead_end = box.sheet.regenerates and point.port != "in"
        nodes.append(Node(point, here, span, pairs, box if takes and not dead_end else None))
        self.owner[point] = feed
        entry = len(nodes) - 1
        if facts.feeds == point.port:
            self._clash(box.id, feed, point)
        if dead_end or not facts.passes_power:
            return []
        others = [Point(box.id, port) for port in self.job.ports(box) if port != point.port]
        if box.sheet.regenerates:
            later.extend((out, box, pairs) for out in others)
            return []
        onward = []
        for out in others:
            if out in self.owner:
                self._clash(box.id, self.owner[out], feed)
                continue
            nodes.append(Node(out, entry, box, min(pairs, box.pairs_carried)))
            self.owner[out] = feed
            onward.append(len(nodes) - 1)
        return onward

    def _clash(self, box: str, first: Point, second: Point) -> None:
        if first != second and not any({first, second} == {a, b} for _, a, b in self.twice):
            self.twice.append((box, first, second))


def _sections(nodes: list[Node]) -> tuple[Node, ...]:
    """Nodes with the pairs that carry current up to each.

    A set that is missing anywhere between two joining places carries nothing on the whole
    way between them, so every span there has the ohms of what is left.
    """
    carries = [node.pairs for node in nodes]
    joined = [isinstance(node.via, Box) and node.via.joins for node in nodes]
    for i in range(len(nodes) - 1, 0, -1):
        above = nodes[i].parent
        if not (joined[i] or joined[above]):
            carries[above] = min(carries[above], carries[i])
    return tuple(evolve(node, loop_pairs=count) for node, count in zip(nodes, carries, strict=True))


# ---------------------------------------------------------------- numbers at a corner


def conductor_ohms_per_km(cable: CableSheet, corner: Corner) -> float:
    """One conductor at 20 °C: the sheet's ohms win over those worked out from the gauge."""
    if cable.ohms_per_km is not None:
        return cable.ohms_per_km.at(corner)
    return conductors.ohms_per_km(
        cable.awg if cable.awg is not None else int(DEFAULTS["gauge"].value),
        cable.material,
        copper_percent=cable.copper_percent or DEFAULTS["copper-share"].value,
        stranded=cable.stranded,
    )


def conductor_celsius(job: Job, span: Span, corner: Corner) -> float:
    """Temperature of the conductors of a span: its own, else indoors, else the site's. [°C]"""
    if span.ambient_c is not None:
        return span.ambient_c.at(corner)
    indoors = span.route == "indoor" or (span.route is None and span.indoor is True)
    if indoors and job.site.indoor_c is not None:
        return job.site.indoor_c.at(corner)
    return job.site.ambient_c.at(corner)


def loop_factor(pairs: int) -> float:
    """Loop ohms from the ohms of one conductor: whole on two pairs, half on four.

    Two conductors in parallel go out and two come back; with four pairs, four and four.
    """
    return 2 / pairs


def span_ohms(job: Job, span: Span, pairs: int, corner: Corner) -> float:
    """Loop resistance of a span with its two ends. [ohm]"""
    alpha = span.cable.alpha_per_k
    one = conductors.at_temperature(
        conductor_ohms_per_km(span.cable, corner) / 1000 * span.length_m.at(corner),
        conductor_celsius(job, span, corner),
        alpha if alpha is not None else conductors.alpha20(span.cable.material),
    )
    return one * loop_factor(pairs) + span.end_ohms.at(corner)


def edge_ohms(job: Job, node: Node, feed: BoxSheet, volts: Corner) -> float:
    """Loop ohms between a node and its parent; at the feed, its droop. [ohm]"""
    corner = OPPOSITE[volts]
    if node.via is None:
        return feed.ohms.at(corner)
    if isinstance(node.via, Span):
        return span_ohms(job, node.via, node.loop_pairs, corner)
    return node.via.sheet.ohms_per_conductor.at(corner) * loop_factor(node.loop_pairs)


def feed_volts(sheet: BoxSheet, volts: Corner) -> float:
    """Volts that a feed puts on its pairs: a source's own, or a regenerating box's new ones."""
    band = sheet.out_volts if sheet.regenerates else sheet.volts
    return band.at(volts)


def box_watts(box: Box, volts: Corner, *, swing: bool = False) -> float:
    """Watts that a box draws of itself at this corner. [W]

    ``swing`` adds what an endpoint moves by from moment to moment; the bands of the
    prediction leave it out, the check of a reading has it in.
    """
    corner = OPPOSITE[volts]
    if box.kind != "endpoint":
        return box.sheet.own_watts.at(corner)
    watts = box.sheet.watts.at(corner)
    share = box.sheet.watts_swing_percent / 100 if swing else 0.0
    return watts * {"low": 1 + share, "expected": 1.0, "high": 1 - share}[volts]
