"""What each reading says of a fault, and the next test, in words."""

from __future__ import annotations

from typing import Any

from engine.diagnose.candidates import REMAKE
from engine.entries import UNITS
from engine.phrases.book import WHOLE, Phrase, phrase
from engine.phrases.causes import cause_name
from engine.phrases.judging import OPEN_OHMS, amount, figure

FULL_CHANCE, DARK_CHANCE = 0.9, 0.1
MENDS = 0.4
"""chance from which on a new plug may put things right (one of two ends has a half)"""
SHOWS = {
    "full": "the link is untouched",
    "doubtful": "the link is often slow or gone",
    "dark": "no link is left",
}
COME_OUT = {
    "alike": "all pairs are alike",
    "apart": "pairs stand apart",
    "some-open": "some pair does not close",
    "all-open": "no pair closes",
}

OF = {"loop_ohms": ", loop", "unbalance_ohms": ", unbalance", "metres": ", marks"}
"""what of a span was read; the unit says it of a point"""

Stood = tuple[tuple[str, float], ...]
"""what stood there: boxes with the watts that stood in for them, 0 for off"""
Ends = tuple[float | None, float | None]


def seen(at: str, kind: str, value: float, stood: Stood) -> str:
    """What was read, and what stood there."""
    told = [
        "nothing beyond" if box == "*" else f"{watts:g} W for {box}" if watts else f"{box} off"
        for box, watts in stood
    ]
    listed = ", ".join(told)
    where = f"{at}{OF.get(kind, '')}{f' with {listed}' if listed else ''}"
    if kind == "mbps":
        return f"{where}: {value:.0f} Mb/s" if value else f"{where}: no link"
    return f"{where}: {figure(value, kind)}"


def between(ends: Ends, kind: str) -> str:
    """Two ends of what is foretold, as fine as they lie apart."""
    low, high = ends
    if low is None and high is None:
        return "nothing steady"
    if low is None or high is None:
        side = "up to" if low is None else "from"
        return f"{side} {_round(low or high or 0.0, 1.0, kind)} {UNITS[kind]}"
    first, last = (_round(end, high - low, kind) for end in (low, high))
    both = first if first == last else f"{first} to {last}"
    return f"{both} {UNITS[kind]}"


def _round(value: float, apart: float, kind: str) -> str:
    decimals = 0 if kind in WHOLE or apart > 50 else 2 if apart < 1 else 1
    return f"{value:.{decimals}f}"


def _with(told: str, shows: str, without: str) -> Phrase:
    """What was read, what the fault shows there, and what there would be without it."""
    return Phrase(f"{told}. With this fault {shows}, without it {without}.")


@phrase("because-figure")
def _figure(
    at: str, kind: str, value: float, stood: Stood, foretold: Ends, sound: Ends, speaks: str
) -> Phrase:
    it = seen(at, kind, value, stood)
    if speaks == "either":
        return Phrase(f"{it}. As likely with this fault as without it.")
    return _with(it, between(foretold, kind), between(sound, kind))


@phrase("because-moves")
def _moves(
    at: str, kind: str, value: float, stood: Stood, foretold: Ends, sound: Ends, speaks: str
) -> Phrase:
    it = seen(at, kind, value, stood)
    return _with(it, f"it swings, {between(foretold, kind)}", between(sound, kind))


@phrase("because-nothing")
def _nothing(
    at: str, kind: str, value: float, stood: Stood, foretold: Ends, sound: Ends, speaks: str
) -> Phrase:
    return _with(seen(at, kind, value, stood), "nothing is there", between(sound, kind))


@phrase("because-search")
def _search(
    at: str, kind: str, value: float, stood: Stood, foretold: Ends, sound: Ends, speaks: str
) -> Phrase:
    shows = "a port only looks for a box, below 30 V"
    return _with(seen(at, kind, value, stood), shows, between(sound, kind))


@phrase("because-light")
def _light(
    at: str, kind: str, value: float, stood: Stood, planned: int, shows: str, speaks: str
) -> Phrase:
    return _with(seen(at, kind, value, stood), SHOWS[shows], f"{planned} Mb/s")


@phrase("because-frames")
def _frames(
    at: str, kind: str, value: float, stood: Stood, many: bool, bad: bool, speaks: str
) -> Phrase:
    count = f"{seen(at, kind, value, stood)}, {'too many' if many else 'no more than usual'}"
    return _with(count, "many are damaged" if bad else "hardly any are", "hardly any")


@phrase("because-most")
def _most(
    at: str, kind: str, value: float, stood: Stood, most: float, bad: bool, speaks: str
) -> Phrase:
    limit = f"no more than {amount(most, kind)}" if most is not None else "no more"
    return _with(seen(at, kind, value, stood), "more" if bad else limit, limit)


@phrase("because-pairs")
def _pairs(
    at: str,
    kind: str,
    value: float,
    stood: Stood,
    ohms: tuple[float, ...],
    come_out: str,
    speaks: str,
) -> Phrase:
    each = ", ".join(f"{one:.3g} ohm" if one < OPEN_OHMS else "open" for one in ohms)
    return _with(f"{at}, pair by pair: {each}", COME_OUT[come_out], COME_OUT["alike"])


@phrase("because-plan")
def _plan(
    at: str, kind: str, value: float, stood: Stood, sound: Ends, word: str, speaks: str
) -> Phrase:
    it = seen(at, kind, value, stood)
    if word == "no-band":
        return Phrase(f"{it}. There is nothing to hold it against.")
    if word == "inside":
        return Phrase(f"{it}. As it should be.")
    doubt = "Not certain yet; as" if word == "unclear" else "As"
    return Phrase(f"{it}. {doubt} planned it would be {between(sound, kind)}.")


@phrase("because-slip")
def _slip(
    at: str, kind: str, value: float, stood: Stood, sound: Ends, word: str, speaks: str
) -> Phrase:
    return Phrase(f"{seen(at, kind, value, stood)}. All else says {between(sound, kind)}.")


# ---------------------------------------------------------------- the next test


def _walk(stop: str, way: str, to_do: str) -> str:
    """Which way to go, and what to do there."""
    if way == "here":
        return f"Here, {stop}: {to_do}"
    back = "back" if way == "back" else "on"
    return f"Walk {back} to {stop}: {to_do}"


@phrase("test-volts")
def _test_volts(at: str, stop: str, way: str, walk_m: float, minutes: float) -> Phrase:
    return Phrase(_walk(stop, way, f"read volts and amps at {at}, at one moment."))


@phrase("test-known-load")
def _test_known_load(
    at: str, box: str, watts: float, stop: str, way: str, walk_m: float, minutes: float
) -> Phrase:
    to_do = f"put a known load of {watts:g} W in place of {box}, then read volts and amps at {at}."
    return Phrase(_walk(stop, way, to_do))


@phrase("test-unplugged")
def _test_unplugged(
    at: str, box: str, stop: str, way: str, walk_m: float, minutes: float
) -> Phrase:
    return Phrase(_walk(stop, way, f"unplug {box}, then read the volts at {at}."))


@phrase("test-alone")
def _test_alone(at: str, stop: str, way: str, walk_m: float, minutes: float) -> Phrase:
    return Phrase(_walk(stop, way, f"unplug the run at {at}, then read the volts there."))


@phrase("test-remake")
def _test_remake(at: str, span: str, stop: str, way: str, walk_m: float, minutes: float) -> Phrase:
    to_do = (
        f"have the run switched off and prove it. Cut off the plug of {span} at {at}, make it "
        "anew, and look whether that was it."
    )
    return Phrase(_walk(stop, way, to_do))


@phrase("test-link")
def _test_link(at: str, stop: str, way: str, walk_m: float, minutes: float) -> Phrase:
    return Phrase(_walk(stop, way, f"look at the link's speed at {at}."))


@phrase("test-loop")
def _test_loop(
    at: str, far_end: str, far: str, stop: str, way: str, walk_m: float, minutes: float
) -> Phrase:
    to_do = (
        f"have the run switched off and prove it. Unplug {at} at both ends, short it at its "
        f"{far_end} end, {far}, and read the loop of each pair."
    )
    return Phrase(_walk(stop, way, to_do))


@phrase("test-metres")
def _test_metres(
    at: str, far_end: str, far: str, stop: str, way: str, walk_m: float, minutes: float
) -> Phrase:
    to_do = f"read the metre marks of {at} here and at its {far_end} end, {far}."
    return Phrase(_walk(stop, way, to_do))


@phrase("why-test-parts")
def _why_parts(kind: str, foretold: tuple[tuple[Any, ...], ...]) -> Phrase:
    told = [f"{cause_name(cause, at)}: {_shows(kind, *shows)}" for cause, at, *shows in foretold]
    text = "; ".join(told)
    return Phrase(f"{text[:1].upper()}{text[1:]}.")


@phrase("why-test-narrows")
def _why_narrows(kind: str) -> Phrase:
    return Phrase("It settles nothing by itself, but tells most for its minutes.")


def _shows(kind: str, mean: float, sd: float, come_out: str) -> str:
    """What a cause foretells of a test."""
    if kind == "mbps":
        word = "full" if mean >= FULL_CHANCE else "dark" if mean <= DARK_CHANCE else "doubtful"
        return {"full": "full speed", "doubtful": "full speed or less", "dark": "no link"}[word]
    if kind == REMAKE:
        return "may put it right" if mean >= MENDS else "changes nothing"
    if come_out == "all-open":
        return COME_OUT[come_out]
    figure = between((max(mean - 2 * sd, 0.0), mean + 2 * sd), kind)
    return figure if come_out in ("", "alike") else f"{figure}, {COME_OUT[come_out]}"
