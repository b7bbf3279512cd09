"""The log: its order knows no clock, its fold knows no typing order, and nothing in it is lost."""

from __future__ import annotations

import copy
import random
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logs import entry, ids, log, reading, state
from samples import planned

from engine.entries import Entry
from engine.jobfile import parse_json, read_job, write
from engine.judge import judge
from engine.log import fold, ordered

pytestmark = pytest.mark.pure


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
    doc = planned("orchard-gate")
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
    doc = planned("orchard-gate")
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
    doc = {**planned("orchard-gate"), "log": log(*BUSY)}
    file = read_job(parse_json(write(doc)))
    assert file.doc["log"] == doc["log"]
    assert [one.id for one in fold(file).entries] == [one["id"] for one in doc["log"]]


def test_the_plan_as_first_agreed_is_not_touched():
    doc = {**planned("orchard-gate"), "log": log(*BUSY)}
    before = copy.deepcopy(doc)
    file = read_job(doc)
    judge(file)
    assert doc == before
    assert file.plan.spans["C2"].length_m.expected == 92


# ---------------------------------------------------------------- steps, waivers, notes


def steps(doc: dict, *bodies: dict) -> dict:
    return {one.id: one for one in judge(read_job({**doc, "log": log(*bodies)})).steps}


def mark(step: str, word: str = "done") -> dict:
    return {"what": "step", "step": step, "state": word}


def test_steps_are_done_undone_and_not_here():
    doc = planned("reedbed-hide")
    assert steps(doc)["fit.L1"].state == "open"
    assert steps(doc, mark("fit.L1"))["fit.L1"].state == "done"
    assert steps(doc, mark("fit.L1"), mark("fit.L1", "undone"))["fit.L1"].state == "open"
    assert steps(doc, mark("fit.L1", "not-here"))["fit.L1"].state == "not-here"
    again = [mark("fit.L1"), mark("fit.L1", "undone"), mark("fit.L1")]
    assert steps(doc, *again)["fit.L1"].state == "done"
    assert steps(doc, mark("fit.NIX"))["fit.L1"].state == "open"


def test_undoing_a_step_reopens_what_rested_on_it():
    doc = planned("reedbed-hide")
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
        planned("orchard-gate"),
        {"what": "waive", "of": "step.cold.S", "reason": "client asleep", "role": "guest"},
        {"what": "note", "at": "C2", "text": "wet"},
        {"what": "note", "text": "dry"},
    )
    waiver = job.waivers["step.cold.S"]
    assert (waiver.reason, waiver.by, waiver.role) == ("client asleep", "Ida", "guest")
    assert [(note.at, note.text) for note in job.notes] == [("C2", "wet"), (None, "dry")]


def test_a_strange_clock_is_no_traceback():
    doc = planned("orchard-gate")
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
    doc = planned("orchard-gate")
    bodies = [reading("E.in", 48 + dice.random(), moment=f"m{n}") for n in range(1000)]
    assert len(state(doc, *bodies).current) == 1000
