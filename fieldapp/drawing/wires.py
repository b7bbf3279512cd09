"""One wire of a cable: full, or light with a slanting stripe. The colour is said in a word."""

from fieldapp.drawing.shapes import Line, Path, Picture, Rect, Shape

CASING = 2.0
STRIPE, APART, LEAN = 6.0, 17.0, 9.0


def wire_picture(striped: bool, width: float, height: float, thick: float = 22.0) -> Picture:
    """A length of wire with its bare end at the right."""
    y, bare = height / 2, 22.0
    long = width - bare
    shapes: list[Shape] = [
        Rect(long - 2, y - 4, bare, 8, "copper", "ink", 1.5),
        Rect(1, y - thick / 2, long - 1, thick, "ground" if striped else "ink", "ink", CASING),
    ]
    if striped:
        shapes += _stripes(long, y, thick / 2 - CASING / 2)
    return Picture(width, height, tuple(shapes))


def _stripes(long: float, y: float, half: float) -> list[Shape]:
    """The stripe as it winds round: slanting strokes cut level by the wire's sides."""
    out: list[Shape] = []
    x = APART / 2
    while x + LEAN + STRIPE < long - 2:
        corners = (
            (x, y + half),
            (x + LEAN, y - half),
            (x + LEAN + STRIPE, y - half),
            (x + STRIPE, y + half),
        )
        out.append(Path(corners, closed=True, fill="ink"))
        x += APART
    return out


def end_picture(made: bool, width: float = 34.0, height: float = 20.0) -> Picture:
    """A small plug: filled once the end is made."""
    y = height / 2
    body = Rect(1, y - 8, width - 12, 16, "copper" if made else "ground", "ink", 2.0)
    clip = Line(width - 11, y, width - 1, y, "ink", 6.0)
    return Picture(width, height, (clip, body))
