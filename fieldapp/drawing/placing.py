"""Finding room for words in a drawing: candidates are weighed against what is there already."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import hypot

from fieldapp.drawing.letters import Frame, grown, label_frame, overlap
from fieldapp.drawing.shapes import Label, Point

# Figures and capitals fill less than their line: what is drawn of it, up and down from the middle.
DRAWN = 0.45


def drawn_frame(label: Label) -> Frame:
    """The frame of a label's letters, without the air of its line."""
    left, _, right, _ = label_frame(label)
    return left, label.y - DRAWN * label.size, right, label.y + DRAWN * label.size


COLUMN = 48.0
"""frames are looked up by upright columns of this width: about that of a word. [dp]"""


class Frames:
    """Frames that lie somewhere, of which those near a place are found without asking all."""

    def __init__(self) -> None:
        self._all: list[Frame] = []
        self._columns: defaultdict[int, list[tuple[int, Frame]]] = defaultdict(list)

    def __iter__(self) -> Iterator[Frame]:
        return iter(self._all)

    def append(self, frame: Frame) -> None:
        """One more."""
        self._all.append(frame)
        first, last = _columns_of(frame)
        for column in range(first, last + 1):
            self._columns[column].append((first, frame))

    def extend(self, frames: Iterable[Frame]) -> None:
        """Some more."""
        for frame in frames:
            self.append(frame)

    def near(self, frame: Frame) -> Iterator[Frame]:
        """Each of those that stand in the columns of this frame, once."""
        begin, end = _columns_of(frame)
        for column in range(begin, end + 1):
            for first, other in self._columns.get(column, ()):
                if column == max(first, begin):
                    yield other


def _columns_of(frame: Frame) -> tuple[int, int]:
    return int(frame[0] // COLUMN), int(frame[2] // COLUMN)


@dataclass
class Table:
    """What lies on the picture already: words must not be covered, cables had better not be.

    ``solids`` are boxes, marks and dimension lines, ``cables`` jackets and side branches, ``edges``
    the outlines of the fans, which only some words keep clear of.

    The one mutable thing in the kit; it lives for the making of one picture.
    """

    width: float
    top: float
    foot: float
    words: Frames = field(default_factory=Frames)
    solids: Frames = field(default_factory=Frames)
    cables: Frames = field(default_factory=Frames)
    edges: Frames = field(default_factory=Frames)

    def keep(self, label: Label, rim: float = 2.0) -> Label:
        """Note a label as placed."""
        self.words.append(grown(drawn_frame(label), rim))
        return label

    def clears(self, frame: Frame) -> bool:
        """Whether a frame lies in the picture and touches neither words nor boxes."""
        return self.inside(frame) and not any(
            overlap(frame, other)
            for there in (self.words, self.solids)
            for other in there.near(frame)
        )

    def free(self, frame: Frame, rim: float = 0.0, *, edges: bool = False) -> bool:
        """Whether a frame lies in the picture, this far from all that is there already. [dp]"""
        if not self.inside(frame):
            return False
        frame = left, top, right, foot = grown(frame, rim)
        return not any(
            f[0] < right and f[2] > left and f[1] < foot and f[3] > top
            for there in (self.words, self.solids, self.cables, *((self.edges,) if edges else ()))
            for f in there.near(frame)
        )

    def inside(self, frame: Frame) -> bool:
        """Whether a frame lies in the picture."""
        return (
            frame[0] >= 0
            and frame[2] <= self.width
            and frame[1] >= self.top
            and frame[3] <= self.foot
        )

    def cost(self, frame: Frame) -> float:
        """How badly a frame sits: words count most, then boxes, then cables. [dp²]"""
        return (
            40 * sum(overlap(frame, other) for other in self.words.near(frame))
            + 6 * sum(overlap(frame, other) for other in self.solids.near(frame))
            + sum(overlap(frame, other) for other in self.cables.near(frame))
        )


def first_free(
    table: Table, candidates: Iterable[Label], rim: float = 3.0, *, edges: bool = False
) -> Label | None:
    """The first candidate that keeps this far from all that is there; None if none does. [dp]"""
    found = next((c for c in candidates if table.free(drawn_frame(c), rim, edges=edges)), None)
    return table.keep(found) if found else None


def place(table: Table, candidates: Sequence[Label], worst: float) -> Label | None:
    """The candidate that sits best, earlier ones preferred; None if all cost more than ``worst``.

    The cost of a candidate is its overlap with what is there, each later one carrying a small
    handicap. Candidates beyond the picture do not count.
    """
    best: tuple[float, Label] | None = None
    for rank, label in enumerate(candidates):
        if best is not None and best[0] <= 12 * rank:
            break  # no later one can cost less
        frame = drawn_frame(label)
        if not table.inside(frame):
            continue
        cost = table.cost(frame) + 12 * rank
        if best is None or cost < best[0]:
            best = (cost, label)
    if best is None or best[0] - 12 * len(candidates) > worst:
        return None
    return table.keep(best[1])


def cable_frames(a: Point, b: Point, width: float) -> Iterable[Frame]:
    """Small frames strung along a slanting cable, together about its shape."""
    steps = max(int(hypot(b[0] - a[0], b[1] - a[1]) / 8), 1)
    half = width / 2
    for i in range(steps + 1):
        x = a[0] + (b[0] - a[0]) * i / steps
        y = a[1] + (b[1] - a[1]) * i / steps
        yield x - half, y - half, x + half, y + half
