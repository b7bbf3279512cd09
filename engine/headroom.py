"""How much more a job would bear: load share, watts to spare, and which box starves first."""

from __future__ import annotations

from collections.abc import Callable

from attrs import evolve

from engine.circuit import Circuit
from engine.job import Point
from engine.operating import Conditions, holds, run

BOUNDLESS = 1e6
NOTHING = 1e-9
"""a share or watts below this is none"""


def _largest(bears: Callable[[float], bool], least: float, relative: float = 1e-6) -> float | None:
    """The largest amount that ``bears`` admits: double until it fails, then halve the gap.

    None where nothing limits it.
    """
    low, high = 0.0, least
    while bears(high):
        low, high = high, high * 2
        if high > BOUNDLESS:
            return None
    while high - low > relative * high and high > NOTHING:
        middle = (low + high) / 2
        low, high = (middle, high) if bears(middle) else (low, middle)
    return low


def load_share(circuit: Circuit) -> float | None:
    """The largest share of the expected endpoint and own watts at which every box holds.

    Below 1 the job does not run as planned; 2.3 says that it would bear 2.3 times the load.
    None where nothing is drawn.
    """
    return _largest(lambda share: holds(circuit, Conditions(load_share=share)), 1.0)


def watts_to_spare(circuit: Circuit, endpoint: str, as_planned: bool | None = None) -> float | None:
    """Watts that one endpoint may draw beyond what is expected before a box drops. [W]

    ``as_planned`` is whether the circuit holds without them, where that is known. Only what the
    endpoint shares a source with is solved for it: nothing else moves.
    """
    if as_planned is None:
        as_planned = holds(circuit, Conditions())
    if not as_planned:
        return 0.0
    own = _sharing(circuit, endpoint)
    return _largest(lambda watts: holds(own, Conditions(extra_watts={endpoint: watts})), 1.0, 1e-5)


def _sharing(circuit: Circuit, box: str) -> Circuit:
    """The trees that a box's watts come through, and all that draws through those too."""
    roots: list[int] = []
    for index, tree in enumerate(circuit.network.trees):
        place = circuit.network.where.get(Point(tree.box.id, "in"))
        above = place[0] if tree.box.sheet.regenerates and place is not None else index
        roots.append(roots[above] if above < index else index)
    here = {
        roots[place]
        for place, tree in enumerate(circuit.network.trees)
        if any(node.point.box == box for node in tree.nodes)
    }
    places = [place for place, root in enumerate(roots) if root in here]
    return evolve(
        circuit,
        network=evolve(circuit.network, trees=tuple(circuit.network.trees[i] for i in places)),
        trees=tuple(circuit.trees[i] for i in places),
    )


def first_to_starve(circuit: Circuit, share: float) -> tuple[Point, float] | None:
    """The point whose box is nearest its cut-off at ``share`` of the load, and that cut-off."""
    operating = run(circuit, Conditions(load_share=share))
    worst: tuple[float, Point, float] | None = None
    for tree in circuit.network.trees:
        for node in tree.nodes:
            flow = operating.flows.get(node.point)
            if node.load is None or flow is None:
                continue
            margin = flow.volts - node.load.sheet.cutoff_volts
            if worst is None or margin < worst[0]:
                worst = (margin, node.point, node.load.sheet.cutoff_volts)
    return (worst[1], worst[2]) if worst else None
