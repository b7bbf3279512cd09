"""The big drawings of Now: the thing as it should look from where you stand, source side left."""

from fieldapp.drawing.boxes import (
    Sides,
    box_shapes,
    break_marks,
    earth_tail,
    jack_size,
    sign_shapes,
)
from fieldapp.drawing.fitpieces import (
    EDGE,
    LINE,
    SLICE,
    Arrival,
    Frame,
    arrival,
    arrival_words,
    gap,
    open_end,
    plug_in_jack,
    slice_of_box,
)
from fieldapp.drawing.gauge import Figure, gauge, tenths
from fieldapp.drawing.gaugeparts import PLAIN, Scale
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.ribbon import run_flat, stop_names, walk_path
from fieldapp.drawing.run import RIBBON_PITCH, RunLine, layout
from fieldapp.drawing.shapes import Circle, Label, Line, Picture, Rect, Shape
from fieldapp.drawing.wording import ENGLISH, Wording
from fieldapp.faces import text_width

TURNED = (132.0, 60.0)


def fit_drawing(
    kind: str,
    sides: Sides,
    port_names: tuple[str, str],
    left: Arrival,
    right: Arrival,
    width: float,
    height: float,
    *,
    emphasis: str = "left",
    prints: tuple[str, str] = ("", ""),
    neighbour: tuple[str, str] = ("", ""),
    bonded: bool = False,
    letters: float = 1.0,
) -> Picture:
    """A box large, its port names inside, what meets it on both sides.

    Parameters
    ----------
    left, right : place name and ``cable`` or ``lead``; an empty form leaves the side bare.
    emphasis : the side whose port name is written large: the one this step is about.
    prints : lengths printed on the cables.
    neighbour : outline of the box that stands at the picture's edge, to which a lead runs; '' none.
    """
    k = min(max(letters, 1.0), 1.25)
    frame = _big(kind, width, height, bonded)
    shapes: list[Shape] = []
    for side in (0, 1):
        if neighbour[side]:
            shapes += slice_of_box(neighbour[side], side, frame, width)
    for side, (_, form) in enumerate((left, right)):
        start = SLICE - 2 if neighbour[side] else 0.0
        shapes += arrival(form, sides[side], side, frame, width, start)
    shapes += box_shapes(
        kind, sides, frame.x, frame.y, frame.w, frame.h, sign=False, line=LINE, bonded=bonded
    )
    for side, (_, form) in enumerate((left, right)):
        if form and sides[side] == "jack" and kind not in ("joint", "endpoint"):
            shapes += plug_in_jack(side, frame)
    shapes += _sign(kind, frame)
    for side, name in enumerate(port_names):
        shapes += _port_name(name, kind, sides, side, frame, emphasis == ("left", "right")[side])
    for side, (place, form) in enumerate((left, right)):
        beside = SLICE if neighbour[side] else 0.0
        shapes += arrival_words(place, form, prints[side], side, frame, width, k, beside=beside)
    return Picture(width, height, tuple(shapes))


def turned_drawing(
    kind: str, sides: Sides, width: float = TURNED[0], height: float = TURNED[1]
) -> Picture:
    """The same box the wrong way round, small, with the break between it and the cable.

    ``sides`` are the sides as they should be; they are drawn swapped.
    """
    h = height * 0.80
    y = height / 2
    w = min(h * 1.45, width * 0.56)
    x = width - w - 1
    mark_h = h * 0.70
    mark_x = x - 0.19 * h - 6
    shapes: list[Shape] = [*open_end(0, mark_x - 6, y, 0.42 * h)]
    shapes += box_shapes(
        kind,
        (sides[1], sides[0]),
        x,
        y - h / 2,
        w,
        h,
        line=2.5,
        sign=kind != "long-span",
        turned=True,
    )
    shapes += break_marks(mark_x, y, mark_h)
    return Picture(width, height, tuple(shapes))


def bond_drawing(
    sides: Sides, lead_text: str, bar_name: str, width: float, height: float
) -> Picture:
    """An arrestor bonded: a straight short lead from its case to an earth bar, the earth sign below."""
    h, w = min(height * 0.42, 110.0), min(width * 0.42, 150.0)
    x, y = (width - w) / 2, 6.0
    frame = Frame(x, y, w, h)
    cx, foot = width / 2, y + h
    bar_y = height * 0.74
    bar_w = min(width * 0.5, 190.0)
    shapes: list[Shape] = []
    for side in (0, 1):
        form = "lead" if sides[side] == "jack" else "cable"
        shapes += arrival(form, sides[side], side, frame, width, 0.0, thick=0.36)
    shapes += box_shapes("arrestor", sides, x, y, w, h, line=4.0)
    for side in (0, 1):
        if sides[side] == "jack":
            shapes += plug_in_jack(side, frame)
    shapes += [
        Line(cx, foot, cx, bar_y, "ink", 6.0),
        Rect(cx - bar_w / 2, bar_y - 6, bar_w, 12, "sheet", "ink", 3.0),
        Circle(cx, bar_y, 6.5, "ink"),
    ]
    shapes += [
        Circle(cx + s * bar_w * share, bar_y, 3.0, None, "ink", 2.0)
        for s in (-1, 1)
        for share in (0.2, 0.38)
    ]
    shapes += earth_tail(cx, bar_y + 6, max(height - bar_y - 10, 12.0), width=3.0)
    room = width / 2 - EDGE - 16
    mid = (foot + bar_y) / 2
    shapes += [
        Line(cx + 10, foot + 3, cx + 22, foot + 3, "rule", 1.6),
        Line(cx + 10, bar_y - 8, cx + 22, bar_y - 8, "rule", 1.6),
        Line(cx + 16, foot + 3, cx + 16, bar_y - 8, "rule", 1.6),
        Label(cx + 26, mid, shorten(lead_text, "PB", 22, room), "PB", 22),
        Label(
            cx + bar_w / 2 + 10,
            bar_y,
            shorten(bar_name, "TMI", 18, width / 2 - bar_w / 2 - 16),
            "TMI",
            18,
        ),
    ]
    return Picture(width, height, tuple(shapes))


def port_drawing(
    name: str, port_text: str, right: Arrival, width: float, height: float, *, lit: bool = True
) -> Picture:
    """A source with its port: lit, with short rays, when it feeds."""
    h, w = min(height - 16, 160.0), min(width * 0.50, 200.0)
    frame = Frame(EDGE, (height - h) / 2, w, h)
    shapes: list[Shape] = [*arrival(right[1], "jack", 1, frame, width, 0.0)]
    shapes += box_shapes("source", ("flat", "jack"), frame.x, frame.y, w, h, sign=False, line=LINE)
    shapes += plug_in_jack(1, frame)
    shapes += sign_shapes(
        "source", frame.x + 0.24 * w, frame.mid, 0.36 * w, 0.62 * h, token="ground", stroke=4
    )
    lamp_x, lamp_y = frame.right - 22, frame.y + 0.16 * h
    shapes.append(Circle(lamp_x, lamp_y, 7, "copper" if lit else "ink", "ground", 2.5))
    if lit:
        shapes += [
            Line(
                lamp_x + dx * 12,
                lamp_y + dy * 12,
                lamp_x + dx * 18,
                lamp_y + dy * 18,
                "ground",
                2.5,
            )
            for dx, dy in ((-1, 0), (-0.7, 0.7), (0, 1))
        ]
    room = w - jack_size(w, h)[0] - 0.48 * w - 8
    left = frame.x + 0.47 * w
    shapes += [
        Label(left, frame.mid - 2, shorten(name, "TB", 30, room), "TB", 30, "ground"),
        Label(
            frame.x + 14,
            frame.y + h - 20,
            shorten(port_text, "TM", 20, w - 28),
            "TM",
            20,
            "ground",
        ),
    ]
    shapes += arrival_words(right[0], right[1], "", 1, frame, width, 1.0)
    return Picture(width, height, tuple(shapes))


def speeds_drawing(
    left: tuple[str, tuple[str, ...]],
    right: tuple[str, tuple[str, ...]],
    common: str,
    width: float,
    height: float,
    *,
    token: str = "ink",
) -> Picture:
    """Both ends of a link: each box with the speeds it knows, as words, and the link between them.

    ``common`` is the word on the link, '' when they share no speed: then the link is broken.
    """
    w = min(width * 0.31, 130.0)
    h = min(height - 8, 150.0)
    y = (height - h) / 2
    mid = height / 2
    a, b = Frame(EDGE, y, w, h), Frame(width - EDGE - w, y, w, h)
    shapes: list[Shape] = [*jacket(((a.right - 4, mid), (b.x + 4, mid)), "empty", 18, casing=2.5)]
    for frame, (name, speeds) in ((a, left), (b, right)):
        shapes.append(Rect(frame.x, frame.y, w, h, "sheet", token, 3.5))
        shapes.append(Label(frame.x + 12, y + 22, shorten(name, "TB", 22, w - 24), "TB", 22))
        shapes.append(Line(frame.x, y + 40, frame.x + w, y + 40, token, 1.5))
        shapes += _speed_rows(speeds, common, frame)
    if common:
        size = 18.0
        words = shorten(common, "PB", size, b.x - a.right - 12)
        half = text_width("PB", size, words) / 2
        centre = (a.right + b.x) / 2
        shapes.append(Label(centre, mid - 24, words, "PB", size, "ink", "middle"))
        shapes.append(Line(centre - half, mid - 13, centre + half, mid - 13, "ink", 2.0))
    else:
        shapes += gap((a.right + b.x) / 2, mid, 18, 40)
    return Picture(width, height, tuple(shapes))


def reading_drawing(
    band: tuple[float, float, float] | None,
    design: tuple[float, float] | None,
    unit: str,
    width: float,
    height: float,
    figure: Figure = tenths,
    earlier: float | None = None,
    scale: Scale = PLAIN,
) -> Picture:
    """A reading still to be taken: the gauge with an empty sleeve, and what was ``earlier`` read
    there as a hollow bead."""
    return gauge(
        band,
        design,
        None,
        0.0,
        unit,
        None,
        "",
        width,
        height,
        earlier=earlier,
        figure=figure,
        scale=scale,
    )


def walk_drawing(
    line: RunLine,
    walk: tuple[str, str],
    time_text: str,
    width: float,
    height: float,
    wording: Wording = ENGLISH,
) -> Picture:
    """The run flat with the way to walk dotted above it, and how long that takes."""
    laid = layout(line, width, RIBBON_PITCH, must_fit=True)
    y = max(height * 0.55, 64.0)
    shapes: list[Shape] = [*run_flat(laid, line, y, wording)]
    path = walk_path(laid, walk, y - 34, drop=20)
    shapes += path
    ends = [s.x for s in laid.stops if s.stop.id in walk]
    if path and ends:
        words = shorten(time_text, "PB", 28, width - 2 * EDGE)
        half = text_width("PB", 28, words) / 2
        x = min(max(sum(ends) / len(ends), EDGE + half), width - EDGE - half)
        shapes.append(Label(x, y - 54, words, "PB", 28, "ink", "middle", "ground"))
    shapes += stop_names(laid, width, y + 36, wording)
    return Picture(width, max(height, y + 50), tuple(shapes))


def _big(kind: str, width: float, height: float, bonded: bool) -> Frame:
    w = min(205.0, max(width - 170, width * 0.45))
    h = min(170.0, (height - 8) / (1.46 if bonded else 1.0))
    y = 4.0 if bonded else (height - h) / 2
    if kind == "endpoint":
        w = min(w, h)
    return Frame((width - w) / 2, y, w, h)


def _sign(kind: str, frame: Frame) -> tuple[Shape, ...]:
    if kind == "source":
        return sign_shapes(
            kind,
            frame.x + 0.24 * frame.w,
            frame.mid,
            0.36 * frame.w,
            0.62 * frame.h,
            token="ground",
        )
    if kind in ("joint", "endpoint"):
        return sign_shapes(kind, frame.x + frame.w / 2, frame.mid, frame.w, frame.h, stroke=LINE)
    return sign_shapes(
        kind,
        frame.x + 0.53 * frame.w,
        frame.y + 0.81 * frame.h,
        0.62 * frame.h,
        0.44 * frame.h,
        stroke=4.5,
    )


def _port_name(
    name: str, kind: str, sides: Sides, side: int, frame: Frame, large: bool
) -> list[Shape]:
    """A port's name just inside its side: above the jack where one is cut in."""
    if not name:
        return []
    jack = sides[side] == "jack" and kind not in ("joint", "endpoint")
    other = sides[1 - side] == "jack" and not jack
    size = (30.0 if large else 24.0) if jack else (44.0 if large else 28.0)
    inset = {"round": 0.13, "teeth": 0.19, "jack": 0.075, "flat": 0.08}.get(sides[side], 0.08)
    if kind in ("joint", "endpoint"):
        inset, size = (0.18, 26.0) if kind == "joint" else (0.5, 26.0)
    # The two names share the width, unless one of them has the upper row to itself.
    room = frame.w * ((0.80 if other else 0.46) - inset)
    if kind == "endpoint":
        return [_below_ring(name, frame)]
    while size > 15 and text_width("TB", size, name) > room:
        size -= 1
    level = frame.y + 0.16 * frame.h if jack else frame.mid
    x = frame.x + inset * frame.w if side == 0 else frame.right - inset * frame.w
    ink = "ground" if kind == "source" else "ink"
    words = shorten(name, "TB", size, room)
    return [Label(x, level, words, "TB", size, ink, "start" if side == 0 else "end")]


def _below_ring(name: str, frame: Frame) -> Label:
    words = shorten(name, "TB", 24, 0.5 * frame.h)
    return Label(
        frame.x + frame.w / 2, frame.mid + 0.32 * frame.h, words, "TB", 24, "ink", "middle"
    )


def _speed_rows(speeds: tuple[str, ...], common: str, frame: Frame) -> list[Shape]:
    rows = min(len(speeds), max(int((frame.h - 48) // 24), 1))
    shapes: list[Shape] = []
    for i, speed in enumerate(speeds[:rows]):
        y = frame.y + 58 + 24 * i
        shared = speed == common and bool(common)
        face = "PB" if shared else "P"
        words = shorten(speed, face, 19, frame.w - 24)
        shapes.append(Label(frame.x + 12, y, words, face, 19, "ink" if shared else "soft"))
        if shared:
            wide = text_width(face, 19, words)
            shapes.append(Line(frame.x + 12, y + 11, frame.x + 12 + wide, y + 11, "ink", 2.0))
    return shapes
