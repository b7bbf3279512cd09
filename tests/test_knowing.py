"""What readings tell of unknowns, against closed forms and the textbook to fifty digits."""

from __future__ import annotations

from math import sqrt
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measuring_exact import conditioned, conditioned_by_unknowns

from engine.knowing import Known

pytestmark = pytest.mark.pure

EPS = 2.0**-52


def unit(count: int, place: int) -> list[float]:
    """The row of one unknown by itself."""
    return [float(i == place) for i in range(count)]


def told_all(count: int, readings) -> Known:
    """Readings (row, value, noise) taken in one after the other; the model is linear."""
    known = Known.nothing(count)
    for row, value, noise in readings:
        should_be = sum(m * r for m, r in zip(known.mean, row, strict=True))
        known = known.told(list(row), value - should_be, noise)
    return known


def covariance_of(known: Known) -> list[list[float]]:
    """The whole matrix, unknown by unknown."""
    count = len(known.mean)
    units = [unit(count, i) for i in range(count)]
    return [[known.covariance(a, b) for b in units] for a in units]


def furthest(one, other) -> float:
    """The largest difference of two matrices."""
    return max(
        abs(a - b)
        for row, other_row in zip(one, other, strict=True)
        for a, b in zip(row, other_row, strict=True)
    )


def figures(least: float, most: float):
    """Numbers between two ends, neither nearly nothing nor endless."""
    return st.floats(least, most).map(lambda x: round(x, 6))


@st.composite
def questions(draw, most_unknowns: int = 5, most_readings: int = 7, least_noise: float = 0.05):
    """A count of unknowns and some readings of them."""
    count = draw(st.integers(1, most_unknowns))
    row = st.lists(figures(-3, 3), min_size=count, max_size=count)
    reading = st.tuples(row, figures(-5, 5), figures(least_noise, 2))
    return count, draw(st.lists(reading, min_size=1, max_size=most_readings))


# ---------------------------------------------------------------- before any reading


def test_nothing_known_is_the_unit_ball():
    """Mean 0, deviation 1, none tied to another."""
    known = Known.nothing(3)
    assert known.mean == [0.0, 0.0, 0.0]
    assert covariance_of(known) == [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
    assert known.variance([3.0, 0.0, 4.0]) == 25.0
    assert known.covariance([1.0, 2.0, 0.0], [3.0, -1.0, 5.0]) == 1.0
    assert known.along([3.0, 0.0, 4.0]) == [3.0, 0.0, 4.0]


# ---------------------------------------------------------------- closed forms


@pytest.mark.parametrize("count", [1, 2, 7, 40])
@pytest.mark.parametrize("noise", [0.01, 0.3, 2.0])
def test_the_same_thing_read_again_and_again(count, noise):
    """n readings of one unknown: variance 1/(1 + n/s²), mean (sum of y)/(n + s²)."""
    rng = Random(count)
    values = [rng.gauss(0.7, noise) for _ in range(count)]
    known = told_all(1, [([1.0], y, noise) for y in values])
    assert known.variance([1.0]) == pytest.approx(1 / (1 + count / noise**2), rel=1e-9)
    assert known.mean[0] == pytest.approx(sum(values) / (count + noise**2), rel=1e-9)


def test_prior_and_reading_are_weighed_by_their_precision():
    """N(m, s²) and y of deviation u: (m/s² + y/u²)/(1/s² + 1/u²), variance 1/(1/s² + 1/u²)."""
    m, s, y, u = 48.6, 0.27, 48.95, 0.15
    known = Known.nothing(1).told([s], y - m, u)
    assert m + s * known.mean[0] == pytest.approx(
        (m / s**2 + y / u**2) / (1 / s**2 + 1 / u**2), rel=1e-14
    )
    assert known.variance([s]) == pytest.approx(1 / (1 / s**2 + 1 / u**2), rel=1e-13)


def test_a_sum_that_is_read_ties_its_parts():
    """x + y read as 3 with noise 1: means 1, variances 2/3, covariance -1/3."""
    known = Known.nothing(2).told([1.0, 1.0], 3.0, 1.0)
    assert known.mean == pytest.approx([1.0, 1.0])
    assert furthest(covariance_of(known), [[2 / 3, -1 / 3], [-1 / 3, 2 / 3]]) < 1e-15


def test_two_readings_agree_through_what_they_share():
    """A gain common to two readings of different things: the second is foretold by the first.

    Reading k is x_k + g with own noise s. After the first, g is expected at y·γ²/(1 + γ² + s²),
    so is the second reading, and its variance falls by γ⁴/(1 + γ² + s²).
    """
    gain, noise, first = 0.8, 0.3, 1.7
    rows = {1: [1.0, 0.0, gain], 2: [0.0, 1.0, gain]}
    total = 1 + gain**2 + noise**2
    known = Known.nothing(3).told(rows[1], first, noise)
    foretold = sum(m * r for m, r in zip(known.mean, rows[2], strict=True))
    assert foretold == pytest.approx(first * gain**2 / total, rel=1e-14)
    assert known.variance(rows[2]) == pytest.approx(1 + gain**2 - gain**4 / total, rel=1e-14)
    # a reading that shares nothing learns nothing
    assert known.variance([0.0, 1.0, 0.0]) == 1.0
    assert known.covariance(rows[1], [0.0, 1.0, 0.0]) == 0.0


def test_a_difference_of_two_readings_of_one_meter_is_free_of_its_gain():
    """However unsure the gain, y1 - y2 says x1 - x2 to within the two noises."""
    gain, noise = 1e3, 0.01
    known = told_all(3, [([1.0, 0.0, gain], 5.3, noise), ([0.0, 1.0, gain], 5.0, noise)])
    apart = [1.0, -1.0, 0.0]
    assert known.variance(apart) == pytest.approx(1 / (1 / 2 + 1 / (2 * noise**2)), rel=1e-4)
    assert known.mean[0] - known.mean[1] == pytest.approx(0.3 / (1 + noise**2), rel=1e-4)
    assert known.variance([1.0, 0.0, 0.0]) > 0.4


def test_a_row_of_nothing_tells_nothing():
    """A reading that no unknown moves leaves all as it was."""
    known = told_all(2, [([1.0, 2.0], 0.4, 0.5)])
    same = known.told([0.0, 0.0], 9.0, 0.1)
    assert same.mean == known.mean
    assert covariance_of(same) == covariance_of(known)


# ---------------------------------------------------------------- against the textbook


@given(questions())
def test_told_is_the_textbooks_conditioning(question):
    """One after the other gives what all at once gives, to nearly the last digits of a float."""
    count, readings = question
    known = told_all(count, readings)
    mean, covariance = conditioned(count, readings)
    assert known.mean == pytest.approx(mean, rel=1e-9, abs=1e-9)
    assert furthest(covariance_of(known), covariance) < 1e-10


def test_the_two_forms_of_the_textbook_agree():
    """The oracle in the space of readings and that in the space of unknowns, forty digits on."""
    rng = Random(3)
    readings = [
        ([rng.gauss(0, 1) for _ in range(4)], rng.gauss(0, 1), rng.uniform(0.01, 1))
        for _ in range(6)
    ]
    one, other = conditioned(4, readings), conditioned_by_unknowns(4, readings)
    assert one[0] == pytest.approx(other[0], rel=1e-15)
    assert furthest(one[1], other[1]) < 1e-17


@given(questions(), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(question, rng):
    """Mean and covariance at the end depend on the set of readings only."""
    count, readings = question
    shuffled = list(readings)
    rng.shuffle(shuffled)
    one, other = told_all(count, readings), told_all(count, shuffled)
    assert one.mean == pytest.approx(other.mean, rel=1e-8, abs=1e-9)
    assert furthest(covariance_of(one), covariance_of(other)) < 1e-10


@given(questions(), st.data())
def test_each_reading_narrows_by_what_it_says(question, data):
    """var after = var before - cov²/(var of the reading): never wider, never below nothing."""
    count, readings = question
    row = data.draw(st.lists(figures(-3, 3), min_size=count, max_size=count))
    known = told_all(count, readings)
    size = sum(x * x for x in row)
    before = [known.variance(row, upto=k) for k in range(len(readings) + 1)]
    assert before[0] == pytest.approx(size, rel=1e-14)
    for k, (of, _, noise) in enumerate(readings):
        assert 0 <= before[k + 1] <= before[k] + 4 * EPS * size
        told = known.covariance(row, list(of), upto=k) ** 2
        spread = known.variance(list(of), upto=k) + noise**2
        assert before[k + 1] == pytest.approx(before[k] - told / spread, abs=1e-9 * (1 + size))


def again(question, noise: float):
    """The same readings three times over, each with this noise."""
    count, readings = question
    return count, [(row, value, noise) for row, value, _ in readings] * 3


def assert_never_negative(question) -> None:
    """Variances of what was read are those of something, at every step."""
    count, readings = question
    known = told_all(count, readings)
    for row, _, noise in readings:
        for upto in range(len(readings) + 1):
            assert known.variance(list(row), upto=upto) >= 0
        assert known.variance(list(row)) <= noise**2 * (1 + 1e-4)


@given(questions().map(lambda question: again(question, 1e-4)))
def test_variance_is_never_negative(question):
    """Nor where readings ten thousand times better than what was known come again and again."""
    assert_never_negative(question)


@given(questions())
def test_upto_is_what_was_known_earlier(question):
    """To the bit: what stood after the first k readings is still there, and was not touched."""
    count, readings = question
    known = told_all(count, readings)
    units = [unit(count, i) for i in range(count)]
    for k in range(len(readings) + 1):
        earlier = told_all(count, readings[:k])
        for a in units:
            assert known.variance(a, upto=k) == earlier.variance(a)
            assert known.along(a, upto=k) == earlier.along(a)
            assert [known.covariance(a, b, upto=k) for b in units] == [
                earlier.covariance(a, b) for b in units
            ]


@given(questions())
def test_along_is_the_covariance_with_each_unknown(question):
    """And with a row it is that row's covariance; both ways round."""
    count, readings = question
    known = told_all(count, readings)
    for row, _, _ in readings:
        along = known.along(list(row))
        for i in range(count):
            one = known.covariance(list(row), unit(count, i))
            assert along[i] == pytest.approx(one, abs=1e-12)
            assert one == pytest.approx(known.covariance(unit(count, i), list(row)), abs=1e-13)
        assert known.variance(list(row)) == pytest.approx(
            known.covariance(list(row), list(row)), abs=1e-12
        )


@given(questions(), st.integers(0, 4))
def test_unknowns_that_come_later_were_there_all_along(question, more):
    """Known after some readings and then ``wider`` is known of the wider set from the start."""
    count, readings = question
    padded = [(row + [0.0] * more, value, noise) for row, value, noise in readings]
    one, other = told_all(count, readings).wider(count + more), told_all(count + more, padded)
    assert one.mean == other.mean
    assert covariance_of(one) == covariance_of(other)
    row, value, noise = padded[0][0][:count] + [1.0] * more, 1.5, 0.4
    later = [known.told(row, value, noise) for known in (one, other)]
    assert later[0].mean == later[1].mean
    assert covariance_of(later[0]) == covariance_of(later[1])


# ---------------------------------------------------------------- digits


def site_like(rng: Random, unknowns: int, readings: int, noise: tuple[float, float]):
    """Readings as a site gives them: each moves with a dozen unknowns, the first in all."""
    out = []
    for _ in range(readings):
        row = [0.0] * unknowns
        for place in (0, *rng.sample(range(1, unknowns), 12)):
            row[place] = rng.uniform(-1, 1)
        row[0] = 1.0
        out.append((row, rng.gauss(0, 2), rng.uniform(*noise)))
    return out


@pytest.mark.long
@pytest.mark.parametrize(
    ("noise", "mean_within", "share_within"),
    [((0.05, 0.5), 1e-12, 1e-11), ((0.001, 0.01), 1e-9, 1e-7)],
    ids=["meters", "far-better-meters"],
)
def test_three_hundred_readings_of_sixty_unknowns_keep_their_digits(
    noise, mean_within, share_within
):
    """Against fifty digits: the mean, and each unknown's variance as a share of itself.

    A meter on site is out by a hundredth to a half of what it tells; the second row is fifty
    times better than any, and still keeps seven digits.
    """
    readings = site_like(Random(11), 60, 300, noise)
    known = told_all(60, readings)
    mean, covariance = conditioned_by_unknowns(60, readings)
    largest = max(abs(m) for m in mean)
    assert max(abs(a - b) for a, b in zip(known.mean, mean, strict=True)) < mean_within * largest
    for i in range(60):
        assert known.variance(unit(60, i)) == pytest.approx(covariance[i][i], rel=share_within)
    assert furthest(covariance_of(known), covariance) < 1e-13
    # so much was learned that digits could have been lost
    assert max(covariance[i][i] for i in range(60)) < 100 * noise[1] ** 2
    assert sqrt(min(covariance[i][i] for i in range(60))) < noise[1]
