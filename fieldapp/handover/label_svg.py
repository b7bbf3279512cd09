"""Sheets of labels written as SVG in millimetres, one page below the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from fieldapp.drawing.svg import element
from fieldapp.handover.labelface import PlacedCode
from fieldapp.handover.sheets import Sheet

PRINT: Mapping[str, str] = MappingProxyType({"ink": "#000000", "sheet": "#FFFFFF"})
"""black on white: most label printers have no grey"""


def sheets_svg(pages: Sequence[Sheet]) -> str:
    """The pages as one SVG text. A browser prints it at its size when nothing is scaled to fit.

    Letters name the app's typeface; where it lacks, another is squeezed to the same width.
    """
    width = max((page.width for page in pages), default=0.0)
    height = sum(page.height for page in pages)
    body, top = [], 0.0
    for page in pages:
        body.append(f'<g transform="translate(0 {_n(top)})">')
        body += [element(shape, PRINT, fitted=True) for shape in page.shapes]
        body += [_code(code) for code in page.codes]
        body.append("</g>")
        top += page.height
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}mm" height="{_n(height)}mm" '
        f'viewBox="0 0 {_n(width)} {_n(height)}">\n'
        f'<rect width="{_n(width)}" height="{_n(height)}" fill="{PRINT["sheet"]}"/>\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )


def _code(code: PlacedCode) -> str:
    """A square code as one path: bars that touch leave no seam within a path."""
    bars = "".join(f"M{x} {y}h{length}v1h-{length}z" for x, y, length in code.square.bars())
    # four places: a module must not be rounded away from its neighbours
    place = f"translate({_n(code.x)} {_n(code.y)}) scale({code.module:.4f})"
    return f'<path transform="{place}" fill="{PRINT["ink"]}" d="{bars}"/>'


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") if value else "0"
