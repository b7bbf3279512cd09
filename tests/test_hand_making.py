"""The page of what is handed over: every row and state, made between taps, given up, failed, all at
once; and nothing that tells of it more than it is."""

from __future__ import annotations

import asyncio
import io
import zipfile
from collections.abc import Callable, Generator, Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

import pytest
from headless import Phone, drive, sample, warned
from practice_jobs import practice_begun

import fieldapp.app as app
from engine.copied import HANDED
from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import messages as m
from fieldapp import words
from fieldapp.drawing.filling import filling
from fieldapp.drawing.shapes import Path
from fieldapp.handing import stamp, written_of
from fieldapp.handover import documents, giving
from fieldapp.handover.documents import DOCUMENTS, Document, Made, Papers
from fieldapp.handover.making import Making, Written
from fieldapp.model import Model, OpenJob
from fieldapp.update import update

JOB = "/j/REEDBED-HIDE"
DOC = warned(sample("reedbed-hide"))
BARE = {**sample("reedbed-hide"), "boxes": [], "spans": [], "log": []}


async def at_the_page(doc: dict[str, Any] = DOC, **how: Any) -> Phone:
    phone = await Phone.start(docs=(doc,), **how)
    await phone.go(f"/j/{doc['id']}/hand")
    return phone


def log_of(phone: Phone, job: str = "REEDBED-HIDE") -> list[dict[str, Any]]:
    return [dict(one) for one in phone.shelf.journals[job].records[1:]]


async def out(phone: Phone, key: str) -> tuple[str, bytes]:
    """Press, and wait until a file went."""
    before = len(phone.copies)
    await phone.tap(key)
    for _ in range(200):
        if len(phone.copies) > before:
            break
        await asyncio.sleep(0.005)
    await phone.settle()
    assert len(phone.copies) == before + 1, f"{key} put nothing anywhere"
    return phone.copies[-1]


def row_of(phone: Phone, what: str) -> str:
    """All that a row says, on one line."""
    return " | ".join(dict.fromkeys(phone.texts(phone.find(f"hand-{what}"))))


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


def sharing(monkeypatch, answer: Callable[[Sequence[Made]], bool]) -> list[tuple[str, ...]]:
    """A phone that shares; what it was given each time."""
    real, given = app.Services, []

    async def share(files: Sequence[Made]) -> bool:
        given.append(tuple(one.name for one in files))
        return answer(files)

    monkeypatch.setattr(
        "headless.Services", lambda *means, **more: real(*means, share=share, **more)
    )
    return given


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


# ---------------------------------------------------------------- being made


class Slow:
    """A document that is made as long as a test likes; time passes with each slice."""

    def __init__(self, world: Any, seconds: float = 1.0) -> None:
        self.world, self.seconds = world, seconds
        self.goes_on = 0
        self.begun = self.closed = 0
        self.breaks = False

    def __call__(self, wish: Any) -> Generator[float, None, Made]:
        self.begun += 1
        try:
            share = 0.0
            while share < 1.0:
                self.world.passed += self.seconds
                if self.breaks:
                    raise ValueError("no such letter")
                if self.goes_on > 0:
                    self.goes_on -= 1
                    share += 0.25
                yield min(share, 1.0)
            return Made("slow.pdf", b"%PDF-slow", "application/pdf", 3)
        finally:
            self.closed += 1


def slowly(monkeypatch, seconds: float = 1.0) -> list[Slow]:
    """Let the report be such a document."""
    made: list[Slow] = []
    old = DOCUMENTS["report"]

    report = Document(lambda wish: made[0](wish), old.counts, choices=old.choices)
    table = {**DOCUMENTS, "report": report}
    monkeypatch.setattr(giving, "DOCUMENTS", table)
    return made


def test_what_takes_longer_than_a_blink_is_shown_and_taps_still_answer(monkeypatch):
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world))
        await phone.tap("save-report")
        assert phone.has("making") and phone.shows("The report is being made")
        await phone.tap("labels-strip")
        assert phone.has("making"), "another document's paper is no reason to stop"
        made[0].goes_on = 8
        await phone.settle()
        await phone.settle()
        assert not phone.has("making") and phone.copies == [("slow.pdf", b"%PDF-slow")]
        assert "3 pages" in row_of(phone, "report")
        phone.stop()

    drive(journey)


def test_what_is_made_within_a_blink_is_not_spoken_of(monkeypatch):
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world, seconds=0.0))
        seen: list[bool] = []
        made[0].goes_on = 2
        await phone.tap("save-report")
        seen.append(phone.has("making"))
        made[0].goes_on = 4
        await phone.settle()
        assert seen == [False] and not phone.has("making")
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("way", ["leave", "paper"])
def test_it_is_given_up_where_nobody_waits_or_it_would_be_of_older_news(monkeypatch, way):
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world))
        await phone.tap("save-report")
        assert phone.has("making")
        if way == "leave":
            await phone.go(f"{JOB}/leave")
        else:
            await phone.tap("paper-letter")
        await phone.settle()
        assert made[0].closed == 1
        made[0].goes_on = 99
        await phone.settle()
        assert not any(name == "slow.pdf" for name, _ in phone.copies)
        await phone.go(f"{JOB}/hand")
        assert not phone.has("making") and made[0].begun == 1
        phone.stop()

    drive(journey)


def test_a_second_press_while_it_is_made_makes_none_and_another_waits_its_turn(monkeypatch):
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world))
        for key in ("save-report", "save-report", "save-labels"):
            await phone.tap(key)
        assert made[0].begun == 1 and phone.copies == []
        made[0].goes_on = 8
        for _ in range(100):
            if len(phone.copies) == 2:
                break
            await asyncio.sleep(0.01)
        await phone.settle()
        assert [name for name, _ in phone.copies] == ["slow.pdf", "reedbed-hide-labels.pdf"]
        phone.stop()

    drive(journey)


def test_what_could_not_be_made_is_told_and_nothing_is_kept(monkeypatch, caplog):
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world))
        made[0].breaks = True
        await phone.tap("save-report")
        assert phone.shows("The report could not be made. Nothing here was changed.")
        assert phone.copies == [] and not any(HANDED in one for one in log_of(phone))
        made[0].breaks = False
        made[0].goes_on = 8
        await phone.tap("save-report")
        await phone.settle()
        assert [name for name, _ in phone.copies] == ["slow.pdf"], "another press counts"
        phone.stop()

    drive(journey)
    assert "no such letter" in caplog.text


def test_a_browser_that_would_not_share_so_late_is_not_asked(monkeypatch):
    """It takes a press for the one that shares only for some seconds."""
    given = sharing(monkeypatch, lambda files: True)
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world, seconds=2.0))
        made[0].goes_on = 8
        await phone.tap("share-report")
        await phone.settle()
        assert given == [] and phone.shows("Press Share once more.")
        await phone.tap("share-report")
        assert given == [("slow.pdf",)] and made[0].begun == 1, "it is not made anew"
        phone.stop()

    drive(journey)


def test_a_document_is_not_made_twice_of_the_same_log(monkeypatch):
    made = slowly(monkeypatch)

    async def journey() -> None:
        phone = await at_the_page()
        made.append(Slow(phone.world, seconds=0.0))
        made[0].goes_on = 99
        for _ in range(2):
            await phone.tap("save-report")
            await phone.settle()
            phone.world.pass_minutes(1)
        assert len(phone.copies) == 2 and made[0].begun == 1
        await phone.go(f"{JOB}/read/S.out/volts")
        await phone.digits("53.9")
        await phone.tap("keep")
        await phone.go(f"{JOB}/hand")
        await phone.tap("save-report")
        await phone.settle()
        assert len(phone.copies) == 3 and made[0].begun == 2
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


# ---------------------------------------------------------------- pure


def model_of(**more: Any) -> Model:
    file = read_job(DOC)
    return Model(job=OpenJob(file.plan.id, file, judge(file)), route=f"{JOB}/hand", **more)


def test_a_press_carries_what_is_known_here():
    model = model_of()
    _, effects = update(model, m.HandPressed("report", "save"))
    (effect,) = [one for one in effects if isinstance(one, m.CopyOff)]
    assert effect.judgement is model.job.judgement and effect.seek and effect.account is None
    assert effect.papers == Papers()
    same = replace(effect, judgement=None, account=1, rates=2)
    assert same.asked == effect.asked and hash(same) == hash(effect)


def test_making_that_comes_after_one_has_left_is_not_shown():
    making = Making(("REEDBED-HIDE", "report", 0, "a4", "pdf"), "report", "report", 0.5)
    away = replace(model_of(), route=f"{JOB}/run")
    assert update(away, m.MakingCame(making))[0].making is None


def test_what_is_made_of_a_log_that_has_grown_since_is_given_up():
    model = model_of()
    of = stamp(model, "report")
    making = Making(of, "all", "report", 0.5)
    model, effects = update(model, m.MakingCame(making))
    assert model.making == making and m.StopMaking() not in effects
    entry = {"id": "n1", "n": 1, "device": "d", "what": "note", "text": "wet", "at": "hide"}
    sent = {**entry, "text": "x", HANDED: {"what": ["labels"], "seen": {}}}
    model, effects = update(model, m.Kept("REEDBED-HIDE", (sent,), "14:50"))
    assert model.making == making and m.StopMaking() not in effects
    model, effects = update(model, m.Kept("REEDBED-HIDE", ({**entry, "id": "n2"},), "14:51"))
    assert model.making is None and m.StopMaking() in effects


def test_what_is_known_of_documents_is_bounded():
    model = model_of()
    for number in range(30):
        model, _ = update(model, m.MakingOver((Written(("X", "report", number), 1, 1),)))
    assert len(model.written) <= 8 and written_of(model, "report") is None


@pytest.mark.parametrize("share", [-1.0, 0.0, 0.3, 1.0, 7.0])
def test_the_jacket_fills_within_its_casing(share):
    picture = filling(358.0, share)
    copper = [one for one in picture.shapes if isinstance(one, Path) and one.stroke == "copper"]
    assert len(copper) == (share > 0)
    for one in copper:
        (left, _), (right, _) = one.points
        assert 0 < left < right < 358.0
    if share == 0.3:
        assert right - left == pytest.approx(0.3 * 354, abs=0.01)
