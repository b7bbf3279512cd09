"""Starter sheets: generic numbers to plan with until the maker's own are typed in."""

from __future__ import annotations

from collections.abc import Mapping

from engine.fields import BAD, Reader
from engine.format import SHEETS, build_sheet
from engine.job import BoxSheet, CableSheet, MeterSheet
from engine.sheets.starter import ROWS


def _load() -> Mapping[str, BoxSheet | CableSheet | MeterSheet]:
    """The rows of ``starter`` as sheets, by the same tables that read a job file.

    Raises
    ------
    ValueError : a row that a job file could not hold.
    """
    reader = Reader()
    read = SHEETS.read(reader, ROWS, "starter")
    if read is BAD:
        raise ValueError(reader.problems[0].line())
    return {name: build_sheet(name, keys) for name, keys in read.items()}


STARTER = _load()
