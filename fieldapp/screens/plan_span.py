"""A span of the plan: its length, its sheet, and the boxes that can be put into it."""

from __future__ import annotations

import flet as ft

from engine.inspan import PASSES
from engine.job import Box, BoxSheet, Job, Span
from engine.sheets import STARTER
from fieldapp import words
from fieldapp.drawing.boxes import box_shapes
from fieldapp.drawing.shapes import Line, Picture, Shape
from fieldapp.messages import PlanMove
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import padded, text
from fieldapp.planmoves import PUT_IN, sheet_to_put
from fieldapp.planpads import LENGTH
from fieldapp.runline import outline
from fieldapp.screens.plan_parts import further, go, head, row, side_by_side
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

OUTLINE_WIDE, OUTLINE_TALL = 68.0, 36.0
"""the outline beside a kind of box in the list [dp]"""


def chosen_span(span: Span, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The length leads to the pad; a kind of box in words goes into the span."""
    job = model.open_job.judgement.state.job
    title = words.span_title(span.id, span.a.box, span.b.box)
    length = words.metres(span.length_m.expected)
    return [
        *head(look, title, words.sheet_name(span.cable)),
        side_by_side(
            look,
            (length, go(model, send, "planpad", span.id, LENGTH), "length"),
            *further(model, send, span.id),
        ),
        padded(text(look, words.put_into(span.id), 21, face="TB", cap=1.5), top=4),
        *(_put(job, span, kind, send, look) for kind in PUT_IN),
    ]


def _put(job: Job, span: Span, kind: str, send: SendAny, look: Look) -> ft.Control:
    """A kind of box in words, its outline beside it."""
    name = sheet_to_put(job, span, kind)
    sheet = job.sheets.get(name) or STARTER[name]
    assert isinstance(sheet, BoxSheet)
    box = Box(id="", sheet=sheet, name="", stop="")
    left, right = (outline(box, port) for port in PASSES[kind])
    lines = ft.Column(
        [
            text(look, words.kind_word(kind), 20, face="TM", cap=1.5),
            text(look, words.sheet_name(sheet), 16, "soft", cap=1.5),
        ],
        spacing=0,
        expand=True,
    )
    inside = ft.Row([canvas(look, drawn_kind(kind, (left, right))), lines], spacing=12)
    press = Send(send, PlanMove("put-in", span.id, name))
    return row(look, inside, press, key=f"put-{kind}", high=8)


def drawn_kind(kind: str, sides: tuple[str, str]) -> Picture:
    """A kind of box in a piece of cable."""
    middle, w, h = OUTLINE_TALL / 2, 34.0, 28.0
    left = (OUTLINE_WIDE - w) / 2
    ends = ((0.0, left + 4), (left + w - 4, OUTLINE_WIDE))
    shapes: list[Shape] = [
        Line(a, middle + y, b, middle + y, "ink", 1.8) for a, b in ends for y in (-3, 3)
    ]
    shapes += box_shapes(kind, sides, left, middle - h / 2, w, h)
    return Picture(OUTLINE_WIDE, OUTLINE_TALL, tuple(shapes))
