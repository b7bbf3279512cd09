"""The floor of a picture of volts: a box starves below it."""

from fieldapp.drawing.shapes import Line, Path, Point, Shape


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
