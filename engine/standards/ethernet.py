"""Ethernet over the pairs: which speed needs how many, and the ordinary reach."""

from __future__ import annotations

from engine.standards import Sourced, table

ETHERNET = table(
    Sourced("ordinary-reach", 100, "m", "ISO/IEC 11801, TIA-568: the channel", "published"),
    *(
        Sourced(f"pairs-at-{speed}", pairs, "pairs", "IEEE 802.3, the type's clause", "published")
        for speed, pairs in ((10, 2), (100, 2), (1000, 4), (2500, 4), (5000, 4), (10000, 4))
    ),
)


def pairs_needed(speed_mbps: int) -> int:
    """How many pairs a speed runs over."""
    return int(ETHERNET[f"pairs-at-{speed_mbps}"].value)
