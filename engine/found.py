"""What was found, by the ``found`` entries of a log, and what of it is not mended yet."""

from __future__ import annotations

from attrs import frozen

from engine.causes import NONE, READING
from engine.edits import BadEdit, spot_of
from engine.entries import EDITS, Entry
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
    beside = _beside(job)
    still: dict[str, dict[tuple[str, str], tuple[int, Find]]] = {}
    """by thing"""
    for place, entry in state.of_kind("found", "change", *EDITS):
        if entry.what == "found":
            find = find_of(job, entry)
            if find.is_fault:
                of_thing = still.setdefault(_thing(job, find.where), {})
                of_thing[find.where, find.cause] = place, find
            continue
        for thing in _altered(job, entry) if still else ():
            for one in (thing, *beside.get(thing, ())):
                still.pop(one, None)
    left = (one for of_thing in still.values() for one in of_thing.values())
    return tuple(find for _, find in sorted(left, key=lambda one: one[0]))


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


def _beside(job: Job) -> dict[str, set[str]]:
    """What hangs on each thing: a span and its ends, a box and the earth it is bonded to."""
    pairs = [(span.id, point.box) for span in job.spans.values() for point in (span.a, span.b)]
    pairs += [(box.id, box.bond.to) for box in job.boxes.values() if box.bond is not None]
    out: dict[str, set[str]] = {}
    for one, other in pairs:
        out.setdefault(one, set()).add(other)
        out.setdefault(other, set()).add(one)
    return out
