"""Every screen in every state, and whole journeys, through the headless page: nothing may break."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any

import flet as ft
import pytest
from contrasts import undeclared
from headless import READ, CountedWorld, Phone, drive, sample, warned
from jobs import active, chain, endpoint, run, source
from jpegs import JFIF, WIDE, made

import fieldapp.app as app
from engine.design_band import band_for
from engine.fitted import SHORT
from engine.job import Point
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.network import AS_PLANNED, Standing
from engine.say import Say, say
from engine.step import PHOTO, Step
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR
from engine.worked import worked as worked_by
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.exchange.unpacking import unpack
from fieldapp.faces import FACES
from fieldapp.handover.codes import code_text
from fieldapp.onsite import TICK_SECONDS
from fieldapp.store.memory import MemoryDisk
from fieldapp.wires import PLUGS

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


# ---------------------------------------------------------------- states of screens

Act = Callable[[Phone], Awaitable[None]]


@dataclass(frozen=True)
class State:
    """A state of a screen: jobs on the phone, where one goes, what one does there, what is seen."""

    name: str
    docs: Callable[[], tuple[Doc, ...]]
    route: str
    act: Act | None = None
    sees: tuple[str, ...] = ()
    """keys that must be there"""
    lacks: tuple[str, ...] = ()
    """keys that must not"""


def tapping(*keys: str) -> Act:
    async def act(phone: Phone) -> None:
        for key in keys:
            await phone.tap(key)

    return act


def typing(digits: str) -> Act:
    async def act(phone: Phone) -> None:
        await phone.digits(digits)

    return act


def filling(**fields: str) -> Act:
    async def act(phone: Phone) -> None:
        for key, text in fields.items():
            await phone.type(key.replace("__", "/").replace("_", "-"), text)

    return act


async def one_end_then_steps(phone: Phone) -> None:
    await phone.tap("end-J1.b")
    await phone.go(f"{REEDBED}/steps")


async def edits_name(phone: Phone) -> None:
    await phone.type("edit-boxes/E/name", "Gate post")


async def edits_nonsense(phone: Phone) -> None:
    await phone.type("edit-boxes/E/name", " ")


CODE = code_text("HERON-HIDE", "L1")


async def types_refused(phone: Phone) -> None:
    await phone.type("code", CODE)
    await phone.tap("code-open")


def one(doc: Callable[[], Doc]) -> Callable[[], tuple[Doc, ...]]:
    return lambda: (doc(),)


ORCHARD, REEDBED, MILL = "/j/ORCHARD-GATE", "/j/REEDBED-HIDE", "/j/TIDE-MILL"
BAR = ("bar-now", "bar-run", "bar-leave")

STATES = [
    State("jobs-empty", tuple, "/", sees=("new", "settings", "slab", "open-file")),
    State("jobs-one", one(orchard), "/", sees=("job-ORCHARD-GATE", "slab")),
    State(
        "jobs-several",
        lambda: (reedbed(), orchard(LOW), mill(), forty()),
        "/",
        sees=("job-REEDBED-HIDE", "job-ORCHARD-GATE", "job-TIDE-MILL", "job-TRIAL"),
    ),
    State(
        "jobs-code",
        one(orchard),
        "/",
        filling(code=CODE),
        sees=("code", "code-open", "job-ORCHARD-GATE", "slab"),
    ),
    State(
        "jobs-code-refused",
        lambda: (orchard(), mill()),
        "/",
        types_refused,
        sees=("code", "open-file"),
        lacks=("code-open",),
    ),
    State("jobs-code-no-job", tuple, "/", types_refused, sees=("code",), lacks=("code-open",)),
    State("run-gone", one(reedbed), f"{REEDBED}/run?at=Q9", sees=("slab", "step-left", *BAR)),
    State("jobs-odd", lambda: (unfed(),), "/", sees=("job-ORCHARD-GATE",)),
    State("jobs-bare", lambda: (bare(),), "/", sees=("job-ORCHARD-GATE",)),
    State("jobs-collapse", lambda: (collapsing(),), "/", sees=("job-ORCHARD-GATE",)),
    State(
        "samples", tuple, "/samples", sees=("sample-orchard-gate", "sample-reedbed-hide", "back")
    ),
    State("new", tuple, "/new", sees=("new-1", "new-rub", "samples", "back")),
    State("settings", tuple, "/settings", sees=("look-sun", "look-dark", "look-phone", "name")),
    State("found", tuple, "/settings/found", sees=("cause-span.high", "cause-other", "back")),
    State("unknown-route", one(orchard), "/nowhere/at/all", sees=("job-ORCHARD-GATE",)),
    State("unknown-job", one(orchard), "/j/NOT-HERE/now", sees=("job-ORCHARD-GATE",)),
    # now
    State(
        "now",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now",
        sees=("slab", "cannot", "all-steps", *BAR),
        lacks=("understood",),
    ),
    State(
        "now-caution",
        one(reedbed),
        f"{REEDBED}/now",
        sees=("understood", *BAR),
        lacks=("slab", "cannot"),
    ),
    State(
        "now-cautions-many",
        lambda: (reedbed(done("a", "off.S", by="Rafe")),),
        f"{REEDBED}/now?step=bond.A2",
        sees=("understood",),
        lacks=("slab",),
    ),
    State(
        "now-photo",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=photo.L1",
        sees=("slab", "cannot"),
    ),
    State(
        "now-photo-not-here",
        lambda: (warned(reedbed(photo("p", "L1"), photo("q", "L1", "ab" * 32))),),
        f"{REEDBED}/now?step=photo.L1",
        sees=("slab",),
    ),
    State(
        "now-bond-photo",
        lambda: (warned(reedbed(photo("p", "bond.A1"))),),
        f"{REEDBED}/now?step=bond.A1",
        sees=("slab", "photo-bond.A1"),
    ),
    State(
        "now-wires",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=terminate.C4",
        sees=("slab",),
    ),
    State(
        "now-copy", lambda: (warned(reedbed()),), f"{REEDBED}/now?step=copy.site", sees=("slab",)
    ),
    State(
        "now-full",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=full.C",
        sees=("slab",),
        lacks=("waiting",),
    ),
    State(
        "now-full-runs",
        lambda: (warned(reedbed(timer("t", "full.C", 900, "07:58:00"))),),
        f"{REEDBED}/now?step=full.C",
        sees=("waiting", "cannot"),
        lacks=("slab",),
    ),
    State(
        "now-full-over",
        lambda: (warned(reedbed(timer("t", "full.C", 900, "07:00:00"))),),
        f"{REEDBED}/now?step=full.C",
        sees=("slab",),
        lacks=("waiting",),
    ),
    State("now-cold", lambda: (warned(reedbed()),), f"{REEDBED}/now?step=cold.S", sees=("slab",)),
    State(
        "now-cold-once",
        lambda: (warned(reedbed(timer("t", "cold.S", 10, "07:00:00", x_round=1))),),
        f"{REEDBED}/now?step=cold.S",
        sees=("slab",),
    ),
    State(
        "now-cold-twice",
        lambda: (warned(reedbed(timer("t", "cold.S", 10, "07:00:00", x_round=2))),),
        f"{REEDBED}/now?step=cold.S",
        sees=("slab",),
    ),
    # a visit is over
    State(
        "visit",
        lambda: (reedbed(done("a", "off.S"), left_site()),),
        f"{REEDBED}/now",
        sees=("people-1", "people-2", "only-look", *BAR),
        lacks=("slab", "understood"),
    ),
    State(
        "visit-pad",
        lambda: (reedbed(done("a", "off.S"), left_site()),),
        f"{REEDBED}/read/L2.in/volts",
        sees=("people-1",),
        lacks=("keep",),
    ),
    State(
        "visit-run",
        lambda: (reedbed(done("a", "off.S"), left_site()),),
        f"{REEDBED}/run",
        sees=("slab",),
        lacks=("people-1",),
    ),
    # the power-up walk
    State(
        "power-first", lambda: (powered(),), f"{REEDBED}/now", sees=("slab", "dark", "all-steps")
    ),
    State(
        "power-waits",
        lambda: (powered(timer("t", "wait.S", 600, "08:00:00")),),
        f"{REEDBED}/now",
        sees=("waiting", "lit", "dark"),
        lacks=("slab",),
    ),
    State(
        "power-waited",
        lambda: (powered(timer("t", "wait.S", 3, "07:00:00")),),
        f"{REEDBED}/power",
        sees=("slab", "dark"),
        lacks=("waiting",),
    ),
    State(
        "power-second", lambda: (powered(read=("S",)),), f"{REEDBED}/power", sees=("slab", "dark")
    ),
    State(
        "power-outside",
        lambda: (powered(reading("o", "L2.in", "volts", 41.0), read=("S", "L1")),),
        f"{REEDBED}/now",
        sees=("slab", "again", "mended"),
        lacks=("dark", "lit"),
    ),
    State(
        "power-dark",
        lambda: (powered(dark("d", "L1"), read=("S",)),),
        f"{REEDBED}/now",
        sees=("slab", "again", "mended", "lit"),
        lacks=("dark",),
    ),
    State(
        "power-mended",
        lambda: (powered(dark("d", "L1"), read=("S",)),),
        f"{REEDBED}/power",
        tapping("mended"),
        sees=("where-L1", "keep-mended"),
    ),
    State(
        "power-proven",
        lambda: (powered(read=("S", "L1", "L2", "C")),),
        f"{REEDBED}/power",
        sees=("slab",),
        lacks=("dark",),
    ),
    State("power-bare", one(bare), f"{ORCHARD}/power", sees=BAR),
    State("power-unfed", one(unfed), f"{ORCHARD}/power", sees=BAR),
    State("power-splitter", lambda: (warned(mill()),), f"{MILL}/power", sees=("slab",)),
    State("power-forty", lambda: (warned(forty()),), "/j/TRIAL/power", sees=("slab",)),
    # the eight wires
    State(
        "wires",
        one(reedbed),
        f"{REEDBED}/wires/C4",
        sees=("pinout-T568A", "pinout-T568B", "end-J1.b", "end-A2.line", "back"),
    ),
    State("wires-a", one(reedbed), f"{REEDBED}/wires/C4", tapping("pinout-T568A")),
    State(
        "wires-one", one(reedbed), f"{REEDBED}/wires/C4", tapping("end-J1.b"), sees=("end-J1.b",)
    ),
    State(
        "wires-differ",
        one(reedbed),
        f"{REEDBED}/wires/C4",
        tapping("end-J1.b", "pinout-T568A", "end-A2.line"),
        sees=("end-J1.b", "end-A2.line", "slab"),
    ),
    State("wires-patch", one(reedbed), f"{REEDBED}/wires/C1", sees=("back",), lacks=("end-S.out",)),
    State("wires-unknown", one(reedbed), f"{REEDBED}/wires/Q9", sees=("back",)),
    State(
        "now-finding", one(mismatch), f"{REEDBED}/now", sees=("slab", "to-waive"), lacks=("cannot",)
    ),
    State("now-turned", one(turned), f"{REEDBED}/now", sees=("to-waive",)),
    State("now-unbonded", one(unbonded), f"{REEDBED}/now", sees=("to-waive",)),
    State("now-collapse", one(collapsing), f"{ORCHARD}/now", sees=("to-waive",)),
    State("now-unfed", one(unfed), f"{ORCHARD}/now", sees=("to-waive",)),
    State(
        "now-nothing",
        lambda: (worked(orchard()),),
        f"{ORCHARD}/now",
        sees=("slab",),
        lacks=("cannot",),
    ),
    State(
        "now-cannot",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now",
        tapping("cannot"),
        sees=("sheet-close",),
    ),
    State(
        "now-strip",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now",
        tapping("slab"),
        sees=("strip-undo", "slab"),
    ),
    State(
        "now-reopened",
        lambda: (
            warned(reedbed(done("a", "feed.S"), done("b", "off.S"), done("c", "feed.S", "undone"))),
        ),
        f"{REEDBED}/now?step=off.S",
        sees=("slab",),
    ),
    State(
        "now-done",
        lambda: (reedbed(done("a", "off.S")),),
        f"{REEDBED}/now?step=off.S",
        sees=("slab",),
    ),
    State(
        "now-unknown-step",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=no.such",
        sees=("slab", "cannot"),
    ),
    # steps
    State("steps", one(reedbed), f"{REEDBED}/steps", sees=("tick-off.S", "step-off.S")),
    State(
        "steps-mixed",
        lambda: (
            reedbed(
                done("a", "announce.site", by="Orla"),
                done("b", "feed.S"),
                done("c", "off.S"),
                done("d", "feed.S", "undone"),
                done("e", "mount.C", "not-here", why="no part"),
                done("f", "look.site", "not-here"),
            ),
        ),
        f"{REEDBED}/steps",
        sees=("tick-off.S",),
    ),
    State("steps-all-done", lambda: (worked(orchard()),), f"{ORCHARD}/steps", sees=("tick-off.S",)),
    State(
        "steps-two-people",
        lambda: (reedbed({"id": "v", "what": "visit", "people": 2}),),
        f"{REEDBED}/steps",
        sees=("tick-off.S", "shown-here"),
    ),
    State("steps-forty", lambda: (forty(),), "/j/TRIAL/steps", sees=("shown-open",)),
    State(
        "steps-one-end",
        one(reedbed),
        f"{REEDBED}/wires/C4",
        one_end_then_steps,
        sees=("tick-terminate.C4",),
        lacks=("tick-photo.L1", "tick-copy.site"),
    ),
    State("steps-splitter", one(mill), f"{MILL}/steps", sees=("tick-fit.X",)),
    # run
    State(
        "run-plan-only", one(reedbed), f"{REEDBED}/run", sees=("box-L2", "step-left", "step-right")
    ),
    State("run-inside", lambda: (worked(reedbed()),), f"{REEDBED}/run", sees=("box-C", "slab")),
    State("run-outside", lambda: (orchard(LOW),), f"{ORCHARD}/run?at=R1.in", sees=("slab",)),
    State("run-high", lambda: (orchard(HIGH),), f"{ORCHARD}/run?at=R1.in", sees=("slab",)),
    State("run-unclear", lambda: (unclear(),), f"{ORCHARD}/run?at=R1.in", sees=("slab",)),
    State("run-repeated", lambda: (repeated(),), f"{ORCHARD}/run", sees=("slab",)),
    State("run-collapse", one(collapsing), f"{ORCHARD}/run", sees=("box-E",)),
    State("run-unfed", one(unfed), f"{ORCHARD}/run", sees=("box-E",)),
    State("run-bare", one(bare), f"{ORCHARD}/run", sees=("box-S",)),
    State("run-splitter", one(mill), f"{MILL}/run?at=G.in", sees=("box-X",)),
    State("run-turned", one(turned), f"{REEDBED}/run?at=L1.in", sees=("box-L1",)),
    State("run-forty", lambda: (forty(),), "/j/TRIAL/run", sees=("box-R1", "slab")),
    State(
        "run-no-link",
        lambda: (orchard(reading("n", "R1.in", "mbps", 0), reading("v", "R1.in", "volts", 50.9)),),
        f"{ORCHARD}/run",
        sees=("slab",),
    ),
    State("run-unknown-point", one(orchard), f"{ORCHARD}/run?at=Q.in", sees=("slab",)),
    # reading
    State(
        "read",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        sees=("key-1", "key-.", "key-rub", "keep"),
    ),
    State(
        "read-typed", one(reedbed), f"{REEDBED}/read/L2.in/volts", typing("41.0"), sees=("keep",)
    ),
    State(
        "read-caution",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        sees=("understood",),
        lacks=("keep",),
    ),
    State("read-point", one(reedbed), f"{REEDBED}/read/L2.in/volts", typing("."), sees=("keep",)),
    State("read-over", one(reedbed), f"{REEDBED}/read/L2.in/volts", typing("410"), sees=("keep",)),
    State(
        "read-long", one(reedbed), f"{REEDBED}/read/L2.in/volts", typing("1234567"), sees=("keep",)
    ),
    State(
        "read-open",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        tapping("key-5", "key-2", "standing-open"),
        sees=("standing-open",),
    ),
    State(
        "read-known-asks",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        tapping("standing-known"),
        sees=("load-box-L2", "load-box-C", "load-15", "load-0", "load-more", "sheet-close"),
        lacks=("keep", "load-set"),
    ),
    State(
        "read-known",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        tapping("standing-known", "load-15", "load-more", "load-set", "key-4", "key-8"),
        sees=("standing-known", "keep"),
    ),
    State(
        "read-unplugged",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        tapping("standing-known", "load-0", "load-set"),
        sees=("standing-known", "keep"),
    ),
    State(
        "read-no-known",
        one(unfed),
        f"{ORCHARD}/read/E.in/volts",
        sees=("standing-open",),
        lacks=("standing-known",),
    ),
    State(
        "read-unclear-again",
        lambda: (unclear(),),
        f"{ORCHARD}/read/R1.in/volts?again=mid",
        typing("50.4"),
        sees=("keep",),
    ),
    State("read-bare", one(reedbed), f"{REEDBED}/read/S.out/volts", tapping("standing-open")),
    State("read-milliamps", one(reedbed), f"{REEDBED}/read/C.in/milliamps", typing("297")),
    State("read-no-meter", one(mill), f"{MILL}/read/X.in/watts", typing("12"), sees=("meter",)),
    State(
        "read-points",
        one(reedbed),
        f"{REEDBED}/read/L2.in/volts",
        tapping("point"),
        ("point-L2.out",),
    ),
    State("read-mbps", one(reedbed), f"{REEDBED}/read/L2.in/mbps", sees=("speed-0", "speed-1000")),
    State(
        "read-loop", one(reedbed), f"{REEDBED}/read/C4/loop_ohms", typing("34.2"), lacks=("point",)
    ),
    State(
        "read-earth", one(reedbed), f"{REEDBED}/read/EB2/earth_ohms", typing("12"), sees=("keep",)
    ),
    State("read-unknown", one(reedbed), f"{REEDBED}/read/Q9.in/volts", typing("1"), sees=("keep",)),
    State("read-unfed", one(unfed), f"{ORCHARD}/read/E.in/volts", typing("0"), sees=("keep",)),
    # verdict
    State(
        "verdict-inside",
        lambda: (orchard(reading("v", "R1.in", "volts", 50.9)),),
        f"{ORCHARD}/verdict/v",
        sees=("slab", "no-lead", "take-back"),
    ),
    State(
        "verdict-inside-amps",
        lambda: (
            orchard(reading("v", "R1.in", "volts", 50.9), reading("a", "R1.in", "milliamps", 319)),
        ),
        f"{ORCHARD}/verdict/v",
        sees=("slab", "again", "take-back"),
    ),
    State(
        "verdict-unclear",
        lambda: (unclear(),),
        f"{ORCHARD}/verdict/mid",
        sees=("slab", "amps", "take-back"),
        lacks=("see-run",),
    ),
    State(
        "verdict-unclear-amps",
        lambda: (unclear_with_amps(),),
        f"{ORCHARD}/verdict/mid",
        sees=("slab", "see-run", "take-back"),
        lacks=("amps",),
    ),
    State(
        "verdict-taken-back",
        lambda: (taken_back(),),
        f"{ORCHARD}/verdict/low",
        sees=("slab", "point-R1.out", "point-E.in"),
        lacks=("take-back", "point-R1.in"),
    ),
    State(
        "verdict-change",
        lambda: (orchard(LOW),),
        f"{ORCHARD}/verdict/low",
        tapping("mended"),
        sees=("where-R1", "where-C1", "where-C2", "did", "keep-mended", "sheet-close"),
        lacks=("take-back",),
    ),
    State(
        "verdict-mended",
        lambda: (mended(),),
        f"{ORCHARD}/verdict/low",
        sees=("slab",),
        lacks=("mended", "take-back"),
    ),
    State("verdict-known", lambda: (fitted(),), f"{ORCHARD}/verdict/k", sees=("slab",)),
    State(
        "verdict-low",
        lambda: (orchard(LOW),),
        f"{ORCHARD}/verdict/low",
        sees=("again", "take-back", "amps", "mended"),
    ),
    State(
        "verdict-low-behind-good",
        lambda: (
            orchard(reading("s", "R1.in", "volts", 50.9), reading("low", "E.in", "volts", 41.0)),
        ),
        f"{ORCHARD}/verdict/low",
        sees=("again",),
    ),
    State("verdict-high", lambda: (orchard(HIGH),), f"{ORCHARD}/verdict/high", sees=("again",)),
    State(
        "verdict-no-band",
        lambda: (unfed() | {"log": [reading("n", "E.in", "volts", 3)]},),
        f"{ORCHARD}/verdict/n",
        sees=("slab",),
    ),
    State(
        "verdict-replaced",
        lambda: (repeated(),),
        f"{ORCHARD}/verdict/gone",
        sees=("slab",),
        lacks=("take-back",),
    ),
    State(
        "verdict-no-link",
        lambda: (orchard(reading("n", "R1.in", "mbps", 0)),),
        f"{ORCHARD}/verdict/n",
        sees=("again",),
    ),
    State(
        "verdict-earth",
        lambda: (reedbed(reading("n", "EB2", "earth_ohms", 40)),),
        f"{REEDBED}/verdict/n",
        sees=("again",),
    ),
    State(
        "verdict-loop",
        lambda: (orchard(reading("n", "C2", "loop_ohms", 24.6)),),
        f"{ORCHARD}/verdict/n",
        sees=("again",),
    ),
    State("verdict-unknown", one(orchard), f"{ORCHARD}/verdict/none", sees=BAR, lacks=("slab",)),
    State(
        "verdict-minus",
        lambda: (orchard(reading("n", "R1.in", "volts", -50.9)),),
        f"{ORCHARD}/verdict/n",
        sees=("slab",),
    ),
    # leave
    State(
        "leave-many", one(reedbed), f"{REEDBED}/leave", sees=("held", "waive-step.bond.A2", *BAR)
    ),
    State(
        "leave-one",
        lambda: (worked(orchard(), leave_open=frozenset({"take-back.site"})),),
        f"{ORCHARD}/leave",
        sees=("held", "mend-step.take-back.site"),
    ),
    State(
        "leave-free",
        lambda: (worked(orchard()),),
        f"{ORCHARD}/leave",
        sees=("slab",),
        lacks=("held",),
    ),
    State(
        "leave-waived",
        lambda: (waived(),),
        f"{ORCHARD}/leave",
        sees=("hold-reading.low",),
        lacks=("waive-reading.low",),
    ),
    State(
        "leave-edit",
        lambda: (torn_edit(),),
        f"{ORCHARD}/leave",
        sees=("hold-edit.x",),
        lacks=("waive-edit.x",),
    ),
    State(
        "leave-change",
        lambda: (orchard(LOW),),
        f"{ORCHARD}/leave",
        tapping("mended-reading.low"),
        sees=("where-R1", "keep-mended"),
        lacks=("held",),
    ),
    State(
        "leave-two-plans",
        lambda: (two_plans(),),
        f"{ORCHARD}/leave",
        sees=(f"hold-{CHOICE}", f"mend-{CHOICE}", "odd"),
        lacks=(f"waive-{CHOICE}",),
    ),
    State(
        "leave-choose",
        lambda: (two_plans(),),
        f"{ORCHARD}/leave",
        tapping(f"mend-{CHOICE}"),
        sees=("keep-x", "keep-y", "sheet-close"),
        lacks=("held",),
    ),
    State(
        "leave-odd",
        lambda: (two_plans(),),
        f"{ORCHARD}/leave",
        tapping("odd"),
        sees=("sheet-close",),
        lacks=("held",),
    ),
    State(
        "run-two-plans", lambda: (two_plans(),), f"{ORCHARD}/run", sees=(CHOICE.replace(".", "-"),)
    ),
    State(
        "plan-two-plans",
        lambda: (two_plans(),),
        f"{ORCHARD}/plan",
        sees=(CHOICE.replace(".", "-"),),
    ),
    State(
        "leave-fitted",
        lambda: (fitted(),),
        f"{ORCHARD}/leave",
        sees=("hold-step.take-back.site", "mend-step.take-back.site"),
        lacks=("waive-step.take-back.site",),
    ),
    State(
        "leave-still-in",
        lambda: (reedbed(short_in("s", "C4")),),
        f"{REEDBED}/leave",
        sees=("hold-fitted.s", "mend-fitted.s"),
        lacks=("waive-fitted.s",),
    ),
    State(
        "leave-photos-and-copy",
        lambda: (reedbed(done("a", "off.S")),),
        f"{REEDBED}/leave",
        sees=("mend-photo.L1", "waive-photo.L1", "mend-copied", "waive-copied"),
    ),
    State("leave-finding", one(turned), f"{REEDBED}/leave", sees=("held",)),
    State(
        "hand-new",
        one(reedbed),
        f"{REEDBED}/hand",
        sees=("hand-whole", "hand-readings", "save-whole", "save-readings", *BAR),
        lacks=("share-whole", "share-readings"),
    ),
    State(
        "hand-signed",
        lambda: (reedbed(SIGNED, reading("after", "S.out", "volts", 54.0)),),
        f"{REEDBED}/hand",
        sees=("signed-name", "unsign-name", "to-sign"),
    ),
    State(
        "sign-new",
        one(reedbed),
        f"{REEDBED}/sign",
        sees=("sign-name", "role-0", "role-2", "sign-role", "sign-field", "sign-slab", "back"),
        lacks=BAR,
    ),
    State(
        "leave-waive-self",
        one(reedbed),
        f"{REEDBED}/leave",
        tapping("waive-step.fit.L2"),
        sees=("waive-it", "sheet-close", "waive-name"),
        lacks=("waive-role",),
    ),
    State(
        "leave-waive-responsible",
        one(reedbed),
        f"{REEDBED}/leave",
        tapping("waive-step.bond.A2"),
        sees=("waive-it", "waive-name", "waive-role"),
    ),
    # plan
    State(
        "plan", one(reedbed), f"{REEDBED}/plan", sees=("edit-title", "done"), lacks=("keep-change",)
    ),
    State("plan-thing", one(reedbed), f"{REEDBED}/plan/L2", sees=("edit-boxes/L2/name",)),
    State("plan-editing", one(orchard), f"{ORCHARD}/plan/E", edits_name, sees=("keep-change",)),
    State(
        "plan-nonsense", one(orchard), f"{ORCHARD}/plan/E", edits_nonsense, sees=("keep-change",)
    ),
    State("plan-finding", one(mismatch), f"{REEDBED}/plan", sees=("edit-title",)),
    State("plan-collapse", one(collapsing), f"{ORCHARD}/plan", sees=("edit-title",)),
    State("plan-unfed", one(unfed), f"{ORCHARD}/plan", sees=("edit-title",)),
    State("plan-bare", one(bare), f"{ORCHARD}/plan", sees=("edit-title",)),
    State("plan-splitter", one(mill), f"{MILL}/plan/C5", sees=("length",)),
    State("plan-forty", lambda: (forty(),), "/j/TRIAL/plan/C39", sees=("length",)),
]


def boxes_with_presses(phone: Phone) -> list[Any]:
    return [c for c in phone.controls() if getattr(c, "on_click", None) is not None]


def look_over(phone: Phone, tokens: Mapping[str, str], scale: float) -> None:
    """What must hold of any screen in any look."""
    assert phone.grounds == {tokens["ground"]}
    assert phone.texts(), "an empty screen"
    if tokens is DARK:
        assert not set(undeclared(phone.page.views)), "colours that nobody measured"
    assert all(route.startswith("/") for route in [view.route for view in phone.views])
    assert len({view.key for view in phone.views}) == len(phone.views)
    keys = [key for key in phone.keys if not key.startswith("/")]
    assert len(keys) == len(set(keys)), "a key twice"
    for control in phone.controls():
        for name in ("width", "height"):
            value = getattr(control, name, None)
            assert not isinstance(value, int | float) or value >= 0, (control, name)
        if isinstance(control, ft.Text) and control.style is not None:
            assert control.style.font_family in {face.family for face in FACES.values()} | {None}
    for control in boxes_with_presses(phone):
        if control.height is not None:
            assert control.height >= 56, f"{control.key} is {control.height} high"
        if scale >= 2 and control.key in ("slab", "keep", "held", "waive-it", "keep-change"):
            assert control.height is None, f"{control.key} clips large letters"


LOOKS = [
    ("sun", (390, 844), False, 1.0),
    ("dark and small", (360, 640), True, 1.0),
    ("small with large letters", (360, 640), False, 2.0),
    ("wide", (1240, 900), False, 1.0),
]


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.name)
def test_a_screen_in_this_state_can_be_drawn_in_every_look(state):
    async def journey() -> None:
        docs = state.docs()
        if "/read/" in state.route and state.name != "read-caution":
            docs = tuple(map(warned, docs))  # the cautions of a pad stand in front of it
        phone = await Phone.start(docs=docs, link=state.route)
        if state.act is not None:
            await state.act(phone)
        for key in state.sees:
            assert phone.has(key), (key, phone.keys)
        for key in state.lacks:
            assert not phone.has(key), key
        for _, size, dark, scale in LOOKS:
            await phone.wear(dark=dark, size=size, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
            for key in state.sees:
                assert phone.has(key), (key, phone.keys)
        phone.stop()

    drive(journey)


def test_the_states_are_what_they_are_called():
    """The variants of the samples must break what they are meant to break."""

    def rules(doc: Doc) -> set[str]:
        return {f.rule for f in judge(read_job(doc)).prediction.findings if f.severity == "stop"}

    def word(doc: Doc, ident: str) -> str:
        return next(v.verdict for v in judge(read_job(doc)).verdicts if v.id == ident)

    assert rules(mismatch()) == {"speed-mismatch"}
    assert rules(turned()) >= {"orientation", "arrestor-facing"}
    assert rules(unbonded()) == {"bond"}
    assert judge(read_job(collapsing())).prediction.collapse is not None
    assert rules(unfed()) == {"feed"}
    assert word(unclear(), "mid") == UNCLEAR
    assert word(orchard(LOW), "low") == word(orchard(HIGH), "high") == OUTSIDE
    assert word(repeated(), "first") == INSIDE
    assert word(unfed() | {"log": [reading("n", "E.in", "volts", 3)]}, "n") == NO_BAND
    assert len(forty()["boxes"]) == 40 and judge(read_job(forty())).prediction.operates
    assert judge(read_job(worked(orchard()))).ready_to_leave
    assert judge(read_job(torn_edit())).state.left_out


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_the_page_of_every_step_can_be_drawn(name):
    async def journey() -> None:
        doc, measured = sample(name), set()
        phone = await Phone.start(docs=(warned(doc),))
        for step in judge(read_job(doc)).steps:
            await phone.go(f"/j/{doc['id']}/now?step={step.id}")
            assert phone.shows(words.step(step.say).sentence), step.id
            assert phone.shows(words.step(step.say).why), step.id
            caution = words.step(step.say).caution
            assert not caution or phone.shows(caution), step.id
            if step.asks is not None and step.asks.kind not in (PHOTO, *measured):
                measured.add(step.asks.kind)
                await phone.tap("slab")
                assert f"/read/{step.asks.at}/{step.asks.kind}" in phone.route
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("make", [turned, unfed, bare, forty])
def test_the_page_of_every_step_of_an_odd_plan_can_be_drawn(make):
    async def journey() -> None:
        doc = warned(make())
        phone = await Phone.start(docs=(doc,), size=(360, 640), scale=2.0)
        seen = set()
        for step in judge(read_job(doc)).steps:
            kind = (step.id.partition(".")[0], step.box and step.box.rstrip("0123456789"))
            if kind not in seen:
                seen.add(kind)
                await phone.go(f"/j/{doc['id']}/now?step={step.id}")
                assert phone.shows(words.step(step.say).sentence), step.id
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- what is told and what fails


def test_a_journal_that_cannot_be_read_stands_in_its_place_and_opens_nothing():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(orchard(), reedbed()))
        phone.stop()
        disk.journals["REEDBED-HIDE"] = b"no journal at all\n"
        phone = await Phone.start(disk, world)
        assert phone.shows(words.sentence(row_trouble(phone)))
        assert phone.find("job-REEDBED-HIDE").__class__ is ft.Container
        assert phone.has("slab")
        await phone.tap("job-ORCHARD-GATE")
        assert phone.route == f"{ORCHARD}/now"
        await phone.go(f"{REEDBED}/now")
        assert phone.route == "/" and phone.shows("REEDBED-HIDE")
        assert disk.journals["REEDBED-HIDE"] == b"no journal at all\n"
        phone.stop()

    def row_trouble(phone: Phone):
        from engine.say import say

        return say("row-unreadable")

    drive(journey)


def test_a_screen_that_cannot_be_drawn_says_so_and_the_app_goes_on(monkeypatch):
    def broken(model, send, look):
        raise ZeroDivisionError("planted")

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/now")
        phone.may_break = True
        monkeypatch.setitem(app.SCREENS, "run", broken)
        await phone.tap("bar-run")
        assert "planted" in phone.broken[-1]
        assert phone.shows(words.FIXED.went_wrong) and phone.shows(words.FIXED.went_wrong_more)
        count = len(phone.broken)
        await phone.tap("slab")
        assert phone.route == "/" and phone.has("job-ORCHARD-GATE")
        await phone.tap("job-ORCHARD-GATE")
        assert phone.has("cannot")
        assert len(phone.broken) == count, "only the broken screen breaks"
        phone.stop()

    drive(journey)


def test_a_screen_that_breaks_only_when_it_is_sent_does_not_end_the_app(monkeypatch):
    """Flet checks some controls after the app's own guard is left; a later press must revive it."""

    def late(model, send, look):
        return [ft.SegmentedButton(selected=[], segments=[])]

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/now")
        phone.may_break = True
        monkeypatch.setitem(app.SCREENS, "run", late)
        await phone.tap("bar-run")
        assert any("segments" in heard for heard in phone.ears.heard), "it did break"
        monkeypatch.undo()
        await phone.back()
        await phone.go(f"{ORCHARD}/leave")
        assert phone.has("held")
        phone.stop()

    drive(journey)


def test_a_step_button_never_hides_the_failure(monkeypatch):
    """The watch of these tests sees a failure in any screen: it is proven on one."""

    def broken(model, send, look):
        raise KeyError("planted")

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        monkeypatch.setitem(app.SCREENS, "leave", broken)
        with pytest.raises(AssertionError, match="planted"):
            await phone.go(f"{ORCHARD}/leave")
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- journeys


def entries(phone: Phone, job: str) -> list[Doc]:
    """What the journal of an open job holds besides the plan and what ``warned`` put in."""
    log = phone.shelf.journals[job].records[1:]
    return [entry for entry in log if not entry["id"].startswith(READ)]


def test_from_a_sample_to_two_steps_and_back_one():
    async def journey() -> None:
        phone = await Phone.start()
        assert phone.shows(words.FIXED.no_jobs)
        await phone.tap("samples")
        assert phone.route == "/samples"
        await phone.tap("sample-reedbed-hide")
        assert phone.route == f"{REEDBED}/plan"
        await phone.tap("done")
        assert phone.route == f"{REEDBED}/now"
        await phone.tap("understood")
        (told,) = entries(phone, "REEDBED-HIDE")
        assert (told["what"], told["at"], told["x_caution"]) == ("note", "hut", "caution-thunder")
        await phone.tap("slab")
        assert phone.has("strip-undo")
        await phone.tap("cannot")
        await phone.tap(f"reason-{words.CANNOT[0]}")
        _, *log = entries(phone, "REEDBED-HIDE")
        assert [(e["step"], e["state"]) for e in log] == [
            ("announce.site", "done"),
            ("walk.site", "not-here"),
        ]
        assert all(e["device"] == "d0d0" and e["t"].endswith("Z") for e in log)
        await phone.tap("strip-undo")
        log = entries(phone, "REEDBED-HIDE")
        assert log[-1]["what"] == "void" and log[-1]["of"] == log[2]["id"]
        assert not phone.has("strip-undo")
        assert phone.shows(words.step(judge(read_job(reedbed())).steps[1].say).sentence)
        assert len(log) == 4, "what was done stays in the log"
        phone.stop()

    drive(journey)


def test_the_strip_goes_by_itself_and_only_the_last_one():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now")
        await phone.tap("slab")
        first = list(phone.world.waits)
        phone.world.waits.clear()
        await phone.go(f"{REEDBED}/now?step=meter.site")
        await phone.tap("slab")
        for _, gate in first:
            gate.set()
        await phone.settle()
        assert phone.has("strip-undo"), "an older wait must not take a newer strip"
        assert {seconds for seconds, _ in first} == {8.0}
        phone.world.let_go()
        await phone.settle()
        assert not phone.has("strip-undo")
        phone.stop()

    drive(journey)


def test_a_step_is_ticked_and_opened_again_in_the_list():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/steps")
        assert not phone.has("tick-photo.L1"), "nor does one that asks for a photo"
        await phone.tap("tick-feed.S")
        await phone.tap("tick-off.S")
        await phone.tap("tick-feed.S")
        states = [(e["step"], e["state"]) for e in entries(phone, "REEDBED-HIDE")]
        assert states == [("feed.S", "done"), ("off.S", "done"), ("feed.S", "undone")]
        assert phone.shows(words.reopened("Read S: powered, and on"))
        assert not phone.has("tick-pairs.C4"), "a step that asks for a reading fills by itself"
        await phone.tap("step-off.S")
        assert phone.route == f"{REEDBED}/now?step=off.S"
        await phone.tap("understood")
        await phone.tap("cannot")
        await phone.tap(f"reason-{words.CANNOT[0]}")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["step"], last["state"], last["why"]) == ("off.S", "not-here", words.CANNOT[0])
        phone.stop()

    drive(journey)


def test_three_presses_log_a_reading_at_any_box_and_it_can_be_taken_back():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(orchard()),))
        await phone.go(f"{ORCHARD}/run")
        await phone.tap("box-R1")
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/read/R1.in/volts"
        await phone.digits("44.0")
        await phone.tap("keep")
        (entry,) = entries(phone, "ORCHARD-GATE")
        assert (entry["at"], entry["kind"], entry["value"]) == ("R1.in", "volts", 44.0)
        assert phone.route == f"{ORCHARD}/verdict/{entry['id']}"
        assert phone.shows(words.VERDICTS[OUTSIDE])
        await phone.tap("take-back")
        log = entries(phone, "ORCHARD-GATE")
        assert [e["what"] for e in log] == ["reading", "void"] and log[1]["of"] == entry["id"]
        assert phone.route == f"{ORCHARD}/verdict/{entry['id']}", "it answers where one is"
        assert phone.shows(words.taken_back())
        assert not phone.has("take-back"), "what is taken back is not taken back again"
        await phone.tap("point-R1.out")
        moved = entries(phone, "ORCHARD-GATE")[-1]
        assert (moved["what"], moved["at"], moved["value"]) == ("reading", "R1.out", 44.0)
        assert moved["moment"] == entry["id"] and moved["meter"] == entry["meter"]
        assert phone.route == f"{ORCHARD}/verdict/{moved['id']}"
        phone.stop()

    drive(journey)


def test_inside_leads_to_the_milliamps_and_outside_to_the_fault():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(orchard()),))
        await phone.go(f"{ORCHARD}/read/R1.in/volts")
        await phone.digits("50.9")
        await phone.tap("keep")
        assert phone.shows(words.VERDICTS[INSIDE])
        await phone.tap("slab")
        first = entries(phone, "ORCHARD-GATE")[-1]
        assert phone.route == f"{ORCHARD}/read/R1.in/milliamps?beside={first['id']}"
        assert not phone.shows("50.9"), "the volts are not carried over"
        phone.world.pass_minutes(9)
        await phone.digits("319")
        await phone.tap("keep")
        assert phone.shows(words.VERDICTS[INSIDE])
        assert entries(phone, "ORCHARD-GATE")[-1]["moment"] == first["id"]
        await phone.go(f"{ORCHARD}/read/E.in/volts")
        await phone.digits("41")
        await phone.tap("keep")
        assert phone.shows(words.VERDICTS[OUTSIDE]) and phone.shows(words.starts_past("R1"))
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/fault"
        phone.stop()

    drive(journey)


def test_an_unclear_reading_is_measured_again_and_both_are_used():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(unclear()),))
        await phone.go(f"{ORCHARD}/verdict/mid")
        assert phone.shows(words.VERDICTS[UNCLEAR])
        await phone.tap("slab")
        await phone.digits("50.51")
        await phone.tap("keep")
        judged = judge(await phone.shelf.read("ORCHARD-GATE"))
        volts = [
            verdict.reading
            for verdict in judged.verdicts
            if verdict.current and (verdict.reading.at, verdict.reading.kind) == ("R1.in", "volts")
        ]
        assert {one.value for one in volts} >= {50.51, unclear()["log"][0]["value"]}
        assert len({one.moment for one in volts}) == len(volts)
        phone.stop()

    drive(journey)


def test_a_repair_strikes_what_was_read_before_it_and_says_so():
    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(LOW),))
        await phone.go(f"{ORCHARD}/verdict/low")
        await phone.tap("mended")
        assert not phone.takes("keep-mended")
        await phone.tap("where-C1")
        await phone.tap(f"did-{words.MENDED[0]}")
        await phone.tap("keep-mended")
        last = entries(phone, "ORCHARD-GATE")[-1]
        assert (last["what"], last["where"], last["did"]) == ("change", "C1", words.MENDED[0])
        assert phone.route == f"{ORCHARD}/now" and phone.has("strip-undo")
        said = say("strip-change", where="C1", did=words.MENDED[0], struck=1)
        assert phone.shows(words.sentence(said))
        await phone.go(f"{ORCHARD}/verdict/low")
        assert phone.shows(words.no_longer_counts())
        phone.stop()

    drive(journey)


def test_of_two_plans_one_is_kept_and_the_place_is_marked_until_then():
    async def journey() -> None:
        phone = await Phone.start(docs=(two_plans(),))
        await phone.go(f"{ORCHARD}/run")
        marked = words.plans_disagree("spans/C2/length_m")
        assert phone.shows(marked)
        await phone.tap(CHOICE.replace(".", "-"))
        assert phone.route == f"{ORCHARD}/leave"
        await phone.tap(f"mend-{CHOICE}")
        for value, by in ((121, "Orla"), (110, "Ivo")):
            assert phone.shows(words.conflict_value("spans/C2/length_m", value))
            assert any(words.written_by(by, False) in one for one in phone.texts())
        await phone.tap("keep-x")
        last = entries(phone, "ORCHARD-GATE")[-1]
        assert (last["what"], last["keep"], set(last["of"])) == ("resolve", "x", {"x", "y"})
        assert not phone.has(f"hold-{CHOICE}")
        await phone.go(f"{ORCHARD}/plan/C2")
        assert not phone.shows(marked)
        assert words.metres(121) in phone.texts(phone.find("length"))
        phone.stop()

    drive(journey)


def test_what_is_odd_in_a_log_is_told_in_sentences():
    async def journey() -> None:
        phone = await Phone.start(docs=(two_plans(),))
        await phone.go(f"{ORCHARD}/leave")
        odd = judge(read_job(two_plans())).state.oddities
        assert phone.shows(words.oddities(len(odd)))
        await phone.tap("odd")
        for one in odd:
            assert phone.shows(words.sentence(one.say))
        await phone.tap("sheet-close")
        assert phone.has("held")
        phone.stop()

    drive(journey)


def test_what_a_bare_meter_cannot_see_is_said_before_it_is_kept():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/read/S.out/volts")
        await phone.tap("standing-open")
        judged = judge(read_job(reedbed()))
        beyond = Standing(beyond=Point("S", "out"))
        why = band_for(judged.state, judged.prediction, "S.out", "volts", beyond)
        assert phone.shows(words.sentence(why))
        await phone.tap("standing-loaded")
        assert not phone.shows(words.sentence(why))
        phone.stop()

    drive(journey)


def test_the_sleeve_narrows_as_more_is_read():
    """What the pad says aloud are today's ends, and they draw in with each accepted reading."""

    async def journey() -> None:
        widths = []
        log: list[Doc] = []
        for more in ((), ("S.out", 53.9), ("J1.a", 51.5)):
            if more:
                log.append(reading(f"g{len(log)}", more[0], "volts", more[1]))
            phone = await Phone.start(docs=(warned(reedbed(*log)),))
            await phone.go(f"{REEDBED}/read/A2.line/volts")
            today = judge(read_job(reedbed(*log))).today.band("A2.line", "volts", meter="M1")
            said = words.speak_gauge(None, 0, today.low, today.high, "volts", "", today=True)
            assert any(said in one for one in phone.speech()), phone.speech()
            widths.append(today.high - today.low)
            phone.stop()
        assert widths == sorted(widths, reverse=True) and widths[-1] < widths[0] / 1.5

    drive(journey)


def test_the_digits_go_with_one_to_another_point():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(orchard()),))
        await phone.go(f"{ORCHARD}/read/R1.in/volts")
        await phone.digits("47.3")
        await phone.tap("point")
        await phone.tap("point-E.in")
        assert phone.route == f"{ORCHARD}/read/E.in/volts"
        await phone.tap("keep")
        (entry,) = entries(phone, "ORCHARD-GATE")
        assert (entry["at"], entry["value"]) == ("E.in", 47.3)
        phone.stop()

    drive(journey)


def test_back_goes_one_level_down_until_the_jobs():
    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/plan")
        seen = []
        for _ in range(3):
            await phone.back()
            seen.append(phone.route)
        assert seen == [f"{ORCHARD}/run", "/", "/"]
        phone.stop()

    drive(journey)


def test_a_hold_is_waived_by_a_name_that_somebody_types():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go("/settings")
        await phone.type("name", "Orla")
        await phone.go(f"{REEDBED}/leave")
        await phone.tap("waive-step.bond.A2")
        assert phone.find("waive-name").value == "" and phone.find("waive-role").value == ""
        assert not phone.takes("waive-it")
        await phone.tap(f"reason-{words.WAIVERS[0]}")
        assert not phone.takes("waive-it"), "one's own name does not answer for an earth"
        await phone.type("waive-name", "Ottar")
        assert not phone.takes("waive-it")
        await phone.type("waive-role", "owner")
        await phone.tap("waive-it")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert last["what"] == "waive" and last["of"] == "step.bond.A2"
        assert (last["by"], last["role"], last["reason"]) == ("Ottar", "owner", words.WAIVERS[0])
        assert phone.has("hold-step.bond.A2") and not phone.has("waive-step.bond.A2")
        await phone.tap("waive-step.fit.L2")
        assert not phone.has("waive-name"), "one's own name is known"
        await phone.type("waive-reason", "the client fits it")
        await phone.tap("waive-it")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["by"], last["reason"]) == ("Orla", "the client fits it")
        assert "role" not in last
        await phone.tap("waive-step.fit.A1")
        await phone.tap("sheet-close")
        assert phone.has("waive-step.fit.A1")
        phone.stop()

    drive(journey)


def test_a_length_and_a_name_are_changed_in_the_plan():
    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/plan/C1")
        await phone.tap("length")
        await phone.digits("95.5")
        await phone.tap("keep")
        (entry,) = entries(phone, "ORCHARD-GATE")
        assert entry["what"] == "set" and entry["path"] == ["spans", "C1", "length_m"]
        assert entry["value"] == 95.5 and entry["was"] == {"low": 91, "expected": 92, "high": 93}
        assert phone.route == f"{ORCHARD}/plan/C1"
        assert words.metres(95.5) in phone.texts(phone.find("length"))
        await phone.go(f"{ORCHARD}/plan")
        await phone.type("edit-title", "Cider gate")
        await phone.submit("edit-title")
        assert entries(phone, "ORCHARD-GATE")[-1]["value"] == "Cider gate"
        await phone.type("edit-title", " ")
        assert not phone.takes("keep-change")
        await phone.back()
        assert phone.shows("Cider gate")
        await phone.go(f"{ORCHARD}/plan")
        assert phone.find("edit-title").value == "Cider gate", "nothing was not kept"
        phone.stop()

    drive(journey)


async def does_what_comes_next(phone: Phone, job: str) -> None:
    """One thing on Now, whatever it is: read a caution, press, measure, photograph, wait, copy."""
    judged = judge(await phone.shelf.read(job))
    if phone.has("understood"):
        await phone.tap("understood")
        return
    step = next(s for s in judged.steps if s.state == "open")
    if phone.has("waiting"):
        phone.world.pass_minutes(15)
        phone.world.let_go()
        await phone.settle()
        assert not phone.has("waiting"), "the timer is over"
        return
    if step.asks is not None and step.asks.kind == PHOTO:
        await phone.take_photo("slab", made("baseline"))
        return
    await phone.tap("slab")
    if "/wires/" in phone.route:
        for key in [key for key in phone.keys if key.startswith("end-")]:
            await phone.tap(key)
    if "/reel/" in phone.route:
        for key, digits in (("slab", "1"), ("keep", "101"), ("keep", "16.9"), ("keep", "")):
            await phone.tap(key)
            await phone.digits(digits)
        assert phone.shows(words.reel_pull())
        await phone.tap("slab")
    if phone.route.endswith("/sign"):
        await phone.type("sign-name", "Orla")
        await phone.tap("sign-slab")
    if "/read/" in phone.route:
        pad = phone.route.split("/read/")[1].split("/")
        step = next(s for s in judged.steps if s.asks and [s.asks.at, s.asks.kind] == pad)
        value = figure_for(judged, step)
        if step.asks.kind == "mbps":
            await phone.tap(f"speed-{value:.0f}")
        else:
            await phone.digits(f"{value:g}")
            await phone.tap("keep")
        assert "/verdict/" in phone.route


async def somebody_answers(phone: Phone, hold: str) -> None:
    """A hold is waived by a name and a role that are typed."""
    await phone.go(f"{ORCHARD}/leave")
    await phone.tap(f"waive-{hold}")
    await phone.tap(f"reason-{words.WAIVERS[1]}")
    await phone.type("waive-name", "Rafe")
    await phone.type("waive-role", "owner")
    await phone.tap("waive-it")


def test_the_smallest_sample_from_its_first_step_to_leaving():
    """Every step by its slab, every reading by the pad; an outside one is waived; then one leaves."""

    async def journey() -> None:
        phone = await Phone.start(docs=(sample("orchard-gate"),))
        shown = words.FIXED.all_done
        for _ in range(120):
            await phone.go(f"{ORCHARD}/now")
            if phone.shows(shown):
                break
            if phone.has("mended"):
                assert phone.shows(words.power_halted("E", "outside")), "the clad cable halts"
                await somebody_answers(phone, "reading.og-11")
                continue
            await does_what_comes_next(phone, "ORCHARD-GATE")
        assert phone.shows(shown)
        done_ = entries(phone, "ORCHARD-GATE")
        assert sum(e["what"] == "photo" for e in done_) == 1
        assert len(phone.copies) == 1 and done_[-2]["what"] == "export"
        copy = unpack(phone.copies[0][1]).file
        assert [e.id for e in copy.entries] == [e["id"] for e in done_[:-2]]
        assert done_[-2]["sha256"] == sha256(phone.copies[0][1]).hexdigest()
        timers = [(e["at"], e.get("x_round")) for e in done_ if "x_timer" in e]
        assert timers == [("full.E", 1), ("cold.S", 1), ("cold.S", 2)]
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/leave"
        holding = [k.removeprefix("waive-") for k in phone.keys if k.startswith("waive-")]
        assert holding == ["reading.og-13"], "the clad cable still holds"
        await somebody_answers(phone, "reading.og-13")
        assert not phone.shows(words.held_title(0)), "the waivers are on this phone only"
        await phone.tap("mend-copied")
        assert phone.shows(words.held_title(0)) and not phone.has("held")
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/hand"
        last = entries(phone, "ORCHARD-GATE")[-1]
        assert last["what"] == "leave" and last["open"] == ["reading.og-11", "reading.og-13"]
        await phone.go("/")
        assert phone.shows(words.row_left(f"3{words.NBSP}June"))
        log = entries(phone, "ORCHARD-GATE")
        assert len({e["id"] for e in log}) == len(log)
        await phone.tap("job-ORCHARD-GATE")
        assert phone.shows(words.visit_why())
        await phone.tap("people-2")
        await phone.tap("visit-storm")
        visit = entries(phone, "ORCHARD-GATE")[-1]
        assert (visit["people"], visit["reason"]) == (2, "storm")
        assert not phone.shows(words.visit_why())
        phone.stop()

    drive(journey)


def test_a_photo_is_kept_then_logged_then_shown_and_outlives_the_battery():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(warned(reedbed()),))
        there = f"{REEDBED}/now?step=photo.L1"
        await phone.go(there)
        before = len(entries(phone, "REEDBED-HIDE"))
        await phone.take_photo("slab", b"")
        assert len(entries(phone, "REEDBED-HIDE")) == before, "a picker that was closed"
        await phone.take_photo("slab", b"\x89PNG\r\n\x1a\n")
        assert phone.shows(words.sentence(say("told-photo-kind", found="a PNG picture")))
        assert len(entries(phone, "REEDBED-HIDE")) == before
        data = made("colours", JFIF, behind=b"a second picture, with a place")
        await phone.take_photo("slab", data)
        entry = entries(phone, "REEDBED-HIDE")[-1]
        assert (entry["what"], entry["of"], entry["width"]) == ("photo", "L1", WIDE)
        (shown,) = [c for c in phone.controls() if isinstance(c, ft.Image)]
        assert sha256(shown.src).hexdigest() == entry["sha256"]
        assert b"place" not in shown.src
        assert phone.route == there and phone.has("strip-undo")
        step = next(
            s for s in judge(await phone.shelf.read("REEDBED-HIDE")).steps if s.id == "photo.L1"
        )
        assert step.state == "done"
        phone.kill()
        phone = await Phone.start(disk, world)
        assert phone.route == there
        assert [c.src for c in phone.controls() if isinstance(c, ft.Image)] == [shown.src]
        phone.stop()

    drive(journey)


def test_a_photo_that_came_from_another_phone_is_shown_as_missing():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed(photo("p", "L1"))),))
        await phone.go(f"{REEDBED}/now?step=photo.L1")
        assert phone.shows(words.photo_missing())
        assert not any(isinstance(c, ft.Image) for c in phone.controls())
        phone.stop()

    drive(journey)


def test_a_box_is_photographed_from_the_run():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/run?at=L2.in")
        await phone.take_photo("photo-L2", made("baseline"))
        assert entries(phone, "REEDBED-HIDE")[-1]["of"] == "L2"
        assert phone.route == f"{REEDBED}/run?at=L2.in" and phone.has("strip-undo")
        phone.stop()

    drive(journey)


def test_a_timer_shows_the_right_rest_after_the_battery_died():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now?step=full.C")
        await phone.tap("slab")
        started = entries(phone, "REEDBED-HIDE")[-1]["t"]
        assert phone.has("waiting")
        phone.kill()
        world.waits.clear()
        world.pass_minutes(7)
        phone = await Phone.start(disk, world)
        gone = (world.at - datetime.fromisoformat(started)).total_seconds()
        assert 420 < gone < 600
        assert phone.shows(words.clock_left(900 - gone)), phone.texts()
        ticks = [one for one in world.waits if one[0] == TICK_SECONDS]
        assert len(ticks) == 1, "one look at the clock is under way, not several"
        world.pass_minutes(1)
        world.let_go()
        await phone.settle()
        gone = (world.at - datetime.fromisoformat(started)).total_seconds()
        assert phone.shows(words.clock_left(900 - gone))
        assert len([one for one in world.waits if one[0] == TICK_SECONDS]) == 1
        world.pass_minutes(12)
        world.let_go()
        await phone.settle()
        assert phone.has("slab") and not phone.has("waiting")
        assert not world.waits, "nothing is waited for any more"
        phone.stop()

    drive(journey)


def test_a_cold_start_is_two_rounds_of_ten_seconds():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now?step=cold.S")
        for round_ in (1, 2):
            await phone.tap("slab")
            last = entries(phone, "REEDBED-HIDE")[-1]
            assert (last["x_timer"], last["x_round"]) == (10, round_)
            phone.world.let_go()
            await phone.settle()
            assert phone.shows(words.back_by_itself("S"))
        await phone.tap("slab")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["step"], last["state"]) == ("cold.S", "done")
        phone.stop()

    drive(journey)


def test_the_power_up_walk_halts_at_a_dark_box_and_goes_on_when_it_is_lit():
    async def journey() -> None:
        phone = await Phone.start(docs=(powered(read=("S",)),))
        await phone.go(f"{REEDBED}/now")
        assert phone.shows(words.power_title("L1", 2, 4))
        await phone.tap("slab")
        assert entries(phone, "REEDBED-HIDE")[-1]["at"] == "wait.L1"
        await phone.tap("dark")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["at"], last["x_dark"]) == ("L1", True)
        assert phone.shows(words.power_halted("L1", "dark")) and not phone.has("dark")
        await phone.tap("slab")
        assert phone.route == f"{REEDBED}/run?at=L1.out"
        await phone.go(f"{REEDBED}/now")
        await phone.tap("lit")
        assert entries(phone, "REEDBED-HIDE")[-1]["x_dark"] is False
        assert phone.shows(words.power_title("L1", 2, 4))
        phone.stop()

    drive(journey)


def test_an_outside_box_halts_the_walk_until_it_is_mended():
    async def journey() -> None:
        phone = await Phone.start(docs=(powered(read=("S",)),))
        await phone.go(f"{REEDBED}/read/L1.out/volts")
        await phone.digits("44")
        await phone.tap("keep")
        await phone.go(f"{REEDBED}/now")
        assert phone.shows(words.power_halted("L1", "outside"))
        await phone.tap("mended")
        await phone.tap("where-C1")
        await phone.tap(f"did-{words.MENDED[0]}")
        await phone.tap("keep-mended")
        assert not phone.shows(words.power_halted("L1", "outside"))
        assert phone.shows(words.power_title("S", 1, 4)), (
            "all that was read of its run is asked again"
        )
        phone.stop()

    drive(journey)


def test_the_address_follows_whoever_went_elsewhere_while_a_place_was_on_its_way():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/now")
        client, sent = phone.session.invoke_method, []

        async def slow(control: int, name: str, args: object = None, timeout: object = None):
            if name == "push_route":
                sent.append(args["route"])
                return None
            return await client(control, name, args, timeout)

        phone.session.invoke_method = slow
        await phone.tap("bar-run")
        await phone.go(f"{REEDBED}/leave")  # a link, before the client has heard of Run
        assert sent == [f"{REEDBED}/run"]
        phone.session.apply_page_patch({"route": sent[0]})
        await phone.fire(phone.page, "route_change", {"route": sent[0]})
        assert sent[1:] == [f"{REEDBED}/leave"], "the address says where one is"
        phone.stop()

    drive(journey)


def test_both_ends_of_a_cable_make_the_step_and_one_pressed_again_opens_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/wires/C4")
        assert phone.lit == [True], "the screen stays on while it is read"

        async def state() -> str:
            steps = judge(await phone.shelf.read("REEDBED-HIDE")).steps
            return next(s.state for s in steps if s.id == "terminate.C4")

        await phone.tap("end-J1.b")
        first = entries(phone, "REEDBED-HIDE")[-1]
        assert (first["at"], first["x_end"], first["x_pinout"]) == ("C4", "J1.b", "T568B")
        assert await state() == "open"
        await phone.tap("end-J1.b")
        assert (
            entries(phone, "REEDBED-HIDE")[-1] | {"what": "void", "of": first["id"]}
            == entries(phone, "REEDBED-HIDE")[-1]
        )
        await phone.tap("end-A2.line")
        assert await state() == "open"
        await phone.tap("end-J1.b")
        assert await state() == "done"
        await phone.tap("end-J1.b")
        assert await state() == "open"
        await phone.tap("end-J1.b")
        assert await state() == "open", "undoing opened both ends"
        await phone.back()
        assert phone.lit == [True, False]
        phone.stop()

    drive(journey)


def test_a_kept_reading_leads_straight_to_the_next_of_the_same_box_and_to_another_by_its_lights():
    from shots import switched_on

    async def journey() -> None:
        phone = await Phone.start(docs=(warned(switched_on()),))
        await phone.go(f"{REEDBED}/read/S.out/volts")
        await phone.digits("53.9")
        await phone.tap("keep")
        await phone.tap("no-lead")
        assert phone.route == f"{REEDBED}/now", "the next box is to be plugged in first"
        await phone.go(f"{REEDBED}/read/L1.out/volts")
        await phone.digits("53.8")
        await phone.tap("keep")
        await phone.tap("no-lead")
        assert phone.route == f"{REEDBED}/read/L1.out/mbps"
        await phone.tap("speed-1000")
        await phone.tap("slab")
        assert phone.route == f"{REEDBED}/read/L1.in/volts"
        phone.stop()

    drive(journey)


def test_before_a_feed_is_switched_on_it_is_told_what_is_still_in_anywhere_on_the_run():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/test/C4/loop_ohms")
        await phone.tap("off-S")
        await phone.tap("short")
        await phone.go(f"{REEDBED}/now?step=energise.S")
        assert any(words.is_in_at(SHORT, "A2.line") in said for said in phone.texts())
        phone.stop()

    drive(journey)


def test_from_the_wires_the_slab_goes_on_to_what_comes_next_once_both_ends_are_made():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/wires/C4")
        await phone.tap("end-J1.b")
        assert not phone.has("slab"), "an end is still to be made"
        await phone.tap("end-A2.line")
        await phone.tap("slab")
        assert phone.route == f"{REEDBED}/now", "and not back to what is done"
        phone.stop()

    drive(journey)


def test_the_order_of_the_wires_is_the_jobs_and_two_who_differ_are_told():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/wires/C4")
        await phone.tap("pinout-T568A")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["what"], last["path"], last["value"]) == ("set", ["x_pinout"], "T568A")
        said = [words.speak_wire(w.contact, w.colour, w.striped) for w in PLUGS["T568A"]]
        spoken = [one for one in phone.speech() if one in said]
        assert spoken == said, "eight wires in order, aloud"
        await phone.tap("pinout-T568A")
        assert entries(phone, "REEDBED-HIDE")[-1] == last, "the same again is no entry"
        await phone.tap("end-J1.b")
        await phone.tap("pinout-T568B")
        await phone.tap("end-A2.line")
        assert phone.shows(words.ends_differ())
        phone.stop()
        other = {
            "id": "o",
            "device": "b",
            "n": 1,
            "what": "set",
            "path": ["x_pinout"],
            "value": "T568B",
        }
        mine = {**other, "id": "m", "device": "a", "value": "T568A"}
        held = judge(read_job(reedbed(other, mine))).blockers
        assert "conflict.x_pinout" in {hold.id for hold in held}

    drive(journey)


def test_cautions_are_read_once_a_stop_and_a_day():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/now?step=fit.A2")
        shown = [c for c in ("thunder", "ladder", "off") if phone.shows(_caution(c))]
        assert shown == ["thunder", "ladder", "off"]
        await phone.tap("understood")
        read = entries(phone, "REEDBED-HIDE")
        assert [(e["at"], e["x_caution"]) for e in read] == [
            ("hide", f"caution-{code}") for code in shown
        ]
        assert phone.has("slab")
        await phone.go(f"{REEDBED}/now?step=fit.L2")
        assert phone.has("slab"), "not again at this stop"
        await phone.go(f"{REEDBED}/now?step=fit.J1")
        assert phone.shows(_caution("thunder")), "again at the next one outdoors"
        phone.world.pass_minutes(24 * 60)
        await phone.go(f"{REEDBED}/now?step=fit.L2")
        assert phone.has("understood"), "and again the next day"
        phone.stop()

    def _caution(code: str) -> str:
        parts = {"ladder": {"stop": "Hide"}, "off": {"said": ()}}.get(code, {})
        return words.sentence(say(f"caution-{code}", **parts))

    drive(journey)


def test_two_people_see_the_engines_order_and_who_does_what():
    async def journey() -> None:
        doc = reedbed({"id": "v", "what": "visit", "people": 2})
        phone = await Phone.start(docs=(doc,))
        await phone.go(f"{REEDBED}/steps")
        work = worked_by(judge(read_job(doc)), 2)
        shown = [key.removeprefix("step-") for key in phone.keys if key.startswith("step-")]
        assert shown == [step.id for step in work.steps]
        assert phone.shows(words.for_two())
        pull = next(step for step in work.steps if step.id == "pull.C4")
        who = work.shifts["pull.C4"].who
        assert set(who) == {1, 2}
        assert phone.shows(words.by_whom(words.takes(pull.minutes, pull.needs), who))
        phone.stop()

    drive(journey)


def test_what_was_fitted_for_a_test_is_said_to_be_out():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(short_in("s", "C4")),))
        await phone.go(f"{REEDBED}/leave")
        await phone.tap("mend-fitted.s")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["at"], last["x_taken_back"]) == ("C4", "short")
        assert not phone.has("hold-fitted.s")
        phone.stop()

    drive(journey)


def test_a_dead_battery_costs_nothing_that_was_typed_or_kept():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(warned(reedbed()),))
        await phone.go("/settings")
        await phone.tap("look-dark")
        await phone.go(f"{REEDBED}/now")
        await phone.tap("slab")
        await phone.go(f"{REEDBED}/read/L2.in/volts")
        await phone.tap("standing-open")
        await phone.digits("41.")
        before = entries(phone, "REEDBED-HIDE")
        phone.kill()

        phone = await Phone.start(disk, world)
        assert phone.route == f"{REEDBED}/read/L2.in/volts"
        assert phone.grounds == {DARK["ground"]}
        assert any(text.startswith(words.were_typing("41.", "L2.in", "")) for text in phone.texts())
        assert entries(phone, "REEDBED-HIDE") == before
        await phone.digits("0")
        assert not phone.shows(words.were_typing("41.", "L2.in", ""))
        await phone.tap("keep")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert last["value"] == 41.0 and last["with"] == {"*": "off"}
        assert last["n"] > before[-1]["n"] and last["seen"] == {"d0d0": before[-1]["n"]}
        verdict = phone.route
        phone.kill()

        phone = await Phone.start(disk, world)
        assert phone.route == verdict and phone.shows(words.VERDICTS[OUTSIDE])
        await phone.go(f"{REEDBED}/read/L2.in/volts")
        assert not phone.takes("keep"), "what was kept does not stand on the pad again"
        phone.stop()

    drive(journey)


def test_a_link_opens_its_place_whatever_was_open_last():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(reedbed(), warned(orchard())))
        await phone.go(f"{REEDBED}/now")
        phone.stop()
        phone = await Phone.start(disk, world, link=f"{ORCHARD}/read/E.in/volts")
        assert phone.route == f"{ORCHARD}/read/E.in/volts" and phone.has("keep")
        await phone.back()
        assert phone.route == f"{ORCHARD}/now"
        phone.stop()

    drive(journey)


def test_the_phones_own_look_and_letters_are_followed():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now")
        assert phone.grounds == {SUN["ground"]}
        await phone.wear(dark=True)
        assert phone.grounds == {DARK["ground"]}
        await phone.go("/settings")
        await phone.tap("look-sun")
        assert phone.grounds == {SUN["ground"]}
        await phone.tap("look-phone")
        assert phone.grounds == {DARK["ground"]}
        await phone.go(f"{REEDBED}/now")
        assert phone.find("slab").height is not None
        await phone.wear(scale=2.0)
        assert phone.find("slab").height is None
        await phone.wear(scale=1.0)
        assert phone.find("slab").height is not None
        phone.stop()

    drive(journey)


def test_every_drawing_and_every_bare_button_has_words():
    async def journey() -> None:
        phone = await Phone.start(docs=(worked(reedbed()), mill()))
        for route in (
            "/",
            f"{REEDBED}/now",
            f"{REEDBED}/run",
            f"{REEDBED}/steps",
            f"{REEDBED}/plan",
            f"{MILL}/run",
        ):
            await phone.go(route)
            for control in phone.controls():
                if isinstance(control, ft.Semantics) and control.image:
                    assert control.label, route
                if isinstance(control, ft.TextButton) and isinstance(control.content, ft.Text):
                    bare = control.content.semantics_label or control.content.value
                    assert bare, (route, control.key)
        phone.stop()

    drive(journey)
