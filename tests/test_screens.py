"""Every screen in every state, through the headless page: nothing may break."""

from __future__ import annotations

import flet as ft
import pytest
from headless import CountedWorld, Phone, drive, warned
from looked_over import LOOKS, look_over
from memory_disk import MemoryDisk
from samples import sample
from screen_jobs import (
    HIGH,
    LOW,
    ORCHARD,
    REEDBED,
    Doc,
    bare,
    collapsing,
    forty,
    mismatch,
    orchard,
    reading,
    reedbed,
    repeated,
    torn_edit,
    turned,
    unbonded,
    unclear,
    unfed,
    worked,
)
from screen_states import STATES

import fieldapp.viewstack as viewstack
from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from engine.step import PHOTO
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN

# ---------------------------------------------------------------- states of screens


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.name)
def test_a_screen_in_this_state_can_be_drawn_in_every_look(state):
    async def journey() -> None:
        docs = state.docs()
        if "/read/" in state.route and state.name != "read-caution":
            docs = tuple(map(warned, docs))  # the cautions of a pad stand in front of it
        phone = await Phone.start(docs=docs, link=state.route)
        if state.act is not None:
            await state.act(phone)
        for key in state.sees:
            assert phone.has(key), (key, phone.keys)
        for key in state.lacks:
            assert not phone.has(key), key
        for _, size, dark, scale in LOOKS:
            await phone.wear(dark=dark, size=size, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
            for key in state.sees:
                assert phone.has(key), (key, phone.keys)
        phone.stop()

    drive(journey)


def test_the_states_are_what_they_are_called():
    """The variants of the samples must break what they are meant to break."""

    def rules(doc: Doc) -> set[str]:
        return {f.rule for f in judge(read_job(doc)).prediction.findings if f.severity == "stop"}

    def word(doc: Doc, ident: str) -> str:
        return next(v.verdict for v in judge(read_job(doc)).verdicts if v.id == ident)

    assert rules(mismatch()) == {"speed-mismatch"}
    assert rules(turned()) >= {"orientation", "arrestor-facing"}
    assert rules(unbonded()) == {"bond"}
    assert judge(read_job(collapsing())).prediction.collapse is not None
    assert rules(unfed()) == {"feed"}
    assert word(unclear(), "mid") == UNCLEAR
    assert word(orchard(LOW), "low") == word(orchard(HIGH), "high") == OUTSIDE
    assert word(repeated(), "first") == INSIDE
    assert word(unfed() | {"log": [reading("n", "E.in", "volts", 3)]}, "n") == NO_BAND
    assert len(forty()["boxes"]) == 40 and judge(read_job(forty())).prediction.operates
    assert judge(read_job(worked(orchard()))).ready_to_leave
    assert judge(read_job(torn_edit())).state.left_out


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_the_page_of_every_step_can_be_drawn(name):
    async def journey() -> None:
        doc, measured = sample(name), set()
        phone = await Phone.start(docs=(warned(doc),))
        for step in judge(read_job(doc)).steps:
            await phone.go(f"/j/{doc['id']}/now?step={step.id}")
            assert phone.shows(words.step(step.say).sentence), step.id
            assert phone.shows(words.step(step.say).why), step.id
            caution = words.step(step.say).caution
            assert not caution or phone.shows(caution), step.id
            if step.asks is not None and step.asks.kind not in (PHOTO, *measured):
                measured.add(step.asks.kind)
                await phone.tap("slab")
                assert f"/read/{step.asks.at}/{step.asks.kind}" in phone.route
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("make", [turned, unfed, bare, forty])
def test_the_page_of_every_step_of_an_odd_plan_can_be_drawn(make):
    async def journey() -> None:
        doc = warned(make())
        phone = await Phone.start(docs=(doc,), size=(360, 640), scale=2.0)
        seen = set()
        for step in judge(read_job(doc)).steps:
            kind = (step.id.partition(".")[0], step.box and step.box.rstrip("0123456789"))
            if kind not in seen:
                seen.add(kind)
                await phone.go(f"/j/{doc['id']}/now?step={step.id}")
                assert phone.shows(words.step(step.say).sentence), step.id
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- what is told and what fails


def test_a_journal_that_cannot_be_read_stands_in_its_place_and_opens_nothing():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(orchard(), reedbed()))
        phone.stop()
        disk.journals["REEDBED-HIDE"] = b"no journal at all\n"
        phone = await Phone.start(disk, world)
        assert phone.shows(words.sentence(row_trouble(phone)))
        assert phone.find("job-REEDBED-HIDE").__class__ is ft.Container
        assert phone.has("slab")
        await phone.tap("job-ORCHARD-GATE")
        assert phone.route == f"{ORCHARD}/now"
        await phone.go(f"{REEDBED}/now")
        assert phone.route == "/" and phone.shows("REEDBED-HIDE")
        assert disk.journals["REEDBED-HIDE"] == b"no journal at all\n"
        phone.stop()

    def row_trouble(phone: Phone):

        return say("row-unreadable")

    drive(journey)


def test_a_screen_that_cannot_be_drawn_says_so_and_the_app_goes_on(monkeypatch):
    def broken(model, send, look):
        raise ZeroDivisionError("planted")

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/now")
        phone.may_break = True
        monkeypatch.setitem(viewstack.SCREENS, "run", broken)
        await phone.tap("bar-run")
        assert "planted" in phone.broken[-1]
        assert phone.shows(words.FIXED.went_wrong) and phone.shows(words.FIXED.went_wrong_more)
        count = len(phone.broken)
        await phone.tap("slab")
        assert phone.route == "/" and phone.has("job-ORCHARD-GATE")
        await phone.tap("job-ORCHARD-GATE")
        assert phone.has("cannot")
        assert len(phone.broken) == count, "only the broken screen breaks"
        phone.stop()

    drive(journey)


def test_a_screen_that_breaks_only_when_it_is_sent_does_not_end_the_app(monkeypatch):
    """Flet checks some controls after the app's own guard is left; a later press must revive it."""

    def late(model, send, look):
        return [ft.SegmentedButton(selected=[], segments=[])]

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/now")
        phone.may_break = True
        monkeypatch.setitem(viewstack.SCREENS, "run", late)
        await phone.tap("bar-run")
        assert any("segments" in heard for heard in phone.ears.heard), "it did break"
        monkeypatch.undo()
        await phone.back()
        await phone.go(f"{ORCHARD}/leave")
        assert phone.has("held")
        phone.stop()

    drive(journey)


def test_a_step_button_never_hides_the_failure(monkeypatch):
    """The watch of these tests sees a failure in any screen: it is proven on one."""

    def broken(model, send, look):
        raise KeyError("planted")

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        monkeypatch.setitem(viewstack.SCREENS, "leave", broken)
        with pytest.raises(AssertionError, match="planted"):
            await phone.go(f"{ORCHARD}/leave")
        phone.stop()

    drive(journey)
