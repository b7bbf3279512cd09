"""From a judgement to what the drawings take: the run as a line, and the volts along it. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from itertools import pairwise

from engine.job import Box, Job, Point, Span
from engine.judge import Judgement
from engine.stays import came_back
from engine.study import Prediction, Range
from engine.verdict import INSIDE, OUTSIDE, Verdict
from fieldapp import words
from fieldapp.drawing.fallscale import FallPoint
from fieldapp.drawing.run import Branch, RunBox, RunLine, RunSpan, RunStop
from fieldapp.spanstates import _worst_by_point, span_states

OUTLINES = {"long-span": "round", "exposed": "teeth", "equipment": "jack"}
ORDINARY = frozenset({"source", "injector", "repeater", "splitter", "arrestor", "long-span"})
"""kinds whose other ports take a plug: drawn as a square jack"""


def outline(box: Box, port: str) -> str:
    """The outline of a side: what it wants to meet; an ordinary port takes a plug."""
    faces = box.sheet.faces(port)
    return OUTLINES.get(faces) or ("jack" if box.kind in ORDINARY else "flat")


@dataclass(frozen=True)
class Paths:
    """The boxes from the feed to the end that is walked to, and the branches that leave it."""

    main: tuple[str, ...]
    branches: tuple[tuple[str, tuple[str, ...]], ...]


def paths(prediction: Prediction, towards: str = "") -> Paths:
    """The longest way from the first feed to an endpoint, and what hangs beside it.

    ``towards`` is a box or span that shall lie on the way, wherever one leads there.

    Boxes that no feed reaches are put behind those that are, in the file's order, so that a
    plan without a source still has a drawing.
    """
    job = prediction.job
    above = _parents(prediction)
    metres = _metres_from_feed(job, above)
    ends = [name for name, box in job.boxes.items() if box.kind == "endpoint" and name in above]
    ends = ends or [name for name in above if name not in set(above.values())]
    if not ends:
        return Paths(tuple(job.boxes), ())
    through = _boxes_at(job, towards)
    far = max(ends, key=lambda name: (through <= set(_way(name, above)), metres[name]))
    main = _way(far, above)
    branches = []
    for end in ends:
        if end != far:
            way = _way(end, above)
            shared = [name for name in way if name in main]
            if shared:
                branches.append((shared[-1], tuple(way[len(shared) :])))
    loose = [name for name in job.boxes if name not in above]
    return Paths((*main, *loose) if not branches else tuple(main), tuple(branches))


def _boxes_at(job: Job, thing: str) -> set[str]:
    """The boxes of a thing: both ends of a span, the box itself, none of anything else."""
    if thing in job.spans:
        return {job.spans[thing].a.box, job.spans[thing].b.box}
    return {thing} & set(job.boxes)


def _parents(prediction: Prediction) -> dict[str, str | None]:
    """The box in front of each box that a feed reaches."""
    above: dict[str, str | None] = {}
    for tree in prediction.study.network.trees:
        above.setdefault(tree.box.id, None)
        for node in tree.nodes[1:]:
            before = tree.nodes[node.parent].point.box
            if before != node.point.box:
                above.setdefault(node.point.box, before)
    return above


def _way(end: str, above: Mapping[str, str | None]) -> list[str]:
    way: list[str] = []
    name: str | None = end
    while name is not None and name not in way:
        way.append(name)
        name = above.get(name)
    return way[::-1]


def _metres_from_feed(job: Job, above: Mapping[str, str | None]) -> dict[str, float]:
    """How far out each box is; one in front stands before those behind it. [m]"""
    joins = spans_between(job)
    out: dict[str, float] = {}
    for name, before in above.items():
        span = joins.get(frozenset((before, name))) if before is not None else None
        out[name] = out.get(before or "", 0.0) + (span.length_m.expected if span else 0.0)
    return out


def spans_between(job: Job) -> Mapping[frozenset[str], Span]:
    """The spans by the two boxes that they join, the first where there are several."""
    return {frozenset((s.a.box, s.b.box)): s for s in reversed(tuple(job.spans.values()))}


def span_between(job: Job, a: str, b: str) -> Span | None:
    """The span that joins two boxes."""
    return next((s for s in job.spans.values() if {s.a.box, s.b.box} == {a, b}), None)


def run_length_m(judgement: Judgement) -> float:
    """Metres of cable from the feed to the far end."""
    job = judgement.state.job
    main = paths(judgement.prediction).main
    spans = [span_between(job, a, b) for a, b in pairwise(main)]
    return sum(span.length_m.expected for span in spans if span)


# ---------------------------------------------------------------- the line


def run_line(
    judgement: Judgement,
    here: str = "",
    *,
    towards: str = "",
    suspects: Set[str] | None = None,
) -> RunLine:
    """The run for ribbon and falling line; ``towards`` a box or span that shall lie on it.

    ``suspects`` as in ``span_states``; boxes among them are marked too.
    """
    job, prediction = judgement.state.job, judgement.prediction
    ways = paths(prediction, towards)
    states = span_states(judgement, suspects)
    wrong = {f.at for f in prediction.findings if f.rule in ("orientation", "arrestor-facing")}
    bonded = {name for name, box in job.boxes.items() if box.bond is not None}

    def box(name: str, before: str | None, after: str | None) -> RunBox:
        one = job.boxes[name]
        left, right = sides(job, name, before, after)
        return RunBox(
            name,
            one.kind,
            job.stops[one.stop].at_m,
            one.stop,
            left,
            right,
            name in wrong,
            name in bonded,
            one.name,
            name in (suspects or ()),
        )

    def boxes(names: tuple[str, ...], before: str | None = None) -> tuple[RunBox, ...]:
        chain = (before, *names, None)
        return tuple(box(name, chain[i], chain[i + 2]) for i, name in enumerate(names))

    def spans(names: tuple[str, ...]) -> tuple[RunSpan, ...]:
        out = []
        for a, b in pairwise(names):
            span = span_between(job, a, b)
            if span:
                state = states[span.id]
                out.append(RunSpan(span.id, a, b, span.length_m.expected, state))
        return tuple(out)

    stops = tuple(
        RunStop(stop.id, stop.name, stop.at_m)
        for stop in sorted(job.stops.values(), key=lambda stop: stop.at_m)
        if any(job.boxes[name].stop == stop.id for name in job.boxes)
    )
    branches = tuple(
        Branch(start, boxes(names, start), spans((start, *names)), job.boxes[names[-1]].name)
        for start, names in ways.branches
        if names
    )
    return RunLine(boxes(ways.main), spans(ways.main), stops, here, branches)


def sides(job: Job, name: str, before: str | None, after: str | None) -> tuple[str, str]:
    """The outlines left and right as the box stands: left looks back to the source."""
    box = job.boxes[name]
    left = port_towards(job, name, before) if before else None
    right = port_towards(job, name, after) if after else None
    ports = job.ports(box)
    if left is None and right is None:
        left, right = (None, ports[0]) if box.kind == "source" else (ports[0], ports[-1])
    elif left is None:
        left = next((port for port in ports if port != right), None)
    elif right is None:
        right = next((port for port in ports if port != left), None)
    return _face(box, left), _face(box, right)


def _face(box: Box, port: str | None) -> str:
    return "flat" if port is None else outline(box, port)


def port_towards(job: Job, name: str, other: str | None) -> str | None:
    """The port of a box that a span joins to another box."""
    span = span_between(job, name, other) if other else None
    if span is None:
        return None
    return (span.a if span.a.box == name else span.b).port


# ---------------------------------------------------------------- the volts along it


def upstream_point(prediction: Prediction, name: str) -> Point | None:
    """The port of a box nearest its feed: where its volts are told."""
    return prediction.study.network.upstream_port(name)


def _within(today: Range, design: Range) -> tuple[float | None, float | None]:
    """Today's ends as far as the plan allows: two deviations may reach beyond a hard limit."""
    low, high = today.low, today.high
    if low is not None and design.low is not None:
        low = max(low, design.low)
    if high is not None and design.high is not None:
        high = min(high, design.high)
    apart = low is not None and high is not None and low > high
    return (today.low, today.high) if apart else (low, high)


def fall_points(judgement: Judgement, *, today: bool = False) -> dict[str, FallPoint]:
    """What is known of the volts at each box; with ``today`` also what measuring has left of it.

    What was read before the site was left stands among the earlier readings: it is how it was.
    """
    prediction = judgement.prediction
    back = came_back(judgement.state)
    since = back.place if back is not None else -1
    today = today and has_learned(judgement)
    out = {}
    for name in prediction.job.boxes:
        at = upstream_point(prediction, name)
        seen = prediction.points.get(at) if at else None
        if seen is None:
            out[name] = FallPoint()
            continue
        read = [v for v in volts_at(judgement, name) if v.current]
        last = read[-1] if read and read[-1].reading.place > since else None
        narrow = judgement.today.band(str(at), "volts") if today else None
        low, high = _within(narrow, seen.volts) if isinstance(narrow, Range) else (None, None)
        out[name] = FallPoint(
            today_low=low,
            today_high=high,
            low=seen.volts.low,
            expected=seen.volts.expected if seen.state == "on" else _lets_go(prediction, name),
            high=seen.volts.high,
            reading=abs(last.reading.figure) if last else None,
            verdict=last.verdict if last else None,
            earlier=tuple(abs(v.reading.figure) for v in read if v is not last),
            dimension=dimension(last) if last else "",
        )
    return out


def has_learned(judgement: Judgement) -> bool:
    """Whether any accepted reading has narrowed what the plan alone says."""
    return any(v.current and v.z is not None and v.verdict != OUTSIDE for v in judgement.verdicts)


def _lets_go(prediction: Prediction, name: str) -> float | None:
    """The volts of a source whose port lets go: the line falls from there."""
    sheet = prediction.job.boxes[name].sheet
    lets_go = any(feed.box == name for feed in prediction.study.cut)
    return sheet.volts.expected if lets_go and sheet.volts else None


def volts_at(judgement: Judgement, name: str) -> list[Verdict]:
    """The verdicts on loaded volts at a box; its port nearest the feed speaks last."""
    first = upstream_point(judgement.prediction, name)
    found = [
        v
        for v in judgement.verdicts
        if v.reading.kind == "volts"
        and v.reading.standing.as_planned
        and Point.parse(v.reading.at).box == name
    ]
    return sorted(found, key=lambda v: Point.parse(v.reading.at) == first)


def dimension(verdict: Verdict) -> str:
    """``2.7 V low`` for a reading that is outside, measured from the band's end."""
    band, value = verdict.band, abs(verdict.reading.figure)
    if verdict.verdict != OUTSIDE or band is None:
        return ""
    if band.low is not None and value < band.low:
        return words.off_by(band.low - value, verdict.reading.kind, low=True)
    if band.high is not None and value > band.high:
        return words.off_by(value - band.high, verdict.reading.kind, low=False)
    return ""


def floor_of(prediction: Prediction) -> tuple[float, str] | None:
    """The highest cut-off of the run and the box that has it."""
    loads = [node.load for tree in prediction.study.network.trees for node in tree.nodes]
    boxes = [box for box in loads if box is not None]
    if not boxes:
        return None
    # of several boxes that stop at the same volts, the farthest starves first
    cutoff = max(box.sheet.cutoff_volts for box in boxes)
    return cutoff, [box for box in boxes if box.sheet.cutoff_volts == cutoff][-1].id


def last_good_before(judgement: Judgement, at: str) -> str | None:
    """The nearest box in front of a point whose volts were as expected, of those read on this
    stay."""
    network = judgement.prediction.study.network
    place = network.where.get(Point.parse(at))
    if place is None:
        return None
    back = came_back(judgement.state)
    worst = _worst_by_point(judgement, since=back.place if back is not None else -1)
    nodes = network.trees[place[0]].nodes
    i = nodes[place[1]].parent
    while i >= 0:
        if worst.get(nodes[i].point) == INSIDE:
            return nodes[i].point.box
        i = nodes[i].parent
    return None


def ordered_points(prediction: Prediction) -> tuple[Point, ...]:
    """All points in run order; those that no feed reaches come last."""
    reached = list(prediction.study.network.where)
    rest = [point for point in prediction.points if point not in set(reached)]
    return (*reached, *rest)


def latest_at(judgement: Judgement, at: str, kind: str = "volts") -> Verdict | None:
    """The last current verdict of a kind at a point."""
    found = [
        v for v in judgement.verdicts if v.current and v.reading.at == at and v.reading.kind == kind
    ]
    return found[-1] if found else None


def verdict_of(judgement: Judgement, reading: str) -> Verdict | None:
    """The verdict on a reading by its entry's id."""
    return next((v for v in judgement.verdicts if v.id == reading), None)
