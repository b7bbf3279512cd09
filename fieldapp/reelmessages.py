"""What can happen while a reel is checked, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ReelKept:
    """Keep the figure of a reel that the pad shows."""


@dataclass(frozen=True)
class ReelMeter:
    """The next meter for the loop of a reel."""


@dataclass(frozen=True)
class ReelTaken:
    """The reel at hand goes into this span: right, or for the reason in the open sheet."""

    span: str


@dataclass(frozen=True)
class ReelRefused:
    """The reel at hand is kept off this span; the next one is to be checked."""

    span: str
    why: str
