"""What each reading says of a fault, and the next test."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from fieldapp.words import units
from fieldapp.words.english.causes import cause_name
from fieldapp.words.english.figures import NBSP, point, speed, spot, unit_of, with_unit
from fieldapp.words.english.said import says

SHOWN_BY: Mapping[str, str] = {
    "full": "the link stays",
    "doubtful": "often slow or gone",
    "dark": "no link",
}
PAIRS_BY: Mapping[str, str] = {
    "alike": "all alike",
    "apart": "they stand apart",
    "some-open": "some do not close",
    "all-open": "none closes",
}
_OPEN = 1e5


_Ends: TypeAlias = tuple[float | None, float | None]
"""what is foretold of a figure: its low and its high end, None where there is no telling"""
_Stood: TypeAlias = tuple[tuple[str, float], ...]
"""what stood behind a reading's place: a box, or ``*`` for all, and its watts"""


def _ends(ends: _Ends, kind: str) -> str:
    """``40.6 to 41.5 V``: two ends of what is foretold."""
    low, high = ends
    if low is None or high is None:
        side, end = ("up to", high) if low is None else ("from", low)
        if end is None:
            return "nothing steady"
        return f"{side} {_figure(end, 1.0, kind)}{NBSP}{unit_of(kind)}"
    first, last = (_figure(end, high - low, kind) for end in (low, high))
    return f"{first if first == last else f'{first} to {last}'}{NBSP}{unit_of(kind)}"


_WHOLE = frozenset({"milliamps", "mbps", "error_count"})
"""kinds that are told in whole numbers"""


def _figure(value: float, apart: float, kind: str) -> str:
    value, apart = units.shown(value, kind), units.shown(apart, kind)
    decimals = 0 if kind in _WHOLE or apart > 50 else 2 if apart < 1 else 1
    return f"{value:.{decimals}f}"


def _seen(at: str, kind: str, value: float, stood: _Stood) -> str:
    told = [
        "nothing beyond" if box == "*" else f"{watts:g}{NBSP}W" if watts else f"{box} off"
        for box, watts in stood
    ]
    where = f"{spot(at)}, {', '.join(told)}" if told else spot(at)
    return f"**{where} {with_unit(value, kind)}**"


def _said(seen: str, so: str, sound: str) -> str:
    return f"{seen}: with it {so}, without {sound}."


@says("because-figure")
def _because_figure(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    seen = _seen(at, kind, value, stood)
    if speaks == "either":
        return f"{seen}: as likely without it."
    return _said(seen, _ends(foretold, kind), _ends(sound, kind))


@says("because-moves")
def _because_moves(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    seen = _seen(at, kind, value, stood)
    return _said(seen, f"it swings, {_ends(foretold, kind)}", _ends(sound, kind))


@says("because-nothing")
def _because_nothing(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    return _said(_seen(at, kind, value, stood), "nothing", _ends(sound, kind))


@says("because-search")
def _because_search(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    return _said(_seen(at, kind, value, stood), "it only looks for a box", _ends(sound, kind))


@says("because-light")
def _because_light(
    at: str, kind: str, value: float, stood: _Stood, planned: int, shows: str, speaks: str
) -> str:
    return _said(_seen(at, kind, value, stood), SHOWN_BY[shows], speed(planned))


@says("because-frames")
def _because_frames(
    at: str, kind: str, value: float, stood: _Stood, many: bool, bad: bool, speaks: str
) -> str:
    usual = "too many" if many else "no more than usual"
    seen = f"**{spot(at)} {value:.0f} bad frames**, {usual}"
    return _said(seen, "many" if bad else "hardly any", "hardly any")


@says("because-most")
def _because_most(
    at: str, kind: str, value: float, stood: _Stood, most: float | None, bad: bool, speaks: str
) -> str:
    limit = f"{with_unit(most, kind)} at most" if most is not None else "no more"
    return _said(_seen(at, kind, value, stood), "more" if bad else limit, limit)


@says("because-pairs")
def _because_pairs(
    at: str,
    kind: str,
    value: float,
    stood: _Stood,
    ohms: tuple[float, ...],
    come_out: str,
    speaks: str,
) -> str:
    each = ", ".join(f"{one:.3g}{NBSP}Ω" if one < _OPEN else "open" for one in ohms)
    return _said(f"**{at}, pairs {each}**", PAIRS_BY[come_out], PAIRS_BY["alike"])


@says("because-plan")
def _because_plan(
    at: str, kind: str, value: float, stood: _Stood, sound: _Ends, word: str, speaks: str
) -> str:
    seen = _seen(at, kind, value, stood)
    if word == "no-band":
        return f"{seen}: nothing to judge by."
    if word == "inside":
        return f"{seen}: as it should be."
    doubt = "not certain yet; " if word == "unclear" else ""
    return f"{seen}: {doubt}as planned {_ends(sound, kind)}."


@says("because-slip")
def _because_slip(
    at: str, kind: str, value: float, stood: _Stood, sound: _Ends, word: str, speaks: str
) -> str:
    return f"{_seen(at, kind, value, stood)}: all else says {_ends(sound, kind)}."


# ---------------------------------------------------------------- the next test


@says("test-volts")
def _test_volts(at: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"then volts and amps at {point(at)}, at one moment"


@says("test-known-load")
def _test_known_load(
    at: str, box: str, watts: float, stop: str, way: str, walk_m: float, minutes: float
) -> str:
    return f"then a known load of {watts:g}{NBSP}W in place of {box}, volts and amps at {spot(at)}"


@says("test-unplugged")
def _test_unplugged(at: str, box: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"then {box} unplugged, and volts at {point(at)}"


@says("test-alone")
def _test_alone(at: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"then the run unplugged, and volts at {point(at)}"


@says("test-remake")
def _test_remake(at: str, span: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"A new plug of {span} at {point(at)} may: first the power off."


@says("test-link")
def _test_link(at: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"then the link's speed at {point(at)}"


@says("test-loop")
def _test_loop(
    at: str, far_end: str, far: str, stop: str, way: str, walk_m: float, minutes: float
) -> str:
    return f"then, switched off and proved, the loop of {at}, all pairs, shorted at {spot(far_end)}"


@says("test-metres")
def _test_metres(
    at: str, far_end: str, far: str, stop: str, way: str, walk_m: float, minutes: float
) -> str:
    return f"then the marks of {at}, here and at {point(far_end)}"


@says("why-test-parts")
def _why_parts(kind: str, foretold: tuple[tuple[Any, ...], ...]) -> str:
    first, second, *others = (_cause(cause, at) for cause, at, *_ in foretold)
    more = f", and {len(others)} more" if others else ""
    return f"It parts {first} from {second}{more}."


def _cause(cause: str, at: str | tuple[tuple[str, str], ...]) -> str:
    if not isinstance(at, str):
        return f"{cause_name(cause)} ({', '.join(spot(where) for _, where in at)})"
    return f"{cause_name(cause)} ({spot(at)})" if at else cause_name(cause)


@says("why-test-narrows")
def _why_narrows(kind: str) -> str:
    return "It settles nothing by itself, but tells most for its minutes."
