"""The band gauge: a sleeve is a prediction, a bead is a measurement, on the run's own line.

Sleeve and bead are used for nothing else. ``mark`` is the same picture as a sign: the verdict.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from fieldapp.drawing.fallscale import known
from fieldapp.drawing.gaugeparts import (
    BEAD,
    BEAD_HALO,
    PLAIN,
    SIDE,
    SLEEVE,
    SLEEVE_EDGE,
    Figure,
    Scale,
    Window,
    dimension,
    sleeve,
    ticks,
    window_for,
)
from fieldapp.drawing.letters import Frame, grown, label_frame, overlap
from fieldapp.drawing.marks import VERDICTS, conductor_ends, mark
from fieldapp.drawing.shapes import Circle, Label, Line, Picture, Rect, Shape
from fieldapp.faces import text_width

__all__ = ["VERDICTS", "Figure", "Sleeve", "conductor_ends", "gauge", "mark", "sleeves", "tenths"]

DESIGN, DIMENSION, FIGURES = 26.0, 14.0, 4.0
"""how high the design band is; what the words above and the figures below need more where they are
twice as large [dp]"""
REACH_OFF = BEAD_HALO + 1.5
"""Smallest distance of the reach's end strokes, 3 dp wide, from the middle of the bead. [dp]"""


def tenths(value: float) -> str:
    """A figure with one digit behind the point."""
    return f"{value:.1f}"


@dataclass(frozen=True)
class Sleeve:
    """One prediction among several: a name in or above it, its ends numbered below.

    ``dashed`` = the prediction that one hopes not to meet.
    """

    low: float
    high: float
    name: str
    text: str
    above: bool = False
    dashed: bool = False


def gauge(
    band: tuple[float, float, float] | None,
    design: tuple[float, float] | None,
    reading: float | None,
    reach: float,
    unit: str,
    verdict: str | None,
    dimension_text: str,
    width: float,
    height: float,
    *,
    earlier: float | None = None,
    figure: Figure = tenths,
    scale: Scale = PLAIN,
    letters: float = 1.0,
) -> Picture:
    """One reading against its bands.

    Parameters
    ----------
    band : today's low, expected, high; None where nothing can be predicted.
    design : the design band's ends; they may run off the picture, and lie endlessly far.
    reading : the bead; None draws the sleeve alone.
    reach : half the width the meter cannot tell apart. [unit]
    verdict : ``outside`` colours the bead and draws the dimension line; None while typing.
    dimension_text : words on the dimension line, measured from the sleeve's end.
    earlier : a second, hollow bead: what was read here before.
    figure, scale : how a number is written at the band's ends, and how the line is ticked.

    The picture is at least 86 dp high, 138 with a dimension line, whatever ``height`` says.
    """
    k = min(max(letters, 1.0), 1.6)
    reach = max(reach, 0.0) if isfinite(reach) else 0.0
    bead = [reading] if reading is not None and isfinite(reading) else []
    old = known(earlier)
    values = [*(band or ()), *old]
    values += [v + s for v in bead for s in (-reach, reach)]
    if not band:
        # Nothing to compare with: the meter's reach must not fill the picture.
        values += [v + s * max(4 * reach, 0.02 * abs(v)) for v in bead for s in (-1, 1)]
    if not values:
        values = list(design or (0.0, 1.0))
    window = window_for(values, width)
    dimensioned = bool(dimension_text and bead and band) and verdict == "outside"
    height, y = _line_y(height, dimensioned, k)
    shapes: list[Shape] = []
    if design:
        shapes += _design(window, design, y)
    shapes.append(Line(0, y, width, y, "ink", 2.5))
    taken: list[Frame] = []
    if band:
        shapes += sleeve(window, band[0], band[2], y)
        shapes.append(
            Line(window.x(band[1]), y - 20, window.x(band[1]), y + 20, "tide", SLEEVE_EDGE)
        )
        shapes += _ends(window, band, unit, figure, y, k, taken)
    shapes += ticks(window, y, band, scale, k, taken)
    shapes += [s for v in old for s in _old_bead(window, v, y)]
    for v in bead:
        shapes += _bead(window, v, reach, y, "signal" if verdict == "outside" else "ink", band)
        if dimensioned and band:
            x, end = window.x(v), window.x(band[0] if v < band[1] else band[2])
            bead_foot, sleeve_foot, level = y - 13, y - SLEEVE / 2 - 4, y - SLEEVE / 2 - 19
            ends = (x, bead_foot), (end, sleeve_foot)
            shapes += dimension(width, *ends, dimension_text, level, k)
    return Picture(width, height, tuple(shapes))


def sleeves(
    rows: Sequence[Sleeve],
    width: float,
    height: float,
    *,
    reading: float | None = None,
    reach: float = 0.0,
    scale: Scale = PLAIN,
    letters: float = 1.0,
) -> Picture:
    """Several predictions on one line, such as one for each cause: the reading would part them."""
    k = min(max(letters, 1.0), 1.6)
    bead = known(reading)
    values = [v for row in rows for v in (row.low, row.high)]
    values += [v + s for v in bead for s in (-reach, reach)]
    window = window_for(values, width)
    y = height * 0.45
    shapes: list[Shape] = [Line(0, y, width, y, "ink", 2.5)]
    taken: list[Frame] = []
    for row in sorted(rows, key=lambda row: row.low - row.high):
        shapes += sleeve(window, row.low, row.high, y, dashed=row.dashed)
    for row in sorted(rows, key=lambda row: row.low):
        shapes += _sleeve_words(window, row, y, k, taken)
    shapes += ticks(window, y, None, scale, k, taken)
    for v in bead:
        shapes += _bead(window, v, reach, y, "ink")
    return Picture(width, height, tuple(shapes))


def _line_y(height: float, dimensioned: bool, k: float) -> tuple[float, float]:
    """The height, raised where it would not do, and the level of the line in it.

    The dimension needs room above the line, the figures below it.
    """
    above = 76.0 + DIMENSION * (k - 1) if dimensioned else SLEEVE / 2 + 3
    below = 62.0 + FIGURES * (k - 1)
    height = max(height, above + below)
    return height, above + 0.3 * (height - above - below)


def _design(window: Window, design: tuple[float, float], y: float) -> list[Shape]:
    x0, x1 = max(window.x(design[0]), 0.0), min(window.x(design[1]), window.width)
    if x1 <= x0:
        return []
    half = DESIGN / 2
    shapes: list[Shape] = [Rect(x0, y - half, x1 - x0, DESIGN, "tide_wash")]
    shapes += [Line(x0, y + s * half, x1, y + s * half, "tide", 1.6, (5.0, 3.5)) for s in (-1, 1)]
    shapes += [
        Line(x, y - half, x, y + half, "tide", 1.6, (5.0, 3.5))
        for x, v in ((x0, design[0]), (x1, design[1]))
        if 0 < window.x(v) < window.width
    ]
    return shapes


def _sleeve_words(
    window: Window, row: Sleeve, y: float, k: float, taken: list[Frame]
) -> list[Shape]:
    mid, size = (window.x(row.low) + window.x(row.high)) / 2, 17 * k
    wide = text_width("PB", size, row.name)
    fits = not row.above and wide + 8 <= window.x(row.high) - window.x(row.low)
    above = y - SLEEVE / 2 - 14
    names = (*([y] if fits else []), above, above - 20)
    shapes: list[Shape] = []
    for text, levels, ink in ((row.name, names, "ink"), (row.text, (y + 40, y + 62), "tide")):
        half = text_width("PB", size, text) / 2
        x = min(max(mid, SIDE + half), window.width - SIDE - half)
        # Sleeves that overlap would write over each other: the second goes one line further out.
        labels = [Label(x, level, text, "PB", size, ink, "middle") for level in levels]
        free = (
            one for one in labels if not any(overlap(label_frame(one), other) for other in taken)
        )
        label = next(free, labels[-1])
        shapes.append(label)
        taken.append(grown(label_frame(label), 3))
    return shapes


def _ends(
    window: Window,
    band: tuple[float, float, float],
    unit: str,
    figure: Figure,
    y: float,
    k: float,
    taken: list[Frame],
) -> list[Shape]:
    """The band's two ends in figures; in one label where they stand too close for two."""
    size, level = 17 * k, y + SLEEVE / 2 + 26
    low, high = figure(band[0]), f"{figure(band[2])}\u00a0{unit}"
    halves = [text_width("PB", size, t) / 2 for t in (low, high)]
    x0, x1 = window.x(band[0]), window.x(band[2])
    if x1 - x0 >= halves[0] + halves[1] + 10:
        texts = [(low, x0, halves[0]), (high, x1, halves[1])]
    else:
        # ends that read alike are one figure
        both = high if low == figure(band[2]) else f"{low}–{high}"
        texts = [(both, (x0 + x1) / 2, text_width("PB", size, both) / 2)]
    shapes: list[Shape] = []
    for text, x, half in texts:
        held = min(max(x, SIDE + half), window.width - SIDE - half)
        label = Label(held, level, text, "PB", size, "tide", "middle")
        shapes.append(label)
        taken.append(grown(label_frame(label), 4))
    return shapes


def _bead(
    window: Window,
    v: float,
    reach: float,
    y: float,
    ink: str,
    band: tuple[float, float, float] | None = None,
) -> list[Shape]:
    """The bead with the meter's reach. A reach hidden behind the bead is shown by its end strokes,
    just off the bead, except where that would carry one across the sleeve's end."""
    x = window.x(v)
    x0, x1 = window.x(v - reach), window.x(v + reach)
    shapes: list[Shape] = []
    if reach > 0:
        shapes.append(Line(x0, y, x1, y, ink, 4.0))
        ends = [window.x(end) for end in (band[0], band[2])] if band else []
        for true, way in ((x0, -1), (x1, 1)):
            shown = x + way * max(x1 - x, REACH_OFF)
            if not any(min(true, shown) - 3 < end < max(true, shown) + 3 for end in ends):
                shapes.append(Line(shown, y - 10, shown, y + 10, ink, 3.0))
            elif x1 - x >= BEAD_HALO:
                shapes.append(Line(true, y - 10, true, y + 10, ink, 3.0))
    return [*shapes, Circle(x, y, BEAD_HALO, "ground"), Circle(x, y, BEAD, ink)]


def _old_bead(window: Window, v: float, y: float) -> list[Shape]:
    return [Circle(window.x(v), y, BEAD - 1, "ground", "ink", 2.5)]
