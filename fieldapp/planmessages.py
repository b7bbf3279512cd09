"""What can happen in the plan editor, and while a new run is laid."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class PlanMove:
    """Change the plan by one press: which move, of which thing, to what."""

    what: str
    thing: str
    to: str = ""


@dataclass(frozen=True)
class PlanPadKept:
    """Keep the figure of the plan that the pad shows."""


@dataclass(frozen=True)
class EditTyped:
    """A name or a length as typed."""

    path: tuple[str, ...]
    text: str


@dataclass(frozen=True)
class EditAccepted:
    """Keep the typed name or length as a plan edit."""


@dataclass(frozen=True)
class AdviceCame:
    """What the look into a plan has found so far, or in the end."""

    found: Any


@dataclass(frozen=True)
class AdviceTaken:
    """A change that is offered is made; ``key`` says which, however the offers have moved on."""

    of: tuple[str, int]
    key: str


@dataclass(frozen=True)
class PlanUndone:
    """Take the last press on the plan back."""


@dataclass(frozen=True)
class NewKey:
    """A key of the pad on which a distance is typed."""

    key: str


@dataclass(frozen=True)
class NewPicked:
    """A choice for a new run: ``watts``, ``mbps``, ``outdoor``, or which question is ``asked``."""

    field: str
    value: Any


@dataclass(frozen=True)
class LayPressed:
    """Lay the new run."""

    title: str


@dataclass(frozen=True)
class CopyJobPressed:
    """Copy a job's plan under this title."""

    job: str
    title: str
