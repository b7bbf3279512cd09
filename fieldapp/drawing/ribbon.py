"""The ribbon: the run laid flat, 104 dp high, with a black tag where you stand."""

from collections.abc import Collection

from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.jacket import (
    CASING,
    branch_line,
    jacket,
    printed_length,
    stripes_in,
    too_short_break,
)
from fieldapp.drawing.letters import Frame, grown, label_frame, overlap, shorten, tag
from fieldapp.drawing.run import (
    MARGIN,
    RIBBON_PITCH,
    Laid,
    PlacedBox,
    PlacedSpan,
    PlacedStop,
    RunLine,
    Shown,
    layout,
    shown_near,
)
from fieldapp.drawing.shapes import Label, Line, Path, Picture, Rect, Shape, touch_area
from fieldapp.drawing.wording import ENGLISH, Wording
from fieldapp.faces import text_width

HEIGHT, LEVEL = 104.0, 52.0
"""of the ribbon; where the run lies in it"""
BOX_HEIGHT = 25.0
CABLE_WIDTH = 18.0
LEAD_WIDTH = 13.0
END_STUB = 20.0
EDGE = 12.0
BIGGEST_LETTERS = 1.6
HEADING_Y, BRANCHED_HEADING_Y = 17.0, 14.0


def ribbon(
    line: RunLine,
    width: float,
    title: str,
    right_text: str,
    *,
    walk: tuple[str, str] | None = None,
    wording: Wording = ENGLISH,
    letters: float = 1.0,
    rule: bool = True,
) -> Picture:
    """The run flat across ``width``, the job's name and the kept time above it.

    Parameters
    ----------
    walk : from stop, to stop: a dotted line above the run, with an arrow head where it leads.
    letters : the phone's letter scale; above 1.25 only your own stop is named.
    rule : draw the section line along the bottom.

    A run too long for the width shows two stops to either side of you (fewer if need be) and says
    how many boxes were left out at each end. The touches are the stops: key stop id.
    """
    k, extra = _grown(letters)
    height = HEIGHT + 2 * extra
    y, name_y = LEVEL + extra, 88.0 + 1.6 * extra
    part, laid = _fitting(line, width, wording, k)
    # Names of side branches stand under the heading, which makes way for them.
    heading_y = (HEADING_Y if not part.line.branches else BRANCHED_HEADING_Y) + extra / 2
    shapes: list[Shape] = [*_heading(title, right_text, width, heading_y, k)]
    shapes += _ends(part, laid, y)
    shapes += run_flat(laid, part.line, y, wording)
    shapes += _branches(part.line, laid, width, y, k)
    if walk:
        shapes += walk_path(laid, walk, y - 20.5)
    shapes += _names(part, laid, width, name_y, wording, k)
    if rule:
        shapes.append(Line(0, height - 1.25, width, height - 1.25, "ink", 2.5))
    touches = tuple(
        touch_area(
            stop.x, y + 14, width, height, stop.stop.id, stop.stop.name or stop.stop.id, tall=76
        )
        for stop in laid.stops
    )
    return Picture(width, height, tuple(shapes), touches)


def cores(
    line: RunLine,
    width: float,
    spans: Collection[str],
    *,
    wording: Wording = ENGLISH,
    letters: float = 1.0,
) -> tuple[Rect, ...]:
    """The insides of these spans' jackets as they stand empty in the ribbon of this line; those
    of leads within a stop are too short to be seen."""
    k, extra = _grown(letters)
    _, laid = _fitting(line, width, wording, k)
    core = CABLE_WIDTH - 2 * CASING
    return tuple(
        Rect(one.x0, LEVEL + extra - core / 2, one.x1 - one.x0, core, "ground")
        for one in laid.spans
        if one.long and one.span is not None and one.span.id in spans
    )


def _grown(letters: float) -> tuple[float, float]:
    """How much larger letters are here than usual, and what the run makes way for them."""
    k = min(max(letters, 1.0), BIGGEST_LETTERS)
    return k, 16.0 * (k - 1) / (BIGGEST_LETTERS - 1)


def run_flat(laid: Laid, line: RunLine, y: float, wording: Wording = ENGLISH) -> list[Shape]:
    """Jackets, prints and boxes of a laid run along the level ``y``."""
    shapes: list[Shape] = []
    prints: list[Shape] = []
    for span in laid.spans:
        a, b = laid.boxes[span.i], laid.boxes[span.i + 1]
        state = span.span.state if span.span else "empty"
        wide = CABLE_WIDTH if span.long else LEAD_WIDTH
        shapes += jacket(((a.x, y), (b.x, y)), state, wide)
        if span.long:
            prints += _print(span.x0, span.x1, y, span, state, wording)
    shapes += prints
    for placed in laid.boxes:
        shapes += flat_box(placed, y)
    shapes += [mark for i in range(len(laid.boxes)) for mark in wrong_marks(laid, i, y)]
    return shapes


def flat_box(placed: PlacedBox, y: float, height: float = BOX_HEIGHT) -> tuple[Shape, ...]:
    """A placed box standing on the level ``y``, a hair narrower than its slot."""
    box, slot = placed.box, placed.x1 - placed.x0
    tall = min(slot, height * 1.14) if box.kind == "endpoint" else height
    w = slot - (0.8 if box.kind in ("joint", "endpoint") else 1.6)
    token = "signal" if box.wrong or box.suspect else "ink"
    frame = (placed.x - w / 2, y - tall / 2, w, tall)
    sides, signed = (box.left, box.right), not box.suspect
    shapes = box_shapes(box.kind, sides, *frame, token=token, sign=signed)
    return (*shapes, *stripes_in(*frame)) if box.suspect else shapes


def wrong_marks(laid: Laid, i: int, y: float, height: float = BOX_HEIGHT) -> tuple[Shape, ...]:
    """The break beside a box that stands the wrong way round, on its side with the long cable."""
    placed = laid.boxes[i]
    if not placed.box.wrong:
        return ()
    after = next((s for s in laid.spans if s.i == i), None)
    before = next((s for s in laid.spans if s.i == i - 1), None)
    at_right = (
        after is not None and after.long and not (before is not None and before.long)
    ) or before is None
    x = placed.x1 + 5 if at_right else placed.x0 - 5
    return break_marks(x, y, height * 1.16)


def walk_path(laid: Laid, walk: tuple[str, str], y: float, *, drop: float = 7.0) -> list[Shape]:
    """A dotted line above the run from one stop to another, dropping to each; nothing if either
    is not in the picture."""
    start, end = (next((s for s in laid.stops if s.stop.id == w), None) for w in walk)
    if start is None or end is None or start is end:
        return []
    foot = y + drop
    head = 4.0
    dots = ((start.x, foot), (start.x, y), (end.x, y), (end.x, foot - head))
    arrow = ((end.x - head, foot - head), (end.x + head, foot - head), (end.x, foot + 1))
    return [
        Path(dots, stroke="ink", width=2.0, dash=(3.0, 3.0)),
        Path(arrow, closed=True, fill="ink"),
    ]


def _fitting(line: RunLine, width: float, wording: Wording, k: float) -> tuple[Shown, Laid]:
    """As much of the run as fits: all of it, else ever fewer stops around yours."""
    whole = layout(line, width, RIBBON_PITCH)
    if whole.width <= width:
        return Shown(line, 0, 0), whole
    for each_side in (2, 1, 0):
        part = shown_near(line, each_side)
        ends = (END_STUB if part.before else 0.0, END_STUB if part.after else 0.0)
        laid = layout(part.line, width, RIBBON_PITCH, ends=ends, must_fit=True)
        if laid.pitch >= 0.7 * RIBBON_PITCH:
            return part, laid
    return part, laid


def _heading(title: str, right_text: str, width: float, y: float, k: float) -> list[Shape]:
    size, small = 16 * k, 15 * k
    right = shorten(right_text, "P", small, width / 2)
    room = width - 2 * EDGE - text_width("P", small, right) - 12
    return [
        Label(EDGE, y, shorten(title, "TB", size, room), "TB", size),
        Label(width - EDGE, y, right, "P", small, "soft", "end"),
    ]


def _print(
    x0: float, x1: float, y: float, span: PlacedSpan, state: str, wording: Wording
) -> list[Shape]:
    length = span.span.length_m if span.span else span.metres
    shapes: list[Shape] = []
    printed = printed_length((x0, y), (x1, y), wording.metres(length), state, CABLE_WIDTH)
    if span.broken:
        # The break stands clear of the print where both have room, else in its place.
        if printed and x1 - x0 > 72:
            shapes += too_short_break(x0 + 12, y, CABLE_WIDTH)
        else:
            return list(too_short_break((x0 + x1) / 2, y, CABLE_WIDTH))
    return shapes + list(printed)


def _ends(part: Shown, laid: Laid, y: float) -> list[Shape]:
    """Where boxes are left out, the cable runs on into a break."""
    shapes: list[Shape] = []
    if part.before and laid.boxes:
        x = laid.boxes[0].x0
        shapes += jacket(((x - END_STUB + 2, y), (x + 4, y)), "empty", CABLE_WIDTH)
        shapes += too_short_break(x - END_STUB + 3, y, CABLE_WIDTH)
    if part.after and laid.boxes:
        x = laid.boxes[-1].x1
        shapes += jacket(((x - 4, y), (x + END_STUB - 2, y)), "empty", CABLE_WIDTH)
        shapes += too_short_break(x + END_STUB - 3, y, CABLE_WIDTH)
    return shapes


def _more_labels(part: Shown, width: float, y: float, wording: Wording, k: float) -> list[Label]:
    """How many boxes lie beyond each end."""
    labels = []
    if part.before:
        labels.append(Label(EDGE, y, wording.more(part.before), "P", 15 * k, "soft"))
    if part.after:
        labels.append(Label(width - EDGE, y, wording.more(part.after), "P", 15 * k, "soft", "end"))
    return labels


def _branches(line: RunLine, laid: Laid, width: float, y: float, k: float) -> list[Shape]:
    """Side branches leave their splitter upwards and end in their endpoints' names."""
    shapes: list[Shape] = []
    forks = [p for p in laid.boxes if any(b.from_box == p.box.id for b in line.branches)]
    for n, fork in enumerate(forks):
        names = [b.end_name for b in line.branches if b.from_box == fork.box.id]
        level, size, joined = y - 19.5, 13 * min(k, 1.2), ", ".join(names)
        after = forks[n + 1].x - 4 if n + 1 < len(forks) else width - EDGE
        before = forks[n - 1].x + 4 if n else EDGE
        out = fork.x + 26
        words = shorten(joined, "P", size, after - out - 5)
        cramped = words != joined or out > after
        if cramped and fork.x - before > after - fork.x:
            out = fork.x - 26
            words = shorten(joined, "P", size, out - 5 - before)
        way = 1 if out >= fork.x else -1
        shapes += branch_line(((fork.x, y - 11), (fork.x + way * 9, level), (out, level)))
        shapes.append(
            Label(out + way * 5, level, words, "P", size, "ink", "start" if way > 0 else "end")
        )
    return shapes


def _names(
    part: Shown, laid: Laid, width: float, y: float, wording: Wording, k: float
) -> list[Shape]:
    """Stop names under their boxes: yours on a black tag, the others where there is room."""
    shapes: list[Shape] = []
    taken: list[Frame] = []
    for stop in (s for s in laid.stops if s.here):
        marked = here_tag(stop.x, y, stop, width, wording, k)
        shapes += marked
        taken.append(grown(label_frame(marked[-1]), 12))
    for label in _more_labels(part, width, y, wording, k):
        if not any(overlap(label_frame(label), frame) for frame in taken):
            shapes.append(label)
            taken.append(grown(label_frame(label), 5))
    if k > 1.25:
        return shapes
    others = [s for s in laid.stops if not s.here]
    order = [*others[:1], *others[:0:-1][:1], *others[1:-1]]
    for stop in order:
        named = _stop_label(stop, laid, width, y, wording, taken)
        if named:
            shapes.append(named)
            taken.append(grown(label_frame(named), 5))
    return shapes


def stop_names(laid: Laid, width: float, y: float, wording: Wording = ENGLISH) -> list[Shape]:
    """The names of the stops of a whole run on the level ``y``."""
    return _names(Shown(RunLine((), (), ()), 0, 0), laid, width, y, wording, 1.0)


def here_tag(
    x: float,
    y: float,
    stop: PlacedStop,
    width: float,
    wording: Wording,
    k: float = 1.0,
    *,
    tip: float | None = None,
) -> tuple[Rect, Path, Label]:
    """The black tag under x; its pointer stands at ``tip``, else at x. The label comes last."""
    words = wording.stop(stop.stop.name, wording.metres(stop.stop.at_m))
    frame, label = tag(x, y, words, size=16 * k, height=min(24 * k, 33), high=width - 8)
    nose = min(max(x if tip is None else tip, frame[0] + 10), frame[2] - 10)
    return (
        Rect(frame[0], frame[1], frame[2] - frame[0], frame[3] - frame[1], "ink", radius=2),
        Path(
            ((nose - 8, frame[1] + 0.5), (nose, frame[1] - 8), (nose + 8, frame[1] + 0.5)),
            closed=True,
            fill="ink",
        ),
        label,
    )


def _stop_label(
    stop: PlacedStop, laid: Laid, width: float, y: float, wording: Wording, taken: list[Frame]
) -> Label | None:
    """The fullest name of a stop that keeps clear of what is there already."""
    metres = wording.metres(stop.stop.at_m)
    words = (wording.stop(stop.stop.name, metres), metres)
    for text in words:
        wide = text_width("P", 15, text)
        if wide > width - 2 * EDGE:
            continue
        middle = min(max(stop.x, EDGE + wide / 2), width - EDGE - wide / 2)
        spots = [middle]
        if stop is laid.stops[0] and stop.x0 < MARGIN + 4:
            spots.insert(0, EDGE + wide / 2)
        for x in spots:
            label = Label(x - wide / 2, y, text, "P", 15, "soft")
            if not any(overlap(label_frame(label), frame) for frame in taken):
                return label
    return None
