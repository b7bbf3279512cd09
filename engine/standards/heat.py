"""Current and heat: what a conductor may carry, how bundles and places warm it."""

from __future__ import annotations

from math import pi, sqrt

from engine.band import Band
from engine.standards import Sourced, table

_PROFILE = "cabling white paper reproducing the profile of TIA TSB-184"
_PORT = "IEEE 802.3 Table 145-1, as quoted in an operating-system kernel's documentation"
_FIT = "a fit to one published point (100 cables, 600 mA a pair, 7.2 K), ours"
_NEC_2020 = (
    "cabling-standards column on the 2020 NEC: 23 and 22 AWG, 75 °C cable, 192 cables, 30 °C"
)


def _sun(place: str, low: float, expected: float, high: float) -> Sourced:
    words = f"what sunshine adds to a cable: {place}"
    return Sourced(f"sun-{place}", expected, "K", words, "from memory", low=low, high=high)


HEAT = table(
    Sourced(
        "conductor-amps-4-pairs",
        0.500,
        "A",
        "ISO/IEC TS 29125:2017 with amendment 1:2020, as abstracted in a catalogue: generic "
        "cabling, on four pairs",
        "published",
        "most",
    ),
    Sourced(
        "conductor-amps-2-pairs",
        0.750,
        "A",
        "IEC 60364-7-716:2023, as quoted by a trade article: conductor and contact, Cat 5 to 8.2",
        "published",
        "most",
    ),
    Sourced(
        "conductor-amps-older",
        0.420,
        "A",
        "draft guidance of 2005 in IEEE 802.3 study-group mail: Cat 5e and 6",
        "published",
        "most",
    ),
    Sourced(
        "conductor-amps-older-cat-3",
        0.315,
        "A",
        "draft guidance of 2005 in IEEE 802.3 study-group mail: Cat 3",
        "published",
        "most",
    ),
    Sourced("conductor-amps-nec", 0.5, "A", _NEC_2020, "published", "least"),
    Sourced(
        "type-1-amps",
        0.350,
        "A",
        "15.4 W at 44 V; on two pairs",
        "computed",
        "most",
    ),
    Sourced(
        "pair-set-amps",
        0.600,
        "A",
        "IEEE 802.3 types 2 and 3, nominal: 30 W at 50 V; a kernel mailing list quotes 1.14 x "
        "this as 0.684 A from Table 33-11",
        "computed",
    ),
    Sourced(
        "pair-set-amps-type-4",
        0.960,
        "A",
        f"half of the 1.92 A a port; {_PORT}",
        "computed",
    ),
    Sourced("port-amps", 1.920, "A", _PORT, "published", "most"),
    Sourced(
        "set-amps-class-6",
        0.668,
        "A",
        "IEEE 802.3bt task-force draft, unbalance at the source, of 1.2 A in all; the final value "
        "from memory 0.68",
        "published",
        "most",
    ),
    Sourced(
        "set-amps-class-8",
        0.95,
        "A",
        "IEEE 802.3bt, unbalance at the source, of 1.73 A in all: 0.93 to 0.95",
        "from memory",
        "most",
        low=0.93,
        high=0.95,
    ),
    Sourced(
        "rated-celsius",
        60,
        "°C",
        "usual rating of data cable; NEC also tabulates 75 and 90 °C cable",
        "from memory",
        "most",
    ),
    Sourced("rise-recommended", 10, "K", f"{_PROFILE}, first edition", "published", "most"),
    Sourced(
        "rise-recommended-later",
        15,
        "K",
        "TIA TSB-184-A: at the centre of a bundle",
        "from memory",
        "most",
    ),
    Sourced(
        "anchor-rise",
        7.2,
        "K",
        f"{_PROFILE}: 100 cables of Cat 5e, 600 mA a pair",
        "published",
    ),
    Sourced("bundle-film", 8, "W/m2K", f"heat given off by the bundle's skin: {_FIT}", "computed"),
    Sourced("bundle-resistivity", 6, "K m/W", f"inside the bundle: {_FIT}", "computed"),
    Sourced("bundle-cable", 5.2, "mm", f"diameter of one cable: {_FIT}", "computed"),
    Sourced(
        "bundle-filling",
        0.8,
        "1",
        "share of a round bundle that its cables fill",
        "from memory",
    ),
    Sourced(
        "buried-swing",
        0.5,
        "1",
        "swing of the ground's temperature against that of the air above it",
        "from memory",
    ),
    _sun("air", 0, 10, 25),
    _sun("wall", 0, 12, 30),
    _sun("duct", 0, 5, 10),
)

RATED_CELSIUS = HEAT["rated-celsius"]
RISE_MOST = HEAT["rise-recommended"]


def conductor_amps_limit(pairs: int) -> Sourced:
    """The row that limits the current of one conductor, with power on two or four pairs.

    Raises
    ------
    KeyError : another number of pairs.

    >>> conductor_amps_limit(4).value, conductor_amps_limit(2).value
    (0.5, 0.75)
    """
    return HEAT[f"conductor-amps-{pairs}-pairs"]


def bundle_rise(cables: int, watts_per_metre: float) -> float:
    """Rise of temperature at the centre of a bundle of equally loaded cables. [K]

    Evenly heated cylinder in still air. In conduit or insulation it gets much warmer.

    Parameters
    ----------
    cables : cables in the bundle, 1 and up.
    watts_per_metre : heat of one cable: sum of I2r over its conductors. [W/m]

    Source
    ------
    Textbook conduction; its three constants are a fit to one published point.

    >>> round(bundle_rise(100, 8 * 0.3**2 * 0.0842), 1)   # 600 mA a pair, 24 AWG: 7.2 printed
    7.0
    """
    heat = cables * watts_per_metre
    diameter = HEAT["bundle-cable"].value / 1000 * sqrt(cables / HEAT["bundle-filling"].value)
    skin = heat / (HEAT["bundle-film"].value * pi * diameter)
    return skin + heat * HEAT["bundle-resistivity"].value / (4 * pi)


def route_parts(air: Band, route: str | None, sun: bool) -> dict[str, Band]:
    """What a cable's temperature along its route is the sum of, each part on its own. [°C, K]

    ``air`` is that of the site, ``ground`` that of the soil, ``sun-…`` what the sun adds.

    Source
    ------
    From memory throughout: no table of cable temperatures outdoors was found.

    >>> list(route_parts(Band(-5, 15, 35), "wall", True))
    ['air', 'sun-wall']
    """
    if route == "buried":
        share = HEAT["buried-swing"].value
        soil = Band(
            air.expected - share * (air.expected - air.low),
            air.expected,
            air.expected + share * (air.high - air.expected),
        )
        return {"ground": soil}
    if route == "indoor" or not sun:
        return {"air": air}
    sunny = HEAT[f"sun-{route or 'air'}"]
    return {"air": air, sunny.id: sunny.band}


def route_celsius(air: Band, route: str | None, sun: bool) -> Band:
    """Temperature of a cable along its route, from that of the air. [°C]

    Parameters
    ----------
    air : air temperature at the site. [°C]
    route : ``indoor``, ``duct``, ``wall``, ``air``, ``buried``, or None where nobody said.
    sun : the sun shines on the route; of no account indoors and in the ground.

    Source
    ------
    See ``route_parts``.

    >>> route_celsius(Band(-5, 15, 35), "buried", False)
    Band(low=5.0, expected=15, high=25.0)
    """
    first, *more = route_parts(air, route, sun).values()
    return sum(more, start=first)
