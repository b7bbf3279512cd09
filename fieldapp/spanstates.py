"""What is known of each span of a run: copper where it is proven, empty, suspect, or cut. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Set

from engine.job import Point, Span
from engine.judge import Judgement
from engine.study import Prediction
from engine.verdict import INSIDE, OUTSIDE


def span_states(judgement: Judgement, suspects: Set[str] | None = None) -> dict[str, str]:
    """``copper`` where the far end is proven, ``striped`` what is suspect, ``cut`` no data.

    A span is proven by the first measured port at or behind its outer end. ``suspects`` are the
    spans that the readings point to; while that is not worked out (None) it is where the loss
    starts: that port is outside, the ports in front of it agree.
    """
    prediction = judgement.prediction
    worst = _worst_by_point(judgement)
    dead = _dead_links(judgement)
    out = {}
    for span in prediction.job.spans.values():
        outer = _outer_end(prediction, span)
        seen = _first_judged_behind(prediction, outer, worst) if outer else None
        ohms = _span_word(judgement, span.id)
        if suspects is not None and span.id in suspects:
            out[span.id] = "striped"
        elif OUTSIDE in (ohms, seen and worst[seen]):
            starts = (
                ohms == OUTSIDE or outer is None or not _outside_in_front(prediction, outer, worst)
            )
            out[span.id] = "striped" if starts and suspects is None else "empty"
        elif seen is not None and worst[seen] == INSIDE:
            out[span.id] = "cut" if span.id in dead else "copper"
        else:
            out[span.id] = "empty"
    return out


def _worst_by_point(judgement: Judgement, *, since: int = -1) -> dict[Point, str]:
    """The word on the current volts of each point; the worse where there are two. Only readings
    behind the place ``since`` of the log count."""
    rank = {INSIDE: 0, "unclear": 1, OUTSIDE: 2}
    out: dict[Point, str] = {}
    for verdict in judgement.verdicts:
        reading = verdict.reading
        counts = verdict.current and reading.kind == "volts" and reading.place > since
        if counts and verdict.verdict in rank:
            at = Point.parse(verdict.reading.at)
            if rank[verdict.verdict] >= rank.get(out.get(at, INSIDE), 0):
                out[at] = verdict.verdict
    return out


def _outer_end(prediction: Prediction, span: Span) -> Point | None:
    where = prediction.study.network.where
    ends = [end for end in (span.a, span.b) if end in where]
    return max(ends, key=lambda end: where[end]) if len(ends) == 2 else None


def _first_judged_behind(
    prediction: Prediction, outer: Point, worst: Mapping[Point, str]
) -> Point | None:
    """The first point at or behind ``outer`` whose volts say something: unclear ones do not."""
    network = prediction.study.network
    tree, start = network.where[outer]
    nodes = network.trees[tree].nodes
    behind = {start}
    for i, node in enumerate(nodes):
        if i >= start and (i in behind or node.parent in behind):
            behind.add(i)
            if worst.get(node.point) in (INSIDE, OUTSIDE):
                return node.point
    return None


def _outside_in_front(prediction: Prediction, outer: Point, worst: Mapping[Point, str]) -> bool:
    network = prediction.study.network
    tree, i = network.where[outer]
    nodes = network.trees[tree].nodes
    i = nodes[i].parent
    while i >= 0:
        if worst.get(nodes[i].point) == OUTSIDE:
            return True
        i = nodes[i].parent
    return False


def _span_word(judgement: Judgement, span: str) -> str | None:
    words_ = [
        v.verdict
        for v in judgement.verdicts
        if v.current and v.reading.at == span and v.reading.kind == "loop_ohms"
    ]
    return words_[-1] if words_ else None


def _dead_links(judgement: Judgement) -> frozenset[str]:
    """Spans of links that were read as no link, or slower than they should be."""
    bad = {
        v.reading.at
        for v in judgement.verdicts
        if v.current and v.reading.kind == "mbps" and v.verdict == OUTSIDE
    }
    return frozenset(
        part
        for link in judgement.prediction.links
        if {str(link.start), str(link.end)} & bad
        for part in link.through
    )
