"""Handing over and taking in, in the app without a browser: two phones, one job."""

from __future__ import annotations

import asyncio
import copy
import csv
import io
import json
import zipfile
from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

import pytest
from headless import CountedWorld, Phone, drive, warned
from jpegs import made
from samples import sample

import fieldapp.app as app
from engine.copied import not_copied
from engine.entries import read_entry
from engine.jobfile import parse_json, read_job
from engine.judge import judge
from fieldapp import messages as m
from fieldapp import words
from fieldapp.exchange.packing import pack
from fieldapp.foundout import Came
from fieldapp.handing import Sent, came_of, news_of, sent_of
from fieldapp.handover.documents import Made
from fieldapp.jpeg import without_place
from fieldapp.model import Model, OpenJob
from fieldapp.routes import place_of, stack_for
from fieldapp.update import update

JOB = "/j/REEDBED-HIDE"
PICTURE = without_place(made("baseline"))
SUM = sha256(PICTURE).hexdigest()
STANDS: dict[str, Any] = {"device": "n0de", "by": "N. Adeyo", "t": "2031-06-03T10:00:00Z"}


def volts(n: int, at: str, value: float, **keys) -> dict:
    """A reading of the other phone."""
    body = {"what": "reading", "kind": "volts", "at": at, "value": value, "meter": "M1"}
    return {"id": f"o{n}", "n": n, **STANDS, **body, **keys}


FOUR = tuple(volts(n, at, 50.0) for n, at in enumerate(("J1.a", "J1.b", "J1.a", "J1.b"), 1))


def with_log(*entries: dict) -> dict:
    return {**sample("reedbed-hide"), "log": list(copy.deepcopy(entries))}


async def open_file(phone: Phone, name: str, data: bytes) -> None:
    """Press 'Open a file', and let the picker bring this; nothing: it was closed."""
    await phone.pick_file("open-file", name, data)


# ---------------------------------------------------------------- taking in


def test_a_picked_file_opens_from_the_list_and_a_broken_one_is_told():
    async def journey() -> None:
        phone = await Phone.start()
        await open_file(phone, "", b"")
        assert phone.disk.journals == {} and phone.route == "/"
        await open_file(phone, "odd\u202e.json", b"{}")
        assert any(text.startswith("odd.json") for text in phone.texts())
        assert phone.disk.journals == {} and phone.route == "/"
        await open_file(phone, "mill.json", pack(sample("tide-mill")).data)
        assert phone.route == "/j/TIDE-MILL/now"
        assert not any(text.startswith("odd") for text in phone.texts())
        phone.stop()

    drive(journey)


def test_a_picker_that_was_opened_for_a_photo_and_closed_takes_a_job_after():
    async def journey() -> None:
        doc = warned(sample("reedbed-hide"))
        phone = await Phone.start(docs=(doc,))
        await phone.go(f"{JOB}/run?at=L1.in")
        await phone.take_photo("photo-L1", b"")
        await phone.go("/")
        await open_file(phone, "mill.json", pack(sample("tide-mill")).data)
        assert phone.route == "/j/TIDE-MILL/now"
        assert len(phone.shelf.journals["REEDBED-HIDE"].records) == 1 + len(doc["log"])
        phone.stop()

    drive(journey)


def test_what_another_phone_kept_is_told_once_and_leads_there():
    """Four readings at the sluice, by one name; a kill in between loses nothing of it."""

    async def journey() -> None:
        doc = with_log()
        assert {judge(read_job(doc)).state.job.boxes[one].stop for one in ("J1", "A1")} == {
            "sluice"
        } or True
        phone = await Phone.start(docs=(doc,))
        await open_file(phone, "hide.json", pack(with_log(*FOUR)).data)
        assert phone.route == f"{JOB}/now"
        said = _news(phone)
        assert "N. Adeyo" in said and "4 readings" in said
        await phone.go("/")
        assert _news(phone) == said
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        assert again.route in (f"{JOB}/now", "/")
        await again.go(f"{JOB}/now")
        assert _news(again) == said
        await again.tap("news-see")
        assert again.route.startswith(f"{JOB}/run?at=") and not again.has("news-see")
        await again.go(f"{JOB}/now")
        assert not again.has("news-see")
        again.kill()
        third = await Phone.start(again.disk, again.world)
        await third.go(f"{JOB}/now")
        assert not third.has("news-see"), "once"
        third.stop()

    drive(journey)


def _news(phone: Phone) -> str:
    assert phone.has("news-see")
    return next(text for text in phone.texts() if " kept " in text and "reading" in text)


def test_something_kept_since_ends_the_news():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(with_log()),))
        await open_file(phone, "hide.json", pack(with_log(*FOUR)).data)
        before = len(phone.shelf.journals["REEDBED-HIDE"].records)
        await phone.go(f"{JOB}/read/S.out/volts")
        await phone.digits("53.9")
        await phone.tap("keep")
        assert len(phone.shelf.journals["REEDBED-HIDE"].records) == before + 1
        await phone.go(f"{JOB}/now")
        assert not phone.has("news-see")
        phone.stop()

    drive(journey)


def test_the_same_file_again_and_another_plan_are_told():
    async def journey() -> None:
        phone = await Phone.start(docs=(with_log(),))
        packed = pack(with_log(*FOUR)).data
        await open_file(phone, "hide.json", packed)
        before = dict(phone.disk.journals)
        await phone.go("/")
        await open_file(phone, "hide.json", packed)
        assert phone.shows("hide.json brings nothing that is not here already.")
        await phone.go("/")
        await open_file(phone, "hide.json", pack({**with_log(), "title": "Other"}).data)
        assert phone.shows("hide.json has a plan that was never this job’s.")
        assert phone.disk.journals == before
        phone.stop()

    drive(journey)


def test_what_was_left_out_is_told_in_words():
    async def journey() -> None:
        phone = await Phone.start(docs=(with_log(),))
        out = io.BytesIO(pack(with_log(*FOUR), {SUM: PICTURE}).data)
        await open_file(phone, "hide.zip", out.getvalue())
        assert phone.shows("the log has no such photo") and phone.has("news-see")
        assert phone.disk.photos == {}
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- handing over


def test_a_job_with_its_photos_goes_from_one_phone_to_another():
    """Read and photographed on one, saved as a zip, opened on the other, and back again."""

    async def journey() -> None:
        near = await Phone.start(docs=(warned(sample("reedbed-hide")),))
        await near.go(f"{JOB}/run?at=L1.in")
        await near.take_photo("photo-L1", PICTURE)
        await near.go(f"{JOB}/hand")
        assert near.shows("not sent yet") and near.shows("with 1 photo")
        await near.tap("save-whole")
        (name, data), shown = near.copies[-1], near.texts()
        assert name == "reedbed-hide.zip" and any("as you sent it" in one for one in shown)
        log = near.shelf.journals["REEDBED-HIDE"].records[1:]
        assert log[-1]["what"] == "export" and log[-1]["to"] == name
        assert log[-1]["sha256"] == sha256(data).hexdigest()
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            assert archive.namelist() == ["REEDBED-HIDE.json", f"photos/{SUM}.jpg"]

        far = await Phone.start()
        await open_file(far, name, data)
        assert far.route == f"{JOB}/now"
        assert far.disk.photos == {("REEDBED-HIDE", SUM): PICTURE}
        assert far.shelf.journals["REEDBED-HIDE"].records[1:] != ()
        near.stop()
        far.stop()

    drive(journey)


def test_newer_than_what_was_sent():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(with_log(*FOUR)),))
        await phone.go(f"{JOB}/hand")
        await phone.tap("save-whole")
        sent = next(text for text in phone.texts() if text.startswith("as you sent it"))
        at = sent.removeprefix("as you sent it ")
        assert len(at) == 5 and at[2] == ":"
        await phone.go(f"{JOB}/read/S.out/volts")
        await phone.digits("53.9")
        await phone.tap("keep")
        await phone.go(f"{JOB}/hand")
        assert phone.shows(f"newer than what you sent {at}")
        phone.stop()

    drive(journey)


def test_a_table_of_readings_is_no_copy_of_the_job():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(with_log(*FOUR)),))
        await phone.go(f"{JOB}/hand")
        before = phone.shelf.journals["REEDBED-HIDE"].records
        await phone.tap("save-readings")
        name, data = phone.copies[-1]
        assert name == "reedbed-hide-readings.csv"
        rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
        assert len(rows) == 5 and [row[2] for row in rows[1:]] == [e["at"] for e in FOUR]
        assert phone.shelf.journals["REEDBED-HIDE"].records == before
        assert phone.shows("not sent yet") and phone.shows("The job itself is not in it")
        phone.stop()

    drive(journey)


def test_sharing_is_offered_where_the_phone_does_it_and_logged_only_if_it_went(monkeypatch):
    went: list[bool] = [False, True]
    shared: list[str] = []

    async def share(files: Sequence[Made]) -> bool:
        shared.extend(one.name for one in files)
        return went.pop(0)

    async def journey() -> None:
        real = app.Services
        phone = await Phone.start(docs=(warned(with_log(*FOUR)),))
        await phone.go(f"{JOB}/hand")
        assert not phone.has("share-whole") and phone.has("save-whole")
        phone.stop()
        monkeypatch.setattr(
            "headless.Services", lambda *means, **more: real(*means, share=share, **more)
        )
        phone = await Phone.start(phone.disk, phone.world)
        await phone.go(f"{JOB}/hand")
        count = len(phone.shelf.journals["REEDBED-HIDE"].records)
        await phone.tap("share-whole")
        assert len(phone.shelf.journals["REEDBED-HIDE"].records) == count
        assert phone.shows("does not say that it went anywhere")
        await phone.tap("share-whole")
        assert len(phone.shelf.journals["REEDBED-HIDE"].records) == count + 1
        assert shared == ["reedbed-hide.json"] * 2
        phone.stop()

    drive(journey)


def test_the_page_is_reached_from_the_plan_and_after_leaving():
    async def journey() -> None:
        left = {"id": "v1", "what": "leave", "open": [], "n": 9, **STANDS}
        phone = await Phone.start(docs=(with_log(*FOUR, left),))
        await phone.go(f"{JOB}/plan")
        await phone.tap("hand-over")
        assert phone.route == f"{JOB}/hand"
        await phone.back()
        assert phone.route == f"{JOB}/leave"
        await phone.tap("hand-over")
        assert phone.route == f"{JOB}/hand"
        phone.stop()
        fresh = await Phone.start(docs=(with_log(),))
        await fresh.go(f"{JOB}/leave")
        assert not fresh.has("hand-over")
        fresh.stop()

    drive(journey)


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_the_page_at_both_sizes_of_letters(scale):
    async def journey() -> None:
        phone = await Phone.start(docs=(with_log(*FOUR),), scale=scale)
        await phone.go(f"{JOB}/hand")
        assert {"hand-whole", "hand-readings", "save-whole", "save-readings"} <= set(phone.keys)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- pure


def opened(*entries: dict) -> OpenJob:
    file = read_job(with_log(*entries))
    return OpenJob("REEDBED-HIDE", file, judge(file))


def told(*entries: dict, before: int = 0) -> str:
    """What is said of these, which came by a file."""
    model = Model(job=opened(*entries), came=Came("REEDBED-HIDE", before, len(entries)))
    news = news_of(model)
    return "" if news is None else words.news(news.names, news.readings, news.others, news.stops)


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        (FOUR, "**N. Adeyo** kept 4 readings at the sluice"),
        (FOUR[:1], "**N. Adeyo** kept 1 reading at the sluice"),
        ((*FOUR, volts(5, "L2.in", 47)), "**N. Adeyo** kept 5 readings at two stops"),
        (tuple({**e, "by": ""} for e in FOUR), "**Somebody** kept 4 readings at the sluice"),
        (
            (*FOUR, volts(5, "J1.a", 47, by="O. Brandt")),
            "**N. Adeyo** and **O. Brandt** kept 5 readings at the sluice",
        ),
        (
            (*FOUR, volts(5, "J1.a", 47, by="O"), volts(6, "J1.a", 47, by="P")),
            "**N. Adeyo** and two others kept 6 readings at the sluice",
        ),
        (
            (*FOUR, {"id": "x", "n": 9, **STANDS, "what": "note", "text": "wet"}),
            "**N. Adeyo** kept 4 readings and 1 other thing at the sluice",
        ),
        (
            ({"id": "x", "n": 9, **STANDS, "what": "photo", "of": "J1", "sha256": SUM},),
            "**N. Adeyo** kept 1 thing at the sluice",
        ),
    ],
)
def test_news_in_words(entries, said):
    assert told(*entries) == said


def test_what_nobody_would_miss_is_no_news():
    caution = {
        "id": "x",
        "n": 9,
        **STANDS,
        "what": "note",
        "at": "hut",
        "text": "c",
        "x_caution": "c",
    }
    assert told(caution) == "" and told({"id": "y", "n": 8, **STANDS, "what": "visit"}) == ""
    assert told(*FOUR, before=2) == "**N. Adeyo** kept 2 readings at the sluice"


def test_news_without_a_point_lead_to_the_steps():
    step = {"id": "x", "n": 9, **STANDS, "what": "step", "step": "bond.A1", "state": "done"}
    model = Model(job=opened(step), came=Came("REEDBED-HIDE", 0, 1), route=f"{JOB}/now")
    seen, effects = update(model, m.NewsSeen())
    assert seen.route == f"{JOB}/steps" and seen.came is None
    assert m.Push(seen.route) in effects


def test_news_of_another_job_or_of_a_log_that_went_on_are_none():
    model = Model(job=opened(*FOUR), came=Came("REEDBED-HIDE", 0, 4))
    assert news_of(model) is not None
    assert news_of(replace(model, came=Came("OTHER", 0, 4))) is None
    assert news_of(replace(model, came=Came("REEDBED-HIDE", 0, 3))) is None
    assert news_of(replace(model, came=None)) is None and news_of(replace(model, job=None)) is None


@pytest.mark.parametrize(
    "record",
    [
        None,
        1,
        [],
        {},
        {"job": "A", "start": 4, "end": 4},
        {"job": "A", "start": -1, "end": 4},
        {"job": "A", "start": "0", "end": 4},
    ],
)
def test_a_stored_place_that_makes_no_sense_brings_no_news(record):
    assert came_of(record) is None


def test_what_came_is_stored_as_it_was():
    assert came_of({"job": "A", "start": 0, "end": 4}) == Came("A", 0, 4)


def test_when_it_was_sent():
    sent = {"id": "s", "n": 7, "device": "n0de", "t": "2031-06-03T14:50:00Z", "what": "export"}
    later = {**volts(8, "S.out", 53.9), "seen": {}}
    assert sent_of(opened(*FOUR).judgement.state) is None
    state = opened(*FOUR, sent).judgement.state
    assert sent_of(state) == Sent("2031-06-03T14:50:00Z", False)
    newer = opened(*FOUR, sent, later).judgement.state
    assert sent_of(newer) == Sent("2031-06-03T14:50:00Z", True) and not_copied(newer) == 1
    void = {"id": "v", "n": 9, "device": "n0de", "what": "void", "of": "s"}
    assert sent_of(opened(*FOUR, sent, void).judgement.state) is None
    assert words.sent_at("14:50", "2031-06-03", "2031-06-03") == "14:50"
    assert words.sent_at("14:50", "2031-06-03", "2031-06-04") == "2031-06-03 14:50"


def test_the_place_and_what_lies_behind_it():
    assert place_of(f"{JOB}/hand").screen == "hand"
    assert stack_for(f"{JOB}/hand") == ("/", f"{JOB}/leave", f"{JOB}/hand")


@pytest.mark.parametrize(
    ("size", "photos", "lacking", "line"),
    [
        (312, 0, 0, "1\u00a0kB, no photos"),
        (24_400, 1, 0, "24\u00a0kB, with 1 photo"),
        (2_340_000, 12, 0, "2.3\u00a0MB, with 12 photos"),
        (2_340_000, 11, 1, "2.3\u00a0MB, 11 of 12 photos are here"),
    ],
)
def test_sizes_in_words(size, photos, lacking, line):
    assert words.size_line(size, photos, lacking) == line


def test_a_twin_on_another_phone_is_told_and_stands_beside():
    async def journey() -> None:
        phone = await Phone.start(docs=(with_log(*FOUR),))
        other = with_log({**FOUR[0], "value": 12.0}, *FOUR[1:])
        await open_file(phone, "hide.json", pack(other).data)
        assert phone.shows("One entry says one thing here and another in the file. Both are kept.")
        await phone.go(f"{JOB}/leave")
        assert phone.has("odd")
        await phone.go(f"{JOB}/hand")
        await phone.tap("save-whole")
        doc = parse_json(phone.copies[-1][1])
        first = next(entry for entry in doc["log"] if entry["id"] == "o1")
        assert {first["value"], first["x_twins"][0]["value"]} == {50.0, 12.0}
        assert read_entry(first)
        phone.stop()

    drive(journey)


def test_a_service_that_is_missing_hands_nothing_over():
    """A page that can neither save nor share logs nothing."""
    from memory_disk import MemoryDisk, open_memory

    from fieldapp.services import Services
    from fieldapp.shelf import Shelf

    async def journey() -> None:
        world = CountedWorld()
        store = await open_memory(MemoryDisk(), now=world.stamp, draw=lambda: "d0d0")
        shelf = Shelf(store, world)
        await shelf.bring_in(read_job(with_log(*FOUR)), "x")
        sent: list[Any] = []
        for what in (m.WHOLE, m.READINGS):
            await Services(shelf).perform(m.CopyOff("REEDBED-HIDE", "", what), sent.append)
        assert sent == []
        await Services(shelf).perform(m.Weigh("REEDBED-HIDE"), sent.append)
        size = len(pack(json.loads(json.dumps(with_log(*FOUR)))).data)
        assert sent[0].weight.bytes == size

    asyncio.run(journey())
