"""Questions to the model: what follows from it, for the screens and for ``update``. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from engine.cautions import due, of_reading
from engine.entries import POINT_KINDS
from engine.job import Point
from engine.judge import Judgement
from engine.leave import Hold
from engine.log import Conflict, State, stop_of
from engine.powerup import PowerWalk, Stage, power_walk
from engine.say import Say
from engine.step import PHOTO, Step
from engine.timers import Timer, timers
from engine.verdict import OUTSIDE
from engine.voids import voided
from fieldapp.halfdone import PlanEdit
from fieldapp.model import Model, OpenJob
from fieldapp.runline import ordered_points
from fieldapp.spanstates import span_states

POWER = "power"
"""the part of the work in which one powers up"""
TOGETHER = "x_together"
"""the same on all plan edits of one press of one phone, so that one press takes them back"""
BROUGHT = "x_own_meter"
"""on the plan edits that a reading brought with it: whose meter they are about. They are no change
of the plan that somebody pressed"""
PHOTOS_SHOWN = 3
"""of a thing that was photographed often, the last ones are shown"""


def next_step(job: OpenJob) -> Step | None:
    """The first step that is open, in the order of the work."""
    return next((step for step in job.steps if step.state == "open"), None)


def step_shown(model: Model) -> Step | None:
    """The step that Now speaks of: the one asked for, else the next."""
    asked = model.place.at
    for step in model.open_job.judgement.steps:
        if step.id == asked:
            return step
    return next_step(model.open_job)


def here(model: Model) -> str:
    """The stop where one stands: the last one worked at, else that of the next step."""
    state = model.open_job.judgement.state
    stops = state.job.stops
    if model.stop in stops:
        return model.stop
    for entry in reversed(state.entries):
        stop = stop_of_entry(model.open_job, entry)
        if stop:
            return stop
    step = next_step(model.open_job)
    return step.stop if step else next(iter(stops), "")


def hold_of(model: Model, ident: str) -> Hold | None:
    """A hold by its id."""
    return next((hold for hold in model.open_job.judgement.holds if hold.id == ident), None)


def taken_back(state: State) -> frozenset[str]:
    """The entries that were taken back, by their ids."""
    return frozenset(voided(state.entries))


def last_edits(model: Model) -> tuple[str, ...]:
    """The last change of the plan that still stands: the entries of one press, last first."""
    state = model.open_job.judgement.state
    gone = taken_back(state)
    edits = [
        entry
        for entry in reversed(state.entries)
        if entry.what in ("set", "add", "remove")
        and entry.id not in gone
        and BROUGHT not in entry.body
    ]
    if not edits:
        return ()
    press = edits[0].body.get(TOGETHER)
    if press is None:
        return (edits[0].id,)
    return tuple(
        one.id for one in edits if one.body.get(TOGETHER) == press and one.device == edits[0].device
    )


def stand_ins(job: OpenJob, at: str) -> tuple[str, ...]:
    """The boxes that a known load can stand in for while a point is read: the next powered one
    behind it, then the endpoints."""
    network = job.judgement.prediction.study.network
    place = network.where.get(Point.parse(at))
    if place is None:
        return ()
    nodes = network.trees[place[0]].nodes
    behind = {place[1]}
    loads = []
    for i in range(place[1], len(nodes)):
        if i in behind or nodes[i].parent in behind:
            behind.add(i)
            load = nodes[i].load
            if load is not None:
                loads.append(load)
    ends = [box.id for box in loads if box.kind == "endpoint"]
    return tuple(dict.fromkeys([*(box.id for box in loads[:1]), *ends]))


def places_for(job: OpenJob, kind: str, at: str) -> tuple[str, ...]:
    """Where else a reading of this kind can stand: points of the same stop first."""
    plan = job.judgement.state.job
    if kind not in POINT_KINDS:
        groups = (plan.spans, plan.earths, plan.stops)
        return next((tuple(group) for group in groups if at in group), ())
    stop = stop_of(plan, at)
    points = [str(point) for point in job.judgement.prediction.points]
    return tuple(sorted(points, key=lambda one: stop_of(plan, one) != stop))


def point_named(judgement: Judgement, name: str) -> Point | None:
    """The point of the run that a name means; ids are compared without case.

    Of a box it is the port that power reaches first, of a span the end nearer to its feed.
    """
    job = judgement.state.job
    spelt = job.named(name)
    span = job.spans.get(spelt)
    ends = (span.a, span.b) if span else ()
    return next(
        (
            point
            for point in ordered_points(judgement.prediction)
            if point in ends or spelt in (point.box, str(point))
        ),
        None,
    )


def mendable(job: OpenJob, at: str) -> tuple[str, ...]:
    """What can have been mended near a place: its box, the spans next to it and those suspect,
    the stop's boxes."""
    plan = job.judgement.state.job
    if at in plan.spans:
        span = plan.spans[at]
        return (at, span.a.box, span.b.box)
    box = plan.boxes.get(Point.parse(at).box)
    if box is None:
        return (at,) if at in plan.earths or at in plan.boxes else ()
    spans = [span.id for span in plan.spans.values() if box.id in (span.a.box, span.b.box)]
    beside = [one.id for one in plan.boxes.values() if one.stop == box.stop]
    suspect = [name for name, state in span_states(job.judgement).items() if state == "striped"]
    return tuple(dict.fromkeys([box.id, *spans, *suspect, *beside]))


def conflict_of(model: Model, hold: str) -> Conflict | None:
    """The plan edits behind a hold that have not seen each other."""
    conflicts = model.open_job.judgement.state.conflicts
    return next((one for one in conflicts if f"conflict.{one.path}" == hold), None)


def waive_is_ready(model: Model) -> bool:
    """A reason is there, and a name where somebody has to answer."""
    sheet = model.sheet
    hold = hold_of(model, sheet.of) if sheet is not None else None
    if sheet is None or hold is None or not sheet.reason.strip():
        return False
    if hold.can_waive == "responsible":
        return bool(sheet.name.strip() and sheet.role.strip())
    return bool(sheet.name.strip() or model.settings.name.strip())


def value_at(doc: Any, path: tuple[str, ...]) -> Any:
    """What stands at a path of the plan; things in a list are named by their id."""
    for name in path:
        if isinstance(doc, list):
            doc = next((thing for thing in doc if thing.get("id") == name), None)
        else:
            doc = doc.get(name) if isinstance(doc, dict) else None
    return doc


def edit_value(edit: PlanEdit) -> str | None:
    """The name that a typed edit stands for, or None while it is none."""
    return edit.text.strip() or None


def stop_of_entry(job: OpenJob, entry: Any) -> str:
    """Where one stood for an entry; nothing where it does not tell."""
    names = {"step": "step", "reading": "at", "note": "at", "photo": "of"}
    at = entry.body.get(names.get(entry.what, "")) or ""
    if "x_reel" in entry.body:
        at = f"reel.{at}"  # a reel is checked at the van, whatever span it is for
    steps = {step.id: step.stop for step in job.judgement.steps}
    place = at.removeprefix("bond.").removeprefix("stop:").removeprefix("wait.")
    return steps.get(at) or stop_of(job.judgement.state.job, place) or ""


# ---------------------------------------------------------------- while the work goes on


def step_of(model: Model, ident: str) -> Step | None:
    """A step by its id."""
    return next((step for step in model.open_job.judgement.steps if step.id == ident), None)


def cautions_of(model: Model, step: Step) -> tuple[Say, ...]:
    """What is to be read before a step: asked once a stop and a day."""
    if step.state != "open" or not model.today:
        return ()
    return due(model.open_job.judgement.state, step, model.today)


def reading_step(model: Model) -> Step | None:
    """The step whose cautions the pad's reading has."""
    judgement = model.open_job.judgement
    return of_reading(judgement.state, judgement.steps, model.open_pad.at, model.open_pad.kind)


def reading_cautions(model: Model) -> tuple[Say, ...]:
    """What is to be read before the pad, wherever it was opened from; a repeat asks as well."""
    step = reading_step(model)
    if step is None or not model.today:
        return ()
    return due(model.open_job.judgement.state, step, model.today)


def visit_is_over(job: OpenJob) -> bool:
    """The site was left, and nobody has come back since."""
    visits = job.judgement.state.visits
    return bool(visits) and bool(visits[-1].left)


def shared_out(job: OpenJob) -> Mapping[str, tuple[int, ...]]:
    """Who does each step where two share the work; nothing where one is alone."""
    if job.work.people < 2:
        return {}
    return {name: shift.who for name, shift in job.work.shifts.items()}


def walk_of(job: OpenJob) -> PowerWalk:
    """Where the power-up walk stands."""
    judgement = job.judgement
    return power_walk(judgement.state, judgement.prediction, judgement.judged)


def wait_started(job: OpenJob, ident: str) -> Stage | None:
    """The stage whose wait begins with a step: a feed that is switched on and not yet read."""
    step = next((one for one in job.judgement.steps if one.id == ident), None)
    if step is None or step.kind != "energise":
        return None
    stages = walk_of(job).stages
    return next((one for one in stages if one.box == step.box and not one.done), None)


@dataclass(frozen=True)
class Spot:
    """What the power-up walk speaks of: the box, and the reading to take next there."""

    stage: Stage
    at: str
    kind: str


def power_spot(job: OpenJob, walk: PowerWalk) -> Spot | None:
    """The box that halts the walk, else the next one; a port of a box in front comes before it.

    None when there is nothing left to read. What was put aside holds nobody up.
    """
    steps = job.judgement.steps
    aside = {(s.asks.at, s.asks.kind) for s in steps if s.asks and s.state == "not-here"}
    place = {stage.box: i for i, stage in enumerate(walk.stages)}
    answered = answered_for(job, walk)
    aside |= {(stage.at, "volts") for stage in walk.stages if stage.box in answered}
    if walk.here is not None and walk.here.box == walk.halted and walk.halted not in answered:
        return _spot(walk.here, aside)
    ahead = (s for s in walk.stages if s.state != "proven" and (s.at, "volts") not in aside)
    here = next(ahead, None)
    open_ = (s for s in steps if s.part == POWER and s.state == "open")
    asked = (
        (place[s.box], s.asks) for s in open_ if s.asks and s.box is not None and s.box in place
    )
    first = next(asked, None)
    if first is not None and (here is None or first[0] < place[here.box]):
        number, asks = first
        return Spot(walk.stages[number], asks.at, asks.kind)
    return _spot(here, aside) if here is not None else None


def answered_for(job: OpenJob, walk: PowerWalk) -> frozenset[str]:
    """Boxes that read outside, and somebody answers for all of it: they halt the walk no more."""
    waived = {hold.reading for hold in job.judgement.holds if hold.waiver is not None}
    out = set()
    for stage in walk.stages:
        wrong = [
            verdict.id
            for verdict in job.judgement.verdicts
            if verdict.current
            and verdict.verdict == OUTSIDE
            and (verdict.reading.at, verdict.reading.kind) in stage.asks
        ]
        if stage.state == "outside" and wrong and waived.issuperset(wrong):
            out.add(stage.box)
    return frozenset(out)


def _spot(stage: Stage, aside: set[tuple[str, str]]) -> Spot:
    """The first reading that a box still lacks; nobody need have a lead for its milliamps."""
    lacking = [ask for ask in stage.asks if ask not in stage.done and ask not in aside]
    asked = [ask for ask in lacking if ask[1] != "milliamps"] or [stage.asks[0]]
    return Spot(stage, *asked[0])


def powers_up(model: Model) -> bool:
    """Whether this place speaks of the power-up walk: its own, or Now when that comes next."""
    place = model.place
    if place.screen != "now" or place.at:
        return place.screen == "power"
    step = next_step(model.open_job)
    if step is None or step.asks is None or step.part != POWER:
        return False
    return power_spot(model.open_job, walk_of(model.open_job)) is not None


def step_at_hand(model: Model) -> Step | None:
    """The step whose cautions come first: of the walk the one that asks for its next reading."""
    if not powers_up(model):
        return step_shown(model)
    spot = power_spot(model.open_job, walk_of(model.open_job))
    asked = (spot.at, spot.kind) if spot is not None else None
    steps = model.open_job.judgement.steps
    return next((s for s in steps if s.asks and (s.asks.at, s.asks.kind) == asked), None)


def timer_shown(model: Model) -> Timer | None:
    """The timer that this place shows."""
    if model.place.screen not in ("now", "power"):
        return None
    if powers_up(model):
        spot = power_spot(model.open_job, walk_of(model.open_job))
        name = f"wait.{spot.stage.box}" if spot is not None else ""
    else:
        step = step_shown(model)
        name = step.id if step is not None else ""
    return timers(model.open_job.judgement.state).get(name)


def photo_place(step: Step) -> str:
    """What a step can be photographed as: what it asks for, its bond, its box."""
    if step.asks is not None:
        return step.asks.at if step.asks.kind == PHOTO else ""
    return {"bond": f"bond.{step.box}", "fit": step.box or ""}.get(step.kind, "")


def photographed_here(model: Model) -> tuple[str, ...]:
    """The sums of the pictures that this place shows."""
    if model.place.screen != "now" or powers_up(model):
        return ()
    step = step_shown(model)
    of = photo_place(step) if step is not None else ""
    return model.open_job.judgement.state.photos.get(of, ())[-PHOTOS_SHOWN:] if of else ()
