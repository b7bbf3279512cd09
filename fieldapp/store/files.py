"""The store on files: ``DIR/jobs/ID.journal``, ``DIR/catalogue`` and its previous copy.

Pictures lie in ``DIR/jobs/ID.photos/SHA256.jpg``.

Durable means: written, flushed to the medium, and its name in the folder flushed too.
"""

from __future__ import annotations

import os
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from threading import Lock

from fieldapp.store.errors import BadJobId, JobExists, NoSuchJob, of_os_error
from fieldapp.store.interface import is_photo_name, job_key
from fieldapp.store.keeper import Keeper
from fieldapp.store.locks import FolderLock, fcntl

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


async def open_files(folder: Path, *, now: Callable[[], str], draw: Callable[[], str]) -> Keeper:
    """Open the store in a folder, which is made when it is not there.

    ``now``: the time, RFC 3339 in UTC. ``draw``: a random id, used once an installation.
    Raises StoreBusy when another program has it open, StoreFull or StoreReadOnly when a new
    folder cannot be made.
    """
    disk = FileDisk(folder)
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


class FileDisk:
    """See ``interface.Disk``. Holds the folder's lock until it is closed."""

    def __init__(self, folder: Path) -> None:
        self._jobs = folder / "jobs"
        with _as_store_error():
            _make_folder(self._jobs)
        self._lock = FolderLock(folder / "lock")
        self.copies = FileCopies(folder / "catalogue")
        self._photo_lock = Lock()
        leftovers = (f"*{_SUFFIX}{_NEW}", f"*{_PHOTOS}/*{_PHOTO}{_NEW}")
        for leftover in (path for names in leftovers for path in self._jobs.glob(names)):
            with suppress(OSError):  # of a creation that was never acknowledged
                leftover.unlink()

    async def names(self) -> tuple[str, ...]:
        with _as_store_error():
            found = [_job_named(path.name) for path in self._jobs.iterdir()]
        return tuple(sorted(job for job in found if job))

    async def size(self, name: str) -> int:
        with _as_store_error(name):
            return _journal_path(self._jobs, name).stat().st_size

    async def read(self, name: str) -> bytes:
        with _as_store_error(name):
            return _journal_path(self._jobs, name).read_bytes()

    async def make(self, name: str, data: bytes) -> None:
        path = _journal_path(self._jobs, name)
        if path.exists():
            raise JobExists(name)
        with _as_store_error(name):
            _write_whole(path, data)

    async def take(self, name: str, end: int, aside: tuple[tuple[int, bytes], ...]) -> FileTail:
        return FileTail(_journal_path(self._jobs, name), name, end, aside)

    async def photo_names(self, name: str) -> frozenset[str]:
        folder = _beside_journal(self._jobs, name, _PHOTOS)
        with _as_store_error(name):
            if not folder.is_dir():
                return frozenset()
            stems = [path.stem for path in folder.iterdir() if path.suffix == _PHOTO]
        return frozenset(filter(is_photo_name, stems))

    async def read_photo(self, name: str, photo: str) -> bytes | None:
        return _bytes_of(_photo_path(self._jobs, name, photo))

    async def make_photo(self, name: str, photo: str, data: bytes) -> None:
        path = _photo_path(self._jobs, name, photo)
        # Two threads with the same picture would write the same new file.
        with self._photo_lock, _as_store_error(name):
            if not _journal_path(self._jobs, name).exists():
                raise NoSuchJob(name)
            _make_folder(path.parent)
            if _bytes_of(path) == data:
                _flush_found(path)
            else:
                fresh = _write_beside(path, data)
                with suppress(FileNotFoundError):  # damaged bytes, if any
                    path.replace(_free_name(path))
                fresh.replace(path)
            _flush_folder(path.parent)
            _flush_folder(self._jobs)

    def close(self) -> None:
        self._lock.release()


class FileTail:
    """See ``interface.Tail``. What is behind ``end`` was never acknowledged, and is cut off."""

    def __init__(self, path: Path, job: str, end: int, aside: tuple[tuple[int, bytes], ...]):
        self._path = path
        self._job = job
        self._end = end
        self._aside = aside
        self._fd: int | None = None
        self._is_settled = False
        with suppress(OSError):  # a full or read-only disk may still be read; ``add`` will tell
            self._settle()

    def add(self, data: bytes) -> None:
        with _as_store_error(self._job):
            try:
                fd = self._settle()
                os.lseek(fd, self._end, os.SEEK_SET)
                _write_all(fd, data)
                _flush(fd)
            except BaseException:
                self._is_settled = False
                with suppress(OSError):  # then the next ``add``, or the next start, cuts it
                    self._settle()
                raise
        self._end += len(data)

    def close(self) -> None:
        if self._fd is not None:
            os.close(self._fd)
            self._fd = None

    def _settle(self) -> int:
        """Bring the file to its last whole record, durably, and return its descriptor."""
        if self._fd is None:
            self._fd = os.open(self._path, os.O_RDWR | getattr(os, "O_BINARY", 0))
        if not self._is_settled:
            for place, data in self._aside:
                beside = f"{self._path.name}.bad-{place}-{zlib.crc32(data):08x}"
                if not self._path.with_name(beside).exists():
                    _write_whole(self._path.with_name(beside), data)
            self._aside = ()
            os.ftruncate(self._fd, self._end)
            # Records read from the system's cache may not have reached the medium yet.
            _flush(self._fd)
            self._is_settled = True
        return self._fd


class FileCopies:
    """See ``interface.Copies``."""

    def __init__(self, path: Path) -> None:
        self._current = path
        self._previous = path.with_name("catalogue.previous")

    def read(self) -> tuple[bytes | None, bytes | None]:
        return _bytes_of(self._current), _bytes_of(self._previous)

    def put(self, data: bytes, *, keep_current: bool) -> None:
        with _as_store_error():
            fresh = _write_beside(self._current, data)
            if keep_current:
                with suppress(FileNotFoundError):  # gone: the previous copy is the best there is
                    self._current.replace(self._previous)
            fresh.replace(self._current)
            _flush_folder(self._current.parent)


def _journal_path(jobs: Path, job: str) -> Path:
    return _beside_journal(jobs, job, _SUFFIX)


def _photo_path(jobs: Path, job: str, photo: str) -> Path:
    return _beside_journal(jobs, job, _PHOTOS) / f"{photo}{_PHOTO}"


def _beside_journal(jobs: Path, job: str, suffix: str) -> Path:
    return jobs / f"{job}{'_' if job in _DEVICES else ''}{suffix}"


def _free_name(path: Path) -> Path:
    """Return a name beside ``path`` for what is no longer what its name says."""
    names = (path.with_name(f"{path.name}.bad-{number}") for number in count(1))
    return next(name for name in names if not name.exists())


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


def _bytes_of(path: Path) -> bytes | None:
    """Return a file's bytes, None when it is not there; one that cannot be read counts as bad."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError:
        return b""


def _write_whole(path: Path, data: bytes) -> None:
    """Make a file durable under its name: it is there whole, or not at all."""
    _write_beside(path, data).replace(path)
    _flush_folder(path.parent)


def _write_beside(path: Path, data: bytes) -> Path:
    """Write the bytes durably to a file beside ``path`` and return its path."""
    fresh = path.with_name(path.name + _NEW)
    flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0)
    fd = os.open(fresh, flags, 0o600)
    try:
        _write_all(fd, data)
        _flush(fd)
    except BaseException:
        os.close(fd)
        with suppress(OSError):  # room for the next try
            fresh.unlink()
        raise
    os.close(fd)
    return fresh


def _write_all(fd: int, data: bytes) -> None:
    left = memoryview(data)
    while left:
        left = left[os.write(fd, left) :]


def _flush(fd: int) -> None:
    """Wait until the medium has it."""
    full_sync = getattr(fcntl, "F_FULLFSYNC", None)
    if full_sync is not None:
        # There fsync only hands the bytes to the drive, whose cache a dead battery empties.
        with suppress(OSError):
            fcntl.fcntl(fd, full_sync)
            return
    os.fsync(fd)


def _flush_found(path: Path) -> None:
    """See that a file found in place is on the medium and not only in the system's cache."""
    writable = os.O_RDWR if os.name == "nt" else os.O_RDONLY  # flushing needs it there
    fd = os.open(path, writable | getattr(os, "O_BINARY", 0))
    try:
        _flush(fd)
    finally:
        os.close(fd)


def _flush_folder(folder: Path) -> None:
    if os.name == "nt":  # folders cannot be opened there, and need not
        return
    fd = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)


def _make_folder(folder: Path) -> None:
    """Make a folder and those above it, each durable in its parent."""
    if folder.is_dir():
        return
    _make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    _flush_folder(folder.parent)
