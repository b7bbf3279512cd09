"""What the log gives: readings, marks, waivers, and the state of a job as it stands."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any

from attrs import field, frozen

from engine.conflicts import Conflict
from engine.entries import Entry
from engine.grown import Row
from engine.job import Job
from engine.network import Network, Standing
from engine.say import Say

if TYPE_CHECKING:
    from engine.fold import Work

Slot = tuple[str, str, Hashable]
"""place and kind of a reading, and the key of what stood there"""
Held = tuple[Slot, str]
"""what a repeat has in common with what it replaces: the moment, too"""


@frozen
class Reading:
    """A measured value at a point, a span, an earth or a stop."""

    id: str
    at: str
    kind: str
    value: float | None
    pairs: Mapping[str, float] | None
    meter: str | None
    standing: Standing
    moment: str
    by: str
    t: str | None
    place: int = 0
    """place of its entry in the order"""
    visit: int = 0
    """how many visits had been opened before it"""
    unsteady: tuple[float, float] | None = None
    """the least and the most it showed"""
    seconds: float | None = None
    """how long was counted"""
    celsius: float | None = None
    """of the cable, as measured beside it"""
    method: str = ""
    """how it was measured, as a record of an earth names it (IEC 62305-3 E.7)"""

    @property
    def slot(self) -> Slot:
        """What a reading has in common with one that repeats it."""
        return self.at, self.kind, self.standing.key

    @property
    def held(self) -> Held:
        """The same with its moment: of those that share it one is current at most."""
        return (self.at, self.kind, self.standing.key), self.moment

    @property
    def figure(self) -> float:
        """The one number it is judged by: the value, the mean of its pairs, their worst unbalance."""
        if self.value is not None:
            return self.value
        assert self.pairs is not None  # no reading without the one or the other is read
        pairs = self.pairs.values()
        return max(pairs) if self.kind == "unbalance_ohms" else sum(pairs) / len(pairs)


@frozen
class StepMark:
    """The last word on a step, and when (place in the order) it was said."""

    state: str
    place: int
    by: str
    t: str | None
    why: str = ""
    entry: str = ""


@frozen
class Waiver:
    """A hold that somebody answers for."""

    of: str
    reason: str
    by: str
    role: str
    t: str | None
    place: int = -1
    """place of its entry in the order"""


@frozen
class Note:
    """A remark."""

    at: str | None
    text: str
    by: str
    t: str | None


@frozen
class LeftOut:
    """A plan edit that does not fit the plan; kept in the log and told."""

    entry: str
    path: str
    problem: str


@frozen
class Oddity:
    """Something strange in a log, which was kept all the same: which entry, and what about it."""

    entry: str
    say: Say


@frozen
class Visit:
    """One time on site. ``number`` counts the opened ones from 1; 0 is what came before them."""

    number: int
    people: int | None = None
    opened: str = ""
    """id of the entry that opened it; none where work began without one"""
    left: str = ""
    """id of the entry that closed it; none while it lasts"""
    open: tuple[str, ...] = ()
    """ids of the holds that were left open"""
    reason: str = ""
    """why one came, of ``entries.VISIT_REASONS``; '' where nobody said"""


@frozen
class State:
    """A job as it stands: the plan as edited, and what the log says about it."""

    job: Job
    doc: Mapping[str, Any]
    """the plan as edited, as a document without its log"""
    network: Network
    steps: Mapping[str, StepMark]
    undone: Mapping[str, int]
    waivers: Mapping[str, Waiver]
    left_out: tuple[LeftOut, ...]
    fitted: int = -1
    """place of the last reading with a known load in place of a box; -1 when there was none"""
    conflicts: tuple[Conflict, ...] = ()
    oddities: tuple[Oddity, ...] = ()
    beside: tuple[Entry, ...] = ()
    """other entries under an id that stands in ``entries``: kept, not judged"""
    voided: frozenset[str] = frozenset()
    """ids that were taken back, by a void that was not itself taken back"""
    photos: Mapping[str, tuple[str, ...]] = field(factory=dict)
    """of what -> sha256 of each picture"""
    visits: tuple[Visit, ...] = ()
    work: Work = field(kw_only=True, eq=False, repr=False)
    """what ``advance`` goes on from"""
    _entries: Row[Entry] = field(kw_only=True)
    _readings: Row[Reading] = field(kw_only=True)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """In their order, each id once."""
        return self._entries.whole

    @property
    def readings(self) -> tuple[Reading, ...]:
        """All that were ever taken, in their order."""
        return self._readings.whole

    @cached_property
    def current(self) -> frozenset[str]:
        """Ids of the readings that are current."""
        return self.work.readings.current()

    @cached_property
    def notes(self) -> tuple[Note, ...]:
        """The remarks that were not taken back."""
        return tuple(
            Note(entry.body.get("at"), entry.body["text"], entry.by, entry.t)
            for _, entry in self.of_kind("note")
        )

    def is_current(self, reading: Reading) -> bool:
        """Not taken back, not repeated, and nothing was altered in its run since."""
        return self.work.readings.is_current(reading)

    def of_kind(self, *kinds: str) -> Iterator[tuple[int, Entry]]:
        """Place and entry of what is of these kinds and was not taken back, in their order."""
        return (one for one in self.work.filed.of(*kinds) if one[1].id not in self.voided)

    def notes_with(self, *keys: str) -> Iterator[tuple[int, Entry]]:
        """The same of the notes that carry one of our own keys."""
        return (one for one in self.work.filed.notes(*keys) if one[1].id not in self.voided)
