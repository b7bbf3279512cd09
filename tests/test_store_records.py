"""The record format of a journal."""

from __future__ import annotations

import zlib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_media import entry

from fieldapp.store import BadRecord
from fieldapp.store.journal import DEEPEST, decode, encode

SCALARS = st.none() | st.booleans() | st.integers() | st.text() | st.floats(allow_nan=False)
FINITE = SCALARS.filter(lambda value: value not in (float("inf"), float("-inf")))
VALUES = st.recursive(
    FINITE, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=8
)
RECORDS = st.dictionaries(st.text(), VALUES)


@given(st.lists(RECORDS, max_size=3))
def test_records_come_back_as_they_were(records: list[dict[str, Any]]) -> None:
    """Any text, any nesting, any finite number."""
    data = b"".join(map(encode, records))
    found = decode(data)

    assert found.records == tuple(records)
    assert (found.good_bytes, found.torn, found.damaged, found.why) == (len(data), 0, (), None)


@given(st.text(st.characters(categories=["Cs"]) | st.characters(), max_size=20))
def test_half_a_surrogate_pair_can_be_kept(text: str) -> None:
    """It comes back as JSON reads it: halves that meet become the character they mean."""
    met = text.encode("utf-16", "surrogatepass").decode("utf-16", "surrogatepass")

    assert decode(encode({"text": text})).records == ({"text": met},)


@given(st.binary(max_size=400))
def test_garbage_is_read_without_an_error(data: bytes) -> None:
    """Bytes that nobody wrote are counted, not trusted."""
    found = decode(data)

    assert found.good_bytes + found.torn == len(data)


@settings(max_examples=300, derandomize=True)
@given(st.data())
def test_a_hurt_journal_keeps_every_record_that_was_not_hit(data: st.DataObject) -> None:
    """Bytes replaced, taken out or put in: records outside the hurt stretch are all read."""
    lines = [encode(entry(number, text="} {" * number)) for number in range(6)]
    whole = b"".join(lines)
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, min(len(whole), start + 90)))
    filling = data.draw(st.binary(max_size=60))
    found = decode(whole[:start] + filling + whole[end:])

    ends = [sum(map(len, lines[: n + 1])) for n in range(6)]
    untouched = [n for n in range(6) if ends[n] <= start or ends[n] - len(lines[n]) >= end]
    read = [int(record["id"][1:]) for record in found.records]
    expected = tuple(entry(n, text="} {" * n) for n in read)
    assert [n for n in read if n in untouched] == untouched
    assert found.records == expected


def test_records_are_not_nested_without_end() -> None:
    """Refused at writing, and no error at reading."""
    deep: Any = {}
    for _ in range(DEEPEST + 1):
        deep = {"in": deep}
    with pytest.raises(BadRecord, match="too deep"):
        encode(deep)

    payload = b'{"in":' * 200_000 + b"0" + b"}" * 200_000
    line = b"%d %08x %b\n" % (len(payload), zlib.crc32(payload), payload)
    assert decode(line).torn == len(line)


def test_a_long_journal_is_read_quickly_enough() -> None:
    """5,000 entries, and a megabyte of damage before the last, without going over it twice."""
    lines = [encode(entry(number)) for number in range(5000)]
    found = decode(b"".join(lines[:-1]) + b"12 abcdef01 {" * 80_000 + b"\n" + lines[-1])

    assert len(found.records) == 5000


def test_the_format_of_today_is_read_tomorrow() -> None:
    """Bytes as they were first written; a change of the format must not change this test."""
    line = b'36 8e46e9a6 {"id":"e1","value":48.7,"text":"\xce\xa9"}\n'

    assert decode(line).records == ({"id": "e1", "value": 48.7, "text": "Ω"},)
