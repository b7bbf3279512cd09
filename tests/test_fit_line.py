"""What the straight line of one fit says of another guess, held against the whole done in numpy."""

from __future__ import annotations

from functools import cache
from math import log, pi

import fault_jobs
import numpy as np
import pytest
from account_jobs import uneven, walked
from scipy.stats import multivariate_normal
from test_diagnose import diagnosed, site

from engine.diagnose import Diagnosis
from engine.diagnose.chances import log_chance
from engine.diagnose.fit import Fit, fit, redrawing
from engine.diagnose.scene import Scene
from engine.diagnose.trial import Trial
from engine.faults import FAULTS, NONE
from engine.faults.bends import AS_PLANNED
from engine.faults.sizes import rate
from engine.jobfile import read_job
from engine.judge import judge
from engine.sliced import finish
from engine.unknowns import Unknown


@cache
def sound() -> Fit:
    """The fit of a site on which nothing is wrong."""
    judgement, _ = site("none", None, 4)
    return fit(Trial(Scene(judgement.prediction, judgement.verdicts), AS_PLANNED))


def whole(found: Fit, by: list[float], bent: Unknown, place: int | None, planned: Unknown):
    """Density, misfit, means and surpluses of a line with one column changed, all readings a normal.

    ``by`` is how readings move with the quantity; it has moved from its planned mean to its bent.
    """
    rows = np.array(found.rows)
    back = np.array(found.off) + rows @ np.array(found.mean)
    column = np.array(by) * bent.sd
    if place is None:
        rows = np.column_stack([rows, column])
    else:
        rows[:, place] = column
    back = back - np.array(by) * (bent.mean - planned.mean)
    cov = np.eye(len(back)) + rows @ rows.T
    mean = rows.T @ np.linalg.solve(cov, back)
    density = multivariate_normal(np.zeros(len(back)), cov).logpdf(back)
    return density, back @ np.linalg.solve(cov, back), mean, back


BENT = (Unknown(1.4, 0.2), Unknown(0.7, 0.05), Unknown(1.0, 2.5))


@pytest.mark.parametrize("bent", BENT)
@pytest.mark.parametrize("is_known", [True, False])
def test_another_unknown_beforehand_is_foreseen_as_if_all_were_done_anew(bent, is_known):
    """Of a quantity that is among the unknowns, and of one that was nothing until now."""
    found = sound()
    place, planned = (3, Unknown(1.0, 0.1)) if is_known else (None, Unknown(0.0))
    column = [row[3] for row in found.rows]
    by = [one / 0.1 for one in column] if is_known else [20 * one + 0.3 for one in column]
    now = whole(found, by, bent, place, planned)
    expected = found.drawn.plain + now[0] + len(by) * log(2 * pi) / 2

    evidence, misfit, moved = found.drawn.foreseen(by, bent, place, planned)
    assert evidence == pytest.approx(expected, abs=1e-6)
    assert misfit == pytest.approx(now[1], rel=1e-6)
    assert moved == pytest.approx(max(abs(one) for one in by) * abs(bent.mean - planned.mean))

    drawn = finish(redrawing(found, by, bent, place, planned))
    assert drawn.evidence == pytest.approx(expected, abs=1e-6)
    assert drawn.misfit == pytest.approx(now[1], rel=1e-6)
    assert drawn.mean == pytest.approx(now[2].tolist())
    unmoved = np.array(drawn.off) + np.array(drawn.rows) @ np.array(drawn.mean)
    assert unmoved == pytest.approx(now[3])


JOBS = {
    "dead": fault_jobs.dead,
    "ends": fault_jobs.ends,
    "uneven": uneven,
    "span": lambda: walked("orchard-gate", "span.high", "C2"),
    "load": fault_jobs.load_heavy,
}


@cache
def found(name: str) -> Diagnosis:
    return diagnosed(judge(read_job(JOBS[name]())))


@pytest.mark.parametrize("name", JOBS)
def test_a_likely_cause_is_as_likely_as_if_it_were_fitted_alone(name):
    """Whichever way is shorter: the straight line does only where it leads to the same.

    Its share is that of its own odds, of its figures and of the lights, whatever the others are.
    """
    scene = found(name).scene
    over = []
    for guess in found(name).guesses:
        if guess.cause not in (NONE, *FAULTS) or guess.probability < 1e-5:
            continue
        trial = Trial(scene, guess.bend)
        alone = fit(trial)
        if guess.probability > 0.005:
            assert guess.fit.misfit == pytest.approx(alone.misfit, abs=0.02)
            assert guess.fit.evidence == pytest.approx(alone.evidence, abs=0.02)
        if guess.cause == NONE or len(FAULTS[guess.cause].at(scene, guess.where)) == 1:
            often = 0.5 if guess.cause == NONE else rate(guess.cause)
            odds = log(often / (1 - often))
            over.append(log(guess.probability) - odds - alone.evidence - log_chance(trial))
    assert len(over) > 1 and max(over) - min(over) < 0.1, "a tenth of the odds"
