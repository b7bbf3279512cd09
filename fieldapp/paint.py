"""Pictures onto a Flet canvas, in the colours of one look."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import flet as ft
import flet.canvas as cv

from engine.showable import showable
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect
from fieldapp.drawing.tokens import tokens_for
from fieldapp.faces import FACES
from fieldapp.handover.turned import in_line
from fieldapp.typed import Typed
from fieldapp.window import COLUMN, TURNED, UPRIGHT, WIDE, shape_of

ANCHORS = {"start": -1.0, "middle": 0.0, "end": 1.0}
HALO = 5.0
MARGIN, GAP = 16.0, 8.0
LARGE = 1.3
"""from this text scale on nothing with words has a fixed height"""


@dataclass(frozen=True)
class Look:
    """Colours and room of one rendering: tokens, how large letters are, the window's shape.

    ``width`` is the column that a screen draws into, ``whole`` and ``height`` are the window [dp].
    ``scale`` is how large letters are in all, ``phone`` what of it the phone sees to by itself.
    ``camera`` is what opens for a picture; browsers let only the press itself open it.
    """

    tokens: Mapping[str, str]
    width: float
    height: float
    scale: float = 1.0
    camera: ft.FilePicker | None = None
    shape: str = UPRIGHT
    whole: float = 0.0
    above: ft.Control | None = None
    """what stands above every screen of a job"""
    phone: float = 1.0
    left_handed: bool = False
    typed: Typed = field(default_factory=Typed, compare=False)
    """what stands in the fields of the page"""

    def into(self, width: float, shape: str | None = None) -> Look:
        """The same look for a column of this width, at most as wide as text may be."""
        return replace(self, width=min(width, COLUMN), shape=shape or self.shape)

    def across(self) -> Look:
        """The same look for what goes across the whole window."""
        return replace(self, width=self.whole)

    def sided(self, row: Sequence[Any]) -> list[Any]:
        """A row whose ends belong to a thumb: the other way round for the left one."""
        return list(reversed(row)) if self.left_handed else list(row)

    def capped(self, size: float, cap: float) -> float:
        """A size whose growth, once ``style`` and the phone have seen to it, ends at ``cap`` times."""
        return size * min(self.scale, cap) / self.scale


def look_for(
    dark: bool,
    width: float,
    height: float,
    scale: float,
    camera: ft.FilePicker | None = None,
    *,
    contrast: bool = False,
    phone: float | None = None,
    left_handed: bool = False,
    typed: Typed | None = None,
) -> Look:
    """The look of a window, for the one column that a screen has in it.

    ``scale`` is how large letters are in all; ``phone`` what the phone asks for, where that is less.
    """
    shape = shape_of(width, height)
    column = {UPRIGHT: width, TURNED: width / 2, WIDE: min(width, COLUMN)}[shape]
    return Look(
        tokens_for(dark, contrast),
        column,
        height,
        scale,
        camera,
        shape,
        width,
        phone=scale if phone is None else phone,
        left_handed=left_handed,
        typed=typed or Typed(),
    )


def style(look: Look, face: str, size: float, ink: str = "ink", **more: Any) -> ft.TextStyle:
    """A text style in one of the app's faces, grown by what the phone does not do by itself."""
    return lettering(look, face, size * look.scale / look.phone, ink, **more)


def lettering(look: Look, face: str, size: float, ink: str = "ink", **more: Any) -> ft.TextStyle:
    """The same in exactly this size; letters are never spaced by the theme."""
    return ft.TextStyle(
        font_family=FACES[face].family,
        size=size,
        color=None if "foreground" in more else look.tokens[ink],
        letter_spacing=-0.4 if size >= 24 else 0,
        height=1.2,
        **more,
    )


def _paint(look: Look, shape: Any, token: str, *, stroke: bool) -> ft.Paint:
    if not stroke:
        return ft.Paint(color=look.tokens[token])
    round_cap = getattr(shape, "cap", "butt") == "round"
    dash = getattr(shape, "dash", None)
    return ft.Paint(
        color=look.tokens[token],
        style=ft.PaintingStyle.STROKE,
        stroke_width=shape.width,
        stroke_cap=ft.StrokeCap.ROUND if round_cap else ft.StrokeCap.BUTT,
        stroke_join=ft.StrokeJoin.ROUND if round_cap else ft.StrokeJoin.MITER,
        stroke_dash_pattern=list(dash) if dash else None,
    )


def _path(look: Look, shape: Path) -> list[cv.Shape]:
    # as they go to the client: an object each would be most of what a drawing costs
    names = cv.Path.LineTo.__name__, cv.Path.MoveTo.__name__, cv.Path.Close.__name__
    elements: list[Any] = [{"_type": names[0], "x": x, "y": y} for x, y in shape.points]
    elements[0]["_type"] = names[1]
    if shape.closed:
        elements.append({"_type": names[2]})
    return [
        cv.Path(tuple(elements), paint=_paint(look, shape, token, stroke=stroke))
        for token, stroke in ((shape.fill, False), (shape.stroke, True))
        if token
    ]


def _line(look: Look, shape: Line) -> list[cv.Shape]:
    paint = _paint(look, shape, shape.stroke, stroke=True)
    return [cv.Line(shape.x1, shape.y1, shape.x2, shape.y2, paint=paint)]


def _circle(look: Look, shape: Circle) -> list[cv.Shape]:
    return [
        cv.Circle(shape.x, shape.y, shape.r, paint=_paint(look, shape, token, stroke=stroke))
        for token, stroke in ((shape.fill, False), (shape.stroke, True))
        if token
    ]


def _rect(look: Look, shape: Rect) -> list[cv.Shape]:
    return [
        cv.Rect(
            shape.x,
            shape.y,
            shape.w,
            shape.h,
            border_radius=shape.radius or None,
            paint=_paint(look, shape, token, stroke=stroke),
        )
        for token, stroke in ((shape.fill, False), (shape.stroke, True))
        if token
    ]


def _label(look: Look, shape: Label) -> list[cv.Shape]:
    if not shape.text:
        return []
    place = ft.Alignment(ANCHORS[shape.anchor], 0)
    styles = []
    if shape.halo:
        halo = ft.Paint(
            color=look.tokens[shape.halo],
            style=ft.PaintingStyle.STROKE,
            stroke_width=HALO,
            stroke_join=ft.StrokeJoin.ROUND,
        )
        styles.append(lettering(look, shape.face, shape.size, foreground=halo))
    styles.append(lettering(look, shape.face, shape.size, shape.ink))
    return [
        cv.Text(
            shape.x,
            shape.y,
            in_line(showable(shape.text)),
            style=one,
            alignment=place,
            rotate=shape.rotate * 3.141592653589793 / 180,
        )
        for one in styles
    ]


PAINTERS: dict[type, Callable[[Look, Any], list[cv.Shape]]] = {
    Path: _path,
    Line: _line,
    Circle: _circle,
    Rect: _rect,
    Label: _label,
}


def canvas(look: Look, picture: Picture) -> cv.Canvas:
    """A picture as a canvas of its own size."""
    shapes = [painted for shape in picture.shapes for painted in PAINTERS[type(shape)](look, shape)]
    return cv.Canvas(shapes=tuple(shapes), width=picture.width, height=picture.height)
