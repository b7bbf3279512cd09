"""What is known of a document while it is made, and of one that was: plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Making:
    """A document that is being made to be handed over; ``of`` is its stamp (``handover.documents``).

    ``what`` was asked for, ``part`` is made now, ``share`` of that part is done.
    """

    of: tuple[Any, ...]
    what: str
    part: str
    share: float


@dataclass(frozen=True)
class Written:
    """What is known of a document that was made; ``of`` is its stamp. ``pages``: None has none."""

    of: tuple[Any, ...]
    bytes: int
    pages: int | None = None
    lacking: int = 0
