"""What is strange in a log: kept, in force as far as it can be, told, and never a traceback."""

from __future__ import annotations

import json
from itertools import permutations
from pathlib import Path

import pytest

from engine.entries import Entry, read_entry
from engine.jobfile import read_job
from engine.log import State, advance, fold
from engine.merge import TWINS, merged
from engine.phrases import english

pytestmark = pytest.mark.pure

SAMPLE = Path(__file__).parent.parent / "sample_jobs" / "orchard-gate.json"
DOC = {**json.loads(SAMPLE.read_text(encoding="utf-8")), "log": []}
FILE = read_job(DOC)


def entry(ident: str, n: int, device: str = "d", **body) -> Entry:
    body = body or {"what": "note", "text": ident}
    return read_entry({"id": ident, "device": device, "n": n, "by": "Ida", **body})


def reading(ident: str, n: int, value: float = 50, at: str = "E.in", **more) -> Entry:
    body = {"what": "reading", "at": at, "kind": "volts", "value": value, "moment": "noon"}
    return entry(ident, n, **body, **more)


def void(ident: str, n: int, of: str, **more) -> Entry:
    return entry(ident, n, what="void", of=of, **more)


def told(*entries: Entry) -> list[tuple[str, str]]:
    """The oddities of a log, whatever order it came in; each has its words."""
    states = [fold(FILE, order) for order in permutations(entries)]
    assert all(one == states[0] for one in states)
    grown = fold(FILE)
    for one in entries:
        grown = advance(grown, [one])
    assert grown == states[0]
    assert all(english(odd.say).text for odd in states[0].oddities)
    return codes(states[0])


def codes(state: State) -> list[tuple[str, str]]:
    return [(odd.entry, odd.say.code) for odd in state.oddities]


def test_a_plain_log_has_nothing_odd():
    log = reading("r1", 1), reading("r2", 2, device="k"), void("v1", 3, "r1")
    assert told(*log) == []


# ---------------------------------------------------------------- twins


def test_of_two_under_one_id_one_stands_and_the_other_lies_beside():
    one, other, later = reading("r1", 1, 51), reading("r1", 1, 48), void("v1", 2, "nix")
    assert ("r1", "odd-twin") in told(one, other, later)
    state = fold(FILE, (one, other))
    assert [one.id for one in state.readings] == ["r1"]
    assert sorted(e.body["value"] for e in (*state.entries, *state.beside)) == [48, 51]


def test_a_fold_and_a_merge_take_the_same_twin():
    for pair in ((51, 48), (9, 10), (-1, 100000)):
        raws = [
            {"id": "r1", "device": "d", "n": 1, "what": "reading", "at": "E.in", "kind": "volts"}
            | {"value": value}
            for value in pair
        ]
        folded = fold(FILE, map(read_entry, raws))
        whole = merged({**DOC, "log": [raw]} for raw in raws)
        assert read_entry(whole["log"][0]) == folded.entries[0]
        assert codes(fold(read_job(whole))) == codes(folded) == [("r1", "odd-twin")]


def test_a_copy_is_no_twin():
    assert told(reading("r1", 1), reading("r1", 1)) == []


@pytest.mark.parametrize(
    "beside",
    [
        5,
        None,
        "r2",
        {},
        [],
        [5, None, [1]],
        [{"id": "r2", "what": "note", "text": "another"}],
        [{"id": "a0", "what": "note", "text": "another"}],
        [{"what": "note"}],
        [{"id": "r1", "what": "reading"}],
        [{"id": "r1", "what": "note", "text": "a", TWINS: [{"id": "r1", "what": "x"}]}],
    ],
)
def test_what_lies_beside_may_be_anything_and_is_not_lost(beside):
    """A file may hold what no merge of ours wrote."""
    log = [{"id": "r1", "device": "d", "n": 1, "what": "note", "text": "b", TWINS: beside}]
    doc = {**DOC, "log": log}
    fold(read_job(doc))
    once = merged((doc, DOC))
    assert merged((once, doc)) == merged((doc, once)) == merged((once,)) == once
    assert once["log"][0]["id"] == "r1"
    for part in beside if isinstance(beside, list) else [beside]:
        bare = {k: v for k, v in part.items() if k != TWINS} if isinstance(part, dict) else part
        kept = [once["log"][0], *once["log"][0].get(TWINS, [])]
        assert any(
            one == bare or (isinstance(bare, dict) and {**one, **bare} == one)
            for one in kept
            if isinstance(one, dict) == isinstance(bare, dict)
        ), part
    fold(read_job(once))


# ---------------------------------------------------------------- voids


def test_a_void_of_what_is_not_there_is_told():
    assert told(void("v1", 1, "nobody")) == [("v1", "odd-void")]
    gone = (void("v1", 1, "nobody"), void("v2", 2, "v1"))
    assert told(*gone) == [], "taken back itself"


def test_a_void_acts_wherever_in_the_order_it_stands():
    """One phone's void can come before what it takes back, when neither knows of the other."""
    log = void("v1", 1, "r1", device="a"), reading("r1", 4, device="b")
    assert told(*log) == []
    state = fold(FILE, log)
    assert [one.id for one in state.entries] == ["v1", "r1"] and not state.current


def test_a_void_of_a_void_acts_wherever_it_stands():
    log = (
        void("w1", 1, "v1", device="a"),
        void("v1", 4, "r1", device="b"),
        reading("r1", 3, device="b"),
    )
    assert told(*log) == []
    assert fold(FILE, log).current == {"r1"}


def test_voids_that_take_each_other_back_or_themselves():
    told(void("v1", 1, "v1"))
    state = fold(FILE, (void("v1", 1, "v2"), void("v2", 2, "v1"), reading("r1", 3)))
    assert state.voided == {"v1"} and state.current == {"r1"}
    ring = [void(f"v{n}", n, f"v{n % 3 + 1}") for n in (1, 2, 3)]
    told(*ring)
    assert fold(FILE, ring).voided == {"v1"}, "the last stands; what it hits does nothing"


def test_a_chain_of_voids_each_before_what_it_takes_back():
    """The chain decides, not the order: v4 stands, so v3 does not, v2 does, v1 does not."""
    chain = [
        void(f"v{n}", 5 - n, f"v{n - 1}" if n > 1 else "r1", device=f"d{n}") for n in range(1, 5)
    ]
    log = [reading("r1", 9), *chain]
    assert [one.id for one in fold(FILE, log).entries] == ["v4", "v3", "v2", "v1", "r1"]
    assert fold(FILE, log).voided == {"v3", "v1"}
    assert told(*log) == []


def test_a_long_chain_of_voids():
    """Deeper than Python's own stack: each takes the one before it back."""
    for length in (3000, 3001):
        chain = [reading("e1", 1), *(void(f"e{n}", n, f"e{n - 1}") for n in range(2, length + 1))]
        assert fold(FILE, chain).current == ({"e1"} if length % 2 else set())


def test_two_voids_of_one_entry_must_both_be_taken_back():
    log = [reading("r1", 1), void("v1", 2, "r1"), void("v2", 3, "r1"), void("w1", 4, "v1")]
    assert told(*log) == told(*log, void("w2", 5, "v2")) == []
    assert fold(FILE, log).current == set()
    assert fold(FILE, [*log, void("w2", 5, "v2")]).current == {"r1"}


# ---------------------------------------------------------------- places, counts, circles


def test_a_change_and_a_reading_at_a_place_that_is_not_there():
    change = entry("c1", 1, what="change", where="NIX", did="x")
    log = change, reading("r1", 2, at="NIX.in"), reading("r2", 3, at="E.out9")
    assert told(*log) == [("c1", "odd-change"), ("r1", "odd-reading"), ("r2", "odd-reading")]
    assert fold(FILE, log).current == set()
    taken = [void("v1", 4, "c1"), void("v2", 5, "r1"), void("v3", 6, "r2")]
    assert codes(fold(FILE, [*log, *taken])) == []


@pytest.mark.parametrize("where", ["E", "e.in", "C1", "c2", "press", "S.out", "R1"])
def test_places_of_the_plan_are_not_odd(where):
    assert told(entry("c1", 1, what="change", where=where, did="x")) == []


def test_the_same_count_twice_from_one_phone_is_told():
    log = entry("x", 1), entry("y", 1), entry("z", 2), entry("q", 1, device="k")
    assert told(*log) == [("y", "odd-count")]
    parts = fold(FILE, log).oddities[0].say.parts
    assert (parts["device"], parts["n"]) == ("d", 1)


def test_a_hand_without_a_phone_is_not_told_of_counts():
    notes = [read_entry({"id": i, "n": 1, "what": "note", "text": i}) for i in "ab"]
    assert codes(fold(FILE, notes)) == []


def test_a_circle_of_seen_is_told():
    one = entry("a1", 1, device="a", what="note", text="x", seen={"b": 1})
    other = entry("b1", 1, device="b", what="note", text="x", seen={"a": 1})
    assert told(one, other) == [("a1", "odd-seen")]


def test_what_is_odd_stays_in_the_log():
    log = [void("v1", 1, "nobody"), entry("c1", 2, what="change", where="NIX", did="x")]
    assert {one.id for one in fold(FILE, log).entries} == {"v1", "c1"}


# ---------------------------------------------------------------- what was found


def test_a_cause_that_nobody_knows_is_kept_and_told_with_the_nearest_one():
    one = entry("f1", 1, what="found", where="C1", cause="span.hihg")
    assert told(one) == [("f1", "odd-cause")]
    (odd,) = fold(FILE, [one]).oddities
    assert odd.say.parts["near"] == "span.high"
    assert fold(FILE, [one]).entries[0].body["cause"] == "span.hihg"


def test_a_cause_is_known_whatever_its_case_and_one_taken_back_is_not_told():
    assert told(entry("f1", 1, what="found", where="C1", cause="Span.High")) == []
    gone = entry("f1", 1, what="found", where="C1", cause="moths")
    assert told(gone, void("v1", 2, "f1")) == []
