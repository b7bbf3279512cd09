"""How warm a cable is: the air of its way, and what a bundle of them adds."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sqrt

import pytest
from jobs import band, chain, endpoint, exact, run, source
from states_seen import OHMS_PER_M, at, seen

from engine.job import Point

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- cables that warm themselves

AWG_24 = 84.2


def bundled(bundle, amps=1.2, length_m=50, ambient_c=20):
    """A load that takes about these amps through a span in a bundle of so many cables."""
    ohms = AWG_24 / 1000 * length_m / 2
    watts = amps * (53.5 - amps * ohms)
    cable = {"kind": "cable", "category": "5e", "ohms_per_km": exact(AWG_24)}
    keys = {} if bundle is None else {"bundle": bundle}
    return chain(
        source(53.5), run(length_m, cable=cable, **keys), endpoint(watts), ambient_c=ambient_c
    )


def centre_rise(cables, watts_per_metre):
    """Rise at the centre of a bundle of 5.2 mm cables, 8 W/m2K, 6 K m/W; values-power 5. [K]"""
    q = cables * watts_per_metre
    return q / (8 * pi * 0.0052 * sqrt(cables / 0.8)) + q * 6 / (4 * pi)


def test_a_hundred_cables_at_600_milliamps_a_pair_warm_as_was_measured():
    """7.2 K were measured; the model is a fit to that point, 7.0 to 7.3."""
    prediction = seen(bundled(100, length_m=1))
    assert prediction.points[Point("E1", "in")].amps.expected == pytest.approx(1.2, abs=0.001)
    assert 7.0 <= prediction.spans["C1"].rise <= 7.3


@pytest.mark.parametrize("bundle", [1, 24, 100, 300])
@pytest.mark.parametrize("length_m", [1, 50, 90])
def test_the_rise_is_the_one_that_its_own_amps_cause(bundle, length_m):
    """Ohms raise amps, amps raise ohms: worked out again from the answer, the rise is the same."""
    prediction = seen(bundled(bundle, length_m=length_m))
    rise = prediction.spans["C1"].rise
    shown = at(prediction, "E1.in")
    loop = AWG_24 / 1000 * length_m / 2 * (1 + 0.00393 * rise)
    heat = shown.amps.expected**2 * loop / length_m
    assert rise == pytest.approx(centre_rise(bundle, heat), abs=1e-6)
    assert 53.5 - shown.volts.expected == pytest.approx(shown.amps.expected * loop, abs=1e-6)
    celsius = prediction.spans["C1"].celsius
    assert celsius.high == pytest.approx(20 + rise)


def test_more_cables_in_a_bundle_never_raise_the_volts():
    """No bundle, then one cable, and more and more of them."""
    volts = [
        at(seen(bundled(count)), "E1.in").volts.expected
        for count in (None, 1, 2, 7, 24, 61, 100, 200, 400)
    ]
    assert all(more < fewer for fewer, more in pairwise(volts))


def test_without_a_bundle_nothing_warms():
    """Own heating counts only where the plan says that there is a bundle; one cable is one."""
    assert not seen(bundled(None)).spans["C1"].rise
    assert 0 < seen(bundled(1)).spans["C1"].rise < 1


def test_warming_may_be_what_a_run_collapses_of():
    """Just on the sound side with cold cable; in a bundle nothing holds, and it is said."""
    cable = {"kind": "cable", "category": "5e", "ohms_per_km": exact(AWG_24)}
    loop = AWG_24 / 1000 * 100 / 2
    watts = 53.5**2 / (4 * loop) * 0.995
    cold, warm = (
        seen(
            chain(
                source(53.5),
                run(100, cable=cable, **keys),
                endpoint(watts, cutoff_volts=20),
            )
        )
        for keys in ({}, {"bundle": 24})
    )
    assert cold.operates
    assert not warm.operates and warm.collapse.load_share < 1


# ---------------------------------------------------------------- how warm it is

AIR = band(-5, 15, 35)


@pytest.mark.parametrize(
    ("keys", "celsius"),
    [
        ({"indoor": False}, (-5, 15, 35)),
        ({"indoor": True}, (18, 21, 26)),
        ({"route": "indoor"}, (18, 21, 26)),
        ({"route": "indoor", "sun": True}, (18, 21, 26)),
        ({"route": "air"}, (-5, 15, 35)),
        ({"route": "wall"}, (-5, 15, 35)),
        ({"route": "duct"}, (-5, 15, 35)),
        ({"route": "buried"}, (5, 15, 25)),
        ({"route": "buried", "sun": True}, (5, 15, 25)),
        ({"route": "air", "sun": True}, (-5, 25, 60)),
        ({"route": "wall", "sun": True}, (-5, 27, 65)),
        ({"route": "duct", "sun": True}, (-5, 20, 45)),
        ({"route": "air", "sun": True, "ambient_c": band(1, 2, 3)}, (1, 2, 3)),
    ],
)
def test_a_cable_is_as_warm_as_its_way(keys, celsius):
    """Indoors, in the air, in the sun, in the ground; its own word overrules; ohms follow."""
    doc = chain(source(54), run(100), endpoint(5), ambient_c=AIR)
    doc["site"]["indoor_c"] = band(18, 21, 26)
    del doc["spans"][0]["indoor"]
    doc["spans"][0].update(keys)
    span = seen(doc).spans["C1"]
    assert (span.celsius.low, span.celsius.expected, span.celsius.high) == celsius
    for ohms, warmth in zip(
        (span.loop_ohms.low, span.loop_ohms.expected, span.loop_ohms.high), celsius, strict=True
    ):
        assert ohms == pytest.approx(2 * OHMS_PER_M * 100 * (1 + 0.00393 * (warmth - 20)))


def test_indoors_is_as_warm_as_the_site_where_nobody_said():
    """No temperature of the rooms: the site's."""
    doc = chain(source(54), run(100), endpoint(5), ambient_c=AIR)
    span = seen(doc).spans["C1"]
    assert (span.celsius.low, span.celsius.expected, span.celsius.high) == (-5, 15, 35)
