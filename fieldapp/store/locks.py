"""One program writes to a data folder at a time. The system lets go when the holder dies."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path

from fieldapp.store.errors import StoreBusy, StoreReadOnly, of_os_error

try:
    import fcntl
except ImportError:  # Windows, and browsers, where nobody else can hold the folder
    fcntl = None  # type: ignore[assignment]
try:
    import msvcrt
except ImportError:
    msvcrt = None  # type: ignore[assignment]

_HELD = {errno.EACCES, errno.EAGAIN, errno.EWOULDBLOCK, errno.EDEADLK}


class FolderLock:
    """Held from its making until ``release``. Raises StoreBusy when another holds it."""

    def __init__(self, path: Path) -> None:
        self._fd: int | None = None
        try:
            self._fd = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as error:
            trouble = of_os_error(error)
            if isinstance(trouble, StoreReadOnly):
                return  # a folder that cannot be written needs no lock: nobody writes there
            raise trouble from error
        try:
            _lock(self._fd)
        except OSError as error:
            if error.errno in _HELD:
                self.release()
                raise StoreBusy from error
            # Some file systems know no locks; to refuse all work there would be worse.

    def release(self) -> None:
        """Let go; releasing twice does nothing."""
        if self._fd is not None:
            with suppress(OSError):
                os.close(self._fd)
            self._fd = None


def _lock(fd: int) -> None:
    if fcntl is not None:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    elif msvcrt is not None:
        msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
