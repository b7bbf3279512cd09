"""Two runs over the same axes: across = metres from the feed, down = volts.

This run is a jacket with its fan, the other a thin line with its own dashed edges; each has its
name at its end. Metres are to scale throughout, so boxes at one stop may lie on each other.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.fallscale import FallPoint, Scale, axis_span, known, nice_step
from fieldapp.drawing.fans import DASH
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.letters import label_frame, shorten
from fieldapp.drawing.placing import Table, cable_frames, drawn_frame, place
from fieldapp.drawing.shapes import Anchor, Circle, Label, Line, Path, Picture, Point, Shape
from fieldapp.drawing.wording import ENGLISH, Wording

HEIGHT = 290.0
SIDE, TOP, FOOT = 22.0, 30.0, 44.0
JACKET, THIN = 11.0, 3.0
TICK = 20.0
"""how tall a box stands across this run's jacket [dp]"""
GROWN = 1.4
"""letters grow with the phone's up to so many times"""


@dataclass(frozen=True)
class Spot:
    """One port on the way: how far from the feed, and its volts; None where there are none.

    ``box`` is empty on the far side of a box, so that each is drawn once.
    """

    at_m: float
    expected: float | None = None
    low: float | None = None
    high: float | None = None
    box: str = ""


@dataclass(frozen=True)
class Course:
    """A run from its feed to its far end, what is written at that end, and where it starves."""

    spots: tuple[Spot, ...]
    name: str
    floor: float | None = None
    floor_text: str = ""

    @property
    def metres(self) -> float:
        """How far it reaches. [m]"""
        return self.spots[-1].at_m if self.spots else 0.0


@dataclass(frozen=True)
class _Axes:
    """Metres and volts to dp, the same for both."""

    width: float
    metres: float
    scale: Scale

    def x(self, at_m: float) -> float:
        return SIDE + (self.width - 2 * SIDE) * at_m / self.metres

    def held(self, course: Course, of: str = "expected") -> list[Point]:
        """The line as far as it has such volts."""
        out = []
        for spot in course.spots:
            volts = getattr(spot, of)
            if volts is None:
                break
            out.append((self.x(spot.at_m), self.scale.y(volts)))
        return out


def two_lines(
    this: Course,
    other: Course,
    width: float,
    height: float = HEIGHT,
    *,
    wording: Wording = ENGLISH,
    letters: float = 1.0,
) -> Picture:
    """Both runs as one picture. ``letters`` is the phone's letter scale."""
    axes = _axes(this, other, width, height)
    k = min(max(letters, 1.0), GROWN)
    table = Table(width, 0.0, axes.scale.foot_y - 3)
    shapes: list[Shape] = [*_grid(axes), *_fan(axes, this), *_edges(axes, other)]
    shapes += _floors(axes, this, other)
    # the thin line lies on the jacket, so that it is seen where the two are close
    shapes += [*_thick(axes, this), *_thin(axes, other), *_boxes(axes, this)]
    for course in (other, this):
        for a, b in pairwise(axes.held(course)):
            table.cables.extend(cable_frames(a, b, JACKET))
    words = _floor_words(axes, table, this, other, 16 * k)
    words += _ends(axes, table, this, other, 17 * k)
    words += _figures(axes, table, wording, 15 * k)
    words += _metres(axes, this, other, wording, height - 12, 15 * k)
    return Picture(width, height, (*shapes, *words))


def _axes(this: Course, other: Course, width: float, height: float) -> _Axes:
    points = [FallPoint(s.low, s.expected, s.high) for c in (this, other) for s in c.spots]
    floors = known(this.floor, other.floor)
    top_v, foot_v = axis_span(points, min(floors) if floors else None)
    metres = max(this.metres, other.metres, 1.0)
    return _Axes(width, metres, Scale(top_v, foot_v, TOP, height - FOOT))


# ---------------------------------------------------------------- what lies behind


def _grid(axes: _Axes) -> list[Shape]:
    return [
        Line(0, axes.scale.y(v), axes.width, axes.scale.y(v), "hair", 1.5)
        for v in _round_volts(axes)
    ]


def _round_volts(axes: _Axes) -> list[float]:
    """Round volts between foot and top, none close to the foot."""
    scale = axes.scale
    step = nice_step(scale.top_v - scale.foot_v)
    count = int(scale.top_v // step)
    return [i * step for i in range(count + 1) if i * step > scale.foot_v + 0.2 * step]


def _fan(axes: _Axes, course: Course) -> list[Shape]:
    """Between best and worst, with a dashed edge above and below."""
    high, low = axes.held(course, "high"), axes.held(course, "low")
    if len(high) < 2:
        return []
    # a worst case that cannot be held lies on the foot
    low += [(x, axes.scale.foot_y) for x, _ in high[len(low) :]]
    wash = Path((*high, *low[::-1]), closed=True, fill="tide_wash")
    return [wash, *_dashed(high, "tide"), *_dashed(low, "tide")]


def _edges(axes: _Axes, course: Course) -> list[Shape]:
    return [s for of in ("high", "low") for s in _dashed(axes.held(course, of), "rule")]


def _dashed(points: Sequence[Point], token: str) -> list[Shape]:
    if len(points) < 2:
        return []
    return [Path(tuple(points), stroke=token, width=1.6, dash=DASH)]


def _floors(axes: _Axes, this: Course, other: Course) -> list[Shape]:
    """Where a box of this run starves, hatched; where one of the other does, if elsewhere."""
    shapes: list[Shape] = []
    if other.floor is not None and other.floor != this.floor:
        y = axes.scale.y(other.floor)
        shapes.append(Line(0, y, axes.x(other.metres), y, "soft", 2.0, dash=DASH))
    if this.floor is not None:
        y, right = axes.scale.y(this.floor), axes.width
        for x in range(0, int(right), 10):
            shapes.append(Line(x, y + 9.5, min(x + 9.0, right), y, "ink", 2.0))
        shapes.append(Line(0, y, right, y, "ink", 3.0))
    return shapes


# ---------------------------------------------------------------- the two lines


def _thin(axes: _Axes, course: Course) -> list[Shape]:
    line = axes.held(course)
    shapes: list[Shape] = [Path(tuple(line), stroke="soft", width=THIN)] if len(line) > 1 else []
    dots = [at for at, spot in zip(line, course.spots, strict=False) if spot.box]
    shapes += [Circle(x, y, 3.6, "soft") for x, y in dots]
    shapes += _given_up(axes, course, line, "soft")
    if line and len(line) == len(course.spots):
        shapes.append(Circle(*line[-1], 5.5, "sheet", "soft", 2.0))
    return shapes


def _thick(axes: _Axes, course: Course) -> list[Shape]:
    line = axes.held(course)
    shapes: list[Shape] = [*jacket(tuple(line), "empty", JACKET)] if len(line) > 1 else []
    return [*shapes, *_given_up(axes, course, line, "ink")]


def _boxes(axes: _Axes, course: Course) -> list[Shape]:
    """The boxes of this run as strokes across its jacket, its source and its far end as they are."""
    line = axes.held(course)
    inner = [at for at, spot in zip(line, course.spots, strict=False) if spot.box]
    strokes = (Line(x, y - TICK / 2, x, y + TICK / 2, "ink", 3.4) for x, y in inner[1:])
    shapes: list[Shape] = list(strokes)
    if line:
        x, y = line[0]
        shapes += box_shapes("source", ("flat", "flat"), x - 10, y - 11, 20, 22)
    if line and len(line) == len(course.spots):
        x, y = line[-1]
        shapes += box_shapes("endpoint", ("flat", "flat"), x - 11, y - 11, 22, 22)
    return shapes


def _given_up(axes: _Axes, course: Course, line: Sequence[Point], token: str) -> Iterator[Shape]:
    """Where a run cannot be held it falls to the foot and ends in a break."""
    if not line or len(line) == len(course.spots):
        return
    x, y = line[-1]
    way = min(max(axes.x(course.spots[len(line)].at_m), x + 24), axes.width - 14)
    foot = (way, axes.scale.foot_y - 14)
    yield Path(((x, y), foot), stroke=token, width=THIN)
    along = (foot[0] - x, foot[1] - y)
    far = (along[0] ** 2 + along[1] ** 2) ** 0.5 or 1.0
    yield from break_marks(*foot, 22, along=(along[0] / far, along[1] / far))


# ---------------------------------------------------------------- the words


def _ends(axes: _Axes, table: Table, this: Course, other: Course, size: float) -> list[Shape]:
    """Each line's name at its end: above the upper one, below the lower one."""
    lines = [(axes.held(course), course) for course in (this, other)]
    lines = [(line, course) for line, course in lines if line]
    lines.sort(key=lambda one: one[0][-1][1])
    shapes: list[Shape] = []
    for rank, (line, course) in enumerate(lines):
        mine = course is this
        text = shorten(course.name, "PB" if mine else "PM", size, 0.7 * axes.width)
        (x, y), way = line[-1], -1 if rank == 0 else 1
        spots = [
            _beside(text, x, y + side * (size * 0.6 + off), size, mine, axes.width)
            for side in (way, -way)
            for off in (12.0, 17.0, 23.0, 30.0, 40.0, 52.0, 66.0)
        ]
        label = place(table, spots, float("inf"))
        shapes += [label] if label else []
    return shapes


def _beside(text: str, x: float, y: float, size: float, mine: bool, width: float) -> Label:
    face, ink = ("PB", "ink") if mine else ("PM", "soft")
    left, _, right, _ = label_frame(Label(x + 10, y, text, face, size, ink, "end", "ground"))
    shift = max(8 - left, 0.0) - max(right - (width - 8), 0.0)
    return Label(x + 10 + shift, y, text, face, size, ink, "end", "ground")


def _floor_words(
    axes: _Axes, table: Table, this: Course, other: Course, size: float
) -> list[Shape]:
    shapes: list[Shape] = []
    for course, ink in ((this, "ink"), (other, "soft")):
        if course.floor is None or (course is other and course.floor == this.floor):
            continue
        text = shorten(course.floor_text, "PM", size, axes.width - 16)
        y = axes.scale.y(course.floor) - 0.75 * size
        spots = [Label(8, y - up, text, "PM", size, ink, halo="ground") for up in (0, 2 * size)]
        label = place(table, spots, float("inf"))
        shapes += [label] if label else []
    return shapes


def _figures(axes: _Axes, table: Table, wording: Wording, size: float) -> list[Shape]:
    shapes: list[Shape] = []
    sides: tuple[tuple[float, Anchor], ...] = ((8.0, "start"), (axes.width - 8, "end"))
    for v in _round_volts(axes):
        text = wording.grid_volts(v)
        for x, anchor in sides:
            label = Label(x, axes.scale.y(v) - 0.7 * size, text, "P", size, "soft", anchor)
            if table.free(drawn_frame(label), 2):
                shapes.append(table.keep(label))
                break
    return shapes


def _metres(
    axes: _Axes, this: Course, other: Course, wording: Wording, y: float, size: float
) -> list[Shape]:
    """How far each reaches, below its end; one figure where they are the same on the paper."""
    shapes: list[Shape] = []
    table = Table(axes.width, 0.0, y + size)
    for course, face, ink in ((this, "PB", "ink"), (other, "PM", "soft")):
        text = wording.metres(course.metres)
        label = _beside(text, axes.x(course.metres), y, size, course is this, axes.width)
        label = Label(label.x, y, text, face, size, ink, "end")
        if table.free(drawn_frame(label), 6):
            shapes.append(table.keep(label))
    return shapes
