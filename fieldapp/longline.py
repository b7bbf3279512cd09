"""A line wider than its column, as a row that scrolls: the whole of it in small stands above."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import flet as ft

from fieldapp.drawing.miniature import overall_line
from fieldapp.drawing.run import ONE_WIDTH_BOXES, RUN_PITCH, RunLine, layout
from fieldapp.drawing.shapes import Picture
from fieldapp.messages import LineMoved
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.sideways import along, wanted, where

KEY = "line"
"""of the row that scrolls"""
UNDER = 10.0
"""below the line, for the scroll bar: it lies over no words [dp]"""
AROUND = 20.0 + UNDER
"""what stands above and below a line that scrolls [dp]"""
WHEEL_MS = 200
"""between two tellings of how far it is moved [ms]"""


def in_column(
    model: Model,
    send: Callable[[Any], None],
    look: Look,
    line: RunLine,
    picture: Picture,
    drawn: ft.Control,
    key: str,
) -> ft.Control:
    """A drawn line in its column, scrolled where it has no room; ``key`` is the touch key of what
    is chosen on it."""
    if picture.width <= look.width:
        return drawn
    moved = along(model)
    laid = layout(line, picture.width, RUN_PITCH)
    small = overall_line(picture.width, (moved, moved + look.width), laid, look.width)
    target = next((touch.target[0] for touch in picture.touches if touch.key == key), None)
    row = ft.Row(
        [ft.Container(drawn, padding=ft.Padding.only(bottom=UNDER))],
        key=KEY,
        data=(target, wanted(target, moved, picture.width, look.width)),
        scroll=ft.ScrollMode.ALWAYS,
        scroll_interval=WHEEL_MS,
        on_scroll=_Moved(send, where(model.place)),
    )
    unspoken = ft.Semantics(content=canvas(look, small), exclude_semantics=True)
    return ft.Column([unspoken, row], spacing=0, tight=True)


class _Moved:
    """Tells how far a line has been moved, once it stands; comparable like every handler."""

    def __init__(self, send: Callable[[Any], None], of: str) -> None:
        self._send, self.of = send, of

    def __call__(self, event: ft.OnScrollEvent) -> None:
        if event.event_type == ft.ScrollType.END:
            self._send(LineMoved(self.of, event.pixels))

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self.of == other.of

    def __hash__(self) -> int:
        return hash(self.of)


def height_for(line: RunLine, height: float) -> float:
    """What is left of a height for the line itself. [dp]"""
    return height - AROUND if len(line.boxes) > ONE_WIDTH_BOXES else height


def row_in(node: Any) -> ft.Row | None:
    """The line of a screen that scrolls, if there is one."""
    return next((one for one in _every(node) if one.key == KEY), None)


def _every(node: Any) -> Iterator[ft.Control]:
    if isinstance(node, list):
        for one in node:
            yield from _every(one)
    elif isinstance(node, ft.Control):
        yield node
        for name in ("content", "controls"):
            yield from _every(getattr(node, name, None))
