"""Which readings of a log are current: taken back, repeated, of one moment, ended by a change."""

from __future__ import annotations

import pytest
from logs import current, reading, state
from samples import planned

pytestmark = pytest.mark.pure


def test_void_takes_a_reading_back():
    job = state(planned("orchard-gate"), reading("R1.in"), {"what": "void", "of": "e1"})
    assert current(job) == []
    assert len(job.entries) == 2


def test_void_of_a_void_gives_it_back():
    """Undo is a new entry, and so is the undo of an undo."""
    doc = planned("orchard-gate")
    twice = [{"what": "void", "of": "e1"}, {"what": "void", "of": "e2"}]
    assert current(state(doc, reading("R1.in"), *twice)) == ["e1"]
    assert current(state(doc, reading("R1.in"), *twice, {"what": "void", "of": "e3"})) == []


def test_void_works_on_every_kind():
    doc = planned("orchard-gate")
    job = state(
        doc,
        {"what": "step", "step": "fit.R1", "state": "done"},
        {"what": "set", "path": ["title"], "value": "x"},
        {"what": "waive", "of": "step.cold.S", "reason": "r"},
        {"what": "change", "where": "C1", "did": "d"},
        *({"what": "void", "of": f"e{n}"} for n in (1, 2, 3, 4)),
    )
    assert (job.steps, job.waivers, job.job.title) == ({}, {}, "Orchard gate")


def test_a_repeat_replaces_only_the_same_point_kind_standing_and_moment():
    first = reading("E.in", 48, moment="noon")
    doc = planned("orchard-gate")
    assert current(state(doc, first, {**first, "value": 48.2})) == ["e2"]
    for other in (
        {"moment": "dusk"},
        {"at": "R1.in"},
        {"kind": "watts"},
        {"with": {"E": "off"}},
        {"with": {"*": "off"}},
        {"with": {"E": {"watts": 15}}},
    ):
        assert current(state(doc, first, {**first, **other})) == ["e1", "e2"], other
    loads = [{**first, "with": {"E": {"watts": watts}}} for watts in (15, 16)]
    assert current(state(doc, *loads)) == ["e1", "e2"]
    assert current(state(doc, loads[0], loads[0])) == ["e2"]


def test_the_moment_is_two_minutes_at_one_stop_with_one_device():
    doc = planned("orchard-gate")
    at = "2031-05-04T08:{:02}:00Z".format
    near = [reading("E.in", t=at(0)), reading("E.in", t=at(2))]
    apart = [reading("E.in", t=at(0)), reading("E.in", t=at(3))]
    assert current(state(doc, *near)) == ["e2"]
    assert current(state(doc, *apart)) == ["e1", "e2"]
    near[1] |= {"device": "k", "n": 1, "seen": {"d": 1}}
    assert current(state(doc, *near)) == ["e1", "e2"]
    both = state(doc, reading("E.in", t=at(0)), reading("E.in", 280, "milliamps", t=at(1)))
    assert both.readings[0].moment == both.readings[1].moment
    stops = state(doc, reading("R1.out", t=at(0)), reading("E.in", t=at(1)))
    assert stops.readings[0].moment != stops.readings[1].moment


def moments(*times: str, **keys) -> list[str]:
    """The moments of readings at one point at these times, in this order."""
    bodies = [reading("E.in", t=f"2031-05-04T{time}Z", **keys) for time in times]
    return [one.moment for one in state(planned("orchard-gate"), *bodies).readings]


def test_a_moment_is_two_minutes_from_its_first_reading_and_no_chain_of_them():
    """An hour of readings a minute apart is no one moment, or all but the last were replaced."""
    assert moments("08:00:00", "08:01:30", "08:02:00", "08:03:00", "08:04:30") == [
        *["e1"] * 3,
        *["e4"] * 2,
    ]


def test_a_clock_that_is_set_begins_a_new_moment():
    assert moments("08:00:00", "07:00:00", "07:01:00", "08:00:30") == ["e1", "e2", "e2", "e4"]
    assert moments("08:01:00", "08:00:00") == ["e1", "e1"], "a little back is still together"
    bodies = [reading("E.in", t=f"{year}-05-04T08:00:00Z") for year in (2031, 2041, 2041)]
    job = state(planned("orchard-gate"), *bodies)
    assert [one.moment for one in job.readings] == ["e1", "e2", "e2"]


def test_a_moment_keeps_its_name_when_its_first_reading_is_taken_back():
    at = "2031-05-04T08:{:02}:00Z".format
    job = state(
        planned("orchard-gate"),
        reading("E.in", t=at(0)),
        reading("E.in", 280, "milliamps", t=at(1)),
        {"what": "void", "of": "e1"},
    )
    assert [one.moment for one in job.readings] == ["e1", "e1"]


def test_without_a_time_each_reading_is_its_own_moment():
    assert current(state(planned("orchard-gate"), reading("E.in"), reading("E.in"))) == ["e1", "e2"]


def test_with_and_places_are_compared_without_case():
    doc = planned("orchard-gate")
    first = reading("E.in", moment="noon", **{"with": {"E": {"watts": 9}}})
    other = reading("e.in", moment="noon", **{"with": {"e": {"watts": 9}}})
    job = state(doc, first, other)
    assert current(job) == ["e2"]
    assert {one.at for one in job.readings} == {"E.in"}
    open_ = [reading(at, moment="noon", **{"with": {"*": "off"}}) for at in ("R1.out", "r1.out")]
    job = state(doc, *open_)
    assert current(job) == ["e2"]
    assert str(job.readings[1].standing.beyond) == "R1.out"


def test_a_box_that_is_on_stands_as_planned():
    assert (
        state(planned("orchard-gate"), reading("E.in", **{"with": {"E": "on"}}))
        .readings[0]
        .standing.as_planned
    )


def test_a_repeat_that_is_taken_back_gives_way_to_what_it_replaced():
    first = reading("E.in", moment="noon")
    doc = planned("orchard-gate")
    log = [first, first, first, {"what": "void", "of": "e3"}]
    assert current(state(doc, *log)) == ["e2"]
    assert current(state(doc, *log, {"what": "void", "of": "e2"})) == ["e1"]
    change = {"what": "change", "where": "C2", "did": "x"}
    assert current(state(doc, first, change, first, {"what": "void", "of": "e3"})) == []


def test_a_change_taken_back_ends_nothing():
    change = {"what": "change", "where": "C2", "did": "x"}
    log = [reading("E.in", moment="noon"), change, {"what": "void", "of": "e2"}]
    assert current(state(planned("orchard-gate"), *log)) == ["e1"]


def test_a_reading_knows_its_place_its_visit_and_what_was_noted_with_it():
    visit = {"what": "visit", "people": 2}
    noted = {"unsteady": [51, 49], "celsius": 31}
    job = state(
        planned("orchard-gate"),
        reading("E.in", moment="a"),
        visit,
        reading("E.in", moment="b", **noted),
        reading("E.in", 7, "error_count", seconds=60, moment="c"),
        visit,
        {"what": "void", "of": "e5"},
        reading("E.in", moment="d", unsteady=[50]),
    )
    assert [(one.place, one.visit) for one in job.readings] == [(0, 0), (2, 1), (3, 1), (6, 1)]
    assert (job.readings[1].unsteady, job.readings[1].celsius) == ((49, 51), 31)
    assert job.readings[2].seconds == 60
    assert job.readings[3].unsteady is None


def test_a_reading_where_nothing_is_any_more_is_not_current():
    doc = planned("reedbed-hide")
    log = [reading("C6", 3, "loop_ohms"), reading("S.out")]
    assert current(state(doc, *log)) == ["e1", "e2"]
    gone = state(doc, *log, {"what": "remove", "path": ["spans", "C6"]})
    assert current(gone) == ["e2"]
    assert [(odd.entry, odd.say.code) for odd in gone.oddities] == [("e1", "odd-reading")]
    back = {"what": "void", "of": "e3"}
    assert current(state(doc, *log, {"what": "remove", "path": ["spans", "C6"]}, back)) == [
        "e1",
        "e2",
    ]


def test_a_change_of_what_no_feed_reaches_yet_ends_its_own_readings():
    """The reel is measured before anything is plugged in."""
    doc = planned("orchard-gate")
    doc["spans"] = doc["spans"][1:]
    change = {"what": "change", "where": "C2", "did": "another reel"}
    assert current(state(doc, reading("C2", 9, "loop_ohms"), change)) == []
    assert current(state(doc, reading("C2", 9, "loop_ohms"), {**change, "where": "S"})) == ["e1"]


@pytest.mark.parametrize(
    ("state_word", "with_"), [("loaded", {}), ("open", {"*": "off"}), ("loaded", None)]
)
def test_the_old_state_is_shorthand(state_word, with_):
    old = reading("E.in", state=state_word)
    new = reading("E.in") if with_ is None else reading("E.in", **{"with": with_})
    doc = planned("orchard-gate")
    assert state(doc, old).readings[0].standing == state(doc, new).readings[0].standing


@pytest.mark.parametrize("where", ["C2", "E", "E.in", "R1", "R1.out", "C1", "S"])
def test_a_change_ends_older_readings_of_its_run(where):
    change = {"what": "change", "where": where, "did": "new plug"}
    doc = planned("orchard-gate")
    assert current(state(doc, reading("R1.in"), reading("E.in"), change)) == []
    assert current(state(doc, change, reading("R1.in"), reading("E.in"))) == ["e2", "e3"]


def test_a_change_does_not_reach_through_a_box_that_makes_its_own_volts():
    """In the tide mill three runs follow each other: S to R1, R1 to R2, R2 to the ends."""
    doc = planned("tide-mill")
    first, second, third = (
        ["S.out", "R1.in", "C1"],
        ["R1.out", "R2.in", "C2"],
        ["R2.out", "X.in", "P.in", "C3", "C5"],
    )
    points = [*first, *second, *third]
    bodies = [reading(at, 20, "loop_ohms" if "." not in at else "volts") for at in points]
    for where, ended in (("C1", first), ("C2", second), ("C3", third), ("R1.out", second)):
        job = state(doc, *bodies, {"what": "change", "where": where, "did": "x"})
        alive = {one.at for one in job.readings if job.is_current(one)}
        assert alive == set(points) - set(ended), where


def test_a_change_elsewhere_and_an_unknown_place_end_nothing():
    doc = planned("orchard-gate")
    for where in ("C9", "nowhere", "S2.out"):
        change = {"what": "change", "where": where, "did": "x"}
        assert current(state(doc, reading("E.in"), change)) == ["e1"]


def _two_feeds() -> dict:
    doc = planned("orchard-gate")
    doc["boxes"] += [
        {"id": "T", "sheet": "my.switch", "stop": "press"},
        {"id": "F", "sheet": "my.intercom", "stop": "shed"},
    ]
    doc["spans"].append({**doc["spans"][0], "id": "C9", "from": "T.out", "to": "F.in"})
    return doc


def test_two_feeds_are_two_runs():
    change = {"what": "change", "where": "F", "did": "x"}
    job = state(_two_feeds(), reading("E.in"), reading("F.in"), change)
    assert current(job) == ["e1"]


def test_a_run_stays_the_same_run_when_another_leaves_the_plan():
    job = state(
        _two_feeds(),
        reading("F.in"),
        {"what": "change", "where": "F", "did": "x"},
        {"what": "remove", "path": ["spans", "C1"], "as": "correction"},
        {"what": "remove", "path": ["boxes", "S"], "as": "correction"},
    )
    assert not job.left_out
    assert current(job) == []
