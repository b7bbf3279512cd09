"""Job to electrical network: which point hangs on which, over how many pairs.

Only the shape; the numbers are in ``circuit``. A tree starts at a feed: a source, an
injector's out, or each out of a regenerating box.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from functools import cached_property

from attrs import evolve, field, frozen

from engine.job import Box, Job, Point, Span


@frozen
class Standing:
    """What stands in place of the plan while a reading is taken (the entry's ``with``).

    ``off`` boxes draw nothing; ``known`` ones draw exactly these watts; ``beyond`` is
    the point behind which everything is unplugged.
    """

    off: frozenset[str] = frozenset()
    known: Mapping[str, float] = field(factory=dict)
    beyond: Point | None = None

    @cached_property
    def key(self) -> Hashable:
        """The same for the same things standing there; can be looked up by."""
        return self.off, tuple(sorted(self.known.items())), self.beyond

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
    section: int = 0
    """the first node of that section"""


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

    def node(self, point: Point | None) -> Node | None:
        """The node of a point, or None where no feed reaches."""
        place = self.where.get(point) if point is not None else None
        return self.trees[place[0]].nodes[place[1]] if place else None

    def upstream_port(self, box: str) -> Point | None:
        """The port of a box that power reaches first."""
        return next((point for point in self.where if point.box == box), None)

    def way_to(self, point: Point | None) -> Iterator[Point]:
        """A point and all in front of it, back to the first feed; nothing where no power comes."""
        place = self.where.get(point) if point is not None else None
        while place is not None:
            tree, i = self.trees[place[0]], place[1]
            while i >= 0:
                yield tree.nodes[i].point
                i = tree.nodes[i].parent
            # a box that makes its own volts is fed in turn
            above = self.upstream_port(tree.box.id)
            place = self.where.get(above) if above is not None and above != tree.feed else None


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

    def _enter(
        self,
        nodes: list[Node],
        here: int,
        span: Span,
        point: Point,
        pairs: int,
        feed: Point,
        later: list[tuple[Point, Box, int]],
    ) -> list[int]:
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
    section = list(range(len(nodes)))
    for i in range(1, len(nodes)):
        above = nodes[i].parent
        if not (joined[i] or joined[above]):
            section[i] = section[above]
    for i in range(len(nodes) - 1, 0, -1):
        above = nodes[i].parent
        if section[i] == section[above]:
            carries[above] = min(carries[above], carries[i])
    return tuple(
        evolve(node, loop_pairs=count, section=first)
        for node, count, first in zip(nodes, carries, section, strict=True)
    )
