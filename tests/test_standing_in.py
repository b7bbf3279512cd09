"""What a job draws where something else stands in a box's place, is unplugged or not there yet."""

from __future__ import annotations

from math import sqrt

import pytest
from jobs import active, chain, endpoint, regenerating, run, source
from test_operating import solved, volts_of

from engine.circuit import wire
from engine.job import Point
from engine.jobfile import read_job
from engine.network import Standing, build
from engine.operating import EXPECTED, Operating
from engine.operating import run as run_circuit

pytestmark = pytest.mark.pure


def watts_into(operating: Operating, point: str) -> float:
    return operating.flows[Point.parse(point)].watts


# ---------------------------------------------------------------- in a box's place


@pytest.mark.parametrize(
    ("standing", "watts"),
    [
        (Standing(), 12.0),
        (Standing(off=frozenset({"E1"})), 0.0),
        (Standing(known={"E1": 15.0}), 15.0),
        (Standing(beyond=Point("E1", "in")), 0.0),
    ],
)
def test_what_stands_in_place_of_a_box_is_what_draws(standing, watts):
    """A known load, an unplugged box, nothing beyond: the volts are those of these watts.

    By hand: the quadratic of 53.5 V behind 9.99 ohm.
    """
    doc = chain(source(53.5), run(300), endpoint(12))
    volts = volts_of(solved(doc, standing=standing))
    assert volts["E1.in"] == pytest.approx((53.5 + sqrt(53.5**2 - 4 * 9.99 * watts)) / 2, abs=1e-6)


@pytest.mark.parametrize(
    ("standing", "drawn"),
    [(Standing(off=frozenset({"R1"})), 0.0), (Standing(known={"R1": 15.0}), 15.0)],
)
def test_a_regenerating_box_that_is_not_there_passes_nothing_on(standing, drawn):
    """Unplugged, or with a known load in its place, it neither draws for what is behind nor feeds it."""
    doc = chain(source(53.5), run(100), regenerating(2), run(100), endpoint(12))
    operating = solved(doc, standing=standing)
    assert operating.flows[Point("R1", "in")].watts == pytest.approx(drawn, abs=1e-9)
    assert Point("E1", "in") not in operating.flows


@pytest.mark.parametrize(("port", "drawn"), [("in", 0.0), ("out", 2.5)])
def test_nothing_beyond_an_in_unplugs_the_box_too(port, drawn):
    """`*` at an `in` takes the box itself off, at an `out` the box stays on."""
    doc = chain(source(53.5), run(150), active(2.5), run(150), endpoint(12))
    operating = solved(doc, standing=Standing(beyond=Point("R1", port)))
    assert operating.flows[Point("S1", "out")].amps * operating.flows[
        Point("R1", "in")
    ].volts == pytest.approx(drawn, abs=1e-9)


# ---------------------------------------------------------------- a box that makes its own volts


def test_a_box_unplugged_far_behind_leaves_what_is_in_front_of_it_running():
    """The box that makes volts still does, and draws for what is left behind it."""
    behind = (run(100), active(1.5), run(100), endpoint(12))
    doc = chain(source(53.5), run(100), regenerating(2, 54, 0.9), *behind)
    left = solved(doc, standing=Standing(off=frozenset({"E1"})))
    passed = left.flows[Point("R1", "out")].watts
    assert 1.5 < passed < 1.51, "the repeater behind it, and what its span warms by"
    assert watts_into(left, "R1.in") == pytest.approx((2 + passed) / 0.9, abs=1e-9)
    assert watts_into(left, "R2.in") == pytest.approx(1.5, abs=1e-9)


@pytest.mark.parametrize(
    "standing",
    [
        Standing(off=frozenset({"R1"})),
        Standing(known={"R1": 5.0}),
        Standing(beyond=Point("R1", "in")),
        Standing(beyond=Point("R1", "out")),
    ],
)
def test_behind_a_box_that_is_not_there_none_makes_volts(standing):
    """Nothing comes to the second box, whatever it could make of it."""
    far = (regenerating(2, 54, 0.9), run(100), endpoint(12))
    doc = chain(source(53.5), run(100), active(1.5), run(100), *far)
    left = solved(doc, standing=standing)
    assert Point("E1", "in") not in left.flows
    assert [tree.box.id for tree in left.off] == ["R2"] and left.holds
    assert watts_into(left, "R2.in") == 0


def test_a_box_that_makes_volts_for_nothing_yet_draws_its_own_alone():
    doc = chain(source(50), run(100), regenerating(2, 54, 0.8))
    assert watts_into(solved(doc), "R1.in") == pytest.approx(2 / 0.8, abs=1e-9)


# ---------------------------------------------------------------- bundles


def test_all_bundles_of_a_run_are_followed_until_the_last_has_settled():
    """One that hardly warms is settled at once; the one that feeds it is not."""
    job = read_job(
        chain(source(), run(60, bundle=61), active(30), run(60, bundle=2), endpoint(0.01))
    ).plan
    circuit = wire(job, build(job), "expected")
    found = run_circuit(circuit, EXPECTED)
    hot, cool = circuit.trees[0].bundled
    for one in (hot, cool):
        rise = found.rises[one.span.id]
        amps = found.flows[circuit.network.trees[0].nodes[one.node].point].amps
        assert rise == pytest.approx(one.rise(amps, rise), abs=1e-6)
    assert found.rises[hot.span.id] > 0.5 > 0.001 > found.rises[cool.span.id] > 0
