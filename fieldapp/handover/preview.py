"""One label as a picture for the screen: what will be printed, with its square code as shapes. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from fieldapp.drawing.shapes import Picture, Rect, scaled
from fieldapp.handover.labelface import PlacedCode, Size, face
from fieldapp.handover.labels import LabelFacts
from fieldapp.handover.sheets import GRIDS


def label_picture(
    facts: LabelFacts, width_dp: float, size: Size = GRIDS["a4"].size, edge: float = 1.5
) -> Picture:
    """A label as wide as this, with its cut edge.

    It is black on white in print whatever the look: paint it in the tokens of the sun where it
    shall look so in the dark too.

    Parameters
    ----------
    facts : one of ``labels_of``.
    width_dp : of the picture; its height follows from the label's shape.  0 < width_dp
    size : the label's paper.
    edge : width of the line around it. [dp]
    """
    drawn, times = face(facts, size), width_dp / size.width
    width, height = width_dp, size.height * times
    rim = edge / 2
    paper = Rect(rim, rim, width - edge, height - edge, "sheet", "rule", edge)
    bars = code_bars(drawn.code) if drawn.code else ()
    return Picture(
        width, height, (paper, *(scaled(shape, times) for shape in (*drawn.shapes, *bars)))
    )


def code_bars(code: PlacedCode) -> Iterator[Rect]:
    """The black of a square code as upright bars. [mm]

    Where two rows are black one below the other, a bar of two rows covers the line between them:
    a screen softens each edge by itself, and a light seam would stand there.
    """
    module = code.module
    for x, y, length in code.square.bars():
        yield _bar(code, x, y, length * module, module)
    for x, y, length in code.square.joins():
        yield _bar(code, x, y, length * module, 2 * module)


def _bar(code: PlacedCode, x: int, y: int, width: float, height: float) -> Rect:
    return Rect(code.x + x * code.module, code.y + y * code.module, width, height, fill="ink")
