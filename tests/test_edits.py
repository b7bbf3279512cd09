"""Plan edits: which act, which are left out and told, and which readings they end."""

from __future__ import annotations

import copy

import pytest
from logs import current, log, reading, state
from samples import planned

from engine.entries import read_entry
from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold, runs_of

pytestmark = pytest.mark.pure


def test_set_add_and_remove_act():
    doc = planned("reedbed-hide")
    job = state(
        doc,
        {"what": "set", "path": ["spans", "C3", "length_m"], "value": 210, "was": 202},
        {"what": "set", "path": ["site", "ambient_c", "high"], "value": 35},
        {"what": "set", "path": ["boxes", "a1", "bond"], "value": {"to": "EB2"}},
        {"what": "add", "path": ["earths", "EB3"], "value": {"stop": "sluice"}},
        {
            "what": "add",
            "path": ["boxes"],
            "value": {"id": "D", "sheet": "my.camera", "stop": "sluice"},
        },
        {"what": "remove", "path": ["spans", "C6"], "was": {}},
    )
    assert not job.left_out
    assert job.job.spans["C3"].length_m.expected == 210
    assert job.job.site.ambient_c.high == 35
    assert job.job.boxes["A1"].bond.to == "EB2"
    assert job.job.earths["EB3"].stop == "sluice"
    assert "D" in job.job.boxes
    assert "C6" not in job.job.spans
    assert job.doc["spans"][2]["length_m"] == 210


def test_a_thing_can_be_added_at_the_path_at_which_it_is_set_and_removed():
    value = {"id": "D", "sheet": "my.camera", "stop": "sluice"}
    job = state(planned("reedbed-hide"), {"what": "add", "path": ["boxes", "D"], "value": value})
    assert not job.left_out, job.left_out
    assert "D" in job.job.boxes


def test_the_first_thing_of_its_kind_can_be_added():
    value = {"stop": "press", "target_ohms": 10}
    job = state(planned("orchard-gate"), {"what": "add", "path": ["earths", "EB1"], "value": value})
    assert not job.left_out, job.left_out
    assert "EB1" in job.job.earths


@pytest.mark.parametrize(
    ("edit", "word"),
    [
        ({"what": "set", "path": ["spans", "C9", "length_m"], "value": 1}, "C9"),
        ({"what": "set", "path": ["spans", "C2", "length_m"], "value": "long"}, "length_m"),
        ({"what": "set", "path": ["spans", "C2", "to"], "value": "Z.in"}, "Z.in"),
        ({"what": "set", "path": [], "value": {}}, ""),
        ({"what": "set", "path": ["title", "x"], "value": 1}, "x"),
        ({"what": "set", "path": ["id"], "value": "OTHER"}, "id"),
        ({"what": "set", "path": ["format"], "value": "farend-job/2"}, "format"),
        ({"what": "add", "path": ["log"], "value": {}}, "log"),
        ({"what": "add", "path": ["stops", "press"], "value": {"at_m": 1}}, "press"),
        ({"what": "add", "path": ["boxes"], "value": {"id": "S"}}, "boxes"),
        ({"what": "remove", "path": ["boxes", "R1"]}, "R1"),
        ({"what": "remove", "path": ["boxes"]}, "boxes"),
        ({"what": "remove", "path": ["sheets", "my.cable"]}, "my.cable"),
    ],
)
def test_an_edit_that_breaks_the_plan_is_left_out_and_told(edit, word):
    doc = planned("orchard-gate")
    job = state(doc, edit, {"what": "set", "path": ["title"], "value": "after"})
    (left,) = job.left_out
    assert left.entry == "e1"
    assert word in left.problem
    assert len(left.problem.splitlines()) == 1
    assert job.job.title == "after"
    assert job.job.spans == read_job(doc).plan.spans
    judgement = judge(read_job({**doc, "log": log(edit)}))
    hold = next(hold for hold in judgement.blockers if hold.id == "edit.e1")
    assert hold.can_waive == "no"


def test_an_edit_called_a_change_ends_readings_and_a_correction_does_not():
    doc = planned("orchard-gate")
    edit = {"what": "set", "path": ["spans", "C2", "length_m"], "value": 95}
    assert current(state(doc, reading("E.in"), {**edit, "as": "change"})) == []
    assert current(state(doc, reading("E.in"), {**edit, "as": "correction"})) == ["e1"]
    assert current(state(doc, {**edit, "as": "change"}, reading("E.in"))) == ["e2"]


MILL = {
    "S": ["S.out", "R1.in", "C1"],
    "R1": ["R1.out", "R2.in", "C2"],
    "R2": ["R2.out", "X.in", "P.in", "C3", "C5"],
}
"""places of the tide mill, by the box that feeds them"""


def ended(*edits: dict) -> set[str]:
    """The runs of the tide mill in which edits ended readings; it must be all of a run or none."""
    points = [at for run in MILL.values() for at in run]
    bodies = [reading(at, 20, "loop_ohms" if "." not in at else "volts") for at in points]
    job = state(planned("tide-mill"), *bodies, *edits)
    assert not job.left_out, job.left_out
    struck = {one.at for one in job.readings if not job.is_current(one)}
    runs = {run for run, places in MILL.items() if struck & set(places)}
    assert struck == {at for run in runs for at in MILL[run]}
    return runs


def _sheet_of(group: str, ident: str, key: str) -> str:
    return next(one[key] for one in planned("tide-mill")[group] if one["id"] == ident)


def test_a_change_of_a_sheet_ends_the_readings_of_every_run_that_uses_it():
    for group, ident, key, name, value in (
        ("boxes", "S", "sheet", "watts_max", 80),
        ("boxes", "R1", "sheet", "ohms_per_conductor", 0.3),
        ("boxes", "X", "sheet", "own_watts", 3),
        ("spans", "C2", "cable", None, {"kind": "cable", "ohms_per_km": 70}),
    ):
        doc, sheet = planned("tide-mill"), _sheet_of(group, ident, key)
        users = [box["id"] for box in doc["boxes"] if box["sheet"] == sheet]
        users += [span["id"] for span in doc["spans"] if span["cable"] == sheet]
        plan = state(doc)
        runs = {run for user in users for run in runs_of(plan.job, plan.network, user)}
        edit = {"what": "set", "path": ["sheets", sheet, name], "value": value}
        if name is None:  # a sheet of the job's own takes the place of a starter sheet
            edit = {"what": "add", "path": ["sheets", sheet], "value": value}
        assert ended({**edit, "as": "change"}) == {run.split(".")[0] for run in runs}
        assert ended({**edit, "as": "correction"}) == ended(edit) == set()


def test_a_change_of_a_span_or_box_ends_the_readings_of_its_runs():
    def change(*path: str, value) -> dict:
        return {"what": "set", "path": list(path), "value": value, "as": "change"}

    assert ended(change("spans", "C2", "length_m", value=44)) == {"R1"}
    assert ended(change("spans", "c3", "length_m", value=44)) == {"R2"}
    assert ended(change("boxes", "R1", "name", value="Other")) == {"S", "R1"}
    assert ended(change("title", value="Other")) == set()


def test_the_same_value_called_a_change_still_ends_readings():
    """A span was replaced by one of the same length."""
    metres = next(one for one in planned("tide-mill")["spans"] if one["id"] == "C2")["length_m"]
    edit = {"what": "set", "path": ["spans", "C2", "length_m"], "value": metres}
    assert ended({**edit, "as": "change"}) == {"R1"}


def test_what_is_put_in_ends_the_readings_of_the_run_it_lands_in_and_what_goes_those_it_leaves():
    doc = planned("tide-mill")
    lamp = {**next(one for one in doc["boxes"] if one["id"] == "X"), "id": "Q"}
    span = {**doc["spans"][0], "id": "C9", "from": "R1.out", "to": "Q.in"}
    off = {"what": "remove", "path": ["spans", "C2"], "as": "correction"}
    put = [
        {"what": "add", "path": ["boxes"], "value": lamp, "as": "change"},
        {"what": "add", "path": ["spans"], "value": span, "as": "change"},
    ]
    points = [at for run in MILL.values() for at in run if at != "C2"]
    bodies = [reading(at, 20, "loop_ohms" if "." not in at else "volts") for at in points]
    job = state(doc, off, *bodies, *put)
    assert not job.left_out, job.left_out
    assert {one.at for one in job.readings if not job.is_current(one)} == {"R1.out"}
    whole = state(doc, *bodies, {**off, "as": "change"})
    assert {one.at for one in whole.readings if not whole.is_current(one)} >= {"R1.out", "R2.in"}
    assert "R1.in" in {one.at for one in whole.readings if whole.is_current(one)}


@pytest.mark.parametrize(
    ("gone", "again"),
    [
        (["spans", "C6"], {"what": "add", "path": ["spans"], "value": "C6"}),
        (["spans", "C6"], {"what": "add", "path": ["spans", "c6"], "value": "c6"}),
        (["earths", "EB9"], {"what": "add", "path": ["earths", "eb9"], "value": None}),
        (["stops", "Y"], {"what": "add", "path": ["earths", "y"], "value": None}),
        (["meters", "M9"], {"what": "add", "path": ["meters"], "value": "m9"}),
        (["boxes", "Z"], {"what": "set", "path": ["spans", "C6", "id"], "value": "z"}),
    ],
)
def test_an_id_that_has_been_in_the_plan_is_never_used_again(gone, again):
    doc = planned("reedbed-hide")
    stop = doc["boxes"][0]["stop"]
    made = {
        "spans": doc["spans"][-1],
        "earths": {"stop": stop},
        "meters": {"id": "M9", "sheet": "generic.meter"},
        "boxes": {"id": "Z", "sheet": "my.camera", "stop": stop},
    }
    doc["earths"]["EB9"] = made["earths"]
    doc["stops"]["Y"] = {"at_m": 3}
    doc["meters"] = [*doc.get("meters", []), made["meters"]]
    doc["boxes"].append(made["boxes"])
    value = again["value"]
    if again["what"] == "add":
        group = made[again["path"][0]]
        value = group if value is None else {**group, "id": value}
    remove = {"what": "remove", "path": gone}
    job = state(doc, remove, {**again, "value": value})
    (left,) = job.left_out
    assert left.entry == "e2" and "used again" in left.problem
    undone = state(doc, remove, {"what": "void", "of": "e1"})
    assert not undone.left_out and undone.job == read_job(doc).plan
    fresh = {"what": "add", "path": ["earths", "NEW"], "value": made["earths"]}
    assert not state(doc, remove, fresh).left_out


def test_a_thing_cannot_be_added_under_a_name_that_it_does_not_have():
    value = {"id": "Q", "sheet": "my.camera", "stop": "sluice"}
    job = state(planned("reedbed-hide"), {"what": "add", "path": ["boxes", "D"], "value": value})
    assert "another id" in job.left_out[0].problem


def test_edits_find_earths_and_stops_without_case():
    edit = {"what": "set", "path": ["earths", "eb1", "target_ohms"], "value": 7}
    job = state(planned("reedbed-hide"), edit)
    assert not job.left_out and job.job.earths["EB1"].target_ohms == 7


def test_an_edit_leaves_the_document_before_it_alone():
    doc = planned("reedbed-hide")
    kept = copy.deepcopy(doc)
    plain = state(doc)
    before = copy.deepcopy(plain.doc)
    edits = [
        {"what": "set", "path": ["spans", "C3", "length_m"], "value": 90},
        {"what": "set", "path": ["boxes", "A1", "bond", "lead_m"], "value": 2},
        {"what": "add", "path": ["earths", "NEW"], "value": {"stop": "sluice"}},
        {"what": "remove", "path": ["spans", "C6"]},
    ]
    for edit in edits:
        one = fold(read_job(doc), [read_entry({"id": "x", **edit})])
        assert not one.left_out and one.doc != plain.doc
    assert doc == kept and plain.doc == before


def test_a_correction_is_judged_by_from_then_on():
    doc = planned("orchard-gate")
    edit = {"what": "set", "path": ["spans", "C2", "length_m"], "value": 150, "as": "correction"}
    loop = reading("C2", 24.9, "loop_ohms", meter="M1")
    before, after = (
        judge(read_job({**doc, "log": log(*bodies)})).verdicts[0].verdict
        for bodies in ((loop,), (loop, edit))
    )
    assert (before, after) == ("outside", "inside")
