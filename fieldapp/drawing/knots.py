"""The cable down the left of what holds you: a knot a hold, tape round a waived one.

A canvas clips to its own box, so every row gets a picture as high as the row, and the cable runs
through from one to the next without a seam.
"""

from collections.abc import Sequence

from fieldapp.drawing.jacket import CASING, jacket
from fieldapp.drawing.shapes import Line, Path, Picture, Point, Rect, Shape

WIDTH = 60.0
CABLE_X = 40.0
CABLE = 17.0
KNOT_TOP = 12.0
KNOT_HEIGHT = 72.0
TAPE = (24.0, 8.0, 17.0)
"""Length, height and distance of the two turns of tape. [dp]"""

STATES = ("open", "waived", "free", "plug")


def knot_cable(heights: Sequence[tuple[float, str]]) -> list[Picture]:
    """One picture a row.

    Parameters
    ----------
    heights : row height and what is there: ``open`` a knot, ``waived`` straight with two turns of
        tape, ``free`` straight, ``plug`` straight and ending in a plug at the bottom edge. A row
        too low for a knot gets a flatter one.
    """
    return [Picture(WIDTH, height, tuple(_row(height, state))) for height, state in heights]


def _row(height: float, state: str) -> list[Shape]:
    straight = jacket(((CABLE_X, -1), (CABLE_X, height + 1)), "copper", CABLE)
    if state == "open" and height >= 8:
        return _knot(height)
    if state == "waived":
        long, high, apart = TAPE
        y = min(22.0, height / 3)
        return [
            *straight,
            *(
                Rect(CABLE_X - long / 2, y + d - high / 2, long, high, "ink")
                for d in (0.0, min(apart, height / 3))
            ),
        ]
    if state == "plug":
        return [
            *jacket(((CABLE_X, -1), (CABLE_X, height - 12)), "copper", CABLE),
            Rect(CABLE_X - 14, max(height - 15, 0), 28, min(15, height), "ink", radius=2),
            Line(CABLE_X, max(height - 11, 0), CABLE_X, height - 4, "copper", 10.0),
        ]
    return list(straight)


def _knot(height: float) -> list[Shape]:
    """A loop thrown to the left: the way in passes over the way out."""
    tall = min(KNOT_HEIGHT, height - 2)
    top = min(KNOT_TOP, (height - tall) / 2)
    f = tall / KNOT_HEIGHT

    def at(x: float, y: float) -> Point:
        return x, top + y * f

    over = _curve(at(CABLE_X, 0), at(CABLE_X, 22), at(CABLE_X - 1, 42), at(23.5, 46.5))
    loop = (
        *_curve(at(23.5, 46.5), at(13, 48.5), at(9.5, 38), at(9.5, 32)),
        *_curve(at(9.5, 32), at(9.5, 22), at(16, 16.5), at(22.5, 16.5))[1:],
        *_curve(at(22.5, 16.5), at(36, 16.5), at(CABLE_X, 42), at(CABLE_X, 70))[1:],
    )
    way_in = ((CABLE_X, -1.0), *over)
    # The loop starts a little before the way in ends, under it, so that their casings join.
    way_out = (*over[-3:-1], *loop, (CABLE_X, height + 1))
    return [
        *jacket(way_out, "copper", CABLE),
        Path(way_in, stroke="ink", width=CABLE, cap="butt"),
        # The core runs on past its casing, so that no seam shows where the loop takes over.
        Path((*way_in, *loop[1:4]), stroke="copper", width=CABLE - 2 * CASING),
    ]


def _curve(a: Point, b: Point, c: Point, d: Point, steps: int = 18) -> tuple[Point, ...]:
    """A cubic curve from a to d, pulled towards b and c, as points."""
    points = []
    for i in range(steps + 1):
        t = i / steps
        u = 1 - t
        w = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
        points.append(
            (
                sum(k * p[0] for k, p in zip(w, (a, b, c, d), strict=True)),
                sum(k * p[1] for k, p in zip(w, (a, b, c, d), strict=True)),
            )
        )
    return tuple(points)
