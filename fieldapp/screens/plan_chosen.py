"""What is chosen in the plan: a span that a box can be put into, a box, or the whole of it."""

from __future__ import annotations

from itertools import zip_longest

import flet as ft

from engine.job import Box, Job, Span
from engine.planning import PASSES
from engine.sheets import STARTER
from fieldapp import words
from fieldapp.drawing.boxes import box_shapes
from fieldapp.drawing.shapes import Line, Picture
from fieldapp.messages import (
    CopyJobPressed,
    EditAccepted,
    EditTyped,
    Go,
    PlanMove,
    SheetOpened,
)
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import MARGIN, Send, SendText, padded, pair, quiet, row_button, text
from fieldapp.planmoves import PUT_IN, sheet_to_put
from fieldapp.questions import value_at
from fieldapp.routes import Place, route_of
from fieldapp.runline import outline, run_line
from fieldapp.screens.fields import field
from fieldapp.screens.plan_move import SHEET
from fieldapp.screens.shared import SendAny

OUTLINE_WIDE, OUTLINE_TALL = 68.0, 36.0
"""the outline beside a kind of box in the list [dp]"""


def chosen(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The span or box of the route; without one the names of the job and all there is."""
    job = model.job.judgement.state.job
    at = model.place.at
    if at in job.spans:
        return _span(job.spans[at], model, send, look)
    if at in job.boxes:
        return _box(job.boxes[at], model, send, look)
    return _all(job, model, send, look)


# ---------------------------------------------------------------- a span


def _span(span: Span, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    job = model.job.judgement.state.job
    path = ("spans", span.id, "length_m")
    title = words.span_title(span.id, span.a.box, span.b.box)
    label = words.length_of(span.id, span.a.box, span.b.box)
    return [
        padded(text(look, title, 21, cap=1.5)),
        padded(text(look, span.cable.title or span.cable.id, 17, "soft", "TI", cap=1.5)),
        padded(_field(path, label, model, send, look), top=4),
        padded(text(look, words.put_into(span.id), 21, face="TB", cap=1.5), top=4),
        *(_put(job, span, kind, send, look) for kind in PUT_IN),
    ]


def _put(job: Job, span: Span, kind: str, send: SendAny, look: Look) -> ft.Control:
    """A kind of box in words, its outline beside it."""
    name = sheet_to_put(job, span, kind)
    sheet = job.sheets.get(name) or STARTER[name]
    box = Box(id="", sheet=sheet, name="", stop="")
    left, right = (outline(box, port) for port in PASSES[kind])
    lines = ft.Column(
        [
            text(look, words.kind_word(kind), 20, face="TM", cap=1.5),
            text(look, sheet.title or name, 16, "soft", cap=1.5),
        ],
        spacing=0,
        expand=True,
    )
    row = ft.Row([canvas(look, drawn_kind(kind, (left, right))), lines], spacing=12)
    return ft.Container(
        row_button(
            look,
            ft.Container(row, padding=ft.Padding.symmetric(vertical=8)),
            Send(send, PlanMove("put-in", span.id, name)),
            key=f"put-{kind}",
        ),
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
    )


def drawn_kind(kind: str, sides: tuple[str, str]) -> Picture:
    """A kind of box in a piece of cable."""
    middle, w, h = OUTLINE_TALL / 2, 34.0, 28.0
    left = (OUTLINE_WIDE - w) / 2
    ends = ((0.0, left + 4), (left + w - 4, OUTLINE_WIDE))
    shapes = [Line(a, middle + y, b, middle + y, "ink", 1.8) for a, b in ends for y in (-3, 3)]
    shapes += box_shapes(kind, sides, left, middle - h / 2, w, h)
    return Picture(OUTLINE_WIDE, OUTLINE_TALL, tuple(shapes))


# ---------------------------------------------------------------- a box


def _box(box: Box, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    job = model.job.judgement.state.job
    moves = [
        quiet(
            look,
            words.move_button(),
            Send(send, SheetOpened(SHEET, box.id)),
            key="move",
            expand=True,
        ),
        quiet(
            look,
            words.take_out_button(),
            Send(send, PlanMove("take-out", box.id)),
            key="take-out",
            expand=True,
        ),
    ]
    turn = quiet(
        look,
        words.turn_button(),
        Send(send, PlanMove("turn", box.id)),
        key="turn",
        width=look.width - 2 * MARGIN,
    )
    title = words.box_title(box.id, box.kind, job.stops[box.stop].name)
    return [
        padded(text(look, title, 21, cap=1.5)),
        padded(text(look, box.sheet.title or box.sheet.id, 17, "soft", "TI", cap=1.5)),
        *([padded(turn)] if box.kind in PASSES else []),
        padded(pair(look, *moves)),
        padded(_field(("boxes", box.id, "name"), words.name_of(box.id), model, send, look), top=4),
        *_bond(box, job, send, look),
    ]


def _bond(box: Box, job: Job, send: SendAny, look: Look) -> list[ft.Control]:
    """How it is bonded, and the earths of the plan it can be bonded to."""
    bond = box.bond
    said = words.bond_line(bond.to, bond.lead_m) if bond is not None else words.no_bond()
    at_hand = [
        one
        for one in job.earths.values()
        if one.stop == box.stop and (bond is None or one.id != bond.to)
    ]
    return [
        padded(text(look, said, 18, "soft", cap=1.5)),
        *(
            padded(
                quiet(
                    look,
                    words.bond_button(one.name or one.id),
                    Send(send, PlanMove("bond", box.id, one.id)),
                    key=f"bond-{one.id}",
                    width=look.width - 2 * MARGIN,
                )
            )
            for one in at_hand
        ),
    ]


# ---------------------------------------------------------------- all of it


def _all(job: Job, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The names of job and site, and every box and span to be chosen from a list."""
    names = ((("title",), words.FIXED.title_label), (("site", "name"), words.site_label()))
    fields = [_field(path, label, model, send, look) for path, label in names]
    copy = Send(send, CopyJobPressed(job.id, words.copy_title(job.title)))
    rows = [_row(key, title, model, send, look) for key, title in _things(model)]
    return [
        padded(ft.Column(fields, spacing=12), top=8),
        padded(
            quiet(
                look,
                words.duplicate_button(),
                copy,
                key="duplicate",
                width=look.width - 2 * MARGIN,
            )
        ),
        padded(text(look, words.nothing_chosen(), 21, face="TB", cap=1.5), top=8),
        *rows,
    ]


def _things(model: Model) -> list[tuple[str, str]]:
    """Boxes and spans in the order of the run, then those of the branches and any other."""
    job = model.job.judgement.state.job
    line = run_line(model.job.judgement)
    order: list[str] = []
    for part in (line, *line.branches):
        spans = [span.id for span in part.spans]
        boxes = [box.id for box in part.boxes]
        rows = (spans, boxes) if part is not line else (boxes, spans)
        order += [one for both in zip_longest(*rows) for one in both if one is not None]
    every = dict.fromkeys([*order, *job.boxes, *job.spans])
    return [(one, _title(job, one)) for one in every]


def _title(job: Job, thing: str) -> str:
    if thing in job.boxes:
        box = job.boxes[thing]
        return words.box_title(box.id, box.kind, job.stops[box.stop].name)
    span = job.spans[thing]
    metres = words.metres(span.length_m.expected)
    return f"{words.span_title(span.id, span.a.box, span.b.box)}, {metres}"


def _row(thing: str, title: str, model: Model, send: SendAny, look: Look) -> ft.Control:
    press = Send(send, Go(route_of(Place("plan", model.job.id, thing))))
    inside = ft.Container(text(look, title, 19, cap=1.6), padding=ft.Padding.symmetric(vertical=18))
    return ft.Container(
        row_button(look, inside, press, key=f"thing-{thing}"),
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
    )


def _field(
    path: tuple[str, ...], label: str, model: Model, send: SendAny, look: Look
) -> ft.Control:
    edit = model.edit
    stands = value_at(model.job.judgement.state.doc, path)
    shown = edit.text if edit is not None and edit.path == path else words.plan_value(stands)
    return field(
        look,
        label,
        shown,
        SendText(send, EditTyped, path),
        key="edit-" + "/".join(path),
        on_submit=Send(send, EditAccepted()),
        numeric=path[-1] == "length_m",
    )
