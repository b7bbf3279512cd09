"""The jobs of this process: journals that are open, what they hold, and what is kept in them."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from engine.jobfile import JobFile, reading_job
from engine.judge import judging
from fieldapp.breath import in_slices
from fieldapp.exchange.records import document
from fieldapp.model import OpenJob
from fieldapp.store import Journal, Store
from fieldapp.store.errors import JobExists

if TYPE_CHECKING:
    from fieldapp.services import World


class Shelf:
    """The jobs of this process: one store, and the journals that are open in it."""

    def __init__(self, store: Store, world: World) -> None:
        self.store = store
        self.world = world
        self.journals: dict[str, Journal] = {}
        self.opening = asyncio.Lock()
        """held by whoever opens or makes a journal, so that two tabs get the same one"""
        self._tried: tuple[Any, tuple[str, ...]] = (None, ())

    async def journal(self, job: str) -> Journal:
        """The journal of a job, opened once for all tabs; one that another program writes to, as
        it is now. Raises as the store does.
        """
        key = job.upper()
        async with self.opening:
            journal = self.at_hand(key)
            if journal is None:
                journal = self.journals[key] = await self.store.open(job)
            return journal

    def at_hand(self, key: str) -> Journal | None:
        """The open journal of a job where it serves; one that does not is let go."""
        if key in self.journals and self.journals[key].is_stale:
            self.journals.pop(key).close()
        return self.journals.get(key)

    async def read(self, job: str) -> JobFile:
        """A job as its journal holds it.

        Raises
        ------
        BadFile, StoreError
        """
        return await in_slices(reading_job(document((await self.journal(job)).records)))

    async def opened(self, job: str) -> OpenJob:
        """A job as its journal holds it on return, judged: what is kept meanwhile is in it.

        Raises
        ------
        BadFile, StoreError
        """
        judgement = None
        while True:
            journal = await self.journal(job)
            records = journal.records
            file = await in_slices(reading_job(document(records)))
            judgement = await in_slices(judging(file, known=judgement))
            if len(journal.records) == len(records):
                return OpenJob(file.plan.id, file, judgement, self.kept_at(file))

    def kept_at(self, file: JobFile) -> str:
        """When the last entry of a job was kept, as the wall clock shows it."""
        last = next((entry.t for entry in reversed(file.entries) if entry.t), None)
        return self.world.clock(last) if last else ""

    async def bring_in(self, file: JobFile, source: str, *, fresh_id: bool = False) -> str:
        """Copy a job in; its id, with a number behind it where ``fresh_id`` asks for one."""
        plan = {key: value for key, value in file.doc.items() if key != "log"}
        entries = tuple(file.doc.get("log", ()))
        ident, number = file.plan.id, 1
        while True:
            try:
                async with self.opening:
                    journal = await self.store.create(
                        ident, {**plan, "id": ident}, source=source, entries=entries
                    )
                    self.journals[journal.job] = journal
            except JobExists:
                if not fresh_id:
                    raise
                number += 1
                ident = f"{file.plan.id}-{number}"
                continue
            return ident

    def keep(
        self, journal: Journal, drafts: tuple[Mapping[str, Any], ...]
    ) -> tuple[dict[str, Any], ...]:
        """Make drafts entries and keep them; durable on return, or raises and keeps none.

        What is tried again after a failure has the ids of the first try.
        """
        if self._tried[0] != (journal.job, drafts):
            self._tried = (journal.job, drafts), tuple(self.world.ident() for _ in drafts)
        seen = dict(journal.seen)
        entries = []
        for ident, draft in zip(self._tried[1], drafts, strict=True):
            n = self.store.next_n(above=journal.uncounted)
            entry = {
                "id": ident,
                "t": self.world.stamp(),
                "device": self.store.device,
                "n": n,
                "seen": dict(seen),
                **draft,
            }
            entries.append({key: value for key, value in entry.items() if value != ""})
            seen[self.store.device] = n
        journal.append_all(tuple(entries))
        self._tried = (None, ())
        return tuple(entries)
