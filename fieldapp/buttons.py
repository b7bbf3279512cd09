"""What is pressed: the slab, quiet buttons, choices side by side, rows of a list.

What has the one cut corner is a button; nothing else has it. Nothing casts a shadow.
"""

from __future__ import annotations

from typing import Any

import flet as ft

from fieldapp.drawing.arrow import arrow
from fieldapp.faces import lines_needed, text_width
from fieldapp.keyboard import MAIN
from fieldapp.paint import GAP, LARGE, MARGIN, Look, canvas
from fieldapp.parts import text
from fieldapp.sending import Send

SLAB = 76.0
ARROW = 58.0
"""what the arrow takes of a slab, with its gap"""
MOST_LINES = 2
"""of what stands under a slab's title"""
QUIET = 60.0
INSIDE = 12
"""between the rim of a quiet button and its title [dp]"""


def cut(radius: float, side: ft.BorderSide | None = None) -> ft.BeveledRectangleBorder:
    """The outline with the one cut corner, top right."""
    return ft.BeveledRectangleBorder(side=side, radius=ft.BorderRadius.only(top_right=radius))


def _style(
    look: Look, fill: str, ink: str, corner: float, *, line: bool, padding: Any
) -> ft.ButtonStyle:
    edge = ft.BorderSide(1.5, look.tokens["ink"]) if line else None
    return ft.ButtonStyle(
        color=look.tokens[ink],
        bgcolor=look.tokens[fill],
        overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
        elevation=0,
        padding=padding,
        shape=cut(corner, edge) if corner else ft.RoundedRectangleBorder(side=edge, radius=0),
        alignment=ft.Alignment.CENTER_LEFT,
    )


def slab(
    look: Look,
    title: str,
    more: str = "",
    on_click: Send | None = None,
    *,
    way: str = "right",
    plain: bool = False,
    fixed: bool = False,
    key: str = "slab",
    action: ft.ClientAction | None = None,
    width: float | None = None,
) -> ft.Control:
    """The one main action. ``plain``, or nothing to do yet: no arrow, outline only.

    The letters of a ``fixed`` one hardly grow, so that it keeps its one line and what stands
    above it does not jump. ``action`` is what the client does itself, within the press.
    """
    plain = plain or on_click is None
    ink = "ink" if plain else "ground"
    wide = look.width - 2 * MARGIN if width is None else width
    room = slab_room(look, wide, arrow=not plain)
    high = SLAB if look.scale < LARGE else None
    needed = lines_needed("TB", 22, title, room)
    size = 22 if needed <= MOST_LINES else 18  # a sentence rather than a name
    lines: list[ft.Control] = [text(look, title, size, ink, "TB", cap=1.1 if fixed else 1.5)]
    if needed > 1:  # two lines of it leave no room for another
        more, high = "", None
    if more and look.scale < 1.6:
        # a long name takes a second line rather than lose its end
        rows = min(lines_needed("T", 16, more, room), MOST_LINES)
        high = high if rows == 1 else None
        lines.append(
            text(look, more, 16, ink, cap=1.5, max_lines=rows, overflow=ft.TextOverflow.ELLIPSIS)
        )
    row: list[ft.Control] = [ft.Column(lines, spacing=2, tight=True, expand=True)]
    if not plain:
        row.append(canvas(look, arrow(way, ink)))
    if high is None:  # it grows with its words, and is never lower than one of a fixed height
        row.append(ft.Container(width=0, height=SLAB - 2 * 12))
    return ft.Button(
        key=key,
        data=MAIN,
        content=ft.Container(
            ft.Row(row, spacing=12, vertical_alignment=ft.CrossAxisAlignment.CENTER),
            padding=ft.Padding.symmetric(vertical=12),
        ),
        on_click=on_click,
        action=action,
        disabled=on_click is None,
        style=_style(
            look,
            "ground" if plain else "ink",
            ink,
            18,
            line=plain,
            padding=ft.Padding.symmetric(horizontal=20),
        ),
        width=wide,
        height=high,
    )


def slab_room(look: Look, width: float | None = None, *, arrow: bool = True) -> float:
    """What a slab leaves for its words. [dp]"""
    wide = look.width - 2 * MARGIN if width is None else width
    return wide - 2 * 20 - (ARROW if arrow else 0)


def quiet(
    look: Look,
    title: str,
    on_click: Send | None,
    *,
    key: str,
    strong: bool = False,
    height: float = QUIET,
    width: float | None = None,
    expand: bool | int | None = None,
    size: float = 18,
    corner: float = 10,
    action: ft.ClientAction | None = None,
    says: str = "",
    short: str = "",
) -> ft.Button:
    """A second button: outlined, or filled where it is the action of its row.

    ``says`` is what a screen reader hears where the title alone does not tell which it is.
    ``short`` is the one word of it that stands there where letters are large.
    """
    if short and look.scale >= LARGE:
        title, says = short, says or title
    ink = "ground" if strong else "ink"
    needs = text_width("TM", size * min(look.scale, 1.4), title) + 2 * INSIDE
    breaks = width is not None and needs > width
    inside: ft.Control = ft.Row(
        [
            text(
                look, title, size, ink, "TM", cap=1.4, text_align=ft.TextAlign.CENTER, expand=breaks
            )
        ],
        alignment=ft.MainAxisAlignment.CENTER,
        tight=width is None and not expand,
    )
    if says:
        inside = ft.Semantics(label=says, exclude_semantics=True, content=inside)
    return ft.Button(
        key=key,
        content=inside,
        on_click=on_click,
        action=action,
        style=_style(
            look,
            "ink" if strong else "ground",
            ink,
            corner,
            line=True,
            padding=ft.Padding.symmetric(
                horizontal=INSIDE, vertical=0 if look.scale < LARGE else 16
            ),
        ),
        height=height if look.scale < LARGE else None,
        width=width,
        expand=expand,
        data=_Needs(needs),
    )


class _Needs(float):
    """What a quiet button takes of a row so that its title stays on one line. [dp]"""


def pair(look: Look, *buttons: ft.Control) -> ft.Control:
    """Two quiet buttons side by side; one above the other where letters are too large for that."""
    each = (look.width - 2 * MARGIN - GAP * (len(buttons) - 1)) / max(len(buttons), 1)
    if look.scale < LARGE or all(isinstance(b.data, _Needs) and b.data <= each for b in buttons):
        return ft.Row(list(buttons), spacing=GAP)
    rows = [ft.Row([button], spacing=0) for button in buttons]
    return ft.Column(rows, spacing=GAP, tight=True)


def half(
    look: Look,
    title: str,
    more: str,
    on_click: Send | None,
    *,
    chosen: bool,
    key: str,
    face: str = "TB",
    share: int | bool = True,
    says: str = "",
) -> ft.Button:
    """One of several choices side by side; the chosen one is filled.

    ``says`` is what a screen reader hears where the title alone does not tell what it chooses.
    """
    ink = "ground" if chosen else "ink"
    second = bool(more) and look.scale < 1.6
    short = {"text_align": ft.TextAlign.CENTER, "overflow": ft.TextOverflow.ELLIPSIS}
    lines: list[ft.Control] = [
        text(look, title, 17, ink, face, cap=1.2, max_lines=1 if second else 2, **short)
    ]
    if second:
        lines.append(text(look, more, 14, ink, "P", cap=1.2, max_lines=1, **short))
    centre = ft.CrossAxisAlignment.CENTER
    inside: ft.Control = ft.Column(lines, spacing=0, tight=True, horizontal_alignment=centre)
    if says:
        inside = ft.Semantics(label=says, exclude_semantics=True, content=inside)
    return ft.Button(
        key=key,
        content=inside,
        on_click=on_click,
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ink" if chosen else "ground"],
            color=look.tokens[ink],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=ft.Padding.symmetric(horizontal=4),
            shape=ft.RoundedRectangleBorder(side=ft.BorderSide(1.5, look.tokens["rule"]), radius=0),
        ),
        height=60 if look.scale < LARGE else 76,
        expand=share,
    )


def row_button(
    look: Look, content: ft.Control, on_click: Send, *, key: str, left: float = MARGIN, **more: Any
) -> ft.TextButton:
    """A row of a list that opens something: no outline of its own."""
    return ft.TextButton(
        key=key,
        content=content,
        on_click=on_click,
        style=ft.ButtonStyle(
            overlay_color=ft.Colors.with_opacity(0.2, look.tokens["rule"]),
            padding=ft.Padding.only(left=left, right=MARGIN),
            shape=ft.RoundedRectangleBorder(radius=0),
            alignment=ft.Alignment.CENTER_LEFT,
        ),
        **more,
    )
