"""The order of the work: minutes, metres and people by hand; the best there is by exhaustive search."""

from __future__ import annotations

import heapq

import pytest
from jobs import chain, endpoint, injector, run, source
from route_jobs import NAMES, PACE, along, made_up, names, sample, step

from engine.job import Job
from engine.jobfile import read_job
from engine.predict import predict
from engine.route import natural_minutes, plan_work
from engine.route_tasks import feeds_of_steps
from engine.step import Step

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- the best there is, by trying all


def least(job: Job, steps: list[Step]) -> float:
    """Minutes of the best order for one person, found by trying every order there is.

    A plan part of the way is what is done, the last step (or "S1": the feed was switched
    last), and whether the feed is on.
    """
    place = {one.id: n for n, one in enumerate(steps)}
    needs = [sum(1 << place[name] for name in one.after) for one in steps]
    metres = {stop.id: stop.at_m for stop in job.stops.values()}

    def stop(last) -> str | None:
        return "a" if last == "S1" else None if last is None else steps[last].stop

    def ends(last) -> set[str] | None:
        if last in (None, "S1") or not steps[last].both_ends:
            return None
        span = job.spans[steps[last].span]
        return {job.boxes[span.a.box].stop, job.boxes[span.b.box].stop}

    def walk(a: str | None, b: str) -> float:
        return 0.0 if a is None else abs(metres[a] - metres[b]) / PACE

    def moves(done: int, last, on: bool):
        yield walk(stop(last), "a") + 2, (done, "S1", not on)
        for n, one in enumerate(steps):
            switch = {"off.S1": False, "energise.S1": True}.get(one.id)
            stands = switch is not None or one.power == "any" or (one.power == "live") == on
            if done >> n & 1 or needs[n] & ~done or not stands:
                continue
            cost = walk(stop(last), one.stop) + one.minutes
            if ends(n) and ends(n) != ends(last):
                cost += 2 * walk(*ends(n))
            yield cost, (done | 1 << n, n, on if switch is None else switch)

    best = {(0, None, True): 0.0}
    waiting = [(0.0, 0, (0, None, True))]
    count = 0
    while waiting:
        minutes, _, key = heapq.heappop(waiting)
        if key[0] == (1 << len(steps)) - 1 and key[2]:
            return minutes
        if best[key] < minutes:
            continue
        for cost, then in moves(*key):
            if minutes + cost < best.get(then, float("inf")):
                best[then] = minutes + cost
                count += 1
                heapq.heappush(waiting, (minutes + cost, count, then))
    raise AssertionError("no order")


@pytest.mark.long
def test_one_person_within_five_percent_of_trying_every_order():
    worse = []
    for seed in range(300):
        job, steps = made_up(seed)
        work, best = plan_work(job, steps), least(job, steps)
        assert work.minutes >= best - 1e-6, seed
        assert work.bound <= best + 1e-6, seed
        worse.append(work.minutes / best)
    assert max(worse) <= 1.05, worse.index(max(worse))
    assert sum(ratio < 1.0001 for ratio in worse) > 100, "mostly it is the best itself"


# ---------------------------------------------------------------- by hand: minutes and metres


def test_the_walk_is_work_and_metres_at_fifty_a_minute():
    """a, c, b is 300 m and then 200 back; in a row it is 300."""
    job = along(0, 100, 300)
    work = plan_work(job, [step("x", "a", 5), step("y", "c", 5), step("z", "b", 5)])
    assert names(work) in (["x", "z", "y"], ["y", "z", "x"])
    assert work.minutes == pytest.approx(15 + 300 / 50)
    assert work.walk_m == pytest.approx(300)
    assert work.bound == pytest.approx(work.minutes)


def test_walks_that_the_plan_states_are_the_ones_walked():
    job = along(0, 100, 300, walks=(("a", "b", 400), ("b", "c", 20)))
    work = plan_work(job, [step("x", "a", 5), step("y", "c", 5), step("z", "b", 5)])
    assert names(work) in (["x", "y", "z"], ["z", "y", "x"]), "300 and 20, not 400 and 20"
    assert work.walk_m == pytest.approx(320)


def test_little_saved_is_not_worth_another_order():
    """180 minutes' work: by way of b first would save 200 m, which is 4 minutes, a fiftieth."""
    job = along(0, 100, 300)
    steps = [step("x", "a", 60), step("y", "c", 60), step("z", "b", 60)]
    assert names(plan_work(job, steps)) == ["x", "y", "z"]
    assert natural_minutes(job, steps) == pytest.approx(180 + 500 / 50)


def test_dead_work_costs_the_switch_and_the_way_to_it():
    """Off at a, out, the work, back, on: 2 + 2 + 10 + 2 + 2."""
    work = plan_work(along(0, 100), [step("x", "b", 10, "dead")])
    assert work.minutes == pytest.approx(18)
    assert (work.walk_m, work.besides_m) == (0, pytest.approx(200))
    assert [(one.feed, one.stop, one.on) for one in work.switchings] == [
        ("S1", "a", False),
        ("S1", "a", True),
    ]
    assert [one.before for one in work.switchings] == ["x", None]


def test_steps_that_are_switchings_are_not_counted_twice():
    steps = [
        step("off.S1", "a", 2, part="off"),
        step("x", "b", 10, "dead"),
        step("energise.S1", "a", 2, "live", part="power", after=("x",)),
        step("y", "a", 1, "live", part="power", after=("energise.S1",)),
        step("cold.S1", "a", 6, "live", part="load", after=("y",)),
    ]
    work = plan_work(along(0, 100), steps)
    assert work.minutes == pytest.approx(2 + 2 + 10 + 2 + 2 + 1 + 6)
    assert work.switchings == ()


def test_walking_further_saves_a_switching():
    """Two dead steps in one go, 300 m: 4 minutes' switching. By the stops it is 200 m and 8."""
    job = along(0, 100)
    steps = [
        step("d", "a", 1, "dead"),
        step("l", "a", 1, "live", after=("d",)),
        step("e", "b", 1, "dead", after=("d",)),
        step("f", "b", 1, after=("l",)),
    ]
    work = plan_work(job, steps)
    assert names(work) == ["d", "e", "l", "f"]
    assert work.minutes == pytest.approx(4 + 4 + 300 / 50)
    assert len(work.switchings) == 2
    assert natural_minutes(job, steps) == pytest.approx(4 + 8 + 200 / 50)


def test_alone_the_other_end_is_walked_to_and_back():
    """30 minutes and 200 m; three steps of one span in a row share that walk."""
    job = along(0, 100)
    pull = step("pull.C1", "b", 30, span="C1", both_ends=True)
    assert plan_work(job, [pull]).minutes == pytest.approx(34)
    more = [step(name, "b", 10, span="C1", both_ends=True, after=("pull.C1",)) for name in "xy"]
    work = plan_work(job, [pull, *more])
    assert work.minutes == pytest.approx(54)
    assert (work.walk_m, work.besides_m) == (0, pytest.approx(200))


def test_two_people_meet_at_both_ends():
    """One at each end, nobody walks; the first of them stands at the step's stop."""
    work = plan_work(along(0, 100), [step("x", "b", 30, span="C1", both_ends=True)], 2)
    assert work.minutes == pytest.approx(30)
    assert (work.walk_m, work.besides_m) == (0, 0)
    assert sorted(work.shifts["x"].who) == [1, 2]


def test_two_people_share_the_work():
    work = plan_work(along(0, 600), [step("x", "a", 30), step("y", "b", 30)], 2)
    assert work.minutes == pytest.approx(30)
    assert {work.shifts[name].who for name in "xy"} == {(1,), (2,)}
    assert plan_work(along(0, 600), [step("x", "a", 30), step("y", "b", 30)]).minutes == 72


def test_there_is_one_ladder():
    """10 minutes, 300 m with the ladder, 10 minutes; without it both at once."""
    job = along(0, 300)
    steps = [step(name, name, needs=("ladder",)) for name in "ab"]
    assert plan_work(job, steps, 2).minutes == pytest.approx(26)
    assert plan_work(job, [step("a", "a"), step("b", "b")], 2).minutes == pytest.approx(10)


def test_the_other_person_fetches_the_tool():
    """The lead was used at a; the partner at b, 100 m off, walks to it and back."""
    job = along(0, 100)
    steps = [
        step("x", "a", 5, needs=("break-out lead",)),
        step("long", "a", 60),
        step("y", "b", 5, needs=("break-out lead",), after=("z",)),
        step("z", "b", 5),
    ]
    work = plan_work(job, steps, 2)
    one, two = work.shifts["x"], work.shifts["y"]
    assert two.start >= one.end + (2 if one.who == two.who else 0)
    assert work.minutes <= 65


def test_the_ladder_is_set_up_once_where_that_costs_nothing():
    job = along(0, 100, 300)
    for needs, order in ((("ladder",), ["x", "m", "l", "n"]), ((), ["x", "l", "m", "n"])):
        steps = [
            step("x", "a", 30),
            step("l", "b", 30, needs=needs, after=("x",)),
            step("m", "c", 30, after=("x",)),
            step("n", "b", 30, needs=needs, after=("m",)),
        ]
        work = plan_work(job, steps)
        assert work.minutes == pytest.approx(120 + 500 / 50)
        assert names(work) == order


def test_a_partner_is_needed_at_the_same_stop():
    work = plan_work(along(0, 100), [step("x", "b", 5, needs=("partner",))], 2)
    assert work.shifts["x"].who == (1, 2)
    assert plan_work(along(0, 100), [step("x", "b", 5, needs=("partner",))]).minutes == 5


def test_of_two_feeds_only_its_own_is_switched_for_a_step():
    """A source at one end, an injector with its own mains in the middle."""
    doc = chain(source(), run(10), injector(), run(10), endpoint(1))
    for box, stop in zip(doc["boxes"], "abc", strict=True):
        box["stop"] = stop
    doc["stops"] = {"a": {"at_m": 0}, "b": {"at_m": 100}, "c": {"at_m": 200}}
    doc["earths"] = {}
    job = read_job(doc).plan
    steps = [step("x", "c", 10, "dead", box="E1")]
    feeds = feeds_of_steps(job, predict(job).study.network, steps)
    assert feeds == {"x": {"P1"}}
    own, both = plan_work(job, steps, feeds=feeds), plan_work(job, steps)
    assert {one.feed for one in own.switchings} == {"P1"}
    assert {one.feed for one in both.switchings} == {"P1", "S1"}
    assert own.minutes == pytest.approx(18)
    assert both.minutes > own.minutes


# ---------------------------------------------------------------- the samples, read as an installer would


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_is_worked_out_and_back_twice_and_no_more(name):
    """Out to pull and back by what is fitted; out along the live run and back by the labels."""
    job, steps = sample(name)
    work = plan_work(job, steps)
    farthest = max(stop.at_m for stop in job.stops.values())
    assert work.walk_m == pytest.approx(4 * farthest)
    assert work.minutes < natural_minutes(job, steps) - 20 or name == "orchard-gate"
    assert not work.switchings
    order = names(work)
    assert order[0] == "announce.site"
    first_live = order.index(next(one.id for one in work.steps if one.power == "live"))
    for one in work.steps[first_live:]:
        assert one.power != "dead", one.id
    for one in work.steps[:first_live]:
        assert one.part not in ("power", "load", "leave"), one.id


@pytest.mark.parametrize("name", NAMES)
def test_bonds_and_proven_cables_come_before_power(name):
    job, steps = sample(name)
    for people in (1, 2):
        work = plan_work(job, steps, people)
        live = min(work.shifts[one.id].start for one in steps if one.power == "live")
        for one in steps:
            if one.id.partition(".")[0] in ("bond", "earth", "pairs", "fit"):
                assert work.shifts[one.id].end <= live, one.id
