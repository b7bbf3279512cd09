"""The eight wires of a plug, and which ends of a span are made. Pure.

Which wire goes to which contact: ANSI/TIA-568 (T568A and T568B), as reprinted. Both ends of
a span take the same one; which one is the job's choice, kept in its plan under ``x_pinout``,
so that two crews who choose differently hold each other on site until they agree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from engine.job import Job, Point
from engine.log import State
from engine.network import Network
from engine.step import Step

PINOUT = ("x_pinout",)
"""where the plan keeps the choice"""
USUAL = "T568B"
"""where nobody chose: the more usual one (common practice)"""


@dataclass(frozen=True)
class Wire:
    """One wire: its contact from 1, its pair, the pair's colour, whether it is the striped one."""

    contact: int
    pair: int
    colour: str
    striped: bool


COLOURS: Mapping[int, str] = MappingProxyType({1: "blue", 2: "orange", 3: "green", 4: "brown"})
"""the pairs of a four-pair cable (ANSI/TIA-568)"""


def _plug(*pairs: int) -> tuple[Wire, ...]:
    """Eight contacts from their pairs; the odd contacts take the striped wires."""
    return tuple(
        Wire(contact, pair, COLOURS[pair], contact % 2 == 1)
        for contact, pair in enumerate(pairs, start=1)
    )


PLUGS: Mapping[str, tuple[Wire, ...]] = MappingProxyType(
    {"T568A": _plug(3, 3, 2, 1, 1, 2, 4, 4), "T568B": _plug(2, 2, 3, 1, 1, 3, 4, 4)}
)


def pinout_of(state: State) -> str:
    """The job's choice."""
    chosen = state.doc.get(PINOUT[0])
    return str(chosen) if chosen in PLUGS else USUAL


def ends_of(job: Job, network: Network, span: str) -> tuple[Point, Point]:
    """Both ends of a span, the one nearer the feed first."""
    ends = (job.spans[span].a, job.spans[span].b)
    last = (len(network.trees), 0)
    near, far = sorted(
        ends,
        key=lambda end: (network.where.get(end, last), job.stops[job.boxes[end.box].stop].at_m),
    )
    return near, far


@dataclass(frozen=True)
class Made:
    """An end that is made: the entry that says so, by whom and when, and in which order of wires."""

    entry: str
    by: str
    t: str | None
    pinout: str


def made_ends(state: State, step: Step) -> Mapping[str, Made]:
    """The ends of a step's span that are made, by their points; undoing the step opens both."""
    since = state.undone.get(step.id, -1)
    return {
        str(entry.body["x_end"]): Made(
            entry.id, entry.by, entry.t, str(entry.body.get("x_pinout", ""))
        )
        for place, entry in state.notes_with("x_end")
        if entry.body.get("at") == step.span and place > since
    }
