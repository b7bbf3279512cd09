"""Power over the pairs: types, classes, what a source looks for, grants and cuts."""

from __future__ import annotations

from engine.standards import Mark, Sourced, read_at, table

_SEEN = (
    "IEEE 802.3 clauses 33 and 145, as restated by an industry alliance's overview and data sheets"
)
_LIMITS = "IEEE 802.3 clause 33, as restated by a data sheet's table of operational limits"
_ZONES = "IEEE 802.3 clause 33, as restated by a data sheet's chart of voltages at the device"
_WINDOW = "IEEE 802.3 Table 33-11, 33-18, 145-1, as restated by an encyclopaedia article"
_SAFETY = "IEC 60950-1, as restated by an IEEE 802.3 study group paper on safety, March 2005"
_EVENTS = "IEEE 802.3 clause 145, as restated by a data sheet of a powered device (2020)"
_DETECT = "IEEE 802.3 clause 33, as restated by a data sheet of a source: in detection only"
_CHIP = "data sheet of one source chip (2015-2017), switching characteristics"
_DRIVER = "kernel mailing list, review of a source driver, June 2025, quoting Table 33-11"
_RECALLED = "IEEE 802.3 clauses 33 and 145"
_FROM_145 = "IEEE 802.3 clause 145; the class watts only come out with it"
_CHAIN = "typical of boxes in a chain, from no one document; the value is the middle of its range"

_CLASSES = (
    # class, watts at the source, watts at the device, pairs, volts at the device at the limit
    (0, 15.4, 12.95, 2, 37.0),
    (1, 4.0, 3.84, 2, 42.1),
    (2, 7.0, 6.49, 2, 40.8),
    (3, 15.4, 12.95, 2, 37.0),
    (4, 30.0, 25.5, 2, 42.5),
    (5, 45.0, 40.0, 4, 44.3),
    (6, 60.0, 51.0, 4, 42.5),
    (7, 75.0, 62.0, 4, 42.9),
    (8, 90.0, 71.3, 4, 41.1),
)
_PRINTED_VOLTS = frozenset({0, 3, 4})
"""classes whose volts at the device were read; the arithmetic gives all of them"""


def _class_rows(
    number: int, source: float, drawn: float, pairs: int, volts: float
) -> tuple[Sourced, ...]:
    of_class = f"class-{number}"
    printed = number in _PRINTED_VOLTS
    at_least = _LIMITS if printed else _RECALLED
    mark: Mark = "published" if printed else "from memory"
    return (
        Sourced(f"{of_class}-source-watts", source, "W", _SEEN, "published", "least"),
        Sourced(f"{of_class}-drawn-watts", drawn, "W", _SEEN, "published", "most"),
        Sourced(f"{of_class}-pairs", pairs, "pairs", _SEEN, "published", "least"),
        Sourced(f"{of_class}-device-volts", volts, "V", at_least, mark, "least"),
    )


POWER = table(
    *(row for one in _CLASSES for row in _class_rows(*one)),
    # ---- types
    *read_at(
        _LIMITS,
        "published",
        ("type-1-source-volts", 44, "V", "least"),
        ("type-1-device-volts", 37, "V", "least"),
        ("type-1-loop-ohms", 20, "ohm", "most"),
        ("type-2-source-volts", 50, "V", "least"),
        ("type-2-device-volts", 42.5, "V", "least"),
        ("type-2-loop-ohms", 12.5, "ohm", "most"),
    ),
    *read_at(
        "IEEE 802.3 clause 33, as restated by network-switch manuals",
        "published",
        ("source-volts-most", 57, "V", "most"),
        ("classify-volts-least", 15.5, "V", "least"),
        ("classify-volts-most", 20.5, "V", "most"),
        ("classify-amps-most", 0.100, "A", "most"),
        ("classify-time-least", 0.010, "s", "least"),
        ("classify-time-most", 0.075, "s", "most"),
    ),
    *read_at(
        _FROM_145,
        "from memory",
        ("type-3-source-volts", 50, "V", "least"),
        ("type-3-device-volts", 39.9, "V", "least"),
        ("type-3-loop-ohms", 12.5, "ohm", "most"),
        ("type-4-source-volts", 52, "V", "least"),
        ("type-4-device-volts", 41.1, "V", "least"),
        ("type-4-loop-ohms", 12.5, "ohm", "most"),
        ("four-pair-loop-ohms", 6.25, "ohm", "most"),
    ),
    Sourced(
        "port-watts-most",
        99.9,
        "W",
        "IEEE 802.3 Table 145-16, as quoted in an operating-system kernel's sources: any type",
        "published",
        "most",
    ),
    # ---- peaks above the class
    Sourced(
        "peak-duty",
        5,
        "%",
        "IEEE 802.3cq-2020, 33.3.7.4, read in an extract",
        "published",
        "most",
    ),
    *read_at(
        _RECALLED,
        "from memory",
        ("peak-time", 0.050, "s", "most"),
        ("peak-watts-class-0", 14.4, "W", "most"),
        ("peak-watts-class-1", 5.0, "W", "most"),
        ("peak-watts-class-2", 8.36, "W", "most"),
        ("peak-watts-class-3", 14.4, "W", "most"),
        ("peak-factor-class-4", 1.11, "1", "most"),
        ("peak-factor-class-5", 1.05, "1", "most"),
    ),
    # ---- volts at the device, while it is found and classified
    *read_at(
        _ZONES,
        "published",
        ("device-detect-least", 2.7, "V", "least"),
        ("device-detect-most", 10.1, "V", "most"),
        ("device-classify-least", 14.5, "V", "least"),
        ("device-classify-most", 20.5, "V", "most"),
        ("device-mark-most", 6.9, "V", "most"),
        ("device-runs-least", 37, "V", "least"),
        ("device-volts-most", 57, "V", "most"),
    ),
    *read_at(
        "IEEE 802.3 clause 33, as restated by a data sheet's class table; the value is the "
        "middle of the window",
        "published",
        ("class-0-signature", 0.002, "A", "typical", 0.0, 0.004),
        ("class-1-signature", 0.0105, "A", "typical", 0.009, 0.012),
        ("class-2-signature", 0.0185, "A", "typical", 0.017, 0.020),
        ("class-3-signature", 0.028, "A", "typical", 0.026, 0.030),
        ("class-4-signature", 0.040, "A", "typical", 0.036, 0.044),
    ),
    *read_at(
        _WINDOW,
        "published",
        ("class-0-read", 0.0025, "A", "typical", 0.0, 0.005),
        ("class-1-read", 0.0105, "A", "typical", 0.008, 0.013),
        ("class-2-read", 0.0185, "A", "typical", 0.016, 0.021),
        ("class-3-read", 0.028, "A", "typical", 0.025, 0.031),
        ("class-4-read", 0.040, "A", "typical", 0.035, 0.045),
        ("request-step", 0.1, "W", "exact"),
    ),
    *read_at(
        f"{_EVENTS}: classification events of a full grant",
        "published",
        ("class-4-events", 2, "events", "exact"),
        ("class-5-events", 4, "events", "exact"),
        ("class-6-events", 4, "events", "exact"),
        ("class-7-events", 5, "events", "exact"),
        ("class-8-events", 5, "events", "exact"),
    ),
    *read_at(
        f"{_EVENTS}: a source that has less to give",
        "published",
        ("demoted-by-type-1", 13, "W", "most"),
        ("demoted-by-type-2", 25.5, "W", "most"),
    ),
    *read_at(
        "IEEE P802.3cv draft (2020) and data sheets of powered devices: Autoclass; "
        "of a window the middle",
        "published",
        ("autoclass-from", 1.35, "s", "most"),
        ("autoclass-until", 3.65, "s", "least"),
        ("autoclass-window", 0.225, "s", "typical", 0.150, 0.300),
    ),
    # ---- detection
    *read_at(
        _DETECT,
        "published",
        ("detect-open-volts", 30, "V", "most"),
        ("detect-short-amps", 0.005, "A", "most"),
        ("detect-volts-least", 2.8, "V", "least"),
        ("detect-volts-most", 10, "V", "most"),
        ("detect-step", 1, "V", "least"),
        ("detect-apart", 0.002, "s", "least"),
    ),
    *read_at(
        "IEEE 802.3 clause 33, as restated on an engineer's reference site",
        "published",
        ("signature-least", 23.7, "kohm", "least"),
        ("signature-most", 26.3, "kohm", "most"),
        ("signature-offset", 1.9, "V", "most"),
        ("signature-uf-least", 0.05, "uF", "least"),
        ("signature-uf-most", 0.12, "uF", "most"),
        ("signature-uh-most", 100, "uH", "most"),
    ),
    *read_at(
        "IEEE 802.3 clause 33, as restated by a network-switch maker's manual",
        "published",
        ("accepts-least", 19, "kohm", "least"),
        ("accepts-most", 26.5, "kohm", "most"),
    ),
    *read_at(
        _RECALLED,
        "from memory",
        ("refuses-below", 15, "kohm", "least"),
        ("refuses-above", 33, "kohm", "most"),
        ("accepts-uf-most", 0.15, "uF", "most"),
        ("refuses-uf-above", 10, "uF", "most"),
        ("detect-time-most", 0.500, "s", "most"),
        ("power-on-most", 0.400, "s", "most"),
        ("back-off-least", 2.0, "s", "least"),
        ("error-delay-least", 0.750, "s", "least"),
        ("back-feed-most", 2.8, "V", "most"),
        ("hard-limit-time-most", 0.075, "s", "most"),
    ),
    *read_at(
        _CHIP,
        "published",
        ("detect-cycle", 0.350, "s", "typical", 0.275, 0.425),
        ("detect-pause", 0.400, "s", "typical", 0.300, 0.500),
        ("plug-to-detected", 0.590, "s", "most"),
    ),
    *read_at(
        "from the window a source accepts and refuses, beside a signature of 24.9 kohm",
        "computed",
        ("two-signatures", 12.45, "kohm", "typical"),
        ("leak-not-accepted", 80, "kohm", "most"),
        ("leak-refused", 38, "kohm", "most"),
    ),
    # ---- cuts
    *read_at(
        f"{_DRIVER}: overload threshold in that driver",
        "published",
        ("cut-class-1", 0.112, "A", "typical"),
        ("cut-class-2", 0.206, "A", "typical"),
        ("cut-class-3", 0.375, "A", "typical"),
        ("cut-class-4", 0.638, "A", "typical"),
        ("hard-limit-type-1", 0.400, "A", "least"),
        ("hard-limit-type-2", 0.684, "A", "least"),
    ),
    *read_at(
        _CHIP,
        "published",
        ("cut-time", 0.060, "s", "typical", 0.050, 0.070),
        ("cut-duty", 6, "%", "typical"),
    ),
    # ---- what volts may be touched
    *read_at(
        _SAFETY,
        "published",
        ("selv-volts", 60, "V", "most"),
        ("energy-va", 240, "VA", "most"),
        ("energy-joules", 20, "J", "most"),
        ("limited-source-watts", 100, "W", "most"),
    ),
    *read_at(
        "IEC 60364-4-41, 414.4.5",
        "from memory",
        ("bare-dry-volts", 60, "V", "most"),
        ("bare-wet-volts", 30, "V", "most"),
    ),
    # ---- boxes in a chain
    *read_at(
        _CHAIN,
        "common practice",
        ("own-watts-gigabit", 3, "W", "typical", 2, 4),
        ("own-watts-100", 1.5, "W", "typical", 1, 2),
        ("regenerating-efficiency", 0.885, "1", "typical", 0.85, 0.92),
        ("regenerating-out-watts", 22.5, "W", "typical", 15, 30),
        ("stage-seconds", 1.05, "s", "typical", 0.6, 1.5),
        ("regenerating-stage-seconds", 5, "s", "typical", 2, 8),
        ("link-up-seconds", 3, "s", "typical", 2, 4),
        ("endpoint-start-seconds", 75, "s", "typical", 30, 120),
    ),
)


def granted_watts(class_: int) -> float:
    """The least that a source must give to a box of this class. [W]

    Raises
    ------
    KeyError : not 0 to 8.

    >>> granted_watts(4)
    30.0
    """
    return POWER[f"class-{class_}-source-watts"].value


def drawn_watts(class_: int) -> float:
    """The most that a box of this class may draw at its port, on average. [W]

    Raises
    ------
    KeyError : not 0 to 8.

    >>> drawn_watts(4)
    25.5
    """
    return POWER[f"class-{class_}-drawn-watts"].value


def class_pairs(class_: int) -> int:
    """The fewest pairs that carry the power of this class; a source may use more.

    Raises
    ------
    KeyError : not 0 to 8.

    >>> class_pairs(4), class_pairs(5)
    (2, 4)
    """
    return int(POWER[f"class-{class_}-pairs"].value)
