"""Two plans for one thing: which edits clash, which is shown meanwhile, and what settles them."""

from __future__ import annotations

import json
from itertools import permutations
from pathlib import Path

import pytest

from engine.jobfile import read_job
from engine.judge import judge
from engine.log import State, advance, fold
from engine.merge import merged
from engine.phrases import english

pytestmark = pytest.mark.pure

SAMPLE = Path(__file__).parent.parent / "sample_jobs" / "reedbed-hide.json"
DOC = {**json.loads(SAMPLE.read_text(encoding="utf-8")), "log": []}
LENGTH = ["spans", "C3", "length_m"]
CAMERA = {"id": "D", "sheet": "my.camera", "stop": "sluice"}


def edit(ident: str, device: str, n: int = 1, seen: dict | None = None, **body) -> dict:
    """An edit of a phone; without a path it is one of the length of C3."""
    head = {"id": ident, "device": device, "n": n, "seen": seen or {}, "by": device.upper()}
    if "what" not in body:
        body = {"what": "set", "path": LENGTH, **body}
    return {**head, **body}


def resolve(ident: str, of: list[str], keep: str, **more) -> dict:
    """A resolve of a third phone that holds everything up to there."""
    head = {"id": ident, "device": "z", "n": 1, "seen": {"a": 9, "b": 9, "c": 9}, "by": "Z"}
    return {**head, "what": "resolve", "of": of, "keep": keep, **more}


def state(*entries: dict) -> State:
    """What is folded, whatever order the entries came in, at once or one after the other."""
    file = read_job({**DOC, "log": list(entries)})
    whole = fold(file)
    grown = fold(read_job(DOC))
    for one in file.entries:
        grown = advance(grown, [one])
    assert grown == whole
    if len(entries) < 5:
        for order in permutations(entries):
            other = fold(read_job({**DOC, "log": list(order)}))
            assert (other.conflicts, other.doc) == (whole.conflicts, whole.doc)
    return whole


def metres(job: State) -> float:
    return job.job.spans["C3"].length_m.expected


A = edit("a1", "a", value=90)
B = edit("b1", "b", value=95)
C = edit("c1", "c", value=99)


# ---------------------------------------------------------------- what clashes


def test_the_later_of_two_is_shown_and_both_are_told():
    job = state(A, B)
    (one,) = job.conflicts
    assert (one.path, one.entries, one.values) == ("spans/C3/length_m", ("a1", "b1"), (90, 95))
    assert (one.by, one.shown) == (("A", "B"), "b1")
    assert metres(job) == 95
    assert not job.left_out


def test_one_that_has_seen_the_other_is_no_conflict():
    assert not state(A, edit("b1", "b", seen={"a": 1}, value=95)).conflicts
    assert not state(A, edit("a2", "a", n=2, value=95)).conflicts, "its own earlier one"


def test_seen_goes_on_through_what_was_seen():
    """b saw c, and c saw a: b wrote in knowledge of a though its own list does not say so."""
    note = {"id": "c1", "device": "c", "n": 1, "seen": {"a": 1}, "what": "note", "text": "x"}
    assert not state(A, note, edit("b1", "b", seen={"c": 1}, value=95)).conflicts
    assert state(A, {**note, "seen": {}}, edit("b1", "b", seen={"c": 1}, value=95)).conflicts


def test_seen_goes_on_through_ones_own_earlier_entries():
    note = {"id": "b1", "device": "b", "n": 1, "seen": {"a": 1}, "what": "note", "text": "x"}
    assert not state(A, note, edit("b2", "b", n=2, value=95)).conflicts


def test_the_same_value_twice_is_no_conflict():
    assert not state(A, edit("b1", "b", value=90.0)).conflicts
    assert state(A, edit("b1", "b", value=90.5)).conflicts
    gone = {"what": "remove", "path": ["spans", "C6"]}
    job = state(edit("a1", "a", **gone), edit("b1", "b", **gone))
    assert not job.conflicts and not job.left_out
    assert "C6" not in job.job.spans


def test_other_paths_do_not_clash():
    route = {"what": "set", "path": ["spans", "C3", "route"], "value": "air"}
    other = {"what": "set", "path": ["spans", "C2", "length_m"], "value": 95}
    for body in (route, other):
        assert not state(A, edit("b1", "b", **body)).conflicts


def test_ids_are_compared_without_case():
    small = {"what": "set", "path": ["Spans".lower(), "c3", "length_m"], "value": 95}
    (one,) = state(A, edit("b1", "b", **small)).conflicts
    assert one.entries == ("a1", "b1")
    earth = {"what": "set", "path": ["earths", "eb1", "target_ohms"], "value": 5}
    large = {**earth, "path": ["earths", "EB1", "target_ohms"], "value": 6}
    job = state(edit("a1", "a", **earth), edit("b1", "b", **large))
    assert len(job.conflicts) == 1 and not job.left_out
    assert job.job.earths["EB1"].target_ohms == 6


def test_a_third_that_has_seen_both_settles_as_well():
    job = state(A, B, edit("c1", "c", seen={"a": 1, "b": 1}, value=99))
    assert not job.conflicts and metres(job) == 99


def test_a_third_that_has_seen_one_stands_against_the_other():
    (one,) = state(A, B, edit("c1", "c", seen={"a": 1}, value=99)).conflicts
    assert one.entries == ("b1", "c1")


def test_three_make_one_conflict():
    (one,) = state(A, B, C).conflicts
    assert one.entries == ("a1", "b1", "c1")


def test_what_was_taken_back_clashes_with_nothing():
    void = {"id": "v", "device": "b", "n": 2, "seen": {}, "what": "void", "of": "b1"}
    job = state(A, B, void)
    assert not job.conflicts and metres(job) == 90
    back = {"id": "w", "device": "b", "n": 3, "seen": {}, "what": "void", "of": "v"}
    assert state(A, B, void, back).conflicts


def test_what_a_hand_wrote_never_clashes():
    """Entries without device, count and seen are one hand's, counted by their place."""
    rows = [
        {"id": f"h{value}", "what": "set", "path": LENGTH, "value": value} for value in (90, 95, 99)
    ]
    job = fold(read_job({**DOC, "log": rows}))
    assert not job.conflicts and metres(job) == 99


def test_a_phone_set_back_to_a_backup_can_clash_with_itself():
    assert state(A, edit("a2", "a", n=1, value=95)).conflicts


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_two_things_added_under_one_id(order):
    """The later is shown, like any other; neither is told as not fitting."""
    names = ["a", "b"]
    first, second = (
        edit(f"{names[i]}1", names[i], what="add", path=path, value={**CAMERA, "name": name})
        for i, path, name in zip(order, (["boxes"], ["boxes", "d"]), ("Left", "Right"), strict=True)
    )
    job = state(first, second)
    (one,) = job.conflicts
    assert one.path.lower() == "boxes/d" and one.entries == ("a1", "b1")
    assert job.job.boxes["D"].name == one.values[1]["name"]
    assert not job.left_out
    assert not state(first, {**second, "value": first["value"]}).conflicts


# ---------------------------------------------------------------- inside what was removed

GONE = {"what": "remove", "path": ["spans", "C6"]}
INSIDE = {"what": "set", "path": ["spans", "C6", "length_m"], "value": 12}
BESIDE = {"what": "set", "path": ["spans", "C6", "route"], "value": "air"}


@pytest.mark.parametrize(("first", "second"), [(GONE, INSIDE), (INSIDE, GONE)])
def test_an_edit_inside_what_another_removed_clashes(first, second):
    job = state(edit("a1", "a", **first), edit("b1", "b", **second))
    (one,) = job.conflicts
    assert one.path == "spans/C6/length_m"
    assert dict(zip(one.entries, one.values, strict=True)) == {
        "a1": first.get("value"),
        "b1": second.get("value"),
    }
    assert one.shown == ("a1" if first is GONE else "b1"), "what is gone cannot be set"
    assert "C6" not in job.job.spans
    assert not job.left_out, "the conflict tells of it"


@pytest.mark.parametrize(("first", "second"), [(GONE, INSIDE), (INSIDE, GONE)])
def test_keeping_what_is_inside_brings_the_thing_back(first, second):
    edits = edit("a1", "a", **first), edit("b1", "b", **second)
    inner, outer = ("b1", "a1") if first is GONE else ("a1", "b1")
    job = state(*edits, resolve("z1", [outer, inner], inner))
    assert not job.conflicts and not job.left_out
    assert job.job.spans["C6"].length_m.expected == 12
    job = state(*edits, resolve("z1", [outer, inner], outer))
    assert not job.conflicts and not job.left_out
    assert "C6" not in job.job.spans


def test_all_that_was_edited_inside_comes_back_with_it():
    log = (
        edit("a1", "a", **GONE),
        edit("b1", "b", **INSIDE),
        edit("b2", "b", n=2, **BESIDE),
    )
    assert [one.path for one in state(*log).conflicts] == ["spans/C6/length_m", "spans/C6/route"]
    job = state(*log, resolve("z1", ["a1", "b1"], "b1"))
    assert not job.conflicts
    assert job.job.spans["C6"].length_m.expected == 12
    assert job.job.spans["C6"].route == "air"
    one_more = (resolve("z1", ["a1", "b1"], "a1"), resolve("z2", ["a1", "b2"], "a1", n=2))
    assert len(state(*log, one_more[0]).conflicts) == 1
    other = resolve("z1", ["a1", "b2"], "a1")
    (left,) = state(*log, other).conflicts
    assert left.path == "spans/C6/length_m", "b2 saw b1, but nobody judged that one"
    job = state(*log, *one_more)
    assert not job.conflicts and "C6" not in job.job.spans


def test_an_edit_inside_what_another_put_there_anew():
    whole = {**next(span for span in DOC["spans"] if span["id"] == "C3"), "length_m": 80}
    put = edit("b1", "b", what="set", path=["spans", "C3"], value=whole)
    (one,) = state(A, put).conflicts
    assert one.path == "spans/C3/length_m" and one.values == (90, whole)
    assert not state(A, {**put, "value": {**whole, "length_m": 90}}).conflicts, "the very same"
    assert not state(put, edit("c1", "c", seen={"b": 1}, value=99)).conflicts


# ---------------------------------------------------------------- settled


@pytest.mark.parametrize("keep", ["a1", "b1"])
def test_a_resolve_puts_the_kept_one_in_force(keep):
    job = state(A, B, resolve("z1", ["a1", "b1"], keep))
    assert not job.conflicts and not job.oddities
    assert metres(job) == {"a1": 90, "b1": 95}[keep]


def test_a_resolve_holds_from_its_place_in_the_order_on():
    later = edit("c1", "c", n=12, seen={"a": 1, "b": 1, "z": 1}, value=120)
    job = state(A, B, resolve("z1", ["a1", "b1"], "a1", seen={"a": 1, "b": 1}), later)
    assert not job.conflicts and metres(job) == 120


def test_three_need_two():
    one = resolve("z1", ["a1", "b1"], "a1")
    (left,) = state(A, B, C, one).conflicts
    assert left.entries == ("c1", "a1") and left.shown == "a1"
    for keep, value in (("a1", 90), ("c1", 99)):
        two = resolve("z2", ["a1", "c1"], keep, n=2)
        job = state(A, B, C, one, two)
        assert not job.conflicts and metres(job) == value


def test_another_that_was_not_named_is_not_settled_by_the_way():
    """The one who settles two of four has not judged the other two, though it had them all."""
    four = (A, B, C, edit("d1", "d", value=101))
    log = (*four, resolve("z1", ["a1", "b1"], "a1"), resolve("z2", ["c1", "d1"], "c1", n=2))
    (left,) = state(*log).conflicts
    assert set(left.entries) == {"a1", "c1"}
    assert not state(*log, resolve("z3", ["a1", "c1"], "c1", n=3)).conflicts


def test_two_resolves_that_do_not_agree_are_a_conflict_again():
    one = resolve("y1", ["a1", "b1"], "a1", device="y", seen={"a": 1, "b": 1})
    two = resolve("z1", ["a1", "b1"], "b1", seen={"a": 1, "b": 1})
    (again,) = state(A, B, one, two).conflicts
    assert again.entries == ("a1", "b1") and again.shown == "b1"
    assert not state(A, B, one, {**two, "keep": "a1"}).conflicts
    last = resolve("z2", ["a1", "b1"], "a1", n=2, seen={"a": 1, "b": 1, "y": 1})
    job = state(A, B, one, two, last)
    assert not job.conflicts and metres(job) == 90


def test_a_resolve_taken_back_no_longer_settles():
    log = (A, B, resolve("z1", ["a1", "b1"], "a1"))
    job = state(*log, {"id": "z2", "device": "z", "n": 2, "what": "void", "of": "z1"})
    assert len(job.conflicts) == 1 and metres(job) == 95


def test_when_one_of_the_two_is_taken_back_the_other_stands():
    void = {"id": "z2", "device": "z", "n": 2, "what": "void", "of": "a1"}
    job = state(A, B, resolve("z1", ["a1", "b1"], "a1"), void)
    assert not job.conflicts and not job.oddities
    assert metres(job) == 95


@pytest.mark.parametrize(
    ("of", "keep"),
    [
        (["a1", "b1"], "c1"),
        (["a1", "nobody"], "a1"),
        (["a1", "a1"], "a1"),
        (["a1"], "a1"),
        ([], "a1"),
        (["a1", "n1"], "a1"),
        (["a1", "t1"], "a1"),
    ],
)
def test_a_resolve_that_settles_nothing_is_kept_and_told(of, keep):
    note = {"id": "n1", "device": "b", "n": 2, "what": "note", "text": "x"}
    title = edit("t1", "b", n=3, what="set", path=["title"], value="North")
    job = state(A, B, note, title, resolve("z1", of, keep))
    assert len(job.conflicts) == 1 and metres(job) == 95
    (odd,) = job.oddities
    assert (odd.entry, odd.say.code) == ("z1", "odd-resolve")
    assert english(odd.say).text
    assert any(one.id == "z1" for one in job.entries)


def test_a_resolve_whose_edits_come_later_waits_for_them():
    file = read_job(DOC)
    early = fold(file, read_job({**DOC, "log": [A, resolve("z1", ["a1", "b1"], "a1")]}).entries)
    assert [odd.say.code for odd in early.oddities] == ["odd-resolve"]
    whole = advance(early, read_job({**DOC, "log": [B]}).entries)
    assert not whole.oddities and not whole.conflicts and metres(whole) == 90


@pytest.mark.parametrize("ident", ["a0", "c0"])
def test_what_does_not_fit_the_plan_is_no_second_plan(ident):
    """It is told as what was left out, wherever it stands in the order."""
    bad = edit(ident, ident[0], value="long")
    job = state(B, bad)
    assert not job.conflicts and [one.entry for one in job.left_out] == [ident]
    job = state(B, bad, resolve("z1", ["b1", ident], ident))
    assert [one.entry for one in job.left_out] == [ident, "z1"]
    assert metres(job) == 95
    assert not state(B, bad, resolve("z1", ["b1", ident], "b1")).left_out


def test_what_is_settled_inside_leaves_what_is_open_around_it():
    """Two lengths are settled; that one phone put the span there anew is not, for another."""
    whole = {**next(span for span in DOC["spans"] if span["id"] == "C3"), "route": "duct"}
    log = (
        edit("d1", "d", what="set", path=["spans", "C3"], value=whole),
        edit("e1", "e", what="set", path=["spans", "C3", "route"], value="air"),
        edit("a1", "a", seen={"d": 1}, value=90),
        edit("b1", "b", seen={"d": 1}, value=95),
    )
    assert [one.path for one in state(*log).conflicts] == ["spans/C3/length_m", "spans/C3/route"]
    (left,) = state(*log, resolve("z1", ["a1", "b1"], "a1")).conflicts
    assert left.path == "spans/C3/route" and left.entries == ("d1", "e1")


def test_a_thing_put_there_anew_settles_what_was_open_inside():
    whole = next(span for span in DOC["spans"] if span["id"] == "C3")
    put = edit("c1", "c", seen={"a": 1, "b": 1}, what="set", path=["spans", "C3"], value=whole)
    assert not state(A, B, put).conflicts


@pytest.mark.parametrize("keep", ["a1", "b1"])
def test_a_thing_removed_and_put_there_anew(keep):
    """The later one brings it back: it was never out of its own phone's plan."""
    whole = next(span for span in DOC["spans"] if span["id"] == "C6")
    put = {"what": "set", "path": ["spans", "C6"], "value": {**whole, "length_m": 7}}
    log = edit("a1", "a", **GONE), edit("b1", "b", **put)
    job = state(*log)
    assert job.conflicts[0].shown == "b1" and "C6" in job.job.spans
    job = state(*log, resolve("z1", ["a1", "b1"], keep))
    assert not job.conflicts and not job.left_out
    assert ("C6" in job.job.spans) == (keep == "b1")


# ---------------------------------------------------------------- what it means on site


def test_a_conflict_holds_and_nobody_can_wave_it_through():
    waive = {"id": "w", "what": "waive", "of": "conflict.spans/C3/length_m", "reason": "hurry"}
    log = [A, B, {**waive, "device": "b", "n": 2, "seen": {"a": 1}, "by": "Ida"}]
    hold = next(
        hold
        for hold in judge(read_job({**DOC, "log": log})).blockers
        if hold.id == "conflict.spans/C3/length_m"
    )
    assert (hold.can_waive, hold.say.code) == ("no", "hold-conflict")
    assert hold.stop in read_job(DOC).plan.stops
    for word in ("90", "95", "A", "B", "C3"):
        assert word in english(hold.say).text
    settled = judge(read_job({**DOC, "log": [*log, resolve("z1", ["a1", "b1"], "a1")]}))
    assert not [hold for hold in settled.holds if hold.id.startswith("conflict.")]


def test_two_phones_that_meet_see_the_same_conflict():
    near, far = {**DOC, "log": [A]}, {**DOC, "log": [B]}
    one, other = (fold(read_job(merged(pair))) for pair in ((near, far), (far, near)))
    assert one.conflicts == other.conflicts != ()
    assert fold(read_job(near)).conflicts == ()
