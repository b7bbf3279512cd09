"""The falling line: across = metres, down = volts, and the cable itself is the curve.

Behind it open the design fan (wash, dashed edges) and today's fan (fill, solid edges); under it
lies the hatched floor where a box starves. Steep means lossy: a fault is seen before it is read.
"""

from collections.abc import Mapping, Sequence
from math import hypot

from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.falldimension import dimension_line, dimension_words
from fieldapp.drawing.fallfigures import readings
from fieldapp.drawing.fallscale import (
    FallPoint,
    cable_only,
    known,
)
from fieldapp.drawing.fallscene import (
    BOX_HEIGHT,
    CABLE_WIDTH,
    HEIGHT,
    LEAD_WIDTH,
    Scene,
    grid_volts,
    note_solids,
    pieces,
    scene_of,
    wrong_mark_x,
)
from fieldapp.drawing.fallsides import side_branches
from fieldapp.drawing.fallwords import (
    extreme_words,
    floor_words,
    grid_figures,
    no_data_words,
)
from fieldapp.drawing.fans import (
    design_fan,
    design_shapes,
    edge_frames,
    fan_names,
    today_fan,
    today_shapes,
)
from fieldapp.drawing.floor import hatched_floor
from fieldapp.drawing.jacket import jacket, stripes_in, too_short_break
from fieldapp.drawing.keyline import key_line
from fieldapp.drawing.openings import (
    bar_under,
    branch_cuts,
    branch_touches,
    cut_open,
    end_touch,
)
from fieldapp.drawing.placing import cable_frames
from fieldapp.drawing.run import RunLine
from fieldapp.drawing.shapes import (
    Circle,
    Label,
    Line,
    Path,
    Picture,
    Shape,
    Touch,
    touch_area,
)
from fieldapp.drawing.thinline import thin_line
from fieldapp.drawing.wording import ENGLISH, Wording


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
        [cable_only(one) for one in beneath[1].values()] if beneath else [],
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
    branches, sides = side_branches(scene, volts, openings)
    bars = _bar(scene) if openings or mark else []
    words += fan_names(
        design, today, scene.table, (wording.design, wording.today), 17 * min(scene.k, 1.3)
    )
    words += grid_figures(scene)
    shapes: list[Shape] = [*_grid(scene), *design_shapes(design), *today_shapes(today)]
    if floor_volts is not None:
        shapes += hatched_floor(scene.floor_y, scene.laid.width)
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


def _grid(scene: Scene) -> list[Shape]:
    return [
        Line(0, scene.scale.y(v), scene.laid.width, scene.scale.y(v), "hair", 1.5)
        for v in grid_volts(scene)
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
