"""Whether the log was copied off this phone, by the ``export`` entries in it; whether what was made
of it and handed over, which is no copy, is older than it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from attrs import define, field, frozen

from engine.entries import OF_THE_PLAN, Entry
from engine.filed import BY_HAND
from engine.grown import Row

if TYPE_CHECKING:
    from engine.logged import State

ABOUT_LEAVING = frozenset({"visit", "leave", "export", "sign"})
"""kinds that come with going, or after the copy: they need no copy of their own"""
HANDED = "x_handed"
"""key of a note of what was made of the job and handed over: ``{"what": [...], "seen": {...}}``"""
PASSING_KEYS = frozenset({"x_caution", "x_timer", HANDED})
"""notes that say nothing of the site: a caution that was read, a clock that was started, a report
that was sent"""
OF_THE_COPY = ("copy.", "sign.")
"""steps that are about the copy itself"""

Counts = Callable[[Entry], bool]


def not_copied(state: State) -> int:
    """How many entries that matter no copy holds.

    A copy holds what its entry had seen, and of hand-written entries, of no phone, what stands in
    front of it: nobody can say that they have seen those.
    """
    copies = list(state.of_kind("export"))
    if not copies:
        return state.work.missed.beyond({})
    last, _ = copies[-1]
    by_hand = (one for place, one in state.work.filed.of(BY_HAND) if place < last)
    return state.work.missed.beyond(_seen_by([*(one for _, one in copies), *by_hand]))


def behind(state: State, seen: Mapping[str, int], counts: Counts) -> int:
    """How many entries that count came after what was ``seen``, by device."""
    return sum(counts(entry) and entry.n > seen.get(entry.device, 0) for entry in state.entries)


def seen_in(state: State) -> dict[str, int]:
    """What is in a log, by device: the count of its last entry."""
    return _seen_by(state.entries)


def _seen_by(entries: Iterable[Entry]) -> dict[str, int]:
    seen: dict[str, int] = {}
    for entry in entries:
        for device, n in {**entry.seen, entry.device: entry.n}.items():
            seen[device] = max(seen.get(device, 0), n)
    return seen


def matters(entry: Entry) -> bool:
    """Whether somebody would miss this entry if the phone fell into the water."""
    if entry.what in ABOUT_LEAVING:
        return False
    if entry.what == "note":
        return entry.body.keys().isdisjoint(PASSING_KEYS)
    if entry.what == "step":
        return not entry.body["step"].startswith(OF_THE_COPY)
    return not (entry.what == "waive" and entry.body["of"] == "copied")


@define
class Missed:
    """The entries that matter, counted as they come: what a copy lacks, without a look at them all."""

    counts: dict[str, Row[int]] = field(factory=dict)
    """of each phone, ascending"""

    def copy(self) -> Missed:
        """One that can go on by itself."""
        return Missed(self.counts.copy())

    def take(self, entries: Iterable[Entry]) -> None:
        """More entries."""
        fresh: dict[str, list[int]] = {}
        for entry in filter(matters, entries):
            fresh.setdefault(entry.device, []).append(entry.n)
        for device, counts in fresh.items():
            row = self.counts.get(device, Row())
            after = row.plus(*counts)
            if counts != sorted(counts) or (row and row[-1] > counts[0]):
                after = Row(tuple(sorted(after)))  # some claim to have seen each other
            self.counts[device] = after

    def beyond(self, seen: Mapping[str, int]) -> int:
        """How many have a count beyond what was ``seen``, by phone."""
        rows = self.counts.items()
        return sum(len(row) - bisect_right(row, seen.get(device, 0)) for device, row in rows)


# ---------------------------------------------------------------- what was made of it


@frozen
class Handed:
    """The last time that something made of the job was handed over: when, and what it had seen."""

    t: str | None
    seen: Mapping[str, int]


def handed(state: State, what: str) -> Handed | None:
    """The last of this that was handed over and not taken back; None where none was."""
    for _, entry in reversed(tuple(state.notes_with(HANDED))):
        told = entry.body[HANDED]
        if isinstance(told, Mapping) and what in _names(told.get("what")):
            return Handed(entry.t, _counts(told.get("seen")))
    return None


def _names(value: object) -> tuple[object, ...]:
    return tuple(value) if isinstance(value, list | tuple) else ()


def _counts(value: object) -> dict[str, int]:
    """Of a file from anywhere: what is no count is left out."""
    known = value.items() if isinstance(value, Mapping) else ()
    return {str(device): n for device, n in known if type(n) is int}


def is_recorded(entry: Entry) -> bool:
    """Whether an entry can alter what the record of a job says."""
    if entry.what == "note":
        return entry.body.keys().isdisjoint(PASSING_KEYS)
    return entry.known and entry.what != "export"


def moves_plan(state: State) -> Counts:
    """For a log: whether an entry moves its plan, which is all that labels show, or takes one back
    that did."""
    edits = {entry.id for entry in state.entries if entry.what in OF_THE_PLAN}
    return lambda entry: entry.id in edits or (entry.what == "void" and entry.body["of"] in edits)
