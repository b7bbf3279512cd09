"""Conductors: resistivity, temperature coefficient, wire sizes, lay and strands."""

from __future__ import annotations

from math import pi

from engine.band import Band
from engine.standards import Sourced, table

_HANDBOOK = "industrial power engineering handbook, table 30.1"
_CLAD_TABLES = "two wire-trade tables for clad wire made to ASTM B566"
_PRINTED = "wire table of a university's physics reference, credited to a circuits textbook"
_B258 = "ASTM B258: d = 0.127 mm x 92^((36 - n)/39)"

_SIZES = (
    # gauge, diameter, area, ohms of copper without lay, printed ohms of 1000 ft
    (22, 0.6438, 0.3255, 52.96, 16.14),
    (23, 0.5733, 0.2582, 66.79, 20.36),
    (24, 0.5106, 0.2047, 84.22, 25.67),
    (25, 0.4547, 0.1624, 106.19, 32.37),
    (26, 0.4049, 0.1288, 133.91, 40.81),
)


def _size(awg: int, mm: float, mm2: float, ohms: float, printed: float) -> tuple[Sourced, ...]:
    of_copper = f"1/58 ohm mm2/m over the area of {_B258}; no lay"
    return (
        Sourced(f"awg-{awg}-diameter", mm, "mm", _B258, "computed", "exact"),
        Sourced(f"awg-{awg}-area", mm2, "mm2", f"circle of {_B258}", "computed", "exact"),
        Sourced(f"awg-{awg}-copper", ohms, "ohm/km", of_copper, "computed", "exact"),
        Sourced(f"awg-{awg}-copper-printed", printed, "ohm/1000 ft", _PRINTED, "published"),
    )


CONDUCTORS = table(
    Sourced(
        "copper-resistivity",
        1 / 58,
        "ohm mm2/m",
        "IEC 60028:1925, annealed copper at 20 °C (100 % IACS), as reprinted in a units data "
        f"base and an {_HANDBOOK}",
        "published",
        "exact",
    ),
    Sourced(
        "copper-alpha20",
        0.00393,
        "1/K",
        f"IEC 60028, as given in an {_HANDBOOK}",
        "published",
        "exact",
    ),
    Sourced(
        "copper-density",
        8.89,
        "g/cm3",
        "IEC 60028:1925, as reprinted in a units data base",
        "published",
        "exact",
    ),
    Sourced(
        "copper-iacs",
        100,
        "% IACS",
        "annealed conductors as cable sheets assume them",
        "common practice",
        low=98,
        high=101,
    ),
    Sourced(
        "commercial-copper-iacs",
        100,
        "% IACS",
        "a laboratory's note on IEC 60028: commercial copper has 97 to 101",
        "published",
        low=97,
        high=101,
    ),
    Sourced(
        "hard-drawn-copper-iacs",
        97.3,
        "% IACS",
        "NBS Circular 31; data cable is annealed",
        "from memory",
    ),
    Sourced(
        "tinned-factor",
        36.7 / 36.0,
        "1",
        "IEC 60228, 0.5 mm2, solid or seven wires: 36.7 against 36.0 ohm/km plain, as reprinted "
        "by a cable maker",
        "published",
    ),
    Sourced(
        "tinned-fine-factor",
        40.1 / 39.0,
        "1",
        "IEC 60228, 0.5 mm2, fine wires: 40.1 against 39.0 ohm/km plain, as reprinted in two "
        "extracts",
        "published",
    ),
    Sourced(
        "aluminium-iacs",
        61,
        "% IACS",
        f"electrical grade, 60 to 61, {_HANDBOOK}",
        "published",
        low=60,
        high=61,
    ),
    Sourced(
        "aluminium-resistivity",
        1 / (0.61 * 58),
        "ohm mm2/m",
        "61 % of the conductivity of annealed copper",
        "computed",
    ),
    Sourced("aluminium-alpha20", 0.00403, "1/K", f"{_HANDBOOK}, at 61 % IACS", "published"),
    Sourced("aluminium-alpha20-at-60", 0.00396, "1/K", f"{_HANDBOOK}, at 60 % IACS", "published"),
    Sourced("aluminium-density", 2.703, "g/cm3", "IEC 60889", "from memory"),
    Sourced(
        "clad-10-factor",
        1.55,
        "times copper",
        f"ohm per 1000 ft in {_CLAD_TABLES}, against copper of the same gauge",
        "published",
    ),
    Sourced(
        "clad-15-factor",
        1.50,
        "times copper",
        f"ohm per 1000 ft in {_CLAD_TABLES}, against copper of the same gauge",
        "published",
    ),
    Sourced("clad-10-iacs-least", 62.9, "% IACS", _CLAD_TABLES, "published", "least"),
    Sourced("clad-15-iacs-least", 64.4, "% IACS", _CLAD_TABLES, "published", "least"),
    Sourced(
        "clad-10-volume",
        10,
        "% by volume",
        "ASTM B566-04a(2021), 1.2: classes 10A and 10H; tolerance by two wire-trade tables",
        "published",
        low=8,
        high=12,
    ),
    Sourced(
        "clad-15-volume",
        15,
        "% by volume",
        "ASTM B566-04a(2021), 1.2: classes 15A and 15H; tolerance by two wire-trade tables",
        "published",
        low=13,
        high=17,
    ),
    Sourced("clad-10-weight", 27, "% by weight", _CLAD_TABLES, "published"),
    Sourced("clad-15-weight", 34, "% by weight", _CLAD_TABLES, "published"),
    Sourced("clad-10-density", 3.32, "g/cm3", "three wire-trade tables", "published"),
    Sourced("clad-15-density", 3.63, "g/cm3", "three wire-trade tables", "published"),
    Sourced("clad-alpha20", 0.0040, "1/K", "conductance-weighted copper and aluminium", "computed"),
    Sourced(
        "lay-factor",
        1.025,
        "1",
        "twist lengths of 10 to 25 mm, insulation of 1.0 mm: 1.008 to 1.048, laying-up 0.3 %",
        "common practice",
        low=1.01,
        high=1.05,
    ),
    Sourced(
        "pairs-differ",
        2.5,
        "%",
        "ohms of the four pairs by their twist alone; the value is the middle of its range",
        "computed",
        low=1,
        high=4,
    ),
    Sourced(
        "stranded-factor",
        1.02,
        "1",
        "seven wires of the same area: 4.99 against 4.884 ohm per 1000 ft of 16 AWG at 75 °C; "
        "high: fine wires by IEC 60228, 39.0 against 36.0 ohm/km",
        "computed",
        low=1.02,
        high=1.08,
    ),
    *(row for size in _SIZES for row in _size(*size)),
)


def awg_diameter_mm(awg: float) -> float:
    """Diameter of a solid wire of this gauge. [mm]

    Source
    ------
    ASTM B258: geometric from 0.46 inch at 4/0 to 0.005 inch at 36.

    >>> round(awg_diameter_mm(24), 4)
    0.5106
    """
    steps: float = 92 ** ((36 - awg) / 39)
    return 0.127 * steps


def awg_area_mm2(awg: float) -> float:
    """Copper area of a solid wire of this gauge. [mm2]

    >>> round(awg_area_mm2(24), 4)
    0.2047
    """
    return pi / 4 * awg_diameter_mm(awg) ** 2


def ohms_per_km(
    awg: float, material: str, *, copper_percent: float = 100, stranded: bool = False
) -> Band:
    """One conductor of cable at 20 °C, worked out from its gauge. [ohm/km]

    The twist makes the conductor longer than the jacket: the lay factor is in. Low and
    high hold the spread of conductivity, lay and strands together.

    Parameters
    ----------
    awg : gauge, for which ASTM B258 holds from 0 to 40.
    material : ``copper``, ``aluminium`` or ``clad``.
    copper_percent : share of copper by volume in clad wire. [%] 0 to 100
    stranded : of several wires.

    Raises
    ------
    KeyError : another material.

    >>> round(ohms_per_km(24, "copper").expected / 1.025, 1)  # 25.67 ohm per 1000 ft
    84.2
    """
    bare = 1000 * CONDUCTORS["copper-resistivity"].value / awg_area_mm2(awg)
    conductivity = _MATERIALS[material](copper_percent)
    lay = CONDUCTORS["lay-factor"].band
    strands = CONDUCTORS["stranded-factor"].band if stranded else Band.exact(1.0)
    return Band(
        bare * 100 / conductivity.high * lay.low * strands.low,
        bare * 100 / conductivity.expected * lay.expected * strands.expected,
        bare * 100 / conductivity.low * lay.high * strands.high,
    )


def _of_copper(_: float) -> Band:
    return CONDUCTORS["copper-iacs"].band


def _of_aluminium(_: float) -> Band:
    return CONDUCTORS["aluminium-iacs"].band


def _of_clad(copper_percent: float) -> Band:
    """Conductivity of clad wire by its copper share by volume. [% IACS]

    Straight lines through what is published of the two grades, 10 and 15 %: expected through
    their factors against copper, least through their least conductivities. The most is the
    rule of mixtures with the best aluminium.
    """
    expected, least = (
        _through(copper_percent, *ends)
        for ends in (
            (100 / CONDUCTORS["clad-10-factor"].value, 100 / CONDUCTORS["clad-15-factor"].value),
            (CONDUCTORS["clad-10-iacs-least"].value, CONDUCTORS["clad-15-iacs-least"].value),
        )
    )
    expected = min(expected, 100.0)
    share = copper_percent / 100
    most = 100 * share + CONDUCTORS["aluminium-iacs"].band.high * (1 - share)
    return Band(min(least, expected), expected, max(most, expected))


def _through(copper_percent: float, at_10: float, at_15: float) -> float:
    """The straight line through two values, at 10 and 15 % copper."""
    return at_10 + (at_15 - at_10) / 5 * (copper_percent - 10)


_MATERIALS = {"copper": _of_copper, "aluminium": _of_aluminium, "clad": _of_clad}
"""conductivity by material; of the copper share only clad wire asks"""


def alpha20(material: str) -> float:
    """Temperature coefficient of resistance at 20 °C. [1/K]

    Raises
    ------
    KeyError : neither copper, aluminium nor clad.

    >>> alpha20("copper")
    0.00393
    """
    return CONDUCTORS[f"{material}-alpha20"].value


def at_temperature(ohms_20c: float, celsius: float, alpha_per_k: float) -> float:
    """Resistance at a temperature, by the linear law about 20 °C. [ohm]

    Source
    ------
    IEC 60028; within 0.7 % of measured copper from 0 to 100 °C.

    >>> round(at_temperature(1.0, 60, 0.00393), 4)
    1.1572
    """
    return ohms_20c * (1 + alpha_per_k * (celsius - 20))
