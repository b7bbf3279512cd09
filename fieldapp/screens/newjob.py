"""A new run: how far it is, then what stands at its far end; a first plan follows."""

from __future__ import annotations

from typing import Any

import flet as ft

from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drawing.digits import digits_picture
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go, LayPressed, NewKey, NewPicked
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.planmoves import run_metres
from fieldapp.pressing import spoken
from fieldapp.routes import JOBS, SAMPLES
from fieldapp.screens.keypad import above_keys, digits_height, keys
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.window import TURNED

LENGTH = "metres"
"""the kind of figure that is asked for"""
WATTS = (4.0, 7.0, 13.0, 25.0, 51.0)
"""round steps within the classes of the published power standards (common practice)"""
SPEEDS = (10, 100, 1000)


def newjob(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One question a page."""
    return (_load if model.new.asked == "load" else _metres)(model, send, look)


def _metres(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    new, ready = model.new, run_metres(model.new) > 0
    back = quiet(look, words.FIXED.back, Send(send, Go(JOBS)), key="back", height=56)
    go_on = Send(send, NewPicked("asked", "load")) if ready else None
    samples = quiet(
        look,
        words.FIXED.try_sample,
        Send(send, Go(SAMPLES)),
        key="samples",
        width=look.width - 2 * MARGIN,
    )
    top = [header(look, back, words.FIXED.plan_a_run, "", None), *told(look, model)]
    pad = keys(look, lambda key: Send(send, NewKey(key)), prefix="new")
    main = slab(look, words.next_button(), "", go_on, key="go-on", fixed=True)
    digits = digits_picture(
        words.as_typed(new.digits), words.unit_of(LENGTH), look.width, digits_height(look)
    )
    foot = [pad, padded(main, top=8, bottom=8)]
    asked = [padded(text(look, words.how_far(), 28, cap=1.5), top=8)]
    if look.shape != TURNED:  # there the keys leave no room below them
        foot.append(padded(samples, bottom=8))
    typed = spoken(look, digits, words.far_metres(new.digits))
    body, foot = above_keys(look, typed, asked, foot)
    if look.shape == TURNED:
        body.append(padded(samples))
    return frame(look, top=top, body=body, actions=[], foot=ft.Column(foot, spacing=0))


def _load(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    new = model.new
    metres = run_metres(new)
    back = quiet(
        look, words.FIXED.back, Send(send, NewPicked("asked", "metres")), key="back", height=56
    )
    rows = (
        (words.watts_choice(), "watts", [(one, words.watts_value(one)) for one in WATTS]),
        (words.speed_choice(), "mbps", [(one, words.mbps_value(one)) for one in SPEEDS]),
        (words.ground_choice(), "outdoor", [(one, words.outdoors(one)) for one in (True, False)]),
    )
    body: list[ft.Control] = [padded(text(look, words.what_load(), 28, cap=1.5), top=8)]
    for title, field, choices in rows:
        body.append(padded(text(look, title, 19, "soft", "TMI", cap=1.4), top=8))
        body.append(padded(_halves(field, choices, getattr(new, field), send, look)))
    lay = Send(send, LayPressed(words.run_title(metres)))
    return frame(
        look,
        top=[
            header(look, back, words.FIXED.plan_a_run, words.far_metres(new.digits), None),
            *told(look, model),
        ],
        body=body,
        actions=[slab(look, words.lay_button(), words.lay_more(), lay, key="lay")],
    )


def _halves(
    field: str, choices: list[tuple[Any, str]], chosen: Any, send: SendAny, look: Look
) -> ft.Control:
    return ft.Row(
        [
            half(
                look,
                name,
                "",
                Send(send, NewPicked(field, value)),
                chosen=value == chosen,
                key=f"new-{field}-{value}",
                face="PB",
            )
            for value, name in choices
        ],
        spacing=0,
    )
