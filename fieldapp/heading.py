"""A screen's head: a button, the name over a line in italics, a button."""

from __future__ import annotations

import flet as ft

from fieldapp.drawing.letters import shorten
from fieldapp.faces import lines_needed
from fieldapp.paint import GAP, Look
from fieldapp.parts import text

HEADER_BUTTON, IN_TWO = 76.0, 1.7
"""about what a button takes with its gap [dp]; what two lines hold of words that break where they
may [lines]"""


def header(
    look: Look, left: ft.Control | None, title: str, more: str, right: ft.Control | None
) -> ft.Control:
    """A screen's head; for the left hand its buttons change sides."""
    two_lines = {"max_lines": 2, "overflow": ft.TextOverflow.ELLIPSIS}
    # a name that takes more than a line is set smaller rather than cut
    beside = sum(HEADER_BUTTON for one in (left, right) if one is not None)
    room = look.width - 2 * 12 - beside * min(look.scale, 1.4)
    grown = min(look.scale, 1.3)
    size = 24 if lines_needed("TB", 24 * grown, title, room) == 1 else 20
    title = shorten(title, "TB", size * grown, IN_TWO * room)
    more = shorten(more, "TI", 17 * grown, IN_TWO * room)
    lines: list[ft.Control] = [text(look, title, size, "ink", "TB", cap=1.3, **two_lines)]
    if more:
        lines.append(text(look, more, 17, "soft", "TI", cap=1.3, **two_lines))
    # both as wide as there is room, else the shorter one is read first
    stretch = ft.CrossAxisAlignment.STRETCH
    middle = ft.Column(lines, spacing=0, expand=True, horizontal_alignment=stretch)
    row = [control for control in (left, middle, right) if control is not None]
    return ft.Container(
        ft.Row(look.sided(row), spacing=12, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        padding=ft.Padding.only(left=12, right=12, top=10, bottom=GAP),
    )
