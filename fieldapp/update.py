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
from engine.jobfile import JobFile
from engine.judge import judge
from engine.timers import WAIT
from fieldapp import messages as m
from fieldapp import words
from fieldapp.advising import with_advice
from fieldapp.comfort import HANDLERS as COMFORT
from fieldapp.comfort import with_comfort
from fieldapp.drafts import (
    change_draft,
    moved_draft,
    settled_drafts,
    timer_draft,
)
from fieldapp.finding import HANDLERS as FINDING
from fieldapp.finding import with_faults
from fieldapp.gathering import HANDLERS as GATHERING
from fieldapp.gathering import with_gathering
from fieldapp.halfdone import PlanEdit
from fieldapp.handing import HANDLERS as HANDING
from fieldapp.handing import with_making
from fieldapp.keeping import Result, ask, keep
from fieldapp.keying import HANDLERS as KEYING
from fieldapp.labelled import HANDLERS as LABELLED
from fieldapp.mending import HANDLERS as MENDING
from fieldapp.meterform import HANDLERS as METERS
from fieldapp.model import Model, OpenJob, Sheet, Strip
from fieldapp.moving import HANDLERS as MOVING
from fieldapp.moving import go, remembered
from fieldapp.onsite import HANDLERS as ONSITE
from fieldapp.onsite import with_what_is_shown
from fieldapp.pad import without_figures
from fieldapp.planmoves import HANDLERS as PLANNING
from fieldapp.planmoves import value_set
from fieldapp.practising import HANDLERS as PRACTISING
from fieldapp.practising import after_leaving
from fieldapp.priors import HANDLERS as COUNTING
from fieldapp.questions import (
    conflict_of,
    edit_value,
    here,
    stop_of_entry,
    value_at,
    wait_started,
    waive_is_ready,
)
from fieldapp.reeling import HANDLERS as REELING
from fieldapp.returning import HANDLERS as RETURNING
from fieldapp.routes import Place, route_of
from fieldapp.sheeting import HANDLERS as SHEETING
from fieldapp.sheeting import with_outcomes
from fieldapp.sideways import HANDLERS as SIDEWAYS
from fieldapp.signing import HANDLERS as SIGNING
from fieldapp.staying import HANDLERS as STAYING
from fieldapp.staying import with_phone
from fieldapp.strips import STRIPS, goes_along, is_told
from fieldapp.tabling import HANDLERS as TABLING
from fieldapp.trial import HANDLERS as TRYING

STRIP_SECONDS = 8.0
MOST_ENTRIES, MOST_BOXES = 400, 12
"""of a job of which one entry more is judged at once; ours"""
STAYS = frozenset({"photo", "note"})
"""kinds of entry after which the page of a step stays"""
UNITS = frozenset({"lengths", "wire"})
"""settings that say in which unit a figure is typed"""


def update(model: Model, message: Any) -> Result:
    """The model after a message, and what is to be done in the world."""
    with words.speaking(model.settings.manner):
        return _updated(model, message)


def _updated(model: Model, message: Any) -> Result:
    changed, effects = HANDLERS[type(message)](model, message)
    is_over = isinstance(message, m.Judged) and changed.unjudged != model.unjudged
    changed, effects = with_comfort(
        model, message.asked.kept if is_over else message, changed, effects
    )
    shown = with_making(model, *with_what_is_shown(model, changed, effects))
    shown = with_phone(*with_gathering(model, *shown))
    return with_faults(*with_outcomes(*with_advice(*shown)))


# ---------------------------------------------------------------- jobs that are opened


def _job_loaded(model: Model, message: m.JobLoaded) -> Result:
    """Only what was asked for last is gone to, and only while nobody went elsewhere; the job in
    hand is renewed all the same."""
    job, is_open = message.job, model.has_open(message.job.id)
    if model.waiting != message.asked:
        return (replace(model, job=job), (m.CountFound(),)) if is_open else (model, ())
    kept_stop = model.stop if model.last_job == job.id else ""
    unjudged = model.unjudged if is_open else ()
    model = replace(model, job=job, unjudged=unjudged, last_job=job.id, stop=kept_stop)
    model = replace(model, waiting=None, strip=None, told=None)
    model, effects = go(model, m.Go(message.route))
    return model, (*effects, m.CountFound())


def _not_opened(model: Model, message: m.NotOpened) -> Result:
    is_waiting = model.waiting == message.asked
    model = replace(model, told=message.say, waiting=None if is_waiting else model.waiting)
    return go(model, m.Go(message.then)) if is_waiting and message.then else (model, ())


def _jobs_listed(model: Model, message: m.JobsListed) -> Result:
    return replace(model, rows=message.rows), ()


def _sample_picked(model: Model, message: m.SamplePicked) -> Result:
    return ask(model, m.CopySample(message.name))


def _told(model: Model, message: m.Told) -> Result:
    return replace(model, told=message.say), ()


def _told_seen(model: Model, message: m.ToldSeen) -> Result:
    return replace(model, told=None), ()


# ---------------------------------------------------------------- steps, holds, leaving


def _step_pressed(model: Model, message: m.StepPressed) -> Result:
    draft = {"what": "step", "step": message.step, "state": message.state}
    if message.why:
        draft["why"] = message.why
    starts = wait_started(model.open_job, message.step) if message.state == "done" else None
    waits = (timer_draft(f"{WAIT}{starts.box}", starts.wait_s, 1),) if starts else ()
    return keep(replace(model, sheet=None), draft, *waits)


def _steps_shown(model: Model, message: m.StepsShown) -> Result:
    return replace(model, shown=message.which), ()


def _take_back(model: Model, message: m.TakeBack) -> Result:
    """It answers at once; a verdict then offers the other points, so one stays there."""
    voids = ({"what": "void", "of": entry} for entry in (message.entry, *message.also))
    return keep(replace(model, strip=None), *voids)


def _put_elsewhere(model: Model, message: m.PutElsewhere) -> Result:
    draft = moved_draft(model.open_job, message.reading, message.at)
    return keep(model, draft) if draft is not None else (model, ())


def _change_pressed(model: Model, message: m.ChangePressed) -> Result:
    draft = change_draft(model.sheet) if model.sheet is not None else None
    if draft is None:
        return model, ()
    then = route_of(Place("now", model.open_job.id))
    return keep(replace(model, sheet=None), draft, then=then)


def _plan_chosen(model: Model, message: m.PlanChosen) -> Result:
    conflict = conflict_of(model, message.hold)
    if conflict is None or message.keep not in conflict.entries:
        return model, ()
    drafts = settled_drafts(conflict.entries, message.keep)
    return keep(replace(model, sheet=None), *drafts)


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
    return keep(replace(model, sheet=None), draft)


def _leave_pressed(model: Model, message: m.LeavePressed) -> Result:
    if model.job is None or not model.job.judgement.ready_to_leave:
        return model, ()
    waived = [hold.id for hold in model.job.judgement.holds if hold.waiver is not None]
    return keep(model, {"what": "leave", "open": waived}, then=after_leaving(model.job))


# ---------------------------------------------------------------- plan edits and settings


def _edit_typed(model: Model, message: m.EditTyped) -> Result:
    return replace(model, edit=PlanEdit(message.path, message.text)), ()


def _edit_accepted(model: Model, message: m.EditAccepted) -> Result:
    edit = model.edit
    value = edit_value(edit) if edit else None
    if edit is None or value is None:
        return model, ()
    if value == value_at(model.open_job.judgement.state.doc, edit.path):
        return replace(model, edit=None), ()
    return value_set(model, edit.path, value)


def _setting_picked(model: Model, message: m.SettingPicked) -> Result:
    picked: dict[str, Any] = {message.key: message.value}
    settings = replace(model.settings, **picked)
    put = m.PutSetting(message.key, message.value)
    if message.key in UNITS and settings != model.settings:
        return remembered(without_figures(replace(model, settings=settings)), put)
    return replace(model, settings=settings), (put,)


# ---------------------------------------------------------------- what came of keeping


def _kept(model: Model, message: m.Kept) -> Result:
    """What follows is said at once; of a long job that it is kept is said at once, and what
    follows when it was worked out between the taps."""
    model = replace(model, keeping=False)
    if not model.has_open(message.job):
        return model, ()
    model, job = replace(model, told=None), model.open_job
    if not model.unjudged and not _is_long(job):
        file = _grown(job, message)
        judgement = judge(file, known=job.judgement)
        return _followed(model, message, OpenJob(job.id, file, judgement, message.at))
    unjudged, job = (*model.unjudged, message), replace(job, kept=message.at)
    model = replace(model, unjudged=unjudged, job=job)
    if message.entries[0]["what"] == "reading":
        model = _typed_off(model)
    return model, _next_judged(model) if len(unjudged) == 1 else ()


def _is_long(job: OpenJob) -> bool:
    """Whether judging one entry more may take longer than a slice."""
    return len(job.file.entries) > MOST_ENTRIES or len(job.file.plan.boxes) > MOST_BOXES


def _grown(job: OpenJob, message: m.Kept) -> JobFile:
    """The job with what was kept; a job that was read since has it already."""
    have = {entry.id for entry in job.file.entries}
    new = tuple(read_entry(entry) for entry in message.entries if entry["id"] not in have)
    return evolve(job.file, entries=(*job.file.entries, *new))


def _next_judged(model: Model) -> m.Effects:
    first = model.unjudged[:1]
    return tuple(
        m.Judge(one, _grown(model.open_job, one), model.open_job.judgement) for one in first
    )


def _judged(model: Model, message: m.Judged) -> Result:
    """What a job came to that is no longer in hand is not looked at; one that was read since is
    judged once more."""
    asked = message.asked
    if not model.unjudged or model.unjudged[0] is not asked.kept:
        return model, ()
    if model.open_job.judgement is not asked.known:
        return model, _next_judged(model)
    job = OpenJob(model.open_job.id, asked.file, message.judgement, model.open_job.kept)
    model = replace(model, unjudged=model.unjudged[1:])
    model, effects = _followed(model, asked.kept, job)
    return model, (*effects, *_next_judged(model))


def _typed_off(model: Model) -> Model:
    """The pad without the figure that is kept."""
    return replace(model, pad=replace(model.pad, digits="", since="")) if model.pad else model


def _followed(model: Model, message: m.Kept, job: OpenJob) -> Result:
    """What follows from what was kept, with the job as it is then."""
    entries = tuple(read_entry(entry) for entry in message.entries)
    first = next((e for e in entries if e.what == "reading" or is_told(e)), entries[0])
    # before a dead test one says what is off elsewhere, and stays where one stands
    stop = here(model) if model.place.screen == "test" else stop_of_entry(job, first)
    struck = len(_counting(model.open_job) - _counting(job))
    model = replace(model, job=job, stop=stop or model.stop)
    if first.what == "reading":
        repaired = model.strip is not None and model.strip.say.code == "strip-change"
        model = replace(model, strip=None if repaired else model.strip)
        return go(_typed_off(model), m.Go(route_of(Place("verdict", job.id, first.id))))
    if first.what == "sign":
        model = replace(model, signing=None)
    effects: m.Effects = ()
    if is_told(first):
        count = model.strip.count + 1 if model.strip else 1
        statement = STRIPS[first.what](job, first, struck)
        found = tuple(entry.id for entry in entries if entry is not first and goes_along(entry))
        model = replace(model, strip=Strip(first.id, statement, count, found))
        if first.what != "change":  # what a repair struck stays told until something new is read
            effects = (m.Later(STRIP_SECONDS, m.StripGone(count)),)
        if model.place.screen == "now" and model.place.at and first.what not in STAYS:
            model, more = go(model, m.Go(route_of(Place("now", job.id))))
            return model, (*more, *effects)
    model, more = go(model, m.Go(message.then)) if message.then else remembered(model)
    return model, (*more, *effects)


def _counting(job: OpenJob) -> set[str]:
    """The readings that count, by their ids."""
    return {verdict.id for verdict in job.judgement.verdicts if verdict.current}


def _not_kept(model: Model, message: m.NotKept) -> Result:
    return replace(model, told=message.say, keeping=False), ()


def _strip_gone(model: Model, message: m.StripGone) -> Result:
    if model.strip is None or model.strip.count != message.count:
        return model, ()
    return replace(model, strip=None), ()


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    **MOVING,
    **COMFORT,
    **LABELLED,
    m.JobLoaded: _job_loaded,
    m.NotOpened: _not_opened,
    m.JobsListed: _jobs_listed,
    m.SamplePicked: _sample_picked,
    m.Told: _told,
    m.ToldSeen: _told_seen,
    m.StepPressed: _step_pressed,
    m.StepsShown: _steps_shown,
    m.TakeBack: _take_back,
    m.PutElsewhere: _put_elsewhere,
    m.ChangePressed: _change_pressed,
    m.PlanChosen: _plan_chosen,
    m.SheetOpened: _sheet_opened,
    m.SheetClosed: _sheet_closed,
    m.SheetTyped: _sheet_typed,
    m.WaivePressed: _waive_pressed,
    m.LeavePressed: _leave_pressed,
    m.EditTyped: _edit_typed,
    m.EditAccepted: _edit_accepted,
    m.SettingPicked: _setting_picked,
    m.Kept: _kept,
    m.Judged: _judged,
    m.NotKept: _not_kept,
    m.StripGone: _strip_gone,
    **KEYING,
    **ONSITE,
    **HANDING,
    **FINDING,
    **COUNTING,
    **MENDING,
    **REELING,
    **RETURNING,
    **PLANNING,
    **TRYING,
    **SHEETING,
    **TABLING,
    **PRACTISING,
    **SIGNING,
    **METERS,
    **GATHERING,
    **SIDEWAYS,
    **STAYING,
}
