"""The falling line: across = metres, down = volts, and the cable itself is the curve.

Behind it open the design fan (wash, dashed edges) and today's fan (fill, solid edges); under it
lies the hatched floor where a box starves. Steep means lossy: a fault is seen before it is read.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, hypot

from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.fallscale import Curve, FallPoint, Scale, axis_span, curve_of, known, nice_step
from fieldapp.drawing.fans import (
    Fan,
    design_fan,
    design_shapes,
    fan_names,
    today_fan,
    today_shapes,
)
from fieldapp.drawing.jacket import branch_line, jacket, too_short_break
from fieldapp.drawing.keyline import key_line
from fieldapp.drawing.letters import label_frame, shorten
from fieldapp.drawing.placing import Table, cable_frames, drawn_frame, place
from fieldapp.drawing.run import RUN_PITCH, Branch, Laid, RunLine, layout
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Point, Shape, Touch, touch_area
from fieldapp.drawing.wording import ENGLISH, Wording
from fieldapp.faces import text_width

HEIGHT = 510.0
BOX_HEIGHT = 27.0
CABLE_WIDTH = 18.0
LEAD_WIDTH = 13.0
TOP = 60.0
KEY_ROOM = 96.0
EDGE = 8.0
MINIATURE_HEIGHT = 56.0


@dataclass(frozen=True)
class _Scene:
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
        return tuple(p.x for p in self.laid.boxes)

    @property
    def ys(self) -> tuple[float, ...]:
        lift = BOX_HEIGHT / 2 + 2
        return tuple(min(self.scale.y(v), self.floor_y - lift) for v in self.curve.volts)

    @property
    def reached(self) -> int:
        """How many boxes the cable reaches before it breaks off."""
        return len(self.points) if self.curve.ends is None else self.curve.ends + 1


def falling_line(
    line: RunLine,
    volts: Mapping[str, FallPoint],
    floor_volts: float | None,
    floor_text: str,
    selected: str | None,
    width: float,
    height: float = HEIGHT,
    *,
    collapse: str = "",
    extremes: tuple[str, str] | None = None,
    openings: bool = False,
    key: bool = True,
    visible: tuple[float, float] | None = None,
    wording: Wording = ENGLISH,
    letters: float = 1.0,
) -> Picture:
    """The whole line as a picture; wider than ``width`` when it holds more than a dozen boxes.

    Parameters
    ----------
    volts : what is known at each box, by box id; boxes of side branches too.
    floor_volts, floor_text : where a box starves, and the words above the hatching. [V]
    selected : box id; its reading is the largest.
    collapse : words for a run that cannot be held: the cable then breaks off at the floor behind
        the last box with volts.
    extremes : words at the upper and the lower end of the design fan, as the plan shows them.
    openings : cut every long span open for a box to be put in; touch key ``+SPAN``.
    key : draw the key line below the floor.
    visible : the part of a scrolling picture now on the screen; the volt axis fits it. [dp]
    letters : the phone's letter scale.
    """
    scene = _scene(
        line, volts, floor_volts, selected, width, height, bool(collapse), key, visible, wording, letters
    )
    design = design_fan(scene.points, scene.xs, scene.scale)
    today = today_fan(scene.points, scene.xs, scene.scale)
    _note_solids(scene)
    shapes: list[Shape] = [*_grid(scene), *design_shapes(design), *today_shapes(today)]
    if floor_volts is not None:
        shapes += _floor(scene)
    shapes += [*_branches(scene, volts), *_cable(scene), *_boxes(scene), *_rings(scene)]
    touches = list(_touches(scene, height))
    if openings:
        shapes += _openings(scene)
        touches += _opening_touches(scene, height)
    words: list[Shape] = []
    words += _floor_words(scene, floor_text if floor_volts is not None else "", collapse)
    words += _readings(scene)
    words += _dimension(scene)
    words += _extremes(scene, design, extremes)
    words += fan_names(
        design, today, scene.table, (wording.design, wording.today), 17 * min(scene.k, 1.3)
    )
    words += _grid_figures(scene)
    shapes += words
    if key:
        shapes += key_line(
            scene.laid,
            height - 48,
            selected=selected,
            outside=frozenset(i for i, p in volts.items() if p.verdict == "outside"),
            wording=wording,
            letters=letters,
        )
    return Picture(scene.laid.width, height, tuple(shapes), tuple(touches))


def miniature(
    line: RunLine, volts: Mapping[str, FallPoint], width: float, height: float = MINIATURE_HEIGHT
) -> Picture:
    """The same line in a list row: cable and boxes only, no words, nothing to press."""
    laid = layout(line, width, 9.0, margin=10, must_fit=True)
    points = tuple(volts.get(p.box.id, FallPoint()) for p in laid.boxes)
    top_v, foot_v = axis_span([_core(p) for p in points], None)
    scale = Scale(top_v, foot_v, 9.0, height - 9.0)
    xs = [p.x for p in laid.boxes]
    curve = curve_of([p.box for p in laid.boxes], volts, xs, top_v, foot_v, False)
    at = [(x, scale.y(v)) for x, v in zip(xs, curve.volts, strict=True)]
    shapes: list[Shape] = []
    for span in laid.spans:
        state = span.span.state if span.span else "empty"
        shapes += jacket((at[span.i], at[span.i + 1]), state, 9.0, casing=1.6)
    for placed, (x, y) in zip(laid.boxes, at, strict=True):
        w = min(placed.x1 - placed.x0 - 0.6, 13.0)
        token = "signal" if placed.box.wrong else "ink"
        if placed.box.kind == "endpoint":
            shapes += box_shapes("endpoint", ("flat", "flat"), x - 7, y - 7, 14, 14, token=token)
        else:
            sides = (placed.box.left, placed.box.right)
            shapes += box_shapes(
                placed.box.kind, sides, x - w / 2, y - 6.5, w, 13, token=token, sign=False, line=1.6
            )
    return Picture(width, height, tuple(shapes))


def overall_line(total: float, visible: tuple[float, float], laid: Laid, width: float) -> Picture:
    """The 20 dp line above a scrolling run: all stops in small, and the part now on the screen."""
    share = width / total if total > 0 else 1.0
    left, right = (min(max(x * share, 0.0), width) for x in visible)
    shapes: list[Shape] = [Line(0, 10, width, 10, "rule", 2.0)]
    shapes += [
        Line(stop.x0 * share, 10, max(stop.x1 * share, stop.x0 * share + 2), 10, "ink", 6.0)
        for stop in laid.stops
    ]
    frame = ((left + 1, 1.25), (right - 1, 1.25), (right - 1, 18.75), (left + 1, 18.75))
    shapes.append(Path(frame, closed=True, stroke="ink", width=2.5))
    return Picture(width, 20.0, tuple(shapes))


def _core(point: FallPoint) -> FallPoint:
    """Only what the cable itself follows, so that a small picture is all cable."""
    return FallPoint(expected=point.expected, reading=point.reading)


def _scene(
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
) -> _Scene:
    laid = layout(line, width, RUN_PITCH)
    boxes = [p.box for p in laid.boxes]
    points = tuple(volts.get(box.id, FallPoint()) for box in boxes)
    seen = [
        p
        for p, placed in zip(points, laid.boxes, strict=True)
        if visible is None or visible[0] <= placed.x <= visible[1]
    ]
    top_v, foot_v = axis_span(seen or points, floor_volts)
    floor_y = height - (KEY_ROOM if key else 22.0)
    k = min(max(letters, 1.0), 1.6)
    scale = Scale(top_v, foot_v, TOP + 16 * (k - 1), floor_y)
    xs = [p.x for p in laid.boxes]
    curve = curve_of(boxes, volts, xs, top_v, foot_v, collapsed)
    table = Table(laid.width, 0.0, floor_y - 3)
    return _Scene(
        line, laid, points, scale, curve, table, floor_y, width, selected, wording, k
    )


def _note_solids(scene: _Scene) -> None:
    half = BOX_HEIGHT / 2
    for placed, y in list(zip(scene.laid.boxes, scene.ys, strict=True))[: scene.reached]:
        scene.table.solids.append((placed.x0, y - half, placed.x1, y + half))
    for a, b, _, long in _pieces(scene):
        if long:
            scene.table.cables.extend(cable_frames(a, b, CABLE_WIDTH + 2))


def _pieces(scene: _Scene) -> list[tuple[Point, Point, int, bool]]:
    """Cable from box to box as far as the line holds: ends, index into the spans, long or lead."""
    at = list(zip(scene.xs, scene.ys, strict=True))
    return [
        (at[span.i], at[span.i + 1], n, span.long)
        for n, span in enumerate(scene.laid.spans)
        if span.i + 1 < scene.reached
    ]


def _screens(scene: _Scene) -> list[float]:
    """Left edges of as many screens as the picture holds, so that figures are always in sight."""
    return [scene.screen * i for i in range(max(ceil(scene.laid.width / scene.screen - 0.3), 1))]


def _grid_volts(scene: _Scene) -> list[float]:
    span = scene.scale.top_v - scene.scale.foot_v
    step = nice_step(span)
    first = ceil((scene.scale.foot_v + 0.2 * step) / step)
    last = int(scene.scale.top_v // step)
    return [i * step for i in range(first, last + 1)]


def _grid(scene: _Scene) -> list[Shape]:
    return [
        Line(0, scene.scale.y(v), scene.laid.width, scene.scale.y(v), "hair", 1.5)
        for v in _grid_volts(scene)
    ]


def _grid_figures(scene: _Scene) -> list[Shape]:
    size = 15 * min(scene.k, 1.3)
    shapes: list[Shape] = []
    for left in _screens(scene):
        for v in _grid_volts(scene):
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


def _floor(scene: _Scene) -> list[Shape]:
    """The floor with its hatching: all strokes in one shape, joined behind the floor line."""
    y, points = scene.floor_y, []
    for i in range(int(scene.laid.width // 10) + 2):
        x = 10.0 * i
        points += [(x, y), (x - 9.2, y + 9.5), (x - 7.0, y + 9.5), (x + 2.2, y)]
    return [
        Path(tuple(points), closed=True, fill="ink"),
        Line(0, y, scene.laid.width, y, "ink", 3.0),
    ]


def _floor_words(scene: _Scene, floor_text: str, collapse: str) -> list[Shape]:
    shapes: list[Shape] = []
    size = 17 * min(scene.k, 1.3)
    for left in _screens(scene):
        y = scene.floor_y - size * 0.85
        for text, face in ((floor_text, "PM"), (collapse, "PB")):
            if text:
                words = shorten(text, face, size, scene.screen - 2 * EDGE)
                label = Label(left + EDGE, y, words, face, size, halo="ground")
                if label_frame(label)[2] <= scene.laid.width:
                    shapes.append(scene.table.keep(label))
                y -= size * 1.3
    return shapes


def _cable(scene: _Scene) -> list[Shape]:
    shapes: list[Shape] = []
    breaks: list[Shape] = []
    for a, b, n, long in _pieces(scene):
        placed = scene.laid.spans[n]
        state = placed.span.state if placed.span else "empty"
        shapes += jacket((a, b), state, CABLE_WIDTH if long else LEAD_WIDTH)
        if placed.broken:
            breaks += too_short_break((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, CABLE_WIDTH)
    return shapes + breaks + _breaking_off(scene)


def _breaking_off(scene: _Scene) -> list[Shape]:
    """Behind the last box that holds, the cable drops to the floor and ends in a break."""
    last = scene.reached - 1
    if scene.curve.ends is None or last < 0 or last + 1 >= len(scene.xs):
        return []
    x, y = scene.xs[last], scene.ys[last]
    way = max(0.6 * (scene.xs[last + 1] - x), 30.0)
    foot = (min(x + way, scene.laid.width - 16), scene.floor_y - 10)
    state = next(
        (s.span.state for s in scene.laid.spans if s.i == last and s.span), "empty"
    )
    scene.table.cables.extend(cable_frames((x, y), foot, CABLE_WIDTH))
    scene.table.solids.append((foot[0] - 12, foot[1] - 14, foot[0] + 12, scene.floor_y))
    length = hypot(foot[0] - x, foot[1] - y) or 1.0
    along = ((foot[0] - x) / length, (foot[1] - y) / length)
    return [*jacket(((x, y), foot), state, CABLE_WIDTH), *break_marks(*foot, 28, along=along)]


def _boxes(scene: _Scene) -> list[Shape]:
    shapes: list[Shape] = []
    marks: list[Shape] = []
    for placed, y in list(zip(scene.laid.boxes, scene.ys, strict=True))[: scene.reached]:
        box, slot = placed.box, placed.x1 - placed.x0
        tall = min(slot, BOX_HEIGHT * 1.15) if box.kind == "endpoint" else BOX_HEIGHT
        w = slot - 1.6
        shapes += box_shapes(
            box.kind,
            (box.left, box.right),
            placed.x - w / 2,
            y - tall / 2,
            w,
            tall,
            token="signal" if box.wrong else "ink",
        )
        if box.wrong:
            x = placed.x0 - 6 if placed.x0 > 16 else placed.x1 + 6
            marks += break_marks(x, y, BOX_HEIGHT * 1.2)
    return shapes + marks


def _rings(scene: _Scene) -> list[Shape]:
    return [
        Circle(x, min(scene.scale.y(v), scene.floor_y - 5), 3.6, "ground", "ink", 1.6)
        for x, p in zip(scene.xs, scene.points, strict=True)
        for v in known(*p.earlier)
    ]


def _branches(scene: _Scene, volts: Mapping[str, FallPoint]) -> list[Shape]:
    """Side branches: a thin line from the fork to its endpoint's volts, ending in its name."""
    shapes: list[Shape] = []
    at = {
        p.box.id: (p.x, y)
        for p, y in list(zip(scene.laid.boxes, scene.ys, strict=True))[: scene.reached]
    }
    size = 15 * min(scene.k, 1.3)
    for branch in (b for b in scene.line.branches if b.from_box in at):
        fork = at[branch.from_box]
        words = shorten(branch.end_name, "PM", size, scene.screen / 2)
        ends = _branch_ends(scene, branch, volts, fork)
        spots = [
            Label(x + way * 10, y, words, "PM", size, "ink", "start" if way > 0 else "end", "ground")
            for x, y, way in ends
        ]
        label = place(scene.table, spots, float("inf"))
        if not label:
            continue
        x, y, _ = ends[spots.index(label)]
        shapes += [*branch_line((fork, (x, y))), Circle(x, y, 5.5, "sheet", "ink", 2.0)]
        scene.table.cables.extend(cable_frames(fork, (x, y), 6))
    return shapes


def _branch_ends(
    scene: _Scene, branch: Branch, volts: Mapping[str, FallPoint], fork: Point
) -> list[tuple[float, float, int]]:
    """Places where a side branch could end, and on which side of it its name would stand.

    Its height is its volts where they are known. Across it is only roughly to scale: the thin line
    says which way off and how steep, the branch has a picture of its own.
    """
    first, last = scene.laid.boxes[0].box.at_m, scene.laid.boxes[-1].box.at_m
    per_m = (scene.laid.width - 28) / max(last - first, 1.0)
    run = min(max(sum(s.length_m for s in branch.spans) * per_m, 40.0), 110.0)
    end = volts.get(branch.boxes[-1].id) if branch.boxes else None
    value = known(end.reading, end.expected) if end else []
    heights = [scene.scale.y(value[0])] if value else [fork[1] + d for d in (44, -44, 76, -76)]
    return [
        (fork[0] + way * across, min(max(y, 12.0), scene.floor_y - 14), way)
        for y in heights
        for across in (run, 40.0, 24.0)
        for way in (1, -1)
        if 8 <= fork[0] + way * across <= scene.laid.width - 8
    ]


def _readings(scene: _Scene) -> list[Shape]:
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


def _figure(scene: _Scene, i: int, volts: float, *, measured: bool) -> list[Shape]:
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


def _spots(scene: _Scene, i: int, text: str, size: float, ink: str) -> list[Label]:
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


def _dimension(scene: _Scene) -> list[Shape]:
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
        size = 17 * min(scene.k, 1.3)
        wide = text_width("PB", size, point.dimension)
        mid = (top + foot) / 2
        spots = [
            Label(x + 10, mid, point.dimension, "PB", size, "signal", "start", "ground"),
            Label(x - 10, mid, point.dimension, "PB", size, "signal", "end", "ground"),
            Label(
                max(scene.laid.width - 6 - wide, 4), mid, point.dimension, "PB", size, "signal",
                "start", "ground",
            ),
        ]
        label = place(scene.table, spots, 1e9)
        return [*shapes, *([label] if label else [])]
    return []


def double_arrow(
    a: Point, b: Point, token: str = "signal", width: float = 2.0, head: float = 7.0
) -> list[Shape]:
    """A dimension line: a stroke with a filled head at each end, upright or level."""
    upright = abs(b[1] - a[1]) >= abs(b[0] - a[0])
    shapes: list[Shape] = [Line(*a, *b, token, width)]
    for (x, y), (ox, oy) in ((a, b), (b, a)):
        if upright:
            s = head if oy > y else -head
            tip = ((x, y), (x - head * 0.62, y + s), (x + head * 0.62, y + s))
        else:
            s = head if ox > x else -head
            tip = ((x, y), (x + s, y - head * 0.62), (x + s, y + head * 0.62))
        shapes.append(Path(tip, closed=True, fill=token))
    return shapes


def _extremes(scene: _Scene, design: Fan, words: tuple[str, str] | None) -> list[Shape]:
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


def _openings(scene: _Scene) -> list[Shape]:
    """Each long span cut open in its middle, two bare ends facing each other."""
    shapes: list[Shape] = []
    for a, b, _, long in _pieces(scene):
        if not long:
            continue
        x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length

        def along(d: float, x=x, y=y, ux=ux, uy=uy) -> Point:
            return x + ux * d, y + uy * d

        shapes.append(Path((along(-8), along(8)), stroke="ground", width=CABLE_WIDTH + 2))
        for side in (-1, 1):
            end = (along(side * 9), along(side * 7.5))
            shapes.append(Path(end, stroke="ink", width=CABLE_WIDTH))
            shapes.append(Path((along(side * 8), along(side * 2.6)), stroke="ink", width=7.0))
            shapes.append(Path((along(side * 8), along(side * 3.4)), stroke="copper", width=4.0))
    return shapes


def _opening_touches(scene: _Scene, height: float) -> list[Touch]:
    touches = []
    for a, b, n, long in _pieces(scene):
        span = scene.laid.spans[n].span
        if long and span:
            x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
            touches.append(
                touch_area(x, y, scene.laid.width, height, f"+{span.id}", span.id)
            )
    return touches


def _touches(scene: _Scene, height: float) -> Sequence[Touch]:
    """A column a box, as high as the picture: where they overlap the nearest box wins."""
    floor = scene.floor_y - BOX_HEIGHT / 2
    return [
        touch_area(
            p.x,
            y if i < scene.reached else floor,
            scene.laid.width,
            height,
            p.box.id,
            p.box.name or p.box.id,
            tall=height,
        )
        for i, (p, y) in enumerate(zip(scene.laid.boxes, scene.ys, strict=True))
    ]
