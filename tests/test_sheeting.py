"""The sheets of a job on the phone: another one for a thing, and one's own, typed figure by figure."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from headless import Phone, drive, sample
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from messages_sent import after, keeps, model_at, open_job
from real_app import on_site, serve
from test_plan_moves import kept

from engine.choices import sheet_of
from engine.defaults import DEFAULTS
from engine.edits import GONE
from engine.fields import Number, Quantity
from engine.format import SHEET_KEYS
from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from engine.sheets import AS_TYPED
from fieldapp import messages as m
from fieldapp import words
from fieldapp.model import Model
from fieldapp.ownsheet import answer_of, ask_at, body_of, final_body, is_unchanged, own_of
from fieldapp.paint import look_for
from fieldapp.questions import TOGETHER, last_edits
from fieldapp.routes import place_of
from fieldapp.screens.newsheet import newsheet
from fieldapp.settings import Settings
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

__all__ = ["on_site", "serve"]

J = "/j/REEDBED-HIDE"
LOOK = look_for(False, 390, 844, 1.0, None)


def begun(thing: str, template: str, *, changes: bool = False, job: Any = None, **more: Any):
    model = model_at(f"{J}/newsheet/{thing}", job, **more)
    model, _ = after(model, m.OwnBegun(thing, template, changes))
    return model


def keys(digits: str) -> list[Any]:
    return [m.OwnKey(key) for key in digits]


def asked(model: Model) -> str:
    return own_of(model).at


def to_the_end(model: Model) -> Model:
    """Every answer as it stands."""
    for _ in range(40):
        if not asked(model):
            return model
        model, _ = after(model, m.OwnOn())
    raise AssertionError(f"no end: {asked(model)}")


def used(model: Model, name: str = "Marsh 7") -> Model:
    """The last page's slab pressed, and the entries back."""
    model, effects = after(model, m.OwnNamed(name), m.OwnUsed())
    model, _ = after(model, kept(model, effects))
    assert not model.job.judgement.state.left_out
    return model


def sheet_now(model: Model, thing: str) -> Any:
    return sheet_of(model.job.judgement.state.job, thing)


def doc_of(model: Model) -> dict[str, Any]:
    return model.job.judgement.state.doc


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
    model, _ = after(model, kept(model, effects))
    assert sheet_now(model, "C4").id == "generic.cat6a-22-outdoor"
    assert (model.place.screen, model.place.at) == ("plan", "C4")
    assert len(last_edits(model)) == 2
    model, effects = after(model, m.PlanUndone())
    model, _ = after(model, kept(model, effects))
    assert sheet_now(model, "C4").id == "my.cable"
    assert "generic.cat6a-22-outdoor" not in doc_of(model)["sheets"]


def test_a_meter_gets_another_sheet_and_nothing_is_worked_out_for_it():
    model, effects = after(model_at("/"), m.Go(f"{J}/sheets/M1"))
    assert not any(isinstance(one, m.TrySheets) for one in effects)
    model, effects = after(model, m.SheetPicked("M1", "generic.meter-better"))
    model, _ = after(model, kept(model, effects))
    assert model.job.judgement.state.job.meters["M1"].sheet.accuracy["volts"].percent == 0.1


def test_what_is_pulled_already_is_changed_not_corrected():
    pulled = {"id": "p", "what": "step", "step": "pull.C4", "state": "done"}
    model = model_at(f"{J}/sheets/C4", open_job("reedbed-hide", pulled))
    _, effects = after(model, m.SheetPicked("C4", "my.patch"))
    assert keeps(effects)[0].drafts[0]["as"] == "change"


def test_another_kind_of_box_is_looked_at_next():
    model = model_at(f"{J}/sheets/A2")
    model, effects = after(model, m.SheetPicked("A2", "generic.joint-gel"))
    model, _ = after(model, kept(model, effects))
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


# ---------------------------------------------------------------- one's own


def test_the_template_s_figures_stand_ready_and_all_kept_is_its_copy():
    model = used(to_the_end(begun("C4", "generic.cat6a-22-outdoor")))
    sheet = doc_of(model)["sheets"]["my.marsh-7"]
    template = AS_TYPED["generic.cat6a-22-outdoor"]
    assert {k: v for k, v in sheet.items() if k not in ("title", "note")} == {
        k: v for k, v in template.items() if k not in ("title", "note")
    }
    assert sheet["title"] == "Marsh 7" and "Typed" not in sheet["note"]
    assert sheet_now(model, "C4").id == "my.marsh-7" and model.place.screen == "plan"
    assert model.own is None


def test_figures_typed_are_the_sheet_s_and_the_note_says_which_they_are():
    model = begun("L2", "my.longspan", settings=Settings(name="Orla"))
    model, _ = after(model, m.OwnOn(), *keys("3.5"), m.OwnOn())
    assert asked(model) == "class"
    model, _ = after(model, m.OwnPicked(5))
    assert asked(model) == "cutoff_volts"
    model = used(to_the_end(after(model, *keys("37"), m.OwnOn())[0]), "Wader 2")
    sheet = doc_of(model)["sheets"]["my.wader-2"]
    assert (sheet["own_watts"], sheet["class"], sheet["cutoff_volts"]) == (3.5, 5, 37.0)
    assert sheet["note"].startswith("Typed by Orla from the maker's sheet: own watts, class, cut")
    assert "Kept by Orla as in Long-span unit: power, on volts" in sheet["note"]
    assert sheet["ports"] == doc_of(model)["sheets"]["my.longspan"]["ports"]
    assert sheet_now(model, "L1").id == "my.longspan"


def test_one_figure_alone_takes_its_tolerance_and_beside_another_the_template_s():
    model, _ = after(begun("S", "my.switch"), *keys("50"))
    own, ask = own_of(model), ask_at(model, own_of(model))
    assert answer_of(model, own, ask) == 50.0
    model, _ = after(model, m.OwnPart("low"), *keys("49"))
    own = own_of(model)
    assert answer_of(model, own, ask) == {"low": 49.0, "expected": 50.0, "high": 54.8}
    model, _ = after(model, m.OwnOn())
    assert asked(model) == "watts_max"


def test_an_endpoint_s_watts_alone_are_its_most():
    model, _ = after(begun("C", "my.camera"), m.OwnOn(), m.OwnBack(), *keys("20"), m.OwnOn())
    assert own_of(model).typed == {"watts:high": "20"}
    model = used(to_the_end(model), "Heron eye")
    watts = sheet_now(model, "C").watts
    assert (watts.low, watts.expected, watts.high) == (10, 16, 20)


def test_a_figure_beyond_the_format_is_told_and_nothing_is_lost():
    model = begun("S", "my.switch")
    model, effects = after(model, *keys("540"), m.OwnOn())
    assert asked(model) == "volts" and not keeps(effects)
    assert model.told.parts == {"key": "volts", "part": "", "least": 1, "most": 75}
    assert own_of(model).typed["volts:expected"] == "540"
    model, _ = after(model, m.OwnKey("rub"), m.OwnOn())
    assert asked(model) == "watts_max" and model.told is None


def test_least_above_most_is_told():
    model, _ = after(begun("S", "my.switch"), m.OwnPart("low"), *keys("56"), m.OwnOn())
    assert (asked(model), model.told.code) == ("volts", "own-order")


def test_percent_are_typed_as_percent():
    model = begun("L2", "generic.repeater-30w", job=None)
    # of another kind than L2: it is begun all the same, and refused only where it is used
    while asked(model) != "efficiency":
        model, _ = after(model, m.OwnOn())
    model, _ = after(model, *keys("2"), m.OwnOn())
    assert (model.told.parts["least"], model.told.parts["most"]) == (5, 100)
    model, _ = after(model, m.OwnKey("rub"), *keys("88.5"), m.OwnOn())
    assert body_of(model, own_of(model))["efficiency"] == 0.885


def test_a_missing_figure_is_asked_for_before_one_goes_on():
    """Nothing of the template helps where it says nothing."""
    doc = sample("reedbed-hide")
    del doc["sheets"]["my.meter"]["watts"]
    file = read_job(doc)
    model = begun("M1", "my.meter", job=replace(open_job(), file=file, judgement=judge(file)))
    model, _ = after(model, m.OwnOn())
    assert asked(model) == "watts"
    model, _ = after(model, *keys("2"), m.OwnOn())
    assert asked(model) == "watts" and own_of(model).part == "digits"
    model, _ = after(model, *keys("1"), m.OwnOn(), *keys(".1"), m.OwnOn())
    assert body_of(model, own_of(model))["watts"] == {
        "percent": 2.0,
        "digits": 1.0,
        "resolution": 0.1,
    }


def test_another_gauge_leaves_the_ohms_open_until_they_are_typed():
    model = begun("C4", "my.cable")
    model, _ = after(model, m.OwnOn(), m.OwnOn(), m.OwnPicked(24), m.OwnOn())
    assert asked(model) == "ohms_per_km"
    own = own_of(model)
    assert value_in(body_of(model, own), ask_at(model, own)) is GONE
    model = used(to_the_end(model))
    assert sheet_now(model, "C4").ohms_per_km is None and sheet_now(model, "C4").awg == 24


def test_ohms_typed_before_the_gauge_was_changed_are_asked_again():
    model = begun("C4", "my.cable")
    model, _ = after(model, m.OwnOn(), m.OwnOn(), m.OwnOn(), m.OwnOn(), *keys("70"), m.OwnOn())
    assert body_of(model, own_of(model))["ohms_per_km"] == 70
    model, _ = after(model, m.OwnBack(), m.OwnBack(), m.OwnBack(), m.OwnPicked(22))
    assert "ohms_per_km" not in body_of(model, own_of(model))
    model, _ = after(model, m.OwnOn(), m.OwnOn())
    assert body_of(model, own_of(model))["ohms_per_km"] == 70, "it is still typed there"


def test_back_keeps_what_was_typed_and_so_does_a_look_elsewhere():
    model, _ = after(begun("S", "my.switch"), m.OwnOn(), *keys("60"), m.OwnBack())
    assert asked(model) == "volts"
    model, _ = after(model, m.Go(f"{J}/run"), m.Go(f"{J}/newsheet/S"), m.OwnOn())
    own = own_of(model)
    assert own.typed["watts_max:"] == "60" and own.at == "watts_max"
    model, _ = after(model, m.OwnBack(), m.OwnBack())
    assert asked(model) == "begin"
    model, _ = after(model, m.OwnBegun("S", "my.switch"), m.OwnOn())
    assert own_of(model).typed["watts_max:"] == "60"
    other, _ = after(model, m.Go(f"{J}/newsheet/C4"))
    assert own_of(other) is None


def test_what_does_not_apply_is_neither_asked_nor_written():
    model = begun("L2", "my.longspan")
    model, _ = after(model, m.OwnPicked("regenerating"))
    body = body_of(model, own_of(model))
    wanted = [ask.key for ask in asks(body)]
    assert "out_volts" in wanted and "ohms_per_conductor" not in wanted
    model, _ = after(model, m.OwnOn())
    assert asked(model) == "out_volts"
    stays, _ = after(model, m.OwnOn(), m.OwnLeft())
    assert asked(stays) == "out_volts", "a box that makes its own volts must say them"
    model = used(to_the_end(after(model, *keys("54"), m.OwnOn())[0]))
    sheet = sheet_now(model, "L2")
    assert sheet.regenerates and sheet.out_volts.expected == 54
    assert "ohms_per_conductor" not in doc_of(model)["sheets"]["my.marsh-7"]


def test_the_long_side_is_asked_how_far_it_reaches_at_each_speed():
    model = begun("L2", "my.longspan")
    while asked(model) != "speeds_mbps":
        model, _ = after(model, m.OwnOn())
    model, _ = after(model, m.OwnPicked(100), m.OwnOn(), m.OwnOn())
    assert asked(model) == "ports/in/reach_m/100"
    model, _ = after(model, *keys("700"), m.OwnOn())
    assert asked(model) == "ports/in/reach_m/1000"
    model = used(to_the_end(model))
    reach = sheet_now(model, "L2").ports["in"].reach_m
    assert reach == {100: 700, 1000: 500}


def test_none_of_several_cannot_be_kept():
    model = begun("C", "my.camera")
    while asked(model) != "speeds_mbps":
        model, _ = after(model, m.OwnOn())
    model, _ = after(model, m.OwnPicked(100), m.OwnPicked(1000), m.OwnOn())
    assert asked(model) == "speeds_mbps"
    model, _ = after(model, m.OwnPicked(10), m.OwnOn())
    assert body_of(model, own_of(model))["speeds_mbps"] == [10]


# ---------------------------------------------------------------- an own sheet changed


def test_a_changed_sheet_begins_at_its_answers_and_all_who_use_it_follow():
    model = begun("C4", "my.cable", changes=True)
    assert asked(model) == "" and is_unchanged(model, own_of(model))
    still, effects = after(model, m.OwnUsed())
    assert not keeps(effects) and still.told is None
    model, _ = after(model, m.OwnAsked("ohms_per_km"), *keys("90"), m.OwnOn())
    assert asked(model) == "", "one question, and back to all of them"
    model, effects = after(model, m.OwnUsed())
    (keep,) = keeps(effects)
    (draft,) = keep.drafts
    assert (draft["what"], draft["path"]) == ("set", ["sheets", "my.cable"])
    model, _ = after(model, kept(model, effects))
    job = model.job.judgement.state.job
    assert {job.spans[one].cable.ohms_per_km.expected for one in ("C3", "C4")} == {90}


def test_a_changed_sheet_is_a_change_where_anything_by_it_is_built():
    pulled = {"id": "p", "what": "step", "step": "pull.C3", "state": "done"}
    job = open_job("reedbed-hide", pulled)
    model = begun("C4", "my.cable", changes=True, job=job)
    model, _ = after(model, m.OwnAsked("ohms_per_km"), *keys("90"), m.OwnOn())
    _, effects = after(model, m.OwnUsed())
    assert keeps(effects)[0].drafts[0]["as"] == "change"


def test_a_new_need_is_asked_for_before_one_is_back_at_the_answers():
    model = begun("L2", "my.longspan", changes=True)
    model, _ = after(model, m.OwnAsked("power"), m.OwnPicked("regenerating"))
    assert asked(model) == "out_volts"
    model, _ = after(model, *keys("54"), m.OwnOn())
    assert asked(model) == ""


@pytest.mark.parametrize("name", ["", "   ", "two\u2028lines", "x" * 201])
def test_a_name_that_no_sheet_can_have_keeps_nothing(name):
    model = to_the_end(begun("C4", "my.cable"))
    model, effects = after(model, m.OwnNamed(name), m.OwnUsed())
    assert not keeps(effects) and own_of(model).title == name
    assert not name.strip() or model.told.code == "own-name"


def test_what_was_not_kept_is_all_still_there():
    model, effects = after(to_the_end(begun("C4", "my.cable")), m.OwnNamed("Marsh"), m.OwnUsed())
    assert keeps(effects)
    model, _ = after(model, m.NotKept(say("told-full")))
    assert own_of(model).title == "Marsh" and model.told.code == "told-full"
    _, effects = after(model, m.OwnUsed())
    assert keeps(effects)


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
    model, _ = after(model, kept(model, effects))
    state = model.job.judgement.state
    assert not state.left_out
    stands = state.doc["sheets"][sheet_now(model, thing).id]
    assert stands == json.loads(json.dumps(body))
    read_job(json.loads(json.dumps({**state.doc, "log": []})))


# ---------------------------------------------------------------- on the phone


def test_the_list_says_what_is_in_use_what_is_generic_and_what_each_would_do():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/sheets/C4")
        for _ in range(3):
            await phone.settle()
        in_use = phone.texts(phone.find("sheet-my.cable"))
        assert words.sheet_in_use() in in_use and words.sheet_generic() not in in_use
        other = phone.texts(phone.find("sheet-generic.cat5e-outdoor"))
        assert words.sheet_generic() in other and words.sheet_in_use() not in other
        assert any(line.endswith("at worst") for line in other)
        clad = phone.texts(phone.find("sheet-generic.clad-10"))
        assert words.sheet_outcome(True, False, None, 0) in clad
        assert not phone.shows(words.sheet_trying())
        await phone.tap("sheet-my.cable")
        assert (
            phone.route == f"{J}/plan/C4" and not phone.shelf.journals["REEDBED-HIDE"].records[1:]
        )
        await phone.go(f"{J}/sheets/Q9")
        assert phone.shows(words.not_in_job("Q9"))
        await phone.go(f"{J}/newsheet/Q9")
        assert phone.shows(words.not_in_job("Q9"))
        phone.stop()

    drive(journey)


def test_another_cable_is_one_press_and_the_plan_goes_by_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/sheets/C4")
        await phone.settle()
        await phone.tap("sheet-generic.cat6a-22-outdoor")
        added, put = phone.shelf.journals["REEDBED-HIDE"].records[-2:]
        assert added["path"] == ["sheets", "generic.cat6a-22-outdoor"]
        assert (put["path"], put["was"]) == (["spans", "C4", "cable"], "my.cable")
        assert phone.route == f"{J}/plan/C4"
        await phone.go(f"{J}/sheets/C4")
        used_now = phone.texts(phone.find("sheet-generic.cat6a-22-outdoor"))
        assert words.sheet_in_use() in used_now
        phone.stop()

    drive(journey)


def test_a_sheet_of_one_s_own_is_typed_used_and_changed_for_both():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/sheets/L2")
        await phone.tap("type-own")
        assert phone.route == f"{J}/newsheet/L2" and phone.shows(words.own_follow(("L1", "L2")))
        await phone.tap("begin-my.longspan")
        assert phone.shows(words.own_progress(1, 12))
        await phone.tap("on")
        for key in "99":
            await phone.tap(f"own-{key}")
        await phone.tap("own-9")
        await phone.tap("on")
        assert phone.shows("It can be") and phone.shows("999")
        for _ in range(3):
            await phone.tap("own-rub")
        assert phone.shows(words.own_keep("2 to 3"))
        await phone.tap("on")
        assert phone.shows(words.own_progress(3, 12))
        await phone.tap("back")
        await phone.tap("on")
        for _ in range(10):
            await phone.tap("on")
        assert not phone.takes("use")
        await phone.type("own-title", "Wader 2")
        await phone.tap("use")
        added, put = phone.shelf.journals["REEDBED-HIDE"].records[-2:]
        assert added["path"] == ["sheets", "my.wader-2"] and put["path"] == ["boxes", "L2", "sheet"]
        assert phone.route == f"{J}/plan/L2"

        await phone.go(f"{J}/newsheet/L1")
        await phone.tap("change")
        assert not phone.takes("use") and phone.shows(words.own_unchanged())
        await phone.tap("ask-cutoff_volts")
        for key in "38":
            await phone.tap(f"own-{key}")
        await phone.tap("on")
        await phone.tap("use")
        changed = phone.shelf.journals["REEDBED-HIDE"].records[-1]
        assert changed["path"] == ["sheets", "my.longspan"]
        assert changed["value"]["cutoff_volts"] == 38
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("thing", ["S", "L1", "A2", "J1", "C", "C1", "M1"])
@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_every_page_of_every_kind_can_be_drawn(thing, scale):
    """Flet takes each control of the list and of every question, and the words are whole."""

    async def journey() -> None:
        doc = sample("reedbed-hide")
        phone = await Phone.start(docs=(doc,), link=f"{J}/sheets/{thing}", scale=scale)
        await phone.tap("type-own")
        begins = [key for key in phone.keys if key.startswith("begin-")]
        await phone.tap(begins[-1])
        seen = set()
        while not phone.has("own-title"):
            assert phone.route == f"{J}/newsheet/{thing}"
            seen.add(phone.texts())
            await phone.tap("on")
        assert len(seen) == len(TABLE[_kind(doc, thing)]) - _passed(begins[-1], seen)
        phone.stop()

    drive(journey)


def _kind(doc: dict[str, Any], thing: str) -> str:
    every = [*doc["boxes"], *doc["spans"], *doc["meters"]]
    row = next(one for one in every if one["id"] == thing)
    return doc["sheets"][row.get("sheet") or row["cable"]]["kind"]


def _passed(begin: str, seen: set) -> int:
    """How many questions of the table do not apply to a starter sheet, less those that follow."""
    template = AS_TYPED[begin.removeprefix("begin-")]
    return len(TABLE[template["kind"]]) - len(asks(template))


def test_the_phone_s_back_leads_from_both_pages_to_the_thing_in_the_plan():
    async def journey() -> None:
        for page in ("sheets", "newsheet"):
            phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/{page}/L2")
            await phone.back()
            assert phone.route == f"{J}/plan/L2" and place_of(phone.route).at == "L2"
            phone.stop()

    drive(journey)


def test_must_say_is_what_the_format_and_the_reader_want():
    assert must_say("source", TABLE["source"][0]) and not must_say("source", TABLE["source"][1])
    fed = next(ask for ask in TABLE["repeater"] if ask.key == "out_volts")
    assert must_say("repeater", fed)


# ---------------------------------------------------------------- in a real browser


@pytest.mark.slow
@pytest.mark.browser
def test_a_joint_of_one_s_own(on_site) -> None:
    """From the list to its questions, one figure typed, one chosen, named, used: the box has it."""
    hand, held = on_site(sample("reedbed-hide"))
    hand.go(f"{J}/sheets/J1")
    hand.wait_for("at worst")
    hand.tap(words.type_own(), role="button")
    hand.wait_route(f"{J}/newsheet/J1")
    hand.tap("Gel joint, outdoor", role="button")
    hand.wait_for(words.own_progress(1, 3))
    for key in (words.FIXED.reading_key_point, "5"):
        hand.tap(key, exact=True)
    hand.tap(words.own_take(f"0.5{words.NBSP}Ω"), role="button")
    hand.tap(words.own_keep(words.own_value("pairs", 4, 1)), role="button")
    hand.tap(words.own_choice("outdoor", False), exact=True)
    hand.type_into(words.own_name(), "Marsh 7")
    hand.tap(words.own_use("J1"), role="button")
    hand.wait_route(f"{J}/plan/J1")
    added, put = held().records[-2:]
    assert added["path"] == ["sheets", "my.marsh-7"]
    assert (put["path"], put["value"]) == (["boxes", "J1", "sheet"], "my.marsh-7")
    sheet = added["value"]
    assert (sheet["ohms_per_conductor"], sheet["pairs"], sheet["outdoor"]) == (0.5, 4, False)
