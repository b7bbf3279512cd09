"""Delay of pairs: how long a signal is under way, and how far the pairs may differ."""

from __future__ import annotations

from math import sqrt

from engine.standards import Sourced, table

_DRAFT = "class E channel table of draft vintage, as typed into a student project's listing"
_NVP = "a cabling maker's paper on delay, 1997; the value is the middle of its range"
_BOOK = "handbook of LAN wiring, table 5.1"
_SHEET = "data sheet of a Cat 6A cable"

DELAY = table(
    Sourced(
        "cable-delay-constant",
        534,
        "ns/100 m",
        "TIA-568-C.2: 534 + 36/sqrt(MHz); gives the 537.6 ns that a data sheet prints at 100 MHz",
        "from memory",
        "most",
    ),
    Sourced(
        "cable-delay-root",
        36,
        "ns/100 m sqrt(MHz)",
        "TIA-568-C.2: 534 + 36/sqrt(MHz); gives the 537.6 ns that a data sheet prints at 100 MHz",
        "from memory",
        "most",
    ),
    Sourced("cable-delay-100mhz", 537.6, "ns/100 m", _SHEET, "published", "most"),
    Sourced(
        "cable-delay-worst",
        5.7,
        "ns/m",
        "a page on propagation delay: the worst that is allowed",
        "published",
        "most",
    ),
    *(
        Sourced(f"channel-e-delay-{mhz}mhz", ns, "ns", _DRAFT, "published", "most")
        for mhz, ns in ((1, 580), (4, 563), (10, 556.8), (100, 549.4), (250, 548.2))
    ),
    Sourced("channel-e-delay-constant", 546, "ns", f"fits {_DRAFT}", "computed", "most"),
    Sourced("channel-e-delay-root", 34, "ns sqrt(MHz)", f"fits {_DRAFT}", "computed", "most"),
    Sourced("channel-d-delay", 548, "ns", f"{_BOOK}, classes D and E", "published", "most"),
    Sourced("channel-f-delay", 504, "ns", f"{_BOOK}, class F", "published", "most"),
    Sourced("link-skew", 50, "ns", f"{_BOOK}, classes D and E", "published", "most"),
    Sourced(
        "cable-skew",
        45,
        "ns/100 m",
        f"{_SHEET}, and a page on propagation delay",
        "published",
        "most",
    ),
    Sourced("cable-skew-typical", 35, "ns/100 m", _SHEET, "published"),
    Sourced(
        "10base-t-delay",
        1000,
        "ns",
        "network-equipment manual, cabling appendix: 10BASE-T, hence not over 200 m",
        "published",
        "most",
    ),
    Sourced("nvp-pe", 0.675, "1", f"{_NVP}; polyethylene", "published", low=0.65, high=0.70),
    Sourced("nvp-fep", 0.71, "1", f"{_NVP}; FEP", "published", low=0.69, high=0.73),
    Sourced("nvp-pvc", 0.62, "1", f"{_NVP}; PVC", "published", low=0.60, high=0.64),
    Sourced("nvp-least", 0.620, "1", "537.6 ns per 100 m as a share of c", "computed", "least"),
    Sourced(
        "nvp-unknown-spread",
        10,
        "%",
        "length by time domain, of a cable whose velocity nobody has set",
        "from memory",
    ),
)


def cable_ns(metres: float, mhz: float) -> float:
    """Longest delay that cable within its limits may have. [ns]

    Parameters
    ----------
    metres : length. [m] >= 0
    mhz : frequency, 1 and up. [MHz]

    Source
    ------
    TIA-568-C.2, (534 + 36/sqrt f) ns per 100 m, from memory; 537.6 at 100 MHz is printed.

    >>> round(cable_ns(100, 100), 1), round(cable_ns(100, 1), 1)
    (537.6, 570.0)
    """
    per_100m = DELAY["cable-delay-constant"].value + DELAY["cable-delay-root"].value / sqrt(mhz)
    return per_100m * metres / 100


def skew_ns(metres: float) -> float:
    """Most by which the pairs of a cable may differ in delay. [ns]

    Source
    ------
    Data sheet of a Cat 6A cable: 45 ns per 100 m at most.

    >>> skew_ns(100)
    45.0
    """
    return DELAY["cable-skew"].value * metres / 100
