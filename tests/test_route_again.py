"""The order of the work as the work goes on: what was done stays, the rest where it can."""

from __future__ import annotations

from random import Random

import pytest
from attrs import evolve
from route_jobs import NAMES, along, cases, derived, made_up, names, rest, rest_of, sample, step

from engine.route import plan_work

pytestmark = pytest.mark.pure


@pytest.mark.parametrize("people", [1, 2])
def test_doing_what_stands_next_leaves_the_rest_as_it_is(people):
    for job, steps in [*(sample(name) for name in NAMES), *derived(6)]:
        work = plan_work(job, steps, people)
        order = names(work)
        for n in range(0, len(order), 5):
            again = plan_work(job, steps, people, order[:n])
            assert names(again) == order
            assert again.minutes == pytest.approx(work.minutes)
            assert again.minutes_left <= work.minutes + 1e-9


@pytest.mark.long
@pytest.mark.parametrize("people", [1, 2])
def test_what_was_done_out_of_turn_stays_in_front_and_nothing_is_lost(people):
    for seed, (job, steps) in enumerate(cases(3, 40)):
        rng = Random(seed)
        order = [one.id for one in steps]
        done = rng.sample(order, rng.randint(0, len(order)))
        work = plan_work(job, steps, people, done)
        assert names(work)[: len(done)] == done
        assert sorted(names(work)) == sorted(order)
        place = {name: n for n, name in enumerate(names(work))}
        for one in steps:
            if one.id not in done:
                assert all(place[before] < place[one.id] for before in one.after)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_done_early_where_one_stands_moves_nothing_else(name):
    """A label put on while one is there: the list is the same without it."""
    job, steps = sample(name)
    work = plan_work(job, steps)
    order, early = names(work), 0
    for n in range(1, len(order)):
        done, here, following = order[:n], work.steps[n - 1], work.steps[n]
        for one in work.steps[n + 1 :]:
            if one.stop != here.stop or one.power != following.power or not {*one.after} <= {*done}:
                continue
            again = plan_work(job, steps, 1, [*done, one.id])
            assert rest(again, [*done, one.id]) == [name for name in order[n:] if name != one.id]
            early += 1
    assert early > 20


@pytest.mark.long
def test_following_a_new_plan_it_does_not_change_again():
    """After a start out of turn the rest may be planned anew; that plan then stands."""
    anew = 0
    for seed in range(200):
        job, steps = made_up(seed)
        first, rng, done = names(plan_work(job, steps)), Random(seed), []
        for _ in range(rng.randint(1, 3)):
            ready = [one.id for one in steps if one.id not in done and {*one.after} <= {*done}]
            done.append(rng.choice(ready))
        order = names(plan_work(job, steps, 1, done))
        anew += rest_of(order, done) != rest_of(first, done)
        for n in range(len(done), len(order)):
            assert names(plan_work(job, steps, 1, order[:n])) == order, seed
    assert anew > 10


def test_one_who_stands_at_the_far_end_does_not_walk_back_for_what_can_be_done_there():
    """Planned a, b, c; but one went to c first. c is done there, then b, then a: 300 m less."""
    job = along(0, 100, 300)
    steps = [
        step(f"{stop}{n}", stop, 10, after=() if n == 0 else (f"{stop}0",))
        for stop in "abc"
        for n in range(2)
    ]
    assert names(plan_work(job, steps)) == ["a0", "a1", "b0", "b1", "c0", "c1"]
    assert names(plan_work(job, steps, 1, ["c0"])) == ["c0", "c1", "b0", "b1", "a0", "a1"]


@pytest.mark.parametrize("name", NAMES)
def test_a_step_that_is_new_slots_in_and_the_rest_keeps_its_order(name):
    job, steps = sample(name)
    before = names(plan_work(job, steps))
    done = before[: len(before) // 3]
    new = evolve(next(one for one in steps if one.id.startswith("fit.")), id="fit.NEW", box=None)
    work = plan_work(job, [*steps, new], 1, done)
    after = names(work)
    assert after[: len(done)] == done
    assert sorted(after) == sorted([*before, "fit.NEW"])
    assert work.minutes <= plan_work(job, steps, 1, done).minutes + new.minutes + 1e-6
    kept = [name for name in after if name != "fit.NEW"]
    moved = sum(a != b for a, b in zip(kept, before, strict=True))
    assert moved <= len(before) / 10


def test_what_is_put_aside_costs_nothing_and_holds_nothing_up():
    job = along(0, 100, 300)
    steps = [step("x", "a"), evolve(step("y", "c"), state="not-here"), step("z", "b", after=("y",))]
    work = plan_work(job, steps, 1, ["y"])
    assert sorted(names(work)) == ["x", "y", "z"]
    assert work.minutes == pytest.approx(20 + 100 / 50)
    assert work.shifts["y"].who == ()


def test_a_bond_undone_when_the_power_is_on_costs_off_and_on():
    """Reopened work is dead work: the feed goes off for it, and on again for what is left."""
    job, steps = sample("reedbed-hide")
    order = names(plan_work(job, steps))
    n = order.index("volts.L2.in")
    done = [name for name in order[:n] if name != "bond.A2"]
    work = plan_work(job, steps, 1, done)
    assert [one.on for one in work.switchings] == [False, True]
    assert work.switchings[0].before == "bond.A2"
    assert work.switchings[1].before is not None
    ahead = rest(work, done)
    assert ahead.index("bond.A2") < ahead.index("volts.L2.in")
    assert names(work)[: len(done)] == done


def test_what_is_done_out_of_turn_keeps_its_place_in_the_list():
    """A row that is ticked off early does not jump away from under the finger."""
    for name in NAMES:
        job, steps = sample(name)
        order = names(plan_work(job, steps))
        for people in (1, 2):
            planned = [step.id for step in plan_work(job, steps, people).listed]
            assert sorted(planned) == sorted(order)
            for early in (planned[2], planned[8], planned[-1]):
                work = plan_work(job, steps, people, [early])
                listed = [step.id for step in work.listed]
                rest = [one for one in names(work) if one != early]
                stands = rest == [one for one in planned if one != early]
                assert listed == (planned if stands else names(work)), (name, early)
                assert stands or people == 2 or early == planned[-1], (name, early)
