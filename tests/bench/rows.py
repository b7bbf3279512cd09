"""Rows of the table of all measurements: what is promised, what was measured, whether it is met."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Any

UNITS: Mapping[str, str] = {
    "times": "{:,.3f} times",
    "solves": "{:,.0f} solves",
    "ms": "{:,.1f} ms",
    "s": "{:,.2f} s",
    "share": "{:.3f}",
    "minutes": "{:.1f} min",
    "count": "{:,.0f}",
}
"""how a figure of each unit is written"""
SIDES = ("at most", "at least", "told")
"""what a promise may say of a figure; of one that is told no limit was promised"""


@dataclass(frozen=True)
class Promise:
    """What is promised of one figure, and how it is measured."""

    bench: str
    """the script that measures it, without its folder and ending"""
    key: str
    """its name there"""
    what: str
    side: str
    limit: float | None
    unit: str
    how: str
    """the method, in a phrase"""
    where: str
    """where it is promised"""
    missed: str = ""
    """why it is known not to be met; without it, it is held"""
    alone: str = ""
    """what the command takes beside the script to measure it alone"""

    @property
    def name(self) -> str:
        """What no other promise is called."""
        return f"{self.bench}: {self.key}"

    @property
    def script(self) -> str:
        """What measures it and the others of its bench."""
        return f"python tests/bench/{self.bench}.py"

    @property
    def command(self) -> str:
        """What measures it alone."""
        return f"{self.script} {self.alone}".rstrip()

    @property
    def promised(self) -> str:
        """The promise as it is written in the table."""
        return self.side if self.limit is None else f"{self.side} {said(self.limit, self.unit)}"

    @property
    def is_held(self) -> bool:
        """Whether a miss would be news."""
        return self.limit is not None and not self.missed


@dataclass(frozen=True)
class Row:
    """One figure of one run beside its promise."""

    promise: Promise
    measured: float | None = None
    """none where it was not measured"""
    beside: str = ""
    """what else was seen, or why it was not measured"""
    error: float = 0.0
    """its standard error, where it is a share of sites that were drawn"""

    @property
    def is_missed(self) -> bool:
        """Whether what was measured is beyond the promise."""
        limit, side = self.promise.limit, self.promise.side
        if self.measured is None or limit is None:
            return False
        return self.measured > limit if side == "at most" else self.measured < limit

    @property
    def state(self) -> str:
        """Met, missed (known or perhaps by chance, if so), told; or why there is no figure."""
        if self.measured is None:
            return "long" if self.beside == LONG else "failed"
        if self.promise.limit is None:
            return "told"
        if not self.is_missed:
            return "met"
        if not self.promise.is_held:
            return "missed, known"
        is_near = abs(self.measured - self.promise.limit) <= CHANCE * self.error
        return "missed, chance" if is_near else "missed"

    @property
    def is_bad(self) -> bool:
        """Whether it lets the run down: a promise that is held is missed, or nobody can say."""
        return self.state in ("missed", "failed")

    def json(self) -> dict[str, Any]:
        """All of it as plain values."""
        one = self.promise
        return {
            "name": one.name,
            "what": one.what,
            "measured": self.measured,
            "unit": one.unit,
            "error": self.error,
            "beside": self.beside,
            "side": one.side,
            "limit": one.limit,
            "where": one.where,
            "how": one.how,
            "state": self.state,
            "held": one.is_held,
            "why": one.missed,
            "command": one.command,
        }


LONG = "not in the short form"
CHANCE = 2.0
"""a miss by so many standard errors or less may be the draw of the sites"""


def said(value: float, unit: str) -> str:
    """A figure with its unit."""
    return UNITS[unit].format(value)


def standard_error(share: float, count: int) -> float:
    """That of a share of so many; where all are alike, as if half of one were not."""
    return sqrt(max(share * (1 - share), 1 / count / 4) / count)


HEAD = f"{'what':<60} {'measured':>13}  {'promised':<21} {'':<14} how; where it is promised"


def lines(rows: Iterable[Row]) -> Iterable[str]:
    """The rows as they are printed, each script's command above its own."""
    bench = why = ""
    for row in rows:
        one = row.promise
        if one.bench != bench:
            bench = one.bench
            yield f"\n{one.script}"
        figure = "-" if row.measured is None else said(row.measured, one.unit)
        if row.error:
            figure = f"{figure} ± {row.error:.3f}"
        beside = f"; {row.beside}" if row.beside and row.state != "long" else ""
        alone = f" [{one.alone}]" if one.alone else ""
        yield (
            f"  {one.what:<58} {figure:>13}  {one.promised:<21} {row.state:<14} {one.how}{beside};"
            f" {one.where}{alone}"
        )
        if row.state == "missed, known" and one.missed != why:
            yield f"  {'':<58} {'':>13}  {'':<21} because {one.missed}"
        why = one.missed


def told(rows: Iterable[Row]) -> int:
    """Print what a bench measured; the way out, 1 where a promise that is held was missed."""
    rows = list(rows)
    print(f"\n{HEAD}")
    print(*lines(rows), sep="\n", flush=True)
    return int(any(row.is_bad for row in rows))
