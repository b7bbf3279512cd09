"""Two causes at once: which of all the pairs there could be are weighed."""

from __future__ import annotations

from functools import cache

import fault_jobs
from test_diagnose import diagnosed

from engine.diagnose import BEST, Diagnosis
from engine.faults import FAULTS, NONE, PAIR
from engine.jobfile import read_job
from engine.judge import judge


@cache
def two() -> Diagnosis:
    """Of a job on which no cause alone explains the loop ohms near the feed and the dark link."""
    return diagnosed(judge(read_job(fault_jobs.two())))


def test_the_few_most_hopeful_pairs_are_weighed_each_once() -> None:
    """Half of all pairs would leave no box standing there: none of these may take the place of
    one that can be worked out."""
    pairs = [one for one in two().guesses if one.cause == PAIR]
    assert len(pairs) == BEST == len({frozenset(one.parts) for one in pairs})
    assert all(one.fit is not None for one in pairs)
    assert min(one.probability for one in pairs) > 0.01, "none that is far behind"


def test_a_pair_is_of_two_faults_of_the_site_one_of_them_the_likeliest_alone() -> None:
    """Nothing wrong, something unknown, a misread figure: none of these is half of a pair."""
    alone = [one for one in two().guesses if one.cause in FAULTS and one.fit]
    first = alone[0]
    second = next(one for one in alone if one.where != first.where)
    for one in two().guesses:
        if one.cause == PAIR:
            assert {cause for cause, _ in one.parts} <= set(FAULTS)
            assert {(first.cause, first.where), (second.cause, second.where)} & set(one.parts)


def test_two_causes_that_explain_all_come_before_one_that_does_not() -> None:
    best = two().best
    assert best.cause == PAIR and two().fits
    assert ("span.high", "C3") in best.parts, "its loop was read, and is twice what it should be"
    alone = next(one for one in two().guesses if (one.cause, one.where) == ("span.high", "C3"))
    assert alone.probability < best.probability


def test_where_one_cause_explains_all_two_are_not_looked_for() -> None:
    found = diagnosed(judge(read_job(fault_jobs.agree())))
    assert found.best.cause == NONE
    assert not any(one.parts for one in found.guesses)
