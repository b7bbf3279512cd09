"""The steps of a job: all that the plan calls for, in an order that can be worked, and why."""

from __future__ import annotations

import copy
import json
import random
import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import english
from engine.report_json import steps_json
from engine.route import walk_m
from engine.step import Step
from engine.steps import RULES

pytestmark = pytest.mark.pure

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
NAMES = sorted(path.stem for path in SAMPLES.glob("*.json"))


def sample(name: str) -> dict:
    """A sample job's document without its log."""
    doc = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return {**doc, "log": []}


def judged(doc: dict) -> Judgement:
    return judge(read_job(doc))


def steps(doc: dict) -> list[Step]:
    return list(judged(doc).steps)


def by_id(doc: dict) -> dict[str, Step]:
    return {step.id: step for step in steps(doc)}


def words(step: Step) -> str:
    phrase = english(step.say)
    return f"{phrase.text} {phrase.why}"


# ---------------------------------------------------------------- small plans of every shape

SHEETS = {
    "source": {"kind": "source", "volts": 54, "watts_max": 90, "speeds_mbps": [100, 1000]},
    "injector": {"kind": "injector", "volts": 54, "grants": "always"},
    "repeater": {"kind": "repeater", "own_watts": 1, "class": 6, "speeds_mbps": [100, 1000]},
    "anew": {
        "kind": "repeater",
        "power": "regenerating",
        "own_watts": 1,
        "out_volts": 54,
        "class": 6,
        "speeds_mbps": [1000],
    },
    "long": {
        "kind": "long-span",
        "own_watts": 1,
        "class": 6,
        "speeds_mbps": [1000],
        "ports": {"in": {"faces": "long-span"}, "out": {"faces": "equipment"}},
    },
    "arrestor": {"kind": "arrestor"},
    "joint": {"kind": "joint"},
    "splitter": {"kind": "splitter", "own_watts": 1, "class": 6, "speeds_mbps": [100, 1000]},
    "lamp": {"kind": "endpoint", "watts": 4, "class": 2, "speeds_mbps": [100, 1000]},
}
ENDS = {
    "injector": ("in", "out"),
    "repeater": ("in", "out"),
    "anew": ("in", "out"),
    "long": ("in", "out"),
    "arrestor": ("line", "kit"),
    "joint": ("a", "b"),
    "splitter": ("in", "out1"),
}


def plan(seed: int) -> dict:
    """A small plan: a chain of boxes, some the other way round, with branches and some loose ends."""
    dice = random.Random(seed)
    stops = {f"s{n}": {"at_m": 0 if n == 0 else 40 * n + dice.randrange(3)} for n in range(4)}
    for stop in stops.values():
        stop["indoor"] = dice.random() < 0.4
    earths = {f"EB{n}": {"stop": f"s{n}"} for n in range(4)}
    boxes = [{"id": "S", "sheet": "source", "stop": "s0"}]
    spans: list[dict] = []
    open_ports = ["S.out"]

    def join(a: str, b: str) -> None:
        ends = (a, b) if dice.random() < 0.5 else (b, a)
        spans.append(
            {
                "id": f"C{len(spans)}",
                "from": ends[0],
                "to": ends[1],
                "cable": "generic.cat6-outdoor",
                "length_m": dice.choice([2, 30, 90]),
            }
        )

    place = 0
    for n in range(dice.randrange(0, 6)):
        kind = dice.choice(sorted(ENDS))
        place = min(3, place + dice.randrange(2))
        box = {"id": f"B{n}", "sheet": kind, "stop": f"s{place}"}
        if kind == "arrestor" and dice.random() < 0.8:
            box["bond"] = {"to": f"EB{place}", "lead_m": 0.4}
        near, far = ENDS[kind]
        if kind != "splitter" and dice.random() < 0.4:
            near, far = far, near
        boxes.append(box)
        join(open_ports.pop(0), f"B{n}.{near}")
        open_ports.append(f"B{n}.{far}")
        if kind == "splitter":
            open_ports.append(f"B{n}.out2")
    for n, port in enumerate(open_ports):
        if dice.random() < 0.9:
            boxes.append({"id": f"E{n}", "sheet": "lamp", "stop": f"s{min(3, place + n)}"})
            join(port, f"E{n}.in")
    if dice.random() < 0.2:
        boxes.append({"id": "LOOSE", "sheet": "lamp", "stop": "s1"})
    dice.shuffle(boxes)
    return {
        "format": "farend-job/1",
        "id": f"PLAN-{seed}",
        "title": "Made up",
        "site": {"name": "Nowhere", "ambient_c": 10},
        "stops": stops,
        "earths": earths,
        "sheets": SHEETS,
        "boxes": boxes,
        "spans": spans,
    }


@cache
def plans() -> tuple[tuple[dict, Judgement], ...]:
    docs = [*(sample(name) for name in NAMES), *(plan(seed) for seed in range(300))]
    return tuple((doc, judged(doc)) for doc in docs)


def test_the_made_up_plans_are_of_every_shape():
    kinds = {box.kind for _, one in plans() for box in one.state.job.boxes.values()}
    assert kinds == {sheet["kind"] for sheet in SHEETS.values()}
    assert {step.id.partition(".")[0] for _, one in plans() for step in one.steps} == {
        rule.kind for rule in RULES
    }


def test_what_must_come_before_stands_earlier():
    for doc, one in plans():
        place = {step.id: n for n, step in enumerate(one.steps)}
        for step in one.steps:
            for before in step.after:
                assert place[before] < place[step.id], (doc["id"], before, step.id)


def test_each_row_rests_on_rows_of_the_table():
    """What a row rests on is a row itself."""
    kinds = {rule.kind for rule in RULES}
    for rule in RULES:
        for needed in rule.rests_on:
            kind, _, scope = needed.partition("@")
            assert kind in kinds and scope


def test_nothing_is_live_before_the_bonds_and_the_fitting():
    for doc, one in plans():
        order = [step.id.partition(".")[0] for step in one.steps]
        live = [n for n, step in enumerate(one.steps) if step.power == "live"]
        if not live:
            continue
        for kind in ("bond", "earth", "fit", "pull", "terminate", "pairs"):
            if kind in order:
                assert live[0] > len(order) - 1 - order[::-1].index(kind), doc["id"]
        bonds = {step.id for step in one.steps if step.id.startswith("bond.")}
        for step in one.steps:
            if step.id.startswith("energise."):
                assert bonds <= set(step.after), doc["id"]


def test_ids_are_kind_and_thing_and_stand_once():
    kinds = {rule.kind for rule in RULES}
    for doc, one in plans():
        names = [step.id for step in one.steps]
        assert len(set(names)) == len(names), doc["id"]
        job = one.state.job
        for name in names:
            kind, _, of = name.partition(".")
            assert kind in kinds
            box = of.partition(".")[0]
            known = (box in job.boxes, of in job.spans, of in job.stops, of in job.earths)
            assert of == "site" or any(known), name


def test_every_step_has_words_a_reason_a_stop_and_minutes():
    for _, one in plans():
        for step in one.steps:
            phrase = english(step.say)
            assert step.say.code.startswith("step-")
            assert phrase.text and phrase.why and phrase.text != phrase.why
            assert step.stop in one.state.job.stops
            assert step.minutes > 0
            assert step.power in ("dead", "live", "any")
            assert step.state == "open", "nothing is logged"


def fed_twice(one: Judgement) -> bool:
    """Where two feeds meet there is no outwards; the finding stops the job."""
    return bool(one.prediction.study.network.twice)


def test_ids_do_not_change_when_boxes_and_spans_are_written_in_another_order():
    for seed in range(60):
        doc = plan(seed)
        one = judged(doc)
        if fed_twice(one):
            continue
        before = {step.id for step in one.steps}
        dice = random.Random(seed)
        other = copy.deepcopy(doc)
        dice.shuffle(other["boxes"])
        dice.shuffle(other["spans"])
        for span in other["spans"]:
            if dice.random() < 0.5:
                span["from"], span["to"] = span["to"], span["from"]
        assert {step.id for step in steps(other)} == before, doc["id"]


@pytest.mark.parametrize("name", NAMES)
def test_ids_do_not_change_in_a_sample_written_backwards(name):
    doc = sample(name)
    before = {step.id for step in steps(doc)}
    doc["boxes"].reverse()
    doc["spans"].reverse()
    assert {step.id for step in steps(doc)} == before


def test_a_link_is_read_at_its_far_end():
    """From the source outwards, however the boxes are listed."""
    for doc, one in plans():
        network = one.prediction.study.network
        for link in one.prediction.links:
            start, end = network.where.get(link.start), network.where.get(link.end)
            if start and end and start[0] == end[0] and not fed_twice(one):
                assert start < end, (doc["id"], link)


def test_ids_stay_when_a_box_is_added():
    for name in NAMES:
        doc = sample(name)
        before = {step.id for step in steps(doc)}
        stop = next(iter(doc["stops"]))
        doc["boxes"][0:0] = [
            {"id": "NEW1", "sheet": "generic.source-30w", "stop": stop},
            {"id": "NEW2", "sheet": "fresh", "stop": stop},
        ]
        doc["sheets"]["fresh"] = {"kind": "endpoint", "watts": 2, "speeds_mbps": [100]}
        doc["spans"][0:0] = [
            {
                "id": "NEW3",
                "from": "NEW2.in",
                "to": "NEW1.out",
                "cable": "generic.patch",
                "length_m": 2,
            }
        ]
        after = {step.id for step in steps(doc)}
        assert before < after
        assert {"feed.NEW1", "mount.NEW2", "link.NEW2.in"} <= after


# ---------------------------------------------------------------- each thing of the plan has its step


def test_a_step_for_each_thing():
    for doc, one in plans():
        job, have = one.state.job, {step.id for step in one.steps}
        for box in job.boxes.values():
            if box.kind in ("source", "injector"):
                assert {f"off.{box.id}", f"feed.{box.id}", f"energise.{box.id}"} <= have, doc["id"]
            if box.kind == "arrestor":
                assert f"bond.{box.id}" in have
                if box.bond:
                    assert f"earth.{box.bond.to}" in have
            if box.kind == "endpoint":
                assert {f"mount.{box.id}", f"full.{box.id}"} <= have
            if box.kind not in ("source", "endpoint"):
                assert f"fit.{box.id}" in have
        for link in one.prediction.links:
            assert f"speeds.{link.end}" in have


def test_the_earth_is_measured_after_the_leads_that_go_to_it():
    for doc, one in plans():
        place = {step.id: n for n, step in enumerate(one.steps)}
        for box in one.state.job.boxes.values():
            if box.bond:
                earth = f"earth.{box.bond.to}"
                assert place[f"bond.{box.id}"] < place[earth], doc["id"]
                step = one.steps[place[earth]]
                assert (step.asks.at, step.asks.kind) == (box.bond.to, "earth_ohms")
                assert step.power == "dead"


def test_the_earth_is_measured_after_a_lead_from_another_stop_too():
    doc = sample("reedbed-hide")
    doc["boxes"][4]["bond"]["to"] = "EB1"
    order = [step.id for step in steps(doc)]
    assert order.index("bond.A2") < order.index("earth.EB1")
    assert "bond.A2" in by_id(doc)["earth.EB1"].after


def test_the_bond_step_says_where_to_and_how():
    step = by_id(sample("reedbed-hide"))["bond.A1"]
    text = words(step)
    assert "A1" in text and "EB1" in text and "0.4 m" in text and "6 mm2" in text
    assert "surge" in text
    assert "licensed" in english(step.say).caution


def test_an_arrestor_without_an_earth_still_has_its_step():
    doc = sample("reedbed-hide")
    del doc["boxes"][2]["bond"]
    assert "bond.A1" in by_id(doc)


def test_a_fit_step_names_the_next_boxs_port_and_never_the_far_stop():
    found = by_id(sample("reedbed-hide"))
    near, arrestor = words(found["fit.L1"]), words(found["fit.A1"])
    assert "in to A1.kit" in near and "out to S.out" in near
    assert "the long cable" in near and "equipment" in near
    assert "line to J1.a" in arrestor and "kit to L1.in" in arrestor
    assert "outdoors" in arrestor
    for far in ("hide", "Hide", "L2", "A2"):
        assert far not in english(found["fit.L1"].say).text
        assert far not in english(found["fit.A1"].say).text
    for _, one in plans():
        job = one.state.job
        for step in one.steps:
            if step.id.startswith("fit."):
                for port, _, far, span in step.say.parts["ports"]:
                    ends = {str(job.spans[span].a), str(job.spans[span].b)}
                    assert ends == {f"{step.box}.{port}", far}


def test_the_side_that_matters_most_is_told_first():
    parts = by_id(sample("reedbed-hide"))["fit.L1"].say.parts["ports"]
    assert [port for port, *_ in parts] == ["in", "out"]
    assert [port for port, *_ in by_id(sample("reedbed-hide"))["fit.A2"].say.parts["ports"]] == [
        "line",
        "kit",
    ]


def test_gigabit_only_is_named_at_its_ports():
    found = by_id(sample("reedbed-hide"))
    text = words(found["speeds.L2.in"])
    assert "Gigabit only: L1.in, L2.in" in text
    assert "no link" in text
    assert "Gigabit only: L2.out." in words(found["speeds.C.in"])
    for name in ("orchard-gate", "tide-mill"):
        for step in steps(sample(name)):
            assert "igabit" not in words(step)


def test_the_feed_step_asks_for_a_powered_source_and_its_grant():
    found = by_id(sample("reedbed-hide"))
    text = words(found["feed.S"])
    assert "powered source" in text and "60 W" in text
    assert "feed.S" in found["energise.S"].after


def test_the_four_families_that_hold_until_done():
    """Earthing, a powered feed, speeds that meet, the way round."""
    holding = {rule.kind: rule.holds for rule in RULES}
    assert holding["bond"] == holding["earth"] == "responsible"
    for kind in ("feed", "speeds", "fit"):
        assert holding[kind] is not None, kind
    for name in NAMES:
        one = judged(sample(name))
        held = {hold.step for hold in one.blockers if hold.step}
        for step in one.steps:
            if step.id.partition(".")[0] in ("bond", "earth", "feed", "speeds", "fit"):
                assert step.id in held


def test_what_is_asked_to_be_measured_can_be_measured_there():
    for _, one in plans():
        job = one.state.job
        for step in one.steps:
            if step.asks is None:
                continue
            at, kind = step.asks.at, step.asks.kind
            if kind == "loop_ohms":
                assert at in job.spans and step.power == "dead" and step.both_ends
            elif kind == "earth_ohms":
                assert at in job.earths
            else:
                box, _, port = at.partition(".")
                assert port in job.ports(job.boxes[box])
                assert job.boxes[box].sheet.facts.active
                assert step.power == "live"


def test_volts_are_asked_from_the_feed_outwards():
    asked = [s.asks.at for s in steps(sample("tide-mill")) if s.asks and s.asks.kind == "volts"]
    assert asked[:6] == ["S.out", "R1.in", "R1.out", "R2.in", "R2.out", "X.in"]
    assert asked.index("X.out1") < asked.index("P.in")
    assert asked.index("X.out2") < asked.index("G.in")
    assert len(asked) == 10


def test_a_span_within_one_stop_is_not_pulled():
    have = by_id(sample("reedbed-hide"))
    assert {name for name in have if name.startswith("pull.")} == {"pull.C3", "pull.C4"}


# ---------------------------------------------------------------- the walk


def test_the_walk_is_the_distance_between_successive_steps():
    """In the samples the run goes straight out, so a walk is the difference of the metres."""
    for name in NAMES:
        one = judged(sample(name))
        metres = [one.state.job.stops[step.stop].at_m for step in one.steps]
        expected = sum(abs(a - b) for a, b in pairwise(metres))
        assert walk_m(one.state.job, one.steps) == pytest.approx(expected)
        assert expected > 0


def test_stated_walks_win():
    doc = sample("reedbed-hide")
    doc["walks"] = [["hide", "hut", 700]]
    before, after = judged(sample("reedbed-hide")), judged(doc)
    hops = [(a.stop, b.stop) for a, b in pairwise(after.steps)]
    times = sum({"hut", "hide"} == set(hop) for hop in hops)
    assert times > 0
    longer = walk_m(after.state.job, after.steps) - walk_m(before.state.job, before.steps)
    assert longer == pytest.approx(times * (700 - 463))


def _fork() -> dict:
    """A splitter at the gate; one lamp 100 m to the east, one 100 m to the west."""
    doc = plan(0)
    doc["stops"] = {
        "gate": {"at_m": 0},
        "east": {"at_m": 100},
        "west": {"at_m": 100},
    }
    doc["earths"] = {}
    doc["boxes"] = [
        {"id": "S", "sheet": "source", "stop": "gate"},
        {"id": "X", "sheet": "splitter", "stop": "gate"},
        {"id": "L", "sheet": "lamp", "stop": "east"},
        {"id": "M", "sheet": "lamp", "stop": "west"},
    ]
    cable = {"cable": "generic.cat6-outdoor"}
    doc["spans"] = [
        {"id": "C0", "from": "S.out", "to": "X.in", "length_m": 1, **cable},
        {"id": "C1", "from": "X.out1", "to": "L.in", "length_m": 100, **cable},
        {"id": "C2", "from": "X.out2", "to": "M.in", "length_m": 100, **cable},
    ]
    return doc


def test_walks_follow_the_spans_to_another_branch():
    one = judged(_fork())
    pair = [step for step in one.steps if step.id in ("mount.L", "mount.M")]
    assert walk_m(one.state.job, pair) == pytest.approx(200)


def test_two_stops_as_far_out_as_each_other_are_not_mixed():
    visits: dict[str, list[str]] = {}
    for step in steps(_fork()):
        seen = visits.setdefault(step.part, [])
        if not seen or seen[-1] != step.stop:
            seen.append(step.stop)
    assert visits["fit"].count("east") == visits["fit"].count("west") == 1


def test_minutes_include_the_walk():
    for name in NAMES:
        one = judged(sample(name))
        out = steps_json(one, 1)
        work = sum(step["minutes"] for step in out["steps"])
        assert out["walk_m"] == pytest.approx(walk_m(one.state.job, one.steps))
        assert out["minutes"] == pytest.approx(work + out["walk_m"] / 50)


def test_the_words_of_a_step_name_things_of_this_job():
    """A point that a step names is a port of the plan."""
    for _, one in plans():
        job = one.state.job
        for step in one.steps:
            for box, port in re.findall(r"\b([A-Z][A-Z0-9]*)\.([a-z]+\d?)\b", words(step)):
                assert port in job.ports(job.boxes[box])


def test_a_reading_that_cannot_be_taken_is_put_aside_and_still_holds():
    """``not-here`` takes a reading step out of the way; leaving waits for a waiver all the same."""
    aside = {"what": "step", "step": "volts.E.in", "state": "not-here", "why": "no lead"}
    claimed = {"what": "step", "step": "volts.R1.in", "state": "done"}
    doc = sample("orchard-gate")
    doc["log"] = [{"id": f"e{n}", "n": n + 1, **entry} for n, entry in enumerate((aside, claimed))]
    one = judged(doc)
    states = {step.id: step.state for step in one.steps}

    assert states["volts.E.in"] == "not-here"
    assert states["volts.R1.in"] == "open"
    assert "step.volts.E.in" in {hold.id for hold in one.blockers}
