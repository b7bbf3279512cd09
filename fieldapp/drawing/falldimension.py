"""How far a reading is outside: the arrow to it from its band, and its words."""

from dataclasses import dataclass
from math import hypot

from fieldapp.drawing.arrow import double_arrow
from fieldapp.drawing.fallfigures import Figures
from fieldapp.drawing.fallscene import (
    BOX_HEIGHT,
    EDGE,
    Scene,
    band_of,
    misses,
    reads_low,
)
from fieldapp.drawing.leaders import apart, leader, nearest
from fieldapp.drawing.letters import grown, overlap
from fieldapp.drawing.placing import DRAWN, drawn_frame, first_free, place
from fieldapp.drawing.shapes import Label, Line, Shape
from fieldapp.faces import text_width

GRAZED = 160.0
"""so much of a cable's frames may lie under a dimension line that only passes its shoulder [dp²]"""
LEAD_FROM = 30.0
"""from this distance on words are led to [dp]"""


@dataclass(frozen=True)
class Measure:
    """A dimension line from ``top`` to ``foot`` at ``x``, and the words that belong to it. [dp]"""

    i: int
    text: str
    x: float
    top: float
    foot: float
    low: bool
    shapes: tuple[Shape, ...]


def dimension_line(scene: Scene) -> Measure | None:
    """The arrow from today's band to a reading outside it: the selected one's, else the first.

    It steps aside from a steep cable, and is left out where there is no room for its heads.
    """
    rows = [i for i, p in enumerate(scene.points) if p.dimension and misses(scene, i)]
    rows = [i for i in rows if i < scene.reached]
    if not rows:
        return None
    i = min(rows, key=lambda i: scene.laid.boxes[i].box.id != scene.selected)
    x, y, low, band = scene.xs[i], scene.ys[i], reads_low(scene, i), band_of(scene, i)
    edge = scene.scale.y(band[0] if low else band[-1])
    near = y - BOX_HEIGHT / 2 - 1 if low else y + BOX_HEIGHT / 2 + 1
    top, foot = sorted((edge, near))
    text = scene.points[i].dimension
    if (near - edge if low else edge - near) < 14:
        return Measure(i, text, x, top, foot, low, ())

    def covered(dx: float) -> float:
        frame = (x + dx - 4, top, x + dx + 4, foot)
        area = sum(overlap(frame, other) for other in scene.table.cables.near(frame))
        return (area if area > GRAZED else 0.0) + abs(dx)

    at = x + min((0.0, 9.0, -9.0), key=covered)
    shapes = double_arrow((at, top + 1), (at, foot - 1))
    if at != x:
        shapes.append(Line(x, edge, at + (5 if at > x else -5), edge, "signal", 1.8))
    scene.table.solids.append((min(at, x + 5) - 5, top, max(at, x - 5) + 5, foot))
    return Measure(i, text, at, top, foot, low, tuple(shapes))


def dimension_words(scene: Scene, measure: Measure | None, figures: Figures) -> list[Shape]:
    """The dimension's words beside its line, else by the figure they belong to."""
    if not measure:
        return []
    drawn = [s for s in figures.get(measure.i, ()) if isinstance(s, Label)]
    sizes = (17 * min(scene.k, 1.3), 17.0, 15.0)
    for edges in (True, False):
        for size in sizes:
            label = first_free(
                scene.table, _dimension_spots(scene, measure, drawn, size), edges=edges
            )
            if label:
                # The fan's name must not read on from these words.
                scene.table.words.append(grown(drawn_frame(label), 8))
                return [*_dimension_lead(measure, label, drawn), label]
    label = place(scene.table, _dimension_spots(scene, measure, drawn, 15.0), 1e9)
    return [*_dimension_lead(measure, label, drawn), label] if label else []


def _dimension_lead(measure: Measure, label: Label, figure: list[Label]) -> list[Shape]:
    """A thin line from the dimension to its words where they stand apart from it and from the
    figure that they belong to."""
    frame, start = drawn_frame(label), (measure.x, (measure.top + measure.foot) / 2)
    end = nearest(frame, start)
    beside = any(apart(frame, drawn_frame(one)) < LEAD_FROM for one in figure)
    if beside or hypot(end[0] - start[0], end[1] - start[1]) < LEAD_FROM:
        return []
    line = leader(start, end, "signal")
    return [line] if line else []


def _dimension_spots(
    scene: Scene, measure: Measure, figure: list[Label], size: float
) -> list[Label]:
    half, mid = text_width("PB", size, measure.text) / 2, (measure.top + measure.foot) / 2
    rows = [
        (measure.x + way * (10 + half), mid + dy)
        for dy in (0, -4, 4, -9, 9, -16, 16, -26, 26)
        for way in (1, -1)
        if abs(dy) * 2 < max(measure.foot - measure.top, 1)
    ]
    for there in figure:
        frame = drawn_frame(there)
        xs = ((frame[0] + frame[2]) / 2, frame[2] - half, frame[0] + half)
        ys = (frame[3] + 7 + DRAWN * size, frame[1] - 7 - DRAWN * size)
        rows += [(x, y) for y in ys for x in xs]
        rows += [(x, there.y) for x in (frame[0] - 8 - half, frame[2] + 8 + half)]
    away = -1 if measure.low else 1
    tip = (measure.top if measure.low else measure.foot) + away * (8 + DRAWN * size)
    right = scene.laid.width - EDGE - half
    rows += [
        (min(max(measure.x + dx, EDGE + half), right), tip + away * step)
        for step in (0, 8, 18, 30)
        for dx in (0, -half, half)
    ]
    rows += [
        (measure.x + way * (step + half), mid + dy)
        for step in (24, 38, 54, 72)
        for dy in (0, 16, -16, 32, -32, 48)
        for way in (1, -1)
    ]
    return [
        Label(x, y, measure.text, "PB", size, "signal", "middle", "ground")
        for x, y in rows
        if x - half >= EDGE and x + half <= scene.laid.width - EDGE + 2
    ]
