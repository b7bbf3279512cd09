"""What can happen while a fault is looked for, mended and counted, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fieldapp.foundout import Faults


@dataclass(frozen=True)
class FaultsCame:
    """How far the search for causes is, or what it found."""

    faults: Faults


@dataclass(frozen=True)
class MendingOpened:
    """A cause at its place is being mended."""

    cause: str
    where: str


@dataclass(frozen=True)
class MendingClosed:
    """It is left as it is."""


@dataclass(frozen=True)
class TruthAsked:
    """It was something else: what can it have been?"""


@dataclass(frozen=True)
class TruthSaid:
    """What it was in truth: a cause and its place; without a cause nobody could tell."""

    cause: str = ""
    where: str = ""


@dataclass(frozen=True)
class MendedPressed:
    """It is mended: what was done and what it was are kept together."""


@dataclass(frozen=True)
class FoundCounted:
    """What each job on this phone came to, by its id."""

    stays: Mapping[str, Any]
