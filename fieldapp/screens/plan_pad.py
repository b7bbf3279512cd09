"""A figure of the plan on the pad: a length, an earth lead, where a new stop is."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.drawing.digits import digits_picture
from fieldapp.halfdone import Pad
from fieldapp.messages import EditTyped, KeyPressed, PlanPadKept, StandingPicked
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import Send, SendText, frame, half, header, padded, quiet, slab, text, told
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
from fieldapp.screens.keypad import keys
from fieldapp.screens.plan_parts import go
from fieldapp.screens.shared import SendAny

TALL, LOW = 138.0, 84.0
"""of the digits; of those in a lower window, or with more above them [dp]"""


def plan_typing(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Large digits and the keys; the slab says what is kept."""
    pad, name = model.pad, figure_of(model.pad)
    job = model.job.judgement.state.job
    at = pad.at if pad.at in job.boxes or pad.at in job.spans else ""
    back = quiet(look, words.FIXED.back, go(model, send, "plan", at), key="back", height=56)
    if not there_is(job, name, pad.at):
        gone = padded(text(look, words.gone(), 24), top=16)
        return frame(look, top=[header(look, back, "", "", None)], body=[gone], actions=[])
    ends = (job.spans[pad.at].a.box, job.spans[pad.at].b.box) if name == LENGTH else ()
    title, meant = words.figure_title(name, pad.at), words.figure_meant(name, pad.at, *ends)
    unit = FIGURES[name].unit
    height = TALL if look.height >= 780 and name != STOP else LOW
    digits = digits_picture(pad.digits, unit, look.width, height)
    said = words.reel_typed(pad.digits, unit) if pad.digits else words.figure_wanted(unit)
    were = words.reel_typing_line(pad.digits, unit, pad.since)
    restored = pad.restored and pad.digits
    return frame(
        look,
        top=[header(look, back, title, meant, None), *told(look, model)],
        body=[
            *([padded(text(look, were, 17, "soft", "TI"))] if restored else []),
            *(_stop(model, pad, send, look) if name == STOP else []),
            spoken(look, digits, said),
        ],
        actions=[],
        foot=ft.Column(
            [
                keys(look, lambda key: Send(send, KeyPressed(key))),
                padded(_keep(model, name, send, look), top=8, bottom=8),
            ],
            spacing=0,
        ),
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
    pad, unit = model.pad, FIGURES[name].unit
    digits = pad.digits.rstrip(".")
    value, stands = typed_figure(model), None
    if value is None:
        return slab(look, words.figure_wanted(unit), "", None, key="keep", fixed=True)
    if name == STOP:
        if not side_of(pad):
            return slab(look, words.stop_side(), "", None, key="keep", fixed=True)
        title, more = words.new_stop_slab(digits), words.new_stop_more(pad.at)
    else:
        stands = planned(model.job.judgement.state.job, name, pad.at)
        title, more = words.reel_keep(digits, unit), words.figure_planned(stands, unit)
    press = go(model, send, "plan", pad.at) if value == stands else Send(send, PlanPadKept())
    return slab(look, title, more, press, key="keep", fixed=True)
