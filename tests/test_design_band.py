"""The design band of every kind of reading: by hand, where there is none, and at what cost."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from random_jobs import random_job
from samples import planned
from strategies import any_job

from engine import design_band as module
from engine.design_band import BANDS, DesignBands, Wanted, apart, band_for, odd_pairs
from engine.entries import READING_KINDS
from engine.job import Accuracy, Point
from engine.jobfile import read_job
from engine.log import Reading, State, fold
from engine.network import AS_PLANNED, Standing
from engine.phrases import english
from engine.predict import predict
from engine.say import Say
from engine.standards.ethernet import errors_allowed
from engine.study import Prediction, Range

pytestmark = pytest.mark.pure

Site = tuple[State, Prediction]


def site(doc: dict) -> Site:
    state = fold(read_job(doc))
    return state, predict(state.job)


def reading(at: str, kind: str, value: float | None = 1.0, **more) -> Reading:
    plain = Reading("e", at, kind, value, None, None, AS_PLANNED, "e", "Ida", None)
    return evolve(plain, **more)


def band(doc: dict, at: str, kind: str, **more) -> Range | Say:
    return DesignBands(*site(doc)).of(reading(at, kind, **more))


def three(found: Range | Say) -> tuple[float | None, ...]:
    assert isinstance(found, Range), found
    return (found.low, found.expected, found.high)


def code(found: Range | Say) -> str:
    return found.code if isinstance(found, Say) else "a band"


def bare(standing: dict) -> Standing:
    off = frozenset(box for box, what in standing.items() if what == "off")
    return Standing(off, {box: watts for box, watts in standing.items() if watts != "off"})


BEYOND = Standing(beyond=Point("X", "in"))
"""nothing plugged in behind the point that is measured, whichever it is"""


# ---------------------------------------------------------------- every kind has its row


def test_every_kind_of_reading_has_a_band_or_a_reason():
    assert set(BANDS) == set(READING_KINDS)


# ---------------------------------------------------------------- what flows


def test_volts_at_the_feed_are_the_sheets():
    assert three(band(planned(), "S.out", "volts")) == (53.2, 53.5, 53.8)


def test_amps_and_watts_belong_together():
    """In each corner watts are volts times amps; low volts go with high amps."""
    doc = planned()
    volts, amps, watts = (three(band(doc, "E.in", k)) for k in ("volts", "milliamps", "watts"))
    for corner in range(3):
        assert watts[corner] == pytest.approx(volts[2 - corner] * amps[corner] / 1000)
    assert watts == pytest.approx((13.5 * 0.98, 14, 14.5 * 1.02)), "the swing of E is 2 %"


def test_a_standard_port_names_the_box_to_plug_in():
    for at in ("S.out", "R1.in"):
        found = band(planned(), at, "volts", standing=BEYOND)
        assert found.code == "no-band-unplugged" and found.parts["box"] == "R1"
        words = english(found)
        assert "Plug in R1" in words.text and "below 30 V" in words.why
    assert three(band(planned(), "R1.out", "volts", standing=BEYOND))


def test_where_no_box_answers_none_is_named():
    doc = planned()
    doc["spans"] = []
    found = band(doc, "S.out", "volts")
    assert found.code == "no-band-unplugged" and found.parts["box"] is None
    assert "a box that answers" in english(found).text


DARK = [
    ("orchard-gate", "E.in", bare({"E": 29.0}), "no-band-tripped"),
    ("orchard-gate", "E.in", bare({"E": 150.0}), "no-band-collapse"),
    ("orchard-gate", "Z.in", AS_PLANNED, "no-band-unpowered"),
    ("orchard-gate", "E.in", bare({"Z": "off"}), "no-band-no-such-box"),
    ("orchard-gate", "E.in", bare({"S": "off"}), "no-band-unpowered"),
    ("tide-mill", "R1.out", bare({"R1": "off"}), "no-band-unpowered"),
    ("tide-mill", "R2.in", bare({"R1": "off"}), "no-band-unpowered"),
]


@pytest.mark.parametrize(("name", "at", "standing", "why"), DARK)
def test_why_a_point_shows_nothing_steady(name, at, standing, why):
    for kind in ("volts", "milliamps", "watts"):
        assert code(band(planned(name), at, kind, standing=standing)) == why


def test_what_is_behind_a_collapse_is_dark_for_the_same_reason():
    """R1 makes new volts for all behind it, but needs 36 V itself."""
    behind = planned("tide-mill")
    for sheet in behind["sheets"].values():
        if sheet["kind"] == "source":
            sheet["volts"] = {"low": 20, "expected": 21, "high": 22}
            sheet["grants"] = "always"
    for at in ("R1.in", "R1.out", "G.in"):
        assert code(band(behind, at, "volts")) == "no-band-collapse", at


def test_where_something_switches_at_worst_the_band_has_no_end_there():
    """What starves behind R1 at worst leaves R1 idle: the volts in front would rise, not fall."""
    doc = planned("tide-mill")
    plain = {at: three(band(doc, at, "volts")) for at in ("R1.in", "R2.in", "G.in")}
    doc["sheets"]["my.gauge"]["watts"] = {"low": 1, "expected": 2, "high": 150}
    for at, (_, expected, high) in plain.items():
        low, still, top = three(band(doc, at, "volts"))
        assert low is None, at
        assert still == pytest.approx(expected, rel=0.05) and top == pytest.approx(high, rel=0.05)
        assert three(band(doc, at, "milliamps"))[2] is None


def test_another_runs_collapse_is_not_this_ones():
    """Two runs of one job: what cannot be held in one says nothing about the other."""
    doc = planned("tide-mill")
    doc["sheets"]["my.heavy"] = {
        "kind": "endpoint",
        "watts": 80,
        "class": 8,
        "cutoff_volts": 50,
        "speeds_mbps": [100],
    }
    doc["sheets"]["my.bare"] = {"kind": "source", "volts": 48, "grants": "always"}
    doc["sheets"]["my.thin"] = {"kind": "cable", "ohms_per_km": 200}
    stop = doc["boxes"][0]["stop"]
    doc["boxes"] += [
        {"id": "S9", "sheet": "my.bare", "stop": stop},
        {"id": "H9", "sheet": "my.heavy", "stop": stop},
    ]
    doc["spans"].append(
        {"id": "C9", "from": "S9.out", "to": "H9.in", "cable": "my.thin", "length_m": 200}
    )
    assert code(band(doc, "H9.in", "volts")) == "no-band-collapse"
    assert code(band(doc, "R1.out", "volts", standing=bare({"R1": "off"}))) == "no-band-unpowered"


# ---------------------------------------------------------------- data


def test_link_speed_is_the_one_that_both_ends_list():
    doc = planned("tide-mill")
    assert three(band(doc, "R1.in", "mbps")) == (1000, 1000, 1000)
    assert three(band(doc, "G.in", "mbps")) == (100, 100, 100)
    doc["spans"][0]["length_m"] = 130
    assert three(band(doc, "R1.in", "mbps"))[0] == 0, "beyond 100 m nothing is promised"


@pytest.mark.parametrize("kind", ["mbps", "error_count"])
@pytest.mark.parametrize("standing", [bare({"E": "off"}), bare({"E": 15.0}), BEYOND])
def test_an_unplugged_end_has_no_link_to_judge(kind, standing):
    found = band(planned(), "R1.out", kind, standing=standing, seconds=60)
    assert code(found) == "no-band-not-judged"


@pytest.mark.parametrize("kind", ["mbps", "error_count"])
def test_a_box_without_power_has_no_link_to_judge(kind):
    doc = planned("tide-mill")
    behind = band(doc, "G.in", kind, standing=bare({"R1": "off"}), seconds=60)
    assert code(behind) == "no-band-unpowered"
    heavy = band(planned(), "R1.in", kind, standing=bare({"E": 29.0}), seconds=60)
    assert code(heavy) == "no-band-tripped"


@pytest.mark.parametrize(
    ("name", "at", "mbps"), [("orchard-gate", "E.in", 100), ("reedbed-hide", "L1.in", 1000)]
)
def test_error_counts_are_held_against_the_speed_and_the_time(name, at, mbps):
    doc = planned(name)
    for seconds in (1, 60, 900):
        found = band(doc, at, "error_count", seconds=seconds)
        assert three(found) == (0, 0, errors_allowed(mbps, seconds))
    for seconds in (None, 0):
        assert code(band(doc, at, "error_count", seconds=seconds)) == "no-band-no-seconds"
    assert code(band(doc, "Z.in", "error_count", seconds=60)) == "no-band-not-judged"


# ---------------------------------------------------------------- spans, earths, stops


def copper(per_km: float, metres: float, celsius: float) -> float:
    """One conductor."""
    return per_km / 1000 * metres * (1 + 0.00393 * (celsius - 20))


def test_loop_ohms_at_the_temperature_of_the_site_or_at_the_cables_own():
    """C2: 84 to 88 ohm a km, 91 to 93 m, 8 to 24 °C; out on one wire and back on the other."""
    doc, corners = planned(), ((84, 91, 8), (86, 92, 16), (88, 93, 24))
    by_site = [2 * copper(*corner) for corner in corners]
    assert three(band(doc, "C2", "loop_ohms")) == pytest.approx(by_site)
    for celsius in (-10, 16, 40):
        own = [2 * copper(per_km, metres, celsius) for per_km, metres, _ in corners]
        assert three(band(doc, "C2", "loop_ohms", celsius=celsius)) == pytest.approx(own)


def test_the_two_ends_of_a_span_stay_when_it_warms():
    """0.2 ohm of loop on two pairs in force are 0.4 in one pair; copper alone follows the heat."""
    doc = planned()
    doc["spans"][1]["end_ohms"] = {"low": 0.2, "expected": 0.2, "high": 0.2}
    plain, own = (band(planned(), "C2", "loop_ohms", celsius=c) for c in (40, 40))
    ends = band(doc, "C2", "loop_ohms", celsius=40)
    assert three(ends) == pytest.approx([ohms + 0.4 for ohms in three(plain)])
    assert own == plain


def test_unbalance_is_three_percent_of_the_loop_or_a_fifth_of_an_ohm():
    """Of the highest loop that the plan allows; a short span has the fixed limit."""
    most = 2 * copper(88, 93, 24)
    assert three(band(planned(), "C2", "unbalance_ohms")) == (0, None, pytest.approx(0.03 * most))
    short = planned()
    short["spans"][1]["length_m"] = 5
    assert three(band(short, "C2", "unbalance_ohms")) == (0, None, 0.2)


def test_metres_are_the_spans_own():
    assert three(band(planned(), "C2", "metres")) == (91, 92, 93)


def test_earth_ohms_have_a_target_or_no_band():
    doc = planned("reedbed-hide")
    assert three(band(doc, "EB1", "earth_ohms")) == (0, None, 10)
    del doc["earths"]["EB1"]["target_ohms"]
    assert code(band(doc, "EB1", "earth_ohms")) == "no-band-no-target"


def test_celsius_of_a_stop_is_the_sites_or_the_rooms():
    plain = planned("reedbed-hide")
    room = plain["site"].pop("indoor_c")
    indoor, outdoor = "hut", "hide"
    assert plain["stops"][indoor]["indoor"] and not plain["stops"][outdoor]["indoor"]
    outside = tuple(plain["site"]["ambient_c"].values())
    assert three(band(plain, indoor, "celsius")) == outside, "no room temperature is given"
    warm = planned("reedbed-hide")
    assert three(band(warm, indoor, "celsius")) == tuple(room.values())
    assert three(band(warm, outdoor, "celsius")) == outside


@pytest.mark.parametrize("kind", ["loop_ohms", "unbalance_ohms", "metres", "celsius"])
@pytest.mark.parametrize("at", ["E.in", "nowhere", "E"])
def test_a_kind_at_a_place_that_has_none_is_not_judged(kind, at):
    assert code(band(planned(), at, kind)) == "no-band-not-judged"


# ---------------------------------------------------------------- one pair against the others


METER = Accuracy(1, 3, 0.1)
SPREADS = [
    ({"1": 20.0, "2": 20.4, "3": 20.2, "4": 20.7}, ()),
    ({"1": 20.0, "2": 20.4, "3": 31.0, "4": 20.7}, ("3",)),
    ({"1": 20.0, "2": 20.4, "3": 1e6, "4": 20.7}, ("3",)),
    ({"1": 20.0, "2": 20.4, "3": 9.0, "4": 20.7}, ("3",)),
    ({"1": 20.0, "2": 20.1, "3": 31.0, "4": 33.0}, ("3", "4")),
    ({"1": 20.0, "2": 31.0}, ("2",)),
    ({"1": 0.3, "2": 0.5, "3": 0.4, "4": 0.6}, ()),
    ({"1": 0.3, "2": 1.2, "3": 0.4, "4": 0.3}, ("2",)),
    ({"1": 20.0}, ()),
]


@pytest.mark.parametrize(("pairs", "odd"), SPREADS)
def test_pairs_that_stand_apart(pairs, odd):
    """4 % for the lay, and the digits of two readings: 2 x 3 x 0.1 ohm."""
    assert odd_pairs(reading("C2", "loop_ohms", None, pairs=pairs), METER) == odd


def test_the_limit_of_the_spread_to_the_hair():
    for middle, accuracy, most in ((20.0, METER, 0.8 + 0.6), (20.0, None, 0.8)):
        for more, odd in ((most - 1e-9, ()), (most + 1e-9, ("3",))):
            pairs = {"1": middle, "2": middle, "3": middle + more}
            one = reading("C2", "loop_ohms", None, pairs=pairs)
            assert odd_pairs(one, accuracy) == odd


def test_only_ohms_of_pairs_are_compared():
    assert odd_pairs(reading("C2", "loop_ohms", 15.5), METER) == ()
    many = reading("C2", "unbalance_ohms", None, pairs={"1": 0.1, "2": 5.0})
    assert odd_pairs(many, METER) == ()


def test_what_is_said_of_a_pair_that_stands_apart():
    state, _ = site(planned())
    pairs = {"1": 15.5, "2": 15.6, "3": 24.9, "4": 1e6}
    said = apart(state, reading("C2", "loop_ohms", None, pairs=pairs))
    text = english(said).text
    assert text.startswith("C2: pair 3 reads 24.9 ohm and pair 4 does not close, where 15.6 ohm")
    assert apart(state, reading("C2", "loop_ohms", 24.9)) is None


# ---------------------------------------------------------------- what was solved serves again


def _asks(state: State) -> list[Wanted]:
    job = state.job
    points = [f"{box.id}.{port}" for box in job.boxes.values() for port in job.ports(box)]
    boxes = list(job.boxes)
    standings = [
        AS_PLANNED,
        BEYOND,
        bare({boxes[-1]: "off"}),
        bare({boxes[-1]: 7.0}),
        Standing(frozenset(boxes[1:2]), {boxes[-1]: 3.0}),
    ]
    places = [*points, *job.spans, *job.earths, *job.stops, "nowhere", "Z.in"]
    return [
        Wanted(at, kind, standing, seconds, celsius)
        for at in places
        for kind in READING_KINDS
        for standing in standings
        for seconds, celsius in ((None, None), (30.0, 25.0))
    ]


@pytest.mark.long
@settings(max_examples=25, deadline=None)
@given(any_job, st.integers(0, 10**6))
def test_of_any_job_a_band_is_the_same_alone_and_among_others(doc, seed):
    """And none is ever refused; its ends are in order."""
    state, prediction = site(doc)
    asks = _asks(state)
    Random(seed).shuffle(asks)
    together = DesignBands(state, prediction)
    found = {ask_key(ask): together.of(ask) for ask in asks}
    for ask in asks[:60]:
        assert DesignBands(state, prediction).of(ask) == found[ask_key(ask)], ask
    for ask in asks:
        one = found[ask_key(ask)]
        if isinstance(one, Say):
            assert english(one).text
            continue
        known = [x for x in (one.low, one.expected, one.high) if x is not None]
        assert all(a <= b + 1e-6 * abs(b) for a, b in pairwise(known)), ask


def ask_key(ask: Wanted) -> tuple:
    return (ask.at, ask.kind, ask.standing.key, ask.seconds, ask.celsius)


def test_three_solves_a_standing_and_no_more(monkeypatch):
    """However many readings there are, and however the same things standing there are written."""
    state, prediction = site(planned("reedbed-hide"))
    solved = []
    plain = module.settle

    def counted(circuit, limits, conditions):
        solved.append(conditions.volts)
        return plain(circuit, limits, conditions)

    monkeypatch.setattr(module, "settle", counted)
    bands = DesignBands(state, prediction)
    for at in ("S.out", "L1.in", "A1.line", "L2.out", "C.in"):
        for kind in ("volts", "milliamps", "watts", "mbps", "error_count"):
            bands.of(Wanted(at, kind, AS_PLANNED, 60.0))
    assert sorted(solved) == ["expected", "high", "low"]
    for standing in (bare({"C": 5.0, "L2": "off"}), bare({"L2": "off", "C": 5.0})):
        bands.of(Wanted("A2.kit", "volts", standing))
    assert len(solved) == 6
    for at in ("A2.kit", "A2.line"):
        bands.of(Wanted(at, "volts", BEYOND))
    assert len(solved) == 12, "what is behind each point differs"
    assert {ohms: bands.of(Wanted("C3", ohms, BEYOND)) for ohms in ("loop_ohms", "metres")}
    assert len(solved) == 12, "nothing is solved for a span"


def test_before_it_is_read_the_band_is_the_same():
    state, prediction = site(planned())
    for at, kind in (("E.in", "volts"), ("C2", "loop_ohms"), ("R1.in", "mbps")):
        later = DesignBands(state, prediction).of(reading(at, kind))
        assert band_for(state, prediction, at, kind, AS_PLANNED) == later


def test_the_random_jobs_are_not_all_dark():
    """Else the property above would say nothing about bands."""
    powered = [
        any(point.volts.expected for point in site(random_job(seed))[1].points.values())
        for seed in range(20)
    ]
    assert sum(powered) > 10
