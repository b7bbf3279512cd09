"""Plan edits that have not seen each other, and what a ``resolve`` settles.

On each path those edits are open that no other edit there has seen. Two open ones that would
leave different values, on one path or one inside what the other removed or replaced, clash.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from attrs import define, field, frozen

from engine.edits import GONE, Path, within
from engine.entries import Entry


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


Sees = Callable[[Edit], bool]


@define
class Contest:
    """The open edits of a plan, and which of them clash."""

    known: dict[str, Edit] = field(factory=dict)
    open: dict[Path, tuple[Edit, ...]] = field(factory=dict)
    """by the thing they are in: the first two names of their paths"""
    clashes: tuple[tuple[Edit, Edit], ...] = ()
    contested: set[str] = field(factory=set)
    """edits that ever clashed; a conflict told of them"""

    def copy(self) -> Contest:
        """One that can go on by itself."""
        return Contest(self.known.copy(), self.open.copy(), self.clashes, self.contested.copy())

    def related(self, path: Path) -> Iterator[Edit]:
        """The open edits on a path, around it or inside it."""
        groups: Iterable[Path] = self.open if len(path) == 1 else (path[:1], path[:2])
        for group in groups:
            for edit in self.open.get(group, ()):
                if is_within(path, edit.path) or is_within(edit.path, path):
                    yield edit

    def rivals(self, path: Path, sees: Sees) -> tuple[Edit, ...]:
        """The open edits on the very path that its next edit has not seen."""
        return tuple(one for one in self.related(path) if one.path == path and not sees(one))

    def arrives(self, edit: Edit, sees: Sees) -> None:
        """One more edit: it stands for those on its path and inside it that it has seen."""
        near = tuple(self.related(edit.path))
        against = [one for one in near if not sees(one) and not _alike(one, edit)]
        self.known[edit.id] = edit
        if edit.fits:
            self._close(one for one in near if is_within(one.path, edit.path) and sees(one))
        else:  # what has no place in the plan is contested only by what took its place away
            against = [one for one in against if len(one.path) < len(edit.path)]
        if edit.fits or against:
            self._open(edit, against)

    def settles(self, edit: Edit, named: tuple[Edit, ...], has_seen: Callable) -> None:
        """A resolve: it stands for the edits that it names, and has seen what the kept one has.

        Another resolve it stands for only if it names what that one kept.
        """
        roots = {one.kept.id for one in named}
        self.contested |= roots

        def stands_for(one: Edit) -> bool:
            return one.kept.id in roots and (one.root is None or has_seen(edit.entry, one.entry))

        def sees(one: Edit) -> bool:
            return has_seen(edit.kept.entry, one.entry)

        for path in {edit.path, *(own.path for own in named)}:
            self._close(one for one in tuple(self.related(path)) if stands_for(one))
        near = self.related(edit.path)
        against = [one for one in near if not sees(one) and not _alike(one, edit)]
        self.known[edit.id] = edit
        self._open(edit, against)

    def inside_again(self, lost: Edit) -> tuple[Edit, ...]:
        """The edits inside a thing that clashed with its removal, in order."""
        inside = {a if b is lost else b for a, b in self.clashes if lost in (a, b)}
        return tuple(sorted((one for one in inside if one.path != lost.path), key=_place))

    def _open(self, edit: Edit, against: list[Edit]) -> None:
        group = edit.path[:2]
        self.open[group] = (*self.open.get(group, ()), edit)
        self.clashes += tuple((one, edit) for one in against)
        for one in (edit, *against):
            if against:
                self.contested |= {one.id, one.kept.id}

    def _close(self, edits: Iterable[Edit]) -> None:
        closed = set(edits)
        for group in {one.path[:2] for one in closed}:
            rest = tuple(one for one in self.open.get(group, ()) if one not in closed)
            if rest:
                self.open[group] = rest
            else:
                self.open.pop(group, None)
        if closed:
            self.clashes = tuple(pair for pair in self.clashes if not closed & set(pair))

    def conflicts(self) -> tuple[Conflict, ...]:
        """What is to be settled, by path: edits on it, and what was done around it."""
        by_path: dict[Path, set[Edit]] = {}
        for pair in self.clashes:
            path = max((one.path for one in pair), key=len)
            by_path.setdefault(path, set()).update(pair)
        return tuple(_conflict(path, by_path[path]) for path in sorted(by_path))


def is_within(path: Path, around: Path) -> bool:
    """Whether a path is the other or lies inside it."""
    return path[: len(around)] == around


def _place(edit: Edit) -> int:
    return edit.place


def _alike(one: Edit, other: Edit) -> bool:
    """Whether two edits leave the very same at the longer of their paths."""
    outer, inner = sorted((one, other), key=lambda edit: len(edit.path))
    left = within(outer.outcome, inner.spot[len(outer.path) :])
    return _same(left, inner.outcome)


def _same(one: Any, other: Any) -> bool:
    """Equal as JSON: true is not 1."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    return one == other


def _conflict(path: Path, edits: set[Edit]) -> Conflict:
    row = sorted(edits, key=_place)
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
