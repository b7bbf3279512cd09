"""Plans that do not hold together: each told at its place."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from units_typed import BASE, base, only, put

from engine.jobfile import read_job
from engine.predict import predict


def with_span(**keys: Any) -> dict:
    """The base job with one span more."""
    span = {"id": "C3", "cable": "my.cable", "length_m": 5, **keys}
    return base(spans=[*copy.deepcopy(BASE["spans"]), span])


def splitter_job(*spans: tuple[str, str]) -> dict:
    """Two splitters and what joins them."""
    boxes = [
        {"id": "S", "sheet": "my.source", "stop": "hut"},
        {"id": "Y1", "sheet": "my.splitter", "stop": "hut"},
        {"id": "Y2", "sheet": "my.splitter", "stop": "hut"},
    ]
    rows = [
        {"id": f"C{n}", "from": a, "to": b, "cable": "my.cable", "length_m": 3}
        for n, (a, b) in enumerate(spans, 1)
    ]
    return base(boxes=boxes, spans=rows)


def test_a_loop_is_told_at_the_span_that_closes_it():
    """Two boxes joined twice have no upstream."""
    doc = splitter_job(("S.out", "Y1.in"), ("Y1.out1", "Y2.in"), ("Y2.out1", "Y1.out2"))
    problem = only(doc)

    assert problem.at == "spans[2]"
    assert problem.found == '"C3"'
    assert "no loop" in problem.expected


def test_a_box_joined_to_itself_is_a_loop():
    """The shortest loop is one span and one box."""
    problem = only(splitter_job(("S.out", "Y1.in"), ("Y2.out1", "Y2.out2")))

    assert problem.at == "spans[1]"
    assert "no loop" in problem.expected


@pytest.mark.parametrize(("key", "other"), [("from", "to"), ("to", "from")])
def test_a_taken_port_is_told_at_the_end_that_wants_it(key, other):
    """One span a port: the later span is told, at the end that does not fit."""
    doc = with_span(**{key: "S.out", other: "X.in"})
    doc["boxes"].append({"id": "X", "sheet": "my.camera", "stop": "hut"})
    problem = only(doc)

    assert problem.at == f"spans[2].{key}"
    assert problem.found == '"S.out"'
    assert "free port" in problem.expected


@pytest.mark.parametrize("value", [9, -1, 3.5, "4", True, None])
def test_an_unknown_class_is_told_at_its_place(value):
    """Classes run from 0 to 8 and are whole."""
    problem = only(put(("sheets", "my.camera", "class"), value))

    assert problem.at == 'sheets["my.camera"].class'
    assert problem.found == json.dumps(value)
    assert problem.expected == "a whole number 0 to 8"


@pytest.mark.parametrize(
    ("key", "point", "ports"),
    [("from", "R.kit", "in, out"), ("from", "S.in", "out"), ("to", "E.out", "in")],
)
def test_an_unknown_port_is_told_with_those_there_are(key, point, ports):
    """The line says which ports that kind of box has."""
    doc = base()
    doc["spans"][1][key] = point
    problem = only(doc)

    assert problem.at == f"spans[1].{key}"
    assert problem.found == json.dumps(point)
    assert problem.expected.endswith(f": {ports}")


def test_a_port_without_a_box_is_told_with_the_nearest_box():
    """A slip in a box's id is told at the span's end."""
    doc = with_span(**{"from": "RR.out", "to": "E.in"})
    doc["spans"].pop(1)
    problem = only(doc)

    assert problem.at == "spans[1].from"
    assert problem.expected == "a box of this job"
    assert problem.near == "R"


@pytest.mark.parametrize("sheet", ["my.camera", "my.repeater", "my.arrestor", "my.joint"])
def test_an_unplugged_box_is_a_stop_finding_at_the_box(sheet):
    """A box that no span reaches does not break the file; the plan says that it has no feed."""
    doc = base()
    doc["boxes"].append({"id": "X", "sheet": sheet, "stop": "hut"})
    findings = {f.id: f for f in predict(read_job(doc).plan).findings}

    assert findings["feed.X"].severity == "stop"
    assert findings["feed.X"].say.code == "feed-unplugged"


def test_a_pair_of_boxes_cut_off_from_every_feed_are_both_told():
    """A span that leads to no feed leaves all its boxes without one."""
    doc = with_span(**{"from": "X.out", "to": "Z.in"})
    doc["boxes"] += [
        {"id": "X", "sheet": "my.repeater", "stop": "hut"},
        {"id": "Z", "sheet": "my.camera", "stop": "hut"},
    ]
    codes = {f.id: f.say.code for f in predict(read_job(doc).plan).findings if f.rule == "feed"}

    assert codes == {"feed.X": "feed", "feed.Z": "feed"}
