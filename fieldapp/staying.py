"""An installed page: whether it keeps what is here, works without signal, and takes a newer version.

Handlers, as ``update`` calls them, and questions to the model. Pure.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, fields, replace
from types import MappingProxyType
from typing import Any, TypeVar

from engine.edits import GONE
from engine.say import Say, say
from fieldapp import messages as m
from fieldapp.halfdone import NewRun, OwnSheet, SpanTable
from fieldapp.keeping import Result
from fieldapp.model import JobRow, Model
from fieldapp.pad import place_record
from fieldapp.routes import Place, route_of

NEWER, COPIES, OFFLINE = "newer", "copies", "offline"
"""what the list of jobs says of an installed page, one at a time: the first of these that holds"""


# ---------------------------------------------------------------- what is known


def promised(model: Model) -> bool | None:
    """Whether the browser promised to keep what is here; None: it was not asked, or is being asked.

    Who was asked and gave no promise gave none.
    """
    if model.installed is None or model.installed.stays is not None:
        return model.installed.stays if model.installed is not None else None
    return False if model.settings.asked_to_stay and not model.asking else None


def uncopied(rows: tuple[JobRow, ...]) -> int:
    """How many jobs have something that no copy holds."""
    return sum(row.only_here > 0 for row in rows)


def said_on_jobs(model: Model) -> str:
    """Which one line the list of jobs has of all this; "" where it has none."""
    installed = model.installed
    if installed is None:
        return ""
    if installed.newer:
        return NEWER
    reminds = promised(model) is False and model.settings.reminded != model.today
    if reminds and uncopied(model.rows):
        return COPIES
    return OFFLINE if installed.offline and model.says_offline else ""


# ---------------------------------------------------------------- what happens


def _seen(model: Model, message: m.PhoneSeen) -> Result:
    """The first time that it works without signal is remembered: it is said once."""
    was, now = model.installed, message.installed
    is_answer = model.asking and now.stays is not None and (was is None or was.stays != now.stays)
    model = replace(model, installed=now)
    if is_answer:
        model = _answered(model)
    if not now.offline or model.settings.told_offline:
        return model, ()
    settings = replace(model.settings, told_offline=True)
    put = m.PutSetting("told_offline", True)
    return replace(model, settings=settings, says_offline=True), (put,)


def _answered(model: Model) -> Model:
    """What the browser said is told, unless something else stands there."""
    model = replace(model, asking=False)
    return replace(model, told=model.told or _answer(model))


def _answer(model: Model) -> Say:
    return say("told-stays") if promised(model) else say("told-may-clear")


def _time_to_answer(model: Model, message: m.StayAnswered) -> Result:
    """A browser that says again what it said before sends no news."""
    return (_answered(model), ()) if model.asking else (model, ())


def _stay_pressed(model: Model, message: m.StayPressed) -> Result:
    if model.installed is None or model.asking:
        return model, ()
    return _asked(replace(model, told=None))


def _asked(model: Model) -> Result:
    settings = replace(model.settings, asked_to_stay=True)
    put = m.PutSetting("asked_to_stay", True)
    return replace(model, settings=settings, asking=True), (put, m.AskToStay())


def _renew_pressed(model: Model, message: m.RenewPressed) -> Result:
    if model.installed is None or not model.installed.newer:
        return model, ()
    return replace(model, renewing=True, told=None), ()


def _reminder_away(model: Model, message: m.ReminderAway) -> Result:
    settings = replace(model.settings, reminded=model.today)
    return replace(model, settings=settings), (m.PutSetting("reminded", model.today),)


def with_phone(model: Model, effects: m.Effects) -> Result:
    """The browser is asked once there is a job; a newer version comes once nothing is on its way
    to the store."""
    has_job = model.job is not None or bool(model.rows)
    is_asked = model.settings.asked_to_stay or promised(model)
    if model.installed is not None and has_job and not is_asked:
        model, more = _asked(model)
        effects = (*effects, *more)
    if model.renewing and not (model.keeping or model.waiting):
        model, effects = replace(model, renewing=False), (*effects, m.Renew(whole_place(model)))
    return model, effects


# ---------------------------------------------------------------- what is half done


Half = TypeVar("Half", NewRun, SpanTable, OwnSheet)


def whole_place(model: Model) -> dict[str, Any]:
    """Where one is, with all that is half typed anywhere: a page that loads anew knows nothing
    else of it."""
    place, pad = place_record(model), model.pad
    if pad is not None and pad.digits and model.job is not None:
        route = route_of(Place("read", model.job.id, pad.at, pad.kind))
        place = {**place, "pad": place_record(replace(model, route=route))["pad"]}
    half: dict[str, Any] = {"new": asdict(model.new)} if model.new.digits else {}
    if model.table is not None and model.table.text and model.table.sent_at is None:
        half["table"] = {"job": model.table.job, "text": model.table.text}
    if model.own is not None and not model.own.sent:
        half["own"] = _own_record(model.own)
    return {**place, **({"half": half} if half else {})}


def half_from(record: Any) -> dict[str, Any]:
    """The same for a new model; whatever cannot be read is left out."""
    kept = record if isinstance(record, Mapping) else {}
    found = {
        "new": _of_kind(NewRun(), kept.get("new")),
        "table": _of_kind(SpanTable(""), kept.get("table")),
        "own": _own_from(kept.get("own")),
    }
    return {name: value for name, value in found.items() if value is not None}


def _own_record(own: OwnSheet) -> dict[str, Any]:
    """Of an answer that the maker's sheet does not say only the question stands there."""
    plain = {one.name: getattr(own, one.name) for one in fields(own)}
    answers = [[key] if value is GONE else [key, value] for key, value in own.answers.items()]
    return {**plain, "answers": answers, "typed": dict(own.typed)}


def _own_from(record: Any) -> OwnSheet | None:
    if not isinstance(record, Mapping):
        return None
    rows, typed = record.get("answers"), record.get("typed")
    own = _of_kind(OwnSheet("", "", ""), {**record, "answers": {}, "typed": {}})
    if own is None or not isinstance(rows, list | tuple) or not isinstance(typed, Mapping):
        return None
    answers = {row[0]: row[1] if len(row) > 1 else GONE for row in rows}
    return replace(own, answers=MappingProxyType(answers), typed=MappingProxyType(dict(typed)))


def _of_kind(first: Half, record: Any) -> Half | None:
    """A value like ``first`` with what a record says; None where it is no record of such a one."""
    if not isinstance(record, Mapping):
        return None
    known = {one.name: getattr(first, one.name) for one in fields(first)}
    plain = {
        name: record[name]
        for name, value in known.items()
        if name in record and type(record[name]) is type(value)
    }
    return replace(first, **plain)


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.PhoneSeen: _seen,
        m.StayPressed: _stay_pressed,
        m.StayAnswered: _time_to_answer,
        m.RenewPressed: _renew_pressed,
        m.ReminderAway: _reminder_away,
    }
)
