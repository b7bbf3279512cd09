"""How the parts of a screen stand in a window: upright, on a phone on its side, in columns.

Nothing here knows what is shown. Columns that lie side by side are given their widths; what is in
them was drawn for that room.
"""

from __future__ import annotations

import flet as ft

from fieldapp.paint import GAP, MARGIN, Look
from fieldapp.window import TURNED

LINE = 2.5
"""between two columns [dp]"""

Controls = list[ft.Control]


def frame(
    look: Look,
    *,
    top: Controls,
    body: Controls,
    actions: Controls,
    foot: ft.Control | None = None,
    scroll: bool = True,
) -> Controls:
    """A screen: what stands above, a body that scrolls, the action block, the bar."""
    top = with_above(look, top)
    if look.shape == TURNED:
        return _turned(look, top, body, actions, foot, scroll=scroll)
    return _upright(top, body, actions, foot, scroll=scroll)


def _upright(
    top: Controls, body: Controls, actions: Controls, foot: ft.Control | None, *, scroll: bool
) -> Controls:
    """What stands above, a body that scrolls, the action block, the foot."""
    parts = [*top, _body(body, scroll=scroll), _block(actions), *([foot] if foot else [])]
    return [ft.SafeArea(_column(parts), expand=True)]


def _turned(
    look: Look,
    top: Controls,
    body: Controls,
    actions: Controls,
    foot: ft.Control | None,
    *,
    scroll: bool,
) -> Controls:
    """A phone on its side: pictures and words at one side, what can be done at the thumb: at the
    right, or at the left where that is the hand."""
    left = _column([*top, _body(body, scroll=scroll)])
    if not actions and foot is None:
        return [ft.SafeArea(ft.Row([_fixed([left], look)], alignment=CENTRE), expand=True)]
    acts = [_block(actions, top=0, bottom=GAP / 2)] if actions else []  # height is dear here
    if foot is not None and not actions:
        acts, foot = [foot], None
    block = ft.Column(
        acts,
        expand=True,
        spacing=0,
        scroll=ft.ScrollMode.AUTO,
        alignment=ft.MainAxisAlignment.END,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )
    right = _column([block, *([foot] if foot else [])])
    row = [_fixed([left], look), ft.Container(right, expand=True)]
    if look.left_handed:
        row.reverse()
    return [ft.SafeArea(ft.Row(row, spacing=0, vertical_alignment=STRETCH), expand=True)]


def centred(screen: Controls, look: Look) -> Controls:
    """A screen alone in a wide window: one column in its middle."""
    return [ft.Row([_fixed(screen, look)], expand=True, alignment=CENTRE)]


def beside(left: Controls, left_look: Look, screen: Controls, look: Look) -> Controls:
    """What stays at the left, a line, and the screen in the middle of what is left over."""
    row = [
        _fixed([ft.SafeArea(_column(left), expand=True)], left_look),
        upright_line(look),
        ft.Container(ft.Row([_fixed(screen, look)], alignment=CENTRE), expand=True),
    ]
    return [ft.Row(row, expand=True, spacing=0, vertical_alignment=STRETCH)]


def across(look: Look, top: Controls, columns: list[Controls], column_look: Look) -> Controls:
    """What goes across the whole window, and equal columns below it, lines between them."""
    row: Controls = []
    for number, column in enumerate(columns):
        row += [upright_line(look)] if number else []
        in_middle = ft.Row([_fixed(column, column_look)], alignment=CENTRE)
        row.append(ft.Container(in_middle, expand=True))
    below = ft.Row(row, expand=True, spacing=0, vertical_alignment=STRETCH)
    return [ft.SafeArea(_column([*with_above(look, top), below]), expand=True)]


def with_above(look: Look, top: Controls) -> Controls:
    """What stands above a screen, below what stands above every screen of the job."""
    return [*([look.above] if look.above is not None else []), *top]


def share_of(look: Look, columns: int) -> float:
    """The width of one of so many columns across the window [dp]."""
    return (look.whole - LINE * (columns - 1)) / columns


def scrolling(body: Controls) -> ft.Control:
    """What scrolls where it has no room."""
    return _body(body, scroll=True)


def upright_line(look: Look) -> ft.Control:
    """The line between two columns."""
    return ft.Container(width=LINE, bgcolor=look.tokens["ink"])


CENTRE = ft.MainAxisAlignment.CENTER
STRETCH = ft.CrossAxisAlignment.STRETCH


def _body(body: Controls, *, scroll: bool) -> ft.Control:
    return ft.Column(
        body,
        expand=True,
        spacing=12,
        scroll=ft.ScrollMode.AUTO if scroll else None,
        horizontal_alignment=STRETCH,
    )


def _block(actions: Controls, *, top: float = GAP, bottom: float = GAP) -> ft.Control:
    return ft.Container(
        ft.Column(actions, spacing=GAP, tight=True),
        padding=ft.Padding.only(left=MARGIN, right=MARGIN, top=top, bottom=bottom),
        visible=bool(actions),
    )


def _column(parts: Controls) -> ft.Column:
    return ft.Column(parts, expand=True, spacing=0, horizontal_alignment=STRETCH)


def _fixed(screen: Controls, look: Look) -> ft.Control:
    """A column of the look's width, as high as there is room."""
    return ft.Container(
        ft.Column(screen, spacing=0, expand=True, horizontal_alignment=STRETCH), width=look.width
    )
