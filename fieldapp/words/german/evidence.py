"""What each reading says of a fault, and the next test, in German."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.words.english.evidence import _OPEN, _Ends, _figure, _Stood
from fieldapp.words.german.causes import cause_name
from fieldapp.words.german.figures import (
    NBSP,
    comma,
    plain_number,
    point,
    speed,
    spot,
    unit_of,
    with_unit,
)
from fieldapp.words.german.said import says

SHOWN_BY: Mapping[str, str] = {
    "full": "weiter Verbindung",
    "doubtful": "oft langsam oder weg",
    "dark": "keine Verbindung",
}
PAIRS_BY: Mapping[str, str] = {
    "alike": "alle gleich",
    "apart": "ungleich",
    "some-open": "einige offen",
    "all-open": "alle offen",
}


def _ends(ends: _Ends, kind: str) -> str:
    """``40,6 bis 41,5 V``: two ends of what is foretold."""
    low, high = ends
    if low is None or high is None:
        side, end = ("bis zu", high) if low is None else ("ab", low)
        if end is None:
            return "nichts Stetiges"
        return f"{side} {comma(_figure(end, 1.0, kind))}{NBSP}{unit_of(kind)}"
    first, last = (comma(_figure(end, high - low, kind)) for end in (low, high))
    return f"{first if first == last else f'{first} bis {last}'}{NBSP}{unit_of(kind)}"


def _seen(at: str, kind: str, value: float, stood: _Stood) -> str:
    told = [
        "nichts dahinter"
        if box == "*"
        else f"{plain_number(watts)}{NBSP}W"
        if watts
        else f"{box} aus"
        for box, watts in stood
    ]
    where = f"{spot(at)}, {', '.join(told)}:" if told else spot(at)
    return f"**{where} {with_unit(value, kind)}**"


def _said(seen: str, so: str, sound: str) -> str:
    return f"{seen}: mit Fehler {so}, ohne {sound}."


@says("because-figure")
def _because_figure(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    seen = _seen(at, kind, value, stood)
    if speaks == "either":
        return f"{seen}: ohne den Fehler ebenso zu erwarten."
    return _said(seen, _ends(foretold, kind), _ends(sound, kind))


@says("because-moves")
def _because_moves(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    swings = f"schwankend, {_ends(foretold, kind)}"
    return _said(_seen(at, kind, value, stood), swings, _ends(sound, kind))


@says("because-nothing")
def _because_nothing(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    return _said(_seen(at, kind, value, stood), "nichts", _ends(sound, kind))


@says("because-search")
def _because_search(
    at: str, kind: str, value: float, stood: _Stood, foretold: _Ends, sound: _Ends, speaks: str
) -> str:
    return _said(_seen(at, kind, value, stood), "nur Suche nach einer Box", _ends(sound, kind))


@says("because-light")
def _because_light(
    at: str, kind: str, value: float, stood: _Stood, planned: int, shows: str, speaks: str
) -> str:
    return _said(_seen(at, kind, value, stood), SHOWN_BY[shows], speed(planned))


@says("because-frames")
def _because_frames(
    at: str, kind: str, value: float, stood: _Stood, many: bool, bad: bool, speaks: str
) -> str:
    usual = "zu viele" if many else "nicht mehr als üblich"
    number = f"{value:.0f} {'defekter Frame' if round(value) == 1 else 'defekte Frames'}"
    return _said(
        f"**{spot(at)} {number}**, {usual}", "viele" if bad else "kaum welche", "kaum welche"
    )


@says("because-most")
def _because_most(
    at: str, kind: str, value: float, stood: _Stood, most: float | None, bad: bool, speaks: str
) -> str:
    limit = f"höchstens {with_unit(most, kind)}" if most is not None else "nicht mehr"
    return _said(_seen(at, kind, value, stood), "mehr" if bad else limit, limit)


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
    each = "; ".join(comma(f"{one:.3g}{NBSP}Ω") if one < _OPEN else "offen" for one in ohms)
    return _said(f"**{at}, Paare {each}**", PAIRS_BY[come_out], PAIRS_BY["alike"])


@says("because-plan")
def _because_plan(
    at: str, kind: str, value: float, stood: _Stood, sound: _Ends, word: str, speaks: str
) -> str:
    seen = _seen(at, kind, value, stood)
    if word == "no-band":
        return f"{seen}: kein Maßstab dafür."
    if word == "inside":
        return f"{seen}: wie es sein soll."
    doubt = "noch nicht eindeutig; " if word == "unclear" else ""
    return f"{seen}: {doubt}geplant {_ends(sound, kind)}."


@says("because-slip")
def _because_slip(
    at: str, kind: str, value: float, stood: _Stood, sound: _Ends, word: str, speaks: str
) -> str:
    return f"{_seen(at, kind, value, stood)}: Alles andere spricht für {_ends(sound, kind)}."


# ---------------------------------------------------------------- the next test


@says("test-volts")
def _test_volts(at: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"dann Volt und Ampere zugleich an {point(at)}"


@says("test-known-load")
def _test_known_load(
    at: str, box: str, watts: float, stop: str, way: str, walk_m: float, minutes: float
) -> str:
    load = f"{plain_number(watts)}{NBSP}W"
    return f"dann bekannte Last von {load} statt {box}, Volt und Ampere an {spot(at)}"


@says("test-unplugged")
def _test_unplugged(at: str, box: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"dann {box} abziehen, und Volt an {point(at)}"


@says("test-alone")
def _test_alone(at: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"dann die Linie abziehen, und Volt an {point(at)}"


@says("test-remake")
def _test_remake(at: str, span: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"Ein neuer Stecker von {span} an {spot(at)} könnte es: vorher den Strom aus."


@says("test-link")
def _test_link(at: str, stop: str, way: str, walk_m: float, minutes: float) -> str:
    return f"dann das Tempo der Verbindung an {point(at)}"


@says("test-loop")
def _test_loop(
    at: str, far_end: str, far: str, stop: str, way: str, walk_m: float, minutes: float
) -> str:
    return (
        "dann, abgeschaltet und auf Spannungsfreiheit geprüft, "
        f"die Schleife von {at}, alle Paare, Kurzschluss an {spot(far_end)}"
    )


@says("test-metres")
def _test_metres(
    at: str, far_end: str, far: str, stop: str, way: str, walk_m: float, minutes: float
) -> str:
    return f"dann die Längenmarken von {at}, hier und an {point(far_end)}"


@says("why-test-parts")
def _why_parts(kind: str, foretold: tuple[tuple[Any, ...], ...]) -> str:
    first, second, *others = (_cause(cause, at) for cause, at, *_ in foretold)
    if not others:
        return f"Das trennt zwei Ursachen: {first} oder {second}."
    more = "eine weitere" if len(others) == 1 else f"{len(others)} weitere"
    return f"Das trennt {len(foretold)} Ursachen: {first}, {second} und {more}."


def _cause(cause: str, at: str | tuple[tuple[str, str], ...]) -> str:
    if not isinstance(at, str):
        return f"zwei zugleich ({', '.join(spot(where) for _, where in at)})"
    return f"{cause_name(cause)} ({spot(at)})" if at else cause_name(cause)


@says("why-test-narrows")
def _why_narrows(kind: str) -> str:
    return "Allein entscheidet das nichts, sagt aber am meisten für seine Minuten."
