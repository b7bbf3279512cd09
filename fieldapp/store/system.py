"""What the store asks of the system: each call in one place, so that a test can be the system.

Paths lead into the data folder only. All calls raise ``OSError`` as the system does.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from fieldapp.store.locks import FolderLock

try:
    import fcntl
except ImportError:  # Windows, and browsers, where ``fsync`` is all there is
    fcntl = None  # type: ignore[assignment]

_BINARY = getattr(os, "O_BINARY", 0)


class System:
    """Files as they are. The store makes no other calls, and these keep no state."""

    def lock(self, path: Path) -> FolderLock:
        """Hold the folder for this program. Raises StoreBusy."""
        return FolderLock(path)

    def read(self, path: Path) -> bytes:
        """All bytes of a file."""
        return path.read_bytes()

    def size(self, path: Path) -> int:
        """Bytes in a file."""
        return path.stat().st_size

    def exists(self, path: Path) -> bool:
        """Whether there is anything of that name."""
        return path.exists()

    def is_folder(self, path: Path) -> bool:
        """Whether there is a folder of that name."""
        return path.is_dir()

    def names(self, folder: Path) -> list[str]:
        """What is in a folder."""
        return os.listdir(folder)  # noqa: PTH208  # names are all that is wanted

    def make_folder(self, folder: Path) -> None:
        """Make one folder, or find it made."""
        folder.mkdir(exist_ok=True)

    def create(self, path: Path) -> int:
        """Open a file for writing, empty, made if need be; its descriptor."""
        return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | _BINARY, 0o600)

    def open(self, path: Path) -> int:
        """Open a file that is there for writing; its descriptor."""
        return os.open(path, os.O_RDWR | _BINARY)

    def write(self, fd: int, place: int, data: bytes | memoryview) -> int:
        """Write at a place; how many bytes the system took."""
        os.lseek(fd, place, os.SEEK_SET)
        return os.write(fd, data)

    def cut(self, fd: int, size: int) -> None:
        """Take away what is behind ``size``."""
        os.ftruncate(fd, size)

    def flush(self, fd: int) -> None:
        """Wait until the medium has what was written to a file."""
        full_sync = getattr(fcntl, "F_FULLFSYNC", None)
        if full_sync is not None:
            # There fsync only hands the bytes to the drive, whose cache a dead battery empties.
            with suppress(OSError):
                fcntl.fcntl(fd, full_sync)
                return
        os.fsync(fd)

    def flush_folder(self, folder: Path) -> None:
        """Wait until the medium has the names in a folder."""
        if os.name == "nt":  # folders cannot be opened there, and need not
            return
        fd = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)

    def close(self, fd: int) -> None:
        """Let go of a descriptor."""
        os.close(fd)

    def replace(self, path: Path, name: Path) -> None:
        """Give a file another name, in place of what has it."""
        path.replace(name)

    def unlink(self, path: Path) -> None:
        """Take a name away."""
        path.unlink()


SYSTEM = System()
