"""The browser's file handles in Python's words: all that knows of JavaScript's values is here.

The Origin Private File System hands out folders and files asynchronously, and to a dedicated
worker files that are held: one holder at a time, and its calls are synchronous. Outside of a
browser's Python the same classes take whatever has handles of the same shape, with bytes and
dicts where the browser has arrays and objects.
"""

from __future__ import annotations

import errno
import sys
from asyncio import gather
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from typing import Any

from fieldapp.store.errors import (
    NoSuchJob,
    StoreBusy,
    StoreError,
    StoreFailed,
    StoreFull,
    StoreReadOnly,
    of_os_error,
)

if sys.platform == "emscripten":
    import js
    from pyodide.ffi import JsException as Refusal
    from pyodide.ffi import to_js as _given

    def _options(**said: Any) -> Any:
        out = js.Object.new()
        for key, value in said.items():
            setattr(out, key, value)
        return out

    # Python's side takes for an exception what has a name, a message and a stack. Where a full
    # medium raises a class of its own without one (Chromium 156) whoever waits for it waits for ever.
    if hasattr(js, "QuotaExceededError"):
        js.Object.defineProperty(js.QuotaExceededError.prototype, "stack", _options(value=""))

    def _room(size: int) -> Any:
        return js.Uint8Array.new(size)

    def _bytes(buffer: Any) -> bytes:
        return buffer.to_bytes()

else:

    class Refusal(Exception):
        """What a handle raises; ``name`` is that of the browser's exception."""

        def __init__(self, name: str) -> None:
            super().__init__(name)
            self.name = name

    _options = dict
    _given = bytes
    _room = bytearray
    _bytes = bytes

_NO_SPACE = 2**32 - 8
"""Chromium's FILE_ERROR_NO_SPACE, -8, as the count without sign that a write gives (150, 156)"""
TROUBLES = (Refusal, OSError, StoreError)
"""what a medium that refuses comes to, here and further up"""

_NOT_THERE = ("NotFoundError", "TypeMismatchError")
_ERRORS: dict[str, type[StoreError]] = {
    "QuotaExceededError": StoreFull,
    "NoModificationAllowedError": StoreBusy,
    "NotAllowedError": StoreReadOnly,
    "SecurityError": StoreReadOnly,
}


@contextmanager
def as_store_error(job: str = "") -> Iterator[None]:
    """Raise the store's error for the browser's, by its name."""
    try:
        yield
    except Refusal as error:
        name = str(error.name)
        if job and name in _NOT_THERE:
            raise NoSuchJob(job) from error
        raise _ERRORS.get(name, StoreFailed)(job) from error
    except OSError as error:
        raise of_os_error(error, job) from error


class Held:
    """A file that nobody else can hold meanwhile; every call returns when it is done."""

    def __init__(self, handle: Any) -> None:
        self._handle = handle

    def size(self) -> int:
        """Bytes in the file."""
        return int(self._handle.getSize())

    def read(self) -> bytes:
        """All bytes of the file."""
        size = self.size()
        room = _room(size)
        if self._handle.read(room, _options(at=0)) != size:
            raise OSError(errno.EIO, "not all was read")
        return _bytes(room)

    def write(self, place: int, data: bytes) -> None:
        """Write all of it at a place, or raise; a part of it may be there then.

        Where there is no room some browsers raise nothing: one says how little it took, another
        gives the number of its own error.
        """
        took = int(self._handle.write(_given(data), _options(at=place)))
        if took != len(data):
            is_full = took < len(data) or took == _NO_SPACE
            raise OSError(errno.ENOSPC if is_full else errno.EIO, f"took {took} of {len(data)}")

    def cut(self, size: int) -> None:
        """Take away what is behind ``size``; a file that is shorter stays as it is."""
        if self.size() > size:
            self._handle.truncate(size)
            if self.size() != size:  # not every browser raises
                raise OSError(errno.EIO, "not cut")

    def flush(self) -> None:
        """Wait until the medium has what was written, and the file's name."""
        self._handle.flush()

    def close(self) -> None:
        """Let the file go; closing twice does nothing."""
        self._handle.close()


async def _new(get: Callable[..., Awaitable[Any]], name: str) -> Any:
    """Return the handle of that name, which is made where there is none."""
    return await get(name, _options(create=True))


class File:
    """A file by its name. It may have gone since; then its calls raise NotFoundError."""

    def __init__(self, handle: Any, path: str) -> None:
        self._handle = handle
        self.path = path
        """from the store's root"""

    @property
    def name(self) -> str:
        """Its name in its folder."""
        return self.path.rpartition("/")[2]

    async def hold(self) -> Held:
        """Hold it. NoModificationAllowedError while somebody does."""
        return Held(await self._handle.createSyncAccessHandle())

    async def size(self) -> int:
        """Bytes in the file."""
        return int((await self._handle.getFile()).size)

    async def read(self) -> bytes:
        """All bytes of the file, whoever holds it."""
        return _bytes(await (await self._handle.getFile()).arrayBuffer())


class Folder:
    """A folder by its name."""

    def __init__(self, handle: Any, path: str = "") -> None:
        self._handle = handle
        self._path = path

    async def file(self, name: str) -> File:
        """The file of that name, made empty where there is none."""
        return File(await _new(self._handle.getFileHandle, name), self._at(name))

    async def found(self, name: str) -> File | None:
        """The file of that name, None where there is none."""
        try:
            return File(await self._handle.getFileHandle(name), self._at(name))
        except Refusal as error:
            if error.name not in _NOT_THERE:
                raise
            return None

    async def folder(self, name: str) -> Folder:
        """The folder of that name, made where there is none."""
        return Folder(await _new(self._handle.getDirectoryHandle, name), self._at(name))

    async def found_folder(self, name: str) -> Folder | None:
        """The folder of that name, None where there is none."""
        try:
            return Folder(await self._handle.getDirectoryHandle(name), self._at(name))
        except Refusal as error:
            if error.name not in _NOT_THERE:
                raise
            return None

    async def found_at(self, path: str) -> File | None:
        """The file at a path from here, None where there is none."""
        folder: Folder | None = self
        *above, name = path.split("/")
        for step in above:
            folder = await folder.found_folder(step) if folder else None
        return await folder.found(name) if folder else None

    async def files(self) -> list[tuple[File, int]]:
        """Every file in it, and the bytes in it."""
        found = [
            File(handle, self._at(handle.name))
            async for handle in self._handle.values()
            if handle.kind == "file"
        ]
        return list(zip(found, await gather(*(file.size() for file in found)), strict=True))

    async def remove(self, name: str) -> None:
        """Take a file away."""
        await self._handle.removeEntry(name)

    def _at(self, name: str) -> str:
        return f"{self._path}/{name}" if self._path else name
