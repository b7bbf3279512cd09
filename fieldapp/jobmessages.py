"""What can happen on the way to a job: a route, the list, a label's code, a file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from engine.say import Say
from fieldapp.foundout import Came
from fieldapp.model import JobRow, OpenJob


@dataclass(frozen=True)
class RouteChanged:
    """The route is now this one, by a press, the phone's Back or a link."""

    route: str


@dataclass(frozen=True)
class Go:
    """Go to a route."""

    route: str


@dataclass(frozen=True)
class OpenJobPressed:
    """Open a job on its Now page, or at a route of it."""

    job: str
    route: str = ""


@dataclass(frozen=True)
class JobLoaded:
    """A job was read from its journal and judged, because an effect ``asked`` for it."""

    job: OpenJob
    route: str
    asked: Any


@dataclass(frozen=True)
class NotOpened:
    """What was asked for opened no job; ``then`` is the route that this leads to."""

    asked: Any
    say: Say
    then: str = ""


@dataclass(frozen=True)
class JobsListed:
    """The list of jobs was read."""

    rows: tuple[JobRow, ...]


@dataclass(frozen=True)
class CodeTyped:
    """A label's code as typed so far, or pasted."""

    text: str


@dataclass(frozen=True)
class CodePressed:
    """Open what the typed code names."""


@dataclass(frozen=True)
class SamplePicked:
    """A sample is to be copied into a job of one's own."""

    name: str


@dataclass(frozen=True)
class FilePressed:
    """A job file is to be opened."""


@dataclass(frozen=True)
class FilePicked:
    """The picker brought a file from elsewhere."""

    name: str
    data: bytes


@dataclass(frozen=True)
class NewsCame:
    """A file brought entries to a job that was here."""

    came: Came


@dataclass(frozen=True)
class NewsSeen:
    """See what came."""
