"""What was counted, tried or looked for, and is shown while it holds; the log knows nothing of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from engine.say import Say

if TYPE_CHECKING:
    from engine.advise import Change, Limit
    from engine.choices import Outcome
    from engine.diagnose.account import Account


@dataclass(frozen=True)
class Way:
    """A change that would mend a plan, and how many findings would still stand after it."""

    change: Change
    left: int

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return repr(self.change.edits)


@dataclass(frozen=True)
class PlanAdvice:
    """What was found out about a plan; ``of`` says which plan, by its log."""

    of: tuple[str, int]
    share: float = 0.0
    best: Way | None = None
    """the best so far, while the search goes on"""
    ways: tuple[Way, ...] | None = None
    """the best of all, once it is over"""
    limited: Say | None = None
    """what holds the plan back where no change makes it work"""
    limits: tuple[Limit, ...] | None = None
    """of a plan that breaks nothing: how far it could be stretched"""


@dataclass(frozen=True)
class Came:
    """Which entries of a job's log came by a file: those from ``start`` to before ``end``."""

    job: str
    start: int
    end: int


@dataclass(frozen=True)
class Weight:
    """What a job's file would be: bytes, its photos, and those that are not on this phone."""

    job: str
    bytes: int
    photos: int = 0
    lacking: int = 0


@dataclass(frozen=True)
class Holding:
    """What everything as one file would hold: jobs, photos, about how many bytes; photos that are
    not on this phone, and jobs that cannot be read."""

    jobs: int
    photos: int
    bytes: int
    lacking: int = 0
    unread: int = 0


@dataclass(frozen=True)
class PracticeSite:
    """A plan that made-up sites are built to: how far it goes, its boxes, pairs and ends."""

    name: str
    title: str
    length_m: float
    boxes: int
    pairs: int
    ends: int


@dataclass(frozen=True)
class Outcomes:
    """What each sheet would do for a thing; ``of`` says the plan, by its log, and the thing."""

    of: tuple[str, int, str]
    found: Mapping[str, Outcome | None] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class Faults:
    """What was found out about a job's faults; ``of``: the job, how long its log is, where one
    stands, on how many jobs something was found so far."""

    of: tuple[str, int, str, int]
    share: float = 0.0
    account: Account | None = None
    gave_up: bool = False
    """it could not be worked out"""

    @property
    def is_over(self) -> bool:
        """Whether the search has ended."""
        return self.account is not None or self.gave_up
