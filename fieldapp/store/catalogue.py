"""The catalogue: which jobs there are, settings, the place, this installation's id and count.

A small database in one file, written whole and in two copies. All that is said of jobs can be
made again from the journals; a lost device id is replaced by a new one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from typing import Any

from tinydb import TinyDB, where
from tinydb.storages import Storage
from tinydb.table import Document

from fieldapp.store.interface import CATALOGUE_PREVIOUS, CATALOGUE_REBUILT, Copies, JobCard
from fieldapp.store.journal import Decoded, Head, decode, encode

_ONLY = 1  # the row number in a table of one row


@dataclass(frozen=True)
class Row:
    """What the catalogue remembers of a job: its card, and how far the journal had been read.

    ``size``: bytes of the journal then; another size now means that it must be read again.
    ``own_n``: the greatest count of this device in it.
    """

    card: JobCard
    size: int
    own_n: int


class TwoCopies(Storage):
    """TinyDB's storage: one checksummed record, replaced as a whole, the one before kept.

    ``report`` is None, or the code that says which copy is being used instead of the current.
    """

    def __init__(self, copies: Copies) -> None:
        self._copies = copies
        read = copies.read()
        whole = [data if data is not None and _is_whole(data) else None for data in read]
        self._text = whole[0] or whole[1]
        # A bad current copy must never take the place of a good previous one.
        self._current_is_good = whole[0] is not None
        self.report = _storage_report(read, whole)

    def read(self) -> dict[str, dict[str, Any]] | None:
        """Return the state, fresh at every call: TinyDB alters what it is given."""
        return decode(self._text).records[0] if self._text else None

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Replace the state; durable on return, or raise and change nothing."""
        text = encode(data)
        self._copies.put(text, keep_current=self._current_is_good)
        self._text, self._current_is_good = text, True


class Catalogue:
    """The tables, in the words of the store. Every ``put`` is durable on return or raises."""

    def __init__(self, copies: Copies) -> None:
        self._storage = TwoCopies(copies)
        self._db = TinyDB(storage=lambda: self._storage)

    @property
    def report(self) -> str | None:
        """None, ``catalogue-previous`` or ``catalogue-rebuilt``."""
        return self._storage.report

    def device(self) -> tuple[str | None, int]:
        """This installation's id, None when there is none yet, and the counts set apart for it."""
        row = self._db.table("device").get(doc_id=_ONLY)
        return (row["id"], row["reserved"]) if row else (None, 0)

    def put_device(self, device: str, reserved: int) -> None:
        """Replace the id and the counts set apart."""
        self._put_only("device", {"id": device, "reserved": reserved})

    def rows(self) -> dict[str, Row]:
        """What is remembered of each job, by its id."""
        return {document["id"]: _row(document) for document in self._db.table("jobs").all()}

    def put_rows(self, rows: Mapping[str, Row]) -> None:
        """Add these rows, or replace those of the same jobs."""
        table = self._db.table("jobs")
        known = {document["id"] for document in table.all()}
        changed = [(_document(row), where("id") == job) for job, row in rows.items()]
        if any(job in known for job in rows):
            table.update_multiple([pair for pair in changed if pair[0]["id"] in known])
        if any(job not in known for job in rows):
            table.insert_multiple([row for row, _ in changed if row["id"] not in known])

    def place(self) -> dict[str, Any] | None:
        """The place as it was saved last."""
        row = self._db.table("place").get(doc_id=_ONLY)
        return row["place"] if row else None

    def put_place(self, place: dict[str, Any]) -> None:
        """Replace the place."""
        self._put_only("place", {"place": place})

    def setting(self, key: str, default: Any) -> Any:
        """A setting as it was put."""
        row = self._db.table("settings").get(where("key") == key)
        return row["value"] if row else default

    def put_setting(self, key: str, value: Any) -> None:
        """Replace a setting."""
        self._db.table("settings").upsert({"key": key, "value": value}, where("key") == key)

    def derived(self, name: str) -> Any:
        """What was put under a name; None when there is nothing."""
        row = self._db.table("derived").get(where("name") == name)
        return row["value"] if row else None

    def put_derived(self, name: str, value: Any) -> None:
        """Replace it."""
        self._db.table("derived").upsert({"name": name, "value": value}, where("name") == name)

    def _put_only(self, table: str, row: dict[str, Any]) -> None:
        self._db.table(table).upsert(Document(row, doc_id=_ONLY))


def row_of(
    job: str, head: Head, entries: Sequence[dict[str, Any]], size: int, device: str, opened: str
) -> Row:
    """Make the row of a job from its journal."""
    card = JobCard(
        id=job,
        title=title_of(head.plan, entries) or job,
        opened=opened or head.made,
        kept=next((str(entry["t"]) for entry in reversed(entries) if entry.get("t")), ""),
        source=head.source,
        entries=len(entries),
    )
    return Row(card, size, own_n(entries, device))


def title_of(plan: dict[str, Any], entries: Sequence[dict[str, Any]]) -> str:
    """Return the title a list shows: the plan's, or the last one given that was not taken back."""
    void = {entry.get("of") for entry in entries if entry.get("what") == "void"}
    given = [
        entry.get("value")
        for entry in entries
        if entry.get("what") == "set"
        and entry.get("path") == ["title"]
        and entry.get("id") not in void
    ]
    return str(given[-1] if given else plan.get("title", ""))


def own_n(entries: Sequence[dict[str, Any]], device: str) -> int:
    """Return the greatest count of this device among the entries, 0 when it has none."""
    own = (entry.get("n") for entry in entries if entry.get("device") == device)
    return max((n for n in own if isinstance(n, int)), default=0)


def _is_whole(data: bytes) -> bool:
    found: Decoded = decode(data)
    return len(found.records) == 1 and found.why is None


def _storage_report(
    read: tuple[bytes | None, bytes | None], whole: list[bytes | None]
) -> str | None:
    if whole[0] is not None or read == (None, None):
        return None
    return CATALOGUE_PREVIOUS if whole[1] is not None else CATALOGUE_REBUILT


_CARD_FIELDS = tuple(field.name for field in fields(JobCard))


def _document(row: Row) -> dict[str, Any]:
    return asdict(row.card) | {"size": row.size, "own_n": row.own_n}


def _row(document: Mapping[str, Any]) -> Row:
    card = JobCard(**{name: document[name] for name in _CARD_FIELDS})
    return Row(card, document["size"], document["own_n"])
