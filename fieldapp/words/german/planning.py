"""The sentences of planning in German: why a plan cannot be changed so."""

from __future__ import annotations

import re
from collections.abc import Sequence

from fieldapp.words.german.figures import NBSP, comma, tied
from fieldapp.words.german.plans import kind_word
from fieldapp.words.german.said import says

# ---------------------------------------------------------------- what the engine says in words

_Table = Sequence[tuple[str, str]]
_NOWHERE: _Table = (
    (r"there is no (.+)", "{} gibt es nicht"),
    (r"(.+) is there already", "{} gibt es schon"),
    (r"(.+) is not part of the plan", "{} gehört nicht zum Plan"),
    (r"what is to be (.+) has another id", "was {} sein soll, heißt anders"),
    (r"nothing can be set at (.+)", "an {} lässt sich nichts setzen"),
    (r"(.+) was in this plan before; .+", "{} gab es in diesem Plan schon einmal"),
)
"""why a path leads nowhere (``engine/edits.py``, ``engine/fold.py``)"""
_FOUND: _Table = (
    (r"nothing", "nichts"),
    (r"no CSV", "kein CSV"),
    (r"an unknown key", "ein unbekannter Schlüssel"),
    (r"an object", "ein Objekt"),
    (r"a list", "eine Liste"),
    (r"true", "ja"),
    (r"false", "nein"),
    (r"more than 1 MB", f"mehr als 1{NBSP}MB"),
    (r"more than (\d+) spans", "mehr als {} Strecken"),
    (r"(\d+) columns", "{} Spalten"),
)
_WANTED: _Table = (
    (r"an id that was not used in this plan", "eine Kennung, die im Plan noch frei ist"),
    (r"an id used once; (.+) has it too", "jede Kennung nur einmal; {} hat sie auch"),
    (r"a length in metres", "eine Länge in Metern"),
    (r"a length above 0, up to (\d+) m", f"eine Länge über 0 bis {{}}{NBSP}m"),
    (r"(\d+) columns", "{} Spalten"),
    (r"the columns (.+)", "die Spalten {}"),
    (r"a table with closed quotes", "eine Tabelle mit geschlossenen Anführungszeichen"),
    (r"a span that can be added", "eine Strecke, die in den Plan passt"),
    (r"up to (\d+)", "höchstens {}"),
    (r"at most 1 MB", f"höchstens 1{NBSP}MB"),
    (r"at most (\d+) letters", "höchstens {} Zeichen"),
    (r"at most (\d+) of them", "höchstens {} davon"),
    (r"at least (\d+) of them", "mindestens {} davon"),
    (r"a box of this (?:job|plan)", "eine Box dieses Plans"),
    (r"a port of a splitter: .+", "ein Port eines Verteilers: in, out1, out2 und so weiter"),
    (r"a port of an? [\w-]+: (.+)", "ein Port dieser Box: {}"),
    (r"a free port; .+", "ein freier Port; hier steckt schon eine Strecke"),
    (r"a point, BOX\.port", "ein Punkt, BOX.port"),
    (r"no loop: .+", "keine Schleife: diese Boxen sind schon verbunden"),
    (r"the sheet of a box", "das Datenblatt einer Box"),
    (r"the sheet of a cable", "das Datenblatt eines Kabels"),
    (r"the sheet of a meter", "das Datenblatt eines Messgeräts"),
    (r"the volts that come out", "die Volt, die herauskommen"),
    (r"a stop(?:, or at_m beside it)?", "ein Ort des Plans"),
    (r"an earth", "eine Erde des Plans"),
    (r"a budget", "ein Budget des Plans"),
    (r"a (?:whole )?number (\S+) to (\S+?)(?:, or low, expected and high)?", "{} bis {}"),
    (r"low ≤ expected ≤ high", "kleinster, üblicher, größter Wert in dieser Folge"),
    (r"letters, digits, - and \.", "Buchstaben, Ziffern, - und ."),
    (r"letters, digits and -", "Buchstaben, Ziffern und -"),
    (r"a text of one line", "ein Text in einer Zeile"),
    (r"a text(?: without control characters)?", "ein Text"),
    (r"true or false", "ja oder nein"),
    (r"an object", "ein Objekt"),
    (r"a list", "eine Liste"),
    (r"one of (.+)", "eines von {}"),
)
"""what a file holds and should hold (``engine/fields.py``, ``jobfile.py``, ``spans_csv.py``)"""


def _put(table: _Table, said: str) -> str:
    """What the engine says, in German; nothing where the table has no words for it."""
    for pattern, words in table:
        found = re.fullmatch(pattern, said)
        if found:
            return words.format(*found.groups())
    return ""


def _stands(found: str) -> str:
    """What stands in a file: a word of the engine's in German, somebody's own as it is."""
    return _put(_FOUND, found) or found.strip('"')


def _wanted(expected: str) -> str:
    """What should stand there; nothing where there are no words for it."""
    return _put(_WANTED, expected)


# ---------------------------------------------------------------- why not


@says("plan-path")
def _path(problem: str) -> str:
    why = _put(_NOWHERE, problem)
    return f"Diese Änderung führt ins Leere{f': {why}' if why else ''}."


@says("plan-unread")
def _unread(problem: str) -> str:
    at, _, rest = problem.partition(": found ")
    found, _, expected = rest.partition(", expected ")
    wanted = _wanted(re.sub(r"\.( Did you mean .+)?$", "", expected))
    there = f"{at}, {_stands(found)}" if rest else at
    return f"Der Plan ginge so nicht auf. {comma(there)}{f'; nötig: {wanted}' if wanted else ''}."


@says("plan-absent")
def _absent(thing: str) -> str:
    return f"**{thing}** gibt es in diesem Plan nicht."


@says("plan-sheet")
def _sheet(sheet: str) -> str:
    return f"Das Datenblatt **{sheet}** passt hier nicht."


@says("plan-no-way-through")
def _no_way_through(sheet: str, kind: str) -> str:
    return f"Durch {sheet} führt keine Strecke weiter: {kind_word(kind)}."


@says("plan-share")
def _share(share: str) -> str:
    return f"Eine Box steht zwischen den Enden einer Strecke; {comma(share)} davon liegt außerhalb."


@says("plan-many-spans")
def _many_spans(box: str, spans: int) -> str:
    return f"In **{box}** treffen sich {spans} Strecken. Erst alle bis auf zwei herausnehmen."


@says("plan-no-turning")
def _no_turning(box: str) -> str:
    return f"**{box}** hat keine zwei Seiten, die sich tauschen ließen."


@says("plan-id-used")
def _id_used(thing: str) -> str:
    return f"Die Kennung {thing} gab es in diesem Plan schon. Eine andere wählen."


@says("plan-distance")
def _distance(metres: str, most: int) -> str:
    far, end = tied(f"{metres} m"), tied(f"{most} m")
    return f"Über {far} lässt sich keine Linie planen. 1 bis {end} tippen."


@says("plan-load")
def _load(watts: str, mbps: str) -> str:
    asked = f"{tied(f'{watts} W')} bei {tied(f'{mbps} Mb/s')}"
    return f"Ein fernes Ende mit {asked} lässt sich nicht planen."


@says("plan-no-length")
def _no_length() -> str:
    return "Erst tippen, wie weit es ist."
