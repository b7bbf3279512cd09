"""Conductors: resistivity, temperature coefficient, wire sizes."""

from __future__ import annotations

from math import pi

from engine.standards import Sourced, table

CONDUCTORS = table(
    Sourced(
        "copper-resistivity",
        1 / 58,
        "ohm mm2/m",
        "IEC 60028:1925, annealed copper at 20 °C, as reprinted by GNU units and a power handbook",
        "published",
    ),
    Sourced(
        "copper-alpha20",
        0.00393,
        "1/K",
        "IEC 60028, as given in an industrial power engineering handbook, table 30.1",
        "published",
    ),
    Sourced(
        "aluminium-resistivity",
        1 / (0.61 * 58),
        "ohm mm2/m",
        "61 % of the conductivity of annealed copper (IEC 60889)",
        "computed",
    ),
    Sourced(
        "aluminium-alpha20",
        0.00403,
        "1/K",
        "industrial power engineering handbook, table 30.1, at 61 % IACS",
        "published",
    ),
    Sourced("clad-alpha20", 0.0040, "1/K", "conductance-weighted copper and aluminium", "computed"),
    Sourced(
        "clad-10-factor",
        1.55,
        "1",
        "wire-trade tables for clad wire against copper of the same gauge, 10 % copper by volume",
        "published",
    ),
    Sourced(
        "clad-15-factor",
        1.50,
        "1",
        "wire-trade tables for clad wire against copper of the same gauge, 15 % copper by volume",
        "published",
    ),
    Sourced("lay-factor", 1.025, "1", "twist lengths of 10 to 25 mm", "common practice"),
    Sourced(
        "stranded-factor",
        1.02,
        "1",
        "seven wires of the same area: 4.99 against 4.884 ohm per 1000 ft of 16 AWG at 75 °C",
        "computed",
    ),
)


def awg_diameter_mm(awg: int) -> float:
    """Diameter of a solid wire of this gauge. [mm]

    Source
    ------
    ASTM B258: geometric from 0.46 inch at 4/0 to 0.005 inch at 36.

    >>> round(awg_diameter_mm(24), 4)
    0.5106
    """
    return 0.127 * 92 ** ((36 - awg) / 39)


def awg_area_mm2(awg: int) -> float:
    """Copper area of a solid wire of this gauge. [mm2]"""
    return pi / 4 * awg_diameter_mm(awg) ** 2


def ohms_per_km(
    awg: int, material: str, *, copper_percent: float = 100, stranded: bool = False
) -> float:
    """One conductor of cable at 20 °C, worked out from its gauge. [ohm/km]

    The twist makes the conductor longer than the jacket: the lay factor is in.
    Clad wire is taken by its copper share by volume.

    >>> round(ohms_per_km(24, "copper") / 1.025, 2)   # without lay: 25.67 ohm per 1000 ft
    84.21
    """
    material_ohms = 1000 * CONDUCTORS["copper-resistivity"].value / awg_area_mm2(awg)
    if material == "aluminium":
        material_ohms = 1000 * CONDUCTORS["aluminium-resistivity"].value / awg_area_mm2(awg)
    elif material == "clad":
        row = "clad-15-factor" if copper_percent >= 12.5 else "clad-10-factor"
        material_ohms *= CONDUCTORS[row].value
    strands = CONDUCTORS["stranded-factor"].value if stranded else 1.0
    return material_ohms * CONDUCTORS["lay-factor"].value * strands


def alpha20(material: str) -> float:
    """Temperature coefficient of resistance at 20 °C. [1/K]"""
    return CONDUCTORS[f"{material}-alpha20"].value


def at_temperature(ohms_20c: float, celsius: float, alpha_per_k: float) -> float:
    """Resistance at a temperature, by the linear law about 20 °C. [ohm]

    Source
    ------
    IEC 60028; within 0.7 % of measured copper from -40 to 90 °C.

    >>> round(at_temperature(1.0, 60, 0.00393), 4)
    1.1572
    """
    return ohms_20c * (1 + alpha_per_k * (celsius - 20))
