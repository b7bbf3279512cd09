"""A code typed from a label: refused with one sentence, or its job opened at its box or span. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from engine.say import Say, say
from fieldapp import messages as m
from fieldapp.handover.codes import BadCode, read_code
from fieldapp.keeping import Result
from fieldapp.model import Model, TypedCode
from fieldapp.moving import HANDLERS as MOVING
from fieldapp.moving import remembered
from fieldapp.routes import Place, route_of


def _code_typed(model: Model, message: m.CodeTyped) -> Result:
    return remembered(replace(model, code=TypedCode(message.text)))


def _code_pressed(model: Model, message: m.CodePressed) -> Result:
    """Open what the code names. What names nothing here stays as typed, with the reason."""
    text = model.code.text
    if not text.strip():
        return model, ()
    try:
        code = read_code(text)
    except BadCode as bad:
        return _refused(model, say(bad.why))
    row = next((one for one in model.rows if one.id.upper() == code.job), None)
    if row is None:
        return _refused(model, say("code-no-job", job=code.job))
    if row.trouble is not None:
        return _refused(model, row.trouble)
    route = route_of(Place("run", row.id, code.thing))
    opened = replace(model, code=TypedCode())
    return MOVING[m.OpenJobPressed](opened, m.OpenJobPressed(row.id, route))


def _refused(model: Model, why: Say) -> Result:
    return replace(model, code=replace(model.code, refused=why)), ()


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.CodeTyped: _code_typed,
    m.CodePressed: _code_pressed,
}
