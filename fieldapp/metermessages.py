"""What can happen to one's own meters and to everything as one file, and what is to be done then,
as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldapp.meters import OwnMeter

# ---------------------------------------------------------------- meters


@dataclass(frozen=True)
class MeterBegun:
    """A meter is to be typed over this sheet's figures."""

    template: str


@dataclass(frozen=True)
class MeterSerial:
    """Its serial number as typed so far."""

    text: str


@dataclass(frozen=True)
class DayKey:
    """A key of the pad on the page of the day."""

    key: str


@dataclass(frozen=True)
class DayOn:
    """The day as typed, or that none is."""


@dataclass(frozen=True)
class MeterKept:
    """Keep the meter as typed."""


@dataclass(frozen=True)
class MeterAway:
    """Take this meter off the list."""

    meter: str


@dataclass(frozen=True)
class MeterBack:
    """Put the one that was taken away back where it was."""


@dataclass(frozen=True)
class PutMeters:
    """Keep this list with the phone; one without an id gets one. Told with ``MetersPut``.

    ``away``: which one was taken off it, and from which place.
    """

    meters: tuple[Mapping[str, Any], ...]
    away: tuple[int, Any] | None = None


@dataclass(frozen=True)
class MetersPut:
    """The list is durable."""

    meters: tuple[OwnMeter, ...]
    away: tuple[int, OwnMeter] | None = None


# ---------------------------------------------------------------- everything as one file


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
class WeighAll:
    """Look what there is, and say so with ``AllWeighed``."""


@dataclass(frozen=True)
class AllWeighed:
    """What there is."""

    holding: Holding


@dataclass(frozen=True)
class AllPressed:
    """Everything as one file, ``way`` as in ``CopyOff``."""

    way: str


@dataclass(frozen=True)
class GiveAll:
    """Make it and let it be put or sent somewhere; each job is then logged as copied."""

    way: str
    by: str = ""


@dataclass(frozen=True)
class StopGivingAll:
    """Nobody waits for it any more."""


@dataclass(frozen=True)
class AllMade:
    """So many of the jobs are in it; None: it is made, or given up."""

    done: tuple[int, int] | None
