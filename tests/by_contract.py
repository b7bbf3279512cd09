"""A job document read by the words of the contract: its wiring, its numbers, its ohms.

Nothing here imports the engine: it is for the checks against other programs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from jobs import ACTIVE, exact

CORNERS = ("low", "expected", "high")


SPREADS = {
    "volts": (0.98, 1.02),
    "out_volts": (0.98, 1.02),
    "ohms_per_km": (0.95, 1.05),
    "length_m": (0.98, 1.02),
    "own_watts": (0.8, 1.2),
    "ohms_per_conductor": (0.8, 1.2),
    "ohms": (0.8, 1.2),
    "watts": (0.5, 0.8, 1.0),
}
"""what a bare number means: its shares at low (, expected) and high; job format, section 2"""
ALPHA20 = {"copper": 0.00393, "aluminium": 0.00403, "clad": 0.0040}
"""per kelvin at 20 °C; values-cable 1"""
QUANTITIES = (*SPREADS, "ambient_c", "efficiency", "end_ohms")
"""the keys that may hold low, expected and high"""


def number(thing: Mapping[str, Any], key: str, corner: str) -> float:
    """A quantity of a sheet or span at a corner of *its own*; 0 where it is missing."""
    value = thing.get(key, 0)
    if isinstance(value, dict):
        return value[corner]
    shares = SPREADS.get(key, (1, 1))
    low, expected, high = shares if len(shares) == 3 else (shares[0], 1, shares[1])
    return value * {"low": low, "expected": expected, "high": high}[corner]


def with_quantities(
    doc: Mapping[str, Any], pick: Callable[[str, float, float, float], float]
) -> dict[str, Any]:
    """The same job with every quantity exact: ``pick`` of its key, low, expected and high."""
    doc = deepcopy(dict(doc))
    for thing in (doc["site"], *doc["sheets"].values(), *doc["spans"]):
        for key in thing.keys() & set(QUANTITIES):
            thing[key] = exact(pick(key, *(number(thing, key, corner) for corner in CORNERS)))
    return doc


@dataclass(frozen=True)
class Edge:
    """What lies between two points: a span or a box, and the pairs that carry power there."""

    above: str
    below: str
    thing: Mapping[str, Any]
    pairs: int


@dataclass(frozen=True)
class Feed:
    """A point where power starts, and all that hangs on it, nearest first."""

    point: str
    sheet: Mapping[str, Any]
    edges: tuple[Edge, ...]
    drawn: tuple[tuple[str, Mapping[str, Any]], ...]
    """the points where a box draws its own watts, with its sheet"""


def walk(doc: Mapping[str, Any]) -> list[Feed]:
    """The feeds of a document, by job format section 1; for jobs without findings of feeding.

    A feed that a regenerating box makes comes after the one in front of it.
    """
    boxes = {box["id"]: box for box in doc["boxes"]}
    plugged = {span[end]: span for span in doc["spans"] for end in ("from", "to")}
    feeds = []
    waiting = [
        (f"{name}.out", min(4, _pairs(doc, box)))
        for name, box in boxes.items()
        if doc["sheets"][box["sheet"]]["kind"] in ("source", "injector")
    ]
    while waiting:
        feed, pairs = waiting.pop(0)
        edges: list[Edge] = []
        drawn: list[tuple[str, Mapping]] = []
        fronts = [(feed, pairs)]
        while fronts:
            point, pairs = fronts.pop(0)
            span = plugged.get(point)
            if span is None:
                continue
            entry = span["to"] if span["from"] == point else span["from"]
            cable = doc["sheets"][span["cable"]]
            pairs = min(pairs, span.get("pairs", 4), cable.get("pairs", 4))
            edges.append(Edge(point, entry, span, pairs))
            name, _, port = entry.partition(".")
            sheet = doc["sheets"][boxes[name]["sheet"]]
            if sheet["kind"] in ACTIVE:
                drawn.append((entry, sheet))
            outs = _ports_behind(doc, name, sheet["kind"], port, plugged)
            through = min(pairs, _pairs(doc, boxes[name]))
            if sheet.get("power") == "regenerating":
                fresh = min(_pairs(doc, boxes[name]), sheet.get("pairs_out", pairs))
                waiting += [(out, fresh) for out in outs]
                continue
            edges += [Edge(entry, out, sheet, through) for out in outs]
            fronts += [(out, through) for out in outs]
        sheet = doc["sheets"][boxes[feed.partition(".")[0]]["sheet"]]
        feeds.append(Feed(feed, sheet, tuple(edges), tuple(drawn)))
    return feeds


def _pairs(doc: Mapping[str, Any], box: Mapping[str, Any]) -> int:
    return min(box.get("pairs", 4), doc["sheets"][box["sheet"]].get("pairs", 4))


def _ports_behind(doc, name: str, kind: str, port: str, plugged: Mapping) -> list[str]:
    if kind in ("source", "injector", "endpoint"):
        return []
    if kind == "splitter":
        return sorted(point for point in plugged if point.startswith(f"{name}.out"))
    other = {"line": "kit", "kit": "line", "a": "b", "b": "a", "in": "out", "out": "in"}
    return [f"{name}.{other[port]}"]


def joins(doc: Mapping[str, Any], point: str) -> bool:
    """Whether the sets of pairs meet at this point: where power starts, and in joining boxes."""
    box = next(box for box in doc["boxes"] if box["id"] == point.partition(".")[0])
    sheet = doc["sheets"][box["sheet"]]
    if point.endswith(".out") and sheet["kind"] in ("source", "injector"):
        return True
    said = box.get("joins_pairs", sheet.get("joins_pairs"))
    return sheet["kind"] in ACTIVE if said is None else said


def conductor_ohms(doc: Mapping[str, Any], span: Mapping[str, Any], corner: str) -> float:
    """One conductor of a span at its temperature, without its ends. [ohm]"""
    cable = doc["sheets"][span["cable"]]
    celsius = number(span if "ambient_c" in span else doc["site"], "ambient_c", corner)
    alpha = cable.get("alpha_per_k", ALPHA20[cable.get("material", "copper")])
    cold = number(cable, "ohms_per_km", corner) / 1000 * number(span, "length_m", corner)
    return cold * (1 + alpha * (celsius - 20))


def worse(corner: str) -> str:
    """The corner of ohms and watts that goes with this corner of volts."""
    return {"low": "high", "expected": "expected", "high": "low"}[corner]
