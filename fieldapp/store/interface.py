"""What the app may ask of a store, and what a medium must bring to be one.

Opening and listing are async, because a browser hands out its files only that way. Keeping is
one synchronous call that returns when the record is durable, or raises: a handler that has
returned has kept the reading.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from fieldapp.store.errors import BadJobId

TAIL_CUT = "tail-cut"
DAMAGED = "damaged"
CATALOGUE_PREVIOUS = "catalogue-previous"
CATALOGUE_REBUILT = "catalogue-rebuilt"

_JOB_ID = re.compile(r"[A-Z0-9-]{1,100}")
_PHOTO_NAME = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Report:
    """What was found amiss at opening, told at that opening alone where it could be mended.

    ``code``: ``tail-cut`` (something half written when the power went; never acknowledged),
    ``damaged`` (bytes in the middle are no records; all whole ones around them were read),
    ``catalogue-previous`` (settings and place are those of one save ago),
    ``catalogue-rebuilt`` (the list was made again from the journals; settings are gone).
    ``cut_bytes`` and ``damaged_bytes`` are copied beside the journal, never destroyed.
    """

    code: str
    cut_bytes: int = 0
    damaged_bytes: int = 0


@dataclass(frozen=True)
class JobCard:
    """A job as the list of jobs shows it. Times are RFC 3339, UTC; "" when there is none.

    ``opened``: last opened here. ``kept``: the time ``t`` of the last entry in the journal.
    ``entries``: how many besides the plan. ``source``: name of the file it came from.
    ``trouble``: "", or why the journal cannot be opened: ``unreadable``, ``missing``, ``newer``.
    """

    id: str
    title: str
    opened: str = ""
    kept: str = ""
    source: str = ""
    entries: int = 0
    trouble: str = ""


@dataclass(frozen=True)
class Photo:
    """A picture that is kept beside its job: the keys that its log entry takes.

    ``sha256`` and ``bytes`` are those of the kept file; ``width`` and ``height`` in pixels, as a
    viewer shows it.
    """

    sha256: str
    bytes: int
    width: int
    height: int


class Journal(Protocol):
    """One open job. Whoever holds it is the only one who writes to that job."""

    @property
    def job(self) -> str:
        """Id of the job, in upper case."""

    @property
    def records(self) -> tuple[dict[str, Any], ...]:
        """All that is kept: the plan as first agreed, then the entries. Not to be altered."""

    @property
    def seen(self) -> Mapping[str, int]:
        """What is kept of each device: its greatest count. Not to be altered."""

    @property
    def uncounted(self) -> int:
        """The place of the last entry without a count, as hand-written ones are; 0: all count.

        Such an entry counts as its place in the file, and nobody can say to have seen it: what
        is to come behind it has a greater count.
        """

    @property
    def report(self) -> Report | None:
        """What was found amiss when the journal was opened."""

    @property
    def is_stale(self) -> bool:
        """Whether it is opened anew before it is used again.

        Another program writes to it; or it is of an older format, and the medium refused to have
        it brought to today's: then it takes single entries only.
        """

    def append(self, record: Mapping[str, Any]) -> None:
        """Keep one entry; durable on return. The same entry again is kept once.

        Raises StoreFull, StoreReadOnly, StoreFailed (nothing kept; try again), BadRecord,
        EntryDiffers, StoreClosed.
        """

    def append_all(self, records: Sequence[Mapping[str, Any]]) -> None:
        """Keep several entries together: all or none, after a crash too. Raises as ``append``."""

    def close(self) -> None:
        """Let go of the job; closing twice does nothing."""


class Store(Protocol):
    """All jobs of this installation, its settings and the place where the technician was."""

    @property
    def device(self) -> str:
        """Random id of this installation."""

    @property
    def report(self) -> Report | None:
        """What was found amiss with the catalogue when the store was opened."""

    @property
    def reads_only(self) -> bool:
        """Whether another program has it open: jobs can be looked at, keeping raises StoreBusy."""

    def next_n(self, above: int = 0) -> int:
        """The next count of this device, from 1 and above this; never given twice.

        After a crash numbers may be skipped. Raises as ``Journal.append`` does.
        """

    async def list_jobs(self) -> tuple[JobCard, ...]:
        """All jobs, the one with the latest entry or opening first."""

    async def create(
        self,
        job_id: str,
        plan: dict[str, Any],
        *,
        source: str = "",
        entries: Sequence[Mapping[str, Any]] = (),
        pictures: tuple[bytes, ...] = (),
    ) -> Journal:
        """Start a job with its plan as first agreed, and the log it came with; all or nothing.

        The ``pictures`` that the log names are kept first: there is no job before they are
        durable. Raises JobExists, BadJobId, BadRecord, and as ``keep_photo`` does.
        """

    async def open(self, job_id: str) -> Journal:
        """Open a job. Raises NoSuchJob, StoreBusy, JobUnreadable, BadJobId."""

    async def keep_photo(self, job_id: str, data: bytes) -> Photo:
        """Keep a JPEG picture beside a job, without place and name; durable on return.

        The same picture again is kept once. None is ever removed or written over. The log entry
        that names it is the caller's, and comes after this.

        Raises NotAPicture, NoSuchJob, BadJobId, and as ``Journal.append`` does for the medium.
        """

    async def photo(self, job_id: str, sha256: str) -> bytes | None:
        """A kept picture, byte for byte; None when it is not here, or not as it was kept.

        The second is told by ``damaged_photos``. Raises BadJobId, StoreClosed.
        """

    async def photos(self, job_id: str) -> frozenset[str]:
        """The pictures of a job that are here, by sha256; without those found damaged."""

    def damaged_photos(self, job_id: str) -> frozenset[str]:
        """Those that ``photo`` found not to be as they were kept, since the store was opened.

        Keeping such a picture again mends it; its damaged bytes stay, under another name.
        """

    async def load_place(self) -> dict[str, Any] | None:
        """Where the technician was, half-typed digits included; None when nothing was saved."""

    def save_place(self, place: dict[str, Any]) -> None:
        """Replace the place; durable on return."""

    def setting(self, key: str, default: Any = None) -> Any:
        """A setting as it was put."""

    def put_setting(self, key: str, value: Any) -> None:
        """Replace a setting; durable on return."""

    def derived(self, name: str) -> Any:
        """What was worked out from the journals and put under a name; None when it is lost.

        It goes with the catalogue, so nothing may stand in it that cannot be worked out again.
        """

    def put_derived(self, name: str, value: Any) -> None:
        """Replace it."""

    def close(self) -> None:
        """Close all journals and let the store go."""


class Tail(Protocol):
    """The writing end of one journal on its medium."""

    def add(self, *parts: bytes) -> None:
        """Write at the end; durable on return, or raise and leave nothing of it readable.

        Each part is durable before the next is written.
        """

    def close(self) -> None:
        """Let go of the file."""


class Copies(Protocol):
    """The catalogue on its medium: the current copy and the one before."""

    def read(self) -> tuple[bytes | None, bytes | None]:
        """Both copies, current first; None where there is none."""

    def put(self, data: bytes, *, keep_current: bool) -> None:
        """Replace the current copy, whole or not at all; the old one becomes the previous."""


class Disk(Protocol):
    """What a medium brings; names are job ids in upper case. ``Keeper`` makes a store of it.

    Three things make one. Its calls are async, for a browser finds and opens files only so; but
    a ``Tail`` that was taken, and ``copies``, write in one synchronous call that returns when the
    bytes are durable (in a browser: a sync access handle of the worker's own file system, opened
    beforehand and flushed after each write). What is made is there whole or not at all, whenever
    the power goes: write it beside, flush it, then let it take its name; where names cannot be
    taken so, two places in turns, each with its checksum, do the same. And whoever opens it holds
    it: the second gets StoreBusy, or a ``ReadingDisk`` around it.

    ``tests/store_media.py`` says how a medium joins the others in the store's own tests.
    """

    @property
    def reads_only(self) -> bool:
        """Whether another program holds the medium, so that everything that writes raises."""

    @property
    def copies(self) -> Copies:
        """Where the catalogue lies."""

    async def names(self) -> tuple[str, ...]:
        """The journals there are."""

    async def size(self, name: str) -> int:
        """Bytes in a journal."""

    async def read(self, name: str) -> bytes:
        """All bytes of a journal. Raises NoSuchJob."""

    async def make(self, name: str, data: bytes) -> None:
        """Make a journal with these bytes, whole or not at all. Raises JobExists."""

    async def remake(self, name: str, data: bytes, aside: tuple[tuple[int, bytes], ...]) -> None:
        """Put these bytes in the place of a journal: after a crash it is the one or the other.

        ``aside`` as in ``take``, and before. Where it raises, the old one stands.
        """

    async def take(self, name: str, end: int, aside: tuple[tuple[int, bytes], ...]) -> Tail:
        """Take a journal for writing from byte ``end``; what lies behind it is cut off.

        ``aside``: (place, bytes) of what is no record, to be copied beside the journal before
        anything is cut. Where the medium does not let it, cutting waits for the first ``add``.
        """

    async def photo_names(self, name: str) -> frozenset[str]:
        """The pictures there are of a job, each named by its sha256; none when nothing is there."""

    async def read_photo(self, name: str, photo: str) -> bytes | None:
        """All bytes of a picture, None when there is none; one that cannot be read is empty."""

    async def make_photo(self, name: str, photo: str, data: bytes) -> None:
        """Make a picture with these bytes, whole or not at all; durable on return.

        Where these bytes are there already, see that they are durable. Where others are, put
        them aside. The journal may come later.
        """

    def close(self) -> None:
        """Let the medium go."""


def job_key(job_id: str) -> str:
    """Return the one spelling of a job id: upper case, for disks that do not tell case.

    >>> job_key("heron-hide")
    'HERON-HIDE'
    """
    key = job_id.upper() if isinstance(job_id, str) and job_id.isascii() else ""
    if not _JOB_ID.fullmatch(key):
        raise BadJobId(str(job_id))
    return key


def is_photo_name(name: str) -> bool:
    """Whether a text can name a picture: 64 hexadecimal digits, small letters."""
    return isinstance(name, str) and _PHOTO_NAME.fullmatch(name) is not None
