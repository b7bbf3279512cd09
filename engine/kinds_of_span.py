"""What the wire of a span or a reel can be of, other than its sheet says: one table, a row a kind.

The kinds are the parts of the cause ``span.high``: each gives more ohms to a metre of plan than
the sheet does. How often each is met stands here once, and so does what ohms it has and weighs.
"""

from __future__ import annotations

from math import log

from attrs import frozen

from engine.band import Band
from engine.circuit import conductor_ohms
from engine.defaults import DEFAULTS
from engine.job import CableSheet
from engine.standards import Sourced, table
from engine.standards.conductors import CONDUCTORS, awg_area_mm2, ohms_per_km

COPPER, CLAD, THIN, LONGER, HOT, OTHER = "copper", "clad", "thin", "longer", "hot", "other"

_CAUSES = "our table of causes, a first visit"

RATES = table(
    Sourced(CLAD, 0.008, "per span", f"{_CAUSES}: clad or thin 1 %, mostly clad", "from memory"),
    Sourced(THIN, 0.002, "per span", f"{_CAUSES}: clad or thin 1 %, mostly clad", "from memory"),
    Sourced(LONGER, 0.01, "per span", f"{_CAUSES}: longer 1 %", "from memory"),
    Sourced(HOT, 0.0025, "per span", "our estimate: much warmer than its plan", "from memory"),
    Sourced(
        OTHER,
        0.005,
        "per span",
        "our estimate for a reel: a short that does not close, wires of two pairs, another cable",
        "from memory",
    ),
)
"""how often a span or a reel is of each kind; what is left is as its sheet says"""

SIZES = table(
    Sourced(
        LONGER,
        1.1,
        "times the marks' length",
        "a digit of a mark misread: mostly a little, seldom half the reel (our estimate)",
        "from memory",
        low=1.03,
        high=2.0,
    ),
    Sourced(
        OTHER,
        1.0,
        "times the sheet's ohms",
        "anything, spread evenly over its logarithm (our choice)",
        "from memory",
        low=0.2,
        high=5.0,
    ),
)
THINNER = ((1, 0.5), (2, 0.3), (3, 0.2))
"""gauges below the sheet's, and how often (from memory: 24 is sold for 23, 26 for 24)"""
GRADES = ((10.0, 0.5), (15.0, 0.5))
"""copper by volume of clad wire, and how often (ASTM B566 has both; shares from memory) [%]"""

DRAWN = Sourced(
    "drawn-wire",
    1.0,
    "times the ohms of its gauge",
    "drawn wire may be 1 % thicker or thinner than its gauge",
    "from memory",
    low=0.98,
    high=1.02,
)
"""what a gauge leaves open; a sheet's own ohms hold it already"""

_WEIGHED = "weight of whole data cables less their copper (our estimate)"
PLASTIC = table(
    Sourced("plain", 18, "g/m", f"{_WEIGHED}, unscreened", "from memory", low=10, high=40),
    Sourced("thick", 28, "g/m", f"{_WEIGHED}, screened or outdoor", "from memory", low=15, high=60),
)
"""what insulation, filling, screen and jacket weigh"""


@frozen
class Wire:
    """One wire that may lie in a jacket: how often among those of its kind, and its numbers."""

    kind: str
    share: float
    ohms_per_km: Band
    """of one conductor at 20 °C, per length of cable"""
    material: str
    metal_g_per_m: float
    """what all conductors of the cable weigh"""


def gauge_of(cable: CableSheet) -> float:
    """The gauge of a cable: its sheet's; where its ohms say a gauge or more otherwise, theirs. [AWG]

    >>> gauge_of(CableSheet("c", awg=23, ohms_per_km=Band.exact(66.8)))
    23
    """
    stated = cable.awg
    if cable.ohms_per_km is None:
        return stated if stated is not None else DEFAULTS["gauge"].value
    of_24 = _ohms(24, cable, cable.material).expected
    worked = 24 + 39 / 2 * log(max(cable.ohms_per_km.expected, 1.0) / of_24) / log(92)
    return stated if stated is not None and abs(worked - stated) < 1 else worked


def as_planned(cable: CableSheet) -> Wire:
    """The wire of the sheet."""
    return _wire(cable.material, 1.0, conductor_ohms(cable), cable, gauge_of(cable), cable.material)


def wires_of(kind: str, cable: CableSheet) -> tuple[Wire, ...]:
    """The wires of a kind that may lie in the jacket of this cable, their shares summing to 1."""
    gauge = gauge_of(cable)
    if kind == CLAD:
        return tuple(
            _wire(kind, share, _ohms(gauge, cable, CLAD, percent), cable, gauge, CLAD, percent)
            for percent, share in GRADES
        )
    if kind == COPPER:
        return (_wire(kind, 1.0, _ohms(gauge, cable, COPPER), cable, gauge, COPPER),)
    if kind == THIN:
        metal = cable.material
        return tuple(
            _wire(kind, share, _ohms(gauge + n, cable, metal), cable, gauge + n, metal)
            for n, share in THINNER
        )
    return ()


def wrong_metal(cable: CableSheet) -> str:
    """The metal that is sold under the sheet's: clad for copper; copper where clad was planned."""
    return CLAD if cable.material == COPPER else COPPER


def plastic_of(cable: CableSheet) -> Band:
    """What a cable weighs besides its conductors. [g/m]"""
    return PLASTIC["thick" if cable.screened or cable.outdoor else "plain"].band


def metal_g_per_m(gauge: float, material: str, wires: int, copper_percent: float = 10) -> float:
    """What the conductors of a cable weigh, without lay. [g/m]

    Source
    ------
    Areas by ASTM B258; densities as in ``standards.conductors``.

    >>> round(metal_g_per_m(23, "copper", 8), 1), round(metal_g_per_m(23, "clad", 8), 1)
    (18.4, 6.9)
    """
    name = f"clad-{'15' if copper_percent >= 12.5 else '10'}" if material == CLAD else material
    return wires * awg_area_mm2(gauge) * CONDUCTORS[f"{name}-density"].value


def _wire(
    kind: str,
    share: float,
    ohms: Band,
    cable: CableSheet,
    gauge: float,
    material: str,
    percent: float | None = None,
) -> Wire:
    share_of_copper = percent if percent is not None else cable.copper_percent or 10.0
    lay = CONDUCTORS["lay-factor"].value
    metal = lay * metal_g_per_m(gauge, material, 2 * cable.pairs, share_of_copper)
    return Wire(kind, share, ohms, material, metal)


def _ohms(gauge: float, cable: CableSheet, material: str, percent: float | None = None) -> Band:
    share = percent if percent is not None else cable.copper_percent
    ohms = ohms_per_km(
        gauge,
        material,
        copper_percent=share or DEFAULTS["copper-share"].value,
        stranded=cable.stranded,
    )
    return Band(ohms.low * DRAWN.band.low, ohms.expected, ohms.high * DRAWN.band.high)
