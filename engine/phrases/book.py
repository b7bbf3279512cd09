"""The book of phrases: a code's words are registered here, and looked up."""

from __future__ import annotations

from collections.abc import Callable

from attrs import frozen

from engine.say import Say


@frozen
class Phrase:
    """Words for one statement. A step also has its reason, caution and result."""

    text: str
    why: str = ""
    caution: str | None = None


Words = Callable[..., Phrase]
"""what words a statement, by its named parts"""
PHRASES: dict[str, Words] = {}


def phrase(code: str) -> Callable[[Words], Words]:
    """Register the words of a code."""

    def keep(function: Words) -> Words:
        PHRASES[code] = function
        return function

    return keep


def english(statement: Say) -> Phrase:
    """The words of a statement."""
    return PHRASES[statement.code](**statement.parts)


def speeds(mbps: tuple[int, ...]) -> str:
    """A list of speeds as the trade says it: ``10/100``, ``gigabit only``."""
    if tuple(mbps) == (1000,):
        return "gigabit only"
    return "/".join(str(speed) for speed in mbps) + " Mb/s"


FACES = {
    "source": "the feed",
    "endpoint": "the far end",
    "equipment": "equipment, by a patch lead",
    "long-span": "the long cable to its partner",
    "exposed": "the cable that runs outdoors",
    "any": "either side",
}


READINGS = {
    "volts": "volts",
    "milliamps": "amps",
    "watts": "watts",
    "mbps": "link speed",
    "earth_ohms": "earth reading",
    "loop_ohms": "loop ohms",
    "unbalance_ohms": "unbalance",
    "metres": "length",
    "celsius": "temperature",
    "error_count": "error count",
}
WHOLE = frozenset({"milliamps", "mbps", "error_count"})
"""kinds that are told in whole numbers"""
DOUBTS = {
    "length": "longer than 100 m",
    "loss": "too much insertion loss",
    "category": "the cable is not made for it",
}
