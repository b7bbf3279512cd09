"""Worked numbers from outside this repository, through whole jobs, to the digits printed.

Power: limits of IEEE 802.3 clauses 33 and 145 as data sheets and an industry alliance's
overview restate them, and the algebra of one constant-power load. Conductors: wire tables
and textbook examples, each named at its test.
"""

from __future__ import annotations

import pytest
from jobs import active, chain, endpoint, run, source

from engine.circuit import conductor_ohms, span_ohms
from engine.job import Point
from engine.jobfile import read_job
from engine.predict import predict
from engine.standards.conductors import CONDUCTORS, ohms_per_km

pytestmark = pytest.mark.pure

END, START = Point("E1", "in"), Point("S1", "out")
KM_PER_1000_FT = 0.3048


def lone(volts, ohms, watts, pairs, cutoff=0.0):
    """The prediction of one load behind a cable whose loop has ``ohms`` on these pairs."""
    per_km = ohms * pairs / 2
    parts = (source(volts), run(1000, per_km, pairs=pairs), endpoint(watts, cutoff_volts=cutoff))
    return predict(read_job(chain(*parts)).plan)


def digits(printed: str) -> object:
    """Equal to a printed number to its last digit, which may be a rounding away."""
    _, _, decimals = printed.partition(".")
    return pytest.approx(float(printed), abs=0.55 * 10 ** -len(decimals))


def one(found):
    """The single value of a range whose inputs are all exact."""
    assert found.low == pytest.approx(found.expected) == pytest.approx(found.high)
    return found.expected


# ---------------------------------------------------------------- power: classes and types


@pytest.mark.parametrize(
    ("volts", "ohms", "pairs", "watts", "amps", "end_volts", "source_watts"),
    [
        (44, 20, 2, 12.95, "0.350", "37.00", "15.4"),  # type 1, class 3
        (44, 20, 2, 3.835, "0.0909", "42.18", "4.0"),  # class 1
        (44, 20, 2, 6.494, "0.1591", "40.82", "7.0"),  # class 2
        (50, 12.5, 2, 25.5, "0.600", "42.50", "30.0"),  # type 2, class 4
        (50, 6.25, 4, 39.94, "0.900", "44.38", "45.0"),  # class 5
        (50, 6.25, 4, 51.0, "1.200", "42.50", "60.0"),  # type 3, class 6
        (52, 6.25, 4, 62.00, "1.442", "42.99", "75.0"),  # class 7
        (52, 6.25, 4, 71.2778, "1.7308", "41.18", "90.0"),  # type 4, class 8
    ],
)
def test_each_class_at_its_limit(volts, ohms, pairs, watts, amps, end_volts, source_watts):
    """The worst allowed channel of each class: amps, volts at the end, watts at the port.

    Source: IEEE 802.3 clause 33 and 145 class table, as restated by data sheets and by
    Yseboodt & Abramson, Overview of 802.3bt, 2018; arithmetic I = P/V, V = Vs - I·R.
    """
    prediction = lone(volts, ohms, watts, pairs, cutoff=36)
    assert one(prediction.points[END].amps) == digits(amps)
    assert one(prediction.points[END].volts) == digits(end_volts)
    assert one(prediction.points[START].watts) == digits(source_watts)


def test_class_8_loses_what_is_printed():
    """52 V, 71.3 W behind 6.25 ohm: upper root 41.178 V, 10.82 V lost."""
    prediction = lone(52, 6.25, 71.3, 4)
    assert one(prediction.points[END].volts) == digits("41.178")
    lost = one(prediction.points[START].volts) - one(prediction.points[END].volts)
    assert lost == digits("10.82")


@pytest.mark.parametrize(
    ("volts", "ohms", "pairs", "watts", "most"),
    [
        (50, 6.25, 4, 51.0, "100"),
        (52, 6.25, 4, 71.3, "108.2"),
        (53.5, 9.99, 4, 12, "71.6"),
        (53.5, 19.98, 2, 12, "35.8"),
        (53.5, 16.65, 4, 12, "43.0"),
        (53.5, 33.3, 4, 12, "21.5"),
    ],
)
def test_the_most_that_can_arrive(volts, ohms, pairs, watts, most):
    """P_max = Vs²/(4R): the matched-load theorem, found here by raising the load."""
    assert lone(volts, ohms, watts, pairs).load_share * watts == digits(most)


@pytest.mark.parametrize(("cutoff", "product"), [(30, "705"), (36, "630"), (37, "610"), (0, "716")])
def test_a_cutoff_puts_power_out_of_reach(cutoff, product):
    """P·R at the edge of the restart loop at 53.5 V: V_off·(Vs - V_off), at most Vs²/4."""
    ohms, watts = 10.0, 20.0
    assert lone(53.5, ohms, watts, 2, cutoff).load_share * watts * ohms == pytest.approx(
        float(product), abs=0.6
    )


# ---------------------------------------------------------------- power: a pair set lost


@pytest.mark.parametrize(
    ("volts", "watts", "end_volts", "amps"),
    [
        (52, 71.3, None, None),
        (50, 51.0, None, None),
        (57, 51.0, "41.72", "1.22"),
        (50, 40.0, "36.2", "1.1"),
    ],
)
def test_one_pair_set_lost(volts, watts, end_volts, amps):
    """Class 6 and 8 on 12.5 ohm: no operating point, but at 57 V, and for 40 W.

    Source: algebra, 50² / 50 = 50.0 W and 52² / 50 = 54.08 W are the most that arrives.
    """
    prediction = lone(volts, 12.5, watts, 2)
    assert prediction.operates == (end_volts is not None)
    if end_volts is None:
        assert prediction.points[END].volts.expected is None
        assert prediction.collapse.at == END
    else:
        assert one(prediction.points[END].volts) == digits(end_volts)
        assert one(prediction.points[END].amps) == digits(amps)


# ---------------------------------------------------------------- power: long runs


@pytest.mark.parametrize(
    ("length_m", "pairs", "watts", "end_volts"),
    [
        (300, 4, 12, "51.16"),
        (300, 4, 25.5, "48.22"),
        (300, 4, 51, "41.11"),
        (300, 4, 71.3, "28.56"),
        (300, 2, 12, "48.56"),
        (300, 2, 25.5, "41.11"),
        (300, 2, 51, None),
        (500, 4, 12, "49.46"),
        (500, 4, 25.5, "43.81"),
        (1000, 4, 12, "44.53"),
        (1000, 4, 25.5, None),
    ],
)
def test_long_runs_of_66_6_ohm_per_km_at_53_5_volts(length_m, pairs, watts, end_volts):
    """The upper root of V² - 53.5·V + R·P, or none at all."""
    parts = (source(53.5), run(length_m, 66.6, pairs=pairs), endpoint(watts, cutoff_volts=0))
    prediction = predict(read_job(chain(*parts)).plan)
    assert prediction.operates == (end_volts is not None)
    if end_volts is not None:
        assert one(prediction.points[END].volts) == digits(end_volts)


def test_a_root_below_every_cutoff_does_not_run():
    """71.3 W at 300 m has a root at 28.56 V, under a cut-off of 30 V: collapse."""
    parts = (source(53.5), run(300), endpoint(71.3, cutoff_volts=30))
    prediction = predict(read_job(chain(*parts)).plan)
    assert not prediction.operates
    assert prediction.collapse.volts_needed == 30
    assert prediction.collapse.load_share == pytest.approx(30 * 23.5 / 9.99 / 71.3, rel=1e-5)


@pytest.mark.parametrize(
    ("pairs", "middle", "end", "amps", "watts"),
    [(2, "50.509", "48.012", "0.2994", "16.02"), (4, "52.083", "50.905", "0.2837", "15.18")],
)
def test_a_pass_through_chain(pairs, middle, end, amps, watts):
    """53.5 V, 2 x 150 m of 66.6 ohm/km, 2.5 W at the middle, 12 W at the end.

    Source: fixed point of V_i = Vs - R·I, 200 rounds, worked outside this program.
    """
    doc = chain(source(53.5, pairs=pairs), run(150), active(2.5), run(150), endpoint(12))
    points = predict(read_job(doc).plan).points
    assert one(points[Point("R1", "in")].volts) == digits(middle)
    assert one(points[END].volts) == digits(end)
    assert one(points[START].amps) == digits(amps)
    assert one(points[START].watts) == digits(watts)


# ---------------------------------------------------------------- conductors


def cable_ohms(celsius=20, **keys) -> float:
    """Loop ohms on two pairs of 1000 m of a cable known by its gauge, through a job."""
    doc = chain(
        source(),
        run(1000, cable={"kind": "cable", **keys}),
        endpoint(1),
        ambient_c=celsius,
    )
    job = read_job(doc).plan
    return span_ohms(job, job.spans["C1"], 2, "expected")


LAY = CONDUCTORS["lay-factor"].value


@pytest.mark.parametrize(
    ("awg", "printed", "per_km"),
    [
        (22, "16.14", "52.96"),
        (23, "20.36", "66.79"),
        (24, "25.67", "84.21"),
        (25, "32.37", "106.19"),
        (26, "40.81", "133.91"),
    ],
)
def test_gauge_table(awg, printed, per_km):
    """Ohms per 1000 ft of solid copper at 20 °C, the twist's lay taken out again.

    Source: wire table of HyperPhysics, Georgia State University, after Floyd, Electric
    Circuit Fundamentals, 2nd ed.; diameters by ASTM B258. The printed 40.81 of 26 AWG is
    0.01 % low, from an area rounded to 254.1 circular mil.
    """
    straight = cable_ohms(awg=awg, material="copper") / LAY
    assert straight * KM_PER_1000_FT == digits(printed)
    assert straight == digits(per_km)


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [
        (-20, "0.8428"),
        (0, "0.9214"),
        (20, "1.0000"),
        (35, "1.0590"),
        (40, "1.0786"),
        (60, "1.1572"),
        (70, "1.1965"),
    ],
)
def test_copper_and_temperature(celsius, factor):
    """R(T)/R20 of copper. Source: IEC 60028, 1 + 0.00393·(T - 20)."""
    warm = cable_ohms(celsius, awg=24) / cable_ohms(20, awg=24)
    assert warm == digits(factor)


def test_alpha_belongs_to_twenty_degrees():
    """28.2 ohm at 24.5 °C become 33.02 at 68.8 °C: the coefficient is that of 20 °C.

    Source: toughstem.com, answer 319, prints 33.248 with 0.004041 taken at 24.5 °C; the
    law about 20 °C gives 28.2 x (1 + 0.00393 x 48.8) / (1 + 0.00393 x 4.5) = 33.02.
    """
    warmed = 28.2 * cable_ohms(68.8, awg=24) / cable_ohms(24.5, awg=24)
    assert warmed == digits("33.02")
    assert abs(warmed - 33.248) > 0.2


@pytest.mark.parametrize(
    ("percent", "clad", "copper"),
    [
        (10, 3.91, 2.525),
        (10, 9.90, 6.385),
        (10, 15.7, 10.15),
        (10, 19.8, 12.8),
        (15, 3.79, 2.525),
        (15, 9.61, 6.385),
        (15, 15.2, 10.15),
        (15, 19.2, 12.8),
    ],
)
def test_clad_wire_against_copper(percent, clad, copper):
    """Ohms of clad aluminium over copper of the same gauge, by copper share of the volume.

    Source: wire-trade tables of clad wire made to ASTM B566 (ohm per 1000 ft at 20 °C, 14,
    18, 20 and 21 AWG) over the copper column of the gauge table; ours within 0.5 %.
    """
    keys = {"awg": 24, "material": "clad", "copper_percent": percent}
    ours = cable_ohms(**keys) / cable_ohms(awg=24)
    assert ours == pytest.approx(clad / copper, rel=0.005)


@pytest.mark.parametrize(
    ("awg", "percent", "material", "per_km"),
    [
        (23, 10, "clad", "103.5"),
        (24, 10, "clad", "130.5"),
        (24, 15, "clad", "126.3"),
        (26, 15, "clad", "200.9"),
        (22, 100, "aluminium", "86.8"),
        (24, 100, "aluminium", "138.1"),
    ],
)
def test_other_metals_by_gauge(awg, percent, material, per_km):
    """Clad x 1.55 or x 1.50 of copper; aluminium of 61 % conductivity (IEC 60889)."""
    keys = {"copper_percent": percent} if material == "clad" else {}
    assert cable_ohms(awg=awg, material=material, **keys) / LAY == digits(per_km)


def test_stranding_adds_two_percent():
    """16 AWG of seven wires 4.99 against 4.884 ohm per 1000 ft solid, at 75 °C: x 1.02.

    Source: NEC chapter 9 table 8 as quoted by a voltage-drop lesson; solid by the gauge table.
    """
    stranded, solid = (ohms_per_km(24, "copper", stranded=flag) for flag in (True, False))
    assert stranded.expected / solid.expected == pytest.approx(4.99 / 4.884, rel=0.003)


def test_the_sheets_ohms_win_over_the_gauge():
    """A cable that states its ohms is taken at its word."""
    doc = chain(
        source(), run(10, cable={"kind": "cable", "awg": 26, "ohms_per_km": 70}), endpoint()
    )
    job = read_job(doc).plan
    assert conductor_ohms(job.spans["C1"].cable).expected == 70
