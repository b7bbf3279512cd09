"""Plan edits: what they give is a job at every step, lengths add up, the inverses hold."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.edits import ids_of
from engine.fold import Origin
from engine.inspan import put_in, take_out, turn_round
from engine.job import Point
from engine.jobfile import read_job
from engine.log import whole
from engine.phrases import english
from engine.planning import (
    BadPlan,
    add_stop,
    applied,
    bond_to,
    move_to,
    new_id,
    with_sheet,
    with_value,
)
from engine.predict import predict
from engine.sliced import finish
from tests.random_jobs import random_job
from tests.samples import planned

pytestmark = pytest.mark.pure
IN_A_SPAN = (
    "generic.joint-gel",
    "generic.arrestor-1000-outdoor",
    "generic.repeater-1000",
    "generic.long-span",
    "generic.splitter-2",
    "generic.injector-30w",
)
jobs = st.integers(0, 400).map(random_job)


def plain(metres=180, route=None):
    """A source indoors and a camera outdoors, one span between them."""
    span = {"id": "C1", "from": "S.out", "to": "E.in", "cable": "generic.cat6-outdoor"}
    return {
        "format": "farend-job/1",
        "id": "T",
        "title": "Trial",
        "site": {"name": "Weir", "ambient_c": 15},
        "stops": {"hut": {"at_m": 0, "indoor": True}, "far": {"at_m": 180}},
        "earths": {"EB": {"stop": "hut"}},
        "boxes": [
            {"id": "S", "sheet": "generic.source-60w", "stop": "hut"},
            {"id": "E", "sheet": "generic.camera-small", "stop": "far"},
        ],
        "spans": [{**span, "length_m": metres, **({"route": route} if route else {})}],
        "log": [],
    }


def held(doc, edits):
    """The document after the edits, each of which leaves a job."""
    edits = json.loads(json.dumps(edits))
    for edit in edits:
        doc = applied(doc, (edit,))
        read_job(doc)
    return doc


def spans(doc):
    return {row["id"]: row for row in doc["spans"]}


def metres(doc):
    return sum(span.length_m.expected for span in read_job(doc).plan.spans.values())


@pytest.mark.long
@settings(max_examples=40, deadline=None)
@given(jobs, st.sampled_from(IN_A_SPAN), st.floats(0.02, 0.98), st.data())
def test_put_in_then_take_out_is_the_same_job(doc, sheet, share, data):
    span = data.draw(st.sampled_from([row["id"] for row in doc["spans"]]))
    inside = held(doc, put_in(doc, span, sheet, share=share))
    (box,) = {b["id"] for b in inside["boxes"]} - {b["id"] for b in doc["boxes"]}
    assert metres(inside) == pytest.approx(metres(doc))
    out = held(inside, take_out(inside, box))
    before, after = read_job(doc).plan, read_job(out).plan
    ends = sorted(tuple(sorted((str(s.a), str(s.b)))) for s in before.spans.values())
    assert ends == sorted(tuple(sorted((str(s.a), str(s.b)))) for s in after.spans.values())
    volts = [
        {str(at): p.volts for at, p in predict(job).points.items() if p.volts is not None}
        for job in (before, after)
    ]
    assert volts[0].keys() == volts[1].keys()
    for at, band in volts[0].items():
        assert band.expected == pytest.approx(volts[1][at].expected, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(jobs, st.data())
def test_turning_twice_is_the_same_job(doc, data):
    kinds = {b["id"]: doc["sheets"][b["sheet"]]["kind"] for b in doc["boxes"]}
    boxes = [b for b, k in kinds.items() if k in ("arrestor", "joint", "repeater", "long-span")]
    if not boxes:
        return
    box = data.draw(st.sampled_from(boxes))
    once = held(doc, turn_round(doc, box))
    assert once["spans"] != doc["spans"]
    assert held(once, turn_round(once, box))["spans"] == doc["spans"]


@given(jobs, st.sampled_from(["A", "C", "M", "post"]), st.sets(st.integers(1, 4)))
def test_new_ids_are_new(doc, stem, counts):
    used = {f"{stem}{count}" for count in counts}
    ident = new_id(doc, stem, used)
    assert ident.lower() not in ids_of(doc) | {name.lower() for name in used}


def test_ids_of_the_log_are_not_used_again():
    edits = put_in(plain(), "C1", "generic.joint-gel", used=("j1", "c2", "m1"))
    assert ids_of(held(plain(), edits)) - ids_of(plain()) == {"j2", "c3", "m2"}


@pytest.mark.parametrize(("share", "line"), [(0.01, "C2"), (0.99, "C1")])
def test_the_line_of_an_arrestor_meets_the_span_it_guards(share, line):
    doc = held(plain(), put_in(plain(), "C1", "generic.arrestor-1000-outdoor", share=share))
    row = spans(doc)[line]
    assert "A1.line" in (row["from"], row["to"])


def test_two_long_span_units_face_each_other():
    doc = held(plain(), put_in(plain(), "C1", "generic.long-span", share=0.01))
    doc = held(doc, put_in(doc, "C2", "generic.long-span", share=0.98))
    assert [f.rule for f in predict(read_job(doc).plan).findings if f.rule == "orientation"] == []


def test_a_starter_sheet_comes_with_its_edit():
    doc = held(plain(), with_sheet(plain(), "c1", "generic.cat6a-22-outdoor"))
    assert "generic.cat6a-22-outdoor" in doc["sheets"]
    assert spans(doc)["C1"]["cable"] == "generic.cat6a-22-outdoor"


def test_small_edits_and_what_was():
    doc = plain()
    (edit,) = with_value(doc, ("spans", "C1", "length_m"), 90, "change")
    assert (edit["was"], edit["value"], edit["as"]) == (180, 90, "change")
    doc = held(doc, add_stop(doc, "gate", {"at_m": 60}))
    doc = held(doc, move_to(doc, "E", "GATE"))
    doc = held(doc, bond_to(doc, "E", "eb", 0.4, 6))
    assert doc["boxes"][1]["stop"] == "gate"
    assert doc["boxes"][1]["bond"] == {"to": "EB", "lead_m": 0.4, "mm2": 6}


def test_a_box_well_inside_a_span_has_a_stop_of_its_own():
    doc = held(plain(), put_in(plain(), "C1", "generic.repeater-1000-outdoor"))
    assert doc["stops"]["M1"] == {"at_m": 90.0, "indoor": False}


@pytest.mark.parametrize(
    ("code", "act"),
    [
        ("plan-absent", lambda d: put_in(d, "C9", "generic.joint-gel")),
        ("plan-sheet", lambda d: put_in(d, "C1", "generic.patch")),
        ("plan-sheet", lambda d: with_sheet(d, "C1", "generic.joint-gel")),
        ("plan-no-way-through", lambda d: put_in(d, "C1", "generic.lamp")),
        ("plan-share", lambda d: put_in(d, "C1", "generic.joint-gel", share=1)),
        ("plan-share", lambda d: put_in(d, "C1", "generic.joint-gel", share=float("nan"))),
        ("plan-unread", lambda d: with_value(d, ("spans", "C1", "length_m"), -1)),
        ("plan-path", lambda d: with_value(d, ("spans", "C9", "length_m"), 1)),
        ("plan-no-turning", lambda d: turn_round(d, "E")),
        ("plan-id-used", lambda d: add_stop(d, "HUT", {"at_m": 3})),
    ],
)
def test_what_cannot_be_done_is_said(code, act):
    with pytest.raises(BadPlan) as refused:
        act(plain())
    assert refused.value.say.code == code
    assert english(refused.value.say).text


def test_a_box_where_three_spans_meet_stays():
    doc = next(d for d in map(random_job, range(200)) if any(b["id"] == "Y1" for b in d["boxes"]))
    with pytest.raises(BadPlan) as refused:
        take_out(doc, "Y1")
    assert refused.value.say.code == "plan-many-spans"


def test_a_bare_length_beside_a_band_keeps_its_tolerance():
    doc = held(plain(100), put_in(plain(100), "C1", "generic.joint-gel", stop="far"))
    band = {"low": 40, "expected": 50, "high": 60}
    doc = held(doc, with_value(doc, ("spans", "C2", "length_m"), band))
    (row,) = held(doc, take_out(doc, "J1"))["spans"]
    assert row["length_m"] == pytest.approx({"low": 89, "expected": 100, "high": 111})


def test_a_log_of_such_edits_folds_with_nothing_left_out():
    doc, log, used = plain(), [], set()
    acts = (
        lambda d: put_in(d, "C1", "generic.arrestor-1000-outdoor", share=0.3, used=used),
        lambda d: turn_round(d, "A1"),
        lambda d: take_out(d, "A1"),
        lambda d: put_in(d, d["spans"][0]["id"], "generic.joint-gel", used=used),
    )
    for act in acts:
        used |= ids_of(doc)
        for edit in act(doc):
            n = len(log) + 1
            ident = f"0192f000-0000-7000-8000-{n:012d}"
            common = {"id": ident, "t": "2026-01-01T00:00:00Z", "device": "aa11", "n": n}
            log.append({**common, "seen": {}, **edit})
            doc = applied(doc, (edit,))
    file = read_job({**plain(), "log": log})
    state = finish(whole(Origin(file.doc, file.plan), file.entries))
    assert (state.left_out, state.oddities, state.conflicts) == ((), (), ())
    assert {**state.doc, "log": []} == {**doc, "log": []}


def test_a_box_in_the_span_at_the_feed_itself_lies_on_the_right_side():
    """``share`` counts from the feed, also where the feed is the span's own end."""
    doc = planned("orchard-gate")
    for ends in (("S.out", "R1.in"), ("R1.in", "S.out")):
        doc["spans"][0].update({"from": ends[0], "to": ends[1]})
        after = applied(doc, put_in(doc, "C1", "generic.joint-gel", share=0.1))
        job = read_job(after).plan
        near = job.plugged[Point("S", "out")]
        assert near.id == "C1" and near.length_m.expected == pytest.approx(9.2)
