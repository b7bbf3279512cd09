"""The band gauge: a sleeve is a prediction, a bead is a measurement, on the run's own line.

Sleeve and bead are used for nothing else. ``mark`` is the same picture as a sign: the verdict.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite

from fieldapp.drawing.arrow import double_arrow
from fieldapp.drawing.fallscale import known, nice_step
from fieldapp.drawing.letters import Frame, grown, label_frame, overlap
from fieldapp.drawing.marks import VERDICTS, conductor_ends, mark
from fieldapp.drawing.shapes import Circle, Label, Line, Picture, Rect, Shape
from fieldapp.faces import text_width

__all__ = [
    "VERDICTS",
    "Sleeve",
    "Window",
    "conductor_ends",
    "gauge",
    "mark",
    "sleeves",
    "window_for",
]

SLEEVE, DESIGN = 42.0, 26.0
SLEEVE_RADIUS, SLEEVE_EDGE = 10.0, 2.5
BEAD, BEAD_HALO = 8.5, 11.5
REACH_OFF = BEAD_HALO + 1.5
"""Smallest distance of the reach's end strokes, 3 dp wide, from the middle of the bead. [dp]"""
SPARE = 0.15
SIDE = 8.0
"""Smallest distance of a figure from the picture's edge. [dp]"""

Figure = Callable[[float], str]


def _plain(value: float) -> str:
    return f"{value:.1f}"


@dataclass(frozen=True)
class Window:
    """The stretch of values a gauge shows across its width."""

    low: float
    high: float
    width: float

    def x(self, value: float) -> float:
        """Where a value stands. [dp]"""
        return (value - self.low) / (self.high - self.low) * self.width


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


def window_for(values: Sequence[float], width: float) -> Window:
    """A window that holds all values with 15 % of itself to spare at each end."""
    low, high = min(values, default=0.0), max(values, default=1.0)
    extent = high - low
    if not extent > 1e-6 * max(1.0, abs(high)) or not isfinite(extent):
        extent = max(0.05 * abs(high), 1.0) if isfinite(high) else 1.0
        low -= extent / 2
        high = low + extent
    spare = extent * SPARE / (1 - 2 * SPARE)
    return Window(low - spare, high + spare, width)


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
    figure: Figure = _plain,
    tick_figure: Figure | None = None,
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
    figure, tick_figure : how a number is written at the band's ends, and under a tick.

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
    height, y = _line_y(height, dimensioned)
    shapes: list[Shape] = []
    if design:
        shapes += _design(window, design, y)
    shapes.append(Line(0, y, width, y, "ink", 2.5))
    taken: list[Frame] = []
    if band:
        shapes += _sleeve(window, band[0], band[2], y)
        shapes.append(
            Line(window.x(band[1]), y - 20, window.x(band[1]), y + 20, "tide", SLEEVE_EDGE)
        )
        shapes += _ends(window, band, unit, figure, y, k, taken)
    shapes += _ticks(window, y, band, tick_figure or _tick_text, k, taken)
    shapes += [s for v in old for s in _old_bead(window, v, y)]
    for v in bead:
        shapes += _bead(window, v, reach, y, "signal" if verdict == "outside" else "ink", band)
        if dimensioned and band:
            shapes += _dimension(window, v, band, dimension_text, y, k)
    return Picture(width, height, tuple(shapes))


def sleeves(
    rows: Sequence[Sleeve],
    width: float,
    height: float,
    *,
    reading: float | None = None,
    reach: float = 0.0,
    tick_figure: Figure | None = None,
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
        shapes += _sleeve(window, row.low, row.high, y, dashed=row.dashed)
    for row in sorted(rows, key=lambda row: row.low):
        shapes += _sleeve_words(window, row, y, k, taken)
    shapes += _ticks(window, y, None, tick_figure or _tick_text, k, taken)
    for v in bead:
        shapes += _bead(window, v, reach, y, "ink")
    return Picture(width, height, tuple(shapes))


def _line_y(height: float, dimensioned: bool) -> tuple[float, float]:
    """The height, raised where it would not do, and the level of the line in it.

    The dimension needs room above the line, the figures below it.
    """
    above, below = (76.0 if dimensioned else SLEEVE / 2 + 3), 62.0
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


def _sleeve(
    window: Window, low: float, high: float, y: float, *, dashed: bool = False
) -> list[Shape]:
    x0, x1 = window.x(low), window.x(high)
    wide = max(x1 - x0, 6.0)
    left = (x0 + x1 - wide) / 2
    return [
        Rect(
            left,
            y - SLEEVE / 2,
            wide,
            SLEEVE,
            "tide_wash" if dashed else "tide_fill",
            "tide",
            1.8 if dashed else SLEEVE_EDGE,
            (5.0, 3.5) if dashed else None,
            min(SLEEVE_RADIUS, wide / 2),
        )
    ]


def _sleeve_words(
    window: Window, row: Sleeve, y: float, k: float, taken: list[Frame]
) -> list[Shape]:
    mid, size = (window.x(row.low) + window.x(row.high)) / 2, 17 * min(k, 1.3)
    wide = text_width("PB", size, row.name)
    fits = not row.above and wide + 8 <= window.x(row.high) - window.x(row.low)
    name_y = y if fits else y - SLEEVE / 2 - 14
    shapes: list[Shape] = []
    for text, level, ink in ((row.name, name_y, "ink"), (row.text, y + 40, "tide")):
        half = text_width("PB", size, text) / 2
        x = min(max(mid, SIDE + half), window.width - SIDE - half)
        label = Label(x, level, text, "PB", size, ink, "middle")
        # Sleeves that overlap would write over each other: the second goes one line further out.
        if any(overlap(label_frame(label), frame) for frame in taken):
            level += 22 if level > y else -20
            label = Label(x, level, text, "PB", size, ink, "middle")
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
    size, level = 17 * min(k, 1.3), y + SLEEVE / 2 + 26
    low, high = figure(band[0]), f"{figure(band[2])}\u00a0{unit}"
    halves = [text_width("PB", size, t) / 2 for t in (low, high)]
    x0, x1 = window.x(band[0]), window.x(band[2])
    if x1 - x0 >= halves[0] + halves[1] + 10:
        texts = [(low, x0, halves[0]), (high, x1, halves[1])]
    else:
        both = f"{low}–{high}"
        texts = [(both, (x0 + x1) / 2, text_width("PB", size, both) / 2)]
    shapes: list[Shape] = []
    for text, x, half in texts:
        held = min(max(x, SIDE + half), window.width - SIDE - half)
        label = Label(held, level, text, "PB", size, "tide", "middle")
        shapes.append(label)
        taken.append(grown(label_frame(label), 4))
    return shapes


def _tick_text(value: float) -> str:
    return f"{value:g}"


def _ticks(
    window: Window,
    y: float,
    band: tuple[float, float, float] | None,
    figure: Figure,
    k: float,
    taken: list[Frame],
) -> list[Shape]:
    """A tick each round step and a figure each five, where nothing else stands."""
    span = window.high - window.low
    step = nice_step(span, 14)
    if span > 1.5:
        step = max(step, 1.0)
    top = y + SLEEVE / 2 + 5
    first, last = ceil(window.low / step), floor(window.high / step)
    shapes: list[Shape] = []
    for i in range(first, last + 1):
        x, fifth = window.x(i * step), i % 5 == 0
        if band and window.x(band[0]) - 3 <= x <= window.x(band[2]) + 3:
            continue
        label = Label(
            x, top + 21, figure(round(i * step, 9)), "P", 15 * min(k, 1.3), "soft", "middle"
        )
        frame = label_frame(label)
        if any(frame[0] < t[2] and t[0] < frame[2] for t in taken) and any(
            t[0] < x < t[2] for t in taken
        ):
            continue
        shapes.append(Line(x, top, x, top + (11 if fifth else 6), "rule", 2.0))
        inside = frame[0] >= 2 and frame[2] <= window.width - 2
        if fifth and inside and not any(overlap(frame, t) for t in taken):
            shapes.append(label)
            taken.append(grown(frame, 4))
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


def _dimension(
    window: Window, v: float, band: tuple[float, float, float], text: str, y: float, k: float
) -> list[Shape]:
    """The distance from the sleeve's end: words above an arrow, or beside two strokes that stand
    too close for its heads."""
    x, end = window.x(v), window.x(band[0] if v < band[1] else band[2])
    level = y - SLEEVE / 2 - 19
    size = 18 * min(k, 1.3)
    wide = text_width("PB", size, text)
    left, right = sorted((x, end))
    shapes: list[Shape] = [
        Line(x, level - 7, x, y - 13, "signal", 1.8),
        Line(end, level - 7, end, y - SLEEVE / 2 - 4, "signal", 1.8),
    ]
    if right - left >= 22:
        mid = min(max((x + end) / 2, SIDE + wide / 2), window.width - SIDE - wide / 2)
        shapes += double_arrow((left + 1, level), (right - 1, level))
        above = level - 10 - 0.4 * size
        return [*shapes, Label(mid, above, text, "PB", size, "signal", "middle")]
    # Away from the sleeve where there is room, so that the words stand by the bead.
    at_left = left - 14 - wide >= SIDE and (x < end or right + 14 + wide > window.width - SIDE)
    a, b = (left - 9, right) if at_left else (left, right + 9)
    shapes.append(Line(a, level, b, level, "signal", 1.8))
    place, anchor = (left - 14, "end") if at_left else (right + 14, "start")
    return [*shapes, Label(place, level, text, "PB", size, "signal", anchor)]
