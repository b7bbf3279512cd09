"""The reedbed job, and a few others, in the states that are photographed and that tests begin from."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import fault_jobs
import fingers
import left_jobs
import plan_jobs
from samples import sample

from engine.cautions import CODES
from engine.design_band import band_for
from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold
from engine.network import AS_PLANNED
from engine.say import Say
from engine.signed import seen_now, sum_now
from engine.step import PHOTO

ROOT = Path(__file__).parent.parent
READINGS = (
    ("inside", "S.out", "volts", 53.9),
    ("amps", "S.out", "milliamps", 410),
    ("near", "L1.in", "volts", 53.8),
    ("joint", "J1.a", "volts", 51.6),
    ("unclear", "A2.line", "volts", 47.7),
    ("outside", "L2.in", "volts", 45.2),
    ("dead", "L2.in", "mbps", 0),
)
LAST = ("load.C", "full.C", "cold.S", "settings.S", "close.sluice", "close.hide")
LAST += ("after-close.sluice", "after-close.hide", "labels.hut", "labels.sluice", "labels.hide")
LAST += ("take-back.site", "tell.site", "sign.site")
DONE = ("announce.site", "meter.site", "feed.S", "off.S", "pull.C3", "terminate.C3", "bond.A1")


def worked_on() -> dict:
    """The reedbed job half done: steps, readings of every verdict, a hold that was waived."""
    bodies: list[dict] = [{"what": "step", "step": step, "state": "done"} for step in DONE]
    bodies += [
        {"id": name, "what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1"}
        for name, at, kind, value in READINGS
    ]
    bodies.append(
        {
            "what": "waive",
            "of": "step.bond.A2",
            "reason": "part on order",
            "by": "P. Quill",
            "role": "warden",
        }
    )
    log = [
        {"id": f"e{n}", "device": "d", "n": n, "by": "Orla", "t": f"2025-06-03T14:{n:02d}:00Z"}
        | body
        for n, body in enumerate(bodies, 1)
    ]
    return warned({**sample("reedbed-hide"), "log": log})


def accepted() -> dict:
    """The reedbed job with readings that agree as far as the joint: today's fan opens behind it."""
    doc = worked_on()
    good = [
        e for e in doc["log"] if e["what"] != "reading" or e["id"] in ("inside", "near", "joint")
    ]
    return {**doc, "log": good}


def warned(doc: dict, day: str = "") -> dict:
    """The job with every caution read at every stop, today."""
    stamp = f"{day or datetime.now(UTC).date().isoformat()}T00:00:00Z"
    notes = [
        {
            "id": f"c-{stop}-{code}",
            "t": stamp,
            "what": "note",
            "at": stop,
            "text": code,
            "x_caution": code,
        }
        for stop in doc["stops"]
        for code in CODES
    ]
    return {**doc, "log": [*doc["log"], *notes]}


def planned() -> dict:
    """The reedbed job with nothing done, all cautions read."""
    return warned(sample("reedbed-hide"))


def switched_on(*more: dict, read: tuple[str, ...] = ()) -> dict:
    """The reedbed job with all done that comes before the power, and these boxes proven."""
    doc = sample("reedbed-hide")
    judged = judge(read_job(doc))
    log = []
    for n, step in enumerate(judged.steps):
        before = step.part not in ("power", "load", "leave") or step.kind == "energise"
        ident = {"id": f"s{n}", "by": "Orla", "t": "2025-06-03T14:00:00Z"}
        if before and step.asks is None:
            log.append({**ident, "what": "step", "step": step.id, "state": "done"})
        elif before and step.asks.kind == PHOTO:
            log.append({**ident, "what": "photo", "of": step.asks.at, "sha256": "ab" * 32})
        elif before or (step.box in read and step.part == "power" and step.asks is not None):
            band = band_for(
                judged.state, judged.prediction, step.asks.at, step.asks.kind, AS_PLANNED
            )
            value = 5.0 if isinstance(band, Say) else band.expected or band.high / 2
            taken = {"at": step.asks.at, "kind": step.asks.kind, "value": round(value, 1)}
            log.append({**ident, "what": "reading", "meter": "M1", **taken})
    return warned({**doc, "log": [*log, *more]})


def finished(leave_open: tuple[str, ...] = ()) -> dict:
    """The reedbed job with all done and read as planned, but for these; nothing copied off."""
    parts = frozenset({"S", "L1", "L2", "C"})
    last = [
        {"id": f"z-{ident}", "what": "step", "step": ident, "state": "done", "by": "Orla"}
        for ident in LAST
        if ident not in leave_open
    ]
    return switched_on(*last, read=tuple(parts))


def half_way() -> dict:
    """Two boxes proven, the third one next."""
    return switched_on(read=("S", "L1"))


def gone_dark() -> dict:
    """The second box stays dark."""
    note = {"id": "d", "what": "note", "at": "L1", "text": "dark", "x_dark": True}
    return switched_on(note, read=("S",))


def reads_low() -> dict:
    """The third box reads outside."""
    low = {"id": "o", "what": "reading", "at": "L2.in", "kind": "volts", "value": 41.2}
    return switched_on({**low, "meter": "M1", "by": "Orla"}, read=("S", "L1"))


def handed_over() -> dict:
    """The reedbed job, finished, sent in the afternoon, and read once more in the evening."""
    doc = finished()
    there = {"x_handed": {"what": ["report", "labels"], "seen": {"d": len(doc["log"]) + 1}}}
    at = f"{datetime.now(UTC).date().isoformat()}T14:50:00Z"
    more = (
        {"id": "y1", "what": "export", "to": "reedbed-hide.json", "by": "Orla", "t": at},
        {"id": "y2", "what": "note", "text": "handed over", "by": "Orla", "t": at, **there},
        {"id": "y3", "what": "note", "text": "Gate is stiff.", "by": "Orla", "at": "hide"},
    )
    return {**doc, "log": [*doc["log"], *more]}


def signed() -> dict:
    """The reedbed job, read and signed: by two, then more was read, then by one without a drawing."""
    log = counted(worked_on())["log"]
    strokes = [[[round(1000 * x), round(400 * y)] for x, y in one] for one in fingers.scrawl()]

    def sign(ident: str, by: str, role: str, **keys: object) -> None:
        state = fold(read_job({**worked_on(), "log": log}))
        tied = {"sha256": sum_now(state), "seen": seen_now(state), "t": "2025-06-03T15:02:00Z"}
        body = {"what": "sign", "by": by, "role": role, **tied, **keys}
        log.append({"id": ident, "device": "d", "n": len(log) + 1, **body})

    more = {"what": "reading", "at": "S.out", "kind": "volts", "value": 53.9, "by": "Orla"}
    sign("q1", "Orla", "Installer", strokes=strokes)
    log.append({"id": "q2", "device": "d", "n": len(log) + 1, **more})
    sign("q3", "P. Quill", "warden of the reserve", strokes=strokes[:2])
    sign("q4", "Bartholomew Featherstonehaugh-Quill", "Owner")
    return {**worked_on(), "log": log}


def without_boxes() -> dict:
    """A plan with nothing in it yet."""
    doc = sample("reedbed-hide")
    return {**doc, "id": "BARE", "title": "Bare plan", "boxes": [], "spans": [], "log": []}


def gone_home() -> dict:
    """The site was left; a short is still in."""
    short = {"id": "f", "what": "note", "at": "C4", "text": "short", "x_fitted": "short"}
    left = {"id": "l", "what": "leave", "open": [], "t": "2025-06-03T16:00:00Z"}
    return switched_on({**short, "by": "Ivo"}, left, read=("S", "L1"))


def _returned(*more: dict, **how: object) -> dict:
    """The reedbed job as it was left last June, and what came after today."""
    today = datetime.now(UTC).date()
    doc = left_jobs.in_days(
        left_jobs.left_job(*more, **how), f"{today.year - 1}-06-03", today.isoformat()
    )
    return warned(doc)


def left_again() -> dict:
    """Nobody has come back yet."""
    return _returned()


def left_much_open() -> dict:
    """Much was left open, each answered for."""
    return _returned(open_=("photo.L1", "photo.bond.A1", "photo.L2", "photo.A2", "photo.C"))


def drifted_since() -> dict:
    """A return on which some readings drifted."""
    return _returned(*left_jobs.busy())


def as_it_was() -> dict:
    """A return on which all is as it was."""
    return _returned(left_jobs.visit("yearly"), *left_jobs.again(left_jobs.STEADY))


def farther() -> dict:
    """The sample as another job, its hide a hundred metres farther out."""
    doc = sample("reedbed-hide")
    doc.update(id="REEDBED-FAR", title="Reedbed hide, copy")
    doc["spans"][4]["length_m"] += 100
    return doc


def loose() -> dict:
    """The sample with two joints that nothing is plugged into yet."""
    doc = sample("reedbed-hide")
    joint = {"sheet": "generic.joint-gel", "stop": "sluice"}
    doc["boxes"] += [{"id": name, "name": name, **joint} for name in ("N1", "N2")]
    return doc


def _reels(**spans: dict) -> dict:
    """The reedbed job with a reel at hand for each of these spans; a first one was refused."""
    doc = planned()
    log = [
        {"id": f"r{n}-{span}", "what": "note", "at": span, "text": "reel", "x_reel": reel}
        for span, known in spans.items()
        for n, reel in enumerate(({"refused": "clad"}, known))
    ]
    return {**doc, "log": [*doc["log"], *log]}


def reels_good() -> dict:
    """One as the sheet says, one of clad wire."""
    sound = {"first": 391, "second": 112, "ohms": 36.9, "celsius": 15, "meter": "M1"}
    return _reels(C4=sound, C3={**sound, "ohms": 57.4})


def reels_odd() -> dict:
    """One too short, one with a misread mark."""
    odd = {"first": 365, "second": 112, "meter": "M1"}
    return _reels(C4=odd, C3={**odd, "ohms": 40.2, "celsius": 15})


def reels_open() -> dict:
    """One mark; a reading that tells nothing, of a short stretch and no temperature."""
    half = {"first": 391}
    return _reels(C4=half, C3={"first": 250, "second": 10, "ohms": 35.4, "meter": "M1"})


def counted(doc: dict) -> dict:
    """The job with its entries counted as those of one phone, where they are not yet."""
    log = [{"device": "d", "n": n, **entry} for n, entry in enumerate(doc["log"], 1)]
    return {**doc, "log": log}


def two_plans() -> dict:
    """Two phones that changed one length without having seen each other; one counts oddly."""
    doc = sample("reedbed-hide")
    path = ["spans", "C4", "length_m"]
    change = {"what": "set", "path": path, "was": 256, "as": "correction"}
    doc["log"] = [
        {"id": "orla", "device": "a", "n": 1, "by": "Orla", "value": 262, **change},
        {"id": "ivo", "device": "b", "n": 1, "by": "Ivo", "value": 249, **change},
        {"id": "lost", "device": "b", "n": 2, "by": "Ivo", "what": "void", "of": "nowhere"},
        {"id": "far", "device": "b", "n": 3, "what": "change", "where": "Q9", "did": "swapped"},
    ]
    return doc


def lets_go() -> dict:
    """The sample with long-span units that show too small a class: its port lets go."""
    doc = sample("reedbed-hide")
    doc["sheets"]["my.longspan"]["class"] = 3
    return doc


def poor() -> dict:
    """The sample with much that warns: clad indoor cable in the sun, poor earth leads."""
    doc = sample("reedbed-hide")
    cable = doc["sheets"]["my.cable"]
    cable.update(material="clad", outdoor=False)
    del cable["ohms_per_km"]
    doc["boxes"][2]["bond"]["lead_m"] = 2
    doc["boxes"][4]["bond"]["mm2"] = 1
    doc["spans"][3].update(sun=True, bundle=24)
    return doc


def named(doc: Callable[[], dict], name: str) -> Callable[[], dict]:
    """A job under an id of its own, all cautions read."""

    def made() -> dict:
        return warned({**doc(), "id": f"F-{name.upper()}"})

    made.__name__ = f"f-{name}"
    return made


def all_done() -> dict:
    """The reedbed job with all done, copied off and signed: nothing is left, nothing holds."""
    doc = finished()
    return {
        **doc,
        "log": [*doc["log"], {"id": "y1", "what": "export", "to": "r.json", "by": "Orla"}],
    }


def read_twice() -> dict:
    """Two readings at the joint and at the far end; one of no band, one with a missing meter."""
    doc = accepted()
    taken = (("again", "J1.a", 51.2), ("far", "L2.in", 47.9), ("farther", "L2.in", 48.4))
    more = [
        {"id": ident, "what": "reading", "at": at, "kind": "volts", "value": value, "meter": "M1"}
        for ident, at, value in taken
    ]
    bare = {"id": "bare", "what": "reading", "at": "S.out", "kind": "volts", "value": 3.0}
    more.append({**bare, "meter": "M1", "by": "Orla", "with": {"*": "off"}})
    return {**doc, "log": [*doc["log"], *more]}


def set_aside() -> dict:
    """Steps that could not be done, were done by another, or came open again."""
    doc = worked_on()
    said = (
        ("reel.C3", "not-here", "Ivo", "the drum is still at the gate"),
        ("reel.C4", "done", "Bartholomew Featherstonehaugh-Quill", ""),
        ("announce.site", "undone", "Ivo", ""),
        ("sheet.L1", "not-here", "Orla", "not here"),
    )
    more = [
        {"id": f"a{n}", "what": "step", "step": step, "state": state, "by": by, "why": why}
        | {"t": "2025-06-03T15:10:00Z"}
        for n, (step, state, by, why) in enumerate(said)
    ]
    return {**doc, "log": [*doc["log"], *more]}


def forty() -> dict:
    """Forty boxes at twenty stops, the first third of them read."""
    doc = warned(plan_jobs.posts(40))
    judged = judge(read_job(doc))
    points = [step.asks.at for step in judged.steps if step.id.startswith("volts.")][:20]
    for n, at in enumerate(points):
        band = band_for(judged.state, judged.prediction, at, "volts", AS_PLANNED)
        taken = {"at": at, "kind": "volts", "value": round(band.expected, 2), "meter": "M1"}
        doc["log"].append({"id": f"r{n}", "what": "reading", "by": "Orla", **taken})
    return doc


def long_named() -> dict:
    """Every name has sixty letters, that of who works there too."""
    who = "Bartholomew Featherstonehaugh-Quill of the reserve"
    doc = {**worked_on(), **plan_jobs.long_names(), "log": worked_on()["log"]}
    log = [{**entry, "by": who} if "by" in entry else entry for entry in doc["log"]]
    return {**doc, "log": log}


def split() -> dict:
    """A run with a splitter, read as far as the fork and into its branch."""
    doc = warned(plan_jobs.branched())
    taken = (("S.out", 53.5), ("R1.in", 52.9), ("X.in", 51.0), ("G.in", 44.0))
    for n, (at, value) in enumerate(taken):
        body = {"what": "reading", "at": at, "kind": "volts", "value": value, "by": "Orla"}
        doc["log"].append({"id": f"r{n}", "t": f"2025-06-03T14:{n:02d}:00Z", **body})
    return doc


def collapsed() -> dict:
    """A load that the run cannot hold."""
    return warned(plan_jobs.collapsing())


FAULTY = tuple(named(doc, name) for name, doc in fault_jobs.EVERY.items())
"""jobs whose readings point to something, one a state of the page"""
