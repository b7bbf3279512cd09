"""The reedbed job as it was left on 3 June, and as it is found again: for pages and journeys."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from headless import CAUTIONS
from samples import sample

from engine.design_band import band_for
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import AS_PLANNED
from engine.say import Say
from engine.step import PHOTO

Doc = dict[str, Any]
JOB = "REEDBED-HIDE"
THERE = f"/j/{JOB}"
LEFT = "2031-06-03T16:20:00Z"
BACK = "2032-05-11T09:00:00Z"
POINTS = ("S.out", "L1.out", "L1.in", "J1.a", "A2.line", "L2.in", "L2.out", "C.in")
"""where volts were read before the site was left, from the feed outwards"""
WAIVED = {
    "what": "waive",
    "reason": "lens fogged",
    "by": "P. Quill",
    "role": "warden",
}


def counted(log: list[Doc]) -> list[Doc]:
    """Entries as one phone counts them."""
    return [{"device": "d", "n": n, **entry} for n, entry in enumerate(log, 1)]


def was() -> dict[str, float]:
    """The volts of the plan at each point, as they were read."""
    judged = judge(read_job({**sample("reedbed-hide"), "log": []}))
    out = {}
    for at in POINTS:
        band = band_for(judged.state, judged.prediction, at, "volts", AS_PLANNED)
        out[at] = round(band.expected, 1)
    return out


def left_job(*more: Doc, open_: tuple[str, ...] = ("photo.L1",), title: str = "") -> Doc:
    """All done, read and left by Orla; ``more`` came after."""
    doc = sample("reedbed-hide")
    judged = judge(read_job({**doc, "log": []}))
    stamp = {"by": "Orla", "t": "2031-06-03T14:00:00Z"}
    log: list[Doc] = []
    volts = was()
    for n, step in enumerate(judged.steps):
        ident = {"id": f"s{n}", **stamp}
        if step.asks is None:
            log.append({**ident, "what": "step", "step": step.id, "state": "done"})
        elif step.asks.kind == PHOTO:
            if f"photo.{step.asks.at}" not in open_:
                log.append({**ident, "what": "photo", "of": step.asks.at, "sha256": "ab" * 32})
        else:
            at, kind = step.asks.at, step.asks.kind
            band = band_for(judged.state, judged.prediction, at, kind, AS_PLANNED)
            value = 5.0 if isinstance(band, Say) else band.expected or band.high / 2
            if kind == "volts" and at in volts:
                continue  # below, in the order of the run
            read = {"at": at, "kind": kind, "value": round(value, 1), "meter": "M1"}
            log.append({**ident, "what": "reading", **read})
    log += [reading(f"r1-{at}", at, value, **stamp) for at, value in volts.items()]
    log += [{"id": f"w-{of}", **stamp, **WAIVED, "of": of} for of in open_]
    log.append({"id": "left", "by": "Orla", "t": LEFT, "what": "leave", "open": list(open_)})
    named = {"title": title} if title else {}
    return {**doc, **named, "log": counted([*log, *more])}


def reading(ident: str, at: str, value: float, kind: str = "volts", **more: Any) -> Doc:
    """One reading, with the job's own meter."""
    body = {"id": ident, "what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1"}
    return {"by": "Orla", "t": BACK, **body, **more}


def visit(reason: str = "storm", people: int = 1) -> Doc:
    """Somebody came back, eleven months later."""
    body = {"what": "visit", "people": people, "reason": reason}
    return {"id": "back", "by": "Orla", "t": BACK, **body}


def again(change: Mapping[str, float], **more: Any) -> list[Doc]:
    """Readings of the return: what each point reads beside the last time [V]."""
    volts = was()
    return [reading(f"r2-{at}", at, round(volts[at] + by, 1), **more) for at, by in change.items()]


STEADY = {"S.out": 0.0, "L1.in": 0.0, "J1.a": -0.1}
DRIFTED = {**STEADY, "L2.in": -2.2}


def came_back(change: Mapping[str, float], reason: str = "storm", **more: Any) -> Doc:
    """Left, come back to, and read again."""
    return left_job(visit(reason), *again(change, **more))


def in_days(doc: Doc, left: str, back: str) -> Doc:
    """The same job left and come back to on other days."""
    days = {LEFT[:10]: left, BACK[:10]: back}
    log = [
        {**entry, "t": f"{days.get(entry['t'][:10], entry['t'][:10])}{entry['t'][10:]}"}
        for entry in doc["log"]
    ]
    return {**doc, "log": log}


def busy() -> list[Doc]:
    """A return with some of everything: volts that drifted, a slow light, one not for certain."""
    return [
        visit("yearly"),
        *again({"S.out": 0.0, "L1.in": 0.0, "J1.a": 0.0, "L2.in": -2.2}),
        reading("r2-light", "C.in", 10, "mbps"),
        reading("r2-earth", "EB2", 21.0, "earth_ohms"),
    ]


def cautioned(doc: Doc, stamp: str = BACK) -> Doc:
    """The job with every caution read at every stop on the day of the return."""
    notes = [
        {"id": f"r-{stop}-{code}", "t": stamp, "what": "note", "at": stop, "text": code}
        | {"x_caution": f"caution-{code}"}
        for stop in doc["stops"]
        for code in CAUTIONS
    ]
    return {**doc, "log": counted([*doc["log"], *notes])}
