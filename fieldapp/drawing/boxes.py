"""Boxes: a body whose two sides say what they want to meet, and a sign that says the kind.

Side outlines: ``round`` (a nose: the long pair), ``teeth`` (the weather), ``jack`` (cut in:
equipment, a patch lead), ``flat`` (nothing). Nose and teeth count as part of the given width, so
a box never reaches beyond its frame.
"""

from collections.abc import Callable
from math import acos, ceil, cos, pi, sin

from fieldapp.drawing.shapes import Circle, Line, Path, Point, Rect, Shape

OUTLINES = ("round", "teeth", "jack", "flat")
KINDS = (
    "source",
    "injector",
    "repeater",
    "long-span",
    "arrestor",
    "joint",
    "splitter",
    "endpoint",
)
ROUND_ENOUGH = 0.0475
"""how far a side of a many-sided curve may leave the curve: the largest nose has 48 points (ours) [dp]"""
TEETH = 3
SIGN_FROM = 30.0
ALWAYS_SIGNED = ("source", "joint", "endpoint")

Sides = tuple[str, str]


def side_points(outline: str, x: float, y: float, h: float, w: float) -> tuple[Point, ...]:
    """The left side of a box, from bottom to top, ``x`` being its outermost reach.

    ``w`` is the width of the whole box, which limits how deep the outline may go.
    """
    if outline == "round":
        depth = min(0.30 * h, 0.34 * w)
        steps = sides_of(max(h / 2, depth), pi)
        return tuple(
            (
                x + depth * (1 - sin(pi * i / steps)),
                y + h / 2 + h / 2 * cos(pi * i / steps),
            )
            for i in range(steps + 1)
        )
    if outline == "teeth":
        depth = min(0.22 * h, 0.24 * w)
        last = 2 * TEETH
        return tuple(
            (x + (depth if i % 2 == 0 else 0.0), y + h - h * i / last) for i in range(last + 1)
        )
    if outline == "jack":
        depth, opening = jack_size(w, h)
        low, high = y + (h + opening) / 2, y + (h - opening) / 2
        return ((x, y + h), (x, low), (x + depth, low), (x + depth, high), (x, high), (x, y))
    return ((x, y + h), (x, y))


def jack_size(w: float, h: float) -> tuple[float, float]:
    """Depth and height of the jack cut into a box of this size. [dp]"""
    return min(0.18 * h, 0.22 * w), 0.40 * h


def box_outline(kind: str, sides: Sides, x: float, y: float, w: float, h: float) -> Path:
    """The bare closed outline of a box in the frame (x, y, w, h); no paint yet."""
    if kind == "endpoint":
        r = min(w, h) / 2
        return Path(_ring(x + w / 2, y + h / 2, r), closed=True)
    if kind == "joint":
        inset, top = 0.30 * w, 0.08 * h
        mid = y + h / 2
        return Path(
            (
                (x, mid),
                (x + inset, y + top),
                (x + w - inset, y + top),
                (x + w, mid),
                (x + w - inset, y + h - top),
                (x + inset, y + h - top),
            ),
            closed=True,
        )
    left = side_points(sides[0], x, y, h, w)
    right = tuple((2 * x + w - px, py) for px, py in side_points(sides[1], x, y, h, w))
    return Path(left + right[::-1], closed=True)


def box_shapes(
    kind: str,
    sides: Sides,
    x: float,
    y: float,
    w: float,
    h: float,
    *,
    filled: bool | None = None,
    bonded: bool = False,
    token: str = "ink",
    sign: bool = True,
    turned: bool = False,
    line: float | None = None,
) -> tuple[Shape, ...]:
    """A box in the frame (x, y, w, h), back to front.

    Parameters
    ----------
    kind : one of ``KINDS``; an unknown kind is drawn as a plain body.
    sides : outline of the left and the right side as drawn.
    filled : solid in ``token``; None = solid for a source only.
    bonded : hang the earth tail below (it reaches 0.42 h under the frame).
    token : colour of the lines; ``signal`` where the box is at fault.
    sign : draw the sign inside; under 30 dp only source, joint and endpoint keep it.
    turned : the box stands the wrong way round, so its chevrons look back at the source.
    line : stroke width. [dp]  None = by size
    """
    solid = kind == "source" if filled is None else filled
    stroke = line if line is not None else max(2.0, min(5.0, h * 0.032))
    # Half the stroke falls outside the points: draw inside the frame, so neighbours never touch.
    inset = stroke / 2
    fx, fy, fw, fh = x + inset, y + inset, max(w - stroke, 0.1), max(h - stroke, 0.1)
    outline = box_outline(kind, sides, fx, fy, fw, fh)
    body = Path(
        outline.points,
        closed=True,
        fill=token if solid else "sheet",
        stroke=token,
        width=stroke,
        cap="round" if sides[0] == "round" or kind == "endpoint" else "butt",
    )
    shapes: list[Shape] = [body]
    if sign and kind in _SIGNS and (h >= SIGN_FROM or kind in ALWAYS_SIGNED):
        area = _inner(kind, sides, fx, fy, fw, fh)
        ink = "sheet" if solid else token
        shapes += _SIGNS[kind](area, ink, stroke, turned)
    if bonded:
        shapes += earth_tail(x + w / 2, y + h, 0.42 * h, token, max(1.6, stroke * 0.8))
    return tuple(shapes)


def break_marks(
    x: float, y: float, h: float, token: str = "signal", *, along: Point = (1.0, 0.0)
) -> tuple[Shape, ...]:
    """Two slanting strokes centred on (x, y): the break between a cable and a box turned round.

    ``along`` is the way the cable runs there, a vector of length 1.
    """
    lean, apart, width = 0.27 * h / 2, 0.13 * h, max(2.0, 0.1 * h)
    ux, uy = along

    def at(a: float, b: float) -> Point:
        return x + ux * a - uy * b, y + uy * a + ux * b

    return tuple(
        Line(*at(d - lean, -h / 2), *at(d + lean, h / 2), token, width) for d in (-apart, apart)
    )


def sign_shapes(
    kind: str,
    x: float,
    y: float,
    w: float,
    h: float,
    *,
    token: str = "ink",
    stroke: float = 3.0,
    turned: bool = False,
) -> tuple[Shape, ...]:
    """A kind's sign alone, centred on (x, y) in a room of w by h; nothing for an unknown kind."""
    draw = _SIGNS.get(kind)
    return tuple(draw((x, y, w, h), token, stroke, turned)) if draw else ()


def earth_tail(
    x: float, y: float, h: float, token: str = "ink", width: float = 2.0
) -> tuple[Shape, ...]:
    """The earth sign hanging from (x, y): a stem and three shortening bars. [h dp high]"""
    bars = ((0.45, 0.55), (0.70, 0.36), (0.95, 0.16))
    return (
        Line(x, y, x, y + 0.45 * h, token, width),
        *(
            Line(x - half * h, y + down * h, x + half * h, y + down * h, token, width)
            for down, half in bars
        ),
    )


def sides_of(r: float, angle: float) -> int:
    """How many straight sides an arc of this radius [dp] and angle [rad] is drawn with: each
    costs in every message to the screen."""
    return max(ceil(angle / 2 / acos(max(1 - ROUND_ENOUGH / r, 0.0))), 6) if r > 0 else 6


def _ring(x: float, y: float, r: float) -> tuple[Point, ...]:
    n = 4 * sides_of(r, pi / 2)  # in quarters: it is as wide and as high as it says
    return tuple((x + r * cos(2 * pi * i / n), y + r * sin(2 * pi * i / n)) for i in range(n))


def _inner(
    kind: str, sides: Sides, x: float, y: float, w: float, h: float
) -> tuple[float, float, float, float]:
    """Centre and room (x, y, w, h) left for a sign between the two sides."""
    if kind in ("joint", "endpoint"):
        return x + w / 2, y + h / 2, w, h
    deep = {
        "round": 0.5 * min(0.30 * h, 0.34 * w),
        "teeth": min(0.22 * h, 0.24 * w),
        "jack": jack_size(w, h)[0],
    }
    left, right = (deep.get(side, 0.0) for side in sides)
    return x + (left + w - right) / 2, y + h / 2, w - left - right, h


_Area = tuple[float, float, float, float]


def _source_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, w, h = area
    thin, thick = max(1.6, 0.06 * w), max(4.0, 0.22 * w)
    long, short = 0.58 * h, 0.32 * h
    gap = max(1.6, 0.09 * w)
    left = x - (thin + gap + thick) / 2
    return [
        Rect(left, y - long / 2, thin, long, ink),
        Rect(left + thin + gap, y - short / 2, thick, short, ink),
    ]


def _injector_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    # Power joins a line that was there before: the feed's two bars stand on the line going through.
    x, y, w, h = area
    half, low = 0.30 * w, y + 0.20 * h
    return [
        Line(x - half, low, x + half, low, ink, stroke),
        Line(x, low, x, y - 0.06 * h, ink, stroke),
        Line(x - 0.12 * w, y - 0.06 * h, x + 0.12 * w, y - 0.06 * h, ink, stroke * 1.7),
        Line(x - 0.24 * w, y - 0.20 * h, x + 0.24 * w, y - 0.20 * h, ink, stroke),
    ]


def _repeater_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, _w, h = area
    way = -1 if turned else 1
    half, deep = 0.19 * h, way * 0.17 * h
    return [
        Path(
            ((cx - deep / 2, y - half), (cx + deep / 2, y), (cx - deep / 2, y + half)),
            stroke=ink,
            width=stroke,
        )
        for cx in (x - 0.13 * h, x + 0.13 * h)
    ]


def _wave_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, w, h = area
    half, high = 0.34 * min(w, h), 0.13 * h
    n = 2 * sides_of(max(half / 2, high), pi)
    wave = tuple(
        (x - half + 2 * half * i / n, y - high * sin(2 * pi * i / n)) for i in range(n + 1)
    )
    return [Path(wave, stroke=ink, width=stroke, cap="round")]


def _gap_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, _w, h = area
    half, high, gap = 0.13 * h, 0.23 * h, 0.05 * h
    return [
        Path(
            ((x - half, y + s * (gap + high)), (x + half, y + s * (gap + high)), (x, y + s * gap)),
            closed=True,
            fill=ink,
        )
        for s in (-1, 1)
    ]


def _seam_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, _w, h = area
    return [Line(x, y - 0.42 * h, x, y + 0.42 * h, ink, stroke)]


def _fork_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, w, h = area
    half, high = 0.30 * w, 0.24 * h
    near, far = (x + half, x - half) if turned else (x - half, x + half)
    return [
        Line(near, y, far, y, ink, stroke),
        *(Line(x, y, far, y + s * high, ink, stroke) for s in (-1, 1)),
    ]


def _centre_sign(area: _Area, ink: str, stroke: float, turned: bool) -> list[Shape]:
    x, y, w, h = area
    return [Circle(x, y, 0.17 * min(w, h), fill=ink)]


_SIGNS: dict[str, Callable[[_Area, str, float, bool], list[Shape]]] = {
    "source": _source_sign,
    "injector": _injector_sign,
    "repeater": _repeater_sign,
    "long-span": _wave_sign,
    "arrestor": _gap_sign,
    "joint": _seam_sign,
    "splitter": _fork_sign,
    "endpoint": _centre_sign,
}
