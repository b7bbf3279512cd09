"""Causes by a short name; what is said of one that was found."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.figures import spot
from fieldapp.words.english.said import says

CAUSES: Mapping[str, str] = {
    "none": "nothing wrong",
    "other": "something else",
    "source.dead": "source gives nothing",
    "source.low": "source gives too few volts",
    "source.soft": "source sags under load",
    "port.off": "port switched off",
    "port.refused": "port finds no box to feed",
    "port.trip": "port lets go under load",
    "port.class": "first box asks too little",
    "budget.shed": "supply out of watts",
    "feed.twice": "fed from two sides",
    "span.high": "span resists too much",
    "cable.clad": "clad wire in the cable",
    "cable.thin": "wire too thin",
    "cable.long": "longer than planned",
    "cable.hot": "hotter than planned",
    "span.open": "span broken",
    "span.short": "span shorted",
    "joint.high": "bad end of a span",
    "joint.wet": "wet joint",
    "contact.high": "one bad contact",
    "pairs.lost": "one set of pairs lost",
    "pair.split": "split pair",
    "pair.crossed": "crossed pairs",
    "load.heavy": "far end draws too much",
    "load.off": "far end draws next to nothing",
    "load.varies": "far end draws unsteadily",
    "box.reversed": "box the wrong way round",
    "units.same-way": "two units the same way round",
    "box.dead": "box dead",
    "box.heavy": "box draws too much itself",
    "box.starved": "box below its turn-on volts",
    "box.restart": "box starts over and over",
    "box.no-pass": "box lets no power on",
    "arrestor.open": "arrestor open",
    "arrestor.short": "arrestor shorted",
    "arrestor.reversed": "arrestor the wrong way round",
    "earth.open": "earth not bonded",
    "earth.high": "earth with too many ohms",
    "link.slow-endpoint": "far end too slow for its link",
    "link.pair-open": "one wire open",
    "link.too-long": "too long for its link",
    "link.setting": "link set by hand",
    "link.noise": "noise on the cable",
    "link.port-down": "data port switched off",
    "reading.typed": "figure mistyped",
    "reading.unit": "figure in another unit",
    "reading.place": "figure of another point",
    "reading.state": "far end was off while read",
    "reading.ac": "dial on alternating volts",
    "reading.lead": "ohms of the probes in it",
    "reading.no-short": "far end not shorted while read",
}
"""every cause that can be found; a test holds it against the engine's list"""

NOT_ONE = {"pair": "two at once"}
"""what is weighed and no cause of its own"""


def cause_name(cause: str) -> str:
    """A cause in a few words; one that is not known here goes by its own id."""
    return NOT_ONE.get(cause) or CAUSES.get(cause, cause)


@says("hold-found")
def _hold_found(at: str, cause: str) -> str:
    return f"**Found at {spot(at)}, not mended**: {cause_name(cause)}."


@says("odd-cause")
def _odd_cause(entry: str, cause: str, near: str | None) -> str:
    meant = f" Nearest: {cause_name(near)}." if near else ""
    return f"Something was found that **this version has no name for**: {cause}.{meant}"
