"""The store itself, the same on every medium: a ``Disk`` brings the bytes, this the promises."""

from __future__ import annotations

import hashlib
from collections.abc import Awaitable, Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from threading import RLock
from typing import Any

from fieldapp.jpeg import size_of, without_place
from fieldapp.store.catalogue import Catalogue, Row, own_n, row_of
from fieldapp.store.errors import (
    BadRecord,
    JobExists,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreClosed,
    StoreError,
)
from fieldapp.store.interface import (
    CATALOGUE_PREVIOUS,
    CATALOGUE_REBUILT,
    DAMAGED,
    TAIL_CUT,
    Disk,
    JobCard,
    Photo,
    Report,
    is_photo_name,
    job_key,
)
from fieldapp.store.journal import (
    Decoded,
    brought_up,
    decode,
    encode,
    head_of,
    head_record,
)
from fieldapp.store.keptjournal import KeptJournal, lines_of_new

SET_APART = 32  # counts reserved in the catalogue at a time: one write in so many entries


class Keeper:
    """All jobs on one medium. See ``interface.Store``; open with ``Keeper.on``.

    ``now`` gives the time as RFC 3339 text, ``draw`` a new random id for an installation.
    """

    def __init__(self, disk: Disk, now: Callable[[], str], draw: Callable[[], str]) -> None:
        # Handlers may run in several threads where the platform has them.
        self.lock = RLock()
        self._disk = disk
        self._now = now
        self._catalogue = Catalogue(disk.copies)
        known, reserved = self._catalogue.device()
        self.device = known or draw()
        self.report = Report(self._catalogue.report) if self._catalogue.report else None
        if disk.reads_only:  # the other may be writing it this moment
            self.report = None
        # The copy of one save ago may not know of the last counts that were set apart.
        behind = SET_APART if self._catalogue.report == CATALOGUE_PREVIOUS else 0
        self._reserved = self._n = reserved + behind
        self._rows = self._catalogue.rows()
        if known is None or self.report:
            with suppress(StoreError):  # no count is given before this has been written
                self._catalogue.put_device(self.device, self._reserved)
        self._is_new = known is None
        self._open: dict[str, KeptJournal | None] = {}
        self._damaged: set[tuple[str, str]] = set()
        self._closed = False

    @property
    def reads_only(self) -> bool:
        return self._disk.reads_only

    @classmethod
    async def on(cls, disk: Disk, now: Callable[[], str], draw: Callable[[], str]) -> Keeper:
        """Open the store on a medium and bring the catalogue up to date with the journals."""
        keeper = cls(disk, now, draw)
        if keeper._is_new and await disk.names():
            keeper.report = keeper.report or Report(CATALOGUE_REBUILT)
        await keeper._read_journals(keeper._rows)
        return keeper

    def next_n(self, above: int = 0) -> int:
        with self.lock:
            self._require_open()
            last = max(self._n, above)
            if last + 1 > self._reserved:
                self._catalogue.put_device(self.device, last + SET_APART)
                self._reserved = last + SET_APART
            self._n = last + 1
            return self._n

    async def list_jobs(self) -> tuple[JobCard, ...]:
        self._require_open()
        live = {job: self._row(journal) for job, journal in self._open.items() if journal}
        if self.reads_only:  # what was opened may have grown since
            await self._read_journals(self._rows)
            live = {}
        cards = [row.card for row in (self._rows | live).values()]
        by_id = sorted(cards, key=lambda card: card.id)
        return tuple(sorted(by_id, key=lambda card: max(card.kept, card.opened), reverse=True))

    async def create(
        self,
        job_id: str,
        plan: dict[str, Any],
        *,
        source: str = "",
        entries: Sequence[Mapping[str, Any]] = (),
        pictures: tuple[bytes, ...] = (),
    ) -> KeptJournal:
        job = job_key(job_id)
        if job in self._open:
            raise JobExists(job)
        if not isinstance(plan, dict):
            raise BadRecord(job, found=type(plan).__name__)
        head = encode(head_record(plan, self._now(), source))
        data = head + b"".join(lines_of_new(entries, {}, job))

        async def make() -> None:
            if pictures and job in await self._disk.names():
                raise JobExists(job)
            for picture in pictures:
                await self._made_photo(job, picture)
            await self._disk.make(job, data)

        return await self._opened(job, make)

    async def open(self, job_id: str) -> KeptJournal:
        job = job_key(job_id)
        if job in self._open:
            raise StoreBusy(job)
        return await self._opened(job)

    async def _opened(
        self, job: str, make: Callable[[], Awaitable[None]] | None = None
    ) -> KeptJournal:
        """Take a journal for writing, which ``make`` makes first where it is given."""
        self._require_open()
        self._open[job] = None  # taken before the first await, or two openings could both pass
        try:
            if make is not None:
                await make()
            data = await self._disk.read(job)
            decoded = decode(data)
            head = head_of(decoded, job)
            report = _journal_report(decoded)
            if self.reads_only and not decoded.damaged:
                report = None  # the other is writing behind the last whole record
            refused = None
            if (decoded.damaged or head.is_old) and not self.reads_only:
                try:
                    decoded = await self._remade(job, data, decoded)
                except StoreError as error:  # the old one serves as it is
                    refused = error if head.is_old else None
            aside = decoded.no_records(data)
            tail = await self._disk.take(job, decoded.good_bytes, aside)
        except BaseException:
            del self._open[job]
            raise
        journal = KeptJournal(self, job, head, decoded, tail, report, refused)
        self._open[job] = journal
        self.has_seen(journal.entries)
        self._remember({job: self._row(journal, opened=self._now())})
        return journal

    async def _remade(self, job: str, data: bytes, decoded: Decoded) -> Decoded:
        """Write a journal anew as whole records in today's format.

        Bad bytes stay beside it, and it must hold the same records before it takes the old one's
        place. Raises where it does not, or where the medium refuses; then nothing was altered.
        """
        records = brought_up(decoded.records)
        whole = b"".join(map(encode, records))
        made = decode(whole)
        if made.records != records or made.good_bytes != len(whole):
            raise BadRecord(job)
        await self._disk.remake(job, whole, decoded.no_records(data))
        return made

    async def keep_photo(self, job_id: str, data: bytes) -> Photo:
        self._require_open()
        job = job_key(job_id)
        await self._disk.size(job)  # where there is no journal, nobody would look for it
        return await self._made_photo(job, data)

    async def _made_photo(self, job: str, data: bytes) -> Photo:
        kept = without_place(data)
        name = _name_of(kept)
        await self._disk.make_photo(job, name, kept)
        with self.lock:
            self._damaged.discard((job, name))
        return Photo(name, len(kept), *size_of(kept))

    async def photo(self, job_id: str, sha256: str) -> bytes | None:
        self._require_open()
        job = job_key(job_id)
        data = await self._disk.read_photo(job, sha256) if is_photo_name(sha256) else None
        if data is None or _name_of(data) == sha256:
            return data
        with self.lock:
            self._damaged.add((job, sha256))
        return None

    async def photos(self, job_id: str) -> frozenset[str]:
        self._require_open()
        job = job_key(job_id)
        return await self._disk.photo_names(job) - self.damaged_photos(job)

    def damaged_photos(self, job_id: str) -> frozenset[str]:
        job = job_key(job_id)
        with self.lock:
            return frozenset(name for of, name in self._damaged if of == job)

    async def load_place(self) -> dict[str, Any] | None:
        return self._catalogue.place()

    def save_place(self, place: dict[str, Any]) -> None:
        with self.lock:
            self._require_open()
            self._catalogue.put_place(place)

    def setting(self, key: str, default: Any = None) -> Any:
        return self._catalogue.setting(key, default)

    def put_setting(self, key: str, value: Any) -> None:
        with self.lock:
            self._require_open()
            self._catalogue.put_setting(key, value)

    def derived(self, name: str) -> Any:
        return self._catalogue.derived(name)

    def put_derived(self, name: str, value: Any) -> None:
        with self.lock:
            self._require_open()
            self._catalogue.put_derived(name, value)

    def close(self) -> None:
        with self.lock:
            if self._closed:
                return
            for journal in list(self._open.values()):
                if journal:
                    journal.close()
            if self._n < self._reserved:
                with suppress(StoreError):  # then some counts are skipped, and no more
                    self._catalogue.put_device(self.device, self._n)
            self._closed = True
            self._disk.close()

    def has_seen(self, entries: Sequence[dict[str, Any]]) -> None:
        """Never count below what entries of this device say, wherever they came from."""
        self._n = max(self._n, own_n(entries, self.device))

    def has_closed(self, journal: KeptJournal) -> None:
        """Take back a journal."""
        self._open.pop(journal.job, None)
        self._remember({journal.job: self._row(journal)})

    async def _read_journals(self, trusted: dict[str, Row]) -> None:
        """Read every journal that is not as long as the catalogue remembers it."""
        names = set(await self._disk.names())
        changed = {}
        for job in sorted(names):
            size = await self._disk.size(job)
            row = trusted.get(job)
            if row is None or row.size != size or row.card.trouble:
                changed[job] = await self._row_read_again(job)
        for job, row in self._rows.items():
            if job not in names and row.card.trouble != "missing":
                changed[job] = replace(row, card=replace(row.card, trouble="missing"))
        self._remember(changed)
        self._n = max([self._n, *(row.own_n for row in self._rows.values())])

    async def _row_read_again(self, job: str) -> Row:
        old = self._rows.get(job)
        try:
            data = await self._disk.read(job)
            decoded = decode(data)
            head = head_of(decoded, job)
        except (JobUnreadable, NoSuchJob) as trouble:
            card = old.card if old else JobCard(job, job)
            is_newer = isinstance(trouble, JobUnreadable) and trouble.why == "newer"
            word = "newer" if is_newer else "unreadable"
            return Row(replace(card, trouble=word), 0, old.own_n if old else 0)
        opened = old.card.opened if old else ""
        return row_of(job, head, decoded.records[1:], len(data), self.device, opened)

    def _row(self, journal: KeptJournal, opened: str = "") -> Row:
        old = self._rows.get(journal.job)
        last_opened = opened or (old.card.opened if old else "")
        return row_of(
            journal.job, journal.head, journal.entries, journal.size, self.device, last_opened
        )

    def _remember(self, rows: dict[str, Row]) -> None:
        """Note rows; where the medium refuses, the journals are read again at the next start."""
        with self.lock:
            self._rows = self._rows | rows
            with suppress(StoreError):
                if rows:
                    self._catalogue.put_rows(rows)

    def _require_open(self) -> None:
        if self._closed:
            raise StoreClosed


def _name_of(photo: bytes) -> str:
    return hashlib.sha256(photo).hexdigest()


def _journal_report(decoded: Decoded) -> Report | None:
    damaged_bytes = sum(end - start for start, end in decoded.damaged)
    if damaged_bytes:
        return Report(DAMAGED, decoded.torn, damaged_bytes)
    return Report(TAIL_CUT, decoded.torn) if decoded.torn else None
