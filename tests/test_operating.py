"""The operating point: what physics says of every job, and hand arithmetic for the simple ones."""

from __future__ import annotations

from copy import deepcopy
from itertools import count
from math import sqrt

import pytest
from by_contract import CORNERS, number, walk
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from jobs import (
    Bare,
    active,
    arrestor,
    band,
    beside,
    chain,
    endpoint,
    exact,
    regenerating,
    run,
    sheets_of,
    source,
)
from random_jobs import random_job
from strategies import any_job

from engine import headroom
from engine.circuit import wire
from engine.headroom import load_share, watts_to_spare
from engine.job import Point
from engine.jobfile import read_job
from engine.network import build
from engine.operating import Conditions, Operating, operate
from engine.predict import predict

pytestmark = pytest.mark.pure

few = settings(derandomize=True, deadline=None, max_examples=40)
many = settings(derandomize=True, deadline=None, max_examples=200)

ROUNDING = 1e-9
TINY = 1e-6
"""volts; far above what the solver's last step leaves"""


def solved(doc, corner="expected", **conditions) -> Operating:
    """A document at one corner."""
    job = read_job(doc).plan
    return operate(job, build(job), Conditions(corner, **conditions))


def volts_of(operating: Operating) -> dict[str, float]:
    """Volts by the name of the point."""
    return {str(point): flow.volts for point, flow in operating.flows.items()}


# ---------------------------------------------------------------- one load: the quadratic

lone_run = st.tuples(
    st.floats(40, 57),  # volts
    st.floats(20, 200),  # ohm/km
    st.floats(1, 1500),  # metres
    st.floats(0.1, 90),  # watts
    st.sampled_from((2, 4)),
    st.sampled_from((0.0, 30.0, 36.0, 42.0)),  # cut-off
)


def lone(volts, ohms_per_km, length_m, watts, pairs, cutoff):
    """One load behind one cable, and its loop ohms by hand: r·L on two pairs, half on four."""
    doc = chain(
        source(volts), run(length_m, ohms_per_km, pairs=pairs), endpoint(watts, cutoff_volts=cutoff)
    )
    return doc, ohms_per_km / 1000 * length_m * (1 if pairs == 2 else 0.5)


@many
@given(lone_run)
def test_a_lone_load_sits_on_the_upper_root_or_collapses(given_run):
    """V = (Vs + sqrt(Vs² - 4RP))/2 where it is real and above the cut-off; else no answer.

    Source: Joule's and Ohm's laws, V² - Vs·V + R·P = 0; the upper root is the stable one.
    """
    volts, _, _, watts, _, cutoff = given_run
    doc, ohms = lone(*given_run)
    discriminant = volts**2 - 4 * ohms * watts
    root = (volts + sqrt(max(discriminant, 0.0))) / 2
    assume(abs(discriminant) > 1e-6 * volts**2 and abs(root - cutoff) > 1e-6)
    operating = solved(doc)
    assert operating.holds == (discriminant > 0 and root > cutoff)
    if operating.holds:
        flow = operating.flows[Point("E1", "in")]
        assert flow.volts == pytest.approx(root, abs=1e-6)
        assert flow.watts == pytest.approx(watts, rel=1e-6)
        lost = operating.flows[Point("S1", "out")].watts - watts
        assert lost == pytest.approx(ohms * (watts / root) ** 2, abs=1e-5)


@few
@given(lone_run)
def test_load_share_of_a_lone_load_is_the_nearer_of_its_two_limits(given_run):
    """The most that a run bears: Vs²/(4R), or what leaves just the cut-off, Vc(Vs - Vc)/R."""
    volts, _, _, watts, _, cutoff = given_run
    assume(cutoff < volts - 0.1)
    doc, ohms = lone(*given_run)
    most = volts**2 / (4 * ohms) if cutoff < volts / 2 else cutoff * (volts - cutoff) / ohms
    job = read_job(doc).plan
    assert load_share(wire(job, build(job), "expected")) == pytest.approx(most / watts, rel=1e-5)
    spare = watts_to_spare(wire(job, build(job), "expected"), "E1")
    assert spare == pytest.approx(max(most - watts, 0.0), rel=1e-4, abs=1e-4)


@pytest.mark.parametrize("share", [0.999999, 1.000001])
def test_the_edge_of_collapse_is_sharp(share):
    """A millionth below the most that can arrive still runs, a millionth above does not."""
    doc = chain(source(50), run(500, 50), endpoint(50**2 / (4 * 12.5) * share, cutoff_volts=0))
    assert solved(doc).holds == (share < 1)


# ---------------------------------------------------------------- any job


@few
@given(any_job)
def test_volts_never_rise_away_from_the_feed(doc):
    """Along every span and box outwards the volts stay or fall, at every corner."""
    for corner in CORNERS:
        volts = volts_of(solved(doc, corner))
        for feed in walk(doc):
            for edge in feed.edges:
                assert volts[edge.below] <= volts[edge.above] + ROUNDING


@few
@given(any_job, st.floats(0.05, 1.5), st.integers(0, 9))
def test_more_load_raises_no_box(doc, more, which):
    """Watts added at any box lower the volts of some points and raise none."""
    before = volts_of(solved(doc))
    drawing = sheets_of(doc, "endpoint", "repeater", "long-span", "splitter")
    sheet = drawing[which % len(drawing)]
    key = "watts" if sheet["kind"] == "endpoint" else "own_watts"
    sheet[key] = exact(number(sheet, key, "expected") + more)
    after = solved(doc)
    assume(after.holds)
    after = volts_of(after)
    assert all(after[point] <= before[point] + ROUNDING for point in before)
    assert any(after[point] < before[point] - TINY for point in before)


@few
@given(any_job, st.floats(1.0, 2.0))
def test_wider_tolerances_never_narrow_a_band(doc, factor):
    """Every quantity less well known: no low is higher, no high lower, expected unmoved."""
    wide = deepcopy(doc)
    for thing in (*wide["sheets"].values(), *wide["spans"], wide["site"]):
        for key, value in thing.items():
            if isinstance(value, dict) and value.keys() == {"low", "expected", "high"}:
                thing[key] = _stretched(value, factor, 1.0 if key == "efficiency" else None)
    narrow = [volts_of(solved(doc, corner)) for corner in CORNERS]
    wider = [solved(wide, corner) for corner in CORNERS]
    assume(wider[0].holds)
    low, expected, high = (volts_of(one) for one in wider)
    for point in expected:
        assert low[point] <= narrow[0][point] + ROUNDING
        assert expected[point] == pytest.approx(narrow[1][point], abs=TINY)
        assert high[point] >= narrow[2][point] - ROUNDING


def _stretched(value, factor, most):
    low = value["expected"] - factor * (value["expected"] - value["low"])
    high = value["expected"] + factor * (value["high"] - value["expected"])
    if value["low"] >= 0:
        low = max(low, 0.0)
    return band(low, value["expected"], min(high, most) if most else high)


@few
@given(any_job)
def test_bands_are_in_order(doc):
    """low ≤ expected ≤ high for the volts, amps and watts of every point of a whole prediction."""
    prediction = predict(read_job(doc).plan)
    assert prediction.operates
    for point, shown in prediction.points.items():
        for name in ("volts", "amps", "watts"):
            one = getattr(shown, name)
            if one.expected is None:
                assert point == Point("P1", "in") or shown.feed is None
                continue
            assert one.low <= one.expected + ROUNDING, (point, name)
            assert one.expected <= one.high + ROUNDING, (point, name)


@few
@given(any_job)
def test_what_goes_in_comes_out_or_heats_the_cable(doc):
    """Watts of a feed are those drawn behind it plus I²R of every span and box."""
    operating = solved(doc)
    flows = {str(point): flow for point, flow in operating.flows.items()}
    for feed in walk(doc):
        heat = sum(
            (flows[e.above].volts - flows[e.below].volts) * flows[e.below].amps for e in feed.edges
        )
        drawn = 0.0
        for point, sheet in feed.drawn:
            key = "watts" if sheet["kind"] == "endpoint" else "own_watts"
            made = sum(
                flows[other.point].watts
                for other in walk(doc)
                if sheet.get("power") == "regenerating"
                and other.point.partition(".")[0] == point.partition(".")[0]
            )
            efficiency = number(sheet, "efficiency", "expected") or 1.0
            drawn += (number(sheet, key, "expected") + made) / efficiency
        assert flows[feed.point].watts == pytest.approx(drawn + heat, abs=1e-6)


@few
@given(any_job)
def test_nothing_drawn_is_nothing_dropped(doc):
    """With every load at 0 W each point shows the volts of its feed."""
    for sheet in sheets_of(doc, "endpoint", "repeater", "long-span", "splitter"):
        key = "watts" if sheet["kind"] == "endpoint" else "own_watts"
        sheet[key] = exact(0)
    volts = volts_of(solved(doc))
    for feed in walk(doc):
        key = "out_volts" if feed.sheet.get("power") == "regenerating" else "volts"
        for point in (feed.point, *(edge.below for edge in feed.edges)):
            assert volts[point] == pytest.approx(number(feed.sheet, key, "expected"), abs=1e-12)


def test_no_length_is_no_drop():
    """Spans of 0 m and boxes of 0 ohm drop nothing, however large the load."""
    doc = chain(source(53.5), run(0), arrestor(0), run(0), active(3), run(0), endpoint(80))
    assert set(volts_of(solved(doc)).values()) == {53.5}


@settings(few, max_examples=25)
@given(any_job)
def test_load_share_is_where_the_job_stops_holding(doc):
    """At 0.99 of the share a job with its watts scaled still runs; at 1.01 it does not."""
    prediction = predict(read_job(doc).plan)
    for factor, runs in ((0.99, True), (1.01, False)):
        scaled = deepcopy(doc)
        for sheet in sheets_of(scaled, "endpoint", "repeater", "long-span", "splitter"):
            key = "watts" if sheet["kind"] == "endpoint" else "own_watts"
            expected = number(sheet, key, "expected")
            sheet[key] = exact(expected * prediction.load_share * factor)
        assert max(number(s, "watts", "expected") for s in sheets_of(scaled, "endpoint")) <= 200
        assert predict(read_job(scaled).plan).operates is runs


@settings(few, max_examples=15)
@given(any_job)
def test_watts_to_spare_are_what_one_endpoint_may_add(doc):
    """Adding 0.99 of an endpoint's spare watts holds, 1.01 of them does not."""
    job = read_job(doc).plan
    spare = watts_to_spare(wire(job, build(job), "expected"), "E1")
    for factor, runs in ((0.99, True), (1.01, False)):
        heavier = deepcopy(doc)
        sheet = heavier["sheets"]["my.E1"]
        sheet["watts"] = exact(number(sheet, "watts", "expected") + spare * factor)
        assert solved(heavier).holds is runs


@pytest.mark.parametrize("seed", range(12))
def test_watts_to_spare_are_those_of_the_whole_job(seed, monkeypatch):
    """What shares no source with an endpoint is not solved for it, and would change nothing."""
    doc = random_job(seed)
    hang = (run(40), regenerating(2, 50), run(30), endpoint(8))
    beside(doc, source(54), run(60), active(1.5, "repeater"), *hang)
    job = read_job(doc).plan
    circuit = wire(job, build(job), "expected")
    ends = [box.id for box in job.boxes.values() if box.kind == "endpoint"]
    few = [watts_to_spare(circuit, end) for end in ends]
    sharing = [headroom._sharing(circuit, end) for end in ends]
    assert any(len(one.trees) < len(circuit.trees) for one in sharing)
    assert any(len(one.trees) > 1 for one in sharing)
    monkeypatch.setattr(headroom, "_sharing", lambda circuit, box: circuit)
    assert few == [watts_to_spare(circuit, end) for end in ends]


# ---------------------------------------------------------------- droop, default spreads, trees


def test_droop_lowers_the_source_itself():
    """A source of 0.5 ohm under 0.24 A shows 0.12 V less at its own contacts.

    By hand: V² - 53.5·V + (0.5 + 9.99)·12 = 0 gives 51.0334 V, 12/51.0334 = 0.235140 A,
    and 53.5 - 0.5 x 0.235140 = 53.3824 V.
    """
    volts = volts_of(solved(chain(source(53.5, ohms=exact(0.5)), run(300), endpoint(12))))
    assert volts["E1.in"] == pytest.approx(51.0334, abs=1e-4)
    assert volts["S1.out"] == pytest.approx(53.3824, abs=1e-4)


def test_bare_numbers_take_the_tolerance_of_their_kind():
    """Source ±2 %, ohms ±5 %, length ±2 %, an endpoint's 20 W means 10 / 16 / 20 W.

    By hand, two pairs, 20 °C. Low: 49 V, 0.07 x 1.05 ohm/m x 102 m = 7.497 ohm, 20 W.
    """
    doc = chain(
        source(Bare(50), pairs=2), run(Bare(100), Bare(70)), endpoint(Bare(20), cutoff_volts=30)
    )
    shown = predict(read_job(doc).plan).points[Point("E1", "in")].volts
    for got, volts, ohms, watts in (
        (shown.low, 49, 7.497, 20),
        (shown.expected, 50, 7.0, 16),
        (shown.high, 51, 6.517, 10),
    ):
        assert got == pytest.approx((volts + sqrt(volts**2 - 4 * ohms * watts)) / 2, abs=1e-6)


def test_a_failed_regenerating_tree_leaves_its_box_idle():
    """Where the tree behind cannot run, the feed in front sees (0 + own) / efficiency only.

    By hand: 2 W / 0.8 = 2.5 W behind 3.33 ohm from 50 V: 49.8329 V.
    """
    behind = [run(1000), endpoint(60)]
    doc = chain(source(50), run(100), regenerating(2, 54, 0.8), *behind)
    operating = solved(doc)
    assert not operating.holds
    assert Point("E1", "in") not in operating.flows
    flow = operating.flows[Point("R1", "in")]
    assert flow.watts == pytest.approx(2.5, abs=1e-9)
    assert flow.volts == pytest.approx((50 + sqrt(2500 - 4 * 3.33 * 2.5)) / 2, abs=1e-6)


def test_no_power_in_front_means_none_behind():
    """Where the tree in front fails, the regenerating box and its own tree are off."""
    doc = chain(source(50), run(2000), regenerating(40), run(10), endpoint(5))
    prediction = predict(read_job(doc).plan)
    assert not prediction.operates
    behind = prediction.points[Point("E1", "in")]
    assert (behind.volts.expected, behind.state) == (None, "off")


def test_only_the_worst_corner_failing_leaves_low_open():
    """Expected runs, the worst corner has no answer: low volts and high amps are null there."""
    doc = chain(source(53.5), run(band(300, 300, 700)), endpoint(band(10, 25, 51)))
    prediction = predict(read_job(doc).plan)
    assert prediction.operates
    shown = prediction.points[Point("E1", "in")]
    assert shown.volts.low is None and shown.amps.high is None
    assert shown.volts.expected == pytest.approx(48.3, abs=0.1)
    assert shown.volts.high > shown.volts.expected


def test_a_switching_tree_behind_does_not_turn_the_band_in_front_over():
    """When only the worst corner of a regenerating tree fails, the band in front stays ordered."""
    behind = [run(band(300, 300, 900)), endpoint(band(10, 25, 51))]
    doc = chain(source(53.5), run(200), regenerating(2), *behind)
    shown = predict(read_job(doc).plan).points[Point("R1", "in")].volts
    assert shown.low is None or shown.low <= shown.expected


def test_low_volts_that_no_load_can_mend_have_a_share_of_nothing(monkeypatch):
    """24 V never hold a box that stops below 36 V: a result, not an endless search."""
    solves = count()

    def counted(*inputs):
        assert next(solves) < 5000, "an endless search"
        return operate(*inputs)

    monkeypatch.setattr("engine.operating.operate", counted)
    prediction = predict(read_job(chain(source(24), run(10), endpoint(5))).plan)
    assert not prediction.operates
    assert prediction.load_share == pytest.approx(0.0, abs=1e-9)
    assert prediction.watts_to_spare == {"E1": 0.0}
    assert prediction.collapse.at == Point("E1", "in")


@pytest.mark.parametrize(
    ("feed", "state"),
    [(53.5, "cycling"), (41.0, "starved")],
)
def test_a_starving_box_restarts_only_if_it_sees_its_turn_on_volts(feed, state):
    """Unloaded above 42 V it turns on and drops out again; below 42 V it never starts."""
    prediction = predict(read_job(chain(source(feed), run(900), endpoint(30))).plan)
    assert prediction.points[Point("E1", "in")].state == state


def test_each_tree_that_fails_has_its_own_starving_box():
    """Two outs of one regenerating box fail: both cycle from the feed to the end."""
    branches = [
        [run(200), active(1), run(200), endpoint(90)],
        [run(200), active(1), run(200), endpoint(80)],
    ]
    doc = chain(source(53.5), run(10), regenerating(2, kind="splitter"), branches)
    prediction = predict(read_job(doc).plan)
    assert len(prediction.study.expected.failed) == 2
    states = {str(point): shown.state for point, shown in prediction.points.items()}
    trees = ("Y1.out1", "R1.in", "R1.out", "E1.in", "Y1.out2", "R2.in", "R2.out", "E2.in")
    assert {states[point] for point in trees} == {"cycling"}
    assert prediction.points[Point("Y1", "in")].state == "on"


def test_the_swing_of_a_load_widens_a_reading_not_the_prediction():
    """10 % swing: at the low corner of a reading 12 W are 13.2 W, at the high one 10.8 W."""
    doc = chain(source(53.5), run(300), endpoint(12, watts_swing_percent=10))
    for corner, watts in (("low", 13.2), ("expected", 12.0), ("high", 10.8)):
        assert volts_of(solved(doc, corner))["E1.in"] == pytest.approx(51.1566, abs=1e-4)
        swung = volts_of(solved(doc, corner, swing=True))["E1.in"]
        assert swung == pytest.approx((53.5 + sqrt(53.5**2 - 4 * 9.99 * watts)) / 2, abs=1e-6)
