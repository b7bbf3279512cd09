"""Pictures with their words for a screen reader, and those whose parts can be pressed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import flet as ft

from engine.showable import showable
from fieldapp.drawing.shapes import Picture, parted
from fieldapp.paint import Look, canvas
from fieldapp.sending import Send


def spoken(look: Look, picture: Picture, says: str) -> ft.Control:
    """A picture with its words for a screen reader."""
    return ft.Semantics(
        label=showable(says),
        image=True,
        exclude_semantics=True,
        content=canvas(look, picture),
    )


def pressable(
    look: Look,
    picture: Picture,
    says: str,
    press: Callable[[str], Send],
    *,
    prefix: str,
    over: Sequence[ft.Control] = (),
) -> ft.Control:
    """A picture whose touch areas are real buttons, invisible until pressed; ``over`` lies on the
    picture, with places of its own."""
    areas = [
        ft.Container(
            ft.TextButton(
                key=f"{prefix}-{touch.key}",
                content=ft.Text("", semantics_label=touch.name),
                on_click=press(touch.key),
                width=touch.w,
                height=touch.h,
                style=ft.ButtonStyle(
                    padding=0,
                    shape=ft.RoundedRectangleBorder(radius=0),
                    overlay_color=ft.Colors.with_opacity(0.12, look.tokens["rule"]),
                ),
            ),
            left=touch.x,
            top=touch.y,
        )
        for touch in parted(picture.touches)
    ]
    return ft.Stack(
        [spoken(look, picture, says), *over, *areas], width=picture.width, height=picture.height
    )
