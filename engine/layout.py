"""How text for people is laid out: sentences and aligned columns, within 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from engine.job import Job

WIDTH = 80
SHORTEST = 10
"""letters of a column, however wide the others are"""
MANY = 100
"""a share or a count of deviations beyond this says nothing more by its decimals"""


def titled(job: Job) -> str:
    """The job's title, and its id."""
    return wrapped(f"{job.title} ({job.id})", "")


def wrapped(text: str, indent: str = "  ", mark: str = "") -> str:
    """A sentence broken at 80 columns, its second line hanging under the first.

    A ``mark`` stands in front of it, and the sentence hangs beside the mark.
    """
    hang = indent + (" " * len(mark) if mark else "  ")
    return textwrap.fill(text, WIDTH, initial_indent=indent + mark, subsequent_indent=hang)


def table(rows: Iterable[tuple[str, ...]], right: frozenset[int] = frozenset()) -> str:
    """Rows as aligned columns; the columns named in ``right`` are flush right."""
    rows = [tuple(row) for row in rows]
    rows = _narrowed(rows)
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return "\n".join(lines)


def _narrowed(rows: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Rows whose longest cells are cut short where a table would not fit the columns."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    room = WIDTH - 2 * len(widths)
    most = max(widths)
    while most > SHORTEST and sum(min(width, most) for width in widths) > room:
        most -= 1
    return [tuple(shortened(cell, most) for cell in row) for row in rows]


def shortened(text: str, most: int) -> str:
    """A long name by its beginning and its end, which tell ports apart."""
    half = most // 2 - 1
    return text if len(text) <= most else f"{text[: most - half - 2]}..{text[-half:]}"
