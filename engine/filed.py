"""Entries filed as they come, so that a question looks at those alone that it is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from attrs import define, field

from engine.entries import Entry
from engine.grown import Row

Placed = tuple[int, Entry]
"""an entry, and where in the order it stands"""
BY_HAND = ""
"""in place of a kind: entries of no phone"""
NOTES = "note"
APART = frozenset({"reading", "step"})
"""kinds that are gathered in a way of their own (``readings``, ``marks``)"""


@define
class Filed:
    """Entries by kind, notes by our own keys too, and those that were written by hand."""

    rows: dict[tuple[str, str], Row[Placed]] = field(factory=dict)
    """by kind and key; the key is empty where the kind says all"""

    def copy(self) -> Filed:
        """One that can go on by itself."""
        return Filed(self.rows.copy())

    def take(self, entry: Entry, place: int) -> None:
        """One more entry."""
        names = [] if entry.what in APART else [(entry.what, "")]
        if entry.what == NOTES:
            names += [(NOTES, key) for key in entry.body if key.startswith("x_")]
        if not entry.device:
            names.append((BY_HAND, ""))
        for name in names:
            self.rows[name] = self.rows.get(name, Row()).plus((place, entry))

    def of(self, *kinds: str) -> Iterator[Placed]:
        """The entries of these kinds, in their order."""
        return self._together((kind, "") for kind in kinds)

    def notes(self, *keys: str) -> Iterator[Placed]:
        """The notes that carry one of these keys, in their order."""
        return self._together((NOTES, key) for key in keys)

    def _together(self, names: Iterable[tuple[str, str]]) -> Iterator[Placed]:
        rows = [self.rows[name] for name in names if name in self.rows]
        if len(rows) == 1:
            return iter(rows[0])
        there = dict(placed for row in rows for placed in row)
        return iter(sorted(there.items()))
