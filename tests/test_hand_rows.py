"""The page of what is handed over: each row in its states, all at once, and in every window."""

from __future__ import annotations

import asyncio
import io
import zipfile
from collections.abc import Callable
from hashlib import sha256

import pytest
from handed_page import BARE, DOC, JOB, at_the_page, log_of, out, row_of, sharing
from headless import Phone, drive
from practice_jobs import practice_begun
from samples import sample

from engine.copied import HANDED
from fieldapp import words
from fieldapp.handover import documents

# ---------------------------------------------------------------- rows


def test_each_document_goes_into_a_file_and_its_row_tells_of_it():
    async def journey() -> None:
        phone = await at_the_page()
        assert "nothing measured yet" in row_of(phone, "report")
        assert "21 labels" in row_of(phone, "labels")
        name, data = await out(phone, "save-report")
        assert name == "reedbed-hide-record.pdf" and data.startswith(b"%PDF-")
        pages = documents.pages_in(data)
        said = words.written_line(pages, len(data), 0)
        assert said in row_of(phone, "report") and "as you sent it" in row_of(phone, "report")
        name, data = await out(phone, "save-labels")
        assert name == "reedbed-hide-labels.pdf" and data.startswith(b"%PDF-")
        assert words.labels_line(21, 1) in row_of(phone, "labels")
        assert "not sent yet" in row_of(phone, "whole"), "neither is a copy of the job"
        notes = [one for one in log_of(phone) if HANDED in one]
        assert [one[HANDED]["what"] for one in notes] == [["report"], ["labels"]]
        assert not any(one["what"] == "export" for one in log_of(phone))
        phone.stop()

    drive(journey)


def test_a_row_says_when_the_log_has_grown_since():
    async def journey() -> None:
        phone = await at_the_page()
        await out(phone, "save-report")
        await out(phone, "save-labels")
        await phone.go(f"{JOB}/read/S.out/volts")
        await phone.digits("53.9")
        await phone.tap("keep")
        await phone.go(f"{JOB}/hand")
        assert "newer than what you sent" in row_of(phone, "report")
        assert "as you sent it" in row_of(phone, "labels"), "a reading alters no label"
        assert "no photos" in row_of(phone, "report"), "the pages are those of another report"
        phone.stop()

    drive(journey)


def test_what_was_handed_over_can_be_taken_back_as_if_it_had_not_gone():
    async def journey() -> None:
        phone = await at_the_page()
        await out(phone, "save-all")
        kinds = [one["what"] for one in log_of(phone)[-2:]]
        assert kinds == ["export", "note"] and "as you sent it" in row_of(phone, "labels")
        await phone.tap("strip-undo")
        voided = {one["of"] for one in log_of(phone) if one["what"] == "void"}
        assert voided == {one["id"] for one in log_of(phone)[-4:-2]}
        assert "not sent yet" in row_of(phone, "whole")
        assert "as you sent it" not in row_of(phone, "labels") + row_of(phone, "report")
        phone.stop()

    drive(journey)


def test_papers_are_chosen_once_and_followed():
    async def journey() -> None:
        phone = await at_the_page()
        await phone.tap("labels-strip")
        await phone.tap("kind-html")
        await phone.tap("paper-letter")
        name, data = await out(phone, "save-report")
        assert name == "reedbed-hide-record.html" and b"@page{size:letter" in data
        assert words.bytes_line(len(data)) in row_of(phone, "report")
        strip = await out(phone, "save-labels")
        await phone.tap("labels-a4")
        assert "page" not in row_of(phone, "labels"), "on other sheets it is not made yet"
        assert (await out(phone, "save-labels"))[1] != strip[1]
        await phone.tap("labels-letter")
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        await again.go(f"{JOB}/hand")
        assert (await out(again, "save-report"))[0].endswith(".html")
        again.stop()

    drive(journey)


def test_a_choice_of_another_version_is_the_usual_one():
    async def journey() -> None:
        phone = await Phone.start(docs=(DOC,))
        phone.store.put_setting("labels", "a7")
        phone.store.put_setting("paper", 4)
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        await again.go(f"{JOB}/hand")
        assert (await out(again, "save-labels"))[0] == "reedbed-hide-labels.pdf"
        again.stop()

    drive(journey)


def test_a_plan_without_boxes_has_no_labels_and_a_report_all_the_same():
    async def journey() -> None:
        phone = await at_the_page(BARE)
        assert "no box in the plan yet" in row_of(phone, "labels")
        assert not phone.has("save-labels") and not phone.has("labels-a4")
        assert phone.shows("Both in one file")
        name, data = await out(phone, "save-all")
        assert name == "reedbed-hide-all.zip"
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            assert set(archive.namelist()) == {"REEDBED-HIDE.json", "reedbed-hide-record.pdf"}
        phone.stop()

    drive(journey)


def test_a_made_up_job_says_so_on_the_page_and_in_both():
    async def journey() -> None:
        doc = practice_begun()
        phone = await at_the_page(doc)
        assert phone.shows("Every page and every label says made up.")
        phone.stop()

    drive(journey)


def test_photos_that_are_not_here_are_told_before_and_after():
    lacking = {"id": "p1", "n": 1, "device": "d", "what": "photo", "of": "L1", "sha256": "ab" * 32}
    read = {"id": "r1", "n": 2, "device": "d", "what": "reading", "at": "S.out", "kind": "volts"}

    async def journey() -> None:
        doc = {**sample("reedbed-hide"), "log": [lacking, {**read, "value": 54.0}]}
        phone = await at_the_page(doc)
        assert "0 of 1 photos are here" in row_of(phone, "report")
        await out(phone, "save-report")
        assert "1 photo not here" in row_of(phone, "report")
        assert phone.shows("One photo is not on this phone, so the file goes without.")
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- all at once


async def pressed(phone: Phone, key: str, done: Callable[[], bool]) -> None:
    await phone.tap(key)
    for _ in range(200):
        if done():
            break
        await asyncio.sleep(0.005)
    await phone.settle()
    assert done()


def test_all_three_are_shared_in_one_press_and_kept_as_one(monkeypatch):
    given = sharing(monkeypatch, lambda files: True)

    async def journey() -> None:
        phone = await at_the_page()
        assert phone.shows("Share all three") and phone.has("save-all")
        await pressed(phone, "share-all", lambda: len(given) == 1)
        names = ("reedbed-hide-record.pdf", "reedbed-hide-labels.pdf", "reedbed-hide.json")
        assert given == [names]
        export, note = log_of(phone)[-2:]
        assert (export["what"], export["to"]) == ("export", "reedbed-hide-all.zip")
        assert note[HANDED]["what"] == ["report", "labels"]
        for what in ("report", "labels", "whole"):
            assert "as you sent it" in row_of(phone, what)
        phone.stop()

    drive(journey)


def test_the_sum_in_the_log_is_that_of_the_job_file_within():
    async def journey() -> None:
        phone = await at_the_page()
        name, data = await out(phone, "save-all")
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            inside = archive.read("REEDBED-HIDE.json")
        export = next(one for one in log_of(phone) if one["what"] == "export")
        assert (export["to"], export["sha256"]) == (name, sha256(inside).hexdigest())
        phone.stop()

    drive(journey)


def test_a_share_that_fails_says_so_and_the_file_is_still_offered(monkeypatch):
    given = sharing(monkeypatch, lambda files: False)

    async def journey() -> None:
        phone = await at_the_page()
        for key in ("share-all", "share-report", "share-labels"):
            before = len(given)
            await pressed(phone, key, lambda before=before: len(given) == before + 1)
            assert phone.shows("does not say that it went anywhere")
        assert not any(one["what"] == "export" or HANDED in one for one in log_of(phone))
        assert {"save-all", "save-report", "save-labels", "save-whole"} <= set(phone.keys)
        await out(phone, "save-report")
        phone.stop()

    drive(journey)


def test_a_file_that_cannot_be_put_anywhere_is_told_by_its_name(monkeypatch):
    async def broken(_phone: Phone, name: str, data: bytes) -> bool:
        raise RuntimeError("no room")

    monkeypatch.setattr(Phone, "_put", broken)

    async def journey() -> None:
        phone = await at_the_page()
        for key, name in (("save-all", "reedbed-hide-all.zip"), ("save-report", "-record.pdf")):
            await pressed(phone, key, lambda name=name: phone.shows(f"{name} could not be put"))
        assert not any(one["what"] == "export" or HANDED in one for one in log_of(phone))
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- windows and letters


@pytest.mark.parametrize("doc", [DOC, BARE], ids=["samples", "bare"])
@pytest.mark.parametrize(
    ("size", "scale", "look"),
    [
        ((390, 844), 1.0, "sun"),
        ((390, 844), 2.0, "dark"),
        ((360, 640), 1.3, "sun"),
        ((1180, 820), 1.0, "dark"),
        ((844, 390), 1.0, "sun"),
        ((844, 390), 2.0, "sun"),
    ],
)
def test_the_page_in_every_window(doc, size, scale, look):
    async def journey() -> None:
        phone = await at_the_page(doc, size=size, scale=scale, look=look)
        keys = {"hand-report", "hand-labels", "hand-whole", "hand-readings", "save-all"}
        assert keys <= set(phone.keys)
        await out(phone, "save-all")
        phone.stop()

    drive(journey)
