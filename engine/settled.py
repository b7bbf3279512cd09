"""What one's own log says a job came to: what was found, or that nothing was. For own rates.

Each stay counts by itself, the first as a first visit and those after the site was left as
returns, for other things go wrong with time. It counts once it is settled: something was found
and not taken back; or the site was left with nothing open about its readings, after something
was read and nothing was altered. A stay on which something was altered and no cause found says
that something was wrong, and not what: it does not count. Jobs for practice never do.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import field, frozen

from engine.causes import COUNTS_AS, KNOWN, NONE, OTHER
from engine.entries import Entry
from engine.faults.priors import WEIGHED, Tally, exposure
from engine.found import find_of
from engine.job import Job, Point
from engine.judge import Judgement
from engine.leave import DRIFT, FOUND, READING
from engine.limits import FeedLimit
from engine.links import Link
from engine.log import State
from engine.network import Network
from engine.practice.walk import MADE_UP_KEY
from engine.stays import came_back
from engine.step import PHOTO

LIKELY = 0.5
"""a find counts where it is at least so sure (our choice)"""


@frozen
class Stay:
    """One time on site, by the log of one phone.

    ``finds`` are cause and count ``n`` of the entry that found it, a cause once a place;
    ``clean`` is the count of the entry that left it with nothing wrong, 0 where none did.
    ``places`` as ``faults.priors.exposure``.
    """

    first: bool
    finds: tuple[tuple[str, int], ...] = ()
    clean: int = 0
    places: Mapping[str, int] = field(factory=dict)

    @property
    def last(self) -> int:
        """The greatest count of an entry that makes it count."""
        return max(self.clean, *(n for _, n in self.finds), 0)

    def since(self, n: int) -> Tally:
        """What it comes to by entries after the ``n``-th of the phone; nothing if not settled."""
        weighed = [(weighed_as(cause), count) for cause, count in self.finds]
        found = tuple(cause for cause, count in weighed if cause and count > n)
        if found:
            return Tally.of(found, self.places)
        sound = self.clean > n or any(cause == NONE and count > n for cause, count in self.finds)
        if sound and not any(cause for cause, _ in weighed):
            return Tally.of((), self.places)
        return Tally()


def weighed_as(cause: str) -> str:
    """The cause with a rate that a find counts for; empty for nothing wrong, and for what no
    reading shows."""
    if cause in WEIGHED:
        return cause
    return COUNTS_AS.get(cause, "") if cause in KNOWN else OTHER


def stays(judgement: Judgement, device: str) -> tuple[Stay, ...]:
    """What the log of a phone says of each stay at a job, settled or not; none for practice."""
    state = judgement.state
    if MADE_UP_KEY in state.doc:
        return ()
    rows = _split(state)
    return tuple(_stay(judgement, device, row, first=row is rows[0]) for row in rows)


def is_return(state: State) -> bool:
    """Whether the site was left before, and work has begun again."""
    return came_back(state) is not None


def _split(state: State) -> list[list[tuple[int, Entry]]]:
    """Entries that were not taken back, with their places, stay by stay: a visit that is opened
    after the site was left begins another."""
    rows: list[list[tuple[int, Entry]]] = [[]]
    left = False
    for place, entry in enumerate(state.entries):
        if entry.id in state.voided:
            continue
        if entry.what == "visit" and left:
            rows.append([])
            left = False
        left = left or entry.what == "leave"
        rows[-1].append((place, entry))
    return rows


def _stay(judgement: Judgement, device: str, row: list[tuple[int, Entry]], *, first: bool) -> Stay:
    study = judgement.prediction.study
    readings = sum(entry.what == "reading" for _, entry in row)
    places = exposure(_Ground(study.job, study.network, study.limits, study.links), readings)
    return Stay(first, _finds(study.job, device, row), _clean(judgement, device, row), places)


def _finds(job: Job, device: str, row: list[tuple[int, Entry]]) -> tuple[tuple[str, int], ...]:
    found: dict[tuple[str, str], int] = {}
    for _, entry in row:
        if entry.what == "found" and entry.device == device and _is_sure(entry):
            find = find_of(job, entry)
            found[find.cause, find.where] = entry.n
    return tuple((cause, n) for (cause, _), n in found.items())


def _is_sure(entry: Entry) -> bool:
    """Whether whoever found it stands by it; who says nothing of that does."""
    return float(entry.body.get("sure", True)) >= LIKELY


def _clean(judgement: Judgement, device: str, row: list[tuple[int, Entry]]) -> int:
    """The count of the entry that left the site with nothing open about its readings."""
    kinds = [entry.what for _, entry in row]
    leaves = [entry for _, entry in row if entry.what == "leave" and entry.device == device]
    if not leaves or "reading" not in kinds or "change" in kinds:
        return 0
    asked = {f"step.{step.id}" for step in judgement.steps if step.asks and step.asks.kind != PHOTO}
    left_open = leaves[-1].body.get("open", ())
    if any(hold in asked or hold.startswith((READING, FOUND, DRIFT)) for hold in left_open):
        return 0
    there = {place for place, _ in row}
    doubtful = any(one.reading.place in there for one in judgement.judged.doubtful)
    return 0 if doubtful else leaves[-1].n


@frozen
class _Ground:
    """Holds to ``faults.places.Ground``."""

    job: Job
    network: Network
    limits: Mapping[Point, FeedLimit]
    planned_links: tuple[Link, ...]
