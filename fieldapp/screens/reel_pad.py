"""The pad of a reel: its figures typed one by one, and what they would make of it."""

from __future__ import annotations

import flet as ft

from engine.reel import ReelCheck
from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drawing.digits import digits_picture
from fieldapp.framing import frame
from fieldapp.halfdone import Pad
from fieldapp.heading import header
from fieldapp.messages import (
    Go,
    KeyPressed,
    ReelKept,
    ReelMeter,
    StandingPicked,
)
from fieldapp.meters import with_own
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.reeling import (
    ABOVE,
    BELOW,
    FIELDS,
    MARKS,
    field_of,
    reel_check,
    reel_of,
    reel_route,
    typed_reel,
    wanted_m,
)
from fieldapp.routes import Place, route_of
from fieldapp.screens.keypad import above_keys, digits_height, keys
from fieldapp.screens.reel import reel_gauge
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.window import WIDE
from fieldapp.words.units import kept_figure


def reel_typing(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One figure of a reel; the bead moves as one types its ohms."""
    pad, job = model.open_pad, model.open_job
    span = job.judgement.state.job.spans.get(pad.at)
    if span is None:
        now = Send(send, Go(route_of(Place("now", job.id))))
        out = quiet(look, words.FIXED.back, now, key="back", height=56)
        gone = padded(text(look, words.not_in_job(pad.at), 24), top=16)
        return frame(look, top=[header(look, out, "", "", None)], body=[gone], actions=[])
    name = field_of(pad)
    title, unit, meant = words.reel_title(name), words.reel_unit(name), words.reel_meant(name)
    back = Send(send, Go(reel_route(model, pad.at)))
    line = words.reel_for(pad.at, wanted_m(span))
    behind = quiet(look, words.FIXED.back, back, key="back", height=56)
    top = [header(look, behind, title, line, None), *told(look, model)]
    digits = digits_picture(words.as_typed(pad.digits), unit, look.width, digits_height(look))
    value = kept_figure(pad.digits, FIELDS.get(name, name))
    said = words.reel_typed(pad.digits, unit) if pad.digits else words.reel_type_it(name in MARKS)
    body: list[ft.Control] = []
    beside: list[ft.Control] = []
    if pad.restored and pad.digits:
        were = words.reel_typing_line(pad.digits, unit, pad.since)
        body.append(padded(text(look, were, 17, "soft", "TI")))
    body.append(padded(text(look, words.capital(meant), 20, cap=1.4), top=6))
    typed = spoken(look, digits, said)
    known = typed_reel(model) or reel_of(job.judgement.state, pad.at)
    check = reel_check(job, known)
    if name == "celsius":
        body.append(_frost(pad, send, look))
    if name == "ohms":
        # nothing is judged in a word before it is kept: the bead alone moves
        body += [typed, *reel_gauge(pad.at, check, look)]
        meter = _meter(model, pad, value, send, look)
        if look.shape == WIDE:
            beside = [meter]
        else:
            body.append(padded(meter, bottom=4))
    if value is None:
        keep = slab(look, words.reel_type_it(name in MARKS), "", None, key="keep", fixed=True)
    else:
        comment = _comment(name, pad.at, check)
        press = Send(send, ReelKept())
        title = words.reel_keep(pad.digits, unit)
        keep = slab(look, title, comment, press, key="keep", fixed=True)
    pad_keys = keys(look, lambda key: Send(send, KeyPressed(key)), left=beside)
    foot = [pad_keys, padded(keep, top=8, bottom=8)]
    if name != "ohms":
        body, foot = above_keys(look, typed, body, foot)
    return frame(look, top=top, body=body, actions=[], foot=ft.Column(foot, spacing=0))


def _comment(name: str, span: str, check: ReelCheck) -> str:
    """What two marks give; never a refusal."""
    length, spare = check.length_m, check.spare_m
    if name not in MARKS or length is None or spare is None:
        return words.FIXED.kept_as_is
    if spare < 0:
        return words.reel_short_of(-spare, span)
    return words.reel_over(length, spare)


def _frost(pad: Pad, send: SendAny, look: Look) -> ft.Control:
    """The pad has no minus: frost is chosen."""
    ways = ((ABOVE, words.reel_above()), (BELOW, words.reel_below()))
    row = [
        half(
            look,
            title,
            "",
            Send(send, StandingPicked(way)),
            chosen=(pad.standing == BELOW) == (way == BELOW),
            key=f"reel-{way}",
        )
        for way, title in ways
    ]
    return padded(ft.Row(row, spacing=0), bottom=4)


def _meter(model: Model, pad: Pad, value: float | None, send: SendAny, look: Look) -> ft.Control:
    plan = with_own(model, model.open_job)
    meter, accuracy = plan.meters.get(pad.meter), plan.accuracy(pad.meter, "loop_ohms")
    reach = words.FIXED.no_reach
    if accuracy is not None:
        reach = words.meter_reach(accuracy.reach(value or 0.0), "loop_ohms")
    title = meter.name if meter else words.FIXED.no_meter
    row = [half(look, title, reach, Send(send, ReelMeter()), chosen=False, key="meter")]
    return ft.Row(row, spacing=0)
