"""The power goes at any call and any byte, in a browser's own file system.

The scenes are those of ``test_crashes``, played on handles instead of files.
"""

from __future__ import annotations

import asyncio
import errno
from collections.abc import Callable, Iterator
from typing import Any

import crash_scenes
import pytest
from crash_scenes import BAD_BYTES, EMPTY, HURTS, JOB, SCENES, Run, cuts, killed, on_bad, refused
from crash_scenes import started as played
from opfs_fake import CutDisk, Root
from power_cuts import ROOT, PowerCut
from store_media import entry

from fieldapp.store import StoreError
from fieldapp.store.journal import encode
from fieldapp.store.keeper import Keeper
from fieldapp.store.opfs import open_opfs
from fieldapp.store.opfs_handles import Folder
from fieldapp.store.opfs_slots import Slots
from fieldapp.store.opfs_whole import Maker

MOST = 20
"""crashes of each kind and scene, at even distances"""


async def open_on(root: object, *, system: Any, **said: Any) -> Keeper:
    assert root == ROOT
    return await open_opfs(Root(system), **said)


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[type[CutDisk]], None]]:
    """The scenes of crashes are played in a browser's file system; called, on one of a kind."""

    def play_on(kind: type[CutDisk]) -> None:
        crash_scenes._of_the_first_format.cache_clear()
        monkeypatch.setattr(crash_scenes, "CutSystem", kind)

    play_on(CutDisk)
    monkeypatch.setattr(crash_scenes, "open_files", open_on)
    yield play_on
    crash_scenes._of_the_first_format.cache_clear()


def prove(crashes: list[Callable[[], None]], most: int = MOST) -> None:
    for proof in crashes[:: max(1, len(crashes) // most)]:
        proof()


# ---------------------------------------------------------------- the power goes


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
def test_the_power_goes(machine, scene) -> None:
    """Behind every call, with whatever of it arrived, and whatever names came back."""
    prove(list(cuts(played(scene))), 40)


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
def test_a_program_is_killed_and_begun_again_and_then_the_power_goes(machine, scene) -> None:
    for at in range(3, len(played(scene).system.calls), 9):
        run = killed(scene, at)
        prove(list(cuts(run, len(run.system.calls) - 12)), 4)


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EIO])
def test_a_call_fails_and_is_tried_again_and_then_the_power_goes(machine, scene, error) -> None:
    for at in range(2, len(played(scene).system.calls), 14):
        prove(list(cuts(refused(scene, at, error), at)), 3)


@pytest.mark.parametrize("hurt", HURTS.values(), ids=HURTS)
def test_the_power_goes_while_a_damaged_journal_is_made_whole(machine, hurt) -> None:
    """Every whole record stays, and the bad bytes are somewhere, whenever it happens."""
    run = on_bad(hurt)
    journal = dict(run.system.image().files)[ROOT / "jobs" / f"{JOB}.2.journal"]
    assert BAD_BYTES not in journal, "it was written anew"
    assert journal.endswith(encode(entry(90)))
    prove(list(cuts(run, bad=BAD_BYTES)))


# What keeps no promise must be found out, or the above proves nothing.


class NoFlush(CutDisk):
    """Says that bytes are on the medium when they are not."""

    def flush(self, fd: int) -> None:
        pass


def is_found_out(run: Run, first: int = 0) -> None:
    """One of the crashes from a call on breaks a promise."""
    with pytest.raises((AssertionError, StoreError)):
        for proof in cuts(run, first):
            proof()


def test_a_careless_medium_is_found_out(machine) -> None:
    machine(NoFlush)
    run = played(SCENES["readings"])
    is_found_out(run, len(run.system.calls) - 2)


def test_a_journal_made_without_a_note_is_found_out(machine, monkeypatch) -> None:
    def put(self: Maker, fresh: Any, path: str, data: bytes) -> None:
        fresh.write(0, data)
        fresh.flush()

    monkeypatch.setattr(Maker, "put", put)
    is_found_out(played(SCENES["first_start"]))


def test_a_note_that_is_not_flushed_is_found_out(machine, monkeypatch) -> None:
    def put(self: Maker, fresh: Any, path: str, data: bytes) -> None:
        self._note.write(0, b"")
        fresh.write(0, data)
        fresh.flush()
        self._note.cut(0)

    monkeypatch.setattr(Maker, "put", put)
    is_found_out(played(SCENES["first_start"]))


def test_a_copy_put_in_the_place_of_the_current_one_is_found_out(machine, monkeypatch) -> None:
    put = Slots.put

    def in_place(self: Slots, data: bytes, *, keep_current: bool) -> None:
        if self._current is not None:
            self._previous, self._bad = (self._current + 1) % 3, [self._current]
            self._current = None
        put(self, data, keep_current=keep_current)

    monkeypatch.setattr(Slots, "put", in_place)
    run = played(SCENES["readings"])
    is_found_out(run, len(run.system.calls) - 12)


def test_an_old_journal_whose_name_comes_back_does_not_count(machine) -> None:
    """It was written anew and taken away; what was kept since is behind the new one."""
    run = on_bad(HURTS["changed byte"])
    files = dict(run.system.image().files)
    old, new = (ROOT / "jobs" / f"{JOB}{turn}.journal" for turn in ("", ".2"))
    assert old not in files and files[new].endswith(encode(entry(90)))
    both = {
        path.name for state in run.system.states(len(run.system.calls)) for path, _ in state.files
    }
    assert {old.name, new.name} <= both, "a name that was taken away may come back"


def test_a_copy_that_was_read_once_is_there_for_good() -> None:
    """Its program was killed before the flush; the next one shows it, and then the power goes."""
    machine = CutDisk(EMPTY)

    def slots() -> Slots:
        return asyncio.run(Slots.on(Folder(Root(machine))))

    first = slots()
    for number in range(4):
        first.put(b"copy %d" % number, keep_current=number > 0)
    machine.cut_at = len(machine.calls)
    with pytest.raises(PowerCut):
        first.put(b"in the air", keep_current=True)
    machine.again()
    assert slots().read() == (b"in the air", b"copy 3")

    for state in machine.states(len(machine.calls)):
        machine = CutDisk(state)
        assert slots().read() == (b"in the air", b"copy 3")
