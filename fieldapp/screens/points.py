"""The points of a run in a wide window: each with what was read or is expected, one chosen."""

from __future__ import annotations

import flet as ft

from engine.job import Point
from engine.verdict import OUTSIDE
from fieldapp import words
from fieldapp.buttons import row_button
from fieldapp.drawing.gauge import mark
from fieldapp.drawing.shapes import Picture
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look, canvas
from fieldapp.parts import tag, text
from fieldapp.routes import Place, route_of
from fieldapp.runline import has_learned, latest_at, ordered_points
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.stepview import bands_of

MARK = 64.0
"""what the mark of a verdict takes of a row [dp]"""


def points_body(model: Model, at: Point | None, send: SendAny, look: Look) -> list[ft.Control]:
    """All points from the feed outwards, a row each; a press chooses one."""
    points = ordered_points(model.open_job.judgement.prediction)
    return [ft.Column([_row(model, one, one == at, send, look) for one in points], spacing=0)]


def _row(model: Model, at: Point, chosen: bool, send: SendAny, look: Look) -> ft.Control:
    verdict = latest_at(model.open_job.judgement, str(at))
    name = words.point(str(at))
    title = tag(look, name) if chosen else text(look, name, 18, face="PB", cap=1.4, max_lines=1)
    if verdict is None:
        drawn: ft.Control = ft.Container(width=MARK)
        said = text(look, expected(model, at), 18, "soft", cap=1.6, max_lines=1)
    else:
        ink = "signal" if verdict.verdict == OUTSIDE else "ink"
        picture = Picture(MARK, 20, tuple(mark(verdict.verdict, 0, 1)))
        drawn = ft.Semantics(content=canvas(look, picture), exclude_semantics=True)
        read = words.with_unit(abs(verdict.reading.figure))
        word = f"**{read}**  {words.VERDICTS[verdict.verdict]}"
        said = text(look, word, 18, ink, cap=1.6, max_lines=1)
    row = ft.Row(
        [ft.Row([title], expand=2), drawn, ft.Container(said, expand=3)],
        spacing=8,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    there = Send(send, Go(route_of(Place("run", model.open_job.id, str(at)))))
    inside = ft.Container(row, padding=ft.Padding.symmetric(vertical=14))
    return ft.Container(
        row_button(look, inside, there, key=f"at-{at}", left=MARGIN),
        border=ft.Border.only(bottom=ft.BorderSide(1, look.tokens["hair"])),
    )


def expected(model: Model, at: Point) -> str:
    """What a point should show: by today's readings, else by the plan."""
    judgement = model.open_job.judgement
    seen = judgement.prediction.points[at]
    narrows = seen.state == "on" and has_learned(judgement)
    today = bands_of(model, str(at), "volts").today if narrows else None
    if today is not None and today.low is not None and today.high is not None:
        return words.predicted_today(today.low, today.high)
    return words.predicted(seen.volts.low, seen.volts.high, seen.state)
