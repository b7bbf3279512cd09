"""Real processes: killed in the act, out of room, two on one folder."""

from __future__ import annotations

import asyncio
import contextlib
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from jpegs import ICC, JFIF, made
from store_media import ROOT

from engine.say import say
from fieldapp import words
from fieldapp.store import StoreBusy, StoreFull
from fieldapp.store.files import open_files, read_journal
from fieldapp.store.journal import decode
from fieldapp.store.keeper import Keeper

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
    """12 processes killed in the act: all they said was kept is there, in order, with own counts."""
    chance = random.Random(12)
    said: list[tuple[str, int]] = []
    for run in range(12):
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
    assert len(said) > 100

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
        for _ in range(20):  # while the other writes as fast as it can
            said = [writer.stdout.readline().split()[0] for _ in range(5)]
            reader = asyncio.run(
                open_files(tmp_path, now=lambda: "", draw=lambda: "b001", or_read=True)
            )
            journal = asyncio.run(reader.open("killed"))
            assert set(said) <= {record.get("id") for record in journal.records}
            assert (reader.report, journal.report) == (None, None)
            with pytest.raises(StoreBusy):
                journal.append({"id": "mine"})
            reader.close()
        writer.kill()

    asyncio.run(open_files(tmp_path, now=lambda: "", draw=lambda: "b001")).close()


def test_a_second_app_on_a_folder_starts_and_says_that_it_only_reads(tmp_path: Path) -> None:
    """Each has its own address; the first takes the folder, and only the second has to say so."""
    command = [sys.executable, "-m", "fieldapp", "--no-browser", "--data", str(tmp_path)]
    first_command = [*command, "--port", "0", str(ROOT / "sample_jobs" / "reedbed-hide.json")]
    pipes = {"cwd": ROOT, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(first_command, **pipes) as first:
        address = first.stdout.readline()
        journal = read_journal(tmp_path, "reedbed-hide")
        with subprocess.Popen([*command, *first_command[-1:]], **pipes) as second:
            own = second.stdout.readline()
            second.terminate()
            told = second.stderr.read()
        first.terminate()
        assert first.stderr.read() == ""
    assert own.startswith("http://") and own != address
    assert told == f"{tmp_path}: {words.sentence(say('told-busy'))}\n"
    assert read_journal(tmp_path, "reedbed-hide") == journal


MAKES = {
    "tmpfs": (("mount", "-t", "tmpfs", "-o", "size=200k", "tmpfs"),),
    "ext4": (("mkfs.ext4", "-q", "-F"), ("mount", "-o", "loop")),
}


@pytest.fixture(params=MAKES)
def small(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Path]:
    """A real file system of its own with little room, where this machine lets one be mounted."""
    folder, image = tmp_path / "small", tmp_path / "image"
    folder.mkdir()
    *before, mount = MAKES[request.param]
    of = []
    try:
        if before:
            image.write_bytes(bytes(2 * 1024 * 1024))
            of = [str(image)]
        for command in before:
            subprocess.run([*command, *of], check=True, capture_output=True)
        subprocess.run([*mount, *of, str(folder)], check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("no file system can be mounted here")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def test_a_disk_that_is_really_full(small: Path) -> None:
    """All that was kept is there, what is refused leaves no trace, and with room it goes on."""

    def started() -> Keeper:
        return asyncio.run(open_files(small / "data", now=lambda: "", draw=lambda: "a7f3"))

    def row(number: int) -> dict[str, object]:
        return {"id": f"e{number}", "text": "x" * 900}

    store = started()
    journal = asyncio.run(store.create("FULL", {"title": "Full"}))
    store.save_place({"typed": "4"})
    used = [store.next_n()]
    ballast = small / "ballast"
    with contextlib.suppress(OSError), ballast.open("wb", buffering=0) as stream:
        while True:
            stream.write(bytes(512))
    kept = 0
    with pytest.raises(StoreFull):
        while True:  # what room is left within the last block
            journal.append(row(kept))
            kept += 1
    for refused in (
        lambda: journal.append_all((row(kept), row(kept + 1))),
        lambda: asyncio.run(store.create("OTHER", {"title": "Other", "text": "x" * 20_000})),
        lambda: asyncio.run(store.keep_photo("FULL", made("baseline", *[ICC] * 40))),
        lambda: store.save_place({"typed": "41", "text": "x" * 20_000}),
    ):
        with pytest.raises(StoreFull):
            refused()
    found = decode(read_journal(small / "data", "full"))
    assert (len(found.records) - 1, found.why) == (kept, None)
    store._disk.close()  # the battery too

    store = started()
    journal = asyncio.run(store.open("FULL"))
    assert [record["id"] for record in journal.records[1:]] == [f"e{n}" for n in range(kept)]
    assert asyncio.run(store.load_place()) == {"typed": "4"}
    assert [card.id for card in asyncio.run(store.list_jobs())] == ["FULL"]
    with pytest.raises(StoreFull):
        journal.append_all(tuple(row(kept + n) for n in range(40)))
    ballast.unlink()
    journal.append_all(tuple(row(kept + n) for n in range(40)))
    used.append(store.next_n())
    photo = asyncio.run(store.keep_photo("FULL", made("baseline", JFIF)))
    store.close()

    store = started()
    journal = asyncio.run(store.open("FULL"))
    assert journal.report is None and len(journal.records) == 1 + kept + 40
    assert asyncio.run(store.photo("FULL", photo.sha256)) is not None
    assert store.next_n() > max(used) and len(set(used)) == 2
    store.close()
