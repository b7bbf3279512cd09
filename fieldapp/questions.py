"""Questions to the model: what follows from it, for the screens and for ``update``. Pure."""

from __future__ import annotations

from typing import Any

from engine.entries import POINT_KINDS
from engine.job import Point
from engine.leave import Hold
from engine.log import Conflict, State, stop_of
from engine.step import Step
from engine.voids import voided
from fieldapp.model import Model, OpenJob, PlanEdit
from fieldapp.runline import span_states


def next_step(job: OpenJob) -> Step | None:
    """The first step that is open, in the order of the work."""
    return next((step for step in job.judgement.steps if step.state == "open"), None)


def step_shown(model: Model) -> Step | None:
    """The step that Now speaks of: the one asked for, else the next."""
    asked = model.place.at
    for step in model.job.judgement.steps:
        if step.id == asked:
            return step
    return next_step(model.job)


def here(model: Model) -> str:
    """The stop where one stands: the last one worked at, else that of the next step."""
    state = model.job.judgement.state
    stops = state.job.stops
    if model.stop in stops:
        return model.stop
    for entry in reversed(state.entries):
        stop = stop_of_entry(model.job, entry)
        if stop:
            return stop
    step = next_step(model.job)
    return step.stop if step else next(iter(stops), "")


def hold_of(model: Model, ident: str) -> Hold | None:
    """A hold by its id."""
    return next((hold for hold in model.job.judgement.holds if hold.id == ident), None)


def meters_of(job: OpenJob, kind: str) -> tuple[str, ...]:
    """The meters of the job that can take a kind of reading."""
    plan = job.judgement.state.job
    return tuple(name for name, one in plan.meters.items() if kind in one.sheet.accuracy)


def figure_typed(digits: str) -> float | None:
    """The number in the digits as typed, or None while there is none."""
    return float(digits) if digits.strip(".") else None


def taken_back(state: State) -> frozenset[str]:
    """The entries that were taken back, by their ids."""
    return frozenset(voided(state.entries))


def last_edit(model: Model) -> str | None:
    """The last change of the plan that still stands, as its entry's id."""
    state = model.job.judgement.state
    gone = taken_back(state)
    edits = [
        entry.id
        for entry in state.entries
        if entry.what in ("set", "add", "remove") and entry.id not in gone
    ]
    return edits[-1] if edits else None


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
            if nodes[i].load is not None:
                loads.append(nodes[i].load)
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
    conflicts = model.job.judgement.state.conflicts
    return next((one for one in conflicts if f"conflict.{one.path}" == hold), None)


def waive_is_ready(model: Model) -> bool:
    """A reason is there, and a name where somebody has to answer."""
    sheet, hold = model.sheet, hold_of(model, model.sheet.of)
    if hold is None or not sheet.reason.strip():
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


def edit_value(edit: PlanEdit) -> Any:
    """The value that a typed edit stands for, or None while it is none."""
    text = edit.text.strip()
    if edit.path[-1] != "length_m":
        return text or None
    try:
        metres = float(text.replace(",", "."))
    except ValueError:
        return None
    return metres if 0 < metres <= 100_000 else None


def stop_of_entry(job: OpenJob, entry: Any) -> str:
    if entry.what == "step":
        steps = {step.id: step for step in job.judgement.steps}
        step = steps.get(entry.body["step"])
        return step.stop if step else ""
    if entry.what == "reading":
        return stop_of(job.judgement.state.job, entry.body["at"]) or ""
    return ""
