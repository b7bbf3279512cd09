"""What is put in for a test: the press on a step's page, the lines that say what is in, the sheet."""

from __future__ import annotations

from collections.abc import Iterable

import flet as ft

from engine.fitted import AT_A_PORT, KINDS, SHORT, Fitted, fitted, near, put_in_by
from engine.job import Point
from engine.step import Step
from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.messages import OutAgain, PutIn, SheetClosed, SheetOpened
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.wires import ends_of
from fieldapp.worldclock import clock_of

SHEET = "put-in"
ROW = 72.0


def in_here(model: Model, box: str | None, span: str | None = None) -> tuple[Fitted, ...]:
    """What is still in at a box, or on a span."""
    state = model.open_job.judgement.state
    return near(state.job, fitted(state), box, span)


def still_in(model: Model, box: str | None, span: str | None, look: Look) -> list[ft.Control]:
    """One line for each thing that is in: what, who, when."""
    return _lines(in_here(model, box, span), look)


def still_anywhere(model: Model, look: Look) -> list[ft.Control]:
    """The same of the whole run, its shorts apart: they have a press each."""
    shorts = shorts_in(model)
    return _lines(
        (one for one in fitted(model.open_job.judgement.state) if one not in shorts), look
    )


def shorts_in(model: Model) -> tuple[Fitted, ...]:
    """The shorts that are in anywhere, the last first: one stands by it. Into one a feed stays dark."""
    still = fitted(model.open_job.judgement.state)
    return tuple(one for one in reversed(still) if one.what == SHORT)


def shorts_first(
    box: str, shorts: tuple[Fitted, ...], send: SendAny, look: Look
) -> list[ft.Control]:
    """Said before a feed is switched on, with a press for each that is out."""
    rows = [
        _row(words.is_out_again(one.what, one.at), OutAgain(f"fitted.{one.entry}"), send, look)
        for one in shorts
    ]
    return [text(look, words.shorts_first(len(shorts), box), 20, cap=1.8), *rows]


def _lines(there: Iterable[Fitted], look: Look) -> list[ft.Control]:
    return [
        text(look, words.is_still_in(one.what, one.at, one.by, clock_of(one.t)), 18, face="TM")
        for one in there
    ]


def put_in_button(step: Step, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The second press of a step that puts something in: it is in; then, it is out again."""
    state = model.open_job.judgement.state
    far = str(ends_of(state.job, state.network, step.span)[1]) if step.span is not None else ""
    puts = put_in_by(step, far)
    if puts is None:
        return []
    what, at = puts
    act: OutAgain | PutIn
    there = [one for one in in_here(model, step.box, step.span) if one.what == what]
    if there:
        title, act = words.is_out_again(what), OutAgain(f"fitted.{there[-1].entry}")
    else:
        title, act = words.is_in_at(what, at), PutIn(what, at)
    wide = look.width - 2 * MARGIN
    return [quiet(look, title, Send(send, act), key="put-in", width=wide)]


def open_button(at: Point, send: SendAny, look: Look) -> ft.Button:
    """The quiet on Run that opens the sheet for a point."""
    act = Send(send, SheetOpened(SHEET, str(at)))
    return quiet(look, words.put_in(), act, key="to-put-in", expand=3)


def sheet_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """A row for each thing: one press and it is kept. What is in already comes out by its row."""
    at = model.open_sheet.of
    box = Point.parse(at).box
    there = in_here(model, box)
    rows = [
        _row(words.is_out_again(one.what, one.at), OutAgain(f"fitted.{one.entry}"), send, look)
        for one in there
    ]
    for what in KINDS:
        place = at if what in AT_A_PORT else box
        if (what, place) not in {(one.what, one.at) for one in there}:
            rows.append(_row(words.put_in_row(what, place), PutIn(what, place), send, look))
    return [
        padded(text(look, words.put_in_title(box), 24, cap=1.4), top=12),
        padded(text(look, words.load_held(), 18, "soft", "TI")),
        *map(padded, still_in(model, box, None, look)),
        padded(ft.Column(rows, spacing=8), bottom=8),
    ]


def _row(title: str, act: PutIn | OutAgain, send: SendAny, look: Look) -> ft.Control:
    key = f"in-{act.fitted}" if isinstance(act, PutIn) else f"out-{act.hold}"
    wide = look.width - 2 * MARGIN
    return quiet(look, title, Send(send, act), key=key, width=wide, height=ROW, size=20)


def sheet_actions(send: SendAny, look: Look) -> list[ft.Control]:
    """Out of it with nothing done."""
    wide = look.width - 2 * MARGIN
    return [
        quiet(look, words.FIXED.not_now, Send(send, SheetClosed()), key="sheet-close", width=wide)
    ]
