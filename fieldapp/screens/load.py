"""A known load: in place of which box, and what it draws. It parts cable from load."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.messages import LoadPicked, SheetClosed
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.questions import stand_ins
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

READY = (5.0, 10.0, 15.0, 25.0)
"""watts that known loads are made for (common practice: round steps within the classes)"""
STEP = 1.0
FIRST = 15.0


def load_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Boxes it can stand in for, and its watts in ready values and steps of one."""
    pad = model.open_pad
    boxes = stand_ins(model.open_job, pad.at)
    box = pad.box if pad.box in boxes else boxes[-1]
    plan = model.open_job.judgement.state.job
    which = [
        half(
            look,
            name,
            plan.boxes[name].name,
            Send(send, LoadPicked(name, FIRST if pad.watts is None else pad.watts)),
            chosen=name == box,
            key=f"load-box-{name}",
        )
        for name in boxes
    ]
    ready = [
        half(
            look,
            words.watts(value) if value else words.unplugged(),
            "",
            Send(send, LoadPicked(box, value)),
            chosen=pad.watts == value,
            key=f"load-{value:g}",
            face="PB",
            share=4 if value else 6,
        )
        for value in (*READY, 0.0)
    ]
    return [
        padded(text(look, words.load_title(), 24, cap=1.4), top=12),
        padded(text(look, words.load_box(), 19, "soft", "TMI", cap=1.4)),
        padded(ft.Row(which, spacing=0)),
        padded(text(look, words.load_watts(), 19, "soft", "TMI", cap=1.4)),
        padded(ft.Row(ready, spacing=0)),
        padded(_steps(box, pad.watts, send, look)),
    ]


def _steps(box: str, watts: float | None, send: SendAny, look: Look) -> ft.Control:
    now = FIRST if watts is None else watts
    rows = ((words.less_watts(), now - STEP, "less"), (words.more_watts(), now + STEP, "more"))
    return ft.Row(
        [
            quiet(
                look,
                title,
                Send(send, LoadPicked(box, max(value, 0.0))),
                key=f"load-{key}",
                expand=True,
                height=72,
            )
            for title, value, key in rows
        ],
        spacing=8,
    )


def load_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """It is set with every press; the slab goes back to the digits."""
    pad = model.open_pad
    close = Send(send, SheetClosed())
    if pad.standing != "known" or pad.watts is None:
        wide = look.width - 2 * MARGIN
        return [quiet(look, words.FIXED.not_now, close, key="sheet-close", width=wide)]
    return [
        slab(look, words.load_slab(pad.box, pad.watts), words.load_held(), close, key="load-set")
    ]
