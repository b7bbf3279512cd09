"""Insertion loss of a link by hand, what warmth does to it, and what is stated instead."""

from __future__ import annotations

from math import sqrt

import pytest
from jobs import (
    active,
    arrestor,
    band,
    chain,
    endpoint,
    exact,
    injector,
    joint,
    run,
    source,
    turned,
)
from links_found import links_of, only_link, reach

from engine.jobfile import read_job
from engine.links import Link
from engine.predict import predict
from engine.report_json import prediction_json

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- insertion loss

TERMS = {
    "5e": (1.967, 0.023, 0.050, 0.04),
    "6": (1.808, 0.017, 0.200, 0.02),
    "6A": (1.82, 0.0091, 0.25, 0.02),
}
"""dB per 100 m at 20 °C, k1 sqrt f + k2 f + k3/sqrt f, and of one connection; values-cable 4"""
LOOKED_AT = {100: (31.25,), 1000: (10, 62.5, 100)}
"""MHz: where the tightest place lies for the cables here; values-cable 4.5 and 4.6"""


def warm(celsius: float, screened: bool = False) -> float:
    """The factor of loss at a temperature; values-cable 4.3."""
    if screened:
        return 1 + 0.002 * max(0, celsius - 20)
    return 1 + 0.004 * min(20, max(0, celsius - 20)) + 0.006 * max(0, celsius - 40)


def limit(mbps: int, mhz: float) -> float:
    """What a whole link may lose; values-cable 4.4. [dB]"""
    if mbps == 1000:
        return 2.1 * mhz**0.529 + 0.4 / mhz
    channel = 1.9108 * sqrt(mhz) + 0.0222 * mhz + 0.2 / sqrt(mhz)
    return 1.05 * channel + 4 * 0.04 * sqrt(mhz)


def by_hand(category, metres, celsius, connections=0, mbps=1000, factor=1.0, screened=False):
    """The least margin over the frequencies that count, and where it is. [dB], [MHz]"""
    k1, k2, k3, one = TERMS[category]
    found = []
    for f in LOOKED_AT[mbps]:
        per_100m = k1 * sqrt(f) + k2 * f + k3 / sqrt(f)
        lost = per_100m * metres / 100 * warm(celsius, screened) * factor
        found.append((limit(mbps, f) - lost - connections * one * sqrt(f), f))
    return min(found)


def cable(category="5e", **keys) -> dict:
    """A cable of a category."""
    return {"kind": "cable", "category": category, "ohms_per_km": exact(84.2), **keys}


def warm_link(length_m, celsius=20, *between, sheet=None, speeds=(100, 1000)) -> Link:
    """Ordinary ports with boxes between, the length shared by the spans."""
    piece = length_m / (len(between) + 1)
    sheet = sheet or cable()
    parts = [source(speeds_mbps=list(speeds)), run(piece, cable=sheet)]
    for box in between:
        parts += [box, run(piece, cable=sheet)]
    doc = chain(*parts, endpoint(speeds_mbps=list(speeds)), ambient_c=celsius)
    (link,) = links_of(doc).values()
    return link


@pytest.mark.parametrize("category", TERMS)
@pytest.mark.parametrize("celsius", [-10, 20, 35, 40, 52, 60])
@pytest.mark.parametrize("screened", [False, True])
def test_the_margin_of_gigabit_by_hand(category, celsius, screened):
    """80 m: limit less cable, at the tightest of 10, 62.5 and 100 MHz; cold does not help."""
    sheet = cable(category, screened=screened)
    margin = warm_link(80, celsius, sheet=sheet).offer.margin
    db, mhz = by_hand(category, 80, celsius, screened=screened)
    assert (margin.db, margin.mhz) == (pytest.approx(db, abs=1e-9), mhz)
    assert margin.limit_db - margin.loss_db == pytest.approx(margin.db)


def test_the_margin_of_100_megabit_by_hand():
    """31.25 MHz against the class D channel, two connections, 90 m at 50 °C."""
    link = warm_link(90, 50, arrestor(), speeds=[100])
    db, mhz = by_hand("5e", 90, 50, connections=2, mbps=100)
    assert (link.offer.margin.db, link.offer.margin.mhz) == (pytest.approx(db, abs=1e-9), mhz)


@pytest.mark.parametrize(
    ("stranded", "awg", "factor"), [(True, 24, 1.2), (True, 26, 1.5), (False, 26, 1.0)]
)
def test_a_cord_loses_more_than_solid_cable(stranded, awg, factor):
    """A fifth more, half as much again at 26 AWG."""
    sheet = cable(stranded=stranded, awg=awg)
    db, _ = by_hand("5e", 50, 20, factor=factor)
    assert warm_link(50, sheet=sheet).offer.margin.db == pytest.approx(db, abs=1e-9)


LONGEST = [
    ("5e", 0, 20, False, 109.2),
    ("5e", 0, 40, False, 101.1),
    ("5e", 0, 60, False, 91.0),
    ("5e", 0, 40, True, 105.0),
    ("5e", 0, 60, True, 101.1),
    ("5e", 2, 20, False, 105.6),
    ("5e", 2, 40, False, 97.8),
    ("5e", 2, 60, False, 88.0),
    ("5e", 4, 20, False, 102.0),
    ("5e", 4, 40, True, 98.0),
    ("5e", 4, 60, False, 85.0),
    ("6", 0, 20, False, 120.0),
    ("6", 2, 40, False, 109.1),
    ("6", 4, 60, False, 96.4),
    ("6A", 0, 40, False, 111.6),
    ("6A", 4, 60, False, 96.8),
]
"""category, connections, °C, screened, metres by loss alone; values-cable 4.6"""


@pytest.mark.parametrize(("category", "connections", "celsius", "screened", "metres"), LONGEST)
def test_the_length_at_which_nothing_of_the_limit_is_left(
    category, connections, celsius, screened, metres
):
    """Gigabit's margin changes its sign within 0.1 m of the printed length."""
    between = [arrestor() for _ in range(connections // 2)]
    sheet = cable(category, screened=screened)
    above, below = (
        warm_link(length, celsius, *between, sheet=sheet).offers[0].margin.db
        for length in (metres - 0.1, metres + 0.1)
    )
    assert above > 0 > below


@pytest.mark.parametrize(("metres", "assured"), [(90.9, True), (91.2, False)])
def test_too_much_loss_is_not_assured_below_a_hundred_metres(metres, assured):
    """Cat 5e at 60 °C is promised 91.0 m; beyond, 100 Mb/s still is and is what to expect."""
    link = warm_link(metres, 60)
    assert (link.expected_mbps, link.assured) == (1000 if assured else 100, True)
    assert link.offers[0].doubt == (None if assured else "loss")
    only = warm_link(metres, 60, speeds=[1000])
    assert (only.expected_mbps, only.assured) == (1000, assured)


@pytest.mark.parametrize(
    ("between", "connections"),
    [
        ((), 0),
        ((joint(),), 1),
        ((arrestor(),), 2),
        ((joint(), joint()), 2),
        ((turned(arrestor()), joint(), arrestor()), 5),
        ((injector(),), 2),
    ],
)
def test_what_lies_between_adds_its_connections(between, connections):
    """A joint is one mating, a box with two sockets is two."""
    db, _ = by_hand("5e", 60, 20, connections)
    assert warm_link(60, 20, *between).offer.margin.db == pytest.approx(db, abs=1e-9)


def test_two_cables_of_a_link_each_lose_by_their_own_kind_and_warmth():
    """40 m of Cat 5e at 60 °C and 40 m of Cat 6 at 20 °C, joined: the poorer one's mating."""
    doc = chain(
        source(),
        run(40, cable=cable("5e"), ambient_c=exact(60)),
        joint(),
        run(40, cable=cable("6")),
        endpoint(),
    )
    (link,) = links_of(doc).values()
    margins = []
    for f in LOOKED_AT[1000]:
        lost = 0.04 * sqrt(f)
        for category, celsius in (("5e", 60), ("6", 20)):
            k1, k2, k3, _ = TERMS[category]
            lost += (k1 * sqrt(f) + k2 * f + k3 / sqrt(f)) * 0.4 * warm(celsius)
        margins.append(limit(1000, f) - lost)
    assert link.offer.margin.db == pytest.approx(min(margins), abs=1e-9)


def test_ohms_and_loss_have_their_own_laws_of_temperature():
    """From 20 to 60 °C: ohms by 0.393 % per kelvin, loss by 0.4 and then 0.6 %."""
    seen = {}
    for celsius in (20, 60):
        doc = chain(source(), run(80, cable=cable()), endpoint(), ambient_c=celsius)
        prediction = predict(read_job(doc).plan)
        lost = prediction.links[0].offer.margin.loss_db
        seen[celsius] = (prediction.spans["C1"].loop_ohms.expected, lost)
    assert seen[60][0] / seen[20][0] == pytest.approx(1 + 0.00393 * 40)
    assert seen[60][1] / seen[20][1] == pytest.approx(1.20)


def test_cold_lowers_ohms_and_not_loss():
    """Below 20 °C the loss is that of 20 °C; the ohms go on falling."""
    cold, mild = (warm_link(80, celsius).offer.margin.loss_db for celsius in (-20, 20))
    assert cold == mild


def test_a_hot_day_takes_the_assurance_and_not_the_speed():
    """Cat 5e, 95 m, 20 °C but up to 60: expected and assured today, and a warning for that day."""
    doc = chain(source(), run(95, cable=cable()), endpoint(), ambient_c=band(20, 20, 60))
    prediction = predict(read_job(doc).plan)
    (link,) = prediction.links
    assert (link.expected_mbps, link.assured) == (1000, True)
    assert (link.offer.doubt, link.offer.hot_doubt) == (None, "loss")
    (finding,) = [f for f in prediction.findings if f.rule == "reach"]
    assert (finding.severity, finding.say.code) == ("warn", "reach-hot")


def test_a_bundle_warms_the_link_too():
    """400 powered cables: the rise that the power causes counts in the loss."""
    lost = []
    for keys in ({}, {"bundle": 400}):
        doc = chain(source(), run(80, cable=cable(), **keys), endpoint(60))
        prediction = predict(read_job(doc).plan)
        lost.append(prediction.links[0].offer.margin.loss_db)
        rise = prediction.spans["C1"].rise or 0.0
    assert lost[1] / lost[0] == pytest.approx(1 + 0.004 * min(rise, 20) + 0.006 * max(0, rise - 20))
    assert lost[1] > 1.02 * lost[0]


# ---------------------------------------------------------------- stated or ordinary


def test_stated_at_both_ends_there_is_no_loss_to_reckon():
    """The ports' own sheets say how far: metres to spare, no decibels."""
    near, far = (active(2, "long-span", ports=reach(s1000=280)) for _ in range(2))
    doc = chain(source(), run(5), near, run(250), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.offer.margin, link.offer.margin_m) == (None, 30)


def test_ordinary_ports_have_decibels_and_no_metres():
    """No sheet states a reach: there is a loss and its limit."""
    link = only_link(source(), run(60), endpoint())
    assert link.offer.margin_m is None and link.offer.margin.db > 0


def test_a_stated_end_against_an_ordinary_one_is_ordinary():
    """One long port alone: the loss counts, and a hundred metres."""
    near = active(2, "long-span", ports=reach(s1000=280))
    doc = chain(source(), run(5), near, run(90), endpoint())
    link = links_of(doc)[("L1.out", "E1.in")]
    assert link.offer.margin is not None and link.offer.margin_m is None


def test_margins_are_written_as_the_contract_says():
    """`margin_db` and `margin_m`: one a figure, the other null, the other way round elsewhere."""
    near, far = (active(2, "long-span", ports=reach(s1000=280)) for _ in range(2))
    doc = chain(source(), run(5), near, run(250), far, run(5), endpoint())
    for row in prediction_json(predict(read_job(doc).plan))["links"]:
        stated = row["from"] == "L1.out"
        assert (row["margin_db"] is None) == stated
        assert (row["margin_m"] is None) == (not stated)


# ---------------------------------------------------------------- more than a gigabit


@pytest.mark.parametrize(
    ("mbps", "category", "metres", "doubt"),
    [
        (2500, "5e", 60, None),
        (2500, "6", 90, None),
        (5000, "5e", 60, "category"),
        (5000, "6", 60, None),
        (10000, "5e", 10, "category"),
        (10000, "6", 50, None),
        (10000, "6", 60, "category"),
        (10000, "6A", 90, None),
    ],
)
def test_faster_speeds_want_better_cable(mbps, category, metres, doubt):
    """5 Gb/s from Cat 6; 10 Gb/s on Cat 6 to 55 m, beyond from Cat 6A; else gigabit is expected."""
    link = warm_link(metres, sheet=cable(category), speeds=[1000, mbps])
    assert link.offers[0].mbps == mbps
    assert link.offers[0].doubt == doubt
    assert link.expected_mbps == (mbps if doubt is None else 1000)
    assert link.assured


def test_faster_speeds_want_four_pairs():
    """2.5 Gb/s over two pairs is no link, 100 Mb/s is."""
    link = only_link(
        source(speeds_mbps=[100, 2500]), run(30, pairs=2), endpoint(speeds_mbps=[100, 2500])
    )
    assert (link.expected_mbps, link.limits) == (100, {2500: "pairs"})
