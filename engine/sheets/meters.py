"""Meters by what they measure and how well: ± (percent of reading + digits x resolution)."""

from __future__ import annotations

from engine.sheets.starter import Figure, Starter, starter

_Row = tuple[float, float, float]


def _meter(id_: str, title: str, **accuracy: _Row) -> Starter:
    parts = {
        kind: {"percent": percent, "digits": digits, "resolution": resolution}
        for kind, (percent, digits, resolution) in accuracy.items()
    }
    source = "accuracy of a plain instrument of its sort"
    return starter(id_, "meter", title, Figure(" ".join(parts), source, "common practice"), **parts)


ROWS: tuple[Starter, ...] = (
    _meter(
        "meter",
        "Pocket meter",
        volts=(0.5, 2, 0.01),
        milliamps=(1.5, 3, 1),
        watts=(3, 1, 0.1),
        loop_ohms=(1, 3, 0.1),
        earth_ohms=(2, 3, 0.01),
        celsius=(1, 1, 1),
    ),
    _meter(
        "meter-better",
        "Hand-held meter, better",
        volts=(0.1, 2, 0.01),
        milliamps=(0.5, 3, 0.1),
        loop_ohms=(0.3, 2, 0.1),
        celsius=(1, 1, 0.1),
    ),
    _meter("meter-clamp", "Clamp for milliamps", milliamps=(2, 5, 1)),
    _meter(
        "meter-loop",
        "Loop tester for pairs",
        loop_ohms=(0.5, 2, 0.01),
        unbalance_ohms=(1, 3, 0.01),
        metres=(2, 1, 0.1),
    ),
    _meter("meter-earth", "Earth tester", earth_ohms=(2, 3, 0.01)),
)
