"""Which colour lies on which, read from a page as it would be drawn: no list is kept of them here.

Letters count over the nearest filled control around them; in a drawing letters and strokes count
over whatever was painted below them, place by place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, sin
from types import MappingProxyType
from typing import Any

import flet as ft
import flet.canvas as cv
from flet.controls.base_control import BaseControl
from headless import _hidden

from fieldapp.drawing.tokens import (
    CARRIED_BY_OTHERS,
    CROSSED,
    DARK,
    SHAPES_ON,
    SUN,
    WORDS_ON,
)
from fieldapp.faces import FACES, text_width

TEXT, GRAPHIC = "text", "graphic"
Use = tuple[str, str, str]
"""text or graphic; the token; the token below it"""
NAMES = MappingProxyType(
    {value: ("sun", name) for name, value in reversed(SUN.items())}
    | {value: ("dark", name) for name, value in DARK.items()}
)
"""by colour: its table and its token. In the dark table no colour stands twice."""
FACE = {face.family: name for name, face in FACES.items()}
DECLARED = frozenset(
    (kind, name, under)
    for kind, table in ((TEXT, WORDS_ON), (GRAPHIC, SHAPES_ON))
    for name, those in table.items()
    for under in those
)
OF_TWO_LOOKS = frozenset({("sun rule", "dark ground"), ("sun sheet", "dark ground")})
"""the label is shown as it is printed, on white paper"""
LEAST_SHARE = 0.1
"""of what is probed: what lies under less of it is a line that crosses, and not the ground, ours"""


class Uses:
    """What was seen so far."""

    def __init__(self) -> None:
        self.seen: set[Use] = set()
        self.mixed: set[tuple[str, str]] = set()
        """colours of two looks, one on the other"""

    def note(self, kind: str, colour: str | None, under: str) -> None:
        """One colour on another."""
        if not colour or colour == under:
            return
        (one, name), (other, below) = NAMES[colour], NAMES[under]
        if one != other:
            self.mixed.add((f"{one} {name}", f"{other} {below}"))
        self.seen.add((kind, name, below))


def uses_of(views: Any) -> Uses:
    """All pairs on a page drawn in the dark look."""
    uses = Uses()
    _control(views, "", "", uses)
    return uses


def undeclared(view: Any) -> Iterator[str]:
    """What lies on what on a page in the dark look, and no table of ``tokens`` says so."""
    uses = uses_of(view)
    yield from (f"{one} on {other}" for one, other in uses.mixed - OF_TWO_LOOKS)
    yield from (
        f"{kind} of {name} on {under}"
        for kind, name, under in uses.seen - DECLARED
        if kind == TEXT or not is_carried(name, under)
    )


def is_carried(name: str, under: str) -> bool:
    """Whether a shape needs no contrast on this."""
    return name in CARRIED_BY_OTHERS or under in CROSSED


def _control(node: Any, under: str, ink: str, uses: Uses) -> None:
    if isinstance(node, list | tuple):
        for one in node:
            _control(one, under, ink, uses)
        return
    if not isinstance(node, BaseControl) or getattr(node, "visible", True) is False:
        return
    if isinstance(node, cv.Canvas):
        _canvas(node, under, uses)
        return
    outer, inside = under, under
    match node:
        case ft.View() | ft.Container() | ft.BottomSheet():
            inside = node.bgcolor or under
            for side in _sides(getattr(node, "border", None)):
                uses.note(GRAPHIC, side, inside)
        case ft.Button() | ft.TextButton():
            style = node.style
            inside, ink = style.bgcolor or under, style.color or ink
            shape = style.shape
            if shape is not None and shape.side is not None:
                uses.note(GRAPHIC, shape.side.color, outer)
        case ft.TextField():
            for one in (node.text_style, node.label_style):
                uses.note(TEXT, one.color, under)
            uses.note(GRAPHIC, node.cursor_color, under)
            for border in node.border.values():
                uses.note(GRAPHIC, border.side.color, under)
        case ft.Text():
            spans = [span.style for span in node.spans or ()]
            for style in spans or [node.style]:
                if node.value or spans:
                    uses.note(TEXT, (style and style.color) or ink, under)
    hidden = _hidden(type(node))
    kept = {**vars(node), **node._values}
    for name, value in kept.items():
        if name not in hidden and name not in ("style", "border", "text_style", "label_style"):
            _control(value, inside, ink, uses)


def _sides(border: Any) -> Iterator[str]:
    for name in ("left", "top", "right", "bottom"):
        side = getattr(border, name, None)
        if side is not None and side.width:
            yield side.color


# ---------------------------------------------------------------- drawings

Place = tuple[float, float]


@dataclass(frozen=True)
class Layer:
    """Something painted: its colour, where it is, and places on it to look from."""

    colour: str
    frame: tuple[float, float, float, float]
    holds: Callable[[float, float], bool]
    places: tuple[Place, ...]
    kind: str = GRAPHIC

    def at(self, x: float, y: float) -> bool:
        """Whether it covers this place."""
        left, top, right, bottom = self.frame
        return left <= x <= right and top <= y <= bottom and self.holds(x, y)


def _canvas(node: cv.Canvas, base: str, uses: Uses) -> None:
    layers: list[Layer] = []
    for shape in node.shapes:
        layer = LAYERS[type(shape)](shape)
        if layer is None:
            continue
        if layer.kind:
            below = Counter(_topmost(layers, *place, base) for place in layer.places)
            for colour, count in below.items():
                if count >= max(1, LEAST_SHARE * len(layer.places)):
                    uses.note(layer.kind, layer.colour, colour)
        layers.append(layer)


def _topmost(layers: list[Layer], x: float, y: float, base: str) -> str:
    return next((one.colour for one in reversed(layers) if one.at(x, y)), base)


def _frame(places: tuple[Place, ...], by: float) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return min(xs) - by, min(ys) - by, max(xs) + by, max(ys) + by


def _along(points: tuple[Place, ...]) -> tuple[Place, ...]:
    """Some thirty places on a chain."""
    whole = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    step, out = max(whole / 30, 1.0), []
    for a, b in pairwise(points):
        count = max(int(hypot(b[0] - a[0], b[1] - a[1]) / step), 1)
        out += [
            (a[0] + (b[0] - a[0]) * (i + 0.5) / count, a[1] + (b[1] - a[1]) * (i + 0.5) / count)
            for i in range(count)
        ]
    return tuple(out)


def _stroke(points: tuple[Place, ...], width: float, colour: str) -> Layer:
    reach = width / 2

    def holds(x: float, y: float) -> bool:
        for (ax, ay), (bx, by) in pairwise(points):
            dx, dy = bx - ax, by - ay
            far = dx * dx + dy * dy
            t = min(max(((x - ax) * dx + (y - ay) * dy) / far, 0.0), 1.0) if far else 0.0
            if hypot(x - ax - t * dx, y - ay - t * dy) <= reach:
                return True
        return False

    return Layer(colour, _frame(points, reach), holds, _along(points))


def _fill(points: tuple[Place, ...], colour: str) -> Layer:
    def holds(x: float, y: float) -> bool:
        inside = False
        for (ax, ay), (bx, by) in pairwise((*points, points[0])):
            if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
                inside = not inside
        return inside

    return Layer(colour, _frame(points, 0.0), holds, _along((*points, points[0])))


def _painted(points: tuple[Place, ...], paint: ft.Paint) -> Layer:
    if paint.style is ft.PaintingStyle.FILL:
        return _fill(points, paint.color)
    return _stroke(points, paint.stroke_width, paint.color)


def _path(shape: cv.Path) -> Layer:
    points = tuple((one["x"], one["y"]) for one in shape.elements if "x" in one)
    closed = any(one["_type"] == "Close" for one in shape.elements)
    return _painted((*points, points[0]) if closed else points, shape.paint)


def _line(shape: cv.Line) -> Layer:
    points = ((shape.x1, shape.y1), (shape.x2, shape.y2))
    return _stroke(points, shape.paint.stroke_width, shape.paint.color)


def _circle(shape: cv.Circle) -> Layer:
    turns = [i * 6.283185307 / 16 for i in range(17)]
    points = tuple(
        (shape.x + shape.radius * cos(a), shape.y + shape.radius * sin(a)) for a in turns
    )
    return _painted(points, shape.paint)


def _rect(shape: cv.Rect) -> Layer:
    x, y, w, h = shape.x, shape.y, shape.width, shape.height
    return _painted(((x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)), shape.paint)


def _text(shape: cv.Text) -> Layer | None:
    style = shape.style
    if not shape.value:
        return None
    wide = text_width(FACE[style.font_family], style.size, shape.value)
    high, anchor = 0.7 * style.size, shape.alignment.x
    left, turn = -wide * (anchor + 1) / 2, shape.rotate or 0.0

    def seen(u: float, v: float) -> Place:
        return shape.x + u * cos(turn) - v * sin(turn), shape.y + u * sin(turn) + v * cos(turn)

    rim = style.foreground.stroke_width / 2 if style.foreground else 0.0
    corners = tuple(
        seen(u, v)
        for u, v in (
            (left - rim, -high / 2 - rim),
            (left + wide + rim, -high / 2 - rim),
            (left + wide + rim, high / 2 + rim),
            (left - rim, high / 2 + rim),
        )
    )
    if style.foreground:
        body = _fill(corners, style.foreground.color)
        return Layer(body.colour, body.frame, body.holds, (), "")
    places = tuple(seen(left + wide * i / 10, high * j / 3) for i in range(11) for j in (-1, 0, 1))
    return Layer(style.color, _frame(corners, 0.0), lambda x, y: False, places, TEXT)


LAYERS: Mapping[type, Callable[[Any], Layer | None]] = MappingProxyType(
    {cv.Path: _path, cv.Line: _line, cv.Circle: _circle, cv.Rect: _rect, cv.Text: _text}
)
