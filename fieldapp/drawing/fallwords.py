"""The figures and words on the falling line, each put where it covers least."""

from fieldapp.drawing.arrow import double_arrow
from fieldapp.drawing.fallscale import known
from fieldapp.drawing.fallscene import BOX_HEIGHT, EDGE, Scene, grid_volts, screens
from fieldapp.drawing.fans import Fan
from fieldapp.drawing.letters import label_frame, shorten
from fieldapp.drawing.placing import drawn_frame, place
from fieldapp.drawing.shapes import Label, Shape
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
        label = Label(left + EDGE, y, words, "PM", size, halo="ground")
        if words and label_frame(label)[2] <= scene.laid.width:
            shapes.append(scene.table.keep(label))
    words = shorten(collapse, "PB", size, scene.screen - 2 * EDGE)
    if words:
        right = scene.laid.width - EDGE
        spots = [
            Label(x, y - size * 1.3 - 24 * row, words, "PB", size, "ink", anchor, "ground")
            for row in range(12)
            for x, anchor in ((EDGE, "start"), (right, "end"))
        ]
        label = place(scene.table, spots, float("inf"))
        shapes += [label] if label else []
    return shapes


def readings(scene: Scene) -> list[Shape]:
    """Measured figures by their boxes: selected first, then outside ones, then as room allows.

    With nothing measured yet, the expected volts stand at both ends, in tide.
    """
    measured = [i for i, p in enumerate(scene.points) if known(p.reading)]
    if measured:
        last = len(scene.points) - 1

        def rank(i: int) -> tuple[bool, bool, bool, int]:
            box, point = scene.laid.boxes[i].box, scene.points[i]
            return box.id != scene.selected, point.verdict != "outside", i not in (0, last), i

        rows = [(i, known(scene.points[i].reading)[0]) for i in sorted(measured, key=rank)]
        return [s for i, v in rows for s in _figure(scene, i, v, measured=True)]
    ends = sorted({0, scene.reached - 1}) if scene.points else []
    rows = [(i, known(scene.points[i].expected)) for i in ends]
    return [s for i, v in rows if v for s in _figure(scene, i, v[0], measured=False)]


def _figure(scene: Scene, i: int, volts: float, *, measured: bool) -> list[Shape]:
    point, box = scene.points[i], scene.laid.boxes[i].box
    chosen = box.id == scene.selected and measured
    big = 36.0 if chosen and point.verdict == "outside" else 28.0
    ink = "tide" if not measured else "signal" if point.verdict == "outside" else "ink"
    text = scene.wording.volts(volts)
    scaled = min(scene.k, 1.25)
    for size in (big * scaled, 20 * scaled, 17.0):
        patient = 1e9 if chosen and size <= 20 * scaled else 120.0
        label = place(scene.table, _spots(scene, i, text, size, ink), patient)
        if label:
            return [label]
    return []


def _spots(scene: Scene, i: int, text: str, size: float, ink: str) -> list[Label]:
    x, y = scene.xs[i], scene.ys[i]
    wide = text_width("PB", size, text)
    up, down = BOX_HEIGHT / 2 + size * 0.62, BOX_HEIGHT / 2 + size * 0.66
    low_first = scene.points[i].verdict == "outside"
    above = [(0.0, -up), (wide / 2 + 6, -up), (-wide / 2 - 6, -up)]
    below = [(0.0, down), (-wide / 2 - 6, down), (wide / 2 + 6, down)]
    beside = [(wide / 2 + 20, 0.0), (-wide / 2 - 20, 0.0)]
    far = [(0.0, -up - 26), (0.0, down + 26)]
    order = [*below, *above] if low_first else [*above, *below]
    low, high = 10 + wide / 2, scene.laid.width - 8 - wide / 2
    return [
        Label(min(max(x + dx, low), high), y + dy, text, "PB", size, ink, "middle", "ground")
        for dx, dy in (*order, *beside, *far)
        if low <= high
    ]


def dimension(scene: Scene) -> list[Shape]:
    """The arrow from today's band to a reading outside it, with its words: the selected one's,
    else the first."""
    rows = [i for i, p in enumerate(scene.points) if p.verdict == "outside" and p.dimension]
    rows.sort(key=lambda i: scene.laid.boxes[i].box.id != scene.selected)
    for i in rows[:1]:
        point, x, y = scene.points[i], scene.xs[i], scene.ys[i]
        band = known(point.today_low, point.today_high) or known(point.low, point.high)
        if not band or point.reading is None:
            return []
        low = point.reading < band[0]
        edge = scene.scale.y(band[0] if low else band[-1])
        near = y - BOX_HEIGHT / 2 - 1 if low else y + BOX_HEIGHT / 2 + 1
        top, foot = sorted((edge, near))
        shapes = double_arrow((x, top + 1), (x, foot - 1)) if foot - top >= 14 else []
        mid = (top + foot) / 2
        for size in (17 * min(scene.k, 1.3), 17.0, 15.0):
            spots = [
                Label(x + s * 10, mid + dy, point.dimension, "PB", size, "signal", anchor, "ground")
                for dy in (0, -20, 20, -40, 40)
                for s, anchor in ((1, "start"), (-1, "end"))
            ]
            label = place(scene.table, spots, 120 if size > 15 else 1e9)
            if label:
                return [*shapes, label]
        return shapes
    return []


def extreme_words(scene: Scene, design: Fan, words: tuple[str, str] | None) -> list[Shape]:
    if not words or not design.xs:
        return []
    size = 17 * min(scene.k, 1.3)
    right = min(design.xs[-1] + 10, scene.laid.width - 8)
    shapes: list[Shape] = []
    for text, y, up in ((words[0], design.high[-1], True), (words[1], design.low[-1], False)):
        steps = (-0.75, 0.75) if up else (0.75, -0.75)
        spots = [
            Label(right, y + s * size, text, "PB", size, "tide", "end", "ground") for s in steps
        ]
        label = place(scene.table, spots, 1e9)
        if label:
            shapes.append(label)
    return shapes
