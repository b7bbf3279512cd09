"""What can happen while one plans and while a reel is checked, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

# ---------------------------------------------------------------- the plan editor


@dataclass(frozen=True)
class PlanMove:
    """Change the plan by one press: which move, of which thing, to what."""

    what: str
    thing: str
    to: str = ""


@dataclass(frozen=True)
class StopMade:
    """A new stop, as the open sheet says, and this box at it."""

    box: str


@dataclass(frozen=True)
class AdviceCame:
    """How far the search for a change is, the best so far, and all of it once it is over."""

    of: tuple[str, int]
    share: float
    best: Any = None
    advice: Any = None


@dataclass(frozen=True)
class AdviceTaken:
    """The change that is offered is made."""

    of: tuple[str, int]


@dataclass(frozen=True)
class PlanUndone:
    """Take the last press on the plan back."""


@dataclass(frozen=True)
class NewKey:
    """A key of the pad on which a distance is typed."""

    key: str


@dataclass(frozen=True)
class NewPicked:
    """A choice for a new run: ``watts``, ``mbps``, ``outdoor``, or which question is ``asked``."""

    field: str
    value: Any


@dataclass(frozen=True)
class LayPressed:
    """Lay the new run."""

    title: str


@dataclass(frozen=True)
class CopyJobPressed:
    """Copy a job's plan under this title."""

    job: str
    title: str


# ---------------------------------------------------------------- the reel check


@dataclass(frozen=True)
class ReelKept:
    """Keep the figure of a reel that the pad shows."""


@dataclass(frozen=True)
class ReelMeter:
    """The next meter for the loop of a reel."""


@dataclass(frozen=True)
class ReelTaken:
    """The reel at hand goes into this span: right, or for the reason in the open sheet."""

    span: str


@dataclass(frozen=True)
class ReelRefused:
    """The reel at hand is kept off this span; the next one is to be checked."""

    span: str
    why: str
