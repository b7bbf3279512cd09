"""The last word on each step, and who answers for each hold, with all that was said before it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TypeVar

from attrs import define, field

from engine.entries import Entry
from engine.grown import Grown, Row
from engine.logged import StepMark, Waiver

Thing = TypeVar("Thing")


@define
class Marks:
    """Marks and waivers so far. What was taken back lets the word before it stand again."""

    said: dict[str, Row[StepMark]] = field(factory=dict)
    """all that was said of each step, as it came"""
    answered: dict[str, Row[tuple[str, Waiver]]] = field(factory=dict)
    """of each hold the entries by which somebody answers for it"""
    steps: dict[str, StepMark] = field(factory=dict)
    undone: dict[str, int] = field(factory=dict)
    """where in the order each step was last undone"""
    waivers: dict[str, Waiver] = field(factory=dict)
    again: set[tuple[str, str]] = field(factory=set)
    """what is to be looked at again: the kind of entry, and its step or hold"""

    def copy(self) -> Marks:
        """One that can go on by itself."""
        return Marks(
            self.said.copy(),
            self.answered.copy(),
            self.steps.copy(),
            self.undone.copy(),
            self.waivers.copy(),
        )

    def step(self, entry: Entry, place: int, *, stands: bool) -> None:
        """One more word on a step; it ``stands`` unless it is taken back already."""
        name, state = entry.body["step"], entry.body["state"]
        mark = StepMark(state, place, entry.by, entry.t, entry.body.get("why", ""), entry.id)
        self.said[name] = self.said.get(name, Row()).plus(mark)
        if not stands:
            self.look_again(entry)
            return
        self.steps[name] = mark
        if state == "undone":
            self.undone[name] = place

    def waive(self, entry: Entry, place: int, *, stands: bool) -> None:
        """Somebody answers for a hold."""
        of, role = entry.body["of"], entry.body.get("role", "")
        waiver = Waiver(of, entry.body["reason"], entry.by, role, entry.t, place)
        self.answered[of] = self.answered.get(of, Row()).plus((entry.id, waiver))
        if stands:
            self.waivers[of] = waiver

    def look_again(self, entry: Entry) -> None:
        """A mark or a waiver was taken back, or stands again."""
        self.again.add((entry.what, entry.body["step" if entry.what == "step" else "of"]))

    def settle(
        self,
        voided: Collection[str],
        voids: Mapping[str, tuple[str, ...]],
        places: Grown[str, int],
    ) -> None:
        """Find the last word anew where something was taken back. ``voids`` are the entries that
        take each one back, ``places`` where in the order each stands."""
        for kind, of in self.again:
            if kind == "step":
                self._settle_step(of, voided, voids, places)
            else:
                stands = [waiver for ident, waiver in self.answered[of] if ident not in voided]
                _put_or_drop(self.waivers, of, stands[-1:])
        self.again = set()

    def _settle_step(
        self,
        name: str,
        voided: Collection[str],
        voids: Mapping[str, tuple[str, ...]],
        places: Grown[str, int],
    ) -> None:
        """One whose 'done' is taken back is undone: what rested on it opens again."""
        marks = self.said[name]
        stands = [mark for mark in marks if mark.entry not in voided]
        undone = [mark.place for mark in stands if mark.state == "undone"]
        for mark in marks:
            if mark.state == "done":
                undone += (places[v] for v in voids.get(mark.entry, ()) if v not in voided)
        _put_or_drop(self.steps, name, stands[-1:])
        _put_or_drop(self.undone, name, [max(undone)] if undone else [])


def _put_or_drop(table: dict[str, Thing], name: str, last: Sequence[Thing]) -> None:
    if last:
        table[name] = last[0]
    else:
        table.pop(name, None)
