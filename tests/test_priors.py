"""A technician's own rates: the table, moved by what was found, as a Dirichlet distribution would."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.diagnose.scene import Scene
from engine.faults import FAULTS, SLIPS
from engine.faults.priors import WEIGHED, WORTH, Tally, exposure, rates
from engine.faults.sizes import rate
from engine.jobfile import load
from engine.judge import judge

pytestmark = pytest.mark.pure

SAMPLE = Path(__file__).parent.parent / "sample_jobs" / "reedbed-hide.json"
FEW = (
    "span.high",
    "joint.high",
    "contact.high",
    "box.reversed",
    "joint.wet",
    "reading.typed",
    "other",
)
PLACES = {
    "span.high": 3,
    "joint.high": 3,
    "contact.high": 3,
    "joint.wet": 3,
    "box.reversed": 2,
    "reading.typed": 12,
    "other": 1,
}

any_job = st.tuples(
    st.lists(st.sampled_from(FEW), max_size=3).map(tuple),
    st.fixed_dictionaries({cause: st.integers(0, 9) for cause in FEW[:-1]}).map(
        lambda places: {**places, "other": 1}
    ),
)


def tally(*jobs: tuple[tuple[str, ...], dict[str, int]]) -> Tally:
    return Tally.total(Tally.of(*job) for job in jobs)


def odds(often: float) -> float:
    return often / (1 - often)


def chances(own, places) -> dict[str, float]:
    """How likely each cause is beforehand in a job of so many places, as a diagnosis has it."""
    weights = {cause: places.get(cause, 0) * odds(own(cause)) for cause in WEIGHED}
    total = 1 + sum(weights.values())
    return {"none": 1 / total, **{cause: weight / total for cause, weight in weights.items()}}


@pytest.mark.parametrize("first", [True, False])
def test_with_nothing_counted_it_is_the_table_exactly(first: bool) -> None:
    own = rates(Tally(), first=first)
    assert {cause: own(cause) for cause in WEIGHED} == {
        cause: rate(cause, first=first) for cause in WEIGHED
    }


def test_every_cause_that_is_weighed_can_be_counted() -> None:
    assert {*FAULTS, *SLIPS, "other", "port.class"} == set(WEIGHED)
    with pytest.raises(KeyError):
        rates(Tally.of(("span.high",), PLACES))("weather")


def test_half_the_jobs_now_and_half_later_come_to_the_same() -> None:
    """What one batch leaves is what the next starts from (conjugacy), all jobs being alike."""
    batches = [("span.high",), ()], [("span.high", "other"), (), ()]
    alpha = {name: WORTH * chance for name, chance in chances(rate, PLACES).items()}
    for batch in batches:
        for found in batch:
            for name in found or ("none",):
                alpha[name] += 1
    total = sum(alpha.values())

    seen = tally(*((found, PLACES) for batch in batches for found in batch))
    after = chances(rates(seen), PLACES)
    assert after == pytest.approx({name: one / total for name, one in alpha.items()}, rel=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(any_job, max_size=8).flatmap(
        lambda jobs: st.tuples(st.just(jobs), st.permutations(jobs))
    )
)
def test_the_order_of_jobs_does_not_matter(both) -> None:
    one, other = (tally(*jobs) for jobs in both)
    half = len(both[0]) // 2
    assert one == other == Tally.total((tally(*both[0][half:]), tally(*both[0][:half])))
    own, again = rates(one), rates(other)
    assert [own(cause) for cause in WEIGHED] == [again(cause) for cause in WEIGHED]


@settings(max_examples=60, deadline=None)
@given(st.lists(any_job, max_size=8), st.booleans())
def test_rates_stay_between_nothing_and_one(jobs, first: bool) -> None:
    own = rates(tally(*jobs), first=first)
    assert all(0 <= own(cause) < 1 for cause in WEIGHED)


def one_more(seen: Tally, *found: str) -> Tally:
    """With one job more that has the places of the mean job, so that nothing else changes."""
    places = {cause: count + seen.mean_places[cause] for cause, count in seen.places.items()}
    counts = Counter(seen.found) + Counter(found)
    return Tally(seen.jobs + 1, seen.clean + (not found), counts, places)


@settings(max_examples=60, deadline=None)
@given(st.lists(any_job, max_size=8), st.sampled_from(FEW))
def test_a_find_raises_its_cause_and_takes_from_all_others(jobs, cause: str) -> None:
    seen = tally(*jobs, ((), PLACES))
    own, risen = rates(seen), rates(one_more(seen, cause))
    assert risen(cause) > own(cause)
    before, after = (chances(each, seen.mean_places) for each in (own, risen))
    assert after[cause] > before[cause]
    others = [name for name in before if name != cause and before[name]]
    assert all(after[name] < before[name] for name in others)


@settings(max_examples=60, deadline=None)
@given(st.lists(any_job, max_size=8))
def test_a_clean_job_lets_every_cause_sink_and_slowly(jobs) -> None:
    seen = tally(*jobs, ((), PLACES))
    own, sunk = rates(seen), rates(one_more(seen))
    for cause in WEIGHED:
        if own(cause):
            assert own(cause) > sunk(cause) > 0.8 * own(cause)


def test_what_the_table_rules_out_is_learnt_where_it_was_found() -> None:
    """A box turned round on a return: the table says never, the log says once in two jobs."""
    seen = tally((("box.reversed",), PLACES), ((), PLACES))
    assert rate("box.reversed", first=False) == 0
    assert 0.005 < rates(seen, first=False)("box.reversed") < 0.05


def test_where_something_was_found_there_was_a_place() -> None:
    seen = Tally.of(("link.slow-endpoint", "link.slow-endpoint"), {"other": 1})
    assert seen.places == {"link.slow-endpoint": 2, "other": 1}
    assert 0 < rates(seen)("link.slow-endpoint") < 1


def test_the_places_of_a_job_are_those_a_diagnosis_looks_at() -> None:
    there = judge(load(SAMPLE))
    ground = Scene(there.prediction, ())
    counted = exposure(ground, 12)
    assert counted["span.high"] == len(FAULTS["span.high"].places(ground)) > 2
    assert counted["reading.typed"] == 12
    assert counted["other"] == 1
    assert all(count > 0 for count in counted.values())
