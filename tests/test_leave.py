"""May we leave? What holds one on site, who may answer for it, and what frees it."""

from __future__ import annotations

import json

import pytest
from held_jobs import (
    OUTSIDE,
    UNCLEAR,
    altered,
    bare,
    complete,
    found,
    holds,
    judged,
    reading,
    waive,
)
from samples import NAMES, planned

from engine.phrases import english
from engine.report_json import judgement_json

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- who may answer


def test_an_outside_reading_needs_a_person_who_answers():
    hold = holds(planned(), OUTSIDE)["reading.e1"]
    assert (hold.can_waive, hold.reading, hold.at, hold.stop) == (
        "responsible",
        "e1",
        "S.out",
        "press",
    )


def test_an_unclear_reading_can_be_waived_by_oneself():
    assert holds(planned(), UNCLEAR)["reading.e1"].can_waive == "self"


def test_an_unclear_reading_holds_until_a_repeat_is_inside():
    first, again = ({**UNCLEAR, "moment": moment} for moment in ("a", "b"))
    assert "reading.e1" in holds(planned(), first)
    held = [name for name in holds(planned(), first, again) if name.startswith("reading.")]
    assert held == []


def test_inside_and_no_band_hold_nothing():
    fine = reading("S.out", "volts", 53.5)
    dumb = reading("S.out", "volts", 3.0, **{"with": {"*": "off"}})
    assert not [name for name in holds(planned(), fine, dumb) if name.startswith("reading.")]


def test_earth_arrestor_and_second_feed_need_a_person_who_answers():
    held = holds(bare())
    assert held["finding.bond.A1"].can_waive == "responsible"
    assert held["finding.arrestor-facing.A1"].can_waive == "responsible"
    assert held["step.bond.A1"].can_waive == held["step.earth.EB2"].can_waive == "responsible"
    twice = planned()
    twice["sheets"]["my.injector"] = {"kind": "injector", "volts": 48, "grants": "always"}
    twice["boxes"].append({"id": "I", "sheet": "my.injector", "stop": "shed"})
    twice["spans"][0]["to"] = "I.out"
    twice["spans"].append({**twice["spans"][0], "id": "C3", "from": "I.in", "to": "R1.in"})
    found = [hold for name, hold in holds(twice).items() if name.startswith("finding.feed-twice.")]
    assert found and all(hold.can_waive == "responsible" for hold in found)


def test_an_edit_that_does_not_fit_cannot_be_waived():
    edit = {"what": "set", "path": ["spans", "C9", "length_m"], "value": 3}
    assert holds(planned(), edit)["edit.e1"].can_waive == "no"
    assert "edit.e1" in holds(planned(), edit, waive("edit.e1"))
    assert "edit.e1" not in holds(planned(), edit, {"what": "void", "of": "e1"})


def test_what_was_fitted_for_a_test_cannot_be_waived_while_it_is_out_there():
    known = reading("E.in", "volts", 48.5, **{"with": {"E": {"watts": 14}}})
    held = holds(planned(), known)
    assert held["step.take-back.site"].can_waive == "no"
    assert "step.take-back.site" in holds(planned(), known, waive("step.take-back.site"))
    done = {"what": "step", "step": "take-back.site", "state": "done"}
    assert "step.take-back.site" not in holds(planned(), known, done)


def test_labels_hold_and_can_be_waived_by_oneself():
    assert holds(planned())["step.labels.press"].can_waive == "self"


def test_a_waiver_is_one_of_three_words_everywhere():
    for doc in (*map(planned, NAMES), bare()):
        for name, hold in holds(doc, OUTSIDE).items():
            assert hold.can_waive in ("no", "responsible", "self"), name


def test_only_stop_findings_hold():
    doc = planned("tide-mill")
    doc["spans"][0]["length_m"] = 140
    one = judged(doc)
    warned = {finding.id for finding in one.prediction.findings if finding.severity != "stop"}
    assert any(name.startswith("reach.") for name in warned)
    assert not {f"finding.{name}" for name in warned} & {hold.id for hold in one.holds}


# ---------------------------------------------------------------- what was found


def finds(*bodies: dict) -> set[str]:
    return {name for name in holds(planned("reedbed-hide"), *bodies) if name.startswith("found.")}


def test_what_was_found_and_not_mended_needs_a_person_who_answers():
    hold = holds(planned("reedbed-hide"), found("C4"))["found.e1"]
    assert (hold.can_waive, hold.at, hold.reading) == ("responsible", "C4", None)
    assert english(hold.say).text == "Found at C4, not mended: joint.high."
    waived = waive("found.e1", role="electrician", by="Ottar")
    assert not finds(found("C4"), waived)


@pytest.mark.parametrize("where", ["C4", "c4", "J1", "J1.b", "A2"])
def test_a_repair_there_or_at_what_it_is_plugged_into_frees_it(where: str):
    assert finds(found("C4"), altered(where)) == set()


@pytest.mark.parametrize("where", ["C3", "A1", "hide", "Q9"])
def test_a_repair_elsewhere_in_the_run_does_not(where: str):
    assert finds(found("C4"), altered(where)) == {"found.e1"}


def test_a_repair_before_it_was_found_does_not():
    assert finds(altered("C4"), found("C4")) == {"found.e2"}


def test_a_fault_of_a_box_or_an_earth_is_mended_at_what_hangs_on_it():
    assert finds(found("J1", "joint.wet"), altered("C4")) == set()
    assert finds(found("EB1", "earth.high"), altered("A1")) == set()
    assert finds(found("L2.out", "link.port-down"), altered("L2")) == set()


def test_a_change_of_the_plan_there_frees_it_and_a_correction_does_not():
    longer = {"what": "set", "path": ["spans", "C4", "length_m"], "value": 270}
    assert finds(found("C4"), {**longer, "as": "change"}) == set()
    assert finds(found("C4"), {**longer, "as": "correction"}) == {"found.e1"}


def test_what_was_found_and_taken_back_holds_nobody_nor_does_a_repair_taken_back_free():
    assert finds(found("C4"), {"what": "void", "of": "e1"}) == set()
    assert finds(found("C4"), altered("C4"), {"what": "void", "of": "e2"}) == {"found.e1"}


@pytest.mark.parametrize("cause", ["none", "reading.typed", "reading.lead"])
def test_nothing_wrong_or_a_figure_misread_is_not_to_be_mended(cause: str):
    assert finds(found("C4", cause)) == set()


def test_one_cause_found_twice_at_one_place_holds_once():
    assert finds(found("C4"), found("c4"), found("C4", "span.high")) == {"found.e2", "found.e3"}


# ---------------------------------------------------------------- what frees


def test_a_waiver_frees_its_own_hold_and_no_other():
    before = holds(planned(), OUTSIDE)
    after = holds(planned(), OUTSIDE, waive("reading.e1", role="electrician"))
    assert set(before) - set(after) == {"reading.e1"}
    one = judged(planned(), OUTSIDE, waive("reading.e1", role="electrician", by="Ottar"))
    (waived,) = (hold for hold in one.holds if hold.waiver)
    assert (waived.id, waived.waiver.by, waived.waiver.role) == (
        "reading.e1",
        "Ottar",
        "electrician",
    )


def test_a_waiver_taken_back_holds_again():
    log = (OUTSIDE, waive("reading.e1"), {"what": "void", "of": "e2"})
    assert "reading.e1" in holds(planned(), *log)


def test_void_of_the_outside_reading_frees_it():
    assert "reading.e1" not in holds(planned(), OUTSIDE, {"what": "void", "of": "e1"})


def test_a_repeat_in_the_same_moment_frees_it_and_another_moment_does_not():
    again = {**OUTSIDE, "value": 53.5}
    assert not [n for n in holds(planned(), OUTSIDE, again) if n.startswith("reading.")]
    assert "reading.e1" in holds(planned(), OUTSIDE, {**again, "moment": "dusk"})


def test_a_change_in_the_run_frees_it_and_asks_for_the_reading_again():
    held = holds(planned(), OUTSIDE, {"what": "change", "where": "C1", "did": "new plug"})
    assert "reading.e1" not in held
    assert held["step.volts.S.out"].can_waive == "self"


def test_a_waiver_does_not_outlive_the_reading_it_was_given_for():
    """It hangs on the entry: the next outside reading at that place holds anew."""
    again = {**OUTSIDE, "value": 41}
    assert "reading.e3" in holds(planned(), OUTSIDE, waive("reading.e1"), again)


def test_a_step_frees_its_hold_and_its_undoing_brings_it_back():
    done = {"what": "step", "step": "cold.S", "state": "done"}
    assert "step.cold.S" in holds(planned())
    assert "step.cold.S" not in holds(planned(), done)
    assert "step.cold.S" in holds(planned(), done, {**done, "state": "undone"})
    assert "step.cold.S" in holds(planned(), {**done, "state": "not-here"})


def test_a_missing_reading_is_freed_by_one_as_planned_only():
    assert "step.volts.E.in" in holds(planned())
    assert "step.volts.E.in" not in holds(planned(), reading("E.in", "volts", 48.7))
    for standing in ({"E": "off"}, {"*": "off"}, {"E": {"watts": 14}}):
        assert "step.volts.E.in" in holds(
            planned(), reading("E.in", "volts", 48, **{"with": standing})
        )
    assert "step.volts.E.in" in holds(planned(), reading("E.in", "watts", 14))


def test_mending_the_plan_frees_its_finding():
    doc = planned("reedbed-hide")
    del doc["boxes"][2]["bond"]
    edit = {"what": "set", "path": ["boxes", "A1", "bond"], "value": {"to": "EB1"}}
    assert "finding.bond.A1" in holds(doc)
    assert "finding.bond.A1" not in holds(doc, edit)


# ---------------------------------------------------------------- all done


@pytest.mark.parametrize("name", NAMES)
def test_a_complete_log_makes_ready_to_leave(name):
    doc = planned(name)
    bodies = complete(doc)
    one = judged(doc, *bodies)
    assert [english(hold.say).text for hold in one.blockers] == []
    assert one.ready_to_leave
    assert {verdict.verdict for verdict in one.verdicts} == {"inside"}
    assert {step.state for step in one.steps} == {"done"}
    out = judgement_json(one)
    assert out["ready_to_leave"] is True and out["blockers"] == []


@pytest.mark.parametrize("name", NAMES)
def test_one_thing_missing_and_it_is_named(name):
    doc = planned(name)
    bodies = complete(doc)
    everything = judged(doc)
    for step in everything.steps:
        if step.holds is None:
            continue
        asked = (step.asks.at, step.asks.kind) if step.asks else ("", "")
        rest = [
            b
            for b in bodies
            if b.get("step") != step.id
            and (b.get("at"), b.get("kind")) != asked
            and (b.get("of"), b["what"]) != asked
        ]
        one = judged(doc, *rest)
        ident = f"photo.{asked[0]}" if asked[1] == "photo" else f"step.{step.id}"
        assert [hold.id for hold in one.blockers] == [ident]
        assert not one.ready_to_leave


def test_everything_waived_is_ready_and_told():
    doc = planned()
    everything = holds(doc)
    answered = [name for name, hold in everything.items() if hold.can_waive != "no"]
    answered.append("copied")  # the waivers themselves are on this phone only
    one = judged(doc, *(waive(name, role="owner") for name in answered))
    assert {hold.id for hold in one.blockers} == set(everything) - set(answered) == set()
    out = judgement_json(one)
    assert sorted(row["id"] for row in out["waived"]) == sorted(answered)
    assert all(row["by"] and row["reason"] for row in out["waived"])


# ---------------------------------------------------------------- the list


def test_holds_stand_once_in_walking_order_with_their_words():
    for doc in (*map(planned, NAMES), bare()):
        one = judged(doc, OUTSIDE)
        names = [hold.id for hold in one.holds]
        assert len(set(names)) == len(names)
        metres = [one.state.job.stops[h.stop].at_m if h.stop else 0.0 for h in one.holds]
        assert metres == sorted(metres)
        assert all(english(hold.say).text for hold in one.holds)


def test_blockers_in_json_say_who_may_waive_and_which_reading():
    out = judgement_json(judged(planned(), OUTSIDE))
    row = next(row for row in out["blockers"] if row["reading"] == "e1")
    assert row["can_waive"] == "responsible"
    assert row["say"]["code"] == "hold-outside"
    assert "40 V" in row["text"]
    assert json.dumps(out, allow_nan=False)
