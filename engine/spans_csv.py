"""Spans from a table: CSV text (RFC 4180) to edits that add them, all or none.

Columns ``id, from, to, cable, metres`` in any order, named in the first line whatever their
case. Semicolons part the columns where the first line has them; then a decimal comma is
read too.
"""

from __future__ import annotations

import csv
from collections.abc import Collection, Mapping
from typing import Any

from engine.edits import ids_of
from engine.fields import Problem
from engine.jobfile import BadFile, read_job
from engine.planning import BadPlan, Edit, applied
from engine.sheets import AS_TYPED

COLUMNS = ("id", "from", "to", "cable", "metres")
LARGEST_BYTES = 1024 * 1024
MOST_LINES = 300
LONGEST = 200
KEYS = {"length_m": "metres"}
"""keys of a span whose column has another name"""


def spans_from(
    doc: Mapping[str, Any], text: str, as_: str = "correction", used: Collection[str] = ()
) -> tuple[Edit, ...]:
    """The edits that add the spans of a table. Points are written ``BOX.port``.

    Raises
    ------
    BadFile : one problem a line of the table; nothing is to be applied then.
    """
    rows, comma = _rows(text)
    problems: list[Problem] = []
    edits: list[Edit] = []
    taken = ids_of(doc) | {name.lower() for name in used}
    for line, row in rows:
        try:
            more = _edits(doc, line, row, comma, taken, as_)
            doc = _with(doc, line, more)
        except _BadLine as bad:
            problems.append(bad.problem)
            continue
        taken |= {row["id"].lower()}
        edits += more
    if problems:
        raise BadFile(problems)
    return tuple(edits)


class _BadLine(Exception):
    def __init__(self, line: int, column: str, found: str, expected: str) -> None:
        self.problem = Problem(f"line {line}, {column}", found[:LONGEST] or "nothing", expected)
        super().__init__(self.problem.line())


def _rows(text: str) -> tuple[list[tuple[int, dict[str, str]]], bool]:
    """Lines by column, with their numbers, and whether a comma may be a decimal one."""
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST_BYTES:
        raise BadFile([Problem("the table", "more than 1 MB", "at most 1 MB")])
    text = text.removeprefix("\ufeff")
    semicolon = ";" in text.split("\n", 1)[0]
    reader = csv.reader(
        text.splitlines(keepends=True), delimiter=";" if semicolon else ",", strict=True
    )
    names: list[str] = []
    out: list[tuple[int, dict[str, str]]] = []
    problems: list[Problem] = []
    start = 1
    try:
        for cells in reader:
            line, start = start, reader.line_num + 1
            cells = [cell.strip() for cell in cells]
            if not any(cells):
                continue
            if not names:
                names = [cell.lower() for cell in cells]
                _refuse_header(line, names)
            elif len(cells) != len(names):
                found, wanted = f"{len(cells)} columns", f"{len(names)} columns"
                problems.append(Problem(f"line {line}", found, wanted))
            else:
                out.append((line, dict(zip(names, cells, strict=True))))
            if len(out) > MOST_LINES:
                many = Problem("the table", f"more than {MOST_LINES} spans", f"up to {MOST_LINES}")
                raise BadFile([many])
    except csv.Error:
        wanted = "a table with closed quotes"
        raise BadFile([Problem(f"line {reader.line_num}", "no CSV", wanted)]) from None
    if problems:
        raise BadFile(problems)
    if not names:
        raise BadFile([Problem("the table", "nothing", f"the columns {', '.join(COLUMNS)}")])
    return out, semicolon


def _refuse_header(line: int, names: list[str]) -> None:
    if sorted(names) != sorted(COLUMNS):
        found = ", ".join(names)[:LONGEST]
        raise BadFile([Problem(f"line {line}", found, f"the columns {', '.join(COLUMNS)}")])


def _edits(doc, line: int, row: dict[str, str], comma: bool, taken, as_: str) -> list[Edit]:
    """What adds one line's span, and the starter sheet of its cable."""
    if row["id"].lower() in taken:
        raise _BadLine(line, "id", row["id"], "an id that was not used in this plan")
    word = row["metres"].replace(",", ".") if comma else row["metres"]
    try:
        metres = float(word)
    except ValueError:
        raise _BadLine(line, "metres", row["metres"], "a length in metres") from None
    if not 0 < metres <= 100_000:
        raise _BadLine(line, "metres", row["metres"], "a length above 0, up to 100000 m")
    span = {key: row[key] for key in ("id", "from", "to", "cable")} | {"length_m": metres}
    edits = [{"what": "add", "path": ["spans"], "value": span, "as": as_}]
    cable = row["cable"]
    if cable in AS_TYPED and cable not in doc.get("sheets", {}):
        sheet = dict(AS_TYPED[cable])
        edits.insert(0, {"what": "add", "path": ["sheets", cable], "value": sheet, "as": as_})
    return edits


def _with(doc: Mapping[str, Any], line: int, edits: list[Edit]) -> dict[str, Any]:
    """The document with a line's edits; the first thing that does not hold is the line's."""
    try:
        out = applied(doc, tuple(edits))
        read_job({**out, "log": []})
    except BadPlan as bad:
        raise _BadLine(line, "id", bad.say.code, "a span that can be added") from None
    except BadFile as bad:
        first = bad.problems[0]
        key = first.at.rpartition(".")[2] if "." in first.at else "to"
        raise _BadLine(line, KEYS.get(key, key), first.found, first.expected) from None
    return out
