"""Where a box stands: the stops there are, or a new one."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.messages import PlanMove, SheetClosed
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.planpads import STOP
from fieldapp.screens.plan_parts import go, row
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

SHEET = "move"


def move_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One press a stop, in the order of their metres; last a new one, whose metres are asked."""
    sheet, plan = model.open_sheet, model.open_job.judgement.state.job
    here = plan.boxes[sheet.of].stop
    stops = sorted(plan.stops.values(), key=lambda stop: stop.at_m)
    rows: list[ft.Control] = [
        row(
            look,
            text(look, words.stop_choice(stop.name, stop.at_m), 19, cap=1.6),
            Send(send, PlanMove("move", sheet.of, stop.id)),
            key=f"stop-{stop.id}",
        )
        for stop in stops
        if stop.id != here
    ]
    new = go(model, send, "planpad", sheet.of, STOP)
    rows.append(row(look, text(look, words.new_stop_button(), 19, cap=1.6), new, key="new-stop"))
    return [padded(text(look, words.move_title(sheet.of), 24, cap=1.4), top=12), *rows]


def move_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Leave it where it is."""
    close, wide = Send(send, SheetClosed()), look.width - 2 * MARGIN
    return [quiet(look, words.FIXED.not_now, close, key="sheet-close", width=wide)]
