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

CHANGES = 20_000
"""tasks that may be put in again, in all, while looking for something better"""
FEWEST, MOST = 24, 250
"""changes tried at least, and at most"""
URGENCY = (0.1, 0.3)
"""what a minute of work behind a task counts against a minute of waiting for it"""
WALKING = (0.2, 2.0)
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
    """Small changes, the same ones for the same tasks, kept where they save time or a walk."""
    count = len(best.order)
    if count < 2:
        return best
    left = max(FEWEST, min(MOST, CHANGES // count))
    visit = tried = 0
    seed = 1
    while left:
        left -= 1
        visits = _visits(best)
        if tried < len(GIVEN) * len(visits):
            # every visit once round, till none is better off with the other person
            here = visits[visit // len(GIVEN) % len(visits)]
            order, who = best.order, GIVEN[visit % len(GIVEN)](search, best, here)
            visit, tried = visit + 1, tried + 1
        else:
            # a plain row of numbers that look like chance (Lehmer 1951, modulus 2^31 - 1)
            seed = seed * 48271 % 2147483647
            order, who = _earlier(search, best, seed % count, seed // count)
        one = _shared(past, order, who)
        saved = best.minutes - one.minutes
        if saved > 1e-9 or (saved >= 0.0 and one.walked < best.walked - 1e-9):
            best, tried = one, 0
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
        who[n] = next((c for c in crews(search.tasks, best.order[n], 2) if c != who[n]), who[n])
    return who


def _all_swapped(search: Search, best: Shared, visit: list[int]) -> list[Crew | None]:
    """The two change places from the beginning of a visit on."""
    return _swapped(search, best, [n for n in range(visit[0], len(best.order)) if best.crews[n]])


def _freed(search: Search, best: Shared, visit: list[int]) -> list[Crew | None]:
    """A visit for whoever ends it first."""
    return [None if n in visit else crew for n, crew in enumerate(best.crews)]


GIVEN = (_swapped, _all_swapped, _freed)
"""how a visit may change hands"""


def _earlier(search: Search, best: Shared, at: int, dice: int):
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
