"""Small helps for the sections of the record: times as they stand, tables under their columns. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fieldapp import words
from fieldapp.handover.page import Cell, Row, Table

Cells = tuple[str | Cell, ...]
A_SLICE = 25
"""rows made between two breaths"""


def when(stamp: str | None) -> str:
    """A time as the log has it, to the minute, in the zone it was written in.

    >>> when("2031-05-04T08:12:40Z"), when("2031-05-04T08:12+02:00"), when(None)
    ('2031-05-04 08:12 UTC', '2031-05-04 08:12 +02:00', '')
    """
    if not stamp:
        return ""
    zone = "UTC" if stamp.endswith("Z") else stamp[-6:]
    return f"{stamp[:10]} {stamp[11:16]} {zone}"


def table(columns: str, rows: Iterable[Cells | Row]) -> Iterator[Table | None]:
    """A table under these columns, if it has any row; None now and then while it is made."""
    made: list[Row] = []
    for one in rows:
        made.append(one if isinstance(one, Row) else row(one))
        if len(made) % A_SLICE == 0:
            yield None
    if made:
        yield Table(tuple(words.record_column(name) for name in columns.split()), tuple(made))


def row(cells: Cells, struck: bool = False) -> Row:
    """A row of a table from texts and cells."""
    return Row(tuple(c if isinstance(c, Cell) else Cell(c) for c in cells), struck)
