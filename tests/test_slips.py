"""A figure that is not what the meter showed: how readily each slip gives it, and what is left."""

from __future__ import annotations

from functools import cache
from math import log

import pytest
from account_jobs import at, logged
from scipy.stats import norm
from test_diagnose import diagnosed, site

from engine.diagnose.fit import Fit, begin, fit
from engine.diagnose.scene import Scene
from engine.diagnose.slips import SLIPS, TELLING, _without, log_slips
from engine.diagnose.trial import Trial
from engine.faults.bends import AS_PLANNED
from engine.jobfile import read_job
from engine.judge import judge
from engine.sliced import finish


@cache
def sound() -> tuple[Trial, Fit]:
    """A site on which nothing is wrong, and its fit."""
    judgement, _ = site("none", None, 4)
    trial = Trial(Scene(judgement.prediction, judgement.verdicts), AS_PLANNED)
    return trial, fit(trial)


# ---------------------------------------------------------------- what the others say


def test_a_figure_taken_for_misread_leaves_the_fit_of_all_others():
    """Its evidence and what they leave are those of a fit without it, made anew."""
    trial, found = sound()
    start = begin(trial, found)
    slips = [one for one in log_slips(trial.scene, trial, found, start) if one is not None]
    for where in sorted({one.where for one in slips})[:6]:
        rest = next(one.rest for one in slips if one.where == where)
        anew = fit(trial, start, without=frozenset({where}))
        assert rest.misfit == pytest.approx(anew.misfit, abs=0.05)
        assert rest.evidence == pytest.approx(anew.evidence, abs=0.05)


def test_what_the_others_say_of_a_figure_is_the_same_with_and_without_it():
    """Where it does not bend them, the closed form and a fit without it meet."""
    trial, found = sound()
    start = begin(trial, found)
    alone = found.alone()
    for seen in trial.scene.seen[:6]:
        assert abs(alone[seen.id].z) < TELLING
        without, _ = finish(_without(trial, start, seen, -1e9))
        assert without.sd == pytest.approx(alone[seen.id].sd, rel=0.02)
        assert without.over == pytest.approx(alone[seen.id].over, abs=0.05 * without.sd)


# ---------------------------------------------------------------- how readily it is given


def scene_of(*readings: dict) -> Scene:
    judgement = judge(read_job(logged("orchard-gate", *readings)))
    return Scene(judgement.prediction, judgement.verdicts)


def readily(cause: str, kind: str, value: float, mean: float, sd: float) -> float:
    """How readily a slip gives this figure where the others say mean and deviation."""
    scene = scene_of(at("E.in", kind, value))
    return SLIPS[cause](scene, scene.seen[0], mean, sd)


def test_a_dial_on_alternating_volts_shows_about_double_or_next_to_nothing():
    """Between 2.1 and 2.3 times what is there, anything as readily; or up to 0.3 V."""
    double = 1 / (0.2 * 50) / 2
    for value, share in ((105.1, double), (110, double), (114.9, double), (0.2, 1 / 0.3 / 2)):
        assert readily("reading.ac", "volts", value, 50.0, 0.5) == pytest.approx(share)
    for value in (104.9, 115.1, 50.0, 1.0):
        assert readily("reading.ac", "volts", value, 50.0, 0.5) == 0
    assert readily("reading.ac", "milliamps", 110, 50.0, 0.5) == 0


def test_a_unit_that_slipped_is_a_thousand_times_too_much_or_too_little():
    exact = norm(50, 0.5).pdf(50.2)
    assert readily("reading.unit", "volts", 0.0502, 50.0, 0.5) == pytest.approx(exact * 1000 / 2)
    assert readily("reading.unit", "volts", 50200, 50.0, 0.5) == pytest.approx(exact / 1000 / 2)
    assert readily("reading.unit", "volts", 0.0, 0.1, 0.5) == 0, "of nothing there is no telling"


def test_neighbouring_digits_change_places_and_points_slip():
    """54.10 may have been 45.10 or 54.01, or 541 or 5.41: four ways; or anything at all."""
    flat = 0.1 / (60 + 54.1)
    for meant, by in ((45.1, 1), (54.01, 1), (541, 10), (5.41, 0.1)):
        exact = 0.9 * by * norm(meant, 0.01).pdf(meant) / 4 + flat
        assert readily("reading.typed", "volts", 54.1, meant, 0.01) == pytest.approx(exact)
    assert readily("reading.typed", "volts", 54.1, 30.0, 0.01) == pytest.approx(flat)


def test_another_places_figure_is_taken_only_where_there_is_another():
    """Of the same kind at another box; an only figure cannot be anybody else's."""
    told = scene_of(
        at("S.out", "volts", 53.5), at("E.in", "volts", 53.5), at("E.in", "milliamps", 53)
    )
    seen = {(one.asked.at, one.asked.kind): one for one in told.seen}
    noise = told.columns.noise(seen["E.in", "volts"].asked)
    given = SLIPS["reading.place"](told, seen["E.in", "volts"], 48.0, 0.5)
    assert given == pytest.approx(norm(0, noise).pdf(0) / 2)
    assert SLIPS["reading.place"](told, seen["E.in", "milliamps"], 250.0, 5.0) == 0
    only = diagnosed(judge(read_job(logged("orchard-gate", at("E.in", "volts", 40.0)))))
    assert not any(one.cause == "reading.place" for one in only.guesses)


def test_a_wild_figure_hides_no_other_that_is_misread_by_less():
    """One that is a thousand times too large drags all others off; each is held against the plan."""
    told = diagnosed(
        judge(
            read_job(
                logged(
                    "orchard-gate",
                    at("S.out", "volts", 53.5),
                    at("R1.in", "volts", 51020.0),
                    at("R1.out", "volts", 50.9),
                    at("E.in", "volts", 48.6),
                )
            )
        )
    )
    best = told.best
    assert (best.cause, best.where) == ("reading.unit", "e2")
    assert best.misfit < 5 and log(best.probability) > log(0.5)
