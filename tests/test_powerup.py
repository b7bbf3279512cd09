"""The walk that powers up: box by box outwards, halted by the first that is outside or dark."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from samples import planned
from strategies import any_job

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import english
from engine.powerup import PowerWalk, Stage, power_walk

pytestmark = pytest.mark.pure

NAMES = ("orchard-gate", "reedbed-hide", "tide-mill")


def judged(doc: dict, *bodies: dict) -> Judgement:
    log = [{"id": f"e{n}", "device": "d", "n": n, **body} for n, body in enumerate(bodies, 1)]
    return judge(read_job({**doc, "log": log}))


def walk(doc: dict, *bodies: dict) -> PowerWalk:
    one = judged(doc, *bodies)
    return power_walk(one.state, one.prediction, one.judged)


def states(doc: dict, *bodies: dict) -> dict[str, str]:
    return {stage.box: stage.state for stage in walk(doc, *bodies).stages}


def stage(doc: dict, box: str, *bodies: dict) -> Stage:
    return next(one for one in walk(doc, *bodies).stages if one.box == box)


def read(at: str, kind: str, value: float, **more) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1", **more}


def dark(box: str, is_so=True) -> dict:
    return {"what": "note", "at": box, "text": "no lights", "x_dark": is_so}


ORCHARD = planned("orchard-gate")
S, R1 = read("S.out", "volts", 53.5), read("R1.in", "volts", 50.9)
LINK, E = read("R1.in", "mbps", 100), read("E.in", "volts", 48.6)
E_LINK = read("E.in", "mbps", 100)


def test_the_walk_of_the_reedbed_by_hand():
    found = walk(planned("reedbed-hide"))
    told = [(s.box, s.stop, s.at, s.wait_s, s.lights.code, s.asks) for s in found.stages]

    def asks(at: str, *kinds: str) -> tuple:
        return tuple((at, kind) for kind in ("volts", "milliamps", *kinds))

    assert told == [
        ("S", "hut", "S.out", 3, "lights-feed", asks("S.out")),
        ("L1", "hut", "L1.out", 60, "lights-box", asks("L1.out", "mbps")),
        ("L2", "hide", "L2.in", 60, "lights-box", asks("L2.in", "mbps")),
        ("C", "hide", "C.in", 120, "lights-endpoint", asks("C.in", "mbps")),
    ]
    assert (found.here.box, found.halted, found.waiting) == ("S", None, frozenset())


def test_branches_come_one_after_the_other_and_each_box_once():
    assert [one.box for one in walk(planned("tide-mill")).stages] == [
        "S",
        "R1",
        "R2",
        "X",
        "P",
        "G",
    ]


def test_a_box_is_proven_by_its_volts_and_its_link_the_amps_may_lack():
    assert states(ORCHARD) == {"S": "open", "R1": "open", "E": "open"}
    assert states(ORCHARD, S)["S"] == "proven"
    assert states(ORCHARD, S, R1)["R1"] == "open", "its link is not read"
    assert states(ORCHARD, S, R1, LINK)["R1"] == "proven"
    assert stage(ORCHARD, "R1", S, R1).done == {("R1.in", "volts")}
    assert walk(ORCHARD, S).here.box == "R1"
    done = walk(ORCHARD, S, R1, LINK, E, E_LINK)
    assert done.here is None and done.halted is None
    assert {one.worst for one in done.stages} == {"inside"}


def test_the_first_box_outside_halts_what_is_behind_it():
    low = read("R1.in", "volts", 44.0)
    found = walk(ORCHARD, S, low, LINK)
    assert {one.box: one.state for one in found.stages}["R1"] == "outside"
    assert (found.halted, found.here.box, found.waiting) == ("R1", "R1", {"E"})
    assert found.here.worst == "outside"
    assert walk(ORCHARD, S, low, {"what": "void", "of": "e2"}).halted is None


def test_no_volts_no_link_and_no_lights_are_dark():
    assert states(ORCHARD, S, read("R1.in", "volts", 0.0))["R1"] == "dark"
    assert states(ORCHARD, S, R1, read("R1.in", "mbps", 0))["R1"] == "dark"
    found = walk(ORCHARD, S, dark("R1"))
    assert (found.halted, found.waiting) == ("R1", {"E"})
    assert states(ORCHARD, dark("r1"))["R1"] == "dark"
    assert states(ORCHARD, dark("R1.in"))["R1"] == "dark"


def test_dark_ends_with_a_word_a_reading_or_its_taking_back():
    assert states(ORCHARD, dark("R1"), dark("R1", False))["R1"] == "open"
    assert states(ORCHARD, dark("R1"), R1, LINK)["R1"] == "proven"
    assert states(ORCHARD, R1, LINK, dark("R1"))["R1"] == "dark"
    assert states(ORCHARD, dark("R1"), {"what": "void", "of": "e1"})["R1"] == "open"
    assert states(ORCHARD, dark("R1", "yes"))["R1"] == "open", "only true is true"


def test_no_link_where_none_is_expected_is_not_dark():
    doc = planned("orchard-gate")
    doc["sheets"]["my.intercom"]["speeds_mbps"] = [1000]
    one = stage(doc, "E", S, E, read("E.in", "mbps", 0))
    assert one.state != "dark"


def test_unclear_is_not_proven():
    one = stage(ORCHARD, "S", read("S.out", "volts", 54.0))
    assert (one.worst, one.state) == ("unclear", "unclear")
    assert walk(ORCHARD, read("S.out", "volts", 54.0)).here.box == "S"


def test_unclear_and_again_as_it_should_be_is_proven_and_one_is_not_asked_a_third_time():
    first = {**read("S.out", "volts", 54.0), "moment": "a"}
    again = {**read("S.out", "volts", 54.0), "moment": "b"}
    one = stage(ORCHARD, "S", first, again)
    assert (one.worst, one.state) == ("inside", "proven")
    elsewhere = {**read("R1.in", "volts", 50.9), "moment": "b"}
    assert stage(ORCHARD, "S", first, elsewhere).state == "unclear"


def test_what_a_bare_meter_shows_on_a_port_that_asks_first_tells_nothing():
    idle = read("S.out", "volts", 3.0, **{"with": {"*": "off"}})
    one = stage(ORCHARD, "S", idle)
    assert (one.state, one.done, one.worst) == ("open", frozenset(), None)
    # the repeater in front answers the port, so there it should be fed, unplugged or not
    off = read("E.in", "volts", 0.0, **{"with": {"*": "off"}})
    assert states(ORCHARD, off)["E"] == "dark"


def test_a_known_load_in_place_of_the_endpoint_proves_a_box_too():
    with_load = {"with": {"E": {"watts": 14}}}
    bodies = [S, read("R1.in", "volts", 50.9, **with_load), LINK]
    assert states(ORCHARD, *bodies)["R1"] == "proven"


def test_one_branch_that_is_dark_leaves_the_other_open():
    found = walk(planned("tide-mill"), dark("P"))
    assert (found.halted, found.here.box, found.waiting) == ("P", "P", frozenset())
    behind = walk(planned("tide-mill"), dark("R2"))
    assert behind.waiting == {"X", "P", "G"}, "a box that makes its volts anew feeds on"


@pytest.mark.parametrize("name", NAMES)
def test_the_lights_of_each_box_have_their_words(name):
    for one in walk(planned(name)).stages:
        phrase = english(one.lights)
        assert one.box in phrase.text and phrase.why and one.wait_s > 0


@pytest.mark.long
@settings(max_examples=60, deadline=None)
@given(any_job)
def test_in_any_job_each_powered_box_comes_once_behind_the_one_that_feeds_it(doc):
    one = judged(doc)
    found = power_walk(one.state, one.prediction, one.judged)
    network, job = one.prediction.study.network, one.state.job
    boxes = [each.box for each in found.stages]
    assert len(set(boxes)) == len(boxes)
    fed = {point.box for point in network.where if job.boxes[point.box].sheet.facts.active}
    feeds = {box.id for box in job.boxes.values() if box.sheet.facts.feeds}
    assert fed <= set(boxes) <= fed | feeds
    # every box dark: only the feeds halt, all else waits behind them
    notes = [{"what": "note", "at": box, "text": "dark", "x_dark": True} for box in boxes]
    all_dark = walk(doc, *notes)
    roots = {tree.box.id for tree in network.trees if tree.box.sheet.facts.feeds}
    assert set(boxes) - all_dark.waiting == roots & set(boxes)
    for index, box in enumerate(boxes):
        behind = walk(doc, dark(box)).waiting
        assert behind <= set(boxes[index + 1 :]), "what waits comes later"
