"""Causes, places, sizes and odds in a few words, for sentences and lists."""

from __future__ import annotations

from collections.abc import Mapping

ODDS = ((0.95, "almost surely"), (0.7, "likely"), (0.4, "perhaps"), (0.15, "less likely"))


def odds(chance: float) -> str:
    """How likely, in a word and as so many in ten.

    >>> odds(0.93), odds(0.62), odds(0.01), odds(0.97)
    ('likely, 9 in 10', 'perhaps, 6 in 10', 'hardly, under 1 in 20', 'almost surely, over 9 in 10')
    """
    word = next((name for least, name in ODDS if chance >= least), "hardly")
    if chance < 0.05:
        return f"{word}, under 1 in 20"
    if chance >= 0.95:
        return f"{word}, over 9 in 10"
    return f"{word}, {max(round(10 * chance), 1)} in 10"


NAMES: Mapping[str, str] = {
    "none": "nothing wrong",
    "other": "something else",
    "pair": "two at once",
    "source.dead": "{at} gives nothing",
    "source.low": "{at} gives too little",
    "feed.twice": "{at} fed from two sides",
    "source.soft": "{at} sags",
    "port.off": "{at}'s port off",
    "port.refused": "{at} finds no box",
    "port.trip": "{at} lets go",
    "budget.shed": "{at} out of watts",
    "span.high": "{at} resists throughout",
    "span.open": "{at} open",
    "span.short": "{at} shorted",
    "joint.high": "a bad end of {at}",
    "joint.wet": "a wet end of {at}",
    "contact.high": "one bad contact of {at}",
    "pairs.lost": "a set of pairs lost in {at}",
    "pair.split": "a split pair in {at}",
    "pair.crossed": "crossed pairs in {at}",
    "load.heavy": "{at} draws too much",
    "load.off": "{at} draws nothing",
    "load.varies": "{at} draws unevenly",
    "box.reversed": "{at} the wrong way round",
    "box.dead": "{at} does nothing",
    "box.heavy": "{at} draws too much",
    "box.restart": "{at} restarts",
    "box.no-pass": "{at} keeps the power",
    "arrestor.open": "{at} open",
    "arrestor.short": "{at} shorted",
    "earth.open": "{at} bonded to nothing",
    "earth.high": "{at} resists too much",
    "link.slow-endpoint": "{at} without gigabit",
    "link.pair-open": "an open wire in {at}",
    "link.too-long": "{at} too long for its link",
    "link.noise": "noise beside {at}",
    "link.port-down": "data off at {at}",
    "reading.typed": "{at} mistyped",
    "reading.unit": "{at} in another unit",
    "reading.place": "{at} read elsewhere",
    "reading.ac": "{at} read as alternating",
    "reading.state": "{at} was off",
    "reading.lead": "the probes of {at}",
    "reading.no-short": "{at} not shorted",
}

SPAN_KINDS: Mapping[str, str] = {
    "clad": "clad wire",
    "thin": "thin wire",
    "long": "more metres than planned",
    "hot": "heat",
}
"""what a span that resists may be at heart"""


def cause_name(cause: str, at: str | tuple[tuple[str, str], ...]) -> str:
    """A cause and its place in a few words, for lists; of two at once both."""
    if not isinstance(at, str):
        return " and ".join(cause_name(*part) for part in at)
    return NAMES[cause].format(at=at)


def run(at: str, near: str, far: str) -> str:
    """A span with its stops: ``C4, sluice to hide,``."""
    return f"{at}, {near} to {far}," if near != far else f"{at}, at {near},"


LEAST = 0.1
"""a size below this is told as under it"""


def about(value: float | None, begins: str, unit: str = "", digits: int = 2) -> str:
    """A size to so many digits, with what leads up to it; nothing where it is not known."""
    if value is None:
        return ""
    if 0 <= value < LEAST:
        return f"{begins.replace('about', 'under')}{LEAST:g}{unit}"
    shown = f"{value:.{digits}g}" if abs(value) < 10**digits else f"{value:.0f}"
    return f"{begins}{shown}{unit}"
