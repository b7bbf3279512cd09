"""The clock of the work: given an order, when each step begins, who does it, who walks where.

``common practice``, and so a choice:

- Alone, a step at both ends of a span is begun and ended at its stop, with one walk to the
  other end and back; steps of one span done in a row share that walk. Two people meet: one
  at each end, both busy till it is done.
- A feed is switched at its own stop, by whoever is there first, and only when nobody has
  his hands on what it feeds. Whoever switched one off for the work switches it on again.
- There is one of each tool. It stays with the one who used it last, until the other fetches
  it from the stop where it was used.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import NamedTuple

from engine.route_tasks import (
    DEAD,
    LADDER,
    LIVE,
    NO_TURN,
    OFF,
    OFF_AND_ON,
    ON,
    SWITCH_MIN,
    Crew,
    Tasks,
    bits,
    turned,
)

NOWHERE = -1
"""before the first step: the way to the site is no part of the plan"""


class Slot(NamedTuple):
    """A task done."""

    task: int
    crew: Crew
    start: float
    end: float


class Turn(NamedTuple):
    """A feed switched between two steps."""

    feed: int
    on: bool
    person: int
    start: float


class Clock:
    """Tasks are put in one behind the other; none is put in front of what is there."""

    def __init__(self, tasks: Tasks, people: int) -> None:
        self.tasks = tasks
        self.people = people
        self.at = [NOWHERE] * people
        self.free = [0.0] * people
        self.last = [NOWHERE] * people
        """the stop of each one's last task"""
        self.span: list[tuple[int, int] | None] = [None] * people
        """the two ends between which a lone person has just been to and fro"""
        self.ends = [0.0] * len(tasks)
        count = len(tasks.feed_stop)
        self.on = (1 << count) - 1
        self.since = [0.0] * count
        self.hands_off = [0.0] * count
        """till when the work goes on for which the feed is off"""
        self.hands_on = [0.0] * count
        self.tool: dict[int, tuple[int, int, float]] = {}
        """who used it last, where, till when"""
        self.slots: list[Slot] = []
        self.turns: list[Turn] = []
        self.walked = 0.0
        """minutes walked, of all people"""
        self.between = 0.0
        """minutes from the place of each task to that of the next, as if nothing lay between"""
        self.ladder: set[int] = set()
        """where it was set up"""
        self.set_up_again = 0
        """how often the ladder is set up at a stop that one comes back to"""

    def copy(self) -> Clock:
        """One that goes on by itself."""
        other = copy.copy(self)
        for name, value in vars(self).items():
            if isinstance(value, (list, dict, set)):
                setattr(other, name, value.copy())
        return other

    @property
    def minutes(self) -> float:
        """The end of the last."""
        return max(self.free, default=0.0)

    def power_missing(self, i: int) -> int:
        """The feeds that stand the wrong way for a task, as bits."""
        tasks = self.tasks
        if tasks.turn[i] in (OFF, ON):
            return 0
        if tasks.power[i] == DEAD:
            return tasks.feeds[i] & self.on
        return tasks.feeds[i] & ~self.on if tasks.power[i] == LIVE else 0

    def offer(self, i: int, crew: Crew) -> tuple[float, float, float]:
        """Start, end and minutes walked, if these people did a task next."""
        return self._offer(i, crew, self._ready(i))

    def _ready(self, i: int) -> float:
        """From when on a task can be done, whoever does it."""
        tasks = self.tasks
        start, ends = 0.0, self.ends
        for j in tasks.rests[i]:
            if ends[j] > start:
                start = ends[j]
        turn = tasks.turn[i]
        for feed in tasks.under[i]:
            start = max(start, self.since[feed])
            if turn in (OFF, OFF_AND_ON):
                start = max(start, self.hands_on[feed])
            if turn in (ON, OFF_AND_ON):
                start = max(start, self.hands_off[feed])
        return start

    def _offer(self, i: int, crew: Crew, start: float) -> tuple[float, float, float]:
        """What ``offer`` gives, of a task that can be done from ``start`` on."""
        tasks = self.tasks
        walked, tools = 0.0, tasks.tools[i]
        for person, place in crew:
            if tools:
                free, step = self._arrival(person, place, tools)
                tools = ()
            else:
                here = self.at[person]
                step = 0.0 if here == NOWHERE else tasks.walk[here][place]
                free = self.free[person] + step
            if free > start:
                start = free
            walked += step
        across = 0.0 if tasks.other[i] < 0 else self._across(i, crew)
        return start, start + tasks.minutes[i] + across, walked + across

    def _across(self, i: int, crew: Crew) -> float:
        """A lone person's minutes to the other end of such a task and back."""
        stop, other = self.tasks.stop[i], self.tasks.other[i]
        if len(crew) > 1 or self.span[crew[0][0]] == (stop, other):
            return 0.0
        return 2 * self.tasks.walk[stop][other]

    def _arrival(self, person: int, place: int, tools: Sequence[int]) -> tuple[float, float]:
        """When a person can be at a place with these tools, and the minutes walked for it."""
        walk, here, time = self.tasks.walk, self.at[person], self.free[person]
        walked = 0.0
        for tool in tools:
            user, left, till = self.tool.get(tool, (person, place, 0.0))
            if user != person:
                step = 0.0 if here == NOWHERE else walk[here][left]
                walked, time, here = walked + step, max(time + step, till), left
        step = 0.0 if here == NOWHERE else walk[here][place]
        return time + step, walked + step

    def do(self, i: int, crew: Crew | None = None, weight: float = 0.5) -> None:
        """Put a task in: with these people, or those who end it first.

        A switching goes in the same way (``turning``), unless the feed stands so already.
        ``weight`` is what a minute of walking counts against a minute of waiting when the
        people are chosen.
        """
        if i < 0:
            feed, on = turned(i)
            if on != bool(self.on >> feed & 1):
                self._switch(feed)
            return
        tasks = self.tasks
        if missing := self.power_missing(i):
            for feed in bits(missing):
                self._switch(feed)
        if crew is None:
            crew, *others = tasks.crews[self.people - 1][i]
            ready = self._ready(i)
            start, end, walked = self._offer(i, crew, ready)
            for one in others:
                offer = self._offer(i, one, ready)
                if offer[1] + weight * offer[2] < end + weight * walked:
                    crew, (start, end, walked) = one, offer
        else:
            start, end, walked = self.offer(i, crew)
        stop, other, tools = tasks.stop[i], tasks.other[i], tasks.tools[i]
        self.walked += walked
        if LADDER in tools:
            self.set_up_again += stop in self.ladder and self.at[crew[0][0]] != stop
            self.ladder.add(stop)
        for person, place in crew:
            if self.last[person] != NOWHERE:
                self.between += tasks.walk[self.last[person]][place]
            self.at[person] = self.last[person] = place
            self.free[person] = end
            self.span[person] = (stop, other) if other >= 0 else None
        for tool in tools:
            self.tool[tool] = (crew[0][0], stop, end)
        self.ends[i] = end
        if tasks.under[i]:
            self._power(i, end)
        self.slots.append(Slot(i, crew, start, end))

    def settle(self, i: int, crew: Crew | None, put_aside: bool) -> None:
        """Put in a task that lies behind us; what power it had, it had."""
        if put_aside:
            self.slots.append(Slot(i, (), self.minutes, self.minutes))
            self.ends[i] = 0.0
            return
        for feed in bits(self.power_missing(i)):
            self.on ^= 1 << feed
        self.do(i, crew)

    def _power(self, i: int, end: float) -> None:
        power, turn = self.tasks.power[i], self.tasks.turn[i]
        for feed in self.tasks.under[i]:
            if turn != NO_TURN:
                self.since[feed] = end
                self.on = self.on & ~(1 << feed) if turn == OFF else self.on | 1 << feed
            elif power == DEAD:
                self.hands_off[feed] = max(self.hands_off[feed], end)
            elif power == LIVE:
                self.hands_on[feed] = max(self.hands_on[feed], end)

    def _switch(self, feed: int) -> None:
        """Switch a feed over, by the one who is done with it first."""
        place, on = self.tasks.feed_stop[feed], not self.on >> feed & 1
        quiet = max(self.hands_off[feed] if on else self.hands_on[feed], self.since[feed])
        offers = []
        for person in range(self.people):
            arrival, walked = self._arrival(person, place, ())
            offers.append((max(arrival, quiet), walked, person))
        start, walked, person = min(offers)
        self.at[person], self.free[person] = place, start + SWITCH_MIN
        self.span[person] = None
        self.walked += walked
        self.since[feed] = start + SWITCH_MIN
        self.on ^= 1 << feed
        self.turns.append(Turn(feed, on, person, start))

    def leave_on(self) -> None:
        """Switch on again what was switched off."""
        for feed in range(len(self.since)):
            if not self.on >> feed & 1:
                self._switch(feed)
