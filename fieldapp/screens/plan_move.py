"""Where a box stands: the stops there are, or a new one."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.messages import PlanMove, SheetClosed, SheetTyped, StopMade
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import MARGIN, Send, SendText, padded, quiet, slab, text
from fieldapp.planmoves import metres_of
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny

SHEET = "move"


def move_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One press a stop; below them the two fields of a new one."""
    sheet, plan = model.sheet, model.job.judgement.state.job
    here = plan.boxes[sheet.of].stop
    wide = look.width - 2 * MARGIN
    rows: list[ft.Control] = [
        quiet(
            look,
            words.stop_choice(stop.name, stop.at_m),
            Send(send, PlanMove("move", sheet.of, stop.id)),
            key=f"stop-{stop.id}",
            width=wide,
        )
        for stop in plan.stops.values()
        if stop.id != here
    ]
    fields = (
        (words.new_stop_metres(), "where", sheet.where, True),
        (words.new_stop_name(), "name", sheet.name, False),
    )
    rows += [
        field(
            look,
            label,
            value,
            SendText(send, SheetTyped, key),
            key=f"stop-{key}",
            numeric=numeric,
            on_submit=Send(send, StopMade(sheet.of)),
        )
        for label, key, value, numeric in fields
    ]
    return [
        padded(text(look, words.move_title(sheet.of), 24, cap=1.4), top=12),
        padded(ft.Column(rows, spacing=12), bottom=16),
    ]


def move_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Make the new stop once its metres are there, or leave it all as it is."""
    sheet = model.sheet
    ready = metres_of(sheet.where) is not None
    press = Send(send, StopMade(sheet.of)) if ready else None
    close = Send(send, SheetClosed())
    wide = look.width - 2 * MARGIN
    return [
        slab(look, words.new_stop_slab(ready), "", press, key="make-stop"),
        quiet(look, words.FIXED.not_now, close, key="sheet-close", width=wide),
    ]
