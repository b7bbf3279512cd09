"""Drawings for paper: SVG to be put into a page, wide ones in slices, all labels as wide as placed.

The page brings no typeface, so each label is told the width that it was placed by, whatever
letters the printer has.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from html import escape
from types import MappingProxyType

from fieldapp.drawing.marks import MARK_H, MARK_W, mark
from fieldapp.drawing.shapes import Picture
from fieldapp.drawing.svg import to_svg
from fieldapp.drawing.tokens import SUN

INKS: Mapping[str, str] = MappingProxyType({**SUN, "ground": "#FFFFFF"})
"""the colours of daylight on white paper"""
WIDEST = 700.0
"""a drawing that is wider goes onto paper in slices, or its letters could not be read. [px]"""
SHARED = 30.0
"""what two slices both show. [px]"""
MARK_BOX = f"0 0 {MARK_W:g} {MARK_H:g}"


def inside(picture: Picture) -> str:
    """What stands between the tags of a picture's ``svg``, labels held to their widths."""
    whole = to_svg(picture, INKS, ground=False, fitted=True)
    return whole.partition(">\n")[2].removesuffix("</svg>\n")


def slices(picture: Picture, says: str) -> Iterator[str]:
    """The picture as one ``svg`` element, or several from left to right where it is wide; none is
    shown larger than it is."""
    body = inside(picture)
    for left, width in frames(picture.width):
        yield (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="line" role="img" '
            f'aria-label="{escape(says)}" style="max-width:{width:g}px" '
            f'viewBox="{left:g} 0 {width:g} {picture.height:g}">\n'
            f"{body}</svg>"
        )


def frames(width: float) -> tuple[tuple[float, float], ...]:
    """Left edge and width of each slice; all are as wide.

    >>> frames(680)
    ((0.0, 680),)
    """
    if width <= WIDEST:
        return ((0.0, width),)
    count = 1
    while (width + (count - 1) * SHARED) / count > WIDEST:
        count += 1
    each = (width + (count - 1) * SHARED) / count
    return tuple((i * (each - SHARED), each) for i in range(count))


def mark_symbols(verdicts: Iterable[str]) -> str:
    """The signs of verdicts, drawn once; each is used as ``#mark-VERDICT``."""
    symbols = "".join(
        f'<symbol id="mark-{one}" viewBox="{MARK_BOX}">'
        f"{inside(Picture(MARK_W, MARK_H, mark(one, 0.0, 0.0)))}</symbol>"
        for one in verdicts
    )
    return f'<svg width="0" height="0" aria-hidden="true" style="position:absolute">{symbols}</svg>'
