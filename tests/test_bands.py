"""Today's band: moments of the unknowns, what they share, and where a straight line will not do."""

from __future__ import annotations

from math import sqrt
from random import Random

import pytest
from jobs import Bare, active, band, chain, endpoint, regenerating, run, source
from random_jobs import random_job

from engine.band import Band
from engine.bands import Today
from engine.circuit import wire
from engine.figures import Asked, Figures
from engine.jobfile import read_job
from engine.judge import judge
from engine.limits import feed_limits
from engine.network import Standing, build
from engine.operating import Conditions, operate
from engine.predict import predict
from engine.say import Say
from engine.study import Range
from engine.unknowns import Site, moments, scoped

pytestmark = pytest.mark.pure


def figures(doc: dict) -> Figures:
    job = read_job(doc).plan
    network = build(job)
    return Figures(job, network, feed_limits(network))


def today(doc: dict) -> Today:
    job = read_job(doc).plan
    network = build(job)
    return Today.start(job, network, feed_limits(network))


def run_of(*parts, **keys) -> dict:
    return chain(source(band(52.5, 53.5, 54.5), grants="always", watts_max=90), *parts, **keys)


def metres(length: float, **keys):
    return run(Bare(length), cable={"kind": "cable", "ohms_per_km": 66.6}, **keys)


# ---------------------------------------------------------------- the unknowns


def test_symmetric_limits_are_a_rectangle_others_a_triangle():
    assert moments(Band(9, 10, 11)).sd == pytest.approx(1 / sqrt(3))
    assert moments(Band.exact(7)).sd == 0
    slanted = moments(Band(0, 0, 3))
    assert (slanted.mean, slanted.sd) == pytest.approx((1, sqrt(9 / 18)))


def test_a_triangles_moments_are_those_of_draws():
    rng = Random(4)
    draws = [rng.triangular(2, 11, 3) for _ in range(40_000)]
    mean = sum(draws) / len(draws)
    found = moments(Band(2, 3, 11))
    assert found.mean == pytest.approx(mean, abs=0.03)
    assert found.sd == pytest.approx(
        sqrt(sum((x - mean) ** 2 for x in draws) / len(draws)), abs=0.03
    )


@pytest.mark.parametrize("seed", range(25))
def test_with_every_unknown_at_expected_the_site_is_the_plan(seed):
    """One place for the ohms of a span, another for how they follow from the unknowns: the same."""
    job = read_job(random_job(seed)).plan
    network = build(job)
    site = Site(job, network)
    plan = wire(job, network, "expected")
    values = dict(site.means)
    for box in job.boxes.values():
        values["watts", box.id] = plan.draws[box.id]
        values["box-ohms", box.id] = box.sheet.ohms_per_conductor.expected
        values["droop", box.id] = box.sheet.ohms.expected
        if box.sheet.regenerates:
            values["efficiency", box.id] = box.sheet.efficiency.expected
    for tree, numbers in zip(network.trees, plan.trees, strict=True):
        values["volts", tree.box.id] = numbers.volts
    for span in job.spans.values():
        loop = site.loops[span.id]
        values[loop.ohms] = (span.cable.ohms_per_km).expected
        values[loop.length] = span.length_m.expected
        values[loop.ends_key] = span.end_ohms.expected
        warm = span.ambient_c or job.site.ambient_c
        values.update(loop.at_celsius(warm.expected))
    made = site.circuit(values)
    for mine, theirs in zip(made.trees, plan.trees, strict=True):
        assert mine.ohms == pytest.approx(theirs.ohms, rel=1e-12)
    assert made.draws == pytest.approx(plan.draws)
    flows = operate(job, network, Conditions(hold_cutoffs=False)).flows
    for point, flow in list(flows.items())[:5]:
        found = figures(random_job(seed)).at(values, Asked(str(point), "volts"), slopes=False)
        assert isinstance(found, Say) or found.value == pytest.approx(flow.volts, abs=1e-7)


def test_what_is_drawn_anew():
    assert scoped(("swing", "E1"), 2, "m") == ("swing", "E1", "m")
    assert scoped(("air",), 2, "m") == ("air", "2")
    assert scoped(("sun", "wall"), 0, "m") == ("sun", "wall", "0")
    assert scoped(("ohms", "C1"), 2, "m") == ("ohms", "C1")


def test_spans_in_one_air_share_its_temperature():
    """Both warm and cool together: loop ohms of the second are known better for the first."""
    doc = run_of(metres(200), active(2.5), metres(200), endpoint(12), ambient_c=band(-20, 15, 50))
    doc["sheets"]["my.cable"] = {"kind": "cable", "ohms_per_km": {**band(66.6, 66.6, 66.6)}}
    for span in doc["spans"]:
        span["cable"], span["length_m"] = "my.cable", band(200, 200, 200)
    reading = {"id": "a", "what": "reading", "at": "C1", "kind": "loop_ohms", "value": 27.9}
    before = today(doc).band("C2", "loop_ohms")
    after = judge(read_job({**doc, "log": [reading]})).today.band("C2", "loop_ohms")
    assert after.high - after.low < (before.high - before.low) / 3
    assert after.expected > before.expected


# ---------------------------------------------------------------- standings and their bands


def test_bands_of_what_stands_there():
    doc = run_of(metres(70), active(2.5), metres(280), endpoint(band(6, 12, 19)))
    found = today(doc)
    plugged = found.band("R1.out", "volts")
    off = found.band("R1.out", "volts", Standing(off=frozenset({"E1"})))
    assert off.expected > plugged.expected
    known = found.band("E1.in", "watts", Standing(known={"E1": 15}))
    assert (known.low, known.expected, known.high) == pytest.approx((15, 15, 15))
    assert isinstance(found.band("Z.in", "volts"), Say)
    assert isinstance(found.band("E1.in", "mbps"), Say)


def test_in_front_of_a_box_that_makes_new_volts_its_own_network_is_known():
    doc = run_of(
        metres(70),
        regenerating(2, band(53, 54, 55), band(0.8, 0.85, 0.9)),
        metres(80),
        endpoint(band(6, 12, 19)),
    )
    far = "R1"
    found = today(doc)
    heavy = {"id": "a", "what": "reading", "at": f"{far}.out", "kind": "watts", "value": 17.0}
    after = judge(read_job({**doc, "log": [heavy]})).today
    assert after.band(f"{far}.in", "watts").expected > found.band(f"{far}.in", "watts").expected


# ---------------------------------------------------------------- near collapse


def near_collapse(watts: float) -> dict:
    unit = active(band(2, 2.5, 3), "long-span", ohms_per_conductor=0.05)
    load = endpoint(band(watts * 0.9, watts, watts * 1.1))
    return run_of(metres(70), unit, metres(280), unit, metres(60), load)


def test_near_collapse_the_ends_are_solved_not_drawn():
    doc = near_collapse(35)
    assert 1.2 < predict(read_job(doc).plan).load_share < 1.35
    found = today(doc).band("E1.in", "volts")
    assert found.expected - found.low > 1.15 * (found.high - found.expected)


def test_an_end_that_nothing_would_hold_is_none_and_turns_nothing_down():
    doc = near_collapse(38)
    found = today(doc).band("E1.in", "volts")
    assert isinstance(found, Range) and found.low is None and found.high is not None
    low = {"id": "a", "what": "reading", "at": "E1.in", "kind": "volts", "value": 36.5}
    (verdict,) = judge(read_job({**doc, "log": [low]})).verdicts
    assert verdict.verdict == "inside"
    high = {**low, "value": 51.5}
    (verdict,) = judge(read_job({**doc, "log": [high]})).verdicts
    assert verdict.verdict == "outside"


def test_far_from_collapse_a_straight_line_does():
    found = today(near_collapse(8)).band("E1.in", "volts")
    assert found.expected - found.low == pytest.approx(found.high - found.expected)
