"""The sheets that a thing of a plan can be given, what each would do, and the edits for it.

A box of another kind is another box: it comes into the first one's place under an id of its
own, since ports have other names and no id is ever used again.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from math import inf
from typing import Any

from attrs import frozen

from engine.advise.ground import Ground
from engine.edits import value_at
from engine.inspan import ONWARD, PASSES, STEMS, turn_round
from engine.job import AnySheet, Box, BoxSheet, CableSheet, Job, Point
from engine.network import build
from engine.planning import BadPlan, Edit, applied, job_of, new_id, with_sheet, with_value
from engine.say import say
from engine.sheets import AS_TYPED, STARTER

FACING = ("orientation", "arrestor-facing")
"""rules that a box breaks by standing the wrong way round"""
LONGEST_STEM = 40
"""letters of a title that go into a sheet's id"""


@frozen
class Choice:
    """A sheet that fits; ``group`` is ``own`` of the job, ``used`` in it, or ``starter``."""

    sheet: AnySheet
    kind: str
    group: str


@frozen
class Outcome:
    """What a plan comes to with another sheet. ``more`` findings stop it that did not before."""

    works: bool
    works_at_worst: bool
    low_volts: float | None
    """of the far end at worst [V]"""
    more: int


def kind_of(sheet: AnySheet) -> str:
    """The kind that a job file writes into a sheet."""
    if isinstance(sheet, BoxSheet):
        return sheet.kind
    return "cable" if isinstance(sheet, CableSheet) else "meter"


def sheet_of(job: Job, thing: str) -> AnySheet | None:
    """The sheet in use for a box, a span or a meter; None where there is no such thing."""
    return next((sheet for one, sheet in sheets_in_use(job) if one == thing), None)


def sheets_in_use(job: Job) -> Iterator[tuple[str, AnySheet]]:
    """Each box, span and meter with its sheet."""
    yield from ((box.id, box.sheet) for box in job.boxes.values())
    yield from ((span.id, span.cable) for span in job.spans.values())
    yield from ((meter.id, meter.sheet) for meter in job.meters.values())


def users_of(job: Job, sheet: str) -> tuple[str, ...]:
    """The boxes, spans and meters that use a sheet."""
    return tuple(thing for thing, used in sheets_in_use(job) if used.id == sheet)


def is_own(doc: Mapping[str, Any], sheet: str) -> bool:
    """Whether a sheet is the job's own, and not a starter sheet as it came."""
    sheets = doc.get("sheets", {})
    return sheet in sheets and dict(sheets[sheet]) != AS_TYPED.get(sheet)


def typed(doc: Mapping[str, Any], sheet: str) -> Mapping[str, Any]:
    """The keys of a sheet as a job file holds them."""
    return doc.get("sheets", {}).get(sheet) or AS_TYPED[sheet]


def fitting_kinds(job: Job, thing: str) -> tuple[str, ...]:
    """The kinds of sheet that a thing can have, its own first."""
    now = sheet_of(job, thing)
    if now is None:
        return ()
    own = kind_of(now)
    if thing not in job.boxes or own not in PASSES:
        return (own,)
    if sum(point.box == thing for point in job.plugged) > 2:
        return (own,)
    return (own, *(kind for kind in PASSES if kind != own))


def choices(doc: Mapping[str, Any], thing: str) -> tuple[Choice, ...]:
    """What a thing can be given: by kind, in each the job's own first, then those in use."""
    job = job_of(doc)
    kinds, now = fitting_kinds(job, thing), sheet_of(job, thing)
    used = {sheet.id for _, sheet in sheets_in_use(job)}
    ports = sum(point.box == thing for point in job.plugged)

    def group(sheet: AnySheet) -> str:
        if is_own(doc, sheet.id):
            return "own"
        return "used" if sheet.id in used else "starter"

    found = [
        Choice(sheet, kind_of(sheet), group(sheet))
        for sheet in job.sheets.values()
        if kind_of(sheet) in kinds and (sheet == now or _has_ports(sheet, ports))
    ]
    order = ("own", "used", "starter")
    return tuple(sorted(found, key=lambda c: (kinds.index(c.kind), order.index(c.group))))


def _has_ports(sheet: AnySheet, wanted: int) -> bool:
    """A splitter whose sheet names its ports takes no more spans than that."""
    if not isinstance(sheet, BoxSheet) or sheet.kind != "splitter":
        return True
    return not sheet.ports or len(sheet.ports) >= wanted


# ---------------------------------------------------------------- the edits


def chosen(
    doc: Mapping[str, Any],
    thing: str,
    sheet: str,
    as_: str = "correction",
    used: Collection[str] = (),
) -> tuple[Edit, ...]:
    """A thing by another sheet. A box stands the right way round by it, where there is one.

    Raises
    ------
    BadPlan : as ``with_sheet``; a sheet of a kind that cannot stand in its place.
    """
    job = job_of(doc)
    facts = job.sheets.get(sheet)
    box = job.boxes.get(thing)
    if box is None or not isinstance(facts, BoxSheet):
        return with_sheet(doc, thing, sheet, as_)
    if facts.kind not in fitting_kinds(job, thing):
        raise BadPlan(say("plan-sheet", sheet=sheet))
    if facts.kind == box.kind:
        ways = _turned(doc, thing, sheet, as_)
    else:
        ways = _exchanged(doc, job, box, facts, as_, used)
    best: tuple[Edit, ...] = ()
    least = inf
    for edits in ways:
        awry = _awry(applied(doc, edits))
        if awry < least:
            best, least = edits, awry
        if not awry:
            break
    return best


def _awry(doc: Mapping[str, Any]) -> int:
    """How many boxes stand the wrong way round."""
    broken = Ground.of(doc).broken
    return sum(broken[rule] for rule in FACING)


def _turned(doc: Mapping[str, Any], box: str, sheet: str, as_: str) -> Iterator[tuple[Edit, ...]]:
    edits = with_sheet(doc, box, sheet, as_)
    yield edits
    try:
        yield (*edits, *turn_round(applied(doc, edits), box, as_))
    except BadPlan:
        return


def _exchanged(
    doc: Mapping[str, Any], job: Job, box: Box, facts: BoxSheet, as_: str, used: Collection[str]
) -> Iterator[tuple[Edit, ...]]:
    """Another box at the same stop; the spans change over to it, then the first one goes."""
    new = new_id(doc, STEMS[facts.kind], used)
    row = {"id": new, "sheet": facts.id, "stop": box.stop, "name": new}
    own_sheet = () if facts.id in doc.get("sheets", {}) else (_added(facts.id, as_),)
    put = {"what": "add", "path": ["boxes"], "value": row, "as": as_}
    where = build(job).where
    ends = sorted(
        (point for point in job.plugged if point.box == box.id),
        key=lambda point: where.get(point, (len(where), 0)),
    )
    was = value_at(doc, ("boxes", box.id))
    gone = {"what": "remove", "path": ["boxes", box.id], "was": was, "as": as_}
    ports = PASSES[facts.kind]
    orders = (ports,) if facts.kind in ONWARD else (ports, ports[::-1])
    for order in orders:
        moved = [
            _end_moved(doc, job.plugged[end].id, end, f"{new}.{port}", as_)
            for end, port in zip(ends, order, strict=False)
        ]
        yield (*own_sheet, put, *moved, gone)


def _added(sheet: str, as_: str) -> Edit:
    return {"what": "add", "path": ["sheets", sheet], "value": dict(AS_TYPED[sheet]), "as": as_}


def _end_moved(doc: Mapping[str, Any], span: str, end: Point, to: str, as_: str) -> Edit:
    row = value_at(doc, ("spans", span))
    key = "from" if row["from"].lower() == str(end).lower() else "to"
    return {"what": "set", "path": ["spans", span, key], "value": to, "was": row[key], "as": as_}


# ---------------------------------------------------------------- sheets of one's own


def sheet_id(doc: Mapping[str, Any], title: str, used: Collection[str] = ()) -> str:
    """An id for a sheet of this title that no sheet of this job had yet."""
    stem = "-".join(re.findall(r"[a-z0-9]+", title.lower()))[:LONGEST_STEM].strip("-")
    stem = f"my.{stem or 'sheet'}"
    taken = {name.lower() for name in (*doc.get("sheets", {}), *STARTER, *used)}
    name, count = stem, 1
    while name in taken:
        count += 1
        name = f"{stem}-{count}"
    return name


def own_sheet(
    doc: Mapping[str, Any],
    thing: str,
    name: str,
    body: Mapping[str, Any],
    as_: str = "correction",
    used: Collection[str] = (),
) -> tuple[Edit, ...]:
    """A sheet with these keys, new or in place of what stood under its name, and used for a thing.

    Whoever uses the sheet already goes by the new figures.

    Raises
    ------
    BadPlan : a sheet that cannot be read, or one that does not fit the thing.
    """
    stands = doc.get("sheets", {}).get(name)
    edits: tuple[Edit, ...] = ()
    if stands is None:
        edits = ({"what": "add", "path": ["sheets", name], "value": dict(body), "as": as_},)
    elif dict(stands) != dict(body):
        edits = with_value(doc, ("sheets", name), dict(body), as_)
    after = applied(doc, edits)
    now = sheet_of(job_of(after), thing)
    if now is not None and now.id == name:
        return edits
    return (*edits, *chosen(after, thing, name, as_, used))


# ---------------------------------------------------------------- what each would do


def outcome(now: Ground, thing: str, sheet: str) -> Outcome | None:
    """The plan with another sheet, solved anew; None where the plan cannot take it."""
    try:
        after = now.after(chosen(now.doc, thing, sheet))
    except BadPlan:
        return None
    if after is None:
        return None
    volts = after.volts_at(after.far_end)
    reached = not after.prediction.study.network.unfed
    return Outcome(
        reached and after.works,
        reached and after.works_at_worst,
        volts.low if volts is not None else None,
        sum((after.stopped - now.stopped).values()),
    )
