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
from fieldapp.drawing.run import RUN_PITCH, Branch, Laid, PlacedBox, RunLine, layout
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


def branch_volts(branch: Branch, volts: Mapping[str, FallPoint]) -> float | None:
    """The volts at a side branch's end, read or expected. [V]"""
    end = volts.get(branch.boxes[-1].id) if branch.boxes else None
    value = known(end.reading, end.expected) if end else []
    return value[0] if value else None


def branch_ends(
    scene: Scene, branch: Branch, volts: float | None, fork: Point, least: float = 0.0
) -> list[Point]:
    """Places where a side branch could end, not nearer than ``least`` across.

    Its height is its volts where they are known, or as near to them as the cable leaves room.
    Across it is only roughly to scale: the thin line says which way off and how steep, the branch
    has a picture of its own.
    """
    first, last = scene.laid.boxes[0].box.at_m, scene.laid.boxes[-1].box.at_m
    per_m = (scene.laid.width - 28) / max(last - first, 1.0)
    run = min(max(sum(s.length_m for s in branch.spans) * per_m, 40.0), 110.0)
    level, steps = (
        (fork[1], (44, -44, 76, -76))
        if volts is None
        else (scene.scale.y(volts), (0, 24, -24, 34, -34, 46, -46, 64, -64, 84, -84))
    )
    return [
        (fork[0] + way * across, min(max(level + step, 12.0), scene.floor_y - 14))
        for step in steps
        for across in dict.fromkeys(max(far, least) for far in (run, 40.0, 24.0))
        for way in (1, -1)
        if 8 <= fork[0] + way * across <= scene.laid.width - 8
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
