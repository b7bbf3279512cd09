"""What happens on a site with a fault, at one moment: what each point carries, and what comes and
goes.

The network is solved as everywhere (``operating.run``, ``states.settle``). On top stands what a
band cannot show: a wire that ends somewhere, a port that looks for a box in vain, a box or a
port that comes and goes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from attrs import evolve, field, frozen

from engine.circuit import Circuit
from engine.job import Point
from engine.limits import FeedLimit, together
from engine.network import Network, Standing, Tree
from engine.operating import Conditions, Flow, Operating, run
from engine.standards.startup import keep_alive_amps
from engine.states import settle, starving

HALVINGS = 24
NOTHING = Flow(0.0, 0.0)


@frozen
class Trouble:
    """What is not as it should be with power: ``broken`` points have lost the wire before them,
    ``cut`` feeds give nothing, ``refusing`` ones find no box, ``tripping`` ones and ``restless``
    boxes come and go, ``idle`` boxes draw nothing. What feeds a ``shorted`` point folds back for
    as long as metal leads there."""

    broken: frozenset[Point] = frozenset()
    cut: frozenset[Point] = frozenset()
    refusing: frozenset[Point] = frozenset()
    tripping: frozenset[Point] = frozenset()
    restless: frozenset[str] = frozenset()
    idle: frozenset[str] = frozenset()
    shorted: frozenset[Point] = frozenset()


@frozen
class Happening:
    """One moment: what each point carries, or the two states between which it moves."""

    off: Mapping[Point, Flow]
    on: Mapping[Point, Flow]
    searching: frozenset[Point]
    """points behind a port that looks for a box: no steady volts"""
    asleep: frozenset[str]
    """boxes that have no power, or will not run"""
    unsteady: frozenset[str]
    """boxes that come and go"""

    def flow(self, point: Point, at: float = 0.0) -> Flow:
        """What a point carries, a share ``at`` of the way between its two states."""
        off, on = self.off.get(point, NOTHING), self.on.get(point, NOTHING)
        return Flow(
            off.volts + at * (on.volts - off.volts),
            off.amps + at * (on.amps - off.amps),
        )


@frozen
class Wiring:
    """A site's network as it truly is."""

    network: Network
    limits: Mapping[Point, FeedLimit]
    trouble: Trouble = field(factory=Trouble)

    def happening(self, circuit: Circuit, standing: Standing) -> Happening:
        """What happens with these numbers and these things standing there."""
        dark = self.dark(standing)
        asleep = self.trouble.idle | self.loads(dark)
        given = Conditions(standing=standing, idle=asleep, cut=self.cut(dark))
        found = _Settled(self, circuit, given)
        off, on = found.states()

        def lit(flows: Mapping[Point, Flow]) -> dict[Point, Flow]:
            return {p: flow for p, flow in flows.items() if p not in dark}

        gone = frozenset(
            node.load.id
            for tree in self.network.trees
            for node in tree.nodes
            if node.load and (node.point not in on or node.point in dark)
        )
        return Happening(
            lit(off),
            lit(on),
            found.searching - dark,
            found.given.idle - found.unsteady | gone | standing.off | set(standing.known),
            found.unsteady,
        )

    def cut(self, dark: frozenset[Point]) -> frozenset[Point]:
        """Feeds that give nothing, while these points are off their wire."""
        trees, where = self.network.trees, self.network.where
        folded = (
            together(trees[where[point][0]].feed, self.limits)
            for point in self.trouble.shorted - dark
        )
        return self.trouble.cut.union(*folded)

    def dark(self, standing: Standing) -> frozenset[Point]:
        """Points that no metal joins to a feed, whatever the feed gives."""
        dark: set[Point] = set()
        gone = standing.off | set(standing.known)
        for tree in self.network.trees:
            if tree.feed in self.trouble.broken:
                dark.add(tree.feed)
            if tree.box.sheet.regenerates and Point(tree.box.id, "in") in dark:
                dark.add(tree.feed)
            for node in tree.nodes:
                above = tree.nodes[node.parent] if node.parent >= 0 else None
                if node.point in self.trouble.broken or (
                    above
                    and (
                        above.point in dark
                        or above.point == standing.beyond
                        or (above.load is not None and above.load.id in gone)
                    )
                ):
                    dark.add(node.point)
        return frozenset(dark)

    def loads(self, points: Iterable[Point]) -> frozenset[str]:
        """Boxes that draw at these points."""
        nodes = (self.network.node(point) for point in points)
        return frozenset(node.load.id for node in nodes if node and node.load)


class _Settled:
    """Conditions under which everything that will not run has been taken out."""

    def __init__(self, wiring: Wiring, circuit: Circuit, given: Conditions) -> None:
        self.wiring, self.circuit, self.given = wiring, circuit, given
        self.before = given
        """with the boxes in that come and go, and the ports that let go still holding"""
        self.unsteady: frozenset[str] = wiring.trouble.restless
        self.searching: frozenset[Point] = frozenset()
        trouble = wiring.trouble
        self.given = evolve(
            given,
            idle=given.idle | self._behind_boxes(trouble.restless),
            cut=given.cut | trouble.tripping,
        )
        for feed in trouble.refusing:
            self._lets_go(wiring.network.trees[wiring.network.where[feed][0]])
        self.operating, self.cut = self._settle()

    def _settle(self) -> tuple[Operating, frozenset[Point]]:
        """Take out what starves and what a port lets go of, until the rest holds."""
        while True:
            operating, cut = settle(self.circuit, self.wiring.limits, self.given)
            if operating.failed:
                for tree, failure in operating.failed:
                    self._starve(tree, failure.node)
                continue
            searching = self._too_little(operating, cut)
            if searching is None:
                return operating, cut
            self._lets_go(searching)

    def _starve(self, tree: Tree, start: int) -> None:
        """A box that cannot be held comes and goes, or never starts; so does all behind it."""
        at = self._nearest_its_cutoff(tree)
        at = starving(tree, start) if at is None else at
        boxes = self._at_and_behind(tree, at)
        if boxes <= self.given.idle:
            boxes = self._at_and_behind(tree, 0)
        self.given = evolve(self.given, idle=self.given.idle | boxes)
        load = tree.nodes[at].load
        unloaded = run(self.circuit, evolve(self.given, hold_cutoffs=False))
        flow = unloaded.flows.get(tree.nodes[at].point)
        if load and flow and flow.volts >= load.sheet.on_volts:
            self.unsteady |= boxes
        else:
            self.before = evolve(self.before, idle=self.before.idle | boxes)

    def _nearest_its_cutoff(self, tree: Tree) -> int | None:
        """The node of the box that drops first as the load comes up; None where none can run."""
        low, high, held = 0.0, 1.0, None
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            trial = run(self.circuit, evolve(self.given, load_share=middle))
            if any(failed is tree for failed, _ in trial.failed):
                high = middle
            else:
                low, held = middle, trial
        if held is None:
            return None
        margins = [
            (held.flows[node.point].volts - node.load.sheet.cutoff_volts, i)
            for i, node in enumerate(tree.nodes)
            if node.load and node.load.id not in self.given.idle and node.point in held.flows
        ]
        return min(margins)[1] if margins else None

    def _too_little(self, operating: Operating, cut: frozenset[Point]) -> Tree | None:
        """The first tree whose port would see too little current to stay on.

        A box that comes and goes is back before its port lets go.
        """
        for tree in self.wiring.network.trees:
            limit = self.wiring.limits[tree.feed]
            flow = operating.flows.get(tree.feed)
            if flow is None or not limit.probes or tree.feed in cut | self.searching:
                continue
            if self._at_and_behind(tree, 0) & self.unsteady:
                continue
            if flow.amps < keep_alive_amps(limit.asks_class):
                return tree
        return None

    def _lets_go(self, tree: Tree) -> None:
        """A port that looks for a box gives nothing that any box could run on."""
        boxes = self._at_and_behind(tree, 0)
        self.searching |= {node.point for node in tree.nodes}
        self.given = evolve(self.given, idle=self.given.idle | boxes)
        self.before = evolve(self.before, idle=self.before.idle | boxes)
        self.unsteady -= boxes

    def _at_and_behind(self, tree: Tree, start: int) -> frozenset[str]:
        """Boxes at a node of a tree and behind it, on into trees of boxes that make new volts."""
        inside, boxes = {start}, set()
        for i, node in enumerate(tree.nodes):
            if node.parent in inside:
                inside.add(i)
            if i in inside and node.load:
                boxes.add(node.load.id)
        out = set(boxes)
        for other in self.wiring.network.trees:
            if other.box.id in boxes and other.box.sheet.regenerates:
                out |= self._at_and_behind(other, 0)
        return frozenset(out)

    def _behind_boxes(self, boxes: frozenset[str]) -> frozenset[str]:
        out: set[str] = set()
        for tree in self.wiring.network.trees:
            for i, node in enumerate(tree.nodes):
                if node.load and node.load.id in boxes:
                    out |= self._at_and_behind(tree, i)
        return frozenset(out)

    def states(self) -> tuple[Mapping[Point, Flow], Mapping[Point, Flow]]:
        """What flows with everything that comes and goes off, and with it on."""
        off = self.operating.flows
        let_go = self.cut - self.before.cut
        if let_go:
            trees = self.wiring.network.trees
            feeds = {one for feed in let_go for one in together(feed, self.wiring.limits)}
            mine = [tree for tree in trees if tree.feed in feeds]
            for tree in mine:
                self.unsteady |= self._at_and_behind(tree, 0) - self.before.idle
        if not self.unsteady:
            return off, off
        return off, self._just_holding().flows

    def _just_holding(self) -> Operating:
        """The last moment before what comes and goes is lost: as much of it as can be held."""
        trial = run(self._with(1.0), self.before)
        if trial.holds:
            return trial
        low, high, held = 0.0, 1.0, self.operating
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            trial = run(self._with(middle), self.before)
            if trial.holds:
                low, held = middle, trial
            else:
                high = middle
        return held

    def _with(self, part: float) -> Circuit:
        """The circuit with a share of the watts of what comes and goes."""
        draws = self.circuit.draws
        scaled = {box: draws[box] * part for box in self.unsteady if box in draws}
        return evolve(self.circuit, draws={**draws, **scaled})
