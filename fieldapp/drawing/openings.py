"""Openings: the jacket of a span cut, two bare ends facing each other, where a box can be put in."""

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

from fieldapp.drawing.run import Branch, RunSpan
from fieldapp.drawing.shapes import Label, Line, Path, Picture, Point, Shape, Touch, touch_area

OPEN = 34.0
"""from one cut end of the jacket to the other [dp]"""
BARE = 5.0
"""half of the gap between the two bare ends [dp]"""
BAR_DOWN, BAR = 20.0, 5.0
"""how far under the cable the bar of what is chosen is, and how thick [dp]"""
LEAST = 44.0
"""a shorter piece of cable is opened by less, so that some jacket is left on both sides [dp]"""


def cut_open(a: Point, b: Point, cable: float, end: float = 7.0) -> list[Shape]:
    """A piece of cable from ``a`` to ``b``, ``cable`` wide, opened in its middle; ``end`` is how wide
    a bare end is."""
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
        shapes.append(Path((along(side * reach), along(side * bare)), stroke="ink", width=end))
        inside = (along(side * reach), along(side * (bare + 1.2)))
        shapes.append(Path(inside, stroke="copper", width=end - 3))
    return shapes


THIN, THIN_END = 9.0, 5.5
"""of a side branch's cut, and of its bare ends [dp]"""
LEAST_PIECE, GOOD_PIECE, MOST_ROOM = 10.0, 26.0, 110.0
"""of a thin line, with one opening in it; as it is where there is room; of all of them [dp]"""
FROM_FORK = 16.0
"""what the fork's own box covers of a side branch [dp]"""


def _cuts(branch: Branch, fork: Point, end: Point) -> list[tuple[RunSpan, Point, Point]]:
    """The spans of a side branch, and the piece of its thin line each has.

    Where all have no room the longest are opened; the others have it once the branch is chosen.
    """
    far = hypot(end[0] - fork[0], end[1] - fork[1]) or 1.0
    first = min(FROM_FORK / far, 0.5)
    room = max(int((1 - first) * far // LEAST_PIECE), 1)
    longest = sorted(branch.spans, key=lambda one: -one.length_m)[:room]
    spans = [one for one in branch.spans if one in longest]

    def at(share: float) -> Point:
        along = first + (1 - first) * share
        return fork[0] + along * (end[0] - fork[0]), fork[1] + along * (end[1] - fork[1])

    count = len(spans)
    return [(one, at(i / count), at((i + 1) / count)) for i, one in enumerate(spans)]


def room_for(branch: Branch) -> float:
    """How far off a side branch ends at least, so that each of its spans can be opened. [dp]"""
    return min(FROM_FORK + GOOD_PIECE * len(branch.spans), MOST_ROOM)


def branch_cuts(branch: Branch, fork: Point, end: Point) -> list[Shape]:
    """A side branch's thin line opened once a span."""
    cuts = _cuts(branch, fork, end)
    return [shape for _, a, b in cuts for shape in cut_open(a, b, THIN, THIN_END)]


def branch_touches(
    branch: Branch, fork: Point, end: Point, width: float, height: float
) -> list[Touch]:
    """What can be pressed on a side branch: each opening, and the box at its end."""
    touches = [
        touch_area((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, width, height, f"+{one.id}", one.id)
        for one, a, b in _cuts(branch, fork, end)
    ]
    return [*touches, end_touch(branch, end, width, height)]


def end_touch(branch: Branch, end: Point, width: float, height: float) -> Touch:
    """The box at the end of a side branch, to be pressed."""
    last = branch.boxes[-1]
    return touch_area(*end, width, height, last.id, last.name or last.id)


def with_chosen(picture: Picture, key: str, words: str, faces: Sequence[float] = (20,)) -> Picture:
    """The picture with the opening of this touch key told in words, and a black bar under it."""
    found = next((touch for touch in picture.touches if touch.key == key), None)
    if found is None:
        return picture
    x, y = found.target
    room = 44.0
    middle = min(max(x, room), picture.width - room)
    told = Label(middle, y - 26, words, "PB", faces[0], "ink", "middle", "ground")
    return replace(picture, shapes=(*picture.shapes, bar_under(x, y), told))


def bar_under(x: float, y: float) -> Line:
    """What is chosen at this place."""
    return Line(x - OPEN / 2, y + BAR_DOWN, x + OPEN / 2, y + BAR_DOWN, "ink", BAR)
