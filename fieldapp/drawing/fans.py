"""The two fans behind the falling line, and where their names fit."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from fieldapp.drawing.fallscale import FallPoint, Scale, known
from fieldapp.drawing.letters import Frame, grown
from fieldapp.drawing.placing import Table, cable_frames, drawn_frame
from fieldapp.drawing.shapes import Label, Path, Point, Shape
from fieldapp.faces import text_width

EDGE_WIDTH = 1.6
TODAY_WIDTH = 2.0
DASH = (6.0, 4.0)
RIM = 5.0
"""what a name's halo and tails take around its letters [dp]"""


@dataclass(frozen=True)
class Fan:
    """An upper and a lower edge over the same places, left to right. [dp]"""

    xs: tuple[float, ...]
    high: tuple[float, ...]
    low: tuple[float, ...]

    def at(self, x: float) -> tuple[float, float] | None:
        """Upper and lower edge above this place; None beside the fan."""
        if not self.xs or not self.xs[0] <= x <= self.xs[-1]:
            return None
        for i in range(len(self.xs) - 1):
            a, b = self.xs[i], self.xs[i + 1]
            if x <= b:
                t = (x - a) / (b - a) if b > a else 0.0
                return (
                    self.high[i] + t * (self.high[i + 1] - self.high[i]),
                    self.low[i] + t * (self.low[i + 1] - self.low[i]),
                )
        return self.high[-1], self.low[-1]


def design_fan(points: Sequence[FallPoint], xs: Sequence[float], scale: Scale) -> Fan:
    """The design band over the boxes that have one; a low that cannot be held lies on the floor."""
    rows = [
        (x, scale.y(known(p.high)[0]), scale.y(known(p.low)[0] if known(p.low) else scale.foot_v))
        for p, x in zip(points, xs, strict=True)
        if known(p.high)
    ]
    return _fan(rows)


def today_fan(points: Sequence[FallPoint], xs: Sequence[float], scale: Scale) -> Fan:
    """Today's band; it springs from the last reading in front of it, which is no band any more."""
    rows = []
    for i, (p, x) in enumerate(zip(points, xs, strict=True)):
        band = known(p.today_low, p.today_high)
        following = points[i + 1 : i + 2]
        opens = any(len(known(q.today_low, q.today_high)) == 2 for q in following)
        if len(band) == 2:
            rows.append((x, scale.y(band[1]), scale.y(band[0])))
        elif known(p.reading) and p.verdict != "outside" and opens and not rows:
            y = scale.y(known(p.reading)[0])
            rows.append((x, y, y))
    return _fan(rows)


def design_shapes(fan: Fan) -> list[Shape]:
    """Wash, with a dashed edge above and below."""
    if len(fan.xs) < 2:
        return []
    high, low = _edges(fan)
    return [
        Path(high + low[::-1], closed=True, fill="tide_wash"),
        Path(high, stroke="tide", width=EDGE_WIDTH, dash=DASH),
        Path(low, stroke="tide", width=EDGE_WIDTH, dash=DASH),
    ]


def today_shapes(fan: Fan) -> list[Shape]:
    """Fill, with a solid edge all round."""
    if len(fan.xs) < 2:
        return []
    high, low = _edges(fan)
    return [Path(high + low[::-1], closed=True, fill="tide_fill", stroke="tide", width=TODAY_WIDTH)]


def edge_frames(fan: Fan) -> Iterable[Frame]:
    """Small frames strung along the fan's outline, for words that keep clear of it."""
    for edge in _edges(fan) if len(fan.xs) > 1 else ():
        for a, b in pairwise(edge):
            yield from cable_frames(a, b, TODAY_WIDTH)


def fan_names(
    design: Fan, today: Fan, table: Table, words: tuple[str, str], size: float
) -> list[Shape]:
    """``design`` and ``today`` written into their fans, or beside them with a halo where they are
    too thin; left out only where there is no room at all."""
    shapes: list[Shape] = []
    for text, fan, hole in ((words[1], today, None), (words[0], design, today)):
        if len(fan.xs) < 2:
            continue
        label = _inside(text, fan, hole, table, size) or _beside(text, fan, table, size)
        if label:
            shapes.append(table.keep(label))
    return shapes


def _fan(rows: Sequence[tuple[float, float, float]]) -> Fan:
    if not rows:
        return Fan((), (), ())
    xs, high, low = zip(*rows, strict=True)
    return Fan(xs, high, low)


def _edges(fan: Fan) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    return (
        tuple(zip(fan.xs, fan.high, strict=True)),
        tuple(zip(fan.xs, fan.low, strict=True)),
    )


def _starts(fan: Fan, wide: float) -> list[float]:
    """Right ends to try for a name: from the fan's right end leftwards."""
    last, first = fan.xs[-1] - 5, fan.xs[0] + wide
    count = max(int((last - first) / 24), 0)
    return [last - 24 * i for i in range(min(count, 12) + 1)]


def _inside(text: str, fan: Fan, hole: Fan | None, table: Table, size: float) -> Label | None:
    wide = text_width("PM", size, text)
    for right in _starts(fan, wide):
        ends = [fan.at(x) for x in (right - wide, right)]
        if any(end is None for end in ends):
            continue
        for top, foot in _strips(fan, hole, right - wide, right):
            if foot - top < size * 1.15:
                continue
            for share in (0.5, 0.3, 0.7, 0.12, 0.88):
                room = foot - top - size
                label = Label(right, top + size / 2 + share * room, text, "PM", size, "ink", "end")
                frame = drawn_frame(label)
                if table.clears(frame) and table.cost(frame) < 1:
                    return label
    return None


def _strips(fan: Fan, hole: Fan | None, left: float, right: float) -> list[tuple[float, float]]:
    """Level strips that lie inside the fan and outside the hole all the way from left to right."""
    edges = [e for e in (fan.at(left), fan.at((left + right) / 2), fan.at(right)) if e]
    if not edges:
        return []
    top, foot = max(e[0] for e in edges), min(e[1] for e in edges)
    cut = (
        [e for e in (hole.at(left), hole.at((left + right) / 2), hole.at(right)) if e]
        if hole
        else []
    )
    if not cut:
        return [(top, foot)]
    return [(top, min(e[0] for e in cut)), (max(e[1] for e in cut), foot)]


def _beside(text: str, fan: Fan, table: Table, size: float) -> Label | None:
    wide = text_width("PM", size, text)
    for right in _starts(fan, wide):
        edges = [e for e in (fan.at(right - wide), fan.at(right)) if e]
        if not edges:
            continue
        above = min(e[0] for e in edges) - size * 0.75
        below = max(e[1] for e in edges) + size * 0.75
        for y in (above, below):
            label = Label(right, y, text, "PM", size, "ink", "end", halo="ground")
            frame = drawn_frame(label)
            # its halo and tails stay off the floor
            inside = table.inside(grown(frame, RIM))
            if inside and table.clears(frame) and table.cost(frame) < 1:
                return label
    return None
