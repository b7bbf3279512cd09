"""Pair sets side by side: the ohms of two sets that share, and who carries how much.

A set is two pairs: one out, one back, both conductors of a pair in parallel. Sets are joined
in active boxes; between two such places each set is one long way of its own, so the sums of
the sets are in parallel, not the sums of the spans.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.standards.dc import set_unbalance


def in_parallel(sets: Sequence[float]) -> float:
    """Loop ohms of pair sets that share between two joining places. [ohm]

    Exact where each set's way out and back are alike; with one bad contact of eight it is
    a little high, since out and back balance apart.

    >>> in_parallel([10.0, 10.0])
    5.0
    """
    if any(ohms == 0 for ohms in sets):
        return 0.0
    return 1 / sum(1 / ohms for ohms in sets)


def shares(sets: Sequence[float]) -> tuple[float, ...]:
    """Share of the current that each set carries: the lower its ohms, the more. [1]

    >>> shares([10.0, 30.0])
    (0.75, 0.25)
    """
    if any(ohms == 0 for ohms in sets):
        return tuple((ohms == 0) / sum(other == 0 for other in sets) for ohms in sets)
    together = in_parallel(sets)
    return tuple(together / ohms for ohms in sets)


def conductor_amps(amps: float, pairs: int, loop_ohms: float) -> float:
    """Most that one conductor carries of a loop current. [A]

    On two pairs each conductor takes half. On four the sets may differ as far as the channel
    limits allow, and the better one carries more.

    Parameters
    ----------
    amps : loop current of all pairs. [A]
    pairs : pairs that carry, 2 or 4.
    loop_ohms : loop ohms between the two joining places, of all pairs in parallel. [ohm]

    Source
    ------
    Sets of R(1 - u) and R(1 + u), with the unbalance u = (Rmax - Rmin)/(Rmax + Rmin) at its
    limit in ``standards.dc``.
    """
    if pairs == 2:
        return amps / 2
    unbalance = set_unbalance(2 * loop_ohms)
    return amps * max(shares([1 - unbalance, 1 + unbalance])) / 2


def contact_ohms(loop: float, pairs: int, more: float) -> float:
    """What one bad contact adds to the loop of the way between two joining places. [ohm]

    Parameters
    ----------
    loop : ohms of that way, all conductors sound. [ohm]
    pairs : pairs that carry current; each way has as many conductors as pairs.
    more : ohms of the bad contact; infinite for an open wire.

    Source
    ------
    Conductors side by side, textbook; the joining places are at one potential.

    >>> round(contact_ohms(5.0, 4, 5.0), 3), round(contact_ohms(5.0, 4, inf), 3)
    (0.227, 0.833)
    """
    each = loop / 2 * pairs
    if each == 0:
        return 0.0
    others = (pairs - 1) / each
    return 1 / (others + 1 / (each + more)) - each / pairs
