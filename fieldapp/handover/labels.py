"""What the labels of a job carry: one for each box, each end of a span, and each bond. Pure.

Records name both ends of every cable alike, within 300 mm of the end (TIA-606, from memory); what
else a label carries is common practice, as is that a bond says it is one.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from functools import cache, partial
from itertools import pairwise
from typing import Any

from attrs import frozen

from engine.job import Box, Job, Point, Span
from engine.judge import Judgement
from engine.practice.after import is_made_up
from engine.study import NOTHING, Prediction, Range
from fieldapp.handover.codes import Square, TooLong, code_text, square_of
from fieldapp.runline import outline, paths, spans_between

BOX, END, BOND = "box", "end", "bond"
SOURCE, ONWARDS = "source", "end"
"""the two ways a port can look; '' where no source is joined to it"""


@frozen
class LabelPort:
    """A port on a label: its name, where it looks, the outline of its side, what is plugged in."""

    name: str
    way: str
    outline: str
    to: str = ""


@frozen
class LabelFacts:
    """All that one label says. ``volts`` is what a sound run built to this plan shows there.

    ``stripe`` is the falling line through this place: (metres, volts) outwards from the feed.
    """

    sort: str
    thing: str
    at: str
    """where an end is plugged in, or a bond's earth"""
    name: str
    kind: str
    """the kind of box that is drawn"""
    ports: tuple[LabelPort, ...]
    metres: float | None
    volts: Range
    bonded: bool
    made_up: bool
    date: str
    code: str
    square: Square | None
    """None where the ids are too long for any square code"""
    stripe: tuple[tuple[float, float], ...]


@frozen
class Walked:
    """How far each box is from the source along the cable [m], and its port that looks there."""

    metres: Mapping[str, float]
    back: Mapping[str, str]

    def way(self, job: Job, at: Point) -> str:
        """Where a port looks: towards the source, towards the end, or '' where none is joined."""
        if at.box not in self.metres:
            return ""
        return SOURCE if at.port == self.back[at.box] else ONWARDS


def walked(job: Job) -> Walked:
    """The boxes of a plan from its sources outwards, by expected lengths of cable.

    Without a source the injectors stand for it: power starts there.
    """
    starts = [box for box in job.boxes.values() if box.kind == "source"]
    starts = starts or [box for box in job.boxes.values() if box.sheet.facts.feeds]
    metres = {box.id: 0.0 for box in starts}
    back = {box.id: "" for box in starts}
    ahead = deque(metres)
    while ahead:
        here = ahead.popleft()
        for port in job.ports(job.boxes[here]):
            span = job.span_at(Point(here, port))
            if span is None:
                continue
            far = span.far(Point(here, port))
            if far.box not in metres:
                metres[far.box] = metres[here] + span.length_m.expected
                back[far.box] = far.port
                ahead.append(far.box)
    return Walked(metres, back)


def labels_of(judgement: Judgement, date: str) -> tuple[LabelFacts, ...]:
    """The labels of a job: boxes from the source outwards, their bonds, then both ends of each span.

    Parameters
    ----------
    judgement : the job as it stands.
    date : what is printed as the day, as the caller writes it.
    """
    return tuple(labelling(judgement, date))


def labelling(judgement: Judgement, date: str) -> Iterator[LabelFacts]:
    """The same one after another: each takes the time of its square code."""
    prediction = judgement.prediction
    job, made_up = judgement.state.job, is_made_up(judgement.state.doc)
    walk = walked(job)
    far = float("inf")
    squares, stripes = cache(_square), cache(partial(stripe, prediction))  # one thing has several

    def facts(thing: str, box: Box, seen: Point | None, **more: Any) -> LabelFacts:
        text = code_text(job.id, thing)
        there = prediction.points.get(seen) if seen else None
        return LabelFacts(
            thing=thing,
            kind=box.kind,
            metres=walk.metres.get(box.id),
            volts=there.volts if there else NOTHING,
            made_up=made_up,
            date=date,
            code=text,
            square=squares(text),
            stripe=stripes(thing),
            **more,
        )

    def port(at: Point) -> LabelPort:
        box, span = job.boxes[at.box], job.span_at(at)
        return LabelPort(at.port, walk.way(job, at), outline(box, at.port), span.id if span else "")

    for box in sorted(job.boxes.values(), key=lambda box: walk.metres.get(box.id, far)):
        ports = tuple(port(Point(box.id, name)) for name in job.ports(box))
        first = prediction.study.network.upstream_port(box.id)
        shared = {"ports": ports, "bonded": box.bond is not None}
        yield facts(box.id, box, first, sort=BOX, at="", name=box.name, **shared)
        if box.bond:
            yield facts(box.id, box, None, sort=BOND, at=box.bond.to, name="", **shared)
    for span in sorted(job.spans.values(), key=lambda span: _near(span, walk)):
        ends = sorted((span.a, span.b), key=lambda end: walk.metres.get(end.box, far))
        for here, there in (ends, ends[::-1]):
            one = port(here)
            yield facts(
                span.id,
                job.boxes[here.box],
                here,
                sort=END,
                at=str(here),
                name="",
                ports=(LabelPort(one.name, one.way, one.outline, str(there)),),
                bonded=False,
            )


def _near(span: Span, walk: Walked) -> float:
    """How far out a span begins. [m]"""
    return min(walk.metres.get(end.box, float("inf")) for end in (span.a, span.b))


def _square(text: str) -> Square | None:
    try:
        return square_of(text)
    except TooLong:
        return None


def stripe(prediction: Prediction, thing: str) -> tuple[tuple[float, float], ...]:
    """The expected volts along the way on which a box or span lies: (metres, volts), two a span.

    It stops where the line does.
    """
    joins, metres = spans_between(prediction.job), 0.0
    out: list[tuple[float, float]] = []
    for a, b in pairwise(paths(prediction, thing).main):
        span = joins.get(frozenset((a, b)))
        if span is None:
            break
        ends = (span.a, span.b) if span.a.box == a else (span.b, span.a)
        lengths = (0.0, span.length_m.expected)
        for end, length in zip(ends, lengths, strict=True):
            metres += length
            seen = prediction.points.get(end)
            if seen is None or seen.volts.expected is None:
                return tuple(out)
            out.append((metres, seen.volts.expected))
    return tuple(out)
