"""How large a fault is, and what a span may be at heart: the arithmetic behind it, by hand."""

from __future__ import annotations

from math import exp

import pytest
from account_jobs import at, logged

from engine.diagnose.account import Fault, account
from engine.diagnose.scene import Scene
from engine.diagnose.sizing import LONG, _as_told, _metres, _Settled, _triangle, kinds_of
from engine.diagnose.trial import Trial
from engine.jobfile import read_job
from engine.judge import judge


def scene_of(*readings: dict) -> Scene:
    judgement = judge(read_job(logged("orchard-gate", *readings)))
    return Scene(judgement.prediction, judgement.verdicts)


# ---------------------------------------------------------------- what readings alone tell


@pytest.mark.parametrize("sd", [0.02, 0.2, 1.0])
def test_a_factor_is_told_as_the_readings_have_it_whatever_was_expected(sd):
    """A guess of 1.6 ± 0.3 met readings that say 1.3 ± sd: both multiplied, and taken apart again.

    By hand: precisions add up, 1/0.3² + 1/sd²; the mean is that of both, weighed by them.
    """
    both = 1 / 0.3**2 + 1 / sd**2
    mean = (1.6 / 0.3**2 + 1.3 / sd**2) / both
    planned = 15.7
    settled = _Settled(
        planned,
        mean * planned,
        (mean - 1.6) / 0.3,
        both**-0.5 / 0.3,
        0.3 * planned,
    )
    assert _as_told(settled) == (pytest.approx(1.3), pytest.approx(sd))


def test_what_readings_say_nothing_of_is_told_as_anything():
    told, spread = _as_told(_Settled(15.7, 1.6 * 15.7, 0.0, 1.0, 0.3 * 15.7))
    assert spread > 100 > told


@pytest.mark.parametrize("corners", [(1.0, 1.1, 1.4), (1.0, 1.0, 1.3), (0.9, 1.2, 1.2)])
def test_points_of_a_triangle_have_its_mean_and_its_spread(corners):
    """Textbook: (a + b + c) / 3, and (a² + b² + c² - ab - ac - bc) / 18."""
    low, top, high = corners
    points = list(_triangle(low, top, high))
    mean = sum(x * share for x, share in points)
    square = sum((x - mean) ** 2 * share for x, share in points)
    assert sum(share for _, share in points) == pytest.approx(1)
    assert mean == pytest.approx((low + top + high) / 3, abs=1e-3)
    exact = low**2 + top**2 + high**2 - low * top - low * high - top * high
    assert square == pytest.approx(exact / 18, rel=0.02)
    assert list(_triangle(1.2, 1.2, 1.2)) == [(1.2, 1.0)]


# ---------------------------------------------------------------- sizes


def leads(more: float) -> Fault:
    """The fault of a meter whose leads add so much to each loop, as its account has it."""
    doc = logged(
        "orchard-gate",
        at("S.out", "volts", 53.9),
        at("R1.in", "volts", 51.4),
        *(at(span, "loop_ohms", 15.8 + more) for span in ("C1", "C2")),
    )
    told = account(judge(read_job(doc)))
    return next(one for one in told.faults if one.cause == "reading.lead")


def test_a_meters_leads_have_the_ohms_that_all_its_loops_have_too_many():
    """Figures of other kinds have no part in it; where all loops are right, leads are unlikely."""
    right, half, whole = (leads(more) for more in (0.0, 0.5, 1.0))
    assert right.probability < half.probability < whole.probability
    assert whole.probability > 0.05, "two loops with an ohm too many"
    assert whole.size["ohms"] - half.size["ohms"] > 0.08
    assert half.size["ohms"] == pytest.approx(0.5, abs=0.1)


# ---------------------------------------------------------------- loops


def test_of_a_loop_the_pairs_that_close_count():
    """One alone is that pair's own; of several it is their mean; where none closes it is no figure."""
    pairs = {"one": {"1": 13.1, "2": 1e6}, "two": {"1": 13.0, "2": 13.2, "3": 1e6}}
    alone, both = (
        scene_of(at("C2", "loop_ohms", None, pairs=one)).seen[0] for one in pairs.values()
    )
    assert (alone.value, alone.asked.one_pair) == (13.1, True)
    assert (both.value, both.asked.one_pair) == (pytest.approx(13.1), False)
    assert scene_of(at("C2", "loop_ohms", None, pairs={"1": 1e6, "2": 1e6})).seen == ()


# ---------------------------------------------------------------- longer


def long_by(metres: float, percent: float) -> float:
    """How likely a span with half again too many ohms is to be longer, so many metres being read."""
    doc = logged("orchard-gate", at("C2", "loop_ohms", 23.5), at("C2", "metres", metres))
    doc["sheets"]["my.meter"]["metres"] = {"percent": percent, "digits": 1, "resolution": 1}
    told = account(judge(read_job(doc))).diagnosis
    guess = next(one for one in told.guesses if (one.cause, one.where) == ("span.high", "C2"))
    return dict(kinds_of(guess, Trial(told.scene, guess.bend))).get(LONG, 0.0)


def test_how_readily_metres_are_read_goes_by_the_plans_band_and_the_meters():
    """By hand: 92 ± 1 m planned, a meter of 4 % and a digit: 96 m lie 1.402 deviations off."""
    doc = logged("orchard-gate", at("C2", "metres", 96))
    doc["sheets"]["my.meter"]["metres"] = {"percent": 4, "digits": 1, "resolution": 1}
    judgement = judge(read_job(doc))
    scene = Scene(judgement.prediction, judgement.verdicts)
    span, (reading,) = scene.job.spans["C2"], scene.readings
    assert _metres(scene, span, reading, 1.0) == pytest.approx(exp(-(1.402**2) / 2), rel=1e-3)
    assert _metres(scene, span, reading, 96 / 92) == pytest.approx(1)


def test_metres_speak_as_loud_as_their_meter_is_good():
    """138 m would have these ohms. 115 m are too few for a good meter, near enough for a poor one."""
    assert long_by(115, 1) < 0.01 < 0.5 < long_by(115, 4)
    assert long_by(138, 1) > 0.99 and long_by(92, 4) < 0.01


# ---------------------------------------------------------------- ends


@pytest.mark.parametrize(("more", "near"), [((), 0.85), ((("void", {"of": "c1"}),), 0.5)])
def test_an_end_counts_as_made_anew_for_as_long_as_the_entry_stands(more, near):
    """Whoever takes the entry back leaves the ends as likely as before."""
    doc = logged("orchard-gate", at("C2", "loop_ohms", 20.0))
    doc["log"] += [
        {"id": f"c{n}", "device": "d", "n": n + 10, "what": what, **body}
        for n, (what, body) in enumerate((("change", {"where": "E.in", "did": "plug"}), *more), 1)
    ]
    told = account(judge(read_job(doc)))
    joint = next(one for one in told.faults if (one.cause, one.where) == ("joint.high", "C2"))
    assert joint.ends == (("R1.out", pytest.approx(near)), ("E.in", pytest.approx(1 - near)))
