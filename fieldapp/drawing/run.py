"""The run as a drawing sees it, and where each box of it stands across the picture.

Metres between stops are to scale; boxes at one stop stand shoulder to shoulder at a fixed pitch.
A span too short to draw keeps 34 dp and is marked broken, so the drawing never lies in silence.
"""

import itertools
from dataclasses import dataclass, replace

RIBBON_PITCH = 23.0
RUN_PITCH = 27.0
MARGIN = 14.0
MIN_GAP = 34.0
ONE_WIDTH_BOXES = 12
MEAN_GAP_WIDE = 72.0
# How far pitch and short spans may give way before a run of few boxes grows past the screen.
PITCH_GIVES = 0.24
GAP_GIVES = 0.40
ENDPOINT_WIDER = 1.18


@dataclass(frozen=True)
class RunBox:
    """A box on the line. ``left`` and ``right`` are the outlines as it stands, turned or not."""

    id: str
    kind: str
    at_m: float
    stop: str
    left: str = "flat"
    right: str = "flat"
    wrong: bool = False
    bonded: bool = False
    name: str = ""
    suspect: bool = False


@dataclass(frozen=True)
class RunSpan:
    """A length of cable between two boxes; ``state`` is a jacket state (see ``jacket``)."""

    id: str
    a: str
    b: str
    length_m: float
    state: str = "empty"


@dataclass(frozen=True)
class RunStop:
    """A place along the run where one stands."""

    id: str
    name: str
    at_m: float


@dataclass(frozen=True)
class Branch:
    """A side branch of a splitter, drawn as a thin line ending in its endpoint's name."""

    from_box: str
    boxes: tuple[RunBox, ...]
    spans: tuple[RunSpan, ...]
    end_name: str


@dataclass(frozen=True)
class RunLine:
    """The branch that is walked, source first, with the side branches that leave it."""

    boxes: tuple[RunBox, ...]
    spans: tuple[RunSpan, ...]
    stops: tuple[RunStop, ...]
    here: str = ""
    branches: tuple[Branch, ...] = ()


@dataclass(frozen=True)
class PlacedBox:
    """A box with its slot from ``x0`` to ``x1``. [dp]"""

    box: RunBox
    x0: float
    x1: float

    @property
    def x(self) -> float:
        """The middle of the slot."""
        return (self.x0 + self.x1) / 2


@dataclass(frozen=True)
class PlacedSpan:
    """What lies between box ``i`` and box ``i + 1``: seen from ``x0`` to ``x1``. [dp]

    ``span`` is None where the plan has no cable there. ``long`` = between two stops, else a short
    lead within one. ``broken`` = drawn longer than its metres are.
    """

    i: int
    span: RunSpan | None
    x0: float
    x1: float
    metres: float
    long: bool
    broken: bool


@dataclass(frozen=True)
class PlacedStop:
    """A stop's boxes, from ``x0`` to ``x1``; ``first`` and ``last`` index into the boxes."""

    stop: RunStop
    x0: float
    x1: float
    first: int
    last: int
    here: bool

    @property
    def x(self) -> float:
        """The middle of the stop's boxes."""
        return (self.x0 + self.x1) / 2


@dataclass(frozen=True)
class Laid:
    """A run laid out. ``width`` may exceed the width that was asked for: then it scrolls."""

    width: float
    pitch: float
    boxes: tuple[PlacedBox, ...]
    spans: tuple[PlacedSpan, ...]
    stops: tuple[PlacedStop, ...]


@dataclass(frozen=True)
class Shown:
    """The part of a run near one stop, and how many boxes were left out at each end."""

    line: RunLine
    before: int
    after: int


def layout(
    line: RunLine,
    width: float,
    pitch: float,
    *,
    margin: float = MARGIN,
    ends: tuple[float, float] = (0.0, 0.0),
    must_fit: bool = False,
) -> Laid:
    """Where every box, span and stop of the main branch stands.

    Parameters
    ----------
    width : the room there is. [dp]
    pitch : width of one box at a stop. [dp]
    ends : further room kept free at the left and the right. [dp]
    must_fit : squeeze as far as it takes rather than grow wider than ``width``.
    """
    groups = _groups(line.boxes)
    if not groups:
        return Laid(width, pitch, (), (), ())
    metres = _metres_between(line, groups)
    left, right = margin + ends[0], margin + ends[1]
    room = max(width - left - right, 1.0)
    pitch, least = _give_way(line, groups, room, pitch, must_fit)
    solid = sum(_slot(box, pitch) for box in line.boxes)
    gaps = len(metres)
    if len(line.boxes) > ONE_WIDTH_BOXES and not must_fit:
        open_room = max(room - solid, gaps * MEAN_GAP_WIDE)
    else:
        open_room = max(room - solid, gaps * least)
    widths, broken = _share(metres, open_room, least)
    start = left if gaps else left + max(room - solid, 0.0) / 2
    return _place(line, groups, metres, widths, broken, pitch, start, max(width, right), right)


def shown_near(line: RunLine, each_side: int) -> Shown:
    """The boxes of the stop where you stand and of this many stops to either side.

    Standing nowhere on the line counts as standing at its first stop.
    """
    groups = _groups(line.boxes)
    if not groups:
        return Shown(line, 0, 0)
    mine = next((i for i, g in enumerate(groups) if line.boxes[g[0]].stop == line.here), 0)
    first = groups[max(mine - each_side, 0)][0]
    last = groups[min(mine + each_side, len(groups) - 1)][-1]
    boxes = line.boxes[first : last + 1]
    kept = {box.id for box in boxes}
    part = replace(
        line,
        boxes=boxes,
        spans=tuple(s for s in line.spans if s.a in kept and s.b in kept),
        branches=tuple(b for b in line.branches if b.from_box in kept),
    )
    return Shown(part, first, len(line.boxes) - 1 - last)


def reach_m(line: RunLine) -> float:
    """Cable from the first box to the last, along the main branch. [m]"""
    pairs = {frozenset((s.a, s.b)): s.length_m for s in line.spans}
    return sum(
        pairs.get(frozenset((a.id, b.id)), 0.0)
        for a, b in zip(line.boxes, line.boxes[1:], strict=False)
    )


def _groups(boxes: tuple[RunBox, ...]) -> list[list[int]]:
    groups: list[list[int]] = []
    for i, box in enumerate(boxes):
        if groups and boxes[groups[-1][0]].stop == box.stop:
            groups[-1].append(i)
        else:
            groups.append([i])
    return groups


def _stop(line: RunLine, box: RunBox) -> RunStop:
    found = next((stop for stop in line.stops if stop.id == box.stop), None)
    return found or RunStop(box.stop, box.stop, box.at_m)


def _span(line: RunLine, a: RunBox, b: RunBox) -> RunSpan | None:
    return next((s for s in line.spans if {s.a, s.b} == {a.id, b.id}), None)


def _metres_between(line: RunLine, groups: list[list[int]]) -> list[float]:
    """Metres from each stop to the next: as they stand along the run, else as the cable says."""
    result = []
    for one, two in itertools.pairwise(groups):
        a, b = line.boxes[one[-1]], line.boxes[two[0]]
        apart = abs(_stop(line, b).at_m - _stop(line, a).at_m)
        span = _span(line, a, b)
        result.append(apart if apart > 0 else (span.length_m if span else 0.0))
    return result


def _slot(box: RunBox, pitch: float) -> float:
    return pitch * (ENDPOINT_WIDER if box.kind == "endpoint" else 1.0)


def _give_way(
    line: RunLine, groups: list[list[int]], room: float, pitch: float, must_fit: bool
) -> tuple[float, float]:
    """Pitch and least gap, both made smaller as far as allowed when the run is too wide."""
    gaps = len(groups) - 1
    solid, open_room = sum(_slot(box, pitch) for box in line.boxes), gaps * MIN_GAP
    need = solid + open_room
    if need <= room or (len(line.boxes) > ONE_WIDTH_BOXES and not must_fit):
        return pitch, MIN_GAP
    give = (need - room) / (PITCH_GIVES * solid + GAP_GIVES * open_room)
    if give <= 1:
        return pitch * (1 - PITCH_GIVES * give), MIN_GAP * (1 - GAP_GIVES * give)
    if must_fit:
        return pitch * room / need, MIN_GAP * room / need
    return pitch, MIN_GAP


def _share(metres: list[float], room: float, least: float) -> tuple[list[float], list[bool]]:
    """Split ``room`` in proportion to metres, none less than ``least``; which ones were stretched."""
    n = len(metres)
    if n <= 1:
        return [room] * n, [False] * n
    if room <= least * n or sum(metres) <= 0:
        return [room / n] * n, [True] * n
    held: set[int] = set()
    while True:
        # The longest is never held: with room > n * least its share stays above the mean.
        scale = (room - least * len(held)) / sum(m for i, m in enumerate(metres) if i not in held)
        short = {i for i, m in enumerate(metres) if i not in held and m * scale < least}
        if not short:
            widths = [least if i in held else m * scale for i, m in enumerate(metres)]
            return widths, [i in held for i in range(n)]
        held |= short


def _place(
    line: RunLine,
    groups: list[list[int]],
    metres: list[float],
    widths: list[float],
    broken: list[bool],
    pitch: float,
    start: float,
    width: float,
    right: float,
) -> Laid:
    boxes: list[PlacedBox] = []
    spans: list[PlacedSpan] = []
    stops: list[PlacedStop] = []
    x = start
    for g, group in enumerate(groups):
        if g:
            a, b = line.boxes[group[0] - 1], line.boxes[group[0]]
            gap = widths[g - 1]
            spans.append(
                PlacedSpan(
                    group[0] - 1, _span(line, a, b), x, x + gap, metres[g - 1], True, broken[g - 1]
                )
            )
            x += gap
        x0 = x
        for i in group:
            if i != group[0]:
                lead = _span(line, line.boxes[i - 1], line.boxes[i])
                length = lead.length_m if lead else 0.0
                spans.append(PlacedSpan(i - 1, lead, x, x, length, False, False))
            slot = _slot(line.boxes[i], pitch)
            boxes.append(PlacedBox(line.boxes[i], x, x + slot))
            x += slot
        stop = _stop(line, line.boxes[group[0]])
        stops.append(PlacedStop(stop, x0, x, group[0], group[-1], stop.id == line.here))
    # A sum of slots that should come to the width may miss it by a rounding error.
    whole = x + right if x + right > width + 1e-6 else width
    return Laid(whole, pitch, tuple(boxes), tuple(spans), tuple(stops))
