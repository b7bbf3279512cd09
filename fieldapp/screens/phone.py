"""What an installed page says of itself: one line on the list of jobs, a page in Settings."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet, row_button, slab
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.installed import Installed
from fieldapp.messages import Go, ReminderAway, RenewPressed, StayPressed
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look
from fieldapp.parts import padded, rule, text, told
from fieldapp.routes import SETTINGS, Place, route_of
from fieldapp.screens.settings import leading, settings
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.staying import COPIES, NEWER, promised, said_on_jobs, uncopied

LINE = 56.0
"""of the one line on the list of jobs, and of its button [dp]"""


def phone_line(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The one line above the list of jobs, if there is something to say."""
    which = said_on_jobs(model)
    if not which:
        return []
    if which == NEWER:
        said = padded(text(look, words.newer_line(), 18, face="TM", cap=1.6))
        take = Send(send, RenewPressed())
        inside = _beside(
            said, quiet(look, words.newer_take(), take, key="renew", height=LINE), look
        )
    elif which == COPIES:
        said = text(look, words.copies_line(uncopied(model.rows)), 17, cap=1.6)
        opens = Send(send, Go(route_of(Place("everything"))))
        line = ft.Container(said, padding=ft.Padding.symmetric(vertical=8))
        away = Send(send, ReminderAway())
        inside = _beside(
            row_button(look, line, opens, key="copy-off"),
            quiet(look, words.copies_away(), away, key="not-today", height=LINE),
            look,
        )
    else:
        inside = padded(text(look, words.offline_line(), 17, "soft", "TI", cap=1.6), bottom=8)
    border = ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"]))
    padding = ft.Padding.symmetric(vertical=8 if which in (NEWER, COPIES) else 0)
    return [ft.Container(inside, border=border, padding=padding, key="phone-line")]


def _beside(said: ft.Control, button: ft.Control, look: Look) -> ft.Control:
    """What is said, and what can be done; one above the other where letters are large."""
    if look.scale >= LARGE:
        return ft.Column([said, padded(button)], spacing=GAP, tight=True)
    said.expand = True
    return ft.Row([said, ft.Container(button, padding=ft.Padding.only(right=MARGIN))], spacing=0)


def phone(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What the page knows of itself. Where nobody installed it: Settings."""
    installed = model.installed
    if installed is None:
        return settings(model, send, look)
    back = quiet(look, words.FIXED.back, Send(send, Go(SETTINGS)), key="back", height=56)
    rows = [
        *_block(words.offline_title(), [words.offline_is(installed.offline)], look),
        rule(look),
        *_stays(model, send, look),
        rule(look),
        leading("everything", words.everything_title(), words.everything_row(), send, look),
        *_block(words.home_title(), _home(installed), look),
    ]
    if installed.version:
        said = words.phone_version(installed.version)
        rows.append(ft.Container(text(look, said, 16, "soft", "TI"), padding=MARGIN))
    take = Send(send, RenewPressed())
    newer = [slab(look, words.renew(), words.renew_more(), take, key="renew")]
    return frame(
        look,
        top=[header(look, back, words.phone_title(), "", None), *told(look, model)],
        body=[ft.ListView(rows, expand=True, padding=0)],
        actions=newer if installed.newer else [],
        scroll=False,
    )


def _block(title: str, lines: list[str], look: Look) -> list[ft.Control]:
    said = [text(look, line, 19, cap=1.7) for line in lines]
    whole = ft.Column([text(look, title, 21, face="TB", cap=1.5), *said], spacing=6, tight=True)
    return [padded(whole, top=18, bottom=18)]


def _stays(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What the browser promised, and the way to ask it again."""
    stays = promised(model)
    said = words.stays_asking() if model.asking else words.stays_is(stays)
    block = _block(words.stays_title(), [said, words.stays_evening()], look)
    if stays or model.asking:
        return block
    ask = quiet(
        look,
        words.stays_ask(again=stays is False),
        Send(send, StayPressed()),
        key="ask-to-stay",
        width=look.width - 2 * MARGIN,
    )
    return [*block, padded(ask, bottom=20)]


def _home(installed: Installed) -> list[str]:
    said = words.home_is(installed.on_home)
    return [said] if installed.on_home else [said, words.home_how(), words.home_week()]
