"""One falling line being drawn: where everything stands, before any of it is painted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from fieldapp.drawing.fallscale import (
    Curve,
    FallPoint,
    Scale,
    axis_span,
    curve_of,
    known,
    nice_step,
)
from fieldapp.drawing.letters import Frame
from fieldapp.drawing.placing import Table, cable_frames
from fieldapp.drawing.run import RUN_PITCH, Laid, PlacedBox, RunLine, layout
from fieldapp.drawing.shapes import Point
from fieldapp.drawing.wording import Wording

HEIGHT = 510.0
BOX_HEIGHT = 27.0
CABLE_WIDTH = 18.0
LEAD_WIDTH = 13.0
TOP = 60.0
KEY_ROOM = 96.0
EDGE = 8.0


@dataclass(frozen=True)
class Scene:
    """One falling line being drawn: where everything stands, before any of it is painted."""

    line: RunLine
    laid: Laid
    points: tuple[FallPoint, ...]
    scale: Scale
    curve: Curve
    table: Table
    floor_y: float
    screen: float
    selected: str | None
    wording: Wording
    k: float

    @property
    def xs(self) -> tuple[float, ...]:
        """Where the boxes stand across the picture. [dp]"""
        return tuple(p.x for p in self.laid.boxes)

    @property
    def ys(self) -> tuple[float, ...]:
        """How low the boxes stand, none of them in the floor. [dp]"""
        lift = BOX_HEIGHT / 2 + 2
        return tuple(min(self.scale.y(v), self.floor_y - lift) for v in self.curve.volts)

    @property
    def reached(self) -> int:
        """How many boxes the cable reaches before it breaks off."""
        return len(self.points) if self.curve.ends is None else self.curve.ends + 1


def scene_of(
    line: RunLine,
    volts: Mapping[str, FallPoint],
    floor_volts: float | None,
    selected: str | None,
    width: float,
    height: float,
    collapsed: bool,
    key: bool,
    visible: tuple[float, float] | None,
    wording: Wording,
    letters: float,
    also: Sequence[FallPoint] = (),
) -> Scene:
    """Lay the line out and fit the volt axis to it, and to what else is drawn in its place; the other
    parameters are those of ``falling_line``."""
    laid = layout(line, width, RUN_PITCH)
    boxes = [p.box for p in laid.boxes]
    points = tuple(volts.get(box.id, FallPoint()) for box in boxes)
    seen = [
        p
        for p, placed in zip(points, laid.boxes, strict=True)
        if visible is None or visible[0] <= placed.x <= visible[1]
    ]
    top_v, foot_v = axis_span([*(seen or points), *also], floor_volts)
    floor_y = height - (KEY_ROOM if key else 22.0)
    k = min(max(letters, 1.0), 1.6)
    scale = Scale(top_v, foot_v, TOP + 16 * (k - 1), floor_y)
    xs = [p.x for p in laid.boxes]
    curve = curve_of(boxes, volts, xs, top_v, foot_v, collapsed)
    table = Table(laid.width, 0.0, floor_y - 3)
    return Scene(line, laid, points, scale, curve, table, floor_y, width, selected, wording, k)


def note_solids(scene: Scene) -> None:
    """Tell the table where boxes and cables are, before any words are placed."""
    scene.table.solids.extend(box_frame(scene, i) for i in range(scene.reached))
    for i in range(scene.reached):
        if scene.laid.boxes[i].box.wrong:
            x, y = wrong_mark_x(scene.laid.boxes[i]), scene.ys[i]
            scene.table.solids.append((x - 7, y - 17, x + 7, y + 17))
    for x, point in zip(scene.xs, scene.points, strict=True):
        ys = [min(scene.scale.y(v), scene.floor_y - 5) for v in known(*point.earlier)]
        scene.table.solids.extend((x - 5, y - 5, x + 5, y + 5) for y in ys)
    for a, b, _, long in pieces(scene):
        wide = CABLE_WIDTH if long else LEAD_WIDTH
        scene.table.cables.extend(cable_frames(a, b, wide + 2))


def box_frame(scene: Scene, i: int) -> Frame:
    """Where box ``i`` stands on the curve."""
    placed, y = scene.laid.boxes[i], scene.ys[i]
    return placed.x0, y - BOX_HEIGHT / 2, placed.x1, y + BOX_HEIGHT / 2


def wrong_mark_x(placed: PlacedBox) -> float:
    """Where the break beside a box that stands the wrong way round is drawn. [dp]"""
    return placed.x0 - 6 if placed.x0 > 16 else placed.x1 + 6


def pieces(scene: Scene) -> list[tuple[Point, Point, int, bool]]:
    """Cable from box to box as far as the line holds: ends, index into the spans, long or lead."""
    at = list(zip(scene.xs, scene.ys, strict=True))
    return [
        (at[span.i], at[span.i + 1], n, span.long)
        for n, span in enumerate(scene.laid.spans)
        if span.i + 1 < scene.reached
    ]


def screens(scene: Scene) -> list[float]:
    """Left edges of as many screens as the picture holds, so that figures are always in sight."""
    return [scene.screen * i for i in range(max(ceil(scene.laid.width / scene.screen - 0.3), 1))]


def grid_volts(scene: Scene) -> list[float]:
    """The volts that get a line across the picture: round ones, none close to the floor; none
    where no volts are known, for the axis then says nothing."""
    if not any(known(p.expected, p.low, p.high, p.reading) for p in scene.points):
        return []
    span = scene.scale.top_v - scene.scale.foot_v
    step = nice_step(span)
    first = ceil((scene.scale.foot_v + 0.2 * step) / step)
    last = int(scene.scale.top_v // step)
    return [i * step for i in range(first, last + 1)]


def is_outside(scene: Scene, i: int) -> bool:
    return scene.points[i].verdict == "outside"


def band_of(scene: Scene, i: int) -> list[float]:
    """Today's band of a box, else its design band; empty where neither is known."""
    point = scene.points[i]
    return known(point.today_low, point.today_high) or known(point.low, point.high)


def misses(scene: Scene, i: int) -> bool:
    """Whether there is a reading outside and a band to measure it from."""
    return is_outside(scene, i) and bool(band_of(scene, i) and known(scene.points[i].reading))


def reads_low(scene: Scene, i: int) -> bool:
    return known(scene.points[i].reading)[0] < band_of(scene, i)[0]
