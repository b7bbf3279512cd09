"""The order of log entries: after all that their ``seen`` covers; clocks never decide."""

from __future__ import annotations

import heapq
import json
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import accumulate
from operator import or_

from attrs import define, evolve, field, frozen

from engine.entries import Entry, numbered
from engine.sliced import Steps, finish

Bits = int
"""a set of plan edits: the bits of their numbers"""
Tie = tuple[int, str, str]
"""what decides between entries that have not seen each other"""
A_SLICE = 200
"""entries between two yields"""


@frozen
class Arranged:
    """Entries in their order, each id once, and what was odd about them."""

    entries: tuple[Entry, ...]
    beside: tuple[Entry, ...] = ()
    """what else was written under an id that stands in ``entries``"""
    circled: frozenset[str] = frozenset()
    """entries that claim to have seen what comes after them"""


def ordered(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries in their order. Ties go by (count + greatest count seen, device, id).

    Entries whose ``seen`` contradict each other are taken in the order of the ties, so the
    result is always complete.
    """
    return finish(arranging(entries)).entries


def arranging(entries: Iterable[Entry]) -> Steps[Arranged]:
    """The entries in their order, with the twins and the contradictions among them; in steps."""
    standing, beside = one_each(tuple(entries))
    yield
    lines: dict[str, list[Entry]] = {}
    for entry in standing:
        lines.setdefault(entry.device, []).append(entry)
    counts: dict[str, list[int]] = {}
    for device, own in lines.items():
        own.sort(key=lambda entry: (entry.n, entry.id))
        counts[device] = [entry.n for entry in own]
    behind: dict[str, list[Entry]] = {entry.id: [] for entry in standing}
    waits = dict.fromkeys(behind, 0)
    for number, entry in enumerate(standing, 1):
        if number % A_SLICE == 0:
            yield
        for before in _predecessors(entry, lines, counts):
            behind[before.id].append(entry)
            waits[entry.id] += 1
    circled: set[str] = set()
    order: list[Entry] = []
    for entry in _in_turn(standing, behind, waits, circled):
        order.append(entry)
        if len(order) % A_SLICE == 0:
            yield
    return Arranged(tuple(order), beside, frozenset(circled))


def one_each(entries: tuple[Entry, ...]) -> tuple[tuple[Entry, ...], tuple[Entry, ...]]:
    """Each id once, and the others under it. A copy is no other; of twins the least text stands."""
    said: dict[str, list[Entry]] = {}
    for given, entry in zip(entries, numbered(entries), strict=True):
        known = said.setdefault(entry.id, [])
        if not any(is_copy(given, one) for one in known):
            known.append(entry)
    twins = {ident: sorted(rows, key=text_of) for ident, rows in said.items() if len(rows) > 1}
    standing = tuple(twins.get(ident, rows)[0] for ident, rows in said.items())
    return standing, tuple(one for ident in sorted(twins) for one in twins[ident][1:])


def is_copy(given: Entry, known: Entry) -> bool:
    """Whether an entry says the same as one that is known; without a count it may take its own."""
    return given == known or (not given.n and evolve(given, n=known.n) == known)


def text_of(entry: Entry) -> str:
    """What an entry says, as one text that is the same wherever it was written."""
    head = (entry.id, entry.what, entry.t, entry.device, entry.n, dict(entry.seen), entry.by)
    return json.dumps([*head, entry.body], sort_keys=True, default=dict)


def _predecessors(
    entry: Entry, lines: Mapping[str, list[Entry]], counts: Mapping[str, list[int]]
) -> list[Entry]:
    """The last entries of each device that this one has seen; those have seen the rest.

    A restored backup counts the same numbers again, so there may be several of one count.
    """
    out = []
    for device, count in _direct(entry).items():
        own = counts.get(device, ())
        end = bisect_right(own, count)
        last = own[end - 1] if end else None
        while end and own[end - 1] == last:
            end -= 1
            if lines[device][end].id != entry.id:
                out.append(lines[device][end])
    return out


def _direct(entry: Entry) -> dict[str, int]:
    """What an entry has seen by its own word: of each device so many; its own earlier ones."""
    return {**entry.seen, entry.device: entry.n - 1}


def _tie(entry: Entry) -> Tie:
    return (entry.n + max(entry.seen.values(), default=0), entry.device, entry.id)


def _in_turn(
    entries: Iterable[Entry],
    behind: Mapping[str, list[Entry]],
    waits: dict[str, int],
    circled: set[str],
) -> Iterator[Entry]:
    ready = [(*_tie(entry), entry) for entry in entries if not waits[entry.id]]
    heapq.heapify(ready)
    left = {entry.id: entry for entry in entries}
    while left:
        if not ready:  # a circle of contradicting 'seen': the least tie goes first
            stuck = min(left.values(), key=_tie)
            circled.add(stuck.id)
            ready = [(*_tie(stuck), stuck)]
        entry = heapq.heappop(ready)[-1]
        if left.pop(entry.id, None) is None:
            continue
        yield entry
        for after in behind[entry.id]:
            waits[after.id] -= 1
            if not waits[after.id] and after.id in left:
                heapq.heappush(ready, (*_tie(after), after))


@define
class Frontier:
    """How far each device's count has come, and how far anybody says to have seen it."""

    latest: dict[str, int] = field(factory=dict)
    claimed: dict[str, int] = field(factory=dict)
    tie: Tie = (0, "", "")
    """the greatest there is"""
    circled: bool = False

    def take(self, entry: Entry) -> None:
        """One more entry is there."""
        self.latest[entry.device] = max(self.latest.get(entry.device, 0), entry.n)
        self.tie = max(self.tie, _tie(entry))
        for device, count in entry.seen.items():
            if count > self.claimed.get(device, 0):
                self.claimed[device] = count

    def is_followed_by(self, entry: Entry) -> bool:
        """Whether an entry comes after all there are, and none of them waits for it.

        It does if it has seen the last of every device, or has the greatest tie.
        """
        waited_for = max(self.latest.get(entry.device, 0), self.claimed.get(entry.device, 0))
        if self.circled or waited_for >= entry.n:
            return False
        seen = _direct(entry)
        saw_all = all(count <= seen.get(device, 0) for device, count in self.latest.items())
        return saw_all or _tie(entry) > self.tie

    def copy(self) -> Frontier:
        """One that can go on by itself."""
        return Frontier(self.latest.copy(), self.claimed.copy(), self.tie, self.circled)


class Sight:
    """Who has seen which plan edits, directly or through what those have seen.

    Edits and resolves have numbers in their order; a set of them is the bits of one number, so
    that thousands that all see each other, or all do not, cost no pairs.
    """

    def __init__(self, of_the_plan: Iterable[Entry], entries: Iterable[Entry]) -> None:
        """Those of the plan in their order, and all."""
        self._of_the_plan, self._entries = of_the_plan, entries

    def number(self, entry: Entry) -> int:
        """The number of an edit or a resolve."""
        return self._numbers[entry.id]

    def seen(self, entry: Entry, among: Bits) -> Bits:
        """Those ``among`` some in whose knowledge an entry was written."""
        direct = among and self._claimed(entry) & among
        return direct if direct == among else self._reach[entry.id] & among

    @cached_property
    def _numbers(self) -> dict[str, int]:
        return {entry.id: number for number, entry in enumerate(self._of_the_plan)}

    @cached_property
    def _lines(self) -> dict[str, tuple[list[int], list[Bits]]]:
        """Of each device the counts of its edits, and at each all up to there."""
        own: dict[str, list[tuple[int, int]]] = {}
        for entry in self._of_the_plan:
            own.setdefault(entry.device, []).append((entry.n, self._numbers[entry.id]))
        out = {}
        for device, line in own.items():
            line.sort()
            bits = accumulate((1 << number for _, number in line), or_)
            out[device] = ([n for n, _ in line], list(bits))
        return out

    def _claimed(self, entry: Entry) -> Bits:
        """What an entry has seen by its own word."""
        out = 0
        for device, count in _direct(entry).items():
            counts, bits = self._lines.get(device, ((), ()))
            upto = bisect_right(counts, count)
            out |= bits[upto - 1] if upto else 0
        return out

    @cached_property
    def _reach(self) -> dict[str, Bits]:
        """What each entry has seen in all; what it has seen comes before it."""
        out: dict[str, Bits] = {}
        counts: dict[str, list[int]] = {}
        lines: dict[str, list[Entry]] = {}
        for entry in self._entries:
            seen = self._claimed(entry)
            for one in _predecessors(entry, lines, counts):
                seen |= out[one.id]
            out[entry.id] = seen
            own = counts.setdefault(entry.device, [])
            slot = bisect_right(own, entry.n)  # out of turn only in a circle
            own.insert(slot, entry.n)
            lines.setdefault(entry.device, []).insert(slot, entry)
        return out


def twice_counted(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Entries whose phone had used their count before, as one set back to a backup does."""
    used: set[tuple[str, int]] = set()
    out = []
    for entry in entries:
        key = (entry.device, entry.n)
        if entry.device and key in used:
            out.append(entry)
        used.add(key)
    return tuple(out)
