"""What would still work: each stretched alone until the plan no longer holds at worst.

Volts fall steadily with length, load, warmth and thinner wire (see ``operating``), so that
halving the gap finds the end.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping
from typing import Any

from attrs import frozen

from engine.advise.ground import Ground
from engine.edits import Path, value_at
from engine.planning import Edit
from engine.rules.wiring import cable_runs
from engine.say import Say, say
from engine.sheets import AS_TYPED
from engine.sliced import finish

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


Limits = Generator[Limit | None, None, None]
"""limits as they are found, and nothing between two tried plans"""


def still_works(doc: Mapping[str, Any]) -> tuple[Limit, ...]:
    """The limits of a plan that works at worst; none for one that does not.

    Raises
    ------
    BadFile : the plan cannot be read.
    """
    return finish(still_working(doc))


def still_working(doc: Mapping[str, Any]) -> Generator[None, None, tuple[Limit, ...]]:
    """The same, one tried plan a slice."""
    ground = Ground.of({key: value for key, value in doc.items() if key != "log"})
    yield
    if not ground.works_at_worst:
        return ()
    found: list[Limit] = []
    for source in SOURCES:
        for limit in source(ground):
            if limit is not None:
                found.append(limit)
            yield
    return tuple(found)


def held_by(ground: Ground, edits: tuple[Edit, ...]) -> str:
    """The rule that a stretched plan breaks first; nothing while it still works at worst."""
    return broken_by(ground, ground.after(edits))


def broken_by(ground: Ground, after: Ground | None) -> str:
    """The rule that a plan breaks first after edits of ``ground``; nothing while it holds."""
    if after is None:
        return "format"
    if not after.works_at_worst:
        return "volts-low"
    if after.broken["reach"] > ground.broken["reach"]:
        return "reach"
    return next(iter(sorted(after.stopped - ground.stopped)), "")


def stretch(
    ends_at: Callable[[float], str], holds: float, far: float, near: float
) -> tuple[float, str]:
    """The last value that holds on the way from ``holds``, which does, to ``far``; what ends it.

    ``ends_at`` names what a value breaks; the way may lead up or down.
    """
    return finish(stretching(ends_at, holds, far, near))


def stretching(
    ends_at: Callable[[float], str], holds: float, far: float, near: float
) -> Generator[None, None, tuple[float, str]]:
    """The same, one tried value a slice."""
    why = ends_at(far)
    if not why:
        return far, ""
    good, bad = holds, far
    while abs(bad - good) > near:
        yield
        middle = (good + bad) / 2
        there = ends_at(middle)
        good, bad, why = (good, middle, there) if there else (middle, bad, why)
    return good, why


def other_gauge(ground: Ground, span: str, gauge: int, as_: str = "correction") -> tuple[Edit, ...]:
    """A span of the same cable in another gauge; its ohms are worked out from the gauge alone."""
    cable = ground.job.spans[span].cable
    sheet = {key: value for key, value in _sheet(ground, cable.id).items() if key != "ohms_per_km"}
    sheet |= {"awg": gauge}
    if "title" in sheet:
        sheet["title"] = _retitled(sheet["title"], cable.awg, gauge)
    known = ground.doc.get("sheets", {})
    stem = f"{cable.id.removesuffix(f'-{cable.awg}')}-{gauge}"
    names = (stem, *(f"{stem}-{count}" for count in range(2, len(known) + 3)))
    name = next(one for one in names if known.get(one, sheet) == sheet)
    added = {"what": "add", "path": ["sheets", name], "value": sheet, "as": as_}
    laid = {"what": "set", "path": ["spans", span, "cable"], "value": name, "was": cable.id}
    return (*(() if name in known else (added,)), {**laid, "as": as_})


def _retitled(title: str, was: int | None, gauge: int) -> str:
    """A cable's title with the gauge it now has."""
    bare = title.replace(f", {was} AWG", "").replace(f"{was} AWG", "").strip()
    return f"{bare}, {gauge} AWG" if bare else f"{gauge} AWG"


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


def _lengths(ground: Ground) -> Limits:
    """Of each cable from one stop to another."""
    for run in cable_runs(ground.job):
        spans = [ground.job.spans[name] for name in run.spans]
        longest = max(spans, key=lambda one: one.length_m.expected)
        stops = {ground.job.boxes[end.box].stop for end in (longest.a, longest.b)}
        if len(stops) < 2:
            continue
        path = ("spans", longest.id, "length_m")
        stands = value_at(ground.doc, path)
        now = _expected(stands)

        def ends_at(
            metres: float, path: Path = path, stands: Any = stands, now: float = now
        ) -> str:
            return held_by(ground, _set(path, _scaled(stands, metres / now)))

        most, why = yield from stretching(ends_at, now, FARTHEST_M, TO_M)
        yield Limit(
            say("limit-length", span=longest.id, metres=most, now=now, by=why), path, most, now
        )


def _loads(ground: Ground) -> Limits:
    """Of each endpoint, by the watts of its sheet."""
    for box in ground.job.boxes.values():
        path = ("sheets", box.sheet.id, "watts")
        sheet = _sheet(ground, box.sheet.id)
        if box.kind != "endpoint" or "watts" not in sheet:
            continue
        stands, now = sheet["watts"], box.sheet.watts.high
        if not 0 < now < MOST_WATTS:
            continue

        def ends_at(
            watts: float,
            sheet: Mapping[str, Any] = sheet,
            path: Path = path,
            stands: Any = stands,
            now: float = now,
        ) -> str:
            more = {**sheet, "watts": _scaled(stands, watts / now)}
            return held_by(ground, _set(path[:2], more))

        most, why = yield from stretching(ends_at, now, MOST_WATTS, TO_WATTS)
        yield Limit(say("limit-load", box=box.id, watts=most, now=now, by=why), path, most, now)


def _heat(ground: Ground) -> Limits:
    """The hottest day, where the site says how hot it gets."""
    path = ("site", "ambient_c")
    stands = ground.doc.get("site", {}).get("ambient_c")
    if stands is None:
        return
    now = float(stands["high"] if isinstance(stands, Mapping) else stands)
    if not now < HOTTEST_C:
        return

    def ends_at(celsius: float) -> str:
        hot = {**stands, "high": celsius} if isinstance(stands, Mapping) else celsius
        return held_by(ground, _set(path, hot))

    most, why = yield from stretching(ends_at, now, HOTTEST_C, TO_C)
    yield Limit(say("limit-heat", celsius=most, now=now, by=why), path, most, now)


def _gauges(ground: Ground) -> Limits:
    """The thinnest wire of the longest cable; the size is worked out from the gauge alone."""
    longest = max(ground.job.spans.values(), key=lambda one: one.length_m.expected, default=None)
    if longest is None or longest.cable.awg is None:
        return
    thinnest, why = longest.cable.awg, ""
    for gauge in (one for one in GAUGES if one > longest.cable.awg):
        yield None
        edits = other_gauge(ground, longest.id, gauge)
        why = held_by(ground, edits)
        if why:
            break
        thinnest = gauge
    now = longest.cable.awg
    what = say("limit-gauge", span=longest.id, awg=thinnest, now=now, by=why)
    yield Limit(what, ("spans", longest.id, "cable"), thinnest, now)


SOURCES = (_lengths, _loads, _heat, _gauges)
