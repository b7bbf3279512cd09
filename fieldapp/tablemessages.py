"""What can happen while spans are put in from a table, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TableTyped:
    """The table of spans as typed or pasted."""

    text: str


@dataclass(frozen=True)
class TableQuiet:
    """Nothing was typed into the table since this count."""

    count: int


@dataclass(frozen=True)
class TablePressed:
    """Let a table be picked from a file."""


@dataclass(frozen=True)
class TablePicked:
    """A file was picked for the table."""

    name: str
    data: bytes


@dataclass(frozen=True)
class TablePutIn:
    """The spans of the table go into the plan."""
