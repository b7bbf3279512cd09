"""A figure of the plan on the pad: a length, an earth lead, where a new stop is."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drawing.digits import digits_picture
from fieldapp.framing import frame
from fieldapp.halfdone import Pad
from fieldapp.heading import header
from fieldapp.messages import EditTyped, KeyPressed, PlanPadKept, StandingPicked
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import padded, text, told
from fieldapp.planpads import (
    FIGURES,
    INDOOR,
    LENGTH,
    OUTDOOR,
    STOP,
    STOP_NAME,
    figure_of,
    named,
    planned,
    side_of,
    there_is,
    typed_figure,
)
from fieldapp.pressing import spoken
from fieldapp.screens.fields import field
from fieldapp.screens.keypad import above_keys, digits_height, keys
from fieldapp.screens.plan_parts import go
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText


def plan_typing(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Large digits and the keys; the slab says what is kept."""
    pad, name = model.open_pad, figure_of(model.pad)
    job = model.open_job.judgement.state.job
    at = pad.at if pad.at in job.boxes or pad.at in job.spans else ""
    back = quiet(look, words.FIXED.back, go(model, send, "plan", at), key="back", height=56)
    if not there_is(job, name, pad.at):
        gone = padded(text(look, words.not_in_job(pad.at), 24), top=16)
        return frame(look, top=[header(look, back, "", "", None)], body=[gone], actions=[])
    ends = (job.spans[pad.at].a.box, job.spans[pad.at].b.box) if name == LENGTH else ()
    title, meant = words.figure_title(name, pad.at), words.figure_meant(name, pad.at, *ends)
    kind = FIGURES[name].kind
    unit = words.unit_of(kind)
    height = digits_height(look)
    digits = digits_picture(words.as_typed(pad.digits), unit, look.width, height)
    said = words.reel_typed(pad.digits, unit) if pad.digits else words.figure_wanted(kind)
    were = words.reel_typing_line(pad.digits, unit, pad.since)
    restored = pad.restored and pad.digits
    body = [padded(text(look, were, 17, "soft", "TI"))] if restored else []
    foot = [
        keys(look, lambda key: Send(send, KeyPressed(key))),
        padded(_keep(model, name, send, look), top=8, bottom=8),
    ]
    typed = spoken(look, digits, said)
    if name == STOP:  # its name is typed too, on a keyboard that needs room below
        body += [*_stop(model, pad, send, look), typed]
    else:
        body, foot = above_keys(look, typed, body, foot)
    return frame(
        look,
        top=[header(look, back, title, meant, None), *told(look, model)],
        body=body,
        actions=[],
        foot=ft.Column(foot, spacing=0),
    )


def _stop(model: Model, pad: Pad, send: SendAny, look: Look) -> list[ft.Control]:
    """Of a new stop also: its name, and whether it is indoors."""
    ways = ((INDOOR, words.outdoors(False)), (OUTDOOR, words.outdoors(True)))
    row = [
        half(
            look,
            title,
            "",
            Send(send, StandingPicked(way)),
            chosen=side_of(pad) == way,
            key=f"stop-{way}",
        )
        for way, title in ways
    ]
    typing = SendText(send, EditTyped, STOP_NAME)
    name = field(look, words.new_stop_name(), named(model), typing, key="stop-name")
    return [padded(name, top=8), padded(ft.Row(row, spacing=0))]


def _keep(model: Model, name: str, send: SendAny, look: Look) -> ft.Control:
    """What is kept; a figure that the plan has already leads back without an entry."""
    pad, kind = model.open_pad, FIGURES[name].kind
    digits = pad.digits.rstrip(".")
    value, stands = typed_figure(model), None
    if value is None:
        return slab(look, words.figure_wanted(kind), "", None, key="keep", fixed=True)
    if name == STOP:
        if not side_of(pad):
            return slab(look, words.stop_side(), "", None, key="keep", fixed=True)
        title, more = words.new_stop_slab(digits), words.new_stop_more(pad.at)
    else:
        stands = planned(model.open_job.judgement.state.job, name, pad.at)
        title, more = (
            words.reel_keep(digits, words.unit_of(kind)),
            words.figure_planned(stands, kind),
        )
    press = go(model, send, "plan", pad.at) if value == stands else Send(send, PlanPadKept())
    return slab(look, title, more, press, key="keep", fixed=True)
