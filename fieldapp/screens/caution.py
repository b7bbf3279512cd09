"""Cautions before a step or a reading: all that are due, and one press that they were read."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.say import Say, say
from engine.step import Step
from fieldapp import words
from fieldapp.buttons import slab
from fieldapp.halfdone import Pad
from fieldapp.messages import ReadingUnderstood, Understood
from fieldapp.paint import Look
from fieldapp.parts import padded, text
from fieldapp.screens.shared import Parts, SendAny
from fieldapp.sending import Send


def cautions(step: Step, due: tuple[Say, ...], send: SendAny, look: Look) -> Parts:
    """What is due before a step."""
    said = [words.sentence(one) for one in due]
    return _shown(words.step(step.say).short, said, Understood(step.id), send, look)


def pad_cautions(pad: Pad, due: tuple[Say, ...], send: SendAny, look: Look) -> Parts:
    """What is due before a reading; on live pairs the break-out lead is told with it."""
    said = [words.sentence(one) for one in due]
    if any(one.code == "caution-live" for one in due):
        said.append(words.step(say("step-volts", at=pad.at)).caution)
    return _shown(words.measure_at(pad.at, pad.kind), said, ReadingUnderstood(), send, look)


def caution(said: str, look: Look) -> ft.Control:
    """One caution among other words, on a page that is read before the work."""
    return padded(
        ft.Container(
            text(look, said, 19, cap=1.6),
            bgcolor=look.tokens["sheet"],
            border=ft.Border.only(left=ft.BorderSide(6, look.tokens["ink"])),
            padding=ft.Padding.only(left=12, right=12, top=8, bottom=8),
        )
    )


def _shown(short: str, said: list[str], read: Any, send: SendAny, look: Look) -> Parts:
    body: list[ft.Control] = [
        padded(text(look, words.before_step(short), 18, "soft", "TI", cap=1.6), top=14)
    ]
    for one in said:
        words_ = text(look, one, 26 if len(said) < 3 else 23, cap=1.5)
        body.append(
            padded(
                ft.Container(
                    words_,
                    bgcolor=look.tokens["sheet"],
                    border=ft.Border.only(left=ft.BorderSide(6, look.tokens["ink"])),
                    padding=ft.Padding.only(left=14, right=12, top=12, bottom=12),
                ),
                top=2,
            )
        )
    press = Send(send, read)
    return body, [slab(look, words.understood(), words.asked_once(), press, key="understood")]
