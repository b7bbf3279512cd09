"""Metres and feet, square millimetres and gauges: the one place where they are turned. Pure.

Everything kept is metric, as the job format has it. What is shown, and what is typed, is in the
units of the technician's manner and is turned here, at the edge.

What does not turn: the job file, tables of spans and of readings and the command line, which are
metric by their own words (a column is called ``metres``); ohms a kilometre, as the makers' sheets
print them; sizes of paper; and names and notes that somebody typed. Marks on a jacket are typed
and shown in the chosen unit: who works in feet has reels that are marked in feet.
"""

from __future__ import annotations

from math import log10

from engine.standards.conductors import awg_area_mm2
from fieldapp.words.manner import manner

NBSP = "\u00a0"
FOOT_M = 0.3048
"""international yard and pound agreement, 1959: exact [m]"""
LENGTH, WIRE, WEIGHT = "metres", "mm2", "grams"
"""kinds of figure that turn; every other kind is shown as it is kept. A weight is that of a metre
of cable, of three feet where one cuts those off"""
TURNED = {LENGTH: 1 / FOOT_M, WEIGHT: 3 * FOOT_M}
"""where one thinks in feet: how many units as shown there are in one as kept"""
LEAST_GAUGE, MOST_GAUGE = -3, 40
"""4/0 to 40: those that one finds on a drum (ASTM B258 goes on to 56)"""
NEAR = 0.03
"""within this share of its area a conductor is called by a gauge without more ado"""


def in_feet() -> bool:
    """Whether lengths are shown in feet here and now."""
    return manner().lengths == "feet"


def in_gauges() -> bool:
    """Whether conductors are shown by their gauge alone."""
    return manner().wire == "awg"


# ---------------------------------------------------------------- to and fro


def per(kind: str) -> float:
    """How many units as shown there are in one as kept; 1 where they are the same."""
    return TURNED.get(kind, 1.0) if in_feet() else 1.0


def shown(value: float, kind: str) -> float:
    """A figure in the unit it is shown in."""
    if kind == WIRE and in_gauges():
        return float(gauge_of(value))
    return value * per(kind)


def apart(low: float, high: float, kind: str, least: int) -> tuple[str, str]:
    """Both ends of a band as shown; a narrow one with so many digits that they read apart, two more
    than the ``least`` at most.

    >>> apart(43.7, 46.0, "volts", 1), apart(53.18, 53.24, "volts", 1), apart(0.0, 0.0, "volts", 1)
    (('43.7', '46.0'), ('53.18', '53.24'), ('0.0', '0.0'))
    """
    ends = (shown(low, kind), shown(high, kind))
    tried = [(f"{ends[0]:.{n}f}", f"{ends[1]:.{n}f}") for n in range(least, least + 3)]
    return next((one for one in tried if one[0] != one[1]), tried[0])


def kept(value: float, kind: str, stands: float | None = None) -> float:
    """A figure that was typed, in the unit it is kept in.

    What reads as the figure that ``stands`` there is that figure: 470 m reads 1542 ft, and who
    types 1542 changes nothing.
    """
    if stands is not None and _reads(value, kind) == _reads(shown(stands, kind), kind):
        return stands
    if kind == WIRE and in_gauges():
        return round(awg_area_mm2(value), 3)
    return round(value / per(kind), 4) if per(kind) != 1 else value


def kept_figure(digits: str, kind: str, stands: float | None = None) -> float | None:
    """What is typed on a pad, in the unit it is kept in; None while it is no figure."""
    typed: float | None
    if kind == WIRE and in_gauges():
        typed = gauge_typed(digits)
    else:
        typed = float(digits) if digits.strip(".") else None
    return kept(typed, kind, stands) if typed is not None else None


def _reads(value: float, kind: str) -> float:
    """A figure as it reads once it is turned; one that is not turned reads as it is."""
    return round(value, 1) if per(kind) != 1 else value


def gauge_of(mm2: float) -> int:
    """The gauge whose area is nearest, on the scale on which gauges are evenly apart.

    >>> gauge_of(0.258), gauge_of(1.5), gauge_of(13.3)
    (23, 15, 6)
    """
    if mm2 <= 0:
        return MOST_GAUGE
    # d = 0.127 mm x 92^((36 - n)/39) (ASTM B258), and the area goes with its square
    steps = 39 * log10(mm2 / awg_area_mm2(36)) / (2 * log10(92))
    return min(max(round(36 - steps), LEAST_GAUGE), MOST_GAUGE)


def gauge_typed(digits: str) -> int | None:
    """A gauge as typed on the pad: ``00`` is 2/0, as the trade wrote it before there were strokes.

    >>> gauge_typed("23"), gauge_typed("0"), gauge_typed("00"), gauge_typed("4.5")
    (23, 0, -1, None)
    """
    if not digits.isdigit():
        return None
    gauge = 1 - len(digits) if not digits.strip("0") else int(digits)
    return gauge if LEAST_GAUGE <= gauge <= MOST_GAUGE else None


def sheet_kind(key: str, part: str) -> str:
    """The kind of a figure of a sheet that turns, by its key: how far a side reaches, and the
    last digit of a meter that reads lengths. Nothing for any other."""
    is_length = "reach_m" in key or (key == LENGTH and part == "resolution")
    return LENGTH if is_length else ""


# ---------------------------------------------------------------- figures as text, with a point


def gauge_text(gauge: float) -> str:
    """A gauge as it is said: 23, and 2/0 where the number would be below nothing.

    >>> gauge_text(23), gauge_text(0), gauge_text(-1)
    ('23', '1/0', '2/0')
    """
    return f"{gauge:.0f}" if gauge >= 1 else f"{1 - gauge:.0f}/0"


def length_text(metres: float, digits: int = 0) -> str:
    """A length as a figure: of a run whole, of a lead with a digit where there is one."""
    return f"{shown(metres, LENGTH):.{digits}f}".removesuffix(".0")


def exact_text(metres: float) -> str:
    """A length as it was typed: metres as they are, feet to a tenth, which is 3 cm."""
    return length_text(metres, 1) if in_feet() else f"{metres:g}"


def length_unit() -> str:
    """``m`` or ``ft``"""
    return "ft" if in_feet() else "m"


def wire_unit() -> str:
    """``mm²`` or ``AWG``"""
    return "AWG" if in_gauges() else "mm²"


def unit_of(kind: str) -> str:
    """The unit of a kind that turns; of any other, nothing."""
    return {LENGTH: length_unit(), WIRE: wire_unit()}.get(kind, "")


def wire_text(mm2: float) -> str:
    """A conductor by its area, as it is typed: ``1.5 mm²``, or by the nearest gauge."""
    if not in_gauges():
        return f"{mm2:g}{NBSP}mm²"
    gauge = gauge_of(mm2)
    area = awg_area_mm2(gauge)
    exact = abs(area - mm2) <= NEAR * area
    about = "" if exact else ">" if mm2 > area and gauge == LEAST_GAUGE else "≈"
    return f"{about}{gauge_text(gauge)}{NBSP}AWG"


def cable_text(gauge: float, *, short: bool = False) -> str:
    """A cable's conductor by its gauge: ``23 AWG``, or ``0.26 mm² (23 AWG)``.

    The gauge stands beside the area, because it is what is printed on the cable in metric
    countries too; ``short`` leaves it out where there is no room.
    """
    by_gauge = f"{gauge_text(gauge)}{NBSP}AWG"
    if in_gauges():
        return by_gauge
    area = f"{awg_area_mm2(gauge):.2f}{NBSP}mm²"
    return area if short else f"{area}{NBSP}({by_gauge})"
