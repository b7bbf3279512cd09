"""Another sheet for a thing: what is offered, the edits that give it, what each would do."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.advise.ground import Ground
from engine.choices import (
    FACING,
    choices,
    chosen,
    fitting_kinds,
    is_own,
    kind_of,
    outcome,
    own_sheet,
    sheet_id,
    sheet_of,
    typed,
    users_of,
)
from engine.inspan import PASSES, turn_round
from engine.jobfile import read_job
from engine.planning import BadPlan, applied
from engine.predict import predict
from engine.sheets import AS_TYPED, STARTER
from tests.random_jobs import random_job

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
jobs = st.integers(0, 300).map(random_job)


def doc(name="reedbed-hide"):
    return json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def held(before, edits):
    """The document after the edits, each of which leaves a job."""
    after = before
    for edit in json.loads(json.dumps(edits)):
        after = applied(after, (edit,))
        read_job(after)
    return after


def awry(document):
    broken = Ground.of(document).broken
    return sum(broken[rule] for rule in FACING)


# ---------------------------------------------------------------- what is offered


def test_own_sheets_come_first_then_those_in_use_then_starters():
    plan = doc()
    plan["spans"][0]["cable"] = "generic.patch-24"
    found = choices(plan, "C4")
    groups = [one.group for one in found]
    assert groups == sorted(groups, key=("own", "used", "starter").index)
    assert {one.sheet.id for one in found if one.group == "own"} == {"my.cable", "my.patch"}
    assert [one.sheet.id for one in found if one.group == "used"] == ["generic.patch-24"]
    assert {one.kind for one in found} == {"cable"}


def test_a_starter_sheet_that_was_copied_in_stays_a_starter_until_a_figure_differs():
    plan = doc()
    plan["sheets"]["generic.patch"] = dict(AS_TYPED["generic.patch"])
    assert not is_own(plan, "generic.patch")
    plan["sheets"]["generic.patch"]["ohms_per_km"] = 99
    assert is_own(plan, "generic.patch") and is_own(plan, "my.cable")
    assert not is_own(plan, "generic.cat6-outdoor")


def test_a_box_is_offered_its_own_kind_first_and_only_what_can_stand_in_its_place():
    job = read_job(doc()).plan
    kinds = [one.kind for one in choices(doc(), "A2")]
    assert kinds[0] == "arrestor" and set(kinds) == set(PASSES)
    assert kinds == sorted(kinds, key=fitting_kinds(job, "A2").index)
    assert {one.kind for one in choices(doc(), "S")} == {"source"}
    assert {one.kind for one in choices(doc(), "C")} == {"endpoint"}
    assert {one.kind for one in choices(doc(), "M1")} == {"meter"}
    assert choices(doc(), "Q9") == ()


def test_a_splitter_in_use_at_three_sides_is_only_another_splitter_with_as_many():
    plan = doc("tide-mill")
    assert {one.sheet.id for one in choices(plan, "X")} >= {"generic.splitter-2"}
    job = read_job(plan).plan
    assert sum(point.box == "X" for point in job.plugged) == 3
    assert {one.kind for one in choices(plan, "X")} == {"splitter"}
    with pytest.raises(BadPlan):
        chosen(plan, "X", "generic.joint-gel")


def test_the_sheet_in_use_is_always_among_them():
    """Also a splitter's that names fewer ports than are in use, as a file may have it."""
    plan = doc("tide-mill")
    name = next(box["sheet"] for box in plan["boxes"] if box["id"] == "X")
    plan["sheets"] = {**plan.get("sheets", {}), "my.split": dict(typed(plan, name))}
    plan["sheets"]["my.split"]["ports"] = {"in": {}, "out1": {}}
    next(box for box in plan["boxes"] if box["id"] == "X")["sheet"] = "my.split"
    found = [one.sheet.id for one in choices(plan, "X")]
    assert "my.split" in found
    plan["boxes"] = [{**box, "sheet": name} if box["id"] == "X" else box for box in plan["boxes"]]
    assert "my.split" not in [one.sheet.id for one in choices(plan, "X")]


# ---------------------------------------------------------------- the edits


@settings(max_examples=60, deadline=None)
@given(jobs, st.data())
def test_every_choice_of_every_thing_leaves_a_job_that_uses_it(plan, data):
    """And each edit on its way does; nobody else's sheet moves."""
    job = read_job(plan).plan
    thing = data.draw(st.sampled_from([*job.boxes, *job.spans]))
    one = data.draw(st.sampled_from(choices(plan, thing)))
    edits = chosen(plan, thing, one.sheet.id)
    after = read_job(held(plan, edits)).plan
    gone, new = set(job.boxes) - set(after.boxes), set(after.boxes) - set(job.boxes)
    stands = new.pop() if new else thing
    assert sheet_of(after, stands).id == one.sheet.id
    assert gone == ({thing} if stands != thing else set())
    assert len(after.boxes) == len(job.boxes) and set(after.spans) == set(job.spans)
    for other in (*job.boxes, *job.spans):
        if other != thing:
            assert sheet_of(after, other) == sheet_of(job, other)
    predict(after)


@settings(max_examples=40, deadline=None)
@given(jobs, st.data())
def test_a_box_of_its_own_kind_never_stands_worse_than_the_other_way_round(plan, data):
    job = read_job(plan).plan
    boxes = [box for box in job.boxes.values() if box.kind in ("arrestor", "repeater", "long-span")]
    if not boxes:
        return
    box = data.draw(st.sampled_from(boxes))
    fits = [one for one in choices(plan, box.id) if one.kind == box.kind]
    after = held(plan, chosen(plan, box.id, data.draw(st.sampled_from(fits)).sheet.id))
    try:
        other = applied(after, turn_round(after, box.id))
    except BadPlan:
        return
    assert awry(after) <= awry(other)


def mirrored(plan):
    """A long-span unit whose sides are the other way about."""
    sheet = json.loads(json.dumps(plan["sheets"]["my.longspan"]))
    sheet["ports"] = {"in": sheet["ports"]["out"], "out": sheet["ports"]["in"]}
    plan["sheets"]["my.mirrored"] = sheet
    return plan


def test_a_sheet_that_faces_the_other_way_turns_its_box_round():
    plan = mirrored(doc())
    assert awry(plan) == 0
    after = held(plan, chosen(plan, "L2", "my.mirrored"))
    assert awry(after) == 0
    job = read_job(after).plan
    assert {str(point) for point in (job.spans["C5"].a, job.spans["C5"].b)} == {"A2.kit", "L2.out"}


def test_where_no_way_round_is_right_the_plan_says_so():
    """Patch lead on both sides: a long-span unit has no long pair to face."""
    plan = doc()
    after = held(plan, chosen(plan, "J1", "my.longspan"))
    findings = predict(read_job(after).plan).findings
    assert awry(after) > 0 and any(one.rule == "orientation" for one in findings)


def test_another_kind_is_another_box_with_the_same_spans():
    plan = doc()
    edits = chosen(plan, "A2", "generic.joint-gel", "change", used=("J2",))
    assert {edit["as"] for edit in edits} == {"change"}
    job = read_job(held(plan, edits)).plan
    assert "A2" not in job.boxes and job.boxes["J3"].stop == "hide"
    assert {span.id for point, span in job.plugged.items() if point.box == "J3"} == {"C4", "C5"}


def test_an_injector_in_a_box_s_place_feeds_outwards():
    plan = doc()
    job = read_job(held(plan, chosen(plan, "A1", "generic.injector-60w"))).plan
    assert str(job.spans["C2"].b) == "I1.in" and str(job.spans["C3"].a) == "I1.out"


def test_a_sheet_of_another_sort_is_refused():
    for thing, sheet in (("A2", "my.cable"), ("C4", "my.joint"), ("S", "my.camera"), ("Q", "x")):
        with pytest.raises(BadPlan):
            chosen(doc(), thing, sheet)


# ---------------------------------------------------------------- what each would do


@pytest.mark.parametrize("name", ["reedbed-hide", "orchard-gate", "tide-mill"])
def test_what_a_choice_would_do_is_what_the_plan_then_shows(name):
    plan = doc(name)
    now = Ground.of(plan)
    for thing in (*now.job.boxes, *now.job.spans):
        for one in choices(plan, thing)[::4]:
            said = outcome(now, thing, one.sheet.id)
            job = read_job(held(plan, chosen(plan, thing, one.sheet.id))).plan
            after = predict(job)
            ends = [f"{box.id}.in" for box in job.boxes.values() if box.kind == "endpoint"]
            points = {str(point): seen for point, seen in after.points.items()}
            far = min(ends, key=lambda end: points[end].volts.expected or 0.0)
            assert said.low_volts == points[far].volts.low
            assert not said.works or after.operates
            stops = sum(f.severity == "stop" for f in after.findings)
            before = sum(f.severity == "stop" for f in now.prediction.findings)
            assert said.more >= stops - before


def test_the_sheet_in_use_changes_nothing():
    now = Ground.of(doc())
    said = outcome(now, "C4", "my.cable")
    far = now.volts_at(now.far_end)
    assert (said.works_at_worst, said.more, said.low_volts) == (True, 0, far.low)


def test_thinner_wire_gives_fewer_volts_and_what_cannot_run_says_so():
    now = Ground.of(doc())
    volts = [
        outcome(now, "C4", f"generic.{name}").low_volts
        for name in ("cat6a-22-outdoor", "cat6-outdoor", "cat5e-outdoor")
    ]
    assert volts == sorted(volts, reverse=True) and len(set(volts)) == 3
    assert not outcome(now, "C4", "generic.clad-10").works_at_worst
    assert not outcome(now, "S", "generic.source-24v").works
    assert outcome(now, "C4", "generic.joint-gel") is None


def test_a_plan_whose_far_end_gets_no_power_does_not_run_by_any_cable():
    plan = doc("orchard-gate")
    plan["spans"] = plan["spans"][1:]
    now = Ground.of(plan)
    found = [outcome(now, "C2", one.sheet.id) for one in choices(plan, "C2")]
    assert found and not any(one.works or one.works_at_worst for one in found)


# ---------------------------------------------------------------- sheets of one's own


@given(st.text(max_size=120), st.sets(st.sampled_from(["my.cable", "my.sheet", "my.sheet-2"])))
def test_an_id_for_any_title_is_new_and_one_that_the_format_takes(title, used):
    plan = doc()
    name = sheet_id(plan, title, used)
    assert name not in plan["sheets"] and name not in STARTER and name not in used
    plan["sheets"][name] = dict(plan["sheets"]["my.cable"])
    assert name in read_job(plan).plan.sheets


def test_a_new_sheet_is_added_and_its_thing_goes_by_it():
    plan, body = doc(), {"kind": "cable", "title": "Marsh 7", "awg": 22}
    after = held(plan, own_sheet(plan, "C4", "my.marsh-7", body))
    job = read_job(after).plan
    assert after["sheets"]["my.marsh-7"] == body and users_of(job, "my.marsh-7") == ("C4",)
    assert users_of(job, "my.cable") == ("C3",)


def test_a_sheet_that_is_changed_takes_all_who_use_it_along():
    plan = doc()
    body = {**plan["sheets"]["my.cable"], "ohms_per_km": 90}
    edits = own_sheet(plan, "C4", "my.cable", body)
    assert [(e["what"], e["path"]) for e in edits] == [("set", ["sheets", "my.cable"])]
    job = read_job(held(plan, edits)).plan
    assert {job.spans[one].cable.ohms_per_km.expected for one in ("C3", "C4")} == {90}
    assert own_sheet(plan, "C4", "my.cable", dict(plan["sheets"]["my.cable"])) == ()


@pytest.mark.parametrize(
    "body",
    [
        {"kind": "cable", "awg": 400},
        {"kind": "cable", "title": "two\nlines"},
        {"kind": "repeater", "own_watts": 2, "power": "regenerating"},
        {"kind": "endpoint", "watts": 5},
        {},
    ],
)
def test_a_sheet_that_cannot_be_read_or_does_not_fit_is_one_statement(body):
    with pytest.raises(BadPlan) as told:
        own_sheet(doc(), "C4", "my.new", body)
    assert told.value.say.code.startswith("plan-")


def test_every_starter_sheet_is_offered_somewhere():
    kinds = {kind_of(sheet) for sheet in STARTER.values()}
    offered = set()
    for name in ("reedbed-hide", "tide-mill"):
        plan = doc(name)
        job = read_job(plan).plan
        for thing in (*job.boxes, *job.spans, *job.meters):
            offered |= {one.sheet.id for one in choices(plan, thing)}
    assert set(STARTER) <= offered and len(kinds) == 10
