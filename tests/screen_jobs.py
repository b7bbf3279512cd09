"""The samples in the states that screens are tried in, and what a phone has kept of one."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from headless import READ, Phone, warned
from jobs import active, chain, endpoint, run, source
from samples import sample

from engine.design_band import band_for
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.network import AS_PLANNED
from engine.say import Say
from engine.step import PHOTO, Step
from engine.verdict import INSIDE, UNCLEAR

Doc = dict[str, Any]


# ---------------------------------------------------------------- jobs in their states


def reading(ident: str, at: str, kind: str, value: float, **more: Any) -> Doc:
    return {
        "id": ident,
        "t": "2031-06-03T07:10:00Z",
        "what": "reading",
        "at": at,
        "kind": kind,
        "value": value,
        "meter": "M1",
        "by": "Orla",
        **more,
    }


def done(ident: str, step: str, state: str = "done", **more: Any) -> Doc:
    time = "2031-06-03T07:00:00Z"
    return {"id": ident, "t": time, "what": "step", "step": step, "state": state, **more}


SIGNED: Doc = {
    "id": "name",
    "t": "2031-06-03T07:05:00Z",
    "what": "sign",
    "by": "Bartholomew Featherstonehaugh-Quill",
    "role": "warden of the whole of the reserve",
    "sha256": "3f" * 32,
    "strokes": [[[20, 20], [500, 380], [980, 20]], [[500, 100]]],
}


def reedbed(*log: Doc) -> Doc:
    return {**sample("reedbed-hide"), "log": list(log)}


def orchard(*log: Doc) -> Doc:
    return {**sample("orchard-gate"), "log": list(log)}


def mill(*log: Doc) -> Doc:
    return {**sample("tide-mill"), "log": list(log)}


def mismatch() -> Doc:
    """A camera that cannot speak what a gigabit-only box speaks."""
    doc = reedbed()
    doc["sheets"]["my.camera"]["speeds_mbps"] = [10, 100]
    return doc


def turned() -> Doc:
    """The near long-span unit the wrong way round, and an arrestor with its back to the weather."""
    doc = reedbed()
    doc["spans"][0]["to"], doc["spans"][1]["from"] = "L1.in", "L1.out"
    doc["spans"][1]["to"], doc["spans"][2]["from"] = "A1.line", "A1.kit"
    return doc


def unbonded() -> Doc:
    """An arrestor without its earth lead, and an earth without a target."""
    doc = reedbed()
    del doc["boxes"][4]["bond"]
    del doc["earths"]["EB1"]["target_ohms"]
    return doc


def collapsing() -> Doc:
    """A load that the run cannot hold."""
    doc = orchard()
    doc["sheets"]["my.intercom"]["watts"] = {"low": 30, "expected": 34, "high": 40}
    doc["sheets"]["my.intercom"]["cutoff_volts"] = 40
    return doc


def unfed() -> Doc:
    """No source reaches anything."""
    doc = orchard()
    doc["spans"] = doc["spans"][1:]
    return doc


def bare() -> Doc:
    """One box and nothing else."""
    doc = orchard()
    doc["boxes"], doc["spans"] = doc["boxes"][:1], []
    return doc


def forty() -> Doc:
    """A run of forty boxes at twenty stops."""
    parts: list[Any] = [source()]
    for _ in range(38):
        parts += [run(10), active(0.1)]
    doc = chain(*parts, run(10), endpoint(1))
    doc["stops"] = {f"p{i}": {"at_m": 20 * i, "name": f"Post {i}"} for i in range(20)}
    doc["earths"] = {}
    for i, box in enumerate(doc["boxes"]):
        box["stop"] = f"p{i // 2}"
    return doc


def band(doc: Doc, at: str, kind: str = "volts"):
    judged = judge(read_job(doc))
    return band_for(judged.state, judged.prediction, at, kind, AS_PLANNED)


PICTURE = "5e" * 32


def photo(ident: str, of: str, name: str = PICTURE) -> Doc:
    return {"id": ident, "what": "photo", "of": of, "sha256": name, "bytes": 9, "by": "Orla"}


def timer(ident: str, at: str, seconds: int, time: str, **more: Any) -> Doc:
    """A timer that was started at this time of the day."""
    stamp = f"2031-06-03T{time}Z"
    note = {"id": ident, "t": stamp, "what": "note", "at": at, "text": "timer"}
    return {**note, "x_timer": seconds, **more}


def dark(ident: str, box: str) -> Doc:
    return {"id": ident, "what": "note", "at": box, "text": "dark", "x_dark": True}


def short_in(ident: str, at: str) -> Doc:
    return {"id": ident, "what": "note", "at": at, "text": "short", "x_fitted": "short"}


def left_site(ident: str = "left") -> Doc:
    return {"id": ident, "t": "2031-06-03T07:50:00Z", "what": "leave", "open": []}


def powered(*log: Doc, read: tuple[str, ...] = ()) -> Doc:
    """The reedbed job switched on, all before it done; ``read``: boxes that are proven."""
    before = ("arrive", "off", "pull", "fit", "look")
    judged = judge(read_job(reedbed()))
    doc = warned(reedbed())
    for n, step in enumerate(judged.steps):
        box = step.box if step.part == "power" and step.asks else ""
        if step.part in before or step.kind == "energise" or (box and box in read):
            doc["log"] += does(f"p{n}", judged, step)
    return {**doc, "log": [*doc["log"], *log]}


def does(ident: str, judged: Judgement, step: Step) -> list[Doc]:
    """The entry that does a step: a mark, a reading as planned, a photo, a copy."""
    if step.kind == "copy":
        return []  # comes last of all
    if step.asks is None:
        return [done(ident, step.id)]
    if step.asks.kind == PHOTO:
        return [photo(ident, step.asks.at)]
    return [reading(ident, step.asks.at, step.asks.kind, figure_for(judged, step))]


def figure_for(judged: Judgement, step: Step) -> float:
    """A figure that agrees with the plan, or one that is only kept where nothing is predicted."""
    asks = step.asks
    found = band_for(judged.state, judged.prediction, asks.at, asks.kind, AS_PLANNED)
    if isinstance(found, Say):
        return 5.0
    return round(found.expected if found.expected is not None else found.high / 2, 1)


def worked(doc: Doc, *, leave_open: frozenset[str] = frozenset()) -> Doc:
    """The job with everything done and measured as planned, but for some steps."""
    doc = warned(deepcopy(doc))
    judged = judge(read_job(doc))
    for n, step in enumerate(judged.steps):
        if step.state != "done" and step.id not in leave_open:
            doc["log"] += does(f"w{n}", judged, step)
    doc["log"].append({"id": "copy", "what": "export", "sha256": "0" * 64, "to": "a file"})
    return doc


LOW = reading("low", "R1.in", "volts", 44.0)
HIGH = reading("high", "R1.in", "volts", 57.9)


def unclear() -> Doc:
    """The first reading off the end of today's band that is not yet for certain."""
    value = judge(read_job(orchard())).today.band("R1.in", "volts").low
    while True:
        value = round(value - 0.02, 2)
        doc = orchard(reading("mid", "R1.in", "volts", value))
        word = judge(read_job(doc)).verdicts[0].verdict
        if word != INSIDE:
            assert word == UNCLEAR
            return doc


def unclear_with_amps() -> Doc:
    doc = unclear()
    doc["log"].append(reading("a", "R1.in", "milliamps", 319, moment="mid"))
    return doc


def fitted() -> Doc:
    """A reading with a known load in place of the endpoint, which is still out there."""
    load = {"with": {"E": {"watts": 15}}}
    log = orchard(reading("k", "E.in", "volts", 48.9, **load))
    return worked(log, leave_open=frozenset({"take-back.site"}))


def mended() -> Doc:
    """A low reading, and a repair of its run after it."""
    return orchard(LOW, {"id": "m", "what": "change", "where": "C1", "did": "made the end again"})


def taken_back() -> Doc:
    return orchard(LOW, {"id": "b", "what": "void", "of": "low"})


def two_plans() -> Doc:
    """Two phones that changed one length without having seen each other, and an odd entry."""
    change = {"what": "set", "path": ["spans", "C2", "length_m"], "was": 118}
    return orchard(
        {"id": "x", "device": "a", "n": 1, "by": "Orla", "value": 121, **change},
        {"id": "y", "device": "b", "n": 1, "by": "Ivo", "value": 110, **change},
        {"id": "z", "device": "b", "n": 2, "by": "Ivo", "what": "void", "of": "nowhere"},
    )


CHOICE = "conflict.spans/C2/length_m"


def repeated() -> Doc:
    """Two readings at one point, an hour apart, and one that its repeat has replaced."""
    return orchard(
        reading("first", "R1.in", "volts", 50.9, moment="morning"),
        reading("gone", "R1.in", "volts", 44.0, moment="noon"),
        reading("second", "R1.in", "volts", 51.0, moment="noon"),
    )


def waived() -> Doc:
    return orchard(
        LOW,
        {
            "id": "w",
            "t": "2031-06-03T07:30:00Z",
            "what": "waive",
            "of": "reading.low",
            "reason": "part on order",
            "by": "Ottar",
            "role": "owner",
        },
        {"id": "w2", "what": "waive", "of": "step.fit.R1", "reason": "done by others", "by": "Ola"},
    )


def torn_edit() -> Doc:
    """A change of the plan that does not fit."""
    return orchard(
        {"id": "x", "what": "set", "path": ["spans", "C99", "length_m"], "value": 3},
    )


def entries(phone: Phone, job: str) -> list[Doc]:
    """What the journal of an open job holds besides the plan and what ``warned`` put in."""
    log = phone.shelf.journals[job].records[1:]
    return [entry for entry in log if not entry["id"].startswith(READ)]


# ---------------------------------------------------------------- states of screens

ORCHARD, REEDBED, MILL = "/j/ORCHARD-GATE", "/j/REEDBED-HIDE", "/j/TIDE-MILL"
