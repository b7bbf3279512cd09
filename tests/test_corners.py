"""Corners of the engine that its other tests pass by: what is said there, and that it is right."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from attrs import evolve
from jobs import chain, endpoint, regenerating, run, source

from engine import copied, fitted
from engine.circuit import Circuit, wire
from engine.crowds import Most, crowd_of
from engine.fields import MOST_PROBLEMS
from engine.job import Point
from engine.jobfile import BadFile, JobFile, read_job
from engine.judge import judge
from engine.log import State, fold
from engine.merge import NotOneJob, merged, news, twins
from engine.network import Standing, build
from engine.operating import Conditions, holds
from engine.operating import run as run_circuit
from engine.pairs import in_parallel, shares
from engine.say import say
from engine.spans_csv import outline
from engine.standards.ethernet import errors_allowed
from engine.verdict import Verdict, confirmed, planned_readings, z_out

pytestmark = pytest.mark.pure

SAMPLES = Path(__file__).parent.parent / "sample_jobs"


def sample(name: str = "orchard-gate", *log: dict) -> dict:
    """A sample job's document with these entries for a log, all of one phone."""
    doc = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    entries = [{"id": f"e{n}", "device": "d", "n": n, **one} for n, one in enumerate(log, 1)]
    return {**doc, "log": entries}


def read(*log: dict) -> JobFile:
    """The orchard with such a log."""
    return read_job(sample("orchard-gate", *log))


def state(*log: dict) -> State:
    """What that log comes to."""
    return fold(read(*log))


def reading(at: str = "E.in", value: float = 48.6, **more: object) -> dict:
    """Volts at a point."""
    return {"what": "reading", "at": at, "kind": "volts", "value": value, **more}


def judged(body: dict, name: str = "orchard-gate") -> Verdict:
    """The verdict on one reading."""
    (one,) = judge(read_job(sample(name, body))).verdicts
    return one


# ---------------------------------------------------------------- verdicts


@pytest.mark.parametrize("seconds", [60, 900])
def test_damaged_frames_are_outside_from_one_more_than_allowed_on(seconds):
    most = errors_allowed(100, seconds)
    for count, word in ((0, "inside"), (most, "inside"), (most + 1, "outside")):
        one = judged(reading(value=count, kind="error_count", seconds=seconds))
        assert (one.verdict, one.by) == (word, "design")
    assert one.say == say("verdict-errors", at="E.in", count=most + 1, most=most)


def test_only_a_later_repeat_that_is_inside_confirms_what_is_unclear():
    """Later of the same place, kind and load; both of them current; the last such repeat counts."""
    plain = judged(reading())

    def one(word: str, place: int, current: bool = True, **keys: object) -> Verdict:
        told = evolve(plain.reading, id=f"{word} {place}", place=place, **keys)
        return evolve(plain, reading=told, verdict=word, current=current)

    unclear = one("unclear", 3)
    for others, found in (
        ([one("inside", 4)], True),
        ([one("inside", 2), one("inside", 4)], True),
        ([one("inside", 4), one("inside", 2)], True),
        ([one("inside", 4), one("unclear", 6)], True),
        ([], False),
        ([one("inside", 2)], False),
        ([one("inside", 4, current=False)], False),
        ([one("outside", 4)], False),
        ([one("unclear", 4)], False),
        ([one("inside", 4, at="R1.in")], False),
        ([one("inside", 4, kind="milliamps")], False),
        ([one("inside", 4, standing=Standing(known={"E": 5.0}))], False),
    ):
        assert confirmed([unclear, *others]) == ({"unclear 3"} if found else set()), others
    assert confirmed([one("unclear", 3, current=False), one("inside", 4)]) == set()
    assert confirmed([one("unclear", 0)]) == set()


def test_the_smallest_ohms_are_those_whose_drop_reaches_the_limit():
    """Times the volts that an ohm costs at this current they are the limit of the site.

    A constant load draws more where the volts are fewer: an ohm costs a little more than the
    amps at the point, which the plan says to be 0.32 A within a tenth.
    """
    two = [judged(reading("R1.in", value)) for value in (50.8, 50.9)]
    total = 0.1 / (two[1].z - two[0].z)
    per_ohm = z_out(9) * total / two[0].smallest_ohms
    assert 0.32 * 0.9 < per_ohm < 0.32 * 1.2
    assert judged(reading("S.out", 53.5)).smallest_ohms is None, "nothing in front of it"


@pytest.mark.parametrize(
    ("name", "ports"), [("orchard-gate", 4), ("reedbed-hide", 6), ("tide-mill", 10)]
)
def test_asked_for_are_volts_and_amps_at_each_port_of_what_is_no_mere_passage(name, ports):
    """And the watts at the source. The reedbed's arrestors and its joint are mere passages."""
    assert planned_readings(read_job(sample(name)).plan) == 2 * ports + 1


# ---------------------------------------------------------------- operating points


def wired(doc: dict) -> Circuit:
    """A document's circuit at its expected figures."""
    job = read_job(doc).plan
    return wire(job, build(job), "expected")


def test_what_has_no_power_cannot_fail():
    """A tree too heavy to be held holds nobody up where its port let go or its box is not there."""
    heavy = [run(1000), endpoint(60)]
    front = wired(chain(source(50), *heavy))
    behind = wired(chain(source(50), run(100), regenerating(2, 54, 0.8), *heavy))
    assert not holds(front, Conditions()) and not holds(behind, Conditions())
    assert holds(front, Conditions(cut=frozenset({Point("S1", "out")})))
    for given in (
        Conditions(cut=frozenset({Point("R1", "out")})),
        Conditions(idle=frozenset({"R1"})),
        Conditions(standing=Standing(off=frozenset({"R1"}))),
        Conditions(standing=Standing(known={"R1": 5.0})),
    ):
        assert holds(behind, given), given


def test_watts_on_top_are_as_if_the_box_drew_them():
    here = wired(chain(source(), run(200), endpoint(10)))
    heavier = wired(chain(source(), run(200), endpoint(13)))
    on_top = run_circuit(here, Conditions(extra_watts={"E1": 3.0}))
    assert on_top.flows == run_circuit(heavier, Conditions()).flows


def test_a_bundle_that_does_not_settle_is_taken_for_a_collapse_in_it(monkeypatch):
    doc = chain(source(), run(50, bundle=37), endpoint(30))
    assert not run_circuit(wired(doc), Conditions()).failed
    monkeypatch.setattr("engine.operating.MOST_ROUNDS", 1)
    ((tree, collapsed),) = run_circuit(wired(doc), Conditions()).failed
    assert (str(tree.nodes[collapsed.node].point), collapsed.volts_needed) == ("E1.in", 0.0)


# ---------------------------------------------------------------- files that are too much

THREE = [{"what": "set", "path": ["title"], "value": str(n)} for n in range(3)]
MORE = {
    "what": "add",
    "path": ["boxes"],
    "value": {"id": "Z", "sheet": "my.intercom", "stop": "shed"},
}


@pytest.mark.parametrize(
    ("log", "most", "at", "found"),
    [
        (THREE, Most(edits=2), "the log", "3 plan edits"),
        (
            [{**one, "device": d, "n": 1} for one, d in zip(THREE, "abc", strict=True)],
            Most(unseen=2),
            "the log",
            "3 plan edits that have not seen each other",
        ),
        ([], Most(boxes=2), "boxes", "3 boxes"),
        ([MORE, *THREE], Most(boxes=3), "boxes", "4 boxes"),
        ([reading(), reading("R1.in")], Most(weighed=5), "the log", "2 different readings"),
        ([reading(moment=str(n)) for n in range(4)], Most(readings=11), "the log", "4 readings"),
    ],
)
def test_of_a_file_that_is_too_much_it_is_said_what_of_it(log, most, at, found):
    problem = crowd_of(read(*log), most)
    assert (problem.at, problem.found) == (at, found)


def test_what_is_just_not_too_much_is_taken():
    """Four readings of one spot in a plan of three boxes; a box that was taken back is none."""
    file = read(*THREE, *(reading(moment=str(n)) for n in range(4)))
    assert crowd_of(file, Most(edits=3, unseen=3, boxes=3, weighed=12, readings=12)) is None
    assert crowd_of(read(MORE, {"what": "void", "of": "e1"}), Most(boxes=3)) is None


def test_the_list_of_problems_ends_somewhere():
    doc = sample()
    doc["spans"] = [{"id": 1} for _ in range(2 * MOST_PROBLEMS)]
    with pytest.raises(BadFile) as bad:
        read_job(doc)
    assert len(bad.value.problems) == MOST_PROBLEMS


# ---------------------------------------------------------------- copies and what was handed over


def test_what_was_handed_over_last_and_not_taken_back_counts():
    def sent(*what: str, **seen: object) -> dict:
        return {"what": "note", "text": "sent", "x_handed": {"what": list(what), "seen": seen}}

    first, second = sent("report", d=1, e=True, f="3"), sent("labels", "report", d=2)
    assert copied.handed(state(first), "report").seen == {"d": 1}, "what is no count is left out"
    assert copied.handed(state(first), "labels") is None
    assert copied.handed(state(first, second), "report").seen == {"d": 2}
    assert copied.handed(state(first, second), "labels").seen == {"d": 2}
    back = {"what": "void", "of": "e2"}
    assert copied.handed(state(first, second, back), "report").seen == {"d": 1}
    odd = {"what": "note", "text": "", "x_handed": {"what": "report", "seen": [1]}}
    assert copied.handed(state(first, odd), "report").seen == {"d": 1}
    assert copied.handed(state({**odd, "x_handed": {"what": ["report"]}}), "report").seen == {}


def test_what_can_alter_a_record_and_what_the_plan():
    log = (
        {"what": "note", "text": "rain"},
        {"what": "note", "text": "", "x_handed": {"what": ["report"]}},
        {"what": "export"},
        {"what": "tomorrow"},
        reading(),
        {"what": "set", "path": ["title"], "value": "x"},
        {"what": "void", "of": "e6"},
        {"what": "void", "of": "e5"},
    )
    there = state(*log)
    by_id = {entry.id: entry for entry in there.entries}
    recorded = {ident for ident, entry in by_id.items() if copied.is_recorded(entry)}
    assert recorded == {"e1", "e5", "e6", "e7", "e8"}
    moves = copied.moves_plan(there)
    assert {ident for ident, entry in by_id.items() if moves(entry)} == {"e6", "e7"}


def test_news_are_what_the_other_file_says_and_the_kept_one_does_not():
    kept = sample("orchard-gate", reading(value=1), reading(value=2))
    other = sample("orchard-gate", reading(value=1), reading(value=3), reading(value=4))
    other["log"].append(other["log"][-1])
    found = news(kept, other)
    assert [(ident, one["value"]) for ident, one in found] == [("e2", 3), ("e3", 4)]
    assert news(other, other) == ()
    whole = merged([kept, other])
    assert [one["id"] for one in whole["log"]] == ["e1", "e2", "e3"]
    assert list(twins(whole)) == ["e2"], "two readings under one id, both in it"
    with pytest.raises(NotOneJob):
        news(kept, sample("tide-mill"))


# ---------------------------------------------------------------- small things


def test_a_pair_set_without_ohms_takes_all_and_two_share():
    assert in_parallel([0.0, 5.0]) == 0.0
    assert shares([0.0, 5.0]) == (1.0, 0.0)
    assert shares([0.0, 0.0, 5.0]) == (0.5, 0.5, 0.0)


def test_what_is_in_near_a_box_or_a_span():
    """At the box, at its ports; on the span, at either of its ends."""
    put = [("short", "E.in"), ("by-pass", "R1"), ("short", "S.out"), ("short", "C1")]
    there = state(*({"what": "note", "text": "", "at": at, "x_fitted": what} for what, at in put))
    still = fitted.fitted(there)

    def near(box: str | None, span: str | None) -> list[str]:
        return sorted(one.at for one in fitted.near(there.job, still, box, span))

    assert near("E", None) == ["E.in"]
    assert near("R1", None) == ["R1"]
    assert near(None, "C1") == ["C1", "S.out"]
    assert near(None, "C2") == ["E.in"]
    assert near("S", "C2") == ["E.in", "S.out"]
    assert near(None, None) == []


def test_a_table_speaks_of_boxes_once_and_of_metres_that_can_be():
    text = (
        "id,from,to,cable,metres\nA,S1.out,b.in,cat6,40\nB,B.out,E.in,cat6,x\nC,E.x,F.in,cat6,1\n"
    )
    found = outline(text)
    assert (found.spans, found.metres, found.boxes) == (3, 41.0, ("S1", "b", "E", "F"))
    with pytest.raises(BadFile):
        outline("nothing of it")


def test_a_box_joins_the_sets_as_it_says_else_its_sheet_else_if_it_is_active():
    doc = chain(source(), run(10), endpoint())
    box = read_job(doc).plan.boxes["E1"]
    assert box.joins is True
    doc["boxes"][-1]["joins_pairs"] = False
    assert read_job(doc).plan.boxes["E1"].joins is False
