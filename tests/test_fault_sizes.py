"""How large a fault is, what a span may be at heart, and at which of its ends a fault sits."""

from __future__ import annotations

import pytest
from account_jobs import account_of, at, fault_of, hidden, logged, sample, told, walked

from engine.diagnose import Guess
from engine.diagnose.sizing import CLAD, HOT, LONG, THIN, kinds_of
from engine.diagnose.trial import Trial
from engine.jobfile import read_job
from engine.phrases import english
from engine.practice.site import Truth

# ---------------------------------------------------------------- how large


def true_size(truth: Truth) -> float:
    assert truth.size is not None
    return truth.size


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_span_is_as_much_too_high_as_it_is(seed):
    _, one, truth = hidden("orchard-gate", "span.high", "C2", seed, "loop_ohms")
    assert fault_of(one, "span.high", "C2").size["factor"] == pytest.approx(
        true_size(truth), rel=0.1
    )


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_bad_end_has_the_ohms_that_it_has(seed):
    _, one, truth = hidden("orchard-gate", "joint.high", "C2", seed, "loop_ohms")
    assert fault_of(one, "joint.high", "C2").size["ohms"] == pytest.approx(
        true_size(truth), abs=1.2
    )


def test_watts_and_volts_are_told_in_watts_and_volts():
    _, one, truth = hidden("orchard-gate", "load.heavy", "E", 3)
    most = read_job(sample("orchard-gate")).plan.boxes["E"].sheet.watts.high
    assert one.best.size["watts"] == pytest.approx(most * true_size(truth), rel=0.05)
    _, one, truth = hidden("orchard-gate", "source.low", "S", 2)
    low = read_job(sample("orchard-gate")).plan.boxes["S"].sheet.volts.low
    assert one.best.size["volts"] == pytest.approx(low * true_size(truth), rel=0.01)
    assert f"{one.best.size['volts']:.3g} V" in english(one.best.say).text


def test_one_bad_contact_is_as_large_as_its_pair_is_out():
    one = account_of(walked("orchard-gate", "contact.high", "C2"))
    assert "ohms" not in fault_of(one, "contact.high", "C2").size, "no pair was read"
    _, one, truth = hidden("orchard-gate", "contact.high", "C2", 3, "loop_ohms")
    assert one.best.size["ohms"] == pytest.approx(true_size(truth), abs=1.0)


# ---------------------------------------------------------------- what it may be at heart


def high(factor: float, *more: dict) -> tuple[Guess, Trial]:
    """A guess of a span that is so many times too high by its loop, with other readings."""
    ohms = 15.7 * factor
    doc = logged("orchard-gate", at("C2", "loop_ohms", round(ohms, 2)), *more)
    found = account_of(doc).diagnosis
    guess = next(g for g in found.guesses if (g.cause, g.where) == ("span.high", "C2"))
    return guess, Trial(found.scene, guess.bend)


def likeliest(factor: float, *more: dict) -> str:
    kinds = kinds_of(*high(factor, *more))
    assert sum(share for _, share in kinds) == pytest.approx(1)
    assert [share for _, share in kinds] == sorted((s for _, s in kinds), reverse=True)
    return kinds[0][0]


def test_what_a_span_may_be_goes_by_its_factor():
    assert likeliest(1.57) == CLAD
    assert likeliest(1.12) in (LONG, HOT)
    shares = {factor: dict(kinds_of(*high(factor))) for factor in (1.12, 1.26, 1.57)}
    assert shares[1.26][THIN] > shares[1.57][THIN], "a gauge is a quarter"
    assert shares[1.12][HOT] > shares[1.57][HOT]
    assert shares[1.12][CLAD] < 0.05


def test_metres_decide_whether_it_is_longer():
    assert likeliest(1.57, at("C2", "metres", 92.0)) == CLAD
    assert dict(kinds_of(*high(1.57, at("C2", "metres", 92.0))))[LONG] < 0.01
    assert dict(kinds_of(*high(1.57)))[LONG] > 0.05


def test_a_temperature_that_was_read_says_that_it_is_not_heat():
    plain = dict(kinds_of(*high(1.12)))[HOT]
    warm = dict(kinds_of(*high(1.12, at("store", "celsius", 15.0))))[HOT]
    assert warm < plain / 3


# ---------------------------------------------------------------- at which end


def test_readings_tell_the_ends_of_a_span_apart_no_more_than_a_coin():
    one = told("orchard-gate", "joint.high", "C2", 1)
    assert fault_of(one, "joint.high", "C2").ends == (("R1.out", 0.5), ("E.in", 0.5))
    assert fault_of(one, "span.high", "C2").ends == ()


def test_an_end_that_was_just_made_anew_is_the_less_likely():
    doc = walked("orchard-gate", "joint.high", "C2", 1)
    first = [
        {"id": "c1", "device": "d", "n": 900, "what": "change", "where": "E.in", "did": "plug"}
    ]
    doc["log"] = [*first, *({**entry, "n": 901 + n} for n, entry in enumerate(doc["log"]))]
    near, far = fault_of(account_of(doc), "joint.high", "C2").ends
    assert near[0] == "R1.out" and near[1] > 0.8
    assert near[1] + far[1] == pytest.approx(1)
