"""The store in a browser's own file system, without the browser: what only this medium has.

What every medium must do is in the store's other tests, which run on this one too.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from typing import Any

import pytest
from jpegs import JFIF, made
from mutations import PICTURE
from opfs_fake import Plain, Root
from power_cuts import ROOT
from store_media import PLAN, OpfsBench, cards, create, entry, opened

from fieldapp.store import (
    NoSuchJob,
    Report,
    StoreBusy,
    StoreError,
    StoreFailed,
    StoreFull,
    StoreReadOnly,
)
from fieldapp.store.journal import decode
from fieldapp.store.opfs import open_opfs
from fieldapp.store.opfs_handles import Folder, Refusal, as_store_error
from fieldapp.store.opfs_slots import Frame, Slots, frame_in, framed
from fieldapp.store.opfs_whole import Maker

JOB = PLAN["id"]


@pytest.fixture
def bench() -> Iterator[OpfsBench]:
    made = OpfsBench()
    yield made
    if made.store:
        made.store.close()


def run_on(machine: Plain) -> Any:
    return open_opfs(Root(machine), now=lambda: "2026-05-03T08:00:00Z", draw=lambda: "b001")


def test_an_entry_is_one_write_and_one_flush(bench: OpfsBench) -> None:
    """Two of each for those that are kept together."""
    journal = create(bench.open())
    bench.machine.calls.clear()

    journal.append(entry(1))
    assert bench.machine.calls == ["write", "flush"]
    journal.append_all((entry(2), entry(3), entry(4)))
    assert bench.machine.calls == ["write", "flush"] * 3


def test_the_second_is_told_and_the_first_lets_everything_go(bench: OpfsBench) -> None:
    store = bench.open()
    create(store).append(entry(1))
    with pytest.raises(StoreBusy):
        asyncio.run(run_on(bench.machine))
    store.close()

    assert bench.machine.holders == set()
    asyncio.run(run_on(bench.machine)).close()
    assert bench.machine.holders == set()


def test_an_opening_that_fails_lets_everything_go(bench: OpfsBench) -> None:
    """The last slot is held by somebody else."""
    bench.open().close()
    slot = ROOT / "catalogue.3"
    bench.machine.holders.add(slot)
    with pytest.raises(StoreBusy):
        asyncio.run(run_on(bench.machine))
    assert bench.machine.holders == {slot}


def test_a_journal_that_somebody_holds_is_busy_and_the_others_serve(bench: OpfsBench) -> None:
    store = bench.open()
    create(store).close()
    create(store, "SLUICE").close()
    bench.machine.holders.add(ROOT / "jobs" / "SLUICE.journal")

    with pytest.raises(StoreBusy) as told:
        opened(bench.restart(), "SLUICE")
    assert told.value.job == "SLUICE"
    assert opened(bench.store).records == (PLAN,)
    assert set(cards(bench.store)) == {"HERON-HIDE", "SLUICE"}


ANSWERS = {
    "the number of an error": (2**32 - 8, StoreFull),
    "that of another": (2**32 - 1, StoreFailed),
    "nothing": (0, StoreFull),
    "a part": (7, StoreFull),
}


@pytest.mark.parametrize(("took", "error"), ANSWERS.values(), ids=ANSWERS)
def test_a_write_that_says_something_else_than_all_is_refused(
    bench: OpfsBench, monkeypatch: pytest.MonkeyPatch, took: int, error: type[StoreError]
) -> None:
    """What browsers do instead of raising; half of it was written, and is gone again."""
    store = bench.open()
    journal = create(store)
    journal.append(entry(1))
    before = bench.journal(JOB)
    write = Plain.write

    def says(self: Plain, fd: int, place: int, data: bytes) -> int:
        write(self, fd, place, data[: len(data) // 2])
        return took

    monkeypatch.setattr(Plain, "write", says)
    with pytest.raises(error):
        journal.append(entry(2))
    with pytest.raises(error):
        store.save_place({"typed": "4"})
    with pytest.raises(error):
        asyncio.run(store.create("SLUICE", PLAN))
    with pytest.raises(error):
        asyncio.run(store.keep_photo(JOB, PICTURE))
    assert bench.journal(JOB) == before
    monkeypatch.undo()
    journal.append(entry(3))

    store = bench.restart()
    assert opened(store).records == (PLAN, entry(1), entry(3))
    assert set(cards(store)) == {JOB} and asyncio.run(store.photos(JOB)) == frozenset()
    assert asyncio.run(store.load_place()) is None and store.report is None


def test_a_cut_that_does_nothing_is_told(bench: OpfsBench, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is behind the end is not taken for gone; nothing is kept behind it."""
    journal = create(bench.open())
    bench.refuse(StoreFull)
    monkeypatch.setattr(Plain, "cut", lambda self, fd, size: None)
    with pytest.raises(StoreFull):
        journal.append(entry(1))
    bench.refuse(None)
    with pytest.raises(StoreFailed):
        journal.append(entry(2))
    monkeypatch.undo()
    journal.append(entry(3))

    bench.crash()
    assert opened(bench.open()).records == (PLAN, entry(3))


def test_what_cannot_be_put_aside_is_not_cut(
    bench: OpfsBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No new file can be had: the journal can be read, and takes no entry until one can."""
    create(bench.open()).append(entry(1))
    torn = bench.journal(JOB) + b"99 0000"
    bench.crash()
    bench.set_journal(JOB, torn)
    bench.open()
    bench.machine.makes = False

    journal = opened(bench.store)
    assert journal.records == (PLAN, entry(1)) and journal.report == Report("tail-cut", 7)
    with pytest.raises(StoreFull):
        journal.append(entry(2))
    assert bench.journal(JOB) == torn
    journal.close()
    bench.machine.makes = True
    opened(bench.store).append(entry(2))

    assert bench.beside(JOB) == [b"99 0000"]
    assert decode(bench.journal(JOB)).records[2] == entry(2)


def test_nothing_is_kept_before_what_was_not_made_is_undone(
    bench: OpfsBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The flush that lets a journal written anew count is not confirmed, nor is its undoing.

    It may count after a crash. An entry behind the old one would be lost by that.
    """
    journal = create(bench.open())
    journal.append_all((entry(1), entry(2)))
    journal.close()
    bench.crash()
    hurt = bench.journal(JOB).replace(b'"e1"', b'"x1"')
    bench.set_journal(JOB, hurt)
    bench.open()
    put = Maker.put

    def last_flush_fails(self: Maker, fresh: Any, path: str, data: bytes) -> None:
        cut = self._note.cut

        def and_then_no_more(size: int) -> None:
            cut(size)
            self._note.cut, bench.machine.confirms = cut, False

        if path.endswith(".2.journal"):
            self._note.cut = and_then_no_more
        put(self, fresh, path, data)

    monkeypatch.setattr(Maker, "put", last_flush_fails)
    journal = opened(bench.store)
    assert journal.records == (PLAN, entry(2)), "read from the old one"
    with pytest.raises(StoreFailed):
        journal.append(entry(3))
    bench.machine.confirms = True
    journal.append(entry(4))

    bench.machine.holders.clear()  # the program is killed
    monkeypatch.undo()
    bench.open()
    assert opened(bench.store).records == (PLAN, entry(2), entry(4))


ERRORS = {
    "QuotaExceededError": StoreFull,
    "NoModificationAllowedError": StoreBusy,
    "NotAllowedError": StoreReadOnly,
    "SecurityError": StoreReadOnly,
    "InvalidStateError": StoreFailed,
    "NotReadableError": StoreFailed,
    "UnknownError": StoreFailed,
    "a name of a later day": StoreFailed,
    "NotFoundError": NoSuchJob,
}


@pytest.mark.parametrize(("name", "error"), ERRORS.items())
def test_the_browsers_errors_are_told_by_their_names(name: str, error: type[StoreError]) -> None:
    with pytest.raises(error) as told, as_store_error("HERON-HIDE"):
        raise Refusal(name)
    assert type(told.value) is error and told.value.job == "HERON-HIDE"
    mistake = AttributeError("a mistake of ours has a name too", name=name)
    with pytest.raises(AttributeError), as_store_error("HERON-HIDE"):
        raise mistake


def test_a_photo_kept_again_leaves_the_damaged_one_as_it_is(bench: OpfsBench) -> None:
    """There is no renaming: the later of two files counts, and the count goes on."""
    store = bench.open()
    create(store)
    photo = asyncio.run(store.keep_photo(JOB, PICTURE)).sha256
    for hurt in (b"x", b"yy"):
        bench.set_photo(JOB, photo, hurt)
        assert asyncio.run(store.photo(JOB, photo)) is None
        asyncio.run(store.keep_photo(JOB, PICTURE))
    names = {path.name for path in bench.machine.files if path.suffix == ".jpg"}

    assert names == {f"{photo}.jpg", f"{photo}.2.jpg", f"{photo}.3.jpg"}
    assert bench.photos_aside(JOB) == [b"x", b"yy"]
    assert asyncio.run(bench.restart().photos(JOB)) == {photo}


def test_photos_made_at_once_do_not_get_in_each_others_way(bench: OpfsBench) -> None:
    store = bench.open()
    create(store)
    other = made("progressive", JFIF)

    async def both() -> set[str]:
        kept = [store.keep_photo(JOB, data) for data in (PICTURE, other, PICTURE, other)]
        return {photo.sha256 for photo in await asyncio.gather(*kept)}

    assert asyncio.run(both()) == asyncio.run(store.photos(JOB))


# ---------------------------------------------------------------- the slots


def test_a_slot_in_which_anything_is_changed_is_not_read() -> None:
    """Cut anywhere, a bit turned anywhere, or the tail of a longer one behind a shorter head."""
    whole, longer = framed(Frame(12, 11, b"what is kept")), framed(Frame(9, 8, b"w" * 40))
    assert frame_in(whole) == frame_in(whole + longer[30:]) == Frame(12, 11, b"what is kept")
    for place in range(len(whole)):
        turned = bytearray(whole)
        turned[place] ^= 1
        assert frame_in(bytes(turned)) is None
        assert frame_in(whole[:place]) is None
        assert place == 0 or frame_in(whole[:place] + longer[place:]) is None


@pytest.mark.parametrize("saves", range(1, 8))
@pytest.mark.parametrize("half", [b"", b"1", b"torn", bytes(900)])
def test_a_put_never_touches_the_two_last_copies(saves: int, half: bytes) -> None:
    """Whatever is left in the slot it went to, the last copy is there; of two lost, none is."""
    machine = Plain()

    async def slots() -> Slots:
        return await Slots.on(Folder(Root(machine)))

    first = asyncio.run(slots())
    for number in range(saves):
        first.put(b"copy %d" % number, keep_current=number > 0)
    before = b"copy %d" % (saves - 2) if saves > 1 else None
    assert first.read() == (b"copy %d" % (saves - 1), before)
    was = {path: bytes(data) for path, data in machine.files.items()}
    first.put(b"more", keep_current=True)
    (written,) = (path for path in was if machine.files[path] != was[path])
    first.close()
    machine.files[written][:] = half

    current, previous = asyncio.run(slots()).read()
    machine.holders.clear()
    newest = b"copy %d" % (saves - 1)
    assert (current, previous) in ((newest, before), (b"", newest))
    if saves > 1:
        last = next(path for path in was if (found := frame_in(was[path])) and found.data == newest)
        machine.files[last][:] = b"lost"
        machine.files[written][:] = b"lost"
        assert asyncio.run(slots()).read() == (b"", None)
