"""The log: its order knows no clock, its fold knows no typing order, and nothing in it is lost."""

from __future__ import annotations

import copy
import random
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import sample

from engine.entries import Entry, read_entry
from engine.jobfile import parse_json, read_job, write
from engine.judge import judge
from engine.log import State, fold, ordered

pytestmark = pytest.mark.pure


def log(*bodies: dict) -> list[dict]:
    """Entries of one device, counted from 1; a body may set any key itself."""
    return [
        {"id": f"e{count}", "device": "d", "n": count, "by": "Ida", **body}
        for count, body in enumerate(bodies, start=1)
    ]


def state(doc: dict, *bodies: dict) -> State:
    """The state of a job after these entries."""
    return fold(read_job({**doc, "log": log(*bodies)}))


def reading(at: str, value: float = 50.0, kind: str = "volts", **more) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, **more}


def entry(ident: str, device: str, n: int, seen: dict | None = None, **more) -> Entry:
    head = {"id": ident, "device": device, "n": n, "what": "note", "text": ident, **more}
    return read_entry(head if seen is None else {**head, "seen": seen})


def ids(entries) -> list[str]:
    return [one.id for one in ordered(entries)]


# ---------------------------------------------------------------- order


def test_one_device_counts():
    entries = [entry(name, "a", n) for name, n in (("z", 1), ("y", 2), ("x", 3))]
    for order in permutations(entries):
        assert ids(order) == ["z", "y", "x"]


def test_an_entry_comes_after_all_that_it_has_seen():
    far = [entry("b1", "b", 1), entry("b2", "b", 2), entry("b3", "b", 3)]
    one = entry("a1", "a", 1, {"b": 2})
    assert ids([one, *far]).index("a1") > ids([one, *far]).index("b2")


def test_what_has_not_seen_each_other_goes_by_count_and_greatest_seen_then_device_then_id():
    # a1 has seen three entries of a phone that is not here: 1 + 3, level with b4
    entries = [entry("a1", "a", 1, {"gone": 3}), *(entry(f"b{n}", "b", n) for n in range(1, 6))]
    assert ids(entries) == ["b1", "b2", "b3", "a1", "b4", "b5"]
    assert ids([entry("k", "b", 1), entry("m", "a", 1)]) == ["m", "k"]
    assert ids([entry("m", "a", 1), entry("k", "a", 1)]) == ["k", "m"]


def test_the_own_device_need_not_stand_in_seen():
    entries = [entry("a2", "a", 2, {"b": 0}), entry("a1", "a", 1, {"b": 9}), entry("b1", "b", 1)]
    assert ids(entries) == ["b1", "a1", "a2"]


def test_seen_of_what_is_not_here_yet_does_not_matter():
    """Files travel by hand: the entries that were seen may not have arrived."""
    assert ids([entry("a1", "a", 1, {"gone": 7}), entry("b1", "b", 1, {"a": 5})]) == ["a1", "b1"]
    assert ids([entry("a9", "a", 9, {"b": 3}), entry("a4", "a", 4)]) == ["a4", "a9"]


def test_missing_seen_and_missing_count_take_the_place_in_the_file():
    doc = sample("orchard-gate")
    doc["log"] = [{"id": name, "what": "note", "text": name} for name in ("z", "m", "a")]
    assert [one.id for one in fold(read_job(doc)).entries] == ["z", "m", "a"]


def test_clocks_never_decide():
    early, late = "2031-05-04T08:00:00Z", "2031-05-04T20:00:00Z"
    entries = [entry("a1", "a", 1, t=late), entry("a2", "a", 2, t=early)]
    assert ids(entries) == ["a1", "a2"]
    entries = [entry("b1", "b", 1, t=early), entry("a1", "a", 1, {"b": 0}, t=late)]
    assert ids(entries) == ["a1", "b1"]


def test_a_circle_of_seen_still_gives_all_entries_in_one_order():
    circle = [entry("a1", "a", 1, {"b": 1}), entry("b1", "b", 1, {"a": 1}), entry("c1", "c", 1)]
    results = {tuple(ids(order)) for order in permutations(circle)}
    assert len(results) == 1
    assert sorted(results.pop()) == ["a1", "b1", "c1"]


def test_twins_in_number_both_come_before_what_has_seen_them():
    """Two phones restored from one backup count alike; who saw that count saw both."""
    entries = [
        entry("y", "a", 1),
        entry("x", "a", 1, {"q": 9}),
        entry("b1", "b", 1, {"a": 1}),
    ]
    assert ids(entries)[-1] == "b1"


@st.composite
def histories(draw) -> list[Entry]:
    """Entries of three devices that look at each other now and then, as phones do."""
    held = {name: dict.fromkeys("abc", 0) for name in "abc"}
    out = []
    for count in range(draw(st.integers(1, 14))):
        device = draw(st.sampled_from("abc"))
        if draw(st.booleans()):
            other = draw(st.sampled_from("abc"))
            for name, n in held[other].items():
                held[device][name] = max(held[device][name], n)
        held[device][device] += 1
        seen = {k: v for k, v in held[device].items() if v and k != device}
        hidden = draw(st.booleans()) and not seen
        out.append(entry(f"e{count}", device, held[device][device], None if hidden else dict(seen)))
    return out


@settings(max_examples=80, deadline=None, derandomize=True)
@given(histories(), st.randoms(use_true_random=False))
def test_the_order_holds_every_seen_and_does_not_depend_on_the_file(entries, dice):
    order = ordered(entries)
    shuffled = list(entries)
    dice.shuffle(shuffled)
    assert ordered(shuffled) == order
    assert ordered([*shuffled, *entries[:2]])  # a copy of an entry changes nothing
    place = {one.id: i for i, one in enumerate(order)}
    assert sorted(place) == sorted(one.id for one in entries)
    for one in entries:
        for other in entries:
            known = one.n - 1 if other.device == one.device else one.seen.get(other.device, 0)
            if other.id != one.id and other.n <= known:
                assert place[other.id] < place[one.id]


@settings(max_examples=80, deadline=None, derandomize=True)
@given(
    st.lists(
        st.tuples(
            st.sampled_from("ab"),
            st.integers(1, 4),
            st.dictionaries(st.sampled_from("abz"), st.integers(0, 5), max_size=3),
        ),
        max_size=8,
    ),
    st.randoms(use_true_random=False),
)
def test_any_seen_however_contradictory_gives_one_total_order(rows, dice):
    entries = [entry(f"e{i}", device, n, seen) for i, (device, n, seen) in enumerate(rows)]
    order = ids(entries)
    assert sorted(order) == sorted(one.id for one in entries)
    dice.shuffle(entries)
    assert ids(entries) == order


# ---------------------------------------------------------------- the fold

BUSY = [
    reading("R1.in", 51, meter="M1", t="2031-05-04T08:00:00Z"),
    reading("R1.in", 50.9, meter="M1", t="2031-05-04T08:01:00Z"),
    {"what": "step", "step": "fit.R1", "state": "done"},
    {
        "what": "set",
        "path": ["spans", "C2", "length_m"],
        "value": 95,
        "was": 92,
        "as": "correction",
    },
    reading("E.in", 48, meter="M1", moment="noon"),
    {"what": "change", "where": "C2", "did": "new plug"},
    reading("E.in", 48.4, meter="M1", moment="dusk"),
    {"what": "void", "of": "e1", "why": "wrong port"},
    {"what": "waive", "of": "step.cold.S", "reason": "client asleep"},
    {"what": "note", "at": "C2", "text": "wet"},
    {"what": "step", "step": "fit.R1", "state": "undone", "why": "wrong wall"},
    {"what": "set", "path": ["title"], "value": "Orchard gate, north", "as": "correction"},
    {"what": "weather", "sky": "grey"},
]


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.randoms(use_true_random=False))
def test_the_fold_does_not_depend_on_the_order_in_the_file(dice):
    doc = sample("orchard-gate")
    entries = log(*BUSY)
    for one in entries[::3]:
        one |= {"device": "k", "seen": {"d": one["n"] - 1}}
    straight = fold(read_job({**doc, "log": entries}))
    dice.shuffle(entries)
    shuffled = fold(read_job({**doc, "log": entries}))
    assert shuffled == straight
    cut = dice.randrange(len(entries))
    halves = read_job({**doc, "log": entries[:cut]}), read_job({**doc, "log": entries[cut:]})
    assert fold(halves[0], halves[1].entries) == straight


def test_every_entry_is_kept_in_the_state_and_in_the_file():
    doc = {**sample("orchard-gate"), "log": log(*BUSY)}
    file = read_job(parse_json(write(doc)))
    assert file.doc["log"] == doc["log"]
    assert [one.id for one in fold(file).entries] == [one["id"] for one in doc["log"]]


def test_the_plan_as_first_agreed_is_not_touched():
    doc = {**sample("orchard-gate"), "log": log(*BUSY)}
    before = copy.deepcopy(doc)
    file = read_job(doc)
    judge(file)
    assert doc == before
    assert file.plan.spans["C2"].length_m.expected == 92


# ---------------------------------------------------------------- which readings live


def current(job: State) -> list[str]:
    return sorted(job.current)


def test_void_takes_a_reading_back():
    job = state(sample("orchard-gate"), reading("R1.in"), {"what": "void", "of": "e1"})
    assert current(job) == []
    assert len(job.entries) == 2


def test_void_of_a_void_gives_it_back():
    """Undo is a new entry, and so is the undo of an undo."""
    doc = sample("orchard-gate")
    twice = [{"what": "void", "of": "e1"}, {"what": "void", "of": "e2"}]
    assert current(state(doc, reading("R1.in"), *twice)) == ["e1"]
    assert current(state(doc, reading("R1.in"), *twice, {"what": "void", "of": "e3"})) == []


def test_void_works_on_every_kind():
    doc = sample("orchard-gate")
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
    doc = sample("orchard-gate")
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
    doc = sample("orchard-gate")
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
    return [one.moment for one in state(sample("orchard-gate"), *bodies).readings]


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
    job = state(sample("orchard-gate"), *bodies)
    assert [one.moment for one in job.readings] == ["e1", "e2", "e2"]


def test_a_moment_keeps_its_name_when_its_first_reading_is_taken_back():
    at = "2031-05-04T08:{:02}:00Z".format
    job = state(
        sample("orchard-gate"),
        reading("E.in", t=at(0)),
        reading("E.in", 280, "milliamps", t=at(1)),
        {"what": "void", "of": "e1"},
    )
    assert [one.moment for one in job.readings] == ["e1", "e1"]


def test_without_a_time_each_reading_is_its_own_moment():
    assert current(state(sample("orchard-gate"), reading("E.in"), reading("E.in"))) == ["e1", "e2"]


def test_with_and_places_are_compared_without_case():
    doc = sample("orchard-gate")
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
        state(sample("orchard-gate"), reading("E.in", **{"with": {"E": "on"}}))
        .readings[0]
        .standing.as_planned
    )


def test_a_repeat_that_is_taken_back_gives_way_to_what_it_replaced():
    first = reading("E.in", moment="noon")
    doc = sample("orchard-gate")
    log = [first, first, first, {"what": "void", "of": "e3"}]
    assert current(state(doc, *log)) == ["e2"]
    assert current(state(doc, *log, {"what": "void", "of": "e2"})) == ["e1"]
    change = {"what": "change", "where": "C2", "did": "x"}
    assert current(state(doc, first, change, first, {"what": "void", "of": "e3"})) == []


def test_a_change_taken_back_ends_nothing():
    change = {"what": "change", "where": "C2", "did": "x"}
    log = [reading("E.in", moment="noon"), change, {"what": "void", "of": "e2"}]
    assert current(state(sample("orchard-gate"), *log)) == ["e1"]


def test_a_reading_knows_its_place_its_visit_and_what_was_noted_with_it():
    visit = {"what": "visit", "people": 2}
    noted = {"unsteady": [51, 49], "celsius": 31}
    job = state(
        sample("orchard-gate"),
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
    doc = sample("reedbed-hide")
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
    doc = sample("orchard-gate")
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
    doc = sample("orchard-gate")
    assert state(doc, old).readings[0].standing == state(doc, new).readings[0].standing


@pytest.mark.parametrize("where", ["C2", "E", "E.in", "R1", "R1.out", "C1", "S"])
def test_a_change_ends_older_readings_of_its_run(where):
    change = {"what": "change", "where": where, "did": "new plug"}
    doc = sample("orchard-gate")
    assert current(state(doc, reading("R1.in"), reading("E.in"), change)) == []
    assert current(state(doc, change, reading("R1.in"), reading("E.in"))) == ["e2", "e3"]


def test_a_change_does_not_reach_through_a_box_that_makes_its_own_volts():
    """In the tide mill three runs follow each other: S to R1, R1 to R2, R2 to the ends."""
    doc = sample("tide-mill")
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
    doc = sample("orchard-gate")
    for where in ("C9", "nowhere", "S2.out"):
        change = {"what": "change", "where": where, "did": "x"}
        assert current(state(doc, reading("E.in"), change)) == ["e1"]


def _two_feeds() -> dict:
    doc = sample("orchard-gate")
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


# ---------------------------------------------------------------- steps, waivers, notes


def steps(doc: dict, *bodies: dict) -> dict:
    return {one.id: one for one in judge(read_job({**doc, "log": log(*bodies)})).steps}


def mark(step: str, word: str = "done") -> dict:
    return {"what": "step", "step": step, "state": word}


def test_steps_are_done_undone_and_not_here():
    doc = sample("reedbed-hide")
    assert steps(doc)["fit.L1"].state == "open"
    assert steps(doc, mark("fit.L1"))["fit.L1"].state == "done"
    assert steps(doc, mark("fit.L1"), mark("fit.L1", "undone"))["fit.L1"].state == "open"
    assert steps(doc, mark("fit.L1", "not-here"))["fit.L1"].state == "not-here"
    again = [mark("fit.L1"), mark("fit.L1", "undone"), mark("fit.L1")]
    assert steps(doc, *again)["fit.L1"].state == "done"
    assert steps(doc, mark("fit.NIX"))["fit.L1"].state == "open"


def test_undoing_a_step_reopens_what_rested_on_it():
    doc = sample("reedbed-hide")
    chain = [mark(name) for name in ("off.S", "bond.A1", "fit.A1", "look.site", "fit.A2")]
    found = steps(doc, *chain, mark("bond.A1", "undone"))
    assert found["fit.A1"].state == "open" and found["fit.A1"].reopened_by == "bond.A1"
    assert found["look.site"].state == "open"
    assert found["look.site"].reopened_by in ("bond.A1", "fit.A1")
    assert found["off.S"].state == "done"
    assert found["fit.A2"].state == "done", "it stands at another stop"
    again = [mark("bond.A1", "undone"), mark("bond.A1")]
    assert steps(doc, *chain, *again)["fit.A1"].state == "open"
    later = steps(doc, *chain, *again, mark("fit.A1"), mark("look.site"))
    assert later["fit.A1"].state == later["look.site"].state == "done"


def test_waive_and_note_are_kept():
    job = state(
        sample("orchard-gate"),
        {"what": "waive", "of": "step.cold.S", "reason": "client asleep", "role": "guest"},
        {"what": "note", "at": "C2", "text": "wet"},
        {"what": "note", "text": "dry"},
    )
    waiver = job.waivers["step.cold.S"]
    assert (waiver.reason, waiver.by, waiver.role) == ("client asleep", "Ida", "guest")
    assert [(note.at, note.text) for note in job.notes] == [("C2", "wet"), (None, "dry")]


def test_a_strange_clock_is_no_traceback():
    doc = sample("orchard-gate")
    for text in (
        "2031-13-45T99:99:99Z",
        "0001-01-01T00:00:00+23:59",
        "9999-12-31T23:59:59-23:59",
        "2031-05-04T08:00:00.123456789Z",
        "2031-05-04T08:00Z",
    ):
        judge(read_job({**doc, "log": log(reading("E.in", t=text), reading("E.in", t=text))}))
        mixed = [reading("E.in", t="2031-05-04T08:00:00Z"), reading("E.in", t=text)]
        assert len(state(doc, *mixed).readings) == 2


def test_a_thousand_readings_fold_quickly():
    """Not a benchmark: only that nothing in the fold grows with the square of the log."""
    dice = random.Random(7)
    doc = sample("orchard-gate")
    bodies = [reading("E.in", 48 + dice.random(), moment=f"m{n}") for n in range(1000)]
    assert len(state(doc, *bodies).current) == 1000
