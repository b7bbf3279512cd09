"""Surge and earth: what arrestors are tested with, what leads add, and how metal is bonded."""

from __future__ import annotations

from math import exp, sqrt

from engine.standards import Sourced, table

_TEST = "IEC 61643-21:2000 with amendments 1 and 2, Table 3"
_NOTE = "an industry note on connecting arrestors"
_HANDBOOK = "a lightning-protection handbook of 2014"
_PORT = "IEEE 802.3 clauses 33.4.1 and 145.4.1"

_CATEGORIES = (
    # category, smallest and largest open-circuit kV, smallest and largest short-circuit kA, shots
    ("b2", 1, 4, 0.025, 0.1, 300),
    ("c1", 0.5, 1, 0.25, 0.5, 300),
    ("c2", 2, 10, 1, 5, 10),
    ("c3", 1, 1, 0.01, 0.1, 300),
    ("d1", 1, 1, 0.5, 2.5, 2),
)


def _category(
    name: str, kv: float, kv_most: float, ka: float, ka_most: float, shots: int
) -> tuple[Sourced, ...]:
    memory = f"{_TEST}, category {name.upper()}"
    return (
        Sourced(f"test-{name}-kv", kv, "kV", memory, "from memory", "least", low=kv, high=kv_most),
        Sourced(f"test-{name}-ka", ka, "kA", memory, "from memory", "least", low=ka, high=ka_most),
        Sourced(f"test-{name}-shots", shots, "shots", memory, "from memory", "least"),
    )


SURGE = table(
    *(row for one in _CATEGORIES for row in _category(*one)),
    Sourced(
        "capacity-c1-core",
        0.25,
        "kA",
        f"as quoted by {_HANDBOOK}, p. 214: C1, a core (0.5 kA in all)",
        "published",
        "least",
    ),
    Sourced(
        "capacity-c2",
        2.5,
        "kA",
        f"as quoted by {_HANDBOOK}, p. 214: C2, 2.5 or 5 kA",
        "published",
        "least",
        low=2.5,
        high=5,
    ),
    Sourced(
        "capacity-d1",
        2.5,
        "kA",
        f"as quoted by {_HANDBOOK}, p. 214: D1, 2.5 or 5 kA",
        "published",
        "least",
        low=2.5,
        high=5,
    ),
    # ---- what the equipment behind withstands
    Sourced(
        "port-withstand-rms",
        1500,
        "V rms",
        f"{_PORT}: 50 or 60 Hz for 60 s, as quoted on an EMC mailing list, 2009 and 2012",
        "published",
        "least",
    ),
    Sourced("port-withstand-dc", 2250, "V", f"{_PORT}: for 60 s", "from memory", "least"),
    Sourced(
        "port-withstand-impulse",
        2400,
        "V",
        f"{_PORT}: ten impulses 1.2/50 of both signs",
        "from memory",
        "least",
    ),
    Sourced(
        "k21-basic",
        2.5,
        "kV",
        "ITU-T K.21 (07/2017), unscreened pairs, five of each sign, as quoted by a component "
        "maker's article",
        "published",
        "least",
    ),
    Sourced(
        "k21-enhanced",
        6,
        "kV",
        "ITU-T K.21 (07/2017), unscreened pairs, five of each sign, as quoted by a component "
        "maker's article",
        "published",
        "least",
    ),
    *(
        Sourced(f"surge-level-{level}", kv, "kV", "IEC 61000-4-5", "from memory", "least")
        for level, kv in ((1, 0.5), (2, 1), (3, 2), (4, 4))
    ),
    Sourced(
        "arrestor-volts",
        57,
        "V",
        "continuous volts of an arrestor: not below the highest source, better 60",
        "common practice",
        "least",
    ),
    Sourced(
        "second-arrestor",
        10,
        "m",
        "IEC 62305-4:2010, annex C: a second arrestor where equipment is farther behind the first",
        "from memory",
        "most",
    ),
    Sourced(
        "level-share",
        0.5,
        "1",
        "IEC 62305-4:2010, annex C: protection level against what the port withstands, since an "
        "open end doubles",
        "from memory",
        "most",
    ),
    # ---- the lead
    Sourced(
        "lead-inductance",
        1.0,
        "uH/m",
        f"straight round wire, as quoted by {_NOTE}; moves with radius and height",
        "published",
    ),
    Sourced(
        "wave-front",
        8,
        "us",
        "front of the 8/20 current wave, by its name",
        "published",
        "exact",
    ),
    Sourced(
        "wave-scale",
        0.01243,
        "1/us3",
        "8/20 wave as A t3 exp(-t/tau): its front comes out at 8.03 us, its peak at 0.9996",
        "from memory",
        "exact",
    ),
    Sourced(
        "wave-tau",
        3.911,
        "us",
        "8/20 wave as A t3 exp(-t/tau): its front comes out at 8.03 us, its peak at 0.9996",
        "from memory",
        "exact",
    ),
    Sourced(
        "wave-steepest",
        0.149,
        "1/us",
        "steepest slope of that wave for 1 A of peak, at 5.0 us",
        "computed",
    ),
    Sourced(
        "lead-most",
        0.5,
        "m",
        f"line to arrestor and arrestor to bar together, straight, as quoted by {_NOTE}; "
        "IEC 60364-5-53, 534.4.8 from memory the same",
        "published",
        "most",
    ),
    Sourced(
        "lead-least-mm2",
        1.5,
        "mm2",
        "earth lead of a signal arrestor in the field; better 4 to 6",
        "common practice",
        "least",
    ),
    Sourced(
        "lead-code-mm2",
        1,
        "mm2",
        "IEC 62305-4:2010, Table 1: class III and signal arrestors, copper",
        "from memory",
        "least",
    ),
    Sourced(
        "lead-class-1-mm2",
        16,
        "mm2",
        "IEC 62305-4:2010, Table 1: class I arrestors, copper",
        "from memory",
        "least",
    ),
    Sourced(
        "lead-class-2-mm2",
        6,
        "mm2",
        "IEC 62305-4:2010, Table 1: class II arrestors, copper",
        "from memory",
        "least",
    ),
    # ---- bonds and earths
    *(
        Sourced(
            f"bar-{metal}-mm2",
            mm2,
            "mm2",
            "IEC 62305-3:2010, Table 8: bar to bar or bar to electrode",
            "from memory",
            "least",
        )
        for metal, mm2 in (("copper", 16), ("aluminium", 25), ("iron", 50))
    ),
    *(
        Sourced(
            f"part-{metal}-mm2",
            mm2,
            "mm2",
            f"IEC 62305-3, Table 9: metal part to bar, as quoted by {_HANDBOOK}, p. 209",
            "published",
            "least",
        )
        for metal, mm2 in (("copper", 6), ("aluminium", 10), ("iron", 16))
    ),
    Sourced(
        "main-bonding-mm2",
        6,
        "mm2",
        "IEC 60364-5-54, 544: main protective bonding, copper",
        "from memory",
        "least",
    ),
    Sourced(
        "supplementary-bonding-mm2",
        4,
        "mm2",
        "IEC 60364-5-54, 544: supplementary, unprotected (2.5 protected), copper",
        "from memory",
        "least",
        low=2.5,
        high=4,
    ),
    Sourced(
        "protector-lead-awg",
        14,
        "AWG",
        "NEC 800.100: primary protector, need not exceed 6 AWG",
        "from memory",
        "least",
    ),
    Sourced("protector-lead-m", 6, "m", "NEC 800.100: in dwellings (20 ft)", "from memory", "most"),
    Sourced(
        "backbone-mm2-per-m",
        1,
        "mm2/m",
        "TIA-607: 2 kcmil/ft of bonding backbone, up to 85 mm2 (3/0 AWG), as quoted by a project "
        "specification of 2014",
        "published",
        "least",
    ),
    Sourced(
        "rack-bond-awg",
        6,
        "AWG",
        "TIA-607-D: rack, tray, protector housing to bar, as quoted by a university wiring guide",
        "published",
        "least",
    ),
    Sourced(
        "rod-ohms",
        25,
        "ohm",
        "NEC 250.53(A)(2): one rod above this gets a second, as quoted in a trade answer",
        "published",
        "most",
    ),
    Sourced(
        "lightning-earth-ohms",
        10,
        "ohm",
        "IEC 62305-3, 5.4.1: if possible, low frequency",
        "from memory",
        "most",
    ),
    Sourced(
        "bond-ohms",
        0.1,
        "ohm",
        "TIA-607, IEC 62305-3 E.4: between joined metalwork",
        "from memory",
        "most",
    ),
    Sourced(
        "natural-part-ohms",
        0.2,
        "ohm",
        "IEC 62305-3 E.4: natural parts",
        "from memory",
        "most",
    ),
    Sourced(
        "one-rod-ohms",
        40,
        "ohm",
        "rho/(2 pi L) (ln(8L/d) - 1): 100 ohm m, 2.4 m long, 16 mm thick",
        "computed",
    ),
    Sourced(
        "fall-of-potential",
        62,
        "%",
        "IEC 61557-5, IEEE 81: middle spike, share of the way to the outer one",
        "from memory",
    ),
    Sourced(
        "bar-to-bar-volts",
        1,
        "V rms",
        "TIA-568, ISO/IEC 11801: above it do not join the screens, ask",
        "from memory",
        "most",
    ),
)

LEAD_MOST = SURGE["lead-most"]
LEAD_LEAST_MM2 = SURGE["lead-least-mm2"]


def steepest_slope() -> float:
    """Steepest slope of an 8/20 wave, for 1 A of peak. [1/us]

    Of A t3 exp(-t/tau) it lies at t = (3 - sqrt 3) tau.

    >>> round(steepest_slope(), 3)
    0.149
    """
    tau = SURGE["wave-tau"].value
    t = (3 - sqrt(3)) * tau
    return SURGE["wave-scale"].value * exp(-t / tau) * (3 * t**2 - t**3 / tau)


def lead_volts(lead_m: float, kiloamps: float = 3.0) -> float:
    """What an arrestor's earth lead adds at the steepest moment of a surge: L di/dt. [V]

    Parameters
    ----------
    lead_m : length of the lead, straight. [m] >= 0
    kiloamps : peak of the 8/20 current through it, of all cores together. [kA]

    >>> round(lead_volts(0.5))
    223
    """
    return 1000 * SURGE["lead-inductance"].value * lead_m * kiloamps * steepest_slope()
