"""Every sign by itself, drawn by what draws it on the screens: nothing here knows a shape of its own.

A sign is drawn into the width it is given; how high it comes out is its own.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from fieldapp.drawing.boxes import Sides, box_shapes, break_marks, earth_tail
from fieldapp.drawing.fans import Fan, design_shapes, today_shapes
from fieldapp.drawing.floor import hatched_floor
from fieldapp.drawing.gauge import gauge
from fieldapp.drawing.gaugeparts import Figure
from fieldapp.drawing.jacket import branch_line, jacket, printed_length, too_short_break
from fieldapp.drawing.knots import WIDTH as KNOT_WIDTH
from fieldapp.drawing.knots import knot_cable
from fieldapp.drawing.marks import MARK_H, MARK_W, conductor_ends, mark
from fieldapp.drawing.openings import cut_open
from fieldapp.drawing.ribbon import here_tag
from fieldapp.drawing.run import PlacedStop, RunStop
from fieldapp.drawing.shapes import Picture, Shape, moved
from fieldapp.drawing.wording import ENGLISH, Wording

CABLE = 18.0
LEAD, THIN = 14.0, 9.0
BOX = 50.0
"""a box stands large here, as on the page of a step [dp]"""
MARK_SCALE = 1.5
KNOT = 92.0
END, PITCH = 5.0, 11.4
ODDS = (7, 10)
"""conductor ends that are filled, and all of them"""
EXAMPLE = (48.1, 48.6, 49.2)
"""a band, as a reading's picture has one [V]"""
SHOWN, REACH, BEFORE = 48.9, 0.25, 48.4
"""a reading, how far its meter can be out, and what was read there before [V]"""
GAUGE = 88.0
FAN = ((0.0, 10.0, 10.0), (0.4, 18.0, 40.0), (1.0, 30.0, 84.0))
"""how far along, and how high a fan's edges are there [dp]"""
TODAY = ((0.4, 29.0, 29.0), (1.0, 40.0, 74.0))


@dataclass(frozen=True)
class Said:
    """What drawings print, in the language of the screen."""

    wording: Wording = ENGLISH
    figure: Figure = str
    unit: str = ""
    stop: str = ""
    """the name of a stop, for the tag"""
    at_m: float = 0.0


def sign(key: str, width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    """A sign of ``SIGNS``; ``sides`` are the outlines of a box of each kind, left and right."""
    return SIGNS[key](width, sides, said)


Draw = Callable[[float, Mapping[str, Sides], Said], Picture]


def _picture(width: float, height: float, *shapes: Shape) -> Picture:
    return Picture(width, height, shapes)


# ---------------------------------------------------------------- boxes and their sides


def _box(kind: str) -> Draw:
    def draw(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
        bonded = kind == "arrestor"
        y, x = BOX / 2 + 2, width / 2
        ends = (0.0 if kind != "source" else x, width if kind != "endpoint" else x)
        lead = jacket(((ends[0], y), (ends[1], y)), "empty", LEAD)
        frame = (x - BOX / 2, y - BOX / 2, BOX, BOX)
        body = box_shapes(kind, sides.get(kind, ("flat", "flat")), *frame, bonded=bonded)
        return Picture(width, BOX + (0.42 * BOX if bonded else 0.0) + 6, (*lead, *body))

    return draw


def _side(outline: str) -> Draw:
    """One side of a box, the other one plain."""

    def draw(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
        shapes = box_shapes("", (outline, "flat"), 2, 2, BOX * 1.1, BOX)
        return Picture(width, BOX + 4, shapes)

    return draw


def _wrong(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    """A long-span unit with its plain side to the long cable, and the break between them."""
    left, right = sides["long-span"]
    y, x, high = BOX / 2 + 2, width / 2, 0.6 * BOX
    frame = (x - BOX / 2, y - BOX / 2, BOX, BOX)
    return _picture(
        width,
        BOX + 6,
        *jacket(((0, y), (x - BOX / 2 - 22, y)), "empty", CABLE),
        *jacket(((x + BOX / 2, y), (width, y)), "empty", LEAD),
        *box_shapes("long-span", (right, left), *frame, token="signal", turned=True),
        *break_marks(x - BOX / 2 - 11, y, high),
    )


def _earth(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    return Picture(width, 40, earth_tail(24, 4, 34, width=3.0))


# ---------------------------------------------------------------- the cable


def _jacket(state: str) -> Draw:
    def draw(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
        y = CABLE / 2 + 3
        return Picture(width, CABLE + 6, jacket(((0, y), (width, y)), state, CABLE))

    return draw


def _printed(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    y = CABLE / 2 + 3
    a, b = (0.0, y), (width, y)
    words = said.wording.metres(said.at_m)
    shapes = (*jacket((a, b), "copper", CABLE), *printed_length(a, b, words, "copper", CABLE))
    return Picture(width, CABLE + 6, shapes)


def _short(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    y = CABLE / 2 + 6
    shapes = (*jacket(((0, y), (width, y)), "empty", CABLE), *too_short_break(width / 2, y, CABLE))
    return Picture(width, CABLE + 12, shapes)


def _open(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    y = CABLE / 2 + 3
    a, b = (0.0, y), (width, y)
    return Picture(width, CABLE + 6, (*jacket((a, b), "empty", CABLE), *cut_open(a, b, CABLE)))


def _branch(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    y = CABLE / 2 + 3
    return Picture(width, CABLE + 6, branch_line(((0, y), (width, y))))


# ---------------------------------------------------------------- readings


def _mark(verdict: str) -> Draw:
    def draw(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
        left = max((width - MARK_W * MARK_SCALE) / 2, 0.0)
        return Picture(width, MARK_H * MARK_SCALE + 4, mark(verdict, left, 2, MARK_SCALE))

    return draw


def _gauge(**parts: Any) -> Draw:
    """A gauge with only some of its parts."""

    def draw(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
        shown: dict[str, Any] = {
            "band": None,
            "design": None,
            "reading": None,
            "reach": 0.0,
            **parts,
        }
        return gauge(
            shown.pop("band"),
            shown.pop("design"),
            shown.pop("reading"),
            shown.pop("reach"),
            said.unit,
            None,
            "",
            width,
            GAUGE,
            figure=said.figure,
            **shown,
        )

    return draw


# ---------------------------------------------------------------- on the line


def _fan(rows: tuple[tuple[float, float, float], ...], width: float) -> Fan:
    shares, high, low = zip(*rows, strict=True)
    return Fan(tuple(share * width for share in shares), high, low)


def _falling(width: float, *behind: Shape) -> Picture:
    """The cable falling in front of what lies behind it."""
    points = tuple((share * width, (high + low) / 2) for share, high, low in FAN)
    return Picture(width, 90, (*behind, *jacket(points, "empty", THIN)))


def _design(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    return _falling(width, *design_shapes(_fan(FAN, width)))


def _today(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    return _falling(width, *design_shapes(_fan(FAN, width)), *today_shapes(_fan(TODAY, width)))


def _floor(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    return Picture(width, 26, tuple(hatched_floor(8, width)))


def _here(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    stop = PlacedStop(RunStop("", said.stop, said.at_m), 0, width, 0, 0, here=True)
    return Picture(width, 40, here_tag(width / 2, 24, stop, width, said.wording))


# ---------------------------------------------------------------- leaving, odds


def _knot(state: str, height: float = KNOT) -> Draw:
    def draw(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
        (drawn,) = knot_cable([(height, state)])
        right = max((width - KNOT_WIDTH) / 2 - 8, 0.0)
        shapes = tuple(moved(shape, right, 0) for shape in drawn.shapes)
        return replace(drawn, width=width, shapes=shapes)

    return draw


def _odds(width: float, sides: Mapping[str, Sides], said: Said) -> Picture:
    return Picture(width, 24, conductor_ends(*ODDS, 0, 12, END, PITCH))


SIGNS: Mapping[str, Draw] = MappingProxyType(
    {
        "inside": _mark("inside"),
        "unclear": _mark("unclear"),
        "outside": _mark("outside"),
        "no-band": _mark("no-band"),
        "sleeve": _gauge(band=EXAMPLE),
        "bead": _gauge(reading=SHOWN, reach=REACH),
        "design-band": _gauge(band=EXAMPLE, design=(47.6, 49.6)),
        "earlier": _gauge(band=EXAMPLE, reading=SHOWN, earlier=BEFORE),
        "copper": _jacket("copper"),
        "empty": _jacket("empty"),
        "striped": _jacket("striped"),
        "cut": _jacket("cut"),
        "printed": _printed,
        "short": _short,
        "open": _open,
        "branch": _branch,
        "source": _box("source"),
        "injector": _box("injector"),
        "repeater": _box("repeater"),
        "long-span": _box("long-span"),
        "arrestor": _box("arrestor"),
        "joint": _box("joint"),
        "splitter": _box("splitter"),
        "endpoint": _box("endpoint"),
        "round": _side("round"),
        "teeth": _side("teeth"),
        "jack": _side("jack"),
        "wrong": _wrong,
        "earth": _earth,
        "here": _here,
        "fan-design": _design,
        "fan-today": _today,
        "floor": _floor,
        "knot": _knot("open"),
        "taped": _knot("waived", 60.0),
        "plug": _knot("plug", 60.0),
        "odds": _odds,
    }
)
"""by key: what draws it"""
