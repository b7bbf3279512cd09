"""What if: one value of the plan held and moved, the plan solved with it, nothing kept. Pure.

A trial is a name and a value; all that is shown of it is derived, the plan with it by the
prediction alone. What is planned so becomes entries of the log, as any edit of a plan does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from attrs import evolve

from engine.advise.ground import Ground
from engine.advise.limits import GAUGES, broken_by, other_gauge, stretch
from engine.job import Job
from engine.judge import Judgement
from engine.study import Finding
from fieldapp import messages as m
from fieldapp.advising import margin
from fieldapp.drawing.slider import on_step, rounded_out, stepped
from fieldapp.halfdone import Trial
from fieldapp.keeping import Result
from fieldapp.knobs import GAUGE, SITE, Knob, alike, allowed, edits_of, has_gauge, now_of, offered
from fieldapp.model import Model
from fieldapp.pad import typed
from fieldapp.planmoves import how_it_counts, together
from fieldapp.routes import Place, route_of
from fieldapp.words.units import kept, kept_figure, shown

ROOM = 1.4
"""the ruler goes on this much beyond the plan's value, at least"""
BEYOND = 1.15
"""and this much beyond the last value that holds"""
FARTHEST = 4.0
"""times the plan's value: farther out the last value that holds is not shown"""
REMEMBERED = 24
"""solved trials that are remembered; dragging back and forth meets the same values"""


class _Same:
    """A value that is compared by being the same one, so that solved trials can be remembered."""

    def __init__(self, it: Any) -> None:
        self.it = it

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.it is other.it

    def __hash__(self) -> int:
        return id(self.it)


def plan_of(judgement: Judgement) -> Ground:
    """The plan as it stands; it was solved when it was judged."""
    return Ground(judgement.state.doc, judgement.state.job, judgement.prediction)


def solved(judgement: Judgement, name: str, thing: str, value: float) -> Ground | None:
    """The plan with a value, solved anew; None where no plan holds it."""
    return _solved(_Same(judgement), name, thing, value)


@lru_cache(maxsize=REMEMBERED)
def _solved(judgement: _Same, name: str, thing: str, value: float) -> Ground | None:
    plan = plan_of(judgement.it)
    if name == GAUGE:
        if value == plan.job.spans[thing].cable.awg:
            return plan
        return plan.after(other_gauge(plan, thing, int(value)))
    knob = _named(plan.job, thing, name)
    if value == now_of(plan.job, knob, thing):
        return plan
    return plan.after(edits_of(plan, knob, thing, value))


def _named(job: Job, thing: str, name: str) -> Knob:
    return next(knob for knob in offered(job, thing) if knob.name == name)


# ---------------------------------------------------------------- how far it holds


@dataclass(frozen=True)
class Edge:
    """The last value at which the plan holds: ``value`` is None where it holds at none, and
    ``ends`` is false where it holds as far as anybody looks."""

    value: float | None
    ends: bool = True


def edge(judgement: Judgement, knob: Knob, thing: str) -> Edge:
    """Where the plan stops holding at worst, found by halving."""
    return _edge(_Same(judgement), knob, thing)


@lru_cache(maxsize=REMEMBERED)
def _edge(judgement: _Same, knob: Knob, thing: str) -> Edge:
    plan = plan_of(judgement.it)

    def ends_at(value: float) -> str:
        return broken_by(plan, plan.after(edits_of(plan, knob, thing, value)))

    bad, good = (knob.high, knob.low)[:: knob.worse]
    now = now_of(plan.job, knob, thing)
    near = knob.step / 2
    if plan.works_at_worst:
        bad = max(bad, now) if knob.worse > 0 else min(bad, now)
        last, why = stretch(ends_at, now, bad, near)
        if not why:
            return Edge(last, ends=False)
        step = _last_step(knob, ends_at, last)
        return Edge(step if (step - now) * knob.worse > 0 else now)
    good = good if good > 0 else knob.step
    if ends_at(good):
        return Edge(None)
    last, _ = stretch(ends_at, good, now, near)
    return Edge(_last_step(knob, ends_at, last))


def _last_step(knob: Knob, ends_at: Callable[[float], str], value: float) -> float:
    """The last whole step that holds; ``value`` does, and lies within half a step of the end."""
    step = on_step(value, knob.step)
    if (step - value) * knob.worse > 1e-9:
        step = stepped(step, knob.step, -knob.worse)
    more = stepped(step, knob.step, knob.worse)
    return step if ends_at(more) else more


def ends_of(knob: Knob, now: float, last: Edge) -> tuple[float, float]:
    """The ends of the ruler: the plan's value and the last one that holds stand on it."""
    if knob.window:
        return rounded_out(min(knob.low, now), max(knob.high, now))
    high = max(ROOM * now, 10 * knob.step)
    if last.ends and last.value is not None and last.value < FARTHEST * max(now, 10 * knob.step):
        high = max(high, BEYOND * last.value)
    return rounded_out(0.0, high)


# ---------------------------------------------------------------- what comes of it


@dataclass(frozen=True)
class Outcome:
    """What a plan does with a value: it ``holds`` at worst, or ``box`` drops out (as expected, or
    only ``at_worst``), or ``finding`` is what it breaks instead."""

    holds: bool
    box: str = ""
    at_worst: bool = False
    finding: Finding | None = None
    volts: float | None = None
    """the fewest at worst over the cut-off of their box, which is ``box`` [V]"""
    spare: float = 0.0


DROPS = ("collapse", "collapse-worst", "volts-low")
"""rules that tell of a box that drops out"""
LETS_GO = ("port-trip", "class", "port-power")
"""rules that tell of a port that lets go"""


def outcome(plan: Ground, after: Ground | None) -> Outcome:
    """What comes of a trial."""
    why = broken_by(plan, after)
    if after is None:
        return Outcome(False)
    found = [one for one in after.prediction.findings if one.severity != "note"]
    if not why:
        spare, volts, box = margin(after.prediction)
        before = {one.id for one in plan.prediction.findings}
        new = next((one for one in found if one.id not in before), None)
        return Outcome(True, box, True, new, volts, spare)
    if after.works_at_worst:
        return Outcome(False, finding=next((one for one in found if one.rule == why), None))
    for rules in (DROPS if after.works else DROPS[:1], LETS_GO, DROPS):
        one = next((one for rule in rules for one in found if one.rule == rule), None)
        if one is not None and rules is not LETS_GO:
            return Outcome(False, one.at.partition(".")[0], one.rule != "collapse", one)
        if one is not None:
            return Outcome(False, finding=one)
    return Outcome(False)


def as_planned(judgement: Judgement, after: Ground) -> Judgement:
    """A trial as the drawings take it: solved, with nothing read and nothing to be done."""
    state = evolve(judgement.state, job=after.job, doc=after.doc)
    judged = evolve(judgement.judged, verdicts=())
    return evolve(
        judgement, state=state, prediction=after.prediction, judged=judged, steps=(), holds=()
    )


# ---------------------------------------------------------------- the trial of a model


def trial_of(model: Model) -> Trial:
    """The trial of the place: the one at hand if it is about the same thing."""
    job, thing = model.open_job, model.place.at
    trial = model.trial
    if trial is None or (trial.job, trial.thing) != (job.id, thing):
        trial = Trial(job.id, thing)
    names = [knob.name for knob in offered(job.judgement.state.job, thing)]
    names += [GAUGE] if has_gauge(job.judgement.state.job, thing) else []
    return trial if trial.knob in names else replace(trial, knob=(*names, "")[0], value=None)


def knob_of(model: Model) -> Knob | None:
    """What is moved; None where it is chosen, or there is nothing to try."""
    trial, job = trial_of(model), model.open_job.judgement.state.job
    every = offered(job, trial.thing)
    return next((one.in_steps for one in every if one.name == trial.knob), None)


def planned_value(model: Model) -> float | None:
    """The plan's own value of what is tried; None where there is nothing to try."""
    trial, job = trial_of(model), model.open_job.judgement.state.job
    if trial.knob == GAUGE:
        gauge = job.spans[trial.thing].cable.awg
        return float(gauge) if gauge is not None else None
    knob = knob_of(model)
    return now_of(job, knob, trial.thing) if knob is not None else None


def tried_value(model: Model) -> float | None:
    """The value that is tried: as typed, as moved, or still the plan's."""
    trial = trial_of(model)
    on_pad = typed_value(model)
    if on_pad is not None:
        return on_pad
    return trial.value if trial.value is not None else planned_value(model)


def typed_value(model: Model) -> float | None:
    """What stands on the pad, in the format's own unit; None while it is no figure."""
    knob, digits = knob_of(model), trial_of(model).digits
    return kept_figure(digits or "", knob.kind, planned_value(model)) if knob is not None else None


def tried(model: Model) -> Ground | None:
    """The plan with what is tried."""
    trial, value = trial_of(model), tried_value(model)
    if value is None:
        return plan_of(model.open_job.judgement)
    return solved(model.open_job.judgement, trial.knob, trial.thing, value)


def fits(model: Model, value: float) -> bool:
    """Whether the job format takes a typed value here."""
    knob, job = knob_of(model), model.open_job.judgement.state.job
    if knob is None:
        return False
    least, most = allowed(job, knob, trial_of(model).thing)
    return max(least, knob.step if knob.key == "length_m" else least) <= value <= most


def counts_as(model: Model) -> str:
    """``change`` where the thing is built already, or another that has the same sheet."""
    thing = trial_of(model).thing
    things = {thing, *alike(model.open_job.judgement.state.job, thing)}
    counted = {how_it_counts(model, one) for one in things}
    return "change" if "change" in counted else "correction"


# ---------------------------------------------------------------- handlers


def _set(model: Model, **changed: Any) -> Result:
    return replace(model, trial=replace(trial_of(model), **changed), told=None), ()


def _picked(model: Model, message: m.TrialPicked) -> Result:
    return _set(model, knob=message.knob, value=None, digits=None)


def _moved_to(model: Model, message: m.TrialMoved) -> Result:
    knob, value = knob_of(model), message.value
    if knob is not None:
        value = kept(shown(value, knob.kind), knob.kind, planned_value(model))
        if not fits(model, value):
            return model, ()
    return _set(model, value=value)


def _stepped(model: Model, message: m.TrialStepped) -> Result:
    knob, value = knob_of(model), tried_value(model)
    if knob is None or value is None:
        return model, ()
    return _moved_to(model, m.TrialMoved(stepped(value, knob.step, message.by)))


def _key(model: Model, message: m.TrialKey) -> Result:
    digits = trial_of(model).digits
    return (model, ()) if digits is None else _set(model, digits=typed(digits, message.key))


def _pad(model: Model, message: m.TrialPad) -> Result:
    """The pad opens empty; what was typed on it counts when it closes."""
    if message.opens:
        return _set(model, digits="")
    value = typed_value(model)
    if value is None or not fits(model, value):
        return _set(model, digits=None)
    return _set(model, digits=None, value=value)


def _dropped(model: Model, message: m.TrialDropped) -> Result:
    return _set(model, value=None, digits=None)


def _planned(model: Model, message: m.TrialPlanned) -> Result:
    """What is tried becomes the plan."""
    trial, value = trial_of(model), tried_value(model)
    if value is None or value == planned_value(model):
        return model, ()
    if tried(model) is None:
        return model, ()
    plan, knob, as_ = plan_of(model.open_job.judgement), knob_of(model), counts_as(model)
    if knob is None:
        edits = other_gauge(plan, trial.thing, int(value), as_)
    else:
        edits = edits_of(plan, knob, trial.thing, value, as_)
    at = "" if trial.thing == SITE else trial.thing
    then = route_of(Place("plan", model.open_job.id, at))
    return together(replace(model, trial=None), edits, then)


def gauges_of(model: Model) -> tuple[int, ...]:
    """The gauges to choose from, the plan's among them."""
    stands = int(planned_value(model) or 0)
    return tuple(sorted({*GAUGES, stands}))


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.TrialPicked: _picked,
        m.TrialMoved: _moved_to,
        m.TrialStepped: _stepped,
        m.TrialKey: _key,
        m.TrialPad: _pad,
        m.TrialDropped: _dropped,
        m.TrialPlanned: _planned,
    }
)
