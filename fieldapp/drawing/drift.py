"""The gauge of a return: what was read before, what is read today, and what would have been no news.

The sleeve is where today's reading was expected by the earlier one, wherever the plan's own band
lies; a hollow bead is the earlier reading, a full one today's. The two stand on one line, the
distance between them said in words above it.
"""

from fieldapp.drawing.gaugeparts import (
    BEAD,
    BEAD_HALO,
    PLAIN,
    SIDE,
    SLEEVE,
    SLEEVE_EDGE,
    Scale,
    Window,
    dimension,
    sleeve,
    ticks,
    window_for,
)
from fieldapp.drawing.letters import Frame, grown, label_frame, overlap
from fieldapp.drawing.shapes import Circle, Label, Line, Picture, Shape
from fieldapp.faces import text_width

ABOVE, BELOW = 78.0, 62.0
"""the dimension over the line, the figures under it [dp]"""
ROW, NEXT = 26.0, 27.0
"""from the sleeve's edge to the figures, and from those to a second row of them [dp]"""
RING = 13.5
"""of the earlier bead where today's lies on it: a ring round it [dp]"""
TOGETHER = 6.0
"""beads nearer than this lie on each other [dp]"""
APART = 10.0
"""between two figures side by side [dp]"""


def two_beads(
    before: float,
    now: float,
    expected: tuple[float, float, float],
    said: str,
    before_said: str,
    now_said: str,
    width: float,
    *,
    drifted: bool,
    scale: Scale = PLAIN,
    letters: float = 1.0,
) -> Picture:
    """One place read twice.

    Parameters
    ----------
    before, now : the two readings, in one unit.
    expected : low, expected, high of today's reading on a run that is as it was.
    said : the difference in words, on the dimension line; blank draws none.
    before_said, now_said : what stands under the beads: figure and day.
    drifted : today's bead and the dimension in signal, else copper and ink.

    At least 140 dp high; one row more where the two figures find no room side by side.
    """
    k = min(max(letters, 1.0), 1.6)
    window = window_for([before, now, expected[0], expected[2]], width)
    y = ABOVE + 4 * (k - 1)  # larger words on the dimension line stand higher
    taken: list[Frame] = []
    figures, below = _figures(window, (before, before_said), (now, now_said), drifted, y, k)
    taken += [grown(label_frame(label), 4) for label in figures]
    x = window.x(expected[1])
    shapes: list[Shape] = [
        Line(0, y, width, y, "ink", 2.5),
        *sleeve(window, expected[0], expected[2], y),
        Line(x, y - 20, x, y + 20, "tide", SLEEVE_EDGE),
        *figures,
        *ticks(window, y, None, scale, k, taken),
        *_beads(window, before, now, y, "signal" if drifted else "copper"),
    ]
    if said:
        is_at, was_at = (_foot(window, value, expected, y) for value in (now, before))
        ink = "signal" if drifted else "ink"
        shapes += dimension(width, is_at, was_at, said, y - SLEEVE / 2 - 19, k, ink)
    return Picture(width, y + below, tuple(shapes))


def _foot(
    window: Window, value: float, expected: tuple[float, float, float], y: float
) -> tuple[float, float]:
    """Where a stroke of the dimension begins: off the bead, or off the sleeve that it lies in."""
    x = window.x(value)
    inside = window.x(expected[0]) - 12 < x < window.x(expected[2]) + 12
    return x, y - (SLEEVE / 2 + 4 if inside else 16)


def _beads(window: Window, before: float, now: float, y: float, ink: str) -> list[Shape]:
    """The earlier one hollow, today's full; copper never without its casing."""
    old, new = window.x(before), window.x(now)
    full = (
        Circle(new, y, BEAD, ink) if ink == "signal" else Circle(new, y, BEAD - 1, ink, "ink", 2.0)
    )
    if abs(new - old) < TOGETHER:
        return [
            Circle(old, y, RING + 3, "ground"),
            Circle(old, y, RING, "ground", "ink", 2.5),
            full,
        ]
    hollow = Circle(old, y, BEAD - 1, "ground", "ink", 2.5)
    return [Circle(old, y, BEAD_HALO, "ground"), hollow, Circle(new, y, BEAD_HALO, "ground"), full]


def _figures(
    window: Window,
    before: tuple[float, str],
    now: tuple[float, str],
    drifted: bool,
    y: float,
    k: float,
) -> tuple[list[Label], float]:
    """The words under the two beads, and the room that the picture needs below the line."""
    size, level = 17 * min(k, 1.3), y + SLEEVE / 2 + ROW
    inks = ("soft", "signal" if drifted else "copper_word")
    rows = [
        (window.x(value), text, _fitting(text, size, window.width), ink)
        for (value, text), ink in zip((before, now), inks, strict=True)
    ]
    labels = [_held(window, x, level, text, size_, ink) for x, text, size_, ink in rows]
    frames = [grown(label_frame(label), APART / 2) for label in labels]
    if not overlap(*frames):
        return labels, BELOW
    wides = [frame[2] - frame[0] for frame in frames]
    if sum(wides) <= window.width - 2 * SIDE + APART:
        return _side_by_side(window, labels, wides), BELOW
    old = rows[0]
    lower = _held(window, old[0], level + NEXT * min(k, 1.3), old[1], old[2], old[3])
    return [lower, labels[1]], BELOW + NEXT * min(k, 1.3)


def _fitting(text: str, size: float, width: float) -> float:
    """The size in which a text has room in the picture."""
    return size * min(1.0, (width - 2 * SIDE) / max(text_width("PB", size, text), 1.0))


def _held(window: Window, x: float, level: float, text: str, size: float, ink: str) -> Label:
    """A label in the middle of ``x``, pushed back into the picture."""
    half = text_width("PB", size, text) / 2
    held = min(max(x, SIDE + half), window.width - SIDE - half)
    return Label(held, level, text, "PB", size, ink, "middle")


def _side_by_side(window: Window, labels: list[Label], wides: list[float]) -> list[Label]:
    """The same labels pushed apart as far as they need, each on its bead's side."""
    order = sorted((0, 1), key=lambda i: (labels[i].x, i))
    first, second = order
    lowest, highest = SIDE - APART / 2, window.width - SIDE + APART / 2
    middle = (labels[0].x + labels[1].x + (wides[first] - wides[second]) / 2) / 2
    middle = min(max(middle, lowest + wides[first]), highest - wides[second])
    out = list(labels)
    for i, x in ((first, middle - wides[first] / 2), (second, middle + wides[second] / 2)):
        one = labels[i]
        out[i] = Label(x, one.y, one.text, one.face, one.size, one.ink, one.anchor)
    return out
