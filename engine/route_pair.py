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
from operator import ne
from typing import NamedTuple

from engine.route_clock import NOWHERE, Clock
from engine.route_search import Search, followers
from engine.route_tasks import OFF, ON, Crew, Tasks

CHANGES = 16_000
"""tasks that may be put in again, in all, while looking for something better"""
MOST, EACH = 250, 20
"""changes tried at most, in all and for each task"""
STRIDE = 24
"""tasks from one mark on the way to the next"""
URGENCY = (0.1, 0.3)
"""what a minute of work behind a task counts against a minute of waiting for it"""
WALKING = (0.2, 2.0)
"""what a minute of walking counts against a minute of waiting"""
MANY = 300
"""from so many tasks on only the first of ``WALKING`` is tried: the other saves next to nothing"""


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
    clock.leave_on()
    return _sum(clock, order)


def _sum(clock: Clock, order: Sequence[int]) -> Shared:
    """What a clock comes to at its end."""
    crew = {slot.task: slot.crew for slot in clock.slots}
    start = {slot.task: slot.start for slot in clock.slots}
    if min(order, default=0) >= 0:  # what begins first stands first, so that visits can be told
        order = sorted(order, key=start.__getitem__)
    return Shared(
        clock.minutes,
        clock.walked,
        tuple(order),
        tuple(crew.get(i) for i in order),
    )


def best_for_two(search: Search, past: Clock, orders: Sequence[Sequence[int]]) -> Shared:
    """The best way to share the rest of the work; ``orders`` are those for one, the best first."""
    tasks, alone = search.tasks, orders[0]
    found = [_shared(past, order, [None] * len(order)) for order in orders]
    rules = product(URGENCY, WALKING if len(tasks) < MANY else WALKING[:1])
    found += [_dispatched(search, past, *rule) for rule in rules]
    best = _improved(search, past, min(found, key=lambda one: one[:2]))
    # one does everything but what needs both at one stop; the other waits
    lone = _shared(past, alone, [_alone(tasks, i) for i in alone])
    return min(best, lone, key=lambda one: one[:2])


def _alone(tasks: Tasks, i: int) -> Crew | None:
    if i < 0:
        return None
    able = tasks.crews[1][i][0]
    return able if tasks.partner[i] and tasks.other[i] < 0 else able[:1]


def _dispatched(search: Search, past: Clock, urgency: float, walking: float) -> Shared:
    """Whoever can begin something first does, the most urgent thing first."""
    tasks = search.tasks
    behind = search.bounds.behind_minutes()
    following = followers(tasks.needs)
    clock = past.copy()
    done = sum(1 << slot.task for slot in past.slots)
    ready = sum(
        1 << i for i, needs in enumerate(tasks.needs) if not done >> i & 1 and not needs & ~done
    )
    footing = [0.0] * len(tasks)
    """when what a task rests on is done"""
    while ready:
        least = float("inf")
        best: tuple[int, Crew] = (-1, ())
        for i in _worth_a_look(search, ready):
            switched = clock.power_missing(i) or tasks.turn[i] in (OFF, ON)
            ahead = (1000.0 if switched else 0.0) - urgency * behind[i]
            for crew in tasks.crews[1][i]:
                # what it costs at the least, before the tools and the feeds are looked at
                walked, start = 0.0, footing[i]
                for person, place in crew:
                    here = clock.at[person]
                    step = 0.0 if here == NOWHERE else tasks.walk[here][place]
                    walked += step
                    start = max(start, clock.free[person] + step)
                if ahead + start + walking * walked > least:
                    continue
                start, _, walked = clock.offer(i, crew)
                cost = ahead + start + walking * walked
                if cost < least or (cost == least and i < best[0]):
                    least, best = cost, (i, crew)
        i, crew = best
        clock.do(i, None if clock.power_missing(i) else crew)
        done |= 1 << i
        ready ^= 1 << i
        for j in following[i]:
            if not tasks.needs[j] & ~done and not done >> j & 1:
                ready |= 1 << j
                footing[j] = clock.ends[i]
    clock.leave_on()
    return _sum(clock, [slot.task for slot in clock.slots[len(past.slots) :]])


def _worth_a_look(search: Search, ready: int) -> Iterator[int]:
    """At each stop the first task that is ready, and the first that is a switching."""
    for group in (ready & ~search.turns, ready & search.turns):
        while group:
            i = (group & -group).bit_length() - 1
            yield i
            group &= ~search.at_stop[search.tasks.stop[i]]


class _Trail:
    """The clock at some places along the best order, so that what is the same is not redone."""

    def __init__(self, past: Clock) -> None:
        self.marks: list[tuple[int, Clock]] = [(0, past)]
        """how many tasks are in, and the clock"""
        self.put_in = 0
        """tasks put in, in all"""

    def ended(self, best: Shared, order: Sequence[int], who: Sequence[Crew | None]) -> Clock:
        """The clock at the end of an order that begins like the best."""
        same = _alike(best, order, who)
        first, mark = next(mark for mark in reversed(self.marks) if mark[0] <= same)
        clock = mark.copy()
        self.put_in += len(order) - first
        last = self.marks[-1][0]
        for n in range(first, len(order)):
            if n == last + STRIDE and n <= same:
                self.marks.append((n, clock.copy()))
                last = n
            clock.do(order[n], who[n])
        clock.leave_on()
        return clock

    def follow(self, best: Shared, new: Shared) -> None:
        """Forget what is another way now."""
        same = _alike(best, new.order, new.crews)
        self.marks = [mark for mark in self.marks if mark[0] <= same]


def _alike(best: Shared, order: Sequence[int], who: Sequence[Crew | None]) -> int:
    """How many tasks are the same, and done by the same people, before the first that is not."""
    differs = *map(ne, best.order, order), True
    others = *map(ne, best.crews, who), True
    return min(differs.index(True), others.index(True))


def _improved(search: Search, past: Clock, best: Shared) -> Shared:
    """Small changes, the same ones for the same tasks, kept where they save time or a walk."""
    count = len(best.order)
    if count < 2:
        return best
    trail = _Trail(past)
    visit = tried = 0
    seed = 1
    visits = _visits(best)
    for _ in range(min(MOST, EACH * count)):
        if trail.put_in >= CHANGES:
            break
        order: Sequence[int]
        if tried < len(GIVEN) * len(visits):
            # every visit once round, till none is better off with the other person; the last
            # first, for what comes before it stays as it is
            here = visits[-1 - visit // len(GIVEN) % len(visits)]
            order, who = best.order, GIVEN[visit % len(GIVEN)](search, best, here)
            visit, tried = visit + 1, tried + 1
        else:
            # a plain row of numbers that look like chance (Lehmer 1951, modulus 2^31 - 1)
            seed = seed * 48271 % 2147483647
            order, who = _earlier(search, best, seed % count, seed // count)
        clock = trail.ended(best, order, who)
        saved = best.minutes - clock.minutes
        if saved > 1e-9 or (saved >= 0.0 and clock.walked < best.walked - 1e-9):
            one = _sum(clock, order)
            trail.follow(best, one)
            best, tried, visits = one, 0, _visits(one)
    return best


def _visits(best: Shared) -> list[list[int]]:
    """Places in the order of what one person, or both, do in a row where they stand."""
    out: list[list[int]] = []
    newest: dict[int, list[int]] = {}
    for n, crew in enumerate(best.crews):
        if crew is None:
            continue
        runs = [newest.get(person) for person, _ in crew]
        if runs[0] is not None and runs[0] is runs[-1] and best.crews[runs[0][-1]] == crew:
            runs[0].append(n)
            continue
        out.append([n])
        newest.update((person, out[-1]) for person, _ in crew)
    return out


def _swapped(search: Search, best: Shared, visit: list[int]) -> list[Crew | None]:
    """A visit given to the other person; of a meeting the two change ends."""
    who = list(best.crews)
    for n in visit:
        who[n] = next((c for c in search.tasks.crews[1][best.order[n]] if c != who[n]), who[n])
    return who


def _all_swapped(search: Search, best: Shared, visit: list[int]) -> list[Crew | None]:
    """The two change places from the beginning of a visit on."""
    return _swapped(search, best, [n for n in range(visit[0], len(best.order)) if best.crews[n]])


def _freed(search: Search, best: Shared, visit: list[int]) -> list[Crew | None]:
    """A visit for whoever ends it first."""
    return [None if n in visit else crew for n, crew in enumerate(best.crews)]


GIVEN = (_swapped, _all_swapped, _freed)
"""how a visit may change hands"""


def _earlier(
    search: Search, best: Shared, at: int, dice: int
) -> tuple[list[int], list[Crew | None]]:
    """What one crew does in a row, moved forwards past what it does not rest on."""
    order, who = list(best.order), list(best.crews)
    end = at + 1
    while end < len(order) and who[end] == who[at]:
        end += 1
    block, theirs = order[at:end], who[at:end]
    if dice % 2:
        theirs = [None] * len(block)
    mask = 0
    for i in block:
        mask |= search.bounds.before[i] if i >= 0 else -1
    wanted = dice // 2 % (at + 1)
    to = at
    while to > wanted and order[to - 1] >= 0 and not mask >> order[to - 1] & 1:
        to -= 1
    return (
        [*order[:to], *block, *order[to:at], *order[end:]],
        [*who[:to], *theirs, *who[to:at], *who[end:]],
    )
