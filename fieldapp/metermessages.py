"""What can happen to one's own meters, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldapp.meters import OwnMeter


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
class MetersPut:
    """The list is durable."""

    meters: tuple[OwnMeter, ...]
    away: tuple[int, OwnMeter] | None = None
