"""What is asked for a data sheet of one's own, in German, and how an answer is told."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.words import units
from fieldapp.words.english.sheeting import own_figure as _figure
from fieldapp.words.english.sheeting import own_unit as _unit
from fieldapp.words.german.assumed import _QUANTITIES, _taken
from fieldapp.words.german.figures import (
    KINDS,
    NBSP,
    cable_wire,
    capital,
    comma,
    count,
    length,
    several,
    unit_of,
)
from fieldapp.words.german.findings import WANTS
from fieldapp.words.german.plans import kind_word
from fieldapp.words.german.reel import METALS
from fieldapp.words.german.said import says

ASKED: Mapping[str, tuple[str, str, str]] = {
    "volts": ("Wie viel Volt gibt sie ab?", "V", "an den Kontakten, beim Speisen"),
    "watts_max": ("Wie viel Watt kann sie geben?", "W", "höchstens, aus diesem einen Port"),
    "grants": ("Wann gibt sie Strom?", "", ""),
    "pairs": ("Über wie viele Paare läuft Strom?", "", ""),
    "speeds_mbps": ("Welches Tempo kann sie?", "", "alle drücken, die sie kann"),
    "outdoor": ("Für draußen gemacht?", "", ""),
    "power": ("Wie gibt sie Strom weiter?", "", ""),
    "own_watts": ("Wie viel Watt zieht sie selbst?", "W", "ohne das, was dahinter hängt"),
    "out_volts": ("Wie viel Volt erzeugt sie?", "V", "am Ausgang, beim Speisen"),
    "efficiency": (f"Was kommt von 100{NBSP}W wieder heraus?", "%", "ihr Wirkungsgrad"),
    "out_watts_max": ("Wie viel Watt kommen höchstens heraus?", "W", "in allem, neu erzeugt"),
    "pairs_out": ("Über wie viele Paare speist sie weiter?", "", ""),
    "class": ("Welche Klasse zeigt sie?", "", "was sie vom speisenden Port verlangt"),
    "cutoff_volts": ("Unter wie viel Volt geht sie aus?", "V", "während sie läuft"),
    "on_volts": ("Ab wie viel Volt geht sie an?", "V", "wenn sie aus war"),
    "ohms_per_conductor": ("Wie viel Ohm bringt sie in jede Ader?", "Ω", "mit den Steckern"),
    "watts": ("Wie viel Watt zieht sie?", "W", "der größte Wert allein genügt"),
    "watts_swing_percent": ("Wie weit schwankt ihre Last?", "%", "von ihren Watt, in einer Minute"),
    "category": ("Welche Kategorie hat es?", "", ""),
    "material": ("Woraus sind die Adern?", "", ""),
    "copper_percent": ("Wie viel der Ader ist Kupfer?", "%", "vom Volumen"),
    "awg": ("Welches Drahtmaß hat es?", "AWG", "bei AWG: je kleiner die Zahl, desto dicker"),
    "stranded": ("Draht oder Litze?", "", ""),
    "ohms_per_km": ("Wie viel Ohm hat ein Kilometer?", "Ω/km", f"einer Ader, bei 20{NBSP}°C"),
    "screened": ("Ist es geschirmt?", "", ""),
}
"""a key of a sheet: its question, its unit, what is meant; a box is ``sie``, a cable ``es``"""
PARTS = {
    "low": "kleinster",
    "expected": "üblich",
    "high": "größter",
    "percent": "Prozent",
    "digits": "Digits",
    "resolution": "letzte Stelle",
}
"""the figures of one answer"""
CHOSEN: Mapping[str, Mapping[Any, str]] = {
    "grants": {"always": "immer", "by-class": "wenn eine Box danach fragt"},
    "power": {"pass-through": "Strom läuft durch", "regenerating": "sie erzeugt Volt neu"},
    "material": METALS,
    "stranded": {True: "Litze", False: "Draht"},
    "faces": {**WANTS, "any": "gleich was"},
}
"""choices that have words of their own"""

# ---------------------------------------------------------------- a sheet of one's own


def own_title(thing: str, changed: str) -> str:
    """In the head of the questions."""
    return changed or f"Eigenes für {thing}"


def own_progress(number: int, of: int) -> str:
    """How far the questions are."""
    return f"Frage {number} von {of}"


def own_begin() -> str:
    """The first page."""
    return "Welches Datenblatt kommt am nächsten?"


def own_begin_why() -> str:
    """Under it."""
    return "Seine Werte stehen als Antwort bereit; überschreiben, was der Hersteller anders sagt."


def own_change(title: str) -> str:
    """Change a sheet that is there already."""
    return f"{title} selbst ändern"


def own_follow(users: tuple[str, ...]) -> str:
    """Who goes by a sheet that is changed."""
    names, many = ", ".join(users), count(len(users))
    return f"{names} folgt" if len(users) == 1 else f"{many} folgen: {names}"


def own_question(key: str) -> str:
    """The question of a key: ``ports/in/faces`` is of a port."""
    *way, last = key.split("/")
    if "reach_m" in way:
        return f"Wie weit reicht {way[1].upper()} bei {last}{NBSP}Mb/s?"
    if last == "faces":
        return f"Was gehört an {way[1].upper()}?"
    return ASKED[last][0]


def own_question_meter(kind: str) -> str:
    """The question of a kind of reading."""
    return f"{capital(KINDS[kind])}: Wie weit kann es danebenliegen?"


def own_meant(key: str, meter: bool) -> str:
    """What is meant by it."""
    if meter:
        return "± Prozent vom Messwert und so viele Digits"
    if "reach_m" in key:
        return "auf eigenem Kabel, laut Hersteller"
    if key == "awg" and not units.in_gauges():
        return "in Klammern das Maß, das auf Kabeln steht"
    return ASKED.get(key, ("", "", ""))[2]


def own_unit(key: str, part: str) -> str:
    """The unit of what is typed."""
    return PARTS[part] if part == "digits" else _unit(key, part)


def own_part(part: str) -> str:
    """One of the figures of an answer."""
    return PARTS[part]


def own_choice(key: str, value: Any) -> str:
    """One of the choices."""
    return capital(_choice(key, value))


def _choice(key: str, value: Any) -> str:
    """The same inside a line."""
    last = key.rpartition("/")[2]
    if value in CHOSEN.get(last, {}):
        return CHOSEN[last][value]
    if isinstance(value, bool):
        return "ja" if value else "nein"
    if last in ("pairs", "pairs_out"):
        return several(value, "ein Paar", "Paare")
    if last == "awg":
        return units.gauge_text(value) if units.in_gauges() else cable_wire(value)
    return f"Cat{NBSP}{value}" if last == "category" else str(value)


def own_figure(value: float) -> str:
    """A figure with no more digits than it has."""
    return comma(_figure(value))


def own_value(key: str, value: Any, times: float) -> str:
    """What stands in a sheet for a key, in one line; nothing where it does not say."""
    if value is None:
        return "ohne Angabe"
    if isinstance(value, Mapping) and "percent" in value:
        unit = unit_of(key)
        last = units.shown(value["resolution"], units.sheet_kind(key, "resolution"))
        steps = f"{own_figure(value['digits'])} × {own_figure(last)}{NBSP}{unit}"
        return f"±({own_figure(value['percent'])}{NBSP}% + {steps})"
    unit = own_unit(key, "") if key.rpartition("/")[2] in ASKED or "reach_m" in key else ""
    behind = f"{NBSP}{unit}" if unit else ""
    if isinstance(value, Mapping):
        low, usual, high = (own_figure(value[k] * times) for k in ("low", "expected", "high"))
        return f"{low} bis {high}{behind}, üblich {usual}" if low != high else f"{usual}{behind}"
    if isinstance(value, list | tuple):
        return f"{'/'.join(str(one) for one in value)}{NBSP}Mb/s" if value else "nichts"
    if key == "awg":
        return cable_wire(value)
    if "reach_m" in key:
        return length(value)
    if isinstance(value, float | int) and not isinstance(value, bool) and unit:
        return f"{own_figure(value * times)}{behind}"
    return f"Klasse{NBSP}{value}" if key == "class" else _choice(key, value)


def own_keep(value: str) -> str:
    """The slab with the template's answer."""
    return f"Bleibt {value}"


def own_keep_open() -> str:
    """The slab where the template says nothing either."""
    return "Offen lassen"


def own_take(value: str) -> str:
    """The slab with what was typed."""
    return f"Neu: {value}"


def own_type_part(part: str) -> str:
    """The slab while a figure of the answer is missing."""
    return f"Noch tippen: {PARTS[part]}" if part else "Zahl tippen"


def own_needed() -> str:
    """The slab where the sheet cannot do without."""
    return "Wert vom Datenblatt tippen"


def own_choose() -> str:
    """The slab while nothing is chosen."""
    return "Mindestens eines wählen"


def own_without() -> str:
    """The quiet button beside it."""
    return "Steht nicht im Datenblatt"


def own_not_measured() -> str:
    """The same for a kind of reading."""
    return "Das misst es nicht"


def own_alone(said: str) -> str:
    """What the other figures of an answer are where one stands alone."""
    return f"die anderen daraus: {_taken(said.partition(' of ')[0])}"


def own_default(said: str) -> str:
    """What is taken where the sheet does not say."""
    return f"ohne Angabe: {_taken(said)}"


def own_last() -> str:
    """The last page."""
    return "Wie heißt das Datenblatt?"


def own_name() -> str:
    """The field of its name."""
    return "Hersteller und Typ"


def own_use(thing: str) -> str:
    """The slab of the last page."""
    return f"Für {thing} nehmen"


def own_change_slab(number: int) -> str:
    """The same where a sheet in use is changed."""
    return "Ändern" if number == 1 else f"Für alle {count(number)} ändern"


def own_missing(what: str) -> str:
    """Under the slab while something is missing."""
    return f"noch offen: {what}"


def own_name_it() -> str:
    """Under the slab while there is no name."""
    return "erst den Namen tippen"


def own_unchanged() -> str:
    """Under the slab while nothing is changed."""
    return "nichts geändert: Antwort drücken"


def own_kind(kind: str) -> str:
    """The kind of the sheet, under its name."""
    return kind_word(kind)


def own_note(by: str, template: str, typed: tuple[str, ...], kept: tuple[str, ...]) -> str:
    """Where the figures of a sheet come from, for whoever reads the file."""
    who = f"von {by}" if by else "vor Ort"
    fresh, same = (", ".join(map(_key, names)) for names in (typed, kept))
    from_maker = f"Vom Datenblatt des Herstellers getippt, {who}: {fresh}." if typed else ""
    left = f"Wie in {template} gelassen, {who}: {same}." if kept else ""
    return " ".join(part for part in (from_maker, left) if part)


_KEYS = {
    **KINDS,
    **_QUANTITIES,
    "watts_max": "größte Watt",
    "grants": "wann Strom kommt",
    "pairs": "Paare",
    "speeds_mbps": "Tempo",
    "outdoor": "draußen",
    "power": "Weg des Stroms",
    "efficiency": "Wirkungsgrad",
    "out_watts_max": "größte Watt am Ausgang",
    "pairs_out": "Paare am Ausgang",
    "class": "Klasse",
    "material": "Material",
    "copper_percent": "Kupferanteil",
    "awg": "Drahtmaß",
    "stranded": "Draht oder Litze",
    "screened": "Schirm",
}
"""keys of a sheet in a list (``fieldapp/sheetquestions.py``); those of ports by their question"""


def _key(name: str) -> str:
    return _KEYS.get(name) or own_question(name).rstrip("?")


# ---------------------------------------------------------------- what is refused


@says("own-limits")
def _limits(key: str, part: str, least: float, most: float) -> str:
    kind = units.sheet_kind(key, part)
    least, most = (round(units.shown(one, kind), 7) for one in (least, most))
    unit = own_unit(key, part)
    named = f"{capital(PARTS[part])}: möglich" if part else "Möglich"
    behind = f"{NBSP}{unit}" if unit else ""
    return f"{named} ist **{own_figure(least)} bis {own_figure(most)}{behind}**. Neu tippen."


@says("own-order")
def _order(key: str) -> str:
    return "Der kleinste Wert liegt nicht über dem üblichen, der übliche nicht über dem größten."


@says("own-unread")
def _own_unread(key: str) -> str:
    return "Das passt in kein Datenblatt. Neu tippen."


@says("own-name")
def _own_name(most: int) -> str:
    return f"Ein Name ist eine Zeile mit höchstens {most} Zeichen."
