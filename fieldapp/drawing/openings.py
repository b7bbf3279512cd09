"""Openings: the jacket of a span cut, two bare ends facing each other, where a box can be put in."""

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

from fieldapp.drawing.shapes import Label, Line, Path, Picture, Point, Shape

OPEN = 34.0
"""from one cut end of the jacket to the other [dp]"""
BARE = 5.0
"""half of the gap between the two bare ends [dp]"""
LEAST = 44.0
"""a shorter piece of cable is opened by less, so that some jacket is left on both sides [dp]"""


def cut_open(a: Point, b: Point, cable: float) -> list[Shape]:
    """A piece of cable from ``a`` to ``b``, ``cable`` wide, opened in its middle."""
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    reach = OPEN / 2 * min(length / LEAST, 1.0)
    bare = BARE * min(length / LEAST, 1.0)

    def along(d: float) -> Point:
        return x + ux * d, y + uy * d

    shapes: list[Shape] = [
        Path((along(-reach), along(reach)), stroke="ground", width=cable + 3),
    ]
    for side in (-1, 1):
        edge = (along(side * reach), along(side * (reach - 2.5)))
        shapes.append(Path(edge, stroke="ink", width=cable))
        shapes.append(Path((along(side * reach), along(side * bare)), stroke="ink", width=7.0))
        inside = (along(side * reach), along(side * (bare + 1.2)))
        shapes.append(Path(inside, stroke="copper", width=4.0))
    return shapes


def with_chosen(picture: Picture, key: str, words: str, faces: Sequence[float] = (20,)) -> Picture:
    """The picture with the opening of this touch key told in words, and a black bar under it."""
    found = next((touch for touch in picture.touches if touch.key == key), None)
    if found is None:
        return picture
    x, y = found.target
    room = 44.0
    middle = min(max(x, room), picture.width - room)
    marks = (
        Line(x - OPEN / 2, y + 20, x + OPEN / 2, y + 20, "ink", 5.0),
        Label(middle, y - 26, words, "PB", faces[0], "ink", "middle", "ground"),
    )
    return replace(picture, shapes=(*picture.shapes, *marks))
