"""What a change is sought for: the plan as it stands, what it breaks, and how far it holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from attrs import frozen

from engine.job import Job, Point
from engine.jobfile import BadFile, read_job
from engine.planning import BadPlan, Edit, applied
from engine.predict import predict
from engine.say import Say
from engine.study import Prediction, Range

TOLD = frozenset({"stop", "warn"})
LACKS_VOLTS = frozenset({"volts-low", "collapse", "collapse-worst", "start-up"})
"""rules that a run lacking volts breaks: without a greater load share nothing mends them"""


@frozen
class Offer:
    """What a kind of change has to offer; its edits are made when they are wanted."""

    say: Say
    effort: float
    make: Callable[[], tuple[Edit, ...]]
    """raises ``BadPlan`` where the plan cannot take it"""
    lighter: Callable[[], Iterable[Offer]] = tuple
    """the same with one of its things left out, each in turn"""

    def made(self, kind: Callable[[Ground], Iterator[Offer]]) -> Candidate | None:
        """The candidate, None where the plan cannot take it."""
        try:
            edits = self.make()
        except BadPlan:
            return None
        less = (one.made(kind) for one in self.lighter())
        return Candidate(self.say, edits, self.effort, kind, lambda: filter(None, less))


@frozen
class Candidate:
    """A change that might help: what it is, the edits that make it, what it costs."""

    say: Say
    edits: tuple[Edit, ...]
    effort: float
    kind: Callable[[Ground], Iterator[Offer]]
    """the row of the table that offers it"""
    lighter: Callable[[], Iterable[Candidate]]
    """the same with one of its things left out, each in turn"""


@frozen
class Ground:
    """A plan that was solved."""

    doc: Mapping[str, Any]
    job: Job
    prediction: Prediction

    @classmethod
    def of(cls, doc: Mapping[str, Any]) -> Ground:
        """Solve a plan document.

        Raises
        ------
        BadFile : it cannot be read.
        """
        job = read_job({**doc, "log": []}).plan
        return cls(doc, job, predict(job))

    def after(self, edits: tuple[Edit, ...]) -> Ground | None:
        """The plan with these edits, solved anew; None where they do not fit it."""
        try:
            return Ground.of(applied(self.doc, edits))
        except (BadPlan, BadFile):
            return None

    @property
    def works(self) -> bool:
        """The expected job runs: every box is fed, holds its cut-off and comes up, every port
        holds on."""
        points, network = self.prediction.points, self.prediction.study.network
        fed = bool(network.where) and not network.unfed
        return fed and all(points[point].state == "on" for point in network.where)

    @property
    def works_at_worst(self) -> bool:
        """So it does with every tolerance against it."""
        points = self.prediction.points
        return self.works and all(
            points[point].at_worst == "on" for point in self.prediction.study.network.where
        )

    @property
    def broken(self) -> Counter[str]:
        """How often each rule is broken, notes left out."""
        return Counter(f.rule for f in self.prediction.findings if f.severity in TOLD)

    @property
    def stopped(self) -> Counter[str]:
        """How often each rule is broken so that it stops the job."""
        return Counter(f.rule for f in self.prediction.findings if f.severity == "stop")

    def said(self, *codes: str) -> list[Mapping[str, Any]]:
        """The parts of each finding that says one of these."""
        return [f.say.parts for f in self.prediction.findings if f.say.code in codes]

    @property
    def far_end(self) -> Point | None:
        """The endpoint with the fewest volts; the first one where power reaches none."""
        job, points = self.job, self.prediction.points
        ends = [Point(box.id, "in") for box in job.boxes.values() if box.kind == "endpoint"]
        return min(ends, key=lambda end: points[end].volts.expected or 0.0, default=None)

    def volts_at(self, point: Point | None) -> Range | None:
        """The volts of a point, None where there are none."""
        seen = self.prediction.points.get(point) if point is not None else None
        return seen.volts if seen is not None and seen.volts.expected is not None else None
