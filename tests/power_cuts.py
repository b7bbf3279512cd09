"""A file system whose power goes: it loses what was not flushed, reorders it, tears it.

``CutSystem`` stands in for ``fieldapp.store.system.System``. It does what it is asked in a cache
and writes down every call. ``states(count)`` then gives all sensible states of the medium had the
power gone behind so many calls, the last of them in the air; the store can be started on each.

What counts as sensible: what was flushed is there. Of what was not, any bytes of the last write,
from none to all, in front or behind, the rest of it as zeros or beyond the end of the file;
earlier writes and cuts with or without later ones; names given and taken in any order, a name that
moved also under both. Two files never mix, and a folder keeps no half a name.
"""

from __future__ import annotations

import errno
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from typing import Any

from fieldapp.store.errors import StoreBusy
from fieldapp.store.system import System

ROOT = Path("/data")
EVERY_BYTE = 400
"""places at which a write is torn: of one that is no longer, at every byte"""


class PowerCut(BaseException):
    """The program ends in the middle of a call."""


@dataclass
class File:
    """One file, whatever its names."""

    cache: bytes = b""


@dataclass(frozen=True)
class Call:
    """One call that alters something. ``of``: the file, or the folder of a name."""

    kind: str
    of: Any
    data: bytes = b""
    place: int = 0
    name: Path | None = None
    to: Path | None = None
    file: File | None = None


@dataclass
class CutSystem(System):
    """Files in memory; ``calls`` are all there were that alter something, in their order."""

    start: State
    calls: list[Call] = field(default_factory=list)
    cut_at: int | None = None
    """the call that the program does not live to see: it is done, and nothing after it"""
    fails_at: int | None = None
    """the call that fails, half done where it can be"""
    error: int = errno.ENOSPC
    torn_at: int = EVERY_BYTE
    """places at which a write is torn, its ends not counted"""
    _opened: dict[int, File] = field(default_factory=dict)
    _held: set[Path] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.files = {path: File(data) for path, data in self.start.files}
        self.folders = set(self.start.folders)
        self._first = dict(self.files)
        self._bases = {id(file): file.cache for file in self.files.values()}

    def image(self) -> State:
        """What a program sees."""
        return _state({path: file.cache for path, file in self.files.items()}, self.folders)

    def again(self) -> CutSystem:
        """The same machine when the program has ended and is started again."""
        self._held.clear()
        self._opened.clear()
        self.cut_at = self.fails_at = None
        return self

    # ------------------------------------------------------------ reading

    def lock(self, path: Path) -> Any:
        if path in self._held:
            raise StoreBusy
        self._held.add(path)
        return _Lock(self._held, path)

    def read(self, path: Path) -> bytes:
        return self._found(path).cache

    def size(self, path: Path) -> int:
        return len(self._found(path).cache)

    def exists(self, path: Path) -> bool:
        return path in self.files or path in self.folders

    def is_folder(self, path: Path) -> bool:
        return path in self.folders

    def names(self, folder: Path) -> list[str]:
        return [path.name for path in (*self.files, *self.folders) if path.parent == folder]

    def _found(self, path: Path) -> File:
        if path not in self.files:
            raise FileNotFoundError(errno.ENOENT, "not there", str(path))
        return self.files[path]

    # ------------------------------------------------------------ altering

    def make_folder(self, folder: Path) -> None:
        self._called(Call("folder", folder.parent, name=folder))
        self.folders.add(folder)
        self._lived()

    def create(self, path: Path) -> int:
        is_new = path not in self.files
        file = File() if is_new else self.files[path]
        self._called(
            Call("name", path.parent, name=path, file=file) if is_new else Call("cut", file)
        )
        self.files[path] = file
        file.cache = b""
        self._lived()
        return self._descriptor(file)

    def open(self, path: Path) -> int:
        return self._descriptor(self._found(path))

    def write(self, fd: int, place: int, data: bytes | memoryview) -> int:
        file, data = self._opened[fd], bytes(data)
        fails = self.fails_at == len(self.calls)
        if fails:
            data = data[: len(data) // 2]
            self.fails_at = None
        self._called(Call("write", file, data, place))
        file.cache = _written(file.cache, place, data)
        if fails:
            raise OSError(self.error, "as ordered")
        self._lived()
        return len(data)

    def cut(self, fd: int, size: int) -> None:
        file = self._opened[fd]
        if size == len(file.cache):
            return
        self._called(Call("cut", file, place=size))
        file.cache = file.cache[:size].ljust(size, b"\0")
        self._lived()

    def flush(self, fd: int) -> None:
        self._called(Call("flush", self._opened[fd]))
        self._lived()

    def flush_folder(self, folder: Path) -> None:
        self._called(Call("flush", folder))
        self._lived()

    def close(self, fd: int) -> None:
        self._opened.pop(fd, None)

    def replace(self, path: Path, name: Path) -> None:
        file = self._found(path)
        self._called(Call("move", path.parent, name=path, to=name, file=file))
        self.files[name] = self.files.pop(path)
        self._lived()

    def unlink(self, path: Path) -> None:
        self._found(path)
        self._called(Call("unlink", path.parent, name=path))
        del self.files[path]
        self._lived()

    def _descriptor(self, file: File) -> int:
        fd = max(self._opened, default=2) + 1
        self._opened[fd] = file
        return fd

    def _called(self, call: Call) -> None:
        self._lived()  # what ends a program runs nothing more of it
        if self.fails_at == len(self.calls):
            self.fails_at = None
            raise OSError(self.error, "as ordered")
        self.calls.append(call)

    def _lived(self) -> None:
        if self.cut_at is not None and len(self.calls) > self.cut_at:
            raise PowerCut

    # ------------------------------------------------------------ what is left

    def states(self, count: int) -> Iterator[State]:
        """Every sensible state of the medium behind the first ``count`` calls, each once.

        All trees of names with all bytes as they were written last; and with a few of the trees,
        all that each file may hold.
        """
        calls = self.calls[:count]
        trees = list(self._trees(calls))
        contents = self._contents(calls)
        known: set[State] = set()
        for number, (files, folders) in enumerate(trees):
            whole = {path: contents[id(file)][0] for path, file in files.items()}
            found = [_state(whole, folders)]
            if number < FEW or number >= len(trees) - FEW:
                found += (
                    _state({**whole, path: data}, folders)
                    for path, file in files.items()
                    for data in contents[id(file)][1:]
                )
            for state in found:
                if state not in known:
                    known.add(state)
                    yield state

    def _trees(self, calls: list[Call]) -> Iterator[tuple[dict[Path, File], set[Path]]]:
        """The names after these calls, in all orders in which they may have reached the medium."""
        flushed = {}
        for index, call in enumerate(calls):
            if call.kind == "flush":
                flushed[_key(call.of)] = index
        loose = [
            index
            for index, call in enumerate(calls)
            if call.kind in NAMING and flushed.get(_key(call.of), -1) < index
        ][-MOST_LOOSE:]
        options = [NAMING[calls[index].kind] for index in loose]
        for chosen in product(*options):
            how = dict(zip(loose, chosen, strict=True))
            files, folders = dict(self._first), set(self.start.folders)
            for index, call in enumerate(calls):
                _name(call, how.get(index, "yes"), files, folders)
            there = {path for path in folders if _is_reached(path, folders)}
            yield {path: file for path, file in files.items() if path.parent in there}, there

    def _contents(self, calls: list[Call]) -> dict[int, list[bytes]]:
        """All that may be in each file, as it was written last in front."""
        done: dict[int, list[Call]] = {ident: [] for ident in self._bases}
        for call in calls:
            for file in (call.of, call.file):
                if isinstance(file, File):
                    done.setdefault(id(file), [])
            if isinstance(call.of, File):
                done[id(call.of)].append(call)
        return {
            ident: list(dict.fromkeys(_variants(own, self._bases.get(ident, b""), self.torn_at)))
            for ident, own in done.items()
        }


@dataclass(frozen=True)
class _Lock:
    held: set[Path]
    path: Path

    def release(self) -> None:
        self.held.discard(self.path)


FEW = 3
"""trees of names, from the fullest and from the barest on, with which all bytes are tried"""
MOST_LOOSE = 5
"""names, or writes of one file, that may be on the medium or not; older ones are"""
NAMING = {
    "folder": ("yes", "no"),
    "name": ("yes", "no"),
    "unlink": ("yes", "no"),
    "move": ("yes", "both", "no"),
}
"""calls that give and take names, and what may have come of one"""


@dataclass(frozen=True)
class State:
    """A medium after the power went."""

    files: tuple[tuple[Path, bytes], ...] = ()
    folders: tuple[Path, ...] = (ROOT.parent,)


def _state(files: dict[Path, bytes], folders: set[Path]) -> State:
    return State(tuple(sorted(files.items())), tuple(sorted(folders)))


def _key(of: Any) -> Any:
    return id(of) if isinstance(of, File) else of


def _is_reached(path: Path, folders: set[Path]) -> bool:
    return path == ROOT.parent or (path in folders and _is_reached(path.parent, folders))


def _name(call: Call, how: str, files: dict[Path, File], folders: set[Path]) -> None:
    """One name given or taken."""
    if how == "no":
        return
    if call.kind == "folder":
        folders.add(call.name)
    elif call.kind == "name":
        files[call.name] = call.file
    elif call.kind == "unlink":
        files.pop(call.name, None)
    elif call.kind == "move":
        files[call.to] = call.file
        if how == "yes" and files.get(call.name) is call.file:
            del files[call.name]


def _variants(done: list[Call], base: bytes, torn_at: int) -> Iterator[bytes]:
    flushed = max((i + 1 for i, call in enumerate(done) if call.kind == "flush"), default=0)
    for call in done[:flushed]:
        base = _applied(base, call)
    loose = [call for call in done[flushed:] if call.kind != "flush"]
    yield _all(base, loose)
    if not loose:
        return
    for kept in product((True, False), repeat=min(len(loose), MOST_LOOSE)):
        keep = [call for call, is_kept in zip(loose[-MOST_LOOSE:], kept, strict=True) if is_kept]
        yield _all(base, [*loose[:-MOST_LOOSE], *keep])
    for count in range(max(0, len(loose) - MOST_LOOSE), len(loose)):
        yield from _torn(_all(base, loose[:count]), loose[count], torn_at)


def _torn(base: bytes, call: Call, torn_at: int) -> Iterator[bytes]:
    """A write of which a part arrived."""
    if call.kind != "write":
        return
    size = len(call.data)
    step = max(1, -(-size // torn_at))
    for end in {*range(0, size, step), 1, size - 1}:
        head, tail = call.data[:end], call.data[end:]
        yield _written(base, call.place, head)
        yield _written(base, call.place, head + bytes(len(tail)))
        yield _written(base, call.place, bytes(len(head)) + tail)


def _all(base: bytes, calls: list[Call]) -> bytes:
    for call in calls:
        base = _applied(base, call)
    return base


def _applied(base: bytes, call: Call) -> bytes:
    if call.kind == "write":
        return _written(base, call.place, call.data)
    if call.kind == "cut":
        return base[: call.place].ljust(call.place, b"\0")
    return base


def _written(base: bytes, place: int, data: bytes) -> bytes:
    return base[:place].ljust(place, b"\0") + data + base[place + len(data) :]
