"""How much of the work is still ahead, at the least: bounds that the search leans on.

Some tasks are gates: nearly all of the work lies either in front of them or behind them
(the look before the power comes on, the readings from the feed outwards). The walk is the
walk to the next gate by all stops where something in front of it is left, and from gate to
gate. A walk by some stops is never less than the least tree over them, nor than the way out
to the farthest and on from there.
"""

from __future__ import annotations

from functools import cached_property

from engine.route_clock import NOWHERE
from engine.route_tasks import Tasks, bits

FEW_STOPS = 8
"""up to so many stops a bound is worth the time of a least tree"""
GATE_SHARE = 0.6
"""of all tasks must lie in front of a gate or behind it"""


class Bounds:
    """What lies in front of what, and the least minutes to the end."""

    def __init__(self, tasks: Tasks) -> None:
        self.tasks = tasks
        count = len(tasks)
        self.at_stop = [0] * len(tasks.walk)
        """the tasks at each stop, as bits"""
        for i, stop in enumerate(tasks.stop):
            self.at_stop[stop] |= 1 << i
        self.before, self.direct = _closure(tasks)
        self.behind = [0] * count
        for i in reversed(range(count)):
            for j in bits(self.direct[i]):
                self.behind[j] |= 1 << i | self.behind[i]
        self._ahead: dict[tuple[int, int, int], float] = {}
        self._trees: dict[int, float] = {}
        self._ways_in: dict[int, float] = {}
        self._by_way_of: dict[tuple[int, int], list[tuple[float, int]]] = {}

    @cached_property
    def gates(self) -> list[int]:
        """Tasks that most of the work lies either in front of or behind, one behind another."""
        count = len(self.tasks)
        out: list[int] = []
        for i in range(count):
            compared = (self.before[i] | self.behind[i]).bit_count()
            if compared >= GATE_SHARE * count and (not out or self.before[i] >> out[-1] & 1):
                out.append(i)
        return out

    @cached_property
    def _gate_bits(self) -> int:
        return sum(1 << i for i in self.gates)

    @cached_property
    def _tails(self) -> list[float]:
        """Least minutes to walk from each gate to the end."""
        out = [0.0] * len(self.gates)
        for n in reversed(range(len(self.gates))):
            gate = self.gates[n]
            here = self.tasks.stop[gate]
            out[n] = self._bound(self._stops(self.behind[gate]), here, -1)
            if n + 1 < len(self.gates):
                nearer = self.gates[n + 1]
                within = self.behind[gate] & self.before[nearer]
                out[n] = max(
                    out[n],
                    self._least(self._stops(within), here, self.tasks.stop[nearer]) + out[n + 1],
                )
        return out

    def _stops(self, mask: int) -> int:
        """The stops of some tasks, as bits."""
        return sum(1 << v for v, here in enumerate(self.at_stop) if here & mask)

    def stage(self, done: int) -> int:
        """How many gates lie behind."""
        return (done & self._gate_bits).bit_count()

    def left(self, done: int, stage: int) -> int:
        """The stops where something is left to do in front of the next gate, as bits."""
        near = self.before[self.gates[stage]] if stage < len(self.gates) else -1
        return self._stops(self.tasks.all & ~done & near)

    def passed(self, stage: int, stops: int, done: int, stop: int) -> tuple[int, int]:
        """Stage and stops left of a plan that has just done something more at one stop."""
        if stage < len(self.gates) and done >> self.gates[stage] & 1:
            stage = self.stage(done)
            return stage, self.left(done, stage)
        near = self.before[self.gates[stage]] if stage < len(self.gates) else -1
        if self.at_stop[stop] & near & ~done:
            return stage, stops
        return stage, stops & ~(1 << stop)

    def ahead(self, stage: int, stops: int, at: int) -> float:
        """Never more minutes than are still to be walked."""
        if stage == len(self.gates):
            return self._least(stops, at, -1)
        return self._least(stops, at, self.tasks.stop[self.gates[stage]]) + self._tails[stage]

    def least_walk(self, people: int, aside: frozenset[int]) -> float:
        """Never more minutes than this many people walk, from wherever they begin."""
        every = list(bits(self._stops(self.tasks.all & ~sum(1 << i for i in aside))))
        least = self._tree(every, spared=people - 1)
        if people > 1 or aside or not self.gates:
            return least
        gate = self.gates[0]
        first = self._bound(self.left(0, 0), NOWHERE, self.tasks.stop[gate])
        return max(least, first + self._tails[0])

    def longest_row(self, aside: frozenset[int]) -> float:
        """Minutes of the longest row of tasks that rest on each other."""
        return max(self.behind_minutes(aside), default=0.0)

    def behind_minutes(self, aside: frozenset[int] = frozenset()) -> list[float]:
        """Minutes of the longest row of tasks that begins with each."""
        minutes = [0.0 if i in aside else m for i, m in enumerate(self.tasks.minutes)]
        out = list(minutes)
        for i in reversed(range(len(out))):
            for j in bits(self.direct[i]):
                out[j] = max(out[j], minutes[j] + out[i])
        return out

    def forget(self) -> None:
        """Let go of what was kept from one search for the next."""
        for kept in (self._ahead, self._trees, self._ways_in):
            kept.clear()

    def _least(self, stops: int, at: int, to: int) -> float:
        key = (stops, at, to)
        if key not in self._ahead:
            bound = self._rough if stops.bit_count() > FEW_STOPS else self._bound
            self._ahead[key] = bound(stops, at, to)
        return self._ahead[key]

    def _bound(self, stops: int, at: int, to: int) -> float:
        """A lower bound on a walk from ``at`` by all these stops, ending at ``to`` if not -1."""
        way = self.ways
        listed = list(bits(stops))
        if at == NOWHERE:
            over = max([way[s][to] for s in listed], default=0.0) if to >= 0 else 0.0
        elif to < 0:
            over = max([way[at][s] for s in listed], default=0.0)
        else:
            back = way[to]
            over = max([way[at][s] + back[s] for s in listed], default=way[at][to])
        every = list({*listed, *(end for end in (at, to) if end >= 0)})
        mask = sum(1 << stop for stop in every)
        if mask not in self._trees:
            self._trees[mask] = self._tree(every)
        return max(over, self._trees[mask])

    def _rough(self, stops: int, at: int, to: int) -> float:
        """A lower one without a tree, which costs too much time where the stops are many."""
        over = next(far for far, stop in self._farthest(at, to) if stops >> stop & 1)
        every = stops
        for end in (at, to):
            if end >= 0:
                every |= 1 << end
        if every not in self._ways_in:  # the way into each stop but the first
            near = [self._nearest[s] for s in bits(every)]
            self._ways_in[every] = sum(near) - max(near)
        return max(over, self._ways_in[every])

    def _farthest(self, at: int, to: int) -> list[tuple[float, int]]:
        """By way of each stop from ``at`` to ``to``, the farthest first."""
        if (at, to) not in self._by_way_of:
            here = self.ways[at] if at >= 0 else [0.0] * len(self.ways)
            there = self.ways[to] if to >= 0 else [0.0] * len(self.ways)
            over = [a + b for a, b in zip(here, there, strict=True)]
            self._by_way_of[at, to] = sorted(
                ((minutes, stop) for stop, minutes in enumerate(over)), reverse=True
            )
        return self._by_way_of[at, to]

    def _tree(self, stops: list[int], spared: int = 0) -> float:
        """The least tree over these stops, without its longest ways if some are spared.

        No walk by all of them is shorter; nor are two walks without the longest way.
        """
        if len(stops) < 2:
            return 0.0
        way, taken = self.ways, []
        reach = {s: way[stops[0]][s] for s in stops[1:]}
        while reach:
            here = min(reach, key=reach.__getitem__)
            taken.append(reach.pop(here))
            row = way[here]
            for s, metres in reach.items():
                if row[s] < metres:
                    reach[s] = row[s]
        return sum(sorted(taken)[: len(taken) - spared])

    @cached_property
    def ways(self) -> list[list[float]]:
        """Minutes between stops when one may go by way of others."""
        out = [list(row) for row in self.tasks.walk]
        for k, through in enumerate(out):
            for row in out:
                first = row[k]
                for j, more in enumerate(through):
                    if first + more < row[j]:
                        row[j] = first + more
        return out

    @cached_property
    def _nearest(self) -> list[float]:
        return [
            min((m for t, m in enumerate(row) if t != s), default=0.0)
            for s, row in enumerate(self.ways)
        ]


def _closure(tasks: Tasks) -> tuple[list[int], list[int]]:
    """What lies before each task, near and far; and the nearest of it, which implies the rest."""
    before: list[int] = []
    direct: list[int] = []
    for needs in tasks.needs:
        far = 0
        for j in bits(needs):
            far |= before[j]
        before.append(needs | far)
        direct.append(needs & ~far)
    return before, direct
