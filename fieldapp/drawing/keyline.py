"""The key below the falling line: ids in black stop bars, lengths between, stop names under them."""

from fieldapp.drawing.letters import Frame, grown, label_frame, overlap, shorten
from fieldapp.drawing.ribbon import here_tag
from fieldapp.drawing.run import Laid, PlacedBox
from fieldapp.drawing.shapes import Label, Line, Rect, Shape
from fieldapp.drawing.wording import ENGLISH, Wording
from fieldapp.faces import text_width

BAR = 25.0
EDGE = 8.0
NAMES_BELOW = 31.0


def key_line(
    laid: Laid,
    y: float,
    *,
    selected: str | None = None,
    outside: frozenset[str] = frozenset(),
    wording: Wording = ENGLISH,
    letters: float = 1.0,
) -> list[Shape]:
    """The key along the level ``y``.

    The selected box's id stands on signal if its reading is outside, else it is underlined; other
    boxes with a reading outside have a signal edge under their id.
    """
    k = min(max(letters, 1.0), 1.6)
    shapes: list[Shape] = [Line(0, y, laid.width, y, "ink", 2.0)]
    shapes += _lengths(laid, y, wording, k)
    for stop in laid.stops:
        shapes.append(Rect(stop.x0, y - BAR / 2, stop.x1 - stop.x0, BAR, "ink", radius=2))
    fits = all(text_width("PB", 15, p.box.id) <= p.x1 - p.x0 - 2 for p in laid.boxes)
    size = 15.0 if fits else 13.0
    for placed in laid.boxes:
        shapes += _id(placed, y, size, placed.box.id == selected, placed.box.id in outside)
    shapes += _names(laid, y + NAMES_BELOW, selected, wording, k)
    return shapes


def _id(placed: PlacedBox, y: float, size: float, selected: bool, outside: bool) -> list[Shape]:
    slot = placed.x1 - placed.x0
    shapes: list[Shape] = []
    if outside and selected:
        shapes.append(Rect(placed.x0, y - BAR / 2 - 1, slot, BAR + 2, "signal", radius=2))
    elif outside:
        shapes.append(Rect(placed.x0 + 2, y + BAR / 2 - 5, slot - 4, 3, "signal"))
    words = shorten(placed.box.id, "PB", size, slot)
    shapes.append(Label(placed.x, y, words, "PB", size, "ground", "middle"))
    if selected and not outside:
        half = max(text_width("PB", size, words) / 2, 6)
        shapes.append(Line(placed.x - half, y + 9, placed.x + half, y + 9, "ground", 2.5))
    return shapes


def _lengths(laid: Laid, y: float, wording: Wording, k: float) -> list[Shape]:
    shapes: list[Shape] = []
    for span in (s for s in laid.spans if s.long):
        metres = span.span.length_m if span.span else span.metres
        text = wording.metres(metres)
        x = (span.x0 + span.x1) / 2
        for size in (15 * k, 15, 13):
            half = text_width("P", size, text) / 2
            if half * 2 + 6 <= span.x1 - span.x0:
                shapes.append(Rect(x - half - 6, y - 10, 2 * half + 12, 20, "ground"))
                shapes.append(Label(x, y, text, "P", size, "soft", "middle"))
                break
    return shapes


def _names(laid: Laid, y: float, selected: str | None, wording: Wording, k: float) -> list[Shape]:
    shapes: list[Shape] = []
    taken: list[Frame] = []
    for stop in laid.stops:
        if not stop.here:
            continue
        mine = laid.boxes[stop.first : stop.last + 1]
        chosen = next((p.x for p in mine if p.box.id == selected), stop.x)
        tag = here_tag(stop.x, y, stop, laid.width, wording, k, tip=chosen)
        shapes += tag
        taken.append(grown(label_frame(tag[-1]), 12))
    if k > 1.25:
        return shapes
    others = [s for s in laid.stops if not s.here]
    for stop in (*others[:1], *others[:0:-1][:1], *others[1:-1]):
        metres = wording.metres(stop.stop.at_m)
        for text in (wording.stop(stop.stop.name, metres), metres):
            wide = text_width("PM", 16, text)
            x = min(max(stop.x, EDGE + wide / 2), laid.width - EDGE - wide / 2)
            if stop is laid.stops[0] and stop.x0 + wide <= laid.width - EDGE:
                x = stop.x0 + wide / 2
            label = Label(x - wide / 2, y, text, "PM", 16)
            frame = label_frame(label)
            if frame[0] >= 0 and not any(overlap(frame, other) for other in taken):
                shapes.append(label)
                taken.append(grown(frame, 5))
                break
    return shapes
