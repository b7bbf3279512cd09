"""Jobs with a few entries, and what then holds one on site."""

from __future__ import annotations

from samples import planned

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.leave import Hold
from engine.network import AS_PLANNED
from engine.verdict import band_for


def judged(doc: dict, *bodies: dict) -> Judgement:
    entries = [
        {"id": f"e{n}", "device": "d", "n": n, "by": "Ida", **b} for n, b in enumerate(bodies, 1)
    ]
    return judge(read_job({**doc, "log": entries}))


def holds(doc: dict, *bodies: dict) -> dict[str, Hold]:
    """The holds that nobody has answered for, by id."""
    return {hold.id: hold for hold in judged(doc, *bodies).blockers}


def reading(at: str, kind: str, value: float, **more) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1", **more}


def waive(of: str, **more) -> dict:
    return {"what": "waive", "of": of, "reason": "the client's electrician answers", **more}


def step(name: str) -> dict:
    return {"what": "step", "step": name, "state": "done"}


OUTSIDE = reading("S.out", "volts", 40.0, moment="noon")
UNCLEAR = reading("S.out", "volts", 54.0, moment="noon")


def bare(name: str = "reedbed-hide") -> dict:
    """A sample with an arrestor that has neither lead nor the right side to the weather."""
    doc = planned(name)
    del doc["boxes"][2]["bond"]
    doc["spans"][1]["to"], doc["spans"][2]["from"] = "A1.line", "A1.kit"
    return doc


def found(where: str, cause: str = "joint.high") -> dict:
    return {"what": "found", "where": where, "cause": cause, "sure": True}


def altered(where: str) -> dict:
    return {"what": "change", "where": where, "did": "end made again"}


def complete(doc: dict) -> list[dict]:
    """A made-up day on which every step is done and every reading is as expected."""
    one = judged(doc)
    bodies = []
    for step in one.steps:
        if step.kind == "copy":
            bodies.append({"what": "export", "to": "laptop"})
            continue
        if step.asks is None:
            bodies.append({"what": "step", "step": step.id, "state": "done"})
            continue
        at, kind = step.asks.at, step.asks.kind
        if kind == "photo":
            bodies.append({"what": "photo", "of": at, "sha256": "ab" * 32})
            continue
        band = band_for(one.state, one.prediction, at, kind, AS_PLANNED)
        value = band.high * 0.5 if kind == "earth_ohms" else band.expected
        bodies.append(reading(at, kind, value))
    return bodies
