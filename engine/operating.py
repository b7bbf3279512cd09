"""A whole job solved at one corner of the design: volts and amps at every powered point.

Trees behind a regenerating box come first: what they draw is a load of the tree in front.
A span in a bundle warms itself, which raises its ohms, which raises its amps: the rise is
followed to its fixed point. It starts at none and only climbs, so a tree that cannot be held
on the way cannot be held at the end either.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import field, frozen

from engine.band import Corner
from engine.circuit import Circuit, swing_factor, wire
from engine.job import Box, Job, Point
from engine.network import AS_PLANNED, Network, Standing, Tree
from engine.sweeps import Collapsed, Solved, solve

RISE_KELVIN = 1e-7
"""a bundle that warms by less in a round is settled"""
MOST_ROUNDS = 200


@frozen
class Conditions:
    """At which corner of the design, under how much load, with what standing in place.

    ``idle`` boxes are plugged in but draw nothing of themselves, as before they start;
    ``cut`` feeds give nothing, because their port has let go.
    """

    volts: Corner = "expected"
    load_share: float = 1.0
    extra_watts: Mapping[str, float] = field(factory=dict)
    swing: bool = False
    standing: Standing = AS_PLANNED
    hold_cutoffs: bool = True
    idle: frozenset[str] = frozenset()
    cut: frozenset[Point] = frozenset()


EXPECTED = Conditions()


@frozen
class Flow:
    """What one point carries: volts, loop amps and watts towards the endpoints."""

    volts: float
    amps: float

    @property
    def watts(self) -> float:
        """Power that passes the point. [W]"""
        return self.volts * self.amps


@frozen
class Operating:
    """A job solved once: the flow at each powered point, and the trees that did not hold."""

    flows: Mapping[Point, Flow]
    failed: tuple[tuple[Tree, Collapsed], ...]
    off: tuple[Tree, ...]
    """trees whose feed has no power: the tree in front of them failed, or the port let go"""
    rises: Mapping[str, float] = field(factory=dict)
    """spans in a bundle, and what it adds to their temperature. [K]"""

    @property
    def holds(self) -> bool:
        """Every tree has an operating point with every box at or above its cut-off."""
        return not self.failed


def operate(job: Job, network: Network, conditions: Conditions = EXPECTED) -> Operating:
    """Solve all trees of a job, those behind a regenerating box first."""
    return run(wire(job, network, conditions.volts), conditions)


def run(circuit: Circuit, conditions: Conditions) -> Operating:
    """Solve a circuit whose numbers are ready; its corner must be that of the conditions."""
    watts_of = _Watts(circuit, conditions)
    rises: dict[str, float] = {}
    solutions = _solutions(circuit, conditions, watts_of, rises)
    return _gather(circuit.network, solutions, rises, watts_of)


def holds(circuit: Circuit, conditions: Conditions) -> bool:
    """Whether every tree has an operating point with every box at or above its cut-off."""
    watts_of = _Watts(circuit, conditions)
    found = _solutions(circuit, conditions, watts_of, {})
    return all(isinstance(solution, Solved) for solution in found.values())


def _solutions(
    circuit: Circuit, conditions: Conditions, watts_of: _Watts, rises: dict[str, float]
) -> dict[int, Solved | Collapsed]:
    """Each tree's solution by its place, and in ``rises`` how far its bundles warmed."""
    solutions: dict[int, Solved | Collapsed] = {}
    passed_on: dict[str, float] = {}
    trees = circuit.network.trees
    for index in range(len(trees) - 1, -1, -1):
        tree = trees[index]
        loads, cutoff = _loads(tree, conditions, watts_of, passed_on)
        solutions[index] = solution = _settle(circuit, index, loads, cutoff, rises)
        if not tree.box.sheet.regenerates or tree.feed in conditions.cut:
            continue
        if isinstance(solution, Solved):
            power = solution.volts[0] * solution.amps[0]
            passed_on[tree.box.id] = passed_on.get(tree.box.id, 0.0) + power
    return solutions


def _loads(
    tree: Tree, conditions: Conditions, watts_of: _Watts, passed_on: Mapping[str, float]
) -> tuple[list[float], list[float]]:
    """Watts drawn at each node of a tree, and the volts below which its box stops."""
    loads, cutoff = [], []
    for node in tree.nodes:
        box = node.load
        own = watts_of.own(box, node.point) if box else 0.0
        if box and box.sheet.regenerates and watts_of.stands(box, node.point):
            own = (own + passed_on.get(box.id, 0.0)) / watts_of.circuit.efficiency[box.id]
        loads.append(own)
        cutoff.append(box.sheet.cutoff_volts if box and own and conditions.hold_cutoffs else 0.0)
    return loads, cutoff


def _settle(
    circuit: Circuit,
    index: int,
    loads: Sequence[float],
    cutoff: Sequence[float],
    rises: dict[str, float],
) -> Solved | Collapsed:
    """Solve one tree, following what its bundles add to its ohms to the fixed point."""
    numbers = circuit.trees[index]
    solution = solve(numbers.parent, numbers.ohms, loads, numbers.volts, cutoff)
    if not numbers.bundled:
        return solution
    ohms = list(numbers.ohms)
    known = [0.0] * len(numbers.bundled)
    for _ in range(MOST_ROUNDS):
        if isinstance(solution, Collapsed):
            return solution
        found = [
            one.rise(solution.amps[one.node], rise)
            for one, rise in zip(numbers.bundled, known, strict=True)
        ]
        moved = max(abs(new - old) for new, old in zip(found, known, strict=True))
        known = found
        for one, rise in zip(numbers.bundled, known, strict=True):
            ohms[one.node] = numbers.ohms[one.node] + one.ohms_per_kelvin * rise
            rises[one.span.id] = rise
        solution = solve(numbers.parent, ohms, loads, numbers.volts, cutoff)
        if moved < RISE_KELVIN:
            return solution
    return Collapsed(numbers.bundled[0].node, 0.0)


class _Watts:
    """Watts drawn at the nodes of a tree under given conditions."""

    def __init__(self, circuit: Circuit, conditions: Conditions) -> None:
        self.circuit = circuit
        self.conditions = conditions
        self.silent = _silent(circuit.network, conditions)

    def own(self, box: Box, point: Point) -> float:
        """What a box draws for itself, or what stands in its place."""
        given = self.conditions
        standing = given.standing
        if point in self.silent or box.id in standing.off or box.id in given.idle:
            return 0.0
        if box.id in standing.known:
            return standing.known[box.id]
        watts = self.circuit.draws[box.id]
        if given.swing:
            watts *= swing_factor(box, given.volts)
        return watts * given.load_share + given.extra_watts.get(box.id, 0.0)

    def stands(self, box: Box, point: Point) -> bool:
        """Whether the box itself is plugged in and running, and nothing in its place."""
        given = self.conditions
        gone = given.standing.off | set(given.standing.known) | given.idle
        return point not in self.silent and box.id not in gone


def _silent(network: Network, conditions: Conditions) -> frozenset[Point]:
    """Points whose boxes draw nothing, because a feed is cut or a box in front is unplugged.

    Behind a box that is off, or that a known load stands in for, nothing is plugged in.
    Behind ``beyond`` nothing is either; at an ``in`` the box itself is off too, at an
    ``out`` it is on.
    """
    standing = conditions.standing
    if standing.as_planned and not conditions.cut and not conditions.idle:
        return frozenset()
    gone = standing.off | set(standing.known)
    silent: set[Point] = set()
    for tree in network.trees:
        box = tree.box
        behind: set[int] = set()
        not_running = box.id in gone | conditions.idle or Point(box.id, "in") in silent
        if tree.feed in conditions.cut or (box.sheet.regenerates and not_running):
            behind.add(0)
        for i, node in enumerate(tree.nodes):
            if node.parent in behind or node.point == standing.beyond:
                behind.add(i)
            if i in behind:
                silent.add(node.point)
            elif node.load is not None and node.load.id in gone:
                behind.add(i)
    return frozenset(silent)


def _gather(
    network: Network,
    solutions: Mapping[int, Solved | Collapsed],
    rises: Mapping[str, float],
    watts_of: _Watts,
) -> Operating:
    flows: dict[Point, Flow] = {}
    failed, off = [], []
    for index, tree in enumerate(network.trees):
        solution = solutions[index]
        entry = Point(tree.box.id, "in")
        if tree.feed in watts_of.conditions.cut or (
            tree.box.sheet.regenerates
            and (entry not in flows or not watts_of.stands(tree.box, entry))
        ):
            off.append(tree)
        elif isinstance(solution, Collapsed):
            failed.append((tree, solution))
        else:
            for node, volts, amps in zip(tree.nodes, solution.volts, solution.amps, strict=True):
                flows[node.point] = Flow(volts, amps)
    return Operating(flows, tuple(failed), tuple(off), rises)
