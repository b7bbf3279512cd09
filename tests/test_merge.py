"""Two logs of one job: their union, whatever the order in which phones meet.

Long form, for as many random histories as you like: ``python tests/test_merge.py 10000``.
"""

from __future__ import annotations

import json
import sys
from copy import deepcopy
from pathlib import Path
from random import Random

import pytest
from jobs import chain, endpoint, run, source

from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold
from engine.merge import TWINS, NotOneJob, merged, twins

pytestmark = pytest.mark.pure

DEVICES = ("aa", "bb", "cc")
PLAN = chain(source(54), run(100), endpoint(12))
KINDS = (
    *("reading",) * 3,
    *("set",) * 3,
    *("void",) * 2,
    *("step", "change", "resolve", "resolve", "add", "remove", "note"),
)


def with_log(*entries: dict) -> dict:
    """The plan with these entries."""
    return {**deepcopy(PLAN), "log": list(deepcopy(entries))}


def reading(ident: str, value: float, **keys) -> dict:
    """Volts at the endpoint."""
    body = {"what": "reading", "at": "E1.in", "kind": "volts", "value": value}
    return {"id": ident, **body, **keys}


def random_history(seed: int) -> list[dict]:
    """Three documents of one job, as three phones hold it after some meetings.

    Entries of every acting kind; some take back others, even what takes back, and some settle
    edits of two phones. Now and then a restored backup writes the same count or even the same
    id again, and a hand has added entries without a count.
    """
    rng = Random(seed)
    held: dict[str, dict[str, dict]] = {device: {} for device in DEVICES}
    counts = dict.fromkeys(DEVICES, 0)
    for step in range(rng.randint(3, 18)):
        device = rng.choice(DEVICES)
        mine = held[device]
        if rng.random() < 0.25:
            mine.update(held[rng.choice(DEVICES)])
            continue
        counts[device] += rng.random() > 0.1
        entry = _entry(rng, f"{device}{step}", mine)
        seen = {}
        for other in mine.values():
            seen[other["device"]] = max(seen.get(other["device"], 0), other["n"])
        entry |= {"device": device, "n": max(counts[device], 1), "seen": seen}
        if mine and rng.random() < 0.05:
            entry["id"] = rng.choice(sorted(mine))
        mine[entry["id"]] = entry
    documents = [with_log(*rng.sample(list(one.values()), len(one))) for one in held.values()]
    if rng.random() < 0.2:
        documents[0]["log"] += [reading("hand1", 51), reading("hand2", 52)]
    return documents


def _entry(rng: Random, ident: str, mine: dict[str, dict]) -> dict:
    kind = rng.choice(KINDS)
    voids = sorted(i for i, one in mine.items() if one["what"] == "void")
    edits = sorted(i for i, one in mine.items() if one["what"] in ("set", "add", "remove"))
    if kind == "void" and mine:
        return {"id": ident, "what": "void", "of": rng.choice([*sorted(mine), *voids, *voids])}
    if kind == "resolve" and len(edits) > 1:
        of = rng.sample(edits, 2)
        return {"id": ident, "what": "resolve", "of": of, "keep": rng.choice(of)}
    if kind == "step":
        return {"id": ident, "what": "step", "step": "meter.site", "state": "done"}
    if kind == "change":
        return {"id": ident, "what": "change", "where": "C1", "did": "remade"}
    if kind == "set":
        metres = {"low": 90, "expected": 100, "high": rng.randint(101, 120)}
        return {"id": ident, "what": "set", "path": ["spans", "C1", "length_m"], "value": metres}
    if kind == "add":
        earth = {"stop": PLAN["boxes"][0]["stop"], "target_ohms": rng.randint(5, 7)}
        return {"id": ident, "what": "add", "path": ["earths", "EB7"], "value": earth}
    if kind == "remove":
        return {"id": ident, "what": "remove", "path": ["earths", "EB7"], "as": "change"}
    if kind == "note":
        return {"id": ident, "what": "note", "text": "wet"}
    return reading(ident, round(rng.uniform(50, 54), 2))


def holds(seed: int) -> None:
    """The laws of a union on one history."""
    a, b, c = random_history(seed)
    both = merged((a, b))
    assert merged((b, a)) == both
    assert merged((both, c)) == merged((a, merged((b, c)))) == merged((c, b, a))
    assert merged((both, both)) == merged((both, a)) == merged((both,)) == both
    whole = merged((a, b, c))
    said = {_text(one) for doc in (a, b, c) for one in doc["log"]}
    kept = {_text(one) for entry in whole["log"] for one in (entry, *entry.get(TWINS, ()))}
    assert said == kept
    state = fold(read_job(whole))
    parts = [entry for doc in (a, b, c) for entry in read_job(merged((doc,))).entries]
    apart = fold(read_job({**a, "log": []}), parts)
    assert (apart.entries, apart.current, apart.doc) == (state.entries, state.current, state.doc)
    assert apart.conflicts == state.conflicts


def _text(entry: dict) -> str:
    """What an entry says, its count and its twins aside."""
    return json.dumps({k: v for k, v in entry.items() if k not in (TWINS, "n")}, sort_keys=True)


@pytest.mark.parametrize("chunk", range(10))
def test_a_merge_is_commutative_associative_and_idempotent_and_loses_nothing(chunk):
    """On 300 random histories of three phones; readable afterwards."""
    for seed in range(30 * chunk, 30 * chunk + 30):
        holds(seed)


@pytest.mark.long
def test_the_histories_have_twins_and_shared_counts():
    """What is hard about a merge is in them."""
    wholes = [merged(random_history(seed)) for seed in range(300)]
    assert sum(bool(twins(whole)) for whole in wholes) > 10
    counts = [[(e.get("device"), e["n"]) for e in whole["log"]] for whole in wholes]
    assert sum(len(set(one)) < len(one) for one in counts) > 10
    states = [fold(read_job(whole)) for whole in wholes]
    assert sum(bool(state.conflicts) for state in states) > 10
    kinds = [{entry.id: entry.what for entry in state.entries} for state in states]
    taken_back = [
        {what[i] for i in s.voided if i in what} for s, what in zip(states, kinds, strict=True)
    ]
    assert sum("void" in whats for whats in taken_back) > 10
    assert sum("resolve" in what.values() for what in kinds) > 10


def test_what_one_phone_read_is_judged_on_the_other():
    """A reading kept elsewhere counts, and its void takes it back wherever it was made."""
    near = with_log(reading("r1", 51.0, device="aa", n=1))
    far = with_log(
        reading("r1", 51.0, device="aa", n=1),
        {"id": "v1", "what": "void", "of": "r1", "device": "bb", "n": 1, "seen": {"aa": 1}},
    )
    whole = judge(read_job(merged((far, near))))
    assert [verdict.current for verdict in whole.verdicts] == [False]


def test_a_void_that_comes_before_what_it_takes_back_still_does():
    """Files meet in any order; the log's own order decides."""
    void = {"id": "v1", "what": "void", "of": "r1", "device": "bb", "n": 1, "seen": {"aa": 1}}
    whole = merged((with_log(void), with_log(reading("r1", 51.0, device="aa", n=1))))
    assert [entry["id"] for entry in whole["log"]] == ["r1", "v1"]
    assert not fold(read_job(whole)).current


def test_two_entries_under_one_id_are_both_kept():
    """A restored backup wrote another value under an id: one stands, the other lies beside."""
    first, second = reading("r1", 51.0, device="aa", n=1), reading("r1", 48.0, device="aa", n=1)
    whole = merged((with_log(first), with_log(second)))
    (entry,) = whole["log"]
    assert {entry["value"], entry[TWINS][0]["value"]} == {51.0, 48.0}
    assert twins(whole) == ("r1",)
    assert len(fold(read_job(whole)).readings) == 1


def test_a_plan_edit_of_one_phone_reaches_the_other():
    """Plan edits are entries too."""
    edit = {"id": "s1", "what": "set", "path": ["spans", "C1", "length_m"], "value": 120}
    whole = merged((with_log(), with_log({**edit, "device": "bb", "n": 1})))
    assert fold(read_job(whole)).job.spans["C1"].length_m.expected == 120


@pytest.mark.parametrize("change", [{"id": "OTHER"}, {"title": "Another"}])
def test_other_plans_are_refused(change):
    """The plan as first agreed is what makes a job one job."""
    with pytest.raises(NotOneJob, match="not the same job"):
        merged((with_log(), {**with_log(), **change}))


def test_unknown_kinds_and_own_keys_are_passed_on():
    """What this version does not know is kept to the letter."""
    strange = {"id": "q1", "what": "weather", "wind": {"from": "NW"}, "x_own": [1], "n": 4}
    assert merged((with_log(), with_log(strange)))["log"] == [strange]


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    many = int(sys.argv[1])
    for history in range(many):
        holds(history)
    print(f"{many} histories: commutative, associative, idempotent, nothing lost")
