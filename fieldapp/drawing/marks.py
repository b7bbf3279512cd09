"""The verdicts as signs, and odds as a row of conductor ends."""

from math import cos, pi, sin

from fieldapp.drawing.shapes import Circle, Line, Path, Point, Rect, Shape

VERDICTS = ("inside", "unclear", "outside", "no-band")
MARK_W, MARK_H = 52.0, 18.0


def mark(verdict: str | None, x: float, y: float, scale: float = 1.0) -> tuple[Shape, ...]:
    """The verdict's sign in the frame 52 x 18 dp times ``scale``, top left corner at (x, y).

    ``inside``: bead within a closed sleeve. ``unclear``: bead half filled, in the mouth of an open
    sleeve. ``outside``: bead off the end, a slanting break between. ``no-band``: bead on the bare
    line. Anything else: the bare line.
    """
    draw = {"inside": _inside, "unclear": _unclear, "outside": _outside, "no-band": _no_band}.get(
        verdict or "", _bare
    )
    return tuple(draw(x, y, scale))


def conductor_ends(
    filled: int, total: int, x: float, y: float, r: float = 8.0, pitch: float = 21.0
) -> tuple[Shape, ...]:
    """Odds as conductor ends in a row: ``filled`` of ``total`` are copper."""
    return tuple(
        Circle(
            x + r + i * pitch,
            y,
            r - 1,
            "copper" if i < filled else None,
            "ink" if i < filled else "rule",
            1.6 if r > 5 else 1.2,
        )
        for i in range(total)
    )


def _inside(x: float, y: float, k: float) -> list[Shape]:
    w, mid = 2.4 * k, y + 9 * k
    return [
        Line(x, mid, x + 12 * k, mid, "ink", w),
        Line(x + 40 * k, mid, x + 52 * k, mid, "ink", w),
        Rect(x + 13.2 * k, y + 1.2 * k, 25.6 * k, 15.6 * k, None, "ink", w, None, 7.8 * k),
        Circle(x + 26 * k, mid, 4.6 * k, "ink"),
    ]


def _unclear(x: float, y: float, k: float) -> list[Shape]:
    w, mid, cx, r = 2.4 * k, y + 9 * k, x + 15 * k, 5.2 * k
    lips = [
        Path(
            (
                (x + 19 * k, mid + s * 6.1 * k),
                (x + 21 * k, mid + s * 7.2 * k),
                (x + 23.5 * k, mid + s * 7.8 * k),
                (x + 46 * k, mid + s * 7.8 * k),
            ),
            stroke="ink",
            width=w,
        )
        for s in (-1, 1)
    ]
    half = tuple((cx + r * sin(pi * i / 24), mid - r * cos(pi * i / 24)) for i in range(25))
    return [
        *lips,
        Line(x, mid, cx - r, mid, "ink", w),
        Path(half, closed=True, fill="ink"),
        Circle(cx, mid, r - w / 2 + 0.3 * k, None, "ink", 2.0 * k),
    ]


def _outside(x: float, y: float, k: float) -> list[Shape]:
    w, mid = 2.4 * k, y + 9 * k
    r, cx = 7.8 * k, x + 27 * k
    bow = tuple((cx - r * sin(pi * i / 24), mid - r * cos(pi * i / 24)) for i in range(25))
    mouth: tuple[Point, ...] = ((x + 46 * k, mid - r), *bow, (x + 46 * k, mid + r))
    return [
        Line(x, mid, x + 4 * k, mid, "signal", w),
        Circle(x + 7.4 * k, mid, 4.6 * k, "signal"),
        Line(
            x + 13.4 * k, mid - 6 * k, x + 15.8 * k, mid + 6 * k, "signal", 1.9 * k, None, "round"
        ),
        Path(mouth, stroke="signal", width=w),
        Line(x + 36 * k, mid, x + 52 * k, mid, "signal", w),
    ]


def _no_band(x: float, y: float, k: float) -> list[Shape]:
    mid = y + 9 * k
    return [*_bare(x, y, k), Circle(x + 26 * k, mid, 4.6 * k, "ink")]


def _bare(x: float, y: float, k: float) -> list[Shape]:
    return [Line(x, y + 9 * k, x + 52 * k, y + 9 * k, "ink", 2.4 * k)]
