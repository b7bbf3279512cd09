"""Of the record: what people remarked, and apart from it what the app wrote down by itself. Pure."""

from __future__ import annotations

from collections.abc import Iterable

from engine.cautions import ANSWERED
from engine.copied import HANDED
from engine.entries import Entry
from engine.job import Job
from engine.timers import STARTED, WAIT
from fieldapp import words
from fieldapp.handover.page import Parts
from fieldapp.handover.rows import table, when

BY_ITSELF = frozenset({ANSWERED, STARTED})
"""keys of notes that a press wrote for whoever asks later: a caution read, a clock started"""


def place_of(job: Job, at: str) -> str:
    """A place as people call it: a stop by its name, else a box, a port or a span."""
    thing = words.thing_of(at.removeprefix(WAIT))
    stop = job.stops.get(thing)
    return stop.name if stop else words.spot(thing)


def remarks(job: Job, notes: Iterable[Entry]) -> Parts:
    """What somebody typed, and what was put in and taken out; that a record was handed over is none."""
    rows = (
        (when(one.t), place_of(job, one.body.get("at") or ""), one.body["text"], one.by)
        for one in notes
        if HANDED not in one.body and BY_ITSELF.isdisjoint(one.body)
    )
    return table("time place text by", rows)


def read_and_timed(job: Job, notes: Iterable[Entry]) -> Parts:
    """Each caution that was read and each clock that was started: once, with its places and times."""
    found: dict[str, list[str]] = {}
    for one in notes:
        if BY_ITSELF.isdisjoint(one.body):
            continue
        place = place_of(job, one.body.get("at") or "")
        told = ", ".join(part for part in (place, one.by, when(one.t)) if part)
        found.setdefault(one.body["text"], []).append(told)
    return table("said where", ((text, "; ".join(told)) for text, told in found.items()))
