"""A browser's own file system without a browser: handles of the same shape, on any machine.

``Root`` is a folder's handle on a machine that answers as ``fieldapp.store.system.System`` does:
``Plain`` is quick and refuses to order; ``CutDisk`` loses what was not flushed. Holding is as in
a browser: one holder a file, across all roots on a machine.
"""

from __future__ import annotations

import errno
from collections.abc import AsyncIterator, Callable, Iterator
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from typing import Any

from power_cuts import (
    FEW,
    MOST_LOOSE,
    NAMING,
    ROOT,
    Call,
    CutSystem,
    File,
    State,
    _is_reached,
    _name,
    _state,
)

from fieldapp.store.opfs_handles import Refusal
from fieldapp.store.system import System

_NAMES = {
    errno.ENOENT: "NotFoundError",
    errno.ENOSPC: "QuotaExceededError",
    errno.EROFS: "NotAllowedError",
}


def told(call: Callable[..., Any], *args: Any) -> Any:
    """What the machine says, its errors by the browser's names."""
    try:
        return call(*args)
    except OSError as error:
        raise Refusal(_NAMES.get(error.errno, "UnknownError")) from error


# ---------------------------------------------------------------- handles


@dataclass
class Root:
    """FileSystemDirectoryHandle."""

    machine: Any
    path: Path = ROOT
    kind: str = "directory"

    @property
    def name(self) -> str:
        return self.path.name

    async def getDirectoryHandle(self, name: str, options: Any = None) -> Root:
        path = self._inside(name)
        if path in self.machine.files:
            raise Refusal("TypeMismatchError")
        if not self.machine.is_folder(path):
            self._may_make(options)
            told(self.machine.make_folder, path)
        return Root(self.machine, path)

    async def getFileHandle(self, name: str, options: Any = None) -> FileHandle:
        path = self._inside(name)
        if self.machine.is_folder(path):
            raise Refusal("TypeMismatchError")
        if path not in self.machine.files:
            self._may_make(options)
            self.machine.close(told(self.machine.create, path))
        return FileHandle(self.machine, path)

    async def removeEntry(self, name: str) -> None:
        path = self._inside(name)
        if path in self.machine.holders:
            raise Refusal("NoModificationAllowedError")
        told(self.machine.unlink, path)

    async def values(self) -> AsyncIterator[Root | FileHandle]:
        for name in self.machine.names(self.path):
            path = self.path / name
            made = Root if self.machine.is_folder(path) else FileHandle
            yield made(self.machine, path)

    def _inside(self, name: str) -> Path:
        assert self.machine.is_folder(self.path)
        if not name or "/" in name or name in (".", ".."):
            raise Refusal("TypeError")
        return self.path / name

    @staticmethod
    def _may_make(options: Any) -> None:
        if not (options and options["create"]):
            raise Refusal("NotFoundError")


@dataclass
class FileHandle:
    """FileSystemFileHandle."""

    machine: Any
    path: Path
    kind: str = "file"

    @property
    def name(self) -> str:
        return self.path.name

    async def getFile(self) -> Snapshot:
        return Snapshot(self.machine, self.path, told(self.machine.size, self.path))

    async def createSyncAccessHandle(self) -> SyncHandle:
        if self.path in self.machine.holders:
            raise Refusal("NoModificationAllowedError")
        fd = told(self.machine.open, self.path)
        self.machine.holders.add(self.path)
        return SyncHandle(self.machine, self.path, fd)


@dataclass
class Snapshot:
    """File."""

    machine: Any
    path: Path
    size: int

    async def arrayBuffer(self) -> bytes:
        return told(self.machine.read, self.path)


@dataclass
class SyncHandle:
    """FileSystemSyncAccessHandle."""

    machine: Any
    path: Path
    fd: int | None

    def _open(self) -> int:
        if self.fd is None:
            raise Refusal("InvalidStateError")
        return self.fd

    def getSize(self) -> int:
        self._open()
        return told(self.machine.size, self.path)

    def read(self, room: bytearray, options: Any) -> int:
        self._open()
        got = told(self.machine.read, self.path)[options["at"] :][: len(room)]
        room[: len(got)] = got
        return len(got)

    def write(self, data: bytes, options: Any) -> int:
        return told(self.machine.write, self._open(), options["at"], data)

    def truncate(self, size: int) -> None:
        told(self.machine.cut, self._open(), size)

    def flush(self) -> None:
        told(self.machine.flush, self._open())

    def close(self) -> None:
        if self.fd is not None:
            self.machine.holders.discard(self.path)
            self.machine.close(self.fd)
            self.fd = None


# ---------------------------------------------------------------- machines


@dataclass
class Plain(System):
    """Files in memory.

    ``refuses``: the number of the error of every write, half of which is done. ``confirms``: whether cuts and flushes are
    done. ``makes``: whether new files are. ``calls`` counts writes and flushes.
    """

    files: dict[Path, bytearray] = field(default_factory=dict)
    folders: set[Path] = field(default_factory=lambda: {ROOT})
    holders: set[Path] = field(default_factory=set)
    refuses: int | None = None
    confirms: bool = True
    makes: bool = True
    calls: list[str] = field(default_factory=list)
    _opened: dict[int, bytearray] = field(default_factory=dict)

    def read(self, path: Path) -> bytes:
        return bytes(self._found(path))

    def size(self, path: Path) -> int:
        return len(self._found(path))

    def is_folder(self, path: Path) -> bool:
        return path in self.folders

    def names(self, folder: Path) -> list[str]:
        return [path.name for path in (*self.files, *self.folders) if path.parent == folder]

    def make_folder(self, folder: Path) -> None:
        self.folders.add(folder)

    def create(self, path: Path) -> int:
        if not self.makes:
            raise OSError(errno.ENOSPC, "as ordered")
        self.files[path] = bytearray()
        return self.open(path)

    def open(self, path: Path) -> int:
        fd = max(self._opened, default=2) + 1
        self._opened[fd] = self._found(path)
        return fd

    def write(self, fd: int, place: int, data: bytes) -> int:
        self.calls.append("write")
        file = self._opened[fd]
        some = data[: len(data) // 2] if self.refuses else data
        file.extend(bytes(max(0, place - len(file))))
        file[place : place + len(some)] = some
        if self.refuses:
            raise OSError(self.refuses, "as ordered")
        return len(some)

    def cut(self, fd: int, size: int) -> None:
        if not self.confirms:
            raise OSError(errno.EIO, "as ordered")
        del self._opened[fd][size:]

    def flush(self, fd: int) -> None:
        self.calls.append("flush")
        if not self.confirms:
            raise OSError(errno.EIO, "as ordered")

    def close(self, fd: int) -> None:
        del self._opened[fd]

    def unlink(self, path: Path) -> None:
        self._found(path)
        del self.files[path]

    def _found(self, path: Path) -> bytearray:
        if path not in self.files:
            raise FileNotFoundError(errno.ENOENT, "not there", str(path))
        return self.files[path]


class CutDisk(CutSystem):
    """See ``power_cuts``. No folder can be flushed: a file that is flushed has its name for good.

    Other names given, and all names taken, may be on the medium or not, in any order.
    """

    def __post_init__(self) -> None:
        if ROOT not in self.start.folders:  # the browser's own
            folders = tuple(sorted({*self.start.folders, ROOT}))
            self.start = State(self.start.files, folders)
        super().__post_init__()

    @property
    def holders(self) -> set[Path]:
        return self._held

    def flush_folder(self, folder: Path) -> None:
        raise AssertionError("no handle can do that")

    def replace(self, path: Path, name: Path) -> None:
        raise AssertionError("no handle can do that")

    def states(self, count: int) -> Iterator[State]:
        """As there, and each file's also with the others as they were flushed last.

        For here one file says of another whether it counts.
        """
        calls = self.calls[:count]
        contents = self._contents(calls)
        flushed = self._contents(self._flushed(calls))
        trees = list(self._trees(calls))
        known: set[State] = set()
        for number, (files, folders) in enumerate(trees):
            for base in (contents, flushed):
                held = {path: base.get(id(file), [b""])[0] for path, file in files.items()}
                found = [_state(held, folders)]
                if number < FEW or number >= len(trees) - FEW:
                    found += (
                        _state({**held, path: data}, folders)
                        for path, file in files.items()
                        for data in contents[id(file)]
                    )
                yield from (state for state in dict.fromkeys(found) if state not in known)
                known.update(found)

    def _flushed(self, calls: list[Call]) -> list[Call]:
        last = {id(call.of): index for index, call in enumerate(calls) if call.kind == "flush"}
        loose = ("write", "cut")
        return [
            call
            for index, call in enumerate(calls)
            if call.kind not in loose or index < last.get(id(call.of), -1)
        ]

    def _trees(self, calls: list[Call]) -> Iterator[tuple[dict[Path, File], set[Path]]]:
        loose = self._loose(calls)
        unlinks = {index: "no" for index in loose if calls[index].kind == "unlink"}
        last = loose[-MOST_LOOSE:]
        options = [NAMING[calls[index].kind] for index in last]
        ways = [dict(zip(last, chosen, strict=True)) for chosen in product(*options)]
        for how in (*ways, unlinks):
            files, folders = dict(self._first), set(self.start.folders)
            for index, call in enumerate(calls):
                _name(call, how.get(index, "yes"), files, folders)
            there = {path for path in folders if _is_reached(path, folders)}
            yield {path: file for path, file in files.items() if path.parent in there}, there

    def _loose(self, calls: list[Call]) -> list[int]:
        """Which calls that gave or took a name nothing made durable since."""
        names = {id(file): path for path, file in self._first.items()}
        names |= {id(call.file): call.name for call in calls if call.kind == "name"}
        sure: set[Path] = set()
        loose = []
        for index in reversed(range(len(calls))):
            call = calls[index]
            if call.kind == "flush":
                path = names[id(call.of)]
                sure |= {path, *path.parents}
            elif call.kind in NAMING:
                if call.kind == "unlink" or call.name not in sure:
                    loose.append(index)
                sure.discard(call.name)
        return loose[::-1]
