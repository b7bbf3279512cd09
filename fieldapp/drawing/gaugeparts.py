"""What gauges have in common: the stretch of values, the sleeve, the ticks, the dimension line."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite

from fieldapp.drawing.arrow import double_arrow
from fieldapp.drawing.fallscale import nice_step
from fieldapp.drawing.letters import Frame, grown, label_frame, overlap
from fieldapp.drawing.shapes import Anchor, Label, Line, Rect, Shape
from fieldapp.faces import text_width

SLEEVE = 42.0
SLEEVE_RADIUS, SLEEVE_EDGE = 10.0, 2.5
BEAD, BEAD_HALO = 8.5, 11.5
SPARE = 0.15
SIDE = 8.0
"""Smallest distance of a figure from the picture's edge. [dp]"""
LEAST = 22.0
"""what the heads of a dimension line need between its strokes [dp]"""

Figure = Callable[[float], str]


@dataclass(frozen=True)
class Scale:
    """How a stretch of values is ticked.

    ``figure`` writes the number under a tick; ``per`` is how many of its units one of the values
    is, so that the ticks stand at round feet where the values are metres.
    """

    figure: Figure
    per: float = 1.0


def _plain(value: float) -> str:
    return f"{value:.10g}"


PLAIN = Scale(_plain)
"""where nobody says otherwise: with a decimal point, in the values' own unit"""


@dataclass(frozen=True)
class Window:
    """The stretch of values a gauge shows across its width."""

    low: float
    high: float
    width: float

    def x(self, value: float) -> float:
        """Where a value stands. [dp]"""
        return (value - self.low) / (self.high - self.low) * self.width


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


def sleeve(
    window: Window, low: float, high: float, y: float, *, dashed: bool = False
) -> list[Shape]:
    """A prediction on the line at ``y``; a narrow one is still seen."""
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


def ticks(
    window: Window,
    y: float,
    band: tuple[float, float, float] | None,
    scale: Scale,
    k: float,
    taken: list[Frame],
) -> list[Shape]:
    """A tick each round step and a figure each five, where nothing else stands."""
    span = (window.high - window.low) * scale.per
    step = nice_step(span, 14)
    if span > 1.5:
        step = max(step, 1.0)
    top = y + SLEEVE / 2 + 5
    first, last = ceil(window.low * scale.per / step), floor(window.high * scale.per / step)
    shapes: list[Shape] = []
    for i in range(first, last + 1):
        x, fifth = window.x(i * step / scale.per), i % 5 == 0
        if band and window.x(band[0]) - 3 <= x <= window.x(band[2]) + 3:
            continue
        said = scale.figure(round(i * step, 9))
        label = Label(x, top + 21, said, "P", 15 * k, "soft", "middle")
        frame = label_frame(label)
        if any(frame[0] < t[2] and t[0] < frame[2] for t in taken) and any(
            t[0] < x < t[2] for t in taken
        ):
            continue
        # a larger figure stands nearer, and its stroke ends above it
        reach = min(11.0, frame[1] - top - 1) if fifth else 6.0
        shapes.append(Line(x, top, x, top + reach, "rule", 2.0))
        inside = frame[0] >= 2 and frame[2] <= window.width - 2
        if fifth and inside and not any(overlap(frame, t) for t in taken):
            shapes.append(label)
            taken.append(grown(frame, 4))
    return shapes


def dimension(
    width: float,
    one: tuple[float, float],
    other: tuple[float, float],
    text: str,
    level: float,
    k: float,
    ink: str = "signal",
) -> list[Shape]:
    """A distance along a line: words above an arrow, or beside two strokes that stand too close
    for its heads.

    ``one`` and ``other`` are where the strokes begin: how far along, and at what height. They
    rise to ``level``. Words that are too wide for the picture are set smaller.
    """
    (x, foot), (end, other_foot) = one, other
    size = 18 * k
    size *= min(1.0, (width - 2 * SIDE) / max(text_width("PB", size, text), 1.0))
    wide = text_width("PB", size, text)
    left, right = sorted((x, end))
    shapes: list[Shape] = [
        Line(x, level - 7, x, foot, ink, 1.8),
        Line(end, level - 7, end, other_foot, ink, 1.8),
    ]
    above = level - 8.2 - 0.5 * size
    mid = min(max((x + end) / 2, SIDE + wide / 2), width - SIDE - wide / 2)
    if right - left >= LEAST:
        shapes += double_arrow((left + 1, level), (right - 1, level), ink)
        return [*shapes, Label(mid, above, text, "PB", size, ink, "middle")]
    # Away from the sleeve where there is room, so that the words stand by the bead.
    room_left, room_right = left - 14 - wide >= SIDE, right + 14 + wide <= width - SIDE
    at_left = room_left and (x < end or not room_right)
    a, b = (left - 9, right) if at_left else (left, right + 9)
    shapes.append(Line(a, level, b, level, ink, 1.8))
    if not room_left and not room_right:
        return [*shapes, Label(mid, above, text, "PB", size, ink, "middle")]
    anchor: Anchor = "end" if at_left else "start"
    place = left - 14 if at_left else right + 14
    return [*shapes, Label(place, level, text, "PB", size, ink, anchor)]
