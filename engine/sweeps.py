"""The operating point of one tree of constant-power boxes, or a proof that there is none.

A tree fed from a regulated source obeys V_i = V_parent - R_i * I_i, where I_i is the sum
of P_j / V_j over everything behind i. From the feed's volts everywhere, Newton's steps
fall monotonically to the highest solution, the only one that lasts (Taheri & Kekatos,
arXiv 1807.03936; Jeeninga, De Persis & van der Schaft, arXiv 2010.01076). So a voltage
that rises, reaches zero or falls below a box's cut-off proves that nothing runs there.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

STEP_VOLTS = 1e-5
"""the step after one this small is below 1e-9 V, since Newton squares it"""
SLACK_VOLTS = 1e-7
"""rounding may lift an iterate by this much; a true rise is far larger"""
MOST_STEPS = 60


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


def _spread(
    parent: Sequence[int],
    ohms: Sequence[float],
    watts: Sequence[float],
    kept: Sequence[int],
    volts_kept: Sequence[float],
) -> Solved:
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
