"""A job that comes with pictures: they are kept first, and then the journal that names them."""

from __future__ import annotations

import asyncio
from hashlib import sha256
from typing import Any

import pytest
from jpegs import JFIF, made
from store_media import PLAN, Bench, bench, cards, create, entry

from fieldapp.jpeg import NotAPicture, without_place
from fieldapp.store import JobExists, StoreFull
from fieldapp.store.keeper import Keeper

__all__ = ["bench"]  # a fixture: pytest finds it by its name here

JOB = "HERON-HIDE"
TAKEN = made("progressive", JFIF)
NAME = sha256(without_place(TAKEN)).hexdigest()


def photos(store: Keeper) -> frozenset[str]:
    return asyncio.run(store.photos(JOB))


def begin(store: Keeper, *pictures: bytes) -> Any:
    return asyncio.run(store.create(JOB, PLAN, entries=(entry(1),), pictures=pictures))


def test_a_job_is_begun_with_its_photos_or_not_at_all(bench: Bench) -> None:
    """There is no job before its pictures are there; with room, or the right ones, it begins."""
    store = bench.open()
    bench.refuse(StoreFull)
    with pytest.raises(StoreFull):
        begin(store, TAKEN)
    bench.refuse(None)
    with pytest.raises(NotAPicture):
        begin(store, TAKEN, b"no picture")
    assert list(cards(bench.restart())) == []

    journal = begin(bench.store, TAKEN)

    assert journal.records == (PLAN, entry(1))
    assert photos(bench.store) == {NAME}


def test_a_job_that_is_here_gets_no_photos_of_another(bench: Bench) -> None:
    store = bench.open()
    create(store)
    for _ in range(2):  # open, and not
        with pytest.raises(JobExists):
            begin(store, TAKEN)
        store = bench.restart()
    assert photos(store) == frozenset()
