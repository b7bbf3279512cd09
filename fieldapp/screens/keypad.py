"""The keys of the app's own pad, wherever figures are typed."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from fieldapp import words
from fieldapp.drawing.arrow import rub_out
from fieldapp.keyboard import on_pad
from fieldapp.paint import GAP, MARGIN, Look, canvas
from fieldapp.parts import text
from fieldapp.sending import Send
from fieldapp.window import TURNED, WIDE

KEYS = (("1", "2", "3"), ("4", "5", "6"), ("7", "8", "9"), (".", "0", "rub"))
HEIGHT, LOW_HEIGHT = 72.0, 60.0
"""of a key; of one in a window lower than 700 dp"""
WIDTH = 130.0
"""of a key where there is more room than a phone has"""
OVER_KEYS = 560.0
"""a window as high as this has room for digits, keys and slab one over the other [dp]"""
DIGITS, LOW_DIGITS, LYING_DIGITS = 138.0, 84.0, 64.0
"""how high what is typed stands; in a window lower than 780 dp; on a phone on its side [dp]"""


def digits_height(look: Look) -> float:
    """How high the picture of the digits is. [dp]"""
    if look.shape == TURNED:
        return LYING_DIGITS
    return DIGITS if look.height >= 780 else LOW_DIGITS


def above_keys(
    look: Look, digits: ft.Control, body: list[ft.Control], foot: list[ft.Control]
) -> tuple[list[ft.Control], list[ft.Control]]:
    """Body and foot of a page where nothing but digits is typed: those stand right over the keys,
    where a thumb and an eye are, unless the window is too low for that."""
    if look.height >= OVER_KEYS:
        return body, [digits, *foot]
    return [*body, digits], foot


def keys(
    look: Look,
    press: Callable[[str], Send],
    *,
    prefix: str = "key",
    left: list[ft.Control] | None = None,
) -> ft.Control:
    """Three by four keys; ``press`` is what pressing one of them sends.

    In a wide window they stand at one side with ``left`` beside them: like the rub-out where the
    thumb of the hand is that was chosen.
    """
    height = HEIGHT if look.height >= 700 else LOW_HEIGHT
    rows = [[_key(key, press(key), prefix, height, look) for key in row] for row in KEYS]
    rows[-1] = look.sided(rows[-1])
    pad = ft.Column([ft.Row(row, spacing=0) for row in rows], spacing=0)
    if look.shape != WIDE:
        return pad
    aside = ft.Column(left or [], spacing=GAP, tight=True)
    row = [
        ft.Container(aside, padding=ft.Padding.only(left=MARGIN, right=MARGIN), expand=True),
        ft.Container(pad, width=3 * WIDTH),
    ]
    return ft.Row(
        look.sided(row),
        spacing=0,
        vertical_alignment=ft.CrossAxisAlignment.END,
    )


def _key(key: str, press: Send, prefix: str, height: float, look: Look) -> ft.Control:
    fixed = words.FIXED
    if key == "rub":
        face: ft.Control = ft.Semantics(
            label=fixed.reading_key_rub, exclude_semantics=True, content=canvas(look, rub_out())
        )
    elif key == ".":
        face = ft.Semantics(
            label=fixed.reading_key_point,
            exclude_semantics=True,
            content=text(look, words.decimal_mark(), 38, face="TM", cap=1.0),
        )
    else:
        face = text(look, key, 38, face="TM", cap=1.0)
    return ft.Button(
        key=f"{prefix}-{key}",
        data=on_pad(key),
        content=ft.Row([face], alignment=ft.MainAxisAlignment.CENTER),
        on_click=press,
        style=ft.ButtonStyle(
            bgcolor=look.tokens["sheet"],
            color=look.tokens["ink"],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=0,
            shape=ft.RoundedRectangleBorder(radius=0, side=ft.BorderSide(1, look.tokens["rule"])),
        ),
        height=height,
        expand=True,
    )
