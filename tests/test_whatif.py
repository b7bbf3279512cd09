"""What if: a value is moved, the line follows, and nothing is kept until it is planned so."""

from __future__ import annotations

from itertools import pairwise

import pytest
from advise_jobs import small_source
from hypothesis import given, settings
from hypothesis import strategies as st
from messages_sent import after, job_of, keeps, kept_behind, model_at, open_job
from samples import sample
from trials import FEW, NAMED, TRIALS, R, at

import engine.advise.ground as solving
from engine.advise.ground import Ground
from engine.jobfile import read_job
from engine.planning import applied
from fieldapp import messages as m
from fieldapp import words
from fieldapp.knobs import GAUGE, KNOBS, SITE, alike, allowed, edits_of, now_of, offered
from fieldapp.trial import (
    Edge,
    as_planned,
    counts_as,
    edge,
    ends_of,
    fits,
    gauges_of,
    knob_of,
    margin,
    outcome,
    plan_of,
    planned_value,
    solved,
    tried,
    tried_value,
)

# ---------------------------------------------------------------- the table


def test_the_samples_meet_every_row_of_the_table():
    met = {knob.name for _, _, knob in TRIALS}
    assert met >= {knob.name for knob in KNOBS} - {"heat", "out-most"}


@pytest.mark.parametrize("knob", KNOBS, ids=lambda knob: knob.name)
def test_each_value_is_one_of_the_job_format_and_has_its_words(knob):
    assert words.TRIED[knob.name]
    assert knob.kind in words.UNITS
    assert knob.low < knob.high and knob.step > 0 and knob.worse in (1, -1)


@pytest.mark.parametrize(("name", "thing", "knob"), **NAMED)
def test_the_plans_own_value_is_one_that_the_format_takes(name, thing, knob):
    job = read_job(sample(name)).plan
    least, most = allowed(job, knob, thing)
    assert least <= now_of(job, knob, thing) <= most


@pytest.mark.parametrize(("name", "thing", "knob"), **NAMED)
def test_a_value_is_what_the_job_then_says(name, thing, knob):
    """The entries alone make it so, and the other figures of a band keep their place."""
    file = read_job(sample(name))
    plan = Ground.of(sample(name))
    now = now_of(plan.job, knob, thing)
    value = now + 3 * knob.step * knob.worse

    doc = applied(plan.doc, edits_of(plan, knob, thing, value))
    job = read_job({**doc, "log": []}).plan

    assert now_of(job, knob, thing) == pytest.approx(value)
    assert job != file.plan
    back = applied(doc, edits_of(Ground.of(doc), knob, thing, now))
    assert now_of(read_job({**back, "log": []}).plan, knob, thing) == pytest.approx(now)


def test_a_hotter_day_is_no_warmer_night():
    plan = Ground.of(sample("reedbed-hide"))
    (knob,) = [one for one in offered(plan.job, SITE) if one.name == "hottest"]
    for value, band in ((41.0, (-5, 12, 41)), (5.0, (-5, 5, 5))):
        job = plan.after(edits_of(plan, knob, SITE, value)).job
        here = job.site.ambient_c
        assert (here.low, here.expected, here.high) == band


def test_a_bands_shape_is_kept():
    plan = Ground.of(sample("reedbed-hide"))
    (knob,) = [one for one in offered(plan.job, "C") if one.name == "load"]
    watts = plan.after(edits_of(plan, knob, "C", 33.0)).job.boxes["C"].sheet.watts
    assert (watts.low, watts.expected, watts.high) == pytest.approx((12, 24, 33))


def test_a_value_of_a_starter_sheet_brings_the_sheet_along():
    doc = sample("orchard-gate")
    end = next(row for row in doc["boxes"] if row["sheet"] == "my.intercom")
    end["sheet"] = "generic.door-phone"
    plan = Ground.of(doc)
    knob = offered(plan.job, end["id"])[0]
    edits = edits_of(plan, knob, end["id"], 9.0)
    assert [edit["what"] for edit in edits] == ["add", "set"]
    assert now_of(plan.after(edits).job, knob, end["id"]) == 9.0


def test_boxes_of_one_sheet_move_together_and_are_named():
    job = read_job(sample("tide-mill")).plan
    assert alike(job, "R1") == ("R1", "R2")
    assert alike(job, "C1") == () and len(alike(job, "S")) == 1


def test_a_thing_with_nothing_to_try_offers_nothing():
    model = model_at(f"{R}/whatif/J1")
    assert knob_of(model) is None and tried_value(model) is None
    assert offered(model.job.judgement.state.job, "Q9") == ()


# ---------------------------------------------------------------- how far it holds


@pytest.mark.parametrize(("name", "thing", "knob"), **NAMED)
def test_the_last_value_holds_and_a_step_more_does_not(name, thing, knob):
    """Asked of documents that were written and read anew, not of the search."""
    own = job_of(sample(name)).judgement
    plan = plan_of(own)
    last = edge(own, knob, thing)

    def holds(value: float) -> bool:
        doc = applied(plan.doc, edits_of(plan, knob, thing, value))
        try:
            there = Ground.of(doc)
        except Exception:
            return False
        slower = there.broken["reach"] > plan.broken["reach"]
        return there.works_at_worst and not there.stopped - plan.stopped and not slower

    assert plan.works_at_worst and last.value is not None
    assert holds(last.value)
    assert (last.value - now_of(plan.job, knob, thing)) * knob.worse >= 0
    if last.ends:
        assert not holds(last.value + knob.worse * knob.step * 1.01)
    else:
        assert holds(knob.high if knob.worse > 0 else knob.low)


def test_where_the_plan_does_not_hold_the_way_back_is_found():
    """The same figure as from a plan that holds: shorter until it does."""
    doc = sample("reedbed-hide")
    far = job_of({**doc, "spans": [
        {**row, "length_m": 900} if row["id"] == "C4" else row for row in doc["spans"]
    ]}).judgement  # fmt: skip
    near = job_of(doc).judgement
    (knob,) = offered(near.state.job, "C4")

    back = edge(far, knob, "C4")

    assert back.ends and back.value < 900
    assert outcome(plan_of(far), solved(far, "length", "C4", back.value)).holds
    assert not outcome(plan_of(far), solved(far, "length", "C4", back.value + 2)).holds
    assert back.value > edge(near, knob, "C4").value, "its reach is broken already: volts alone"


def test_where_no_value_helps_that_is_said():
    own = job_of(small_source()).judgement
    ends = [box.id for box in own.state.job.boxes.values() if box.kind == "endpoint"]
    knobs = [knob for knob in offered(own.state.job, ends[0]) if knob.name == "cutoff"]
    assert all(isinstance(edge(own, knob, ends[0]), Edge) for knob in knobs)
    spans = {name: edge(own, offered(own.state.job, name)[0], name) for name in own.state.job.spans}
    assert any(one.value is None or one.value < own.state.job.spans[name].length_m.expected
               for name, one in spans.items())  # fmt: skip


@pytest.mark.parametrize(("name", "thing", "knob"), FEW)
def test_plan_and_last_value_stand_on_the_ruler(name, thing, knob):
    own = job_of(sample(name)).judgement
    now, last = now_of(own.state.job, knob, thing), edge(own, knob, thing)
    low, high = ends_of(knob, now, last)
    assert low <= now < high
    if last.ends and last.value < 4 * now:
        assert low <= last.value <= high


# ---------------------------------------------------------------- what comes of it


@pytest.mark.parametrize(
    ("thing", "name", "value", "holds", "said"),
    [
        ("C4", "length", 280, True, ""),
        ("C4", "length", 310, False, "reach"),
        ("C4", "length", 640, False, "L2"),
        ("C4", "length", 900, False, "C"),
        ("C", "load", 40, False, "L2"),
        ("S", "most", 30, False, "class"),
    ],
)
def test_what_happens_is_named(thing, name, value, holds, said):
    own = open_job().judgement
    come = outcome(plan_of(own), solved(own, name, thing, float(value)))
    assert come.holds == holds
    if not holds:
        assert said in (come.box, come.finding.rule if come.finding else "")


def test_the_worst_case_and_the_expected_one_are_told_apart():
    own = open_job().judgement
    plan = plan_of(own)
    assert outcome(plan, solved(own, "length", "C4", 640.0)).at_worst
    assert not outcome(plan, solved(own, "length", "C4", 900.0)).at_worst


def test_what_is_to_spare_is_the_least_over_all_boxes():
    """By hand: the volts at worst of each box with a cut-off, less the cut-off."""
    prediction = open_job().judgement.prediction
    spare, volts, box = margin(prediction)
    rows = {
        name: prediction.points[point].volts.low - prediction.job.boxes[name].sheet.cutoff_volts
        for name, point in ((p.box, p) for p in prediction.points)
        if prediction.job.boxes[name].kind in ("long-span", "endpoint") and point.port == "in"
    }
    assert box == min(rows, key=rows.get) and spare == pytest.approx(min(rows.values()))
    assert volts == pytest.approx(spare + 36)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(1, 400), min_size=2, max_size=5))
def test_a_longer_span_never_gives_more_volts(lengths):
    own = open_job().judgement
    seen = []
    for metres in sorted(lengths):
        there = solved(own, "length", "C4", float(metres))
        seen.append(margin(there.prediction)[1])
    assert all(a >= b - 1e-9 for a, b in pairwise(seen))


def test_a_trial_shows_no_reading_and_no_proof():
    own = job_of({**sample("reedbed-hide"), "log": [
        {"id": "r", "what": "reading", "at": "S.out", "kind": "volts", "value": 54, "meter": "M1"}
    ]}).judgement  # fmt: skip
    assert own.verdicts
    there = as_planned(own, solved(own, "length", "C4", 300.0))
    assert there.verdicts == () and there.state.job.spans["C4"].length_m.expected == 300


# ---------------------------------------------------------------- the state


def test_moving_keeps_nothing_and_leaves_the_plan():
    model = at()
    moved, effects = after(model, m.TrialMoved(310.0), m.TrialStepped(1), m.TrialStepped(-1))
    assert keeps(effects) == [] and moved.job is model.job
    assert tried_value(moved) == 310 and planned_value(moved) == 256
    back, _ = after(moved, m.TrialDropped())
    assert tried_value(back) == 256


def test_the_state_holds_a_name_and_a_value_only():
    moved, _ = after(at(), m.TrialMoved(310.0))
    assert vars(moved.trial) == {
        "job": "REEDBED-HIDE",
        "thing": "C4",
        "knob": "length",
        "value": 310.0,
        "digits": None,
    }


def test_another_thing_begins_anew():
    moved, _ = after(at(), m.TrialMoved(310.0), m.Go(f"{R}/whatif/C3"))
    assert tried_value(moved) == planned_value(moved) == 202


def test_it_is_typed_while_the_line_follows():
    model, _ = after(at(), m.TrialPad(True))
    for key, value in (("3", 3), ("1", 31), ("0", 310), ("rub", 31), ("9", 319)):
        model, _ = after(model, m.TrialKey(key))
        assert tried_value(model) == value
    model, _ = after(model, m.TrialPad(False))
    assert tried_value(model) == 319 and model.trial.digits is None


@pytest.mark.parametrize("digits", ["", ".", "0", "9999999"])
def test_what_no_plan_holds_is_not_taken(digits):
    model, _ = after(at(), m.TrialMoved(270.0), m.TrialPad(True))
    for key in digits:
        model, _ = after(model, m.TrialKey(key))
    model, _ = after(model, m.TrialPad(False))
    assert tried_value(model) == 270


def test_a_key_without_a_pad_and_a_step_beyond_the_format_change_nothing():
    model = at()
    assert after(model, m.TrialKey("4"))[0] == model
    hot, _ = after(at(SITE), m.TrialMoved(100.0))
    assert tried_value(after(hot, m.TrialStepped(1))[0]) == 100
    assert not fits(hot, 100.5) and not fits(at("J1"), 5)


def test_a_drag_costs_one_prediction_and_back_again_none(monkeypatch):
    model = at()
    edge(model.job.judgement, knob_of(model), "C4")
    count = []
    real = solving.predict
    monkeypatch.setattr(solving, "predict", lambda job: count.append(1) or real(job))

    for metres in (300.0, 301.0, 302.0, 301.0, 300.0, 256.0):
        model, _ = after(model, m.TrialMoved(metres))
        tried(model), tried(model)
        edge(model.job.judgement, knob_of(model), "C4")

    assert len(count) == 3


@pytest.mark.parametrize(("name", "thing", "knob"), FEW)
def test_planned_so_the_job_shows_what_the_trial_showed(name, thing, knob):
    """Through the log and the whole judgement, as after any other edit of the plan."""
    doc = sample(name)
    route = f"/j/{doc['id']}/whatif/{thing}"
    model, _ = after(model_at(route, job_of(doc)), m.TrialPicked(knob.name))
    value = planned_value(model) + 4 * knob.step * knob.worse
    model, _ = after(model, m.TrialMoved(value))
    shown = tried(model).prediction

    model, effects = after(model, m.TrialPlanned())
    model, _ = after(model, kept_behind(model, effects))

    assert model.trial is None
    assert model.place.screen == "plan" and model.place.at == ("" if thing == SITE else thing)
    assert model.job.judgement.prediction.points == shown.points
    assert now_of(model.job.judgement.state.job, knob, thing) == pytest.approx(value)


def test_the_plans_own_value_is_not_planned_again():
    _, effects = after(at(), m.TrialPlanned())
    assert keeps(effects) == []


@pytest.mark.parametrize("gauge", [26, 22])
def test_another_gauge_is_another_sheet_of_the_same_cable(gauge):
    model, _ = after(at(), m.TrialPicked(GAUGE))
    assert planned_value(model) == 23 and 23 in gauges_of(model)
    assert tried(model).prediction is model.job.judgement.prediction
    model, _ = after(model, m.TrialMoved(float(gauge)))
    thinner = tried(model).prediction.points
    model, effects = after(model, m.TrialPlanned())
    model, _ = after(model, kept_behind(model, effects))

    job = model.job.judgement.state.job
    cable = job.spans["C4"].cable
    assert cable.awg == gauge and cable.title == f"Cat 6 outdoor, {gauge} AWG"
    assert cable.ohms_per_km is None and cable.outdoor
    assert job.spans["C3"].cable.awg == 23
    assert model.job.judgement.prediction.points == thinner


def test_it_counts_as_a_change_where_it_was_built_also_for_its_sheets_others():
    done = [{"id": "e1", "what": "step", "step": "pull.C4", "state": "done"}]
    built = open_job("reedbed-hide", *done)
    assert counts_as(at("C4", built)) == "change" and counts_as(at("C3", built)) == "correction"
    model, _ = after(at("C4", built), m.TrialMoved(300.0))
    _, effects = after(model, m.TrialPlanned())
    (keep,) = keeps(effects)
    assert [draft["as"] for draft in keep.drafts] == ["change"]
    mill = job_of({**sample("tide-mill"), "log": [
        {"id": "e1", "what": "step", "step": "fit.R2", "state": "done"}
    ]})  # fmt: skip
    assert counts_as(model_at("/j/TIDE-MILL/whatif/R1", mill)) == "change"
