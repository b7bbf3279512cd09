"""Feeds, the way round, collapse, and what nobody has typed: what the design rules find of them."""

from __future__ import annotations

from math import sqrt

import pytest
from jobs import (
    Bare,
    Part,
    active,
    arrestor,
    band,
    chain,
    endpoint,
    injector,
    joint,
    quantity,
    regenerating,
    run,
    source,
)
from rule_plans import CASES, RADIO, STATED, UNBONDED, findings_of, hide

from engine.job import Point
from engine.jobfile import read_job
from engine.predict import predict

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- feeding


def test_a_box_without_feed():
    """A span taken out: what needs power behind it has none; passive boxes do not count."""
    doc = hide()
    doc["spans"] = [span for span in doc["spans"] if span["to"] != "J1.a"]
    found = findings_of(doc)
    unfed = {ident for ident in found if ident.startswith("feed.")}
    assert unfed == {"feed.L2", "feed.E1"}
    assert {found[ident].severity for ident in unfed} == {"stop"}


def test_a_box_with_two_feeds():
    """Two powered ports at the ends of one run: stop, with both feeds named."""
    doc = chain(source(), run(10), active(2, **STATED), run(10), Part(source().sheet, {}, True))
    doc["spans"][-1]["to"] = "S2.out"
    (finding,) = findings_of(doc).values()
    assert (finding.rule, finding.severity) == ("feed-twice", "stop")
    assert {finding.say.parts["first"], finding.say.parts["second"]} == {"S1.out", "S2.out"}


def test_an_injector_behind_a_powered_port_is_one_feed():
    """The port's power ends at the injector: nothing is fed twice."""
    doc = chain(source(), run(10), injector(), run(10), endpoint(5, **RADIO))
    assert findings_of(doc) == {}


# ---------------------------------------------------------------- orientation


@pytest.mark.parametrize(
    ("keys", "reversed_unit"),
    [({"near_turned": False}, "L1"), ({"far_turned": True}, "L2")],
)
def test_only_the_unit_that_is_the_wrong_way_round_is_named(keys, reversed_unit):
    """Turning every unit that is named must mend the job."""
    named = {f.at for f in findings_of(hide(**keys)).values() if f.rule == "orientation"}
    assert named == {reversed_unit}


@pytest.mark.parametrize(
    ("keys", "reversed_unit"),
    [({"near_turned": False}, "L1"), ({"far_turned": True}, "L2")],
)
def test_a_reversed_unit_is_named(keys, reversed_unit):
    """Found through arrestor and joint, from what the ports face."""
    assert findings_of(hide(**keys))[f"orientation.{reversed_unit}"].severity == "stop"


# ---------------------------------------------------------------- collapse and its neighbours


def test_the_numbers_of_a_collapse():
    """The share that the run bears and the volts it needs, by hand.

    53.5 V behind 9.99 ohm leaves 36 V at 36 x 17.5 / 9.99 = 63.06 W: 0.7883 of 80 W.
    """
    prediction = predict(read_job(chain(source(53.5), run(300), endpoint(80, **RADIO))).plan)
    assert prediction.collapse.at == Point("E1", "in")
    assert prediction.collapse.volts_needed == 36
    assert prediction.collapse.load_share == pytest.approx(36 * 17.5 / 9.99 / 80, rel=1e-5)
    shown = prediction.points[Point("E1", "in")]
    assert (shown.volts.low, shown.volts.expected, shown.volts.high) == (None, None, None)
    assert set(prediction.points) == {Point("S1", "out"), Point("E1", "in")}


def test_volts_that_a_starving_box_would_see():
    """The wires alone would hold (53.5 + sqrt(53.5² - 4 x 9.99 x 65))/2 = 34.67 V for 65 W."""
    found = findings_of(chain(source(53.5), run(300), endpoint(65, **RADIO)))
    by_hand = (53.5 + sqrt(53.5**2 - 4 * 9.99 * 65)) / 2
    assert found["volts-low.E1.in"].say.parts["volts"] == pytest.approx(by_hand, abs=1e-6)
    assert found["volts-low.E1.in"].say.parts["cutoff"] == 36


def test_the_worst_corner_without_an_answer_leaves_low_open():
    """`low` volts and `high` amps of the whole tree are null; the rest of the band stands."""
    doc = CASES["no operating point at worst only"][0]
    prediction = predict(read_job(doc).plan)
    assert prediction.operates and prediction.collapse is None
    for shown in prediction.points.values():
        assert shown.volts.low is None and shown.amps.high is None and shown.watts.high is None
        assert shown.volts.expected <= shown.volts.high
        assert shown.state == "on"


def test_a_collapse_at_worst_is_told_of_a_box_that_draws_power():
    """A joint cannot starve: the finding stands at a box with a load."""
    doc = chain(
        source(53.5),
        run(5),
        active(2),
        run(band(600, 600, 1800)),
        joint(),
        run(5),
        arrestor(),
        run(5),
        active(2),
        run(5),
        endpoint(band(2, 4, 25)),
    )
    places = [f.at for f in predict(read_job(doc).plan).findings if f.rule == "collapse-worst"]
    assert len(places) == 1
    assert places[0] in ("R1.in", "R2.in", "E1.in")


def test_a_tree_that_fails_behind_leaves_the_tree_in_front_running():
    """A regenerating box whose own tree collapses idles: 2 W / 0.8 in front of it."""
    doc = chain(
        source(53.5),
        run(90),
        regenerating(2, 54, 0.8, **STATED),
        run(90),
        active(2, **STATED),
        run(90),
        endpoint(190, **RADIO),
    )
    prediction = predict(read_job(doc).plan)
    assert not prediction.operates
    assert prediction.collapse.at == Point("E1", "in")
    front = prediction.points[Point("R1", "in")]
    assert (front.state, front.watts.expected) == ("on", pytest.approx(2.5))
    assert prediction.points[Point("E1", "in")].volts.expected is None


# ---------------------------------------------------------------- assumed


def test_what_nobody_has_typed_is_noted():
    """Each bare number and each value taken for granted, under the thing it belongs to."""
    doc = chain(
        source(Bare(54)),
        run(Bare(20), Bare(70)),
        active(Bare(2), ohms_per_conductor=quantity(Bare(0.1)), **STATED),
        run(10),
        endpoint(Bare(12)),
    )
    found = findings_of(doc)
    assert {finding.severity for finding in found.values()} == {"note"}
    assert set(found) == {
        "assumed.my.S1.volts",
        "assumed.C1.length",
        "assumed.my.C1.ohms_per_km",
        "assumed.my.R1.own_watts",
        "assumed.my.R1.ohms_per_conductor",
        "assumed.my.E1.watts",
        "assumed.my.E1.cutoff_volts",
        "assumed.my.E1.on_volts",
        "assumed.my.E1.watts_swing_percent",
    }


def test_stops_come_first():
    """The list is for reading from the top: stop, warn, note."""
    doc = hide(last=UNBONDED, end=endpoint(Bare(12)))
    order = [finding.severity for finding in predict(read_job(doc).plan).findings]
    assert order == sorted(order, key=["stop", "warn", "note"].index)
    assert {"stop", "note"} <= set(order)


def test_the_same_matter_keeps_its_id():
    """An id is made of the rule and the place, so it outlives other changes of the plan."""
    before = findings_of(hide(last=UNBONDED))["bond.A2"]
    after = findings_of(hide(last=UNBONDED, length_m=200))["bond.A2"]
    assert before.id == after.id == f"{before.rule}.{before.at}"


def test_a_gauge_and_a_copper_share_nobody_typed_are_told():
    """A cable with neither ohms nor gauge is worked out all the same; the prediction says from what."""
    bare = {"kind": "cable", "material": "clad"}
    told = {**bare, "awg": 24, "copper_percent": 10}
    ends = {}
    for name, sheet in (("bare", bare), ("told", told)):
        prediction = predict(read_job(chain(source(), run(90, cable=sheet), endpoint(5))).plan)
        quantities = {f.say.parts["quantity"] for f in prediction.findings if f.rule == "assumed"}
        assert ({"gauge", "copper_share"} <= quantities) == (name == "bare")
        ends[name] = prediction.points[Point("E1", "in")].volts

    assert ends["bare"] == ends["told"]
