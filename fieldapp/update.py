"""The one way the state changes: ``update(model, message) -> (model, effects)``. Pure.

Nothing here reads a clock, draws a random number or touches a file: times, ids and what
was kept come back as messages from the effects.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from attrs import evolve

from engine.entries import read_entry
from engine.judge import judge
from engine.leave import Hold
from engine.log import stop_of
from engine.say import say
from engine.step import Step
from fieldapp import messages as m
from fieldapp.model import Model, OpenJob, Pad, PlanEdit, Settings, Sheet, Strip
from fieldapp.routes import JOBS, Place, place_of, route_of

MOST_DIGITS = 7
STRIP_SECONDS = 8.0
Result = tuple[Model, m.Effects]


def update(model: Model, message: Any) -> Result:
    """The model after a message, and what is to be done in the world."""
    return HANDLERS[type(message)](model, message)


# ---------------------------------------------------------------- questions to the model


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
        stop = _stop_of_entry(model.job, entry)
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


def last_edit(model: Model) -> str | None:
    """The last change of the plan that still stands, as its entry's id."""
    entries = model.job.judgement.state.entries
    voided = {entry.body["of"] for entry in entries if entry.what == "void"}
    edits = [e.id for e in entries if e.what in ("set", "add", "remove") and e.id not in voided]
    return edits[-1] if edits else None


def waive_is_ready(model: Model) -> bool:
    """A reason is there, and a name where somebody has to answer."""
    sheet, hold = model.sheet, hold_of(model, model.sheet.of)
    if hold is None or not sheet.reason.strip():
        return False
    if hold.can_waive == "responsible":
        return bool(sheet.name.strip() and sheet.role.strip())
    return bool(sheet.name.strip() or model.settings.name.strip())


# ---------------------------------------------------------------- moving about


def _arrive(model: Model, route: str) -> Result:
    """The model at a route: a pad where one is typed on, nothing half-open elsewhere."""
    place = place_of(route)
    if place.job and not model.has_open(place.job):
        return replace(model, route=route, waiting=True), (m.LoadJob(place.job, route),)
    model = replace(model, route=route, sheet=None, edit=None, waiting=False)
    if place.screen == "read":
        model = replace(model, pad=_pad_for(model, place))
    elif place.screen == "jobs":
        return _remembered(model, m.ListJobs())
    return _remembered(model)


def _pad_for(model: Model, place: Place) -> Pad:
    pad = model.pad
    if pad is not None and (pad.at, pad.kind) == (place.at, place.kind):
        return pad
    meters = meters_of(model.job, place.kind)
    kept_meter = pad.meter if pad is not None and pad.meter in meters else None
    digits = pad.digits if pad is not None and pad.kind == place.kind else ""
    return Pad(
        at=place.at,
        kind=place.kind,
        digits=digits,
        meter=kept_meter or (meters[0] if meters else ""),
        since=pad.since if digits else "",
    )


def _remembered(model: Model, *effects: Any) -> Result:
    """Store where one is with whatever else is to be done."""
    return model, (m.SavePlace(place_record(model)), *effects)


def place_record(model: Model) -> dict[str, Any]:
    """Where one is, as a record: the route, and the digits half typed."""
    pad = model.pad
    typing = pad is not None and pad.digits and model.place.screen == "read"
    return {
        "route": model.route,
        "job": model.job.id if model.job else model.last_job,
        "stop": model.stop,
        "pad": {
            "at": pad.at,
            "kind": pad.kind,
            "digits": pad.digits,
            "standing": pad.standing,
            "meter": pad.meter,
            "since": pad.since,
        }
        if typing
        else None,
    }


def _route_changed(model: Model, message: m.RouteChanged) -> Result:
    if message.route == model.route and not model.waiting:
        return model, ()
    return _arrive(model, message.route)


def _go(model: Model, message: m.Go) -> Result:
    model, effects = _arrive(model, message.route)
    return model, (m.Push(message.route), *effects)


def _open_job(model: Model, message: m.OpenJobPressed) -> Result:
    route = message.route or route_of(Place("now", message.job))
    if model.has_open(message.job):
        return _go(model, m.Go(route))
    return replace(model, waiting=True, told=None), (m.LoadJob(message.job, route),)


def _job_loaded(model: Model, message: m.JobLoaded) -> Result:
    job = OpenJob(message.job, message.file, judge(message.file), message.kept)
    kept_stop = model.stop if model.last_job == message.job else ""
    model = replace(
        model, job=job, last_job=job.id, stop=kept_stop, waiting=False, strip=None, told=None
    )
    return _go(model, m.Go(message.route))


def _jobs_listed(model: Model, message: m.JobsListed) -> Result:
    return replace(model, rows=message.rows, waiting=False), ()


def _sample_picked(model: Model, message: m.SamplePicked) -> Result:
    return replace(model, waiting=True, told=None), (m.CopySample(message.name),)


def _file_pressed(model: Model, message: m.FilePressed) -> Result:
    return replace(model, told=None), (m.PickFile(),)


def _told(model: Model, message: m.Told) -> Result:
    return replace(model, told=message.say, waiting=False), ()


def _told_seen(model: Model, message: m.ToldSeen) -> Result:
    return replace(model, told=None), ()


# ---------------------------------------------------------------- the pad


def typed(digits: str, key: str) -> str:
    """The digits after a key. A decimal comma counts as a point."""
    if key == "rub":
        return digits[:-1]
    if key in ".,":
        return digits if "." in digits else (digits or "0") + "."
    if len(digits.replace(".", "")) >= MOST_DIGITS:
        return digits
    return key if digits == "0" else digits + key


def _key_pressed(model: Model, message: m.KeyPressed) -> Result:
    pad = model.pad
    if pad is None:
        return model, ()
    digits = typed(pad.digits, message.key)
    model = replace(model, pad=replace(pad, digits=digits, restored=False), told=None)
    first = not pad.digits and digits
    return _remembered(model, *((m.TellTime(),) if first else ()))


def _key_timed(model: Model, message: m.KeyTimed) -> Result:
    if model.pad is None:
        return model, ()
    return _remembered(replace(model, pad=replace(model.pad, since=message.at)))


def _standing_picked(model: Model, message: m.StandingPicked) -> Result:
    return _remembered(replace(model, pad=replace(model.pad, standing=message.standing)))


def _next_meter(model: Model, message: m.NextMeter) -> Result:
    meters = meters_of(model.job, model.pad.kind)
    if not meters:
        return model, ()
    place = meters.index(model.pad.meter) if model.pad.meter in meters else -1
    chosen = meters[(place + 1) % len(meters)]
    return _remembered(replace(model, pad=replace(model.pad, meter=chosen)))


def reading_draft(model: Model, value: float) -> dict[str, Any]:
    """The entry of a reading, without what the store adds to it."""
    pad = model.pad
    draft: dict[str, Any] = {"what": "reading", "at": pad.at, "kind": pad.kind, "value": value}
    if pad.meter:
        draft["meter"] = pad.meter
    if pad.standing == "open":
        draft["with"] = {"*": "off"}
    return draft


def _keep(model: Model, *drafts: dict[str, Any], then: str = "") -> Result:
    if model.keeping:  # a second press in one breath keeps nothing twice
        return model, ()
    signed = tuple({**draft, "by": draft.get("by") or model.settings.name} for draft in drafts)
    return replace(model, keeping=True), (m.Keep(model.job.id, signed, then),)


def _keep_pressed(model: Model, message: m.KeepPressed) -> Result:
    value = figure_typed(model.pad.digits) if model.pad else None
    if value is None:
        return model, ()
    return _keep(model, reading_draft(model, value))


def _speed_picked(model: Model, message: m.SpeedPicked) -> Result:
    return _keep(model, reading_draft(model, message.mbps))


# ---------------------------------------------------------------- steps, holds, leaving


def _step_pressed(model: Model, message: m.StepPressed) -> Result:
    draft = {"what": "step", "step": message.step, "state": message.state}
    if message.why:
        draft["why"] = message.why
    return _keep(replace(model, sheet=None), draft)


def _steps_shown(model: Model, message: m.StepsShown) -> Result:
    return replace(model, shown=message.which), ()


def _take_back(model: Model, message: m.TakeBack) -> Result:
    then = route_of(Place("now", model.job.id)) if model.place.screen == "verdict" else ""
    draft = {"what": "void", "of": message.entry}
    return _keep(replace(model, strip=None), draft, then=then)


def _sheet_opened(model: Model, message: m.SheetOpened) -> Result:
    return replace(model, sheet=Sheet(message.what, message.of)), ()


def _sheet_closed(model: Model, message: m.SheetClosed) -> Result:
    return replace(model, sheet=None), ()


def _sheet_typed(model: Model, message: m.SheetTyped) -> Result:
    if model.sheet is None:
        return model, ()
    return replace(model, sheet=replace(model.sheet, **{message.field: message.text})), ()


def _waive_pressed(model: Model, message: m.WaivePressed) -> Result:
    if model.sheet is None or not waive_is_ready(model):
        return model, ()
    sheet = model.sheet
    draft = {"what": "waive", "of": sheet.of, "reason": sheet.reason.strip()}
    if sheet.name.strip():
        draft["by"] = sheet.name.strip()
    if sheet.role.strip():
        draft["role"] = sheet.role.strip()
    return _keep(replace(model, sheet=None), draft)


def _leave_pressed(model: Model, message: m.LeavePressed) -> Result:
    if model.job is None or not model.job.judgement.ready_to_leave:
        return model, ()
    return _keep(model, {"what": "leave", "open": []}, then=JOBS)


# ---------------------------------------------------------------- plan edits and settings


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


def _edit_typed(model: Model, message: m.EditTyped) -> Result:
    return replace(model, edit=PlanEdit(message.path, message.text)), ()


def _edit_accepted(model: Model, message: m.EditAccepted) -> Result:
    edit = model.edit
    value = edit_value(edit) if edit else None
    if value is None:
        return model, ()
    was = value_at(model.job.judgement.state.doc, edit.path)
    # of a band the middle is shown: accepting it as it stands changes nothing
    shown = was.get("expected") if isinstance(was, dict) else was
    if value == shown:
        return replace(model, edit=None), ()
    draft = {
        "what": "set",
        "path": list(edit.path),
        "value": value,
        "was": was,
        "as": "correction",
    }
    return _keep(replace(model, edit=None), draft)


def _setting_picked(model: Model, message: m.SettingPicked) -> Result:
    settings: Settings = replace(model.settings, **{message.key: message.value})
    return replace(model, settings=settings), (m.PutSetting(message.key, message.value),)


def _resized(model: Model, message: m.Resized) -> Result:
    window = replace(model.window, width=message.width, height=message.height)
    return replace(model, window=window), ()


def _look_changed(model: Model, message: m.LookChanged) -> Result:
    return replace(model, window=replace(model.window, dark=message.dark)), ()


def _scale_seen(model: Model, message: m.ScaleSeen) -> Result:
    return replace(model, window=replace(model.window, scale=message.scale)), ()


# ---------------------------------------------------------------- what came of keeping


def _kept(model: Model, message: m.Kept) -> Result:
    model = replace(model, keeping=False)
    job = model.job
    if not model.has_open(message.job):
        return model, ()
    entries = tuple(read_entry(entry) for entry in message.entries)
    file = evolve(job.file, entries=(*job.file.entries, *entries))
    judgement = judge(file, known=job.judgement.prediction)
    job = OpenJob(job.id, file, judgement, message.at)
    first = entries[0]
    stop = _stop_of_entry(job, first)
    model = replace(model, job=job, stop=stop or model.stop, told=None)
    if first.what == "reading":
        model = replace(model, pad=replace(model.pad, digits="", since="") if model.pad else None)
        return _go(model, m.Go(route_of(Place("verdict", job.id, first.id))))
    effects: m.Effects = ()
    if first.what == "step":
        count = model.strip.count + 1 if model.strip else 1
        model = replace(model, strip=Strip(first.id, _strip_say(job, first), count))
        effects = (m.Later(STRIP_SECONDS, m.StripGone(count)),)
        if model.place.screen == "now" and model.place.at:
            model, more = _go(model, m.Go(route_of(Place("now", job.id))))
            return model, (*more, *effects)
    if message.then:
        model, more = _go(model, m.Go(message.then))
        return model, (*more, *effects)
    model, more = _remembered(model)
    return model, (*more, *effects)


def _stop_of_entry(job: OpenJob, entry: Any) -> str:
    if entry.what == "step":
        steps = {step.id: step for step in job.judgement.steps}
        step = steps.get(entry.body["step"])
        return step.stop if step else ""
    if entry.what == "reading":
        return stop_of(job.judgement.state.job, entry.body["at"]) or ""
    return ""


def _strip_say(job: OpenJob, entry: Any):
    steps = {step.id: step for step in job.judgement.steps}
    step = steps.get(entry.body["step"])
    return say("strip-step", state=entry.body["state"], step=step.say if step else None)


def _not_kept(model: Model, message: m.NotKept) -> Result:
    return replace(model, told=message.say, waiting=False, keeping=False), ()


def _strip_gone(model: Model, message: m.StripGone) -> Result:
    if model.strip is None or model.strip.count != message.count:
        return model, ()
    return replace(model, strip=None), ()


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.RouteChanged: _route_changed,
    m.Go: _go,
    m.OpenJobPressed: _open_job,
    m.JobLoaded: _job_loaded,
    m.JobsListed: _jobs_listed,
    m.SamplePicked: _sample_picked,
    m.FilePressed: _file_pressed,
    m.Told: _told,
    m.ToldSeen: _told_seen,
    m.KeyPressed: _key_pressed,
    m.KeyTimed: _key_timed,
    m.StandingPicked: _standing_picked,
    m.NextMeter: _next_meter,
    m.KeepPressed: _keep_pressed,
    m.SpeedPicked: _speed_picked,
    m.StepPressed: _step_pressed,
    m.StepsShown: _steps_shown,
    m.TakeBack: _take_back,
    m.SheetOpened: _sheet_opened,
    m.SheetClosed: _sheet_closed,
    m.SheetTyped: _sheet_typed,
    m.WaivePressed: _waive_pressed,
    m.LeavePressed: _leave_pressed,
    m.EditTyped: _edit_typed,
    m.EditAccepted: _edit_accepted,
    m.SettingPicked: _setting_picked,
    m.Resized: _resized,
    m.LookChanged: _look_changed,
    m.ScaleSeen: _scale_seen,
    m.Kept: _kept,
    m.NotKept: _not_kept,
    m.StripGone: _strip_gone,
}
