"""Figures, units and names of places, as every sentence has them."""

from __future__ import annotations

import re

from fieldapp.drawing.gaugeparts import Scale
from fieldapp.words import units

NBSP = "\u00a0"

UNITS = {
    "volts": "V",
    "milliamps": "mA",
    "watts": "W",
    "loop_ohms": "Ω",
    "unbalance_ohms": "Ω",
    "earth_ohms": "Ω",
    "metres": "m",
    "celsius": "°C",
    "mbps": "Mb/s",
    "error_count": "frames",
}
DIGITS = {"volts": 1, "milliamps": 0, "watts": 1, "loop_ohms": 1, "earth_ohms": 1, "metres": 0}
KINDS = {
    "volts": "volts",
    "milliamps": "milliamps",
    "watts": "watts",
    "loop_ohms": "loop ohms",
    "unbalance_ohms": "unbalance",
    "earth_ohms": "earth ohms",
    "metres": "length",
    "celsius": "temperature",
    "mbps": "link speed",
    "error_count": "bad frames",
}
EARTH_METHODS = {"3-pole": ("3-pole", "two spikes"), "clamp": ("clamp", "no spikes")}
"""how an earth is measured (IEC 61557-5 and IEEE 81 know both, from memory): name, meaning"""
MOST = {"volts": 57.0, "milliamps": 2000.0, "watts": 99.9, "loop_ohms": 500.0, "earth_ohms": 2000.0}
"""beyond this the pad asks; keeping is allowed all the same"""
VERDICTS = {
    "inside": "inside",
    "unclear": "unclear",
    "outside": "outside",
    "no-band": "nothing to judge by",
}

# ---------------------------------------------------------------- figures


def figure(value: float, kind: str = "volts") -> str:
    """A value with the digits of its kind, in the unit it is shown in."""
    return f"{units.shown(value, kind):.{DIGITS.get(kind, 1)}f}"


def unit_of(kind: str) -> str:
    """The unit of a kind of figure, as it is shown here."""
    return units.unit_of(kind) or UNITS[kind]


def as_typed(digits: str) -> str:
    """What is typed on the pad, as it is shown."""
    return digits


def plain_number(value: float) -> str:
    """``0.4``, ``16``: a value as short as it can be told."""
    return f"{value:g}"


def scale_of(kind: str) -> Scale:
    """How a gauge of this kind is ticked."""
    return Scale(plain_number, units.per(kind))


def with_unit(value: float, kind: str = "volts") -> str:
    """``41.0 V``: the number and its unit never part."""
    if kind == "mbps":
        return speed(value)
    return f"{figure(value, kind)}{NBSP}{unit_of(kind)}"


def reach_of(reach: float, kind: str) -> str:
    """``0.3 V``: how far a meter can be out."""
    reach = units.shown(reach, kind)
    shown = (
        f"{reach:.1f}" if 0.1 <= reach < 10 else f"{reach:.2f}" if reach < 0.1 else f"{reach:.0f}"
    )
    return f"{shown}{NBSP}{unit_of(kind)}"


def tied(text: str) -> str:
    """A text of the engine, its metres turned and its numbers tied to their units."""
    text = re.sub(r"(?<![\d.])(\d+(?:\.\d+)?) m\b", lambda it: length(float(it[1])), text)
    return re.sub(r"(?<=\d) (?=[A-Za-zΩ°%µ])", NBSP, text)


def typed_with_unit(digits: str, kind: str) -> str:
    """What is typed, with its unit: it is typed in the one it is shown in."""
    return f"{digits}{NBSP}{unit_of(kind)}"


def metres(value: float) -> str:
    """``256 m``, or ``840 ft``: the length of a run or of a walk."""
    return f"{units.length_text(value)}{NBSP}{units.length_unit()}"


def length(value: float) -> str:
    """``0.5 m``, or ``1.6 ft``: a length with the digits it has."""
    return f"{units.exact_text(value)}{NBSP}{units.length_unit()}"


def spoken_length(value: float) -> str:
    """``470 metres``, as a screen reader says it."""
    return f"{units.length_text(value)} {'feet' if units.in_feet() else 'metres'}"


def _hundred(ohms: float) -> tuple[str, float]:
    """A round length of cable, and of ohms a hundred metres those of so much."""
    return (f"100{NBSP}ft", ohms * units.FOOT_M) if units.in_feet() else (f"100{NBSP}m", ohms)


def wire(mm2: float) -> str:
    """``1.5 mm²``, or ``≈15 AWG``: an earth's conductor."""
    return units.wire_text(mm2)


def cable_wire(gauge: float, short: bool = False) -> str:
    """``0.26 mm² (23 AWG)``, or ``23 AWG``: a cable's conductor."""
    return units.cable_text(gauge, short=short)


def speed(mbps: float) -> str:
    """``1000 Mb/s``, or ``no link``."""
    return f"{mbps:.0f}{NBSP}Mb/s" if mbps else "no link"


def speeds(mbps: tuple[int, ...]) -> str:
    """What a port runs at, as the trade says it."""
    if tuple(mbps) == (1000,):
        return "gigabit only"
    return "/".join(str(one) for one in mbps)


def count(number: int) -> str:
    """Small numbers as words."""
    names = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return names[number] if number < len(names) else str(number)


def things(number: int) -> str:
    """``one thing``, ``two things``."""
    return f"{count(number)} thing" if number == 1 else f"{count(number)} things"


def capital(text: str) -> str:
    """The first letter large, inside a mark of stress too."""
    start = 2 if text.startswith("**") else 0
    return text[:start] + text[start : start + 1].upper() + text[start + 1 :]


def point(at: str) -> str:
    """``A2, line side``; a span, an earth or a stop by its id."""
    box, _, port = at.rpartition(".")
    return f"{box}, {_port(port)} side" if box else at


def spot(at: str) -> str:
    """``L2 IN``, ``A2 line``: a point as short as it is printed; others by their id."""
    box, _, port = at.rpartition(".")
    return f"{box} {_port(port)}" if box else at


def side_of(at: str) -> str:
    """``A2's kit side``, ``L1's OUT``"""
    box, _, port = at.rpartition(".")
    name = _port(port)
    return f"{box}'s {name}" if name.isupper() else f"{box}'s {name} side"


def _port(port: str) -> str:
    """In and out as they are printed on boxes; the others as the trade says them."""
    return port.upper() if port.startswith(("in", "out")) else port


def plain(marked: str) -> str:
    """A sentence without its marks of stress."""
    return marked.replace("**", "")
