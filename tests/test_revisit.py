"""The few readings with which a return begins: the set, its order, and the steps it becomes."""

from __future__ import annotations

from functools import cache
from itertools import combinations, pairwise
from typing import Any

import pytest
from again_sites import back, left, logged, met_again
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import planned

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.revisit import ENOUGH, REASONS, STORM, Ask, first_readings, odds_of
from engine.revisit.choose import Choice, Wish, chosen, grown
from engine.revisit.showing import beyond
from engine.step import AGAIN, BACK
from engine.steps.coming import LOOK_OVER
from engine.walks import between
from engine.worked import worked

PLANS = ("reedbed-hide", "orchard-gate", "tide-mill")


@cache
def came(name: str, reason: str | None = None, kinds: tuple[str, ...] = ()) -> Judgement:
    """A job that was left, and a visit more."""
    _, doc = left(planned(name), 5, kinds)
    return judge(read_job(back(doc, **({"reason": reason} if reason else {}))))


# ---------------------------------------------------------------- the smallest set

LOOKS = st.integers(1, 7)
SHARE = st.sampled_from((0.0, 0.1, 0.5, 0.9, 1.0))


@st.composite
def choices(draw) -> Choice:
    """Looks at stops along a line: work, and the way to the farthest."""
    looks, causes = draw(LOOKS), draw(st.integers(1, 6))
    shows = [draw(st.lists(SHARE, min_size=causes, max_size=causes)) for _ in range(looks)]
    odds = draw(st.lists(st.floats(0.001, 0.05), min_size=causes, max_size=causes))
    work = draw(st.lists(st.integers(1, 9), min_size=looks, max_size=looks))
    away = draw(st.lists(st.sampled_from((0, 2, 5, 10)), min_size=looks, max_size=looks))
    return Choice(
        shows,
        odds,
        lambda taken: sum(work[i] for i in taken) + max((away[i] for i in taken), default=0),
    )


def least_minutes(choice: Choice, enough: float) -> float:
    """By trying every set."""
    sets = (one for count in range(len(choice.all) + 1) for one in combinations(choice.all, count))
    return min(choice.minutes(one) for one in sets if choice.seen(one) >= enough - 1e-9)


@settings(max_examples=150, deadline=None)
@given(choices())
def test_a_set_shows_enough_and_nothing_in_it_can_go(choice):
    taken = chosen(choice, Wish(ENOUGH, 0.0))
    assert choice.seen(grown(choice, Wish(ENOUGH, 0.0))) >= ENOUGH - 1e-6
    assert choice.seen(taken) >= ENOUGH - 1.1e-3
    for gone in taken:
        rest = tuple(i for i in taken if i != gone)
        assert choice.seen(rest) < choice.seen(taken)


@settings(max_examples=150, deadline=None)
@given(choices())
def test_no_set_takes_less_than_half_its_minutes(choice):
    """Greedy cover has a bound that grows with the logarithm; on what is this small, two."""
    taken = chosen(choice, Wish(ENOUGH, 0.0))
    assert choice.minutes(taken) <= 2 * least_minutes(choice, choice.seen(taken)) + 1e-9


def test_what_is_not_worth_its_minutes_is_left():
    far = Choice([[1.0, 0.0], [1.0, 1.0]], [0.9, 0.1], lambda taken: 1 + 200 * (1 in taken))
    assert chosen(far, Wish(0.95, 0.005)) == (0,)
    assert chosen(far, Wish(0.95, 0.0)) == (1,)


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("reason", REASONS)
def test_on_the_samples_no_other_set_is_much_quicker(name, reason, monkeypatch):
    """Every set of looks that shows as much, against the one that is taken."""
    seen: list[tuple[Choice, tuple[int, ...]]] = []

    def watched(choice, wish):
        seen.append((choice, chosen(choice, wish)))
        return seen[-1][1]

    job = came(name)
    monkeypatch.setattr("engine.revisit.chosen", watched)
    first_readings(job, reason)
    ((choice, taken),) = seen
    # a set larger than the one taken is no smallest set
    sets = (one for n in range(len(taken) + 1) for one in combinations(choice.all, n))
    goal = choice.seen(taken)
    best = min(choice.minutes(one) for one in sets if choice.seen(one) >= goal - 1e-3)
    assert choice.minutes(taken) <= 1.25 * best
    fewer = (one for n in range(len(taken)) for one in combinations(choice.all, n))
    count = min((len(one) for one in fewer if choice.seen(one) >= goal - 1e-3), default=len(taken))
    assert len(taken) - count <= 2


def test_how_likely_a_normal_quantity_lies_beyond():
    assert beyond(0.0, 1.0, 1.959964) == pytest.approx(0.05, abs=1e-6)
    assert beyond(3.0, 1.0, 3.0) == pytest.approx(0.5, abs=1e-6)
    assert beyond(float("inf"), 1.0, 3.0) == 1.0


# ---------------------------------------------------------------- what is asked


def readings(asks: tuple[Ask, ...]) -> list[Ask]:
    return [ask for ask in asks if ask.kinds]


@pytest.mark.parametrize("name", PLANS)
def test_few_are_asked_and_a_wet_joint_would_show(name):
    job = came(name)
    for reason in REASONS:
        asks = readings(first_readings(job, reason))
        asked = len({(one.at, one.kind) for one in job.state.readings})
        assert 0 < len(asks) < asked / 2, (name, reason)
        shown = {cause for ask in asks for cause, _ in ask.shows}
        assert {"joint.wet", "span.open"} <= shown


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("reason", REASONS)
def test_the_asks_stand_in_walking_order(name, reason):
    job = came(name)
    asks = first_readings(job, reason)
    stops = [ask.stop for ask in asks]
    assert len(dict.fromkeys(stops)) == 1 + sum(a != b for a, b in pairwise(stops))
    for before, ask in pairwise(asks):
        assert ask.walk_m == pytest.approx(between(job.state.job, before.stop, ask.stop))
    for a, b in pairwise(asks):
        assert a.stop != b.stop or bool(a.kinds) >= bool(b.kinds), "read first, then look"


def test_whoever_stands_at_the_far_end_begins_there():
    far = first_readings(came("reedbed-hide"), "other", "hide")
    assert far[0].stop == "hide" and far[0].walk_m == 0


def test_after_a_storm_every_arrestor_and_bond_is_looked_at():
    job = came("reedbed-hide")
    looked = [ask for ask in first_readings(job, "storm") if not ask.kinds]
    boxes = {box for ask in looked for box in ask.say.parts["boxes"]}
    arrestors = {box.id for box in job.state.job.boxes.values() if box.kind == "arrestor"}
    assert arrestors and arrestors <= boxes
    assert all(ask.say.parts["reason"] == "storm" for ask in looked)
    yearly = [ask for ask in first_readings(job, "yearly") if not ask.kinds]
    assert boxes <= {box for ask in yearly for box in ask.say.parts["boxes"]}
    assert not [ask for ask in first_readings(job, "fault") if not ask.kinds]


def test_after_a_storm_each_earth_that_was_read_is_read_again():
    _, doc = left(planned("reedbed-hide"), 5, ("volts", "milliamps", "mbps", "earth_ohms"))
    job = judge(read_job(back(doc)))
    earths = {ask.at for ask in first_readings(job, "storm") if ask.kind == "earth_ohms"}
    assert earths == set(job.state.job.earths)


def test_a_storm_makes_arrestors_likely():
    assert odds_of("arrestor.short", "storm") == pytest.approx(0.03 / 0.97)
    assert odds_of("arrestor.short", "yearly") == pytest.approx(0.001 / 0.999)
    assert odds_of("joint.wet", "yearly") == pytest.approx(0.04 / 0.96)
    assert odds_of("box.reversed", "yearly") == 0
    assert {row.mark for row in STORM.values()} == {"from memory"}


def test_a_reason_that_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="storm, yearly, fault, other"):
        first_readings(came("orchard-gate"), "weekly")


def test_nothing_is_asked_on_a_first_stay_nor_where_nothing_ran():
    _, doc = left(planned("orchard-gate"), 5)
    assert first_readings(judge(read_job(doc)), "storm") == ()
    bare = [{"what": "reading", "at": "C2", "kind": "loop_ohms", "value": 13.0}]
    doc = logged(planned("orchard-gate"), *bare, {"what": "leave", "open": []}, {"what": "visit"})
    assert readings(first_readings(judge(read_job(doc)), "other")) == []


def test_what_power_never_reached_is_not_asked_for():
    """Half built when it was left: what stands in front was read, the far end was not there."""
    bodies = [{"what": "reading", "at": "S.out", "kind": "volts", "value": 53.9}]
    doc = logged(planned("orchard-gate"), *bodies, {"what": "leave", "open": []}, {"what": "visit"})
    asked = {ask.at for ask in readings(first_readings(judge(read_job(doc)), "other"))}
    assert asked <= {"S.out"} and asked


def test_what_is_off_is_not_read_live():
    _, doc = left(planned("orchard-gate"), 5)
    off = {"what": "step", "step": "off.S", "state": "done"}
    on = {"what": "step", "step": "energise.S", "state": "done"}
    doc = back(doc)
    assert judge(read_job(logged(doc, off))).back.asks == ()
    assert judge(read_job(logged(doc, off, on))).back.asks


# ---------------------------------------------------------------- steps


def coming(judgement: Judgement) -> list[Any]:
    return [step for step in judgement.steps if step.kind in (AGAIN, LOOK_OVER)]


def test_a_first_stay_has_none_of_these_steps():
    _, doc = left(planned("reedbed-hide"), 5)
    judged = judge(read_job(doc))
    assert not coming(judged)
    assert not any(step.part == BACK for step in judged.steps)
    assert not [need for step in judged.steps for need in step.after if need.startswith(AGAIN)]


@pytest.mark.parametrize("reason", REASONS)
def test_each_ask_is_a_step_with_its_power_and_its_caution(reason):
    judged = came("reedbed-hide", reason)
    steps = coming(judged)
    assert len(steps) == len(judged.back.asks) > 0
    assert judged.back.asks == first_readings(judged, reason)
    for step in steps:
        assert step.holds is None and step.state == "open" and step.part == BACK
        if step.kind == AGAIN and step.asks.kind == "volts":
            assert step.power == "live" and step.caution.code == "caution-live"
            assert "break-out lead" in step.needs


def finished(name: str) -> dict[str, Any]:
    """A job on which all was done, or put aside, before it was left."""
    _, doc = left(planned(name), 5)
    log = doc["log"][:-1]
    steps = [step for step in judge(read_job(doc)).steps if step.state == "open"]
    states = {step.id: "not-here" if step.asks else "done" for step in steps}
    bodies = [{"what": "step", "step": ident, "state": to} for ident, to in states.items()]
    return logged({**doc, "log": log}, *bodies, {"what": "leave", "open": []})


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("reason", REASONS)
def test_a_return_begins_with_them(name, reason):
    """Nothing but what everybody does on arriving comes in front, and the copy comes behind."""
    judged = judge(read_job(back(finished(name), reason=reason)))
    order = [step.kind for step in worked(judged).steps if step.state == "open"]
    ours = len(coming(judged))
    assert ours == len(judged.back.asks) > 0
    assert set(order[: 2 + ours]) <= {"announce", "meter", AGAIN, LOOK_OVER}
    assert order.index("announce") < order.index(AGAIN) > order.index("meter")
    assert order.index("copy") > 1 + ours


def test_only_a_reading_of_this_stay_does_one():
    site, doc = left(planned("orchard-gate"), 5)
    before = judge(read_job(back(doc)))
    (at,) = {step.asks.at for step in coming(before) if step.asks.at == "E.in"}
    after = judge(read_job(met_again(doc, site, 50, only=(at,), kinds=("volts",))))
    done = {step.asks.at: step.state for step in coming(after)}
    assert done.pop(at) == "done" and set(done.values()) == {"open"}
    met = met_again(doc, site, 50, only=(at,), kinds=("volts",))
    same_stay = coming(judge(read_job(back(met))))
    assert [step.state for step in same_stay].count("done") == 1
    next_one = coming(judge(read_job(back(logged(met, {"what": "leave", "open": []})))))
    assert {step.state for step in next_one} == {"open"}


def test_one_can_be_put_aside_for_this_stay_alone():
    _, doc = left(planned("orchard-gate"), 5)
    step = coming(judge(read_job(back(doc))))[0]
    aside = {"what": "step", "step": step.id, "state": "not-here", "why": "locked"}
    put = logged(back(doc), aside)
    state = {one.id: one.state for one in judge(read_job(put)).steps}
    assert state[step.id] == "not-here"
    again = logged(put, {"what": "leave", "open": []}, {"what": "visit"})
    state = {one.id: one.state for one in judge(read_job(again)).steps}
    assert state.get(step.id, "open") == "open"


def test_the_set_stands_still_while_it_is_worked_through():
    """Whatever is read, and whether one goes on from an earlier judgement or begins anew."""
    site, doc = left(planned("reedbed-hide"), 5)
    doc = met_again(doc, site, 50, grown=("joint.high", "C4"), reason="storm")
    first = next(n for n, entry in enumerate(doc["log"]) if entry.get("reason")) + 1
    known = judge(read_job({**doc, "log": doc["log"][:first]}))
    asks = known.back.asks
    for end in range(first + 1, len(doc["log"]) + 1):
        file = read_job({**doc, "log": doc["log"][:end]})
        known = judge(file, known=known)
        assert known.back.asks == asks
    assert judge(file).back.asks == asks


def test_the_steps_that_were_done_stay_done():
    job, before = (
        came("reedbed-hide", "yearly"),
        judge(read_job(left(planned("reedbed-hide"), 5)[1])),
    )
    then = {step.id: step.state for step in before.steps}
    now = {step.id: step.state for step in job.steps}
    assert {name: now[name] for name in then} == then
