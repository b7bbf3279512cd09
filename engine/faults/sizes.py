"""How often each fault is met, how large it is, and what a link's lights show of it.

All of it is from memory: contract values, the reference's priors, and estimates of ours where
both are silent. Whoever uses the app replaces the rates by what was found.
"""

from __future__ import annotations

from collections.abc import Callable

from attrs import frozen

from engine.standards import Sourced, table

_CONTRACT = "job format, section 5"
_CAUSES = "our table of causes"
_OURS = "our estimate: nothing was measured"


def _size(id_: str, source: str, unit: str, low: float, expected: float, high: float) -> Sourced:
    return Sourced(id_, expected, unit, source, "from memory", low=low, high=high)


SIZES = table(
    _size("source.low", f"{_CONTRACT}, of the low volts", "1", 0.85, 0.91, 0.97),
    _size("feed.twice", f"{_OURS}; another supply, above the plan's highest volts", "V", 0.5, 2, 4),
    _size("source.soft", _OURS, "ohm", 0.8, 2, 5),
    _size("span.high", _CONTRACT, "1", 1.2, 1.55, 2),
    _size("span.high hot", f"{_OURS}; 25 to 65 K above the plan, copper", "1", 1.1, 1.15, 1.25),
    _size("joint.high", f"{_CONTRACT}, loop ohms", "ohm", 1, 4.5, 12),
    _size("contact.high", _OURS, "ohm", 1, 5, 20),
    _size("load.heavy", f"{_CONTRACT}, of the high watts", "1", 1.05, 1.35, 1.8),
    _size("load.off", f"{_CONTRACT}, of the expected watts", "1", 0, 0.03, 0.1),
    _size("load.varies", f"{_OURS}; either way", "%", 40, 60, 80),
    _size("box.heavy", f"{_CONTRACT}, of the high own watts", "1", 1.2, 2.2, 3.5),
    _size("link.too-long", f"{_OURS}; of the planned length", "1", 1.03, 1.06, 1.12),
    _size("frames", f"{_OURS}; damaged in 15 minutes", "frames", 20, 200, 5000),
    _size("earth.high", f"{_OURS}; of the target", "1", 1.3, 3, 10),
    _size("earth.open", f"{_OURS}; a rod with no bond to it", "ohm", 300, 1000, 2000),
    _size("reading.lead", "causes of the readings", "ohm", 0.2, 0.4, 0.6),
)
"""low, expected and high of what a cause adds or multiplies; drawn as a triangle"""

LIGHTS = table(
    Sourced("light pairs.lost", 0.02, "1", f"{_CONTRACT}: full speed is seen", "from memory"),
    Sourced("light joint.high", 0.6, "1", f"{_CONTRACT}: full speed is seen", "from memory"),
    Sourced("light contact.high", 0.5, "1", f"{_CONTRACT}: full speed is seen", "from memory"),
    Sourced("light pair.split", 0.5, "1", f"{_OURS}: full speed is seen", "from memory"),
    Sourced("light pair.crossed", 0, "1", "the cause itself", "common practice"),
    Sourced("light link.pair-open", 0, "1", "the cause itself", "common practice"),
    Sourced("light link.too-long", 0, "1", "the cause itself", "common practice"),
    *(
        Sourced(f"slower {cause}", share, "1", f"{_CAUSES}: {trace}; share ours", "from memory")
        for cause, share, trace in (
            ("pairs.lost", 0.5, "100 or dead"),
            ("joint.high", 0.5, "errors, 100 or dead"),
            ("contact.high", 0.9, "100 or errors"),
            ("pair.split", 0.95, "100 or errors with length"),
            ("pair.crossed", 0.5, "100 or none"),
            ("link.pair-open", 0.5, "100 or none"),
            ("link.too-long", 0.5, "none, errors, or lower speed"),
        )
    ),
)
"""what a link over the bad place shows: the chance that it is full speed all the same, and of
what is not the share that is a slower one; the rest is none"""


@frozen
class Light:
    """What a link shows: how likely full speed is, and of the rest the share that is slower."""

    full: float
    slower: float


def light(cause: str) -> Light:
    """What a link over a place with this cause shows."""
    return Light(LIGHTS[f"light {cause}"].value, LIGHTS[f"slower {cause}"].value)


_EACH_END = 2


def _rate(
    cause: str, first: float, later: float | None, per: str, source: str
) -> tuple[Sourced, ...]:
    rows = [(f"{cause} first", first)]
    if later is not None:
        rows.append((f"{cause} return", later))
    return tuple(Sourced(ident, value, per, source, "from memory") for ident, value in rows)


RATES = table(
    *_rate("source.dead", 0.002, None, "per source", _OURS),
    *_rate("source.low", 0.01, None, "per source", _CONTRACT),
    *_rate("feed.twice", 0.002, None, "per source", _OURS),
    *_rate("source.soft", 0.005, None, "per source", _OURS),
    *_rate("port.off", 0.02, None, "per source", _CAUSES),
    *_rate("port.refused", 0.005, None, "per source", _OURS),
    *_rate("port.trip", 0.01, None, "per source", _OURS),
    *_rate("port.class", 0.03, None, "per source with classes", f"{_CAUSES}: class or budget 3 %"),
    *_rate("budget.shed", 0.03, None, "per source that shares", f"{_CAUSES}: class or budget 3 %"),
    *_rate("span.high", 0.02, 0.005, "per span", f"{_CAUSES}: clad or thin 1 %, longer 1 %"),
    *_rate("span.open", 0.002, None, "per span", _OURS),
    *_rate("span.short", 0.001, None, "per span", _OURS),
    *_rate("joint.high", 0.003 * _EACH_END, 0.003 * _EACH_END, "per span", f"{_CAUSES}, each end"),
    *_rate("joint.wet", 0.0, 0.02 * _EACH_END, "per span", f"{_CAUSES}, each end, return visit"),
    *_rate("contact.high", 0.01 * _EACH_END, None, "per span", f"{_CAUSES}, each end"),
    *_rate("pairs.lost", 0.005, None, "per span", _CONTRACT),
    *_rate("pair.split", 0.002, 0.0, "per span", _OURS),
    *_rate("pair.crossed", 0.002, 0.0, "per span", _OURS),
    *_rate("load.heavy", 0.01, None, "per endpoint", _CONTRACT),
    *_rate("load.off", 0.01, None, "per endpoint", _CONTRACT),
    *_rate("load.varies", 0.005, None, "per endpoint", _OURS),
    *_rate("box.reversed", 0.02, 0.0, "per box", _CAUSES),
    *_rate("box.dead", 0.003, None, "per box", _CAUSES),
    *_rate("box.heavy", 0.003, None, "per box", _CAUSES),
    *_rate("box.restart", 0.001, None, "per box", _OURS),
    *_rate("box.no-pass", 0.01, None, "per box", _CAUSES),
    *_rate("arrestor.open", 0.001, None, "per arrestor", _OURS),
    *_rate("arrestor.short", 0.001, 0.03, "per arrestor", f"{_CAUSES}, after a storm 3 %"),
    *_rate("earth.open", 0.005, None, "per earth", _OURS),
    *_rate("earth.high", 0.01, None, "per earth", _OURS),
    *_rate("link.slow-endpoint", 0.005, 0.0, "per endpoint at a gigabit-only link", _OURS),
    *_rate("link.pair-open", 0.003, None, "per span", _OURS),
    *_rate("link.too-long", 0.002, 0.0, "per span", _OURS),
    *_rate("link.noise", 0.002, None, "per span", _OURS),
    *_rate("link.port-down", 0.003, None, "per link", _OURS),
    *_rate("reading.typed", 0.01, None, "per reading", _CAUSES),
    *_rate("reading.unit", 0.002, None, "per reading", _CAUSES),
    *_rate("reading.place", 0.005, None, "per reading", _CAUSES),
    *_rate("reading.state", 0.002, None, "per endpoint", _OURS),
    *_rate("reading.ac", 0.001, None, "per reading", _OURS),
    *_rate("reading.lead", 0.005, None, "per meter", _OURS),
    *_rate("reading.no-short", 0.002, None, "per span read", _OURS),
    *_rate("other", 0.02, None, "per visit", _CONTRACT),
)
"""how often a fault is there at one place, on a first visit and on a return"""


def rate(cause: str, *, first: bool = True) -> float:
    """How often a cause is there at one of its places."""
    later = RATES.get(f"{cause} return")
    return (RATES[f"{cause} first"] if first or later is None else later).value


Rates = Callable[[str], float]
"""how often a cause is there at one of its places, from 0 to below 1"""


SEARCH_VOLTS = Sourced(
    "search-volts", 30, "V", "a port that looks for a box: most", "common practice", "most"
)

CHANCES = table(
    Sourced("light sound", 0.995, "1", f"{_CONTRACT}: full speed is seen", "from memory"),
    Sourced("slower sound", 0.9, "1", f"{_OURS}: where it is not full", "from memory"),
    Sourced("slower other", 0.5, "1", f"{_OURS}: where it is not full", "from memory"),
    Sourced("light other", 0.5, "1", f"{_CONTRACT}: full speed is seen", "from memory"),
    Sourced("slower flapping", 0.1, "1", f"{_OURS}: where it is not full", "from memory"),
    Sourced("light flapping", 0.5, "1", f"{_OURS}: full speed is caught", "from memory"),
    Sourced("light dark", 0.005, "1", f"{_OURS}: full speed is written down", "from memory"),
    Sourced("frames sound", 0.01, "1", f"{_OURS}: more than allowed", "from memory"),
    Sourced("frames bad", 0.9, "1", f"{_OURS}: more than allowed", "from memory"),
    Sourced("over most sound", 0.01, "1", f"{_OURS}: over its most", "from memory"),
    Sourced("over most bad", 0.85, "1", f"{_OURS}: over its most", "from memory"),
    Sourced("pair open sound", 0.002, "1", f"{_OURS}: a pair does not close", "from memory"),
    Sourced("pair open bad", 0.97, "1", f"{_OURS}: a pair does not close", "from memory"),
)
"""how readily something is seen that is a yes or no"""
UNEVEN = (0.06, 0.15, 0.3, 0.6)
"""share of its extra ohms by which an end's pairs differ, each as likely (from memory)"""
CONTACT_OHMS = (0.7, 2.0, 5.0, 10.0, 20.0)
"""what one bad contact may add to its pair, each as likely (our choice) [ohm]"""
