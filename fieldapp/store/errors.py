"""What can go wrong with the store: one base, fields instead of sentences.

The words a technician reads are made from these fields in ``fieldapp/words``.
"""

from __future__ import annotations

import errno
from dataclasses import dataclass


@dataclass(eq=False)
class StoreError(Exception):
    """Base of all: nothing was kept by the call that raised it. ``job`` is "" for the catalogue."""

    job: str = ""

    def __str__(self) -> str:
        return repr(self)


class StoreFull(StoreError):
    """No room left. What was acknowledged before is whole; the same call may be tried again."""


class StoreReadOnly(StoreError):
    """The medium or the folder does not let this program write."""


@dataclass(eq=False)
class StoreFailed(StoreError):
    """The medium failed in another way; ``errno`` is the system's number for it, 0 if none."""

    errno: int = 0


class StoreBusy(StoreError):
    """Already open elsewhere: the job when ``job`` is given, else the whole store."""


class StoreClosed(StoreError):
    """Used after it was closed."""


class NoSuchJob(StoreError):
    """There is no journal of that job here."""


class JobExists(StoreError):
    """A journal of that job is here already (ids are compared without case)."""


class BadJobId(StoreError):
    """An id must be 1 to 100 letters, digits and ``-``."""


@dataclass(eq=False)
class JobUnreadable(StoreError):
    """The journal is there and was left untouched, but does not begin with a plan.

    ``why`` is ``no-plan`` (the first record is damaged) or ``newer`` (a later version wrote it).
    """

    why: str = "no-plan"


@dataclass(eq=False)
class BadRecord(StoreError):
    """A record that JSON cannot hold: ``at`` is the place in it, ``found`` what stands there."""

    at: str = ""
    found: str = ""


@dataclass(eq=False)
class EntryDiffers(StoreError):
    """Another entry is kept under this id; to call the new one kept would lose it."""

    entry: str = ""


# Some systems lack some of these numbers; EFBIG is a limit on the file's size.
_FULL = {getattr(errno, name, None) for name in ("ENOSPC", "EDQUOT", "EFBIG")} - {None}
_READ_ONLY = {errno.EROFS, errno.EACCES, errno.EPERM}


def of_os_error(error: OSError, job: str = "") -> StoreError:
    """Return the store's error for the system's."""
    if error.errno in _FULL:
        return StoreFull(job)
    if error.errno in _READ_ONLY:
        return StoreReadOnly(job)
    return StoreFailed(job, error.errno or 0)
