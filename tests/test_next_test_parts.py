"""The next test by its parts: densities, what can be made, the search held against trying all."""

from __future__ import annotations

from functools import cache
from math import sqrt

import fault_jobs
import pytest
from account_jobs import at, logged, volts_alone
from scipy.stats import multivariate_normal, norm
from test_diagnose import diagnosed

from engine.diagnose import Diagnosis
from engine.diagnose.account import account
from engine.diagnose.asking import BACK
from engine.diagnose.candidates import Candidate, possible
from engine.diagnose.nexttest import LEAST_BITS, _Search, next_test
from engine.diagnose.outcomes import Blob, middle
from engine.jobfile import read_job
from engine.judge import judge

JOBS = {
    "dead": fault_jobs.dead,
    "link": fault_jobs.link,
    "ends": fault_jobs.ends,
    "volts alone": volts_alone,
}


@cache
def found(name: str) -> Diagnosis:
    return diagnosed(judge(read_job(JOBS[name]())))


@cache
def every(name: str) -> tuple[_Search, tuple[Candidate, ...]]:
    """The search of a job, and all tests that can be made there."""
    search = _Search(found(name), None)
    return search, tuple(possible(search.scene, search.walk))


# ---------------------------------------------------------------- what may come of it


def test_what_may_come_of_a_test_has_the_density_of_a_normal():
    """Of one figure, of two that go together, and of a word alone (SciPy)."""
    alone = Blob(0.4, "steady", (50.0,), (0.09, 0.0, 1.0)).density
    both = Blob(0.4, "steady", (50.0, 210.0), (0.09, 0.5, 16.0)).density
    exact = multivariate_normal([50.0, 210.0], [[0.09, 0.5], [0.5, 16.0]])
    for volts, amps in ((50.0, 210.0), (50.2, 212.0), (49.5, 214.0), (49.9, 203.0)):
        assert alone((volts,)) == pytest.approx(0.4 * norm(50, 0.3).pdf(volts))
        assert both((volts, amps)) == pytest.approx(0.4 * exact.pdf((volts, amps)))
    assert Blob(0.4, "open").density(()) == 0.4


def test_of_several_outcomes_the_middle_is_that_of_their_mixture():
    """By hand: 0.25 and 0.75 of figures at 10 and 14; of words how likely the first one is."""
    two = (Blob(0.25, "a", (10.0,), (0.5, 0, 1)), Blob(0.75, "b", (14.0,), (0.1, 0, 1)))
    mean, sd = middle(two)
    assert mean == pytest.approx(13.0)
    assert sd == pytest.approx(sqrt(0.25 * (9 + 0.5) + 0.75 * (1 + 0.1)))
    assert middle((Blob(0.3, "full"), Blob(0.7, "less")))[0] == 0.3


# ---------------------------------------------------------------- which is asked for


@pytest.mark.parametrize("name", JOBS)
def test_none_of_all_tests_tells_more_for_its_minutes_than_the_one_asked_for(name):
    """The search weighs the quick ones first and stops early; here all are weighed."""
    search, candidates = every(name)
    tests = [one for one in map(search.test, candidates) if one and one.bits >= LEAST_BITS]
    best = max(tests, key=lambda one: (one.bits / one.minutes, -one.walk_m))
    asked = next_test(found(name))
    assert (asked.at, asked.kind, asked.standing) == (best.at, best.kind, best.standing)
    assert asked.bits / asked.minutes == best.bits / best.minutes


def test_a_test_says_what_is_needed_for_it_before_anybody_walks():
    """A known load, something to short the far end with; whatever else, the meter alone."""
    needs = {"far-end short": 0, "known-load": 0}
    for name in JOBS:
        for one in every(name)[1]:
            known = ("known-load",) if one.standing.known else ()
            assert one.needs == known + (("far-end short",) if one.kind == "loop_ohms" else ())
            assert one.dead == (one.kind == "loop_ohms")
            for need in one.needs:
                needs[need] += 1
    assert all(needs.values())


def test_a_light_that_nobody_has_looked_at_is_foretold_by_every_cause():
    """The far end is dark: the light in front of it parts a bad end from a box put in backwards."""
    search, candidates = every("link")
    look = next(one for one in candidates if (one.at, one.kind) == ("L2.in", "mbps"))
    shown = {(one.cause, one.where): one.mean for one in search.test(look).foretold}
    assert shown["none", ""] > 0.95 and shown["contact.high", "C6"] > 0.95
    assert shown["box.reversed", "L2"] < 0.1


def test_who_says_nothing_of_where_they_stand_stands_where_they_read_last():
    """Nothing at the far end: the feed is behind them. Before any reading they are at the feed."""
    test = account(judge(read_job(fault_jobs.walk()))).next_test
    assert (test.here, test.stop, test.way) == ("hide", "hut", BACK)
    span = account(judge(read_job(logged("orchard-gate", at("C2", "loop_ohms", 19.0))))).next_test
    assert span.here == "shed", "a span is read at its near end"
    none = account(judge(read_job(fault_jobs.none()))).next_test
    assert none.here == "hut"
