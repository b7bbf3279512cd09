"""In which order the steps are done: the least minutes for one or two people.

The natural order (part by part, outwards) is where the search sets out from, and what is
kept where another would save little. What was done stays in front as it was done; the rest
stays as it was planned before the first step, unless what was done in between cost so much
that another order is worth having.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple, overload

from attrs import frozen

from engine.job import Job
from engine.route_bound import FEW_STOPS
from engine.route_clock import Clock
from engine.route_pair import best_for_two
from engine.route_search import Search, Start
from engine.route_tasks import ANY, LIVE, OFF, ON, Crew, Tasks, bits, footed, tasks_of, tidy, turned
from engine.step import Step
from engine.walks import PACE_M_PER_MIN

GAIN_SHARE, GAIN_MIN = 0.04, 15.0
"""the natural order is kept where the best saves less than this share, or these minutes"""
SURPRISE_MIN = 3.0
"""minutes that going back to an earlier part of the work must save, each time"""
NOBODY: Mapping[int, Crew | None] = MappingProxyType({})
"""nothing said of who does what"""
AGAIN_MIN = 3.0
"""minutes that a new order of the rest must save before the list changes"""


@frozen
class Shift:
    """When a step begins and ends, from the first step on [min], and who does it."""

    start: float
    end: float
    who: tuple[int, ...]
    """1 and 2; for a step at both ends the first stands at the step's stop. Nobody: put aside"""


@frozen
class Switching:
    """A feed switched between two steps, for the next or for one that comes later."""

    feed: str
    """the box"""
    stop: str
    on: bool
    before: str | None
    """what the same person does next; None: the last of it, the feed is left on"""
    who: int
    start: float


@frozen
class Work:
    """The work of a job: its steps in the order to be done, by whom and when."""

    steps: tuple[Step, ...]
    listed: tuple[Step, ...]
    """the same as a list in which nothing jumps: what was done out of turn keeps its place, as
    long as the rest is still the plan of the first minute"""
    shifts: Mapping[str, Shift]
    people: int
    minutes: float
    """work, walks and waiting, to the end of the last"""
    minutes_left: float
    """of them behind the last step that is done"""
    walk_m: float
    """metres between the stops of successive steps, of each person, summed"""
    besides_m: float
    """metres walked beside: within steps to the other end, alone; to switches and tools"""
    switchings: tuple[Switching, ...]
    bound: float
    """no order takes fewer minutes than this"""


def plan_work(
    job: Job,
    steps: Sequence[Step],
    people: int = 1,
    done: Sequence[str] = (),
    feeds: Mapping[str, frozenset[str]] | None = None,
) -> Work:
    """The order with the least minutes that one can still follow.

    Parameters
    ----------
    steps : in their natural order (``in_order``).
    people : 1 or 2.
    done : the steps that are done or put aside, in that order; they come first, as they
        were done. What is ``not-here`` costs neither minutes nor walks.
    feeds : the feeds that each step lies under (``feeds_of_steps``); without it, all.
    """
    steps = footed(steps)
    # the same tasks as ever have what was derived from them
    tasks = _search(tasks_of(job, steps, feeds)).tasks
    place = {step.id: i for i, step in enumerate(steps)}
    aside = frozenset(i for i, step in enumerate(steps) if step.state == "not-here")
    behind = tuple(dict.fromkeys([place[name] for name in done if name in place] + sorted(aside)))
    clock, rest, who = _followed(tasks, people, behind, aside)
    past = clock.minutes
    clock = _run(clock, rest, who)
    settled = {i: n for n, i in enumerate(behind)}
    slots = sorted(
        enumerate(clock.slots),
        key=lambda row: (settled.get(row[1].task, len(settled)), row[1].start, row[0]),
    )
    fed = [box for box in job.boxes.values() if box.sheet.facts.feeds]
    in_order = tuple(slot.task for _, slot in slots)
    first = _first(tasks, people).order
    stands = [i for i in first if i not in settled] == [i for i in in_order if i not in settled]
    return Work(
        steps=tuple(steps[i] for i in in_order),
        listed=tuple(steps[i] for i in (first if stands else in_order)),
        shifts={
            steps[slot.task].id: Shift(
                slot.start, slot.end, tuple(person + 1 for person, _ in slot.crew)
            )
            for _, slot in slots
        },
        people=people,
        minutes=clock.minutes,
        minutes_left=clock.minutes - past,
        # a thousandth of a millimetre is nobody's walk
        walk_m=round(clock.between * PACE_M_PER_MIN, 6),
        besides_m=round((clock.walked - clock.between) * PACE_M_PER_MIN, 6),
        switchings=tuple(
            Switching(
                fed[turn.feed].id,
                fed[turn.feed].stop,
                turn.on,
                next(
                    (
                        steps[slot.task].id
                        for _, slot in slots
                        if turn.person in dict(slot.crew) and slot.start >= turn.start
                    ),
                    None,
                ),
                turn.person + 1,
                turn.start,
            )
            for turn in clock.turns
        ),
        bound=least_minutes(tasks, people, aside),
    )


def natural_minutes(
    job: Job, steps: Sequence[Step], feeds: Mapping[str, frozenset[str]] | None = None
) -> float:
    """Minutes for one person who does the steps in their natural order."""
    tasks = tasks_of(job, footed(steps), feeds)
    return _minutes(Clock(tasks, 1), range(len(tasks)))


def forget() -> None:
    """Forget the plans that were made, for measuring."""
    for kept in (_search, _first, _alone, _anew):
        kept.cache_clear()


# ---------------------------------------------------------------- the plan before the first step


class _Plan(NamedTuple):
    """Tasks in order, switchings between them, and who does each; None: who ends it first."""

    order: tuple[int, ...]
    crews: tuple[Crew | None, ...]
    price: float
    """minutes that going back to an earlier part of the work is held to cost"""
    minutes: float


@lru_cache(maxsize=8)
def _search(tasks: Tasks) -> Search:
    return Search(tasks)


@lru_cache(maxsize=16)
def _first(tasks: Tasks, people: int) -> _Plan:
    """The whole work, nothing done."""
    alone, orders = _alone(tasks)
    if people == 1:
        return alone
    best = best_for_two(_search(tasks), Clock(tasks, 2), orders)
    who = dict(zip(best.order, best.crews, strict=True))
    minutes = _minutes(Clock(tasks, 2), best.order, who)
    return _Plan(best.order, best.crews, alone.price, minutes)


@lru_cache(maxsize=8)
def _alone(tasks: Tasks) -> tuple[_Plan, tuple[tuple[int, ...], ...]]:
    """The whole work for one; and all orders that were looked at, the chosen one first."""
    past, price = Clock(tasks, 1), SURPRISE_MIN
    natural, chosen = tuple(range(len(tasks))), _for_one(tasks, past, price)
    runs = {order: _run(past, order) for order in (chosen, natural)}
    enough = 1 + GAIN_SHARE
    if runs[chosen].minutes > enough * least_minutes(tasks, 1):
        # at few stops there is time to look for one that saves less, too
        few = len(tasks.walk) <= FEW_STOPS
        within = float("inf") if few else runs[chosen].minutes / enough - sum(tasks.minutes)
        quick = _for_one(tasks, past, 0.0, within)
        if quick is not None:
            runs[quick] = _run(past, quick)
            if runs[chosen].minutes > enough * runs[quick].minutes:
                price, chosen = 0.0, quick
    least = min(clock.minutes for clock in runs.values())
    saved = runs[natural].minutes - least
    if saved <= min(GAIN_SHARE * least, GAIN_MIN) and not (
        runs[natural].set_up_again > runs[chosen].set_up_again
    ):
        chosen = natural
    plan = _Plan(chosen, (None,) * len(chosen), price, runs[chosen].minutes)
    return plan, tuple(dict.fromkeys((chosen, natural, *runs)))


@overload
def _for_one(tasks: Tasks, past: Clock, price: float) -> tuple[int, ...]: ...
@overload
def _for_one(tasks: Tasks, past: Clock, price: float, within: float) -> tuple[int, ...] | None: ...
def _for_one(
    tasks: Tasks, past: Clock, price: float, within: float = float("inf")
) -> tuple[int, ...] | None:
    """The rest for one person, who stands where the first of the people does.

    None: no order needs less than ``within``, the work itself not counted. [min]
    """
    done = sum(1 << slot.task for slot in past.slots)
    part = tasks.part[past.slots[-1].task] if past.slots else 0
    order = _search(tasks).best(Start(done, past.at[0], past.on, part), price, within)
    return None if order is None else tuple(tidy(tasks, order, done))


def _minutes(past: Clock, order: Sequence[int], who: Mapping[int, Crew | None] = NOBODY) -> float:
    """The end of the last, when the rest is done in this order."""
    return _run(past, order, who).minutes


def _run(past: Clock, order: Sequence[int], who: Mapping[int, Crew | None] = NOBODY) -> Clock:
    clock = past.copy()
    for i in order:
        clock.do(i, who.get(i))
    clock.leave_on()
    return clock


def least_minutes(tasks: Tasks, people: int, aside: frozenset[int] = frozenset()) -> float:
    """A lower bound on the minutes of the whole work, without what is put aside.

    For one: all work, once to each other end and back, the least walk. For two: half of the
    work and the walks, steps at both ends counted for both people; or the longest row of
    steps that rest on each other; but no more than for one, who may do it all.
    """
    bounds = _search(tasks).bounds
    left = [i for i in range(len(tasks)) if i not in aside]
    work = sum(tasks.minutes[i] for i in left)
    ends = {(tasks.stop[i], tasks.other[i]) for i in left if tasks.other[i] >= 0}
    across = sum(2 * tasks.walk[stop][other] for stop, other in ends)
    alone = work + across + bounds.least_walk(1, aside)
    if people == 1:
        return alone
    both = sum(tasks.minutes[i] for i in left if len(tasks.crews[1][i][0]) == 2)
    half = (work + both + bounds.least_walk(2, aside)) / 2
    return min(alone, max(half, bounds.longest_row(aside)))


# ---------------------------------------------------------------- the plan as the work goes on


def _followed(
    tasks: Tasks, people: int, behind: tuple[int, ...], aside: frozenset[int]
) -> tuple[Clock, tuple[int, ...], Mapping[int, Crew | None]]:
    """The clock when all that lies behind us is done, the rest in order, who does each step.

    The rest is planned anew only where one arrives at a stop out of turn and has lost
    minutes by it since the last plan: what was lost is the most that can be won back.
    """
    first = _first(tasks, people)
    rest: tuple[int, ...] = first.order
    who: Mapping[int, Crew | None] = dict(zip(first.order, first.crews, strict=True))
    expected = first.minutes
    past = Clock(tasks, people)
    on_plan = 0
    if min(rest, default=0) >= 0 and not aside:
        while on_plan < len(behind) and behind[on_plan] == rest[on_plan]:
            past.settle(behind[on_plan], who.get(behind[on_plan]), False)
            on_plan += 1
    rest = rest[on_plan:]
    for n, i in enumerate(behind[on_plan:], start=on_plan):
        in_turn = _in_turn(i, rest, who)
        rest = _without(tasks, rest, i)
        past.settle(i, who.get(i), i in aside)
        expected -= tasks.minutes[i] if i in aside else 0.0
        arrived = n == 0 or tasks.stop[behind[n - 1]] != tasks.stop[i]
        if in_turn or i in aside or not arrived:
            continue
        total = _minutes(past, rest, who)
        if total - expected < AGAIN_MIN:
            continue
        expected = total
        said = tuple(who.get(i) for i in behind[: n + 1])
        new, crew = _anew(tasks, people, behind[: n + 1], said, aside, first.price, rest)
        least = _minutes(past, new, crew)
        if total - least >= max(AGAIN_MIN, GAIN_SHARE * (total - past.minutes)):
            rest, who, expected = new, {**who, **crew}, least
    return past, rest, who


def _in_turn(i: int, rest: Sequence[int], who: Mapping[int, Crew | None]) -> bool:
    """Nothing that its people have to do stands in front of a task."""
    mine = _names(who[i])
    first = next(j for j in rest if j == i or (j >= 0 and mine & _names(who[j])))
    return first == i


def _without(tasks: Tasks, rest: Sequence[int], gone: int) -> tuple[int, ...]:
    """The rest without a task, and without switchings that nothing behind them asks for."""
    if min(rest, default=0) >= 0:  # no switchings: nothing else can have lost its use
        at = rest.index(gone)
        return (*rest[:at], *rest[at + 1 :])
    out: list[int] = []
    wanted: dict[int, bool | None] = {}
    for i in reversed(rest):
        if i == gone:
            continue
        if i < 0:
            feed, on = turned(i)
            if wanted.get(feed, True) != on:
                continue
            wanted[feed] = None
        elif tasks.turn[i] in (OFF, ON):
            wanted[tasks.feeds[i].bit_length() - 1] = None
        elif tasks.power[i] != ANY:
            for feed in bits(tasks.feeds[i]):
                wanted[feed] = tasks.power[i] == LIVE
        out.append(i)
    return tuple(reversed(out))


def _names(crew: Crew | None) -> set[int]:
    return {0} if crew is None else {person for person, _ in crew}


@lru_cache(maxsize=64)
def _anew(
    tasks: Tasks,
    people: int,
    behind: tuple[int, ...],
    said: tuple[Crew | None, ...],
    aside: frozenset[int],
    price: float,
    rest: tuple[int, ...],
) -> tuple[tuple[int, ...], Mapping[int, Crew | None]]:
    """The rest planned anew; ``said`` is who did what lies behind."""
    past = Clock(tasks, people)
    for i, crew in zip(behind, said, strict=True):
        past.settle(i, crew, i in aside)
    order = _for_one(tasks, past, price)
    if people == 1:
        return order, dict.fromkeys(order)
    best = best_for_two(_search(tasks), past, [order, rest])
    return best.order, dict(zip(best.order, best.crews, strict=True))
