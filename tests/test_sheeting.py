"""The sheets of a job: what is asked of one, another one for a thing, and whatever is pressed."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from messages_sent import after, keeps, kept_behind, model_at, open_job
from sheets_typed import J, begun, doc_of, sheet_now

from engine.choices import sheet_of
from engine.defaults import DEFAULTS
from engine.edits import GONE
from engine.fields import Number, Quantity
from engine.format import SHEET_KEYS
from engine.jobfile import read_job
from engine.sheets import AS_TYPED
from fieldapp import messages as m
from fieldapp import words
from fieldapp.model import Model
from fieldapp.ownsheet import ask_at, body_of, final_body, own_of
from fieldapp.paint import look_for
from fieldapp.questions import TOGETHER, last_edits
from fieldapp.screens.newsheet import newsheet
from fieldapp.sheetquestions import (
    TABLE,
    answer_kind,
    asks,
    limits_of,
    must_say,
    options_of,
    parts_of,
    reads,
    sheet_from,
    value_in,
    with_answer,
)

LOOK = look_for(False, 390, 844, 1.0, None)


# ---------------------------------------------------------------- the table of questions


@pytest.mark.parametrize("kind", TABLE)
def test_every_question_is_a_key_of_the_format_and_has_its_words(kind):
    assert set(TABLE) == set(SHEET_KEYS)
    for ask in TABLE[kind]:
        known = answer_kind(kind, ask)
        assert bool(parts_of(known)) != bool(options_of(known, ask)), ask.key
        assert all(reads(known, one) for one in ask.among)
        assert not ask.absent or ask.absent in DEFAULTS
        if kind == "meter":
            assert words.own_question_meter(ask.key)
        else:
            assert words.own_question(ask.key).endswith("?")
        for part in parts_of(known):
            assert words.own_unit(ask.key, part)
    required = {key for key, one in SHEET_KEYS[kind].items() if one.required}
    assert required <= {ask.key for ask in TABLE[kind]}, "a sheet could not be made without"


@pytest.mark.parametrize("name", AS_TYPED)
def test_a_starter_sheet_kept_as_it_stands_says_the_same(name):
    """Every answer kept: all figures that count are the template's."""
    template = AS_TYPED[name]
    answers = {ask.key: value_in(template, ask) for ask in asks(template)}
    body = sheet_from(template, answers)
    for ask in asks(template):
        assert value_in(body, ask) == value_in(template, ask), ask.key
    lost = set(template) - set(body)
    assert lost <= {"grants", "ohms_per_conductor"}, "only what does not apply"


def test_limits_are_the_format_s_own():
    volts, watts = (answer_kind("source", ask) for ask in TABLE["source"][:2])
    assert limits_of(volts, "low") == (volts.least, volts.most) and isinstance(volts, Quantity)
    assert limits_of(watts, "") == (watts.least, watts.most) and isinstance(watts, Number)
    percent = SHEET_KEYS["meter"]["volts"].kind.keys["percent"].kind
    assert limits_of(answer_kind("meter", TABLE["meter"][0]), "percent") == (0, percent.most)


def test_taking_an_answer_out_leaves_nothing_empty_behind():
    body = {"kind": "long-span", "ports": {"in": {"reach_m": {"1000": 280}}}}
    assert with_answer(body, ("ports", "in", "reach_m", "1000"), GONE) == {"kind": "long-span"}
    assert body["ports"]["in"]["reach_m"] == {"1000": 280}


# ---------------------------------------------------------------- another sheet, one press


def test_a_sheet_picked_is_one_press_and_one_undo_and_leads_back_to_the_plan():
    model = model_at(f"{J}/sheets/C4")
    model, effects = after(model, m.SheetPicked("C4", "generic.cat6a-22-outdoor"))
    (keep,) = keeps(effects)
    assert len({draft[TOGETHER] for draft in keep.drafts}) == 1 and len(keep.drafts) == 2
    assert {draft["as"] for draft in keep.drafts} == {"correction"}
    model, _ = after(model, kept_behind(model, effects))
    assert sheet_now(model, "C4").id == "generic.cat6a-22-outdoor"
    assert (model.place.screen, model.place.at) == ("plan", "C4")
    assert len(last_edits(model)) == 2
    model, effects = after(model, m.PlanUndone())
    model, _ = after(model, kept_behind(model, effects))
    assert sheet_now(model, "C4").id == "my.cable"
    assert "generic.cat6a-22-outdoor" not in doc_of(model)["sheets"]


def test_a_meter_gets_another_sheet_and_nothing_is_worked_out_for_it():
    model, effects = after(model_at("/"), m.Go(f"{J}/sheets/M1"))
    assert not any(isinstance(one, m.TrySheets) for one in effects)
    model, effects = after(model, m.SheetPicked("M1", "generic.meter-better"))
    model, _ = after(model, kept_behind(model, effects))
    assert model.job.judgement.state.job.meters["M1"].sheet.accuracy["volts"].percent == 0.1


def test_what_is_pulled_already_is_changed_not_corrected():
    pulled = {"id": "p", "what": "step", "step": "pull.C4", "state": "done"}
    model = model_at(f"{J}/sheets/C4", open_job("reedbed-hide", pulled))
    _, effects = after(model, m.SheetPicked("C4", "my.patch"))
    assert keeps(effects)[0].drafts[0]["as"] == "change"


def test_another_kind_of_box_is_looked_at_next():
    model = model_at(f"{J}/sheets/A2")
    model, effects = after(model, m.SheetPicked("A2", "generic.joint-gel"))
    model, _ = after(model, kept_behind(model, effects))
    assert model.place.at == "J2" and "A2" not in model.job.judgement.state.job.boxes


def test_a_sheet_that_does_not_fit_is_told_and_keeps_nothing():
    model, effects = after(model_at(f"{J}/sheets/C4"), m.SheetPicked("C4", "my.camera"))
    assert not keeps(effects) and model.told.code == "plan-sheet"


def test_sheets_are_tried_a_few_at_a_time_and_only_for_the_plan_as_it_is():
    model, effects = after(model_at("/"), m.Go(f"{J}/sheets/C4"))
    (first,) = (one for one in effects if isinstance(one, m.TrySheets))
    assert first.names[0] == "my.cable" and first.of == model.outcomes.of
    told = m.SheetsTried(first.of, {"my.cable": None}, first.doc, first.names[1:])
    model, (more,) = after(model, told)
    assert model.outcomes.found == {"my.cable": None} and more.names == first.names[1:]
    stale = replace(told, of=(first.of[0], first.of[1] + 1, "C4"))
    assert after(model, stale) == (model, [])
    gone, _ = after(model, m.Go(f"{J}/plan/C4"))
    assert gone.outcomes is None and after(gone, told) == (gone, [])


# ---------------------------------------------------------------- whatever is pressed

PRESSES = st.lists(
    st.one_of(
        st.sampled_from([m.OwnKey(key) for key in "0123456789."] + [m.OwnKey("rub")] * 2),
        st.sampled_from([m.OwnPart(part) for part in ("low", "expected", "high", "percent", "x")]),
        st.just(m.OwnOn()),
        st.just(m.OwnOn()),
        st.just(m.OwnLeft()),
        st.just(m.OwnBack()),
        st.integers(0, 11),
        st.integers(0, 11).map(str),
        st.text(max_size=8).map(m.OwnNamed),
        st.just(m.OwnUsed()),
    ),
    max_size=40,
)


def pressed(model: Model, press: Any) -> tuple[Model, list[Any]]:
    """A press; a number is that choice of the page, a text that answer of the last page."""
    own = own_of(model)
    if own is None:
        return model, []
    ask = ask_at(model, own)
    if isinstance(press, int):
        options = options_of(answer_kind(body_of(model, own)["kind"], ask), ask) if ask else ()
        return after(model, m.OwnPicked(options[press % len(options)])) if options else (model, [])
    if isinstance(press, str):
        every = asks(body_of(model, own))
        return after(model, m.OwnAsked(every[int(press) % len(every)].key))
    return after(model, press)


THINGS = ("S", "L1", "A2", "J1", "C", "C4", "M1")
OPEN = open_job()


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(THINGS), st.booleans(), st.data(), PRESSES)
def test_whatever_is_pressed_gives_a_job_or_one_line(thing, changes, data, presses):
    """Each page can be drawn, and what is kept at the end is read as it was answered."""
    now = sheet_of(OPEN.judgement.state.job, thing)
    template = now.id
    if not changes:
        kind = OPEN.file.doc["sheets"][now.id]["kind"]
        fits = [name for name, body in AS_TYPED.items() if body["kind"] == kind]
        template = data.draw(st.sampled_from([now.id, *fits]))
    model = begun(thing, template, changes=changes, job=OPEN)
    for press in presses:
        model, effects = pressed(model, press)
        newsheet(model, lambda message: None, LOOK)
        if keeps(effects):
            break
    else:
        model, effects = after(model, m.OwnNamed("Marsh 7"), m.OwnUsed())
    own = own_of(model)
    if not keeps(effects):
        assert own is not None
        if own.at not in ("begin", ""):
            newsheet(model, lambda message: None, LOOK)
        return
    body = final_body(model, own)
    model, _ = after(model, kept_behind(model, effects))
    state = model.job.judgement.state
    assert not state.left_out
    stands = state.doc["sheets"][sheet_now(model, thing).id]
    assert stands == json.loads(json.dumps(body))
    read_job(json.loads(json.dumps({**state.doc, "log": []})))


# ---------------------------------------------------------------- what must be said


def test_must_say_is_what_the_format_and_the_reader_want():
    assert must_say("source", TABLE["source"][0]) and not must_say("source", TABLE["source"][1])
    fed = next(ask for ask in TABLE["repeater"] if ask.key == "out_volts")
    assert must_say("repeater", fed)
