"""What can happen while one practises on a made-up site, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class LevelPicked:
    """How much shall be hidden."""

    level: str


@dataclass(frozen=True)
class SitePicked:
    """A job on a made-up site of this plan is wanted."""

    name: str


@dataclass(frozen=True)
class MeterTaken:
    """The made-up meter's reading goes onto the pad."""


@dataclass(frozen=True)
class SoundSaid:
    """Nothing is wrong on this site."""


@dataclass(frozen=True)
class TruthShown:
    """What is hidden is to be shown."""
