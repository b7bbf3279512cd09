"""Advice: what is offered mends what it says, by a fresh solve and by a solver of another kind."""

from __future__ import annotations

import json
import sys
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random

import pytest
from advise_jobs import (
    CASES,
    bare,
    both_turned,
    far_load,
    heavy,
    hopeless,
    small_source,
    thin_in_the_middle,
    turned,
    unfed,
)
from random_jobs import random_job
from samples import planned

from engine.__main__ import main
from engine.advise import Advice, Change, advise, advising, still_works
from engine.advise.ground import Ground
from engine.advise.kinds import candidates
from engine.advise_json import advice_json
from engine.jobfile import BadFile, read_job
from engine.planning import applied

SAMPLES = ("orchard-gate", "reedbed-hide", "tide-mill")
SEEDS = range(17)


def strained(seed: int) -> dict:
    """A made-up plan whose endpoints draw more than the run bears; each box has its own stop."""
    doc = random_job(seed, 8)
    for metres, box in enumerate(doc["boxes"]):
        box["stop"] = f"post-{box['id']}"
        doc["stops"][box["stop"]] = {"at_m": metres, "indoor": True}
    share = Ground.of(doc).prediction.load_share or 1.0
    factor = share * Random(seed).uniform(1.1, 2.5)
    for sheet in doc["sheets"].values():
        if sheet["kind"] == "endpoint" and isinstance(sheet.get("watts"), dict):
            sheet["watts"] = {key: one * factor for key, one in sheet["watts"].items()}
    return doc


@cache
def broken_ones() -> tuple[tuple[int, dict, Advice], ...]:
    """Made-up plans that do not work, and the advice for each."""
    docs = ((seed, strained(seed)) for seed in SEEDS)
    return tuple((seed, doc, advise(doc)) for seed, doc in docs if not Ground.of(doc).works)


@cache
def advised(name: str) -> Advice:
    """The advice for one of ``CASES``, which many tests look at."""
    return advise(CASES[name][0]())


def codes(change: Change) -> set[str]:
    return {change.say.code, *(one.code for one in change.parts)}


def same_figures(ground: Ground, change: Change) -> None:
    """Its edits alone, applied to the plan and solved, give its figures."""
    after = Ground.of(json.loads(json.dumps(applied(ground.doc, change.edits))))
    assert (after.works, after.works_at_worst) == (change.works, change.works_at_worst)
    assert after.prediction.load_share == change.load_share
    volts = after.volts_at(ground.far_end)
    assert volts == change.end_volts
    assert set(change.mends) == set(ground.broken - after.broken)
    assert set(change.breaks) == set(after.broken - ground.broken)


# ---------------------------------------------------------------- what is offered


@pytest.mark.parametrize("name", CASES)
def test_each_trouble_has_its_way_out(name):
    advice = advised(name)
    assert any(CASES[name][1] in codes(change) for change in advice.changes)
    assert advice.limited_by is None


@pytest.mark.parametrize("name", CASES)
def test_every_change_gives_the_figures_it_tells(name):
    ground = Ground.of(CASES[name][0]())
    changes = advised(name).changes
    assert changes
    for change in changes:
        same_figures(ground, change)


@pytest.mark.parametrize("name", ["turned", "unbonded", "bare", "slow-camera", "indoor-box"])
def test_the_first_way_out_leaves_nothing_that_stops(name):
    ground = Ground.of(CASES[name][0]())
    first = advised(name).changes[0]
    after = ground.after(first.edits)
    assert ground.broken and not after.stopped and first.works_at_worst


def test_a_box_is_turned_before_a_cable_is_pulled():
    (first, *_) = advise(turned()).changes
    assert first.say.code == "advice-turn" and first.say.parts == {"box": "A2"}


def test_the_order_is_works_at_worst_then_works_then_effort_then_share():
    for name in CASES:
        rows = [
            (not c.works_at_worst, not c.works, c.effort, -(c.load_share or 0.0))
            for c in advised(name).changes
        ]
        assert rows == sorted(rows)


def test_no_change_takes_watts_cutoffs_or_metres_away():
    """What the run is for stays as it was: its loads, and how far it goes."""

    def asked(doc: dict) -> tuple:
        job = read_job({**doc, "log": []}).plan
        ends = {b.id: b.sheet for b in job.boxes.values() if b.kind == "endpoint"}
        loads = {name: (s.watts, s.cutoff_volts, s.on_volts) for name, s in ends.items()}
        return loads, sum(span.length_m.expected for span in job.spans.values())

    for name, (make, _) in CASES.items():
        doc = make()
        loads, metres = asked(doc)
        for change in advised(name).changes:
            others, longer = asked(applied(doc, change.edits))
            assert others == loads, change.say
            assert longer >= metres - 1e-6, change.say


@pytest.mark.slow
def test_no_part_of_a_pair_is_superfluous():
    """Neither of the two does alone what both do together."""
    pairs = 0
    told = [(make(), advised(name)) for name, (make, _) in CASES.items()]
    told += [(doc, advice) for _, doc, advice in broken_ones()[:5]]
    for doc, advice in told:
        both = [change for change in advice.changes if change.say.code == "advice-both"]
        if not both:
            continue
        ground = Ground.of(doc)
        alone = {repr(one.say): one.edits for one in candidates(ground)}
        for change in both:
            pairs += 1
            together = ground.after(change.edits)
            for part in change.parts:
                one = ground.after(alone[repr(part)])
                level = (together.works_at_worst, together.works)
                assert level >= (one.works_at_worst, one.works)
                more = level > (one.works_at_worst, one.works)
                assert more or together.broken.total() < one.broken.total(), change.say
    assert pairs > 10


def test_no_change_holds_the_edits_of_a_lighter_one_that_does_as_much():
    met = 0
    for name, (make, _) in CASES.items():
        ground = Ground.of(make())
        changes = advised(name).changes
        for one in changes:
            for less in changes:
                inside = all(edit in one.edits for edit in less.edits)
                if inside and len(less.edits) < len(one.edits):
                    met += 1
                    rows = [
                        (c.works_at_worst, c.works, -ground.after(c.edits).broken.total())
                        for c in (one, less)
                    ]
                    assert rows[0] > rows[1], (one.say, less.say)
    assert met


@pytest.mark.parametrize("name", SAMPLES)
def test_a_plan_that_works_gets_no_advice_to_make_it_work(name):
    advice = advise(planned(name))
    assert advice.works_now and advice.limited_by is None
    assert not advice.changes


def test_of_many_pair_sets_only_those_that_matter_are_used():
    """S, R1 and E may use four pairs; alone that of the source mends the plan."""
    changes = advise(thin_in_the_middle()).changes
    assert [change.say.parts.get("at") for change in changes] == [("S",)]


def test_two_boxes_are_turned_together():
    """Turning rewrites the ends of spans: the second is made on the plan with the first."""
    ground = Ground.of(both_turned())
    (pair,) = (c for c in advise(ground.doc).changes if c.say.code == "advice-both")
    assert [part.parts["box"] for part in pair.parts] == ["A1", "A2"]
    assert not ground.after(pair.edits).broken["arrestor-facing"]


def test_two_boxes_put_in_together_take_different_ids():
    doc = bare()
    for row in doc["boxes"]:
        if row["id"] == "A1":
            row.pop("bond")
    near = next(row for row in doc["spans"] if "A1.line" in (row["from"], row["to"]))
    lead = next(row for row in doc["spans"] if "A1.kit" in (row["from"], row["to"]))
    behind = next(lead[key] for key in ("from", "to") if lead[key] != "A1.kit")
    near["from" if near["from"] == "A1.line" else "to"] = behind
    doc["spans"].remove(lead)
    doc["boxes"] = [row for row in doc["boxes"] if row["id"] != "A1"]
    ground = Ground.of(doc)
    assert ground.broken["arrestor-missing"] == 2
    pairs = [c for c in advise(doc).changes if c.say.code == "advice-both"]
    mended = [ground.after(c.edits) for c in pairs]
    assert any(not after.broken["arrestor-missing"] for after in mended)


def test_a_box_that_feeds_anew_on_the_way_comes_before_a_cable_pulled():
    """Too far for the volts alone: from a quarter of the way they are made anew."""
    ground = Ground.of(far_load())
    assert not ground.works and ground.broken["collapse"]
    first = advise(ground.doc).changes[0]
    assert first.say.code == "advice-fed-anew" and first.works_at_worst
    assert first.say.parts["metres"] == pytest.approx(80)
    assert first.load_share > 1 > ground.prediction.load_share


def test_an_injector_is_only_put_where_the_plan_tells_of_power():
    doc = heavy()
    powered = [c for c in candidates(Ground.of(doc)) if c.say.code == "advice-injector"]
    assert {c.say.parts["stop"] for c in powered} == {doc["stops"]["shed"]["name"]}
    doc["stops"]["shed"].pop("x_power")
    told = [c.say.code for c in candidates(Ground.of(doc))]
    assert "advice-injector" not in told


def test_a_plan_without_findings_is_not_searched():
    assert list(advising(planned("orchard-gate"))) == []


# ---------------------------------------------------------------- made-up plans


def test_the_first_advice_on_made_up_plans_holds():
    docs, helped = broken_ones(), 0
    assert len(docs) > 4
    for seed, doc, advice in docs:
        assert not advice.works_now, seed
        if advice.changes:
            same_figures(Ground.of(doc), advice.changes[0])
        works = bool(advice.changes) and advice.changes[0].works
        assert works != (advice.limited_by is not None), seed
        helped += works
    assert helped > len(docs) // 3


def test_a_solver_of_another_kind_agrees_that_it_works_then():
    pytest.importorskip("scipy")
    from test_outside_nodal import solve

    compared = 0
    for _, doc, advice in broken_ones():
        if not advice.changes or not advice.changes[0].works:
            continue
        whole = applied(doc, advice.changes[0].edits)
        ground = Ground.of(whole)
        volts = solve(whole, "expected")
        assert volts is not None
        for point, seen in ground.prediction.points.items():
            if seen.volts.expected is not None and str(point) in volts:
                assert seen.volts.expected == pytest.approx(volts[str(point)], abs=1e-6)
                compared += 1
    assert compared > 50


# ---------------------------------------------------------------- while it searches


def test_progress_grows_and_the_best_so_far_only_gets_better():
    search, shares, best = advising(small_source()), [], []
    while True:
        try:
            sofar = next(search)
        except StopIteration as end:
            advice: Advice = end.value
            break
        shares.append(sofar.share)
        if sofar.best is not None:
            row = (not sofar.best.works_at_worst, not sofar.best.works, sofar.best.effort)
            best.append(row)
    assert shares == sorted(shares) and shares[0] > 0 and shares[-1] <= 1
    assert best == sorted(best, reverse=True)
    assert best[-1][2] == advice.changes[0].effort


# ---------------------------------------------------------------- plans that cannot be


def test_where_nothing_helps_it_says_what_limits_it_and_by_how_much():
    advice = advise(hopeless())
    parts = advice.limited_by.parts
    assert not advice.works_now and advice.limited_by.code == "advice-limited"
    assert parts["at"] == "C.in" and 0 < parts["share"] < 1 and parts["needed"] == 36


def test_a_run_without_a_source_gets_findings_and_no_traceback():
    advice = advise(unfed())
    assert not advice.works_now and advice.limited_by.code == "advice-stopped"


def test_an_empty_plan_has_nothing_to_be_fed():
    doc = {
        "format": "farend-job/1",
        "id": "BARE",
        "title": "Bare",
        "site": {"name": "Bare", "ambient_c": 20},
    }
    doc |= {"boxes": [], "spans": []}
    advice = advise(doc)
    assert advice.changes == () and advice.limited_by.code == "advice-stopped"
    assert still_works(doc) == ()


def test_a_loop_of_spans_is_an_error_of_the_file():
    doc = planned("orchard-gate")
    doc["spans"].append({**doc["spans"][0], "id": "C9"})
    with pytest.raises(BadFile):
        advise(doc)


# ---------------------------------------------------------------- the command


def test_the_command_writes_a_note_of_eighty_columns_and_json(tmp_path, capsys):
    path = Path(tmp_path / "turned.json")
    path.write_text(json.dumps(turned()), encoding="utf-8")
    assert main(["advise", str(path)]) == 0
    told = capsys.readouterr().out
    assert max(map(len, told.splitlines())) <= 80
    assert "Turn A2 round." in told and "Ways out" in told and "What would still work" in told
    assert main(["advise", str(path), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["format"] == "farend-advice/1" and found["works_now"] is True
    first = found["changes"][0]
    keys = {"change", "edits", "works", "end_volts", "volts_gained", "load_share", "mends"}
    assert keys | {"effort", "works_at_worst", "say"} <= set(first)
    (edit,) = first["edits"]
    assert set(edit) >= {"what", "path", "value"} and not {"id", "n", "device"} & set(edit)
    assert all({"say", "path", "value", "now"} <= set(row) for row in found["still_works"])


def test_json_is_plain():
    for name, (make, _) in CASES.items():
        doc = make()
        json.dumps(advice_json(read_job(doc).plan, advised(name), still_works(doc)))


# ---------------------------------------------------------------- the long form


def agrees(doc: dict, ground: Ground) -> bool:
    """A nodal solver that reads the document by itself finds the same volts, or none as well."""
    from test_outside_nodal import solve

    volts = solve(doc, "expected")
    if volts is None or not ground.works:
        return volts is None and not ground.works
    seen = {str(p): s.volts.expected for p, s in ground.prediction.points.items()}
    both = [name for name in seen if name in volts and seen[name] is not None]
    return bool(both) and all(abs(seen[name] - volts[name]) < 1e-6 for name in both)


def superfluous(ground: Ground, changes: tuple[Change, ...]) -> int:
    """Changes of two of which one alone comes as far."""
    alone = {repr(one.say): one for one in candidates(ground)}
    count = 0
    for change in changes:
        whole = ground.after(change.edits)
        for part in change.parts:
            one = alone.get(repr(part))
            after = ground.after(one.edits) if one is not None else None
            if after is not None:
                level = (after.works_at_worst, after.works, -after.broken.total())
                needed = (whole.works_at_worst, whole.works, -whole.broken.total())
                count += level >= needed
    return count


def long(count: int) -> None:
    """Of so many made-up plans that do not work: how many one change mends, how many two."""
    tally: Counter[str] = Counter()
    seed = 10_000
    while tally["plans"] < count:
        seed += 1
        doc = strained(seed)
        ground = Ground.of(doc)
        if ground.works:
            continue
        tally["plans"] += 1
        advice = advise(doc)
        working = [one for one in advice.changes if one.works]
        if advice.changes:
            same_figures(ground, advice.changes[0])
            whole = applied(doc, advice.changes[0].edits)
            tally["agreed"] += agrees(whole, Ground.of(whole))
            tally["compared"] += 1
            tally["superfluous"] += superfluous(ground, advice.changes)
        if any(one.say.code != "advice-both" for one in working):
            tally["one"] += 1
        elif working:
            tally["two"] += 1
        else:
            tally["none"] += 1
        tally["at worst"] += any(one.works_at_worst for one in working)
    print(dict(tally))


if __name__ == "__main__":
    long(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
