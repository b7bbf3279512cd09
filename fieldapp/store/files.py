"""The store on files: ``DIR/jobs/ID.journal``, ``DIR/catalogue`` and its previous copy.

Pictures lie in ``DIR/jobs/ID.photos/SHA256.jpg``.

Durable means: written, flushed to the medium, and its name in the folder flushed too.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from threading import Lock

from fieldapp.store.errors import BadJobId, JobExists, NoSuchJob, StoreBusy, of_os_error
from fieldapp.store.interface import Disk, is_photo_name, job_key
from fieldapp.store.keeper import Keeper
from fieldapp.store.reading import ReadingDisk
from fieldapp.store.system import SYSTEM, System

_SUFFIX = ".journal"
_PHOTOS = ".photos"
_PHOTO = ".jpg"
_NEW = ".new"
# Names that mean a device on one widespread system, whatever their suffix; an id has no "_".
_DEVICES = {
    "CON",
    "PRN",
    "AUX",
    "NUL",
    *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10)),
}


async def open_files(
    folder: Path,
    *,
    now: Callable[[], str],
    draw: Callable[[], str],
    or_read: bool = False,
    system: System = SYSTEM,
) -> Keeper:
    """Open the store in a folder, which is made when it is not there.

    ``now``: the time, RFC 3339 in UTC. ``draw``: a random id, used once an installation.
    Raises StoreBusy when another program has it open (with ``or_read`` the store then only
    reads), StoreFull or StoreReadOnly when a new folder cannot be made.
    """
    disk: Disk
    try:
        disk = FileDisk(folder, system)
    except StoreBusy:
        if not or_read:
            raise
        disk = ReadingDisk(FileDisk(folder, system, is_ours=False))
    try:
        return await Keeper.on(disk, now, draw)
    except BaseException:
        disk.close()
        raise


def read_journal(folder: Path, job_id: str) -> bytes:
    """Return a journal's bytes without opening the store, also while another writes to it.

    Only ``journal.decode`` makes sense of them: the last record may be half written yet.
    Raises NoSuchJob, BadJobId.
    """
    job = job_key(job_id)
    with _as_store_error(job):
        return _journal_path(folder / "jobs", job).read_bytes()


def read_picture(folder: Path, job_id: str, sha256: str) -> bytes | None:
    """Return a kept picture in the same way; None where it is not there, or not as it was kept.

    Raises BadJobId.
    """
    data = _bytes_of(SYSTEM, _photo_path(folder / "jobs", job_key(job_id), sha256))
    return data if data is not None and hashlib.sha256(data).hexdigest() == sha256 else None


class FileDisk:
    """See ``interface.Disk``. Holds the folder's lock until it is closed.

    With ``is_ours`` false another program holds it, and nothing here may be written.
    """

    reads_only = False

    def __init__(self, folder: Path, system: System = SYSTEM, *, is_ours: bool = True) -> None:
        self._system = system
        self._jobs = folder / "jobs"
        self.copies = FileCopies(folder / "catalogue", system)
        self._photo_lock = Lock()
        self._lock = None
        if not is_ours:
            return
        with _as_store_error():
            _make_folder(system, self._jobs)
        self._lock = system.lock(folder / "lock")
        with suppress(OSError):  # on a medium that cannot be written they are durable already
            self._tidy()

    def _tidy(self) -> None:
        """See that what a program left that ended in the middle is durable, or gone."""
        for folder in (self._jobs, *list(self._jobs.parents)[:2]):
            self._system.flush_folder(folder)
        folders = [self._jobs]
        folders += (self._jobs / n for n in self._system.names(self._jobs) if n.endswith(_PHOTOS))
        for folder in folders:
            for name in self._system.names(folder):
                if name.endswith(_NEW):  # never acknowledged
                    with suppress(OSError):
                        self._system.unlink(folder / name)

    async def names(self) -> tuple[str, ...]:
        with _as_store_error():
            found = [_job_named(name) for name in self._system.names(self._jobs)]
        return tuple(sorted(job for job in found if job))

    async def size(self, name: str) -> int:
        with _as_store_error(name):
            return self._system.size(_journal_path(self._jobs, name))

    async def read(self, name: str) -> bytes:
        path = _journal_path(self._jobs, name)
        if self._lock is not None:
            with suppress(OSError):  # what is said of it may outlive what only the system has yet
                _flush_found(self._system, path)
        with _as_store_error(name):
            return self._system.read(path)

    async def make(self, name: str, data: bytes) -> None:
        path = _journal_path(self._jobs, name)
        if self._system.exists(path):
            raise JobExists(name)
        with _as_store_error(name):
            _write_whole(self._system, path, data)

    async def remake(self, name: str, data: bytes, aside: tuple[tuple[int, bytes], ...]) -> None:
        path = _journal_path(self._jobs, name)
        with _as_store_error(name):
            _put_aside(self._system, path, aside)
            fresh = _write_beside(self._system, path, data)
            self._system.replace(fresh, path)  # either is whole; ``take`` flushes the name

    async def take(self, name: str, end: int, aside: tuple[tuple[int, bytes], ...]) -> FileTail:
        return FileTail(_journal_path(self._jobs, name), name, end, aside, self._system)

    async def photo_names(self, name: str) -> frozenset[str]:
        folder = _beside_journal(self._jobs, name, _PHOTOS)
        with _as_store_error(name):
            if not self._system.is_folder(folder):
                return frozenset()
            names = self._system.names(folder)
        stems = (one.removesuffix(_PHOTO) for one in names if one.endswith(_PHOTO))
        return frozenset(filter(is_photo_name, stems))

    async def read_photo(self, name: str, photo: str) -> bytes | None:
        return _bytes_of(self._system, _photo_path(self._jobs, name, photo))

    async def make_photo(self, name: str, photo: str, data: bytes) -> None:
        system, path = self._system, _photo_path(self._jobs, name, photo)
        # Two threads with the same picture would write the same new file.
        with self._photo_lock, _as_store_error(name):
            _make_folder(system, path.parent)
            if _bytes_of(system, path) == data:
                _flush_found(system, path)
            else:
                fresh = _write_beside(system, path, data)
                with suppress(FileNotFoundError):  # damaged bytes, if any
                    system.replace(path, _free_name(system, path))
                system.replace(fresh, path)
            system.flush_folder(path.parent)
            system.flush_folder(self._jobs)

    def close(self) -> None:
        if self._lock is not None:
            self._lock.release()


class FileTail:
    """See ``interface.Tail``. What is behind ``end`` was never acknowledged, and is cut off."""

    def __init__(
        self,
        path: Path,
        job: str,
        end: int,
        aside: tuple[tuple[int, bytes], ...],
        system: System = SYSTEM,
    ) -> None:
        self._path = path
        self._job = job
        self._end = end
        self._aside = aside
        self._system = system
        self._fd: int | None = None
        self._is_named = False
        self._is_settled = False
        with suppress(OSError):  # a full or read-only disk may still be read; ``add`` will tell
            self._settle()

    def add(self, *parts: bytes) -> None:
        end = self._end
        with _as_store_error(self._job):
            try:
                fd = self._settle()
                for data in parts:
                    _write_all(self._system, fd, end, data)
                    self._system.flush(fd)
                    end += len(data)
            except BaseException:
                self._is_settled = False
                with suppress(OSError):  # then the next ``add``, or the next start, cuts it
                    self._settle()
                raise
        self._end = end

    def close(self) -> None:
        if self._fd is not None:
            self._system.close(self._fd)
            self._fd = None

    def _settle(self) -> int:
        """Bring the file to its last whole record, durably, and return its descriptor."""
        if self._fd is None:
            self._fd = self._system.open(self._path)
        if not self._is_settled:
            _put_aside(self._system, self._path, self._aside)
            self._aside = ()
            self._system.cut(self._fd, self._end)
            # Records read from the system's cache may not have reached the medium yet, nor the
            # name, where the program that made the journal was ended in the middle.
            self._system.flush(self._fd)
            if not self._is_named:
                self._system.flush_folder(self._path.parent)
                self._is_named = True
            self._is_settled = True
        return self._fd


class FileCopies:
    """See ``interface.Copies``."""

    def __init__(self, path: Path, system: System = SYSTEM) -> None:
        self._current = path
        self._previous = path.with_name("catalogue.previous")
        self._system = system

    def read(self) -> tuple[bytes | None, bytes | None]:
        return _bytes_of(self._system, self._current), _bytes_of(self._system, self._previous)

    def put(self, data: bytes, *, keep_current: bool) -> None:
        with _as_store_error():
            fresh = _write_beside(self._system, self._current, data)
            if keep_current:
                with suppress(FileNotFoundError):  # gone: the previous copy is the best there is
                    self._system.replace(self._current, self._previous)
            self._system.replace(fresh, self._current)
            self._system.flush_folder(self._current.parent)


def _journal_path(jobs: Path, job: str) -> Path:
    return _beside_journal(jobs, job, _SUFFIX)


def _photo_path(jobs: Path, job: str, photo: str) -> Path:
    return _beside_journal(jobs, job, _PHOTOS) / f"{photo}{_PHOTO}"


def _beside_journal(jobs: Path, job: str, suffix: str) -> Path:
    return jobs / f"{job}{'_' if job in _DEVICES else ''}{suffix}"


def _free_name(system: System, path: Path) -> Path:
    """Return a name beside ``path`` for what is no longer what its name says."""
    names = (path.with_name(f"{path.name}.bad-{number}") for number in count(1))
    return next(name for name in names if not system.exists(name))


def _job_named(file_name: str) -> str | None:
    """Return the job whose journal has this name, None for any other file."""
    if not file_name.endswith(_SUFFIX):
        return None
    stem = file_name.removesuffix(_SUFFIX)
    job = stem.removesuffix("_")
    try:
        is_ours = job_key(job) == job and (stem != job) == (job in _DEVICES)
    except BadJobId:
        return None
    return job if is_ours else None


@contextmanager
def _as_store_error(job: str = "") -> Iterator[None]:
    try:
        yield
    except FileNotFoundError as error:
        raise NoSuchJob(job) if job else of_os_error(error) from error
    except OSError as error:
        raise of_os_error(error, job) from error


def _bytes_of(system: System, path: Path) -> bytes | None:
    """Return a file's bytes, None when it is not there; one that cannot be read counts as bad."""
    try:
        return system.read(path)
    except FileNotFoundError:
        return None
    except OSError:
        return b""


def _put_aside(system: System, journal: Path, pieces: tuple[tuple[int, bytes], ...]) -> None:
    """Copy what is no record beside the journal, once, before anything is cut."""
    for place, data in pieces:
        beside = journal.with_name(f"{journal.name}.bad-{place}-{zlib.crc32(data):08x}")
        if not system.exists(beside):
            _write_whole(system, beside, data)


def _write_whole(system: System, path: Path, data: bytes) -> None:
    """Make a file durable under its name: it is there whole, or not at all."""
    system.replace(_write_beside(system, path, data), path)
    try:
        system.flush_folder(path.parent)
    except BaseException:
        with suppress(OSError):  # its name may not stay: then there was no such file
            system.unlink(path)
        raise


def _write_beside(system: System, path: Path, data: bytes) -> Path:
    """Write the bytes durably to a file beside ``path`` and return its path."""
    fresh = path.with_name(path.name + _NEW)
    fd = system.create(fresh)
    try:
        _write_all(system, fd, 0, data)
        system.flush(fd)
    except BaseException:
        system.close(fd)
        with suppress(OSError):  # room for the next try
            system.unlink(fresh)
        raise
    system.close(fd)
    return fresh


def _write_all(system: System, fd: int, place: int, data: bytes) -> None:
    left = memoryview(data)
    while left:
        taken = system.write(fd, place, left)
        place, left = place + taken, left[taken:]


def _flush_found(system: System, path: Path) -> None:
    """See that a file found in place is on the medium and not only in the system's cache."""
    fd = system.open(path)
    try:
        system.flush(fd)
    finally:
        system.close(fd)


def _make_folder(system: System, folder: Path) -> None:
    """Make a folder and those above it, each durable in its parent."""
    if system.is_folder(folder):
        return
    _make_folder(system, folder.parent)
    system.make_folder(folder)
    system.flush_folder(folder.parent)
