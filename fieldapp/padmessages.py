"""What can happen on the number pad, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class KeyPressed:
    """A key of the pad: a digit, ``.`` or ``rub``; ``at`` is the time shown after a kill."""

    key: str


@dataclass(frozen=True)
class PadQuiet:
    """No key was pressed on the pad since the one of this number."""

    keyed: int


@dataclass(frozen=True)
class KeyTimed:
    """The time of the first key."""

    at: str


@dataclass(frozen=True)
class StandingPicked:
    """``loaded``, ``known`` or ``open``."""

    standing: str


@dataclass(frozen=True)
class MethodPicked:
    """How an earth is measured: a key of ``words.EARTH_METHODS``."""

    method: str


@dataclass(frozen=True)
class LoadPicked:
    """A known load: which box it stands in for, what it draws; 0 is that box unplugged. [W]"""

    box: str
    watts: float


@dataclass(frozen=True)
class NextMeter:
    """The next meter of the list."""


@dataclass(frozen=True)
class ReadingUnderstood:
    """The cautions of the pad's reading were read."""


@dataclass(frozen=True)
class KeepPressed:
    """Keep what the pad shows."""


@dataclass(frozen=True)
class SpeedPicked:
    """Keep a link speed; 0 is no link. [Mb/s]"""

    mbps: int
