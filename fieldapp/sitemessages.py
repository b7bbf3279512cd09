"""What can happen at work on a site, from coming to leaving."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class PeopleCounted:
    """So many have come back; nothing begins yet."""

    people: int


@dataclass(frozen=True)
class VisitOpened:
    """A visit begins, for a reason of ``engine.entries.VISIT_REASONS``."""

    reason: str


@dataclass(frozen=True)
class OnlyLook:
    """Nothing begins: one looks at a job whose site was left."""


@dataclass(frozen=True)
class StepsShown:
    """Show ``all`` steps, those ``here``, or those still ``open``."""

    which: str


@dataclass(frozen=True)
class StepPressed:
    """A step was done, undone, or cannot be done."""

    step: str
    state: str
    why: str = ""


@dataclass(frozen=True)
class Understood:
    """The cautions of a step were read."""

    step: str


@dataclass(frozen=True)
class TimerStarted:
    """The timer of a step starts: how long [s], and which round of it."""

    step: str
    seconds: float
    round: int = 1


@dataclass(frozen=True)
class Ticked:
    """What time it is; ``again``: it was asked for because a timer is shown."""

    at: str
    again: bool = False


@dataclass(frozen=True)
class DarkSaid:
    """All lights of a box are off, or it is lit after all."""

    box: str
    dark: bool = True


@dataclass(frozen=True)
class EndPressed:
    """An end of a span is made; pressed again it is open."""

    step: str
    at: str


@dataclass(frozen=True)
class PinoutPicked:
    """The order of the wires for this job."""

    pinout: str


@dataclass(frozen=True)
class PhotoPressed:
    """The picker opens for a photo of this."""

    of: str


@dataclass(frozen=True)
class PhotoPicked:
    """A picture was taken or chosen."""

    data: bytes


@dataclass(frozen=True)
class PicturesRead:
    """Pictures by their sums; None: not on this phone."""

    pictures: Mapping[str, bytes | None]


@dataclass(frozen=True)
class PutIn:
    """Something is in for a test: the log's word for it, and the place."""

    fitted: str
    at: str


@dataclass(frozen=True)
class OutAgain:
    """What a hold speaks of, fitted for a test, is out again."""

    hold: str


@dataclass(frozen=True)
class SheetOpened:
    """Open the sheet from below: which one, and what it speaks of."""

    what: str
    of: str


@dataclass(frozen=True)
class SheetClosed:
    """Close it with nothing done."""


@dataclass(frozen=True)
class SheetTyped:
    """A word in the sheet: ``reason``, ``name``, ``role`` or ``where``."""

    field: str
    text: str


@dataclass(frozen=True)
class WaivePressed:
    """Waive the hold of the open sheet."""


@dataclass(frozen=True)
class ChangePressed:
    """Keep what was mended, as the open sheet says."""


@dataclass(frozen=True)
class PlanChosen:
    """Of plan edits that have not seen each other, this entry is kept."""

    hold: str
    keep: str


@dataclass(frozen=True)
class CopyPressed:
    """The record is to be copied off this phone."""


@dataclass(frozen=True)
class LeavePressed:
    """Leave the site."""
