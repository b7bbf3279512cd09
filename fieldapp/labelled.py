"""A code typed from a label: refused with one sentence, or its job opened at its box or span. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from engine.say import Say, say
from fieldapp import messages as m
from fieldapp.halfdone import TypedCode
from fieldapp.handover.codes import BadCode, read_code
from fieldapp.keeping import Result
from fieldapp.model import Model
from fieldapp.moving import HANDLERS as MOVING
from fieldapp.moving import remembered
from fieldapp.routes import Place, route_of


def refusal(model: Model) -> Say | None:
    """Why a code that was pressed opened nothing; a job that has come since is no reason more."""
    return _read(model)[1] if model.code.pressed else None


def _read(model: Model) -> tuple[Place | None, Say | None]:
    """The place that the typed code names, or why it names none here."""
    try:
        code = read_code(model.code.text)
    except BadCode as bad:
        return None, say(bad.why)
    row = next((one for one in model.rows if one.id.upper() == code.job), None)
    if row is None:
        return None, say("code-no-job", job=code.job)
    if row.trouble is not None:
        return None, row.trouble
    return Place("run", row.id, code.thing), None


def _code_typed(model: Model, message: m.CodeTyped) -> Result:
    return remembered(replace(model, code=TypedCode(message.text)))


def _code_pressed(model: Model, message: m.CodePressed) -> Result:
    """Open what the code names. One that names nothing here stays as typed."""
    if not model.code.text.strip():
        return model, ()
    place, _ = _read(model)
    if place is None:
        return replace(model, code=replace(model.code, pressed=True)), ()
    opened = replace(model, code=TypedCode())
    return MOVING[m.OpenJobPressed](opened, m.OpenJobPressed(place.job, route_of(place)))


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.CodeTyped: _code_typed,
    m.CodePressed: _code_pressed,
}
