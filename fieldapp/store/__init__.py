"""Where jobs are kept: an append-only journal a job, its pictures beside it, and a catalogue
that can be made again.

The interface and the errors are here; a backend is imported by its own name
(``fieldapp.store.files`` on a laptop, ``fieldapp.store.opfs`` in a browser).
"""

from fieldapp.store.errors import (
    BadJobId,
    BadRecord,
    EntryDiffers,
    JobExists,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreClosed,
    StoreError,
    StoreFailed,
    StoreFull,
    StoreReadOnly,
)
from fieldapp.store.interface import JobCard, Journal, Photo, Report, Store

__all__ = [
    "BadJobId",
    "BadRecord",
    "EntryDiffers",
    "JobCard",
    "JobExists",
    "JobUnreadable",
    "Journal",
    "NoSuchJob",
    "Photo",
    "Report",
    "Store",
    "StoreBusy",
    "StoreClosed",
    "StoreError",
    "StoreFailed",
    "StoreFull",
    "StoreReadOnly",
]
