"""The number of a journal's format: an old one is brought up when it is opened, a newer left alone."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
from store_media import PLAN, Bench, bench, cards, create, entry, opened

from fieldapp.__main__ import main
from fieldapp.services import World
from fieldapp.shelf import Shelf
from fieldapp.store import Report, StoreError, StoreFull, StoreReadOnly
from fieldapp.store.journal import FIRST_FORMAT, JOURNAL_FORMAT, decode, encode, together

__all__ = ["bench"]  # a fixture: pytest finds it by its name here

JOB = "HERON-HIDE"


def head(data: bytes) -> dict[str, Any]:
    return decode(data).records[0]


def old(bench: Bench, *lines: bytes) -> bytes:
    """A job whose journal is of the first format, with these lines behind its head."""
    create(bench.open())
    bench.crash()
    first = encode({**head(bench.journal(JOB)), "format": FIRST_FORMAT})
    data = first + b"".join(lines)
    bench.set_journal(JOB, data)
    return data


def test_a_new_journal_says_what_it_is(bench: Bench) -> None:
    create(bench.open())
    assert JOURNAL_FORMAT == "farend-journal/2"
    assert head(bench.journal(JOB))["format"] == JOURNAL_FORMAT


@pytest.mark.parametrize("together_in_it", [False, True])
def test_an_old_journal_is_brought_up_when_it_is_opened(bench: Bench, together_in_it: bool) -> None:
    """All of it is there, also lines that were written together before the number rose."""
    lines = (encode(entry(1)), encode(entry(2)))
    data = old(bench, *(together(list(lines)) if together_in_it else lines))

    journal = opened(bench.open())

    assert journal.report is None and not journal.is_stale
    assert journal.records == (PLAN, entry(1), entry(2))
    made = {**head(data), "format": JOURNAL_FORMAT}
    assert bench.journal(JOB) == b"".join((encode(made), *lines))
    journal.append_all((entry(3), entry(4)))
    kept = bench.journal(JOB)
    assert kept.endswith(b"".join(together([encode(entry(3)), encode(entry(4))])))
    assert opened(bench.restart()).records[-2:] == (entry(3), entry(4))
    assert bench.journal(JOB) == kept, "once"
    assert bench.beside(JOB) == []


def test_what_is_torn_behind_an_old_journal_lies_beside_it(bench: Bench) -> None:
    torn = encode(entry(2))[:30]
    old(bench, encode(entry(1)), torn)

    journal = opened(bench.open())

    assert journal.report == Report("tail-cut", cut_bytes=len(torn))
    assert journal.records == (PLAN, entry(1))
    assert head(bench.journal(JOB))["format"] == JOURNAL_FORMAT
    assert bench.beside(JOB) == [torn]


@pytest.mark.parametrize("error", [StoreFull, StoreReadOnly])
def test_where_it_cannot_be_brought_up_it_serves_as_it_is(
    bench: Bench, error: type[StoreError]
) -> None:
    """It is read, and takes entries one by one; with the room it is brought up by itself."""
    data = old(bench, encode(entry(1)))
    store = bench.open()
    shelf = Shelf(store, World())
    bench.refuse(error)

    async def journal() -> Any:
        return await shelf.journal(JOB)

    refused = asyncio.run(journal())
    assert refused.records == (PLAN, entry(1)) and refused.is_stale
    assert bench.journal(JOB) == data
    bench.refuse(None)
    refused.append(entry(2))
    with pytest.raises(error):
        refused.append_all((entry(3), entry(4)))
    assert bench.journal(JOB) == data + encode(entry(2)), "no lines together"
    again = asyncio.run(journal())
    again.append_all((entry(3), entry(4)))

    assert again.records == (PLAN, *map(entry, range(1, 5))) and not again.is_stale
    assert asyncio.run(journal()) is again
    assert head(bench.journal(JOB))["format"] == JOURNAL_FORMAT


def test_who_only_reads_leaves_an_old_journal_as_it_is(bench: Bench) -> None:
    data = old(bench, encode(entry(1)))
    bench.open()
    reader = asyncio.run(bench.opening(or_read=True))

    assert opened(reader).records == (PLAN, entry(1))
    assert bench.journal(JOB) == data
    reader.close()


def test_a_newer_journal_is_told_and_left_alone(bench: Bench) -> None:
    """Nothing of it is touched, whatever is in it; it stays on the list under its title."""
    create(bench.open())
    bench.crash()
    data = encode({**head(bench.journal(JOB)), "format": "farend-journal/3"}) + b"what comes\n"
    bench.set_journal(JOB, data)

    store = bench.open()
    for _ in range(2):
        with pytest.raises(StoreError, match="newer"):
            opened(store)
        assert cards(store)[JOB].trouble == "newer"
    assert bench.journal(JOB) == data
    assert bench.beside(JOB) == []


def test_the_command_says_that_a_newer_one_keeps_it(tmp_path: Any, capsys: Any) -> None:
    journal = tmp_path / "jobs" / f"{JOB}.journal"
    journal.parent.mkdir()
    journal.write_bytes(encode({"format": "farend-journal/3", "plan": PLAN}))
    before = journal.read_bytes()

    assert main(["export", JOB, "--data", str(tmp_path)]) == 2
    assert capsys.readouterr().err == f"{JOB}: a newer farend keeps it.\n"
    assert journal.read_bytes() == before
