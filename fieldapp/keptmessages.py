"""What came of keeping an entry, what is said of it, and what takes it back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from engine.judge import Judgement
from engine.say import Say


@dataclass(frozen=True)
class Kept:
    """Entries are durable; ``then`` is the route they lead to, ``at`` the wall clock."""

    job: str
    entries: tuple[Mapping[str, Any], ...]
    at: str
    then: str = ""


@dataclass(frozen=True)
class Judged:
    """What was kept of a long job is judged."""

    asked: Any
    judgement: Judgement


@dataclass(frozen=True)
class NotKept:
    """Nothing was kept; what was typed stays."""

    say: Say


@dataclass(frozen=True)
class StripGone:
    """The strip of this count has stood long enough."""

    count: int


@dataclass(frozen=True)
class TakeBack:
    """Void an entry, and those that were kept with it."""

    entry: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class PutElsewhere:
    """Put a reading that was taken back on another place."""

    reading: str
    at: str


@dataclass(frozen=True)
class Told:
    """Something went otherwise than asked; one sentence will say it."""

    say: Say


@dataclass(frozen=True)
class ToldSeen:
    """The sentence was read."""
