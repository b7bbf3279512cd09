"""A box of the plan: what can be done with it, its name, and its bond to earth."""

from __future__ import annotations

import flet as ft

from engine.inspan import PASSES
from engine.job import Box, Earth, Job
from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.messages import PlanMove, SheetClosed, SheetOpened
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.planpads import LEAD, MM2
from fieldapp.screens.plan_move import SHEET as MOVE
from fieldapp.screens.plan_parts import (
    further,
    go,
    head,
    name_field,
    row,
    side_by_side,
    thing_row,
    thing_title,
    wide,
)
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

SHEET = "bond"


def chosen_box(box: Box, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Turned, moved, taken out by one press each; then its name and its bond."""
    job = model.open_job.judgement.state.job
    title = words.box_title(box.id, box.kind, job.stops[box.stop].name)
    turn = (words.turn_button(), Send(send, PlanMove("turn", box.id)), "turn")
    presses = [
        *([turn] if box.kind in PASSES else []),
        (words.move_button(), Send(send, SheetOpened(MOVE, box.id)), "move"),
        (words.take_out_button(), Send(send, PlanMove("take-out", box.id)), "take-out"),
        *further(model, send, box.id),
    ]
    return [
        *head(look, title, words.sheet_name(box.sheet)),
        *(side_by_side(look, *presses[i : i + 2]) for i in range(0, len(presses), 2)),
        padded(
            name_field(("boxes", box.id, "name"), words.name_of(box.id), model, send, look), top=4
        ),
        *_bond(box, model, send, look),
        *_cables(box, model, send, look),
    ]


def _cables(box: Box, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The ways to its cables: a lead within a stop is too short on the line to be pressed."""
    job = model.open_job.judgement.state.job
    ends = [one.id for one in job.spans.values() if box.id in (one.a.box, one.b.box)]
    if not ends:
        return []
    return [
        padded(text(look, words.its_cables(box.id), 21, face="TB", cap=1.5), top=8),
        *(thing_row(one, "plan", thing_title(job, one), model, send, look) for one in ends),
    ]


def _bond(box: Box, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """How it is bonded; its lead is typed on the pad."""
    bond = box.bond
    said = words.bond_line(bond.to, bond.lead_m, bond.mm2) if bond is not None else words.no_bond()
    line = padded(text(look, said, 18, "soft", cap=1.5), top=4)
    other = Send(send, SheetOpened(SHEET, box.id))
    choose = wide(look, words.bond_button(bond is not None), other, key="bond")
    if bond is None:
        return [line, choose]
    leads = (
        (words.lead_button(bond.lead_m), go(model, send, "planpad", box.id, LEAD), LEAD),
        (words.mm2_button(bond.mm2), go(model, send, "planpad", box.id, MM2), MM2),
    )
    return [line, side_by_side(look, *leads), choose]


# ---------------------------------------------------------------- the earths to choose from


def bond_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Every earth of the plan, those of the box's own stop first; then a new one there."""
    job, of = model.open_job.judgement.state.job, model.open_sheet.of
    box = job.boxes[of]
    now = box.bond.to if box.bond is not None else ""
    rows = [
        _earth(job, earth, of, send, look)
        for earth in sorted(job.earths.values(), key=lambda one: one.stop != box.stop)
        if earth.id != now
    ]
    new = words.new_earth(job.stops[box.stop].name)
    made = Send(send, PlanMove("earth", of, box.stop))
    return [
        padded(text(look, words.bond_title(of), 24, cap=1.4), top=12),
        *rows,
        row(look, text(look, new, 19, cap=1.6), made, key="new-earth"),
    ]


def _earth(job: Job, earth: Earth, box: str, send: SendAny, look: Look) -> ft.Control:
    stop = job.stops[earth.stop]
    said = words.earth_choice(earth.id, earth.name or "", stop.name, stop.at_m)
    press = Send(send, PlanMove("bond", box, earth.id))
    return row(look, text(look, said, 19, cap=1.6), press, key=f"bond-{earth.id}")


def bond_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Leave it as it is."""
    close, wide_as = Send(send, SheetClosed()), look.width - 2 * MARGIN
    return [quiet(look, words.FIXED.not_now, close, key="sheet-close", width=wide_as)]
