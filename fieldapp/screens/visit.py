"""A new visit: how the site was left, how many have come back, and why. The press on why begins it."""

from __future__ import annotations

import flet as ft

from engine.entries import VISIT_REASONS
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import half, pair, quiet
from fieldapp.framing import frame
from fieldapp.messages import OnlyLook, PeopleCounted, VisitOpened
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.returning import Left, LeftOpen, left, people_asked
from fieldapp.screens.shared import SendAny, ribbon_of
from fieldapp.sending import Send
from fieldapp.window import TURNED

PEOPLE = (1, 2)
SHOWN = 3
"""of what was left open, so many are told one by one"""
LOW = 760.0
"""in a window lower than this the choices scroll with the words [dp]"""


def visit(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Two presses at most; or only look, which opens nothing."""
    was = left(model.open_job.judgement)
    body = _how_left(was, model, look) if was is not None else []
    why, choices = text(look, words.visit_why(), 19, cap=1.6), _reasons(send, look)
    if look.shape == TURNED:  # at the thumb there is room for the reasons alone, two side by side
        body += map(padded, [*_people(model, send, look), why])
    else:
        choices = [*_people(model, send, look), why, *choices]
    look_on = quiet(
        look,
        words.only_look(),
        Send(send, OnlyLook()),
        key="only-look",
        width=look.width - 2 * MARGIN,
    )
    scrolls = look.scale >= LARGE or (look.height < LOW and look.shape != TURNED)
    return frame(
        look,
        top=[ribbon_of(model, send, look), *told(look, model)],
        body=[*body, *map(padded, choices)] if scrolls else body,
        actions=[look_on] if scrolls else [*choices, look_on],
        foot=bar(look, model, send),
    )


def _how_left(was: Left, model: Model, look: Look) -> list[ft.Control]:
    """By whom and when; what was open then, and who answered for it."""
    title = words.visit_title(was.entry.by, words.on_day(was.entry.t, model.now))
    told_open = [_open(one, look) for one in was.open[:SHOWN]]
    rest = len(was.open) - SHOWN
    if rest > 0:
        told_open.append(padded(text(look, words.visit_more_open(rest), 18, "soft", cap=1.8)))
    return [
        padded(text(look, title, 28, cap=1.4), top=14),
        padded(text(look, words.visit_had(was.readings, len(was.open)), 19, cap=1.8)),
        *told_open,
    ]


def _open(one: LeftOpen, look: Look) -> ft.Control:
    lines: list[ft.Control] = []
    if one.hold is not None:
        lines.append(text(look, words.sentence(one.hold.say), 18, cap=1.8))
    if one.waiver is not None:
        who = words.visit_answered(one.waiver.by, one.waiver.role, one.waiver.reason)
        lines.append(text(look, who, 17, "soft", "TI", cap=1.8))
    return padded(ft.Column(lines, spacing=0, tight=True))


def _people(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    asked = people_asked(model)
    halves = [
        half(
            look,
            words.capital(words.people(number)),
            "",
            Send(send, PeopleCounted(number)),
            chosen=number == asked,
            key=f"people-{number}",
        )
        for number in PEOPLE
    ]
    return [text(look, words.visit_people(), 19, cap=1.6), ft.Row(halves, spacing=0)]


def _reasons(send: SendAny, look: Look) -> list[ft.Control]:
    """Each begins the visit."""
    lying = look.shape == TURNED and look.scale < LARGE
    rows = [
        quiet(
            look,
            words.visit_reason(reason),
            Send(send, VisitOpened(reason)),
            key=f"visit-{reason}",
            height=60,
            size=18 if lying else 20,
            corner=14,
            width=None if lying else look.width - 2 * MARGIN,
            expand=lying or None,
        )
        for reason in VISIT_REASONS
    ]
    if lying:
        return [pair(look, *rows[i : i + 2]) for i in range(0, len(rows), 2)]
    return [ft.Column(rows, spacing=GAP, tight=True)]
