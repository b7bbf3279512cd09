"""Shapes as operators of a page's content: paths, and how they are painted. y grows downwards.

Operators from ISO 32000-1, 8.5 (from memory); ``tests/test_ink.py`` reads them with poppler.
"""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.drawing.shapes import Circle, Drawn, Line, Rect

BEND = 0.5522847498
"""how far the handles of a quarter circle reach, of its radius: 4/3 (sqrt 2 - 1)"""


def n(value: float) -> str:
    """A number as a page's content has it, to the thousandth."""
    return f"{value:.3f}".rstrip("0").rstrip(".") if abs(value) >= 0.0005 else "0"


def paint(colour: str) -> str:
    """The three parts of ``#RRGGBB``, 0 to 1."""
    return " ".join(n(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))


def painted(shape: Drawn, colours: Mapping[str, str]) -> str:
    """A shape in the colours of a table; empty where it has none."""
    fill = None if isinstance(shape, Line) else shape.fill
    stroke = shape.stroke if shape.width > 0 else None
    if not fill and not stroke:
        return ""
    words = []
    if fill:
        words.append(f"{paint(colours[fill])} rg")
    if stroke:
        cap = getattr(shape, "cap", "butt") == "round"
        dash = " ".join(map(n, shape.dash or ()))
        words.append(f"{paint(colours[stroke])} RG {n(shape.width)} w {cap:d} J {cap:d} j")
        words.append(f"[{dash}] 0 d")
    words.append(_way(shape))
    words.append({(True, False): "f", (False, True): "S"}.get((bool(fill), bool(stroke)), "B"))
    return " ".join(words)


def _way(shape: Drawn) -> str:
    if isinstance(shape, Line):
        return f"{n(shape.x1)} {n(shape.y1)} m {n(shape.x2)} {n(shape.y2)} l"
    if isinstance(shape, Circle):
        r = shape.r
        return _rounded(shape.x - r, shape.y - r, 2 * r, 2 * r, r)
    if isinstance(shape, Rect):
        radius = min(shape.radius, shape.w / 2, shape.h / 2)
        if radius > 0:
            return _rounded(shape.x, shape.y, shape.w, shape.h, radius)
        return f"{n(shape.x)} {n(shape.y)} {n(shape.w)} {n(shape.h)} re"
    (x, y), *more = shape.points
    way = " ".join([f"{n(x)} {n(y)} m", *(f"{n(a)} {n(b)} l" for a, b in more)])
    return f"{way} h" if shape.closed else way


def _rounded(x: float, y: float, w: float, h: float, r: float) -> str:
    """A rectangle with round corners; a circle where they take all of it."""
    near, far = r * (1 - BEND), r
    right, foot = x + w, y + h
    turns = (
        (right - r, y, right - near, y, right, y + near, right, y + far),
        (right, foot - r, right, foot - near, right - near, foot, right - far, foot),
        (x + r, foot, x + near, foot, x, foot - near, x, foot - far),
        (x, y + r, x, y + near, x + near, y, x + far, y),
    )
    pieces = [f"{n(x + r)} {n(y)} m"]
    for straight_x, straight_y, *bent in turns:
        pieces.append(f"{n(straight_x)} {n(straight_y)} l {' '.join(map(n, bent))} c")
    return f"{' '.join(pieces)} h"
