"""How often this technician meets each cause, by the journals on this phone.

What each job came to is worked out from its journal and remembered in the catalogue only so that
it need not be worked out again; a job whose log has grown is read anew. Starting to count anew
is a setting, the count of an entry of this phone: nothing is removed, and it can be undone.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from contextlib import suppress
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from attrs import asdict

from engine import __version__
from engine.causes import NONE
from engine.faults.priors import Tally, rates
from engine.faults.sizes import Rates
from engine.jobfile import BadFile, JobFile
from engine.judge import Judgement, judging
from engine.settled import Stay, is_return, stays, weighed_as
from fieldapp import messages as m
from fieldapp.breath import in_slices
from fieldapp.keeping import Result
from fieldapp.model import Model
from fieldapp.store.errors import StoreError

NAME = "stays"
"""under which the catalogue remembers them"""
MADE_BY = f"{__version__} 1"
"""another version may work them out differently; the number goes up where one does in between"""
SETTLES = frozenset({"found", "leave"})
"""kinds of entry without which no stay is settled"""


def rates_for(model: Model, job: str = "", judgement: Judgement | None = None) -> Rates:
    """How often each cause is there at one of its places, for the diagnosis of a job: the one in
    hand, or this one.

    What was found in that very job is left out: its readings speak for it already.
    """
    if judgement is None:
        job, judgement = model.open_job.id, model.open_job.judgement
    first = not is_return(judgement.state)
    return rates(tally_of(model, first=first, but=job), first=first)


def tally_of(model: Model, *, first: bool, but: str = "") -> Tally:
    """What all jobs came to, on first visits or on returns, without one of them."""
    own = (
        stay.since(model.settings.found_from)
        for job, row in model.stays.items()
        if job != but.upper()
        for stay in row
        if stay.first == first
    )
    return Tally.total(own)


def found_in(model: Model) -> Mapping[str, tuple[int, int]]:
    """How often each cause was found since counting began, and in how many jobs.

    Kinds of one cause go together, as their odds do.
    """
    found: dict[str, list[str]] = {}
    for job, row in model.stays.items():
        for stay in row:
            for cause, n in stay.finds:
                if n > model.settings.found_from and cause != NONE:
                    found.setdefault(weighed_as(cause) or cause, []).append(job)
    return {cause: (len(jobs), len(set(jobs))) for cause, jobs in found.items()}


def counted_up_to(model: Model) -> int:
    """The count of the last entry that makes anything count: where counting anew begins."""
    return max((stay.last for row in model.stays.values() for stay in row), default=0)


# ---------------------------------------------------------------- counting


async def count(
    shelf: Any, samples: Collection[str], *, afresh: bool = True
) -> Mapping[str, tuple[Stay, ...]]:
    """What every job on this phone came to, by its id. A sample is no site, so it never counts.

    Without ``afresh`` no journal is read: what is not remembered is left out.
    """
    store = shelf.store
    known = _remembered(store)
    out, changed = {}, False
    for card in await store.list_jobs():
        if card.trouble or card.source in samples:
            continue
        row = known.get(card.id)
        if row is not None and row[0] == card.entries:
            out[card.id] = row
            continue
        if not afresh:
            continue
        with suppress(StoreError, BadFile):
            file = await shelf.read(card.id)
            out[card.id] = card.entries, await _stays(file, store.device)
            changed = True
    if changed:
        with suppress(StoreError):  # then they are worked out again next time
            store.put_derived(NAME, _record(store.device, out))
    return MappingProxyType({job: row for job, (_, row) in out.items()})


async def _stays(file: JobFile, device: str) -> tuple[Stay, ...]:
    """What one job came to, judged in slices; none where this phone's entries settle nothing."""
    if not any(one.device == device and one.what in SETTLES for one in file.entries):
        return ()
    return stays(await in_slices(judging(file)), device)


def _record(device: str, rows: Mapping[str, tuple[int, tuple[Stay, ...]]]) -> dict[str, Any]:
    jobs = {job: [entries, [asdict(stay) for stay in row]] for job, (entries, row) in rows.items()}
    return {"by": MADE_BY, "device": device, "jobs": jobs}


def _remembered(store: Any) -> dict[str, tuple[int, tuple[Stay, ...]]]:
    """What the catalogue remembers, by job: the length of the log it was worked out from, stays."""
    record = store.derived(NAME)
    try:
        if record["by"] != MADE_BY or record["device"] != store.device:
            return {}
        return {job: (entries, _read(row)) for job, (entries, row) in record["jobs"].items()}
    except (KeyError, TypeError, ValueError):
        return {}


def _read(row: list[dict[str, Any]]) -> tuple[Stay, ...]:
    return tuple(
        Stay(**{**one, "finds": tuple((cause, n) for cause, n in one["finds"])}) for one in row
    )


def _found_counted(model: Model, message: m.FoundCounted) -> Result:
    return replace(model, stays=message.stays), ()


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = {m.FoundCounted: _found_counted}
