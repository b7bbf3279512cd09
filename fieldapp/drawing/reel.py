"""A reel seen from its side: the free end runs off to the right, the inner end is at the drum.

Its cable is filled as a jacket is: copper once its wire is known to be right, striped where it is
another, empty while nobody measured. The two marks are printed where they stand on it.
"""

from fieldapp.drawing.jacket import CASING, STRIPE, jacket
from fieldapp.drawing.shapes import Anchor, Circle, Label, Picture, Shape, touch_area
from fieldapp.faces import text_width

TALL = 214.0
HUB = 53.0
OUTER = 101.0
WINDINGS = (76.0, 63.0)
"""radii at which two turns part"""
END = 25.0
"""width of the free end"""
EDGE = 14.0
MARK = "PB"


def reel_picture(
    free: str,
    inner: str,
    amount: str,
    amount_more: str,
    wanted: str,
    wanted_more: tuple[str, ...],
    state: str,
    width: float,
    *,
    letters: float = 1.0,
    short: bool = False,
    free_name: str = "",
    inner_name: str = "",
) -> Picture:
    """A reel with its marks, and beside it how much there is and how much is wanted.

    Parameters
    ----------
    free, inner : what is printed at its two ends; pressing one means to type it.
    amount, wanted : metres between the marks, and those wanted, with the words under each.
    state : how the cable is filled: ``empty``, ``copper`` or ``striped``.
    short : there is less than is wanted; what is under ``wanted`` is then said in signal.
    """
    k = min(max(letters, 1.0), 1.3)
    x, y = EDGE + OUTER, 6 + OUTER
    top = y - OUTER + END / 2
    shapes: list[Shape] = [
        *jacket(((x, top), (width + 4, top)), state, END),
        *_drum(x, y, state),
        Circle(x, y, HUB, "ground", "ink", 2.5),
        Circle(x, y - 6, 8.5, "ink"),
        _fitted(x, y + 24, inner, MARK, 17 * k, 2 * HUB - 14, "ink", "middle"),
        Label(
            width - 10,
            top,
            free,
            MARK,
            16 * min(k, 1.15),
            "on_copper" if state == "copper" else "ink",
            "end",
            "ground" if state == "striped" else None,
        ),
    ]
    left = x + OUTER + 22
    room = width - left - 6
    shapes += _column(left, room, amount, amount_more, wanted, wanted_more, k, short)
    touches = (
        touch_area(width - 50, top, width, TALL, "first", free_name or free),
        touch_area(x, y + 10, width, TALL, "second", inner_name or inner, tall=90),
    )
    return Picture(width, TALL, tuple(shapes), touches)


def _drum(x: float, y: float, state: str) -> list[Shape]:
    """What is wound up: one broad ring, with the lines where turns part."""
    middle, broad = (OUTER + HUB) / 2, OUTER - HUB
    fill = "copper" if state == "copper" else "ground"
    shapes: list[Shape] = [
        Circle(x, y, OUTER, "ink"),
        Circle(x, y, middle, None, fill, broad - 2 * CASING),
    ]
    if state == "striped":
        shapes.append(Circle(x, y, middle, None, "signal", broad - 2 * CASING, STRIPE))
    for radius in WINDINGS:
        shapes.append(Circle(x, y, radius, None, "ink", 4.0))
        shapes.append(Circle(x, y, radius, None, "ground", 1.2))
    return shapes


def _column(
    left: float,
    room: float,
    amount: str,
    amount_more: str,
    wanted: str,
    wanted_more: tuple[str, ...],
    k: float,
    short: bool,
) -> list[Shape]:
    """The figures at the right, each over its words; they grow little, all must fit."""
    k = min(k, 1.08)
    rows: list[tuple[str, str, float, str, float]] = [
        (amount, "TB", 44, "ink", 42),
        (amount_more, "T", 19, "ink", 32),
        (wanted, "TM", 27, "signal" if short else "ink", 37),
    ]
    ink = "signal" if short else "soft"
    rows += [(line, "T", 19, ink, 24) for line in wanted_more]
    shapes: list[Shape] = []
    y = END + 4.0
    for text, face, size, colour, pitch in rows:
        y += pitch * k
        shapes.append(_fitted(left, y, text, face, size * k, room, colour))
    return shapes


def _fitted(
    x: float,
    y: float,
    text: str,
    face: str,
    size: float,
    room: float,
    ink: str,
    anchor: Anchor = "start",
) -> Label:
    """One line in letters no larger than its room allows."""
    wide = text_width(face, size, text)
    return Label(x, y, text, face, min(size, size * room / wide if wide else size), ink, anchor)
