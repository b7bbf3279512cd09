"""The thin line from words to what they belong to, and how far apart the two are."""

from math import hypot

from fieldapp.drawing.letters import Frame
from fieldapp.drawing.shapes import Line, Point


def leader(start: Point, end: Point, ink: str) -> Line | None:
    """A thin line that touches neither end; None where it would be too short to read as one."""
    far = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = ((end[0] - start[0]) / far, (end[1] - start[1]) / far) if far else (0.0, 0.0)
    # A short stroke reads as nothing, and a short level one beside a figure as a minus sign.
    if far < (9 if abs(uy) > 0.35 else 19):
        return None
    off_x, off_y = 2.5 * ux, 2.5 * uy
    return Line(start[0] + off_x, start[1] + off_y, end[0] - off_x, end[1] - off_y, ink, 1.8)


def apart(one: Frame, other: Frame) -> float:
    """The empty way between two frames. [dp]"""
    return hypot(
        max(one[0] - other[2], other[0] - one[2], 0.0),
        max(one[1] - other[3], other[1] - one[3], 0.0),
    )


def nearest(frame: Frame, to: Point) -> Point:
    """The point of a frame nearest to another point."""
    return min(max(to[0], frame[0]), frame[2]), min(max(to[1], frame[1]), frame[3])
