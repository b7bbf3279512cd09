"""A box put into a span, taken out so that two spans become one, or turned round in its place.

Each function gives log entries without their common keys, which leave a job that can be read
(``planning``).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from engine.band import CORNERS
from engine.defaults import DEFAULTS
from engine.edits import value_at
from engine.job import BoxSheet, Job, Point, Span
from engine.network import build
from engine.planning import (
    BadPlan,
    Edit,
    adding,
    applied,
    editing,
    held,
    job_of,
    new_id,
    removing,
    setting,
    sheet_edits,
    sheet_of,
    thing_of,
)
from engine.rules.wiring import wrong_facing
from engine.say import say

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
    cut = thing_of(job.spans, span)
    facts = sheet_of(job, sheet, BoxSheet)
    if facts.kind not in PASSES:
        raise BadPlan(say("plan-no-way-through", sheet=sheet, kind=facts.kind))
    if not (isinstance(share, int | float) and 0 < share < 1):
        raise BadPlan(say("plan-share", share=str(share)))
    near = _towards_feed(job, cut)
    row = value_at(doc, ("spans", cut.id))
    here, there = _shared(row["length_m"], share)
    edits = [*sheet_edits(doc, sheet, as_)]
    box = new_id(doc, STEMS[facts.kind], used)
    if stop is None:
        stop, more = _stop_for(doc, job, cut, near, share, as_, used)
        edits += more
    edits.append(
        adding("boxes", {"id": box, "sheet": sheet, "stop": stop, "name": name or box}, as_)
    )
    far_key = "to" if Point.parse(row["from"]).box.lower() == near.box.lower() else "from"
    other = new_id(doc, "C", [*used, box])

    def halves(first: str, second: str) -> tuple[Edit, ...]:
        path = ("spans", cut.id)
        rest = {**row, "id": other, "from": f"{box}.{second}", "to": row[far_key]}
        return (
            *edits,
            setting((*path, far_key), f"{box}.{first}", row[far_key], as_),
            setting((*path, "length_m"), here, row["length_m"], as_),
            adding("spans", {**rest, "length_m": there}, as_),
        )

    first, second = PASSES[facts.kind]
    ways = [halves(first, second)]
    if facts.kind not in ONWARD:
        ways.append(halves(second, first))
    return min(ways, key=lambda way: _awry(job_of(applied(doc, way)), box, way is not ways[0]))


def take_out(doc: Mapping[str, Any], box: str, as_: str = "correction") -> tuple[Edit, ...]:
    """A box out of the run: its two spans become one, of the longer one's cable.

    A box at the end of the run goes with its span.

    Raises
    ------
    BadPlan : no such box, more than two of its spans in use, or the last box.
    """
    job = job_of(doc)
    gone = thing_of(job.boxes, box)
    spans = [span for point, span in job.plugged.items() if point.box == gone.id]
    if len(spans) > 2:
        raise BadPlan(say("plan-many-spans", box=gone.id, spans=len(spans)))
    drop = removing(doc, ("boxes", gone.id), as_)
    if len(spans) < 2:
        return held(doc, (*(removing(doc, ("spans", s.id), as_) for s in spans), drop))
    kept, lost = sorted(spans, key=lambda one: -one.length_m.expected)
    far = next(end for end in (lost.a, lost.b) if end.box != gone.id)
    path = ("spans", kept.id)
    row, other = value_at(doc, path), value_at(doc, ("spans", lost.id))
    key = "to" if Point.parse(row["to"]).box.lower() == gone.id.lower() else "from"
    total = _added(row["length_m"], other["length_m"])
    edits = (
        removing(doc, ("spans", lost.id), as_),
        setting((*path, key), str(far), row[key], as_),
        setting((*path, "length_m"), total, row["length_m"], as_),
        drop,
    )
    return held(doc, edits)


def turn_round(doc: Mapping[str, Any], box: str, as_: str = "correction") -> tuple[Edit, ...]:
    """A box the other way round: what is plugged into its two ports changes places.

    Two spans change in one edit of the list, for between two edits both would be in one port.

    Raises
    ------
    BadPlan : no such box, or one without two sides.
    """
    job = job_of(doc)
    turned = thing_of(job.boxes, box)
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
                single = setting(("spans", row["id"], key), new[key], row[key], as_)
        rows.append(new)
    edit = single if len(used) == 1 else setting(("spans",), rows, doc["spans"], as_)
    return held(doc, (edit,))


# ---------------------------------------------------------------- lengths


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


# ---------------------------------------------------------------- where, and which way round


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
    return ident, (editing("add", ("stops", ident), as_, value=body),)


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
