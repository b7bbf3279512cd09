"""The falling line: across = metres, down = volts, and the cable itself is the curve.

Behind it open the design fan (wash, dashed edges) and today's fan (fill, solid edges); under it
lies the hatched floor where a box starves. Steep means lossy: a fault is seen before it is read.
"""

from collections.abc import Mapping, Sequence
from math import hypot

from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.fallscale import (
    FallPoint,
    Scale,
    axis_span,
    curve_of,
    known,
)
from fieldapp.drawing.fallscene import (
    BOX_HEIGHT,
    CABLE_WIDTH,
    HEIGHT,
    LEAD_WIDTH,
    Scene,
    branch_ends,
    branch_volts,
    grid_volts,
    note_solids,
    pieces,
    scene_of,
    wrong_mark_x,
)
from fieldapp.drawing.fallwords import (
    dimension_line,
    dimension_words,
    extreme_words,
    floor_words,
    grid_figures,
    no_data_words,
    readings,
)
from fieldapp.drawing.fans import (
    design_fan,
    design_shapes,
    edge_frames,
    fan_names,
    today_fan,
    today_shapes,
)
from fieldapp.drawing.jacket import branch_line, jacket, stripes_in, too_short_break
from fieldapp.drawing.keyline import key_line
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.openings import (
    bar_under,
    branch_cuts,
    branch_touches,
    cut_open,
    end_touch,
    room_for,
)
from fieldapp.drawing.placing import cable_frames, drawn_frame, place
from fieldapp.drawing.run import Branch, Laid, RunLine, layout
from fieldapp.drawing.shapes import (
    Circle,
    Label,
    Line,
    Path,
    Picture,
    Point,
    Shape,
    Touch,
    touch_area,
)
from fieldapp.drawing.thinline import thin_line
from fieldapp.drawing.wording import ENGLISH, Wording

MINIATURE_HEIGHT = 56.0


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
    beneath: tuple[str, Mapping[str, FallPoint]] | None = None,
    openings: bool = False,
    mark: bool = False,
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
    mark : a black bar is under the selected box; with openings always.
    collapse : words for a run that cannot be held: the cable then breaks off at the floor behind
        the last box with volts.
    extremes : words at the upper and the lower end of the design fan, as the plan shows them.
    beneath : a name, and the same line otherwise, drawn thin under this one.
    openings : cut every long span open for a box to be put in, those of side branches too; touch
        key ``+SPAN``. A press on a side branch's end is its last box.
    key : draw the key line below the floor.
    visible : the part of a scrolling picture now on the screen; the volt axis fits it. [dp]
    letters : the phone's letter scale.
    """
    scene = scene_of(
        line,
        volts,
        floor_volts,
        selected,
        width,
        height,
        bool(collapse),
        key,
        visible,
        wording,
        letters,
        [_core(one) for one in beneath[1].values()] if beneath else [],
    )
    design = design_fan(scene.points, scene.xs, scene.scale)
    today = today_fan(scene.points, scene.xs, scene.scale)
    note_solids(scene)
    scene.table.edges.extend([*edge_frames(design), *edge_frames(today)])
    cable = _cable(scene)
    # Painted last, but placed first: side branches and grid make way for words, not they for them.
    words = floor_words(scene, floor_text if floor_volts is not None else "", collapse)
    measure = dimension_line(scene)
    figures = readings(scene)
    words += [*(measure.shapes if measure else ()), *(s for part in figures.values() for s in part)]
    words += dimension_words(scene, measure, figures)
    words += no_data_words(scene)
    words += extreme_words(scene, design, extremes)
    thin = thin_line(scene, *beneath) if beneath else []
    branches, sides = _branches(scene, volts, openings)
    bars = _bar(scene) if openings or mark else []
    words += fan_names(
        design, today, scene.table, (wording.design, wording.today), 17 * min(scene.k, 1.3)
    )
    words += grid_figures(scene)
    shapes: list[Shape] = [*_grid(scene), *design_shapes(design), *today_shapes(today)]
    if floor_volts is not None:
        shapes += _floor(scene)
    shapes += [shape for shape in thin if isinstance(shape, Path)]
    words += [shape for shape in thin if isinstance(shape, Label)]
    shapes += [*branches, *cable, *_boxes(scene), *_rings(scene)]
    touches = list(_touches(scene, height))
    shapes += bars
    if openings:
        shapes += _openings(scene)
        touches += _opening_touches(scene, height)
        for branch, fork, end in sides:
            shapes += branch_cuts(branch, fork, end)
            touches += branch_touches(branch, fork, end, scene.laid.width, height)
    else:
        touches += [end_touch(branch, end, scene.laid.width, height) for branch, _, end in sides]
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
        token = "signal" if placed.box.wrong or placed.box.suspect else "ink"
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


def _grid(scene: Scene) -> list[Shape]:
    return [
        Line(0, scene.scale.y(v), scene.laid.width, scene.scale.y(v), "hair", 1.5)
        for v in grid_volts(scene)
    ]


def _floor(scene: Scene) -> list[Shape]:
    return hatched_floor(scene.floor_y, scene.laid.width)


def hatched_floor(y: float, width: float) -> list[Shape]:
    """The floor with its hatching: all strokes in one shape, joined behind the floor line."""
    points: list[Point] = []
    for i in range(int(width // 10) + 2):
        x = 10.0 * i
        points += [(x, y), (x - 9.2, y + 9.5), (x - 7.0, y + 9.5), (x + 2.2, y)]
    points = [(min(max(x, 0.0), width), level) for x, level in points]
    return [
        Path(tuple(points), closed=True, fill="ink"),
        Line(0, y, width, y, "ink", 3.0),
    ]


def _cable(scene: Scene) -> list[Shape]:
    shapes: list[Shape] = []
    breaks: list[Shape] = []
    for a, b, n, long in pieces(scene):
        placed = scene.laid.spans[n]
        state = placed.span.state if placed.span else "empty"
        shapes += jacket((a, b), state, CABLE_WIDTH if long else LEAD_WIDTH)
        if placed.broken:
            breaks += too_short_break((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, CABLE_WIDTH)
    return shapes + breaks + _breaking_off(scene)


def _breaking_off(scene: Scene) -> list[Shape]:
    """Behind the last box that holds, the cable drops to the floor and ends in a break."""
    last = scene.reached - 1
    if scene.curve.ends is None or last < 0 or last + 1 >= len(scene.xs):
        return []
    x, y = scene.xs[last], scene.ys[last]
    way = max(0.6 * (scene.xs[last + 1] - x), 30.0)
    foot = (min(x + way, scene.laid.width - 16), scene.floor_y - 10)
    state = next((s.span.state for s in scene.laid.spans if s.i == last and s.span), "empty")
    scene.table.cables.extend(cable_frames((x, y), foot, CABLE_WIDTH))
    scene.table.solids.append((foot[0] - 12, foot[1] - 14, foot[0] + 12, scene.floor_y))
    length = hypot(foot[0] - x, foot[1] - y) or 1.0
    along = ((foot[0] - x) / length, (foot[1] - y) / length)
    return [*jacket(((x, y), foot), state, CABLE_WIDTH), *break_marks(*foot, 28, along=along)]


def _boxes(scene: Scene) -> list[Shape]:
    shapes: list[Shape] = []
    marks: list[Shape] = []
    for placed, y in list(zip(scene.laid.boxes, scene.ys, strict=True))[: scene.reached]:
        box, slot = placed.box, placed.x1 - placed.x0
        tall = min(slot, BOX_HEIGHT * 1.15) if box.kind == "endpoint" else BOX_HEIGHT
        w = slot - 1.6
        frame = (placed.x - w / 2, y - tall / 2, w, tall)
        token = "signal" if box.wrong or box.suspect else "ink"
        sides, signed = (box.left, box.right), not box.suspect
        shapes += box_shapes(box.kind, sides, *frame, token=token, sign=signed)
        shapes += stripes_in(*frame) if box.suspect else ()
        if box.wrong:
            marks += break_marks(wrong_mark_x(placed), y, BOX_HEIGHT * 1.2)
    return shapes + marks


def _rings(scene: Scene) -> list[Shape]:
    return [
        Circle(x, min(scene.scale.y(v), scene.floor_y - 5), 3.6, "ground", "ink", 1.6)
        for x, p in zip(scene.xs, scene.points, strict=True)
        for v in known(*p.earlier)
    ]


def _branches(
    scene: Scene, volts: Mapping[str, FallPoint], openings: bool
) -> tuple[list[Shape], list[tuple[Branch, Point, Point]]]:
    """Side branches: a thin line from the fork to its endpoint's volts, ending in its name; and
    where each begins and ends."""
    shapes: list[Shape] = []
    sides: list[tuple[Branch, Point, Point]] = []
    at = {
        p.box.id: (p.x, y)
        for p, y in list(zip(scene.laid.boxes, scene.ys, strict=True))[: scene.reached]
    }
    for branch in (b for b in scene.line.branches if b.from_box in at):
        fork = at[branch.from_box]
        least = room_for(branch) if openings else 0.0
        found = _branch_end(scene, branch, branch_volts(branch, volts), fork, least)
        if not found:
            continue
        (x, y), label = found
        shapes += [*branch_line((fork, (x, y))), Circle(x, y, 5.5, "sheet", "ink", 2.0), label]
        sides.append((branch, fork, (x, y)))
        scene.table.keep(label)
        scene.table.solids.append((x - 7, y - 7, x + 7, y + 7))
        scene.table.cables.extend(cable_frames(fork, (x, y), 6))
    return shapes, sides


def _branch_end(
    scene: Scene, branch: Branch, volts: float | None, fork: Point, least: float
) -> tuple[Point, Label] | None:
    """Where a side branch ends and its name stands, both clear of cables, boxes and words.

    The name is shortened before it is put on a cable; only where nothing is clear does it take
    the place that covers least. It ends ``least`` dp off or more.
    """
    size, table = 15 * min(scene.k, 1.3), scene.table
    ends = branch_ends(scene, branch, volts, fork, least)
    texts = [
        shorten(branch.end_name, "PM", size, room)
        for room in (share * scene.screen for share in (0.5, 0.42, 0.34, 0.28, 0.22))
    ]
    every: list[tuple[Point, Label]] = []
    for text in dict.fromkeys(t for t in texts if t):
        for x, y in ends:
            for label in _branch_labels(x, y, text, size, 1 if x > fork[0] else -1):
                if table.free(drawn_frame(label), 3) and _branch_is_clear(scene, fork, (x, y)):
                    return (x, y), label
                every.append(((x, y), label))
    best = place(table, [one for _, one in every], float("inf"))
    return next(((end, one) for end, one in every if one is best), None)


def _branch_is_clear(scene: Scene, fork: Point, end: Point) -> bool:
    """Whether the thin line crosses nothing behind its own fork, and its end lies free."""
    x, y = end
    far = hypot(x - fork[0], y - fork[1])
    # The fork's box and the cables that meet in it are left behind first.
    behind = min(24.0 / far, 1.0) if far else 1.0
    start = (fork[0] + behind * (x - fork[0]), fork[1] + behind * (y - fork[1]))
    return scene.table.free((x - 6, y - 6, x + 6, y + 6), 2) and all(
        scene.table.free(dot) for dot in cable_frames(start, end, 4)
    )


def _branch_labels(x: float, y: float, text: str, size: float, way: int) -> list[Label]:
    """A branch's name beside its end, further out first, then below and above it."""
    rows = ((way, 0.0), (-way, 0.0), (way, 1.0), (-way, 1.0), (way, -1.0), (-way, -1.0))
    return [
        Label(
            x + side * (10 if not row else -6),
            y + row * (9 + 0.6 * size),
            text,
            "PM",
            size,
            "ink",
            "start" if side > 0 else "end",
            "ground",
        )
        for side, row in rows
    ]


def _bar(scene: Scene) -> list[Shape]:
    """The bar under the selected box, kept clear of words."""
    at = {p.box.id: (p.x, y) for p, y in zip(scene.laid.boxes, scene.ys, strict=True)}
    if scene.selected not in at:
        return []
    bar = bar_under(*at[scene.selected])
    scene.table.solids.append((bar.x1, bar.y1 - 3, bar.x2, bar.y1 + 3))
    return [bar]


def _openings(scene: Scene) -> list[Shape]:
    """Each long span cut open in its middle."""
    return [s for a, b, _, long in pieces(scene) if long for s in cut_open(a, b, CABLE_WIDTH)]


def _opening_touches(scene: Scene, height: float) -> list[Touch]:
    touches = []
    for a, b, n, long in pieces(scene):
        span = scene.laid.spans[n].span
        if long and span:
            x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
            touches.append(touch_area(x, y, scene.laid.width, height, f"+{span.id}", span.id))
    return touches


def _touches(scene: Scene, height: float) -> Sequence[Touch]:
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
