"""Links: from one transceiver to the next, how fast, and how far that is assured."""

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
    regenerating,
    run,
    source,
    turned,
)

from engine.jobfile import read_job
from engine.links import Link, find
from engine.network import build
from engine.phrases import english
from engine.predict import predict
from engine.report_json import prediction_json

pytestmark = pytest.mark.pure


def _found(doc) -> tuple[Link, ...]:
    job = read_job(doc).plan
    return find(job, build(job))


def links_of(doc) -> dict[tuple[str, str], Link]:
    """The links of a document by their two ends, nearest the feed first."""
    job = read_job(doc).plan
    return {(str(link.start), str(link.end)): link for link in find(job, build(job))}


def only_link(*parts) -> Link:
    """The one link of a short chain."""
    (link,) = links_of(chain(*parts)).values()
    return link


def reach(**metres) -> dict:
    """Ports whose sheet has a reach table: ``reach(s1000=280)``."""
    table = {name.removeprefix("s"): value for name, value in metres.items()}
    return {name: {"faces": "any", "reach_m": table} for name in ("in", "out")}


# ---------------------------------------------------------------- from where to where


def test_a_link_runs_through_arrestors_and_joints():
    """Port to port through two arrestors and a joint is one link of the whole length."""
    link = only_link(
        source(),
        run(10),
        turned(arrestor()),
        run(20),
        joint(),
        run(30),
        arrestor(),
        run(5),
        endpoint(),
    )
    assert (str(link.start), str(link.end)) == ("S1.out", "E1.in")
    assert link.length_m == 65
    assert link.through == ("C1", "A1", "C2", "J1", "C3", "A2", "C4")
    assert (link.expected_mbps, link.assured) == (1000, True)


def test_data_passes_an_injector():
    """Power starts at the injector; the link does not end there."""
    link = only_link(source(), run(40), injector(), run(50), endpoint())
    assert {str(link.start), str(link.end)} == {"S1.out", "E1.in"}
    assert (link.length_m, link.pairs, link.expected_mbps) == (90, 4, 1000)
    assert "P1" in link.through


def test_a_link_through_an_injector_begins_in_front_of_it():
    """Whatever the ids, the port whose data runs into the injector's in is the nearer end."""
    link = only_link(source(), run(40), injector(), run(50), endpoint())
    assert (str(link.start), str(link.end)) == ("S1.out", "E1.in")


def test_every_active_box_ends_a_link():
    """Repeaters and splitters, pass-through or not, have transceivers on both sides."""
    doc = chain(
        source(),
        run(80),
        active(),
        run(80),
        regenerating(),
        run(80),
        active(2, "splitter"),
        [[run(80), endpoint()], [run(80), endpoint()]],
    )
    assert set(links_of(doc)) == {
        ("S1.out", "R1.in"),
        ("R1.out", "R2.in"),
        ("R2.out", "Y1.in"),
        ("Y1.out1", "E1.in"),
        ("Y1.out2", "E2.in"),
    }
    assert all(link.expected_mbps == 1000 and link.assured for link in links_of(doc).values())


def test_an_open_end_is_no_link():
    """A joint with nothing behind it leads nowhere."""
    doc = chain(source(), run(10), joint(), run(10), endpoint())
    doc["spans"].pop()
    assert links_of(doc) == {}


# ---------------------------------------------------------------- which speed


@pytest.mark.parametrize(
    ("near", "far", "mbps"),
    [
        ([100, 1000], [100, 1000], 1000),
        ([10, 100, 1000], [10, 100], 100),
        ([10], [10, 100], 10),
        ([1000, 100], [100, 1000, 2500], 1000),
        ([1000], [10, 100], 0),
    ],
)
def test_the_highest_speed_that_both_ends_list(near, far, mbps):
    """Negotiation takes the best mode in common (IEEE 802.3 clause 28); none in common, no link."""
    link = only_link(source(speeds_mbps=near), run(50), endpoint(speeds_mbps=far))
    assert link.expected_mbps == mbps


def test_gigabit_only_meets_a_10_100_device():
    """No link at all, and the finding names the two ends and what each speaks."""
    long_span = active(2.5, "long-span", speeds_mbps=[1000])
    doc = chain(
        source(), run(50), long_span, run(20), joint(), run(20), endpoint(speeds_mbps=[10, 100])
    )
    prediction = predict(read_job(doc).plan)
    assert prediction.operates
    links = {str(link.start): link.expected_mbps for link in prediction.links}
    assert links == {"S1.out": 1000, "L1.out": 0}
    (finding,) = [f for f in prediction.findings if f.rule == "speed-mismatch"]
    assert (finding.at, finding.severity) == ("L1.out", "stop")
    assert finding.say.parts["far"] == "E1.in"
    assert tuple(finding.say.parts["mbps"]) == (1000,)
    assert tuple(finding.say.parts["far_mbps"]) == (10, 100)
    words = english(finding.say)
    assert words.text == (
        "L1.out (gigabit only) and E1.in (10/100 Mb/s) share no speed: no link at all."
    )
    assert words.why == "Power is fine, lights may be on, data is dead."


@pytest.mark.parametrize(
    "narrow",
    [
        (source(), run(50, pairs=2)),
        (source(), run(20), joint(pairs=2), run(30)),
        (source(), run(50, cable={"kind": "cable", "awg": 24, "pairs": 2})),
    ],
)
def test_two_pairs_carry_100_at_most(narrow):
    """Gigabit needs four pairs, 100 Mb/s two (IEEE 802.3 clauses 40 and 25)."""
    assert only_link(*narrow, endpoint()).expected_mbps == 100


def test_gigabit_only_ends_on_two_pairs_do_not_link():
    """Both ends speak gigabit only, the cable has two pairs: dead."""
    link = only_link(source(speeds_mbps=[1000]), run(50, pairs=2), endpoint(speeds_mbps=[1000]))
    assert link.expected_mbps == 0


def test_power_on_two_pairs_leaves_the_data_its_four():
    """A port that feeds two pairs still has all four for data."""
    assert only_link(source(pairs=4), run(50), endpoint()).expected_mbps == 1000


def test_a_passive_box_may_be_the_slow_one():
    """An arrestor made for 100 Mb/s holds the link to it; one without a list passes all."""
    slow = only_link(source(), run(50), arrestor(speeds_mbps=[10, 100]), run(5), endpoint())
    assert slow.expected_mbps == 100
    assert only_link(source(), run(50), arrestor(), run(5), endpoint()).expected_mbps == 1000


# ---------------------------------------------------------------- how far


@pytest.mark.parametrize(("length_m", "assured"), [(99.5, True), (100, True), (100.1, False)])
def test_a_hundred_metres_are_assured(length_m, assured):
    """The ordinary channel of ISO/IEC 11801 and TIA-568: beyond it is a matter of length."""
    link = only_link(source(), run(length_m), endpoint())
    assert (link.expected_mbps, link.assured) == (1000, assured)
    assert link.offer.doubt == (None if assured else "length")


def test_beyond_a_hundred_metres_is_not_assured_rather_than_dead():
    """120 m of ordinary ports: the speed stands, the assurance does not, and that is a warning."""
    prediction = predict(read_job(chain(source(), run(120), endpoint())).plan)
    (link,) = prediction.links
    assert (link.expected_mbps, link.assured) == (1000, False)
    (finding,) = [f for f in prediction.findings if f.rule == "reach"]
    assert (finding.severity, finding.say.code) == ("warn", "reach-ordinary")
    words = english(finding.say)
    assert "not assured" in words.text and "dead" not in words.text + words.why


@pytest.mark.parametrize(
    ("length_m", "mbps", "assured"),
    [(280, 1000, True), (281, 100, True), (500, 100, True), (501, 0, True)],
)
def test_a_reach_table_says_how_far_at_each_speed(length_m, mbps, assured):
    """1000 Mb/s to 280 m, 100 Mb/s to 500 m, nothing beyond: stated by both ports."""
    near = active(2, "long-span", ports=reach(s1000=280, s100=500))
    far = active(2, "long-span", ports=reach(s1000=280, s100=500))
    doc = chain(source(), run(5), near, run(length_m), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.expected_mbps, link.assured) == (mbps, assured)


def test_the_shorter_of_two_tables_holds():
    """Ends of different reach: the shorter one ends gigabit; 100 Mb/s is beyond 100 m."""
    near = active(2, "long-span", ports=reach(s1000=280))
    far = active(2, "long-span", ports=reach(s1000=200))
    doc = chain(source(), run(5), near, run(250), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert link.limits == {1000: "reach"}
    assert (link.expected_mbps, link.assured) == (100, False)


def test_a_speed_left_out_of_a_table_has_the_ordinary_reach():
    """Beyond a table with gigabit only, 100 Mb/s may come, but 100 m are all that is assured."""
    near = active(2, "long-span", ports=reach(s1000=280))
    far = active(2, "long-span", ports=reach(s1000=280))
    doc = chain(source(), run(5), near, run(300), far, run(5), endpoint())
    prediction = predict(read_job(doc).plan)
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.expected_mbps, link.offer.doubt) == (100, "length")
    stops = [(f.rule, f.at, f.severity) for f in prediction.findings if f.at == "L1.out"]
    assert stops == [("reach", "L1.out", "stop")]


@pytest.mark.parametrize(("metres", "mbps"), [(70, 1000), (80, 100)])
def test_beyond_a_stated_reach_a_link_falls_to_the_next_speed(metres, mbps):
    """Gigabit to 70 m by both tables; at 80 m ordinary 100 Mb/s is assured."""
    near, far = (active(2, "long-span", ports=reach(s1000=70)) for _ in range(2))
    doc = chain(source(), run(5), near, run(metres), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.expected_mbps, link.assured) == (mbps, True)


def test_a_reach_that_only_the_longest_length_breaks_is_told():
    """79 m that may be 80.6, stated 80 m at both ends: a warning, and gigabit expected."""
    near, far = (active(2, "long-span", ports=reach(s1000=80)) for _ in range(2))
    doc = chain(source(), run(5), near, run(band(78, 79, 80.6)), far, run(5), endpoint())
    prediction = predict(read_job(doc).plan)
    assert links_of(doc)[("L1.out", "L2.in")].expected_mbps == 1000
    found = {f.id: (f.severity, f.say.code) for f in prediction.findings}
    assert found["reach.L1.out"] == ("warn", "reach-hot")


def test_where_a_sheet_lists_no_speeds_none_is_made_up():
    """The speed is null, said to be unknown, and no finding accuses the link."""
    doc = chain(source(), run(50), endpoint())
    del doc["sheets"]["my.E1"]["speeds_mbps"]
    prediction = predict(read_job(doc).plan)
    (link,) = prediction_json(prediction)["links"]
    assert link["expected_mbps"] is None and "no speeds" in link["why"]
    assert not [f for f in prediction.findings if f.rule in ("speed-mismatch", "reach")]


def test_a_reach_table_does_not_hide_that_no_speed_is_shared():
    """Gigabit only against 10/100 with a table for gigabit: still no link, and a stop."""
    doc = chain(
        source(speeds_mbps=[1000]),
        run(50),
        endpoint(
            5, speeds_mbps=[10, 100], ports={"in": {"faces": "any", "reach_m": {"1000": 400}}}
        ),
    )
    found = {f.id: f.severity for f in predict(read_job(doc).plan).findings}
    assert found["speed-mismatch.S1.out"] == "stop"


def test_one_long_end_does_not_make_the_other_long():
    """A long port towards an ordinary one is assured to 100 m only."""
    near = active(2, "long-span", ports=reach(s1000=280))
    doc = chain(source(), run(5), near, run(150), endpoint())
    link = links_of(doc)[("L1.out", "E1.in")]
    assert (link.expected_mbps, link.assured, link.offer.doubt) == (1000, False, "length")


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


# ---------------------------------------------------------------- dead, and said so


def stops_of(doc) -> set[str]:
    """The points and boxes that a stop stands at."""
    return {f.at for f in predict(read_job(doc).plan).findings if f.severity == "stop"}


def test_a_working_link_has_no_stop():
    """The counter-example of the next two."""
    assert stops_of(chain(source(), run(50), endpoint())) == set()


def test_a_link_dead_for_want_of_pairs_is_a_stop():
    """Gigabit-only ends on two pairs share a speed that the cable cannot carry."""
    parts = (source(speeds_mbps=[1000]), run(50, pairs=2), endpoint(speeds_mbps=[1000]))
    assert stops_of(chain(*parts)) == {"S1.out"}


def test_a_stated_reach_exceeded_is_a_stop_on_two_pairs_too():
    """100 Mb/s stated to 200 m, 300 m of two pairs: no link, and the plan must not pass."""
    ports = reach(s1000=150, s100=200)
    near, far = (active(2, "long-span", ports=ports) for _ in range(2))
    doc = chain(source(), run(5), near, run(300, pairs=2), far, run(5), endpoint(3))
    assert links_of(doc)[("L1.out", "L2.in")].expected_mbps == 0
    assert "L1.out" in stops_of(doc)


def test_a_slow_arrestor_is_not_a_matter_of_reach():
    """55 m through a 100 Mb/s arrestor breaks no reach."""
    parts = (source(), run(50), arrestor(speeds_mbps=[10, 100]), run(5), endpoint())
    findings = predict(read_job(chain(*parts)).plan).findings
    assert "reach" not in {finding.rule for finding in findings}


def test_links_of_unpowered_runs_are_listed_too():
    """Links are a matter of wiring, not of power."""
    doc = chain(source(), run(10), turned(regenerating()), run(10), endpoint())
    assert set(links_of(doc)) == {("S1.out", "R1.out"), ("E1.in", "R1.in")}


def test_a_link_begins_at_the_end_nearer_the_feed():
    """However the spans are written and the boxes listed, and through a unit the other way round."""
    doc = chain(source(), run(10), turned(active(2, "long-span")), run(10), endpoint())
    for span in doc["spans"]:
        span["from"], span["to"] = span["to"], span["from"]
    doc["boxes"].reverse()
    assert list(links_of(doc)) == [("S1.out", "L1.out"), ("L1.in", "E1.in")]
