"""What would still work: each stretched alone until the plan no longer holds at worst.

Volts fall steadily with length, load, warmth and thinner wire (see ``operating``), so that
halving the gap finds the end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from attrs import frozen

from engine.advise.ground import Ground
from engine.edits import value_at
from engine.planning import Edit
from engine.rules.wiring import cable_runs
from engine.say import Say, say
from engine.sheets import AS_TYPED

FARTHEST_M, MOST_WATTS, HOTTEST_C = 3000.0, 100.0, 90.0
"""where the search ends: beyond, nobody plans (a choice)"""
TO_M, TO_WATTS, TO_C = 0.5, 0.05, 0.25
"""how near the end is found"""
GAUGES = (22, 23, 24, 25, 26, 28)


@frozen
class Limit:
    """How far one value can be stretched, the others as planned."""

    say: Say
    path: tuple[str, ...]
    value: float
    now: float


def still_works(doc: Mapping[str, Any]) -> tuple[Limit, ...]:
    """The limits of a plan that works at worst; none for one that does not.

    Raises
    ------
    BadFile : the plan cannot be read.
    """
    ground = Ground.of({key: value for key, value in doc.items() if key != "log"})
    if not ground.works_at_worst:
        return ()
    return tuple(limit for source in SOURCES for limit in source(ground))


def _held_by(ground: Ground, edits: tuple[Edit, ...]) -> str:
    """The rule that a stretched plan breaks first; nothing while it still works at worst."""
    after = ground.after(edits)
    if after is None:
        return "format"
    if not after.works_at_worst:
        return "volts-low"
    if after.broken["reach"] > ground.broken["reach"]:
        return "reach"
    return next(iter(sorted(after.stopped - ground.stopped)), "")


def _stretch(
    held_by: Callable[[float], str], now: float, most: float, near: float
) -> tuple[float, str]:
    """The largest value that holds, between ``now``, which does, and ``most``; what ends it."""
    why = held_by(most)
    if not why:
        return most, ""
    low, high = now, most
    while high - low > near:
        middle = (low + high) / 2
        there = held_by(middle)
        low, high, why = (low, middle, there) if there else (middle, high, why)
    return low, why


def _set(path: tuple[str, ...], value: Any) -> tuple[Edit, ...]:
    return ({"what": "set", "path": list(path), "value": value, "as": "correction"},)


def _expected(value: Any) -> float:
    return float(value["expected"] if isinstance(value, Mapping) else value)


def _scaled(value: Any, factor: float) -> Any:
    """A value or all three of its figures times a factor."""
    if isinstance(value, Mapping):
        return {key: one * factor for key, one in value.items()}
    return value * factor


def _sheet(ground: Ground, name: str) -> Mapping[str, Any]:
    """A sheet as it is written: the job's own, or a starter's."""
    return ground.doc.get("sheets", {}).get(name) or AS_TYPED.get(name, {})


def _lengths(ground: Ground) -> Iterator[Limit]:
    """Of each cable from one stop to another."""
    for run in cable_runs(ground.job, lambda span: True):
        spans = [ground.job.spans[name] for name in run.spans]
        longest = max(spans, key=lambda one: one.length_m.expected)
        stops = {ground.job.boxes[end.box].stop for end in (longest.a, longest.b)}
        if len(stops) < 2:
            continue
        path = ("spans", longest.id, "length_m")
        stands = value_at(ground.doc, path)
        now = _expected(stands)

        def held_by(metres: float, path=path, stands=stands, now=now) -> str:
            return _held_by(ground, _set(path, _scaled(stands, metres / now)))

        most, why = _stretch(held_by, now, FARTHEST_M, TO_M)
        yield Limit(
            say("limit-length", span=longest.id, metres=most, now=now, by=why), path, most, now
        )


def _loads(ground: Ground) -> Iterator[Limit]:
    """Of each endpoint, by the watts of its sheet."""
    for box in ground.job.boxes.values():
        path = ("sheets", box.sheet.id, "watts")
        sheet = _sheet(ground, box.sheet.id)
        if box.kind != "endpoint" or "watts" not in sheet:
            continue
        stands, now = sheet["watts"], box.sheet.watts.high
        if not 0 < now < MOST_WATTS:
            continue

        def held_by(watts: float, sheet=sheet, path=path, stands=stands, now=now) -> str:
            more = {**sheet, "watts": _scaled(stands, watts / now)}
            return _held_by(ground, _set(path[:2], more))

        most, why = _stretch(held_by, now, MOST_WATTS, TO_WATTS)
        yield Limit(say("limit-load", box=box.id, watts=most, now=now, by=why), path, most, now)


def _heat(ground: Ground) -> Iterator[Limit]:
    """The hottest day, where the site says how hot it gets."""
    path = ("site", "ambient_c")
    stands = ground.doc.get("site", {}).get("ambient_c")
    if stands is None:
        return
    now = float(stands["high"] if isinstance(stands, Mapping) else stands)
    if not now < HOTTEST_C:
        return

    def held_by(celsius: float) -> str:
        hot = {**stands, "high": celsius} if isinstance(stands, Mapping) else celsius
        return _held_by(ground, _set(path, hot))

    most, why = _stretch(held_by, now, HOTTEST_C, TO_C)
    yield Limit(say("limit-heat", celsius=most, now=now, by=why), path, most, now)


def _gauges(ground: Ground) -> Iterator[Limit]:
    """The thinnest wire of the longest cable; the size is worked out from the gauge alone."""
    longest = max(ground.job.spans.values(), key=lambda one: one.length_m.expected, default=None)
    if longest is None or longest.cable.awg is None:
        return
    sheet = _sheet(ground, longest.cable.id)
    bare = {key: value for key, value in sheet.items() if key != "ohms_per_km"}
    thinnest, why = longest.cable.awg, ""
    for gauge in (one for one in GAUGES if one > longest.cable.awg):
        name = f"{longest.cable.id}-{gauge}"
        edits = (
            {"what": "add", "path": ["sheets", name], "value": {**bare, "awg": gauge}},
            *_set(("spans", longest.id, "cable"), name),
        )
        why = _held_by(ground, edits)
        if why:
            break
        thinnest = gauge
    now = longest.cable.awg
    what = say("limit-gauge", span=longest.id, awg=thinnest, now=now, by=why)
    yield Limit(what, ("spans", longest.id, "cable"), thinnest, now)


SOURCES = (_lengths, _loads, _heat, _gauges)
