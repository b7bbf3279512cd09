"""A drawn name: the strokes of a finger on a line, for the screen, for a row and for paper."""

from __future__ import annotations

from engine.strokes import ACROSS, DOWN, Strokes
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect, Shape

LINE_AT = 0.74
"""how far down the line to write on stands, as a share of the field"""
INSET = 0.05
"""from the sides of the field to the ends of that line, as a share of its width"""
PIECE = 24
"""points of a piece of a stroke: while a finger moves only the last piece is sent anew"""
PEN = 0.007
"""width of the pen, as a share of the field's width"""


def height_of(width: float) -> float:
    """How high a field of this width is."""
    return width * DOWN / ACROSS


def signature(strokes: Strokes, width: float) -> Picture:
    """The strokes alone, in a picture of this width."""
    return Picture(width, height_of(width), tuple(_strokes(strokes, width)))


def signing_field(strokes: Strokes, width: float, hint: str, letters: float = 1.0) -> Picture:
    """The field to draw on: its edge, the line to write on, what is drawn so far.

    ``hint`` stands over the line while the field is empty, as large as ``letters`` asks.
    """
    height = height_of(width)
    line = height * LINE_AT
    shapes: list[Shape] = [
        Rect(0.75, 0.75, width - 1.5, height - 1.5, "sheet", "rule", 1.5),
        Line(width * INSET, line, width * (1 - INSET), line, "rule", 1.5),
    ]
    if not strokes:
        size = 18 * min(letters, 1.6)
        shapes.append(Label(width / 2, line - size, hint, "TI", size, "soft", "middle"))
    return Picture(width, height, (*shapes, *_strokes(strokes, width)))


def _strokes(strokes: Strokes, width: float) -> list[Shape]:
    scale, pen = width / ACROSS, max(width * PEN, 1.2)
    out: list[Shape] = []
    for stroke in strokes:
        points = tuple((x * scale, y * scale) for x, y in stroke)
        if len(points) == 1:
            out.append(Circle(*points[0], pen * 0.8, fill="ink"))
        for first in range(0, len(points) - 1, PIECE):
            piece = points[first : first + PIECE + 1]
            out.append(Path(piece, stroke="ink", width=pen, cap="round"))
    return out
