"""One open journal, the same on every medium: what is kept in it, and one entry more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from fieldapp.store.errors import BadRecord, EntryDiffers, StoreClosed, StoreError
from fieldapp.store.interface import Report, Tail
from fieldapp.store.journal import Decoded, Head, decode, encode, together

if TYPE_CHECKING:
    from fieldapp.store.keeper import Keeper


class KeptJournal:
    """One open job; made by ``Keeper`` only. See ``interface.Journal``."""

    def __init__(
        self,
        keeper: Keeper,
        job: str,
        head: Head,
        decoded: Decoded,
        tail: Tail,
        report: Report | None,
        refused: StoreError | None,
    ) -> None:
        """``refused``: why a journal of the first format could not be brought to today's."""
        self.job = job
        self.head = head
        self.report = report
        self._refused = refused
        self.size = decoded.good_bytes
        self.seen: dict[str, int] = {}
        self.uncounted = 0
        self._keeper = keeper
        self._tail: Tail | None = tail
        self._entries: list[dict[str, Any]] = []
        self._by_id: dict[Any, dict[str, Any]] = {}
        self._take(decoded.records[1:])

    @property
    def records(self) -> tuple[dict[str, Any], ...]:
        return (self.head.plan, *self._entries)

    @property
    def is_stale(self) -> bool:
        return self._keeper.reads_only or self._refused is not None

    @property
    def entries(self) -> Sequence[dict[str, Any]]:
        """All records but the plan. Not to be altered."""
        return self._entries

    def append(self, record: Mapping[str, Any]) -> None:
        self.append_all((record,))

    def append_all(self, records: Sequence[Mapping[str, Any]]) -> None:
        with self._keeper.lock:
            if self._tail is None:
                raise StoreClosed(self.job)
            lines = lines_of_new(records, self._by_id, self.job)
            if not lines:
                return
            parts = together(lines)
            if len(parts) > 1 and self._refused is not None:
                raise self._refused
            self._tail.add(*parts)
            # Kept as a reader will find them, so that the caller may go on altering its own.
            data = b"".join(parts)
            fresh = decode(data).records
            self.size += len(data)
            self._take(fresh)
            self._keeper.has_seen(fresh)

    def _take(self, entries: tuple[dict[str, Any], ...]) -> None:
        """Note what is kept now; no slower on a long log than on a short one."""
        for place, entry in enumerate(entries, start=len(self._entries) + 1):
            self._by_id[entry.get("id")] = entry
            device, n = entry.get("device"), entry.get("n")
            if not n:
                self.uncounted = place
            if isinstance(device, str) and isinstance(n, int):
                self.seen[device] = max(self.seen.get(device, 0), n)
        self._entries.extend(entries)

    def close(self) -> None:
        with self._keeper.lock:
            if self._tail is not None:
                self._tail.close()
                self._tail = None
                self._keeper.has_closed(self)


def lines_of_new(
    records: Sequence[Mapping[str, Any]], kept: dict[Any, dict[str, Any]], job: str
) -> list[bytes]:
    """Return the lines of those entries that are not kept yet, each once."""
    lines: list[bytes] = []
    known: dict[Any, dict[str, Any]] = {}
    for record in records:
        line = encode(record)
        plain = decode(line).records[0]
        entry_id = plain.get("id")
        if not isinstance(entry_id, str) or not entry_id:
            raise BadRecord(job, at="id", found=repr(entry_id))
        same_id = known.get(entry_id) or kept.get(entry_id)
        if same_id is None:
            known[entry_id] = plain
            lines.append(line)
        elif same_id != plain:
            raise EntryDiffers(job, entry_id)
    return lines
