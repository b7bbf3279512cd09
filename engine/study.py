"""The nouns of a prediction: ranges, points, sources, findings, and the study they come from."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from typing import TypeVar

from attrs import field, frozen

from engine.job import Job, Point
from engine.links import Link
from engine.network import Network
from engine.operating import Operating
from engine.say import Say

Result = TypeVar("Result")
Progress = Generator[float, None, Result]
"""long work yields the share that is done, so that a browser can run it in slices"""


@frozen
class Range:
    """Low, expected and high of a prediction; None at a corner that has no operating point."""

    low: float | None
    expected: float | None
    high: float | None

    def map(self, function) -> Range:
        """The range of a rising ``function`` of this quantity."""
        return Range(
            *(None if x is None else function(x) for x in (self.low, self.expected, self.high))
        )


NOTHING = Range(None, None, None)


@frozen
class PointPrediction:
    """What one point should show. ``feed`` is where its power comes from."""

    volts: Range = NOTHING
    amps: Range = NOTHING
    watts: Range = NOTHING
    pairs: int = 0
    state: str = "off"
    feed: Point | None = None
    by: str = "design"


@frozen
class SourcePrediction:
    """What a feed gives, what it may give, and what it grants to the first box that answers."""

    watts: Range
    limit_watts: float | None
    granted_watts: float | None
    answers: str | None
    probes: bool
    """shows no steady volts until a box answers, as a standard port does"""


@frozen
class Collapse:
    """Where the expected job cannot be held, and how much of the load it would bear."""

    at: Point
    volts_needed: float
    load_share: float


@frozen
class Finding:
    """A design rule that the plan breaks."""

    rule: str
    at: str
    severity: str
    say: Say

    @property
    def id(self) -> str:
        """The same for the same matter, whatever else changes."""
        return f"{self.rule}.{self.at}"


@frozen
class Study:
    """A job with everything that was solved about it: what the rules look at."""

    job: Job
    network: Network
    expected: Operating
    worst: Operating
    best: Operating
    links: tuple[Link, ...]


@frozen
class Prediction:
    """The whole answer to 'what should be seen at each box?'."""

    job: Job
    study: Study
    points: Mapping[Point, PointPrediction]
    sources: Mapping[Point, SourcePrediction]
    load_share: float | None
    watts_to_spare: Mapping[str, float | None]
    collapse: Collapse | None
    findings: tuple[Finding, ...] = field(default=())

    @property
    def operates(self) -> bool:
        """The expected job has an operating point with every box above its cut-off."""
        return self.study.expected.holds

    @property
    def links(self) -> tuple[Link, ...]:
        """All links with their expected speeds."""
        return self.study.links
