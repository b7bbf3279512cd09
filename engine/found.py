"""What was found, by the ``found`` entries of a log, and what of it is not mended yet."""

from __future__ import annotations

from attrs import frozen

from engine.causes import NONE, READING
from engine.edits import BadEdit, spot_of
from engine.entries import Entry
from engine.job import Job, Point
from engine.log import State
from engine.places import touched


@frozen
class Find:
    """A cause that somebody found, and where."""

    entry: str
    where: str
    cause: str

    @property
    def is_fault(self) -> bool:
        """Something is wrong with the site itself: more than with a figure."""
        return self.cause != NONE and not self.cause.startswith(READING)


def find_of(job: Job, entry: Entry) -> Find:
    """What a ``found`` entry says, its place as the plan spells it."""
    return Find(entry.id, job.named(entry.body["where"]), entry.body["cause"].lower())


def unmended(state: State) -> tuple[Find, ...]:
    """The faults that were found where nothing was altered since; a cause once a place.

    Something was altered there by a ``change`` at that thing, at what it is plugged or bonded to
    (volts do not tell which end of a span is bad), or by a change of the plan there.
    """
    job = state.job
    still: dict[tuple[str, str], Find] = {}
    for entry in state.entries:
        if entry.id in state.voided:
            continue
        if entry.what == "found":
            find = find_of(job, entry)
            if find.is_fault:
                still[find.where, find.cause] = find
            continue
        for thing in _altered(job, entry):
            still = {key: find for key, find in still.items() if not _near(job, find.where, thing)}
    return tuple(still.values())


def _altered(job: Job, entry: Entry) -> frozenset[str]:
    """The things that an entry says were altered on site."""
    if entry.what == "change":
        return frozenset({_thing(job, job.named(entry.body["where"]))})
    if entry.body.get("as_") != "change":
        return frozenset()
    try:
        return touched(job, spot_of(entry))
    except BadEdit:
        return frozenset()


def _thing(job: Job, at: str) -> str:
    """The box of a point; any other place is itself."""
    box = Point.parse(at).box
    return box if box in job.boxes else at


def _near(job: Job, where: str, altered: str) -> bool:
    """Whether what was altered is the thing at a place, or hangs on it."""
    thing = _thing(job, where)
    return thing == altered or altered in _beside(job, thing) or thing in _beside(job, altered)


def _beside(job: Job, thing: str) -> frozenset[str]:
    """The ends of a span; the earth that a box is bonded to."""
    if thing in job.spans:
        return frozenset({job.spans[thing].a.box, job.spans[thing].b.box})
    box = job.boxes.get(thing)
    return frozenset({box.bond.to} if box is not None and box.bond is not None else ())
