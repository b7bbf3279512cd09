"""Places of the app and the stack of views behind each. A square code can hold the same route."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import parse_qs, quote, unquote, urlencode, urlsplit

JOBS = "/"
NEW = "/new"
SAMPLES = "/samples"
SETTINGS = "/settings"
SHAPES = "/shapes"
PRACTICE = "/practice"
ALONE = "*"
"""on the pad, in place of a load: nothing beyond this point"""
BAR = ("now", "run", "leave")
"""the places on the bar at the thumb"""


@dataclass(frozen=True)
class Place:
    """A route taken apart: which screen, of which job, and what it speaks of."""

    screen: str
    job: str = ""
    at: str = ""
    kind: str = ""
    beside: str = ""
    """on the pad: the reading whose moment this one shares"""
    again: str = ""
    """on the pad: the reading that this one repeats, in a moment of its own"""
    load: str = ""
    """on the pad: what stands there for it: ``C:15`` a known load of so many watts in place of a
    box, ``C:0`` that box unplugged"""


def place_of(route: str) -> Place:
    """The place of a route; an unknown one leads to the jobs.

    >>> place_of("/j/REEDBED-HIDE/read/L2.in/volts")
    Place(screen='read', job='REEDBED-HIDE', at='L2.in', kind='volts', beside='', again='', load='')
    """
    parts = urlsplit(route)
    words = [unquote(word) for word in parts.path.split("/") if word]
    asked = parse_qs(parts.query)
    match words:
        case ["new"]:
            return Place("new")
        case ["samples"]:
            return Place("samples")
        case ["settings"]:
            return Place("settings")
        case ["settings", "meter"]:
            return Place("meter")
        case ["settings", "meter", meter]:
            return Place("meter", at=meter)
        case ["settings", "everything"]:
            return Place("everything")
        case ["settings", "phone"]:
            return Place("phone")
        case ["shapes"]:
            return Place("shapes")
        case ["settings", "found"]:
            return Place("found", at="return" if "return" in asked else "")
        case ["practice"]:
            return Place("practice")
        case ["j", job, "practice"]:
            return Place("practised", job)
        case ["j", job, "now"]:
            return Place("now", job, asked.get("step", [""])[0])
        case ["j", job, "run"]:
            return Place("run", job, asked.get("at", [""])[0])
        case [
            "j",
            job,
            ("leave" | "steps" | "plan" | "power" | "compare" | "spans" | "sign") as screen,
        ]:
            return Place(screen, job)
        case ["j", job, "hand"]:
            return Place("hand", job)
        case ["j", job, "wires", span]:
            return Place("wires", job, span)
        case ["j", job, "reel", span]:
            return Place("reel", job, span)
        case ["j", job, "reel", span, ("first" | "second" | "ohms" | "celsius" | "grams") as what]:
            return Place("reelpad", job, span, what)
        case ["j", job, "plan", thing]:
            return Place("plan", job, thing)
        case ["j", job, "plan", thing, ("length" | "lead" | "mm2" | "stop") as what]:
            return Place("planpad", job, thing, what)
        case ["j", job, "compare", other]:
            return Place("compare", job, other)
        case ["j", job, ("sheets" | "newsheet" | "whatif") as screen, thing]:
            return Place(screen, job, thing)
        case ["j", job, "fault"]:
            return Place("fault", job, *(asked.get(key, [""])[0] for key in ("where", "cause")))
        case ["j", job, "test", at, kind]:
            return Place("test", job, at, kind, load=asked.get("load", [""])[0])
        case ["j", job, "read", at, kind]:
            return Place("read", job, at, kind, *(asked.get(key, [""])[0] for key in OF_READING))
        case ["j", job, "verdict", reading]:
            return Place("verdict", job, reading)
        case _:
            return Place("jobs")


def route_of(place: Place) -> str:
    """The route of a place."""
    job = f"/j/{quote(place.job)}"
    at = quote(place.at)
    table = {
        "jobs": JOBS,
        "new": NEW,
        "samples": SAMPLES,
        "settings": SETTINGS,
        "found": f"{SETTINGS}/found" + (f"?{place.at}=1" if place.at else ""),
        "meter": f"{SETTINGS}/meter" + (f"/{at}" if at else ""),
        "everything": f"{SETTINGS}/everything",
        "phone": f"{SETTINGS}/phone",
        "shapes": SHAPES,
        "practice": PRACTICE,
        "practised": f"{job}/practice",
        "now": f"{job}/now" + (f"?step={at}" if at else ""),
        "run": f"{job}/run" + (f"?at={at}" if at else ""),
        "leave": f"{job}/leave",
        "steps": f"{job}/steps",
        "hand": f"{job}/hand",
        "sign": f"{job}/sign",
        "power": f"{job}/power",
        "wires": f"{job}/wires/{at}",
        "reel": f"{job}/reel/{at}",
        "reelpad": f"{job}/reel/{at}/{place.kind}",
        "plan": f"{job}/plan" + (f"/{at}" if at else ""),
        "planpad": f"{job}/plan/{at}/{place.kind}",
        "compare": f"{job}/compare" + (f"/{at}" if at else ""),
        "spans": f"{job}/spans",
        "sheets": f"{job}/sheets/{at}",
        "newsheet": f"{job}/newsheet/{at}",
        "whatif": f"{job}/whatif/{at}",
        "read": f"{job}/read/{at}/{place.kind}{_asked(place, *OF_READING)}",
        "verdict": f"{job}/verdict/{at}",
        "fault": f"{job}/fault{_asked(place, where='at', cause='kind')}",
        "test": f"{job}/test/{at}/{place.kind}{_asked(place, 'load')}",
    }
    return table[place.screen]


OF_READING = ("beside", "again", "load")
"""what a pad can be told beside its place and kind"""


def _asked(place: Place, *same: str, **named: str) -> str:
    """What stands behind a route: names, and of which field of the place each is."""
    fields = {**{name: name for name in same}, **named}
    asked = {key: value for key, name in fields.items() if (value := getattr(place, name))}
    return f"?{urlencode(asked)}" if asked else ""


BEHIND = {
    "jobs": None,
    "new": "jobs",
    "samples": "jobs",
    "settings": "jobs",
    "found": "settings",
    "meter": "settings",
    "everything": "settings",
    "phone": "settings",
    "shapes": "settings",
    "practice": "jobs",
    "practised": "now",
    "now": "jobs",
    "run": "jobs",
    "leave": "jobs",
    "steps": "now",
    "hand": "leave",
    "sign": "hand",
    "power": "now",
    "wires": "now",
    "reel": "now",
    "reelpad": "reel",
    "plan": "run",
    "planpad": "plan",
    "compare": "plan",
    "spans": "plan",
    "sheets": "plan",
    "newsheet": "plan",
    "whatif": "plan",
    "read": "now",
    "verdict": "now",
    "fault": "now",
    "test": "fault",
}
"""what lies one level below a screen: the phone's Back goes there"""
SAME_THING = frozenset({"reelpad", "planpad", "sheets", "newsheet", "whatif"})
"""screens that speak of the same thing as the one below"""


def stack_for(route: str) -> tuple[str, ...]:
    """The views from the bottom up to this route.

    >>> stack_for("/j/A/verdict/e1")
    ('/', '/j/A/now', '/j/A/verdict/e1')
    """
    place = place_of(route)
    below = BEHIND[place.screen]
    own = route_of(place)
    if below is None:
        return (own,)
    at = place.at if place.screen in SAME_THING else ""
    return (*stack_for(route_of(Place(below, place.job, at))), own)
