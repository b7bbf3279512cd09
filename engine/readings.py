"""Readings as they are taken, and which of them are current.

One lives until it is taken back, repeated, or something is altered in its run after it. A
repeat is one at the same point, of the same kind, with the same standing and moment.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterator, Mapping
from datetime import datetime, timedelta
from itertools import takewhile
from operator import attrgetter
from typing import Any

from attrs import define, evolve, field

from engine.entries import Entry
from engine.grown import Grown, Row
from engine.job import Point
from engine.logged import Held, Reading
from engine.network import AS_PLANNED, Standing
from engine.places import Plan, is_there, stop_of

TOGETHER = timedelta(minutes=2)
"""readings at one stop from one device within this of the first belong to one moment"""
Cell = tuple[Reading, "Cell"] | None
"""a reading and, in a cell of its own, those before it: one more copies nothing"""


@define
class Readings:
    """All readings so far, by slot, by kind and by place."""

    rows: Row[Reading] = field(factory=Row)
    fresh: list[Reading] = field(factory=list)
    """those taken since the last ``settle``"""
    of_kind: dict[str, Row[Reading]] = field(factory=dict)
    slots: Grown[Held, tuple[Reading | None, Cell]] = field(factory=Grown)
    """the last reading of each that was not taken back, and all of it, nested"""
    read_at: dict[str, None] = field(factory=dict)
    """where something was ever read, as it came"""
    changes: Row[tuple[int, str, frozenset[str]]] = field(factory=Row)
    """where in the order, by which entry, and the places with readings that it reached"""
    altered: dict[str, int] = field(factory=dict)
    """the last change at each place"""
    moments: dict[tuple[str, str], tuple[str, datetime]] = field(factory=dict)
    known: Row[Reading] = field(factory=Row)
    """those with a known load in place of a box"""
    gone: frozenset[str] = frozenset()
    """places with readings that the plan does not have"""
    plan: Plan | None = None
    """the plan that ``gone`` was found with"""
    dirty: set[Held] = field(factory=set)
    again: bool = False
    """a change was taken back since then, or stands again"""
    reached: dict[frozenset[str], tuple[Plan | None, frozenset[str]]] = field(factory=dict)
    """the places with readings in some runs of a plan, until one more place is read"""

    def copy(self) -> Readings:
        """One that can go on by itself."""
        return evolve(
            self,
            fresh=[],
            of_kind=self.of_kind.copy(),
            slots=self.slots.copy(),
            read_at=self.read_at.copy(),
            altered=self.altered.copy(),
            moments=self.moments.copy(),
            dirty=set(),
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
        if at not in self.read_at:
            self.read_at[at] = None
            self.reached = {}
            if not is_there(plan.job, at):
                self.gone |= {at}
        if reading.standing.known:
            self.known = self.known.plus(reading)
        slot = reading.held
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
                at for at in self.read_at if any(runs & plan.runs(at) for plan in plans)
            )
            self.reached[runs] = (plans[0], reached) if len(plans) == 1 else (None, reached)
        self.changes = self.changes.plus((place, ident, reached))
        if stands:
            self.altered.update(dict.fromkeys(reached, place))

    def look_again(self, place: int) -> None:
        """A reading was taken back, or stands again."""
        rows = self.rows if self.rows and place <= self.rows[-1].place else self.fresh
        reading = rows[bisect_left(rows, place, key=attrgetter("place"))]
        self.dirty.add(reading.held)

    def settle(self, plan: Plan, voided: Collection[str]) -> None:
        """Find anew what is current, where something came or was altered."""
        if plan is not self.plan:
            self.plan = plan
            self.gone = frozenset(at for at in self.read_at if not is_there(plan.job, at))
        if self.again:
            self.altered = {}
            for place, ident, reached in self.changes:
                if ident not in voided:
                    self.altered.update(dict.fromkeys(reached, place))
            self.again = False
        for slot in self.dirty:
            cell = whole = self.slots[slot][1]
            while cell is not None and cell[0].id in voided:
                cell = cell[1]
            self.slots[slot] = (cell[0] if cell else None, whole)
        fresh: dict[str, list[Reading]] = {}
        for reading in self.fresh:
            fresh.setdefault(reading.kind, []).append(reading)
        for kind, readings in fresh.items():
            self.of_kind[kind] = self.of_kind.get(kind, Row()).plus(*readings)
        self.rows = self.rows.plus(*self.fresh)
        self.fresh, self.dirty = [], set()

    # ---------------------------------------------------------------- what is current

    def is_current(self, reading: Reading) -> bool:
        """Not taken back, not repeated, and nothing was altered in its run since."""
        live = self._current(reading.held)
        return live is not None and live.id == reading.id

    def current(self) -> frozenset[str]:
        """The ids of all that are current."""
        live = map(self._current, self.slots)
        return frozenset(reading.id for reading in live if reading is not None)

    def moved(self, before: Readings) -> list[Reading]:
        """Those that are current and were not ``before``, or were and are no longer."""
        same = self.altered == before.altered and self.gone == before.gone
        slots = self.slots.put_since(before.slots) if same else self.slots
        out = []
        for slot in slots:
            was, now = before._current(slot), self._current(slot)
            if was is None or now is None or was.id != now.id:
                out += [one for one in (was, now) if one is not None]
        return out

    def _current(self, slot: Held) -> Reading | None:
        """The reading of a slot that is current, if one is."""
        live, _ = self.slots.get(slot) or (None, None)
        if live is None or live.at in self.gone or live.place < self.altered.get(live.at, -1):
            return None
        return live

    # ---------------------------------------------------------------- what else is asked

    def after(self, place: int) -> list[Reading]:
        """Those that stand behind a place in the order."""
        return list(takewhile(lambda one: one.place > place, reversed(self.rows)))[::-1]

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
        there = self.rows if self.gone else ()
        return ((reading.id, reading.at) for reading in there if reading.at in self.gone)


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
