"""The work as a careful installer does it, derived from the plan: one row a rule.

A rule looks at the plan and yields the steps it calls for. Its row says in which part of
the work they come, whether the run must be switched off, their minutes, what they need and
rest on, and whether an open one forbids leaving. The rows stand in files by part of the
work. All ``common practice``; local codes and licensed people rule for earthing, mains and
height.
"""

from __future__ import annotations

from collections.abc import Iterable, Set
from typing import TYPE_CHECKING

from attrs import evolve

from engine.cautions import caution_of
from engine.log import State
from engine.route_tasks import in_order
from engine.step import NEEDS, Step
from engine.steps import arriving, coming, fitting, laying, leaving, powering
from engine.steps.rule import Found, Rule, measured_points
from engine.steps.standing import with_states
from engine.study import Prediction

if TYPE_CHECKING:
    from engine.revisit import Ask

__all__ = ["RULES", "Found", "Rule", "derive", "measured_points"]

RULES: tuple[Rule, ...] = (
    *arriving.RULES,
    *laying.RULES,
    *fitting.RULES,
    *powering.RULES,
    *leaving.RULES,
)
"""in the order of the work at one stop"""


def derive(
    state: State,
    prediction: Prediction,
    read: Set[tuple[str, str]] | None = None,
    asks: Iterable[Ask] = (),
) -> tuple[Step, ...]:
    """All steps of a job in the order to be done, each with its state from the log.

    ``read``: place and kind of every current reading of the plan as it is, where they are
    known already. ``asks``: what a return begins with (``revisit``).
    """
    again = coming.rules(asks)
    rules = tuple(evolve(rule, part=coming.part_of(rule, bool(again))) for rule in (*again, *RULES))
    found = [(rule, thing) for rule in rules for thing in rule.find(prediction)]
    footing = _Footing(found)
    steps = [_step(prediction, rule, thing, footing) for rule, thing in found]
    along = {str(point): i for i, point in enumerate(prediction.study.network.where)}
    row = {rule.kind: i for i, rule in enumerate(rules)}
    if read is None:
        current = (reading for reading in state.readings if reading.id in state.current)
        read = {(one.at, one.kind) for one in current if one.standing.as_planned}
    return with_states(state, in_order(state.job, along, row, steps), read)


def _step(prediction: Prediction, rule: Rule, found: Found, footing: _Footing) -> Step:
    stop = prediction.job.stops[found.stop]
    wanted = {*rule.needs, *stop.needs}
    return Step(
        id=f"{rule.kind}.{found.of}",
        stop=found.stop,
        part=rule.part,
        say=found.say,
        power=rule.power,
        minutes=rule.minutes if found.minutes is None else found.minutes,
        holds=rule.holds,
        box=found.box,
        span=found.span,
        both_ends=rule.both_ends,
        asks=found.asks,
        after=footing.of(rule, found),
        needs=tuple(need for need in NEEDS if need in wanted),
        caution=caution_of(rule.kind, prediction.job, found.asks),
        wires=rule.wires,
        each_visit=rule.each_visit,
    )


class _Footing:
    """Which steps there are, by kind, so that a row's words become their ids."""

    def __init__(self, found: Iterable[tuple[Rule, Found]]) -> None:
        self.all: dict[str, list[str]] = {}
        self.here: dict[tuple[str, str], list[str]] = {}
        for rule, thing in found:
            name = f"{rule.kind}.{thing.of}"
            self.all.setdefault(rule.kind, []).append(name)
            self.here.setdefault((rule.kind, thing.stop), []).append(name)
        self.names = {name for names in self.all.values() for name in names}

    def of(self, rule: Rule, thing: Found) -> tuple[str, ...]:
        """The ids of what a step rests on."""
        out: list[str] = []
        for word in rule.rests_on:
            kind, _, scope = word.partition("@")
            if scope == "own":
                out += [name for name in (f"{kind}.{thing.of}",) if name in self.names]
            elif scope == "here":
                out += self.here.get((kind, thing.stop), ())
            else:
                out += self.all.get(kind, ())
        return tuple(dict.fromkeys([*out, *thing.rests_on]))
