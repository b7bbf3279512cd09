"""Verdicts: what a reading is held against, and the word that it gets. Bands are worked out by hand."""

from __future__ import annotations

import json
from pathlib import Path
from statistics import NormalDist

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engine.design_band import DesignBands
from engine.entries import POINT_KINDS, READING_KINDS
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import english
from engine.report_json import judgement_json
from engine.study import Range
from engine.verdict import Verdict, planned_readings, z_out

pytestmark = pytest.mark.pure

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
WORDS = {"inside", "unclear", "outside", "no-band"}


def sample(name: str = "orchard-gate") -> dict:
    """A sample job's document without its log."""
    doc = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return {**doc, "log": []}


def always(name: str = "orchard-gate") -> dict:
    """A sample whose feed gives volts without being asked."""
    doc = sample(name)
    for sheet in doc["sheets"].values():
        if sheet["kind"] == "source":
            sheet["grants"] = "always"
    return doc


def reading(at: str, kind: str, value: float, meter: str | None = "M1", **more) -> dict:
    body = {"what": "reading", "at": at, "kind": kind, "value": value, **more}
    return body if meter is None else {**body, "meter": meter}


def judged(doc: dict, *bodies: dict) -> Judgement:
    entries = [{"id": f"e{n}", "device": "d", "n": n + 1, **b} for n, b in enumerate(bodies)]
    return judge(read_job({**doc, "log": entries}))


def verdict(doc: dict, *body) -> Verdict:
    """The verdict on one reading."""
    (one,) = judged(doc, body[0] if isinstance(body[0], dict) else reading(*body)).verdicts
    return one


def with_(standing: dict, at="E.in", kind="volts", value=48.0) -> dict:
    return reading(at, kind, value, **{"with": standing})


def design(doc: dict, *body) -> Range:
    """The design band of one reading."""
    judgement = judged(doc, body[0] if isinstance(body[0], dict) else reading(*body))
    bands = DesignBands(judgement.state, judgement.prediction)
    found = bands.of(judgement.verdicts[0].reading)
    assert isinstance(found, Range)
    return found


def word(*args) -> str:
    return verdict(*args).verdict


# ---------------------------------------------------------------- the guard


def first(doc: dict, value: float, kind: str = "volts") -> tuple[Verdict, float]:
    """The verdict on a first reading at the feed of the orchard, and its z by hand.

    The sheet says 53.2 to 53.8 V, the meter 0.5 % and two digits of 0.01, the contact 0.05 V:
    all limits are rectangles.
    """
    one = verdict(doc, "S.out", kind, value)
    parts = (0.3, 0.005 * 53.5, 0.02, 0.05)
    return one, (value - 53.5) / (sum(part * part / 3 for part in parts)) ** 0.5


def test_the_first_reading_is_held_against_the_plan_and_the_meter():
    for value in (53.0, 53.4, 53.5, 53.9, 54.6):
        one, z = first(sample(), value)
        assert one.z == pytest.approx(z, abs=1e-9)


def test_inside_unclear_outside_exactly_at_the_limits():
    """Two deviations, then those of a site of nine readings (four ports, twice, and the watts).

    The source's sheet is made wide, so that the plan allows whatever today does.
    """
    doc = sample()
    doc["sheets"]["my.switch"]["volts"] = {"low": 50.5, "expected": 53.5, "high": 56.5}
    assert planned_readings(read_job(doc).plan) == 9
    limit = NormalDist().inv_cdf(1 - (1 - 0.97 ** (1 / 9)) / 2)
    assert z_out(9) == limit
    learned = [reading("S.out", "volts", 53.5, moment=str(n)) for n in range(3)]
    spread = verdict_after(doc, learned, 54.0).z / 0.5
    for z, expected in (
        (0, "inside"),
        (2 - 1e-3, "inside"),
        (2 + 1e-3, "unclear"),
        (limit - 1e-3, "unclear"),
        (limit + 1e-3, "outside"),
    ):
        for sign in (-1, 1):
            one = verdict_after(doc, learned, 53.5 + sign * z / spread)
            assert one.verdict == expected, (sign, z)
            assert one.by == "today"
            assert one.z == pytest.approx(sign * z, abs=1e-6)
    for value in (0, 1e6):
        assert word(sample(), "S.out", "volts", value) == "outside"


def verdict_after(doc: dict, before: list[dict], value: float) -> Verdict:
    """The verdict on one more volts reading at the feed."""
    *_, last = judged(doc, *before, reading("S.out", "volts", value, moment="last")).verdicts
    return last


def test_the_worse_word_stands_and_the_record_says_who_spoke():
    """0.6 V off is 2.5 deviations, unclear by today; no sheet and no meter allow it: outside."""
    one, z = first(sample(), 54.1)
    assert 2 < z < z_out(9)
    assert (one.verdict, one.by, one.say.parts["spoke"]) == ("outside", "design", "design")
    assert (one.band.low, one.band.high) == (53.2, 53.8)
    far, _ = first(sample(), 55)
    assert (far.verdict, far.by, far.say.parts["spoke"]) == ("outside", "today", "today")


def test_a_meter_nobody_named_is_a_plain_one():
    """Never exact: its limits are those of the starter sheet."""
    plain = verdict(sample(), reading("S.out", "volts", 54.2, meter="generic.meter"))
    unnamed = verdict(sample(), reading("S.out", "volts", 54.2, meter=None))
    assert unnamed.z == pytest.approx(plain.z)
    fine = sample()
    fine["sheets"]["my.meter"]["volts"] = {"percent": 0.05, "digits": 1, "resolution": 0.001}
    assert verdict(fine, "S.out", "volts", 54.2).z > plain.z
    assert verdict(sample(), "S.out", "volts", 50).reach == pytest.approx(0.27)


def test_crossed_leads_show_the_right_size_with_a_minus():
    for value in (-53.5, 53.5):
        assert word(sample(), "S.out", "volts", value) == "inside"
    assert word(sample(), "S.out", "volts", -47.0) == "outside"
    assert word(sample(), "E.in", "milliamps", -285.0) == "inside"


def test_outside_says_which_side_and_by_how_much():
    low, high = (verdict(sample(), "S.out", "volts", value) for value in (50, 56))
    assert low.say.code == "verdict-outside-low" and high.say.code == "verdict-outside-high"
    own = ((0.3**2 + (0.005 * 53.5) ** 2) / 3) ** 0.5
    """deviation of the source's own volts and of the meter's gain; digits are the reading's"""
    assert low.band.low == pytest.approx(53.5 - 2 * own)
    assert low.say.parts["by"] == pytest.approx(53.5 - 2 * own - 50)
    assert high.say.parts["by"] == pytest.approx(56 - 53.5 - 2 * own)
    assert low.say.parts["reach"] == pytest.approx(0.27)


# ---------------------------------------------------------------- bands by hand


def ohms(per_km: float, metres: float, celsius: float) -> float:
    """One conductor of copper."""
    return per_km / 1000 * metres * (1 + 0.00393 * (celsius - 20))


def far_volts(volts: float, r1: float, box: float, p1: float, r2: float, p2: float):
    """Volts at R1.in and E.in of the orchard, from the highest current balance, by plain iteration."""
    near = far = volts
    for _ in range(4000):
        i1, i2 = p1 / near, p2 / far
        near = volts - r1 * (i1 + i2)
        far = near - (box + r2) * i2
    return near, far


def test_the_band_of_volts_is_the_hull_of_the_corners_with_the_swing():
    """Both pairs carry, so a span's loop is one conductor's ohms; the swing of E is 2 %."""
    corners = {
        "low": (53.2, ohms(88, 93, 24), 0.1 * 1.2, 1.8, 14.5 * 1.02),
        "expected": (53.5, ohms(86, 92, 16), 0.1, 1.5, 14.0),
        "high": (53.8, ohms(84, 91, 8), 0.1 * 0.8, 1.2, 13.5 * 0.98),
    }
    near, far = (design(sample(), at, "volts", 50) for at in ("R1.in", "E.in"))
    amps = design(sample(), "E.in", "milliamps", 290)
    for corner, (volts, span, box, own, watts) in corners.items():
        at_r1, at_e = far_volts(volts, span, box, own, span, watts)
        assert getattr(near, corner) == pytest.approx(at_r1, abs=1e-6)
        assert getattr(far, corner) == pytest.approx(at_e, abs=1e-6)
        opposite = {"low": "high", "high": "low"}.get(corner, corner)
        assert getattr(amps, opposite) == pytest.approx(1000 * watts / at_e, abs=1e-5)


def test_a_known_load_in_place_of_the_endpoint():
    doc = sample()
    for watts in (5.0, 20.0):
        band = design(doc, with_({"E": {"watts": watts}}))
        _, far = far_volts(53.5, ohms(86, 92, 16), 0.1, 1.5, ohms(86, 92, 16), watts)
        assert band.expected == pytest.approx(far, abs=1e-6)
        low = (53.2, ohms(88, 93, 24), 0.12, 1.8, ohms(88, 93, 24), watts)
        assert band.low == pytest.approx(far_volts(*low)[1], abs=1e-6), "known watts do not swing"


def test_an_unplugged_endpoint_raises_the_band():
    doc = sample()
    plugged = design(doc, reading("R1.out", "volts", 50))
    off = design(doc, with_({"E": "off"}, "R1.out"))
    beyond = design(doc, with_({"*": "off"}, "R1.out"))
    assert off.low > plugged.high - 1 and off.expected > plugged.expected + 1
    assert off == beyond, "nothing else is plugged in beyond R1.out, and R1 is on"
    near, _ = far_volts(53.5, ohms(86, 92, 16), 0.1, 1.5, 1.0, 0.0)
    assert off.expected == pytest.approx(near, abs=1e-6)


def test_star_at_an_in_has_the_box_itself_off_and_at_an_out_on():
    doc = always()
    at_in = design(doc, with_({"*": "off"}, "R1.in"))
    assert (at_in.low, at_in.expected, at_in.high) == pytest.approx((53.2, 53.5, 53.8))
    at_out = design(doc, with_({"*": "off"}, "R1.out"))
    assert at_out.expected < 53.5


def test_unplugging_a_box_unplugs_all_behind_it():
    """Everything behind hangs on its ports: without the box nothing passes."""
    doc = sample("reedbed-hide")
    everything = design(doc, with_({"L2": "off", "C": "off"}, "A2.kit"))
    assert design(doc, with_({"L2": "off"}, "A2.kit")) == everything


def test_a_known_load_in_place_of_a_box_has_nothing_behind_it():
    doc = sample("reedbed-hide")
    alone = design(doc, with_({"L2": {"watts": 15}, "C": "off"}, "A2.kit"))
    assert design(doc, with_({"L2": {"watts": 15}}, "A2.kit")) == alone


def test_in_place_of_a_box_that_makes_its_own_volts_too():
    doc = always("tide-mill")
    off = design(doc, with_({"R1": "off"}, "R1.in"))
    assert (off.low, off.expected, off.high) == pytest.approx((52.92, 54, 55.08))
    known = design(doc, with_({"R1": {"watts": 15}}, "R1.in", "watts"))
    assert known.expected == pytest.approx(15)


def test_loop_ohms_of_a_healthy_and_of_a_clad_span():
    """One pair with its far end shorted: out on one conductor and back on the other."""
    band = design(sample(), "C2", "loop_ohms", 15.5)
    assert band.low == pytest.approx(2 * ohms(84, 91, 8))
    assert band.expected == pytest.approx(2 * ohms(86, 92, 16))
    assert band.high == pytest.approx(2 * ohms(88, 93, 24))
    assert word(sample(), "C2", "loop_ohms", 15.5) == "inside"
    clad = verdict(sample(), "C2", "loop_ohms", 15.575 * 1.58)
    assert (clad.verdict, clad.say.code) == ("outside", "verdict-outside-high")
    pairs = {"what": "reading", "at": "C2", "kind": "loop_ohms", "pairs": {"1": 15.4, "2": 15.6}}
    assert verdict(sample(), pairs).reading.figure == pytest.approx(15.5)
    assert word(sample(), pairs) == "inside"


def test_loop_ohms_of_one_pair_are_the_same_on_two_pairs_and_on_four():
    band = design(sample("reedbed-hide"), "C3", "loop_ohms", 27)
    assert band.expected == pytest.approx(2 * ohms(66.8, 202, 12))
    two = sample("reedbed-hide")
    two["sheets"]["my.switch"]["pairs"] = 2
    assert design(two, "C3", "loop_ohms", 27) == band


def test_earth_ohms_are_held_against_the_target():
    """10 ohm; the meter 2 % and three digits of 0.01: beyond 10.03 / 0.98 it is surely over."""
    doc, hair = sample("reedbed-hide"), 1e-6
    for value, expected in (
        (0, "inside"),
        (10, "inside"),
        (10.03 / 0.98 - hair, "inside"),
        (10.03 / 0.98 + hair, "outside"),
    ):
        assert word(doc, "EB1", "earth_ohms", value) == expected, value
    del doc["earths"]["EB1"]["target_ohms"]
    none = verdict(doc, "EB1", "earth_ohms", 3)
    assert (none.verdict, none.say.code) == ("no-band", "no-band-no-target")


def test_link_speed():
    doc = sample("tide-mill")
    for at, value, expected in (
        ("R1.in", 1000, "inside"),
        ("S.out", 1000, "inside"),
        ("R1.in", 100, "outside"),
        ("R1.in", 0, "outside"),
        ("G.in", 100, "inside"),
        ("G.in", 1000, "outside"),
    ):
        assert word(doc, reading(at, "mbps", value, meter=None)) == expected, (at, value)
    slow = verdict(doc, reading("R1.in", "mbps", 100, meter=None))
    assert slow.say.code == "verdict-slow"
    assert "100 Mb/s" in english(slow.say).text and "1000 Mb/s" in english(slow.say).text
    dark = verdict(doc, reading("R1.in", "mbps", 0, meter=None))
    assert "no link" in english(dark.say).text


def test_beyond_the_ordinary_reach_no_speed_is_outside():
    doc = sample("tide-mill")
    doc["spans"][0]["length_m"] = 130
    for value in (0, 10, 100, 1000):
        assert word(doc, reading("R1.in", "mbps", value, meter=None)) == "inside"


# ---------------------------------------------------------------- no band


def test_a_standard_port_shows_a_bare_meter_nothing_steady():
    for at in ("S.out", "R1.in"):
        silent = verdict(sample(), with_({"*": "off"}, at, value=3.0))
        assert (silent.verdict, silent.band) == ("no-band", None)
        assert silent.say.code == "no-band-unplugged"
        words = english(silent.say)
        assert "30 V" in words.text + words.why and "dead" not in words.text + words.why
        spoken = verdict(always(), with_({"*": "off"}, at, value=53.5))
        assert (spoken.verdict, spoken.say.code) == ("inside", "verdict-inside")
    assert word(sample(), with_({"*": "off"}, "R1.out", value=53.3)) == "inside", "R1 answers"
    both = verdict(sample(), with_({"R1": "off", "E": "off"}, "R1.in", value=3.0))
    assert both.say.code == "no-band-unplugged"


def test_where_no_power_reaches_there_is_no_band():
    doc = sample()
    doc["spans"].pop(0)
    assert verdict(doc, "E.in", "volts", 40).say.code == "no-band-unpowered"
    assert verdict(sample(), "Z.in", "volts", 40).say.code == "no-band-unpowered"


def test_a_load_that_nothing_can_carry_has_no_band():
    """150 W do not pass these wires at all: there is nothing to hold 30 V against."""
    for doc in (sample(), always()):
        heavy = verdict(doc, with_({"E": {"watts": 150}}, value=30.0))
        assert heavy.verdict == "no-band"
        assert heavy.band is None
        assert heavy.say.code != "no-band-unplugged", "something is plugged in"


def test_a_kind_at_a_place_that_has_none_of_it_is_kept_and_not_judged():
    one = verdict(sample(), "C2", "celsius", 3)
    assert (one.verdict, one.say.code) == ("no-band", "no-band-not-judged")


# ---------------------------------------------------------------- the rule of the house


def test_run_order_is_outwards_and_does_not_depend_on_typing():
    bodies = [
        reading("E.in", "watts", 14),
        reading("C1", "loop_ohms", 15),
        reading("E.in", "milliamps", 290),
        reading("R1.out", "volts", 51),
        reading("R1.in", "mbps", 100, meter=None),
        reading("E.in", "volts", 48.7),
        reading("R1.in", "milliamps", 320),
        reading("R1.in", "volts", 51),
        reading("S.out", "volts", 53.5),
    ]
    expected = [
        ("S.out", "volts"),
        ("R1.in", "volts"),
        ("R1.in", "milliamps"),
        ("R1.out", "volts"),
        ("E.in", "volts"),
        ("E.in", "milliamps"),
        ("E.in", "watts"),
    ]
    for order in (bodies, bodies[::-1]):
        found = [(one.reading.at, one.reading.kind) for one in judged(sample(), *order).verdicts]
        assert found[:7] == expected
        assert sorted(found[7:]) == [("C1", "loop_ohms"), ("R1.in", "mbps")]


def test_the_sample_finds_its_own_clad_span():
    doc = json.loads((SAMPLES / "orchard-gate.json").read_text(encoding="utf-8"))
    words = {one.id: one.verdict for one in judge(read_job(doc)).verdicts}
    assert words == {
        "og-07": "inside",
        "og-08": "inside",
        "og-09": "inside",
        "og-10": "inside",
        "og-11": "outside",
        "og-12": "inside",
        "og-13": "outside",
    }


def test_an_old_value_keeps_its_verdict_and_is_no_longer_current():
    change = {"what": "change", "where": "C2", "did": "new plug"}
    old, new = judged(
        sample(), reading("E.in", "volts", 40), change, reading("E.in", "volts", 48.8)
    ).verdicts
    assert (old.verdict, old.current, new.verdict, new.current) == (
        "outside",
        False,
        "inside",
        True,
    )


_STANDING = st.dictionaries(
    st.sampled_from(["E", "R1", "R2", "X", "L1", "L2", "C", "S", "*", "NIX"]),
    st.one_of(st.just("off"), st.builds(lambda w: {"watts": w}, st.floats(0, 200))),
    max_size=3,
)


@st.composite
def readings(draw) -> tuple[str, list[dict]]:
    name = draw(st.sampled_from(["orchard-gate", "reedbed-hide", "tide-mill"]))
    job = read_job(sample(name)).plan
    points = [f"{box.id}.{port}" for box in job.boxes.values() for port in job.ports(box)]
    others = [*job.spans, *job.earths, *job.stops, *job.boxes, "nowhere"]
    out = []
    for _ in range(draw(st.integers(1, 3))):
        kind = draw(st.sampled_from(READING_KINDS))
        at = draw(st.sampled_from([*points, "Z.out"] if kind in POINT_KINDS else others))
        value = draw(st.floats(-1e6, 1e6))
        if draw(st.booleans()):
            value = abs(value) % 100
        body = reading(at, kind, value, meter=draw(st.sampled_from([None, "M1", "nix"])))
        out.append({**body, "with": draw(_STANDING)})
    return name, out


@pytest.mark.long
@settings(
    max_examples=80, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
@given(readings())
def test_no_reading_without_a_verdict_that_says_who_spoke_and_why(drawn):
    name, bodies = drawn
    judgement = judged(sample(name), *bodies)
    assert sorted(one.id for one in judgement.verdicts) == sorted(
        one.id for one in judgement.state.readings
    )
    assert len(judgement.verdicts) == len(bodies)
    for one in judgement.verdicts:
        assert one.verdict in WORDS
        assert one.by in ("design", "today")
        assert (one.band is None) == (one.verdict == "no-band")
        if one.band:
            assert any(x is not None for x in (one.band.low, one.band.expected, one.band.high))
        assert english(one.say).text
    json.dumps(judgement_json(judgement), allow_nan=False)
