"""The catalogue and the count: made again from the journals, and no number given twice."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest
from memory_disk import MemoryDisk
from store_media import PLAN, Bench, bench, cards, create, entry, opened

from fieldapp.store import NoSuchJob, Report, StoreFull
from fieldapp.store.catalogue import TwoCopies, title_of
from fieldapp.store.files import FileCopies
from fieldapp.store.journal import decode
from fieldapp.store.keeper import SET_APART, Keeper

__all__ = ["bench"]  # a fixture: pytest finds it by its name here


# The catalogue


def test_place_and_settings_survive_a_crash(bench: Bench) -> None:
    """A phone that dies costs at most the key being pressed."""
    store = bench.open()
    assert asyncio.run(store.load_place()) is None
    for digits in ("4", "41", "41."):
        store.save_place({"route": "/job/HERON-HIDE/pad", "typed": digits})
    store.put_setting("theme", "dark")
    store.put_setting("theme", "sun")
    store.put_derived("stays", {"by": "1", "jobs": [3]})
    store.put_derived("stays", {"by": "2", "jobs": []})
    bench.crash()

    store = bench.open()

    assert asyncio.run(store.load_place()) == {"route": "/job/HERON-HIDE/pad", "typed": "41."}
    assert store.setting("theme") == "sun"
    assert store.setting("units", "metric") == "metric"
    assert store.derived("stays") == {"by": "2", "jobs": []}
    assert store.derived("weather") is None


def test_a_refused_place_leaves_the_last_one(bench: Bench) -> None:
    """On a full disk the place of before is still there, and the next save works."""
    store = bench.open()
    store.save_place({"typed": "4"})
    bench.refuse(StoreFull)
    with pytest.raises(StoreFull):
        store.save_place({"typed": "41"})
    assert asyncio.run(store.load_place()) == {"typed": "4"}
    bench.refuse(None)
    store.save_place({"typed": "41."})

    assert asyncio.run(bench.restart().load_place()) == {"typed": "41."}


@pytest.mark.parametrize("garbage", [b"", b"{}", b"\0" * 500, b'{"jobs": 3}', b"[]\n", None])
def test_a_bad_catalogue_falls_back_to_the_copy_before(bench: Bench, garbage: bytes | None) -> None:
    """One save is lost at most; it is said once; the good copy is not put at risk."""
    store = bench.open()
    device = store.device
    create(store).append(entry(1))
    store.save_place({"typed": "4"})
    store.save_place({"typed": "41"})
    bench.crash()

    bench.set_catalogue(garbage)

    store = bench.open()

    assert store.report == Report("catalogue-previous")
    assert store.device == device
    assert asyncio.run(store.load_place()) == {"typed": "4"}
    assert cards(store)["HERON-HIDE"].entries == 1
    assert bench.restart().report is None


@pytest.mark.parametrize("medium", ["files", "memory"])
def test_a_bad_copy_never_takes_the_place_of_a_good_one(tmp_path: Path, medium: str) -> None:
    """The first save after a fallback leaves the copy that was fallen back to."""
    copies = FileCopies(tmp_path / "catalogue") if medium == "files" else MemoryDisk().copies
    storage = TwoCopies(copies)
    for number in range(2):
        storage.write({"t": {"1": {"save": number}}})
    copies.put(b"garbage", keep_current=False)

    fallen_back = TwoCopies(copies)
    fallen_back.write({"t": {"1": {"save": 2}}})

    assert [decode(data).records[0]["t"]["1"]["save"] for data in copies.read()] == [2, 0]


@pytest.mark.parametrize("garbage", [b"?" * 99, None])
def test_a_lost_catalogue_is_made_again_from_the_journals(
    bench: Bench, garbage: bytes | None
) -> None:
    """Every job is listed as before; the device is a new one, whose count starts again."""
    store = bench.open()
    device = store.device
    create(store, source="heron.json").append(entry(1, device=device, n=store.next_n()))
    create(store, "SLUICE").close()
    store.close()
    before = cards_without_opened(bench)
    bench.store.close()
    bench.set_catalogue(garbage, garbage)

    store = bench.open()

    assert store.report == Report("catalogue-rebuilt")
    assert store.device != device
    assert cards_without_opened(bench, store) == before
    assert store.next_n() == 1
    assert bench.restart().device == store.device


def cards_without_opened(bench: Bench, store: Keeper | None = None) -> dict[str, Any]:
    """The list but for the time of opening, which no journal holds."""
    found = cards(store or bench.open())
    return {job: (c.title, c.kept, c.source, c.entries, c.trouble) for job, c in found.items()}


def test_the_list_shows_each_job_as_it_stands(bench: Bench) -> None:
    """Open or closed, after a crash too; the latest first."""
    store = bench.open()
    older, later = create(store), create(store, "SLUICE")
    older.append(entry(1))
    later.append(entry(2))
    later.append({"id": "t", "what": "set", "path": ["title"], "value": "Sluice gate"})
    assert [card.id for card in asyncio.run(store.list_jobs())] == ["SLUICE", "HERON-HIDE"]
    live = cards(store)
    bench.crash()

    found = cards(bench.open())

    assert found == live
    card = found["SLUICE"]
    assert (card.title, card.entries, card.kept) == ("Sluice gate", 2, entry(2)["t"])


def test_a_journal_that_is_gone_is_still_listed(bench: Bench) -> None:
    """A job does not vanish in silence."""
    create(bench.open()).append(entry(1))
    bench.store.close()
    bench.set_journal("HERON-HIDE", None)

    store = bench.open()

    assert cards(store)["HERON-HIDE"].trouble == "missing"
    with pytest.raises(NoSuchJob):
        opened(store)


def test_a_title_taken_back_is_not_shown() -> None:
    """Renaming is an entry, and so is taking it back."""
    renamed = {"id": "a", "what": "set", "path": ["title"], "value": "Other"}
    void = {"id": "b", "what": "void", "of": "a"}

    assert title_of(PLAN, (renamed,)) == "Other"
    assert title_of(PLAN, (renamed, void)) == "Heron hide"


# The count


def test_the_count_goes_on_after_a_restart(bench: Bench) -> None:
    """From 1, without gaps when the app was closed properly."""
    store = bench.open()
    first = [store.next_n() for _ in range(SET_APART + 3)]
    store = bench.restart()

    assert [*first, store.next_n(), store.next_n()] == list(range(1, SET_APART + 6))


@pytest.mark.parametrize("used", [1, SET_APART, SET_APART + 1, 3 * SET_APART - 1])
@pytest.mark.parametrize("hurt", ["nothing", "current copy", "both copies, same device"])
def test_no_count_is_given_twice(bench: Bench, used: int, hurt: str) -> None:
    """Not after a crash, not from the copy of one save ago, not from the journals alone."""
    store = bench.open()
    journal = create(store)
    for number in range(used):
        journal.append(entry(number, device=store.device, n=store.next_n()))
    device = store.device
    bench.crash()
    if hurt != "nothing":
        bench.set_catalogue(b"?", True if hurt == "current copy" else b"?")
    if hurt == "both copies, same device":
        bench.draw = lambda: device

    store = bench.open()

    assert store.device == device
    assert store.next_n() > used


@pytest.mark.parametrize("used", [1, SET_APART, SET_APART + 1, 3 * SET_APART - 1])
@pytest.mark.parametrize("garbage", [True, b"?"])
def test_a_count_that_was_given_is_spent(bench: Bench, used: int, garbage: bytes | bool) -> None:
    """Even when its entry never came, and the current copy of the catalogue is lost too."""
    store = bench.open()
    for _ in range(used):
        store.next_n()
    bench.crash()
    bench.set_catalogue(garbage)

    assert bench.open().next_n() > used


def test_entries_of_this_device_that_come_back_raise_the_count(bench: Bench) -> None:
    """A job that was lost here and comes back by import must not meet its own numbers again."""
    store = bench.open()
    create(store).append(entry(1, device=store.device, n=500))
    assert store.next_n() == 501
    bench.crash()

    assert bench.open().next_n() > 501


def test_no_count_is_given_that_is_not_set_apart(bench: Bench) -> None:
    """On a full disk there is no number, rather than one that may come again."""
    store = bench.open()
    bench.refuse(StoreFull)
    with pytest.raises(StoreFull):
        store.next_n()
    bench.refuse(None)

    assert store.next_n() == 1
