"""The operating point of a network of constant-power boxes, or a proof that there is none.

A tree fed from a regulated source obeys V_i = V_parent - R_i * I_i, where I_i is the sum
of P_j / V_j over everything behind i. From the feed's volts everywhere, Newton's steps
fall monotonically to the highest solution, the only one that lasts (Taheri & Kekatos,
arXiv 1807.03936; Jeeninga, De Persis & van der Schaft, arXiv 2010.01076). So a voltage
that rises, reaches zero or falls below a box's cut-off proves that nothing runs there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import field, frozen

from engine.band import Corner
from engine.job import Box, Job, Point
from engine.network import AS_PLANNED, Network, Standing, Tree, box_watts, edge_ohms, feed_volts

STEP_VOLTS = 1e-5
"""the step after one this small is below 1e-9 V, since Newton squares it"""
SLACK_VOLTS = 1e-7
"""rounding may lift an iterate by this much; a true rise is far larger"""
MOST_STEPS = 60
BOUNDLESS = 1e6
NOTHING = 1e-9
"""a share or watts below this is none"""


@frozen
class Solved:
    """Volts at each node, and the loop amps through it towards the endpoints."""

    volts: tuple[float, ...]
    amps: tuple[float, ...]


@frozen
class Collapsed:
    """No operating point: the first node that cannot be held, and the volts it needed."""

    node: int
    volts_needed: float


def solve(
    parent: Sequence[int],
    ohms: Sequence[float],
    watts: Sequence[float],
    source_volts: float,
    cutoff: Sequence[float] | None = None,
) -> Solved | Collapsed:
    """The highest operating point of one tree.

    Parameters
    ----------
    parent : index of each node's parent, smaller than its own; -1 at the feed.
    ohms : loop resistance between a node and its parent. [ohm]
    watts : constant power drawn at a node. [W]
    source_volts : volts in front of node 0's own ohms. [V]
    cutoff : volts below which a node's box stops; 0 where there is none. [V]

    Returns
    -------
    Solved, or Collapsed with the node that shows it.
    """
    kept, up, gathered = _without_idle(parent, ohms, watts, cutoff)
    loads = [watts[i] for i in kept]
    floor = [cutoff[i] for i in kept] if cutoff else [0.0] * len(kept)
    found = _newton(up, gathered, loads, source_volts, floor)
    if isinstance(found, int):
        return Collapsed(kept[found], floor[found])
    return _spread(parent, ohms, watts, kept, found)


def _newton(
    parent: Sequence[int],
    ohms: Sequence[float],
    watts: Sequence[float],
    source_volts: float,
    floor: Sequence[float],
) -> list[float] | int:
    """Volts at each node, or the node that proves that there are none.

    With P / V linearised at the present volts, one backward sweep gathers the slope and the
    push of everything behind a node and its pivot, one forward sweep gives the next volts.
    """
    count = len(parent)
    backward, forward = range(count - 1, -1, -1), range(count)
    volts = [source_volts] * count
    slope, push, pivot = [0.0] * count, [0.0] * count, [1.0] * count
    for _ in range(MOST_STEPS):
        gathered_slope, gathered_push = [0.0] * count, [0.0] * count
        for i in backward:
            amps = watts[i] / volts[i]
            g = gathered_slope[i] - amps / volts[i]
            j = gathered_push[i] + 2 * amps
            d = 1 + ohms[i] * g
            if d <= 0:
                return i
            slope[i], push[i], pivot[i] = g, j, d
            above = parent[i]
            if above >= 0:
                gathered_slope[above] += g / d
                gathered_push[above] += j / d
        largest = 0.0
        for i in forward:
            above = parent[i]
            v_above = volts[above] if above >= 0 else source_volts
            v = v_above - ohms[i] * (push[i] + slope[i] * v_above) / pivot[i]
            fallen = volts[i] - v
            if v <= 0 or fallen < -SLACK_VOLTS or v < floor[i]:
                return i
            if fallen > largest:
                largest = fallen
            volts[i] = v
        if largest < STEP_VOLTS:
            return volts
    return count - 1


def _without_idle(
    parent: Sequence[int],
    ohms: Sequence[float],
    watts: Sequence[float],
    cutoff: Sequence[float] | None,
) -> tuple[list[int], list[int], list[float]]:
    """The nodes that matter, what each hangs on among them, and the ohms between.

    A node that draws nothing, holds nothing and has one child is only a place on a wire.
    """
    count = len(parent)
    children = [0] * count
    for above in parent:
        if above >= 0:
            children[above] += 1
    kept: list[int] = []
    up: list[int] = []
    gathered: list[float] = []
    place = [0] * count
    """where a node's wire begins: the last kept node in front of it"""
    carried = [0.0] * count
    for i in range(count):
        above = parent[i]
        begins = place[above] if above >= 0 else -1
        resistance = ohms[i] + (carried[above] if above >= 0 else 0.0)
        if i == 0 or children[i] != 1 or watts[i] or (cutoff and cutoff[i]):
            place[i] = len(kept)
            kept.append(i)
            up.append(begins)
            gathered.append(resistance)
        else:
            place[i], carried[i] = begins, resistance
    return kept, up, gathered


def _spread(parent, ohms, watts, kept: Sequence[int], volts_kept: Sequence[float]) -> Solved:
    """Volts and amps of every node from those of the nodes that matter."""
    count = len(parent)
    volts, amps = [0.0] * count, [0.0] * count
    for i, v in zip(kept, volts_kept, strict=True):
        volts[i] = v
        amps[i] = watts[i] / v
    for i in range(count - 1, 0, -1):
        amps[parent[i]] += amps[i]
    for i in range(count):
        if not volts[i]:
            volts[i] = volts[parent[i]] - ohms[i] * amps[i]
    return Solved(tuple(volts), tuple(amps))


# ---------------------------------------------------------------- a whole job at one corner


@frozen
class Conditions:
    """At which corner of the design, under how much load, with what standing in place."""

    volts: Corner = "expected"
    load_share: float = 1.0
    extra_watts: Mapping[str, float] = field(factory=dict)
    swing: bool = False
    standing: Standing = AS_PLANNED
    hold_cutoffs: bool = True


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
    """trees whose feed has no power, because the tree in front of them failed"""

    @property
    def holds(self) -> bool:
        """Every tree has an operating point with every box at or above its cut-off."""
        return not self.failed


class _Watts:
    """Watts drawn at the nodes of a tree under given conditions."""

    def __init__(self, network: Network, conditions: Conditions) -> None:
        self.conditions = conditions
        self.silent = _silent(network, conditions.standing)

    def own(self, box: Box, point: Point) -> float:
        """What a box draws for itself, or what stands in its place."""
        standing = self.conditions.standing
        if point in self.silent or box.id in standing.off:
            return 0.0
        if box.id in standing.known:
            return standing.known[box.id]
        watts = box_watts(box, self.conditions.volts, swing=self.conditions.swing)
        return watts * self.conditions.load_share + self.conditions.extra_watts.get(box.id, 0.0)

    def stands(self, box: Box, point: Point) -> bool:
        """Whether the box itself is plugged in, and nothing in its place."""
        standing = self.conditions.standing
        return point not in self.silent and box.id not in standing.off | set(standing.known)


def _silent(network: Network, standing: Standing) -> frozenset[Point]:
    """Points whose boxes draw nothing, because a box in front of them is unplugged.

    Behind a box that is off, or that a known load stands in for, nothing is plugged in.
    Behind ``beyond`` nothing is either; at an ``in`` the box itself is off too, at an
    ``out`` it is on.
    """
    gone = standing.off | set(standing.known)
    silent: set[Point] = set()
    for tree in network.trees:
        behind: set[int] = set()
        if tree.box.sheet.regenerates and (
            tree.box.id in gone or Point(tree.box.id, "in") in silent
        ):
            behind.add(0)
        for i, node in enumerate(tree.nodes):
            if node.parent in behind or node.point == standing.beyond:
                behind.add(i)
            if i in behind:
                silent.add(node.point)
            elif node.load is not None and node.load.id in gone:
                behind.add(i)
    return frozenset(silent)


EXPECTED = Conditions()


def operate(job: Job, network: Network, conditions: Conditions = EXPECTED) -> Operating:
    """Solve all trees of a job, those behind a regenerating box first."""
    watts_of = _Watts(network, conditions)
    solutions: dict[int, Solved | Collapsed] = {}
    passed_on: dict[str, float] = {}
    for index in range(len(network.trees) - 1, -1, -1):
        tree = network.trees[index]
        solution = _solve_tree(job, tree, conditions, watts_of, passed_on)
        solutions[index] = solution
        if tree.box.sheet.regenerates and isinstance(solution, Solved):
            power = solution.volts[0] * solution.amps[0]
            passed_on[tree.box.id] = passed_on.get(tree.box.id, 0.0) + power
    return _gather(network, solutions, watts_of)


def _solve_tree(job, tree, conditions, watts_of, passed_on) -> Solved | Collapsed:
    loads, cutoff = [], []
    for node in tree.nodes:
        box = node.load
        own = watts_of.own(box, node.point) if box else 0.0
        if box and box.sheet.regenerates and watts_of.stands(box, node.point):
            own = (own + passed_on.get(box.id, 0.0)) / box.sheet.efficiency.at(conditions.volts)
        loads.append(own)
        cutoff.append(box.sheet.cutoff_volts if box and own and conditions.hold_cutoffs else 0.0)
    return solve(
        [node.parent for node in tree.nodes],
        [edge_ohms(job, node, tree.box.sheet, conditions.volts) for node in tree.nodes],
        loads,
        feed_volts(tree.box.sheet, conditions.volts),
        cutoff,
    )


def _gather(
    network: Network, solutions: Mapping[int, Solved | Collapsed], watts_of: _Watts
) -> Operating:
    flows: dict[Point, Flow] = {}
    failed, off = [], []
    for index, tree in enumerate(network.trees):
        solution = solutions[index]
        entry = Point(tree.box.id, "in")
        if tree.box.sheet.regenerates and (
            entry not in flows or not watts_of.stands(tree.box, entry)
        ):
            off.append(tree)
        elif isinstance(solution, Collapsed):
            failed.append((tree, solution))
        else:
            for node, volts, amps in zip(tree.nodes, solution.volts, solution.amps, strict=True):
                flows[node.point] = Flow(volts, amps)
    return Operating(flows, tuple(failed), tuple(off))


# ---------------------------------------------------------------- how much more it would bear


def _largest(holds, least: float, relative: float = 1e-6) -> float | None:
    """The largest amount at which ``holds`` is true: double until it fails, then halve the gap.

    None where nothing limits it.
    """
    low, high = 0.0, least
    while holds(high):
        low, high = high, high * 2
        if high > BOUNDLESS:
            return None
    while high - low > relative * high and high > NOTHING:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def load_share(job: Job, network: Network) -> float | None:
    """The largest share of the expected endpoint and own watts at which every box holds.

    Below 1 the job does not run as planned; 2.3 says that it would bear 2.3 times the load.
    None where nothing is drawn.
    """

    def holds(share: float) -> bool:
        return operate(job, network, Conditions(load_share=share)).holds

    return _largest(holds, 1.0)


def watts_to_spare(job: Job, network: Network, endpoint: str) -> float | None:
    """Watts that one endpoint may draw beyond what is expected before a box drops. [W]"""

    def holds(watts: float) -> bool:
        return operate(job, network, Conditions(extra_watts={endpoint: watts})).holds

    return _largest(holds, 1.0, 1e-5) if holds(0.0) else 0.0


def first_to_starve(job: Job, network: Network, share: float) -> tuple[Point, float] | None:
    """The point whose box is nearest its cut-off at ``share`` of the load, and that cut-off."""
    operating = operate(job, network, Conditions(load_share=share))
    worst: tuple[float, Point, float] | None = None
    for tree in network.trees:
        for node in tree.nodes:
            flow = operating.flows.get(node.point)
            if node.load is None or flow is None:
                continue
            margin = flow.volts - node.load.sheet.cutoff_volts
            if worst is None or margin < worst[0]:
                worst = (margin, node.point, node.load.sheet.cutoff_volts)
    return (worst[1], worst[2]) if worst else None
