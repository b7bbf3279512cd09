"""The small parts that screens are made of: text, a tag, a line, a sentence that stands out."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.showable import showable
from fieldapp import words
from fieldapp.handover.turned import in_line
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look, style


def text(
    look: Look,
    content: str,
    size: float = 18,
    ink: str = "ink",
    face: str = "T",
    *,
    strong: str = "TB",
    cap: float = 2.0,
    **more: Any,
) -> ft.Text:
    """A text whose ``**parts**`` are set heavier; its growth with the phone's letters is capped."""
    grown = look.capped(size, cap)
    content = in_line(showable(content))
    pieces = content.split("**")
    if len(pieces) == 1:
        return ft.Text(content, style=style(look, face, grown, ink), **more)
    spans = [
        ft.TextSpan(piece, style=style(look, strong if i % 2 else face, grown, ink))
        for i, piece in enumerate(pieces)
        if piece
    ]
    return ft.Text(spans=spans, style=style(look, face, grown, ink), **more)


def tag(look: Look, title: str) -> ft.Control:
    """A black tag: an id, or the stop where one stands."""
    return ft.Container(
        text(look, title, 18, "ground", "PB", cap=1.4),
        bgcolor=look.tokens["ink"],
        border_radius=2,
        padding=ft.Padding.symmetric(horizontal=10, vertical=2),
    )


def padded(control: ft.Control, *, top: float = 0, bottom: float = 0) -> ft.Container:
    """A control within the screen's margins."""
    return ft.Container(
        control, padding=ft.Padding.only(left=MARGIN, right=MARGIN, top=top, bottom=bottom)
    )


def rule(look: Look, width: float = 2.5) -> ft.Control:
    """The line between sections."""
    return ft.Container(height=width, bgcolor=look.tokens["ink"])


def told(look: Look, model: Model) -> list[ft.Control]:
    """The one sentence about what went otherwise, if there is one."""
    return [] if model.told is None else [notice(look, words.sentence(model.told))]


def notice(look: Look, said: str) -> ft.Control:
    """A sentence that stands out, and is read aloud when it appears."""
    return padded(
        ft.Semantics(
            content=ft.Container(
                text(look, said, 18, "ink", "TM"),
                bgcolor=look.tokens["sheet"],
                border=ft.Border.all(1.5, look.tokens["ink"]),
                padding=12,
            ),
            live_region=True,
        ),
        top=8,
    )
