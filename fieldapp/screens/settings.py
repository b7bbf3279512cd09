"""Settings: choices as rows of halves, the name, one's own meters, and what else is kept or told here."""

from __future__ import annotations

from datetime import date

import flet as ft

from engine import __version__
from fieldapp import words
from fieldapp.buttons import half, quiet, row_button
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go, MeterBack, SettingPicked
from fieldapp.meters import OwnMeter
from fieldapp.model import Model
from fieldapp.paint import GAP, MARGIN, Look
from fieldapp.parts import padded, rule, text, told
from fieldapp.routes import JOBS, Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText
from fieldapp.settings import CHOICES
from fieldapp.staying import promised

CHOSEN_FIRST = ("lengths", "wire", "look", "letters", "hand", "buzz", "awake")
"""the choices above one's name, in their order"""
ROW = 64.0
"""of a row that leads on [dp]"""


def settings(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One list, from what is chosen often to what is looked at once."""
    fixed = words.FIXED
    back = quiet(look, fixed.back, Send(send, Go(JOBS)), key="back", height=56)
    everything = words.everything_row()
    rows = [
        *(one for key in CHOSEN_FIRST for one in _choice(key, model, send, look)),
        *_head(fixed.name, fixed.name_more, look),
        padded(
            field(
                look,
                fixed.own_name_label,
                model.settings.name,
                SendText(send, SettingPicked, "name"),
                key="name",
            ),
            bottom=20,
        ),
        rule(look),
        *_meters(model, send, look),
        rule(look),
        leading("shapes", words.shapes_title(), words.shapes_more(), send, look),
        leading("found", words.found_title(), words.found_row(), send, look),
        *_choice("language", model, send, look),
        ft.Container(height=20),
        rule(look),
        leading("everything", words.everything_title(), everything, send, look),
        *_phone(model, send, look),
        ft.Container(text(look, words.version(__version__), 16, "soft", "TI"), padding=MARGIN),
    ]
    return frame(
        look,
        top=[header(look, back, fixed.settings, "", None), *told(look, model)],
        body=[ft.ListView(rows, expand=True, padding=0)],
        actions=_away(model, send, look),
        scroll=False,
    )


def _head(title: str, more: str, look: Look) -> list[ft.Control]:
    lines = [text(look, title, 21, face="TB", cap=1.5)]
    lines += [text(look, more, 17, "soft", cap=1.7)] if more else []
    return [padded(ft.Column(lines, spacing=2, tight=True), top=18, bottom=8)]


def _choice(key: str, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What is chosen, as halves beside each other."""
    name, now = words.setting_name(key), getattr(model.settings, key)
    halves = []
    for value in CHOICES[key]:
        said = words.setting_choice(key, value)
        halves.append(
            half(
                look,
                said,
                "",
                Send(send, SettingPicked(key, value)),
                chosen=value == now,
                key=f"{key}-{value}",
                says=words.speak_setting(name, said, value == now),
            )
        )
    return [*_head(name, words.setting_more(key), look), padded(ft.Row(halves, spacing=0))]


def leading(key: str, title: str, more: str, send: SendAny, look: Look) -> ft.Control:
    """A row that opens a page of its own."""
    lines = [text(look, title, 21, face="TB", cap=1.5)]
    lines += [text(look, more, 17, "soft", cap=1.7)] if more else []
    inside = ft.Container(
        ft.Column(lines, spacing=2, tight=True, alignment=ft.MainAxisAlignment.CENTER),
        padding=ft.Padding.symmetric(vertical=16),
    )
    press = Send(send, Go(route_of(Place(key))))
    return ft.Container(
        row_button(look, inside, press, key=key),
        border=ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"])),
    )


def _phone(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What an installed page knows of itself."""
    installed = model.installed
    if installed is None:
        return []
    more = words.phone_row(installed.newer, installed.offline, promised(model))
    return [leading("phone", words.phone_title(), more, send, look)]


# ---------------------------------------------------------------- one's own meters


def _meters(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The list, and one more."""
    add = Send(send, Go(route_of(Place("meter"))))
    wide = look.width - 2 * MARGIN
    return [
        *_head(words.meters_title(), words.meters_more(), look),
        *(_meter(one, send, look) for one in model.own_meters),
        padded(quiet(look, words.meter_add(), add, key="meter-add", width=wide), top=12, bottom=20),
    ]


def _meter(one: OwnMeter, send: SendAny, look: Look) -> ft.Control:
    """Its name, what it reads and how well, its number and day."""
    reads = {kind: (a.percent, a.digits) for kind, a in one.known.sheet.accuracy.items()}
    lines = [
        text(look, one.name, 20, face="TM", cap=1.6),
        text(look, words.meter_accuracy(reads), 17, "soft", cap=1.7),
    ]
    known = words.meter_line(one.serial, day_words(one.calibrated))
    lines += [text(look, known, 17, "soft", "TI", cap=1.7)] if known else []
    inside = ft.Container(
        ft.Column(lines, spacing=2, tight=True), padding=ft.Padding.symmetric(vertical=12)
    )
    press = Send(send, Go(route_of(Place("meter", at=one.id))))
    return ft.Container(
        row_button(look, inside, press, key=f"meter-{one.id}"),
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
    )


def _away(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What was taken off the list, and the one press that brings it back: always in sight."""
    if model.meter_away is None:
        return []
    said = words.meter_taken_away(model.meter_away[1].name)
    line = ft.Semantics(
        content=text(look, said, 18, cap=1.6, expand=True), live_region=True, expand=True
    )
    undo = quiet(look, words.FIXED.undo, Send(send, MeterBack()), key="meter-back", height=56)
    return [ft.Row([line, undo], spacing=GAP)]


def day_words(day: str) -> str:
    """A day in words; '' where there is none."""
    if not day:
        return ""
    at = date.fromisoformat(day)
    return words.day_said(at.year, at.month, at.day)
