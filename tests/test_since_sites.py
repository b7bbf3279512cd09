"""What has drifted, on sites by chance: beside a solve of its own, and made-up ones that stay or grow.

``python tests/test_since_sites.py NUMBER`` counts drifts on so many unchanged sites."""

from __future__ import annotations

import sys
from functools import cache
from math import sqrt
from typing import Any

import numpy as np
import pytest
from again_sites import left, met_again, worse
from samples import planned
from twice_read import (
    ALPHA,
    DIGITS,
    FLOOR,
    LEAVE,
    METRES,
    OHMS_PER_KM,
    PERCENT,
    PLAN_VOLTS,
    STEP,
    SWING,
    VISIT,
    WATTS,
    one,
    plain,
    read,
    told,
)

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.since import DRIFTED

# ---------------------------------------------------------------- outside: another solve, by chance


def volts_and_amps(volts, ohms_per_km, celsius, watts):
    """Volts and milliamps at the load, by the quadratic of one load behind one wire.

    Four pairs side by side: half the ohms of one conductor's length.
    """
    ohms = ohms_per_km / 1000 * METRES / 2 * (1 + ALPHA * (celsius - 20))
    at_load = (volts + np.sqrt(volts**2 - 4 * ohms * watts)) / 2
    return at_load, 1000 * watts / at_load


def drawn(count: int, *, same: bool) -> tuple[np.ndarray, np.ndarray]:
    """Differences of volts and of milliamps on so many unchanged sites."""
    rng = np.random.default_rng(9)
    volts, ohms = rng.uniform(53, 55, count), rng.uniform(76, 84, count)
    gains = {kind: rng.uniform(-1, 1, count) * share for kind, share in GAINS.items()}
    out = []
    for _ in range(2):
        watts = WATTS * (1 + SWING / 100 * rng.uniform(-1, 1, count))
        true = volts_and_amps(volts, ohms, rng.uniform(-5, 35, count), watts)
        if not same:
            gains = {kind: rng.uniform(-1, 1, count) * share for kind, share in GAINS.items()}
        own = (
            rng.uniform(-1, 1, count) * DIGITS * STEP + rng.uniform(-1, 1, count) * FLOOR,
            rng.uniform(-1, 1, count) * 2,
        )
        shown = (
            figure * (1 + gains[kind]) + more
            for kind, figure, more in zip(GAINS, true, own, strict=True)
        )
        out.append(tuple(shown))
    (before_v, before_a), (now_v, now_a) = out
    return now_v - before_v, now_a - before_a


GAINS = {"volts": PERCENT / 100, "milliamps": 0.01}
MIDDLE = volts_and_amps(PLAN_VOLTS, OHMS_PER_KM, 15.0, WATTS)


@pytest.mark.parametrize(("meter", "same"), [("m1", True), ("m2", False)])
def test_volts_alone_scatter_as_chance_has_it(meter, same):
    volts, _ = drawn(200_000, same=same)
    value = round(float(MIDDLE[0]), 2)
    drift = one(
        told(
            plain(),
            read("E1.in", "volts", value),
            LEAVE,
            VISIT,
            read("E1.in", "volts", value, meter),
        )
    )
    assert drift.same_meter is same
    assert drift.expected == pytest.approx(0, abs=1e-9)
    assert drift.s == pytest.approx(volts.std(), rel=0.03)


def test_amps_with_the_volts_tell_how_the_load_moved():
    """What is left of the volts once the amps are known: the residual of a straight line."""
    volts, amps = drawn(200_000, same=True)
    slope = np.cov(volts, amps)[0, 1] / amps.var()
    residual = volts - volts.mean() - slope * (amps - amps.mean())
    at_load, drawn_now = (float(x) for x in MIDDLE)
    more = 12.0
    judged = told(
        plain(),
        read("E1.in", "volts", round(at_load, 2), moment="a"),
        read("E1.in", "milliamps", round(drawn_now), moment="a"),
        LEAVE,
        VISIT,
        read("E1.in", "volts", round(at_load, 2), moment="b"),
        read("E1.in", "milliamps", round(drawn_now) + more, moment="b"),
    )
    assert one(judged, "milliamps").s == pytest.approx(amps.std(), rel=0.03)
    assert one(judged).s == pytest.approx(residual.std(), rel=0.04)
    assert one(judged).s < 0.8 * volts.std()
    assert one(judged).expected == pytest.approx(slope * more, rel=0.05)


def test_a_measured_day_narrows_the_difference():
    """Where the air was read on both days only its own share of the weather is left."""
    value = round(float(MIDDLE[0]), 2)
    rows = [read("E1.in", "volts", value), LEAVE, VISIT, read("E1.in", "volts", value)]
    plan = plain()
    plan["sheets"]["my.meter"]["celsius"] = {"percent": 0, "digits": 1, "resolution": 1}
    warm = [read("post", "celsius", degrees) for degrees in (5, 30)]
    known = told(plan, rows[0], warm[0], *rows[1:], warm[1])
    assert one(known).s < one(told(plan, *rows)).s
    slope = volts_and_amps(PLAN_VOLTS, OHMS_PER_KM, 30.0, WATTS)[0]
    slope -= volts_and_amps(PLAN_VOLTS, OHMS_PER_KM, 5.0, WATTS)[0]
    assert one(known).expected == pytest.approx(slope, rel=0.1)


# ---------------------------------------------------------------- made-up sites

PLANS = ("reedbed-hide", "orchard-gate", "tide-mill")
FALSE_RATE = 0.03
"""of sites on which nothing drifted (job format, section 5)"""
AMPS_TOO = ("volts", "milliamps", "watts", "mbps")


def words(name: str, seed: int, **how: Any) -> Judgement:
    site, doc = left(planned(name), seed)
    return judge(read_job(met_again(doc, site, 10_000 + seed, kinds=AMPS_TOO, **how)))


@cache
def unchanged(count: int) -> int:
    """On how many sites, of so many of each plan, something is said to have drifted."""
    return sum(
        any(drift.verdict == DRIFTED for drift in words(name, seed).drifts)
        for name in PLANS
        for seed in range(count)
    )


def test_unchanged_sites_hardly_ever_drift():
    count = 30
    sites = count * len(PLANS)
    chance = 3 * sqrt(FALSE_RATE * (1 - FALSE_RATE) / sites)
    assert unchanged(count) / sites <= FALSE_RATE + chance


def grown(count: int) -> tuple[int, int]:
    """Joints of 3 ohms and more that grew in front of the far end: how many, and how many seen."""
    seen = there = 0
    for seed in range(count):
        site, doc = left(planned("reedbed-hide"), seed)
        wet = ("joint.high", "C4")
        if worse(site, wet).truth.size >= 3:
            again = met_again(doc, site, 10_000 + seed, grown=wet, kinds=AMPS_TOO)
            there += 1
            seen += any(one.verdict == DRIFTED for one in judge(read_job(again)).drifts)
    return there, seen


def test_a_joint_that_grew_is_seen():
    there, seen = grown(24)
    assert there >= 10
    assert seen >= 0.9 * there


if __name__ == "__main__":
    number = int(sys.argv[1])
    false = unchanged(number)
    print(f"{false} of {number * len(PLANS)} unchanged sites with something drifted")
    of, found = grown(number)
    print(f"{found} of {of} joints of 3 ohms and more seen to have grown")
