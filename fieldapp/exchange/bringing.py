"""What was unpacked, into the store: a new job, or its news to a job that is here."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from fieldapp.exchange.records import additions
from fieldapp.exchange.unpacking import Incoming
from fieldapp.store import Journal, Store
from fieldapp.store.errors import NoSuchJob


@dataclass(frozen=True)
class Brought:
    """What came of it: ``entries`` and ``pictures`` more than there were, ``twins`` among them.

    ``before``: how many entries the log had.
    """

    journal: Journal
    is_new: bool
    before: int
    entries: int
    pictures: int
    twins: tuple[str, ...]


async def bring(
    store: Store, incoming: Incoming, source: str, journal: Journal | None = None
) -> Brought:
    """Keep what a file brings; ``journal`` is the job's own where it is open already.

    Entries come all or none, only if the job can be read with them, and only behind the pictures
    that they name: so no entry ever waits for a picture that an end in between took away. What
    such an end leaves is pictures that nothing names yet, and the file may be brought once more.
    The journal that comes back is open.

    Raises
    ------
    NotOneJob, BadFile, NotAPicture, StoreError
    """
    if journal is not None:
        return await _merge(store, incoming, journal)
    try:
        journal = await store.open(incoming.file.plan.id)
    except NoSuchJob:
        return await _begin(store, incoming, source)
    with _closed_on_trouble(journal):
        return await _merge(store, incoming, journal)


async def _merge(store: Store, incoming: Incoming, journal: Journal) -> Brought:
    doc = incoming.file.doc
    additions(journal.records, doc)  # a job that does not fit keeps no picture either
    pictures = await _keep_pictures(store, journal.job, incoming)
    more = additions(journal.records, doc)  # nothing waits between this and the append
    journal.append_all(more.records)
    return Brought(journal, False, more.before, len(more.records), pictures, more.twins)


async def _begin(store: Store, incoming: Incoming, source: str) -> Brought:
    doc, job = incoming.file.doc, incoming.file.plan.id
    plan: dict[str, Any] = {key: value for key, value in doc.items() if key != "log"}
    all_of_it = additions((plan,), doc)
    lacking = len(incoming.pictures.keys() - await store.photos(job))
    pictures = tuple(incoming.pictures.values())
    journal = await store.create(
        job, plan, source=source, entries=all_of_it.records, pictures=pictures
    )
    return Brought(journal, True, 0, len(all_of_it.records), lacking, all_of_it.twins)


async def _keep_pictures(store: Store, job: str, incoming: Incoming) -> int:
    """Those that are here too: they may be damaged, or not on the medium yet. How many were not."""
    lacking = incoming.pictures.keys() - await store.photos(job)
    for picture in incoming.pictures.values():
        await store.keep_photo(job, picture)
    return len(lacking)


@contextmanager
def _closed_on_trouble(journal: Journal) -> Iterator[None]:
    """A journal that nobody gets to hold is let go."""
    try:
        yield
    except BaseException:
        journal.close()
        raise
