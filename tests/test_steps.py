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
from hypothesis import given, settings
from jobs import random_job
from route_jobs import walk_m
from strategies import any_job

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import english
from engine.report_json import steps_json
from engine.report_text import steps_text
from engine.step import AGAIN, NEEDS, Step
from engine.steps import RULES, measured_points
from engine.steps.coming import LOOK_OVER
from engine.worked import worked

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
    "braided": {
        "kind": "cable",
        "category": "6",
        "material": "copper",
        "awg": 23,
        "screened": True,
    },
}
BOXES = {name: sheet for name, sheet in SHEETS.items() if sheet["kind"] != "cable"}
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
        if dice.random() < 0.5:
            stop["building"] = dice.choice(["barn", "mill"])
        if dice.random() < 0.3:
            stop["needs"] = ["ladder"]
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
                "cable": dice.choice(["generic.cat6-outdoor", "braided"]),
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


@pytest.mark.long
def test_the_made_up_plans_are_of_every_shape():
    kinds = {box.kind for _, one in plans() for box in one.state.job.boxes.values()}
    assert kinds == {sheet["kind"] for sheet in BOXES.values()}
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
    """What a row rests on is a row itself, or one that there is on a return."""
    kinds = {rule.kind for rule in RULES} | {AGAIN, LOOK_OVER}
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
            of = of.removeprefix("bond.")
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


@pytest.mark.long
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
    assert "licensed" in english(step.caution).text


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
            elif kind == "metres":
                assert at in job.spans
            elif kind == "photo":
                bare = at.removeprefix("bond.").removeprefix("stop:")
                assert bare in job.stops if at.startswith("stop:") else bare in job.boxes
                assert "camera" in step.needs
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


def test_minutes_include_all_walks():
    """Between the steps, and to the other end and back where one is alone; nobody waits."""
    for name in NAMES:
        one = judged(sample(name))
        out, work = steps_json(one, 1), worked(one)
        minutes = sum(step["minutes"] for step in out["steps"])
        assert out["walk_m"] == pytest.approx(walk_m(one.state.job, work.steps))
        assert out["minutes"] == pytest.approx(minutes + (out["walk_m"] + work.besides_m) / 50)


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


# ---------------------------------------------------------------- what a step rests on


def rests(one: Judgement, name: str) -> set[str]:
    """All that a step rests on, and what that rests on."""
    after = {step.id: step.after for step in one.steps}
    found, waiting = set(), [name]
    while waiting:
        for before in after[waiting.pop()]:
            if before not in found:
                found.add(before)
                waiting.append(before)
    return found


def of_kind(one: Judgement, *kinds: str) -> set[str]:
    return {step.id for step in one.steps if step.kind in kinds}


@cache
def random_plans() -> tuple[Judgement, ...]:
    return tuple(judged(random_job(seed)) for seed in range(500))


@pytest.mark.long
def test_the_random_plans_have_what_is_to_be_shown():
    assert sum(bool(of_kind(one, "bond")) for one in random_plans()) > 50
    assert sum(len(of_kind(one, "off")) > 1 for one in (*random_plans(), *plans_only())) > 20


def plans_only() -> tuple[Judgement, ...]:
    return tuple(one for _, one in plans())


@pytest.mark.long
def test_nothing_live_rests_on_less_than_all_bonds():
    """Of the whole site, and so of its own run: a surge must have its way before it has a target."""
    for one in (*random_plans(), *plans_only()):
        bonds = of_kind(one, "bond")
        for step in one.steps:
            if step.power == "live":
                assert bonds <= rests(one, step.id), (one.state.job.id, step.id)


@pytest.mark.long
def test_nothing_dead_rests_on_less_than_all_feeds_off():
    for one in (*random_plans(), *plans_only()):
        off = of_kind(one, "off")
        for step in one.steps:
            if step.power == "dead":
                assert off <= rests(one, step.id), (one.state.job.id, step.id)


def test_all_clear_is_said_after_the_dead_work_and_before_power():
    for one in plans_only():
        for name in of_kind(one, "energise"):
            dead = {s.id for s in one.steps if s.power == "dead" and s.part in ("fit", "look")}
            clear = rests(one, name)
            assert "clear.site" in clear
            # marks and earth figures may come later: they touch no copper of the run
            assert {d for d in dead if not d.startswith(("earth.", "screens."))} <= clear


@settings(max_examples=60, deadline=None)
@given(any_job)
def test_any_job_has_steps_that_can_be_worked_in_their_order(doc):
    one = judged(doc)
    done = set()
    for step in one.steps:
        assert set(step.after) <= done, step.id
        assert set(step.needs) <= set(NEEDS)
        done.add(step.id)
    assert len(done) == len(one.steps)


# ---------------------------------------------------------------- what a plan calls for, and what not


def test_the_whole_work_of_the_reedbed_by_hand():
    """29 points of the work, at a run of seven boxes and three stops."""
    assert {step.id for step in steps(sample("reedbed-hide"))} == {
        *("announce.site", "walk.site", "meter.site", "feed.S", "rehearse.site", "off.S"),
        *(f"{kind}.{span}" for kind in REEL for span in ("C3", "C4")),
        *("sheet.S", "sheet.L1", "sheet.L2", "sheet.C"),
        *("speeds.L1.out", "speeds.L2.in", "speeds.C.in"),
        *("bond.A1", "bond.A2", "earth.EB1", "earth.EB2"),
        *("fit.L1", "fit.A1", "fit.J1", "fit.A2", "fit.L2", "mount.C"),
        *("photo.L1", "photo.A1", "photo.A2", "photo.L2", "photo.bond.A1", "photo.bond.A2"),
        *("look.site", "clear.site", "energise.S"),
        *(f"volts.{at}" for at in ("S.out", "L1.out", "L1.in", "L2.in", "L2.out", "C.in")),
        *("link.L1.out", "link.L2.in", "link.C.in", "load.C"),
        *("full.C", "cold.S", "settings.S"),
        *("close.sluice", "close.hide", "after-close.sluice", "after-close.hide"),
        *("labels.hut", "labels.sluice", "labels.hide"),
        *("take-back.site", "tell.site", "copy.site", "sign.site"),
    }


REEL = ("reel", "pull", "marks", "terminate", "pairs")


def test_a_plan_without_arrestors_outdoors_or_second_stop_has_none_of_their_steps():
    kinds = {step.kind for step in steps(sample("orchard-gate"))}
    assert not kinds & {"bond", "earth", "close", "after-close", "screens", "load", "photo"}
    one_room = sample("orchard-gate")
    for box in one_room["boxes"]:
        box["stop"] = "press"
    kinds = {step.kind for step in steps(one_room)}
    assert not kinds & {"walk", *REEL}
    assert {"rehearse", "settings", "copy"} <= kinds


def test_a_bond_that_is_not_an_arrestors_is_a_step_too_and_adds_no_surge_volts():
    doc = sample("reedbed-hide")
    doc["boxes"][1]["bond"] = {"to": "EB1", "lead_m": 0.4}
    step = by_id(doc)["bond.L1"]
    assert "EB1" in words(step) and "adds about" not in words(step)
    assert "bond.L1" in by_id(doc)["earth.EB1"].after


def test_screens_are_measured_between_two_named_buildings_before_their_earths_meet():
    doc = sample("reedbed-hide")
    assert "screens.C4" not in by_id(doc), "this cable has no screen"
    doc["sheets"]["my.cable"]["screened"] = True
    found = by_id(doc)  # through the joint, at the far end of the run
    step = found["screens.C4"]
    assert {"off.S", "pull.C3", "pull.C4"} <= set(step.after)
    assert step.stop == "hide" and "Hide" in words(step) and "Hut" in words(step)
    assert step.caution.code == "caution-two-earths"
    assert all("screens.C4" in found[bond].after for bond in ("bond.A1", "bond.A2"))
    half = copy.deepcopy(doc)
    half["sheets"]["my.plain"] = {**doc["sheets"]["my.cable"], "screened": False}
    half["spans"][2]["cable"] = "my.plain"
    assert "screens.C4" not in by_id(half), "a screen that ends at the joint joins nothing"
    doc["stops"]["hide"]["building"] = "hut"
    assert "screens.C4" not in by_id(doc)
    del doc["stops"]["hide"]["building"]
    assert "screens.C4" not in by_id(doc)


def test_a_known_load_is_asked_for_behind_two_powered_boxes():
    found = by_id(sample("reedbed-hide"))
    step = found["load.C"]
    assert "16 W" in words(step) and {"known load", "break-out lead"} <= set(step.needs)
    assert "load.C" in found["volts.C.in"].after and "load.C" in found["link.C.in"].after
    assert "load.E" not in by_id(sample("orchard-gate")), "one repeater in front of it"
    # boxes that make their volts anew count as well
    assert {"load.P", "load.G"} <= set(by_id(sample("tide-mill")))


def test_a_source_that_always_feeds_has_no_settings_to_keep():
    doc = sample("orchard-gate")
    assert "settings.S" in by_id(doc)
    doc["sheets"]["my.switch"]["grants"] = "always"
    assert "settings.S" not in by_id(doc)


def test_only_what_lies_between_feed_and_endpoint_is_photographed_for_its_way_round():
    doc = sample("reedbed-hide")
    doc["sheets"]["my.camera"]["ports"] = {"in": {"faces": "source"}}
    found = {name for name in by_id(doc) if name.startswith("photo.") and "bond" not in name}
    assert found == {"photo.L1", "photo.L2", "photo.A1", "photo.A2"}, "a joint has two like sides"


def test_needs_follow_from_the_stop_and_the_work():
    found = by_id(sample("reedbed-hide"))
    for step in found.values():
        assert ("ladder" in step.needs) == (step.stop == "hide"), step.id
    assert found["pairs.C3"].needs == ("far-end short",)
    assert found["pull.C3"].needs == ("partner",) and found["pull.C3"].both_ends
    assert found["volts.S.out"].needs == ("break-out lead",)
    assert found["photo.L1"].needs == ("camera",)
    assert {step.id for step in found.values() if step.wires} == {"terminate.C3", "terminate.C4"}


def test_no_two_steps_ask_for_the_same():
    for one in plans_only():
        asked = [(step.asks.at, step.asks.kind) for step in one.steps if step.asks]
        assert len(set(asked)) == len(asked)


def test_volts_after_closing_are_looked_at_where_power_is_measured():
    found = by_id(sample("reedbed-hide"))
    assert found["after-close.hide"].say.parts["at"] == "C.in"
    # a joint has no point of its own: the next one inwards
    sluice = found["after-close.sluice"]
    assert (sluice.say.parts["at"], sluice.stop) == ("L1.in", "hut")
    for one in plans_only():
        points = set(map(str, measured_points(one.state.job, one.prediction)))
        for step in one.steps:
            if step.kind == "after-close":
                assert step.say.parts["at"] in points


def test_what_a_reel_should_read():
    """Copper of 66.8 ohm/km: 100 m out and 100 m back."""
    step = by_id(sample("reedbed-hide"))["reel.C4"]
    assert step.say.parts["ohms"] == pytest.approx(2 * 66.8 * 0.1)
    assert "13.4 ohm" in words(step) and "256 m" in words(step)


def test_the_route_is_walked_to_the_farthest_stop_and_back():
    step = by_id(sample("reedbed-hide"))["walk.site"]
    assert step.asks.at == "stop:hide"
    assert step.minutes == pytest.approx(2 * 463 / 50 + 3 * 2)


def test_signing_comes_last_and_the_copy_before_it():
    for one in plans_only():
        assert [step.id for step in one.steps][-2:] == ["copy.site", "sign.site"]


# ---------------------------------------------------------------- what the log does to a step


def after(doc: dict, *bodies: dict) -> dict[str, Step]:
    log = [
        {"id": f"e{n}", "device": "d", "n": n, "by": "Ida", **b} for n, b in enumerate(bodies, 1)
    ]
    return by_id({**doc, "log": log})


def photo(of: str) -> dict:
    return {"what": "photo", "of": of, "sha256": "ab" * 32}


def tick(step: str, state: str = "done") -> dict:
    return {"what": "step", "step": step, "state": state}


def read(at: str, kind: str, value: float) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1"}


def test_a_photo_does_the_step_that_asks_for_it_until_the_box_is_altered():
    doc = sample("reedbed-hide")
    assert after(doc, tick("photo.L1"))["photo.L1"].state == "open", "only a picture does it"
    assert after(doc, photo("L1"))["photo.L1"].state == "done"
    assert after(doc, photo("l1"))["photo.L1"].state == "done"
    assert after(doc, photo("bond.A1"))["photo.bond.A1"].state == "done"
    assert after(doc, photo("stop:hide"))["walk.site"].state == "done"
    assert after(doc, photo("L1"), {"what": "void", "of": "e1"})["photo.L1"].state == "open"
    turned = {"what": "change", "where": "L1", "did": "turned round"}
    assert after(doc, photo("L1"), turned)["photo.L1"].state == "open"
    assert after(doc, photo("L1"), turned, photo("L1"))["photo.L1"].state == "done"
    assert after(doc, photo("L1"), {**turned, "where": "L2"})["photo.L1"].state == "done"


def test_a_change_elsewhere_leaves_what_was_read_of_a_span_by_itself():
    doc = sample("reedbed-hide")
    proven = [read("C3", "loop_ohms", 27.2), read("C3", "metres", 202), read("L1.in", "volts", 53)]

    def states(*more: dict) -> tuple[str, ...]:
        found = after(doc, *proven, *more)
        return tuple(found[name].state for name in ("pairs.C3", "marks.C3", "volts.L1.in"))

    def altered(where: str) -> dict:
        return {"what": "change", "where": where, "did": "new plug"}

    assert states() == ("done", "done", "done")
    assert states(altered("L2")) == ("done", "done", "open")
    # a new plug or joint at its end may show in its ohms, not in its length
    for where in ("C3", "J1", "A1.line"):
        assert states(altered(where)) == ("open", "done", "open")
    longer = {"what": "set", "path": ["spans", "C3", "length_m"], "value": 220, "as": "change"}
    assert states(longer) == ("open", "open", "open")
    assert states({**longer, "as": "correction"}) == ("done", "done", "done")
    assert states({"what": "void", "of": "e1"})[0] == "open"


def test_the_copy_is_done_by_an_export_and_signing_by_a_signature():
    doc = sample("orchard-gate")
    export = {"what": "export", "to": "laptop"}
    assert after(doc, tick("copy.site"))["copy.site"].state == "open"
    assert after(doc, tick("meter.site"), export)["copy.site"].state == "done"
    assert after(doc, export, tick("meter.site"))["copy.site"].state == "open"
    signed = after(doc, export, {"what": "sign", "role": "fitter"})
    assert (signed["copy.site"].state, signed["sign.site"].state) == ("done", "done")


def test_a_signature_is_one_visits_and_no_longer_does_the_step_once_the_log_has_grown():
    doc, sign = sample("orchard-gate"), {"what": "sign", "role": "fitter"}
    more, back = tick("meter.site"), ({"what": "leave", "open": []}, {"what": "visit"})

    def state(*bodies: dict) -> str:
        return after(doc, *bodies)["sign.site"].state

    assert state() == state(sign, more) == "open"
    assert state(sign) == state(sign, {"what": "export", "to": "x"}) == "done"
    assert state(sign, more, sign) == state(sign, more, {"what": "void", "of": "e2"}) == "done"
    assert state(sign, {"what": "void", "of": "e1"}) == "open"
    assert state(sign, back[0]) == "done" and state(sign, *back) == "open"
    assert state(sign, *back, sign) == "done"


def test_the_word_that_one_stands_on_paper_goes_as_far_as_a_signature():
    doc, word = sample("orchard-gate"), tick("sign.site")
    aside = tick("sign.site", "not-here")
    more, back = tick("meter.site"), ({"what": "leave", "open": []}, {"what": "visit"})

    def state(*bodies: dict) -> str:
        return after(doc, *bodies)["sign.site"].state

    assert state(word) == state(more, word) == "done"
    assert state(word, more) == state(word, *back) == state(word, tick("sign.site", "undone"))
    assert state(word, more) == "open"
    assert state(aside, more) == "not-here" and state(aside, *back) == "open"


def test_who_comes_back_says_so_and_proves_the_meter_anew():
    doc, done = sample("orchard-gate"), [tick("announce.site"), tick("meter.site"), tick("feed.S")]
    left, back = {"what": "leave", "open": []}, {"what": "visit", "people": 1}

    def states(*bodies: dict) -> tuple[str, ...]:
        found = after({**doc, "log": []}, *bodies)
        return tuple(found[name].state for name in ("announce.site", "meter.site", "feed.S"))

    assert states(*done, left) == ("done", "done", "done")
    assert states(*done, left, back) == ("open", "open", "done")
    assert states(*done, left, back, tick("meter.site")) == ("open", "done", "done")
    assert states(*done, back) == ("done", "done", "done"), "nobody had left"


def test_labels_and_speeds_are_compared_at_the_van_before_the_rehearsal():
    found = by_id(sample("reedbed-hide"))
    early = {name for name in found if name.startswith(("sheet.", "speeds."))}
    assert {found[name].stop for name in early} == {"hut"} and len(early) == 7
    assert early <= set(found["rehearse.site"].after)


def test_undoing_opens_what_rested_on_it():
    doc = sample("orchard-gate")
    done = [tick("look.site"), tick("clear.site"), tick("energise.S")]
    found = after(doc, *done, tick("look.site", "undone"))
    for name in ("look.site", "clear.site", "energise.S"):
        assert found[name].state == "open", name
    assert found["energise.S"].reopened_by in ("clear.site", "look.site")


def test_a_feed_that_is_off_again_is_to_be_switched_on_again():
    doc, on, off = sample("orchard-gate"), tick("energise.S"), tick("off.S")
    assert after(doc, off, on)["energise.S"].state == "done", "off before it was on: as planned"
    again = after(doc, off, on, off)["energise.S"]
    assert again.state == "open" and again.holds == "responsible"
    assert after(doc, on, off, on)["energise.S"].state == "done"


# ---------------------------------------------------------------- a plan edited half-way


def half_done(one: Judgement, dice: random.Random) -> list[dict]:
    """Some of the steps done, as far as marks and photos and readings of spans do them."""
    bodies = []
    for step in one.steps:
        if dice.random() < 0.4 or step.kind in ("copy", "take-back"):
            continue
        if step.asks is None:
            bodies.append(tick(step.id))
        elif step.asks.kind == "photo":
            bodies.append(photo(step.asks.at))
        elif step.asks.kind in ("loop_ohms", "metres", "earth_ohms"):
            bodies.append(read(step.asks.at, step.asks.kind, 5))
    return bodies


def edits(doc: dict, dice: random.Random) -> list[dict]:
    """A box with its feed added, an endpoint taken away with its cable, a box moved."""
    stops = sorted(doc["stops"])
    new = {
        "boxes": [
            {"id": "N1", "sheet": "source", "stop": stops[0]},
            {"id": "N2", "sheet": "lamp", "stop": stops[-1]},
        ],
        "spans": [
            {"id": "N3", "from": "N1.out", "to": "N2.in", "cable": "braided", "length_m": 30}
        ],
    }
    edited = [
        {"what": "add", "path": [group, thing["id"]], "value": thing}
        for group, things in new.items()
        for thing in things
    ]
    ends = [box["id"] for box in doc["boxes"] if box["sheet"] == "lamp"]
    if ends:
        gone = dice.choice(ends)
        spans = [s["id"] for s in doc["spans"] if f"{gone}.in" in (s["from"], s["to"])]
        edited += [{"what": "remove", "path": ["spans", span]} for span in spans]
        edited.append({"what": "remove", "path": ["boxes", gone]})
    moved = dice.choice([box["id"] for box in doc["boxes"] if box["id"] not in ends])
    edited.append({"what": "set", "path": ["boxes", moved, "stop"], "value": dice.choice(stops)})
    return [{**edit, "as": "change"} for edit in edited]


@pytest.mark.long
def test_an_edited_plan_keeps_what_still_stands_and_gains_what_is_new():
    lost = gained = kept = 0
    for seed in range(120):
        dice, doc = random.Random(seed), plan(seed)
        bodies = half_done(judged(doc), dice)
        more = edits(doc, dice)
        before, later = after(doc, *bodies), after(doc, *bodies, *more)
        moved = more[-1]["path"][1]
        assert {"energise.N1", "mount.N2", "full.N2"} <= set(later)
        for name, step in before.items():
            if name not in later:
                lost += 1
                continue
            if step.kind == "sign":
                assert later[name].state != "done", "nobody signed that"
            elif step.state == "done" and not asks_of(doc, step, moved):
                kept += 1
                assert later[name].state == "done", (seed, name)
        gained += len(set(later) - set(before))
        marks = {body["step"] for body in bodies if body["what"] == "step"}
        log = [{"id": f"e{n}", "n": n, **b} for n, b in enumerate((*bodies, *more), 1)]
        assert marks <= set(judged({**doc, "log": log}).state.steps), "no mark is forgotten"
    assert lost > 100 and gained > 300 and kept > 1000


def asks_of(doc: dict, step: Step, box: str) -> bool:
    """Whether a step asks for something of a box that was moved, of a cable at it, or of where
    the route ends."""
    if step.asks is None:
        return False
    of = step.asks.at.removeprefix("bond.")
    ends = {s["id"]: (s["from"].partition(".")[0], s["to"].partition(".")[0]) for s in doc["spans"]}
    return of == box or box in ends.get(of, ()) or of.startswith("stop:")


# ---------------------------------------------------------------- told


@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("name", NAMES)
def test_the_text_fits_and_tells_each_step_once(name, people):
    one = judged(sample(name))
    text = steps_text(one, people)
    assert max(map(len, text.splitlines())) <= 80
    flat = " ".join(text.split())
    for step in one.steps:
        assert flat.count(english(step.say).text) == 1, step.id
    numbers = re.findall(r"^ {0,2}(\d+) (?:done|n/a |    ) ", text, re.MULTILINE)
    assert [int(n) for n in numbers] == list(range(1, len(one.steps) + 1))


def test_a_reason_and_a_caution_are_not_told_again_and_again():
    text = " ".join(steps_text(judged(sample("reedbed-hide")), 1).split())
    assert text.count("The wrong variant is the commonest surprise.") == 1
    assert text.count("Before you climb at Hide") == 1
    assert text.count("Thunder heard or seen") == 3, "at each stop: hut, sluice, hide"


def test_json_says_what_a_step_needs_and_who_does_it():
    one = judged(sample("reedbed-hide"))
    rows = {row["id"]: row for row in steps_json(one, 2)["steps"]}
    assert rows["pull.C3"]["who"] in ([1, 2], [2, 1])
    assert rows["pairs.C4"]["needs"] == ["ladder", "far-end short"]
    assert rows["bond.A1"]["caution"].startswith("Local code")
    assert rows["photo.bond.A1"]["asks"] == {"at": "bond.A1", "kind": "photo"}
    assert json.dumps(rows, allow_nan=False)
