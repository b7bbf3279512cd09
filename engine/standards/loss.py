"""Insertion loss: cable, connections, temperature, and what each speed allows."""

from __future__ import annotations

from math import sqrt

from engine.standards import Sourced, table

UNKNOWN = "5e"
"""the category that is taken where nobody has said: the plainest cable still sold for data"""

_TIA = "TIA-568-C.2"
_ISO = "ISO/IEC 11801:2002"
_MAIL = "TIA-568-C.2, 6.4.7, as quoted in IEEE 802.3 study-group mail"
_CORDS = "a cabling maker's standards page"
_FORMS = ("k1 sqrt f", "k2 f", "k3 / sqrt f")

_CABLES = (
    # category, the three coefficients, top MHz, source with what it was checked against
    (
        "5e",
        (1.967, 0.023, 0.050),
        100,
        f"{_TIA}; meets the 11 digits of a book's table within 0.05",
    ),
    ("6", (1.808, 0.017, 0.200), 250, f"{_TIA}; meets 13 digits of a data sheet within 0.05"),
    ("6A", (1.82, 0.0091, 0.25), 500, f"{_TIA}; meets 4 digits of a data sheet"),
    ("7", (1.80, 0.010, 0.20), 600, f"{_ISO}, IEC 61156-5; no printed digits seen"),
)
_CHANNELS = (
    # class, the three coefficients, of one connection, source
    ("d", (1.9108, 0.0222, 0.2), 0.04, f"{_ISO}, Cat 5e; 24 dB at 100 MHz is printed"),
    ("e", (1.82, 0.0169, 0.25), 0.02, f"{_ISO}, Cat 6; meets 13 printed digits within 0.08"),
    ("ea", (1.82, 0.0091, 0.25), 0.02, f"{_ISO}, Cat 6A; no printed digits seen"),
)


def _terms(ident: str, unit: str, terms: tuple[float, ...], source: str) -> tuple[Sourced, ...]:
    return tuple(
        Sourced(f"{ident}-k{i}", term, unit, f"{source}: {form}, f in MHz", "from memory", "most")
        for i, (term, form) in enumerate(zip(terms, _FORMS, strict=True), start=1)
    )


LOSS = table(
    *(
        row
        for category, terms, _, source in _CABLES
        for row in _terms(f"cat-{category}", "dB/100 m", terms, source)
    ),
    *(
        Sourced(f"cat-{category}-mhz", top, "MHz", source, "from memory", "most")
        for category, _, top, source in _CABLES
    ),
    Sourced("cat-7A-mhz", 1000, "MHz", "ISO/IEC 11801, amendments", "from memory", "most"),
    Sourced("cat-8-mhz", 2000, "MHz", "TIA-568-C.2-1", "from memory", "most"),
    *(
        Sourced(
            f"connection-{category}",
            value,
            "dB/sqrt(MHz)",
            f"{_TIA}; its digits are printed in an electrical distributor's reference table",
            "from memory",
            "most",
        )
        for category, value in (("5e", 0.04), ("6", 0.02), ("6A", 0.02), ("7", 0.02))
    ),
    Sourced(
        "least-connection-db",
        0.1,
        "dB",
        "connecting hardware, an electrical distributor's reference table: no limit is tighter",
        "published",
        "least",
    ),
    # ---- cords and temperature
    Sourced(
        "cord-factor",
        1.2,
        "1",
        f"TIA-568-B: stranded cords, 20 % more, {_CORDS}",
        "published",
    ),
    Sourced(
        "cord-factor-26-awg",
        1.5,
        "1",
        f"{_ISO}: stranded cords of 26 AWG, 50 % more, {_CORDS}",
        "published",
    ),
    Sourced("warm-20-40", 0.4, "%/K", f"{_MAIL}: unscreened, 20 to 40 °C", "published", "most"),
    Sourced("warm-40-60", 0.6, "%/K", f"{_MAIL}: unscreened, 40 to 60 °C", "published", "most"),
    Sourced("warm-screened", 0.2, "%/K", f"{_MAIL}: screened, 20 to 60 °C", "published", "most"),
    # ---- limits
    *(
        row
        for name, terms, _, source in _CHANNELS
        for row in _terms(f"channel-{name}", "dB", terms, source)
    ),
    *(
        Sourced(f"channel-{name}-connection", value, "dB/sqrt(MHz)", source, "from memory", "most")
        for name, _, value, source in _CHANNELS
    ),
    Sourced("channel-factor", 1.05, "1", f"{_ISO}: cable and cords", "from memory", "exact"),
    Sourced("channel-connections", 4, "1", f"{_ISO}: in a channel", "from memory", "most"),
    Sourced("gigabit-scale", 2.1, "dB", "IEEE 802.3, 40.7.2.1: a f^b + c/f", "from memory", "most"),
    Sourced("gigabit-power", 0.529, "1", "IEEE 802.3, 40.7.2.1: a f^b + c/f", "from memory"),
    Sourced("gigabit-low", 0.4, "dB MHz", "IEEE 802.3, 40.7.2.1: a f^b + c/f", "from memory"),
    Sourced(
        "10base-t-db",
        11.5,
        "dB",
        "network-equipment manual, cabling appendix: 10BASE-T, 5 to 10 MHz",
        "published",
        "most",
    ),
    Sourced(
        "100base-tx-printed-db",
        12.8,
        "dB",
        "TSB-67, Category 5 channel at 31.25 MHz, as printed on a cable-trade page",
        "published",
        "most",
    ),
    # ---- what a speed asks of a cable
    Sourced("needs-mhz-10", 10, "MHz", "network-equipment manual: 10BASE-T", "published", "least"),
    Sourced(
        "needs-mhz-100",
        31.25,
        "MHz",
        "three levels at 125 MBd repeat at a quarter of it; the rate by two answers on a "
        "question site",
        "published",
        "least",
    ),
    Sourced(
        "needs-mhz-1000",
        100,
        "MHz",
        "IEEE 802.3, 40.7: the link is specified to 100 MHz",
        "from memory",
        "least",
    ),
    Sourced(
        "needs-mhz-2500",
        100,
        "MHz",
        "an answer on a question site, quoting IEEE 802.3 clause 126",
        "published",
        "least",
    ),
    Sourced("needs-mhz-5000", 250, "MHz", "IEEE 802.3 clause 126", "from memory", "least"),
    Sourced(
        "needs-mhz-10000",
        250,
        "MHz",
        "IEEE 802.3 clause 55: class E on a short run",
        "from memory",
        "least",
    ),
    Sourced(
        "needs-mhz-10000-far",
        500,
        "MHz",
        "IEEE 802.3 clause 55: class EA or F beyond the short run",
        "from memory",
        "least",
    ),
    Sourced(
        "10g-cat6-reach",
        55,
        "m",
        "encyclopaedia article on Category 6 cable: 10GBASE-T",
        "published",
        "most",
    ),
)

_ROW_OF = {"5": "5e", "5e": "5e", "6": "6", "6A": "6A", "7": "7", "7A": "7", "8": "7"}
"""whose loss is taken: a category without a formula of its own takes the next worse one"""

_LOOK: dict[int, tuple[float, ...]] = {
    10: (5, 7.5, 10),
    100: (31.25,),
    1000: (10, 16, 20, 25, 31.25, 62.5, 80, 100),
    2500: (10, 16, 20, 25, 31.25, 62.5, 80, 100),
    5000: (10, 16, 20, 31.25, 62.5, 100, 125, 155.52, 200, 250),
    10000: (10, 16, 20, 31.25, 62.5, 100, 125, 200, 250, 300, 400, 500),
}
"""Where loss and limit are compared. Both are smooth, so a handful finds the tightest place;
below 10 MHz the limits' terms in 1/f mislead while the loss itself is 3 dB."""


def _row_of(category: str | None) -> str:
    return _ROW_OF[UNKNOWN if category is None else category]


def temperature_factor(celsius: float, screened: bool) -> float:
    """By what insertion loss grows with temperature; it is not the factor of ohms. [1]

    Parameters
    ----------
    celsius : temperature of the cable. [°C] Below 20 the value of 20 is taken (cold helps);
        beyond 60, where the rule ends, its last slope goes on.
    screened : any overall or pair screen.

    Source
    ------
    TIA-568-C.2, 6.4.7, as quoted in IEEE 802.3 study-group mail.

    >>> round(temperature_factor(40, False), 2), round(temperature_factor(60, False), 2)
    (1.08, 1.2)
    """
    warm = max(0.0, celsius - 20)
    if screened:
        return 1 + warm * LOSS["warm-screened"].value / 100
    mild, hot = min(warm, 20), max(0.0, warm - 20)
    return 1 + (mild * LOSS["warm-20-40"].value + hot * LOSS["warm-40-60"].value) / 100


def cable_db(
    category: str | None,
    mhz: float,
    metres: float,
    celsius: float,
    *,
    stranded: bool = False,
    awg: int | None = None,
    screened: bool = False,
) -> float:
    """Insertion loss of a length of cable, without its connections. [dB]

    Parameters
    ----------
    category : ``5`` to ``8``; None is taken as Cat 5e. 7A and 8 are taken as 7, the worse.
    mhz : 1 up to the category's top; beyond that the formula is stretched. [MHz]
    metres : length. [m] >= 0
    celsius : temperature of the cable. [°C]
    stranded : a cord; half as much again at 26 AWG and thinner.

    Raises
    ------
    KeyError : a category without a row.

    Source
    ------
    TIA-568-C.2 (Cat 7: ISO/IEC 11801), from memory: k1 sqrt f + k2 f + k3/sqrt f in dB per
    100 m at 20 °C; against printed digits see the rows.

    >>> round(cable_db("5e", 100, 100, 20), 2)   # 22.0 printed
    21.98
    """
    row = _row_of(category)
    terms = (LOSS[f"cat-{row}-k1"], LOSS[f"cat-{row}-k2"], LOSS[f"cat-{row}-k3"])
    factor = temperature_factor(celsius, screened)
    if stranded:
        thin = awg is not None and awg >= 26
        factor *= LOSS["cord-factor-26-awg" if thin else "cord-factor"].value
    return _formula(terms, mhz) * metres / 100 * factor


def _formula(terms: tuple[Sourced, Sourced, Sourced], mhz: float) -> float:
    k1, k2, k3 = (term.value for term in terms)
    return k1 * sqrt(mhz) + k2 * mhz + k3 / sqrt(mhz)


def connection_db(category: str | None, mhz: float) -> float:
    """Insertion loss of one plug in its socket. [dB]

    Without the floor of 0.1 dB at low frequencies: the limits of a channel count their
    connections without it too, and like is compared with like.

    Source
    ------
    TIA-568-C.2, from memory; its digits are printed in a reference table.

    >>> round(connection_db("5e", 100), 2), round(connection_db("6", 100), 2)
    (0.4, 0.2)
    """
    return LOSS[f"connection-{_row_of(category)}"].value * sqrt(mhz)


def _channel_db(name: str, mhz: float) -> float:
    terms = (LOSS[f"channel-{name}-k1"], LOSS[f"channel-{name}-k2"], LOSS[f"channel-{name}-k3"])
    joints = LOSS["channel-connections"].value * LOSS[f"channel-{name}-connection"].value
    return LOSS["channel-factor"].value * _formula(terms, mhz) + joints * sqrt(mhz)


def limit_db(mbps: int, mhz: float) -> float:
    """Most insertion loss that a speed allows between its two ports. [dB]

    Parameters
    ----------
    mbps : 10, 100, 1000, 2500, 5000 or 10000. [Mb/s]
    mhz : one of ``frequencies(mbps)``. [MHz]

    Raises
    ------
    KeyError : another speed.

    Source
    ------
    10BASE-T: a flat 11.5 dB. 100BASE-TX and 2.5GBASE-T: class D channel; 5GBASE-T: class E;
    10GBASE-T: class EA (ISO/IEC 11801:2002). 1000BASE-T: IEEE 802.3, 40.7.2.1. All but the
    first from memory; see the rows.

    >>> round(limit_db(1000, 100), 1), round(limit_db(100, 31.25), 1)
    (24.0, 12.9)
    """
    return _LIMITS[mbps](mhz)


def _ten(_: float) -> float:
    return LOSS["10base-t-db"].value


def _gigabit(mhz: float) -> float:
    rising: float = LOSS["gigabit-scale"].value * mhz ** LOSS["gigabit-power"].value
    return rising + LOSS["gigabit-low"].value / mhz


def _class_d(mhz: float) -> float:
    return _channel_db("d", mhz)


def _class_e(mhz: float) -> float:
    return _channel_db("e", mhz)


def _class_ea(mhz: float) -> float:
    return _channel_db("ea", mhz)


_LIMITS = {
    10: _ten,
    100: _class_d,
    1000: _gigabit,
    2500: _class_d,
    5000: _class_e,
    10000: _class_ea,
}


def frequencies(mbps: int) -> tuple[float, ...]:
    """Where loss and limit of a speed are to be compared. [MHz]

    Raises
    ------
    KeyError : a speed without a limit.

    >>> frequencies(100)
    (31.25,)
    """
    return _LOOK[mbps]


def category_mhz(category: str | None) -> float:
    """Highest frequency for which a category is specified; Cat 5 as Cat 5e. [MHz]

    Raises
    ------
    KeyError : an unknown category.

    >>> category_mhz("6"), category_mhz(None)
    (250, 100)
    """
    name = UNKNOWN if category in (None, "5") else category
    return LOSS[f"cat-{name}-mhz"].value


def least_category_ok(mbps: int, category: str | None) -> bool:
    """Whether cable of this category is made for a speed over some length.

    >>> least_category_ok(1000, "5e"), least_category_ok(10000, "5e")
    (True, False)
    """
    return LOSS[f"needs-mhz-{mbps}"].value <= category_mhz(category)


def made_for(mbps: int, category: str | None, metres: float) -> bool:
    """Whether cable of this category is made for a speed over this length.

    10 Gb/s runs on Cat 6 for 55 m, and farther on Cat 6A or better.

    Parameters
    ----------
    metres : length of the whole link. [m]

    >>> made_for(10000, "6", 50), made_for(10000, "6", 60), made_for(10000, "6A", 90)
    (True, False, True)
    """
    if mbps == 10000 and metres > LOSS["10g-cat6-reach"].value:
        return LOSS["needs-mhz-10000-far"].value <= category_mhz(category)
    return least_category_ok(mbps, category)
