"""Readings as they are taken, and which of them are current.

One lives until it is taken back, repeated, or something is altered in its run after it. A
repeat is one at the same point, of the same kind, with the same standing and moment.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from operator import attrgetter
from typing import Any

from attrs import define, evolve, field

from engine.entries import Entry
from engine.grown import Grown
from engine.job import Point
from engine.logged import Reading, Slot
from engine.network import AS_PLANNED, Standing
from engine.places import Plan, is_there, stop_of

TOGETHER = timedelta(minutes=2)
"""readings at one stop from one device within this of the first belong to one moment"""
Held = tuple[Slot, str]
"""what a repeat has in common with what it replaces: the moment, too"""
Cell = tuple[Reading, "Cell"] | None
"""a reading and, in a cell of its own, those before it: one more copies nothing"""


@define
class Readings:
    """All readings so far, by slot and by place."""

    rows: tuple[Reading, ...] = ()
    fresh: list[Reading] = field(factory=list)
    """those taken since the last ``settle``"""
    current: frozenset[str] = frozenset()
    slots: Grown[Held, tuple[str | None, Cell]] = field(factory=Grown)
    """the current reading of each, and all of it: the last one and those before it, nested"""
    by_at: dict[str, tuple[str, ...]] = field(factory=dict)
    changes: list[tuple[int, str, frozenset[str]]] = field(factory=list)
    """where in the order, by which entry, and the places with readings that it reached"""
    altered: dict[str, int] = field(factory=dict)
    """the last change at each place"""
    moments: dict[tuple[str, str], tuple[str, datetime]] = field(factory=dict)
    known: list[Reading] = field(factory=list)
    """those with a known load in place of a box"""
    gone: set[str] = field(factory=set)
    """places with readings that the plan does not have"""
    plan: Plan | None = None
    """the plan that ``gone`` was found with"""
    dirty: set[Held] = field(factory=set)
    ended: set[str] = field(factory=set)
    """places altered since the last ``settle``"""
    again: bool = False
    """a change was taken back since then, or stands again"""
    reached: dict[frozenset[str], tuple[Plan | None, frozenset[str]]] = field(factory=dict)
    """the places with readings in some runs of a plan, until one more place is read"""

    def copy(self) -> Readings:
        """One that can go on by itself."""
        return evolve(
            self,
            fresh=[],
            slots=self.slots.copy(),
            by_at=self.by_at.copy(),
            changes=self.changes.copy(),
            altered=self.altered.copy(),
            known=self.known.copy(),
            gone=self.gone.copy(),
            moments=self.moments.copy(),
            dirty=set(),
            ended=set(),
            reached={},
        )

    def take(self, plan: Plan, entry: Entry, place: int, visit: int) -> None:
        """One more reading."""
        body = entry.body
        at = plan.named(body["at"])
        unsteady = body.get("unsteady") or ()
        reading = Reading(
            entry.id,
            at,
            body["kind"],
            body.get("value"),
            body.get("pairs"),
            body.get("meter"),
            _standing(plan, at, body),
            body.get("moment") or self._moment(plan, entry, at),
            entry.by,
            entry.t,
            place,
            visit,
            (min(unsteady), max(unsteady)) if len(unsteady) == 2 else None,
            body.get("seconds"),
            body.get("celsius"),
            body.get("method", ""),
        )
        self.fresh.append(reading)
        if at not in self.by_at:
            self.by_at[at] = ()
            self.reached = {}
            if not is_there(plan.job, at):
                self.gone.add(at)
        if reading.standing.known:
            self.known.append(reading)
        slot = (reading.slot, reading.moment)
        live, before = self.slots.get(slot) or (None, None)
        self.slots[slot] = (live, (reading, before))
        self.dirty.add(slot)

    def _moment(self, plan: Plan, entry: Entry, at: str) -> str:
        """Those of one device at one stop within two minutes of the first belong together.

        The order says which is first; a clock that was set in between begins a new moment.
        """
        taken = _time(entry.t)
        if taken is None:
            return entry.id
        key = (entry.device, stop_of(plan.job, at) or at)
        name, first = self.moments.get(key, (entry.id, taken))
        if abs(taken - first) > TOGETHER:
            name, first = entry.id, taken
        self.moments[key] = (name, first)
        return name

    def alter(
        self, place: int, ident: str, runs: frozenset[str], plans: tuple[Plan, ...], stands: bool
    ) -> None:
        """Something was altered in these runs, as they are in these plans.

        What was taken back (``stands`` is false) is noted, for it may stand again.
        """
        known, reached = self.reached.get(runs, (None, frozenset()))
        if plans != (known,):
            reached = frozenset(
                at for at in self.by_at if any(runs & plan.runs(at) for plan in plans)
            )
            self.reached[runs] = (plans[0], reached) if len(plans) == 1 else (None, reached)
        self.changes.append((place, ident, reached))
        if stands:
            self.altered.update(dict.fromkeys(reached, place))
            self.ended.update(reached)

    def _alter_again(self, voided: Collection[str]) -> None:
        """What was altered, without the changes that were taken back."""
        before, self.altered = self.altered, {}
        for place, ident, reached in self.changes:
            if ident not in voided:
                self.altered.update(dict.fromkeys(reached, place))
        self.ended.update(at for at, place in self.altered.items() if place > before.get(at, -1))
        self._look_at(at for at, place in before.items() if place > self.altered.get(at, -1))

    def look_again(self, place: int) -> None:
        """A reading was taken back, or stands again."""
        rows = self.rows if self.rows and place <= self.rows[-1].place else self.fresh
        reading = rows[bisect_left(rows, place, key=attrgetter("place"))]
        self.dirty.add((reading.slot, reading.moment))

    def settle(self, plan: Plan, voided: Collection[str]) -> None:
        """Find anew which are current, where something came or was altered."""
        if plan is not self.plan:
            before, self.plan = self.gone, plan
            self.gone = {at for at in self.by_at if not is_there(plan.job, at)}
            self.ended |= self.gone - before
            self._look_at(before - self.gone)
        if self.again:
            self._alter_again(voided)
            self.again = False
        struck: set[str] = set()
        for at in self.ended:
            struck |= self.current.intersection(self.by_at[at])
        counted: set[str] = set()
        for slot in self.dirty:
            was, cell = self.slots[slot]
            live = self._live(cell, voided)
            self.slots[slot] = (live, cell)
            if was is not None:
                struck.add(was)
            if live is not None:
                counted.add(live)
        if struck:
            self.current -= struck
        if counted:
            self.current |= counted
        came: dict[str, list[str]] = {}
        for reading in self.fresh:
            came.setdefault(reading.at, []).append(reading.id)
        for at, idents in came.items():
            self.by_at[at] += tuple(idents)
        self.rows += tuple(self.fresh)
        self.fresh, self.dirty, self.ended = [], set(), set()

    def altered_at(self, at: str, voided: Collection[str]) -> tuple[int, ...]:
        """Places in the order at which something was altered in the run of a place, as they came."""
        rows = (row for row in self.changes if at in row[2] and row[1] not in voided)
        return tuple(place for place, _, _ in rows)

    def fitted(self, voided: Collection[str]) -> int:
        """Place of the last one with a known load in place of a box; -1 when there was none."""
        known = (one.place for one in reversed(self.known) if one.id not in voided)
        return next(known, -1)

    def lost(self) -> Iterator[tuple[str, str]]:
        """Those at places that the plan does not have: their ids and the places."""
        return ((ident, at) for at in self.gone for ident in self.by_at[at])

    def _look_at(self, places: Iterable[str]) -> None:
        wanted = set(places)
        if wanted:
            self.dirty |= {
                slot for slot, (_, cell) in self.slots.items() if cell and cell[0].at in wanted
            }

    def _live(self, cell: Cell, voided: Collection[str]) -> str | None:
        """The reading of a slot that is current, if one is."""
        while cell is not None and cell[0].id in voided:
            cell = cell[1]
        if cell is None or cell[0].at in self.gone:
            return None
        return cell[0].id if self.altered.get(cell[0].at, -1) < cell[0].place else None


def _time(text: str | None) -> datetime | None:
    try:
        return datetime.fromisoformat(text) if text else None
    except ValueError:
        return None


def _standing(plan: Plan, at: str, body: Mapping[str, Any]) -> Standing:
    """``with`` and the old ``state`` as what stood there; boxes as the plan spells them."""
    stand_ins, is_open = body.get("with_"), body.get("state") == "open"
    if not (stand_ins or is_open):
        return AS_PLANNED
    stand_ins = {**(stand_ins or {}), **({"*": "off"} if is_open else {})}
    beyond = Point.parse(at) if stand_ins.pop("*", None) == "off" else None
    named = {plan.named(box): what for box, what in stand_ins.items()}
    off = frozenset(box for box, what in named.items() if what == "off")
    known = {box: what["watts"] for box, what in named.items() if isinstance(what, dict)}
    return Standing(off, known, beyond)
