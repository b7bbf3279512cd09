"""A sheet of one’s own while it is asked for: the question at hand, what is typed and lacking, the sheet that comes of it. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from engine.choices import (
    own_sheet,
    sheet_id,
    sheet_of,
    users_of,
)
from engine.choices import typed as typed_sheet
from engine.edits import GONE
from engine.fields import ListOf, Quantity
from engine.planning import Edit
from engine.say import Say, say
from engine.sheets import AS_TYPED
from fieldapp import words
from fieldapp.halfdone import OwnSheet
from fieldapp.meters import NOBODYS, form_of, own_sheets
from fieldapp.model import Model
from fieldapp.planmoves import how_it_counts, used_ids
from fieldapp.sheetquestions import (
    Ask,
    alone,
    answer_kind,
    asks,
    limits_of,
    must_say,
    parts_of,
    reads,
    sheet_from,
    value_in,
)
from fieldapp.words.units import kept_figure, sheet_kind

BEGIN, LAST = "begin", ""
"""the first page, where the template is chosen, and the last one, with the name"""


DAY = "calibrated"
"""the page of a meter of one's own that asks for a day"""


NOTE_LETTERS = 500


TITLE_LETTERS = 200


ABOUT = ("title", "note")


def own_of(model: Model) -> OwnSheet | None:
    """The sheet being typed for the thing of this place, if one was begun."""
    own, place = model.own, model.place
    if place.screen == "meter":
        return form_of(model)
    if own is None or not model.has_open(own.job):
        return None
    doc, job = model.open_job.judgement.state.doc, model.open_job.judgement.state.job
    there = own.template in doc.get("sheets", {}) or own.template in AS_TYPED
    return own if there and own.thing == place.at and sheet_of(job, own.thing) else None


def template_of(model: Model, own: OwnSheet) -> Mapping[str, Any]:
    """The keys that it began from."""
    doc = own_sheets(model) if own.job == NOBODYS else model.open_job.judgement.state.doc
    return typed_sheet(doc, own.template)


def body_of(model: Model, own: OwnSheet) -> dict[str, Any]:
    """The sheet as answered so far."""
    return sheet_from(template_of(model, own), own.answers)


def ask_at(model: Model, own: OwnSheet) -> Ask | None:
    """The question on the page; None on the first and the last page."""
    return next((ask for ask in asks(body_of(model, own)) if ask.key == own.at), None)


def order(model: Model, own: OwnSheet) -> tuple[str, ...]:
    """The questions as they are come to; of a meter of one's own what its template reads, and
    the day."""
    keys = tuple(ask.key for ask in asks(body_of(model, own)))
    if own.job != NOBODYS:
        return keys
    return (*(key for key in keys if key in template_of(model, own)), DAY)


def part_at(own: OwnSheet, kind: Any) -> str:
    """Which figure of the answer is being typed."""
    parts = parts_of(kind)
    return own.part if own.part in parts else alone(kind) or parts[0]


def typed_at(own: OwnSheet, ask: Ask, part: str) -> str:
    """The digits of a figure as typed."""
    return own.typed.get(f"{ask.key}:{part}", "")


def lacking(model: Model, own: OwnSheet) -> tuple[Ask, ...]:
    """Questions whose answers a sheet cannot do without, and has none."""
    body = body_of(model, own)
    kind = body["kind"]
    return tuple(ask for ask in asks(body) if must_say(kind, ask) and value_in(body, ask) is GONE)


def missing_part(model: Model, own: OwnSheet, ask: Ask) -> str | None:
    """The figure that is still to be typed; None where an answer stands as it is typed.

    The one that may stand alone needs no other; beside another, what is not typed is the
    template's.
    """
    kind = answer_kind(body_of(model, own)["kind"], ask)
    given = {part for part in parts_of(kind) if _number(own, ask, part) is not None}
    if not given or given == {alone(kind)}:
        return None
    stands = value_in(body_of(model, own), ask)
    known = given | (set(stands) if isinstance(stands, Mapping) else set())
    return next((part for part in parts_of(kind) if part not in known), None)


def answer_of(model: Model, own: OwnSheet, ask: Ask) -> Any:
    """What is typed, as the sheet would hold it; what stands there where nothing is typed."""
    body = body_of(model, own)
    kind, stands = answer_kind(body["kind"], ask), value_in(body, ask)
    figures = {part: _number(own, ask, part) for part in parts_of(kind)}
    given = {part: value for part, value in figures.items() if value is not None}
    if not given:
        return stands
    if set(given) == {alone(kind)}:
        return given[alone(kind)]
    return {**(stands if isinstance(stands, Mapping) else {}), **given}


def _number(own: OwnSheet, ask: Ask, part: str) -> float | None:
    value = kept_figure(typed_at(own, ask, part), sheet_kind(ask.key, part))
    return None if value is None else round(value / ask.times, 12)


def refusal(kind: Any, ask: Ask, value: Any) -> Say | None:
    """Why the format does not take an answer; None where it does."""
    if reads(kind, value):
        return None
    figures = value if isinstance(value, Mapping) else {"": value}
    for part, figure in figures.items():
        if not isinstance(kind, ListOf) and isinstance(figure, int | float):
            least, most = limits_of(kind, part)
            if not least <= figure <= most:
                shown = {"least": least * ask.times, "most": most * ask.times}
                return say("own-limits", key=ask.key, part=part, **shown)
    if isinstance(kind, Quantity) and isinstance(value, Mapping):
        return say("own-order", key=ask.key)
    return say("own-unread", key=ask.key)


def final_body(model: Model, own: OwnSheet) -> dict[str, Any]:
    """The whole sheet, with its name and where its figures come from."""
    template = template_of(model, own)
    body = {key: value for key, value in body_of(model, own).items() if key not in ABOUT}
    every = {ask.key: ask for ask in asks(body)}
    fresh = tuple(k for k, ask in every.items() if value_in(body, ask) != value_in(template, ask))
    kept = tuple(
        k for k, ask in every.items() if k not in fresh and value_in(body, ask) is not GONE
    )
    if own.changes and not fresh:
        note = template.get("note")
    else:
        named = str(template.get("title") or own.template)
        note = words.own_note(model.settings.name.strip(), named, fresh, kept)[:NOTE_LETTERS]
    about = {"title": own.title.strip(), **({"note": note} if note else {})}
    return {"kind": body["kind"], **about, **body}


def changed_users(model: Model, own: OwnSheet) -> tuple[str, ...]:
    """The boxes, spans and meters that go by the sheet that is changed."""
    return users_of(model.open_job.judgement.state.job, own.template) if own.changes else ()


def is_unchanged(model: Model, own: OwnSheet) -> bool:
    """Whether a sheet that is to be changed is still as it was."""
    return own.changes and final_body(model, own) == dict(template_of(model, own))


def own_edits(model: Model, own: OwnSheet) -> tuple[Edit, ...]:
    """The log entries of the last press.

    Raises
    ------
    BadPlan : the plan cannot be read with this sheet.
    """
    doc, used = model.open_job.judgement.state.doc, used_ids(model)
    counted = {how_it_counts(model, one) for one in (own.thing, *changed_users(model, own))}
    as_ = "change" if "change" in counted else "correction"
    name = own.template if own.changes else sheet_id(doc, own.title, used)
    return own_sheet(doc, own.thing, name, final_body(model, own), as_, used)
