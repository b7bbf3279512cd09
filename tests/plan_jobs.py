"""Plans that the plan's page has to bear: each one odd in its own way. The trials and pictures use them."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

from jobs import active, chain, endpoint, run, source

from engine.inspan import turn_round
from engine.planning import applied

Doc = dict[str, Any]
SAMPLES = Path(__file__).resolve().parent.parent / "sample_jobs"
LETTERS = 60
"""of a long name"""


def sample(name: str, ident: str = "", **more: Any) -> Doc:
    """A sample's plan without its log, under an id of its own."""
    doc = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return {**doc, "id": ident or doc["id"], "log": [], **more}


def _camera(doc: Doc, watts: float) -> Doc:
    most = {"low": 8, "expected": 0.8 * watts, "high": watts}
    doc["sheets"]["my.camera"] |= {"watts": most, "class": 6}
    return doc


def turned() -> Doc:
    """Both arrestors with their back to the weather: one change mends one of the two findings."""
    doc = sample("reedbed-hide", "TURNED")
    for box in ("A1", "A2"):
        doc = applied(doc, turn_round(doc, box))
    return {**doc, "log": []}


def weak() -> Doc:
    """Lacks volts at worst: the lightest change does not reach, a heavier one does."""
    return _camera(sample("reedbed-hide", "WEAK"), 34)


def heavy() -> Doc:
    """Lacks volts at worst, and no one change helps that."""
    return _camera(sample("reedbed-hide", "HEAVY"), 44)


def collapsing() -> Doc:
    """A load that the run cannot hold."""
    doc = sample("orchard-gate", "COLLAPSE")
    load = {"low": 30, "expected": 34, "high": 40}
    doc["sheets"]["my.intercom"] |= {"watts": load, "cutoff_volts": 40}
    return doc


def long_names() -> Doc:
    """Whatever has a name has one of sixty letters."""
    return _named("NAMES", " behind the old pumping station by the northern sluice")


def right_to_left() -> Doc:
    """Whatever has a name has one of sixty letters that are written from the right."""
    return _named(
        "FROM-RIGHT", " \u05de\u05d0\u05d7\u05d5\u05e8\u05d9 \u05d4\u05de\u05e9\u05d0\u05d1\u05d4"
    )


def _named(ident: str, more: str) -> Doc:
    doc = sample("reedbed-hide", ident)

    def grown(name: str) -> str:
        return f"{name}{more * LETTERS}"[:LETTERS]

    doc["title"] = grown(doc["title"])
    doc["site"]["name"] = grown(doc["site"]["name"])
    for one in (*doc["boxes"], *doc["stops"].values(), *doc["meters"]):
        one["name"] = grown(one.get("name", "One"))
    for name, one in doc["earths"].items():
        one["name"] = grown(name)
    for sheet in doc["sheets"].values():
        sheet["title"] = grown(sheet.get("title", "Own"))
    return doc


def unfed() -> Doc:
    """No source reaches anything."""
    doc = sample("orchard-gate", "UNFED")
    return {**doc, "boxes": doc["boxes"][1:], "spans": doc["spans"][1:]}


def bare() -> Doc:
    """One box and nothing else."""
    doc = sample("orchard-gate", "BARE")
    return {**doc, "boxes": doc["boxes"][:1], "spans": []}


def looped() -> Doc:
    """A change in the log would close a loop: it is left out."""
    back = {"id": "CX", "from": "L2.in", "to": "L1.in", "cable": "my.cable", "length_m": 20}
    edit = {"id": "loop", "what": "add", "path": ["spans"], "value": back, "as": "correction"}
    return {**sample("reedbed-hide", "LOOPED"), "log": [edit]}


def disputed() -> Doc:
    """Two phones changed one length without having seen each other."""
    change = {"what": "set", "path": ["spans", "C4", "length_m"], "was": 256, "as": "correction"}
    log = [
        {"id": "orla", "device": "a", "n": 1, "by": "Orla", "value": 262, **change},
        {"id": "ivo", "device": "b", "n": 1, "by": "Ivo", "value": 249, **change},
    ]
    return {**sample("reedbed-hide", "DISPUTED"), "log": log}


def branched() -> Doc:
    """A splitter with a long branch of two spans beside the run."""
    doc = sample("tide-mill", "BRANCHED")
    doc["stops"]["weir"] = {"name": "Weir", "at_m": 300, "building": "weir", "indoor": False}
    gauge = next(box for box in doc["boxes"] if box["id"] == "G")
    gauge["stop"] = "weir"
    doc["boxes"].append({"id": "J", "sheet": "generic.joint-gel", "name": "", "stop": "weir"})
    doc["sheets"]["generic.joint-gel"] = {"kind": "joint", "title": "Gel joint", "outdoor": True}
    last = next(span for span in doc["spans"] if span["id"] == "C5")
    last.update(to="J.a", length_m=40)
    doc["spans"].append({**last, "id": "C6", "from": "J.b", "to": "G.in", "length_m": 22})
    return doc


def posts(count: int) -> Doc:
    """So many boxes with something to be read at each, two at a stop."""
    parts: list[Any] = [source()]
    for _ in range(count - 2):
        parts += [run(10), active(0.1)]
    doc = chain(*parts, run(10), endpoint(1))
    names = {f"p{i}": {"at_m": 20 * i, "name": f"Post {i}"} for i in range(count // 2)}
    doc |= {"id": f"POSTS-{count}", "title": "Posts along the dyke", "stops": names, "earths": {}}
    doc["meters"] = [{"id": "M1", "sheet": "generic.meter", "name": "One"}]
    for i, box in enumerate(doc["boxes"]):
        box["stop"] = f"p{i // 2}"
    return {**doc, "log": []}


def of_boxes(count: int) -> Doc:
    """A run of so many boxes, two at a stop."""
    base = sample("tide-mill", f"BOXES-{count}")
    sheets = {
        "s": {**base["sheets"]["my.injector"], "kind": "source"},
        "j": {"kind": "joint", "outdoor": True, "ohms_per_conductor": 0.01},
        "e": {**base["sheets"]["my.gauge"], "speeds_mbps": [10, 100, 1000]},
        "c": {"kind": "cable", "awg": 22, "material": "copper", "outdoor": True, "category": "6"},
    }
    sheets["s"].pop("pairs_out", None)
    names = ["S", *(f"J{i}" for i in range(1, count - 1)), "E"]
    ports = {"S": ("", "out"), "E": ("in", "")}
    boxes = [
        {"id": name, "sheet": {"S": "s", "E": "e"}.get(name, "j"), "stop": f"p{i // 2}"}
        for i, name in enumerate(names)
    ]
    spans = [
        {
            "id": f"C{i}",
            "from": f"{a}.{ports.get(a, ('a', 'b'))[1]}",
            "to": f"{b}.{ports.get(b, ('a', 'b'))[0]}",
            "cable": "c",
            "length_m": 2.0,
        }
        for i, (a, b) in enumerate(pairwise(names), 1)
    ]
    stops = {f"p{i}": {"name": f"Post {i}", "at_m": 4 * i} for i in range((count + 1) // 2)}
    keep = ("format", "id", "title", "site")
    plan = {"stops": stops, "earths": {}, "meters": [], "sheets": sheets, "boxes": boxes}
    return {**{key: base[key] for key in keep}, **plan, "spans": spans, "log": []}


def pictured() -> tuple[Doc, ...]:
    """Those that are photographed."""
    made = (turned(), weak(), heavy(), long_names(), right_to_left(), unfed(), branched())
    return (*made, of_boxes(2), of_boxes(40))
