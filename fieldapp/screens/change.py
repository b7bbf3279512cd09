"""What was mended: where, and what was done. Older readings of that run then stop counting."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drafts import change_draft
from fieldapp.messages import ChangePressed, SheetClosed, SheetTyped
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.questions import mendable
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText

IN_A_ROW = 3


def change_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Places near the reading, ready words for the deed, and own ones."""
    sheet = model.open_sheet
    plan = model.open_job.judgement.state.job
    names = mendable(model.open_job, sheet.of)

    def kind_of(name: str) -> str:
        if name in plan.spans:
            return words.metres(plan.spans[name].length_m.expected)
        return words.boxes_kind(plan.boxes[name].kind) if name in plan.boxes else ""

    places = [
        half(
            look,
            name,
            kind_of(name),
            Send(send, SheetTyped("where", name)),
            chosen=sheet.where == name,
            key=f"where-{name}",
        )
        for name in names
    ]
    rows = [ft.Row(places[i : i + IN_A_ROW], spacing=0) for i in range(0, len(places), IN_A_ROW)]
    deeds = [
        quiet(
            look,
            deed,
            Send(send, SheetTyped("reason", deed)),
            key=f"did-{deed}",
            strong=sheet.reason == deed,
            width=look.width - 2 * MARGIN,
            height=56,
        )
        for deed in words.MENDED
    ]
    own = sheet.reason if sheet.reason not in words.MENDED else ""
    typed = SendText(send, SheetTyped, "reason")
    return [
        padded(text(look, words.mended_where(), 22, face="TB", cap=1.4), top=12),
        padded(ft.Column(rows, spacing=0)),
        padded(text(look, words.mended_what(), 22, face="TB", cap=1.4)),
        padded(
            ft.Column([*deeds, field(look, words.mended_own(), own, typed, key="did")], spacing=8),
            bottom=8,
        ),
    ]


def change_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Keep it, once a place and a deed are there."""
    ready = change_draft(model.open_sheet) is not None
    press = Send(send, ChangePressed()) if ready else None
    more = words.mended_strikes() if ready else words.mended_missing()
    return [
        slab(look, words.keep_mended(), more, press, key="keep-mended"),
        quiet(
            look,
            words.FIXED.not_now,
            Send(send, SheetClosed()),
            key="sheet-close",
            width=look.width - 2 * MARGIN,
        ),
    ]
