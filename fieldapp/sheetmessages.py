"""What can happen to the sheets of a job, and to one of one's own while it is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class SheetPicked:
    """A box, a span or a meter gets another sheet."""

    thing: str
    sheet: str


@dataclass(frozen=True)
class SheetsTried:
    """What some sheets would do; ``left`` are those to be tried yet."""

    of: tuple[str, int, str]
    found: Any
    doc: Any
    left: tuple[str, ...] = ()


@dataclass(frozen=True)
class OwnBegun:
    """A sheet of one's own begins from a template, or the template itself is changed."""

    thing: str
    template: str
    changes: bool = False


@dataclass(frozen=True)
class OwnKey:
    """A key of the pad on which a figure of a sheet is typed."""

    key: str


@dataclass(frozen=True)
class OwnPart:
    """Which figure of an answer is typed next."""

    part: str


@dataclass(frozen=True)
class OwnPicked:
    """One of the choices of a question."""

    value: Any


@dataclass(frozen=True)
class OwnOn:
    """What the page shows is the answer: on to the next question."""


@dataclass(frozen=True)
class OwnLeft:
    """The maker's sheet does not say."""


@dataclass(frozen=True)
class OwnBack:
    """One question back."""


@dataclass(frozen=True)
class OwnAsked:
    """From the last page to one question."""

    key: str


@dataclass(frozen=True)
class OwnNamed:
    """The sheet's name as typed."""

    text: str


@dataclass(frozen=True)
class OwnUsed:
    """The sheet is used for its thing."""
