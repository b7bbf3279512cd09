"""The order of the work, for any steps: what must always hold of a plan."""

from __future__ import annotations

from itertools import pairwise

import pytest
from random_jobs import large_tree, random_job
from route_jobs import PACE, along, cases, derived, made_up, names, spread, step, walk_m, work_of

from engine import route, route_search
from engine.job import Job
from engine.route import Work, natural_minutes, plan_work
from engine.route_clock import Clock
from engine.route_search import Search, Start
from engine.route_tasks import footed, tasks_of
from engine.step import Step


def metres_from(job: Job, a: str) -> dict[str, float]:
    """Along the spans, by trying every way there is; only for jobs without ``walks``."""
    beside: dict[str, list[tuple[str, float]]] = {}
    for span in job.spans.values():
        x, y = (job.boxes[end.box].stop for end in (span.a, span.b))
        metres = abs(job.stops[x].at_m - job.stops[y].at_m)
        beside.setdefault(x, []).append((y, metres))
        beside.setdefault(y, []).append((x, metres))
    best, waiting = {a: 0.0}, [a]
    while waiting:
        here = waiting.pop()
        for there, metres in beside.get(here, ()):
            if best[here] + metres < best.get(there, float("inf")):
                best[there] = best[here] + metres
                waiting.append(there)
    return best


def check(job: Job, steps: list[Step], work: Work) -> None:
    """A plan that can be worked: everything once, footing first, nobody in two places."""
    assert sorted(names(work)) == sorted(one.id for one in steps)
    shifts = work.shifts
    place = {name: n for n, name in enumerate(names(work))}
    for one in steps:
        for before in one.after:
            assert place[before] < place[one.id], (before, one.id)
            assert shifts[before].end <= shifts[one.id].start + 1e-9
    powering = [one.id for one in footed(steps) if one.part == "power" and one.power == "live"]
    assert powering == [name for name in names(work) if name in set(powering)]
    metres: dict[str, dict[str, float]] = {}
    for person in range(1, work.people + 1):
        mine = [(shifts[one.id], one) for one in work.steps if person in shifts[one.id].who]
        for (first, a), (then, b) in pairwise(sorted(mine, key=lambda row: row[0].start)):
            left, come = stands(job, a, first, person), stands(job, b, then, person)
            if left not in metres:
                metres[left] = metres_from(job, left)
            assert then.start >= first.end + metres[left][come] / PACE - 1e-9, (a.id, b.id)
    for tool in ("ladder", "break-out lead", "known load", "far-end short"):
        used = sorted(
            (shifts[one.id].start, shifts[one.id].end) for one in steps if tool in one.needs
        )
        assert all(a[1] <= b[0] + 1e-9 for a, b in pairwise(used)), tool
    assert work.minutes >= max(shift.end for shift in shifts.values())


def stands(job: Job, one: Step, shift, person: int) -> str:
    if not one.both_ends or len(shift.who) == 1 or shift.who[0] == person:
        return one.stop
    ends = {job.boxes[end.box].stop for end in (job.spans[one.span].a, job.spans[one.span].b)}
    return (ends - {one.stop} or ends).pop()


def check_power(steps: list[Step], work: Work) -> None:
    """No live step while the feed is off, no dead one while it is on; for jobs with one feed."""
    turns = [(one.start + 2, one.on) for one in work.switchings]
    for one in steps:
        kind = one.id.partition(".")[0]
        if kind in ("off", "energise"):
            turns.append((work.shifts[one.id].end, kind == "energise"))
    turns.sort()
    for one in steps:
        if one.power == "any" or one.id.partition(".")[0] in ("off", "energise"):
            continue
        shift = work.shifts[one.id]
        before = [on for end, on in turns if end <= shift.start + 1e-9]
        during = [on for end, on in turns if shift.start + 1e-9 < end < shift.end + 2 - 1e-9]
        live = one.power == "live"
        assert (before[-1] if before else True) == live, one.id
        assert all(on == live for on in during), one.id


def test_500_plans_can_be_worked_by_one_and_by_two():
    count = 0
    for job, steps in cases():
        one, two = plan_work(job, steps), plan_work(job, steps, 2)
        for work in (one, two):
            check(job, steps, work)
            assert work.bound <= work.minutes + 1e-6
            if sum(box.sheet.facts.feeds is not None for box in job.boxes.values()) == 1:
                check_power(steps, work)
        assert two.minutes <= one.minutes + 1e-6
        assert one.minutes <= natural_minutes(job, steps) + 1e-6
        count += 1
    assert count > 500


@pytest.mark.parametrize(
    "doc",
    [spread(large_tree(1, 40), 1), spread(random_job(8, 40), 8), spread(random_job(9, 40), 9)],
    ids=["493 steps", "759 steps", "814 steps"],
)
def test_the_largest_jobs_are_planned_whole(doc):
    job, steps = work_of(doc)
    one, two = plan_work(job, steps), plan_work(job, steps, 2)
    for work in (one, two):
        check(job, steps, work)
        assert 0 < work.bound <= work.minutes + 1e-6
    assert two.minutes <= one.minutes < 0.95 * natural_minutes(job, steps)


@pytest.mark.parametrize("price", [0.0, 3.0])
@pytest.mark.parametrize(("boxes", "seed"), [(30, 1), (30, 11), (40, 1), (50, 2)])
def test_a_plan_that_was_dropped_stands_in_the_way_of_no_other(boxes, seed, price):
    """Trees on which a search comes to nothing if it shuns what plans no longer followed did."""
    job, steps = work_of(spread(large_tree(seed, boxes), seed))
    tasks = tasks_of(job, footed(steps))
    order = Search(tasks).best(Start(), price)
    assert sorted(i for i in order if i >= 0) == list(range(len(steps)))
    clock = Clock(tasks, 1)
    for i in order:
        clock.do(i)
    clock.leave_on()
    assert clock.minutes < 0.95 * natural_minutes(job, steps)


def test_a_beam_of_one_plan_still_orders_every_step(monkeypatch):
    """However few plans are followed, none that ends nowhere is given out."""
    monkeypatch.setattr(route_search, "WIDE", 1)
    monkeypatch.setattr(route_search, "NARROW", 1)
    route.forget()
    for job, steps in [*derived(20), *(made_up(seed) for seed in range(200))]:
        check(job, steps, plan_work(job, steps))
    route.forget()


def test_metres_are_between_successive_steps():
    for job, steps in cases(20, 100):
        work = plan_work(job, steps)
        assert work.walk_m == pytest.approx(walk_m(job, work.steps))
        at_work = sum(one.minutes for one in steps)
        switching = 2 * len(work.switchings)
        walking = (work.walk_m + work.besides_m) / PACE
        assert work.besides_m >= -1e-6
        if not work.switchings:
            assert work.minutes == pytest.approx(at_work + walking + switching)


def test_the_same_plan_every_time_and_however_the_done_are_given():
    for job, steps in cases(6, 20):
        for people in (1, 2):
            route.forget()
            first = plan_work(job, steps, people)
            route.forget()
            assert plan_work(job, steps, people) == first
            assert plan_work(job, steps, people, [None, "no such step"]) == first


def test_steps_that_rest_on_each_other_are_all_there():
    steps = [
        step("x", "a", after=("y",)),
        step("y", "b", after=("x",)),
        step("z", "a", after=("y",)),
    ]
    for people in (1, 2):
        assert sorted(names(plan_work(along(0, 100), steps, people))) == ["x", "y", "z"]
    assert plan_work(along(0, 100), [], 2).minutes == 0
