"""The cable's jacket along a line: what it is filled with says what is known of the span.

``empty`` not yet proven, ``copper`` proven, ``striped`` suspect, ``cut`` power but no data.
The casing is ink in every state, so that copper and stripes never stand alone as a colour.
"""

import itertools
from math import hypot

from fieldapp.drawing.letters import label_frame
from fieldapp.drawing.shapes import Label, Line, Path, Point, Rect, Shape

STATES = ("empty", "copper", "striped", "cut")
CASING = 2.0
STRIPE = (5.0, 5.0)
BOX_STRIPE = (3.0, 3.0)
"""finer in a box, which is narrow"""
BRANCH_WIDTH = 4.0
PRINT_FACE, PRINT_SIZE = "PB", 13.0

_FILL = {"empty": "ground", "copper": "copper", "striped": "ground", "cut": "copper"}


def jacket(
    points: tuple[Point, ...], state: str, width: float = 18.0, *, casing: float = CASING
) -> tuple[Shape, ...]:
    """A jacket of this outer width along ``points``. An unknown state is drawn empty."""
    if _length(points) <= 0:
        return ()
    core = max(width - 2 * casing, 1.0)
    shapes: list[Shape] = [
        Path(points, stroke="ink", width=width),
        Path(points, stroke=_FILL.get(state, "ground"), width=core),
    ]
    if state == "striped":
        shapes.append(Path(points, stroke="signal", width=core, dash=STRIPE))
    if state == "cut":
        ends = min(6.0, _length(points) / 4)
        slit = _shortened(points, ends)
        shapes.append(Path(slit, stroke="ink", width=max(0.42 * core, 3.0)))
        shapes.append(Path(slit, stroke="ground", width=max(0.42 * core - 2.6, 1.0)))
    return tuple(shapes)


def printed_length(
    a: Point, b: Point, text: str, state: str, width: float = 18.0
) -> tuple[Shape, ...]:
    """The length printed on a level jacket from a to b; nothing if it does not fit on it.

    On copper the print is in its own colour; elsewhere ink, on a plaque where stripes run under it.
    """
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    ink = "on_copper" if state == "copper" else "ink"
    label = Label(x, y, text, PRINT_FACE, PRINT_SIZE, ink, "middle")
    left, _, right, _ = label_frame(label)
    room = abs(b[0] - a[0])
    if right - left + 10 > room:
        return ()
    if state not in ("striped", "cut"):
        return (label,)
    core = width - 2 * CASING
    plaque = Rect(left - 4, y - core / 2, right - left + 8, core, "ground")
    return plaque, label


def stripes_in(x: float, y: float, w: float, h: float) -> tuple[Shape, ...]:
    """A suspect box: the stripes of the jacket run through its middle, (x, y) being its frame."""
    band = max(0.34 * h, 5.0)
    mid, left, right = y + h / 2, x + 0.2 * w, x + 0.8 * w
    return (
        Line(left, mid, right, mid, "ground", band),
        Line(left, mid, right, mid, "signal", band, BOX_STRIPE),
    )


def branch_line(points: tuple[Point, ...]) -> tuple[Shape, ...]:
    """A side branch: one 4 dp line."""
    return (Path(points, stroke="ink", width=BRANCH_WIDTH),)


def too_short_break(x: float, y: float, width: float = 18.0) -> tuple[Shape, ...]:
    """The draughtsman's break across a jacket that is drawn longer than its metres are."""
    lean, half, apart = 3.0, width / 2 + 3, 2.6
    gap = Path(
        (
            (x - apart - lean, y + half),
            (x - apart + lean, y - half),
            (x + apart + lean, y - half),
            (x + apart - lean, y + half),
        ),
        closed=True,
        fill="ground",
    )
    return (
        gap,
        *(
            Line(x + dx - lean, y + half, x + dx + lean, y - half, "ink", 1.8)
            for dx in (-apart, apart)
        ),
    )


def _length(points: tuple[Point, ...]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points))


def _shortened(points: tuple[Point, ...], by: float) -> tuple[Point, ...]:
    """The chain with ``by`` dp taken off its first and last piece, never more than half of each."""

    def toward(a: Point, b: Point) -> Point:
        far = hypot(b[0] - a[0], b[1] - a[1])
        share = min(by / far, 0.5) if far else 0.0
        return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share

    return (toward(points[0], points[1]), *points[1:-1], toward(points[-1], points[-2]))
