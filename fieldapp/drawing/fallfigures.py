"""The figures of the falling line: what was measured, each beside its box or on a leader to it."""

from collections.abc import Mapping, Sequence

from fieldapp.drawing.fallscale import known
from fieldapp.drawing.fallscene import (
    BOX_HEIGHT,
    Scene,
    box_frame,
    is_outside,
    misses,
    reads_low,
)
from fieldapp.drawing.leaders import apart, leader, nearest
from fieldapp.drawing.letters import grown, overlap
from fieldapp.drawing.placing import DRAWN, cable_frames, drawn_frame, first_free, place
from fieldapp.drawing.shapes import Label, Line, Shape
from fieldapp.faces import text_width

AROUND = (0.0, -4.0, -10.0, 10.0, 26.0, -26.0, -42.0)
"""how much higher or lower than its box a figure beside it may stand, best first [dp]"""
Figures = Mapping[int, Sequence[Shape]]
"""what was drawn of a box's figure, by the box's place on the line; the figure itself comes last"""


def readings(scene: Scene) -> Figures:
    """Measured figures by their boxes: selected first, then outside ones, then as room allows.

    Boxes at one stop stand shoulder to shoulder, so only one of them gets its figure: the selected
    one, else one that is outside, else the last one read along the line. With nothing measured
    yet, the expected volts stand at both ends, in tide.
    """
    read = {i: v[0] for i, p in enumerate(scene.points) if (v := known(p.reading))}
    if read:
        last = len(scene.points) - 1

        def rank(i: int) -> tuple[bool, bool, bool, int]:
            chosen, outside = scene.laid.boxes[i].box.id == scene.selected, is_outside(scene, i)
            return not chosen, not outside, i not in (0, last), i

        def speaker(there: list[int]) -> int:
            return min(there, key=lambda i: (*rank(i)[:2], -i))

        stops = [[i for i in range(s.first, s.last + 1) if i in read] for s in scene.laid.stops]
        order = sorted((speaker(there) for there in stops if there), key=rank)
        return {i: _figure(scene, i, read[i], measured=True) for i in order}
    ends = sorted({0, scene.reached - 1}) if scene.points else []
    rows = [(i, known(scene.points[i].expected)) for i in ends]
    return {i: _figure(scene, i, v[0], measured=False) for i, v in rows if v}


def _figure(scene: Scene, i: int, volts: float, *, measured: bool) -> list[Shape]:
    """A figure close to its box, or further off on a leader; smaller only where neither is free."""
    chosen = scene.laid.boxes[i].box.id == scene.selected and measured
    big = 36.0 if chosen and is_outside(scene, i) else 28.0
    ink = "tide" if not measured else "signal" if is_outside(scene, i) else "ink"
    text, k = scene.wording.volts(volts), min(scene.k, 1.25)
    for size in (big * k, 0.8 * big * k, 20 * k, 17.0):
        near = first_free(
            scene.table,
            (s for s in _near_spots(scene, i, text, size, ink) if _belongs(scene, i, s)),
        )
        if near:
            return [near]
        for label in _far_spots(scene, i, text, size, ink):
            if not scene.table.free(drawn_frame(label), 3):
                continue
            lead = _leader(scene, i, label)
            if lead:
                scene.table.solids.extend(cable_frames((lead.x1, lead.y1), (lead.x2, lead.y2), 3))
                return [lead, scene.table.keep(label)]
    size = 20 * k if chosen else 17.0
    rest = place(scene.table, _near_spots(scene, i, text, size, ink), 1e9 if chosen else 120.0)
    return [rest] if rest else []


def _spot(scene: Scene, x: float, y: float, text: str, size: float, ink: str) -> Label:
    """A figure centred there, or as near to it as the picture's sides allow."""
    half = text_width("PB", size, text) / 2
    low, high = 10 + half, scene.laid.width - 8 - half
    return Label(min(max(x, low), high), y, text, "PB", size, ink, "middle", "ground")


def _near_spots(scene: Scene, i: int, text: str, size: float, ink: str) -> list[Label]:
    """Right above or below the box, then beside it."""
    x, y, half = scene.xs[i], scene.ys[i], text_width("PB", size, text) / 2
    slot = (scene.laid.boxes[i].x1 - scene.laid.boxes[i].x0) / 2
    level = BOX_HEIGHT / 2 + DRAWN * size + 4
    ups = (-level, level) if not misses(scene, i) or not reads_low(scene, i) else (level, -level)
    rows = [(0.0, dy + step) for dy in ups for step in (0.0, 4.0 if dy > 0 else -4.0)]
    rows += [(way * (half + off), dy) for dy in ups for off in (0, 8) for way in (1, -1)]
    rows += [
        (way * (half + slot + gap), dy)
        for gap in (6, 12)
        for way in (-1, 1)
        for dy in (0, -4, 5, 10, -10, 20, -20)
    ]
    return [_spot(scene, x + dx, y + dy, text, size, ink) for dx, dy in rows]


def _belongs(scene: Scene, i: int, label: Label) -> bool:
    """Whether no other box stands clearly nearer to a figure, or more in its middle, than its own."""
    frame, xs = drawn_frame(label), scene.xs
    own = apart(frame, box_frame(scene, i))

    def claims(n: int) -> bool:
        box = box_frame(scene, n)
        covers = box[0] < frame[2] and frame[0] < box[2]
        middle = covers and abs(xs[n] - label.x) < abs(xs[i] - label.x) - 8
        return apart(frame, box) < own - 4 or (middle and apart(frame, box) < own + 20)

    return not any(claims(n) for n in range(scene.reached) if n != i)


def _far_spots(scene: Scene, i: int, text: str, size: float, ink: str) -> list[Label]:
    x, y, half = scene.xs[i], scene.ys[i], text_width("PB", size, text) / 2
    ups = (-1, 1) if not misses(scene, i) or not reads_low(scene, i) else (1, -1)
    level, side = BOX_HEIGHT / 2 + DRAWN * size, half + 13
    rows = [(0.0, up * (level + gap)) for up in ups for gap in (12.0, 20.0, 30.0)]
    for gap in (12.0, 20.0, 30.0, 42.0, 56.0):
        across = (half, -half, side + gap, -side - gap)
        rows += [(dx, up * (level + gap)) for up in ups for dx in across]
        rows += [(dx, dy) for dx in across[2:] for dy in AROUND]
    return [_spot(scene, x + dx, y + dy, text, size, ink) for dx, dy in rows]


def _leader(scene: Scene, i: int, label: Label) -> Line | None:
    """The thin line from a figure to its box; None where it would cross anything on its way."""
    box, words = box_frame(scene, i), drawn_frame(label)
    there = [*scene.table.words, *scene.table.solids, *scene.table.cables]
    there = [frame for frame in there if frame != box]
    for off in (0.0, 10.0, -10.0):
        end = nearest(words, (scene.xs[i] + off, scene.ys[i]))
        line = leader(nearest(box, end), end, label.ink)
        if line and not any(
            overlap(grown(dot, 1), frame)
            for dot in cable_frames((line.x1, line.y1), (line.x2, line.y2), 2)
            for frame in there
        ):
            return line
    return None
