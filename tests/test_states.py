"""States, not only volts: what ports grant, when they let go, and what stands whatever the job."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import (
    active,
    arrestor,
    band,
    beside,
    chain,
    endpoint,
    exact,
    injector,
    joint,
    regenerating,
    run,
    source,
)
from random_jobs import with_bundles
from states_seen import OHMS_PER_M, at, feed, seen, states, told, upper_root
from strategies import any_job

from engine.circuit import wire
from engine.headroom import load_share
from engine.job import Point
from engine.jobfile import read_job
from engine.network import build
from engine.operating import Conditions, holds
from engine.report_json import prediction_json
from engine.report_text import prediction_text

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- what a port grants

WATTS_OF_CLASS = {1: 4.0, 2: 7.0, 3: 15.4, 4: 30, 5: 45, 6: 60, 7: 75, 8: 90}
"""what a source gives at least; values-power 1"""


@pytest.mark.parametrize(("class_", "watts"), WATTS_OF_CLASS.items())
def test_a_port_grants_the_class_of_what_answers(class_, watts):
    """One box alone: its class is what the port gives."""
    prediction = seen(chain(source(54), run(10), endpoint(2, class_=class_)))
    assert feed(prediction).limit.granted_watts == watts
    assert feed(prediction).answers == "E1"


def test_the_first_box_answers_for_all_behind_it():
    """A class 3 repeater in front of a class 6 endpoint: the port knows of 15.4 W only."""
    doc = chain(source(54), run(10), active(2, class_=3), run(10), endpoint(5, class_=6))
    prediction = seen(doc)
    assert feed(prediction).answers == "R1"
    assert feed(prediction).limit.granted_watts == 15.4


def test_what_shows_no_signature_is_looked_through():
    """An arrestor and a joint do not answer; the endpoint behind them does."""
    doc = chain(source(54), run(5), joint(), run(5), arrestor(), run(5), endpoint(5, class_=4))
    assert (feed(seen(doc)).answers, feed(seen(doc)).limit.granted_watts) == ("E1", 30)


def test_no_class_no_check():
    """The first box states no class: nothing is granted, and 80 W of a classed endpoint run."""
    doc = chain(source(57), run(10), active(2), run(10), endpoint(40, class_=5))
    prediction = seen(doc)
    assert feed(prediction).limit.granted_watts is None
    assert prediction.operates
    assert {"class", "port-trip"} & {finding.rule for finding in prediction.findings} == set()


def test_a_port_that_asks_nobody_grants_nothing():
    """An unmanaged injector gives to any class; its keep-alive is no matter either."""
    passive = injector(54, grants="always")
    doc = chain(source(), run(5), passive, run(10), endpoint(exact(0.3), class_=1))
    prediction = seen(doc)
    limit = feed(prediction, "P1.out").limit
    assert (limit.probes, limit.answers, limit.granted_watts) == (False, None, None)
    assert "keep-alive" not in {finding.rule for finding in prediction.findings}


@pytest.mark.parametrize(
    ("keys", "granted"),
    [({"class_": 4}, 30), ({"class_": 8}, 60), ({"watts_max": 50}, 50), ({"watts_max": 90}, 60)],
)
def test_a_port_grants_no_more_than_it_has(keys, granted):
    """Class 6 asked for; the port's own class or its watts may be fewer."""
    prediction = seen(chain(source(54, **keys), run(10), endpoint(10, class_=6)))
    assert feed(prediction).limit.granted_watts == granted
    assert ("class.S1.out" in told(prediction)) == (granted < 60)


# ---------------------------------------------------------------- a port that lets go


@pytest.mark.parametrize(("pairs", "granted"), [(2, 30), (4, 60)])
def test_two_pairs_carry_no_more_than_class_4(pairs, granted):
    """A class 6 box on a two-pair port is granted 30 W; classes 5 to 8 need four pairs."""
    doc = chain(source(54, pairs=pairs), run(10), endpoint(45, class_=6))
    prediction = seen(doc)
    assert feed(prediction).limit.granted_watts == granted
    assert (states(prediction)["E1.in"] == "on") == (granted > 45)


def tripping(watts):
    """Class 3 shown, 15.4 W granted; own 2 W and what is behind, at an efficiency of 0.9."""
    return chain(
        source(54),
        run(10),
        regenerating(2, 54, 0.9, class_=3),
        run(10),
        active(1),
        run(10),
        endpoint(watts),
    )


def test_a_port_that_is_asked_for_too_much_cycles_and_what_is_behind_is_off():
    """More than the grant: its tree comes and goes, the next is dark, and there is no band.

    The one figure is what would be seen if the port held on.
    """
    prediction = seen(tripping(13))
    assert told(prediction)["port-trip.S1.out"] == "stop"
    assert states(prediction) == {
        "S1.out": "cycling",
        "R1.in": "cycling",
        "R1.out": "off",
        "R2.in": "off",
        "R2.out": "off",
        "E1.in": "off",
    }
    for shown in prediction.points.values():
        for band_ in (shown.volts, shown.amps, shown.watts):
            assert (band_.low, band_.high) == (None, None)
            assert band_.expected > 0


def test_a_trip_is_no_collapse():
    """The network has an operating point, so `operates` is true; the finding stops it."""
    prediction = seen(tripping(13))
    assert prediction.operates and prediction.collapse is None
    written = prediction_json(prediction)
    assert (written["operates"], written["collapse"]) == (True, None)
    assert (
        prediction_text(prediction).splitlines()[2].startswith("It will not work: S1.out lets go")
    )
    assert written["load_share"] > 1


def test_what_a_tripped_port_is_asked_for_is_still_told():
    """(13 W + 1 W + the cable behind, + 2 W) / 0.9, + the cable in front: by hand."""
    ohms = OHMS_PER_M * 10 / 2
    amps = (13 + 1) / 54
    for _ in range(50):
        volts_r2 = 54 - ohms * amps
        volts_e1 = upper_root(volts_r2, ohms, 13)
        amps = 1 / volts_r2 + 13 / volts_e1
    drawn = (54 * amps + 2) / 0.9
    asked = 54 * drawn / upper_root(54, ohms, drawn)
    assert asked > 15.4
    prediction = seen(tripping(13))
    assert feed(prediction).lets_go
    assert feed(prediction).watts.expected == pytest.approx(asked, abs=1e-6)
    assert prediction_json(prediction)["sources"]["S1.out"]["watts"]["expected"] == pytest.approx(
        asked, abs=1e-6
    )


def test_within_the_grant_everything_is_on():
    """The counter-example: the same run with a smaller load."""
    prediction = seen(tripping(8))
    assert prediction.operates
    assert set(states(prediction).values()) == {"on"}
    assert "port-trip" not in {finding.rule for finding in prediction.findings}


def test_a_port_that_trips_at_worst_only_has_no_low_end():
    """At worst it comes and goes: a state, not the end of a band; what is asked is told."""
    doc = chain(source(54), run(10), active(2, class_=3), run(10), endpoint(band(2, 5, 14)))
    prediction = seen(doc)
    assert prediction.operates
    assert told(prediction)["class.S1.out"] == "warn"
    for shown in prediction.points.values():
        assert (shown.state, shown.at_worst) == ("on", "cycling")
        assert shown.volts.low is None
        assert shown.volts.expected <= shown.volts.high
    assert feed(prediction).watts.high > 15.4
    assert prediction_json(prediction)["points"]["E1.in"]["at_worst"] == "cycling"


def test_a_regenerating_box_that_trips_at_worst_leaves_no_low_end_in_front_of_it():
    """R gives 15 W at most; at worst 20 W are asked, so the volts in front are another state's."""
    doc = chain(
        source(54), run(50), regenerating(2, out_watts_max=15), run(20), endpoint(band(5, 10, 20))
    )
    prediction = seen(doc)
    assert told(prediction)["port-power.R1.out"] == "warn"
    assert at(prediction, "R1.in").volts.low is None
    assert at(prediction, "R1.in").state == at(prediction, "R1.in").at_worst == "on"
    assert at(prediction, "E1.in").at_worst == "cycling"


def test_a_second_port_is_not_touched_by_the_first_ones_trip():
    """Two runs in one job: one cycles, the other is on."""
    doc = chain(source(54), run(10), endpoint(10, class_=1))
    beside(doc, source(54), run(10), endpoint(3, class_=1))
    prediction = seen(doc)
    assert states(prediction) == {
        "S1.out": "cycling",
        "E1.in": "cycling",
        "S2.out": "on",
        "E2.in": "on",
    }


# ---------------------------------------------------------------- a box that makes its own volts


def limited(watts, most):
    """100 m in front, a regenerating box that gives so many watts, 50 m behind."""
    box = regenerating(2, 54, 0.8, out_watts_max=most)
    return chain(source(54), run(100), box, run(50), endpoint(watts))


def test_a_regenerating_box_beyond_its_limit_lets_go_of_its_own_tree_only():
    """Behind it cycles; in front only its idle watts flow: 2 W / 0.8 through 3.33 ohm."""
    prediction = seen(limited(16, 15))
    assert states(prediction) == {
        "S1.out": "on",
        "R1.in": "on",
        "R1.out": "cycling",
        "E1.in": "cycling",
    }
    volts = upper_root(54, OHMS_PER_M * 100 / 2, 2 / 0.8)
    assert at(prediction, "R1.in").watts.expected == pytest.approx(2.5)
    assert at(prediction, "R1.in").volts.expected == pytest.approx(volts, abs=1e-9)
    assert prediction.operates and prediction.collapse is None
    assert feed(prediction, "R1.out").watts.expected == pytest.approx(
        54 * 16 / upper_root(54, OHMS_PER_M * 50 / 2, 16), abs=1e-6
    )
    assert told(prediction)["port-power.R1.out"] == "stop"


def test_a_regenerating_box_within_its_limit_passes_on_what_it_gives():
    """(P_out + own) / efficiency in front, by hand."""
    prediction = seen(limited(14, 15))
    out = 54 * 14 / upper_root(54, OHMS_PER_M * 50 / 2, 14)
    assert out < 15
    drawn = (out + 2) / 0.8
    assert at(prediction, "R1.in").watts.expected == pytest.approx(drawn, abs=1e-6)
    assert set(states(prediction).values()) == {"on"}


def halves(first, second, most=15):
    """A regenerating splitter with two radios."""
    box = regenerating(2, 54, 0.8, kind="splitter", out_watts_max=most)
    return chain(source(54), run(50), box, [[run(5), endpoint(first)], [run(5), endpoint(second)]])


def test_two_outs_share_the_limit_of_their_box():
    """8 W and 8 W are more than 15 W together, though neither is alone: both let go."""
    prediction = seen(halves(8, 8))
    shown = states(prediction)
    assert {shown[point] for point in ("Y1.out1", "Y1.out2", "E1.in", "E2.in")} == {"cycling"}
    assert shown["Y1.in"] == "on"
    assert at(prediction, "Y1.in").watts.expected == pytest.approx(2.5)
    assert [ident for ident in told(prediction) if ident.startswith("port-power.")] == [
        "port-power.Y1.out1"
    ]


def test_two_outs_within_the_limit_of_their_box_run():
    """7 W and 7 W, and the other way round 14 W and nearly none."""
    for watts in ((7, 7), (14, 0.5)):
        prediction = seen(halves(*watts))
        assert set(states(prediction).values()) == {"on"}
        assert prediction.operates


def test_a_regenerating_tree_that_collapses_leaves_its_box_idle():
    """Out there nothing holds; in front the box idles, and the job says that it cannot work."""
    doc = chain(source(54), run(50), regenerating(2, 54, 0.8), run(300), endpoint(80))
    prediction = seen(doc)
    assert prediction.collapse.at == Point("E1", "in")
    assert prediction.collapse.feed == Point("R1", "out")
    assert prediction.collapse.loop_ohms == pytest.approx(OHMS_PER_M * 300 / 2)
    assert prediction.collapse.load_share == pytest.approx(36 * 18 / (OHMS_PER_M * 150) / 80, 1e-4)
    assert at(prediction, "R1.in").watts.expected == pytest.approx(2.5)
    assert states(prediction)["R1.in"] == "on"
    assert at(prediction, "E1.in").volts.expected is None


# ---------------------------------------------------------------- watts that ports share


def on_one_supply(most, others=0.0):
    """Two ports of 8 W each on one budget."""
    doc = chain(source(54), run(10), endpoint(8))
    beside(doc, source(54), run(10), endpoint(8))
    doc["budgets"] = {"rack": {"watts": most, "other_watts": others}}
    for box in doc["boxes"]:
        if box["id"].startswith("S"):
            box["budget"] = "rack"
    return doc


@pytest.mark.parametrize(
    ("most", "others", "broken"), [(16, 0, True), (16.2, 0, False), (20, 4, True), (20, 3.8, False)]
)
def test_ports_on_one_supply_are_added_up(most, others, broken):
    """Two runs of 8 W and their cable: 16.1 W, beside what else hangs on the supply."""
    found = told(seen(on_one_supply(most, others)))
    assert ("budget.rack" in found) == broken
    assert found.get("budget.rack", "stop") == "stop"


def test_what_a_supply_is_asked_for_is_told():
    """The sum of both ports by hand."""
    (finding,) = [f for f in seen(on_one_supply(16, 1)).findings if f.rule == "budget"]
    each = 54 * 8 / upper_root(54, OHMS_PER_M * 10 / 2, 8)
    assert finding.say.parts["watts"] == pytest.approx(2 * each + 1, abs=1e-6)


# ---------------------------------------------------------------- whatever the job

FEW = settings(max_examples=25, deadline=None)


def exact_share(doc) -> tuple:
    """The circuit of a document at its expected values, and the share of load it bears."""
    plan = read_job(doc).plan
    circuit = wire(plan, build(plan), "expected")
    return circuit, load_share(circuit)


@pytest.mark.long
@FEW
@given(any_job, st.integers(0, 10**6))
def test_volts_never_rise_away_from_the_feed_however_warm(doc, seed):
    """Along every tree and in every corner, bundles included."""
    prediction = seen(with_bundles(doc, seed))
    for tree in prediction.study.network.trees:
        for node in tree.nodes[1:]:
            here = prediction.points[node.point].volts
            above = prediction.points[tree.nodes[node.parent].point].volts
            for name in ("low", "expected", "high"):
                if getattr(here, name) is not None:
                    assert getattr(here, name) <= getattr(above, name) + 1e-9


@FEW
@given(any_job, st.integers(0, 10**6))
def test_the_load_share_is_where_the_run_ends_however_warm(doc, seed):
    """A little less of the load holds, a little more does not, with warm bundles too."""
    circuit, share = exact_share(with_bundles(doc, seed))
    assert share is not None
    assert holds(circuit, Conditions(load_share=share * 0.95))
    assert holds(circuit, Conditions(load_share=share * 0.9999))
    assert not holds(circuit, Conditions(load_share=share * 1.0001))


@pytest.mark.long
@FEW
@given(any_job, st.integers(0, 10**6))
def test_a_warm_bundle_lowers_volts_and_raises_none(doc, seed):
    """The same job cold and in bundles: no point gains, no job gains a share of load."""
    cold, warm = seen(doc), seen(with_bundles(doc, seed))
    for point, shown in warm.points.items():
        if shown.volts.expected is not None and cold.points[point].state == shown.state == "on":
            assert shown.volts.expected <= cold.points[point].volts.expected + 1e-9
    assert warm.load_share <= cold.load_share * (1 + 1e-5)


@FEW
@given(any_job)
def test_every_point_of_a_job_has_a_state_that_fits_its_band(doc):
    """In a job without grants `on` and only `on` has expected volts, and then it operates."""
    prediction = seen(doc)
    fed = [shown for shown in prediction.points.values() if shown.feed is not None]
    assert all((shown.state == "on") == (shown.volts.expected is not None) for shown in fed)
    assert prediction.operates == all(shown.state == "on" for shown in fed)
