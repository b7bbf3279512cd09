"""Starter sheets: generic numbers to plan with until the maker's own are typed in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from engine.fields import BAD, Reader
from engine.format import SHEETS, build_sheet
from engine.job import AnySheet
from engine.sheets import boxes, cables, endpoints, meters, sources
from engine.sheets.starter import Starter

ROWS: tuple[Starter, ...] = (
    *sources.ROWS,
    *boxes.ROWS,
    *cables.ROWS,
    *endpoints.ROWS,
    *meters.ROWS,
)


def load(rows: tuple[Starter, ...]) -> Mapping[str, AnySheet]:
    """Rows as sheets by id, by the same tables that read a job file.

    Raises
    ------
    ValueError : a row that a job file could not hold, or two rows of one id.
    """
    table = {row.id: row.sheet for row in rows}
    if len(table) < len(rows):
        raise ValueError("two starter sheets share an id")
    reader = Reader()
    read = SHEETS.read(reader, table, "starter")
    if read is BAD:
        raise ValueError(reader.problems[0].line())
    return {name: build_sheet(name, keys) for name, keys in read.items()}


STARTER = load(ROWS)
AS_TYPED: Mapping[str, Mapping[str, Any]] = {row.id: row.sheet for row in ROWS}
"""the rows as a job file would hold them"""


def is_from_memory(sheet: str, key: str) -> bool:
    """Whether a figure is a starter sheet's, recalled without a source: it warns at most."""
    return any(
        key in figure.keys and figure.mark == "from memory"
        for row in ROWS
        if row.id == sheet
        for figure in row.figures
    )
