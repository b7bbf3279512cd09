"""The nouns of a prediction: ranges, points, sources, findings, and the study they come from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from attrs import field, frozen

from engine.band import Corner
from engine.circuit import Circuit
from engine.job import Job, Point
from engine.limits import FeedLimit
from engine.links import Link
from engine.network import Network
from engine.operating import Operating
from engine.say import Say


@frozen
class Range:
    """Low, expected and high of a prediction; None at a corner that has no operating point."""

    low: float | None
    expected: float | None
    high: float | None

    def at(self, corner: Corner) -> float | None:
        """The value at one corner of the design."""
        value: float | None = getattr(self, corner)
        return value

    def map(self, function: Callable[[float], float]) -> Range:
        """The range of a rising ``function`` of this quantity."""
        return Range(
            *(None if x is None else function(x) for x in (self.low, self.expected, self.high))
        )


NOTHING = Range(None, None, None)


@frozen
class PointPrediction:
    """What one point should show. ``feed`` is where its power comes from.

    ``state`` is that of the expected job, ``at_worst`` that of the worst corner: ``on``,
    ``starved`` (its box is under its cut-off), ``cycling`` (comes on and drops out again) or
    ``off`` (no power reaches it). A band holds as long as the point is on; where a port lets
    go there is none, and ``expected`` is what it would be if the port held.
    """

    volts: Range = NOTHING
    amps: Range = NOTHING
    watts: Range = NOTHING
    pairs: int = 0
    state: str = "off"
    at_worst: str = "off"
    feed: Point | None = None
    by: str = "design"


@frozen
class SpanPrediction:
    """What one span should show, and what its conductors bear.

    ``loop_ohms`` is one pair with its far end shorted, the run switched off. ``celsius`` is
    that of the conductors under load, ``rise`` the part of it that a bundle adds at worst,
    ``conductor_amps`` the most that one conductor carries at worst; None without power.
    """

    loop_ohms: Range
    drop_volts: Range
    celsius: Range
    rise: float | None
    conductor_amps: float | None


@frozen
class SourcePrediction:
    """What a feed is asked for, and what it may give (``limit``).

    ``lets_go`` says that the expected job asks for more: the port cuts and tries again.
    """

    watts: Range
    limit: FeedLimit
    lets_go: bool = False

    @property
    def answers(self) -> str | None:
        """The first box that answers the port."""
        box = self.limit.answering
        return box.id if box else None


@frozen
class Collapse:
    """Where the expected job cannot be held, and how much of the load it would bear.

    ``at`` is the box that is first under its cut-off as the load grows; ``loop_ohms`` lie
    between it and its ``feed``.
    """

    at: Point
    volts_needed: float
    load_share: float
    feed: Point
    loop_ohms: float


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
    """A job with everything that was solved about it: what the rules look at.

    ``worst`` and ``best`` are without what switched on the way to the corner; the bands rest
    on them. ``at_worst`` is the worst corner as it is.
    """

    job: Job
    network: Network
    circuits: Mapping[Corner, Circuit]
    limits: Mapping[Point, FeedLimit]
    expected: Operating
    worst: Operating
    best: Operating
    at_worst: Operating
    cuts: Mapping[Corner, frozenset[Point]]
    """feeds that let go at each corner"""
    links: tuple[Link, ...]

    @property
    def cut(self) -> frozenset[Point]:
        """Feeds that let go in the expected job."""
        return self.cuts["expected"]


@frozen
class Prediction:
    """The whole answer to 'what should be seen at each box?'."""

    job: Job
    study: Study
    points: Mapping[Point, PointPrediction]
    spans: Mapping[str, SpanPrediction]
    sources: Mapping[Point, SourcePrediction]
    load_share: float | None
    watts_to_spare: Mapping[str, float | None]
    collapse: Collapse | None
    findings: tuple[Finding, ...] = field(default=())

    @property
    def operates(self) -> bool:
        """The expected network has an operating point with every box at or above its cut-off.

        Whether a port holds on to it is another question: see ``sources`` and the findings.
        """
        return self.study.expected.holds

    @property
    def links(self) -> tuple[Link, ...]:
        """All links with their expected speeds."""
        return self.study.links
