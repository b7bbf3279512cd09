"""A medium that another program writes to: all of it can be read, nothing kept."""

from __future__ import annotations

from fieldapp.store.errors import StoreBusy
from fieldapp.store.interface import Copies, Disk


class ReadingDisk:
    """See ``interface.Disk``. Whatever would write raises StoreBusy.

    It reads what is there at that moment: a record half written by the other is no record yet.
    """

    reads_only = True

    def __init__(self, disk: Disk) -> None:
        self._disk = disk
        self.copies = ReadingCopies(disk.copies)

    async def names(self) -> tuple[str, ...]:
        return await self._disk.names()

    async def size(self, name: str) -> int:
        return await self._disk.size(name)

    async def read(self, name: str) -> bytes:
        return await self._disk.read(name)

    async def make(self, name: str, data: bytes) -> None:
        raise StoreBusy(name)

    async def remake(self, name: str, data: bytes, aside: tuple[tuple[int, bytes], ...]) -> None:
        raise StoreBusy(name)

    async def take(self, name: str, end: int, aside: tuple[tuple[int, bytes], ...]) -> ReadingTail:
        return ReadingTail(name)

    async def photo_names(self, name: str) -> frozenset[str]:
        return await self._disk.photo_names(name)

    async def read_photo(self, name: str, photo: str) -> bytes | None:
        return await self._disk.read_photo(name, photo)

    async def make_photo(self, name: str, photo: str, data: bytes) -> None:
        raise StoreBusy(name)

    def close(self) -> None:
        """Leave the medium to the other."""


class ReadingTail:
    """See ``interface.Tail``."""

    def __init__(self, name: str) -> None:
        self._name = name

    def add(self, *parts: bytes) -> None:
        raise StoreBusy(self._name)

    def close(self) -> None:
        """There is nothing to let go of."""


class ReadingCopies:
    """See ``interface.Copies``."""

    def __init__(self, copies: Copies) -> None:
        self._copies = copies

    def read(self) -> tuple[bytes | None, bytes | None]:
        return self._copies.read()

    def put(self, data: bytes, *, keep_current: bool) -> None:
        raise StoreBusy
