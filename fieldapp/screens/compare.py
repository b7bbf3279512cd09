"""Compare: two plans of this phone, their lines over the same axes, their figures row by row."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import flet as ft

from engine.compare import OTHER, THIS, Comparison, Need, Row, compare
from engine.judge import Judgement
from fieldapp import words
from fieldapp.buttons import quiet, row_button, slab
from fieldapp.comparing import compared_with, course_of, end_volts, others
from fieldapp.drawing.beside import two_lines
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import CopyJobPressed, Go, OpenJobPressed
from fieldapp.model import JobRow, Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.screens.jobs import job_lines, title_of
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

FIGURE = 98.0
"""how wide the figures of one plan are [dp]"""
WIDEST = 640.0
"""a table is not wider than can be read across [dp]"""


def comparing(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The job that the route names beside this one; without a name the jobs to choose from."""
    if not model.place.at:
        return _choice(model, send, look)
    row = compared_with(model)
    if row is None:
        return _not_here(model, send, look)
    return _beside(model, row, send, look)


def _top(
    model: Model, more: str, right: ft.Control | None, send: SendAny, look: Look
) -> list[ft.Control]:
    back = Send(send, Go(route_of(Place("plan", model.open_job.id))))
    title = model.open_job.judgement.state.job.title
    left = quiet(look, words.FIXED.back, back, key="back", height=56)
    return [header(look, left, title, more, right), *told(look, model)]


# ---------------------------------------------------------------- which job


def _choice(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    there = others(model)
    if not model.rows:
        return _says(model, words.FIXED.waiting, [], send, look)
    if not there:
        title = words.copy_title(model.open_job.judgement.state.job.title)
        press = Send(send, CopyJobPressed(model.open_job.id, title))
        more = words.copy_to_compare()
        copy = slab(look, words.duplicate_button(), more, press, key="duplicate")
        return _says(model, words.nothing_beside(), [copy], send, look)
    return frame(
        look,
        top=_top(model, "", None, send, look),
        body=[
            padded(text(look, words.compare_with(), 28, cap=1.5), top=8),
            *(_job(model, row, send, look) for row in there),
        ],
        actions=[],
    )


def _job(model: Model, row: JobRow, send: SendAny, look: Look) -> ft.Control:
    press = Send(send, Go(route_of(Place("compare", model.open_job.id, row.id))))
    lines = ft.Column(job_lines(row, look, title_of(row, model)), spacing=2, tight=True)
    inside = ft.Container(lines, padding=ft.Padding.symmetric(vertical=12))
    return ft.Container(
        row_button(look, inside, press, key=f"beside-{row.id}"),
        border=ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"])),
    )


def _not_here(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    if not model.rows:
        return _says(model, words.FIXED.waiting, [], send, look)
    another = _another(model, send, look, width=look.width - 2 * MARGIN)
    return _says(model, words.gone_beside(), [another], send, look)


def _says(
    model: Model, sentence: str, actions: list[ft.Control], send: SendAny, look: Look
) -> list[ft.Control]:
    return frame(
        look,
        top=_top(model, "", None, send, look),
        body=[padded(text(look, sentence, 28, cap=1.5), top=24)],
        actions=actions,
    )


def _another(model: Model, send: SendAny, look: Look, **more: Any) -> ft.Control:
    press = Send(send, Go(route_of(Place("compare", model.open_job.id))))
    return quiet(look, words.another_button(), press, key="another", **more)


# ---------------------------------------------------------------- two of them


def _beside(model: Model, row: JobRow, send: SendAny, look: Look) -> list[ft.Control]:
    mine, its = model.open_job.judgement, row.judged
    title = its.state.job.title
    found = compare(mine, its)
    # with large letters the title needs the head for itself
    more, large = len(others(model)) > 1, look.scale >= LARGE
    right = _another(model, send, look, height=56) if more and not large else None
    foot = [padded(_another(model, send, look))] if more and large else []
    press = Send(send, OpenJobPressed(row.id, route_of(Place("plan", row.id))))
    wide = look.width - 2 * MARGIN
    opens = quiet(look, words.open_job(title), press, key="open-other", width=wide)
    ends = words.far_ends(*found.ends)
    figures = [_heads(title, look), *(_row(one, ends, look) for one in found.rows)]
    return frame(
        look,
        top=_top(model, words.beside(title), right, send, look),
        body=[
            _lines(mine, its, title, found.ends, look),
            padded(ft.Container(ft.Column(figures, spacing=0), width=min(wide, WIDEST))),
            *_needs(found, title, look),
            *foot,
        ],
        actions=[opens],
    )


def _lines(
    mine: Judgement, its: Judgement, title: str, ends: tuple[str, str], look: Look
) -> ft.Control:
    courses = []
    sides = ((mine, words.this_plan(), ends[0]), (its, title, ends[1]))
    for judgement, name, end in sides:
        course = course_of(judgement, name, end)
        named = words.line_end(name, end_volts(course))
        courses.append(replace(course, name=named))
    this, other = courses
    picture = two_lines(this, other, look.width, wording=words.WORDING, letters=look.scale)
    return spoken(look, picture, words.speak_two_lines(this.name, other.name))


def _heads(title: str, look: Look) -> ft.Control:
    cut = {"max_lines": 2, "overflow": ft.TextOverflow.ELLIPSIS}
    heads = [
        text(look, name, 16, "soft", "TMI", cap=1.3, text_align=ft.TextAlign.RIGHT, **cut)
        for name in (words.this_plan(), title)
    ]
    return _laid(ft.Container(), heads, look, 2.5, "ink")


def _row(row: Row, ends: str, look: Look) -> ft.Control:
    what = words.compared(row.code, row.of or ends)
    values = [words.compared_value(row.code, value) for value in (row.this, row.other)]
    name = text(look, what, 17, "soft", cap=1.6)
    figures = [
        text(
            look,
            value,
            18,
            "ink",
            "TB" if row.better == side else "T",
            cap=1.6,
            text_align=ft.TextAlign.RIGHT,
        )
        for side, value in zip((THIS, OTHER), values, strict=True)
    ]
    return ft.Semantics(
        label=words.speak_compared(what, *values),
        exclude_semantics=True,
        content=_laid(name, figures, look, 1.0, "hair"),
    )


def _laid(
    name: ft.Control, figures: list[ft.Control], look: Look, line: float, token: str
) -> ft.Control:
    """One row: the name left, two figures right; with large letters the name stands above."""
    if look.scale < LARGE:
        cells = [ft.Container(one, width=FIGURE) for one in figures]
        inside: ft.Control = ft.Row([ft.Container(name, expand=True), *cells], spacing=8)
    else:
        halves = ft.Row([ft.Container(one, expand=True) for one in figures], spacing=8)
        inside = ft.Column([name, halves], spacing=2, tight=True)
    return ft.Container(
        inside,
        padding=ft.Padding.symmetric(vertical=8),
        border=ft.Border.only(bottom=ft.BorderSide(line, look.tokens[token])),
    )


def _needs(found: Comparison, title: str, look: Look) -> list[ft.Control]:
    """What each takes more of than the other, to be bought."""
    out: list[ft.Control] = []
    for name, needs in ((words.this_plan(), found.this_needs), (title, found.other_needs)):
        out.append(padded(text(look, words.needs_title(name), 19, cap=1.6), top=8))
        out += [padded(text(look, line, 18, "soft", cap=1.8)) for line in _need_lines(needs)]
    return [*out, ft.Container(height=8)]


def _need_lines(needs: tuple[Need, ...]) -> list[str]:
    lines = [words.need_line(need.name, need.amount, need.is_cable) for need in needs]
    return lines or [words.needs_nothing()]
