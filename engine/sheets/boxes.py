"""What stands between the ends: repeaters, long-span units, splitters, arrestors, joints."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import evolve

from engine.sheets.starter import Figure, Starter, band, starter

_OWN_GIGABIT = Figure("own_watts", "2 to 4 W a gigabit box", "common practice")
_OWN_PLAIN = Figure("own_watts", "1 to 2 W a 10/100 box", "common practice")
_SERIES = Figure("ohms_per_conductor", "plug and board, a few hundredths", "from memory")
_PROTECTS = Figure("ohms_per_conductor", "what protects sits in series", "from memory")
_CONTACT = Figure("ohms_per_conductor", "about 0.02 ohm a contact", "from memory")
_ON = Figure("on_volts", "IEEE 802.3 clause 33, restated by data sheets", "published")


def _usual(keys: str) -> Figure:
    return Figure(keys, "usual for such a box", "common practice")


def _asks(watts: float) -> Figure:
    return Figure("class", f"{watts:g} W holds (out + own) / efficiency as expected", "computed")


_THROUGH = {
    "power": "pass-through",
    "ohms_per_conductor": band(0.02, 0.05, 0.1),
    "pairs": 4,
    "cutoff_volts": 36,
    "on_volts": 42,
}
_ANEW = {
    "power": "regenerating",
    "out_volts": band(53.0, 54.0, 57.0),
    "efficiency": band(0.85, 0.885, 0.92),
    "grants": "by-class",
    "pairs": 4,
    "cutoff_volts": 36,
    "on_volts": 42,
}
_FROM_THROUGH = (_SERIES, _usual("class pairs cutoff_volts speeds_mbps"), _ON)
_FROM_ANEW = (
    Figure("out_volts", "53 to 57 V", "common practice"),
    Figure("efficiency", "0.85 to 0.92", "common practice"),
    _usual("out_watts_max pairs pairs_out cutoff_volts speeds_mbps"),
    _ON,
)

_GIGABIT = starter(
    "repeater-1000",
    "repeater",
    "Repeater gigabit, power runs through",
    _OWN_GIGABIT,
    *_FROM_THROUGH,
    own_watts=band(2.0, 3.0, 4.0),
    class_=6,
    speeds_mbps=[10, 100, 1000],
    **_THROUGH,
)
_THIRTY = starter(
    "repeater-30w",
    "repeater",
    "Repeater, feeds anew, 30 W out",
    _OWN_GIGABIT,
    _asks(40),
    *_FROM_ANEW,
    own_watts=band(2.0, 3.0, 4.0),
    class_=5,
    out_watts_max=30,
    pairs_out=2,
    speeds_mbps=[10, 100, 1000],
    **_ANEW,
)
_REPEATERS = (
    starter(
        "repeater-100",
        "repeater",
        "Repeater 10/100, power runs through",
        _OWN_PLAIN,
        *_FROM_THROUGH,
        own_watts=band(1.0, 1.5, 2.0),
        class_=4,
        speeds_mbps=[10, 100],
        **_THROUGH,
    ),
    _GIGABIT,
    starter(
        "repeater-15w",
        "repeater",
        "Repeater, feeds anew, 15 W out",
        _OWN_PLAIN,
        _asks(25.5),
        *_FROM_ANEW,
        own_watts=band(1.0, 1.5, 2.0),
        class_=4,
        out_watts_max=15.4,
        pairs_out=2,
        speeds_mbps=[10, 100],
        **_ANEW,
    ),
    _THIRTY,
    starter(
        "repeater-60w",
        "repeater",
        "Repeater, feeds anew, 60 W out",
        _OWN_GIGABIT,
        _asks(71.3),
        *_FROM_ANEW,
        own_watts=band(2.0, 3.0, 4.0),
        class_=8,
        out_watts_max=60,
        pairs_out=4,
        speeds_mbps=[10, 100, 1000],
        **_ANEW,
    ),
)


def _outdoors(row: Starter, title: str) -> Starter:
    """The same box in a case for outdoors."""
    return evolve(row, id=f"{row.id}-outdoor", keys={**row.keys, "title": title, "outdoor": True})


_OUTDOOR_REPEATERS = (
    _outdoors(_GIGABIT, "Repeater gigabit, power through, outdoor"),
    _outdoors(_THIRTY, "Repeater, feeds anew, 30 W out, outdoor"),
)

_LONG_SPAN = (
    starter(
        "long-span",
        "long-span",
        "Long-span unit, gigabit only",
        _OWN_GIGABIT,
        Figure("reach_m", "out 100 m, TIA-568; in 300 m, recalled, no document", "from memory"),
        *_FROM_THROUGH,
        own_watts=band(2.0, 3.0, 4.0),
        class_=6,
        speeds_mbps=[1000],
        outdoor=True,
        ports={
            "in": {"faces": "long-span", "reach_m": {"1000": 300}},
            "out": {"faces": "equipment", "reach_m": {"1000": 100}},
        },
        **_THROUGH,
    ),
)

_TWO_OUT = {"in": {"faces": "source"}, "out1": {"faces": "endpoint"}, "out2": {"faces": "endpoint"}}
_FOUR_OUT = {**_TWO_OUT, "out3": {"faces": "endpoint"}, "out4": {"faces": "endpoint"}}
_SPLITTERS = (
    starter(
        "splitter-2",
        "splitter",
        "Splitter, two out, power runs through",
        _OWN_GIGABIT,
        *_FROM_THROUGH,
        own_watts=band(2.0, 3.0, 4.0),
        class_=6,
        speeds_mbps=[10, 100, 1000],
        ports=_TWO_OUT,
        **_THROUGH,
    ),
    starter(
        "splitter-4",
        "splitter",
        "Splitter, four out, feeds anew, 55 W",
        Figure("own_watts", "2 to 4 W a gigabit box and more for four outs", "common practice"),
        _asks(71.3),
        *_FROM_ANEW,
        own_watts=band(2.5, 4.0, 6.0),
        class_=8,
        out_watts_max=55,
        pairs_out=2,
        speeds_mbps=[10, 100, 1000],
        ports=_FOUR_OUT,
        **_ANEW,
    ),
)


def _arrestor(
    id_: str, title: str, series: Mapping[str, float], speeds: list[int], outdoor: bool
) -> Starter:
    return starter(
        id_,
        "arrestor",
        title,
        _PROTECTS,
        _usual("speeds_mbps pairs"),
        ohms_per_conductor=series,
        speeds_mbps=speeds,
        pairs=4,
        outdoor=outdoor,
        ports={"line": {"faces": "exposed"}, "kit": {"faces": "any"}},
    )


_SLOW, _FAST = [10, 100], [10, 100, 1000]
_MORE, _LESS = band(0.2, 0.5, 1.0), band(0.1, 0.2, 0.4)
_ARRESTORS = (
    _arrestor("arrestor-100-indoor", "Arrestor 10/100, indoor", _MORE, _SLOW, outdoor=False),
    _arrestor("arrestor-100-outdoor", "Arrestor 10/100, outdoor", _MORE, _SLOW, outdoor=True),
    _arrestor("arrestor-1000-indoor", "Arrestor gigabit, indoor", _LESS, _FAST, outdoor=False),
    _arrestor("arrestor-1000-outdoor", "Arrestor gigabit, outdoor", _LESS, _FAST, outdoor=True),
)


def _joint(id_: str, title: str, contacts: int, outdoor: bool) -> Starter:
    series = band(*(round(contacts * ohms, 3) for ohms in (0.005, 0.02, 0.05)))
    return starter(
        id_,
        "joint",
        title,
        _CONTACT,
        _usual("pairs"),
        ohms_per_conductor=series,
        pairs=4,
        outdoor=outdoor,
    )


_JOINTS = (
    _joint("joint-gel", "Gel joint, outdoor", 1, outdoor=True),
    _joint("joint-idc-indoor", "Joint box, cutting contacts, indoor", 2, outdoor=False),
    _joint("joint-idc-outdoor", "Joint box, cutting contacts, outdoor", 2, outdoor=True),
    _joint("joint-coupler", "Coupler, two sockets, indoor", 2, outdoor=False),
)

ROWS: tuple[Starter, ...] = (
    *_REPEATERS,
    *_OUTDOOR_REPEATERS,
    *_LONG_SPAN,
    *_SPLITTERS,
    *_ARRESTORS,
    *_JOINTS,
)
