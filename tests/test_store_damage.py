"""Damaged journals, and media that refuse: what is whole is read, what was not kept is said."""

from __future__ import annotations

import asyncio
import errno
import os
from pathlib import Path

import pytest
from memory_disk import MemoryDisk, open_memory
from store_media import PLAN, Bench, FileBench, bench, cards, create, entry, opened

from fieldapp.store import JobUnreadable, Report, StoreError, StoreFull, StoreReadOnly
from fieldapp.store.files import open_files
from fieldapp.store.journal import decode, encode

__all__ = ["bench"]  # a fixture: pytest finds it by its name here


# Damage


def test_a_torn_tail_is_cut_back(bench: Bench) -> None:
    """Wherever the power went in the last record, the ones before it are whole.

    Here at every fifth byte; at every byte in ``test_crashes``.
    """
    journal = create(bench.open())
    journal.append(entry(1))
    before = len(bench.journal("HERON-HIDE"))
    journal.append(entry(2, text="Ω and °"))
    whole = bench.journal("HERON-HIDE")
    journal.close()

    for end in range(before + 1, len(whole) - 1, 5):
        bench.set_journal("HERON-HIDE", whole[:end])
        journal = opened(bench.store)
        assert journal.records == (PLAN, entry(1))
        assert journal.report == Report("tail-cut", cut_bytes=end - before)
        journal.append(entry(2, text="Ω and °"))
        journal.close()
        assert bench.journal("HERON-HIDE") == whole
        assert whole[before:end] in bench.beside("HERON-HIDE")


@pytest.mark.parametrize("end", [b"", b"\0", b"?!"])
def test_a_lost_end_of_the_last_line_costs_nothing(bench: Bench, end: bytes) -> None:
    """However often it is opened, and with what is kept behind it."""
    create(bench.open()).append(entry(1))
    bench.crash()
    bench.set_journal("HERON-HIDE", bench.journal("HERON-HIDE")[:-1] + end)

    for _ in range(3):
        assert opened(bench.open()).records == (PLAN, entry(1))
        bench.crash()
    opened(bench.open()).append(entry(2))

    assert opened(bench.restart()).records == (PLAN, entry(1), entry(2))


def test_damage_in_the_middle_loses_only_what_it_hit(bench: Bench) -> None:
    """One byte changed: the other records are read and written anew, the bad bytes stay."""
    journal = create(bench.open())
    ends = []
    for number in range(3):
        journal.append(entry(number))
        ends.append(len(bench.journal("HERON-HIDE")))
    whole = bench.journal("HERON-HIDE")
    journal.close()

    for place in range(ends[0], ends[1], 5):
        hurt = bytearray(whole)
        hurt[place] ^= 0x55
        bench.set_journal("HERON-HIDE", bytes(hurt))
        journal = opened(bench.store)
        assert journal.records[:2] == (PLAN, entry(0))
        assert journal.records[-1] == entry(2)
        assert journal.report.code == "damaged"
        assert journal.report.cut_bytes == 0
        journal.append(entry(9))
        journal.close()
        records = decode(bytes(hurt)).records
        assert bench.journal("HERON-HIDE") == b"".join(map(encode, (*records, entry(9))))
        assert any(hurt[place] in piece for piece in bench.beside("HERON-HIDE"))
        journal = opened(bench.store)
        assert journal.report is None, "told once"
        journal.close()


def test_a_damaged_journal_serves_as_it_is_where_it_cannot_be_written_anew(bench: Bench) -> None:
    """On a full disk it is read, nothing of it is touched, and it is made whole with the room."""
    journal = create(bench.open())
    journal.append_all((entry(0), entry(1), entry(2)))
    whole = bench.journal("HERON-HIDE")
    hurt = whole.replace(b"48.1", b"47.1")
    bench.crash()
    bench.set_journal("HERON-HIDE", hurt)
    bench.refuse(StoreFull)

    journal = opened(bench.open())

    assert journal.records == (PLAN, entry(0), entry(2))
    assert bench.journal("HERON-HIDE") == hurt
    with pytest.raises(StoreFull):
        journal.append(entry(3))
    assert bench.journal("HERON-HIDE") == hurt
    bench.refuse(None)
    journal.append(entry(3))
    journal.close()
    assert bench.journal("HERON-HIDE").startswith(hurt)
    assert opened(bench.store).report.code == "damaged"
    journal = opened(bench.restart())
    assert journal.report is None
    assert journal.records == (PLAN, entry(0), entry(2), entry(3))
    (piece,) = set(bench.beside("HERON-HIDE"))
    assert b"47.1" in piece


def test_entries_kept_together_are_there_together(bench: Bench) -> None:
    """Torn at any byte: all of them or none; in the middle of a journal each whole one counts."""
    journal = create(bench.open())
    journal.append(entry(0))
    before = len(bench.journal("HERON-HIDE"))
    journal.append_all((entry(1), entry(2), entry(3)))
    whole = bench.journal("HERON-HIDE")
    journal.close()

    for end in range(before + 1, len(whole) - 1, 7):
        bench.set_journal("HERON-HIDE", whole[:end])
        journal = opened(bench.store)
        assert journal.records == (PLAN, entry(0))
        assert journal.report == Report("tail-cut", cut_bytes=end - before)
        journal.close()
    bench.set_journal("HERON-HIDE", whole.replace(b"48.2", b"47.2") + encode(entry(4)))
    assert opened(bench.store).records == (PLAN, entry(0), entry(1), entry(3), entry(4))


def test_a_record_glued_to_a_torn_one_is_found() -> None:
    """Had a cut ever failed, what was written behind the torn bytes still counts."""
    line = encode(entry(1))
    found = decode(line + line[:40] + encode(entry(2)))

    assert found.records == (entry(1), entry(2))
    assert found.damaged == ((len(line), len(line) + 40),)


def test_text_that_looks_like_a_record_is_none() -> None:
    """A note may hold anything; a damaged note brings forth no entries."""
    inner = encode({}).decode().strip()
    hurt = bytearray(encode({"id": "e1", "text": f"see {inner} and {inner}"}))
    hurt[12] ^= 1

    assert decode(bytes(hurt) + encode(entry(2))).records == (entry(2),)


@pytest.mark.parametrize(
    ("head", "why"),
    [
        (b"", "no-plan"),
        (b"\0" * 300, "no-plan"),
        (encode(entry(1)), "no-plan"),
        (encode({"format": "farend-journal/3", "plan": PLAN}), "newer"),
        (encode({"format": "farend-journal/2", "plan": []}), "no-plan"),
        (encode({"format": "farend-journal/1", "plan": []}), "no-plan"),
    ],
)
def test_a_journal_without_its_plan_is_left_alone(bench: Bench, head: bytes, why: str) -> None:
    """It is refused, listed with its trouble, and not one byte of it is touched."""
    create(bench.open()).append(entry(1))
    data = head + encode(entry(1))
    bench.store.close()
    bench.set_journal("HERON-HIDE", data)

    store = bench.open()
    with pytest.raises(JobUnreadable) as refusal:
        opened(store)

    assert refusal.value.why == why
    assert cards(store)["HERON-HIDE"].trouble == ("newer" if why == "newer" else "unreadable")
    assert cards(store)["HERON-HIDE"].title == "Heron hide"
    assert bench.journal("HERON-HIDE") == data


# Full and read-only


@pytest.mark.parametrize("error", [StoreFull, StoreReadOnly])
def test_a_refused_append_keeps_nothing_and_may_be_tried_again(
    bench: Bench, error: type[StoreError]
) -> None:
    """It raises by name; the retry keeps the entry once; what was kept stays."""
    journal = create(bench.open())
    journal.append(entry(1))
    before = bench.journal("HERON-HIDE")

    bench.refuse(error)
    for _ in range(3):
        with pytest.raises(error) as refusal:
            journal.append(entry(2))
    assert refusal.value.job == "HERON-HIDE"
    assert journal.records == (PLAN, entry(1))
    assert bench.journal("HERON-HIDE") == before
    bench.refuse(None)
    journal.append(entry(2))
    journal.append(entry(2))

    assert journal.records == (PLAN, entry(1), entry(2))
    assert bench.journal("HERON-HIDE") == before + encode(entry(2))


def test_several_entries_are_kept_together_or_not_at_all(bench: Bench) -> None:
    """A failed merge leaves the journal as it was."""
    journal = create(bench.open())
    bench.refuse(StoreFull)

    with pytest.raises(StoreFull):
        journal.append_all((entry(1), entry(2)))
    assert journal.records == (PLAN,)
    bench.refuse(None)
    journal.append_all((entry(1), entry(2)))

    assert opened(bench.restart()).records == (PLAN, entry(1), entry(2))


def test_a_job_on_a_full_disk_can_be_read(bench: Bench) -> None:
    """A torn tail is likeliest on a full disk: it must not bar the way to the readings."""
    create(bench.open()).append(entry(1))
    bench.crash()
    whole = bench.journal("HERON-HIDE")
    bench.set_journal("HERON-HIDE", whole + encode(entry(2))[:30])
    bench.refuse(StoreFull)

    store = bench.open()
    journal = opened(store)
    assert journal.records == (PLAN, entry(1))
    with pytest.raises(StoreFull):
        journal.append(entry(2))
    bench.refuse(None)
    journal.append(entry(2))

    assert bench.journal("HERON-HIDE") == whole + encode(entry(2))
    assert bench.beside("HERON-HIDE") == [encode(entry(2))[:30]]


def test_the_nth_append_fails_as_ordered() -> None:
    """The memory store's own fault, for tests of pages."""
    disk = MemoryDisk(fail_at={2: StoreFull})
    store = asyncio.run(open_memory(disk, now=lambda: "", draw=lambda: "a7f3"))
    journal = create(store)
    journal.append(entry(1))

    with pytest.raises(StoreFull):
        journal.append(entry(2))
    journal.append(entry(2))

    assert journal.records == (PLAN, entry(1), entry(2))


def test_an_append_is_undone_when_the_medium_does_not_confirm(tmp_path: Path) -> None:
    """All bytes written, but the flush fails: not kept, cut off, and kept once by the retry."""
    bench = FileBench(tmp_path)
    journal = create(bench.open())
    before = bench.journal("HERON-HIDE")

    bench.system.confirms = False
    with pytest.raises(StoreError) as refusal:
        journal.append(entry(1))
    assert refusal.value.errno == errno.EIO
    assert bench.journal("HERON-HIDE") == before
    bench.system.confirms = True
    journal.append(entry(1))

    assert bench.journal("HERON-HIDE") == before + encode(entry(1))
    bench.store.close()


def test_an_entry_is_flushed_before_it_is_acknowledged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the last flush before append returns, the file holds the whole record."""
    store = asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "a7f3"))
    journal = create(store)
    path = tmp_path / "jobs" / "HERON-HIDE.journal"
    flushed: list[bytes] = []
    fsync = os.fsync

    def watch(fd: int) -> None:
        fsync(fd)
        flushed.append(path.read_bytes())

    monkeypatch.setattr(os, "fsync", watch)
    journal.append(entry(1))

    assert flushed[-1].endswith(encode(entry(1)))
    store.close()
