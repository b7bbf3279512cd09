"""The sheets of a job: another one for a thing, and one's own, asked for figure by figure. Pure
but for ``try_sheets``, which works out in slices what each sheet would do."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from engine.advise.ground import Ground
from engine.choices import (
    Outcome,
    choices,
    chosen,
    outcome,
    sheet_of,
)
from engine.choices import typed as typed_sheet
from engine.edits import GONE
from engine.fields import Text
from engine.planning import BadPlan, Edit
from engine.say import say
from engine.sheets import AS_TYPED
from fieldapp import messages as m
from fieldapp.foundout import Outcomes
from fieldapp.halfdone import OwnSheet
from fieldapp.keeping import Result
from fieldapp.model import Model
from fieldapp.ownsheet import (
    BEGIN,
    DAY,
    LAST,
    TITLE_LETTERS,
    answer_of,
    ask_at,
    body_of,
    lacking,
    missing_part,
    order,
    own_edits,
    own_of,
    part_at,
    refusal,
    typed_at,
)
from fieldapp.pad import typed as digits_after
from fieldapp.planmoves import how_it_counts, together, used_ids
from fieldapp.routes import Place, route_of
from fieldapp.sheetquestions import (
    Ask,
    answer_kind,
    asks,
    is_several,
    must_say,
    options_of,
    parts_of,
    reads,
    sheet_from,
    value_in,
)
from fieldapp.window import has_list

AT_ONCE = 3
"""sheets that are tried between two taps"""


# ---------------------------------------------------------------- what each sheet would do


def with_outcomes(model: Model, effects: m.Effects) -> Result:
    """On the list, see to it that each sheet is tried; elsewhere, forget it. One's own sheet that
    was kept is forgotten as well."""
    place = model.place
    if model.own is not None and model.own.sent and place.screen != "newsheet":
        model = replace(model, own=None)
    window = model.window
    beside = place.screen == "plan" and has_list(window.width, window.height)
    if not (place.screen == "sheets" or beside) or not model.has_open(place.job):
        return (model if model.outcomes is None else replace(model, outcomes=None)), effects
    of = (model.open_job.id, len(model.open_job.file.entries), place.at)
    if model.outcomes is not None and model.outcomes.of == of:
        return model, effects
    state = model.open_job.judgement.state
    if place.at not in (*state.job.boxes, *state.job.spans):
        return replace(model, outcomes=Outcomes(of)), effects
    names = tuple(choice.sheet.id for choice in choices(state.doc, place.at))
    return replace(model, outcomes=Outcomes(of)), (*effects, m.TrySheets(of, state.doc, names))


async def try_sheets(effect: m.TrySheets, send: Callable[[Any], None]) -> None:
    """Try the next few; taps have their turn first."""
    await asyncio.sleep(0)
    now, thing = Ground.of(effect.doc), effect.of[-1]
    found = {name: outcome(now, thing, name) for name in effect.names[:AT_ONCE]}
    send(m.SheetsTried(effect.of, found, effect.doc, effect.names[AT_ONCE:]))


def _tried(model: Model, message: m.SheetsTried) -> Result:
    if model.outcomes is None or model.outcomes.of != message.of:
        return model, ()
    found: Mapping[str, Outcome | None] = {**model.outcomes.found, **message.found}
    model = replace(model, outcomes=replace(model.outcomes, found=MappingProxyType(found)))
    if not message.left:
        return model, ()
    return model, (m.TrySheets(message.of, message.doc, message.left),)


def _picked(model: Model, message: m.SheetPicked) -> Result:
    """Another sheet for a thing; a box of another kind is another box, and looked at next."""
    doc, thing = model.open_job.judgement.state.doc, message.thing
    as_ = how_it_counts(model, thing)
    try:
        edits = chosen(doc, thing, message.sheet, as_, used_ids(model))
    except BadPlan as bad:
        return replace(model, told=bad.say), ()
    return together(
        model, edits, route_of(Place("plan", model.open_job.id, _stands(edits) or thing))
    )


def _stands(edits: tuple[Edit, ...]) -> str:
    """The box that came in another's place, if one did."""
    return next((e["value"]["id"] for e in edits if e["path"] == ["boxes"]), "")


# ---------------------------------------------------------------- one's own: presses


def _own(act: Callable[[Model, OwnSheet, Any], Result]) -> Callable[[Model, Any], Result]:
    """A handler that does nothing where no sheet is being typed."""

    def handle(model: Model, message: Any) -> Result:
        own = own_of(model)
        return (model, ()) if own is None else act(model, own, message)

    return handle


def _at_question(
    act: Callable[[Model, OwnSheet, Ask, Any], Result],
) -> Callable[[Model, Any], Result]:
    """One that does nothing but on the page of a question."""

    def handle(model: Model, own: OwnSheet, message: Any) -> Result:
        ask = ask_at(model, own)
        return (model, ()) if ask is None else act(model, own, ask, message)

    return _own(handle)


def _begun(model: Model, message: m.OwnBegun) -> Result:
    """From a template; what was typed already over the same one is still there."""
    old, job = own_of(model), model.open_job
    doc = job.judgement.state.doc
    if sheet_of(job.judgement.state.job, message.thing) is None:
        return model, ()
    if message.template not in doc.get("sheets", {}) and message.template not in AS_TYPED:
        return model, ()
    body = typed_sheet(doc, message.template)
    title = str(body.get("title") or message.template) if message.changes else ""
    own = OwnSheet(job.id, message.thing, message.template, message.changes, title=title)
    if old is not None and (old.template, old.changes) == (message.template, message.changes):
        own = old
    at = LAST if message.changes else asks(sheet_from(body, own.answers))[0].key
    return replace(model, own=replace(own, at=at, part="", single=message.changes), told=None), ()


def _key(model: Model, own: OwnSheet, ask: Ask, message: m.OwnKey) -> Result:
    kind = answer_kind(body_of(model, own)["kind"], ask)
    if not parts_of(kind):
        return model, ()
    part = part_at(own, kind)
    digits = digits_after(typed_at(own, ask, part), message.key)
    typed = {**own.typed, f"{ask.key}:{part}": digits}
    return replace(model, own=replace(own, typed=MappingProxyType(typed)), told=None), ()


def _part(model: Model, own: OwnSheet, ask: Ask, message: m.OwnPart) -> Result:
    return replace(model, own=replace(own, part=message.part)), ()


def _option(model: Model, own: OwnSheet, ask: Ask, message: m.OwnPicked) -> Result:
    """A choice is an answer, and leads on; of several, it is put to the others or taken from them."""
    body = body_of(model, own)
    kind = answer_kind(body["kind"], ask)
    options = options_of(kind, ask)
    if message.value not in options:
        return model, ()
    if not is_several(kind):
        return _answered(model, own, ask, message.value)
    stands = value_in(body, ask)
    now = set() if stands is GONE else set(stands)
    now ^= {message.value}
    return replace(model, own=_with(own, ask, [one for one in options if one in now])), ()


def _on(model: Model, own: OwnSheet, ask: Ask, message: m.OwnOn) -> Result:
    """What is typed, or what stands there already, is the answer."""
    kind = answer_kind(body_of(model, own)["kind"], ask)
    missing = missing_part(model, own, ask)
    if missing is not None:
        return replace(model, own=replace(own, part=missing)), ()
    value = answer_of(model, own, ask)
    if value is GONE:
        return _left(model, own, ask, message)
    if is_several(kind) and not value:
        return model, ()
    refused = refusal(kind, ask, value)
    if refused is not None:
        return replace(model, told=refused), ()
    return _answered(model, own, ask, value)


def _left(model: Model, own: OwnSheet, ask: Ask, message: Any) -> Result:
    """The maker's sheet does not say; where ours must, one stays."""
    if must_say(body_of(model, own)["kind"], ask):
        return model, ()
    typed = {k: v for k, v in own.typed.items() if k.partition(":")[0] != ask.key}
    own = replace(own, typed=MappingProxyType(typed))
    return _answered(model, own, ask, GONE)


def _with(own: OwnSheet, ask: Ask, value: Any) -> OwnSheet:
    """The sheet with an answer. What it makes doubtful is asked again."""
    answers = dict(own.answers)
    if ask.key not in answers or answers[ask.key] != value:
        for key in ask.unsettles:
            answers.pop(key, None)
    return replace(own, answers=MappingProxyType({**answers, ask.key: value}))


def _answered(model: Model, own: OwnSheet, ask: Ask, value: Any) -> Result:
    """On to the next question; one that was asked for from the last page leads back there."""
    own = _with(own, ask, value)
    if own.single:
        needed = lacking(model, own)
        at = needed[0].key if needed else LAST
    else:
        keys = order(model, own)
        at = keys[keys.index(ask.key) + 1] if ask.key != keys[-1] else LAST
    return replace(model, own=replace(own, at=at, part=""), told=None), ()


def _back(model: Model, own: OwnSheet, message: m.OwnBack) -> Result:
    """One question back; what was typed stays."""
    keys = order(model, own)
    if own.at == LAST:
        at = BEGIN if own.single else keys[-1]
    elif own.single:
        at = LAST
    else:
        place = keys.index(own.at) if own.at in keys else 0
        at = keys[place - 1] if place else BEGIN
    return replace(model, own=replace(own, at=at, part=""), told=None), ()


def _asked(model: Model, own: OwnSheet, message: m.OwnAsked) -> Result:
    """From the last page to one question, and back there."""
    if message.key not in (DAY, *(ask.key for ask in asks(body_of(model, own)))):
        return model, ()
    return replace(model, own=replace(own, at=message.key, part="", single=True), told=None), ()


def _named(model: Model, own: OwnSheet, message: m.OwnNamed) -> Result:
    return replace(model, own=replace(own, title=message.text), told=None), ()


def _used(model: Model, own: OwnSheet, message: m.OwnUsed) -> Result:
    """The sheet, and the thing by it, in one press."""
    if not own.title.strip() or lacking(model, own):
        return model, ()
    if not reads(Text(TITLE_LETTERS), own.title.strip()):
        return replace(model, told=say("own-name", most=TITLE_LETTERS)), ()
    try:
        edits = own_edits(model, own)
    except BadPlan as bad:
        return replace(model, told=bad.say), ()
    if not edits:
        return model, ()
    then = route_of(Place("plan", model.open_job.id, own.thing))
    return together(replace(model, own=replace(own, sent=True)), edits, then)


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.SheetsTried: _tried,
        m.SheetPicked: _picked,
        m.OwnBegun: _begun,
        m.OwnKey: _at_question(_key),
        m.OwnPart: _at_question(_part),
        m.OwnPicked: _at_question(_option),
        m.OwnOn: _at_question(_on),
        m.OwnLeft: _at_question(_left),
        m.OwnBack: _own(_back),
        m.OwnAsked: _own(_asked),
        m.OwnNamed: _own(_named),
        m.OwnUsed: _own(_used),
    }
)
