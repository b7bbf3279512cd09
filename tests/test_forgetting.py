"""What moments, visits and meters had of their own is let go of when nothing to come asks for it."""

from __future__ import annotations

from random import Random
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_knowing import covariance_of, questions, told_all
from test_weigh import POINTS, plan, reading

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.knowing import Known
from engine.predict import predict

pytestmark = [pytest.mark.pure, pytest.mark.long]

EXPECTED = {
    str(at): (one.volts.expected, one.amps.expected)
    for at, one in predict(read_job(plan()).plan).points.items()
}
ALWAYS = -40
"""room of less than nothing: something is let go of at every reading"""
METERS = ("my.meter", "m1", "m2")


def job(log: list[dict]):
    doc = plan()
    doc["meters"] = [{"id": name, "sheet": "my.meter"} for name in METERS[1:]]
    return read_job({**doc, "log": log})


def survey(seed: int, count: int) -> list[dict]:
    """Readings of several visits, meters and moments, with known loads, some taken back."""
    rng, out = Random(seed), []
    for number in range(count):
        what = rng.random()
        head = {"id": f"x{number:04}", "device": "d", "n": number + 1}
        if what < 0.08:
            out.append({**head, "what": "visit"})
        elif what < 0.14 and out:
            out.append({**head, "what": "void", "of": rng.choice(out)["id"]})
        else:
            at, kind = rng.choice(POINTS), rng.choice(("volts", "volts", "milliamps"))
            more = {
                "moment": rng.choice(("a", "b", "c", f"m{number}")),
                "meter": rng.choice(METERS),
            }
            if rng.random() < 0.4:
                more["with"] = {"E1": {"watts": rng.choice((6.0, 9.5, 12.0, 15.0))}}
            volts, amps = EXPECTED[at]
            value = (volts if kind == "volts" else 1000 * amps) * rng.uniform(0.99, 1.01)
            out.append(reading(number, at, round(value, 2), kind, **more))
    return out


def seen(judgement: Judgement, digits: int) -> list[tuple]:
    """What was said of each reading, to so many digits."""

    def cut(value: float | None) -> str | None:
        return None if value is None else f"{value:.{digits}g}"

    return [
        (v.id, v.verdict, v.by, cut(v.z), v.band and (cut(v.band.low), cut(v.band.high)))
        for v in judgement.verdicts
    ]


def forgetful(room: int):
    return patch("engine.weigh.ROOM", room)


@pytest.mark.parametrize("seed", range(6))
def test_nothing_that_is_said_moves_by_it(seed):
    log = survey(seed, 60)
    with forgetful(10**9):
        plain = judge(job(log))
    with forgetful(ALWAYS):
        short = judge(job(log))
    assert short.today.columns.forgot and not plain.today.columns.forgot
    assert len(short.today.columns.place) < len(plain.today.columns.place)
    assert len(short.today.known.narrowed) < len(plain.today.known.narrowed)
    assert seen(short, 8) == seen(plain, 8)
    for at in POINTS:
        one, other = (j.today.band(at, "volts", meter="m1") for j in (short, plain))
        assert one.expected == pytest.approx(other.expected, rel=1e-9)
        assert (one.low, one.high) == pytest.approx((other.low, other.high), rel=1e-8)


@pytest.mark.parametrize("seed", range(8))
def test_one_more_that_speaks_of_an_old_moment_is_judged_as_if_it_had_been_there(seed):
    """Also one that takes back what was read, so that something older counts again."""
    log = survey(seed + 100, 50)
    with forgetful(ALWAYS):
        grown = judge(job(log[:40]))
        for end in range(41, 51):
            grown = judge(job(log[:end]), known=grown)
            assert seen(grown, 8) == seen(judge(job(log[:end])), 8)


def test_moments_do_not_add_up():
    """Three hundred known loads, each at a moment of its own: no more is carried than for a few."""
    loads = ({"E1": {"watts": 5 + i / 40}} for i in range(300))
    log = [
        reading(i, "S1.out", 53.5, moment=f"m{i}", **{"with": load}) for i, load in enumerate(loads)
    ]
    today = judge(job(log)).today
    few = judge(job(log[:3])).today
    assert len(today.known.mean) < len(few.known.mean) + 2 * 64 + len(few.known.mean)
    assert len(today.known.narrowed) <= 2 * len(today.known.mean) + 64 + 1


@settings(max_examples=60, deadline=None)
@given(questions(most_readings=12), st.data())
def test_what_is_known_of_some_is_what_was_known_of_them(question, data):
    count, readings = question
    known = told_all(count, readings)
    some = data.draw(st.lists(st.integers(0, count - 1), unique=True, min_size=1).map(sorted))
    left, whole = covariance_of(known.only(some)), covariance_of(known)
    assert known.only(some).mean == [known.mean[i] for i in some]
    assert left == [[whole[i][j] for j in some] for i in some]


@settings(max_examples=60, deadline=None)
@given(questions(most_readings=12))
def test_gathered_it_is_the_same_in_fewer_numbers(question):
    count, readings = question
    known = told_all(count, readings)
    short = known.gathered()
    assert short.mean == known.mean and len(short.narrowed) <= count
    for row, other in zip(covariance_of(short), covariance_of(known), strict=True):
        assert row == pytest.approx(other, abs=1e-13)


def test_a_vector_that_ends_early_tells_nothing_of_what_came_later():
    known = (
        Known.nothing(2).told([1.0, 1.0], 0.5, 0.1).wider(4).told([0.0, 1.0, 1.0, 0.0], 0.1, 0.1)
    )
    padded = Known.nothing(4).told([1.0, 1.0, 0, 0], 0.5, 0.1).told([0.0, 1.0, 1.0, 0.0], 0.1, 0.1)
    assert covariance_of(known) == covariance_of(padded) and known.mean == padded.mean
    assert covariance_of(known.gathered()) == [
        pytest.approx(row, abs=1e-14) for row in covariance_of(padded)
    ]
    assert known.only([1, 3]).variance([0.0, 1.0]) == 1.0
