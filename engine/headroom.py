"""How much more a job would bear: load share, watts to spare, and which box starves first."""

from __future__ import annotations

from engine.circuit import Circuit
from engine.job import Point
from engine.operating import Conditions, holds, run

BOUNDLESS = 1e6
NOTHING = 1e-9
"""a share or watts below this is none"""


def _largest(bears, least: float, relative: float = 1e-6) -> float | None:
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


def watts_to_spare(circuit: Circuit, endpoint: str) -> float | None:
    """Watts that one endpoint may draw beyond what is expected before a box drops. [W]"""

    def bears(watts: float) -> bool:
        return holds(circuit, Conditions(extra_watts={endpoint: watts}))

    return _largest(bears, 1.0, 1e-5) if bears(0.0) else 0.0


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
