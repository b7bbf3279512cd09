"""The line in small, without a word: in the row of a list, and above a line that scrolls."""

from collections.abc import Mapping

from fieldapp.drawing.boxes import box_shapes
from fieldapp.drawing.fallscale import FallPoint, Scale, axis_span, cable_only, curve_of
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.run import Laid, RunLine, layout
from fieldapp.drawing.shapes import Line, Path, Picture, Shape

MINIATURE_HEIGHT = 56.0


def miniature(
    line: RunLine, volts: Mapping[str, FallPoint], width: float, height: float = MINIATURE_HEIGHT
) -> Picture:
    """The same line in a list row: cable and boxes only, no words, nothing to press."""
    laid = layout(line, width, 9.0, margin=10, must_fit=True)
    points = tuple(volts.get(p.box.id, FallPoint()) for p in laid.boxes)
    top_v, foot_v = axis_span([cable_only(p) for p in points], None)
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
