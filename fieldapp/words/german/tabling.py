"""The sentences of spans from a table, in German."""

from __future__ import annotations

import re

from fieldapp.words.german.figures import capital, comma, count, length, several
from fieldapp.words.german.planning import _stands, _wanted
from fieldapp.words.german.said import says

_WHERE = re.compile(r"^line (\d+)")
"""a place in a table, as the engine names it"""


@says("table-large")
def _large(name: str) -> str:
    return f"**{name}** ist zu groß für eine Tabelle. Nichts wurde geändert."


@says("table-no-text")
def _no_text(name: str) -> str:
    return (
        f"**{name}** ist keine Tabelle als Text. Im Tabellenprogramm als CSV ablegen, dann öffnen."
    )


def spans_button() -> str:
    """Spans from a table."""
    return "Strecken aus Tabelle"


def spans_columns(columns: str) -> str:
    """Which columns there are."""
    return f"Erste Zeile: **{columns}**. Dann eine Strecke je Zeile:"


def table_label() -> str:
    """The field to paste into."""
    return "Tabelle hier einfügen"


def table_rests() -> str:
    """While it is still being typed."""
    return "Tabelle wird gelesen"


def table_empty() -> str:
    """Nothing is there yet."""
    return "Tabelle einfügen oder öffnen"


def table_line(spans: int, metres_: float) -> str:
    """What a table holds."""
    return f"{_spans(spans)}, {length(round(metres_, 1))}"


def boxes_missing(names: tuple[str, ...]) -> str:
    """Boxes that a table names and the plan lacks: they come first."""
    more = f" und {count(len(names) - 6)} weitere" if len(names) > 6 else ""
    lack = "Box fehlt" if len(names) == 1 else "Boxen fehlen"
    return f"{len(names)} {lack} im Plan: **{', '.join(names[:6])}**{more}."


def put_boxes_first() -> str:
    """What to do about it."""
    return "Erst in den Plan einsetzen, dann die Tabelle noch einmal lesen."


def table_problem(at: str, found: str, expected: str) -> str:
    """What is wrong in a line."""
    where = _WHERE.sub(r"Zeile \1", at).replace(", ", ", Spalte ").replace("the table", "Tabelle")
    wanted = _wanted(expected)
    return f"**{where}**: {comma(_stands(found))}.{f' Nötig: {wanted}.' if wanted else ''}"


def more_problems(number: int) -> str:
    """Below those that are listed."""
    return f"und {number} weitere"


def put_spans_in(spans: int) -> str:
    """The slab: all of them with one press."""
    return f"{_spans(spans)} einsetzen"


def put_spans_more() -> str:
    """Under it."""
    return "Rückgängig nimmt alle heraus"


def nothing_put_in(problems: int) -> str:
    """The slab while a line does not hold."""
    lines = "1 Zeile stimmt" if problems == 1 else f"{problems} Zeilen stimmen"
    return f"{lines} noch nicht"


def all_or_none() -> str:
    """Under it."""
    return "erst wenn alle stimmen, wird eingesetzt"


def _spans(number: int) -> str:
    return capital(several(number, "eine Strecke", "Strecken"))
