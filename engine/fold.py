"""The fold: entries taken in their order, one method a kind of entry that acts.

What was taken back is left out as if it had never been; it stays in the record. All that is
gathered can be copied and gone on from, so that one more entry does not cost a whole fold.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from attrs import define, evolve, field, frozen

from engine.causes import KNOWN
from engine.conflicts import Contest, Edit
from engine.copied import Missed
from engine.edits import (
    GONE,
    BadEdit,
    Path,
    compared,
    edited,
    ids_of,
    put,
    spot_of,
    value_at,
)
from engine.entries import OF_THE_PLAN, Entry
from engine.filed import Filed
from engine.grown import Grown, Row
from engine.job import Job
from engine.jobfile import BadFile, read_job
from engine.logged import LeftOut, Oddity, State
from engine.marks import Marks
from engine.order import Frontier, Sight
from engine.places import Plan, is_there
from engine.readings import Readings
from engine.say import say
from engine.stays import Stays
from engine.whereabouts import nearest

ROOTED = OF_THE_PLAN | {"visit"}
"""kinds whose taking back alters what later entries meant: all are folded again"""

NO_SIGHT = Sight((), ())


@frozen
class Origin:
    """What a fold starts from: the plan as first agreed, and ids that a merge found twice."""

    doc: Mapping[str, Any]
    job: Job
    twins: frozenset[str] = frozenset()


@define
class Work:
    """What has been gathered so far."""

    origin: Origin
    came: Row[Entry]
    """all entries as they came, copies and twins among them"""
    plan: Plan
    ever: frozenset[str]
    """every id that was ever in the plan"""
    entries: Row[Entry] = field(factory=Row)
    fresh: list[Entry] = field(factory=list)
    """those taken since the last state"""
    beside: tuple[Entry, ...] = ()
    places: Grown[str, int] = field(factory=Grown)
    """where in the order each entry stands"""
    frontier: Frontier = field(factory=Frontier)
    filed: Filed = field(factory=Filed)
    missed: Missed = field(factory=Missed)
    sight: Sight = NO_SIGHT
    voided: set[str] = field(factory=set)
    voids: dict[str, tuple[str, ...]] = field(factory=dict)
    awaited: set[str] = field(factory=set)
    """ids that an entry named before they were there"""
    visits: int = 0
    stays: Stays = field(factory=Stays)
    readings: Readings = field(factory=Readings)
    contest: Contest = field(factory=Contest)
    marks: Marks = field(factory=Marks)
    left_out: tuple[LeftOut, ...] = ()
    odd: list[Oddity] = field(factory=list)

    def copy(self) -> Work:
        """One that can go on by itself; what was gathered in dictionaries is copied."""
        own = {name: getattr(self, name).copy() for name in COPIED}
        return evolve(self, fresh=[], **own)

    # ---------------------------------------------------------------- one more entry

    def entry(self, ident: str) -> Entry | None:
        """An entry that was taken, by its id."""
        place = self.places.get(ident)
        if place is None:
            return None
        behind = place - len(self.entries)
        return self.entries[place] if behind < 0 else self.fresh[behind]

    def goes_on_with(self, entry: Entry) -> bool:
        """Whether an entry can be taken after all there are and nothing before it changes."""
        if entry.id in self.awaited or not self.frontier.is_followed_by(entry):
            return False
        if entry.what != "void" or entry.body["of"] in self.voided:
            return True
        target = self.entry(entry.body["of"])
        if target is not None and target.what == "void":  # what that one took back is there again
            target = self.entry(target.body["of"])
            return target is not None and target.what not in ROOTED | {"void"}
        return entry.body["of"] != entry.id and (target is None or target.what not in ROOTED)

    def goes_on(self, entry: Entry) -> None:
        """Take an entry that comes last of all, with what it takes back."""
        if entry.what in OF_THE_PLAN:
            before = (one for _, one in self.filed.of(*OF_THE_PLAN))
            self.sight = Sight((*before, entry), self.entries.plus(*self.fresh, entry))
        self.take(entry)
        if entry.what == "void":
            hit = entry.body["of"]
            self.voids[hit] = (*self.voids.get(hit, ()), entry.id)
            if hit not in self.voided:
                self._toggle(hit)

    def _toggle(self, ident: str) -> None:
        """An entry is taken back; if it took another back itself, that one may stand again."""
        self.voided.add(ident)
        entry = self.entry(ident)
        if entry is not None and entry.what == "void":
            hit = entry.body["of"]
            if self.voided.issuperset(self.voids[hit]):
                self.voided.discard(hit)
            entry = self.entry(hit)
        if entry is not None:
            self._look_again(entry)

    def take(self, entry: Entry) -> None:
        """Take the next entry in the order."""
        place = len(self.entries) + len(self.fresh)
        self.fresh.append(entry)
        self.places[entry.id] = place
        self.awaited.discard(entry.id)
        self.frontier.take(entry)
        self.filed.take(entry, place)
        act = ACTS.get(entry.what)
        # what was taken back stays in the record; only it is no longer in force
        if act is not None and (entry.what not in ROOTED or entry.id not in self.voided):
            act(self, entry, place)

    def _look_again(self, entry: Entry) -> None:
        """What an entry says was taken back, or stands again."""
        if entry.what == "reading":
            self.readings.look_again(self.places[entry.id])
        elif entry.what == "change":
            self.readings.again = True
        elif entry.what in ("step", "waive"):
            self.marks.look_again(entry)

    # ---------------------------------------------------------------- kinds of entry

    def visit(self, entry: Entry, place: int) -> None:
        self.visits += 1
        self.stays.opened(entry, self.visits)

    def leave(self, entry: Entry, place: int) -> None:
        self.stays.closed(entry)

    def photo(self, entry: Entry, place: int) -> None:
        self.stays.pictured(entry, self.plan.named(entry.body["of"]))

    def reading(self, entry: Entry, place: int) -> None:
        self.stays.worked()
        self.readings.take(self.plan, entry, place, self.visits)

    def step(self, entry: Entry, place: int) -> None:
        self.stays.worked()
        self.marks.step(entry, place, stands=entry.id not in self.voided)

    def void(self, entry: Entry, place: int) -> None:
        target = self.entry(entry.body["of"])
        if target is None:
            self.awaited.add(entry.body["of"])
        elif target.what == "void":
            target = self.entry(target.body["of"])
        if target is not None:
            self._look_again(target)

    def change(self, entry: Entry, place: int) -> None:
        self.stays.worked()
        where = self.plan.named(entry.body["where"])
        if not is_there(self.plan.job, where):
            self._is_odd("odd-change", entry, where=where)
        runs, stands = self.plan.runs(where), entry.id not in self.voided
        self.readings.alter(place, entry.id, runs, (self.plan,), stands)

    def found(self, entry: Entry, place: int) -> None:
        """A cause that nobody here knows is kept: a later version may have more of them."""
        cause = entry.body["cause"]
        if cause.lower() not in KNOWN:
            self._is_odd("odd-cause", entry, cause=cause, near=nearest(cause, KNOWN))

    def waive(self, entry: Entry, place: int) -> None:
        self.marks.waive(entry, place, stands=entry.id not in self.voided)

    def edit(self, entry: Entry, place: int) -> None:
        """A plan edit acts if the plan still holds together with it; else it is told.

        Over another on its path that it has not seen, it is shown whatever stood there.
        """
        try:
            spot = spot_of(entry)
        except BadEdit as problem:
            self._leave_out(entry, tuple(entry.body["path"]), problem)
            return
        outcome = GONE if entry.what == "remove" else entry.body.get("value")
        before, path, fits = self.plan, compared(spot), True
        rivals = self.contest.rivals(path, entry, self.sight)
        try:
            doc = put(before.doc, spot, outcome) if rivals else edited(before.doc, entry)
            self._replan(doc, back=rivals)
        except (BadFile, BadEdit) as problem:
            self._leave_out(entry, spot, problem)
            fits = False
        if fits and entry.body.get("as_") == "change":
            runs = before.runs_touched(spot) | self.plan.runs_touched(spot)
            self.readings.alter(place, entry.id, runs, (before, self.plan), stands=True)
        stood = value_at(before.doc, spot)
        self.contest.arrives(Edit(entry, place, spot, path, outcome, stood, fits), self.sight)

    def resolve(self, entry: Entry, place: int) -> None:
        """The value of the edit that is kept is put in force here."""
        of, keep = entry.body["of"], entry.body["keep"]
        self.awaited.update(ident for ident in of if ident not in self.places)
        there = [self.entry(ident) for ident in of if ident in self.voided]
        if any(one is not None and one.what in ROOTED for one in there):
            return  # one was taken back: there is nothing left to settle
        known = self.contest.known
        named = tuple(known[ident] for ident in of if ident in known)
        both = len(set(of)) == len(named) == 2 and named[0].meets(named[1])
        if not both or keep not in of:
            self._is_odd("odd-resolve", entry, of=tuple(of))
            return
        kept, lost = named if keep == of[0] else named[::-1]
        edit = evolve(kept, entry=entry, place=place, fits=True, root=kept.kept)
        try:
            self._replan(self._settled(kept.kept, lost.kept), back=True)
        except (BadFile, BadEdit) as problem:
            self._leave_out(entry, kept.spot, problem)
            return
        self.contest.settles(edit, named, self.sight)

    def _settled(self, kept: Edit, lost: Edit) -> dict[str, Any]:
        """The plan with what is kept. A thing that was removed around it comes back first."""
        doc = self.plan.doc
        if lost.outcome is GONE and len(lost.path) < len(kept.path) and lost.before is not GONE:
            doc = put(doc, lost.spot, lost.before)
            for edit in self.contest.inside_again(lost, self.sight):
                doc = put(doc, edit.spot, edit.outcome)
        return put(doc, kept.spot, kept.outcome)

    def _replan(self, doc: dict[str, Any], back: bool) -> None:
        """Go on with another plan, if it holds together. ``back``: ids may come back into it."""
        if doc == self.plan.doc:
            return
        job = read_job({**doc, "log": []}).plan
        ids = ids_of(doc)
        again = (ids & self.ever) - ids_of(self.plan.doc)
        if again and not back:
            raise BadEdit(f"{min(again)} was in this plan before; ids are never used again")
        self.ever |= ids
        self.plan = Plan(doc, job)

    def _leave_out(self, entry: Entry, path: Path, problem: Exception) -> None:
        words = str(problem).splitlines()[0]
        self.left_out = (*self.left_out, LeftOut(entry.id, "/".join(path), words))

    def _is_odd(self, code: str, entry: Entry, **parts: Any) -> None:
        self.odd.append(Oddity(entry.id, say(code, entry=entry.id, **parts)))

    # ---------------------------------------------------------------- what it comes to

    def state(self) -> State:
        """The state of the job after all that was taken."""
        self.missed.take(self.fresh)
        self.entries = self.entries.plus(*self.fresh)
        self.fresh = []
        self.readings.settle(self.plan, self.voided)
        self.marks.settle(self.voided, self.voids, self.places)
        self.sight = NO_SIGHT
        return State(
            job=self.plan.job,
            doc=self.plan.doc,
            network=self.plan.network,
            steps=self.marks.steps,
            undone=self.marks.undone,
            waivers=self.marks.waivers,
            left_out=tuple(e for e in self.left_out if e.entry not in self.contest.contested),
            fitted=self.readings.fitted(self.voided),
            conflicts=self.contest.conflicts(),
            oddities=self._oddities(),
            beside=self.beside,
            voided=frozenset(self.voided),
            photos=self.stays.photos(self.voided),
            visits=self.stays.visits(self.voided),
            work=self,
            entries=self.entries,
            readings=self.readings.rows,
        )

    def _oddities(self) -> tuple[Oddity, ...]:
        """What is odd and was not taken back, in the order of the entries."""
        absent = [
            Oddity(void, say("odd-void", entry=void, of=ident))
            for ident in self.awaited
            for void in self.voids.get(ident, ())
        ]
        lost = [
            Oddity(ident, say("odd-reading", entry=ident, at=at))
            for ident, at in self.readings.lost()
        ]
        found = [one for one in (*self.odd, *absent, *lost) if one.entry not in self.voided]
        return tuple(sorted(found, key=lambda one: (self.places[one.entry], one.say.code)))


COPIED = (
    "places",
    "filed",
    "missed",
    "frontier",
    "voided",
    "voids",
    "awaited",
    "readings",
    "contest",
    "stays",
    "marks",
    "odd",
)
"""what goes on growing in place"""

ACTS: dict[str, Callable[[Work, Entry, int], None]] = {
    "visit": Work.visit,
    "leave": Work.leave,
    "photo": Work.photo,
    "reading": Work.reading,
    "step": Work.step,
    "void": Work.void,
    "change": Work.change,
    "found": Work.found,
    "waive": Work.waive,
    "set": Work.edit,
    "add": Work.edit,
    "remove": Work.edit,
    "resolve": Work.resolve,
}
"""which kinds of entry act; the others are kept, ordered and passed on"""
