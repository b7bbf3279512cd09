"""Edits of a plan: a box put in, taken out, turned round, another sheet, a bond, a stop.

Each function gives log entries without their common keys. Applied in their order, every one
of them leaves a job that can be read, so that a log holding them folds as it stands.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, TypeVar

from engine.band import CORNERS
from engine.defaults import DEFAULTS
from engine.edits import GONE, BadEdit, edited, ids_of, value_at
from engine.entries import Entry
from engine.job import AnySheet, BoxSheet, CableSheet, Job, MeterSheet, Point, Span
from engine.jobfile import BadFile, read_job
from engine.network import build
from engine.rules.wiring import wrong_facing
from engine.say import Say, say
from engine.sheets import AS_TYPED, STARTER

Edit = Mapping[str, Any]
"""a log entry without its common keys"""

PASSES = {
    "injector": ("in", "out"),
    "repeater": ("in", "out"),
    "long-span": ("in", "out"),
    "splitter": ("in", "out1"),
    "arrestor": ("line", "kit"),
    "joint": ("a", "b"),
}
"""the two ports by which a box stands in a span; the first towards the feed if all else is even"""
ONWARD = frozenset({"injector", "splitter"})
"""kinds whose first port is towards the feed, whatever it meets"""
STEMS = {
    "injector": "I",
    "repeater": "R",
    "long-span": "B",
    "splitter": "P",
    "arrestor": "A",
    "joint": "J",
}
BY_THE_END_M = 5.0
"""a box nearer than this to an end of its span stands at that end's stop (ours)"""
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


def put_in(
    doc: Mapping[str, Any],
    span: str,
    sheet: str,
    *,
    name: str = "",
    stop: str | None = None,
    share: float = 0.5,
    as_: str = "correction",
    used: Collection[str] = (),
) -> tuple[Edit, ...]:
    """A box into a span. ``share`` of its length lies between the feed and the box.

    The half towards the feed keeps the span's id. Without a stop the box stands at that of
    an end if it is near it, else at a new one on the way.

    Raises
    ------
    BadPlan : no such span, no box to stand in a span, a share not between 0 and 1.
    """
    job = job_of(doc)
    cut = _thing(job.spans, span)
    facts = _sheet(job, sheet, BoxSheet)
    if facts.kind not in PASSES:
        raise BadPlan(say("plan-no-way-through", sheet=sheet, kind=facts.kind))
    if not (isinstance(share, int | float) and 0 < share < 1):
        raise BadPlan(say("plan-share", share=str(share)))
    near = _towards_feed(job, cut)
    row = value_at(doc, ("spans", cut.id))
    here, there = _shared(row["length_m"], share)
    edits = [*_sheet_edits(doc, sheet, as_)]
    box = new_id(doc, STEMS[facts.kind], used)
    if stop is None:
        stop, more = _stop_for(doc, job, cut, near, share, as_, used)
        edits += more
    edits.append(_add("boxes", {"id": box, "sheet": sheet, "stop": stop, "name": name or box}, as_))
    far_key = "to" if Point.parse(row["from"]).box.lower() == near.box.lower() else "from"
    other = new_id(doc, "C", [*used, box])

    def halves(first: str, second: str) -> tuple[Edit, ...]:
        path = ("spans", cut.id)
        rest = {**row, "id": other, "from": f"{box}.{second}", "to": row[far_key]}
        return (
            *edits,
            _set((*path, far_key), f"{box}.{first}", row[far_key], as_),
            _set((*path, "length_m"), here, row["length_m"], as_),
            _add("spans", {**rest, "length_m": there}, as_),
        )

    first, second = PASSES[facts.kind]
    ways = [halves(first, second)]
    if facts.kind not in ONWARD:
        ways.append(halves(second, first))
    return min(ways, key=lambda way: _awry(_checked(doc, way), box, way is not ways[0]))


def take_out(doc: Mapping[str, Any], box: str, as_: str = "correction") -> tuple[Edit, ...]:
    """A box out of the run: its two spans become one, of the longer one's cable.

    A box at the end of the run goes with its span.

    Raises
    ------
    BadPlan : no such box, more than two of its spans in use, or the last box.
    """
    job = job_of(doc)
    gone = _thing(job.boxes, box)
    spans = [span for point, span in job.plugged.items() if point.box == gone.id]
    if len(spans) > 2:
        raise BadPlan(say("plan-many-spans", box=gone.id, spans=len(spans)))
    drop = _remove(doc, ("boxes", gone.id), as_)
    if len(spans) < 2:
        return _held(doc, (*(_remove(doc, ("spans", s.id), as_) for s in spans), drop))
    kept, lost = sorted(spans, key=lambda one: -one.length_m.expected)
    far = next(end for end in (lost.a, lost.b) if end.box != gone.id)
    path = ("spans", kept.id)
    row, other = value_at(doc, path), value_at(doc, ("spans", lost.id))
    key = "to" if Point.parse(row["to"]).box.lower() == gone.id.lower() else "from"
    total = _added(row["length_m"], other["length_m"])
    edits = (
        _remove(doc, ("spans", lost.id), as_),
        _set((*path, key), str(far), row[key], as_),
        _set((*path, "length_m"), total, row["length_m"], as_),
        drop,
    )
    return _held(doc, edits)


def turn_round(doc: Mapping[str, Any], box: str, as_: str = "correction") -> tuple[Edit, ...]:
    """A box the other way round: what is plugged into its two ports changes places.

    Two spans change in one edit of the list, for between two edits both would be in one port.

    Raises
    ------
    BadPlan : no such box, or one without two sides.
    """
    job = job_of(doc)
    turned = _thing(job.boxes, box)
    used = [point.port for point in job.plugged if point.box == turned.id]
    first, second = PASSES.get(turned.kind, ("", ""))
    if not first or not used or not set(used) <= {first, second}:
        raise BadPlan(say("plan-no-turning", box=turned.id))
    other = {first: second, second: first}
    rows: list[dict[str, Any]] = []
    for row in doc["spans"]:
        new = dict(row)
        for key in ("from", "to"):
            end = Point.parse(row[key])
            if end.box.lower() == turned.id.lower():
                new[key] = f"{turned.id}.{other[end.port]}"
                single = _set(("spans", row["id"], key), new[key], row[key], as_)
        rows.append(new)
    edit = single if len(used) == 1 else _set(("spans",), rows, doc["spans"], as_)
    return _held(doc, (edit,))


def move_to(
    doc: Mapping[str, Any], box: str, stop: str, as_: str = "correction"
) -> tuple[Edit, ...]:
    """A box to another stop of the plan."""
    job = job_of(doc)
    moved = _thing(job.boxes, box)
    return with_value(doc, ("boxes", moved.id, "stop"), _thing(job.stops, stop).id, as_)


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
            _sheet(job, sheet, sort)
            key = "cable" if group == "spans" else "sheet"
            edit = _set_at(doc, (group, name, key), sheet, as_)
            return _held(doc, (*_sheet_edits(doc, sheet, as_), edit))
    raise BadPlan(say("plan-absent", thing=thing))


def with_value(
    doc: Mapping[str, Any], path: Collection[str], value: Any, as_: str = "correction"
) -> tuple[Edit, ...]:
    """One value set, with what stood there."""
    return _held(doc, (_set_at(doc, tuple(path), value, as_),))


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
    bond = {"to": _thing(job.earths, earth).id, **{k: v for k, v in lead.items() if v is not None}}
    return with_value(doc, ("boxes", _thing(job.boxes, box).id, "bond"), bond, as_)


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
    return _held(doc, (_edit("add", ("stops", stop_id), as_, value=dict(body)),))


# ---------------------------------------------------------------- what the functions share


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


def _checked(doc: Mapping[str, Any], edits: tuple[Edit, ...]) -> Job:
    return job_of(applied(doc, edits))


def _held(doc: Mapping[str, Any], edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
    """The edits, if what they give can be read as a job."""
    _checked(doc, edits)
    return edits


def _thing(known: Mapping[str, Any], name: str) -> Any:
    for one, thing in known.items():
        if one.lower() == name.lower():
            return thing
    raise BadPlan(say("plan-absent", thing=name))


def _sheet(job: Job, name: str, sort: type[Sort]) -> Sort:
    found = job.sheets.get(name) or STARTER.get(name)
    if not isinstance(found, sort):
        raise BadPlan(say("plan-sheet", sheet=name))
    return found


def _sheet_edits(doc: Mapping[str, Any], name: str, as_: str) -> tuple[Edit, ...]:
    if name in doc.get("sheets", {}):
        return ()
    return (_edit("add", ("sheets", name), as_, value=dict(AS_TYPED[name])),)


def _edit(what: str, path: tuple[str, ...], as_: str, **keys: Any) -> Edit:
    return {"what": what, "path": list(path), **keys, "as": as_}


def _add(group: str, row: Mapping[str, Any], as_: str) -> Edit:
    return _edit("add", (group,), as_, value=dict(row))


def _set(path: tuple[str, ...], value: Any, was: Any, as_: str) -> Edit:
    return _edit("set", path, as_, value=value, was=was)


def _set_at(doc: Mapping[str, Any], path: tuple[str, ...], value: Any, as_: str) -> Edit:
    was = value_at(doc, path)
    return _edit("set", path, as_, value=value, **({} if was is GONE else {"was": was}))


def _remove(doc: Mapping[str, Any], path: tuple[str, ...], as_: str) -> Edit:
    return _edit("remove", path, as_, was=value_at(doc, path))


def _shared(length: Any, share: float) -> tuple[Any, Any]:
    """A length in two that add up to it; bands keep their shape."""
    if isinstance(length, Mapping):
        parts = {key: _shared(value, share) for key, value in length.items()}
        return {k: p[0] for k, p in parts.items()}, {k: p[1] for k, p in parts.items()}
    here = length * share
    return here, length - here


def _added(one: Any, other: Any) -> Any:
    """Two lengths together; a bare one beside a band takes its own tolerance."""
    if not isinstance(one, Mapping) and not isinstance(other, Mapping):
        return one + other
    one, other = (x if isinstance(x, Mapping) else _with_tolerance(x) for x in (one, other))
    return {key: one[key] + other[key] for key in CORNERS}


def _with_tolerance(metres: float) -> dict[str, float]:
    band = DEFAULTS["length"].spread(metres)
    return {"low": band.low, "expected": band.expected, "high": band.high}


def _towards_feed(job: Job, span: Span) -> Point:
    """The end of a span that power reaches first; that written first where none comes."""
    where = build(job).where
    nowhere = (len(where), 0)
    return min((span.a, span.b), key=lambda end: where.get(end, nowhere))


def _stop_for(
    doc: Mapping[str, Any],
    job: Job,
    span: Span,
    near: Point,
    share: float,
    as_: str,
    used: Collection[str],
) -> tuple[str, tuple[Edit, ...]]:
    """Where a box in a span stands: the id of the stop, and the edits that make it."""
    first, second = (job.stops[job.boxes[e.box].stop] for e in (near, span.far(near)))
    metres = span.length_m.expected
    end = first if share <= 0.5 else second
    if first.id == second.id or min(share, 1 - share) * metres <= BY_THE_END_M:
        return end.id, ()
    at_m = first.at_m + share * (second.at_m - first.at_m)
    ident = new_id(doc, "M", used)
    body = {"at_m": round(at_m, 1), "indoor": not job.is_exposed(span)}
    return ident, (_edit("add", ("stops", ident), as_, value=body),)


def _awry(job: Job, box: str, turned: bool) -> tuple[float, ...]:
    """How badly a box stands in this job: ports that meet the wrong thing, then its own side."""
    network = build(job)
    wrong = sum(
        wrong_facing(job, network, Point(one.id, port)) is not None
        for one in job.boxes.values()
        for port in job.ports(one)
    )
    own = job.boxes[box]
    for port in PASSES[own.kind]:
        if own.sheet.faces(port) in ("exposed", "long-span"):
            mine = job.span_at(Point(box, port))
            assert mine is not None  # it was put between two halves of a span
            exposed = job.is_exposed(mine) or own.sheet.faces(port) == "long-span"
            return (wrong, not exposed, -mine.length_m.expected, turned)
    return (wrong, False, 0.0, turned)
