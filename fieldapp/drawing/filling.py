"""A length of jacket that fills with copper while something is made: how far that is, without a figure."""

from fieldapp.drawing.jacket import CASING, jacket
from fieldapp.drawing.shapes import Picture

HEIGHT = 18.0


def filling(width: float, share: float) -> Picture:
    """A level jacket of this width, copper as far as ``share``. 0 <= share <= 1, else cut to that."""
    y, end = HEIGHT / 2, CASING + (width - 2 * CASING) * min(max(share, 0.0), 1.0)
    shapes = jacket(((0.0, y), (width, y)), "empty", HEIGHT)
    return Picture(width, HEIGHT, (*shapes, *jacket(((CASING, y), (end, y)), "copper", HEIGHT)[1:]))
