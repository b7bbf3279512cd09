"""Figures, units and names of places in German: a comma, never a point, between digits."""

from __future__ import annotations

import re

from fieldapp.drawing.gaugeparts import Scale
from fieldapp.words import units
from fieldapp.words.english import figures as english
from fieldapp.words.english.figures import DIGITS as DIGITS
from fieldapp.words.english.figures import MOST as MOST
from fieldapp.words.english.figures import NBSP as NBSP
from fieldapp.words.english.figures import capital as capital
from fieldapp.words.english.figures import plain as plain

UNITS = {**english.UNITS, "error_count": "Frames"}
KINDS = {
    "volts": "Volt",
    "milliamps": "Milliampere",
    "watts": "Watt",
    "loop_ohms": "Schleifenohm",
    "unbalance_ohms": "Unsymmetrie",
    "earth_ohms": "Erdwiderstand",
    "metres": "Länge",
    "celsius": "Temperatur",
    "mbps": "Tempo",
    "error_count": "defekte Frames",
}
_SHORT_KINDS = {
    "milliamps": "mA",
    "loop_ohms": "Schleife",
    "earth_ohms": "Erdung",
    "error_count": "Frames",
}
"""what they are called on a button, where that is shorter"""
EARTH_METHODS = {"3-pole": ("dreipolig", "zwei Spieße"), "clamp": ("Zange", "ohne Spieße")}
VERDICTS = {
    "inside": "im Band",
    "unclear": "unklar",
    "outside": "außerhalb",
    "no-band": "ohne Maßstab",
}
SIDES = {"line": "Leitungsseite", "kit": "Boxseite"}
"""ports whose name is a word; in and out stay as they are printed on the boxes"""

# ---------------------------------------------------------------- figures


def comma(text: str) -> str:
    """A text with figures in it, each with the decimal comma."""
    return re.sub(r"(?<=\d)\.(?=\d)", ",", text)


def decimal(value: float, digits: int = 1) -> str:
    """``48,2``: a value to so many digits behind the comma."""
    return comma(f"{value:.{digits}f}")


def plain_number(value: float) -> str:
    """``0,4``, ``16``: a value as short as it can be told."""
    return comma(f"{value:g}")


def figure(value: float, kind: str = "volts") -> str:
    """A value with the digits of its kind, in the unit it is shown in."""
    return comma(english.figure(value, kind))


def unit_of(kind: str) -> str:
    """The unit of a kind of figure, as it is shown here."""
    return units.unit_of(kind) or UNITS[kind]


def as_typed(digits: str) -> str:
    """What is typed on the pad, as it is shown: with a comma, also while nothing is behind it."""
    return digits.replace(".", ",")


def scale_of(kind: str) -> Scale:
    """How a gauge of this kind is ticked."""
    return Scale(plain_number, units.per(kind))


def with_unit(value: float, kind: str = "volts") -> str:
    """``41,0 V``: the number and its unit never part."""
    if kind == "mbps":
        return speed(value)
    return f"{figure(value, kind)}{NBSP}{unit_of(kind)}"


def reach_of(reach: float, kind: str) -> str:
    """``0,3 V``: how far a meter can be out."""
    shown, _, _ = english.reach_of(reach, kind).partition(NBSP)
    return f"{comma(shown)}{NBSP}{unit_of(kind)}"


def tied(text: str) -> str:
    """A text of the engine, its metres turned and its numbers tied to their units."""
    return comma(english.tied(text))


def typed_with_unit(digits: str, kind: str) -> str:
    """What is typed, with its unit: it is typed in the one it is shown in."""
    return f"{as_typed(digits)}{NBSP}{unit_of(kind)}"


def metres(value: float) -> str:
    """``256 m``, or ``840 ft``: the length of a run or of a walk."""
    return english.metres(value)


def length(value: float) -> str:
    """``0,5 m``, or ``1,6 ft``: a length with the digits it has."""
    return comma(english.length(value))


def spoken_length(value: float) -> str:
    """``470 Meter``, as a screen reader says it."""
    return f"{units.length_text(value)} {'Fuß' if units.in_feet() else 'Meter'}"


def _hundred(ohms: float) -> tuple[str, float]:
    """A round length of cable, and of ohms a hundred metres those of so much."""
    return english._hundred(ohms)


def wire(mm2: float) -> str:
    """``1,5 mm²``, or ``≈15 AWG``: an earth's conductor."""
    return comma(english.wire(mm2))


def cable_wire(gauge: float, short: bool = False) -> str:
    """``0,26 mm² (23 AWG)``, or ``23 AWG``: a cable's conductor."""
    return comma(english.cable_wire(gauge, short))


def speed(mbps: float) -> str:
    """``1000 Mb/s``, or ``keine Verbindung``."""
    return english.speed(mbps) if mbps else "keine Verbindung"


def speeds(mbps: tuple[int, ...]) -> str:
    """What a port runs at, as the trade says it."""
    return "nur Gigabit" if tuple(mbps) == (1000,) else english.speeds(mbps)


def count(number: int) -> str:
    """Small numbers as words; one is that of a man or a thing, others say ``several``."""
    names = [
        "keine",
        "ein",
        "zwei",
        "drei",
        "vier",
        "fünf",
        "sechs",
        "sieben",
        "acht",
        "neun",
        "zehn",
    ]
    return names[number] if number < len(names) else str(number)


def several(number: int, one: str, many: str) -> str:
    """``several(2, "eine Box", "Boxen")``: ``zwei Boxen``; of one its own words, article and all."""
    return one if number == 1 else f"{count(number)} {many}"


def things(number: int) -> str:
    """``eine Sache``, ``zwei Sachen``."""
    return several(number, "eine Sache", "Sachen")


# ---------------------------------------------------------------- places


def point(at: str) -> str:
    """``A2, Leitungsseite``; a span, an earth or a stop by its id."""
    box, _, port = at.rpartition(".")
    return f"{box}, {_side(port)}" if box else at


def spot(at: str) -> str:
    """``L2 IN``, ``A2 Leitungsseite``: a point in a sentence; others by their id."""
    box, _, port = at.rpartition(".")
    return f"{box} {_port(port)}" if box else at


def side_of(at: str) -> str:
    """``Boxseite von A2``, ``OUT von L1``"""
    box, _, port = at.rpartition(".")
    return f"{_side(port)} von {box}" if box else at


def _side(port: str) -> str:
    """A port by itself: ``Boxseite``, ``IN``, ``Seite b``."""
    named = _port(port)
    return named if named.isupper() or port in SIDES else f"Seite {named}"


def _port(port: str) -> str:
    """In and out as they are printed on boxes; the others as the trade says them."""
    return port.upper() if port.startswith(("in", "out")) else SIDES.get(port, port)


def _printed(port: str) -> str:
    """A port as it is written inside its box: ``LEITUNG``, ``BOX``, ``IN``."""
    return SIDES.get(port, port).removesuffix("sseite").removesuffix("seite").upper()
