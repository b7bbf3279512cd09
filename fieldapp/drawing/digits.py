"""The digits being typed, large, with their unit and the caret."""

from fieldapp.drawing.shapes import Label, Line, Picture, Shape
from fieldapp.faces import text_width

LARGEST = 124.0
SMALLER = 96.0
"""from five figures on"""
UNIT_SHARE = 0.42
EDGE = 16.0


def digits_picture(
    digits: str, unit: str, width: float, height: float, *, caret: bool = True
) -> Picture:
    """A figure right-aligned before its unit; it shrinks before it would leave the picture."""
    figures = sum(letter.isdigit() for letter in digits)
    size = min(LARGEST if figures < 5 else SMALLER, height * 0.98)
    room = width - 2 * EDGE
    while _width(digits, unit, size) > room and size > 24:
        size -= 4
    unit_size = max(size * UNIT_SHARE, 22)
    unit_width = text_width("T", unit_size, unit)
    y = height / 2
    right = width - EDGE - unit_width
    shapes: list[Shape] = [
        Label(width - EDGE, y + size * 0.16, unit, "T", unit_size, "soft", "end")
    ]
    if caret:
        shapes.append(Line(right - 10, y - size * 0.42, right - 10, y + size * 0.42, "copper", 3.0))
    shapes.append(Label(right - 18, y, digits, "TM", size, "ink", "end"))
    return Picture(width, height, tuple(shapes))


def reading_picture(
    digits: str, unit: str, width: float, height: float, *, struck: bool = False
) -> Picture:
    """A kept figure, left-aligned, its unit small at its foot; struck through if taken back."""
    size = min(116.0, height * 0.98)
    while text_width("TM", size, digits) + size * 0.9 > width - 2 * EDGE and size > 24:
        size -= 4
    x = EDGE + text_width("TM", size, digits)
    shapes: tuple[Shape, ...] = (
        Label(EDGE, height / 2, digits, "TM", size, "ink", "start"),
        Label(x + 8, height / 2 + size * 0.2, unit, "T", size * 0.4, "soft", "start"),
    )
    if struck:
        y = height / 2 + size * 0.02
        shapes += (Line(EDGE - 6, y, x + 8, y, "ink", max(size * 0.06, 3.0)),)
    return Picture(width, height, shapes)


def _width(digits: str, unit: str, size: float) -> float:
    unit_size = max(size * UNIT_SHARE, 22)
    return text_width("TM", size, digits or "0") + text_width("T", unit_size, unit) + 18
