"""The order of the work for two people: who does what, so that both are done soonest.

Tasks are put into the clock one by one, each with the people who end it first. What comes
out depends on the order in which they are put in, so several are tried: the orders for one
person, and those in which whoever is free takes what lies nearest and has most behind it.
The best is then changed a little, over and over, and kept where that saves time. One person
doing everything is compared with it, so two never need longer than one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import NamedTuple

from engine.route_clock import Clock, Crew, crews
from engine.route_search import Search
from engine.route_tasks import OFF, ON, Tasks, bits

CHANGES = 16_000
"""tasks that may be put in again, in all, while looking for something better"""
FEWEST, MOST = 24, 600
"""changes tried at least, and at most"""
URGENCY = (0.0, 0.1, 0.5)
"""what a minute of work behind a task counts against a minute of waiting for it"""
WALKING = (0.2, 1.0)
"""what a minute of walking counts against a minute of waiting"""


class Shared(NamedTuple):
    """An order of tasks, and who does each."""

    minutes: float
    walked: float
    order: tuple[int, ...]
    crews: tuple[Crew | None, ...]
    """None for a switching, which stands in the order too"""


def _shared(past: Clock, order: Sequence[int], who: Sequence[Crew | None]) -> Shared:
    """What comes of an order; where ``who`` has None, those do a task who end it first."""
    clock = past.copy()
    for i, crew in zip(order, who, strict=True):
        clock.do(i, crew)
    return _sum(clock, order)


def _sum(clock: Clock, order: Sequence[int]) -> Shared:
    clock.leave_on()
    crew = {slot.task: slot.crew for slot in clock.slots}
    return Shared(
        clock.minutes,
        clock.walked + clock.besides,
        tuple(order),
        tuple(crew.get(i) for i in order),
    )


def best_for_two(search: Search, past: Clock, orders: Sequence[Sequence[int]]) -> Shared:
    """The best way to share the rest of the work; ``orders`` are those for one, the best first."""
    tasks, alone = search.tasks, orders[0]
    found = [_shared(past, order, [None] * len(order)) for order in orders]
    found += [_dispatched(search, past, *rule) for rule in product(URGENCY, WALKING)]
    best = _improved(search, past, min(found, key=lambda one: one[:2]))
    # one does everything but what needs both at one stop; the other waits
    lone = _shared(past, alone, [_alone(tasks, i) for i in alone])
    return min(best, lone, key=lambda one: one[:2])


def _alone(tasks: Tasks, i: int) -> Crew | None:
    if i < 0:
        return None
    able = crews(tasks, i, 2)[0]
    return able if tasks.partner[i] and tasks.other[i] < 0 else able[:1]


def _dispatched(search: Search, past: Clock, urgency: float, walking: float) -> Shared:
    """Whoever can begin something first does, the most urgent thing first."""
    tasks = search.tasks
    behind = search.bounds.behind_minutes()
    clock = past.copy()
    done = sum(1 << slot.task for slot in past.slots)
    ready = sum(
        1 << i for i, needs in enumerate(tasks.needs) if not done >> i & 1 and not needs & ~done
    )
    while ready:
        best: tuple[tuple[float, int, int], int, Crew] | None = None
        for i in _worth_a_look(search, ready):
            missing = 1000.0 if clock.power_missing(i) or tasks.turn[i] in (OFF, ON) else 0.0
            for n, crew in enumerate(crews(tasks, i, 2)):
                start, _, walked = clock.offer(i, crew)
                key = (missing + start + walking * walked - urgency * behind[i], i, n)
                if best is None or key < best[0]:
                    best = (key, i, crew)
        _, i, crew = best
        clock.do(i, None if clock.power_missing(i) else crew)
        done |= 1 << i
        ready ^= 1 << i
        for j in bits(search.bounds.behind[i]):
            if not tasks.needs[j] & ~done and not done >> j & 1:
                ready |= 1 << j
    return _sum(clock, [slot.task for slot in clock.slots[len(past.slots) :]])


def _worth_a_look(search: Search, ready: int) -> Iterator[int]:
    """At each stop the first task that is ready, and the first that is a switching."""
    for here in search.at_stop:
        for group in (here & ~search.turns & ready, here & search.turns & ready):
            if group:
                yield (group & -group).bit_length() - 1


def _improved(search: Search, past: Clock, best: Shared) -> Shared:
    """Small changes, the same ones for the same tasks, kept where they save time."""
    count = len(best.order)
    if count < 2:
        return best
    seed = 1
    for _ in range(max(FEWEST, min(MOST, CHANGES // count))):
        # a plain row of numbers that look like chance (Lehmer 1951, modulus 2^31 - 1)
        seed = seed * 48271 % 2147483647
        at = seed % count
        seed = seed * 48271 % 2147483647
        order, who = _changed(search, best, at, seed)
        if order is None:
            continue
        one = _shared(past, order, who)
        if one[:2] < (best.minutes - 1e-9, 0.0) or (
            one.minutes <= best.minutes and one.walked < best.walked - 1e-9
        ):
            best = one
    return best


def _changed(search: Search, best: Shared, at: int, dice: int):
    """The visit that begins at a place, given to the other person or moved forwards."""
    tasks, count = search.tasks, len(best.order)
    end = at + 1
    while end < count and best.crews[end] == best.crews[at]:
        end += 1
    if best.order[at] < 0:
        return None, None
    order, who = list(best.order), list(best.crews)
    block, theirs = order[at:end], who[at:end]
    kind = dice % 3
    if kind != 1:  # the other person, the two change ends, or whoever is first
        for n, i in enumerate(block):
            others = [crew for crew in crews(tasks, i, 2) if crew != theirs[n]]
            theirs[n] = others[0] if others and kind == 0 else None
    if kind == 0:
        return [*order[:at], *block, *order[end:]], [*who[:at], *theirs, *who[end:]]
    wanted = dice // 3 % (at + 1)
    mask = 0
    for i in block:
        mask |= search.bounds.before[i]
    to = at
    while to > wanted and (order[to - 1] < 0 or not mask >> order[to - 1] & 1):
        to -= 1
    if to == at:
        return None, None
    return (
        [*order[:to], *block, *order[to:at], *order[end:]],
        [*who[:to], *theirs, *who[to:at], *who[end:]],
    )
