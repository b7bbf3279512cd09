"""The media that the store's tests run on, each with the same handles for hurting it.

A further medium joins by a ``Bench`` of its own in ``MEDIA``: it opens the store on a disk that
outlives it, shows what lies there byte for byte, overwrites it, and refuses writes when told.
"""

from __future__ import annotations

import asyncio
import errno
import re
from collections.abc import Awaitable, Iterator
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from memory_disk import MemoryDisk, open_memory
from opfs_fake import Plain, Root
from power_cuts import ROOT as OPFS

from fieldapp.store import StoreError, StoreFull, StoreReadOnly
from fieldapp.store.files import open_files
from fieldapp.store.keeper import Keeper
from fieldapp.store.opfs import open_opfs
from fieldapp.store.opfs_slots import SLOTS, frame_in
from fieldapp.store.system import System

ROOT = Path(__file__).resolve().parents[1]
PLAN = {"format": "farend-job/1", "id": "HERON-HIDE", "title": "Heron hide", "log": []}


def entry(number: int, **more: Any) -> dict[str, Any]:
    """A reading as the log has it."""
    return {
        "id": f"e{number}",
        "t": f"2026-05-04T10:{number % 60:02}:00Z",
        "what": "reading",
        "at": "B1.in",
        "kind": "volts",
        "value": 48 + number / 10,
        **more,
    }


class Bench:
    """A medium that outlives the stores opened on it, and can be hurt."""

    def __init__(self) -> None:
        self._ticks = count()
        self._draws = count(0xA000)
        self.store: Keeper | None = None

    def now(self) -> str:
        return f"2026-05-03T08:00:{next(self._ticks) % 60:02}Z"

    def draw(self) -> str:
        return f"{next(self._draws):04x}"

    def open(self) -> Keeper:
        """Open the store, as a start of the app does."""
        self.store = asyncio.run(self.opening())
        return self.store

    def crash(self) -> None:
        """End the program without any goodbye; only the system's own lock is let go."""
        self.store._disk.close()

    def restart(self) -> Keeper:
        """Close the store and open it again."""
        self.store.close()
        return self.open()

    def opening(self, *, or_read: bool = False) -> Awaitable[Keeper]:
        """Open the store as a program of its own does."""
        raise NotImplementedError

    def journal(self, job: str) -> bytes:
        """A journal as it lies there."""
        raise NotImplementedError

    def set_journal(self, job: str, data: bytes | None) -> None:
        """Overwrite a journal; None takes it away."""
        raise NotImplementedError

    def beside(self, job: str) -> list[bytes]:
        """What was found in a journal and is no record."""
        raise NotImplementedError

    def photo(self, job: str, sha256: str) -> bytes | None:
        """A picture as it lies there."""
        raise NotImplementedError

    def set_photo(self, job: str, sha256: str, data: bytes | None) -> None:
        """Overwrite a picture; None takes it away."""
        raise NotImplementedError

    def photos_aside(self, job: str) -> list[bytes]:
        """What lay under a picture's name and was not that picture."""
        raise NotImplementedError

    def set_catalogue(
        self, current: bytes | bool | None, previous: bytes | bool | None = True
    ) -> None:
        """Overwrite the copies; True leaves one as it is, None takes it away."""
        raise NotImplementedError

    def refuse(self, error: type[StoreError] | None) -> None:
        """Make every write fail half way, until called with None."""
        raise NotImplementedError


class Faulty(System):
    """The system, with writes that fail half way and flushes that do not confirm, as ordered."""

    refuses: int | None = None
    """number of the error of every write"""
    confirms = True

    def write(self, fd: int, place: int, data: bytes | memoryview) -> int:
        if self.refuses is None:
            return super().write(fd, place, data)
        super().write(fd, place, data[: len(data) // 2])
        raise OSError(self.refuses, "as ordered")

    def flush(self, fd: int) -> None:
        if not self.confirms:
            raise OSError(errno.EIO, "as ordered")
        super().flush(fd)


class FileBench(Bench):
    """Files in a folder."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.system = Faulty()

    def opening(self, *, or_read: bool = False) -> Awaitable[Keeper]:
        return open_files(
            self.folder, now=self.now, draw=self.draw, or_read=or_read, system=self.system
        )

    def journal(self, job: str) -> bytes:
        return (self.folder / "jobs" / f"{job}.journal").read_bytes()

    def set_journal(self, job: str, data: bytes | None) -> None:
        path = self.folder / "jobs" / f"{job}.journal"
        path.unlink() if data is None else path.write_bytes(data)

    def beside(self, job: str) -> list[bytes]:
        return [p.read_bytes() for p in sorted((self.folder / "jobs").glob(f"{job}.journal.bad-*"))]

    def photo(self, job: str, sha256: str) -> bytes | None:
        path = self.folder / "jobs" / f"{job}.photos" / f"{sha256}.jpg"
        return path.read_bytes() if path.exists() else None

    def set_photo(self, job: str, sha256: str, data: bytes | None) -> None:
        path = self.folder / "jobs" / f"{job}.photos" / f"{sha256}.jpg"
        path.unlink() if data is None else path.write_bytes(data)

    def photos_aside(self, job: str) -> list[bytes]:
        folder = self.folder / "jobs" / f"{job}.photos"
        return [path.read_bytes() for path in sorted(folder.glob("*.jpg.bad-*"))]

    def set_catalogue(
        self, current: bytes | bool | None, previous: bytes | bool | None = True
    ) -> None:
        for name, data in (("catalogue", current), ("catalogue.previous", previous)):
            path = self.folder / name
            if data is None:
                path.unlink(missing_ok=True)
            elif data is not True:
                path.write_bytes(data)

    def refuse(self, error: type[StoreError] | None) -> None:
        numbers = {StoreFull: errno.ENOSPC, StoreReadOnly: errno.EROFS}
        self.system.refuses = numbers[error] if error else None


class MemoryBench(Bench):
    """A disk in memory."""

    def __init__(self, folder: Path | None = None) -> None:
        super().__init__()
        self.disk = MemoryDisk()

    def opening(self, *, or_read: bool = False) -> Awaitable[Keeper]:
        return open_memory(self.disk, now=self.now, draw=self.draw, or_read=or_read)

    def journal(self, job: str) -> bytes:
        return self.disk.journals[job]

    def set_journal(self, job: str, data: bytes | None) -> None:
        if data is None:
            del self.disk.journals[job]
        else:
            self.disk.journals[job] = data

    def beside(self, job: str) -> list[bytes]:
        return [data for (name, _), data in sorted(self.disk.beside.items()) if name == job]

    def photo(self, job: str, sha256: str) -> bytes | None:
        return self.disk.photos.get((job, sha256))

    def set_photo(self, job: str, sha256: str, data: bytes | None) -> None:
        if data is None:
            del self.disk.photos[job, sha256]
        else:
            self.disk.photos[job, sha256] = data

    def photos_aside(self, job: str) -> list[bytes]:
        return self.disk.photos_aside

    def set_catalogue(
        self, current: bytes | bool | None, previous: bytes | bool | None = True
    ) -> None:
        if current is not True:
            self.disk.copies.current = current
        if previous is not True:
            self.disk.copies.previous = previous

    def refuse(self, error: type[StoreError] | None) -> None:
        self.disk.trouble = error


class OpfsBench(Bench):
    """A browser's own file system, of which only the handles' shape is here."""

    def __init__(self, folder: Path | None = None) -> None:
        super().__init__()
        self.machine = Plain()

    def opening(self, *, or_read: bool = False) -> Awaitable[Keeper]:
        return open_opfs(Root(self.machine), now=self.now, draw=self.draw, or_read=or_read)

    def journal(self, job: str) -> bytes:
        return self.machine.read(self._made(f"jobs/{job}", ".journal")[-1])

    def set_journal(self, job: str, data: bytes | None) -> None:
        self._set(self._made(f"jobs/{job}", ".journal")[-1], data)

    def beside(self, job: str) -> list[bytes]:
        head = f"{job}.journal.bad-"
        return [self.machine.read(path) for path in self._paths() if path.name.startswith(head)]

    def photo(self, job: str, sha256: str) -> bytes | None:
        made = self._made(f"jobs/{job}.photos/{sha256}", ".jpg")
        return self.machine.read(made[-1]) if made else None

    def set_photo(self, job: str, sha256: str, data: bytes | None) -> None:
        self._set(self._made(f"jobs/{job}.photos/{sha256}", ".jpg")[-1], data)

    def photos_aside(self, job: str) -> list[bytes]:
        stems = {path.name.split(".")[0] for path in self._paths() if path.suffix == ".jpg"}
        made = [self._made(f"jobs/{job}.photos/{stem}", ".jpg") for stem in sorted(stems)]
        return [self.machine.read(path) for paths in made for path in paths[:-1]]

    def set_catalogue(
        self, current: bytes | bool | None, previous: bytes | bool | None = True
    ) -> None:
        slots = [OPFS / name for name in SLOTS]
        frames = [(frame_in(self.machine.read(path)), path) for path in slots]
        by_number = {frame.number: (frame, path) for frame, path in frames if frame}
        newest = by_number[max(by_number)]
        for data, found in ((current, newest), (previous, by_number.get(newest[0].before))):
            if data is not True and found:
                self._set(found[1], data)

    def refuse(self, error: type[StoreError] | None) -> None:
        numbers = {StoreFull: errno.ENOSPC, StoreReadOnly: errno.EROFS}
        self.machine.refuses = numbers[error] if error else None

    def _paths(self) -> list[Path]:
        return sorted(self.machine.files)

    def _made(self, stem: str, suffix: str) -> list[Path]:
        """The files of a stem, the one that counts last."""
        name = re.compile(rf"{OPFS / stem}(?:\.([0-9]+))?\{suffix}")
        found = [(name.fullmatch(str(path)), path) for path in self._paths()]
        turns = [(int(turn[1] or 1), path) for turn, path in found if turn]
        return [path for _, path in sorted(turns)]

    def _set(self, path: Path, data: bytes | None) -> None:
        if data is None:
            self.machine.unlink(path)
        else:
            self.machine.files[path][:] = data


MEDIA: dict[str, type[Bench]] = {"files": FileBench, "memory": MemoryBench, "opfs": OpfsBench}
"""each is made of a folder that is its own"""


@pytest.fixture(params=MEDIA)
def bench(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Bench]:
    """Each medium in turn. A test module that wants it names it in its ``__all__``."""
    made = MEDIA[request.param](tmp_path / "data")
    yield made
    if made.store:
        made.store.close()


def create(store: Keeper, job: str = "HERON-HIDE", **more: Any) -> Any:
    return asyncio.run(store.create(job, PLAN, **more))


def opened(store: Keeper, job: str = "HERON-HIDE") -> Any:
    return asyncio.run(store.open(job))


def cards(store: Keeper) -> dict[str, Any]:
    return {card.id: card for card in asyncio.run(store.list_jobs())}
