"""The record format of a journal: pure, bytes in, values out.

One record a line: ``LENGTH CRC32 JSON`` and a newline. LENGTH counts the bytes of the JSON,
which is compact UTF-8; CRC32 is eight hex digits. A text file that a person can read, and in
which every byte that is not as it was written shows.

Entries that are kept together are lines one behind the other; all but the last have a ``+``
behind the checksum. Together they count from the moment the last is whole.

The first record, the head, carries the format's number and the plan as first agreed. A later
format gets a new number, and this reader then leaves the file alone; so the head keeps its form.
In format 1 every line stood for itself: who reads only that takes a ``+`` for damage, so lines are
written together in format 2 alone.
"""

from __future__ import annotations

import json
import math
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple, NoReturn

from fieldapp.store.errors import BadRecord, JobUnreadable

JOURNAL_FORMAT = "farend-journal/2"
FIRST_FORMAT = "farend-journal/1"
DEEPEST = 64  # nested far deeper than a job file may be, and shallow enough for every reader

_HEADER = re.compile(rb"([0-9]{1,9}) ([0-9a-f]{8})(\+?) (?=\{)")


@dataclass(frozen=True)
class Decoded:
    """What is in the bytes of a journal.

    records : every whole record, in the order of the file.
    good_bytes : where the last whole record ends, and writing goes on; of those kept together
        the last.
    torn : bytes after that.
    damaged : (start, end) of what is no record, before ``good_bytes``.
    why : None; ``torn`` (the last line has no end, or was not to be the last), ``corrupt`` (it
        has, but is no record),
        ``damaged`` (there is a bad place before the last whole record).
    """

    records: tuple[dict[str, Any], ...]
    good_bytes: int
    torn: int
    damaged: tuple[tuple[int, int], ...]
    why: str | None

    def no_records(self, data: bytes) -> tuple[tuple[int, bytes], ...]:
        """Return (place, bytes) of all that is no record in the bytes that were read."""
        spans = list(self.damaged)
        if self.torn:
            spans.append((self.good_bytes, len(data)))
        return tuple((start, data[start:end]) for start, end in spans)


@dataclass(frozen=True)
class Head:
    """The first record: the plan as first agreed, when the journal was made, and from what file.

    ``is_old``: the journal is of the first format, and nothing may be written together in it.
    """

    plan: dict[str, Any]
    made: str
    source: str
    is_old: bool


def encode(record: Mapping[str, Any]) -> bytes:
    """Return the line of one record. Raises BadRecord for what JSON cannot give back as it was.

    >>> encode({"id": "e1", "volts": 48.7})
    b'24 ac9f921e {"id":"e1","volts":48.7}\\n'
    """
    if not isinstance(record, dict):
        raise BadRecord(at="", found=type(record).__name__)
    _require_plain(record, "", 0)
    try:
        text = _WRITER.encode(record)
    except ValueError as error:  # a whole number of thousands of digits
        raise BadRecord(at="", found="number") from error
    # A lone half of a surrogate pair has no UTF-8, but backslashreplace writes it
    # exactly as JSON escapes it, so that a broken emoji cannot stop a note from being kept.
    payload = text.encode("utf-8", "backslashreplace")
    return b"%d %08x %b\n" % (len(payload), zlib.crc32(payload), payload)


def together(lines: list[bytes]) -> tuple[bytes, ...]:
    """Return the lines of records that are kept as one, in one part or two.

    The second is the last line, to be written when the first is durable: so where it is whole, all
    are, and where it is not, none counts.

    >>> together([encode({"id": "e1"}), encode({"id": "e2"})])
    (b'11 bfd89d25+ {"id":"e1"}\\n', b'11 bd9e237c {"id":"e2"}\\n')
    """
    *before, last = lines
    marked = b"".join(line.replace(b" {", b"+ {", 1) for line in before)
    return (marked, last) if marked else (last,)


def decode(data: bytes) -> Decoded:
    """Read a journal; never raises, whatever the bytes are.

    Goes on behind a bad place: nothing whole is left out because something before it is not.
    """
    records: list[dict[str, Any]] = []
    damaged: list[tuple[int, int]] = []
    read, kept = 0, (0, 0, 0)
    while found := _next_record(data, read):
        if found.start > read:
            damaged.append((read, found.start))
        records.append(found.record)
        read = found.end
        if not found.awaits_more:
            kept = (read, len(records), len(damaged))
    good, whole, bad = kept  # what waits for more at the end was never acknowledged
    why = _why(data, read, good, bool(bad))
    return Decoded(tuple(records[:whole]), good, len(data) - good, tuple(damaged[:bad]), why)


def head_record(plan: dict[str, Any], made: str, source: str) -> dict[str, Any]:
    """Return the first record of a new journal."""
    return {"format": JOURNAL_FORMAT, "made": made, "source": source, "plan": plan}


def brought_up(records: tuple[dict[str, Any], ...]) -> tuple[dict[str, Any], ...]:
    """Return a journal's records with a head of today's format."""
    head, *rest = records
    return ({**head, "format": JOURNAL_FORMAT}, *rest)


def head_of(decoded: Decoded, job: str) -> Head:
    """Return the head of a journal that was read. Raises JobUnreadable when it has none."""
    head_is_lost = not decoded.records or any(start == 0 for start, _ in decoded.damaged)
    first = {} if head_is_lost else decoded.records[0]
    written_as = str(first.get("format", ""))
    is_ours = written_as in (JOURNAL_FORMAT, FIRST_FORMAT)
    if not is_ours and written_as.startswith("farend-journal/"):
        raise JobUnreadable(job, "newer")
    if not is_ours or not isinstance(first.get("plan"), dict):
        raise JobUnreadable(job, "no-plan")
    made, source = str(first.get("made", "")), str(first.get("source", ""))
    return Head(first["plan"], made, source, written_as == FIRST_FORMAT)


class _Found(NamedTuple):
    """A whole record, and the bytes that it takes."""

    record: dict[str, Any]
    start: int
    end: int
    awaits_more: bool
    """whether those that were kept with it come behind it"""


def _next_record(data: bytes, good: int) -> _Found | None:
    """Find the first whole record from ``good`` on."""
    if record_here := _record_at(data, good, needs_newline=False):
        return record_here
    place = good + 1
    while candidate := _HEADER.search(data, place):
        # Behind a bad place only what also ends its line counts: text inside a
        # damaged record cannot hold a bare newline, so it cannot pass for a record.
        if record_there := _record_at(data, candidate.start(), needs_newline=True):
            return record_there
        place = candidate.start() + 1
    return None


def _record_at(data: bytes, start: int, *, needs_newline: bool) -> _Found | None:
    """Return the record that starts exactly here, or None."""
    header = _HEADER.match(data, start)
    if not header:
        return None
    end = header.end() + int(header[1])
    ends_line = data[end : end + 1] == b"\n"
    # Whole is what its checksum says: a journal whose last newline was lost and cut off must
    # not lose the record before it at the next opening.
    if end > len(data) or (needs_newline and not ends_line):
        return None
    payload = data[header.end() : end]
    if zlib.crc32(payload) != int(header[2], 16):
        return None
    record = _parsed(payload)
    return None if record is None else _Found(record, start, end + ends_line, bool(header[3]))


def _parsed(payload: bytes) -> dict[str, Any] | None:
    """Return the JSON object in these bytes, or None."""
    try:
        value = _READER.decode(payload.decode("utf-8"))
    except (ValueError, RecursionError):
        return None
    return value if isinstance(value, dict) else None


def _refuse(constant: str) -> NoReturn:
    raise ValueError(constant)


# Made once: the library would make one for each of thousands of records.
_READER = json.JSONDecoder(parse_constant=_refuse)
_WRITER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _why(data: bytes, read: int, good: int, damaged: bool) -> str | None:
    if damaged:
        return "damaged"
    if good == len(data):
        return None
    return "corrupt" if data.endswith(b"\n") and read < len(data) else "torn"


def _require_plain(value: Any, at: str, depth: int) -> None:
    """Raise BadRecord unless JSON gives this value back as it is (tuples come back as lists)."""
    if depth > DEEPEST:
        raise BadRecord(at=at, found="too deep")
    if isinstance(value, dict):
        for key, inner in value.items():
            if not isinstance(key, str):
                raise BadRecord(at=at, found=f"key {key!r}")
            _require_plain(inner, f"{at}.{key}" if at else key, depth + 1)
    elif isinstance(value, list | tuple):
        for place, inner in enumerate(value):
            _require_plain(inner, f"{at}[{place}]", depth + 1)
    elif isinstance(value, float) and not math.isfinite(value):
        raise BadRecord(at=at, found=repr(value))
    elif value is not None and not isinstance(value, str | int | float):
        raise BadRecord(at=at, found=type(value).__name__)
