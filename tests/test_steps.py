"""The steps of any plan: an order that can be worked, the walk of it, and how it is told."""

from __future__ import annotations

import copy
import json
import random
import re
from itertools import pairwise

import pytest
from hypothesis import given, settings
from route_jobs import walk_m
from samples import NAMES, planned
from step_plans import (
    BOXES,
    fed_twice,
    judged,
    of_kind,
    plan,
    plans,
    plans_only,
    random_plans,
    rests,
    steps,
    words,
)
from strategies import any_job

from engine.phrases import english
from engine.report_json import steps_json
from engine.report_text import steps_text
from engine.step import AGAIN, NEEDS
from engine.steps import RULES
from engine.steps.coming import LOOK_OVER
from engine.worked import worked

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- the order and the ids


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
    doc = planned(name)
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
        doc = planned(name)
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


# ---------------------------------------------------------------- the walk


def test_the_walk_is_the_distance_between_successive_steps():
    """In the samples the run goes straight out, so a walk is the difference of the metres."""
    for name in NAMES:
        one = judged(planned(name))
        metres = [one.state.job.stops[step.stop].at_m for step in one.steps]
        expected = sum(abs(a - b) for a, b in pairwise(metres))
        assert walk_m(one.state.job, one.steps) == pytest.approx(expected)
        assert expected > 0


def test_stated_walks_win():
    doc = planned("reedbed-hide")
    doc["walks"] = [["hide", "hut", 700]]
    before, after = judged(planned("reedbed-hide")), judged(doc)
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
        one = judged(planned(name))
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
    doc = planned("orchard-gate")
    doc["log"] = [{"id": f"e{n}", "n": n + 1, **entry} for n, entry in enumerate((aside, claimed))]
    one = judged(doc)
    states = {step.id: step.state for step in one.steps}

    assert states["volts.E.in"] == "not-here"
    assert states["volts.R1.in"] == "open"
    assert "step.volts.E.in" in {hold.id for hold in one.blockers}


# ---------------------------------------------------------------- what a step rests on


@pytest.mark.long
def test_the_random_plans_have_what_is_to_be_shown():
    assert sum(bool(of_kind(one, "bond")) for one in random_plans()) > 50
    assert sum(len(of_kind(one, "off")) > 1 for one in (*random_plans(), *plans_only())) > 20


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


# ---------------------------------------------------------------- told


@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("name", NAMES)
def test_the_text_fits_and_tells_each_step_once(name, people):
    one = judged(planned(name))
    text = steps_text(one, people)
    assert max(map(len, text.splitlines())) <= 80
    flat = " ".join(text.split())
    for step in one.steps:
        assert flat.count(english(step.say).text) == 1, step.id
    numbers = re.findall(r"^ {0,2}(\d+) (?:done|n/a |    ) ", text, re.MULTILINE)
    assert [int(n) for n in numbers] == list(range(1, len(one.steps) + 1))


def test_a_reason_and_a_caution_are_not_told_again_and_again():
    text = " ".join(steps_text(judged(planned("reedbed-hide")), 1).split())
    assert text.count("The wrong variant is the commonest surprise.") == 1
    assert text.count("Before you climb at Hide") == 1
    assert text.count("Thunder heard or seen") == 3, "at each stop: hut, sluice, hide"


def test_json_says_what_a_step_needs_and_who_does_it():
    one = judged(planned("reedbed-hide"))
    rows = {row["id"]: row for row in steps_json(one, 2)["steps"]}
    assert rows["pull.C3"]["who"] in ([1, 2], [2, 1])
    assert rows["pairs.C4"]["needs"] == ["ladder", "far-end short"]
    assert rows["bond.A1"]["caution"].startswith("Local code")
    assert rows["photo.bond.A1"]["asks"] == {"at": "bond.A1", "kind": "photo"}
    assert json.dumps(rows, allow_nan=False)
