"""Starting and staying on: turn-on and turn-off volts, inrush, keep-alive, far classes."""

from __future__ import annotations

from engine.standards import Mark, Side, Sourced, table

_UVLO = "IEEE 802.3 clause 33, as restated by two data sheets of powered devices"
_INRUSH = "IEEE 802.3 clause 33, as restated by a book on its power, chapter 5"
_CHAIN = "boxes in a chain, as they are met"
_MOST: tuple[Mark, Side] = ("common practice", "most")
_LEAST: tuple[Mark, Side] = ("common practice", "least")
_BT = "IEEE 802.3 clause 145, as restated by a data sheet of a powered device (2020)"

STARTUP = table(
    Sourced("turn-on", 42, "V", f"{_UVLO}: on at or below, rising", "published", "most"),
    Sourced("turn-off", 30, "V", f"{_UVLO}: off at or above, falling", "published", "least"),
    Sourced("inrush-least", 0.400, "A", f"{_INRUSH}: limit at the source", "published", "least"),
    Sourced("inrush-most", 0.450, "A", f"{_INRUSH}: limit at the source", "published", "most"),
    Sourced("inrush-time-least", 0.050, "s", _INRUSH, "published", "least"),
    Sourced("inrush-time-most", 0.075, "s", _INRUSH, "published", "most"),
    Sourced(
        "high-power-delay",
        0.080,
        "s",
        "IEEE 802.3 clause 33, as restated by a data sheet and a book: at most 13 W until then",
        "published",
        "least",
    ),
    Sourced(
        "start-watts",
        13,
        "W",
        "IEEE 802.3 clause 33, as restated by a data sheet and a book: for the first 80 ms",
        "published",
        "most",
    ),
    Sourced(
        "bulk-least",
        5,
        "uF",
        "IEEE 802.3 clause 33, as drawn in a data sheet of a powered device",
        "published",
        "least",
    ),
    Sourced(
        "bulk-most",
        180,
        "uF",
        "IEEE 802.3 study group paper on safety of power, 2005: without an inrush limit of its own",
        "published",
        "most",
    ),
    Sourced("bulk-charge-time", 0.026, "s", "180 uF x 57 V / 0.4 A", "computed", "most"),
    Sourced("bulk-energy", 0.29, "J", "180 uF at 57 V", "computed", "most"),
    Sourced(
        "inrush-far-ohms",
        58,
        "ohm",
        "53.5 V less 0.4 A x R stays above the 30 V of turn-off (58.75, cut to 58)",
        "computed",
        "most",
    ),
    Sourced(
        "keep-alive-low",
        0.010,
        "A",
        f"{_BT}: classes 1 to 4, and sources of types 1 and 2",
        "published",
        "least",
    ),
    Sourced("keep-alive-high", 0.016, "A", f"{_BT}: classes 5 to 8", "published", "least"),
    Sourced("keep-alive-on", 0.075, "s", f"{_BT}: of every 325 ms", "published", "least"),
    Sourced("keep-alive-period", 0.325, "s", _BT, "published", "most"),
    Sourced(
        "keep-alive-lets-go-least",
        0.300,
        "s",
        "IEEE 802.3: time below the threshold before power goes",
        "from memory",
        "least",
    ),
    Sourced(
        "keep-alive-lets-go-most",
        0.400,
        "s",
        "IEEE 802.3, as restated on an engineer's reference site",
        "published",
        "most",
    ),
    Sourced(
        "class-far-ohms",
        22.7,
        "ohm",
        "loop ohms on two pairs: a source sends at least 15.5 V to classify, a device needs 14.5 V "
        "there, and class 4 draws up to 44 mA: 1.0 V / 44 mA",
        "computed",
        "most",
    ),
    Sourced(
        "restart-after",
        1.0,
        "s",
        "wait of one source chip after a fault, by its data sheet",
        "published",
    ),
    Sourced("grant-time", 3, "s", f"{_CHAIN}: found, classed and fed, once refused", *_MOST),
    Sourced("anew-time", 8, "s", f"{_CHAIN}: one that makes its volts anew, booted", *_MOST),
    Sourced("through-time", 5, "s", f"{_CHAIN}: one that lets the power through, booted", *_MOST),
    Sourced("link-up-time", 4, "s", f"{_CHAIN}: from power light to link light", *_MOST),
    Sourced("endpoint-up-least", 30, "s", f"{_CHAIN}: a camera or radio by itself", *_LEAST),
    Sourced("endpoint-up-most", 120, "s", f"{_CHAIN}: a camera or radio by itself", *_MOST),
    Sourced("wait-a-box", 60, "s", "a minute a box before it is judged", "common practice"),
    Sourced("dark-volts", 1, "V", "what a meter may show where nothing feeds", *_MOST),
)

CLASS_FAR_OHMS = STARTUP["class-far-ohms"]


def keep_alive_amps(class_: int | None) -> float:
    """Least current, seen at the source, that keeps a port of this class on. [A]

    Parameters
    ----------
    class_ : 0 to 8, or None where nothing is known.

    Source
    ------
    IEEE 802.3 clauses 33 and 145: 10 mA; 16 mA for classes 5 to 8.

    >>> keep_alive_amps(4), keep_alive_amps(8)
    (0.01, 0.016)
    """
    high = class_ is not None and class_ >= 5
    return STARTUP["keep-alive-high" if high else "keep-alive-low"].value
