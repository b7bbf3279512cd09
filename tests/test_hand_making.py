"""Documents made between taps: shown, given up, failed, and never made twice of the same log."""

from __future__ import annotations

import asyncio
from collections.abc import Generator
from dataclasses import replace
from typing import Any

import pytest
from handed_page import JOB, at_the_page, log_of, model_of, row_of, sharing
from headless import drive

from engine.copied import HANDED
from fieldapp import messages as m
from fieldapp.drawing.filling import filling
from fieldapp.drawing.shapes import Path
from fieldapp.handing import stamp, written_of
from fieldapp.handover import giving
from fieldapp.handover.documents import DOCUMENTS, Document, Made, Papers
from fieldapp.handover.making import Making, Written
from fieldapp.update import update

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


# ---------------------------------------------------------------- pure


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
