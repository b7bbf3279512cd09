"""What hangs at the end: watts from idle to hard at work, and the class it shows."""

from __future__ import annotations

from collections.abc import Mapping

from engine.sheets.starter import Figure, Starter, band, starter

_WATTS = Figure("watts", "idle, usual, hard at work; most within its class", "common practice")
_SWING = Figure("watts_swing_percent", "how much it moves in a minute", "from memory")
_CLASS = Figure("class", "the least that holds its watts, IEEE 802.3", "published")
_CUTOFF = Figure("cutoff_volts", "a usual converter", "common practice")
_ON = Figure("on_volts", "IEEE 802.3 clause 33, restated by data sheets", "published")
_SPEEDS = Figure("speeds_mbps", "what such a device usually offers", "common practice")

_SLOW, _FAST = [10, 100], [10, 100, 1000]


def _endpoint(
    id_: str,
    title: str,
    class_: int,
    watts: Mapping[str, float],
    swing_percent: float,
    speeds: list[int],
    outdoor: bool,
) -> Starter:
    return starter(
        id_,
        "endpoint",
        title,
        _WATTS,
        _SWING,
        _CLASS,
        _CUTOFF,
        _ON,
        _SPEEDS,
        watts=watts,
        watts_swing_percent=swing_percent,
        class_=class_,
        cutoff_volts=36,
        on_volts=42,
        speeds_mbps=speeds,
        outdoor=outdoor,
    )


_LOW_VOLTS = starter(
    "radio-24v",
    "endpoint",
    "Radio bridge for 24 V",
    Figure("watts", "idle, usual, hard at work", "common practice"),
    _SWING,
    Figure("cutoff_volts on_volts", "a 24 V converter", "from memory"),
    _SPEEDS,
    watts=band(3.0, 6.0, 9.0),
    watts_swing_percent=20,
    cutoff_volts=16,
    on_volts=18,
    speeds_mbps=_SLOW,
    outdoor=True,
)

ROWS: tuple[Starter, ...] = (
    _endpoint("camera-small", "Camera, small", 2, band(2.5, 4.5, 6.4), 20, _SLOW, outdoor=True),
    _endpoint("camera-heater", "Camera with heater", 3, band(4, 8, 12.9), 40, _SLOW, outdoor=True),
    _endpoint("camera-ptz", "Camera, turning", 4, band(8, 16, 25.4), 30, _FAST, outdoor=True),
    _endpoint("radio", "Radio bridge", 3, band(5, 8.5, 12.9), 20, _FAST, outdoor=True),
    _LOW_VOLTS,
    _endpoint("access-point", "Access point", 4, band(6, 13, 25.4), 20, _FAST, outdoor=False),
    _endpoint("door-phone", "Door phone", 3, band(3, 6, 12.9), 30, _SLOW, outdoor=True),
    _endpoint("lamp", "Lamp, 40 W", 5, band(30, 36, 40), 10, _SLOW, outdoor=True),
    _endpoint("sensor", "Sensor", 1, band(0.8, 1.8, 3.8), 10, _SLOW, outdoor=True),
)
