"""A meter of one's own: one question a page, from a template whose figures stand ready."""

from __future__ import annotations

from datetime import date

import flet as ft

from engine.format import METER_KINDS
from engine.job import MeterSheet
from engine.sheets import STARTER
from fieldapp import words
from fieldapp.buttons import quiet, slab
from fieldapp.drawing.digits import digits_picture
from fieldapp.framing import frame
from fieldapp.halfdone import OwnSheet
from fieldapp.messages import (
    DayKey,
    DayOn,
    Go,
    MeterAway,
    MeterBegun,
    MeterKept,
    MeterSerial,
    OwnAsked,
    OwnBack,
    OwnNamed,
)
from fieldapp.meterform import day_stands, is_as_kept, reads_something
from fieldapp.meters import DAY_DIGITS, day_of
from fieldapp.model import Model
from fieldapp.ownsheet import BEGIN, DAY, ask_at, body_of, order, own_of
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.routes import SETTINGS
from fieldapp.screens.fields import field
from fieldapp.screens.keypad import keys
from fieldapp.screens.newsheet import LOW, LOWER, head_of, line_of, question_page
from fieldapp.screens.settings import day_words
from fieldapp.screens.shared import SendAny
from fieldapp.screens.sheets import figures_of
from fieldapp.sending import Send, SendText


def meter(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The page where one is: the template, a question, the day, or the name and all answers."""
    own = own_of(model)
    if own is None and model.place.at:
        top = [head_of(model, Go(SETTINGS), words.meters_title(), "", send, look)]
        return frame(look, top=top, body=[padded(text(look, words.gone(), 24), top=16)], actions=[])
    if own is None or own.at == BEGIN:
        return _begin(model, send, look)
    if own.at == DAY:
        return _day(model, own, send, look)
    ask = ask_at(model, own)
    if ask is None:
        return _last(model, own, send, look)
    return question_page(model, own, ask, send, look)


# ---------------------------------------------------------------- the template


def _begin(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Meters to begin from: one's own, then those that come with the app."""
    body: list[ft.Control] = [
        padded(text(look, words.meter_begin(), 28, cap=1.4), top=8),
        padded(text(look, words.meter_begin_why(), 18, "soft", cap=1.6), bottom=6),
    ]
    for one in model.own_meters:
        act, figures = MeterBegun(one.id), figures_of(one.known.sheet)
        body.append(line_of(f"begin-{one.id}", one.name, figures, act, send, look))
    for sheet in (one for one in STARTER.values() if isinstance(one, MeterSheet)):
        act, title = MeterBegun(sheet.id), words.sheet_name(sheet)
        mark = words.sheet_generic()
        body.append(line_of(f"begin-{sheet.id}", title, figures_of(sheet), act, send, look, mark))
    top = [head_of(model, Go(SETTINGS), words.meter_new(), "", send, look)]
    return frame(look, top=[*top, *told(look, model)], body=body, actions=[])


# ---------------------------------------------------------------- the day


def _day(model: Model, own: OwnSheet, send: SendAny, look: Look) -> list[ft.Control]:
    """Eight digits on the app's own pad; what day they are stands below them."""
    every = order(model, own)
    line = "" if own.single else words.own_progress(len(every), len(every))
    top = [head_of(model, OwnBack(), own.title or words.meter_new(), line, send, look)]
    low = look.height < LOWER
    shown = words.day_typed(own.day)
    height = 112.0 if look.height >= LOW else 72.0
    said = shown or words.meter_day_how()
    body = [
        padded(text(look, words.meter_day_question(), 24 if low else 28, cap=1.4)),
        padded(text(look, words.meter_day_how(), 18, "soft", "TI", cap=1.5)),
        spoken(look, digits_picture(shown, "", look.width, height), said),
    ]
    actions = [_day_slab(model, own, send, look)]

    def press(key: str) -> Send:
        return Send(send, DayKey(key))

    foot = ft.Column(
        [
            keys(look, press, prefix="day"),
            padded(ft.Column(actions, spacing=8, tight=True), top=8, bottom=8),
        ],
        spacing=0,
    )
    return frame(look, top=[*top, *told(look, model)], body=body, actions=[], foot=foot)


def _day_slab(model: Model, own: OwnSheet, send: SendAny, look: Look) -> ft.Control:
    if not own.day:
        return slab(look, words.day_open(), "", Send(send, DayOn()), key="on", fixed=True)
    if not day_stands(model, own):
        is_whole = len(own.day) == DAY_DIGITS
        title = words.day_none_such() if is_whole else words.meter_day_how()
        return slab(look, title, "", None, key="on", fixed=True)
    at = date.fromisoformat(day_of(own.day))
    title = words.own_take(words.day_said(at.year, at.month, at.day))
    return slab(look, title, "", Send(send, DayOn()), key="on", fixed=True)


# ---------------------------------------------------------------- the last page


def _last(model: Model, own: OwnSheet, send: SendAny, look: Look) -> list[ft.Control]:
    """Name and number, and every answer: a press on one asks for it again."""
    body: list[ft.Control] = [
        padded(text(look, words.meter_last(), 28, cap=1.4), top=8),
        padded(
            field(look, words.meter_name(), own.title, SendText(send, OwnNamed), key="own-title"),
            top=6,
        ),
        padded(
            field(
                look,
                words.meter_serial(),
                own.serial,
                SendText(send, MeterSerial),
                key="serial",
                printed=True,
            ),
            top=6,
            bottom=6,
        ),
    ]
    if own.changes:
        body.append(padded(text(look, words.meter_follow(), 18, cap=1.6), bottom=6))
    body += _answers(model, own, send, look)
    top = [head_of(model, OwnBack(), own.title or words.meter_new(), "", send, look)]
    if own.changes:
        top = [head_of(model, Go(SETTINGS), words.meters_title(), "", send, look)]
    return frame(
        look,
        top=[*top, *told(look, model)],
        body=body,
        actions=[_keep(model, own, send, look), *_away(own, send, look)],
    )


def _answers(model: Model, own: OwnSheet, send: SendAny, look: Look) -> list[ft.Control]:
    """What it reads and how well, then the day, then what it does not read."""
    now = body_of(model, own)
    read = [kind for kind in METER_KINDS if kind in now]
    rows = [_answer(kind, words.own_value(kind, now[kind], 1.0), send, look) for kind in read]
    day = words.meter_day_row(day_words(day_of(own.day)))
    rows.append(line_of(f"ask-{DAY}", day, words.meter_day_question(), OwnAsked(DAY), send, look))
    unread = (kind for kind in METER_KINDS if kind not in now)
    rows += [_answer(kind, words.own_not_measured(), send, look) for kind in unread]
    return rows


def _answer(kind: str, shown: str, send: SendAny, look: Look) -> ft.Control:
    question = words.own_question_meter(kind)
    return line_of(f"ask-{kind}", shown, question, OwnAsked(kind), send, look)


def _keep(model: Model, own: OwnSheet, send: SendAny, look: Look) -> ft.Control:
    title, why = words.meter_keep(own.changes), ""
    if not own.title.strip():
        why = words.own_name_it()
    elif not reads_something(model, own):
        why = words.meter_reads_nothing()
    elif is_as_kept(model, own):
        why = words.own_unchanged()
    return slab(look, title, why, None if why else Send(send, MeterKept()), key="keep")


def _away(own: OwnSheet, send: SendAny, look: Look) -> list[ft.Control]:
    """The way off the list."""
    if not own.changes:
        return []
    wide, press = look.width - 2 * MARGIN, Send(send, MeterAway(own.thing))
    return [quiet(look, words.meter_take_away(), press, key="away", width=wide, height=56)]
