"""What can happen while everything becomes one file, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.foundout import Holding


@dataclass(frozen=True)
class AllWeighed:
    """What there is."""

    holding: Holding


@dataclass(frozen=True)
class AllPressed:
    """Everything as one file, ``way`` as in ``CopyOff``."""

    way: str


@dataclass(frozen=True)
class AllMade:
    """So many of the jobs are in it; None: it is made, or given up."""

    done: tuple[int, int] | None
