"""What is to be done in the world, as plain values; ``services`` carries them out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Push:
    """Show a route."""

    route: str


@dataclass(frozen=True)
class Keep:
    """Make drafts durable entries of a job, then say so with ``Kept``."""

    job: str
    drafts: tuple[Mapping[str, Any], ...]
    then: str = ""


@dataclass(frozen=True)
class SavePlace:
    """Store where one is, half-typed digits included."""

    place: Mapping[str, Any]


@dataclass(frozen=True)
class LoadJob:
    """Read a job from its journal."""

    job: str
    route: str


@dataclass(frozen=True)
class ListJobs:
    """Read the list of jobs."""


@dataclass(frozen=True)
class CopySample:
    """Copy a sample job under an id of its own."""

    name: str


@dataclass(frozen=True)
class PickFile:
    """Let a job file be picked, and copy it in."""


@dataclass(frozen=True)
class PutSetting:
    """Store a setting."""

    key: str
    value: str


@dataclass(frozen=True)
class TellTime:
    """Say what time it is, with ``KeyTimed``."""


@dataclass(frozen=True)
class LookAtClock:
    """Say what time it is in so many seconds, with ``Ticked``."""

    seconds: float = 0.0
    again: bool = False


@dataclass(frozen=True)
class KeepPhoto:
    """Make a picture durable, then its entry, and say so with ``Kept``."""

    job: str
    of: str
    data: bytes
    by: str = ""


@dataclass(frozen=True)
class ReadPictures:
    """Read pictures by their sums, and bring them with ``PicturesRead``."""

    job: str
    names: tuple[str, ...]


@dataclass(frozen=True)
class CopyOff:
    """Let the record be put somewhere else, then log it as copied."""

    job: str
    by: str = ""


@dataclass(frozen=True)
class StayAwake:
    """Keep the screen lit, or let it go dark as it likes."""

    on: bool


@dataclass(frozen=True)
class Later:
    """Send a message after some seconds."""

    seconds: float
    message: Any


@dataclass(frozen=True)
class Advise:
    """Look for the smallest changes of this plan, in slices, with ``AdviceCame``."""

    of: tuple[str, int]
    doc: Mapping[str, Any]


@dataclass(frozen=True)
class StopAdvising:
    """Nobody waits for advice any more."""


@dataclass(frozen=True)
class LayRun:
    """Make a job from one distance [m], its far end's watts [W] and speed [Mb/s]."""

    metres: float
    watts: float
    mbps: int
    outdoor: bool
    title: str


@dataclass(frozen=True)
class CopyJob:
    """Copy a job's plan as it stands into a job of its own, without its log."""

    job: str
    title: str


Effects = tuple[Any, ...]
