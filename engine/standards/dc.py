"""Direct current: limits of ohms and of their unbalance in cables and channels, at 20 °C."""

from __future__ import annotations

from engine.standards import Sourced, table

_BETWEEN = "ISO/IEC 11801-1, TIA-568.2-D, IEEE 802.3bt"

DC = table(
    Sourced(
        "cable-conductor-most",
        9.38,
        "ohm/100 m",
        "TIA-568-C.2 and -568.2-D, solid horizontal cable; met at second hand only, in a product "
        "listing and a site checklist",
        "from memory",
        "most",
    ),
    Sourced(
        "cord-conductor-most",
        14.0,
        "ohm/100 m",
        "TIA-568, stranded cord; 26 AWG copper with 4.5 % for lay and strands gives the same",
        "from memory",
        "most",
    ),
    Sourced(
        "good-cable-conductor-most",
        7.4,
        "ohm/100 m",
        "data sheet of a Cat 6A cable of 23 AWG",
        "published",
        "most",
    ),
    Sourced(
        "good-cable-pair-unbalance",
        3,
        "%",
        "data sheet of a Cat 6A cable of 23 AWG: within a pair",
        "published",
        "most",
    ),
    Sourced(
        "good-cable-set-unbalance",
        5,
        "%",
        "data sheet of a Cat 6A cable of 23 AWG: between pairs",
        "published",
        "most",
    ),
    Sourced("cable-loop-most", 19, "ohm/100 m", "IEC 61156-5, one pair", "from memory", "most"),
    Sourced(
        "channel-loop-most",
        25,
        "ohm",
        "ISO/IEC 11801, one pair as a loop, classes D, E, EA and F",
        "from memory",
        "most",
    ),
    Sourced("permanent-link-loop-most", 21, "ohm", "ISO/IEC 11801", "from memory", "most"),
    Sourced("cable-pair-unbalance", 5, "%", "TIA-568, cable", "from memory", "most"),
    Sourced("iec-cable-pair-unbalance", 2, "%", "IEC 61156-5, cable", "from memory", "most"),
    Sourced(
        "channel-pair-unbalance",
        3,
        "%",
        "TIA-568.2-D, IEEE 802.3 clauses 33 and 145; or 0.2 ohm, whichever is larger",
        "from memory",
        "most",
    ),
    Sourced(
        "channel-pair-unbalance-ohms",
        0.2,
        "ohm",
        "TIA-568.2-D, IEEE 802.3 clauses 33 and 145; or 3 %, whichever is larger",
        "from memory",
        "most",
    ),
    Sourced(
        "set-unbalance-share",
        0.07,
        "1",
        "IEEE 802.3 four-pair task force, reflector message of July 2014: or 0.1 ohm, whichever "
        f"is larger; the final text ({_BETWEEN}) from memory the same",
        "published",
        "most",
    ),
    Sourced(
        "set-unbalance-ohms",
        0.1,
        "ohm",
        "IEEE 802.3 four-pair task force, reflector message of July 2014: or 7 %, whichever is "
        "larger; the final texts from memory 0.05 to 0.1 ohm",
        "published",
        "most",
    ),
    Sourced(
        "set-unbalance-connectors",
        0.25,
        "1",
        "IEEE 802.3 four-pair task force, reflector message of July 2014: connectors alone, "
        "with no cable",
        "published",
        "most",
    ),
    Sourced(
        "pair-lay-spread",
        3,
        "%",
        "pairs of one cable differ so in ohms, each being twisted to a lay of its own",
        "common practice",
        "typical",
        2,
        4,
    ),
    Sourced(
        "capacitance-100m",
        5.6,
        "nF/100 m",
        "a data cable's product listing: mutual capacitance",
        "published",
    ),
)


def set_unbalance(set_loop_ohms: float) -> float:
    """Largest allowed unbalance u between the pair sets of a four-pair run. [1]

    u = (Rmax - Rmin)/(Rmax + Rmin) of two pairs of the same polarity; the set with the
    fewer ohms then carries (1 + u)/2 of the current.

    Parameters
    ----------
    set_loop_ohms : loop ohms of one pair set: one pair out, one pair back. [ohm] >= 0

    Source
    ------
    IEEE 802.3 four-pair task force: 7 % or 0.1 ohm between pairs, whichever is larger; with
    connectors alone it stays within 25 %.

    >>> round(set_unbalance(1.0), 3), set_unbalance(20.0), set_unbalance(0.0)
    (0.1, 0.07, 0.25)
    """
    cap = DC["set-unbalance-connectors"].value
    if set_loop_ohms == 0:
        return cap
    pair_ohms = set_loop_ohms / 2
    by_ohms = DC["set-unbalance-ohms"].value / (2 * pair_ohms)
    return min(cap, max(DC["set-unbalance-share"].value, by_ohms))
