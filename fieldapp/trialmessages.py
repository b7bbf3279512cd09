"""What can happen while something else is tried than is planned, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TrialPicked:
    """Try this value of the thing at hand."""

    knob: str


@dataclass(frozen=True)
class TrialMoved:
    """It is dragged, pressed or chosen to be this much."""

    value: float


@dataclass(frozen=True)
class TrialStepped:
    """One step up (1) or down (-1)."""

    by: int


@dataclass(frozen=True)
class TrialKey:
    """A key of the pad on which it is typed."""

    key: str


@dataclass(frozen=True)
class TrialPad:
    """The pad opens, or closes."""

    opens: bool


@dataclass(frozen=True)
class TrialDropped:
    """Back to the plan's own value."""


@dataclass(frozen=True)
class TrialPlanned:
    """Plan it as it is tried."""
