"""The numbers behind the falling line: the volt axis, and where on it each box stands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, isfinite, log10

from fieldapp.drawing.run import RunBox

# A box behind which this much more is expected than in front of it makes the volts anew. [V]
MAKES_ANEW = 0.5


@dataclass(frozen=True)
class FallPoint:
    """What is known of the volts at one box. All in volts, None = not known.

    ``low`` to ``high`` is the design band about ``expected``; ``today_low`` to ``today_high`` what
    is left of it after measuring; ``earlier`` the readings before the last one; ``dimension`` the
    words beside the arrow when the reading is outside (``2.7 V low``).
    """

    low: float | None = None
    expected: float | None = None
    high: float | None = None
    today_low: float | None = None
    today_high: float | None = None
    reading: float | None = None
    verdict: str | None = None
    earlier: tuple[float, ...] = ()
    dimension: str = ""


@dataclass(frozen=True)
class Scale:
    """Volts to dp. ``top_v`` is drawn at ``top_y``, ``foot_v`` at ``foot_y``; beyond is clamped."""

    top_v: float
    foot_v: float
    top_y: float
    foot_y: float

    def y(self, volts: float) -> float:
        """The height of this many volts in the picture. [dp]"""
        share = (self.top_v - volts) / (self.top_v - self.foot_v)
        return self.top_y + min(max(share, 0.0), 1.0) * (self.foot_y - self.top_y)


@dataclass(frozen=True)
class Curve:
    """Volts at every box along the line; ``ends`` is the index of the last box the cable
    reaches before the line collapses, or None if it holds."""

    volts: tuple[float, ...]
    ends: int | None


def known(*values: float | None) -> list[float]:
    """The values that are numbers."""
    return [v for v in values if v is not None and isfinite(v)]


def cable_only(point: FallPoint) -> FallPoint:
    """Only what the cable itself follows, so that a small picture is all cable."""
    return FallPoint(expected=point.expected, reading=point.reading)


def axis_span(
    points: Sequence[FallPoint], floor_volts: float | None, *, spare: float = 0.04
) -> tuple[float, float]:
    """Highest and lowest volts of the axis: all that is predicted and read, down to the floor.

    Without a floor the axis ends a little below the lowest value. It is never narrower than 1 V.
    """
    values = [
        v for p in points for v in known(p.low, p.expected, p.high, p.today_low, p.today_high)
    ]
    read = [v for p in points for v in known(p.reading, *p.earlier)]
    # A slipped decimal must not squash the rest: such a reading is drawn at the axis' end.
    reach = 1.25 * max([*values, *known(floor_volts)], default=float("inf"))
    values += [v for v in read if v <= reach]
    base = known(floor_volts)
    top = max([*values, *base], default=1.0)
    foot = base[0] if base else min(values, default=0.0)
    room = max(top - foot, 1.0)
    return max(top, foot + 1.0) + spare * room, foot - (0.0 if base else spare * room)


def nice_step(span: float, most: int = 6) -> float:
    """A round step (1, 2 or 5 times a power of ten) that cuts ``span`` into at most ``most``.

    >>> nice_step(18.0)
    5.0
    """
    if span <= 0 or not isfinite(span):
        return 1.0
    power = 10.0 ** floor(log10(span / most))
    return next((m * power for m in (1, 2, 5) if m * power * most >= span), 10.0 * power)


def curve_of(
    boxes: Sequence[RunBox],
    volts: Mapping[str, FallPoint],
    xs: Sequence[float],
    scale_top: float,
    scale_foot: float,
    collapsed: bool,
) -> Curve:
    """Volts at every box, with or without a reading.

    A reading is taken as it is. Between two readings the expected volts are shifted by what the
    readings say, in proportion to the way between them; behind the last one by its whole
    shift, for what is lost stays lost. A box that makes the volts anew starts without a shift.
    With nothing known at all the line is level.
    """
    points = [volts.get(box.id, FallPoint()) for box in boxes]
    ends = _collapse_at(points) if collapsed else None
    expected = _filled([_middle(p) for p in points], xs, (scale_top + scale_foot) / 2)
    shifts: dict[int, float] = {0: 0.0} if boxes else {}
    for i, point in enumerate(points):
        reading = known(point.reading)
        if i and expected[i] > expected[i - 1] + MAKES_ANEW:
            shifts[i - 1] = shifts.get(i - 1, shifts[max(shifts)])
            shifts[i] = 0.0
        if reading:
            shifts[i] = reading[0] - expected[i]
    drawn: list[float] = []
    for i, (e, point) in enumerate(zip(expected, points, strict=True)):
        value = e + _between(shifts, i, xs)
        falls = i > 0 and e <= expected[i - 1] + MAKES_ANEW
        if falls and not known(point.reading):
            # Volts do not rise along a cable: a reading too high starts at its own box.
            value = min(value, drawn[-1])
        drawn.append(value)
    return Curve(tuple(drawn), ends)


def _middle(point: FallPoint) -> float | None:
    """The one number this box most likely has."""
    if point.expected is not None and isfinite(point.expected):
        return point.expected
    band = known(point.today_low, point.today_high) or known(point.low, point.high)
    if band:
        return sum(band) / len(band)
    reading = known(point.reading)
    return reading[0] if reading else None


def _collapse_at(points: Sequence[FallPoint]) -> int:
    """The last box before the first of which nothing is expected and nothing was read."""
    for i, point in enumerate(points):
        if i and point.expected is None and point.reading is None:
            return i - 1
    return max(len(points) - 2, 0)


def _filled(values: Sequence[float | None], xs: Sequence[float], spare: float) -> list[float]:
    """The values with the missing ones drawn straight between their neighbours."""
    there = {i: v for i, v in enumerate(values) if v is not None}
    if not there:
        return [spare] * len(values)
    return [_between(there, i, xs) for i in range(len(values))]


def _between(there: Mapping[int, float], i: int, xs: Sequence[float]) -> float:
    if i in there:
        return there[i]
    before = [k for k in there if k < i]
    after = [k for k in there if k > i]
    if not before or not after:
        return there[max(before)] if before else there[min(after)]
    a, b = max(before), min(after)
    way = xs[b] - xs[a]
    share = (xs[i] - xs[a]) / way if way else 0.5
    return there[a] + share * (there[b] - there[a])
