"""Pictures beside their job: the same tests on files and in memory, and on files a kill."""

from __future__ import annotations

import asyncio
import errno
import os
import random
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from jpegs import HIGH, ICC, JFIF, TELLING, WIDE, exif, made, oriented, tells
from store_media import PLAN, ROOT, Bench, FileBench, bench, cards, create, entry

from engine.entries import read_entry
from fieldapp.jpeg import NotAPicture, without_place
from fieldapp.store import (
    BadJobId,
    NoSuchJob,
    Photo,
    StoreClosed,
    StoreError,
    StoreFailed,
    StoreFull,
    StoreReadOnly,
)
from fieldapp.store.files import open_files
from fieldapp.store.keeper import Keeper

__all__ = ["bench"]  # a fixture: pytest finds it by its name here

JOB = "HERON-HIDE"
TAKEN = made("progressive", JFIF, exif(6), TELLING["xmp"], ICC, behind=exif(1))
KEPT = made("progressive", JFIF, oriented(6), ICC)
NAME = sha256(KEPT).hexdigest()
OTHER = made("baseline")


def keep(store: Keeper, data: bytes = TAKEN, job: str = JOB) -> Photo:
    return asyncio.run(store.keep_photo(job, data))


def photo(store: Keeper, name: str = NAME, job: str = JOB) -> bytes | None:
    return asyncio.run(store.photo(job, name))


def photos(store: Keeper, job: str = JOB) -> frozenset[str]:
    return asyncio.run(store.photos(job))


def with_job(bench: Bench) -> Keeper:
    store = bench.open()
    create(store)
    return store


def test_a_photo_is_there_after_a_crash(bench: Bench) -> None:
    """Byte for byte, under the hash of what was kept, without the place."""
    kept = keep(with_job(bench))
    bench.crash()
    store = bench.open()

    assert kept == Photo(NAME, len(KEPT), HIGH, WIDE)
    assert photo(store) == KEPT
    assert photos(store) == {NAME}
    assert tells(TAKEN) and not tells(KEPT)


def test_its_keys_are_those_of_the_log_entry(bench: Bench) -> None:
    """The entry is read by the engine as it stands; the picture is no part of journal or list."""
    store = bench.open()
    journal = create(store)
    before = bench.journal(JOB)
    kept = keep(store)
    assert bench.journal(JOB) == before

    record = {"id": "p1", "what": "photo", "of": "B1", **asdict(kept)}
    journal.append(record)

    assert read_entry(record).body == {"of": "B1", **asdict(kept)}
    assert journal.records == (PLAN, record)
    assert list(cards(bench.restart())) == [JOB]


def test_the_same_photo_is_kept_once(bench: Bench) -> None:
    """Also as it comes back from the store, and on a disk that takes nothing more."""
    store = with_job(bench)
    kept = keep(store)

    assert keep(store) == keep(store, photo(store)) == kept
    bench.refuse(StoreFull)
    assert keep(store) == kept
    assert photos(store) == {NAME}
    assert bench.photos_aside(JOB) == []


def test_photos_of_two_jobs_do_not_mix(bench: Bench) -> None:
    """Ids without case; a picture belongs to the job it was kept for."""
    store = with_job(bench)
    create(store, "SLUICE")
    keep(store, job="heron-hide")
    other = keep(store, OTHER, "Sluice")

    assert photos(store) == {NAME}
    assert photos(store, "sluice") == {other.sha256}
    assert photo(store, NAME, "SLUICE") is None
    assert photo(store, NAME, "heron-Hide") == KEPT


def test_what_is_not_there_is_none(bench: Bench) -> None:
    """Neither a job without pictures nor a name from a hostile file is an end of the app."""
    store = with_job(bench)
    names = ("", "..", "../HERON-HIDE.journal", "a" * 63, NAME.upper(), NAME + "\n", "/etc/hosts")

    assert photos(store) == photos(store, "NOWHERE") == frozenset()
    keep(store)
    assert [photo(store, name) for name in names] == [None] * len(names)
    assert store.damaged_photos(JOB) == frozenset()


@pytest.mark.parametrize("job", ["", "a/b", "..", "../x", "a b", "straße", "x" * 101, "A.photos"])
def test_an_id_never_leads_out_of_the_folder(bench: Bench, job: str) -> None:
    """By the same rule as for journals."""
    store = with_job(bench)
    calls: tuple[Callable[[], Any], ...] = (
        lambda: keep(store, job=job),
        lambda: photo(store, job=job),
        lambda: photos(store, job),
        lambda: store.damaged_photos(job),
    )
    for call in calls:
        with pytest.raises(BadJobId):
            call()


def test_a_photo_needs_its_job_a_picture_and_an_open_store(bench: Bench) -> None:
    """Nothing is kept where nobody would look for it."""
    store = with_job(bench)
    with pytest.raises(NoSuchJob):
        keep(store, job="NOWHERE")
    with pytest.raises(NotAPicture, match="a PNG picture; only JPEG is kept"):
        keep(store, b"\x89PNG\r\n\x1a\n")
    assert photos(store) == photos(store, "NOWHERE") == frozenset()
    store.close()

    for call in (keep, photo, photos):
        with pytest.raises(StoreClosed):
            call(store)


def test_a_photo_outlives_its_journal(bench: Bench) -> None:
    """A journal that is gone does not take the pictures with it."""
    keep(with_job(bench))
    bench.store.close()
    bench.set_journal(JOB, None)

    assert photo(bench.open()) == KEPT


def test_a_job_named_like_a_device_has_its_photos(bench: Bench) -> None:
    """NUL and its kind are no folders on some systems."""
    store = bench.open()
    create(store, "nul")
    kept = keep(store, job="NUL")

    assert photos(bench.restart(), "nul") == {kept.sha256}
    assert list(cards(bench.store)) == ["NUL"]


@pytest.mark.parametrize("error", [StoreFull, StoreReadOnly])
def test_a_refused_photo_is_not_there_and_may_be_tried_again(
    bench: Bench, error: type[StoreError]
) -> None:
    """It raises by name, nothing half is left, and readings go on being kept."""
    store = bench.open()
    journal = create(store)
    bench.refuse(error)
    for _ in range(3):
        with pytest.raises(error) as refusal:
            keep(store)
    assert refusal.value.job == JOB
    assert photos(store) == frozenset()
    assert bench.photo(JOB, NAME) is None
    bench.refuse(None)
    journal.append(entry(1))

    assert keep(store).sha256 == NAME
    assert photo(store) == KEPT


# Damage


@pytest.mark.parametrize("hurt", [b"", KEPT[:-1], KEPT + b"\0", OTHER, bytes(len(KEPT))])
def test_a_damaged_photo_counts_as_missing_and_is_told(bench: Bench, hurt: bytes) -> None:
    """Reading finds it out; nothing is written over until the picture is kept again."""
    store = with_job(bench)
    keep(store)
    other = keep(store, OTHER)
    bench.set_photo(JOB, NAME, hurt)

    assert photo(store) is None
    assert store.damaged_photos("heron-hide") == {NAME}
    assert photos(store) == {other.sha256}
    assert bench.photo(JOB, NAME) == hurt

    bench.refuse(StoreFull)
    with pytest.raises(StoreFull):
        keep(store)
    assert bench.photo(JOB, NAME) == hurt
    bench.refuse(None)
    keep(store)

    assert photo(store) == KEPT
    assert store.damaged_photos(JOB) == frozenset()
    assert photos(store) == {NAME, other.sha256}
    assert bench.photos_aside(JOB) == [hurt]


def test_each_damaged_copy_is_put_aside(bench: Bench) -> None:
    """Damaged twice, mended twice: none of the bytes are written over."""
    store = with_job(bench)
    keep(store)
    for hurt in (b"one", b"two"):
        bench.set_photo(JOB, NAME, hurt)
        keep(store)

    assert bench.photos_aside(JOB) == [b"one", b"two"]
    assert photo(store) == KEPT


def test_a_photo_that_is_gone_is_not_damaged(bench: Bench) -> None:
    """Taken away by somebody: missing, and kept again without ado."""
    store = with_job(bench)
    keep(store)
    bench.set_photo(JOB, NAME, None)

    assert photo(store) is None
    assert photos(store) == store.damaged_photos(JOB) == frozenset()
    keep(store)
    assert photo(store) == KEPT


# Files alone


@pytest.fixture
def on_files(tmp_path: Path) -> FileBench:
    made = FileBench(tmp_path / "data")
    yield made
    if made.store:
        made.store.close()


@pytest.mark.parametrize("suffix", [".jpg.part", ".part", ".jpg.new", ".jpg.bad-1", "", ".JPG"])
def test_a_half_written_file_is_no_photo(on_files: FileBench, suffix: str) -> None:
    """Of a write that was never acknowledged: not shown, and no bar to keeping the picture."""
    store = with_job(on_files)
    folder = on_files.folder / "jobs" / f"{JOB}.photos"
    folder.mkdir()
    leftover = folder / f"{NAME}{suffix}"
    leftover.write_bytes(KEPT[:100])
    (folder / "mine.jpg").write_bytes(OTHER)

    assert photos(store) == frozenset()
    assert photo(store) is None
    store = on_files.restart()
    assert leftover.exists() == (suffix != ".jpg.new")
    assert photos(store) == store.damaged_photos(JOB) == frozenset()
    keep(store)
    assert photo(store) == KEPT


def test_a_name_never_leads_out_of_the_folder(on_files: FileBench) -> None:
    """A picture elsewhere is not even looked at, so it is not called damaged either."""
    store = with_job(on_files)
    keep(store)
    (on_files.folder / "jobs" / "mine.jpg").write_bytes(OTHER)

    assert photo(store, "../mine") is None
    assert store.damaged_photos(JOB) == frozenset()


def test_a_photo_is_flushed_before_it_has_its_name(
    on_files: FileBench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """First the bytes, then the name, then the folders; and so again for one found in place."""
    store = with_job(on_files)
    jobs = on_files.folder / "jobs"
    flushed: list[tuple[str, bool]] = []
    fsync = os.fsync

    def watch(fd: int) -> None:
        fsync(fd)
        names = {path.stat().st_ino: path.name for path in (jobs, *jobs.rglob("*"))}
        named = (jobs / f"{JOB}.photos" / f"{NAME}.jpg").exists()
        flushed.append((names[os.fstat(fd).st_ino], named))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", watch)
        keep(store)
        first, flushed[:] = flushed[:], []
        keep(store)

    folder = f"{JOB}.photos"
    assert first[-3:] == [(f"{NAME}.jpg.new", False), (folder, True), ("jobs", True)]
    assert flushed == [(f"{NAME}.jpg", True), (folder, True), ("jobs", True)]


def test_a_photo_the_medium_does_not_confirm_is_not_kept(on_files: FileBench) -> None:
    """All bytes written, but the flush fails: no picture, no leftover."""
    store = with_job(on_files)

    on_files.system.confirms = False
    with pytest.raises(StoreFailed) as refusal:
        keep(store)
    on_files.system.confirms = True
    assert refusal.value.errno == errno.EIO
    assert list((on_files.folder / "jobs" / f"{JOB}.photos").iterdir()) == []
    keep(store)
    assert photo(store) == KEPT


def test_a_photo_that_cannot_be_read_counts_as_damaged(on_files: FileBench) -> None:
    """Something else under its name, here a folder, is put aside like any damage."""
    store = with_job(on_files)
    path = on_files.folder / "jobs" / f"{JOB}.photos" / f"{NAME}.jpg"
    path.mkdir(parents=True)

    assert photo(store) is None
    assert store.damaged_photos(JOB) == {NAME}
    keep(store)
    assert photo(store) == KEPT
    assert path.with_name(f"{path.name}.bad-1").is_dir()


def test_threads_with_the_same_photo_do_not_get_in_each_others_way(on_files: FileBench) -> None:
    """Every one that was told 'kept' finds it whole."""
    store = with_job(on_files)
    told: list[object] = []

    def hand() -> None:
        for number in range(6):
            told.append(keep(store, made("baseline", exif(number + 2))))
            told.append(photo(store, told[-1].sha256))

    hands = [threading.Thread(target=hand) for _ in range(4)]
    for each in hands:
        each.start()
    for each in hands:
        each.join()

    assert len(told) == 4 * 6 * 2
    assert None not in told
    assert len(photos(store)) == 6


WRITER = """
import asyncio, itertools, sys
from pathlib import Path
from fieldapp.store import NoSuchJob
from fieldapp.store.files import open_files

async def main(folder, run):
    picture = Path(folder, "taken.jpg").read_bytes()
    store = await open_files(Path(folder), now=lambda: "", draw=lambda: "a7f3")
    if not await store.list_jobs():
        (await store.create("KILLED", {"title": "Killed"})).close()
    print("ready", flush=True)
    for number in itertools.count():
        grown = picture[:-2] + b"%s-%d " % (run.encode(), number) * 9000 + picture[-2:]
        print((await store.keep_photo("KILLED", grown)).sha256, flush=True)

asyncio.run(main(*sys.argv[1:]))
"""


def test_no_acknowledged_photo_is_lost_to_a_kill(tmp_path: Path) -> None:
    """15 processes killed in the act: each picture said to be kept is whole, no other is shown."""
    (tmp_path / "taken.jpg").write_bytes(KEPT)
    chance = random.Random(15)
    said: set[str] = set()
    for run in range(15):
        command = [sys.executable, "-c", WRITER, str(tmp_path), str(run)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as writer:
            lines = [writer.stdout.readline() for _ in range(chance.randint(2, 12))]
            writer.send_signal(signal.SIGKILL)
            lines += writer.stdout.readlines()
        said |= {line.strip() for line in lines if line.endswith("\n")} - {"ready"}

    store = asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "never"))
    there = photos(store, "KILLED")
    assert len(said) > 50
    assert said <= there
    assert len(there) <= len(said) + 15
    for name in there:
        data = photo(store, name, "KILLED")
        assert data is not None
        assert without_place(data) == data
    store.close()
    assert not list((tmp_path / "jobs").glob("*.photos/*.new"))


FILLER = """
import asyncio, resource, signal, sys
from pathlib import Path
from fieldapp.store import StoreFull
from fieldapp.store.files import open_files

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
folder, picture = Path(sys.argv[1]), Path(sys.argv[2]).read_bytes()
store = asyncio.run(open_files(folder, now=lambda: "", draw=lambda: "a7f3"))
asyncio.run(store.create("FULL", {"title": "Full"}))
resource.setrlimit(resource.RLIMIT_FSIZE, (100, resource.RLIM_INFINITY))
try:
    asyncio.run(store.keep_photo("FULL", picture))
except StoreFull:
    print(len(list(folder.glob("jobs/FULL.photos/*"))))
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
print(asyncio.run(store.keep_photo("FULL", picture)).sha256)
"""


@pytest.mark.skipif(os.name == "nt", reason="the system has no such limit")
def test_the_systems_own_refusal_half_way_through_a_photo(tmp_path: Path) -> None:
    """A file that may not grow takes part of the picture: nothing of it stays, the retry is kept."""
    (tmp_path / "taken.jpg").write_bytes(TAKEN)
    command = [sys.executable, "-c", FILLER, str(tmp_path / "data"), str(tmp_path / "taken.jpg")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)

    assert done.stdout.split() == ["0", NAME]
