"""Each thing of a plan has its steps: what a plan calls for, and what not."""

from __future__ import annotations

import copy

import pytest
from samples import NAMES, planned
from step_plans import by_id, judged, plans, plans_only, steps, words

from engine.phrases import english
from engine.steps import RULES, measured_points

pytestmark = pytest.mark.pure


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
    doc = planned("reedbed-hide")
    doc["boxes"][4]["bond"]["to"] = "EB1"
    order = [step.id for step in steps(doc)]
    assert order.index("bond.A2") < order.index("earth.EB1")
    assert "bond.A2" in by_id(doc)["earth.EB1"].after


def test_the_bond_step_says_where_to_and_how():
    step = by_id(planned("reedbed-hide"))["bond.A1"]
    text = words(step)
    assert "A1" in text and "EB1" in text and "0.4 m" in text and "6 mm2" in text
    assert "surge" in text
    assert "licensed" in english(step.caution).text


def test_an_arrestor_without_an_earth_still_has_its_step():
    doc = planned("reedbed-hide")
    del doc["boxes"][2]["bond"]
    assert "bond.A1" in by_id(doc)


def test_a_fit_step_names_the_next_boxs_port_and_never_the_far_stop():
    found = by_id(planned("reedbed-hide"))
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
    parts = by_id(planned("reedbed-hide"))["fit.L1"].say.parts["ports"]
    assert [port for port, *_ in parts] == ["in", "out"]
    assert [port for port, *_ in by_id(planned("reedbed-hide"))["fit.A2"].say.parts["ports"]] == [
        "line",
        "kit",
    ]


def test_gigabit_only_is_named_at_its_ports():
    found = by_id(planned("reedbed-hide"))
    text = words(found["speeds.L2.in"])
    assert "Gigabit only: L1.in, L2.in" in text
    assert "no link" in text
    assert "Gigabit only: L2.out." in words(found["speeds.C.in"])
    for name in ("orchard-gate", "tide-mill"):
        for step in steps(planned(name)):
            assert "igabit" not in words(step)


def test_the_feed_step_asks_for_a_powered_source_and_its_grant():
    found = by_id(planned("reedbed-hide"))
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
        one = judged(planned(name))
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
    asked = [s.asks.at for s in steps(planned("tide-mill")) if s.asks and s.asks.kind == "volts"]
    assert asked[:6] == ["S.out", "R1.in", "R1.out", "R2.in", "R2.out", "X.in"]
    assert asked.index("X.out1") < asked.index("P.in")
    assert asked.index("X.out2") < asked.index("G.in")
    assert len(asked) == 10


def test_a_span_within_one_stop_is_not_pulled():
    have = by_id(planned("reedbed-hide"))
    assert {name for name in have if name.startswith("pull.")} == {"pull.C3", "pull.C4"}


# ---------------------------------------------------------------- what a plan calls for, and what not


def test_the_whole_work_of_the_reedbed_by_hand():
    """29 points of the work, at a run of seven boxes and three stops."""
    assert {step.id for step in steps(planned("reedbed-hide"))} == {
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
    kinds = {step.kind for step in steps(planned("orchard-gate"))}
    assert not kinds & {"bond", "earth", "close", "after-close", "screens", "load", "photo"}
    one_room = planned("orchard-gate")
    for box in one_room["boxes"]:
        box["stop"] = "press"
    kinds = {step.kind for step in steps(one_room)}
    assert not kinds & {"walk", *REEL}
    assert {"rehearse", "settings", "copy"} <= kinds


def test_a_bond_that_is_not_an_arrestors_is_a_step_too_and_adds_no_surge_volts():
    doc = planned("reedbed-hide")
    doc["boxes"][1]["bond"] = {"to": "EB1", "lead_m": 0.4}
    step = by_id(doc)["bond.L1"]
    assert "EB1" in words(step) and "adds about" not in words(step)
    assert "bond.L1" in by_id(doc)["earth.EB1"].after


def test_screens_are_measured_between_two_named_buildings_before_their_earths_meet():
    doc = planned("reedbed-hide")
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
    found = by_id(planned("reedbed-hide"))
    step = found["load.C"]
    assert "16 W" in words(step) and {"known load", "break-out lead"} <= set(step.needs)
    assert "load.C" in found["volts.C.in"].after and "load.C" in found["link.C.in"].after
    assert "load.E" not in by_id(planned("orchard-gate")), "one repeater in front of it"
    # boxes that make their volts anew count as well
    assert {"load.P", "load.G"} <= set(by_id(planned("tide-mill")))


def test_a_source_that_always_feeds_has_no_settings_to_keep():
    doc = planned("orchard-gate")
    assert "settings.S" in by_id(doc)
    doc["sheets"]["my.switch"]["grants"] = "always"
    assert "settings.S" not in by_id(doc)


def test_only_what_lies_between_feed_and_endpoint_is_photographed_for_its_way_round():
    doc = planned("reedbed-hide")
    doc["sheets"]["my.camera"]["ports"] = {"in": {"faces": "source"}}
    found = {name for name in by_id(doc) if name.startswith("photo.") and "bond" not in name}
    assert found == {"photo.L1", "photo.L2", "photo.A1", "photo.A2"}, "a joint has two like sides"


def test_needs_follow_from_the_stop_and_the_work():
    found = by_id(planned("reedbed-hide"))
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
    found = by_id(planned("reedbed-hide"))
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
    step = by_id(planned("reedbed-hide"))["reel.C4"]
    assert step.say.parts["ohms"] == pytest.approx(2 * 66.8 * 0.1)
    assert "13.4 ohm" in words(step) and "256 m" in words(step)


def test_the_route_is_walked_to_the_farthest_stop_and_back():
    step = by_id(planned("reedbed-hide"))["walk.site"]
    assert step.asks.at == "stop:hide"
    assert step.minutes == pytest.approx(2 * 463 / 50 + 3 * 2)


def test_signing_comes_last_and_the_copy_before_it():
    for one in plans_only():
        assert [step.id for step in one.steps][-2:] == ["copy.site", "sign.site"]
