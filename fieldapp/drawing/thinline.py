"""The same line otherwise, thin beneath the falling line: the plan where something else is tried."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from fieldapp.drawing.fallscale import FallPoint
from fieldapp.drawing.fallscene import CABLE_WIDTH, Scene
from fieldapp.drawing.placing import first_free
from fieldapp.drawing.shapes import Label, Path, Point, Shape

WIDTH = 2.5
SHARES = (0.8, 0.65, 0.5, 0.35, 0.2, 0.95)


def thin_line(scene: Scene, name: str, volts: Mapping[str, FallPoint]) -> list[Shape]:
    """The line with these volts as far as it holds, and its name where there is room.

    Nothing where it would lie under the cable all the way: it could not be read.
    """
    points: list[Point] = []
    for placed, x in zip(scene.laid.boxes, scene.xs, strict=False):
        there = volts.get(placed.box.id, FallPoint()).expected
        if there is None:
            break
        points.append((x, scene.scale.y(there)))
    apart = [y - cable for (_, y), cable in zip(points, scene.ys, strict=False)]
    if len(points) < 2 or max(map(abs, apart)) < CABLE_WIDTH / 2:
        return []
    line = Path(tuple(points), stroke="soft", width=WIDTH)
    below = max(apart, key=abs) > 0
    label = first_free(scene.table, _spots(points, name, 16 * min(scene.k, 1.3), below))
    return [line, label] if label else [line]


def _spots(points: Sequence[Point], name: str, size: float, below: bool) -> list[Label]:
    """Places for the name along the line, on the side away from the cable first."""
    first, last = points[0][0], points[-1][0]
    sides = (1, -1) if below else (-1, 1)
    return [
        Label(x, _at(points, x) + side * (0.6 * size + off), name, "PM", size, "soft", "middle",
              "ground")
        for side in sides
        for off in (7.0, 13.0, 20.0)
        for share in SHARES
        for x in (first + share * (last - first),)
    ]  # fmt: skip


def _at(points: Sequence[Point], x: float) -> float:
    """The height of the line over a place. [dp]"""
    for (ax, ay), (bx, by) in pairwise(points):
        if ax <= x <= bx:
            return ay + (by - ay) * ((x - ax) / (bx - ax) if bx > ax else 0.0)
    return points[-1][1]
