"""Cautions before a step: all that are due, and one press that they were read."""

from __future__ import annotations

import flet as ft

from engine.say import Say
from engine.step import Step
from fieldapp import words
from fieldapp.messages import Understood
from fieldapp.paint import Look
from fieldapp.parts import Send, padded, slab, text
from fieldapp.screens.shared import SendAny


def cautions(
    step: Step, due: tuple[Say, ...], send: SendAny, look: Look
) -> tuple[list[ft.Control], list[ft.Control]]:
    """The body and the one slab. The first caution is set largest."""
    said = words.step(step.say)
    body: list[ft.Control] = [
        padded(text(look, words.before_step(said.short), 18, "soft", "TI", cap=1.6), top=14)
    ]
    for one in due:
        words_ = text(look, words.sentence(one), 26 if len(due) < 3 else 23, cap=1.5)
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
    press = Send(send, Understood(step.id))
    return body, [slab(look, words.understood(), words.asked_once(), press, key="understood")]
