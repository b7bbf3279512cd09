"""The primitives every drawing is made of, and the picture that holds them.

Lengths are dp, y grows downwards. A colour is the *name* of a token (see ``tokens``), never a hex,
so that one picture serves sun and dark. Shapes are painted in the order they stand.
"""

from dataclasses import dataclass, replace
from typing import Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Cap = Literal["butt", "round"]


@dataclass(frozen=True)
class Path:
    """A chain of straight pieces; curves are given as enough points. Corners are mitred, or
    rounded where ``cap`` is round."""

    points: tuple[Point, ...]
    closed: bool = False
    fill: str | None = None
    stroke: str | None = None
    width: float = 0.0
    dash: tuple[float, ...] | None = None
    cap: Cap = "butt"


@dataclass(frozen=True)
class Line:
    """One straight stroke."""

    x1: float
    y1: float
    x2: float
    y2: float
    stroke: str
    width: float
    dash: tuple[float, ...] | None = None
    cap: Cap = "butt"


@dataclass(frozen=True)
class Circle:
    """A disc, a ring or both; ``x``, ``y`` is its centre."""

    x: float
    y: float
    r: float
    fill: str | None = None
    stroke: str | None = None
    width: float = 0.0
    dash: tuple[float, ...] | None = None


@dataclass(frozen=True)
class Rect:
    """An upright rectangle; ``x``, ``y`` is its top left corner, ``radius`` rounds all four."""

    x: float
    y: float
    w: float
    h: float
    fill: str | None = None
    stroke: str | None = None
    width: float = 0.0
    dash: tuple[float, ...] | None = None
    radius: float = 0.0


@dataclass(frozen=True)
class Label:
    """One line of text. ``y`` is the middle of its figures and capitals, not the baseline.

    ``halo`` is a token painted 5 dp wide behind the letters, so that they stay legible over lines.
    ``rotate`` turns the text about (x, y). [degrees, clockwise]
    """

    x: float
    y: float
    text: str
    face: str
    size: float
    ink: str = "ink"
    anchor: Anchor = "start"
    halo: str | None = None
    rotate: float = 0.0


Drawn = Path | Line | Circle | Rect
Shape = Drawn | Label


@dataclass(frozen=True)
class Touch:
    """An area that can be pressed. ``key`` says what was meant, ``name`` what a screen reader says.

    ``aim`` is the thing itself: where areas overlap, the nearest aim wins. Without one it is the
    middle of the area.
    """

    x: float
    y: float
    w: float
    h: float
    key: str
    name: str
    aim: Point | None = None

    @property
    def target(self) -> Point:
        """Where the thing meant by this area is drawn."""
        return self.aim or (self.x + self.w / 2, self.y + self.h / 2)


@dataclass(frozen=True)
class Picture:
    """A finished drawing: its size, its shapes from back to front, what on it can be pressed."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    touches: tuple[Touch, ...] = ()


MIN_TOUCH = 56.0


def touch_area(
    x: float, y: float, width: float, height: float, key: str, name: str, *, tall: float = MIN_TOUCH
) -> Touch:
    """An area of at least 56 dp around the thing at (x, y), pushed back into a picture of this size."""
    w, h = MIN_TOUCH, max(tall, MIN_TOUCH)
    left = min(max(x - w / 2, 0.0), max(width - w, 0.0))
    top = min(max(y - h / 2, 0.0), max(height - h, 0.0))
    return Touch(left, top, w, h, key, name, (x, y))


def parted(touches: tuple[Touch, ...]) -> tuple[Touch, ...]:
    """The same areas, cut halfway where neighbours side by side, not one above the other, overlap.

    A window gives a press to whichever area lies on top; parted, it goes to the nearest thing.
    """

    def edges(one: Touch) -> tuple[float, float]:
        left, right = one.x, one.x + one.w
        for other in touches:
            if other.y >= one.y + one.h or one.y >= other.y + other.h:
                continue
            middle = (one.target[0] + other.target[0]) / 2
            if other.target[0] < one.target[0] and other.x + other.w > left:
                left = max(left, middle)
            elif other.target[0] > one.target[0] and other.x < right:
                right = min(right, middle)
        return left, right

    parts = ((one, *edges(one)) for one in touches)
    return tuple(replace(one, x=left, w=right - left) for one, left, right in parts)


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The same shape elsewhere."""
    if isinstance(shape, Path):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    if isinstance(shape, Line):
        return replace(
            shape, x1=shape.x1 + dx, y1=shape.y1 + dy, x2=shape.x2 + dx, y2=shape.y2 + dy
        )
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def scaled(shape: Shape, times: float) -> Shape:
    """The same shape with all its lengths so many times as large, seen from (0, 0).

    A ``halo`` keeps its width.
    """
    if isinstance(shape, Path):
        points = tuple((x * times, y * times) for x, y in shape.points)
        return replace(shape, points=points, width=shape.width * times, dash=_far(shape, times))
    named = {
        Line: ("x1", "y1", "x2", "y2", "width"),
        Circle: ("x", "y", "r", "width"),
        Rect: ("x", "y", "w", "h", "width", "radius"),
        Label: ("x", "y", "size"),
    }[type(shape)]
    grown = {name: getattr(shape, name) * times for name in named}
    if not isinstance(shape, Label):
        grown["dash"] = _far(shape, times)
    return replace(shape, **grown)


def _far(shape: Path | Line | Circle | Rect, times: float) -> tuple[float, ...] | None:
    return tuple(one * times for one in shape.dash) if shape.dash else None
