"""How the operating point moves: derivatives of one figure, for one more sweep out and back.

About a solved tree every box is a small (negative) conductance, so the tree is a linear
network of two-terminal parts, and such a network is reciprocal: what a source at j does at q
equals what the same source at q does at j. So one sweep with the excitation where the figure
is read gives its derivatives by all volts, ohms and watts at once (Tellegen's theorem, the
adjoint network of circuit theory; Director & Rohrer, IEEE Trans. Circuit Theory 16, 1969,
from memory; checked here against differences of the real solve).
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from engine.circuit import Bundled, TreeNumbers
from engine.network import Tree
from engine.operating import Operating

NUDGE = 1e-4
"""share of a current by which it is moved to see how a bundle's warmth follows"""
MOST_ROUNDS = 100


@frozen
class Slopes:
    """Derivatives of one figure in one tree.

    ``feed``: by the volts of the feed. [1/V]  ``ohms``: by the ohms of each edge. [1/ohm]
    ``watts``: by the watts drawn at each node. [1/W]  All times the figure's own unit.
    """

    feed: float
    ohms: list[float]
    watts: list[float]


@frozen
class Linear:
    """A solved tree, ready to be asked how its figures move.

    ``ohms`` are those of small changes: a span in a bundle warms as its current grows.
    """

    parent: tuple[int, ...]
    ohms: list[float]
    volts: list[float]
    amps: list[float]
    loads: list[float]
    """watts drawn at each node"""
    slope: list[float]
    """conductance of all that is behind an edge, seen from its near end less its own ohms"""
    pivot: list[float]
    """1 far from collapse, 0 at it"""

    def moves(self, at: int, per_volt: float, per_amp: float) -> Slopes:
        """Derivatives of ``per_volt`` x volts + ``per_amp`` x amps at a node."""
        parent, slope, pivot = self.parent, self.slope, self.pivot
        count = len(parent)
        draws = [0.0] * count
        draws[at] = per_volt
        i = at
        while (above := parent[i]) >= 0:
            raised = slope[i] * per_amp if i == at else 0.0
            draws[above] += (draws[i] + raised) / pivot[i]
            i = above
        volts: list[float] = []
        ohms: list[float] = []
        first = 0.0
        edges = zip(parent, draws, slope, pivot, self.ohms, self.amps, strict=True)
        for i, (above, draw, steep, turn, own, flows) in enumerate(edges):
            near = volts[above] if above >= 0 else 0.0
            if i == at:
                near += per_amp
            amps = (draw + steep * near) / turn
            volts.append(near - own * amps)
            ohms.append(-flows * amps)
            if above < 0:
                first = amps
        watts = [by / there for by, there in zip(volts, self.volts, strict=True)]
        return Slopes(first, ohms, watts)


def linear(tree: Tree, numbers: TreeNumbers, operating: Operating) -> Linear:
    """A tree of an operating point, linearised. The tree must be among those that hold."""
    flows = [operating.flows[node.point] for node in tree.nodes]
    volts, amps = [flow.volts for flow in flows], [flow.amps for flow in flows]
    ohms = list(numbers.ohms)
    for one in numbers.bundled:
        ohms[one.node] = _small_change_ohms(one, amps[one.node], numbers.ohms[one.node])
    own = list(amps)
    for i in range(len(own) - 1, 0, -1):
        own[numbers.parent[i]] -= amps[i]
    loads = [max(v * a, 0.0) for v, a in zip(volts, own, strict=True)]
    slope, pivot = _sweep_back(numbers.parent, ohms, volts, loads)
    return Linear(numbers.parent, ohms, volts, amps, loads, slope, pivot)


def _sweep_back(
    parent: Sequence[int], ohms: Sequence[float], volts: Sequence[float], loads: Sequence[float]
) -> tuple[list[float], list[float]]:
    count = len(parent)
    slope = [-watts / (v * v) for watts, v in zip(loads, volts, strict=True)]
    pivot = [1.0] * count
    for i in range(count - 1, -1, -1):
        pivot[i] = 1 + ohms[i] * slope[i]
        if parent[i] >= 0:
            slope[parent[i]] += slope[i] / pivot[i]
    return slope, pivot


def _small_change_ohms(one: Bundled, amps: float, cold: float) -> float:
    """Volts more per ampere more, of a span that its own current warms. [ohm]"""
    if not amps:
        return cold

    def drop(current: float) -> float:
        rise = 0.0
        for _ in range(MOST_ROUNDS):
            rise, before = one.rise(current, rise), rise
            if abs(rise - before) < 1e-12:
                break
        return current * (cold + one.ohms_per_kelvin * rise)

    step = amps * NUDGE
    return (drop(amps + step) - drop(amps - step)) / (2 * step)
