"""The store in a browser's own file system: the names and bytes of ``files``, by other means.

There is no renaming, and no flushing of folders. What can be asked for is that a file's bytes,
and with them its name, are durable; a name taken away may come back. So nothing here depends on a
name's absence: a file without bytes is not there, and of two with one stem the later counts:
``ID.journal``, then ``ID.2.journal`` where it was written anew. Of pictures the earlier one stays,
as what it is: damaged bytes, put aside.
"""

from __future__ import annotations

import re
import zlib
from asyncio import Lock
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from fieldapp.store.errors import BadJobId, JobExists, NoSuchJob
from fieldapp.store.interface import Disk, is_photo_name, job_key
from fieldapp.store.keeper import Keeper
from fieldapp.store.opfs_handles import TROUBLES, File, Folder, Held, as_store_error
from fieldapp.store.opfs_slots import Slots
from fieldapp.store.opfs_whole import Maker, being_made
from fieldapp.store.reading import ReadingDisk

_JOBS = "jobs"
_JOURNAL = ".journal"
_PHOTOS = ".photos"
_PHOTO = ".jpg"
_STEM = re.compile(r"(?P<stem>[^.]+)(?:\.(?P<turn>[1-9][0-9]{0,8}))?")

Aside = tuple[tuple[int, bytes], ...]


async def open_opfs(
    root: Any, *, now: Callable[[], str], draw: Callable[[], str], or_read: bool = False
) -> Keeper:
    """Open the store in a folder of the browser's file system, from a dedicated worker.

    ``root``: the folder's handle. ``now``: the time, RFC 3339 in UTC. ``draw``: a random id, used
    once an installation. Raises StoreBusy while another worker has it open (with ``or_read`` the
    store then only reads), and StoreFull where there is no room for a new store's files.
    """
    folder = Folder(root)
    disk: Disk
    with as_store_error():
        jobs = await folder.folder(_JOBS)
        disk = await _held(folder, jobs) if not or_read else await _held_or_read(folder, jobs)
    try:
        return await Keeper.on(disk, now, draw)
    except BaseException:
        disk.close()
        raise


async def _held(root: Folder, jobs: Folder) -> OpfsDisk:
    maker = await Maker.on(root)
    try:
        disk = OpfsDisk(root, jobs, await Slots.on(root), maker)
    except BaseException:
        maker.close()
        raise
    try:
        await disk.tidy()
    except BaseException:
        disk.close()
        raise
    return disk


async def _held_or_read(root: Folder, jobs: Folder) -> Disk:
    try:
        return await _held(root, jobs)
    except TROUBLES as error:
        if getattr(error, "name", "") != "NoModificationAllowedError":
            raise
        return ReadingDisk(OpfsDisk(root, jobs, await Slots.beside(root), None))


@dataclass(frozen=True)
class Version:
    """A file that was made whole, and which in its turn under its stem."""

    turn: int
    file: File


class OpfsDisk:
    """See ``interface.Disk``. Without a ``maker`` another worker holds it, and it is only read."""

    reads_only = False

    def __init__(self, root: Folder, jobs: Folder, slots: Slots, maker: Maker | None) -> None:
        self.copies = slots
        self._root = root
        self._jobs = jobs
        self._maker = maker
        self._journals: dict[str, Version] = {}
        self._tails: dict[str, OpfsTail] = {}
        self._making = Lock()  # two makers of one file would be in each other's way

    async def tidy(self) -> None:
        """Find the journals, and take away what is there of earlier ones."""
        litter = await self._look()
        for name in litter:
            with suppress(*TROUBLES):
                await self._jobs.remove(name)

    async def _look(self) -> list[str]:
        """Note the journals there are; the names of such files as are none, or no longer."""
        half = await self._half()
        found: dict[str, Version] = {}
        litter = []
        rows = [
            (*_told(file.name, _JOURNAL), file, size) for file, size in await self._jobs.files()
        ]
        for stem, turn, file, size in sorted(rows, key=lambda row: row[:2], reverse=True):
            if not _is_job(stem) or file.path == half:
                continue
            if size and stem not in found:
                found[stem] = Version(turn, file)
            else:
                litter.append(file.name)
        self._journals = found
        return litter

    async def names(self) -> tuple[str, ...]:
        if self._maker is None:  # whoever holds it may have made one
            with as_store_error():
                await self._look()
        return tuple(sorted(self._journals))

    async def size(self, name: str) -> int:
        with as_store_error(name):
            if name in self._tails:
                return self._tails[name].held.size()
            return await self._journal(name).size()

    async def read(self, name: str) -> bytes:
        with as_store_error(name):
            if name in self._tails:
                return self._tails[name].held.read()
            if self._maker is not None:
                file = self._journal(name)
                with suppress(*TROUBLES):
                    return await _flushed(file)
                return await file.read()
            await self._look()  # whoever holds it may have written it anew
            return await self._journal(name).read()

    async def make(self, name: str, data: bytes) -> None:
        async with self._making:
            if name in self._journals:
                raise JobExists(name)
            with as_store_error(name):
                file = await self._make(self._jobs, _named(name, 1, _JOURNAL), data)
            self._journals[name] = Version(1, file)

    async def remake(self, name: str, data: bytes, aside: Aside) -> None:
        async with self._making:
            with as_store_error(name):
                old = self._journals[name]
                for beside, piece in _pieces(name, aside):
                    if await _made(self._jobs, beside) is None:
                        await self._make(self._jobs, beside, piece)
                turn = old.turn + 1
                file = await self._make(self._jobs, _named(name, turn, _JOURNAL), data)
            self._journals[name] = Version(turn, file)
            with suppress(*TROUBLES):  # it no longer counts
                await self._jobs.remove(old.file.name)

    async def take(self, name: str, end: int, aside: Aside) -> OpfsTail:
        assert self._maker is not None
        with as_store_error(name):
            held = await self._journal(name).hold()
        tail = OpfsTail(held, name, end, self._maker, lambda: self._tails.pop(name, None))
        self._tails[name] = tail
        try:
            for beside, piece in _pieces(name, aside):
                # Adding cannot wait for a file to be found, and may have to be the one to cut.
                try:
                    if await _made(self._jobs, beside) is None:
                        file = await self._jobs.file(beside)
                        tail.put_aside(await file.hold(), file.path, piece)
                except TROUBLES as error:
                    tail.cannot_cut(error)
        except BaseException:
            tail.close()
            raise
        tail.begin()
        return tail

    async def photo_names(self, name: str) -> frozenset[str]:
        with as_store_error(name):
            folder = await self._jobs.found_folder(name + _PHOTOS)
            files = await folder.files() if folder else []
            half = await self._half()
        told = (_told(file.name, _PHOTO)[0] for file, size in files if size and file.path != half)
        return frozenset(filter(is_photo_name, told))

    async def read_photo(self, name: str, photo: str) -> bytes | None:
        with as_store_error(name):
            folder = await self._jobs.found_folder(name + _PHOTOS)
            versions = await _versions(folder, photo) if folder else []
            whole = [file for file in versions if await file.size()]
        if not whole:
            return b"" if versions else None
        return await _bytes_of(whole[-1])

    async def make_photo(self, name: str, photo: str, data: bytes) -> None:
        assert self._maker is not None
        async with self._making:
            with as_store_error(name):
                self._maker.settle()
                folder = await self._jobs.folder(name + _PHOTOS)
                versions = await _versions(folder, photo)
                there = await _bytes_of(versions[-1]) if versions else None
                if there == data:  # durable since it was made
                    return
                if versions and not await versions[-1].size():
                    await _flushed(versions[-1])  # its name: the next is looked for behind it
                turn = len(versions) + 1
                await self._make(folder, _named(photo, turn, _PHOTO), data)

    async def _half(self) -> str | None:
        """The path of what is being made this moment, or could not be undone."""
        return await being_made(self._root) if self._maker is None else self._maker.half

    async def _make(self, folder: Folder, name: str, data: bytes) -> File:
        assert self._maker is not None
        found = await folder.found(name)
        file = found or await folder.file(name)
        held = await file.hold()
        try:
            self._maker.put(held, file.path, data)
        except BaseException:
            self._maker.let_go(held)
            if found is None:
                with suppress(*TROUBLES):
                    await folder.remove(name)
            raise
        self._maker.let_go(held)
        return file

    def _journal(self, name: str) -> File:
        if name not in self._journals:
            raise NoSuchJob(name)
        return self._journals[name].file

    def close(self) -> None:
        for tail in list(self._tails.values()):
            tail.close()
        self.copies.close()
        if self._maker is not None:
            self._maker.close()


class OpfsTail:
    """See ``interface.Tail``. What is behind ``end`` was never acknowledged, and is cut off."""

    def __init__(
        self, held: Held, job: str, end: int, maker: Maker, closed: Callable[[], object]
    ) -> None:
        self.held = held
        self._job = job
        self._end = end
        self._maker = maker
        self._closed = closed
        self._aside: list[tuple[Held, str, bytes]] = []
        self._refused: Exception | None = None
        self._is_settled = False

    def put_aside(self, fresh: Held, path: str, data: bytes) -> None:
        """Put these bytes in an empty file before anything is cut."""
        self._aside.append((fresh, path, data))

    def cannot_cut(self, error: Exception) -> None:
        """There was no file to be had for what must be put aside: only reading is left."""
        self._refused = error

    def begin(self) -> None:
        """Cut what lies behind the end, where the medium lets it now."""
        with suppress(*TROUBLES):
            self._settle()

    def add(self, *parts: bytes) -> None:
        end = self._end
        with as_store_error(self._job):
            try:
                self._settle()
                for data in parts:
                    self.held.write(end, data)
                    self.held.flush()
                    end += len(data)
            except BaseException:
                self._is_settled = False
                with suppress(*TROUBLES):  # then the next ``add``, or the next start, cuts it
                    self._settle()
                raise
        self._end = end

    def close(self) -> None:
        for fresh, _, _ in self._aside:
            self._maker.let_go(fresh)
        self._aside = []
        self.held.close()
        self._closed()

    def _settle(self) -> None:
        """Bring the file to its last whole record, durably."""
        self._maker.settle()
        if self._is_settled:
            return
        if self._refused is not None:
            raise self._refused
        while self._aside:
            fresh, path, data = self._aside[0]
            self._maker.put(fresh, path, data)
            self._maker.let_go(fresh)
            del self._aside[0]
        self.held.cut(self._end)
        self.held.flush()
        self._is_settled = True


def _named(stem: str, turn: int, suffix: str) -> str:
    """Return the name of a file that is the first of its stem, or a later one."""
    return f"{stem}{suffix}" if turn == 1 else f"{stem}.{turn}{suffix}"


def _told(file_name: str, suffix: str) -> tuple[str, int]:
    """Return stem and turn of a file's name; no stem where it is another kind of name."""
    found = _STEM.fullmatch(file_name.removesuffix(suffix)) if file_name.endswith(suffix) else None
    return (found["stem"], int(found["turn"] or 1)) if found else ("", 0)


def _is_job(stem: str) -> bool:
    try:
        return job_key(stem) == stem
    except BadJobId:
        return False


def _pieces(job: str, aside: Aside) -> Iterable[tuple[str, bytes]]:
    """Return what is no record, and the name of the file that is to hold it."""
    for place, data in aside:
        yield f"{job}{_JOURNAL}.bad-{place}-{zlib.crc32(data):08x}", data


async def _made(folder: Folder, name: str) -> File | None:
    """Return a file that was made whole, None where there is none."""
    file = await folder.found(name)
    return file if file and await file.size() else None


async def _versions(folder: Folder, photo: str) -> list[File]:
    """Return all files of a picture in their turn; none is ever taken away once it was made."""
    out: list[File] = []
    while file := await folder.found(_named(photo, len(out) + 1, _PHOTO)):
        out.append(file)
    return out


async def _flushed(file: File) -> bytes:
    """Return a file's bytes; what is said of them may outlive what only the system has yet."""
    held = await file.hold()
    try:
        held.flush()
        return held.read()
    finally:
        held.close()


async def _bytes_of(file: File) -> bytes:
    """Return a file's bytes; one that cannot be read counts as bad."""
    try:
        return await file.read()
    except TROUBLES:
        return b""
