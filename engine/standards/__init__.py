"""Published numbers, one module a family, each row with its source beside it."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from engine.band import Band

Mark = Literal["published", "computed", "common practice", "from memory"]
Side = Literal["exact", "typical", "least", "most"]


@frozen
class Sourced:
    """One number of the trade: value, unit, where it was read, and how far to trust it.

    ``side`` says what the number is: ``exact`` by definition, a ``typical`` one (with
    ``low`` and ``high`` where its spread is known), or a limit: the ``least`` or the
    ``most`` that is allowed. A row marked ``from memory`` may warn, never stop a job.
    """

    id: str
    value: float
    unit: str
    source: str
    mark: Mark
    side: Side = "typical"
    low: float | None = None
    high: float | None = None

    @property
    def band(self) -> Band:
        """Low, expected and high; all the same where no spread is known."""
        return Band(
            self.value if self.low is None else self.low,
            self.value,
            self.value if self.high is None else self.high,
        )

    @property
    def may_stop(self) -> bool:
        """Whether a finding that rests on this row may stop a job."""
        return self.mark != "from memory"


def table(*rows: Sourced) -> dict[str, Sourced]:
    """Rows by id; a second row of one id is a mistake in the table.

    Raises
    ------
    ValueError : two rows share an id.
    """
    out: dict[str, Sourced] = {}
    for row in rows:
        if row.id in out:
            raise ValueError(f"two rows called {row.id}")
        out[row.id] = row
    return out


def read_at(
    source: str,
    mark: Mark,
    *numbers: tuple[str, float, str, Side] | tuple[str, float, str, Side, float, float],
) -> tuple[Sourced, ...]:
    """Rows that were read at one place: id, value, unit, side and, where known, low and high."""
    return tuple(
        Sourced(ident, value, unit, source, mark, side, *spread)
        for ident, value, unit, side, *spread in numbers
    )
