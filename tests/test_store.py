"""The store keeps what it has acknowledged: the same tests on files and in memory."""

from __future__ import annotations

import asyncio
import errno
import os
import random
import signal
import subprocess
import sys
import zlib
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.store import (
    BadJobId,
    BadRecord,
    EntryDiffers,
    JobExists,
    JobUnreadable,
    NoSuchJob,
    Report,
    StoreBusy,
    StoreClosed,
    StoreError,
    StoreFull,
    StoreReadOnly,
    files,
)
from fieldapp.store.catalogue import TwoCopies, title_of
from fieldapp.store.files import FileCopies, open_files, read_journal
from fieldapp.store.journal import DEEPEST, decode, encode
from fieldapp.store.keeper import SET_APART, Keeper
from fieldapp.store.memory import MemoryDisk, open_memory

ROOT = Path(__file__).resolve().parents[1]
PLAN = {"format": "farend-job/1", "id": "HERON-HIDE", "title": "Heron hide", "log": []}


def entry(number: int, **more: Any) -> dict[str, Any]:
    """A reading as the log has it."""
    return {
        "id": f"e{number}",
        "t": f"2026-05-04T10:{number % 60:02}:00Z",
        "what": "reading",
        "at": "B1.in",
        "kind": "volts",
        "value": 48 + number / 10,
        **more,
    }


class Bench:
    """A medium that outlives the stores opened on it, and can be hurt."""

    def __init__(self) -> None:
        self._ticks = count()
        self._draws = count(0xA000)
        self.store: Keeper | None = None

    def now(self) -> str:
        return f"2026-05-03T08:00:{next(self._ticks) % 60:02}Z"

    def draw(self) -> str:
        return f"{next(self._draws):04x}"

    def open(self) -> Keeper:
        """Open the store, as a start of the app does."""
        self.store = asyncio.run(self._opening())
        return self.store

    def crash(self) -> None:
        """End the program without any goodbye; only the system's own lock is let go."""
        self.store._disk.close()

    def restart(self) -> Keeper:
        """Close the store and open it again."""
        self.store.close()
        return self.open()


class FileBench(Bench):
    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        super().__init__()
        self.folder = folder
        self._monkeypatch = monkeypatch
        self._write_all = files._write_all

    def _opening(self) -> Any:
        return open_files(self.folder, now=self.now, draw=self.draw)

    def journal(self, job: str) -> bytes:
        return (self.folder / "jobs" / f"{job}.journal").read_bytes()

    def set_journal(self, job: str, data: bytes | None) -> None:
        path = self.folder / "jobs" / f"{job}.journal"
        path.unlink() if data is None else path.write_bytes(data)

    def beside(self, job: str) -> list[bytes]:
        return [p.read_bytes() for p in sorted((self.folder / "jobs").glob(f"{job}.journal.bad-*"))]

    def photo(self, job: str, sha256: str) -> bytes | None:
        """A picture as it lies there."""
        path = self.folder / "jobs" / f"{job}.photos" / f"{sha256}.jpg"
        return path.read_bytes() if path.exists() else None

    def set_photo(self, job: str, sha256: str, data: bytes | None) -> None:
        """Overwrite a picture; None takes it away."""
        path = self.folder / "jobs" / f"{job}.photos" / f"{sha256}.jpg"
        path.unlink() if data is None else path.write_bytes(data)

    def photos_aside(self, job: str) -> list[bytes]:
        """What lay under a picture's name and was not that picture."""
        folder = self.folder / "jobs" / f"{job}.photos"
        return [path.read_bytes() for path in sorted(folder.glob("*.jpg.bad-*"))]

    def set_catalogue(
        self, current: bytes | bool | None, previous: bytes | bool | None = True
    ) -> None:
        """Overwrite the copies; True leaves one as it is, None takes it away."""
        for name, data in (("catalogue", current), ("catalogue.previous", previous)):
            path = self.folder / name
            if data is None:
                path.unlink(missing_ok=True)
            elif data is not True:
                path.write_bytes(data)

    def refuse(self, error: type[StoreError] | None) -> None:
        """Make every write fail half way, until called with None."""
        number = {StoreFull: errno.ENOSPC, StoreReadOnly: errno.EROFS}.get(error)

        def half(fd: int, data: bytes) -> None:
            os.write(fd, data[: len(data) // 2])
            raise OSError(number, "as ordered")

        self._monkeypatch.setattr(files, "_write_all", half if error else self._write_all)


class MemoryBench(Bench):
    def __init__(self) -> None:
        super().__init__()
        self.disk = MemoryDisk()

    def _opening(self) -> Any:
        return open_memory(self.disk, now=self.now, draw=self.draw)

    def journal(self, job: str) -> bytes:
        return self.disk.journals[job]

    def set_journal(self, job: str, data: bytes | None) -> None:
        if data is None:
            del self.disk.journals[job]
        else:
            self.disk.journals[job] = data

    def beside(self, job: str) -> list[bytes]:
        return [data for (name, _), data in sorted(self.disk.beside.items()) if name == job]

    def photo(self, job: str, sha256: str) -> bytes | None:
        return self.disk.photos.get((job, sha256))

    def set_photo(self, job: str, sha256: str, data: bytes | None) -> None:
        if data is None:
            del self.disk.photos[job, sha256]
        else:
            self.disk.photos[job, sha256] = data

    def photos_aside(self, job: str) -> list[bytes]:
        return self.disk.photos_aside

    def set_catalogue(
        self, current: bytes | bool | None, previous: bytes | bool | None = True
    ) -> None:
        if current is not True:
            self.disk.copies.current = current
        if previous is not True:
            self.disk.copies.previous = previous

    def refuse(self, error: type[StoreError] | None) -> None:
        self.disk.trouble = error


@pytest.fixture(params=["files", "memory"])
def bench(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Bench]:
    made = FileBench(tmp_path / "data", monkeypatch) if request.param == "files" else MemoryBench()
    yield made
    if made.store:
        made.store.close()


def create(store: Keeper, job: str = "HERON-HIDE", **more: Any) -> Any:
    return asyncio.run(store.create(job, PLAN, **more))


def opened(store: Keeper, job: str = "HERON-HIDE") -> Any:
    return asyncio.run(store.open(job))


def cards(store: Keeper) -> dict[str, Any]:
    return {card.id: card for card in asyncio.run(store.list_jobs())}


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
        asyncio.run(bench._opening())
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


# Damage


def test_a_tail_torn_at_any_byte_is_cut_back(bench: Bench) -> None:
    """Wherever the power went in the last record, the ones before it are whole."""
    journal = create(bench.open())
    journal.append(entry(1))
    before = len(bench.journal("HERON-HIDE"))
    journal.append(entry(2, text="Ω and °"))
    whole = bench.journal("HERON-HIDE")
    journal.close()

    for end in range(before + 1, len(whole)):
        bench.set_journal("HERON-HIDE", whole[:end])
        journal = opened(bench.store)
        assert journal.records == (PLAN, entry(1))
        assert journal.report == Report("tail-cut", cut_bytes=end - before)
        journal.append(entry(2, text="Ω and °"))
        journal.close()
        assert bench.journal("HERON-HIDE") == whole
        assert whole[before:end] in bench.beside("HERON-HIDE")


def test_damage_in_the_middle_loses_only_what_it_hit(bench: Bench) -> None:
    """Any one byte changed: the other records are read, and the bad bytes are kept beside."""
    journal = create(bench.open())
    ends = []
    for number in range(3):
        journal.append(entry(number))
        ends.append(len(bench.journal("HERON-HIDE")))
    whole = bench.journal("HERON-HIDE")
    journal.close()

    for place in range(ends[0], ends[1]):
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
        assert bench.journal("HERON-HIDE") == bytes(hurt) + encode(entry(9))
        assert any(hurt[place] in piece for piece in bench.beside("HERON-HIDE"))


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
        (encode({"format": "farend-journal/2", "plan": PLAN}), "newer"),
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
    assert cards(store)["HERON-HIDE"].trouble == "unreadable"
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


def test_an_append_is_undone_when_the_medium_does_not_confirm(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All bytes written, but the flush fails: not kept, cut off, and kept once by the retry."""
    store = asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "a7f3"))
    journal = create(store)
    path = tmp_path / "jobs" / "HERON-HIDE.journal"
    before = path.read_bytes()

    def refuse(fd: int) -> None:
        raise OSError(errno.EIO, "as ordered")

    with monkeypatch.context() as patch:
        patch.setattr(files, "_flush", refuse)
        with pytest.raises(StoreError) as refusal:
            journal.append(entry(1))
    assert refusal.value.errno == errno.EIO
    assert path.read_bytes() == before
    journal.append(entry(1))

    assert path.read_bytes() == before + encode(entry(1))
    store.close()


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


# The catalogue


def test_place_and_settings_survive_a_crash(bench: Bench) -> None:
    """A phone that dies costs at most the key being pressed."""
    store = bench.open()
    assert asyncio.run(store.load_place()) is None
    for digits in ("4", "41", "41."):
        store.save_place({"route": "/job/HERON-HIDE/pad", "typed": digits})
    store.put_setting("theme", "dark")
    store.put_setting("theme", "sun")
    bench.crash()

    store = bench.open()

    assert asyncio.run(store.load_place()) == {"route": "/job/HERON-HIDE/pad", "typed": "41."}
    assert store.setting("theme") == "sun"
    assert store.setting("units", "metric") == "metric"


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


def test_rebuilding_by_hand_changes_nothing(bench: Bench) -> None:
    """What the catalogue says of jobs is what the journals say."""
    store = bench.open()
    create(store, source="heron.json").append(entry(1))
    bench.restart()
    before = asyncio.run(bench.store.list_jobs())

    asyncio.run(bench.store.rebuild())

    assert asyncio.run(bench.store.list_jobs()) == before


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


# Real processes

WRITER = """
import asyncio, itertools, sys
from pathlib import Path
from fieldapp.store import NoSuchJob
from fieldapp.store.files import open_files

async def main(folder, run):
    store = await open_files(Path(folder), now=lambda: "2026-05-04T10:00:00Z", draw=lambda: "a7f3")
    try:
        journal = await store.open("KILLED")
    except NoSuchJob:
        journal = await store.create("KILLED", {"title": "Killed"})
    for number in itertools.count():
        n = store.next_n()
        entry_id = f"{run}-{number}"
        journal.append({"id": entry_id, "device": store.device, "n": n, "text": "x" * (n % 700)})
        store.save_place({"typed": entry_id})
        print(entry_id, n, flush=True)

asyncio.run(main(*sys.argv[1:]))
"""


def test_nothing_acknowledged_is_lost_to_a_kill(tmp_path: Path) -> None:
    """20 processes killed in the act: all they said was kept is there, in order, with own counts."""
    chance = random.Random(20)
    said: list[tuple[str, int]] = []
    for run in range(20):
        command = [sys.executable, "-c", WRITER, str(tmp_path), str(run)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as writer:
            lines = [writer.stdout.readline() for _ in range(chance.randint(1, 40))]
            writer.send_signal(signal.SIGKILL)
            lines += writer.stdout.readlines()
        heard = [line.split() for line in lines if line.endswith("\n")]
        said += [(entry_id, int(n)) for entry_id, n in heard]

        found = decode(read_journal(tmp_path, "killed")).records[1:]
        kept = [(record["id"], record["n"]) for record in found]
        assert [pair for pair in kept if pair in set(said)] == said
        assert len({n for _, n in kept}) == len(kept)
    assert len(said) > 200

    store = asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "never"))
    assert store.device == "a7f3"
    assert store.next_n() > max(n for _, n in said)
    assert store.report is None or store.report.code == "catalogue-previous"
    store.close()


FILLER = """
import asyncio, resource, signal, sys
from pathlib import Path
from fieldapp.store import StoreFull
from fieldapp.store.files import open_files

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
store = asyncio.run(open_files(Path(sys.argv[1]), now=lambda: "", draw=lambda: "a7f3"))
journal = asyncio.run(store.create("FULL", {"title": "Full"}))
resource.setrlimit(resource.RLIMIT_FSIZE, (5000, resource.RLIM_INFINITY))
kept = 0
try:
    while True:
        journal.append({"id": f"e{kept}", "text": "x" * 300})
        kept += 1
except StoreFull:
    size = (Path(sys.argv[1]) / "jobs" / "FULL.journal").stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
journal.append({"id": f"e{kept}", "text": "x" * 300})
print(kept, size, len(journal.records))
"""


@pytest.mark.skipif(os.name == "nt", reason="the system has no such limit")
def test_the_systems_own_refusal_half_way_through_a_record(tmp_path: Path) -> None:
    """A file that may not grow takes part of a record: nothing of it stays, the retry is kept."""
    done = subprocess.run(
        [sys.executable, "-c", FILLER, str(tmp_path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    kept, size, records = map(int, done.stdout.split())

    found = decode(read_journal(tmp_path, "full"))
    assert kept > 5
    assert size < 5000
    assert records == kept + 2
    assert [r["id"] for r in found.records[1:]] == [f"e{n}" for n in range(kept + 1)]
    assert found.why is None


def test_a_second_program_is_told(tmp_path: Path) -> None:
    """The folder belongs to one program at a time, and is free when that one is gone."""
    command = [sys.executable, "-c", WRITER, str(tmp_path), "0"]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as writer:
        writer.stdout.readline()
        with pytest.raises(StoreBusy):
            asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "b001"))
        assert decode(read_journal(tmp_path, "killed")).records
        writer.kill()

    asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "b001")).close()


# The record format

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
