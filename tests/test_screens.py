"""Every screen in every state, through the headless page: nothing may break."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

import flet as ft
import pytest
from contrasts import undeclared
from headless import READ, CountedWorld, Phone, drive, sample, warned
from jobs import active, chain, endpoint, run, source

import fieldapp.viewstack as viewstack
from engine.design_band import band_for
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.network import AS_PLANNED
from engine.say import Say, say
from engine.step import PHOTO, Step
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.faces import FACES
from fieldapp.handover.codes import code_text
from fieldapp.store.memory import MemoryDisk

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

        return say("row-unreadable")

    drive(journey)


def test_a_screen_that_cannot_be_drawn_says_so_and_the_app_goes_on(monkeypatch):
    def broken(model, send, look):
        raise ZeroDivisionError("planted")

    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/now")
        phone.may_break = True
        monkeypatch.setitem(viewstack.SCREENS, "run", broken)
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
        monkeypatch.setitem(viewstack.SCREENS, "run", late)
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
        monkeypatch.setitem(viewstack.SCREENS, "leave", broken)
        with pytest.raises(AssertionError, match="planted"):
            await phone.go(f"{ORCHARD}/leave")
        phone.stop()

    drive(journey)
