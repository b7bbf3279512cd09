"""The store in memory: the same promises for as long as the program runs, and faults to order.

A ``MemoryDisk`` outlives the store on it, as a real one outlives a program: open it again to see what
a restart would find.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from fieldapp.store.errors import JobExists, NoSuchJob, StoreBusy, StoreError
from fieldapp.store.keeper import Keeper
from fieldapp.store.reading import ReadingDisk


async def open_memory(
    disk: MemoryDisk, *, now: Callable[[], str], draw: Callable[[], str], or_read: bool = False
) -> Keeper:
    """Open the store on a disk in memory.

    Raises StoreBusy while another store is open on it; with ``or_read`` this one then only reads.
    """
    if disk.is_held and or_read:
        return await Keeper.on(ReadingDisk(disk), now, draw)
    if disk.is_held:
        raise StoreBusy
    disk.is_held = True
    return await Keeper.on(disk, now, draw)


@dataclass
class MemoryCopies:
    """See ``interface.Copies``."""

    disk: MemoryDisk
    current: bytes | None = None
    previous: bytes | None = None

    def read(self) -> tuple[bytes | None, bytes | None]:
        return self.current, self.previous

    def put(self, data: bytes, *, keep_current: bool) -> None:
        self.disk.refuse_if_told()
        if keep_current:
            self.previous = self.current
        self.current = data


@dataclass
class MemoryTail:
    """See ``interface.Tail``."""

    disk: MemoryDisk
    name: str

    def add(self, *parts: bytes) -> None:
        self.disk.adds += 1
        if fault := self.disk.fail_at.get(self.disk.adds):
            raise fault(self.name)
        self.disk.refuse_if_told(self.name)
        self.disk.journals[self.name] += b"".join(parts)

    def close(self) -> None:
        pass


@dataclass
class MemoryDisk:
    """See ``interface.Disk``.

    ``trouble``: every write raises it while it is set (``StoreFull``, ``StoreReadOnly`` ...).
    ``fail_at``: the n-th add to a journal since the disk was made (from 1) raises; the tries
    before and after it do not. ``adds`` counts them, failed ones too.
    ``beside``: what was found in a journal and is no record, by (job, place).
    ``photos``: pictures by (job, sha256); ``photos_aside``: damaged ones that were kept again.
    """

    trouble: type[StoreError] | None = None
    fail_at: dict[int, type[StoreError]] = field(default_factory=dict)
    adds: int = 0
    journals: dict[str, bytes] = field(default_factory=dict)
    beside: dict[tuple[str, int], bytes] = field(default_factory=dict)
    photos: dict[tuple[str, str], bytes] = field(default_factory=dict)
    photos_aside: list[bytes] = field(default_factory=list)
    is_held: bool = False

    def __post_init__(self) -> None:
        self.copies = MemoryCopies(self)

    reads_only = False

    def refuse_if_told(self, job: str = "") -> None:
        """Raise the trouble that is set."""
        if self.trouble:
            raise self.trouble(job)

    async def names(self) -> tuple[str, ...]:
        return tuple(sorted(self.journals))

    async def size(self, name: str) -> int:
        return len(await self.read(name))

    async def read(self, name: str) -> bytes:
        if name not in self.journals:
            raise NoSuchJob(name)
        return self.journals[name]

    async def make(self, name: str, data: bytes) -> None:
        if name in self.journals:
            raise JobExists(name)
        self.refuse_if_told(name)
        self.journals[name] = data

    async def remake(self, name: str, data: bytes, aside: tuple[tuple[int, bytes], ...]) -> None:
        self.refuse_if_told(name)
        self.beside.update({(name, place): data for place, data in aside})
        self.journals[name] = data

    async def take(self, name: str, end: int, aside: tuple[tuple[int, bytes], ...]) -> MemoryTail:
        self.beside.update({(name, place): data for place, data in aside})
        self.journals[name] = self.journals[name][:end]
        return MemoryTail(self, name)

    async def photo_names(self, name: str) -> frozenset[str]:
        return frozenset(photo for job, photo in self.photos if job == name)

    async def read_photo(self, name: str, photo: str) -> bytes | None:
        return self.photos.get((name, photo))

    async def make_photo(self, name: str, photo: str, data: bytes) -> None:
        there = self.photos.get((name, photo))
        if there == data:
            return
        self.refuse_if_told(name)
        if there is not None:
            self.photos_aside.append(there)
        self.photos[name, photo] = data

    def close(self) -> None:
        self.is_held = False
