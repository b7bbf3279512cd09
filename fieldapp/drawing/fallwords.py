"""The words of the falling line that belong to no one reading, each put where it covers least."""

from math import hypot

from fieldapp.drawing.fallscene import (
    CABLE_WIDTH,
    EDGE,
    LEAD_WIDTH,
    Scene,
    grid_volts,
    pieces,
    screens,
)
from fieldapp.drawing.fans import Fan
from fieldapp.drawing.letters import label_frame, shorten
from fieldapp.drawing.placing import DRAWN, drawn_frame, first_free, place
from fieldapp.drawing.shapes import Anchor, Label, Point, Shape
from fieldapp.faces import text_width

LEAST_WORDS = 15.0
"""letters of what the line cannot do: smaller rather than cut [dp]"""


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
