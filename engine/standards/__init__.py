"""Published numbers, one module a family, each row with its source beside it."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

Mark = Literal["published", "computed", "common practice", "from memory"]


@frozen
class Sourced:
    """One number of the trade: value, unit, where it was read, and how far to trust it."""

    id: str
    value: float
    unit: str
    source: str
    mark: Mark


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
