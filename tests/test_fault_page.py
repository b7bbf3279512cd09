"""The page of a fault in each of its states, its other causes, and the ways that lead to it."""

from __future__ import annotations

import asyncio
from typing import Any

import fault_jobs
import flet.canvas as cv
import left_jobs
import pytest
from attrs import evolve, fields
from fault_jobs import EVERY, JOB
from faults_weighed import account_of, judged, opened, weighed
from headless import Phone, drive, warned
from looked_over import LOOKS, look_over

import fieldapp.finding as finding
from engine.diagnose.account import account
from engine.diagnose.asking import asked_for
from engine.diagnose.candidates import REMAKE
from engine.diagnose.nexttest import NextTest
from engine.faults import NONE, PAIR
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import Standing
from fieldapp import faultview as view
from fieldapp import words
from fieldapp.drawing.jacket import STRIPE, jacket
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.runline import run_line

STATES = {
    "walk": view.PARTED,
    "dead": view.PARTED,
    "link": view.PARTED,
    "agree": view.AGREES,
    "misfit": view.MISFIT,
    "other": view.MISFIT,
    "load": view.SETTLED,
    "box": view.SETTLED,
    "ends": view.PARTED,
    "typed": view.SETTLED,
    "two": view.PARTED,
}


# ---------------------------------------------------------------- every state


@pytest.mark.parametrize("name", STATES)
def test_the_jobs_show_the_states_that_they_are_made_for(name):
    assert view.state_of(account_of(name)) == STATES[name]


@pytest.mark.parametrize("name", EVERY)
def test_each_state_can_be_drawn_in_every_look(name):
    async def journey() -> None:
        phone = await opened(name)
        for _, size, dark, scale in (*LOOKS, ("turned", (844, 390), True, 1.0)):
            await phone.wear(dark=dark, size=size, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
            assert phone.takes("slab")
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("name", [name for name in EVERY if name != "none"])
def test_the_likeliest_cause_its_odds_and_its_readings_are_told(name):
    found = account_of(name)

    async def journey() -> None:
        phone = await opened(name)
        top = next((one for one in found.faults if one.cause != "none"), found.best)
        top = found.best if STATES[name] == view.AGREES else top
        if top.cause == "other":
            assert phone.shows(words.sentence(found.doubt or top.say))
        else:
            assert phone.shows(words.sentence(top.say))
            assert phone.shows(words.odds(top.probability))
        telling = [one for one in top.because if one.speaks != "either"]
        for one in telling[:3]:
            assert phone.shows(words.sentence(one.say))
        assert not any("%" in one for one in phone.texts()), "odds are words"
        phone.stop()

    drive(journey)


def test_a_reading_that_speaks_against_a_cause_says_so_in_words():
    found = account_of("other")
    fault, told = next(
        (fault, one)
        for fault in found.faults
        for one in [one for one in fault.because if one.speaks != "either"][:3]
        if one.speaks == "against"
    )

    async def journey() -> None:
        phone = await opened("other", f"fault?where={fault.where}&cause={fault.cause}")
        assert phone.shows(words.speaks_against(words.sentence(told.say)))
        phone.stop()

    drive(journey)


def test_what_agrees_says_what_no_reading_sees():
    found = account_of("agree")
    assert found.unseen

    async def journey() -> None:
        phone = await opened("agree")
        assert all(phone.shows(words.sentence(one)) for one in found.unseen)
        await phone.tap("slab")
        assert phone.route == f"{JOB}/now"
        phone.stop()

    drive(journey)


def test_what_is_not_as_it_was_is_looked_for_before_the_steps_go_on():
    """No fault is likely yet, but a reading drifted: the slab does what the sentence asks for."""
    doc = left_jobs.came_back({"C.in": -2.0})
    found = account(judge(read_job(doc)))
    assert view.state_of(found) == view.AGREES and found.next_test is not None
    test = found.next_test

    async def journey() -> None:
        phone = await Phone.start(docs=(left_jobs.cautioned(doc),), link=f"{left_jobs.THERE}/fault")
        await weighed(phone)
        assert phone.shows(words.sentence(found.best.say)) and phone.has("go-on")
        await phone.tap("slab")
        assert phone.route == f"{left_jobs.THERE}/read/{test.at}/{test.kind}"
        phone.stop()

    drive(journey)


def test_where_no_cause_is_likely_nothing_is_said_to_explain_none_of_them(monkeypatch):
    found = account(judge(read_job(left_jobs.came_back({"C.in": -2.0}))))
    alone = evolve(found, faults=(found.best,), fits=True)
    monkeypatch.setattr(view, "account_of", lambda model: alone)
    assert found.best.cause == NONE and view.find_more(None) == words.none_stands_out()
    monkeypatch.setattr(view, "account_of", lambda model: evolve(alone, fits=False))
    assert view.find_more(None) == words.none_fits()


def test_with_no_reading_no_odds_are_told():
    async def journey() -> None:
        phone = await opened("none")
        assert phone.shows(words.nothing_read())
        assert not any("in\u00a010" in one for one in phone.texts())
        phone.stop()

    drive(journey)


def test_while_causes_are_weighed_everything_can_be_pressed():
    async def journey() -> None:
        doc = warned(fault_jobs.ends())
        phone = await Phone.start(docs=(doc,), link=f"{JOB}/fault")
        assert phone.shows(words.weighing(0.0)) and not phone.has("slab")
        await phone.tap("bar-leave")
        assert phone.route == f"{JOB}/leave"
        await phone.go(f"{JOB}/fault")
        await weighed(phone)
        phone.stop()

    drive(journey)


def test_what_cannot_be_worked_out_is_said(monkeypatch):
    def broken(*_args: Any, **_more: Any):
        raise ZeroDivisionError
        yield

    monkeypatch.setattr(finding, "accounting", broken)

    async def journey() -> None:
        phone = await Phone.start(docs=(warned(fault_jobs.walk()),), link=f"{JOB}/fault")
        phone.may_break = True  # it stands in the log
        await weighed(phone)
        assert phone.shows(words.gave_up())
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("same", [False, True])
def test_where_no_test_parts_them_the_mending_is_offered(monkeypatch, same):
    first, second, *rest = account_of("walk").faults
    second = evolve(second, where=first.where if same else second.where)
    stuck = evolve(account_of("walk"), faults=(first, second, *rest), next_test=None)
    assert view.state_of(stuck) == view.STUCK

    def found(*_args: Any, **_more: Any):
        yield 0.5
        return stuck

    monkeypatch.setattr(finding, "accounting", found)

    async def journey() -> None:
        phone = await opened("walk")
        assert phone.shows(words.no_test()) and phone.shows(words.no_test_more(same))
        for _, size, dark, scale in LOOKS:
            await phone.wear(dark=dark, size=size, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
        await phone.tap("slab")
        assert phone.shows(words.was_it_that()) and phone.shows(words.sentence(first.do))
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("best", [NONE, "joint.high"])
def test_where_a_new_plug_may_tell_it_is_a_mending_and_no_reading(monkeypatch, best):
    """Whatever stands on top, nothing leads to a pad that would ask for a plug's figure."""
    judgement = judged(EVERY["walk"]())
    found_ = account(judgement)
    own = {one.name: getattr(found_.next_test, one.name) for one in fields(NextTest)}
    bare = NextTest(**{**own, "at": "L2.in", "kind": REMAKE, "dead": True, "standing": Standing()})
    plug = asked_for(judgement, found_.diagnosis, bare, None)
    first, *rest = found_.faults
    where = "" if best == NONE else first.where
    top = evolve(first, cause=best, where=where, probability=0.6)
    weighed_up = evolve(found_, faults=(top, *rest), next_test=plug)
    assert view.reading_of_test(weighed_up) is None
    assert view.state_of(weighed_up) == (view.AGREES if best == NONE else view.STUCK)

    def found(*_args: Any, **_more: Any):
        yield 0.5
        return weighed_up

    monkeypatch.setattr(finding, "accounting", found)

    async def journey() -> None:
        phone = await opened("walk")
        assert not phone.has("next-test")
        assert phone.shows(words.sentence(plug.say)) == (best != NONE)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- other causes


def test_another_cause_goes_on_top_with_its_own_readings():
    found = account_of("walk")
    first = view.shown_of(found, ("", ""))
    second = view.others(found, first).rows[0]

    async def journey() -> None:
        phone = await opened("walk")
        key = f"cause-{second.cause}-{second.where}"
        await phone.tap(key)
        assert phone.shows(words.sentence(second.say)) and not phone.has(key)
        assert phone.shows(words.odds(second.probability))
        assert phone.has(f"cause-{first.cause}-{first.where}")
        await phone.tap(f"cause-{first.cause}-{first.where}")
        assert phone.shows(words.sentence(first.say))
        await phone.back()
        assert phone.route == f"{JOB}/now"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("name", STATES)
def test_rows_and_rest_come_to_one(name):
    found = account_of(name)
    for top in found.faults[:4]:
        below = view.others(found, top)
        told = [top, *view.alike(found, top), *below.rows]
        assert len({view.told_apart(one) for one in told}) == len(told)
        assert sum(one.probability for one in told) + below.rest == pytest.approx(1)
        assert all(one.probability >= view.LEAST_ROW for one in below.rows)


def test_spans_that_no_reading_tells_apart_are_told_with_the_one_on_top():
    found = account_of("dead")
    top = found.best
    same = view.alike(found, top)
    assert len(same) == 3 and all(one.cause == top.cause for one in same)

    async def journey() -> None:
        phone = await opened("dead")
        together = top.probability + sum(one.probability for one in same)
        assert phone.shows(words.may_be_in([one.where for one in same], together))
        assert not any(phone.has(f"cause-{one.cause}-{one.where}") for one in same)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- ways to it


def test_an_outside_reading_leads_to_the_fault_from_verdict_run_and_leave():
    async def journey() -> None:
        phone = await opened("walk", "verdict/r0")
        await weighed_on(phone, words.find_more(3, True, False))
        await phone.tap("slab")
        assert phone.route == f"{JOB}/fault"
        await phone.go(f"{JOB}/run?at=L2.in")
        await phone.tap("slab")
        assert phone.route == f"{JOB}/fault"
        await phone.go(f"{JOB}/leave")
        best = account_of("walk").best
        assert phone.shows(words.suspect_line(words.cause_at(best.cause, "S"), best.probability))
        await phone.tap("mend-reading.r0")
        assert phone.route == f"{JOB}/fault"
        phone.stop()

    drive(journey)


async def weighed_on(phone: Phone, text: str) -> None:
    """Until a screen that is not the fault's says what was found."""
    for _ in range(600):
        if phone.shows(text):
            return
        await asyncio.sleep(0.02)
        await phone.settle()
    raise AssertionError(f"no {text!r}: {phone.texts()}")


def test_what_is_suspect_is_drawn_striped_wherever_the_run_is():
    assert any(shape.dash == STRIPE for shape in jacket(((0, 0), (9, 0)), "striped"))

    async def journey() -> None:
        phone = await opened("ends")
        assert any("C3 to C4 suspect." in one for one in phone.speech())
        for page in ("fault", "run"):
            await phone.go(f"{JOB}/{page}")
            assert dashes(phone) >= 2, page
        await phone.go("/")
        await weighed_on(phone, "More")
        assert dashes(phone) >= 2, "in miniature too"
        phone.stop()

    drive(journey)


def dashes(phone: Phone) -> int:
    """How many jackets are striped on the page."""
    pattern = list(STRIPE)
    paints = [
        shape.paint
        for control in phone.controls()
        if isinstance(control, cv.Canvas)
        for shape in control.shapes
        if isinstance(shape, cv.Path)
    ]
    return sum(paint.stroke_dash_pattern == pattern for paint in paints)


def test_places_count_together_and_boxes_are_marked_too():
    made = judged(fault_jobs.box_dead())
    line = run_line(made, suspects=frozenset({"L2", "C4"}))
    assert [box.id for box in line.boxes if box.suspect] == ["L2"]
    assert [span.id for span in line.spans if span.state == "striped"] == ["C4"]
    assert all(span.state != "striped" for span in run_line(made, suspects=frozenset()).spans)


def test_two_at_once_say_where_both_are_and_each_pair_can_be_put_on_top():
    found = account_of("two")
    pairs = [one for one in found.faults if one.cause == PAIR]
    top, second = pairs[:2]
    assert top is found.best and not view.alike(found, top), "no places to be told in one line"
    names = [view.told_apart(one) for one in pairs]
    assert len({*names}) == len(pairs)
    assert view.shown_of(found, names[1]) is second and view.shown_of(found, names[0]) is top
    where = view.where_of(judged(EVERY["two"]()), second)
    assert all(place in where for _, place in second.parts)
    for language in ("en", "de"):
        with words.speaking(words.Manner(language)):
            assert words.cause_name(PAIR) != PAIR


def test_the_other_pair_of_two_at_once_is_pressed_to_the_top():
    second = [one for one in account_of("two").faults if one.cause == PAIR][1]
    cause, at = view.told_apart(second)

    async def journey() -> None:
        phone = await opened("two")
        assert not phone.shows(words.sentence(second.say))
        await phone.tap(f"cause-{cause}-{at}")
        assert phone.shows(words.sentence(second.say))
        phone.stop()

    drive(journey)
