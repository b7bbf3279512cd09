"""What can happen while somebody signs, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SignTyped:
    """The ``name`` or the ``role`` of who signs, as typed or chosen."""

    field: str
    text: str


@dataclass(frozen=True)
class StrokeBegun:
    """A finger is put down on the field, at a place of ``engine.strokes``."""

    x: int
    y: int


@dataclass(frozen=True)
class StrokeDrawn:
    """It moved there."""

    x: int
    y: int


@dataclass(frozen=True)
class StrokeEnded:
    """It was lifted."""


@dataclass(frozen=True)
class DrawAgain:
    """The field is emptied."""


@dataclass(frozen=True)
class SignPressed:
    """Sign the record as the log stands."""
