"""Jobs, photos and copies carried in and out of a store in memory."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import Any

import pytest
from jpegs import HIGH, JFIF, WIDE, made, segment
from samples import sample
from service_bench import Bench, on_a_bench

from engine.jobfile import read_job, write
from engine.judge import judge
from engine.say import say
from fieldapp import messages as m
from fieldapp import words
from fieldapp.services import (
    Services,
    sample_files,
    sample_names,
)
from fieldapp.store.errors import (
    StoreFull,
)
from fieldapp.store.journal import encode

# ---------------------------------------------------------------- jobs in and out


@on_a_bench
async def test_a_sample_is_copied_under_an_id_of_its_own_each_time(bench: Bench):
    ids = []
    for _ in range(3):
        (loaded,) = await bench.do(m.CopySample("orchard-gate"))
        assert isinstance(loaded, m.JobLoaded) and loaded.route == f"/j/{loaded.job.id}/plan"
        assert loaded.job.file.plan.id == loaded.job.id
        ids.append(loaded.job.id)
    assert ids == ["ORCHARD-GATE", "ORCHARD-GATE-2", "ORCHARD-GATE-3"]
    assert set(bench.disk.journals) == set(ids)
    plain = sample("orchard-gate")
    assert bench.log("ORCHARD-GATE-2") == plain["log"]
    assert bench.shelf.journals["ORCHARD-GATE-2"].records[0]["title"] == plain["title"]


def test_every_sample_can_be_picked():
    assert [name for name, _ in sample_names()] == ["orchard-gate", "reedbed-hide", "tide-mill"]
    assert len(sample_files()) == 3
    assert all(title for _, title in sample_names())


@on_a_bench
async def test_a_picked_file_is_copied_in_and_opened(bench: Bench):
    mill = m.TakeIn("mill.json", write(sample("tide-mill")).encode())
    (loaded,) = await bench.do(mill)
    assert (loaded.job.id, loaded.route) == ("TIDE-MILL", "/j/TIDE-MILL/now")
    assert set(bench.disk.journals) == {"TIDE-MILL"}
    loaded, told = await bench.do(mill)
    assert loaded.job.id == "TIDE-MILL" and told == m.Told(
        say("told-nothing-new", name="mill.json")
    )


BROKEN = [
    b"",
    b"\xff\xfe\x00",
    b"no json",
    b"[]",
    b'{"format": "farend-job/2"}',
    json.dumps({**sample("tide-mill"), "boxes": []}).encode(),
    json.dumps({**sample("tide-mill"), "surprise": 1}).encode(),
]


@pytest.mark.parametrize("data", BROKEN, ids=range(len(BROKEN)))
def test_a_file_that_makes_no_sense_is_one_sentence_and_changes_nothing(data):
    async def journey(bench: Bench) -> None:
        await bench.bring("reedbed-hide")
        before = dict(bench.disk.journals)
        (told,) = await bench.do(m.TakeIn("odd.json", data))
        assert isinstance(told, m.NotOpened) and told.say.code == "told-unreadable"
        sentence = words.sentence(told.say)
        assert sentence.startswith("odd.json") and "\n" not in sentence
        assert bench.disk.journals == before

    on_a_bench(journey)()


@on_a_bench
async def test_a_job_is_read_as_its_journal_has_it(bench: Bench):
    await bench.bring("orchard-gate")
    (loaded,) = await bench.do(m.LoadJob("orchard-gate", "/j/ORCHARD-GATE/run"))
    job = loaded.job
    assert job.id == "ORCHARD-GATE" and loaded.route == "/j/ORCHARD-GATE/run"
    assert len(job.file.entries) == len(sample("orchard-gate")["log"])
    assert job.judgement.verdicts == judge(job.file).verdicts != ()
    assert job.kept == bench.world.clock("2031-05-04T10:41:00Z")


@on_a_bench
async def test_a_job_that_is_not_here_is_told_and_leads_to_the_jobs(bench: Bench):
    load = m.LoadJob("NOWHERE", "/j/NOWHERE/now")
    told = m.NotOpened(load, say("told-no-name", name="NOWHERE"), "/")
    assert await bench.do(load) == [told]


@on_a_bench
async def test_the_list_has_every_job_and_the_trouble_with_one(bench: Bench):
    await bench.bring("reedbed-hide")
    await bench.bring("tide-mill")
    bench.store.close()
    bench.disk.journals["TIDE-MILL"] = b"nothing that was ever written\n"
    await bench.open()
    (listed,) = await bench.do(m.ListJobs())
    rows = {row.id: row for row in listed.rows}
    assert set(rows) == {"REEDBED-HIDE", "TIDE-MILL"}
    assert rows["REEDBED-HIDE"].judgement is not None and rows["REEDBED-HIDE"].trouble is None
    assert rows["TIDE-MILL"].judgement is None
    assert rows["TIDE-MILL"].trouble == say("row-unreadable")
    assert bench.disk.journals["TIDE-MILL"] == b"nothing that was ever written\n"


@on_a_bench
async def test_the_list_says_which_job_a_newer_one_keeps(bench: Bench):
    await bench.bring("tide-mill")
    bench.store.close()
    newer = encode({"format": "farend-journal/3", "plan": {}})
    bench.disk.journals["TIDE-MILL"] = newer
    await bench.open()
    (listed,) = await bench.do(m.ListJobs())
    assert [row.trouble for row in listed.rows] == [say("row-newer")]
    load = m.LoadJob("TIDE-MILL", "/j/TIDE-MILL/now")
    told = m.NotOpened(load, say("told-newer", name="TIDE-MILL"), "/")
    assert await bench.do(load) == [told]
    assert bench.disk.journals["TIDE-MILL"] == newer


# ---------------------------------------------------------------- photos, copies, the clock


@on_a_bench
async def test_a_picture_is_durable_before_its_entry_is_made(bench: Bench):
    await bench.bring("reedbed-hide")
    data = made("baseline", JFIF, behind=b"Saltmarsh 54.1N")
    (kept,) = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", data, "Orla"))
    (entry,) = kept.entries
    assert entry == bench.log("REEDBED-HIDE")[0]
    assert (entry["what"], entry["of"], entry["by"]) == ("photo", "L1", "Orla")
    assert (entry["width"], entry["height"]) == (WIDE, HIGH)
    kept_bytes = await bench.store.photo("REEDBED-HIDE", entry["sha256"])
    assert sha256(kept_bytes).hexdigest() == entry["sha256"]
    assert len(kept_bytes) == entry["bytes"] and b"Saltmarsh" not in kept_bytes
    (read,) = await bench.do(m.ReadPictures("REEDBED-HIDE", (entry["sha256"], "ab" * 32)))
    assert read == m.PicturesRead({entry["sha256"]: kept_bytes, "ab" * 32: None})


@on_a_bench
async def test_what_is_no_picture_is_told_and_makes_no_entry(bench: Bench):
    await bench.bring("reedbed-hide")
    wrong = {
        b"GIF89a" + bytes(40): say("told-photo-kind", found="a GIF picture"),
        b"{}": say("told-photo-kind", found=""),
        made("baseline")[:-9]: say("told-photo-broken", found=""),
        made("baseline", *[FAT] * 70): say("told-photo-large", found="4.6 MB"),
    }
    for data, told in wrong.items():
        assert await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", data)) == [m.NotKept(told)]
    assert bench.log("REEDBED-HIDE") == []


FAT = segment(0xE2, b"ICC_PROFILE\0" + bytes(65_000))


@on_a_bench
async def test_a_picture_is_made_smaller_before_it_is_kept(bench: Bench):
    """Also one that would be refused as it came; what was drawn is cleaned like any other."""
    await bench.bring("reedbed-hide")
    large = made("colours", *[FAT] * 70)

    async def redraw(data: bytes) -> bytes:
        assert data is large
        return made("baseline", JFIF, behind=b"Saltmarsh 54.1N")

    bench.services.redraw = redraw
    (kept,) = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", large))
    data = await bench.store.photo("REEDBED-HIDE", kept.entries[0]["sha256"])
    assert data == made("baseline", JFIF)


@on_a_bench
async def test_a_large_picture_kept_at_full_size_is_told_of_once(bench: Bench):
    """After it is kept, and not again for every box; a smaller one is nothing to speak of."""
    await bench.bring("reedbed-hide")
    told = m.Told(say("told-photo-full-size", found="1.2 MB"))

    async def cannot(data: bytes) -> bytes:
        raise RuntimeError("no canvas")

    for redraw in (None, cannot):
        bench.services = Services(bench.shelf, redraw=redraw)
        answers = [
            await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", made("baseline", *[FAT] * count)))
            for count in (15, 18, 17)
        ]
        assert [len(messages) for messages in answers] == [1, 2, 1]
        assert all(isinstance(messages[0], m.Kept) for messages in answers)
        assert answers[1][1] == told


@on_a_bench
async def test_of_a_picture_that_was_not_kept_only_that_is_told(bench: Bench):
    await bench.bring("reedbed-hide")

    def full(*_args: Any) -> Any:
        raise StoreFull("no room")

    bench.shelf.journals["REEDBED-HIDE"].append_all = full
    told = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", made("baseline", *[FAT] * 18)))
    assert told == [m.NotKept(say("told-photo-full"))]
    assert not bench.services.said_full_size


@on_a_bench
async def test_a_full_phone_keeps_neither_picture_nor_entry(bench: Bench):
    await bench.bring("reedbed-hide")

    async def full(*_args: Any) -> Any:
        raise StoreFull("no room")

    bench.store.keep_photo = full
    told = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", made("baseline")))
    assert told == [m.NotKept(say("told-photo-full"))]
    assert bench.log("REEDBED-HIDE") == []


@on_a_bench
async def test_a_copy_is_logged_only_where_it_was_put_somewhere(bench: Bench):
    await bench.bring("reedbed-hide", [{"id": "a", "what": "note", "text": "wet"}])
    put: list[tuple[str, bytes]] = []

    async def refuses(name: str, data: bytes) -> bool:
        return False

    async def takes(name: str, data: bytes) -> bool:
        put.append((name, data))
        return True

    copy = m.CopyOff("REEDBED-HIDE", "Orla")
    assert await bench.do(copy) == [], "no page to put it with"
    bench.services.put = refuses
    assert await bench.do(copy) == [] and len(bench.log("REEDBED-HIDE")) == 1
    bench.services.put = takes
    (kept,) = await bench.do(copy)
    ((name, data),) = put
    assert name == "reedbed-hide.json"
    assert [entry.id for entry in read_job(json.loads(data)).entries] == ["a"]
    assert kept.entries[0]["sha256"] == sha256(data).hexdigest()
    assert (kept.entries[0]["what"], kept.entries[0]["by"]) == ("export", "Orla")
