"""The mathematics of measuring against printed digits: the guides' worked examples, certified fits.

JCGM 100 (expression of uncertainty), 101 (Monte Carlo), 106 (conformity), NIST TN 1900 and
StRD, NBS Handbook 91, as public metrology packages quote their digits in their tests (suncal,
GTC, propagate). Degrees of freedom (JCGM 100 G, H.1's 16 and 93 nm) have no counterpart in the
engine and are left out.
"""

from __future__ import annotations

from math import exp, log, pi, sqrt

import numpy as np
import pytest
from measuring_exact import conditioned_by_unknowns
from measuring_lines import (
    FIGURES,
    IMPEDANCE,
    NORRIS,
    Line,
    digits,
    drawn,
    first_order,
    impedance,
    limits,
    slopes,
)
from measuring_risks import accepted, risks
from scipy.integrate import quad
from scipy.stats import gamma, norm, triang

from engine.band import Band
from engine.job import Accuracy
from engine.knowing import FINEST, Known
from engine.study import Range
from engine.unknowns import moments
from engine.verdict import beyond, z_out

ROOT3 = sqrt(3)


# ---------------------------------------------------------------- from limits to a deviation


def test_limits_are_a_rectangle():
    """JCGM 100:2008 4.3.7, example 1: 16.52e-6 ± 0.40e-6 per °C gives u = 0.23e-6."""
    found = moments(limits(0.40e-6, 16.52e-6))
    assert found.mean == 16.52e-6
    assert found.sd == digits("0.23e-6")


def test_a_voltmeters_limits_combine_with_its_spread():
    """JCGM 100:2008 4.3.7, example 2, and 5.1.5.

    Limits 14e-6 x reading + 2e-6 x range at 0.928571 V on 1 V: a = 15 µV, u = 8.7 µV; with
    12 µV of repeats u_c = 15 µV.
    """
    half = Accuracy(percent=14e-4, digits=2, resolution=1e-6).reach(0.928571)
    u = moments(limits(half)).sd
    assert half * 1e6 == digits("15")
    assert u * 1e6 == digits("8.7")
    row = [u, 12e-6]
    assert sqrt(Known.nothing(2).variance(row)) * 1e6 == digits("15")


@pytest.mark.parametrize(
    ("accuracy", "reading", "half", "u", "expanded"),
    [
        (Accuracy(0.5, 2, 0.01), 48.70, "0.2635", "0.152", "0.304"),
        (Accuracy(1, 3, 0.1), 40.0, "0.70", "0.404", "0.81"),
    ],
)
def test_a_data_sheets_line_becomes_an_uncertainty(accuracy, reading, half, u, expanded):
    """Percent of reading + digits, as a rectangle, times two (JCGM 100:2008 4.3.7 and 6.2)."""
    assert accuracy.reach(reading) == digits(half)
    sd = moments(limits(accuracy.reach(reading))).sd
    assert sd == digits(u)
    assert 2 * sd == digits(expanded)


def test_a_lone_rectangle_is_inside_two_deviations():
    """95 % of one rectangle lies within 1.645 u, all of it within 2 u: k = 2 errs to caution."""
    sd = moments(limits(1.0)).sd
    assert 0.95 / sd == digits("1.645")
    assert 2 * sd > 1.0


@pytest.mark.parametrize("shape", [(-1.0, -0.4, 1.0), (0.5, 0.8, 1.0), (2, 2, 3), (1, 9, 9)])
def test_uneven_limits_are_a_triangle_with_its_top_at_expected(shape):
    """Against SciPy's triangular distribution, and the formula (a+b+c)/3, (…)/18."""
    low, top, high = shape
    told = triang((top - low) / (high - low), loc=low, scale=high - low)
    found = moments(Band(*shape))
    assert found.mean == pytest.approx(told.mean(), rel=1e-12)
    assert found.sd == pytest.approx(told.std(), rel=1e-12)


# ---------------------------------------------------------------- many inputs, and their ties


GAUGE = (
    ("length of the standard [nm]", 50_000_623, 25),
    ("difference read [nm]", 215, 9.7),
    ("difference of expansion", 0, 0.58e-6),
    ("temperature", -0.1, 0.41),
    ("expansion", 11.5e-6, 1.2e-6),
    ("difference of temperature", 0, 0.029),
)


def gauge(standard, difference, apart, theta, expansion, warmer) -> float:
    """The length of an end gauge."""
    return standard + difference - standard * (apart * theta + expansion * warmer)


def test_many_inputs_of_which_some_do_not_matter():
    """JCGM 100:2008 H.1, an end gauge: 50 000 838 nm, u_c = 32 nm, two slopes of nothing.

    The second-order terms, which the straight line leaves out, would make it 34 (H.1.7).
    """
    means, sds = [m for _, m, _ in GAUGE], [u for _, _, u in GAUGE]
    row = slopes(gauge, means, sds)
    assert gauge(*means) == digits("50000838")
    assert row[3] == pytest.approx(0, abs=1e-6)
    assert row[4] == pytest.approx(0, abs=1e-6)
    u = sqrt(Known.nothing(6).variance(row))
    assert u == digits("32")
    assert u == digits("31.71")
    standard = means[0]
    second = (standard * sds[2] * sds[3]) ** 2 + (standard * sds[4] * sds[5]) ** 2
    assert sqrt(u**2 + second) == digits("34")


def test_what_is_read_together_stays_tied():
    """JCGM 100:2008 H.2, Tables H.2 to H.4: resistance, reactance, impedance with correlation."""
    start, scale, known = impedance()
    found = start + scale * np.array(known.mean)
    printed = (("4.9990", "0.0032"), ("0.0196610", "0.0000095"), ("1.04446", "0.00075"))
    units = np.eye(3).tolist()
    for i, (mean, u) in enumerate(printed):
        assert found[i] == digits(mean)
        assert scale[i] * sqrt(known.variance(units[i])) == digits(u)
    for (i, j), r in {(0, 1): "-0.36", (0, 2): "0.86", (1, 2): "-0.65"}.items():
        tie = known.covariance(units[i], units[j])
        both = sqrt(known.variance(units[i]) * known.variance(units[j]))
        assert tie / both == digits(r)
    rows = {
        name: slopes(figure, list(found), [1e-3 * s for s in scale])
        for name, figure in FIGURES.items()
    }
    rows = {name: [float(1e3 * x) for x in row] for name, row in rows.items()}
    results = {"R": ("127.732", 0.071), "X": ("219.847", 0.295), "Z": ("254.260", 0.236)}
    u = {name: sqrt(known.variance(row)) for name, row in rows.items()}
    for name, (value, deviation) in results.items():
        assert FIGURES[name](*found) == pytest.approx(float(value), abs=0.001)
        assert u[name] == pytest.approx(deviation, abs=0.001)
    for (a, b), r in {("R", "X"): "-0.588", ("R", "Z"): "-0.485", ("X", "Z"): "0.993"}.items():
        assert known.covariance(rows[a], rows[b]) / (u[a] * u[b]) == digits(r)


def test_dropping_the_ties_would_show():
    """The same without correlation: 0.195, 0.201, 0.204 in place of 0.071, 0.295, 0.236."""
    means = list(IMPEDANCE.mean(axis=0))
    sds = list(IMPEDANCE.std(axis=0, ddof=1) / sqrt(5))
    found = {
        name: sqrt(Known.nothing(3).variance(slopes(figure, means, sds)))
        for name, figure in FIGURES.items()
    }
    assert found == {"R": digits("0.195"), "X": digits("0.201"), "Z": digits("0.204")}


# ---------------------------------------------------------------- least squares


def test_a_thermometers_calibration():
    """JCGM 100:2008 H.3, Table H.6: line, ties, and the correction foretold at 30 °C."""
    above_20 = (1.521, 2.012, 2.512, 3.003, 3.507, 3.999, 4.513, 5.002, 5.503, 6.010, 6.511)
    b = (-171, -169, -166, -159, -164, -165, -156, -157, -159, -161, -160)
    line = Line(above_20, [one / 1000 for one in b])
    assert line.mean[0] == digits("-0.1712")
    assert line.deviation(1, 0) == digits("0.0029")
    assert line.slope == digits("0.00218")
    assert line.deviation(0, 1) == digits("0.00067")
    assert line.tie() == digits("-0.930")
    assert line.noise == digits("0.0035")
    assert line.mean[0] + 10 * line.slope == digits("-0.1494")
    assert line.deviation(1, 10) == digits("0.0041")


def test_a_line_of_the_national_bureau():
    """NBS Handbook 91, 5-4.1: Young's modulus of sapphire rods against temperature."""
    x = (30, *range(100, 1501, 100))
    y = (4642, 4612, 4565, 4513, 4476, 4433, 4389, 4347, 4303, 4251, 4201, 4140, 4100, 4073, 4024)
    line = Line(x, (*y, 3999))
    assert line.slope == digits("-0.44985482")
    assert line.mean[0] == digits("4654.9846")
    assert line.noise == pytest.approx(9.277617, abs=1e-6)  # printed cut off: 9.2776176
    assert line.deviation(0, 1) ** 2 == pytest.approx(0.000025649045, rel=1e-6)
    assert line.deviation(1, 0) ** 2 == pytest.approx(19.879452, rel=1e-6)


def test_the_certified_line():
    """NIST StRD Norris: estimates to 1e-8, deviations to 1e-6 of the certified values.

    The deviations fall short of the 15 digits because a vague start is never endless.
    """
    values = [float(one) for one in NORRIS.split()]
    line = Line(values[1::2], values[0::2])
    assert len(line.rows) == 36
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-9)
    assert line.mean[0] == pytest.approx(-0.262323073774029, rel=1e-8)
    assert line.deviation(0, 1) == pytest.approx(0.429796848199937e-3, rel=1e-6)
    assert line.deviation(1, 0) == pytest.approx(0.232818234301152, rel=1e-6)
    assert line.noise == pytest.approx(0.884796396144373, rel=1e-9)
    assert line.r_squared == pytest.approx(0.999993745883712, rel=1e-13)


def test_a_reading_too_fine_to_reckon_with_is_taken_as_one_that_is_not():
    """Ten million times better than what was known, forty of twelve: against fifty digits.

    No meter is so good against what a plan leaves open; below ``FINEST`` rounding would speak.
    """
    rng = np.random.default_rng(1)
    rows = rng.normal(size=(40, 12)).tolist()
    readings = [
        (row, float(value), 1e-7) for row, value in zip(rows, rng.normal(size=40), strict=True)
    ]
    known = Known.nothing(12)
    for row, value, noise in readings:
        known = known.told(row, value - float(np.dot(row, known.mean)), noise)
    coarser = [(row, value, FINEST * float(np.linalg.norm(row))) for row, value, _ in readings]
    _, covariance = conditioned_by_unknowns(12, coarser)
    for i, unit in enumerate(np.eye(12).tolist()):
        assert known.variance(unit) == pytest.approx(covariance[i][i], rel=2e-2)


# ---------------------------------------------------------------- the straight line and its limits


def test_four_normals():
    """JCGM 101:2008 9.2.2, Table 2: the sum of four N(0, 1) has u = 2.0, 95 % within ± 3.92."""
    u = sqrt(Known.nothing(4).variance([1.0] * 4))
    assert u == 2.0
    assert norm.ppf(0.975) * u == digits("3.92")


def test_four_rectangles():
    """JCGM 101:2008 9.2.3, Table 3: four R(-√3, √3) give 2.0 and ± 3.88; two deviations hold it."""
    bands = [limits(ROOT3)] * 4
    value, u = first_order(lambda *x: sum(x), bands)
    assert value == 0
    assert u == digits("2.0")
    sums = sum(drawn(bands, 1_000_000))
    assert sums.std() == pytest.approx(u, rel=3e-3)
    assert np.quantile(sums, 0.975) == pytest.approx(3.88, abs=0.01)
    assert 2 * u > 3.88


def mass(m, delta, air, weight, reference) -> float:
    """A weight calibrated against another in air, less its nominal 100 g. [mg]"""
    return (m + delta) * (1 + (air - 1.2) * (1 / weight - 1 / reference)) - 1e5


def test_a_mass_where_the_straight_line_is_too_narrow():
    """JCGM 101:2008 9.3, Table 6: Monte Carlo 1.2341 mg, 0.0754 mg; first order 0.0539 mg.

    At a = 1.2 the slopes by both densities are nothing, so the straight line misses their
    share: it is narrower than the truth by 29 %.
    """
    a, w, r = limits(0.1, 1.2), limits(1000, 8000), limits(50, 8000)
    # 9.3's masses are normal: their limits are put so that their deviations are those stated
    m, delta = limits(0.05 * ROOT3, 1e5), limits(0.02 * ROOT3, 1.234)
    value, u = first_order(mass, [m, delta, a, w, r])
    assert value == digits("1.2340")
    assert u == digits("0.0539")
    rng = np.random.default_rng(2)
    count = 1_000_000
    normal = [rng.normal(1e5, 0.05, count), rng.normal(1.234, 0.02, count)]
    found = mass(*normal, *drawn([a, w, r], count))
    assert found.mean() == pytest.approx(1.2341, abs=3e-4)
    assert found.std() == pytest.approx(0.0754, abs=2e-4)
    assert u / found.std() == pytest.approx(0.714, abs=0.003)


def test_a_logarithm_of_a_wide_rectangle():
    """NPL DEM-ES-011 9.2: ln x, x in 0.1 … 1.1: first order -0.511, 0.481; true -0.665, 0.606.

    The straight line is narrower by 21 %, and it is off the mean by a quarter of a deviation.
    """
    band = limits(0.5, 0.6)
    value, u = first_order(log, [band])
    assert value == digits("-0.511")
    assert u == digits("0.481")
    (x,) = drawn([band], 1_000_000)
    found = np.log(x)
    assert found.mean() == pytest.approx(-0.665, abs=2e-3)
    assert found.std() == pytest.approx(0.606, abs=2e-3)
    assert u / found.std() == pytest.approx(0.794, abs=0.004)
    assert (value - found.mean()) / found.std() == pytest.approx(0.254, abs=0.006)


def test_a_small_difference_of_large_numbers():
    """NIST TN 1900 E13: thermal expansion of copper, 1.7266e-5 per K, u = 1.76e-6."""
    means = (1.4999, 288.15, 1.5021, 373.10)
    row = slopes(
        lambda l0, t0, l1, t1: (l1 - l0) / (l0 * (t1 - t0)), means, (0.0001, 0.02, 0.0002, 0.05)
    )
    value = (1.5021 - 1.4999) / (1.4999 * (373.10 - 288.15))
    assert value == digits("1.7266e-5")
    assert sqrt(Known.nothing(4).variance(row)) == digits("1.76e-6")


# ---------------------------------------------------------------- the decision rule


def test_how_far_beyond():
    """The rule itself: nothing inside the widened band, else the way to its nearer end."""
    band = Range(48.1, 48.6, 49.2)
    assert beyond(48.6, band, 0.3) <= 0
    assert beyond(47.5, band, 0.3) == pytest.approx(0.3)
    assert beyond(50.0, band, 0.3) == pytest.approx(0.5)
    assert beyond(49.1, band, -0.3) == pytest.approx(0.2)
    assert beyond(1e9, Range(48.1, 48.6, None), 0.3) <= 0
    assert beyond(-1e9, Range(None, 48.6, 49.2), 0.3) <= 0


@pytest.mark.parametrize(
    ("chance", "z"),
    [(0.80, "0.84"), (0.90, "1.28"), (0.95, "1.64"), (0.99, "2.33"), (0.999, "3.09")],
)
def test_how_far_inside_one_limit(chance, z):
    """JCGM 106:2012 7.3, Table 1: (T - y)/u at which this much of what y may be conforms."""
    _, high = accepted(Range(None, 0.0, 5.0), 0.0)
    inside = high - float(z) * 0.7
    assert norm.cdf(high, inside, 0.7) == pytest.approx(chance, abs=0.003)


def test_conformance_between_two_limits():
    """JCGM 106:2012 7.4: y 13.6, u 1.8, limits 12.5 and 16.3: p = 0.66."""
    low, high = accepted(Range(12.5, 14.4, 16.3), 0.0)
    assert norm.cdf(high, 13.6, 1.8) - norm.cdf(low, 13.6, 1.8) == digits("0.66")


@pytest.mark.parametrize(
    ("share", "percent"), [(1.0, "2.3"), (0.825, "4.9"), (0.5, "16"), (0.0, "50")]
)
def test_wrong_acceptance_on_the_acceptance_limit(share, percent):
    """JCGM 106:2012 8.2, 8.3: guard band share x U, U = 2 u, the reading exactly on the limit."""
    u, upper = 0.15, 49.2
    _, at = accepted(Range(None, 48.6, upper), -share * 2 * u)
    assert 100 * norm.sf(upper, at, u) == digits(percent)


def test_consumers_risk_of_a_worked_process():
    """JCGM 106:2012 9.5.4: gamma(4, 4) µm, u 0.25, limit 2: out 4.2 %, wrong accept 0.8 %.

    The acceptance limit of 1.67, a guard band of 0.33, brings it to 0.1 %; the price is more
    wrong refusals: 1.7 % before, 7.5 % after (computed here; 20 million draws say the same).
    """
    process, u = gamma(4, scale=1 / 4), 0.25
    band = Range(None, 1.0, 2.0)
    assert process.sf(2.0) == digits("0.04238")
    simple = risks(process, band, 0.0, u)
    assert simple[0] == digits("0.008019")
    assert 100 * simple[1] == digits("1.74")
    guarded = risks(process, band, 1.6718 - 2.0, u)
    assert 100 * guarded[0] == digits("0.100")
    assert 100 * guarded[1] == digits("7.55")


@pytest.mark.parametrize(
    ("limit", "u", "share", "wrong_accept", "wrong_refuse"),
    [
        (2.0, 0.25, 1.0, "0.008", "0.015"),
        (2.5, 0.25, 1.0, "0.0025", None),
        (2.0, 0.5, 0.91, "0.008", "0.066"),
    ],
)
def test_risks_of_normal_processes(limit, u, share, wrong_accept, wrong_refuse):
    """Deaver's figures: limits at a number of process deviations, a meter of 1/4 or 1/2 of one.

    At u = σ/2 the acceptance limits are drawn in to 0.91 of the tolerance.
    """
    found = risks(norm(), Range(-limit, 0.0, limit), (share - 1) * limit, u)
    assert found[0] == digits(wrong_accept)
    if wrong_refuse:
        assert found[1] == digits(wrong_refuse)


@pytest.mark.parametrize(
    ("in_tolerance", "percent"),
    [
        (60, "4.8386"),
        (70, "3.9223"),
        (80, "2.8558"),
        (90, "1.6000"),
        (95, "0.8710"),
        (99, "0.1999"),
    ],
)
def test_wrong_acceptance_by_share_in_tolerance(in_tolerance, percent):
    """Draft RP-19's table: this much of the process is in tolerance, u = σ/4."""
    limit = norm.ppf((1 + in_tolerance / 100) / 2)
    found = risks(norm(), Range(-limit, 0.0, limit), 0.0, 0.25)
    assert 100 * found[0] == digits(percent)


def test_the_guard_of_a_fault_is_outside_the_band():
    """Ours is the other way about: beyond band + U, a sound thing is called out in 2.3 % at worst.

    Whatever truly lies at the end of its band reads beyond the guard with chance Φ(-U/u).
    """
    u = moments(limits(Accuracy(0.5, 2, 0.01).reach(49.2))).sd
    _, high = accepted(Range(48.1, 48.6, 49.2), 2 * u)
    assert norm.sf(high, 49.2, u) == digits("0.023")


@pytest.mark.parametrize("readings", [1, 2, 5, 9, 13, 41, 199])
def test_three_sites_in_a_hundred(readings):
    """With m readings, each judged at z_out, a sound site shows an outside one in 3 %."""
    z = z_out(readings)
    assert z == pytest.approx(norm.isf((1 - 0.97 ** (1 / readings)) / 2), rel=1e-9)
    assert 1 - (2 * norm.cdf(z) - 1) ** readings == pytest.approx(0.03, rel=1e-7)


def test_posterior_and_surprise():
    """Prior N(m, s²), reading y of u (JCGM 106:2012 6): by quadrature of the two densities."""
    m, s, y, u = 48.6, 0.27, 48.95, 0.15
    known = Known.nothing(1).told([s], y - m, u)

    def weight(x: float) -> float:
        return exp(-(((x - m) / s) ** 2) / 2 - ((y - x) / u) ** 2 / 2)

    span = (m - 10 * s, m + 10 * s)
    total = quad(weight, *span, epsabs=1e-14)[0]
    mean = quad(lambda x: x * weight(x), *span, epsabs=1e-14)[0] / total
    square = quad(lambda x: (x - mean) ** 2 * weight(x), *span, epsabs=1e-14)[0] / total
    assert m + s * known.mean[0] == pytest.approx(mean, rel=1e-10)
    assert known.variance([s]) == pytest.approx(square, rel=1e-8)
    # the reading's own density before it came is a normal of both spreads: what z divides by
    both = sqrt(Known.nothing(1).variance([s]) + u**2)
    seen = total / (2 * pi * s * u)
    assert seen == pytest.approx(norm.pdf(y, m, both), rel=1e-9)
