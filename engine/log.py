"""The log: its order, and the fold of its entries over the plan.

Entries only ever grow. What holds now (the plan as edited, which readings are current,
which steps are done, what was waived) is derived from them each time, never stored.
"""

from __future__ import annotations

import heapq
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from attrs import define, field, frozen

from engine.edits import BadEdit, edited
from engine.entries import Entry, numbered
from engine.job import Job, Point
from engine.jobfile import BadFile, JobFile, read_job
from engine.network import AS_PLANNED, Network, Standing, build

TOGETHER = timedelta(minutes=2)
"""readings at one stop from one device within this belong to one moment (job format, 3)"""


def ordered(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries in their order: after all that their ``seen`` covers; clocks never decide.

    Ties go by (count + greatest count seen, device, id). Entries whose ``seen`` contradict
    each other are taken in the order of the ties, so the result is always complete.
    """
    entries = numbered(tuple(entries))
    by_device: dict[str, list[Entry]] = {}
    for entry in entries:
        by_device.setdefault(entry.device, []).append(entry)
    for own in by_device.values():
        own.sort(key=lambda entry: (entry.n, entry.id))
    behind: dict[str, list[Entry]] = {entry.id: [] for entry in entries}
    waits = dict.fromkeys(behind, 0)
    for entry in entries:
        for before in _predecessors(entry, by_device):
            behind[before.id].append(entry)
            waits[entry.id] += 1
    return tuple(_in_turn(entries, behind, waits))


def _predecessors(entry: Entry, by_device: Mapping[str, list[Entry]]) -> list[Entry]:
    """The last entries of each device that this one has seen; those have seen the rest.

    A restored backup counts the same numbers again, so there may be several of one count.
    """
    out = []
    for device, own in by_device.items():
        count = entry.n - 1 if device == entry.device else entry.seen.get(device, 0)
        end = bisect_right(own, count, key=lambda one: one.n)
        if end:
            start = bisect_left(own, own[end - 1].n, key=lambda one: one.n)
            out.extend(one for one in own[start:end] if one.id != entry.id)
    return out


def _in_turn(entries, behind, waits) -> Iterable[Entry]:
    def tie(entry: Entry):
        return (entry.n + max(entry.seen.values(), default=0), entry.device, entry.id)

    ready = [(*tie(entry), entry) for entry in entries if not waits[entry.id]]
    heapq.heapify(ready)
    left = {entry.id: entry for entry in entries}
    while left:
        if not ready:  # a circle of contradicting 'seen': the least tie goes first
            stuck = min(left.values(), key=tie)
            ready = [(*tie(stuck), stuck)]
        entry = heapq.heappop(ready)[-1]
        if left.pop(entry.id, None) is None:
            continue
        yield entry
        for after in behind[entry.id]:
            waits[after.id] -= 1
            if not waits[after.id] and after.id in left:
                heapq.heappush(ready, (*tie(after), after))


# ---------------------------------------------------------------- what the fold gives


@frozen
class Reading:
    """A measured value at a point, a span, an earth or a stop."""

    id: str
    at: str
    kind: str
    value: float | None
    pairs: Mapping[str, float] | None
    meter: str | None
    standing: Standing
    moment: str
    by: str
    t: str | None
    place: int = 0
    visit: int = 0
    unsteady: tuple[float, float] | None = None
    seconds: float | None = None
    celsius: float | None = None

    @property
    def figure(self) -> float:
        """The one number it is judged by: the value, or the mean of its pairs."""
        if self.value is not None:
            return self.value
        return sum(self.pairs.values()) / len(self.pairs)


@frozen
class StepMark:
    """The last word on a step, and when (place in the order) it was said."""

    state: str
    place: int
    by: str
    t: str | None
    why: str = ""
    entry: str = ""


@frozen
class Waiver:
    """A hold that somebody answers for."""

    of: str
    reason: str
    by: str
    role: str
    t: str | None


@frozen
class Note:
    """A remark."""

    at: str | None
    text: str
    by: str
    t: str | None


@frozen
class LeftOut:
    """A plan edit that does not fit the plan; kept in the log and told."""

    entry: str
    path: str
    problem: str


@frozen
class State:
    """A job as it stands: the plan as edited, and what the log says about it."""

    job: Job
    doc: Mapping[str, Any]
    entries: tuple[Entry, ...]
    network: Network
    readings: tuple[Reading, ...]
    current: frozenset[str]
    steps: Mapping[str, StepMark]
    undone: Mapping[str, int]
    waivers: Mapping[str, Waiver]
    notes: tuple[Note, ...]
    left_out: tuple[LeftOut, ...]
    fitted: int = -1
    """place of the last reading with a known load in place of a box; -1 when there was none"""

    def is_current(self, reading: Reading) -> bool:
        """Not taken back, not repeated, and nothing was altered in its run since."""
        return reading.id in self.current


@define
class _Fold:
    """What has been gathered so far; one method a kind of entry that acts."""

    doc: dict[str, Any]
    job: Job
    network: Network
    readings: list[Reading] = field(factory=list)
    places: dict[str, int] = field(factory=dict)
    changes: list[tuple[int, frozenset[str]]] = field(factory=list)
    steps: dict[str, StepMark] = field(factory=dict)
    undone: dict[str, int] = field(factory=dict)
    waivers: dict[str, Waiver] = field(factory=dict)
    notes: list[Note] = field(factory=list)
    left_out: list[LeftOut] = field(factory=list)
    moments: dict[tuple[str, str], tuple[str, datetime]] = field(factory=dict)
    done_by: dict[str, str] = field(factory=dict)
    """which step an entry says is done"""

    def reading(self, entry: Entry, place: int) -> None:
        body = entry.body
        self.places[entry.id] = place
        self.readings.append(
            Reading(
                entry.id,
                self.job.named(body["at"]),
                body["kind"],
                body.get("value"),
                body.get("pairs"),
                body.get("meter"),
                _standing(body),
                body.get("moment") or self._moment(entry),
                entry.by,
                entry.t,
            )
        )

    def _moment(self, entry: Entry) -> str:
        """Readings of one device at one stop within two minutes belong together."""
        stop = stop_of(self.job, entry.body["at"]) or entry.body["at"]
        key, taken = (entry.device, stop), _time(entry.t)
        if taken is None:
            return entry.id
        name, last = self.moments.get(key, (entry.id, taken))
        if abs(taken - last) > TOGETHER:
            name = entry.id
        self.moments[key] = (name, taken)
        return name

    def step(self, entry: Entry, place: int) -> None:
        name, body = entry.body["step"], entry.body
        why = body.get("why", "")
        self.steps[name] = StepMark(body["state"], place, entry.by, entry.t, why, entry.id)
        if body["state"] == "undone":
            self.undone[name] = place

    def void(self, entry: Entry, place: int) -> None:
        """A step whose 'done' is taken back is undone: what rested on it opens again."""
        step = self.done_by.get(entry.body["of"])
        if step is not None:
            self.undone[step] = place

    def change(self, entry: Entry, place: int) -> None:
        where = self.job.named(entry.body["where"])
        self.changes.append((place, runs_of(self.job, self.network, where)))

    def waive(self, entry: Entry, place: int) -> None:
        body = entry.body
        self.waivers[body["of"]] = Waiver(
            body["of"], body["reason"], entry.by, body.get("role", ""), entry.t
        )

    def note(self, entry: Entry, place: int) -> None:
        self.notes.append(Note(entry.body.get("at"), entry.body["text"], entry.by, entry.t))

    def edit(self, entry: Entry, place: int) -> None:
        """A plan edit acts if the plan still holds together with it; else it is told."""
        path = entry.body["path"]
        try:
            doc = edited(self.doc, entry)
            job = read_job({**doc, "log": []}).plan
        except (BadFile, BadEdit) as problem:
            words = str(problem).splitlines()[0]
            self.left_out.append(LeftOut(entry.id, "/".join(path), words))
            return
        before = runs_of(self.job, self.network, path[1] if len(path) > 1 else "")
        self.doc, self.job, self.network = doc, job, build(job)
        if entry.body.get("as_") == "change":
            self.changes.append((place, before))


ACTS: dict[str, Callable[[_Fold, Entry, int], None]] = {
    "reading": _Fold.reading,
    "step": _Fold.step,
    "change": _Fold.change,
    "waive": _Fold.waive,
    "note": _Fold.note,
    "set": _Fold.edit,
    "add": _Fold.edit,
    "remove": _Fold.edit,
}
"""which kinds of entry act; the others are kept, ordered and passed on"""


def fold(file: JobFile, more: Iterable[Entry] = ()) -> State:
    """The state of a job: its plan with the log's entries, and ``more``, folded over it."""
    entries = ordered((*file.entries, *more))
    voided = _voided(entries)
    work = _Fold(dict(file.doc), file.plan, build(file.plan))
    work.done_by = {
        entry.id: entry.body["step"]
        for entry in entries
        if entry.what == "step" and entry.body["state"] == "done"
    }
    for place, entry in enumerate(entries):
        act = ACTS.get(entry.what)
        if entry.what == "void" and entry.id not in voided:
            work.void(entry, place)
        # a value that was taken back stays in the record; only it is no longer current
        if act is not None and (entry.id not in voided or entry.what == "reading"):
            act(work, entry, place)
    return State(
        job=work.job,
        doc=work.doc,
        entries=entries,
        network=work.network,
        readings=tuple(work.readings),
        current=_current(work, voided),
        steps=work.steps,
        undone=work.undone,
        waivers=work.waivers,
        notes=tuple(work.notes),
        left_out=tuple(work.left_out),
        fitted=max(
            (work.places[r.id] for r in work.readings if r.standing.known and r.id not in voided),
            default=-1,
        ),
    )


def _voided(entries: tuple[Entry, ...]) -> frozenset[str]:
    """What was taken back. A void that was itself taken back takes nothing back."""
    out: set[str] = set()
    for entry in reversed(entries):
        if entry.what == "void" and entry.id not in out:
            out.add(entry.body["of"])
    return frozenset(out)


def _current(work: _Fold, voided: frozenset[str]) -> frozenset[str]:
    """A repeat replaces a reading of the same point, kind, standing and moment."""
    last: dict[tuple, Reading] = {}
    for reading in work.readings:
        if reading.id in voided:
            continue
        standing = reading.standing
        with_ = (standing.off, tuple(sorted(standing.known.items())), standing.beyond)
        last[(reading.at, reading.kind, with_, reading.moment)] = reading
    alive = set()
    for reading in last.values():
        runs = runs_of(work.job, work.network, reading.at)
        since = work.places[reading.id]
        if not any(place > since and runs & altered for place, altered in work.changes):
            alive.add(reading.id)
    return frozenset(alive)


def _time(text: str | None) -> datetime | None:
    try:
        return datetime.fromisoformat(text) if text else None
    except ValueError:
        return None


def _standing(body: Mapping[str, Any]) -> Standing:
    """``with`` and the old ``state`` as what stood there."""
    stand_ins = dict(body.get("with_") or {})
    if body.get("state") == "open":
        stand_ins["*"] = "off"
    if not stand_ins:
        return AS_PLANNED
    off = frozenset(box for box, what in stand_ins.items() if what == "off" and box != "*")
    known = {box: what["watts"] for box, what in stand_ins.items() if isinstance(what, dict)}
    beyond = Point.parse(body["at"]) if stand_ins.get("*") == "off" else None
    return Standing(off, known, beyond)


def stop_of(job: Job, at: str) -> str | None:
    """The stop of a point, a box, an earth or a stop; None for a span."""
    box = job.boxes.get(Point.parse(at).box) or job.boxes.get(at)
    if box is not None:
        return box.stop
    if at in job.earths:
        return job.earths[at].stop
    return at if at in job.stops else None


def runs_of(job: Job, network: Network, where: str) -> frozenset[str]:
    """The electrical runs that a box, span or point belongs to, each named by its feed.

    A box that makes its own volts lies in two runs; each of its ports in one.
    """

    def at(*points: Point) -> frozenset[str]:
        trees = {network.where[point][0] for point in points if point in network.where}
        return frozenset(str(network.trees[tree].feed) for tree in trees)

    span = job.spans.get(where)
    if span is not None:
        return at(span.a) & at(span.b)
    if where in job.earths or where in job.stops:
        return frozenset({where})
    if where in job.boxes:
        return at(*(point for point in network.where if point.box == where))
    return at(Point.parse(where))
