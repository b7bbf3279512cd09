"""Plan edits that have not seen each other, and what a ``resolve`` settles.

On each path those edits are open that no other edit there has seen. Two open ones that would
leave different values, on one path or one inside what the other removed or replaced, clash.

Thousands may be open at once, and then every two of them may clash. So edits go by numbers
(``order.Sight``), sets of them are the bits of whole numbers, and no pair is ever written down.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

from attrs import define, field, frozen

from engine.edits import GONE, Path, within
from engine.entries import Entry
from engine.order import Bits, Sight


@frozen(eq=False)
class Edit:
    """A plan edit as it takes part in a contest; a resolve is one too, with the kept value."""

    entry: Entry
    place: int
    spot: Path
    """the path as written"""
    path: Path
    """the path as compared"""
    outcome: Any
    """the value it leaves at its path, ``GONE`` for none"""
    before: Any
    """what stood there"""
    fits: bool
    """it took effect"""
    root: Edit | None = None
    """of a resolve, the edit that it keeps"""

    @property
    def id(self) -> str:
        """The id of its entry."""
        return self.entry.id

    def meets(self, other: Edit) -> bool:
        """Whether both can stand against each other: on one path, or one inside the other."""
        short = min(len(self.path), len(other.path))
        return self.path[:short] == other.path[:short]

    @property
    def kept(self) -> Edit:
        """The edit whose value this is."""
        return self.root or self


@frozen
class Conflict:
    """Plan edits that have not seen each other: their values in the order of the log."""

    path: str
    entries: tuple[str, ...]
    values: tuple[Any, ...]
    """what each leaves there; None for a remove"""
    by: tuple[str, ...]
    shown: str
    """the one in force"""


@define
class Spot:
    """The open edits at one path and inside it."""

    here: Bits = 0
    within: Bits = 0
    """those here among them"""
    inner: set[Path] = field(factory=set)
    """paths inside this one at which an edit was ever open"""
    values: dict[Any, tuple[tuple[Edit, Bits], ...]] = field(factory=dict)
    """by the value they leave, and how they spell the path: the first of them, and all"""

    def copy(self) -> Spot:
        """One that can go on by itself."""
        return Spot(self.here, self.within, self.inner.copy(), self.values.copy())


@define
class Contest:
    """The open edits of a plan, and which of them clash."""

    known: dict[str, Edit] = field(factory=dict)
    numbered: dict[int, Edit] = field(factory=dict)
    spots: dict[Path, Spot] = field(factory=dict)
    open: Bits = 0
    rooted: dict[str, Bits] = field(factory=dict)
    """by the id of the edit whose value it is, those that were opened"""
    against: dict[int, Bits] = field(factory=dict)
    """earlier ones, open or not by now, that an edit clashed with when it came"""
    told: Bits = 0
    contested: set[str] = field(factory=set)
    """edits that ever clashed; a conflict told of them"""
    found: tuple[Conflict, ...] | None = None
    """the conflicts, where nothing came since they were put together"""

    def copy(self) -> Contest:
        """One that can go on by itself."""
        return Contest(
            self.known.copy(),
            self.numbered.copy(),
            {path: spot.copy() for path, spot in self.spots.items()},
            self.open,
            self.rooted.copy(),
            self.against.copy(),
            self.told,
            self.contested.copy(),
            self.found,
        )

    def rivals(self, path: Path, entry: Entry, sight: Sight) -> bool:
        """Whether an edit is open on the very path that an entry has not seen."""
        spot = self.spots.get(path)
        return spot is not None and spot.here != sight.seen(entry, spot.here)

    def arrives(self, edit: Edit, sight: Sight) -> None:
        """One more edit: it stands for those on its path and inside it that it has seen."""
        around, near = self._related(edit.path)
        seen = sight.seen(edit.entry, near)
        against = near & ~seen & ~self._alike(edit, near & ~seen)
        if edit.fits:
            self._close(seen & self._within(edit.path))
        else:  # what has no place in the plan is contested only by what took its place away
            against &= around
        self.known[edit.id] = edit
        if edit.fits or against:
            self._open(edit, sight.number(edit.entry), against)

    def settles(self, edit: Edit, named: tuple[Edit, ...], sight: Sight) -> None:
        """A resolve: it stands for the edits that it names, and has seen what the kept one has.

        Another resolve it stands for only if it names what that one kept.
        """
        roots = {one.kept.id for one in named}
        self.contested |= roots
        same = 0
        for root in roots:
            same |= self.rooted.get(root, 0) & self.open
        plain = sum(1 << i for i in _each(same) if self.numbered[i].root is None)
        self._close(plain | sight.seen(edit.entry, same))
        _, near = self._related(edit.path)
        unseen = near & ~sight.seen(edit.kept.entry, near)
        self.known[edit.id] = edit
        self._open(edit, sight.number(edit.entry), unseen & ~self._alike(edit, unseen))

    def inside_again(self, lost: Edit, sight: Sight) -> tuple[Edit, ...]:
        """The edits inside a thing that clashed with its removal, in order."""
        number = sight.number(lost.entry)
        if not self.open >> number & 1:
            return ()
        against = self.against[number]
        inside = (
            i
            for i in _each(self._within(lost.path))
            if against >> i & 1 or self.against[i] >> number & 1
        )
        return tuple(one for one in map(self.numbered.__getitem__, inside) if one.path != lost.path)

    def conflicts(self) -> tuple[Conflict, ...]:
        """What is to be settled, by path: edits on it, and what was done around it."""
        if self.found is None:
            clashing: dict[Path, Bits] = {}
            for number in _each(self.open):
                against = self.against[number] & self.open
                if against:
                    self._tell(number, against, clashing)
            self.found = tuple(
                _conflict(path, [self.numbered[i] for i in _each(clashing[path])])
                for path in sorted(clashing)
            )
        return self.found

    # ---------------------------------------------------------------- sets of open edits

    def _within(self, path: Path) -> Bits:
        """Those on a path and inside it."""
        spot = self.spots.get(path)
        return spot.within if spot is not None else 0

    def _related(self, path: Path) -> tuple[Bits, Bits]:
        """Those around a path; and those with all on it and inside it."""
        around = 0
        for end in range(1, len(path)):
            spot = self.spots.get(path[:end])
            around |= spot.here if spot is not None else 0
        return around, around | self._within(path)

    def _alike(self, edit: Edit, among: Bits) -> Bits:
        """Those that leave the very same as an edit at the longer of their paths."""
        out, path = 0, edit.path
        spot = self.spots.get(path)
        if spot is not None and among & spot.here:
            out |= sum(those for _, those in spot.values.get(_key(edit.outcome), ()))
        for end in range(1, len(path)):
            out |= self._same_there(edit, path[:end], among)
        for inner in spot.inner if spot is not None and among & spot.within else ():
            out |= self._same_there(edit, inner, among)
        return out

    def _same_there(self, edit: Edit, path: Path, among: Bits) -> Bits:
        spot, out = self.spots.get(path), 0
        if spot is not None and among & spot.here:
            for first, those in chain.from_iterable(spot.values.values()):
                if among & those and _leave_the_same(first, edit):
                    out |= those
        return out

    def _open(self, edit: Edit, number: int, against: Bits) -> None:
        bit, path = 1 << number, edit.path
        self.numbered[number], self.against[number] = edit, against
        self.open |= bit
        self.rooted[edit.kept.id] = self.rooted.get(edit.kept.id, 0) | bit
        self.found = None
        for end in range(1, len(path)):
            spot = self.spots.setdefault(path[:end], Spot())
            spot.within |= bit
            spot.inner.add(path)
        spot = self.spots.setdefault(path, Spot())
        spot.within |= bit
        spot.here |= bit
        self._sort(edit, spot, bit, 0)
        for one in _each((against | bit if against else 0) & ~self.told):
            self.contested |= {self.numbered[one].id, self.numbered[one].kept.id}
        self.told |= against | bit if against else 0

    def _close(self, closed: Bits) -> None:
        self.open &= ~closed
        for number in _each(closed):
            self.found = None
            edit, bit = self.numbered[number], 1 << number
            for end in range(1, len(edit.path) + 1):
                self.spots[edit.path[:end]].within &= ~bit
            spot = self.spots[edit.path]
            spot.here &= ~bit
            self._sort(edit, spot, 0, bit)

    def _sort(self, edit: Edit, spot: Spot, come: Bits, gone: Bits) -> None:
        """One more of those that leave what an edit leaves, or one less.

        Names of a path may be spelled in two ways, and then lead to different things in a value.
        """
        key = _key(edit.outcome)
        rows = dict.fromkeys((edit.spot,), (edit, 0))
        rows |= {first.spot: (first, those) for first, those in spot.values.pop(key, ())}
        first, those = rows[edit.spot]
        rows[edit.spot] = (first, (those | come) & ~gone)
        left = tuple(row for row in rows.values() if row[1])
        if left:
            spot.values[key] = left

    def _tell(self, number: int, against: Bits, clashing: dict[Path, Bits]) -> None:
        """Put an edit and what it clashes with under the longer of their paths."""
        path, bit = self.numbered[number].path, 1 << number
        spot = self.spots[path]
        inside = against & spot.within & ~spot.here
        if against != inside:
            clashing[path] = clashing.get(path, 0) | (against & ~inside) | bit
        for one in _each(inside):
            inner = self.numbered[one].path
            clashing[inner] = clashing.get(inner, 0) | 1 << one | bit


def _each(bits: Bits) -> Iterator[int]:
    """The numbers in a set, in order."""
    digits = bin(bits)
    place = digits.rfind("1")
    while place > 0:
        yield len(digits) - 1 - place
        place = digits.rfind("1", 0, place)


def _leave_the_same(one: Edit, other: Edit) -> bool:
    """Whether two edits leave the very same at the longer of their paths."""
    outer, inner = sorted((one, other), key=lambda edit: len(edit.path))
    there = _key(within(outer.outcome, inner.spot[len(outer.path) :]))
    return bool(there == _key(inner.outcome))


def _key(value: Any) -> Any:
    """The same for what is equal as JSON: true is not 1."""
    return (bool, value) if isinstance(value, bool) else _still(value)


def _still(value: Any) -> Any:
    if isinstance(value, dict):
        return dict, frozenset((name, _still(one)) for name, one in value.items())
    if isinstance(value, list):
        return list, tuple(_still(one) for one in value)
    return value


def _conflict(path: Path, row: list[Edit]) -> Conflict:
    each = {edit.kept.id: edit for edit in row}  # of two that keep one, the later
    shown = next((edit for edit in reversed(row) if edit.fits), row[-1])
    named = next(edit.spot for edit in row if edit.path == path)
    return Conflict(
        path="/".join(named),
        entries=tuple(each),
        values=tuple(None if e.outcome is GONE else e.outcome for e in each.values()),
        by=tuple(edit.kept.entry.by for edit in each.values()),
        shown=shown.kept.id,
    )
