"""The log: its order, and the fold of its entries over the plan.

Entries only ever grow. What holds now (the plan as edited, which readings are current,
which steps are done, what was waived) is derived from them, never stored.
"""

from __future__ import annotations

from collections.abc import Iterable

from engine.conflicts import Conflict
from engine.edits import ids_of
from engine.entries import OF_THE_PLAN, TWINS, Entry, numbered
from engine.fold import Origin, Work
from engine.grown import Row
from engine.jobfile import JobFile
from engine.logged import LeftOut, Note, Oddity, Reading, State, StepMark, Waiver
from engine.order import Sight, arranging, is_copy, ordered, twice_counted
from engine.places import Plan, runs_of, stop_of
from engine.say import say
from engine.sliced import Progress, at, finish
from engine.voids import voided, voids_of

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


A_SLICE = 50
"""entries taken between two yields: one is quick"""
ARRANGED, TAKEN = 0.4, 0.8
"""shares of the work on a fold"""


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
    work.came = work.came.plus(*fresh)
    for given, entry in zip(fresh, numbered(fresh, count), strict=True):
        known = work.entry(entry.id)
        if known is not None and is_copy(given, known):
            continue
        if known is not None or not work.goes_on_with(entry):
            return (yield from whole(work.origin, work.came.whole))
        work.goes_on(entry)
    return work.state()


def whole(origin: Origin, came: tuple[Entry, ...]) -> Progress[State]:
    """The state after all these entries, in whatever order they came."""
    row = yield from at(arranging(came), 0.0)
    yield ARRANGED
    work = Work(origin, Row(came), Plan(origin.doc, origin.job), ids_of(origin.doc))
    work.voided = voided(row.entries)
    work.voids = voids_of(row.entries)
    of_the_plan = tuple(entry for entry in row.entries if entry.what in OF_THE_PLAN)
    work.sight = Sight(of_the_plan, row.entries)
    work.frontier.circled = bool(row.circled)
    work.beside = row.beside
    for number, entry in enumerate(row.entries, 1):
        work.take(entry)
        if number % A_SLICE == 0:
            yield ARRANGED + (TAKEN - ARRANGED) * number / len(row.entries)
    twins = {entry.id for entry in row.beside} | {i for i in origin.twins if i in work.places}
    work.odd += [
        *(Oddity(i, say("odd-twin", entry=i)) for i in twins),
        *(Oddity(i, say("odd-seen", entry=i)) for i in row.circled),
        *(
            Oddity(e.id, say("odd-count", entry=e.id, device=e.device, n=e.n))
            for e in twice_counted(row.entries)
        ),
    ]
    return work.state()
