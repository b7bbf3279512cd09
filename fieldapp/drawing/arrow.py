"""Arrows: the slab's, the steppers', the pad's rub-out, and the dimension line of a drawing."""

from fieldapp.drawing.shapes import Line, Path, Picture, Point, Shape

ARROW = (32.0, 20.0)
STEPPER = (56.0, 56.0)
RUB_OUT = (44.0, 28.0)


def arrow(way: str = "right", token: str = "ground") -> Picture:
    """The arrow on a slab, 32 x 20 dp; ``left`` when the walk leads back."""
    w, h = ARROW
    y, reach = h / 2, 8.0
    shapes: tuple[Shape, ...] = (
        Line(1.5, y, w - 2, y, token, 3.0, None, "round"),
        Path(
            ((w - 2 - reach, y - reach), (w - 2, y), (w - 2 - reach, y + reach)),
            stroke=token,
            width=3.0,
            cap="round",
        ),
    )
    return _facing(Picture(w, h, shapes), way)


def stepper(way: str = "right", token: str = "ink") -> Picture:
    """One bare angle in the middle of a 56 dp button: the next box that way."""
    w, h = STEPPER
    angle = Path(
        ((w / 2 - 5, h / 2 - 11), (w / 2 + 6, h / 2), (w / 2 - 5, h / 2 + 11)),
        stroke=token,
        width=3.0,
        cap="round",
    )
    return _facing(Picture(w, h, (angle,)), way)


def rub_out(token: str = "ink") -> Picture:
    """The pad's rub-out: a label cut to a point towards the digit it takes away, which is struck
    by one slanting stroke."""
    w, h = RUB_OUT
    frame = ((2, h / 2), (14, 2), (w - 2, 2), (w - 2, h - 2), (14, h - 2))
    shapes: tuple[Shape, ...] = (
        Path(frame, closed=True, stroke=token, width=2.5),
        Line(21, h - 8, 33, 8, token, 2.5, None, "round"),
    )
    return Picture(w, h, shapes)


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


def _facing(picture: Picture, way: str) -> Picture:
    if way != "left":
        return picture
    return Picture(
        picture.width,
        picture.height,
        tuple(_mirrored(shape, picture.width) for shape in picture.shapes),
    )


def _mirrored(shape: Shape, width: float) -> Shape:
    if isinstance(shape, Path):
        points = tuple((width - x, y) for x, y in shape.points)
        return Path(
            points, shape.closed, shape.fill, shape.stroke, shape.width, shape.dash, shape.cap
        )
    if isinstance(shape, Line):
        return Line(
            width - shape.x1,
            shape.y1,
            width - shape.x2,
            shape.y2,
            shape.stroke,
            shape.width,
            shape.dash,
            shape.cap,
        )
    return shape
