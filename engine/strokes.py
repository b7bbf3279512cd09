"""A signature's drawing in the log: strokes of a finger, and how they are read.

A stroke is a list of points, each ``[x, y]`` in whole numbers on a field 1000 across and 400 down,
x to the right and y downwards from its top left corner. The shape of the field and its limits are
our own choice.
"""

from __future__ import annotations

from typing import Any

from attrs import frozen

from engine.fields import Kind, Reader, Schema
from engine.whereabouts import At, place

ACROSS, DOWN = 1000, 400
"""the field, in the units of its points"""
MOST_STROKES, MOST_POINTS = 100, 4000
"""strokes of a drawing; points of all its strokes together"""

Point = tuple[int, int]
Strokes = tuple[tuple[Point, ...], ...]


@frozen
class StrokesKind(Kind):
    """Reads a drawing as tuples of tuples of points; whatever else it was, one line refuses it."""

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, list) or not all(isinstance(stroke, list) for stroke in value):
            return reader.bad(at, value, "a list of strokes, each a list of points [x, y]")
        if len(value) > MOST_STROKES:
            return reader.bad(at, value, f"at most {MOST_STROKES} strokes")
        if sum(map(len, value)) > MOST_POINTS:
            return reader.bad(at, value, f"at most {MOST_POINTS} points in all")
        for number, stroke in enumerate(value):
            for spot, point in enumerate(stroke):
                if not _is_point(point):
                    where = f"{place(at)}[{number}][{spot}]"
                    expected = f"[x, y]: whole numbers 0 to {ACROSS} and 0 to {DOWN}"
                    return reader.bad(where, point, expected)
        return tuple(tuple((int(x), int(y)) for x, y in stroke) for stroke in value)

    def schema(self) -> Schema:
        ends = [{"type": "integer", "minimum": 0, "maximum": most} for most in (ACROSS, DOWN)]
        point = {"type": "array", "minItems": 2, "maxItems": 2, "prefixItems": ends}
        stroke = {"type": "array", "maxItems": MOST_POINTS, "items": point}
        return {
            "description": "strokes of [x, y], whole numbers, x to the right and y downwards; "
            f"at most {MOST_POINTS} points in all",
            "type": "array",
            "maxItems": MOST_STROKES,
            "items": stroke,
        }


def _is_point(point: Any) -> bool:
    if not isinstance(point, list) or len(point) != 2:
        return False
    return all(_is_whole(one, most) for one, most in zip(point, (ACROSS, DOWN), strict=True))


def _is_whole(value: Any, most: int) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return 0 <= value <= most and value == int(value)
