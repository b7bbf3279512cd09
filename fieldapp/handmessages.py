"""What can happen while documents are made to be handed over."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.foundout import Weight
from fieldapp.handover.making import Making, Written


@dataclass(frozen=True)
class HandPressed:
    """Hand over the job or what is made of it: ``what`` and ``way`` as in ``CopyOff``."""

    what: str
    way: str


@dataclass(frozen=True)
class MakingCame:
    """A document is being made, for longer than a blink."""

    making: Making


@dataclass(frozen=True)
class MakingOver:
    """It is made or given up; what is known of those that were made."""

    written: tuple[Written, ...] = ()


@dataclass(frozen=True)
class Weighed:
    """How large a job's file would be."""

    weight: Weight
