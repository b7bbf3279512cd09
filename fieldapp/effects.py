"""What is to be done in the world, as plain values; ``services`` carries them out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
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
class Judge:
    """Judge a long job between the taps, with what was ``kept``, and say so with ``Judged``.

    ``known`` is the judgement before.
    """

    kept: Any
    file: Any
    known: Any


@dataclass(frozen=True)
class SavePlace:
    """Store where one is, half-typed digits included."""

    place: Mapping[str, Any]


@dataclass(frozen=True)
class LoadJob:
    """Read a job from its journal and judge it, then say so with ``JobLoaded``."""

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
class MakeUp:
    """Make a job on a made-up site, built to a plan by this name."""

    name: str
    level: str


@dataclass(frozen=True)
class TakeIn:
    """Take in a job from a picked file, as a new one or as news to one that is here."""

    name: str
    data: bytes


@dataclass(frozen=True)
class Weigh:
    """Look how large a job's file would be, and say so with ``Weighed``."""

    job: str


@dataclass(frozen=True)
class PutSetting:
    """Store a setting."""

    key: str
    value: str | int


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


WHOLE, READINGS, REPORT, LABELS, ALL = "whole", "readings", "report", "labels", "all"
"""what is handed over: all of a job, which is a copy of it; made of it, and no copy: a table of its
readings, its record, its labels; record, labels and the job itself together"""
SAVE, SHARE = "save", "share"
"""how: into a file, or to another program or phone"""


@dataclass(frozen=True)
class CopyOff:
    """Let a file be put or sent somewhere else; a whole job is then logged as copied.

    ``papers`` as in ``handover.documents``, ``judgement`` that of the job as it is shown,
    ``account`` that of its causes where it is known; ``seek`` says to look for it.
    """

    job: str
    by: str = ""
    what: str = WHOLE
    way: str = SAVE
    papers: Any = None
    judgement: Any = field(default=None, compare=False)
    account: Any = field(default=None, compare=False)
    seek: bool = field(default=True, compare=False)
    rates: Any = field(default=None, compare=False)

    @property
    def asked(self) -> tuple[Any, ...]:
        """What tells it from another press."""
        return (self.job, self.by, self.what, self.way, self.papers)


@dataclass(frozen=True)
class StopMaking:
    """Nobody waits any more for what is being made to be handed over."""


@dataclass(frozen=True)
class StayAwake:
    """Keep the screen lit, or let it go dark as it likes."""

    on: bool


@dataclass(frozen=True)
class Buzz:
    """Let something be felt of a press: how, by a word of ``comfort``."""

    how: str


@dataclass(frozen=True)
class AskWishes:
    """Ask the phone what comfort it was asked for, and say so with ``WishesSeen``."""


@dataclass(frozen=True)
class Later:
    """Send a message after some seconds."""

    seconds: float
    message: Any


@dataclass(frozen=True)
class Advise:
    """Look for the smallest changes of this plan, or for how far it could be stretched, in slices."""

    of: tuple[str, int]
    doc: Mapping[str, Any]
    first: str = ""
    """the rule that the first finding breaks; nothing where nothing breaks"""


@dataclass(frozen=True)
class StopAdvising:
    """Nobody waits for advice any more."""


@dataclass(frozen=True)
class Find:
    """Look for the causes that a judgement points to, in slices; ``of`` as in ``Faults``."""

    of: tuple[str, int, str, int]
    judgement: Any
    rates: Any = None
    """how often each cause is met; None: by our table"""


@dataclass(frozen=True)
class StopFinding:
    """Nobody waits for causes any more."""


@dataclass(frozen=True)
class CountFound:
    """Look what the jobs on this phone came to, and say so with ``FoundCounted``."""


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


@dataclass(frozen=True)
class TrySheets:
    """Work out what the first few of these sheets would do for a thing, with ``SheetsTried``."""

    of: tuple[str, int, str]
    doc: Mapping[str, Any]
    names: tuple[str, ...]


@dataclass(frozen=True)
class WatchPhone:
    """Say what an installed page knows of itself with ``PhoneSeen``, now and at each change."""


@dataclass(frozen=True)
class AskToStay:
    """Ask the browser to keep what is here, and say so with ``StayAnswered``."""


@dataclass(frozen=True)
class Renew:
    """Store where one is, then load the newer version."""

    place: Mapping[str, Any]


@dataclass(frozen=True)
class PutMeters:
    """Keep this list with the phone; one without an id gets one. Told with ``MetersPut``.

    ``away``: which one was taken off it, and from which place.
    """

    meters: tuple[Mapping[str, Any], ...]
    away: tuple[int, Any] | None = None


@dataclass(frozen=True)
class WeighAll:
    """Look what everything as one file would hold, and say so with ``AllWeighed``."""


@dataclass(frozen=True)
class GiveAll:
    """Make everything one file, put or sent as in ``CopyOff``; each job is then logged as copied."""

    way: str
    by: str = ""


@dataclass(frozen=True)
class StopGivingAll:
    """Nobody waits for everything as one file any more."""


Effects = tuple[Any, ...]
