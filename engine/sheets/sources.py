"""Sources and injectors by type: what a port puts on the pairs, and how much of it."""

from __future__ import annotations

from engine.sheets.starter import Figure, Starter, band, starter

_SPEEDS = Figure("speeds_mbps", "what such a port usually offers", "common practice")
_PASSES = Figure("speeds_mbps", "what a plain unit usually lets through", "common practice")
_TWO = Figure("pairs", "two, IEEE 802.3 clause 33", "published")
_FOUR = Figure("pairs", "four from class 5, overview of IEEE 802.3 clause 145", "published")

_TYPE_1 = Figure(
    "volts", "44 to 57 V, IEEE 802.3 type 1, restated by data sheets; 48 V usual", "common practice"
)
_TYPE_2 = Figure(
    "volts", "50 to 57 V, IEEE 802.3 type 2, restated by data sheets; 54 V usual", "common practice"
)
_TYPE_3 = Figure("volts", "50 to 57 V, IEEE 802.3 type 3; 54 V usual", "from memory")
_TYPE_4 = Figure("volts", "52 to 57 V, IEEE 802.3 type 4; 54 V usual", "from memory")


def _class_watts(class_: int) -> Figure:
    source = f"least for class {class_}, overview of IEEE 802.3 clause 145 by task-force members"
    return Figure("watts_max", source, "published")


_SUPPLY = Figure("volts", "the nominal one, a plain supply's spread", "common practice")
_ONE_AMP = Figure("watts_max", "a supply of 1 A", "common practice")
_SPARE = Figure("pairs", "one pair set carries it", "common practice")

_CLASS_4 = {"volts": band(50.0, 54.0, 57.0), "watts_max": 30, "grants": "by-class", "pairs": 2}
_CLASS_6 = {"volts": band(50.0, 54.0, 57.0), "watts_max": 60, "grants": "by-class", "pairs": 4}
_CLASS_8 = {"volts": band(52.0, 54.0, 57.0), "watts_max": 90, "grants": "by-class", "pairs": 4}
_ALWAYS_24 = {"volts": band(23.0, 24.0, 25.0), "watts_max": 24, "grants": "always", "pairs": 2}
_ALWAYS_48 = {"volts": band(46.0, 48.0, 50.0), "watts_max": 48, "grants": "always", "pairs": 2}
_SPARE_SPEEDS = Figure(
    "speeds_mbps",
    "direct feed of spare pairs is 10/100 only, a kernel's documentation",
    "published",
)

ROWS: tuple[Starter, ...] = (
    starter(
        "source-15w",
        "source",
        "Switch port, 15 W, two pairs",
        _TYPE_1,
        _class_watts(3),
        _TWO,
        _SPEEDS,
        volts=band(44.0, 48.0, 57.0),
        watts_max=15.4,
        grants="by-class",
        pairs=2,
        speeds_mbps=[10, 100, 1000],
    ),
    starter(
        "source-30w",
        "source",
        "Switch port, 30 W, two pairs",
        _TYPE_2,
        _class_watts(4),
        _TWO,
        _SPEEDS,
        speeds_mbps=[10, 100, 1000],
        **_CLASS_4,
    ),
    starter(
        "source-60w",
        "source",
        "Switch port, 60 W",
        _TYPE_3,
        _class_watts(6),
        _FOUR,
        _SPEEDS,
        speeds_mbps=[100, 1000],
        **_CLASS_6,
    ),
    starter(
        "source-90w",
        "source",
        "Switch port, 90 W",
        _TYPE_4,
        _class_watts(8),
        _FOUR,
        _SPEEDS,
        speeds_mbps=[100, 1000],
        **_CLASS_8,
    ),
    starter(
        "source-24v",
        "source",
        "Switch port, always on, 24 V",
        _SUPPLY,
        _ONE_AMP,
        _SPARE,
        _SPARE_SPEEDS,
        speeds_mbps=[10, 100],
        **_ALWAYS_24,
    ),
    starter(
        "source-48v",
        "source",
        "Switch port, always on, 48 V",
        _SUPPLY,
        _ONE_AMP,
        _SPARE,
        _SPEEDS,
        speeds_mbps=[10, 100, 1000],
        **_ALWAYS_48,
    ),
    starter(
        "injector-24v",
        "injector",
        "Injector, always on, 24 V",
        _SUPPLY,
        _ONE_AMP,
        _SPARE,
        _SPARE_SPEEDS,
        speeds_mbps=[10, 100],
        **_ALWAYS_24,
    ),
    starter(
        "injector-48v",
        "injector",
        "Injector, always on, 48 V",
        _SUPPLY,
        _ONE_AMP,
        _SPARE,
        _PASSES,
        speeds_mbps=[10, 100, 1000],
        **_ALWAYS_48,
    ),
    starter(
        "injector-30w",
        "injector",
        "Injector, 30 W, two pairs",
        _TYPE_2,
        _class_watts(4),
        _TWO,
        _PASSES,
        speeds_mbps=[10, 100, 1000],
        **_CLASS_4,
    ),
    starter(
        "injector-60w",
        "injector",
        "Injector, 60 W",
        _TYPE_3,
        _class_watts(6),
        _FOUR,
        _PASSES,
        speeds_mbps=[10, 100, 1000],
        **_CLASS_6,
    ),
    starter(
        "injector-90w",
        "injector",
        "Injector, 90 W",
        _TYPE_4,
        _class_watts(8),
        _FOUR,
        _PASSES,
        speeds_mbps=[10, 100, 1000],
        **_CLASS_8,
    ),
)
