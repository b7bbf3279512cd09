"""What a diagnosis starts from: the plan, what was read, and how each figure scatters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from copy import copy
from functools import cached_property

from attrs import evolve, frozen

from engine.bands import JUDGED_TODAY, Columns
from engine.entries import COUNTED
from engine.figures import Asked, Figures
from engine.job import Job, Point
from engine.limits import FeedLimit
from engine.links import Link
from engine.log import Reading
from engine.network import Network
from engine.study import Prediction
from engine.unknowns import Key, Unknown
from engine.verdict import OUTSIDE, Verdict

OPEN_OHMS = 1e5
"""from here on a pair does not close: no run's loop comes near it (our choice) [ohm]"""
MOST_ALIKE, MOST_THERE = 4, 12
"""of readings at one point and of one kind so many count with the same things standing there, and
so many in all (our choice; judging learns from as many alike)"""


@frozen
class Seen:
    """One reading as a figure to be explained; ``pairs`` are loop ohms of each pair."""

    reading: Reading
    asked: Asked
    value: float
    pairs: tuple[float, ...] = ()

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.reading.id


class Scene:
    """The plan of a site and its current readings. Holds to ``faults.places.Ground``."""

    def __init__(self, prediction: Prediction, verdicts: Sequence[Verdict]) -> None:
        study = prediction.study
        readings = tuple(verdict.reading for verdict in verdicts)
        self.words = {verdict.id: verdict.verdict for verdict in verdicts}
        self.job: Job = prediction.job
        self.network: Network = study.network
        self.limits: Mapping[Point, FeedLimit] = study.limits
        self.planned_links: tuple[Link, ...] = study.links
        self.readings = readings
        figures = Figures(self.job, self.network, self.limits)
        self.figures = figures
        found = [_seen(reading) for reading in readings if reading.kind in JUDGED_TODAY]
        self.seen = _newest([one for one in found if one is not None])
        columns = Columns.of(figures)
        for one in self.seen:
            columns = columns.with_those_of(one.asked)
        self.columns = columns
        """the unknowns of the healthy site, with those of all readings"""
        self._scatter: dict[Hashable, tuple[Key, Unknown, float]] = {}

    @cached_property
    def counted(self) -> tuple[Reading, ...]:
        """Lights and damaged frames, taken as the plan stands.

        Of one light the last look counts: a link that came up slow stays so, and a second look
        at it says nothing new.
        """
        looks = [one for one in self.readings if one.kind in COUNTED and one.standing.as_planned]
        last = {(one.at, one.kind): one for one in sorted(looks, key=lambda one: one.place)}
        return tuple(one for one in looks if last[one.at, one.kind] is one)

    def scatter(self, asked: Asked) -> tuple[Key, Unknown, float]:
        """What a meter adds to a reading: its gain, by key, and the scatter of its own. Worked
        out once, for no guess changes a meter."""
        known = (asked.kind, asked.meter, asked.visit, asked.unsteady)
        if known not in self._scatter:
            self._scatter[known] = (*self.columns.gain(asked), self.columns.noise(asked))
        return self._scatter[known]

    def with_values(self, values: Mapping[str, float]) -> Scene:
        """The same with other figures for some entries."""
        other = copy(self)
        other.seen = tuple(
            evolve(one, value=values[one.id]) if one.id in values else one for one in self.seen
        )
        return other

    def over(self, reading: Reading) -> bool:
        """Whether a reading that has a most is over it."""
        return self.words[reading.id] == OUTSIDE

    def link_at(self, at: str) -> Link | None:
        """The planned link that ends at a point, if anything is known of it."""
        point = Point.parse(at)
        ends = (link for link in self.planned_links if point in (link.start, link.end))
        return next((link for link in ends if link.known), None)


def _newest(seen: Sequence[Seen]) -> tuple[Seen, ...]:
    """The newest at each point, of each kind, with each thing standing there: one more of the
    same tells hardly anything, and costs as much as the first."""
    alike: Counter[Hashable] = Counter()
    kept = set()
    for one in sorted(seen, key=lambda one: -one.reading.place):
        asked = one.asked
        slot, place = (asked.at, asked.kind, asked.standing.key), (asked.at, asked.kind)
        if alike[slot] < MOST_ALIKE and alike[place] < MOST_THERE:
            alike.update((slot, place))
            kept.add(one.id)
    return tuple(one for one in seen if one.id in kept)


def _seen(reading: Reading) -> Seen | None:
    """A reading as a figure: of pairs the mean of those that close; none where none does."""
    asked = Asked.by(reading)
    if reading.kind != "loop_ohms":
        return Seen(reading, asked, abs(reading.figure))
    pairs = tuple((reading.pairs or {"": reading.figure}).values())
    closed = [ohms for ohms in pairs if ohms < OPEN_OHMS]
    if not closed:
        return None
    one_pair = len(closed) == 1
    value = sum(closed) / len(closed)
    return Seen(reading, evolve(asked, one_pair=one_pair), abs(value), pairs)
