"""A ruler with a cut cable on it: the value that is tried is where the cable is cut.

The wedge under the cut is what one drags. A stroke marks the plan's value; where the plan stops
holding the ruler is hatched as the floor of the falling line is.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor

from fieldapp.drawing.fallscale import nice_step
from fieldapp.drawing.letters import label_frame
from fieldapp.drawing.shapes import Label, Line, Path, Picture, Shape

EDGE = 30.0
"""from the sides of the picture to the ends of the ruler: half a wedge stays in sight [dp]"""
CABLE_Y, RULER_Y, FIGURES_Y = 57.0, 71.0, 97.0
WEDGE_TOP, WEDGE_FOOT = 75.0, 127.0
HEIGHT = 130.0
WEDGE_HALF = 25.0
CABLE_WIDE = 16.0
BARE = 9.0
"""how far the bare ends stand out of the cut [dp]"""
MOST_FIGURES = 6
SAME = 0.05
"""of a step: a value as near as this reads as the step itself, and the next one is the next"""
PLAN_Y, LIMIT_Y = 34.0, 13.0


@dataclass(frozen=True)
class Ruler:
    """A straight scale from ``low`` at ``left`` to ``high`` at ``right`` [dp], read in steps."""

    low: float
    high: float
    step: float
    left: float
    right: float

    def x(self, value: float) -> float:
        """Where a value stands; one beyond the ruler stands at its end. [dp]"""
        share = (value - self.low) / (self.high - self.low)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def value(self, x: float) -> float:
        """The value at a place, on a whole step; beside the ruler that of its end."""
        share = (x - self.left) / (self.right - self.left)
        raw = self.low + min(max(share, 0.0), 1.0) * (self.high - self.low)
        return min(max(on_step(raw, self.step), self.low), self.high)

    def ticks(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """The values that get a figure, and those between that get a short stroke only."""
        apart = nice_step(self.high - self.low, MOST_FIGURES)
        fine = apart / (5 if apart / 5 >= self.step else 2 if apart / 2 >= self.step else 1)
        long = _multiples(self.low, self.high, apart)
        short = _multiples(self.low, self.high, fine)
        near = fine / 4
        return long, tuple(one for one in short if all(abs(one - by) > near for by in long))


def ruler_over(low: float, high: float, step: float, width: float) -> Ruler:
    """The ruler of a picture of this width."""
    return Ruler(low, high, step, EDGE, width - EDGE)


def on_step(value: float, step: float) -> float:
    """The nearest whole number of steps.

    >>> on_step(52.44, 0.1)
    52.4
    """
    return round(round(value / step) * step, 6)


def stepped(value: float, step: float, by: int) -> float:
    """The next whole step up (``by`` 1) or down (-1), also from between two.

    >>> stepped(33.3, 1, -1), stepped(33.0, 1, -1)
    (33.0, 32.0)
    """
    count = value / step
    here = round(count)
    if abs(count - here) > SAME:
        here = ceil(count) if by < 0 else floor(count)
    return round((here + by) * step, 6)


def rounded_out(low: float, high: float) -> tuple[float, float]:
    """The ends moved outwards to where a figure stands."""
    apart = nice_step(high - low, MOST_FIGURES)
    return round(floor(low / apart) * apart, 6), round(ceil(high / apart) * apart, 6)


def slider(
    ruler: Ruler,
    value: float,
    plan: float,
    hatched: tuple[float, float] | None,
    width: float,
    figure: Callable[[float], str],
    words: tuple[str, str],
    letters: float = 1.0,
) -> Picture:
    """The ruler as a picture.

    Parameters
    ----------
    value : what is tried; the cable is cut there.
    plan : the plan's own value.
    hatched : from the last value at which the plan holds to the end of what does not; None where
        it holds all over the ruler.
    figure : a value as it stands under a long stroke.
    words : at the plan's value, and at the last one that holds, or of all if every one does.
    letters : the phone's letter scale.
    """
    k = min(max(letters, 1.0), 1.25)
    shapes = [*_hatching(ruler, hatched), *_strokes(ruler, figure, k, ruler.x(value))]
    limit = hatched[0] if hatched else None
    shapes += _marks(ruler, plan, limit)
    shapes += _cable(ruler.x(value))
    shapes += _mark_words(ruler, plan, limit, width, words, k)
    shapes += _wedge(ruler.x(value))
    return Picture(width, HEIGHT, tuple(shapes))


def _multiples(low: float, high: float, apart: float) -> tuple[float, ...]:
    first, last = ceil(low / apart - 1e-6), floor(high / apart + 1e-6)
    return tuple(round(i * apart, 6) for i in range(first, last + 1))


def _hatching(ruler: Ruler, hatched: tuple[float, float] | None) -> list[Shape]:
    """The floor's own strokes, where nothing holds."""
    if hatched is None:
        return []
    a, b = sorted(ruler.x(value) for value in hatched)
    if b - a < 1:
        return []
    points: list[tuple[float, float]] = []
    for i in range(int((b - a) // 10) + 2):
        x = a + 10.0 * i
        points += [(x, RULER_Y), (x - 9.2, RULER_Y + 9.5)]
        points += [(x - 7.0, RULER_Y + 9.5), (x + 2.2, RULER_Y)]
    points = [(min(max(x, a), b), y) for x, y in points]
    return [
        Path(tuple(points), closed=True, fill="ink"),
        Line(a, RULER_Y, b, RULER_Y, "ink", 4.0),
    ]


def _strokes(ruler: Ruler, figure: Callable[[float], str], k: float, cut: float) -> list[Shape]:
    """The strokes with their figures; where the wedge stands there is room for none."""
    long, short = ruler.ticks()
    shapes: list[Shape] = [Line(ruler.left, RULER_Y, ruler.right, RULER_Y, "ink", 1.5)]
    shapes += [Line(ruler.x(one), RULER_Y, ruler.x(one), RULER_Y + 6, "rule", 1.2) for one in short]
    size, free = 15 * k, -1e9
    for one in long:
        x = ruler.x(one)
        shapes.append(Line(x, RULER_Y, x, RULER_Y + 12, "ink", 1.8))
        label = Label(x, FIGURES_Y, figure(one), "P", size, "ink", "middle")
        left, _, right, _ = label_frame(label)
        if left > free and (right < cut - WEDGE_HALF - 4 or left > cut + WEDGE_HALF + 4):
            shapes.append(label)
            free = right + 6
    return shapes


def _marks(ruler: Ruler, plan: float, limit: float | None) -> list[Shape]:
    shapes: list[Shape] = []
    if limit is not None:
        x = ruler.x(limit)
        shapes.append(Line(x, LIMIT_Y + 9, x, RULER_Y + 9, "ink", 2.5))
    x = ruler.x(plan)
    shapes.append(Line(x, PLAN_Y + 9, x, RULER_Y, "soft", 2.5))
    return shapes


def _mark_words(
    ruler: Ruler,
    plan: float,
    limit: float | None,
    width: float,
    words: tuple[str, str],
    k: float,
) -> list[Shape]:
    """The words of the two marks, one above the other, each inside the picture."""
    size = 16 * k
    shapes: list[Shape] = []
    end = ruler.x(limit) if limit is not None else None
    rows = (
        (words[0], ruler.x(plan), PLAN_Y, "PM", "soft"),
        (words[1], ruler.right if end is None else end, LIMIT_Y, "PB", "ink"),
    )
    for text, x, y, face, ink in rows:
        if not text:
            continue
        left, _, right, _ = label_frame(Label(0, y, text, face, size, ink, "middle"))
        half = (right - left) / 2
        # the other mark's stroke would run through the words
        if end is not None and y == PLAN_Y and abs(x - end) < half + 6:
            x = end + (-1 if x <= end else 1) * (half + 6)
        x = min(max(x, half + 6), width - half - 6)
        shapes.append(Label(x, y, text, face, size, ink, "middle", "ground"))
    return shapes


def _cable(x: float) -> list[Shape]:
    """A jacket that comes in from the left and is cut at ``x``: two bare ends stand out."""
    shapes: list[Shape] = []
    for dy in (-3.5, 3.5):
        ends = ((x - 2, CABLE_Y + dy), (x + BARE, CABLE_Y + dy))
        shapes.append(Path(ends, stroke="ink", width=5.0))
        shapes.append(Path((ends[0], (x + BARE - 1.2, CABLE_Y + dy)), stroke="copper", width=2.4))
    jacket = ((-4.0, CABLE_Y), (x, CABLE_Y))
    shapes.append(Path(jacket, stroke="ink", width=CABLE_WIDE))
    shapes.append(Path(((-4.0, CABLE_Y), (x - 2, CABLE_Y)), stroke="ground", width=CABLE_WIDE - 4))
    return shapes


def _wedge(x: float) -> list[Shape]:
    """What is dragged: its point stands on the ruler under the cut, its strokes are for the thumb."""
    shoulder = WEDGE_TOP + 22
    frame = (
        (x, WEDGE_TOP),
        (x + WEDGE_HALF, shoulder),
        (x + WEDGE_HALF, WEDGE_FOOT),
        (x - WEDGE_HALF, WEDGE_FOOT),
        (x - WEDGE_HALF, shoulder),
    )
    grips = tuple(
        Line(x + dx, shoulder + 6, x + dx, WEDGE_FOOT - 8, "ground", 3.0) for dx in (-9.0, 0.0, 9.0)
    )
    return [
        Path(frame, closed=True, stroke="ground", width=6.0),
        Path(frame, closed=True, fill="ink"),
        *grips,
    ]
