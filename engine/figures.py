"""What a reading would show at given values of a site's unknowns, and how it moves with them."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from copy import copy
from math import inf

from attrs import evolve, frozen

from engine.circuit import Circuit
from engine.job import Box, Job, Point, Span
from engine.limits import FeedLimit
from engine.log import Reading
from engine.network import AS_PLANNED, Network, Standing
from engine.operating import Conditions, Operating
from engine.say import Say, say
from engine.sensitivity import Linear, linear
from engine.states import settle
from engine.unknowns import Key, Site, Slope

FLOW_KINDS = ("volts", "milliamps", "watts")
"""kinds that follow from the operating point, in the order they are judged at a point"""
STEADY_KINDS = ("loop_ohms", "metres", "celsius")
"""kinds that follow from the unknowns alone, the run switched off or not"""

Values = Mapping[Key, float]
Edges = dict[Key, list[tuple[int, float]]]
"""the places of the edges whose ohms move with a quantity, and by how much they do"""


@frozen
class Asked:
    """A reading that was or might be taken: where, of what, under which circumstances.

    Without a ``meter`` it is what is there, not what a meter shows.
    """

    at: str
    kind: str
    standing: Standing = AS_PLANNED
    meter: str | None = None
    moment: str = ""
    visit: int = 0
    unsteady: tuple[float, float] | None = None
    celsius: float | None = None
    one_pair: bool = False
    """of loop ohms: one pair stands for all, whose ohms differ by their lay"""

    @classmethod
    def by(cls, reading: Reading) -> Asked:
        """What a reading answers."""
        return cls(
            reading.at,
            reading.kind,
            reading.standing,
            reading.meter or "",
            reading.moment,
            reading.visit,
            reading.unsteady,
            reading.celsius,
            reading.kind == "loop_ohms" and reading.pairs is None,
        )


@frozen
class Figure:
    """What a reading shows, how it moves with each quantity, and with an ohm in front of it.

    ``bends``: the move for which the second term of its series has grown to the first; far
    less than that and a straight line will do.
    """

    value: float
    slope: Slope
    per_ohm: float | None = None
    bends: float = inf


class Figures:
    """A site to be asked what any reading would show."""

    def __init__(self, job: Job, network: Network, limits: Mapping[Point, FeedLimit]) -> None:
        self.job = job
        self.limits = limits
        self.site = Site(job, network)
        self._last: tuple[Values, Hashable, _Run] | None = None

    def on(self, site: Site) -> Figures:
        """The same questions to another site of this wiring."""
        other = copy(self)
        other.site, other._last = site, None
        return other

    def metered(self, job: Job) -> Figures:
        """The same site asked with the meters of ``job``, the same plan otherwise."""
        other = copy(self)
        other.job = job
        return other

    def at(self, values: Values, asked: Asked, *, slopes: bool = True) -> Figure | Say:
        """What a reading would show at these values, or why there is nothing steady."""
        if asked.kind in FLOW_KINDS:
            return self._flow(values, asked, slopes)
        if asked.kind == "celsius" and asked.at in self.job.stops:
            key = self.site.air(indoor=self.job.stops[asked.at].indoor)
            return Figure(values[key], {key: 1.0})
        wire = self.site.loops.get(asked.at)
        if wire is None or asked.kind not in STEADY_KINDS:
            return say("no-band-not-judged", at=asked.at, kind=asked.kind)
        if asked.kind == "metres":
            return Figure(values[wire.length], {wire.length: 1.0})
        if asked.celsius is None:
            ohms, slope, _ = wire.at(values)
            return Figure(ohms, slope, 1.0)
        ohms, slope, _ = wire.at({**values, **wire.at_celsius(asked.celsius)})
        return Figure(ohms, {key: by for key, by in slope.items() if key not in wire.warm}, 1.0)

    def _flow(self, values: Values, asked: Asked, slopes: bool) -> Figure | Say:
        point = Point.parse(asked.at)
        place = self.site.network.where.get(point)
        if place is None:
            return say("no-band-unpowered", at=asked.at)
        standing = asked.standing
        if standing.beyond is not None:
            standing = evolve(standing, beyond=point)
        run = self._run(values, standing)
        flow = run.operating.flows.get(point)
        if flow is None:
            return say("no-band-collapse", at=asked.at)
        value, per_volt, per_amp = {
            "volts": (flow.volts, 1.0, 0.0),
            "milliamps": (1000 * flow.amps, 0.0, 1000.0),
            "watts": (flow.watts, flow.amps, flow.volts),
        }[asked.kind]
        if not slopes:
            return Figure(value, {})
        walk = _Walk(run)
        per_ohm = walk.add(*place, per_volt, per_amp, 1.0)
        share = 1.0 if asked.kind == "volts" else value / walk.drop if walk.drop else inf
        return Figure(value, walk.slope, per_ohm, walk.bends * share)

    def _run(self, values: Values, standing: Standing) -> _Run:
        """The site at these values; the last one is at hand, for readings come in company."""
        if self._last is None or self._last[:2] != (values, standing.key):
            circuit = self.site.circuit(values)
            operating = self._operating(circuit, standing)
            self._last = (
                values,
                standing.key,
                _Run(self.site, circuit, operating, values, standing),
            )
        return self._last[2]

    def _operating(self, circuit: Circuit, standing: Standing) -> Operating:
        """What flows with these things standing there."""
        return settle(circuit, self.limits, Conditions(standing=standing))[0]


class _Run:
    """A site solved once; how each of its trees moves is worked out when it is first asked."""

    def __init__(
        self,
        site: Site,
        circuit: Circuit,
        operating: Operating,
        values: Values,
        standing: Standing,
    ) -> None:
        self.site, self.circuit, self.operating = site, circuit, operating
        self.values, self.standing = values, standing
        self._lines: dict[int, tuple[Linear, Edges, float]] = {}

    def line(self, tree: int) -> tuple[Linear, Edges, float]:
        """A tree made linear, how the ohms of its edges move with the unknowns, its least volts."""
        if tree not in self._lines:
            here = self.site.network.trees[tree]
            line = linear(here, self.circuit.trees[tree], self.operating)
            edges: Edges = {}
            for i, slope in enumerate(self.site.edge_slopes(tree, self.values)):
                for key, ohms in slope.items():
                    edges.setdefault(key, []).append((i, ohms))
            self._lines[tree] = (line, edges, min(line.volts))
        return self._lines[tree]


class _Walk:
    """Gathers how a figure moves with every quantity, on into trees behind regenerating boxes."""

    def __init__(self, run: _Run) -> None:
        self.run, self.site, self.values = run, run.site, run.values
        self.slope: Slope = {}
        self.bends, self.drop = inf, 0.0
        """of the volts: of one load behind one wire, V x pivot (from V² - Vs V + R P = 0)"""

    def add(
        self, tree: int, at: int, per_volt: float, per_amp: float, share: float
    ) -> float | None:
        """Add ``share`` x the slopes of a figure at a node of a tree.

        Gives how it moves with an ohm more in the span in front of the node.
        """
        here = self.site.network.trees[tree]
        line, edges, least = self.run.line(tree)
        moves = line.moves(at, per_volt, per_amp)
        self.bends = min(self.bends, least * min(line.pivot))
        self.drop = max(self.drop, self.run.circuit.trees[tree].volts - least)
        self._more(("volts", here.box.id), share * moves.feed)
        slope, shared = self.slope, [share * by for by in moves.ohms]
        for key, places in edges.items():
            by = slope.get(key, 0.0)
            for i, ohms in places:
                by += shared[i] * ohms
            slope[key] = by
        for node, watts, by in zip(here.nodes, line.loads, moves.watts, strict=True):
            if node.load is not None and watts > 0:
                self._load(node.load, watts, share * by)
        while at >= 0 and not isinstance(here.nodes[at].via, Span):
            at = here.nodes[at].parent
        return moves.ohms[at] if at >= 0 else None

    def _more(self, key: Key, by: float) -> None:
        self.slope[key] = self.slope.get(key, 0.0) + by

    def _load(self, box: Box, watts: float, by: float) -> None:
        """What a watt at a box's node comes from: its own, and what hangs on its new volts."""
        if box.id in self.run.standing.known:
            return
        if box.sheet.regenerates:
            efficiency = self.values["efficiency", box.id]
            self._more(("efficiency", box.id), -by * watts / efficiency)
            by /= efficiency
            for index, tree in enumerate(self.site.network.trees):
                flow = self.run.operating.flows.get(tree.feed)
                if tree.box.id == box.id and flow is not None:
                    self.add(index, 0, flow.amps, flow.volts, by)
        swing = self.values.get(("swing", box.id), 0.0)
        self._more(("watts", box.id), by * (1 + swing))
        self._more(("swing", box.id), by * self.values["watts", box.id])
