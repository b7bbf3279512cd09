"""What can happen to how the app is looked at: its window, its comfort, its settings, a long line."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Resized:
    """The window has another size."""

    width: float
    height: float


@dataclass(frozen=True)
class LookChanged:
    """The phone went dark or light."""

    dark: bool


@dataclass(frozen=True)
class ScaleSeen:
    """The phone's text scale."""

    scale: float


@dataclass(frozen=True)
class WishesSeen:
    """Whether the phone was asked for less motion, and for more contrast."""

    still: bool
    contrast: bool


@dataclass(frozen=True)
class CameBack:
    """The app is in sight again: what the phone was asked for may have changed meanwhile."""


@dataclass(frozen=True)
class CopperStarts:
    """The spans that were proven stand there empty; now copper runs into them."""


@dataclass(frozen=True)
class CopperIsIn:
    """It has arrived."""


@dataclass(frozen=True)
class SettingPicked:
    """``look``, ``name`` or ``found_from``."""

    key: str
    value: str | int


@dataclass(frozen=True)
class LineMoved:
    """A long line was moved sideways, by so much from its beginning. [dp]"""

    of: str
    by: float
