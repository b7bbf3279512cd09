"""A sheet of one's own, typed figure by figure, and changed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from messages_sent import after, keeps, kept_behind, open_job
from samples import sample
from sheets_typed import J, asked, begun, doc_of, keys, sheet_now, to_the_end, used

from engine.edits import GONE
from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from engine.sheets import AS_TYPED
from fieldapp import messages as m
from fieldapp.ownsheet import answer_of, ask_at, body_of, is_unchanged, own_of
from fieldapp.settings import Settings
from fieldapp.sheetquestions import asks, value_in

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
    model, _ = after(model, kept_behind(model, effects))
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
