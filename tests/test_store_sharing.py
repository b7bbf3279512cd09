"""One program keeps; a second one on the same folder looks. Tabs of one program share."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import pytest
from jpegs import JFIF, made
from store_media import PLAN, Bench, bench, cards, create, entry, opened

from fieldapp.store import Report, StoreBusy
from fieldapp.store.journal import encode
from fieldapp.store.keeper import Keeper

__all__ = ["bench"]  # a fixture: pytest finds it by its name here


def reader_of(bench: Bench) -> Keeper:
    return asyncio.run(bench.opening(or_read=True))


def test_the_first_keeps_and_the_second_reads(bench: Bench) -> None:
    """It says so, and shows what is there at that moment."""
    journal = create(bench.open())
    journal.append(entry(1))

    reader = reader_of(bench)

    assert (bench.store.reads_only, reader.reads_only) == (False, True)
    assert opened(reader).records == (PLAN, entry(1))
    journal.append(entry(2))
    assert cards(reader)["HERON-HIDE"].entries == 2
    create(bench.store, "SLUICE")
    assert set(cards(reader)) == {"HERON-HIDE", "SLUICE"}
    reader.close()
    reader = reader_of(bench)
    assert opened(reader).records == (PLAN, entry(1), entry(2))
    assert reader.device == bench.store.device


KEEPS: dict[str, Callable[[Keeper], Any]] = {
    "an entry": lambda store: opened(store).append(entry(2)),
    "a job": lambda store: create(store, "SLUICE"),
    "a photo": lambda store: asyncio.run(store.keep_photo("HERON-HIDE", made("baseline", JFIF))),
    "a place": lambda store: store.save_place({"typed": "4"}),
    "a setting": lambda store: store.put_setting("look", "sun"),
    "what is derived": lambda store: store.put_derived("stays", {}),
    "a count": lambda store: store.next_n(),
}


@pytest.mark.parametrize("keeps", KEEPS.values(), ids=KEEPS)
def test_the_second_keeps_nothing(bench: Bench, keeps: Callable[[Keeper], Any]) -> None:
    """Whatever it is asked to keep, it says who has the folder, and leaves it alone."""
    store = bench.open()
    create(store).append(entry(1))
    store.save_place({"typed": "1"})
    before = bench.journal("HERON-HIDE")
    reader = reader_of(bench)

    with pytest.raises(StoreBusy):
        keeps(reader)
    reader.close()

    assert bench.journal("HERON-HIDE") == before
    assert set(cards(store)) == {"HERON-HIDE"}
    assert asyncio.run(store.photos("HERON-HIDE")) == frozenset()
    assert asyncio.run(store.load_place()) == {"typed": "1"}
    assert store.next_n() == 1
    with pytest.raises(StoreBusy):
        asyncio.run(bench.opening())


def test_the_second_leaves_what_the_first_is_writing(bench: Bench) -> None:
    """A record half written is no damage; damage is told, and left to who may write."""
    create(bench.open()).append(entry(1))
    whole = bench.journal("HERON-HIDE")
    reader = reader_of(bench)

    bench.set_journal("HERON-HIDE", whole + encode(entry(2))[:30])
    journal = opened(reader)
    assert journal.records == (PLAN, entry(1))
    assert journal.report is None
    journal.close()
    hurt = whole.replace(b"48.1", b"47.1") + encode(entry(3))
    bench.set_journal("HERON-HIDE", hurt)
    journal = opened(reader)
    assert journal.records == (PLAN, entry(3))
    assert journal.report == Report("damaged", damaged_bytes=len(encode(entry(1))))
    assert bench.journal("HERON-HIDE") == hurt
    assert bench.beside("HERON-HIDE") == []
    bench.set_journal("HERON-HIDE", whole)


def test_the_folder_is_free_when_the_first_has_gone(bench: Bench) -> None:
    """The second goes on reading; who comes then may write."""
    create(bench.open())
    reader = reader_of(bench)
    bench.store.close()

    third = bench.open()
    opened(third).append(entry(1))

    assert not third.reads_only
    with pytest.raises(StoreBusy):
        reader.next_n()
    assert opened(reader).records == (PLAN, entry(1))
