"""Spans from a table: paste it or open a file, see what it would do, put all of it in."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.edits import value_at
from engine.spans_csv import COLUMNS
from fieldapp import words
from fieldapp.buttons import quiet, slab
from fieldapp.framing import frame
from fieldapp.halfdone import SpanTable
from fieldapp.heading import header
from fieldapp.messages import Go, TablePressed, TablePutIn, TableTyped
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look, style
from fieldapp.parts import padded, text, told
from fieldapp.routes import Place, route_of
from fieldapp.screens.photo import opens_file
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText
from fieldapp.tabling import TableRead, table_of
from fieldapp.window import WIDE_FROM

LISTED = 20
"""problems beyond these are only counted"""
EXAMPLE = {"id": "C1", "from": "S.out", "to": "A1.kit", "cable": "generic.cat6-outdoor"}
"""a span as it is written, where the plan has none yet (ours)"""


def spans(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The table, and below it what was read."""
    table = table_of(model)
    back = Send(send, Go(route_of(Place("plan", model.open_job.id))))
    return frame(
        look,
        top=[
            header(
                look,
                quiet(look, words.FIXED.back, back, key="back", height=56),
                words.spans_button(),
                model.open_job.judgement.state.job.title,
                None,
            ),
            *told(look, model),
        ],
        body=[
            padded(text(look, words.spans_columns(", ".join(COLUMNS)), 18, cap=1.8), top=8),
            padded(text(look, _example(model), 17, "soft", "PM", cap=1.8, selectable=True)),
            padded(_field(table, send, look)),
            *(_preview(table.read, look) if table.read is not None else []),
        ],
        actions=[
            _slab(table, send, look),
            quiet(
                look,
                words.FIXED.open_file,
                Send(send, TablePressed()),
                key="open-table",
                action=opens_file(look),
                width=look.width - 2 * MARGIN,
            ),
        ],
    )


def _example(model: Model) -> str:
    """A span of the plan as a line of the table."""
    doc = model.open_job.judgement.state.doc
    names = model.open_job.judgement.state.job.spans
    row = value_at(doc, ("spans", next(iter(names)))) if names else EXAMPLE
    length = names[row["id"]].length_m.expected if names else 120.0
    return ",".join(f"{length:g}" if key == "metres" else row[key] for key in COLUMNS)


def _field(table: SpanTable, send: SendAny, look: Look) -> ft.Control:
    ink, rule = look.tokens["ink"], look.tokens["rule"]
    made = ft.TextField(
        key="table",
        width=look.width - 2 * MARGIN,
        label=words.table_label(),
        value=look.typed.stands("table", table.text),
        on_change=look.typed.hears("table", SendText(send, TableTyped)),
        multiline=True,
        min_lines=5,
        max_lines=10,
        autofocus=look.whole >= WIDE_FROM,  # there is a keyboard: one can paste at once
        text_style=style(look, "P", look.capped(18, 1.4)),
        label_style=style(look, "T", look.capped(21, 1.4), "soft"),
        border={
            ft.ControlState.FOCUSED: ft.OutlineInputBorder(ft.BorderSide(2.5, ink), 0),
            ft.ControlState.DEFAULT: ft.OutlineInputBorder(ft.BorderSide(1.5, rule), 0),
        },
        cursor_color=look.tokens["copper"],
        align_label_with_hint=True,
        autocorrect=False,
        enable_suggestions=False,
        scroll_padding=ft.Padding.only(bottom=200),
    )
    return look.typed.shows("table", made)


def _preview(read: TableRead, look: Look) -> list[ft.Control]:
    """What the table holds, what the plan lacks for it, and each line that does not hold."""
    out: list[ft.Control] = []
    if read.outline is not None:
        line = words.table_line(read.outline.spans, read.outline.metres)
        out.append(padded(_live(text(look, line, 24, face="TB", cap=1.5)), top=4))
    if read.missing:
        out.append(padded(text(look, words.boxes_missing(read.missing), 18, cap=1.8)))
        out.append(padded(text(look, words.put_boxes_first(), 17, "soft", cap=1.8)))
    out += [
        padded(text(look, words.table_problem(one.at, one.found, one.expected), 18, cap=1.8))
        for one in read.problems[:LISTED]
    ]
    if len(read.problems) > LISTED:
        more = words.more_problems(len(read.problems) - LISTED)
        out.append(padded(text(look, more, 17, "soft")))
    return out


def _live(control: ft.Control) -> ft.Control:
    return ft.Semantics(content=control, live_region=True)


def _slab(table: SpanTable, send: SendAny, look: Look) -> ft.Control:
    """One press for all of it; until then what is awaited."""
    read = table.read

    def waits(title: str, more: str = "", **most: Any) -> ft.Control:
        return slab(look, title, more, None, key="put-spans-in", fixed=True, **most)

    if not table.text.strip():
        return waits(words.table_empty())
    if read is None:
        return waits(words.table_rests())
    if read.problems:
        return waits(words.nothing_put_in(len(read.problems)), words.all_or_none())
    if not read.edits or read.outline is None:
        return waits(words.table_empty())
    title = words.put_spans_in(read.outline.spans)
    press = Send(send, TablePutIn())
    return slab(look, title, words.put_spans_more(), press, key="put-spans-in", fixed=True)
