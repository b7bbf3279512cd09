"""The figures and words on the falling line, each put where it covers least."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot

from fieldapp.drawing.arrow import double_arrow
from fieldapp.drawing.fallscale import known
from fieldapp.drawing.fallscene import (
    BOX_HEIGHT,
    CABLE_WIDTH,
    EDGE,
    LEAD_WIDTH,
    Scene,
    box_frame,
    grid_volts,
    pieces,
    screens,
)
from fieldapp.drawing.fans import Fan
from fieldapp.drawing.letters import Frame, grown, label_frame, overlap, shorten
from fieldapp.drawing.placing import DRAWN, cable_frames, drawn_frame, first_free, place
from fieldapp.drawing.shapes import Anchor, Label, Line, Point, Shape
from fieldapp.faces import text_width


def grid_figures(scene: Scene) -> list[Shape]:
    size = 15 * min(scene.k, 1.3)
    shapes: list[Shape] = []
    for left in screens(scene):
        for v in grid_volts(scene):
            label = Label(
                left + EDGE,
                scene.scale.y(v) - size * 0.8,
                scene.wording.grid_volts(v),
                "P",
                size,
                "soft",
            )
            frame = drawn_frame(label)
            if scene.table.clears(frame) and scene.table.cost(frame) < 40:
                shapes.append(scene.table.keep(label))
    return shapes


def floor_words(scene: Scene, floor_text: str, collapse: str) -> list[Shape]:
    shapes: list[Shape] = []
    size = 17 * min(scene.k, 1.3)
    y = scene.floor_y - size * 0.85
    for left in screens(scene):
        words = shorten(floor_text, "PM", size, scene.screen - 2 * EDGE)
        spots = [
            Label(left + EDGE, y, words, "PM", size, halo="ground"),
            Label(left + scene.screen - EDGE, y, words, "PM", size, "ink", "end", "ground"),
        ]
        # where the cable breaks off at the floor its break is not written over
        broken = scene.curve.ends is not None
        free = [one for one in spots if scene.table.free(label_frame(one))] if broken else []
        label = [*free, *spots][0]
        if words and label_frame(label)[2] <= scene.laid.width:
            shapes.append(scene.table.keep(label))
    room = scene.screen - 2 * EDGE
    size = max(min(size, size * room / max(text_width("PB", size, collapse), 1.0)), LEAST_WORDS)
    words = shorten(collapse, "PB", size, room)
    if words:
        sides: tuple[tuple[float, Anchor], ...] = (
            (EDGE, "start"),
            (scene.laid.width - EDGE, "end"),
        )
        spots = [
            Label(x, y - size * 1.3 - 24 * row, words, "PB", size, "ink", anchor, "ground")
            for row in range(12)
            for x, anchor in sides
        ]
        best = place(scene.table, spots, float("inf"))
        shapes += [best] if best else []
    return shapes


LEAST_WORDS = 15.0
"""letters of what the line cannot do: smaller rather than cut [dp]"""
# So much of a cable's frames may lie under a dimension line that only passes its shoulder. [dp²]
GRAZED = 160.0
# How much higher or lower than its box a figure beside it may stand, best first. [dp]
AROUND = (0.0, -4.0, -10.0, 10.0, 26.0, -26.0, -42.0)
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
            chosen, outside = scene.laid.boxes[i].box.id == scene.selected, _outside(scene, i)
            return not chosen, not outside, i not in (0, last), i

        def speaker(there: list[int]) -> int:
            return min(there, key=lambda i: (*rank(i)[:2], -i))

        stops = [[i for i in range(s.first, s.last + 1) if i in read] for s in scene.laid.stops]
        order = sorted((speaker(there) for there in stops if there), key=rank)
        return {i: _figure(scene, i, read[i], measured=True) for i in order}
    ends = sorted({0, scene.reached - 1}) if scene.points else []
    rows = [(i, known(scene.points[i].expected)) for i in ends]
    return {i: _figure(scene, i, v[0], measured=False) for i, v in rows if v}


def _outside(scene: Scene, i: int) -> bool:
    return scene.points[i].verdict == "outside"


def _figure(scene: Scene, i: int, volts: float, *, measured: bool) -> list[Shape]:
    """A figure close to its box, or further off on a leader; smaller only where neither is free."""
    chosen = scene.laid.boxes[i].box.id == scene.selected and measured
    big = 36.0 if chosen and _outside(scene, i) else 28.0
    ink = "tide" if not measured else "signal" if _outside(scene, i) else "ink"
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
    ups = (-level, level) if not _misses(scene, i) or not _low(scene, i) else (level, -level)
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
    own = _apart(frame, box_frame(scene, i))

    def claims(n: int) -> bool:
        box = box_frame(scene, n)
        covers = box[0] < frame[2] and frame[0] < box[2]
        middle = covers and abs(xs[n] - label.x) < abs(xs[i] - label.x) - 8
        return _apart(frame, box) < own - 4 or (middle and _apart(frame, box) < own + 20)

    return not any(claims(n) for n in range(scene.reached) if n != i)


def _apart(one: Frame, other: Frame) -> float:
    """The empty way between two frames. [dp]"""
    return hypot(
        max(one[0] - other[2], other[0] - one[2], 0.0),
        max(one[1] - other[3], other[1] - one[3], 0.0),
    )


def _far_spots(scene: Scene, i: int, text: str, size: float, ink: str) -> list[Label]:
    x, y, half = scene.xs[i], scene.ys[i], text_width("PB", size, text) / 2
    ups = (-1, 1) if not _misses(scene, i) or not _low(scene, i) else (1, -1)
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
        end = _nearest(words, (scene.xs[i] + off, scene.ys[i]))
        line = _stroke(_nearest(box, end), end, label.ink)
        if line and not any(
            overlap(grown(dot, 1), frame)
            for dot in cable_frames((line.x1, line.y1), (line.x2, line.y2), 2)
            for frame in there
        ):
            return line
    return None


def _stroke(start: Point, end: Point, ink: str) -> Line | None:
    far = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = ((end[0] - start[0]) / far, (end[1] - start[1]) / far) if far else (0.0, 0.0)
    # A short stroke reads as nothing, and a short level one beside a figure as a minus sign.
    if far < (9 if abs(uy) > 0.35 else 19):
        return None
    off_x, off_y = 2.5 * ux, 2.5 * uy
    return Line(start[0] + off_x, start[1] + off_y, end[0] - off_x, end[1] - off_y, ink, 1.8)


def _nearest(frame: Frame, to: Point) -> Point:
    """The point of a frame nearest to another point."""
    return min(max(to[0], frame[0]), frame[2]), min(max(to[1], frame[1]), frame[3])


# ---- the dimension of a reading outside -------------------------------------------------------


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


def _band(scene: Scene, i: int) -> list[float]:
    point = scene.points[i]
    return known(point.today_low, point.today_high) or known(point.low, point.high)


def _misses(scene: Scene, i: int) -> bool:
    """Whether there is a reading outside and a band to measure it from."""
    return _outside(scene, i) and bool(_band(scene, i) and known(scene.points[i].reading))


def _low(scene: Scene, i: int) -> bool:
    return known(scene.points[i].reading)[0] < _band(scene, i)[0]


def dimension_line(scene: Scene) -> Measure | None:
    """The arrow from today's band to a reading outside it: the selected one's, else the first.

    It steps aside from a steep cable, and is left out where there is no room for its heads.
    """
    rows = [i for i, p in enumerate(scene.points) if p.dimension and _misses(scene, i)]
    rows = [i for i in rows if i < scene.reached]
    if not rows:
        return None
    i = min(rows, key=lambda i: scene.laid.boxes[i].box.id != scene.selected)
    x, y, low, band = scene.xs[i], scene.ys[i], _low(scene, i), _band(scene, i)
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
    end = _nearest(frame, start)
    beside = any(_apart(frame, drawn_frame(one)) < LEAD_FROM for one in figure)
    if beside or hypot(end[0] - start[0], end[1] - start[1]) < LEAD_FROM:
        return []
    line = _stroke(start, end, "signal")
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


def no_data_words(scene: Scene) -> list[Shape]:
    """``power, no data`` once, along the first long span whose jacket is cut open."""
    cut = [
        (a, b, long)
        for a, b, n, long in pieces(scene)
        if (span := scene.laid.spans[n].span) and span.state == "cut"
    ]
    if not cut:
        return []
    a, b, long = next((piece for piece in cut if piece[2]), cut[0])
    wide = CABLE_WIDTH if long else LEAD_WIDTH
    for size in (17 * min(scene.k, 1.3), 15.0):
        spots = _alongside(a, b, wide, scene.wording.no_data, size)
        label = first_free(scene.table, spots, edges=True) or first_free(scene.table, spots)
        if label:
            return [label]
    label = place(scene.table, spots, 1e9)
    return [label] if label else []


def _alongside(a: Point, b: Point, wide: float, text: str, size: float) -> list[Label]:
    """Words off either flank of a cable, its middle first."""
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    nx, ny = (b[1] - a[1]) / length, -(b[0] - a[0]) / length
    half, tall = text_width("PB", size, text) / 2, DRAWN * size
    spots = []
    for off in (6.0, 14.0, 26.0):
        reach = wide / 2 + off + abs(nx) * half + abs(ny) * tall
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
            spots += [
                Label(
                    x + s * nx * reach,
                    y + s * ny * reach,
                    text,
                    "PB",
                    size,
                    "ink",
                    "middle",
                    "ground",
                )
                for s in (1, -1)
            ]
    return spots


def extreme_words(scene: Scene, design: Fan, words: tuple[str, str] | None) -> list[Shape]:
    if not words or not design.xs:
        return []
    size = 17 * min(scene.k, 1.3)
    right = min(design.xs[-1] + 10, scene.laid.width - 8)
    shapes: list[Shape] = []
    for text, y, up in ((words[0], design.high[-1], True), (words[1], design.low[-1], False)):
        steps = (-0.75, 0.75) if up else (0.75, -0.75)
        spots = [
            Label(right - dx, y + s * size, text, "PB", size, "tide", "end", "ground")
            for dx in (0, 24, 48, 72, 96)
            for s in (*steps, 1.8 * steps[0])
        ]
        label = first_free(scene.table, spots, 2) or place(scene.table, spots, 1e9)
        if label:
            shapes.append(label)
    return shapes
