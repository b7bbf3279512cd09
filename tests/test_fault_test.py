"""The page of a fault: the way to its next test, and what is kept of a mending."""

from __future__ import annotations

from typing import Any

import fault_jobs
import pytest
from attrs import evolve
from fault_jobs import JOB
from faults_weighed import NAME, account_of, judged, opened, weighed
from headless import Phone, drive, warned
from looked_over import look_over
from screen_jobs import entries

import fieldapp.finding as finding
from engine.diagnose.asking import HERE
from fieldapp import faultview as view
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.routes import ALONE

# ---------------------------------------------------------------- the next test


def test_the_gauge_has_a_sleeve_for_each_cause_that_the_test_parts():
    found, made = account_of("walk"), judged(fault_jobs.walk())
    test, top = found.next_test, found.best
    rows = view.foretold(made, found, top)
    assert len(rows) >= 2 and test.kind == "volts"
    own = next(one for one in test.foretold if (one.cause, one.where) == (top.cause, top.where))
    assert rows[0].low == pytest.approx(max(own.mean - 2 * own.sd, 0), abs=0.001)
    assert rows[0].high == pytest.approx(own.mean + 2 * own.sd, abs=0.001)
    assert rows[0].name == "S", "the cause on top goes by its place"
    assert len({row.name for row in rows}) == len(rows)


def test_a_test_that_reads_once_more_stays_beside_the_reading_it_repeats(monkeypatch):
    """It would tell no more than before, however often, if each struck the one before it."""
    found = account_of("walk")
    test = evolve(found.next_test, at="L2.in", kind="volts", stop=found.next_test.here, way=HERE)

    def weighed_up(*_args: Any, **_more: Any):
        yield 0.5
        return evolve(found, next_test=test)

    monkeypatch.setattr(finding, "accounting", weighed_up)
    (first,) = judged(fault_jobs.walk()).verdicts

    async def journey() -> None:
        phone = await opened("walk")
        assert phone.shows(words.amps_why()), "volts stand there: the amps of that moment first"
        await phone.tap("slab")
        assert phone.route == f"{JOB}/read/L2.in/milliamps?beside={first.id}"
        await phone.digits("0")
        await phone.tap("keep")
        await phone.go(f"{JOB}/fault")
        await weighed(phone)
        assert phone.shows(words.both_used())
        await phone.tap("slab")
        assert phone.route == f"{JOB}/read/L2.in/volts?again={first.id}"
        phone.stop()

    drive(journey)


def test_a_test_that_is_inside_leads_back_to_what_the_readings_point_to():
    """One is in the middle of looking: the steps can wait, and are one quiet press away."""

    async def journey() -> None:
        phone = await opened("walk", "read/S.out/volts")
        await phone.digits("54.1")
        await phone.tap("keep")
        await phone.tap("no-lead")
        assert phone.route == f"{JOB}/fault"
        await phone.back()
        await phone.go(f"{JOB}/read/EB1/earth_ohms")
        await phone.digits("5")
        await phone.tap("keep")
        assert phone.shows(words.find_fault()) and phone.has("go-on")
        await phone.tap("slab")
        assert phone.route == f"{JOB}/fault"
        phone.stop()

    drive(journey)


def test_one_walks_to_the_test_and_the_pad_is_the_right_one():
    found = account_of("walk")

    async def journey() -> None:
        phone = await opened("walk")
        assert phone.shows(words.walk_to("S", 463, True))
        assert phone.shows(words.then_measure("volts", "S.out"))
        await phone.tap("slab")
        assert phone.route == f"{JOB}/read/S.out/volts" and found.next_test.at == "S.out"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(("load", "says"), [("C:15", "15"), ("C:0", "unplugged")])
def test_a_test_with_something_in_a_box_s_place_has_it_on_the_pad(load, says):
    async def journey() -> None:
        phone = await opened("agree", f"read/C.in/volts?load={load}")
        assert phone.shows(words.load_state("C", float(load[2:])))
        assert says in words.load_state("C", float(load[2:]))
        await phone.digits("48.1")
        await phone.tap("keep")
        last = entries(phone, NAME)[-1]
        assert last["with"] == {"C": {"watts": 15.0} if load == "C:15" else "off"}
        phone.stop()

    drive(journey)


def test_a_feed_that_is_read_alone_has_the_bare_end_on_the_pad():
    async def journey() -> None:
        phone = await opened("agree", f"read/S.out/volts?load={ALONE}")
        await phone.digits("54.0")
        await phone.tap("keep")
        assert entries(phone, NAME)[-1]["with"] == {"*": "off"}
        phone.stop()

    drive(journey)


def test_a_load_that_makes_no_sense_leaves_the_pad_as_it_is():
    async def journey() -> None:
        for load in ("Q:15", "C:", "C", "C:x", "C:-3"):
            phone = await opened("agree", f"read/C.in/volts?load={load}")
            await phone.digits("48.1")
            await phone.tap("keep")
            assert "with" not in entries(phone, NAME)[-1], load
            phone.stop()

    drive(journey)


def test_before_a_dead_test_somebody_says_what_is_off_and_it_holds_until_it_is_on():
    async def journey() -> None:
        doc = warned(fault_jobs.dead())
        on = {"id": "on", "what": "step", "step": "energise.S", "state": "done"}
        phone = await Phone.start(docs=({**doc, "log": [on, *doc["log"]]},), link=f"{JOB}/fault")
        await weighed(phone)
        await phone.tap("slab")
        assert phone.route == f"{JOB}/test/C5/loop_ohms"
        first = next(i for i, one in enumerate(phone.texts()) if "Nobody has said" in one)
        assert first < phone.texts().index(words.is_off("S")), "the caution comes first"
        assert not phone.takes("slab") and phone.shows(words.waits_for_off(["S"]))
        await phone.tap("off-S")
        assert entries(phone, NAME)[-1]["step"] == "off.S"
        assert any("You are at Hide." in one for one in phone.speech()), "not at the feed"
        assert phone.takes("slab") and not phone.has("off-S")
        assert phone.shows(words.is_off_said("S", "", "").replace("**", "").strip())
        await phone.tap("short")
        assert entries(phone, NAME)[-1]["x_fitted"] == "short"
        assert phone.route == f"{JOB}/test/C5/loop_ohms"
        made = judged({**doc, "log": entries(phone, NAME)})
        held = {hold.id: hold for hold in made.blockers}
        assert "step.energise.S" in held and any(one.startswith("fitted.") for one in held)
        await phone.tap("slab")
        assert phone.route == f"{JOB}/read/C5/loop_ohms"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("size", [(390, 844), (360, 640), (1180, 820)])
def test_the_page_before_a_dead_test_can_be_drawn_in_every_look(size):
    async def journey() -> None:
        phone = await opened("dead", "test/C5/loop_ohms")
        for dark, scale in ((False, 1.0), (True, 1.0), (False, 2.0)):
            await phone.wear(dark=dark, size=size, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("name", ["typed", "misfit"])
def test_a_doubtful_figure_is_read_again(name):
    found = account_of(name)
    ident = found.best.where if name == "typed" else found.doubtful

    async def journey() -> None:
        phone = await opened(name)
        await phone.tap("slab")
        assert phone.route.endswith(f"?again={ident}")
        assert not phone.has("mend"), "a figure is not mended on site"
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- mending


def test_what_is_mended_and_what_it_was_are_kept_and_taken_back_together():
    async def journey() -> None:
        phone = await opened("load")
        before = len(entries(phone, NAME))
        await phone.tap("slab")
        assert phone.shows(words.was_it_that()) and not phone.takes("mended-slab")
        await phone.tap("was-that")
        await phone.tap("mended-slab")
        found, change = entries(phone, NAME)[before:]
        assert (found["what"], found["cause"], found["where"]) == ("found", "load.heavy", "C")
        assert found["sure"] is True and (change["what"], change["where"]) == ("change", "C")
        assert phone.route == f"{JOB}/now"
        made = judged({**fault_jobs.load_heavy(), "log": entries(phone, NAME)})
        assert not any(one.current for one in made.verdicts), "all are asked for again"
        await phone.tap("strip-undo")
        voids = entries(phone, NAME)[before + 2 :]
        assert [one["of"] for one in voids] == [change["id"], found["id"]]
        made = judged({**fault_jobs.load_heavy(), "log": entries(phone, NAME)})
        assert all(one.current for one in made.verdicts)
        phone.stop()

    drive(journey)


def test_something_else_is_kept_as_what_it_was():
    async def journey() -> None:
        phone = await opened("walk")
        await phone.tap("mend")
        await phone.tap("was-else")
        assert not phone.takes("mended-slab") and phone.has("truth-other-S")
        await phone.tap("truth-box.no-pass-L1")
        for dark, scale in ((False, 1.0), (True, 2.0)):
            await phone.wear(dark=dark, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
        await phone.tap("mended-slab")
        found, change = entries(phone, NAME)[-2:]
        assert (found["cause"], found["where"]) == ("box.no-pass", "L1")
        assert change["where"] == "L1", "there something was done"
        told = next(one for one in account_of("walk").faults if one.cause == "box.no-pass")
        assert change["did"] == words.plain(words.sentence(told.do)), "and to that, not the suspect"
        phone.stop()

    drive(journey)


def test_who_could_not_tell_keeps_the_mending_alone():
    async def journey() -> None:
        phone = await opened("box")
        before = len(entries(phone, NAME))
        await phone.tap("slab")
        await phone.tap("was-unseen")
        await phone.tap("mended-slab")
        assert [one["what"] for one in entries(phone, NAME)[before:]] == ["change"]
        phone.stop()

    drive(journey)


def test_a_mending_that_is_left_keeps_nothing():
    async def journey() -> None:
        phone = await opened("box")
        before = len(entries(phone, NAME))
        await phone.tap("slab")
        await phone.tap("was-that")
        await phone.tap("mending-close")
        assert not phone.has("mended-slab") and phone.has("slab")
        await phone.tap("slab")
        assert not phone.takes("mended-slab"), "it is asked anew"
        await phone.go(f"{JOB}/run")
        await phone.go(f"{JOB}/fault")
        assert not phone.has("mended-slab") and len(entries(phone, NAME)) == before
        phone.stop()

    drive(journey)
