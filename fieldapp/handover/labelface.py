"""One label drawn: shapes in millimetres from its top left corner, and where its square code lies.

Black on white. The id stands in capitals of 3 mm or more, to be read at arm's length (common
practice); every text but the code's own is shortened in its middle where it does not fit.
"""

from __future__ import annotations

from attrs import frozen

from fieldapp import words
from fieldapp.drawing.boxes import box_shapes, earth_tail
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.shapes import Anchor, Circle, Label, Line, Path, Rect, Shape
from fieldapp.faces import text_width
from fieldapp.handover.codes import Square
from fieldapp.handover.labels import BOND, BOX, SOURCE, LabelFacts, LabelPort

CAPITAL_EM = 0.69
"""height of a capital in the app's letters (``assets/fonts``)"""
SMALL, LINE = 2.3, 2.6
"""size of the small letters and height of their line. [mm]"""
GAP = 1.0
CABLE = 0.9
EARTH_TAIL = 0.42
"""how far the earth tail hangs below a box, of its height, as on the screen"""
STROKE = 0.35


@frozen
class Size:
    """The room of one label. [mm]  ``margin`` may stay white in print."""

    width: float
    height: float
    margin: float
    capital: float
    """height of the id's capitals"""
    inset: float
    """from the label's edge to the blank rim of its code"""


@frozen
class PlacedCode:
    """A square code on paper: the corner of its blank rim, and the side of a module. [mm]"""

    square: Square
    x: float
    y: float
    module: float


@frozen
class Face:
    """One label as drawn."""

    shapes: tuple[Shape, ...]
    code: PlacedCode | None


def face(facts: LabelFacts, size: Size) -> Face:
    """A label in the room of one of this size."""
    side = size.height - size.inset - LINE - size.margin
    left, right = size.margin, size.width - size.inset - side - GAP
    foot = size.height - size.margin - LINE
    shapes = [*_head(facts, size, left, right)]
    lines = [words.label_bonded()] if facts.bonded else []
    if facts.sort != BOND:
        volts = facts.volts
        lines.append(words.label_volts(volts.low, volts.expected, volts.high))
    said, code = words.label_foot(facts.metres, facts.date), _code_words(facts, size)
    last = text_width("P", SMALL, said) + GAP + text_width("PM", code.size, code.text)
    if last <= size.width - 2 * size.margin:  # beside the code's words, and the drawing gets room
        shapes.append(_line(said, left, code.y, last))
    else:
        lines.append(said)
    y = foot - LINE * len(lines)
    top = size.margin + size.capital + 1.0 + LINE
    shapes += _picture(facts, left, top, right, y)
    for i, said in enumerate(lines):
        strong = "PB" if facts.bonded and i == 0 else "P"
        shapes.append(_line(said, left, y + LINE * (i + 0.5), right - left, strong))
    shapes.append(code)
    if facts.square is None:
        where = right + GAP + side / 2
        said = shorten(words.label_no_code(), "P", SMALL, side)
        shapes.append(Label(where, size.inset + side / 2, said, "P", SMALL, anchor="middle"))
        return Face(tuple(shapes), None)
    module = side / facts.square.side
    return Face(tuple(shapes), PlacedCode(facts.square, right + GAP, size.inset, module))


def _line(
    said: str, x: float, y: float, width: float, letters: str = "P", anchor: Anchor = "start"
) -> Label:
    return Label(x, y, shorten(said, letters, SMALL, width), letters, SMALL, anchor=anchor)


def _head(facts: LabelFacts, size: Size, left: float, right: float) -> list[Shape]:
    """The id large, the name beside it, the mark of a made-up job; below, where its ports look."""
    big, middle = size.capital / CAPITAL_EM, size.margin + size.capital / 2
    below = size.margin + size.capital + 1.0 + LINE / 2
    shapes: list[Shape] = [_line(_ports(facts), left, below, right - left)]
    if facts.made_up:
        said = words.made_up()
        wide = text_width("PB", SMALL, said) + 1.6
        shapes.append(Rect(right - wide, middle - 1.6, wide, 3.2, fill="ink"))
        shapes.append(Label(right - wide / 2, middle, said, "PB", SMALL, "sheet", "middle"))
        right -= wide + GAP
    thing = facts.thing.upper()
    ident = shorten(thing, "PB", big, right - left)
    shapes.append(Label(left, middle, ident, "PB", big))
    taken = text_width("PB", big, ident) + GAP
    shapes.append(_line(_name(facts), left + taken, middle, right - left - taken, "PM"))
    return shapes


def _name(facts: LabelFacts) -> str:
    if facts.sort == BOX:
        return facts.name
    return words.label_bond(facts.at) if facts.sort == BOND else words.label_end(facts.at)


def _ports(facts: LabelFacts) -> str:
    if facts.sort == BOND:
        return ""
    if facts.sort == BOX:
        ways = sorted({port.way for port in facts.ports}, key=lambda way: way != SOURCE)  # as drawn
        return words.label_ports(tuple((_names(facts.ports, way), way) for way in ways))
    (port,) = facts.ports
    return words.label_port(port.name, port.way, port.to)


def _names(ports: tuple[LabelPort, ...], way: str) -> str:
    return ", ".join(port.name for port in ports if port.way == way)


def _picture(facts: LabelFacts, left: float, top: float, right: float, foot: float) -> list[Shape]:
    """The box with its sides, the source's on the left, and beside it the falling line."""
    top, foot = top + 0.4, foot - 0.4
    middle = (left + right) / 2
    room = (foot - top) / (1 + EARTH_TAIL if facts.bonded else 1.0)
    tall = min(room, 6.5)
    y = top + (room - tall) / 2
    return [
        *_box(facts, left, y, middle - left - GAP, tall),
        *_stripe(facts, middle + GAP, top + 1.2, right - 1.2, foot - 0.8),
    ]


def _sides(ports: tuple[LabelPort, ...]) -> tuple[LabelPort | None, LabelPort | None]:
    """The ports drawn at the left and at the right: what looks to the source stands left."""
    back = next((port for port in ports if port.way == SOURCE), None)
    onward = next((port for port in ports if port is not back), None)
    return back, onward


def _box(facts: LabelFacts, x: float, y: float, width: float, tall: float) -> list[Shape]:
    """The box between the names of its ports; at an end of a span, the cable in its port."""
    back, onward = _sides(facts.ports)
    wide = min(1.5 * tall, width / 3)
    left, middle = x + (width - wide) / 2, y + tall / 2
    outlines = (back.outline if back else "flat", onward.outline if onward else "flat")
    shapes: list[Shape] = []
    ends: tuple[tuple[LabelPort | None, float, int, Anchor], ...] = (
        (back, left, -1, "end"),
        (onward, left + wide, 1, "start"),
    )
    for port, edge, way, anchor in ends:
        if port is None:
            continue
        room = (width - wide) / 2
        if facts.sort == BOX:
            near = edge + way * 0.5
            names = [one.name for one in facts.ports if one.way == port.way] if port.way else []
            if len(names) > 1 and tall >= 2 * LINE:  # the first and the last of several ways out
                rows = [(names[0], -LINE / 2), (names[-1], LINE / 2)]
            else:
                rows = [(port.name, 0.0)]
            shapes += (
                _line(words.label_side(name), near, middle + dy, room - 0.5, "PM", anchor)
                for name, dy in rows
            )
        elif facts.sort != BOND:
            shapes.append(Line(edge, middle, edge + way * room, middle, "ink", CABLE))
    shapes += box_shapes(facts.kind, outlines, left, y, wide, tall, line=STROKE, sign=False)
    if facts.bonded:
        shapes += earth_tail(left + wide / 2, y + tall, EARTH_TAIL * tall, "ink", STROKE)
    return shapes


def _stripe(facts: LabelFacts, left: float, top: float, right: float, foot: float) -> list[Shape]:
    """The falling line as a stripe: metres across, volts down, a ring where the label belongs."""
    points = facts.stripe
    if len(points) < 2 or points[-1][0] <= 0:
        return []
    high, low = max(v for _, v in points), min(v for _, v in points)
    drop = max(high - low, 1.0)  # as on the screen: never narrower than a volt

    def at(metres: float, volts: float) -> tuple[float, float]:
        across = left + (right - left) * metres / points[-1][0]
        return across, top + (foot - top) * (high - volts) / drop

    shapes: list[Shape] = [
        Path(tuple(at(*one) for one in points), stroke="ink", width=CABLE, cap="round")
    ]
    seen, metres = facts.volts.expected, facts.metres
    near = [v for m, v in points if metres is not None and abs(m - metres) < 1e-6]
    if metres is not None and near:
        x, y = at(metres, near[0] if seen is None else min(max(seen, low), high))
        shapes.append(Circle(x, y, 1.0, fill="sheet", stroke="ink", width=0.5))
    return shapes


def _code_words(facts: LabelFacts, size: Size) -> Label:
    """What the square code says, beneath it: whole, for it is there to be typed."""
    room = size.width - 2 * size.margin
    letters = min(SMALL, SMALL * room / text_width("PM", SMALL, facts.code))
    y = size.height - size.margin - LINE / 2
    return Label(size.width - size.margin, y, facts.code, "PM", letters, anchor="end")
