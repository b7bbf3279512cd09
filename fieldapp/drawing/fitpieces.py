"""Parts of the big drawings: cables and leads arriving, plugs, the box next door."""

from dataclasses import dataclass

from fieldapp.drawing.boxes import (
    break_marks,
    jack_size,
    side_points,
)
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.shapes import Anchor, Label, Line, Path, Rect, Shape
from fieldapp.faces import text_width

LINE = 5.0
CABLE = 60.0
CABLE_CASING = 3.0
LEAD = 14.0
EDGE, SMALLEST = 12.0, 14.0
SLICE = 40.0

Arrival = tuple[str, str]
"""What comes to a side: the place it comes from, and ``cable`` or ``lead``."""


@dataclass(frozen=True)
class Frame:
    """Where a box stands in the picture. [dp]"""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.x + self.w

    @property
    def mid(self) -> float:
        """The level on which cables arrive."""
        return self.y + self.h / 2


def arrival(
    form: str,
    outline: str,
    side: int,
    frame: Frame,
    width: float,
    start: float,
    *,
    thick: float = CABLE / 170,
) -> list[Shape]:
    """Cable or lead from the picture's edge to the box, drawn before the box covers its end."""
    if not form:
        return []
    edge = start if side == 0 else width - start
    way = 1 if side == 0 else -1
    at = frame.x if side == 0 else frame.right
    if form == "cable":
        deep = 0.16 * frame.w
        thickness = min(CABLE, max(thick * frame.h, 16.0))
        end = at - way * 20 if outline == "jack" else at + way * deep
        shapes = jacket(
            ((edge, frame.mid), (end, frame.mid)), "empty", thickness, casing=CABLE_CASING
        )
        if outline == "jack":
            half = thickness / 2
            return [
                *shapes,
                Line(end, frame.mid - half, end, frame.mid + half, "ink", CABLE_CASING),
                Line(end, frame.mid, at, frame.mid, "ink", LEAD),
            ]
        return list(shapes)
    lead: list[Shape] = [Line(edge, frame.mid, at - way * 4, frame.mid, "ink", LEAD)]
    if outline != "jack":
        body = 0.21 * frame.h
        x = at - way * 26
        left = min(x, x + way * 44)
        lead.append(Rect(left, frame.mid - body / 2, 44, body, "ink", radius=3))
    return lead


def plug_in_jack(side: int, frame: Frame) -> list[Shape]:
    """A plug seated in a jack, its contact showing copper."""
    deep, opening = jack_size(frame.w, frame.h)
    body, tip = 0.68 * opening, 0.42 * opening
    out = max(0.06 * frame.w, 8.0)
    if side == 0:
        left, contact = frame.x - out, frame.x + deep - 0.7 * deep
    else:
        left, contact = frame.right - deep + 1, frame.right - deep + 3
    return [
        Rect(left, frame.mid - body / 2, deep + out - 1, body, "ink", radius=2),
        Rect(contact, frame.mid - tip / 2, 0.6 * deep, tip, "copper"),
    ]


def slice_of_box(outline: str, side: int, frame: Frame, width: float) -> list[Shape]:
    """The near end of the box next door, cut off by the picture's edge, a plug in its jack."""
    y, h, whole = frame.y + 0.14 * frame.h, 0.72 * frame.h, 110.0
    points = side_points(outline, 0.0, y, h, whole)
    edge = 0.0 if side == 0 else width
    chain = tuple((SLICE - x if side == 0 else width - SLICE + x, py) for x, py in points)
    closing = ((edge, chain[-1][1]), (edge, chain[0][1]))
    shapes: list[Shape] = [
        Path((*chain, *closing), closed=True, fill="sheet"),
        Path((closing[1], *chain, closing[0]), stroke="ink", width=LINE),
    ]
    if outline == "jack":
        left = SLICE - whole if side == 0 else width - SLICE
        shapes += plug_in_jack(1 - side, Frame(left, y, whole, h))
    return shapes


def arrival_words(
    place: str,
    form: str,
    printed: str,
    side: int,
    frame: Frame,
    width: float,
    k: float,
    *,
    beside: float = 0.0,
) -> list[Shape]:
    """The place a cable comes from, above it, and its length on it.

    ``beside`` is the width of a neighbouring box at the edge: its name stands over it then, and
    the length under the lead.
    """
    if not form:
        return []
    room = (frame.x if side == 0 else width - frame.right) - EDGE - 6
    anchor: Anchor = "start" if side == 0 else "end"
    thick = min(CABLE, max(CABLE / 170 * frame.h, 16.0)) if form == "cable" else LEAD
    shapes: list[Shape] = []
    size = 18 * k
    while size > SMALLEST and text_width("TMI", size, place) > room:
        size -= 1
    words = shorten(place, "TMI", size, room)
    if words:
        x = EDGE if side == 0 else width - EDGE
        level = frame.mid - thick / 2 - size * 0.95
        if beside:
            level = max(frame.y + 0.14 * frame.h - size * 0.85, size * 0.62)
        shapes.append(Label(x, level, words, "TMI", size, "ink", anchor))
    inner = EDGE if not beside else beside + 8
    size = 24.0 if form == "cable" else 18.0
    room -= max(inner - EDGE, 0.0)
    while size > 13 and text_width("PB", size, printed) > room:
        size -= 1
    words = shorten(printed, "PB", size, room)
    if words:
        x = inner if side == 0 else width - inner
        level = frame.mid if form == "cable" else frame.mid + 0.105 * frame.h + size * 0.8
        shapes.append(Label(x, level, words, "PB", size, "ink", anchor))
    return shapes


def open_end(x0: float, x1: float, y: float, h: float) -> list[Shape]:
    """A cable that ends in nothing: two edges, no end."""
    return [
        Rect(x0, y - h / 2, max(x1 - x0, 0), h, "sheet"),
        *(Line(x0, y + s * h / 2, x1, y + s * h / 2, "ink", 2.5) for s in (-1, 1)),
    ]


def gap(x: float, y: float, cable: float, h: float) -> list[Shape]:
    """A break in a cable that ran through: ground where it was, two slanting strokes."""
    return [
        Rect(x - 12, y - cable / 2 - 1, 24, cable + 2, "ground"),
        *break_marks(x, y, h),
    ]
