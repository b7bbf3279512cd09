"""Labels onto sheets: the grids of common label paper, and a strip without end. Pure numbers in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from attrs import evolve, frozen

from fieldapp.drawing.shapes import Line, Shape, moved
from fieldapp.handover.labelface import PlacedCode, Size, face
from fieldapp.handover.labels import LabelFacts


@frozen
class Grid:
    """A sheet of labels. [mm]  ``height`` or ``width`` is that of the paper, ``across`` and
    ``down`` count labels, ``left`` and ``top`` is the corner of the first, ``step_*`` to the next.
    """

    size: Size
    width: float
    height: float
    across: int
    down: int
    left: float
    top: float
    step_x: float
    step_y: float
    source: str


GRIDS: Mapping[str, Grid] = MappingProxyType(
    {
        "a4": Grid(
            Size(70.0, 37.0, margin=4.0, capital=4.0, inset=1.0),
            *(210.0, 297.0, 3, 8, 0.0, 0.5, 70.0, 37.0),
            source="ISO 216 A4 in 24 labels of 70 x 37 mm, as label paper is sold: common practice",
        ),
        "letter": Grid(
            Size(66.7, 25.4, margin=1.5, capital=3.2, inset=0.5),
            *(215.9, 279.4, 3, 10, 4.8, 12.7, 69.85, 25.4),
            source="US Letter in 30 labels of 2 5/8 x 1 in, 1/2 in at the head: common practice; "
            "side margin 3/16 in and step 2 3/4 in: from memory",
        ),
        "strip": Grid(
            Size(70.0, 24.0, margin=1.0, capital=3.2, inset=0.5),
            *(70.0, 24.0, 1, 1, 0.0, 0.0, 70.0, 24.0),
            source="tape of 24 mm is common practice; 70 mm a label is ours",
        ),
    }
)
"""by the word that asks for it; the strip is one page as long as all its labels"""
CUT = 2.0
"""length of the strokes that say where the strip is cut. [mm]"""


@frozen
class Sheet:
    """One page: its size, its shapes from back to front, its square codes. [mm]

    ``things`` is of what its labels are, in their order.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    codes: tuple[PlacedCode, ...]
    things: tuple[str, ...]


def sheets(
    labels: Sequence[LabelFacts], grid: Grid, longest: float = float("inf")
) -> tuple[Sheet, ...]:
    """The labels on as many pages as they take, row by row.

    A strip is one page, or several of whole labels where it would be longer than ``longest`` [mm].
    """
    strip = grid is GRIDS["strip"]
    most = min(longest, len(labels) * grid.step_x)  # a file may know no endless page
    many = max(int(most / grid.step_x + 1e-9), 1) if strip else grid.across * grid.down
    pages = (labels[i : i + many] for i in range(0, len(labels), many))
    return tuple(_strip(page, grid) if strip else _page(page, grid) for page in pages)


def _page(labels: Sequence[LabelFacts], grid: Grid) -> Sheet:
    places = (
        (
            grid.left + i % grid.across * grid.step_x,
            grid.top + i // grid.across * grid.step_y,
        )
        for i in range(len(labels))
    )
    return _laid(labels, tuple(places), grid.size, grid.width, grid.height)


def _strip(labels: Sequence[LabelFacts], grid: Grid) -> Sheet:
    places = tuple((i * grid.step_x, 0.0) for i in range(len(labels)))
    sheet = _laid(labels, places, grid.size, len(labels) * grid.step_x, grid.height)
    cuts = tuple(
        Line(x, y, x, y + CUT, "ink", 0.2) for x, _ in places[1:] for y in (0.0, grid.height - CUT)
    )
    return evolve(sheet, shapes=(*sheet.shapes, *cuts))


def _laid(
    labels: Sequence[LabelFacts],
    places: Sequence[tuple[float, float]],
    size: Size,
    width: float,
    height: float,
) -> Sheet:
    shapes: list[Shape] = []
    codes = []
    for facts, (x, y) in zip(labels, places, strict=True):
        drawn = face(facts, size)
        shapes += (moved(shape, x, y) for shape in drawn.shapes)
        if code := drawn.code:
            codes.append(PlacedCode(code.square, code.x + x, code.y + y, code.module))
    things = tuple(facts.thing for facts in labels)
    return Sheet(width, height, tuple(shapes), tuple(codes), things)


def larger_codes(labels: Sequence[LabelFacts]) -> tuple[str, ...]:
    """The things whose square code is finer than the usual one, for their ids are long."""
    return tuple(
        dict.fromkeys(
            facts.thing for facts in labels if facts.square is None or facts.square.is_larger
        )
    )
