"""Edits of a plan: another sheet, a bond, a stop, a value; and what edits are made of.

Each function gives log entries without their common keys. Applied in their order, every one
of them leaves a job that can be read, so that a log holding them folds as it stands.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, TypeVar

from engine.edits import GONE, BadEdit, edited, ids_of, value_at
from engine.entries import Entry
from engine.job import AnySheet, BoxSheet, CableSheet, Job, MeterSheet
from engine.jobfile import BadFile, read_job
from engine.say import Say, say
from engine.sheets import AS_TYPED, STARTER

Edit = Mapping[str, Any]
"""a log entry without its common keys"""

GROUPS: Mapping[str, type[AnySheet]] = {
    "boxes": BoxSheet,
    "spans": CableSheet,
    "meters": MeterSheet,
}
Sort = TypeVar("Sort", bound=AnySheet)


class BadPlan(Exception):
    """An edit that cannot be made; ``say`` is why."""

    def __init__(self, why: Say) -> None:
        self.say = why
        super().__init__(why.code)


def applied(doc: Mapping[str, Any], edits: tuple[Edit, ...]) -> dict[str, Any]:
    """The document with these edits carried out in their order.

    Raises
    ------
    BadPlan : a path leads nowhere.
    """
    out = dict(doc)
    for edit in edits:
        body = {key: value for key, value in edit.items() if key != "what"}
        try:
            out = edited(out, Entry(id="", what=edit["what"], body=body))
        except BadEdit as problem:
            raise BadPlan(say("plan-path", problem=str(problem))) from None
    return out


def new_id(doc: Mapping[str, Any], stem: str, used: Collection[str] = ()) -> str:
    """An id with a count that was never in this plan; ``used`` are those its log had."""
    taken = ids_of(doc) | {name.lower() for name in used}
    taken |= {str(box.get("stop", "")).lower() for box in doc.get("boxes", ())}
    count = 1
    while f"{stem}{count}".lower() in taken:
        count += 1
    return f"{stem}{count}"


def move_to(
    doc: Mapping[str, Any], box: str, stop: str, as_: str = "correction"
) -> tuple[Edit, ...]:
    """A box to another stop of the plan."""
    job = job_of(doc)
    moved = thing_of(job.boxes, box)
    return with_value(doc, ("boxes", moved.id, "stop"), thing_of(job.stops, stop).id, as_)


def with_sheet(
    doc: Mapping[str, Any], thing: str, sheet: str, as_: str = "correction"
) -> tuple[Edit, ...]:
    """A box, a span (its cable) or a meter by another sheet, which is added if it is a starter's.

    Raises
    ------
    BadPlan : no such thing, a sheet of another sort, or one without the ports in use.
    """
    job = job_of(doc)
    for group, sort in GROUPS.items():
        known = getattr(job, group)
        name = next((one for one in known if one.lower() == thing.lower()), None)
        if name is not None:
            sheet_of(job, sheet, sort)
            key = "cable" if group == "spans" else "sheet"
            edit = setting_at(doc, (group, name, key), sheet, as_)
            return held(doc, (*sheet_edits(doc, sheet, as_), edit))
    raise BadPlan(say("plan-absent", thing=thing))


def with_value(
    doc: Mapping[str, Any], path: Collection[str], value: Any, as_: str = "correction"
) -> tuple[Edit, ...]:
    """One value set, with what stood there."""
    return held(doc, (setting_at(doc, tuple(path), value, as_),))


def bond_to(
    doc: Mapping[str, Any],
    box: str,
    earth: str,
    lead_m: float | None = None,
    mm2: float | None = None,
    as_: str = "correction",
) -> tuple[Edit, ...]:
    """A box bonded to an earth of the plan; lead in metres and square millimetres if known."""
    job = job_of(doc)
    lead = {"lead_m": lead_m, "mm2": mm2}
    bond = {
        "to": thing_of(job.earths, earth).id,
        **{k: v for k, v in lead.items() if v is not None},
    }
    return with_value(doc, ("boxes", thing_of(job.boxes, box).id, "bond"), bond, as_)


def add_stop(
    doc: Mapping[str, Any],
    stop_id: str,
    body: Mapping[str, Any],
    as_: str = "correction",
    used: Collection[str] = (),
) -> tuple[Edit, ...]:
    """A stop of this id, never used before."""
    if stop_id.lower() in ids_of(doc) | {name.lower() for name in used}:
        raise BadPlan(say("plan-id-used", thing=stop_id))
    return held(doc, (editing("add", ("stops", stop_id), as_, value=dict(body)),))


# ---------------------------------------------------------------- what edits are made of


def job_of(doc: Mapping[str, Any]) -> Job:
    """The job of a document, whatever its log says.

    Raises
    ------
    BadPlan : it does not hold together.
    """
    try:
        return read_job({**doc, "log": []}).plan
    except BadFile as bad:
        raise BadPlan(say("plan-unread", problem=bad.problems[0].line())) from None


def held(doc: Mapping[str, Any], edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
    """The edits, if what they give can be read as a job."""
    job_of(applied(doc, edits))
    return edits


def thing_of(known: Mapping[str, Any], name: str) -> Any:
    """A thing by its name, however that is spelled."""
    for one, thing in known.items():
        if one.lower() == name.lower():
            return thing
    raise BadPlan(say("plan-absent", thing=name))


def sheet_of(job: Job, name: str, sort: type[Sort]) -> Sort:
    """A sheet of this sort, of the job or a starter's."""
    found = job.sheets.get(name) or STARTER.get(name)
    if not isinstance(found, sort):
        raise BadPlan(say("plan-sheet", sheet=name))
    return found


def sheet_edits(doc: Mapping[str, Any], name: str, as_: str) -> tuple[Edit, ...]:
    """What brings a starter's sheet into the job, if it is not there."""
    if name in doc.get("sheets", {}):
        return ()
    return (editing("add", ("sheets", name), as_, value=dict(AS_TYPED[name])),)


def editing(what: str, path: tuple[str, ...], as_: str, **keys: Any) -> Edit:
    """One edit, as it stands in a log."""
    return {"what": what, "path": list(path), **keys, "as": as_}


def adding(group: str, row: Mapping[str, Any], as_: str) -> Edit:
    """A thing put at the end of a list."""
    return editing("add", (group,), as_, value=dict(row))


def setting(path: tuple[str, ...], value: Any, was: Any, as_: str) -> Edit:
    """A value in place of another."""
    return editing("set", path, as_, value=value, was=was)


def setting_at(doc: Mapping[str, Any], path: tuple[str, ...], value: Any, as_: str) -> Edit:
    """A value in place of what stands there, if something does."""
    was = value_at(doc, path)
    return editing("set", path, as_, value=value, **({} if was is GONE else {"was": was}))


def removing(doc: Mapping[str, Any], path: tuple[str, ...], as_: str) -> Edit:
    """A thing taken out, with what it was."""
    return editing("remove", path, as_, was=value_at(doc, path))
