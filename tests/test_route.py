"""The order of the work: minutes, metres and people; held against hand sums and exhaustive search."""

from __future__ import annotations

import heapq
import json
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from attrs import evolve
from jobs import active, chain, endpoint, injector, random_job, run, source

from engine import route
from engine.job import Job
from engine.jobfile import read_job
from engine.judge import judge
from engine.predict import predict
from engine.route import Work, natural_minutes, plan_work, walk_m
from engine.route_tasks import feeds_of_steps, footed
from engine.say import say
from engine.step import PARTS, Step

pure = pytest.mark.pure
"""what takes long is left out in the browser: the numbers are the same there"""

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
NAMES = sorted(path.stem for path in SAMPLES.glob("*.json"))
PACE = 50.0


# ---------------------------------------------------------------- jobs and steps to plan for


def spread(doc: dict, seed: int, share: float = 0.6) -> dict:
    """The job along its tree: some spans lead to a new stop, as far away as they are long."""
    rng = Random(seed)
    first = doc["boxes"][0]["id"]
    stops = {"at0": {"at_m": 0, "indoor": True}}
    at = {first: "at0"}
    for span in doc["spans"]:
        near, far = (span[end].partition(".")[0] for end in ("from", "to"))
        at[far] = at[near]
        if rng.random() < share:
            length = span["length_m"]
            metres = length["expected"] if isinstance(length, dict) else length
            at[far] = f"at{len(stops)}"
            stops[at[far]] = {
                "at_m": stops[at[near]]["at_m"] + metres,
                "indoor": rng.random() < 0.5,
            }
    earths = {f"EB{stop}": {"stop": stop} for stop in stops}
    boxes = [{**box, "stop": at[box["id"]]} for box in doc["boxes"]]
    for box in boxes:
        if box["id"].startswith("A"):
            box["bond"] = {"to": f"EB{box['stop']}", "lead_m": 0.4}
    return {**doc, "stops": stops, "earths": earths, "boxes": boxes}


def work_of(doc: dict) -> tuple[Job, list[Step]]:
    """The job and its steps."""
    one = judge(read_job({**doc, "log": []}))
    return one.state.job, list(one.steps)


@cache
def sample(name: str) -> tuple[Job, list[Step]]:
    return work_of(json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8")))


@cache
def derived(count: int = 60) -> tuple[tuple[Job, list[Step]], ...]:
    """Jobs of any shape along their trees, with the steps that their plans call for."""
    return tuple(work_of(spread(random_job(seed), seed)) for seed in range(count))


@cache
def along(*metres: float, walks: tuple = ()) -> Job:
    """A job on one run with a stop at each of these metres, named a, b, c …; S1 feeds it at a."""
    parts: list = [source()]
    for _ in metres[2:]:
        parts += [run(10), active(1)]
    doc = chain(*parts, run(10), endpoint(1))
    stops = {name: {"at_m": m} for name, m in zip("abcdefgh", metres, strict=False)}
    boxes = [{**box, "stop": at} for box, at in zip(doc["boxes"], stops, strict=True)]
    return read_job(
        {
            **doc,
            "stops": stops,
            "earths": {},
            "boxes": boxes,
            "walks": [list(walk) for walk in walks],
        }
    ).plan


def step(name: str, stop: str, minutes: float = 10, power: str = "any", **keys) -> Step:
    """A step of no kind that the rules know, unless its name says so."""
    keys = {"part": "fit", "holds": None, **keys}
    return Step(
        id=name, stop=stop, say=say("step-off", box="S1"), power=power, minutes=minutes, **keys
    )


def names(work: Work) -> list[str]:
    return [one.id for one in work.steps]


def made_up(seed: int) -> tuple[Job, list[Step]]:
    """Up to nine steps at up to seven stops, resting on each other at random."""
    rng = Random(seed)
    count = rng.randint(2, 7)
    job = along(0.0, *sorted(rng.sample(range(10, 600, 10), count - 1)))
    stops, spans = list(job.stops), sorted(job.spans)
    steps: list[Step] = []
    if rng.random() < 0.5:
        steps.append(step("off.S1", "a", 2, part="off"))
    for n in range(rng.randint(3, 7)):
        power = rng.choice(("any", "any", "dead", "dead", "live"))
        part = rng.choice(("pull", "fit", "look", "load", "leave"))
        both = rng.choice(spans) if rng.random() < 0.15 else None
        at = job.boxes[job.spans[both].b.box].stop if both else rng.choice(stops)
        steps.append(
            step(
                f"x.{n}", at, rng.randint(1, 20), power, part=part, span=both, both_ends=bool(both)
            )
        )
    if rng.random() < 0.4:
        steps.append(step("energise.S1", "a", 2, "live", part="power"))
    if rng.random() < 0.2:
        steps.append(step("cold.S1", "a", 6, "live", part="load"))
    steps.sort(key=lambda one: (PARTS.index(one.part), job.stops[one.stop].at_m, one.id))
    for n, one in enumerate(steps):
        before = rng.sample(steps[:n], min(n, rng.choice((0, 0, 1, 1, 2))))
        steps[n] = evolve(one, after=tuple(other.id for other in before))
    return job, steps


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


@pure
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


@pure
def test_the_walk_is_work_and_metres_at_fifty_a_minute():
    """a, c, b is 300 m and then 200 back; in a row it is 300."""
    job = along(0, 100, 300)
    work = plan_work(job, [step("x", "a", 5), step("y", "c", 5), step("z", "b", 5)])
    assert names(work) in (["x", "z", "y"], ["y", "z", "x"])
    assert work.minutes == pytest.approx(15 + 300 / 50)
    assert work.walk_m == pytest.approx(300)
    assert work.bound == pytest.approx(work.minutes)


@pure
def test_walks_that_the_plan_states_are_the_ones_walked():
    job = along(0, 100, 300, walks=(("a", "b", 400), ("b", "c", 20)))
    work = plan_work(job, [step("x", "a", 5), step("y", "c", 5), step("z", "b", 5)])
    assert names(work) in (["x", "y", "z"], ["z", "y", "x"]), "300 and 20, not 400 and 20"
    assert work.walk_m == pytest.approx(320)


@pure
def test_little_saved_is_not_worth_another_order():
    """180 minutes' work: by way of b first would save 200 m, which is 4 minutes, a fiftieth."""
    job = along(0, 100, 300)
    steps = [step("x", "a", 60), step("y", "c", 60), step("z", "b", 60)]
    assert names(plan_work(job, steps)) == ["x", "y", "z"]
    assert natural_minutes(job, steps) == pytest.approx(180 + 500 / 50)


@pure
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


@pure
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


@pure
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


@pure
def test_alone_the_other_end_is_walked_to_and_back():
    """30 minutes and 200 m; three steps of one span in a row share that walk."""
    job = along(0, 100)
    pull = step("pull.C1", "b", 30, span="C1", both_ends=True)
    assert plan_work(job, [pull]).minutes == pytest.approx(34)
    more = [step(name, "b", 10, span="C1", both_ends=True, after=("pull.C1",)) for name in "xy"]
    work = plan_work(job, [pull, *more])
    assert work.minutes == pytest.approx(54)
    assert (work.walk_m, work.besides_m) == (0, pytest.approx(200))


@pure
def test_two_people_meet_at_both_ends():
    """One at each end, nobody walks; the first of them stands at the step's stop."""
    work = plan_work(along(0, 100), [step("x", "b", 30, span="C1", both_ends=True)], 2)
    assert work.minutes == pytest.approx(30)
    assert (work.walk_m, work.besides_m) == (0, 0)
    assert sorted(work.shifts["x"].who) == [1, 2]


@pure
def test_two_people_share_the_work():
    work = plan_work(along(0, 600), [step("x", "a", 30), step("y", "b", 30)], 2)
    assert work.minutes == pytest.approx(30)
    assert {work.shifts[name].who for name in "xy"} == {(1,), (2,)}
    assert plan_work(along(0, 600), [step("x", "a", 30), step("y", "b", 30)]).minutes == 72


@pure
def test_there_is_one_ladder():
    """10 minutes, 300 m with the ladder, 10 minutes; without it both at once."""
    job = along(0, 300)
    steps = [step(name, name, needs=("ladder",)) for name in "ab"]
    assert plan_work(job, steps, 2).minutes == pytest.approx(26)
    assert plan_work(job, [step("a", "a"), step("b", "b")], 2).minutes == pytest.approx(10)


@pure
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


@pure
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


@pure
def test_a_partner_is_needed_at_the_same_stop():
    work = plan_work(along(0, 100), [step("x", "b", 5, needs=("partner",))], 2)
    assert work.shifts["x"].who == (1, 2)
    assert plan_work(along(0, 100), [step("x", "b", 5, needs=("partner",))]).minutes == 5


@pure
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


# ---------------------------------------------------------------- any steps: what must always hold


def cases(derived_jobs: int = 40, made: int = 460):
    yield from (sample(name) for name in NAMES)
    yield from derived(derived_jobs)
    yield from (made_up(seed) for seed in range(5000, 5000 + made))


def metres_between(job: Job, a: str, b: str) -> float:
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
    return best[b]


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
    for person in range(1, work.people + 1):
        mine = [(shifts[one.id], one) for one in work.steps if person in shifts[one.id].who]
        for (first, a), (then, b) in pairwise(sorted(mine, key=lambda row: row[0].start)):
            walk = metres_between(job, stands(job, a, first, person), stands(job, b, then, person))
            assert then.start >= first.end + walk / PACE - 1e-9, (a.id, b.id)
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


@pure
def test_steps_that_rest_on_each_other_are_all_there():
    steps = [
        step("x", "a", after=("y",)),
        step("y", "b", after=("x",)),
        step("z", "a", after=("y",)),
    ]
    for people in (1, 2):
        assert sorted(names(plan_work(along(0, 100), steps, people))) == ["x", "y", "z"]
    assert plan_work(along(0, 100), [], 2).minutes == 0


# ---------------------------------------------------------------- the samples, read as an installer would


@pure
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


@pure
@pytest.mark.parametrize("name", NAMES)
def test_bonds_and_proven_cables_come_before_power(name):
    job, steps = sample(name)
    for people in (1, 2):
        work = plan_work(job, steps, people)
        live = min(work.shifts[one.id].start for one in steps if one.power == "live")
        for one in steps:
            if one.id.partition(".")[0] in ("bond", "earth", "pairs", "fit"):
                assert work.shifts[one.id].end <= live, one.id


# ---------------------------------------------------------------- as the work goes on


def rest(work: Work, done: list[str]) -> list[str]:
    return names(work)[len(done) :]


@pure
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


@pure
def test_one_small_job_done_early_moves_nothing_else():
    """A label sheet copied at the far end while one is there: the list is the same without it."""
    for name in NAMES:
        job, steps = sample(name)
        order = names(plan_work(job, steps))
        n = next(n for n, one in enumerate(order) if one.startswith("pairs."))
        early = next(one for one in order[n:] if one.startswith("sheet."))
        work = plan_work(job, steps, 1, [*order[:n], early])
        assert rest(work, [*order[:n], early]) == [one for one in order[n:] if one != early]


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


def rest_of(order: list[str], done: list[str]) -> list[str]:
    return [name for name in order if name not in done]


@pure
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


@pure
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


@pure
def test_what_is_put_aside_costs_nothing_and_holds_nothing_up():
    job = along(0, 100, 300)
    steps = [step("x", "a"), evolve(step("y", "c"), state="not-here"), step("z", "b", after=("y",))]
    work = plan_work(job, steps, 1, ["y"])
    assert sorted(names(work)) == ["x", "y", "z"]
    assert work.minutes == pytest.approx(20 + 100 / 50)
    assert work.shifts["y"].who == ()


@pure
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
