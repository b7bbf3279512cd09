"""The store keeps what it has acknowledged: the same tests on every medium."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest
from store_media import PLAN, Bench, bench, cards, create, entry, opened

from fieldapp.store import (
    BadJobId,
    BadRecord,
    EntryDiffers,
    JobExists,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreClosed,
    StoreFull,
)
from fieldapp.store.files import open_files
from fieldapp.store.journal import encode

__all__ = ["bench"]  # a fixture: pytest finds it by its name here


# What is kept


def test_entries_are_there_after_a_crash(bench: Bench) -> None:
    """What append has returned from needs no closing to be found again."""
    journal = create(bench.open())
    for number in range(5):
        journal.append(entry(number))
    bench.crash()

    again = opened(bench.open())

    assert again.records == (PLAN, *(entry(n) for n in range(5)))
    assert again.report is None


def test_an_entry_is_kept_once(bench: Bench) -> None:
    """The same entry again is no second entry, in this run and in the next."""
    journal = create(bench.open())
    journal.append(entry(1))
    journal.append(entry(1))
    journal.append_all((entry(1), entry(2), entry(2)))

    again = opened(bench.restart())
    again.append(entry(2))

    assert again.records == (PLAN, entry(1), entry(2))
    assert bench.journal("HERON-HIDE").count(b"\n") == 3


def test_another_entry_under_a_kept_id_is_refused(bench: Bench) -> None:
    """Calling it kept would lose it."""
    journal = create(bench.open())
    journal.append(entry(1))

    with pytest.raises(EntryDiffers) as refusal:
        journal.append(entry(1, value=12))

    assert (refusal.value.job, refusal.value.entry) == ("HERON-HIDE", "e1")
    assert journal.records == (PLAN, entry(1))


def test_the_caller_may_alter_its_own_record_afterwards(bench: Bench) -> None:
    """What the journal shows is what it wrote."""
    journal = create(bench.open())
    mine = entry(1)
    journal.append(mine)
    mine["value"] = 0

    assert journal.records[1] == entry(1)


def test_a_job_comes_with_its_log(bench: Bench) -> None:
    """Creating from a file keeps plan and entries in one go."""
    create(bench.open(), entries=(entry(1), entry(2), entry(1)), source="heron.json")

    again = opened(bench.restart())

    assert again.records == (PLAN, entry(1), entry(2))
    assert cards(bench.store)["HERON-HIDE"].source == "heron.json"


def test_two_journals_do_not_mix(bench: Bench) -> None:
    """Two jobs may be open at the same time."""
    store = bench.open()
    one, two = create(store), create(store, "sluice-2")
    one.append(entry(1))
    two.append(entry(2))
    one.append(entry(3))

    store = bench.restart()

    assert opened(store).records == (PLAN, entry(1), entry(3))
    assert opened(store, "SLUICE-2").records == (PLAN, entry(2))


@pytest.mark.parametrize(
    ("record", "at", "found"),
    [
        ({"id": "x", "value": float("nan")}, "value", "nan"),
        ({"id": "x", "unsteady": [1.0, float("inf")]}, "unsteady[1]", "inf"),
        ({"id": "x", "with": {1: "off"}}, "with", "key 1"),
        ({"id": "x", "value": b"48"}, "value", "bytes"),
        ({"what": "note"}, "id", "None"),
        ({"id": ""}, "id", "''"),
        (["id"], "", "list"),
    ],
)
def test_what_json_cannot_hold_is_refused(bench: Bench, record: Any, at: str, found: str) -> None:
    """A record that would come back as another is not kept, and says where."""
    journal = create(bench.open())

    with pytest.raises(BadRecord) as refusal:
        journal.append(record)

    assert (refusal.value.at, refusal.value.found) == (at, found)
    assert journal.records == (PLAN,)


# Opening and creating


def test_ids_are_compared_without_case(bench: Bench) -> None:
    """One job, one file, on any disk."""
    store = bench.open()
    create(store, "heron-hide").close()

    with pytest.raises(JobExists):
        create(store, "Heron-Hide")
    assert opened(store, "HERON-hide").job == "HERON-HIDE"


@pytest.mark.parametrize("job", ["", "a/b", "..", "a b", "straße", "ＡＢ", "x" * 101, "A_B", "A\n"])
def test_an_id_that_is_no_file_name_is_refused(bench: Bench, job: str) -> None:
    """An id never becomes a path."""
    store = bench.open()

    for call in (create, opened):
        with pytest.raises(BadJobId):
            call(store, job)


def test_a_job_named_like_a_device_is_an_ordinary_job(bench: Bench) -> None:
    """NUL and its kind are no files on some systems."""
    create(bench.open(), "nul").append(entry(1))

    store = bench.restart()

    assert list(cards(store)) == ["NUL"]
    assert opened(store, "NUL").records == (PLAN, entry(1))


def test_what_is_not_there_or_taken_is_said(bench: Bench) -> None:
    """One writer a job; after close another may have it; a closed one keeps nothing."""
    store = bench.open()
    with pytest.raises(NoSuchJob):
        opened(store)
    journal = create(store)
    with pytest.raises(StoreBusy):
        opened(store)
    with pytest.raises(StoreBusy):
        asyncio.run(bench.opening())
    journal.close()
    journal.close()
    opened(store).append(entry(1))

    with pytest.raises(StoreClosed):
        journal.append(entry(2))


def test_a_failed_opening_leaves_the_job_free(bench: Bench) -> None:
    """Neither a missing nor an unreadable job stays taken."""
    store = bench.open()
    create(store).close()
    good = bench.journal("HERON-HIDE")
    bench.set_journal("HERON-HIDE", b"?" + good[1:])

    with pytest.raises(JobUnreadable):
        opened(store)
    bench.set_journal("HERON-HIDE", good)

    assert opened(store).records == (PLAN,)


def test_a_failed_creation_leaves_nothing(bench: Bench) -> None:
    """A full disk makes no half a job, and the same call works once there is room."""
    store = bench.open()
    bench.refuse(StoreFull)
    with pytest.raises(StoreFull):
        create(store)
    bench.refuse(None)

    assert cards(bench.restart()) == {}
    assert create(bench.store).records == (PLAN,)


def test_a_leftover_of_a_crash_in_create_is_no_job(tmp_path: Path) -> None:
    """The half-written file goes away; the job can be made."""
    leftover = tmp_path / "jobs" / "HERON-HIDE.journal.new"
    leftover.parent.mkdir()
    leftover.write_bytes(encode({"format": "farend-journal/1"})[:20])

    store = asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "a7f3"))

    assert not leftover.exists()
    assert cards(store) == {}
    assert create(store).records == (PLAN,)
    store.close()


def test_fifty_thousand_entries_open_and_one_more_is_kept(bench: Bench) -> None:
    """What it costs: ``python tests/bench/store.py``."""
    create(bench.open()).close()
    many = b"".join(encode(entry(n, device="a7f3", n=n)) for n in range(1, 50_001))
    bench.set_journal("HERON-HIDE", bench.journal("HERON-HIDE") + many)

    journal = opened(bench.restart())
    journal.append(entry(50_001, device="a7f3", n=50_001))

    assert len(journal.records) == 50_002
    assert journal.seen == {"a7f3": 50_001}
    assert bench.journal("HERON-HIDE").endswith(encode(entry(50_001, device="a7f3", n=50_001)))
    assert cards(bench.restart())["HERON-HIDE"].entries == 50_001
