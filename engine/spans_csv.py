"""Spans from a table: CSV text (RFC 4180) to edits that add them, all or none.

Columns ``id, from, to, cable, metres`` in any order, named in the first line whatever their
case. Semicolons part the columns where the first line has them; then a decimal comma is
read too.
"""

from __future__ import annotations

import csv
from collections.abc import Collection, Mapping
from typing import Any

from attrs import evolve, frozen

from engine.edits import ids_of
from engine.fields import Problem
from engine.jobfile import BadFile, read_job
from engine.planning import BadPlan, Edit, applied
from engine.sheets import AS_TYPED

COLUMNS = ("id", "from", "to", "cable", "metres")
LARGEST_BYTES = 1024 * 1024
MOST_LINES = 300
LONGEST = 200
"""letters of what is shown of a cell"""
LONGEST_M = 100_000
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
    taken = ids_of(doc) | {name.lower() for name in used}
    sofar = _with_lines(_Sofar(doc, taken), tuple(rows), comma, as_)
    if sofar.problems:
        raise BadFile(list(sofar.problems))
    return sofar.edits


@frozen
class _Sofar:
    """How far a table is read: the plan with the lines that hold, and the problems of the others."""

    doc: Mapping[str, Any]
    taken: frozenset[str]
    edits: tuple[Edit, ...] = ()
    problems: tuple[Problem, ...] = ()


Lines = tuple[tuple[int, dict[str, str]], ...]


def _with_lines(sofar: _Sofar, lines: Lines, comma: bool, as_: str) -> _Sofar:
    """All lines read at once where they hold; else one half and then the other, so that each bad
    one is found without reading the plan anew for every line."""
    if not lines:
        return sofar
    try:
        return _at_once(sofar, lines, comma, as_)
    except (_BadLine, BadPlan, BadFile) as bad:
        if len(lines) == 1:
            problem = _problem(lines[0][0], bad)
            return evolve(sofar, problems=(*sofar.problems, problem))
    half = len(lines) // 2
    first = _with_lines(sofar, lines[:half], comma, as_)
    return _with_lines(first, lines[half:], comma, as_)


def _at_once(sofar: _Sofar, lines: Lines, comma: bool, as_: str) -> _Sofar:
    doc, taken, edits = sofar.doc, sofar.taken, list(sofar.edits)
    for line, row in lines:
        more = _edits(doc, line, row, comma, taken, as_)
        doc = applied(doc, tuple(more))
        taken |= {row["id"].lower()}
        edits += more
    read_job({**doc, "log": []})
    return evolve(sofar, doc=doc, taken=taken, edits=tuple(edits))


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


def _edits(
    doc: Mapping[str, Any],
    line: int,
    row: dict[str, str],
    comma: bool,
    taken: Collection[str],
    as_: str,
) -> list[Edit]:
    """What adds one line's span, and the starter sheet of its cable."""
    if row["id"].lower() in taken:
        raise _BadLine(line, "id", row["id"], "an id that was not used in this plan")
    metres = _metres(row["metres"], comma)
    if metres is None:
        raise _BadLine(line, "metres", row["metres"], "a length in metres")
    if not 0 < metres <= LONGEST_M:
        raise _BadLine(line, "metres", row["metres"], "a length above 0, up to 100000 m")
    span = {key: row[key] for key in ("id", "from", "to", "cable")} | {"length_m": metres}
    edits: list[Edit] = [{"what": "add", "path": ["spans"], "value": span, "as": as_}]
    cable = row["cable"]
    if cable in AS_TYPED and cable not in doc.get("sheets", {}):
        sheet = dict(AS_TYPED[cable])
        edits.insert(0, {"what": "add", "path": ["sheets", cable], "value": sheet, "as": as_})
    return edits


def _problem(line: int, bad: _BadLine | BadPlan | BadFile) -> Problem:
    """What is wrong with a line: the first thing that does not hold."""
    if isinstance(bad, _BadLine):
        return bad.problem
    if isinstance(bad, BadPlan):
        return _BadLine(line, "id", bad.say.code, "a span that can be added").problem
    first = bad.problems[0]
    key = first.at.rpartition(".")[2] if "." in first.at else "to"
    return _BadLine(line, KEYS.get(key, key), first.found, first.expected).problem


@frozen
class Outline:
    """What a table speaks of, whether or not it can be added. ``metres`` are those that can be
    read; ``boxes`` are named once each, as they are first written."""

    spans: int
    metres: float
    boxes: tuple[str, ...]


def outline(text: str) -> Outline:
    """What a table speaks of.

    Raises
    ------
    BadFile : it is no such table.
    """
    rows, comma = _rows(text)
    lengths = [_metres(row["metres"], comma) for _, row in rows]
    ends = [row[key].rpartition(".")[0] for _, row in rows for key in ("from", "to")]
    boxes: dict[str, str] = {}
    for end in filter(None, ends):
        boxes.setdefault(end.lower(), end)
    metres = sum(one for one in lengths if one is not None and 0 < one <= LONGEST_M)
    return Outline(len(rows), metres, tuple(boxes.values()))


def _metres(word: str, comma: bool) -> float | None:
    """A length as written; None where it is no number. [m]"""
    try:
        return float(word.replace(",", ".") if comma else word)
    except ValueError:
        return None
