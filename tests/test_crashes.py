"""The power goes at any call and any byte: what was acknowledged is there, and nothing half.

Some hundred crashes of each kind; all of them by ``python tests/bench/crashes.py``.
"""

from __future__ import annotations

import asyncio
import errno
from collections.abc import Callable
from pathlib import Path

import pytest
from crash_scenes import (
    BAD_BYTES,
    EMPTY,
    HURTS,
    JOB,
    SCENES,
    Run,
    begun,
    cuts,
    killed,
    on_bad,
    refused,
    started,
)
from power_cuts import ROOT, CutSystem
from store_media import PLAN, entry

from fieldapp.store import StoreError
from fieldapp.store.journal import encode
from fieldapp.store.keeper import Keeper

MOST = 25
"""crashes of each kind and scene, at even distances"""


def prove(crashes: list[Callable[[], None]], most: int = MOST) -> None:
    for proof in crashes[:: max(1, len(crashes) // most)]:
        proof()


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
def test_the_power_goes(scene) -> None:
    """Behind every call, with whatever of it arrived."""
    prove(list(cuts(started(scene))))


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
def test_a_program_is_killed_and_begun_again_and_then_the_power_goes(scene) -> None:
    """What only the system's cache had when the program died was shown, and must last."""
    for at in range(3, len(started(scene).system.calls), 9):
        run = killed(scene, at)
        prove(list(cuts(run, len(run.system.calls) - 12)), 5)


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EIO])
def test_a_call_fails_and_is_tried_again_and_then_the_power_goes(scene, error: int) -> None:
    """A failed call may leave anything behind but something that counts."""
    for at in range(2, len(started(scene).system.calls), 14):
        prove(list(cuts(refused(scene, at, error), at)), 3)


@pytest.mark.parametrize("hurt", HURTS.values(), ids=HURTS)
def test_the_power_goes_while_a_damaged_journal_is_made_whole(hurt) -> None:
    """Every whole record stays, and the bad bytes are somewhere, whenever it happens."""
    run = on_bad(hurt)
    journal = dict(run.system.image().files)[ROOT / "jobs" / f"{JOB}.journal"]
    assert BAD_BYTES not in journal, "it was written anew"
    assert journal.endswith(encode(entry(90)))
    prove(list(cuts(run, bad=BAD_BYTES)))


def test_every_byte_of_an_append_is_torn() -> None:
    """Up to there, from there on, and the rest of it zeros; at each the record is whole or gone."""

    async def one(run: Run) -> None:
        await run.open()
        await run.append(await run.create(JOB, PLAN), entry(1))

    run = started(one)
    at = max(n for n, call in enumerate(run.system.calls, 1) if call.kind == "write")
    path = ROOT / "jobs" / f"{JOB}.journal"
    states = list(run.system.states(at))
    left = {dict(state.files)[path] for state in states}
    assert len(left) > 2.5 * len(encode(entry(1)))
    prove(list(cuts(run, at))[: len(states)], 60)


# A store or a machine that keeps no promise must be found out, or the above proves nothing.


class NoFlush(CutSystem):
    """Says that bytes are on the medium when they are not."""

    def flush(self, fd: int) -> None:
        pass


class NoNames(CutSystem):
    """The same with names."""

    def flush_folder(self, folder: Path) -> None:
        pass


class InPlace(CutSystem):
    """Opens files that are to be written beside in their place."""

    def create(self, path: Path) -> int:
        return super().create(path.with_name(path.name.removesuffix(".new")))

    def replace(self, path: Path, name: Path) -> None:
        if not path.name.endswith(".new"):
            super().replace(path, name)


def is_found_out(run: Run, first: int) -> None:
    """One of the crashes from a call on breaks a promise."""
    with pytest.raises((AssertionError, StoreError)):
        for proof in cuts(run, first):
            proof()


@pytest.mark.parametrize(("system", "last"), [(NoFlush, 2), (NoNames, 2), (InPlace, 50)])
def test_a_careless_system_is_found_out(system: type[CutSystem], last: int) -> None:
    run = Run(system(EMPTY))
    asyncio.run(SCENES["readings"](run))
    is_found_out(run, len(run.system.calls) - last)


def test_an_old_journal_that_is_brought_up_in_its_place_is_found_out() -> None:
    was = begun(SCENES["old"])
    run = Run(InPlace(was.system.start), was.steps)
    asyncio.run(SCENES["old"](run))
    is_found_out(run, 0)


def test_lines_together_in_the_first_format_are_found_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("fieldapp.store.keeper.brought_up", lambda records: records)
    run = started(SCENES["old"])
    is_found_out(run, next(n for n, call in enumerate(run.system.calls) if b"+ {" in call.data))


def test_entries_kept_before_their_pictures_are_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    create = Keeper.create

    async def first_the_entries(self, job, plan, *, pictures=(), **keys):
        journal = await create(self, job, plan, **keys)
        for picture in pictures:
            await self.keep_photo(job, picture)
        return journal

    monkeypatch.setattr(Keeper, "create", first_the_entries)
    is_found_out(started(SCENES["imports"]), 0)


def test_a_picture_that_a_failed_try_left_is_made_sure_of() -> None:
    """Its name was given and not confirmed; the next try may not take it as kept."""
    calls = started(SCENES["imports"]).system.calls
    moves = [n for n, call in enumerate(calls) if call.kind == "move" and call.to.suffix == ".jpg"]
    assert len(moves) == 2, "one with a job that begins, one with news"
    for at in moves:
        prove(list(cuts(refused(SCENES["imports"], at + 1, errno.EIO), at)), 100)


def test_half_of_what_was_kept_together_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines without their marks, in one write."""
    monkeypatch.setattr("fieldapp.store.keptjournal.together", lambda lines: (b"".join(lines),))
    run = started(SCENES["several"])
    is_found_out(run, max(n for n, call in enumerate(run.system.calls) if call.kind == "write"))
