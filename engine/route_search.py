"""The order of the work for one person: a beam of part-way plans, one move at a time.

A move is to go to a stop and do there all that can be done (of all parts of the work, or of
the earlier ones only), or to switch a feed. To leave undone what can be done where one
stands never saves minutes, so few moves are worth a look. Plans that have done the same,
stand at the same stop and have the same feeds on are one; the dearer one is dropped. Where
a layer of the beam is never full nothing is lost, and the plan is the best there is.

Besides minutes a plan pays for what makes an order hard to follow (``Price``); among plans
that cost the same the one nearer to the natural order is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from attrs import frozen

from engine.route_bound import FEW_STOPS, Bounds
from engine.route_clock import NOWHERE
from engine.route_tasks import ANY, DEAD, LADDER, LIVE, OFF, ON, SWITCH_MIN, Tasks, bits, turning

LADDER_MIN = 2.0
"""setting the ladder up once more at a stop that one comes back to (common practice)"""
NUDGE = 1e-9
"""what it costs a task to be done one place later, times how early it stands in the natural
order: breaks ties, never a minute"""
WIDE, NARROW = 96, 8
"""plans that are followed at once, at few stops and at many"""
NEAREST = 5
"""stops that are tried next, where there are many"""
KEPT = 5000
"""visits kept from one search for the next: some five searches of a large job"""


@frozen
class Start:
    """Where a search sets out: what is done, where one stands, which feeds are on."""

    done: int = 0
    at: int = NOWHERE
    on: int | None = None
    """None: all of them; what nobody switched off is live"""
    part: int = 0
    """the part of the work of the last task"""


class _Plan(NamedTuple):
    """A plan, part of the way."""

    cost: float
    done: int
    ready: int
    at: int
    on: int
    part: int
    before: _Plan | None
    tasks: tuple[int, ...]
    """what the last move did, in order; below 0 a switching (``turning``)"""
    stage: int
    """how many gates lie behind"""
    stops: int
    """where something is left to do in front of the next gate, as bits"""


class _Visit(NamedTuple):
    """What can be done at a stop in one go, first things first; the same for many plans."""

    tasks: tuple[int, ...]
    done: int
    """the same as bits"""
    ahead: tuple[int, ...]
    """what rests on it and is done elsewhere or at another time"""
    first: int
    """the part of the work that it begins with"""
    part: int
    """the part that it ends with"""
    parts: tuple[int, ...]
    """all of its parts but the last of them"""
    falls: int
    """how often it goes back to an earlier part"""
    earliness: int
    late: int
    """sums for ``NUDGE``: of how early each stands, and of that times its place in the visit"""
    across: float
    """minutes to other ends and back"""
    apart: int
    """what was done with an other end for which something is left to do here"""


class Search:
    """What the search looks up again and again about one job's tasks."""

    def __init__(self, tasks: Tasks) -> None:
        self.tasks = tasks
        self.bounds = Bounds(tasks)
        self.at_stop = self.bounds.at_stop
        count = len(tasks)
        self.up_to = [
            sum(1 << i for i in range(count) if tasks.part[i] <= part)
            for part in range(max(tasks.part, default=0) + 1)
        ]
        self.turns = sum(1 << i for i in range(count) if tasks.turn[i] in (OFF, ON))
        kinds: tuple[Callable[[int], bool], ...] = (
            lambda i: tasks.power[i] == DEAD and tasks.turn[i] not in (OFF, ON),
            lambda i: tasks.power[i] == LIVE and tasks.turn[i] not in (OFF, ON),
            lambda i: tasks.turn[i] == OFF,
            lambda i: tasks.turn[i] == ON,
        )
        self.dead, self.live, self.turning_off, self.turning_on = (
            [
                sum(1 << i for i in range(count) if is_kind(i) and tasks.feeds[i] >> feed & 1)
                for feed in range(len(tasks.feed_stop))
            ]
            for is_kind in kinds
        )
        """under each feed: the tasks that want it off, or on; those that turn it off, or on"""
        self.across: dict[tuple[int, int], int] = {}
        """the tasks that are done between the same two ends"""
        for i in range(count):
            if tasks.other[i] >= 0:
                ends = tasks.stop[i], tasks.other[i]
                self.across[ends] = self.across.get(ends, 0) | 1 << i
        self.ladder = sum(1 << i for i in range(count) if LADDER in tasks.tools[i])
        self._fits: dict[int, int] = {}
        self._lean_on(self.bounds.direct)

    def _lean_on(self, needs: Sequence[int]) -> None:
        """What each task rests on: the nearest will do where nothing was done out of order."""
        self.needs = needs
        self.next = followers(needs)
        self._visits: dict[tuple[int, int, int], _Visit] = {}
        self._matters = list(self.at_stop)
        """for each stop: of what is done, all that decides what can be done there in one go"""
        for stop, here in enumerate(self.at_stop):
            for i in bits(here):
                self._matters[stop] |= needs[i]

    def fits(self, on: int) -> int:
        """The tasks that may be done with these feeds on, switchings aside."""
        if on not in self._fits:
            t = self.tasks
            self._fits[on] = sum(
                1 << i
                for i in range(len(t))
                if t.turn[i] not in (OFF, ON)
                and (
                    t.power[i] == ANY
                    or (t.power[i] == DEAD and not t.feeds[i] & on)
                    or (t.power[i] == LIVE and not t.feeds[i] & ~on)
                )
            )
        return self._fits[on]

    def best(self, start: Start, price: float, within: float = float("inf")) -> list[int] | None:
        """The rest of the tasks in order, and the switchings between them (``turning``).

        ``price`` is what going back to an earlier part of the work costs. None: there is
        nothing that costs less than ``within``, the work itself not counted. [min]
        """
        tasks, bounds = self.tasks, self.bounds
        every = tasks.all
        closed = not any(tasks.needs[i] & ~start.done for i in bits(start.done))
        if len(self._visits) > KEPT:  # every start leaves some behind
            self._visits.clear()
            bounds.forget()
        needs = bounds.direct if closed else tasks.needs
        if needs is not self.needs:
            self._lean_on(needs)
        ready = sum(
            1 << i
            for i in range(len(tasks))
            if not start.done >> i & 1 and not tasks.needs[i] & ~start.done
        )
        feeds = (1 << len(tasks.feed_stop)) - 1
        on = feeds if start.on is None else start.on
        # out of order, gates say nothing
        stage = bounds.stage(start.done) if closed else len(bounds.gates)
        left = bounds.left(start.done, stage)
        layer = [_Plan(0.0, start.done, ready, start.at, on, start.part, None, (), stage, left)]
        stops = sum(1 for mask in self.at_stop if mask & ~start.done)
        width = WIDE if stops <= FEW_STOPS else NARROW
        finished: _Plan | None = None
        most = within
        known: dict[tuple[int, int, int, int], float] = {}
        while layer:
            found: dict[tuple[int, int, int, int], _Plan] = {}
            for plan in layer:
                for one in self._moves(plan, price, stops > FEW_STOPS):
                    if one.done == every:
                        cost = one.cost + self._all_on(one.at, one.on)
                        if cost < most:
                            most, finished = cost, one
                        continue
                    key = (one.done, one.at, one.on, one.part)
                    if one.cost < known.get(key, most) and (
                        key not in found or one.cost < found[key].cost
                    ):
                        found[key] = one
            ranked = []
            for n, one in enumerate(found.values()):
                least = one.cost + bounds.ahead(one.stage, one.stops, one.at)
                if least < most:
                    ranked.append((least, n, one))
            ranked.sort(key=lambda row: row[:2])
            layer = [one for _, _, one in ranked[:width]]
            # only what is followed: the way by one that was dropped is still to be found
            known.update(((one.done, one.at, one.on, one.part), one.cost) for one in layer)
        if finished is not None:
            return _told(finished)
        if within < float("inf"):
            return None
        # where no way that was followed leads to the end, the natural order does
        return [i for i in range(len(tasks)) if not start.done >> i & 1]

    def _all_on(self, at: int, on: int) -> float:
        cost = 0.0
        for feed, stop in enumerate(self.tasks.feed_stop):
            if not on >> feed & 1:
                cost += SWITCH_MIN + (0.0 if at == NOWHERE else self.tasks.walk[at][stop])
                at = stop
        return cost

    def _moves(self, plan: _Plan, price: float, many: bool) -> Iterator[_Plan]:
        tasks, ready = self.tasks, plan.ready
        fits = self.fits(plan.on)
        row = None if plan.at == NOWHERE else tasks.walk[plan.at]
        doable = ready & fits
        stops = []
        seen = doable
        while seen:
            stop = tasks.stop[(seen & -seen).bit_length() - 1]
            seen &= ~self.at_stop[stop]
            stops.append(stop)
        if many and row is not None and len(stops) > NEAREST:
            first = stops[0]
            stops = sorted(stops, key=row.__getitem__)[:NEAREST]
            if first not in stops:
                stops.append(first)
        for stop in stops:
            walk = 0.0 if row is None else row[stop]
            allowed = fits & self.at_stop[stop]
            visit = self._visit(plan, stop, allowed)
            yield self._gone(plan, stop, walk, visit, price)
            masks = [self.up_to[part] for part in visit.parts]
            if visit.apart:  # rather walk to the other end once, later
                masks.insert(0, ~visit.apart)
            for mask in masks:
                if doable & allowed & mask:
                    less = self._visit(plan, stop, allowed & mask)
                    yield self._gone(plan, stop, walk, less, price)
        for i in bits(ready & self.turns):
            yield self._turn(plan, i, row, price)
        yield from self._switchings(plan, row)

    def _gone(self, plan: _Plan, stop: int, walk: float, visit: _Visit, price: float) -> _Plan:
        """A plan with one more visit."""
        cost = plan.cost + walk + visit.across
        cost += price * (visit.falls + (visit.first < plan.part))
        cost += NUDGE * (plan.done.bit_count() * visit.earliness + visit.late)
        if (
            self.ladder & visit.done & plan.ready
            and plan.at != stop
            and plan.done & self.ladder & self.at_stop[stop]
        ):
            cost += LADDER_MIN
        done = plan.done | visit.done
        ready = plan.ready & ~visit.done
        needs = self.needs
        for j in visit.ahead:
            if not needs[j] & ~done and not done >> j & 1:
                ready |= 1 << j
        rest = self.bounds.passed(plan.stage, plan.stops, done, stop)
        return _Plan(cost, done, ready, stop, plan.on, visit.part, plan, visit.tasks, *rest)

    def _visit(self, plan: _Plan, stop: int, allowed: int) -> _Visit:
        """Do there what can be done and is allowed."""
        key = plan.ready & allowed, allowed, plan.done & self._matters[stop]
        if key not in self._visits:
            self._visits[key] = self._first_things_first(stop, *key)
        return self._visits[key]

    def _first_things_first(self, stop: int, here: int, allowed: int, done: int) -> _Visit:
        """The same, from what is ready here and what is done of all that matters here."""
        tasks, needs, following, count = self.tasks, self.needs, self.next, len(self.tasks)
        before = done
        ahead: dict[int, None] = {}
        chosen: list[int] = []
        while here:
            low = here & -here
            i = low.bit_length() - 1
            here ^= low
            done |= low
            chosen.append(i)
            for j in following[i]:
                if not allowed >> j & 1:
                    ahead[j] = None
                elif not needs[j] & ~done and not done >> j & 1:
                    here |= 1 << j
        parts = [tasks.part[i] for i in chosen]
        early = [count - i for i in chosen]
        others = {tasks.other[i] for i in chosen} - {-1}
        apart = 0
        for other in others:
            if self.across[stop, other] & ~done:
                apart |= self.across[stop, other]
        return _Visit(
            tasks=tuple(chosen),
            done=done ^ before,
            ahead=tuple(ahead),
            first=parts[0],
            part=parts[-1],
            parts=tuple(sorted(set(parts))[:-1]),
            falls=sum(b < a for a, b in pairwise(parts)),
            earliness=sum(early),
            late=sum(n * one for n, one in enumerate(early)),
            across=sum(2 * tasks.walk[stop][other] for other in sorted(others)),
            apart=apart,
        )

    def _turn(self, plan: _Plan, i: int, row: Sequence[float] | None, price: float) -> _Plan:
        """A step that switches a feed."""
        tasks = self.tasks
        stop, part, feed = tasks.stop[i], tasks.part[i], tasks.feeds[i]
        done = plan.done | 1 << i
        ready = plan.ready ^ 1 << i
        for j in self.next[i]:
            if not self.needs[j] & ~done and not done >> j & 1:
                ready |= 1 << j
        cost = plan.cost + (0.0 if row is None else row[stop])
        cost += price if part < plan.part else 0.0
        cost += NUDGE * plan.done.bit_count() * (len(tasks) - i)
        on = plan.on & ~feed if tasks.turn[i] == OFF else plan.on | feed
        rest = self.bounds.passed(plan.stage, plan.stops, done, stop)
        return _Plan(cost, done, ready, stop, on, part, plan, (i,), *rest)

    def _before(self, tasks: int) -> int:
        """All that lies in front of some tasks."""
        out = 0
        for i in bits(tasks):
            out |= self.bounds.before[i]
        return out

    def _switchings(self, plan: _Plan, row: Sequence[float] | None) -> Iterator[_Plan]:
        """Switch a feed over for what waits for it, unless a step that does so can be done.

        For what can be done only later a feed is switched where no step is left that does so;
        and it goes on again when nothing is left that wants it off.
        """
        tasks, left = self.tasks, ~plan.done
        for feed, stop in enumerate(tasks.feed_stop):
            on = plan.on >> feed & 1
            wanting = (self.dead if on else self.live)[feed] & left
            turning_it = (self.turning_off if on else self.turning_on)[feed] & left
            if not wanting and (on or self.dead[feed] & left):
                continue
            soon = plan.ready | self._before(turning_it)
            if turning_it & plan.ready or (turning_it and not wanting & soon):
                continue
            yield plan._replace(
                cost=plan.cost + SWITCH_MIN + (0.0 if row is None else row[stop]),
                at=stop,
                on=plan.on ^ 1 << feed,
                before=plan,
                tasks=(turning(feed, not on),),
            )


def followers(needs: Sequence[int]) -> list[list[int]]:
    """The tasks that wait for each."""
    out: list[list[int]] = [[] for _ in needs]
    for i, before in enumerate(needs):
        for j in bits(before):
            out[j].append(i)
    return out


def _told(plan: _Plan | None) -> list[int]:
    moves = []
    while plan is not None:
        moves.append(plan.tasks)
        plan = plan.before
    return [i for move in reversed(moves) for i in move]
