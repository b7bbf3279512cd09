"""Ethernet over the pairs: which speed needs how many, line rates, and lengths by the rules."""

from __future__ import annotations

from math import floor, sqrt

from engine.standards import Sourced, read_at, table

_COURSE = "a university course page"
_MANUAL = "network-equipment manual, cabling appendix, and an answer on a question site"
_ANSWERS = "answers on question sites, quoting IEEE 802.3"
_UNSEEN = "IEEE 802.3 clauses 55 and 126"

ETHERNET = table(
    Sourced(
        "ordinary-reach",
        100,
        "m",
        "ISO/IEC 11801 and TIA-568 channel: 90 m of fixed cable and 10 m of cords, by the rule "
        f"cords = (102 - cable)/1.2 on {_COURSE}",
        "published",
        "most",
    ),
    *read_at(
        _MANUAL,
        "published",
        ("pairs-at-10", 2, "pairs", "exact"),
        ("look-low-10", 5, "MHz", "exact"),
        ("look-10", 10, "MHz", "exact"),
        ("ten-reach", 200, "m", "most"),
    ),
    *read_at(
        _ANSWERS,
        "published",
        ("pairs-at-100", 2, "pairs", "exact"),
        ("baud-100", 125, "MBd", "exact"),
        ("look-100", 31.25, "MHz", "exact"),
        ("pairs-at-1000", 4, "pairs", "exact"),
        ("baud-1000", 125, "MBd", "exact"),
        ("pairs-at-2500", 4, "pairs", "exact"),
        ("look-2500", 100, "MHz", "exact"),
    ),
    Sourced("look-1000", 62.5, "MHz", "half of the 125 MBd of 1000BASE-T", "computed", "exact"),
    *read_at(
        _UNSEEN,
        "from memory",
        ("baud-2500", 200, "MBd", "exact"),
        ("pairs-at-5000", 4, "pairs", "exact"),
        ("baud-5000", 400, "MBd", "exact"),
        ("look-5000", 200, "MHz", "exact"),
        ("pairs-at-10000", 4, "pairs", "exact"),
        ("baud-10000", 800, "MBd", "exact"),
        ("look-10000", 400, "MHz", "exact"),
    ),
    # ---- lengths by the cabling standards
    *read_at(
        f"TIA-568: cords = (102 - cable)/1.2, work area = cords - 5, of 24 AWG, on {_COURSE}",
        "published",
        ("channel-equivalent", 102, "m", "exact"),
        ("channel-cord-factor", 1.2, "1", "exact"),
        ("cords-elsewhere", 5, "m", "exact"),
        ("work-area-most", 22, "m", "most"),
    ),
    Sourced(
        "older-channel-equivalent",
        93.6,
        "m",
        "TSB-75 summary sheet: work-area cord = (93.6 - cable)/1.2",
        "published",
        "exact",
    ),
    *read_at(
        "ISO/IEC 11801:2002, fixed cable of an interconnect: equivalent length less the cords'",
        "from memory",
        ("iso-class-d-length", 109, "m", "exact"),
        ("iso-class-e-length", 104, "m", "exact"),
        ("iso-class-f-length", 105, "m", "exact"),
    ),
    *read_at(
        "TIA-568-B.2-1 (2002), annex G: shorter length for 90 m of unscreened cable",
        "from memory",
        ("annex-g-40", 84.0, "m", "most"),
        ("annex-g-60", 75.0, "m", "most"),
    ),
    # ---- what ports do
    *read_at(
        "field note in a public repository: one board, whose other end listed only 10 and 100",
        "published",
        ("settling-seconds", 128, "s", "typical", 26, 190),
    ),
    Sourced(
        "long-claim",
        150,
        "m",
        "a pin-out reference on 1000BASE-T: what several chip makers claim; no limit promises it",
        "published",
    ),
    # ---- bits that may arrive wrong, as a share of all
    Sourced(
        "wrong-bits-10",
        1e-8,
        "1",
        "a chip maker's conformance test manual, and a message of May 1999 to an IEEE 802.3 study "
        "group",
        "published",
        "most",
    ),
    Sourced(
        "wrong-bits-100",
        1e-10,
        "1",
        "a cabling trade journal, August 2000: the worst to be reckoned with on 100BASE-TX; the "
        "standard's own text was not seen",
        "published",
        "most",
    ),
    Sourced(
        "wrong-bits-1000",
        1e-10,
        "1",
        "a chip maker's conformance test manual on IEEE 802.3, 40.6.1.3.1: of frames of 125 "
        "octets fewer than 1e-7 are lost, which is the same",
        "published",
        "most",
    ),
    *read_at(
        _UNSEEN,
        "from memory",
        ("wrong-bits-2500", 1e-12, "1", "most"),
        ("wrong-bits-5000", 1e-12, "1", "most"),
        ("wrong-bits-10000", 1e-12, "1", "most"),
    ),
)


def pairs_needed(speed_mbps: int) -> int:
    """How many pairs a speed runs over.

    Raises
    ------
    KeyError : another speed than 10, 100, 1000, 2500, 5000 or 10000 Mb/s.

    >>> pairs_needed(100), pairs_needed(1000)
    (2, 4)
    """
    return int(ETHERNET[f"pairs-at-{speed_mbps}"].value)


def errors_allowed(speed_mbps: int, seconds: float) -> int:
    """Most damaged frames that a fully loaded link at the standard's limit may well count.

    A count scatters: its root by a half, whatever its size. Two such halves over the root
    of what the limit gives on average are allowed, so one damaged frame convicts nothing.

    Parameters
    ----------
    speed_mbps : 10, 100, 1000, 2500, 5000 or 10000. [Mb/s]
    seconds : how long was counted. [s] >= 0

    Source
    ------
    Each wrong bit spoils at most one frame. Scatter of a count's root: a standard result
    on Poisson counts (Anscombe 1948), from memory; held against the exact sum in the tests.

    >>> errors_allowed(1000, 60), errors_allowed(100, 60), errors_allowed(100, 0)
    (11, 3, 1)
    """
    on_average = ETHERNET[f"wrong-bits-{speed_mbps}"].value * speed_mbps * 1e6 * seconds
    return floor((sqrt(on_average) + 1) ** 2)
