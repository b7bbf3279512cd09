"""From a judgement to the line that is drawn: states of spans, sides of boxes, branches, floor."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from jobs import active, chain, endpoint, run, source
from samples import sample

from engine.job import Point
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.verdict import INSIDE, OUTSIDE
from fieldapp import words
from fieldapp.runline import (
    dimension,
    fall_points,
    floor_of,
    has_learned,
    last_good_before,
    latest_at,
    ordered_points,
    outline,
    paths,
    port_towards,
    run_length_m,
    run_line,
    sides,
    span_between,
    verdict_of,
)
from fieldapp.spanstates import span_states

Doc = dict[str, Any]


def judged(name: str, *readings: tuple[str, str, float], change=None) -> Judgement:
    """A sample with these readings (at, kind, value), each of a moment of its own."""
    doc = sample(name)
    doc["log"] = [
        {
            "id": f"r{n}",
            "what": "reading",
            "at": at,
            "kind": kind,
            "value": value,
            "meter": "M1",
            "moment": f"m{n}",
        }
        for n, (at, kind, value) in enumerate(readings)
    ]
    if change:
        change(doc)
    return judge(read_job(doc))


def word(judgement: Judgement, number: int) -> str:
    return verdict_of(judgement, f"r{number}").verdict


GOOD_R1, GOOD_E = ("R1.in", "volts", 50.9), ("E.in", "volts", 48.7)
LOW_R1, LOW_E = ("R1.in", "volts", 44.0), ("E.in", "volts", 43.0)


# ---------------------------------------------------------------- states of spans


def test_nothing_is_proven_before_anything_is_measured():
    assert set(span_states(judged("reedbed-hide")).values()) == {"empty"}


def test_a_span_is_copper_once_its_far_end_agrees():
    judgement = judged("orchard-gate", GOOD_R1)
    assert word(judgement, 0) == INSIDE
    assert span_states(judgement) == {"C1": "copper", "C2": "empty"}


def test_one_reading_proves_the_passive_boxes_and_spans_in_front_of_it():
    figure = judged("reedbed-hide").prediction.points[Point("L2", "in")].volts.expected
    judgement = judged("reedbed-hide", ("L2.in", "volts", round(figure, 1)))
    assert word(judgement, 0) == INSIDE
    states = span_states(judgement)
    assert [states[name] for name in ("C2", "C3", "C4", "C5")] == ["copper"] * 4
    assert states["C6"] == "empty", "what lies behind is not proven"


def test_a_loss_is_suspect_only_where_it_starts():
    judgement = judged("orchard-gate", GOOD_R1, LOW_E)
    assert [word(judgement, n) for n in (0, 1)] == [INSIDE, OUTSIDE]
    assert span_states(judgement) == {"C1": "copper", "C2": "striped"}
    judgement = judged("orchard-gate", LOW_R1, LOW_E)
    assert [word(judgement, n) for n in (0, 1)] == [OUTSIDE, OUTSIDE]
    assert span_states(judgement) == {"C1": "striped", "C2": "empty"}


def test_loop_ohms_speak_for_their_own_span():
    judgement = judged("orchard-gate", ("C2", "loop_ohms", 24.6))
    assert word(judgement, 0) == OUTSIDE
    assert span_states(judgement)["C2"] == "striped"
    judgement = judged("orchard-gate", ("C2", "loop_ohms", 15.9))
    assert word(judgement, 0) == INSIDE
    assert span_states(judgement)["C1"] == "empty"


def test_power_without_data_is_cut():
    judgement = judged("orchard-gate", GOOD_R1, ("R1.in", "mbps", 0))
    assert span_states(judgement) == {"C1": "cut", "C2": "empty"}
    judgement = judged("orchard-gate", GOOD_R1, ("R1.in", "mbps", 100))
    assert span_states(judgement)["C1"] == "copper"


def test_a_reading_that_was_replaced_says_nothing():
    def same_moment(doc: Doc) -> None:
        for entry in doc["log"]:
            entry["moment"] = "noon"

    judgement = judged("orchard-gate", LOW_R1, GOOD_R1, change=same_moment)
    assert span_states(judgement)["C1"] == "copper"
    assert latest_at(judgement, "R1.in").id == "r1"


def test_of_two_moments_the_worse_stands_on_the_line():
    judgement = judged("orchard-gate", LOW_R1, GOOD_R1)
    assert span_states(judgement)["C1"] == "striped"


# ---------------------------------------------------------------- boxes and their sides


def line_sides(judgement: Judgement) -> dict[str, tuple[str, str]]:
    return {box.id: (box.left, box.right) for box in run_line(judgement).boxes}


def test_the_long_span_units_stand_as_their_faces_say():
    """IN drives the long pair: of the near unit it looks out, of the far unit it looks back."""
    found = line_sides(judged("reedbed-hide"))
    assert found["L1"] == ("jack", "round")
    assert found["L2"] == ("round", "jack")
    assert found["A1"] == ("jack", "teeth")
    assert found["A2"] == ("teeth", "jack")


def turn_near_unit(doc: Doc) -> None:
    doc["spans"][0]["to"], doc["spans"][1]["from"] = "L1.in", "L1.out"


def turn_far_unit(doc: Doc) -> None:
    doc["spans"][4]["to"], doc["spans"][5]["from"] = "L2.out", "L2.in"


@pytest.mark.parametrize(
    ("change", "name", "found"),
    [(turn_near_unit, "L1", ("round", "jack")), (turn_far_unit, "L2", ("jack", "round"))],
)
def test_a_turned_unit_is_drawn_turned_and_marked_wrong(change, name, found):
    judgement = judged("reedbed-hide", change=change)
    assert line_sides(judgement)[name] == found
    assert next(box.wrong for box in run_line(judgement).boxes if box.id == name)


def test_nothing_is_wrong_in_a_plan_that_is_right():
    assert not any(box.wrong for box in run_line(judged("reedbed-hide")).boxes)


def test_what_is_bonded_says_so():
    line = run_line(judged("reedbed-hide"))
    assert {box.id for box in line.boxes if box.bonded} == {"A1", "A2"}


def test_outline_and_port_towards():
    job = judged("reedbed-hide").state.job
    assert outline(job.boxes["L2"], "in") == "round"
    assert outline(job.boxes["L2"], "out") == "jack"
    assert outline(job.boxes["A2"], "line") == "teeth"
    assert outline(job.boxes["J1"], "a") == "flat"
    assert outline(job.boxes["C"], "in") == "flat"
    assert port_towards(job, "L1", "A1") == "in" and port_towards(job, "L1", "S") == "out"
    assert port_towards(job, "L1", "C") is None and port_towards(job, "L1", None) is None
    assert span_between(job, "A2", "J1").id == "C4" and span_between(job, "S", "C") is None


def test_a_box_alone_still_has_two_sides():
    job = judged("reedbed-hide").state.job
    for name in job.boxes:
        assert len(sides(job, name, None, None)) == 2


# ---------------------------------------------------------------- the line as a whole


def test_the_line_goes_from_the_feed_to_the_far_end():
    judgement = judged("reedbed-hide")
    line = run_line(judgement, "hide")
    assert [box.id for box in line.boxes] == ["S", "L1", "A1", "J1", "A2", "L2", "C"]
    assert [span.id for span in line.spans] == ["C1", "C2", "C3", "C4", "C5", "C6"]
    assert [stop.id for stop in line.stops] == ["hut", "sluice", "hide"]
    assert line.here == "hide" and line.branches == ()
    assert run_length_m(judgement) == 470


def test_the_splitters_branches_are_told_apart():
    judgement = judged("tide-mill")
    line = run_line(judgement)
    assert [box.id for box in line.boxes] == ["S", "R1", "R2", "X", "G"], "the farther end is main"
    (branch,) = line.branches
    assert [box.id for box in branch.boxes] == ["P"]
    assert [span.id for span in branch.spans] == ["C4"]
    assert paths(judgement.prediction).branches == (("X", ("P",)),)
    assert run_length_m(judgement) == 88 + 83 + 65 + 9


def test_branches_within_branches_lose_no_box():
    parts = [source(), run(5), active(0.2, "splitter")]
    inner = [run(5), active(0.2, "splitter"), [[run(5), endpoint(1)], [run(9), endpoint(1)]]]
    doc = chain(*parts, [inner, [run(7), endpoint(1)]])
    line = run_line(judge(read_job(doc)))
    drawn = [box.id for box in line.boxes] + [b.id for one in line.branches for b in one.boxes]
    assert sorted(drawn) == sorted(box["id"] for box in doc["boxes"])
    spans = [s.id for s in line.spans] + [s.id for one in line.branches for s in one.spans]
    assert sorted(spans) == sorted(span["id"] for span in doc["spans"])


def test_a_plan_without_a_source_still_has_a_line():
    doc = sample("orchard-gate")
    doc["spans"], doc["log"] = doc["spans"][1:], []
    judgement = judge(read_job(doc))
    assert {box.id for box in run_line(judgement).boxes} == {"S", "R1", "E"}
    assert fall_points(judgement)["E"].expected is None
    assert set(ordered_points(judgement.prediction)) == set(judgement.prediction.points)


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_all_points_stand_once_in_run_order(name):
    prediction = judged(name).prediction
    points = ordered_points(prediction)
    assert len(set(points)) == len(points) and set(points) == set(prediction.points)
    fed = [point for point in points if prediction.points[point].feed is not None]
    assert list(points[: len(fed)]) == fed, "what no feed reaches comes last"


# ---------------------------------------------------------------- volts


def test_the_volts_along_the_line_fall_and_carry_what_was_read():
    judgement = judged("orchard-gate", GOOD_R1, LOW_E)
    points = fall_points(judgement)
    assert points["S"].expected > points["R1"].expected > points["E"].expected
    assert (points["R1"].reading, points["R1"].verdict) == (50.9, INSIDE)
    assert (points["E"].reading, points["E"].verdict) == (43.0, OUTSIDE)
    low = judgement.prediction.points[Point("E", "in")].volts.low
    assert points["E"].low == low
    assert points["E"].dimension == dimension(verdict_of(judgement, "r1"))
    assert points["R1"].dimension == "" and points["S"].reading is None


def test_the_dimension_is_measured_from_the_end_of_the_band():
    for reading, end, low in ((LOW_R1, "low", True), (("R1.in", "volts", 57.9), "high", False)):
        found = verdict_of(judged("orchard-gate", reading), "r0")
        by = abs(getattr(found.band, end) - reading[2])
        assert dimension(found) == words.off_by(by, "volts", low=low)


def test_earlier_readings_stay_beside_the_last():
    judgement = judged("orchard-gate", ("R1.in", "volts", 50.8), ("R1.in", "volts", 51.0))
    assert fall_points(judgement)["R1"].reading == 51.0
    assert fall_points(judgement)["R1"].earlier == (50.8,)


def test_a_minus_from_swapped_tips_is_drawn_as_its_size():
    judgement = judged("orchard-gate", ("R1.in", "volts", -50.9))
    assert fall_points(judgement)["R1"].reading == 50.9
    assert word(judgement, 0) == INSIDE


def test_the_floor_is_the_highest_cut_off_and_the_farthest_box_that_has_it():
    assert floor_of(judged("reedbed-hide").prediction) == (36, "C")
    assert floor_of(judged("tide-mill").prediction)[0] == 38
    doc = sample("orchard-gate")
    doc["sheets"]["my.repeater"]["cutoff_volts"] = 39
    assert floor_of(judge(read_job(doc)).prediction) == (39, "R1")
    doc = deepcopy(doc)
    doc["boxes"], doc["spans"], doc["log"] = doc["boxes"][:1], [], []
    assert floor_of(judge(read_job(doc)).prediction) is None


def test_the_last_good_box_before_a_point():
    judgement = judged("orchard-gate", GOOD_R1, LOW_E)
    assert last_good_before(judgement, "E.in") == "R1"
    assert last_good_before(judgement, "R1.in") is None
    assert last_good_before(judgement, "Q.in") is None
    assert last_good_before(judged("orchard-gate", LOW_R1, LOW_E), "E.in") is None


def test_a_verdict_is_found_by_its_entry_and_only_by_it():
    judgement = judged("orchard-gate", GOOD_R1)
    assert verdict_of(judgement, "r0").reading.value == 50.9
    assert verdict_of(judgement, "r9") is None
    assert latest_at(judgement, "E.in") is None
    assert latest_at(judgement, "R1.in", "milliamps") is None


# ---------------------------------------------------------------- today's fan


def test_there_is_no_fan_of_today_before_anything_was_read():
    judgement = judged("reedbed-hide")
    assert not has_learned(judgement)
    assert all(point.today_low is None for point in fall_points(judgement, today=True).values())
    ohms = judged("reedbed-hide", ("EB1", "earth_ohms", 4.0))
    assert not has_learned(ohms), "an earth says nothing about the volts"


def test_the_fan_of_today_lies_in_that_of_the_design_and_only_where_it_is_asked_for():
    judgement = judged("reedbed-hide", ("S.out", "volts", 53.9), ("J1.a", "volts", 51.5))
    assert has_learned(judgement)
    points = fall_points(judgement, today=True)
    for name in ("A2", "L2", "C"):
        point = points[name]
        assert point.low < point.today_low < point.today_high < point.high
    assert all(point.today_low is None for point in fall_points(judgement).values())


def test_what_is_outside_narrows_nothing():
    alone = judged("reedbed-hide", ("L2.in", "volts", 40.0))
    assert word(alone, 0) == OUTSIDE and not has_learned(alone)
    good = ("S.out", "volts", 53.9)
    without = fall_points(judged("reedbed-hide", good), today=True)["C"]
    beside = fall_points(judged("reedbed-hide", good, ("L2.in", "volts", 40.0)), today=True)["C"]
    assert (beside.today_low, beside.today_high) == pytest.approx(
        (without.today_low, without.today_high)
    )
