"""The log: its order, and the fold of its entries over the plan.

Entries only ever grow. What holds now (the plan as edited, which readings are current,
which steps are done, what was waived) is derived from them, never stored.
"""

from __future__ import annotations

from collections.abc import Iterable

from engine.conflicts import Conflict
from engine.entries import Entry, numbered
from engine.fold import Origin, whole
from engine.jobfile import JobFile
from engine.logged import LeftOut, Note, Oddity, Reading, State, StepMark, Waiver
from engine.merge import TWINS
from engine.order import is_copy, ordered
from engine.places import runs_of, stop_of
from engine.sliced import Progress, finish

__all__ = [
    "Conflict",
    "LeftOut",
    "Note",
    "Oddity",
    "Reading",
    "State",
    "StepMark",
    "Waiver",
    "advance",
    "fold",
    "ordered",
    "runs_of",
    "stop_of",
]


def fold(file: JobFile, more: Iterable[Entry] = ()) -> State:
    """The state of a job: its plan with the log's entries, and ``more``, folded over it."""
    return finish(folding(file, more))


def folding(file: JobFile, more: Iterable[Entry] = ()) -> Progress[State]:
    """The same, yielding the share done."""
    plan = {key: value for key, value in file.doc.items() if key != "log"}
    twins = (raw["id"] for raw in file.doc.get("log", ()) if TWINS in raw)
    origin = Origin(plan, file.plan, frozenset(twins))
    return (yield from whole(origin, (*file.entries, *more)))


def advance(state: State, entries: Iterable[Entry]) -> State:
    """The state after more entries: just what ``fold`` of all of them gives.

    Cheap when they come last in the order, as what is typed here and now does; else all are
    folded again. The state given stays as it is.
    """
    return finish(advancing(state, entries))


def advancing(state: State, entries: Iterable[Entry]) -> Progress[State]:
    """The same, yielding the share done."""
    fresh = tuple(entries)
    work = state.work.copy()
    count = len(work.came)
    work.came += fresh
    for given, entry in zip(fresh, numbered(fresh, count), strict=True):
        known = work.entry(entry.id)
        if known is not None and is_copy(given, known):
            continue
        if known is not None or not work.goes_on_with(entry):
            return (yield from whole(work.origin, work.came))
        work.goes_on(entry)
    return work.state()
