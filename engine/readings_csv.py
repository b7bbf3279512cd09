"""All readings of a job as a table for spreadsheets: CSV after RFC 4180. Pure.

A byte-order mark stands in front, which the RFC does not know: without it spreadsheets take the
letters for those of an old code page, and a name such as 'Mühle' is spoiled. Lines end in CR LF,
quotes are doubled, numbers have a decimal point and stay numbers.
"""

from __future__ import annotations

import re

from engine.entries import UNITS
from engine.judge import Judgement
from engine.network import Standing
from engine.practice import MADE_UP_KEY
from engine.showable import showable
from engine.sliced import Progress, finish
from engine.verdict import Verdict

COLUMNS = (
    "id",
    "time",
    "place",
    "kind",
    "value",
    "unit",
    "meter",
    "standing",
    "verdict",
    "expected",
    "low",
    "high",
    "taken back",
    "by",
)
MADE_UP = "made up"
"""the last column of a table of no real site: ``yes`` in every row"""
A_SLICE = 100
"""rows between two yields"""
NO_LONGER = "no longer counts"
"""instead of a verdict: repeated, altered there since, or not in the plan"""
_FORMULA = re.compile(r"(?:^|(?<=[,;|\n]))(?=[\s\"]*[=+\-@\uff1d\uff0b\uff0d\uff20])")
"""where a cell may begin, and what makes a formula of it; the wide forms count as well, and a
quote in front of it, which is one of two once it is doubled"""
_QUOTED = re.compile(r"[\",;|\n]|^\s|\s$")


def readings_csv(judgement: Judgement) -> bytes:
    """The table, in the order of the log: what was taken back or repeated is in it too."""
    return finish(tabling(judgement))


def tabling(judgement: Judgement) -> Progress[bytes]:
    """The same, yielding the share done."""
    voided = judgement.state.voided
    verdicts = sorted(judgement.verdicts, key=lambda verdict: verdict.reading.place)
    is_made_up = MADE_UP_KEY in judgement.state.doc
    lines = [_line((*COLUMNS, MADE_UP) if is_made_up else COLUMNS)]
    for number, verdict in enumerate(verdicts, 1):
        row = _row(verdict, verdict.id in voided)
        lines.append(_line((*row, "yes") if is_made_up else row))
        if number % A_SLICE == 0:
            yield number / len(verdicts)
    return ("\ufeff" + "".join(lines)).encode("utf-8")


def _line(row: tuple[str | float | None, ...]) -> str:
    return ",".join(map(cell, row)) + "\r\n"


def _row(verdict: Verdict, is_void: bool) -> tuple[str | float | None, ...]:
    reading, band = verdict.reading, verdict.band
    ends = (band.expected, band.low, band.high) if band else (None, None, None)
    word = verdict.verdict if verdict.current else NO_LONGER
    return (
        reading.id,
        reading.t,
        reading.at,
        reading.kind,
        reading.figure,
        UNITS[reading.kind],
        reading.meter,
        standing_words(reading.standing),
        "" if is_void else word,
        *ends,
        "yes" if is_void else "",
        reading.by,
    )


def standing_words(standing: Standing) -> str:
    """What stood in place of the plan while it was read."""
    words = [
        *(f"{watts:g} W in place of {box}" for box, watts in sorted(standing.known.items())),
        *(f"{box} off" for box in sorted(standing.off)),
        *(["nothing plugged in beyond"] if standing.beyond else []),
    ]
    return ", ".join(words) or "as planned"


def cell(value: str | float | None) -> str:
    """One field. A number is written as one; a text never begins a formula.

    A spreadsheet runs what begins with ``=``, ``+``, ``-`` or ``@``, and a name in a file from
    elsewhere may begin so. An apostrophe in front makes it text for all of them; it is a change
    of the data, which the RFC cannot prevent and no quoting does. Where a spreadsheet parts
    cells at semicolons or tabs the text is cut there, so what follows those is guarded as well.

    >>> cell(-48.5), cell("-48.5"), cell("=1+1"), cell("Ida; -2")
    ('-48.5', "'-48.5", "'=1+1", '"Ida;\\' -2"')
    """
    if value is None:
        return ""
    if not isinstance(value, str):
        return f"{value:.12g}"
    text = _FORMULA.sub("'", showable(value))
    return '"' + text.replace('"', '""') + '"' if _QUOTED.search(text) else text
