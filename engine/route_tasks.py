"""The steps of a job as plain numbers, for the search and the clock: tasks at stops.

What is a choice here is ``common practice``: a feed that nobody switched off is live; there
is one of each tool; the walk that powers up goes outwards, whatever else would be quicker.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from attrs import frozen

from engine.job import Job
from engine.network import Network
from engine.step import PARTS, Step
from engine.walks import PACE_M_PER_MIN, metres_between

SWITCH_MIN = 2.0
"""switching a feed off, or on again (job format, section 5: 4 for both)"""

TOOLS = ("ladder", "break-out lead", "known load", "far-end short")
"""what a step needs of which there is one, and which travels"""

LADDER = TOOLS.index("ladder")

DEAD, ANY, LIVE = -1, 0, 1
_POWER = {"dead": DEAD, "any": ANY, "live": LIVE}

OFF, NO_TURN, ON, OFF_AND_ON = -1, 0, 1, 2
_TURNS = {"off": OFF, "energise": ON, "cold": OFF_AND_ON}
"""steps that are switchings themselves, by their kind"""

Crew = tuple[tuple[int, int], ...]
"""people (0, 1) and the stop where each stands for a task; the first is at the task's stop"""


@frozen
class Tasks:
    """Every step a number, in the natural order; stops and feeds too. Times in minutes."""

    stop: tuple[int, ...]
    other: tuple[int, ...]
    """the stop of the other end of a step that is done at both ends, else -1"""
    part: tuple[int, ...]
    minutes: tuple[float, ...]
    needs: tuple[int, ...]
    """which tasks come before each, as bits; always lower numbers"""
    power: tuple[int, ...]
    feeds: tuple[int, ...]
    """the feeds that each lies under, as bits"""
    turn: tuple[int, ...]
    """what each does to its feed"""
    tools: tuple[tuple[int, ...], ...]
    """places in ``TOOLS``"""
    partner: tuple[bool, ...]
    """needs both people at its stop, when there are two"""
    walk: tuple[tuple[float, ...], ...]
    """minutes from stop to stop"""
    feed_stop: tuple[int, ...]

    @cached_property
    def rests(self) -> tuple[tuple[int, ...], ...]:
        """``needs`` as numbers"""
        return tuple(tuple(bits(needs)) for needs in self.needs)

    @cached_property
    def under(self) -> tuple[tuple[int, ...], ...]:
        """``feeds`` as numbers, where the task minds how they stand"""
        return tuple(
            tuple(bits(feeds)) if power or turn else ()
            for feeds, power, turn in zip(self.feeds, self.power, self.turn, strict=True)
        )

    @cached_property
    def crews(self) -> tuple[tuple[tuple[Crew, ...], ...], ...]:
        """For one person, and for two: who may do each task, and standing where."""
        alone = tuple((((0, stop),),) for stop in self.stop)
        return alone, tuple(
            (((0, stop), (1, other)), ((1, stop), (0, other)))
            if other >= 0
            else (((0, stop), (1, stop)),)
            if partner
            else (((0, stop),), ((1, stop),))
            for stop, other, partner in zip(self.stop, self.other, self.partner, strict=True)
        )

    def __len__(self) -> int:
        return len(self.stop)

    @property
    def all(self) -> int:
        """All tasks, as bits."""
        return (1 << len(self.stop)) - 1


def bits(mask: int) -> Iterator[int]:
    """The places of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def turning(feed: int, on: bool) -> int:
    """A switching between two steps, as it stands in an order: below 0, where no task is."""
    return -1 - (2 * feed + on)


def turned(item: int) -> tuple[int, bool]:
    """The feed of such a switching, and whether it goes on."""
    feed, on = divmod(-1 - item, 2)
    return feed, bool(on)


def footed(steps: Sequence[Step]) -> list[Step]:
    """The same order, but each step behind those it rests on.

    Of the steps whose footing is laid the first comes next. Steps that rest on each other
    in a ring have no such order; the first of them is taken as it stands.
    """
    place = {step.id: i for i, step in enumerate(steps)}
    waits = [
        {place[name] for name in step.after if name in place} - {i} for i, step in enumerate(steps)
    ]
    rests: list[list[int]] = [[] for _ in steps]
    for i, before in enumerate(waits):
        for j in before:
            rests[j].append(i)
    ready = [i for i, before in enumerate(waits) if not before]
    left = dict.fromkeys(range(len(steps)))
    out: list[Step] = []
    while left:
        i = heapq.heappop(ready) if ready else next(iter(left))
        if i not in left:
            continue
        del left[i]
        out.append(steps[i])
        for j in rests[i]:
            waits[j].discard(i)
            if not waits[j] and j in left:
                heapq.heappush(ready, j)
    return out


def in_order(
    job: Job, along: Mapping[str, int], row: Mapping[str, int], steps: list[Step]
) -> list[Step]:
    """The natural order: part by part, outwards by stop, back inwards for the last part.

    Of the steps whose footing is laid the first in that order comes next, so whatever a
    step rests on always comes before it.

    Parameters
    ----------
    along : place of each point along the run, from the feed outwards.
    row : place of each kind of step in the table of rules: the order within one stop.
    """
    outward = {stop.id: stop.at_m for stop in job.stops.values()}

    def key(step: Step) -> tuple[float | str, ...]:
        kind, _, of = step.id.partition(".")
        part = PARTS.index(step.part)
        metres = outward.get(step.stop, 0.0)
        if kind == "energise":
            return (part, -1.0, "", 0, of)
        if kind in ("volts", "link"):
            return (part, 0.0, "", along.get(of, len(along)), row[kind], of)
        if step.part == "load":
            return (part, row[kind], "", metres, of)
        return (part, -metres if step.part == "leave" else metres, step.stop, row[kind], of)

    return footed(sorted(steps, key=key))


def feeds_of_steps(
    job: Job, network: Network, steps: Sequence[Step]
) -> Mapping[str, frozenset[str]]:
    """The feeds (ids of sources and injectors) that each step lies under.

    By its box, or the ends of its span; a regenerating box hangs on the feed before it. A
    step of the whole site, and one at a place that no feed reaches, lies under all.
    """
    every = frozenset(box.id for box in job.boxes.values() if box.sheet.facts.feeds)
    roots: list[str] = []
    under: dict[str, set[str]] = {}
    for tree in network.trees:
        above = None if tree.box.sheet.facts.feeds else network.upstream_port(tree.box.id)
        root = tree.box.id if above is None else roots[network.where[above][0]]
        roots.append(root)
        for node in tree.nodes:
            under.setdefault(node.point.box, set()).add(root)
    out = {}
    for step in steps:
        span = job.spans.get(step.span or "")
        boxes = [span.a.box, span.b.box] if span else [step.box] if step.box else []
        out[step.id] = frozenset().union(*(under.get(box, ()) for box in boxes)) & every or every
    return out


def tasks_of(
    job: Job, steps: Sequence[Step], feeds: Mapping[str, frozenset[str]] | None = None
) -> Tasks:
    """The steps, which stand in their natural order (see ``footed``), as numbers.

    ``feeds`` says under which feeds a step lies; one that it leaves out lies under all.
    """
    fed = [box for box in job.boxes.values() if box.sheet.facts.feeds]
    feed = {box.id: i for i, box in enumerate(fed)}
    others = [_other(job, step) for step in steps]
    stops = list(
        dict.fromkeys(
            [step.stop for step in steps]
            + [stop for stop in others if stop]
            + [box.stop for box in fed]
        )
    )
    where = {stop: i for i, stop in enumerate(stops)}
    metres = metres_between(job, stops)
    every = (1 << len(fed)) - 1

    def under(step: Step) -> int:
        named = None if feeds is None else feeds.get(step.id)
        return every if named is None else sum(1 << feed[name] for name in named)

    turns = [_turn(step, feed) for step in steps]
    return Tasks(
        stop=tuple(where[step.stop] for step in steps),
        other=tuple(-1 if stop is None else where[stop] for stop in others),
        part=tuple(PARTS.index(step.part) for step in steps),
        minutes=tuple(float(step.minutes) for step in steps),
        needs=_needs(steps),
        power=tuple(_POWER[step.power] for step in steps),
        feeds=tuple(
            1 << feed[step.id.partition(".")[2]] if turn else under(step)
            for step, turn in zip(steps, turns, strict=True)
        ),
        turn=tuple(turns),
        tools=tuple(
            tuple(TOOLS.index(name) for name in step.needs if name in TOOLS) for step in steps
        ),
        partner=tuple("partner" in step.needs for step in steps),
        walk=tuple(tuple(m / PACE_M_PER_MIN for m in row) for row in metres),
        feed_stop=tuple(where[box.stop] for box in fed),
    )


def _turn(step: Step, feeds: Mapping[str, int]) -> int:
    kind, _, of = step.id.partition(".")
    return _TURNS.get(kind, NO_TURN) if of in feeds else NO_TURN


def _other(job: Job, step: Step) -> str | None:
    """The stop where the partner stands while a step is done at both ends of its span."""
    span = job.spans.get(step.span or "") if step.both_ends else None
    if span is None:
        return None
    ends = {job.boxes[end.box].stop for end in (span.a, span.b)} - {step.stop}
    return min(ends) if ends else None


def _needs(steps: Sequence[Step]) -> tuple[int, ...]:
    """What each rests on; and of the live steps of powering up each on the one before."""
    place = {step.id: i for i, step in enumerate(steps)}
    out = []
    newest = 0
    for i, step in enumerate(steps):
        before = 0
        for name in step.after:
            if name in place:
                before |= 1 << place[name]
        if step.part == "power" and step.power == "live":
            before |= newest
            newest = 1 << i
        # steps in a ring rest on each other: the natural order settles which comes first
        out.append(before & (1 << i) - 1)
    return tuple(out)


def tidy(tasks: Tasks, order: list[int], done: int = 0) -> list[int]:
    """The same visits, but what is done with one other end in one go stands together."""
    out: list[int] = []
    visit: list[int] = []
    for i in order:
        if visit and (i < 0 or tasks.stop[visit[-1]] != tasks.stop[i]):
            out += _visit_in_order(tasks, visit, done)
            done |= sum(1 << j for j in visit)
            visit = []
        if i < 0:
            out.append(i)
        else:
            visit.append(i)
    return out + _visit_in_order(tasks, visit, done)


def _visit_in_order(tasks: Tasks, visit: list[int], done: int) -> list[int]:
    """A visit's tasks; those that turn a feed keep all in their places."""
    if sum(tasks.other[i] >= 0 for i in visit) < 2 or any(tasks.turn[i] for i in visit):
        return visit
    left = list(visit)
    out: list[int] = []
    while left:
        ready = [i for i in left if not tasks.needs[i] & ~done]
        there = tasks.other[out[-1]] if out else -1
        first = ready[0]
        if there < 0:
            # before the way to the other end: what else has to be done for the work on it
            waits = 0
            for i in reversed(left):
                if waits >> i & 1 or (tasks.other[i] >= 0 and tasks.other[i] == tasks.other[first]):
                    waits |= tasks.needs[i]
            first = next((i for i in ready if tasks.other[i] < 0 and waits >> i & 1), first)
        else:
            first = next((i for i in ready if tasks.other[i] == there), first)
        left.remove(first)
        out.append(first)
        done |= 1 << first
    return out
