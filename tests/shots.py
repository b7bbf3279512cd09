"""Photographs of every screen in both looks: `python -m tests.shots DIR [WAY...] [NAME...]`.

Run it at the root of the repository. It starts the app on the samples, goes to each place,
brings it into its state by accessible names, and writes SCREEN-STATE-LOOK.png. A way is
`large`: the browser's letters are twice as big, on the screens where that hurts most; or a window
other than a phone's: `wide`, `wider`, `turned`; `sun` or `dark` takes that look alone. With names
only the pictures are taken whose names begin so. `german` has the app speak German.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

ROOT = Path(__file__).parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]  # as pytest finds them

import fault_jobs  # noqa: E402
import fingers  # noqa: E402
import left_jobs  # noqa: E402
import plan_jobs  # noqa: E402
import practice_jobs  # noqa: E402
from jpegs import made as made_picture  # noqa: E402

from engine.cautions import CODES  # noqa: E402
from engine.design_band import band_for  # noqa: E402
from engine.jobfile import read_job  # noqa: E402
from engine.judge import judge  # noqa: E402
from engine.log import fold  # noqa: E402
from engine.network import AS_PLANNED  # noqa: E402
from engine.say import Say, say  # noqa: E402
from engine.sheets import STARTER  # noqa: E402
from engine.signed import seen_now, sum_now  # noqa: E402
from engine.step import PHOTO  # noqa: E402
from fieldapp import words  # noqa: E402
from fieldapp.handover.codes import code_text  # noqa: E402
from fieldapp.installed import Installed  # noqa: E402
from fieldapp.store.files import open_files  # noqa: E402

# The table of states serves trials without a browser too: they run without Playwright.
if TYPE_CHECKING:
    from browser import Phone

GERMAN = "german"
if __name__ == "__main__" and GERMAN in sys.argv[2:]:  # before a name is looked up below
    words.speak(words.Manner("de"))
FIXED = words.FIXED
SAMPLES = tuple(sorted((ROOT / "sample_jobs").glob("*.json")))
REEDBED = ROOT / "sample_jobs" / "reedbed-hide.json"
JOB = "/j/REEDBED-HIDE"
LOOKS = {"sun": "light", "dark": "dark"}
WINDOWS = {"phone": (390, 844), "wide": (1180, 820), "wider": (1240, 900), "turned": (844, 390)}
"""the sizes of windows [px]"""
WAYS = ("large", GERMAN, *LOOKS, *WINDOWS)
SETTING = words.setting_name("lengths")
"""what the page has that each picture is begun from"""
SETTLE = 900
"""milliseconds until fonts and pictures stand still"""
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
    return warned({**json.loads(REEDBED.read_text(encoding="utf-8")), "log": log})


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
    return warned(json.loads(REEDBED.read_text(encoding="utf-8")))


def switched_on(*more: dict, read: tuple[str, ...] = ()) -> dict:
    """The reedbed job with all done that comes before the power, and these boxes proven."""
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
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
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
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
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
    doc.update(id="REEDBED-FAR", title="Reedbed hide, copy")
    doc["spans"][4]["length_m"] += 100
    return doc


def loose() -> dict:
    """The sample with two joints that nothing is plugged into yet."""
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
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
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
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
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
    doc["sheets"]["my.longspan"]["class"] = 3
    return doc


def poor() -> dict:
    """The sample with much that warns: clad indoor cable in the sun, poor earth leads."""
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
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


@dataclass(frozen=True)
class Shot:
    """One picture: its name, the place, and what is done there before the shutter."""

    name: str
    place: str
    act: Callable[[Phone], object] = lambda hand: None


def _typed(hand: Phone) -> None:
    for key in "47":
        hand.tap(key, exact=True)
    hand.tap(FIXED.reading_key_point, exact=True)
    hand.tap("9", exact=True)


def _pressed(name: str) -> Callable[[Phone], object]:
    """Tap the first thing of this name: there may be many."""

    def press(hand: Phone) -> None:
        hand.wait_for(name)
        called = (node for node in hand.nodes() if name in (node.line, node.first_line))
        first = next(node for node in called if node.tappable)
        hand.tap_at(*first.seen.centre)

    return press


def _found(name: str) -> Callable[[Phone], object]:
    """Tap the one button of this name, wherever it has to be scrolled to."""
    return lambda hand: hand.tap(name, role="button")


CODE = code_text("REEDBED-HIDE", "A2")


def _code(text: str, *keys: str) -> Callable[[Phone], object]:
    """A label's code typed in Jobs, and keys behind it."""

    def act(hand: Phone) -> None:
        hand.scroll_to(words.code_label())
        hand.type_into(words.code_label(), text)
        hand.press(*keys)
        hand.pause(SETTLE)

    return act


def _load_set(hand: Phone) -> None:
    hand.tap(FIXED.known)
    hand.wait_for(words.load_watts())
    hand.tap(words.watts(25), exact=True)
    hand.wait_for(words.load_slab("C", 25))


def _load_used(hand: Phone) -> None:
    _load_set(hand)
    hand.tap(words.load_slab("C", 25))


def _mended(hand: Phone) -> None:
    hand.tap(words.mended())
    hand.wait_for(words.mended_where())
    hand.tap("C4", role="button")
    hand.tap(words.MENDED[0])


def _photographed(hand: Phone) -> None:
    hand.take_photo(words.take_photo(), made_picture("colours"))
    hand.wait_for(words.one_more_photo())


def _two_orders(hand: Phone) -> None:
    hand.tap(words.end_slab("A1.line", False))
    hand.tap("T568A", exact=True)
    hand.tap(words.end_slab("J1.a", False))
    hand.wait_for(words.ends_differ().split("**")[1])
    hand.tap("T568B", exact=True)


def _back_again(hand: Phone) -> None:
    hand.tap(words.visit_reason("other"), role="button")
    hand.wait_gone(words.visit_why())
    hand.go(f"{JOB}/now?step=photo.L1")
    hand.wait_for(words.photo_missing())


def _begun(hand: Phone) -> None:
    hand.tap(words.visit_reason("storm"), role="button")
    hand.wait_gone(words.visit_why())


def _scrolled(text: str) -> Callable[[Phone], object]:
    return lambda hand: hand.scroll_to(text)


def _own(begin: str, questions: int = 0, digits: str = "") -> Callable[[Phone], object]:
    """A sheet of one's own from a template, so many questions on, with digits typed."""

    def act(hand: Phone) -> None:
        hand.tap(begin, role="button")
        for number in range(questions):
            hand.wait_for(words.own_progress(number + 1, questions + 9).rpartition(" ")[0])
            hand.tap(words.own_keep("").strip(), role="button")
        for key in digits:
            hand.tap(key, exact=True)

    return act


REACHES = words.box_figures(36, 3, 500, None, None).split(", ")[-1]


def _tried(hand: Phone, digits: str, close: bool = True) -> None:
    hand.tap(words.tried_type(""))
    for key in digits:
        hand.tap(key, exact=True)
    if close:
        hand.tap(words.tried_use(""))


def _out(hand: Phone, what: str) -> None:
    """A document put into a file, and what is then known of it."""
    hand.tap(words.speak_hand(words.document(what), words.to_a_file()), role="button")
    hand.wait_for(words.labels_line(1, 2).split()[-1])


def _shared_nowhere(hand: Phone) -> None:
    hand.tap(words.all_at_once(3), role="button")
    hand.wait_for(words.sentence(say("told-share-unknown")))


BEGIN = (
    Shot("jobs-empty", "/"),
    Shot("new", "/new"),
    Shot("settings", "/settings"),
    Shot("found", "/settings/found"),
)


ON_A_PHONE = (
    (
        (
            Shot("phone-tab", "/settings/phone"),
            Shot("phone-foot", "/settings/phone", _scrolled(words.phone_version("4f2c9a"))),
            Shot("jobs-copies", "/"),
            Shot("leave-copies", f"{JOB}/leave", _scrolled(words.copy_it())),
            Shot("settings-phone", "/settings", _scrolled(words.phone_title())),
        ),
        Installed("4f2c9a", stays=False),
    ),
    (
        (Shot("phone-newer", "/settings/phone"), Shot("jobs-newer", "/")),
        Installed("4f2c9a", offline=True, stays=False, newer=True),
    ),
    (
        (Shot("phone-home", "/settings/phone"), Shot("jobs-offline", "/")),
        Installed("4f2c9a", offline=True, stays=True, on_home=True),
    ),
)
"""the app as an installed page, with what it knows of itself, half way through a job"""


def _meter_typed(hand: Phone) -> None:
    """A meter of one's own: its volts."""
    hand.tap(words.sheet_name(STARTER["generic.meter"]), role="button")
    hand.wait_for(words.own_question_meter("volts"))
    for key in ("0", FIXED.reading_key_point, "3"):
        hand.tap(key, exact=True)


def _meter_day(hand: Phone) -> None:
    """What was half typed is still there; on to the day."""
    hand.tap(words.own_take("").strip(), role="button")
    for kind in ("watts", "milliamps", "loop_ohms", "earth_ohms", "celsius"):
        hand.wait_for(words.own_question_meter(kind))
        hand.tap(words.own_keep("").strip(), role="button")
    hand.wait_for(words.meter_day_question())
    for key in "14062024":
        hand.tap(key, exact=True)


def _meter_last(hand: Phone) -> None:
    hand.tap(words.own_take("").strip(), role="button")
    hand.type_into(words.meter_name(), "Ida’s")
    hand.type_into(words.meter_serial(), "QX-4471")


def _meter_kept(hand: Phone) -> None:
    hand.tap(words.meter_keep(False), role="button")
    hand.wait_for(words.setting_name("lengths"))
    hand.scroll_to(words.meter_add())


def _meter_changed(hand: Phone) -> None:
    hand.scroll_to(words.meter_add())
    hand.tap("Ida’s", role="button")
    hand.wait_for(words.meter_take_away())


def _meter_away(hand: Phone) -> None:
    _meter_changed(hand)
    hand.tap(words.meter_take_away(), role="button")
    hand.wait_for(FIXED.undo)


def _everything_out(hand: Phone) -> None:
    hand.tap(words.to_a_file(), role="button")
    hand.wait_for("farend-")


SETTLED = (
    Shot("shapes", "/shapes"),
    Shot("shapes-cable", "/shapes", _scrolled(words.speak_sign("branch"))),
    Shot("shapes-verdicts", "/shapes", _scrolled(words.speak_sign("earlier"))),
    Shot("shapes-foot", "/shapes", _scrolled(words.speak_sign("odds"))),
    Shot("meter-begin", "/settings/meter"),
    Shot("meter-volts", "/settings/meter", _meter_typed),
    Shot("meter-day", "/settings/meter", _meter_day),
    Shot("meter-last", "/settings/meter", _meter_last),
    Shot("settings-meters", "/settings/meter", _meter_kept),
    Shot("meter-changed", "/settings", _meter_changed),
    Shot("meter-on-pad", f"{JOB}/read/L2.in/volts", _found("Orla's meter")),
    Shot("settings-away", "/settings", _meter_away),
    Shot("everything", "/settings/everything"),
    Shot("everything-out", "/settings/everything", _everything_out),
    Shot("settings-foot", "/settings", _scrolled(words.everything_title())),
)
CAUTIONED = (
    Shot("jobs-three", "/"),
    Shot("jobs-code", "/", _code(CODE[:-4])),
    Shot("jobs-code-refused", "/", _code(CODE[:-1], "Enter")),
    Shot("jobs-code-no-job", "/", _code(code_text("HERON-HIDE", "L1"), "Enter")),
    Shot("run-gone", f"{JOB}/run?at=A9"),
    Shot("caution-first", f"{JOB}/now"),
    Shot("caution-many", f"{JOB}/now?step=fit.A2"),
    Shot("caution-pad", f"{JOB}/read/L2.in/volts"),
)
PLANNED = (
    Shot("now-first", f"{JOB}/now"),
    Shot("now-walk", f"{JOB}/now?step=walk.site"),
    Shot("now-reel", f"{JOB}/now?step=reel.C4"),
    Shot("reel-none", f"{JOB}/reel/C4"),
    Shot("now-photo", f"{JOB}/now?step=photo.L1"),
    Shot("now-photo-taken", f"{JOB}/now?step=photo.bond.A1", _photographed),
    Shot("now-terminate", f"{JOB}/now?step=terminate.C4"),
    Shot("wires-fresh", f"{JOB}/wires/C4"),
    Shot("wires-one", f"{JOB}/wires/C4", _found(words.end_slab("J1.b", False))),
    Shot("wires-differ", f"{JOB}/wires/C3", _two_orders),
    Shot("now-pairs", f"{JOB}/now?step=pairs.C4"),
    Shot("now-pairs-short", f"{JOB}/now?step=pairs.C4", _found(words.is_in_at("short", "A2.line"))),
    Shot("put-in", f"{JOB}/run?at=L2.in", _found(words.put_in())),
    Shot("now-full", f"{JOB}/now?step=full.C"),
    Shot("now-full-runs", f"{JOB}/now?step=full.C", _found(words.start_timer(900))),
    Shot("now-cold", f"{JOB}/now?step=cold.S"),
    Shot("now-copy", f"{JOB}/now?step=copy.site"),
    Shot("now-load", f"{JOB}/now?step=load.C"),
    Shot("now-fit", f"{JOB}/now?step=fit.L2"),
    Shot("now-bond", f"{JOB}/now?step=bond.A2"),
    Shot("now-volts", f"{JOB}/now?step=volts.L2.in"),
    Shot("now-speeds", f"{JOB}/now?step=speeds.L1.out"),
    Shot("now-pull", f"{JOB}/now?step=pull.C4"),
    Shot("now-cannot", f"{JOB}/now?step=fit.L2", _pressed(FIXED.cannot)),
    Shot("steps-fresh", f"{JOB}/steps"),
    Shot("run-planned", f"{JOB}/run"),
    Shot("read-empty", f"{JOB}/read/L2.in/volts"),
    Shot("read-typed", f"{JOB}/read/A2.line/volts", _typed),
    Shot("read-speed", f"{JOB}/read/C.in/mbps"),
    Shot("read-earth", f"{JOB}/read/EB2/earth_ohms", _typed),
    Shot("leave-held", f"{JOB}/leave"),
    Shot("plan", f"{JOB}/plan"),
    Shot("plan-span", f"{JOB}/plan/C4"),
    Shot("plan-box", f"{JOB}/plan/A2"),
    Shot("whatif-length", f"{JOB}/whatif/C4"),
    Shot("whatif-longer", f"{JOB}/whatif/C4", lambda hand: _tried(hand, "310")),
    Shot("whatif-drops", f"{JOB}/whatif/C4", lambda hand: _tried(hand, "640")),
    Shot("whatif-typing", f"{JOB}/whatif/C4", lambda hand: _tried(hand, "310", close=False)),
    Shot("whatif-gauge", f"{JOB}/whatif/C4", _found(words.TRIED["gauge"])),
    Shot("whatif-load", f"{JOB}/whatif/C", lambda hand: _tried(hand, "30")),
    Shot("whatif-volts", f"{JOB}/whatif/S", lambda hand: _tried(hand, "47")),
    Shot("whatif-site", f"{JOB}/whatif/site"),
    Shot("sheets-span", f"{JOB}/sheets/C4"),
    Shot("sheets-box", f"{JOB}/sheets/A2"),
    Shot("sheets-other", f"{JOB}/sheets/A2", _scrolled(words.sheets_instead("repeater"))),
    Shot("sheets-meter", f"{JOB}/sheets/M1"),
    Shot("newsheet-begin", f"{JOB}/newsheet/L2"),
    Shot("newsheet-band", f"{JOB}/newsheet/L2", _own(REACHES, 1, "3")),
    Shot(
        "newsheet-speeds",
        f"{JOB}/newsheet/L1",
        _own(words.sheet_name(STARTER["generic.long-span"]), 7),
    ),
    Shot("newsheet-gauge", f"{JOB}/newsheet/C4", _own("Cat 6 outdoor, 23 AWG", 2)),
    Shot("newsheet-metal", f"{JOB}/newsheet/C3", _own("Cat 6 outdoor, 23 AWG", 1)),
    Shot("newsheet-meter", f"{JOB}/newsheet/M1", _own(words.meter_figures({"watts": 2}), 0, "5")),
    Shot("newsheet-last", f"{JOB}/newsheet/C1", _own(words.own_change("Patch lead"))),
)
WORKED = (
    Shot("steps-worked", f"{JOB}/steps"),
    Shot("run-readings", f"{JOB}/run?at=L2.in"),
    Shot("run-unclear", f"{JOB}/run?at=A2.line"),
    Shot("verdict-inside", f"{JOB}/verdict/near"),
    Shot("verdict-outside", f"{JOB}/verdict/outside"),
    Shot("fault-outside", f"{JOB}/fault", lambda hand: _weighed(hand)),
    Shot("verdict-unclear", f"{JOB}/verdict/unclear"),
    Shot("verdict-speed", f"{JOB}/verdict/dead"),
    Shot("leave-worked", f"{JOB}/leave"),
    Shot("leave-outside", f"{JOB}/leave", lambda hand: hand.scroll_to(words.mended())),
    Shot("change-empty", f"{JOB}/verdict/outside", _found(words.mended())),
    Shot("change-ready", f"{JOB}/verdict/outside", _mended),
    Shot("taken-back", f"{JOB}/verdict/outside", _found(FIXED.take_back)),
    Shot("hand-new", f"{JOB}/hand"),
    Shot(
        "hand-sent",
        f"{JOB}/hand",
        _found(words.speak_hand(words.document("whole"), words.to_a_file())),
    ),
    Shot("leave-waive", f"{JOB}/leave", _pressed(FIXED.waive)),
    Shot("leave-answers", f"{JOB}/leave", _pressed(FIXED.who_answers)),
)
LETS_GO = (
    Shot("plan-lets-go", f"{JOB}/plan"),
    Shot("run-lets-go", f"{JOB}/run"),
    Shot("leave-lets-go", f"{JOB}/leave"),
)
POOR = (Shot("plan-poor", f"{JOB}/plan"), Shot("run-poor", f"{JOB}/run"))
ACCEPTED = (
    Shot("run-today", f"{JOB}/run?at=A2.line"),
    Shot("read-today", f"{JOB}/read/A2.line/volts", _typed),
    Shot("read-today-empty", f"{JOB}/read/L2.in/volts"),
    Shot("now-today", f"{JOB}/now?step=volts.A2.line"),
    Shot("load-ask", f"{JOB}/read/L2.out/volts", lambda hand: hand.tap(FIXED.known)),
    Shot("load-set", f"{JOB}/read/L2.in/volts", _load_set),
    Shot("load-used", f"{JOB}/read/L2.in/volts", _load_used),
    Shot("read-bare", f"{JOB}/read/S.out/volts", lambda hand: hand.tap(FIXED.open_means)),
    Shot("verdict-today", f"{JOB}/verdict/joint"),
)
HALF_WAY = (
    Shot("power-next", f"{JOB}/now"),
    Shot("power-waits", f"{JOB}/now", _found(words.plug_in("L2", "L2.in"))),
    Shot("power-read", f"{JOB}/now?step=volts.L2.in"),
    Shot("run-photo", f"{JOB}/run?at=L2.in"),
    Shot("leave-photos", f"{JOB}/leave"),
)
GONE_DARK = (Shot("power-dark", f"{JOB}/now"),)
READS_LOW = (Shot("power-outside", f"{JOB}/now"),)
GONE_HOME = (
    Shot("visit", f"{JOB}/now"),
    Shot("leave-left", f"{JOB}/leave"),
    Shot("leave-still-in", f"{JOB}/leave", lambda hand: hand.scroll_to(words.it_is_out())),
    Shot("leave-copy", f"{JOB}/leave", lambda hand: hand.scroll_to(words.copy_it())),
    Shot("now-photo-missing", f"{JOB}/now", _back_again),
)
HANDED = (
    Shot("hand-older", f"{JOB}/hand"),
    Shot("hand-foot", f"{JOB}/hand", lambda hand: hand.scroll_to(words.report_as())),
    Shot("hand-strip", f"{JOB}/hand", _found(words.paper("strip"))),
    Shot("hand-made", f"{JOB}/hand", lambda hand: _out(hand, "report")),
    Shot("hand-bare", "/j/BARE/hand"),
)


def _signed_with_a_finger(hand: Phone) -> None:
    hand.type_into(words.sign_name_label(), "P. Quill")
    hand.tap(words.SIGN_ROLES[1], role="button")
    fingers.draw(hand, words.speak_sign_field(0), *fingers.scrawl())
    hand.wait_for(words.speak_sign_field(3))


SIGNED = (
    Shot("hand-signed", f"{JOB}/hand", lambda hand: hand.scroll_to(words.sign_title())),
    Shot("sign-empty", f"{JOB}/sign"),
    Shot("sign-drawn", f"{JOB}/sign", _signed_with_a_finger),
    Shot("sign-step", f"{JOB}/now?step=sign.site"),
)
SHARED = (
    Shot("hand-share", f"{JOB}/hand"),
    Shot("hand-share-unknown", f"{JOB}/hand", _shared_nowhere),
)
TWO_PLANS = (
    Shot("leave-two-plans", f"{JOB}/leave", lambda hand: hand.scroll_to(words.choose())),
    Shot("leave-choose", f"{JOB}/leave", _found(words.choose())),
    Shot("leave-odd", f"{JOB}/leave", _pressed(words.oddities(2))),
    Shot("run-two-plans", f"{JOB}/run"),
    Shot("plan-two-plans", f"{JOB}/plan"),
)


def _reel_ohms(hand: Phone) -> None:
    for key in "57":
        hand.tap(key, exact=True)


REELS_GOOD = (
    Shot("reel-sound", f"{JOB}/reel/C4"),
    Shot("reel-clad", f"{JOB}/reel/C3"),
    Shot("reel-why", f"{JOB}/reel/C3", _found(words.reel_use())),
    Shot("reel-ohms", f"{JOB}/reel/C3/ohms", _reel_ohms),
)
REELS_ODD = (Shot("reel-short", f"{JOB}/reel/C4"), Shot("reel-longer", f"{JOB}/reel/C3"))
REELS_OPEN = (
    Shot("reel-one-mark", f"{JOB}/reel/C4"),
    Shot("reel-second", f"{JOB}/reel/C4/second", _reel_ohms),
    Shot("reel-unclear", f"{JOB}/reel/C3"),
)
TABLE = """id,from,to,cable,metres
C6,C.out,B1.in,generic.cat6-outdoor,120
C7,A1.line,B2.in,generic.cat6-outdoor,far
"""
FITS = "id;from;to;cable;metres\nC8;N1.b;N2.a;generic.cat6-outdoor;40,5\n"


def _pasted(table: str) -> Callable[[Phone], object]:
    def paste(hand: Phone) -> None:
        hand.tap(words.table_label(), role="textbox")
        hand.page.keyboard.insert_text(table)
        hand.pause(SETTLE)

    return paste


COMPARED = (
    Shot("jobs-more", "/", _found(words.speak_more("Tide mill"))),
    Shot("compare-list", f"{JOB}/compare"),
    Shot("compare-copy", f"{JOB}/compare/REEDBED-FAR"),
    Shot("compare-tide", f"{JOB}/compare/TIDE-MILL"),
    Shot(
        "compare-needs",
        f"{JOB}/compare/TIDE-MILL",
        lambda hand: hand.scroll_to(words.needs_title("Tide mill").replace("**", "")),
    ),
    Shot("compare-gone", f"{JOB}/compare/NOWHERE"),
    Shot("spans-empty", f"{JOB}/spans"),
    Shot("spans-refused", f"{JOB}/spans", _pasted(TABLE)),
)
LOOSE = (
    Shot("spans-read", f"{JOB}/spans", _pasted(FITS)),
    Shot("compare-alone", f"{JOB}/compare"),
)


def _on_pad(digits: str) -> Callable[[Phone], object]:
    def act(hand: Phone) -> None:
        for key in digits:
            hand.tap(key, exact=True)

    return act


def _what_load(hand: Phone) -> None:
    hand.wait_for(words.how_far())
    typed = words.far_metres("463")  # as the picture before left it
    if not any(typed in node.line for node in hand.nodes()):
        _on_pad("463")(hand)
    hand.tap(words.next_button())


def _new_stop(hand: Phone) -> None:
    hand.tap(words.outdoors(True))
    _on_pad("230")(hand)


EDITED = (
    Shot("plan-turned", "/j/TURNED/plan"),
    Shot("plan-weak", "/j/WEAK/plan"),
    Shot("plan-ways", "/j/WEAK/plan", _found(words.other_ways())),
    Shot("plan-heavy", "/j/HEAVY/plan"),
    Shot("plan-names", "/j/NAMES/plan"),
    Shot("plan-names-span", "/j/NAMES/plan/C4"),
    Shot("plan-names-box", "/j/NAMES/plan/A2"),
    Shot("plan-names-stops", "/j/NAMES/plan/J1", _found(words.move_button())),
    Shot("sheets-names", "/j/NAMES/sheets/A2"),
    Shot("newsheet-names", "/j/NAMES/newsheet/L2"),
    Shot("whatif-names", "/j/NAMES/whatif/C4"),
    Shot("reel-names", "/j/NAMES/reel/C4"),
    Shot("spans-names", "/j/NAMES/spans"),
    Shot("compare-names", "/j/NAMES/compare/WEAK"),
    Shot("compare-names-list", "/j/WEAK/compare"),
    Shot("plan-right", "/j/FROM-RIGHT/plan"),
    Shot("plan-right-box", "/j/FROM-RIGHT/plan/A2"),
    Shot("plan-right-stops", "/j/FROM-RIGHT/plan/A2", _found(words.move_button())),
    Shot("sheets-right", "/j/FROM-RIGHT/sheets/A2"),
    Shot("whatif-forty", "/j/BOXES-40/whatif/C30"),
    Shot("plan-unfed", "/j/UNFED/plan"),
    Shot("plan-branched", "/j/BRANCHED/plan"),
    Shot("plan-branch", "/j/BRANCHED/plan/C6"),
    Shot("plan-two", "/j/BOXES-2/plan"),
    Shot("plan-forty", "/j/BOXES-40/plan/C20"),
)
EDITING = (
    Shot("plan-length", f"{JOB}/plan/C4/length", _on_pad("26")),
    Shot("plan-stop", f"{JOB}/plan/J1/stop", _new_stop),
    Shot("plan-stop-first", f"{JOB}/plan/J1/stop"),
    Shot("plan-lead", f"{JOB}/plan/A2/lead"),
    Shot("plan-moving", f"{JOB}/plan/J1", _found(words.move_button())),
    Shot("plan-bonding", f"{JOB}/plan/A2", _found(words.bond_button(True))),
    Shot("plan-all", f"{JOB}/plan", _scrolled(words.nothing_chosen())),
    Shot("plan-box-foot", f"{JOB}/plan/A2", _scrolled(words.bond_button(True))),
)
NEW_RUN = (
    Shot("new-metres", "/new", _on_pad("463")),
    Shot("new-load", "/new", _what_load),
)


def _weighed(hand: Phone) -> None:
    hand.wait_gone(words.weighing(0.5).partition(":")[0])


def _mending(hand: Phone) -> None:
    _weighed(hand)
    hand.tap(words.TO_DO["do-load"].format(at="C").split("**")[1], role="button")
    hand.wait_for(words.was_it_that())


def _truth(hand: Phone) -> None:
    _mending(hand)
    hand.pause(SETTLE)  # what was opened stands still before it is turned
    hand.tap(words.it_was_else(), role="button")


FAULTS = (
    *(Shot(f"fault-{name}", f"/j/F-{name.upper()}/fault", _weighed) for name in fault_jobs.EVERY),
    Shot("fault-dead-more", "/j/F-DEAD/fault", _scrolled(words.one_test(2))),
    Shot("fault-picked", "/j/F-WALK/fault?where=L1&cause=box.no-pass"),
    Shot("fault-test", "/j/F-DEAD/test/C5/loop_ohms"),
    Shot("fault-mend", "/j/F-LOAD/fault", _mending),
    Shot("fault-truth", "/j/F-LOAD/fault", _truth),
    Shot("fault-run", "/j/F-BOX/run"),
    Shot("fault-verdict", "/j/F-WALK/verdict/r0"),
    Shot("fault-leave", "/j/F-LINK/leave", _scrolled(words.find_fault())),
    Shot("fault-jobs", "/"),
)
PRACTICE = (
    Shot("practice-list", "/practice"),
    Shot("practice-jobs", "/"),
    Shot("practice-so-far", f"{practice_jobs.JOB}/practice"),
    Shot("practice-now", f"{practice_jobs.JOB}/now"),
    Shot("practice-run", f"{practice_jobs.JOB}/run"),
    Shot("practice-leave", f"{practice_jobs.JOB}/leave"),
    Shot("practice-plan", f"{practice_jobs.JOB}/plan"),
    Shot("practice-verdict", f"{practice_jobs.JOB}/verdict/b"),
    Shot("hand-practice", f"{practice_jobs.JOB}/hand"),
    Shot("practice-pad", f"{practice_jobs.JOB}/read/L2.in/volts"),
    Shot("practice-taken", f"{practice_jobs.JOB}/read/L2.in/volts", _found(words.take_made_up())),
    Shot("practice-lights", f"{practice_jobs.JOB}/read/L2.in/mbps", _found(words.take_made_up())),
)
PRACTISED = (Shot("practice-went", f"{practice_jobs.JOB}/practice"),)
TRIPS = (
    Shot("practice-moves", f"{practice_jobs.JOB}/read/S.out/volts", _found(words.take_made_up())),
)
BROKEN = (
    Shot("practice-pairs", f"{practice_jobs.JOB}/read/C4/loop_ohms", _found(words.take_made_up())),
)
ALL_DONE = (
    Shot("now-nothing-left", f"{JOB}/now"),
    Shot("leave-free", f"{JOB}/leave"),
    Shot("run-all-copper", f"{JOB}/run"),
    Shot("steps-done", f"{JOB}/steps"),
)


def _over(hand: Phone) -> None:
    for key in "410":
        hand.tap(key, exact=True)


def _opened_again(hand: Phone) -> None:
    """Typed, then the page is gone and opened again."""
    _typed(hand)
    hand.pause(SETTLE)
    hand.page.reload()
    hand.wait_for("You were typing")


READ_TWICE = (
    Shot("run-twice", f"{JOB}/run?at=J1.a"),
    Shot("run-twice-far", f"{JOB}/run?at=L2.in"),
    Shot("verdict-no-band", f"{JOB}/verdict/bare"),
    Shot("read-over", f"{JOB}/read/L2.in/volts", _over),
    Shot("read-points", f"{JOB}/read/L2.in/volts", _found(FIXED.point)),
    Shot("read-restored", f"{JOB}/read/A2.line/volts", _opened_again),
)
SET_ASIDE = (
    Shot("steps-aside", f"{JOB}/steps"),
    Shot("steps-here", f"{JOB}/steps", _found(FIXED.here)),
    Shot("now-reopened", f"{JOB}/now?step=announce.site"),
    Shot("now-done", f"{JOB}/now?step=reel.C4"),
)
FORTY = (
    Shot("run-forty", "/j/POSTS-40/run"),
    Shot("run-forty-end", "/j/POSTS-40/run?at=E1.in"),
    Shot("now-forty", "/j/POSTS-40/now"),
    Shot("steps-forty", "/j/POSTS-40/steps"),
    Shot("leave-forty", "/j/POSTS-40/leave"),
    Shot("verdict-forty", "/j/POSTS-40/verdict/r5"),
    Shot("power-forty", "/j/POSTS-40/power"),
    Shot("hand-forty", "/j/POSTS-40/hand"),
)
LONG_NAMES = (
    Shot("jobs-names", "/"),
    Shot("now-names", "/j/NAMES/now?step=fit.L2"),
    Shot("now-names-walk", "/j/NAMES/now?step=walk.site"),
    Shot("now-names-pull", "/j/NAMES/now?step=pull.C4"),
    Shot("run-names", "/j/NAMES/run?at=L2.in"),
    Shot("read-names", "/j/NAMES/read/L2.in/volts"),
    Shot("verdict-names", "/j/NAMES/verdict/outside"),
    Shot("leave-names", "/j/NAMES/leave"),
    Shot("steps-names", "/j/NAMES/steps"),
    Shot("fault-names", "/j/NAMES/fault", lambda hand: _weighed(hand)),
    Shot("hand-names", "/j/NAMES/hand"),
)
SPLIT = (
    Shot("run-split", "/j/BRANCHED/run"),
    Shot("run-split-fork", "/j/BRANCHED/run?at=X.in"),
    Shot("run-split-branch", "/j/BRANCHED/run?at=G.in"),
    Shot("now-split", "/j/BRANCHED/now?step=fit.X"),
    Shot("now-split-pull", "/j/BRANCHED/now?step=pull.C5"),
    Shot("steps-split", "/j/BRANCHED/steps"),
    Shot("leave-split", "/j/BRANCHED/leave"),
    Shot("verdict-split", "/j/BRANCHED/verdict/r3"),
    Shot("fault-split", "/j/BRANCHED/fault", lambda hand: _weighed(hand)),
)
COLLAPSED = (
    Shot("run-collapse", "/j/COLLAPSE/run"),
    Shot("now-collapse", "/j/COLLAPSE/now"),
    Shot("leave-collapse", "/j/COLLAPSE/leave"),
    Shot("jobs-collapse", "/"),
)
TWO_BOXES = (Shot("run-two-boxes", "/j/BOXES-2/run"), Shot("now-two-boxes", "/j/BOXES-2/now"))
TORN = (
    Shot("jobs-torn", "/"),
    Shot("jobs-torn-told", "/j/TORN-ONE/now"),
    Shot("plan-nobody", f"{JOB}/plan/NOBODY/length"),
)
RETURN_LEFT = (
    Shot("return-jobs", "/"),
    Shot("return-visit", f"{JOB}/now"),
    Shot("return-two", f"{JOB}/now", _found(words.capital(words.people(2)))),
    Shot("return-begun", f"{JOB}/now", _begun),
    Shot("return-leave-none", f"{JOB}/leave"),
    Shot("return-steps", f"{JOB}/steps"),
)
RETURN_MANY = (Shot("return-visit-many", f"{JOB}/now"),)
RETURN_DRIFTED = (
    Shot("return-leave", f"{JOB}/leave"),
    Shot("return-leave-light", f"{JOB}/leave", _scrolled(words.spot("C.in"))),
    Shot("return-leave-unsure", f"{JOB}/leave", _scrolled(words.since_steady(3))),
    Shot("return-verdict", f"{JOB}/verdict/r2-L2.in"),
    Shot("return-verdict-steady", f"{JOB}/verdict/r2-J1.a"),
    Shot("return-run", f"{JOB}/run?at=J1.a"),
    Shot("return-now", f"{JOB}/now?step=again.L1.out.volts"),
    Shot("return-over", f"{JOB}/now?step=lookover.hide"),
    Shot("return-pad", f"{JOB}/read/L2.out/volts"),
    Shot("return-fault", f"{JOB}/fault", _weighed),
)
RETURN_STEADY = (Shot("return-leave-steady", f"{JOB}/leave"),)
LARGE = ("now-first", "now-fit", "steps-fresh", "read-empty", "read-typed", "leave-held")
LARGE += ("verdict-outside", "verdict-unclear", "change-ready", "taken-back", "load-used")
LARGE += ("load-set", "leave-choose", "leave-worked", "leave-outside", "run-today")
LARGE += ("caution-many", "wires-one", "now-full-runs", "power-waits", "power-dark", "visit")
LARGE += ("now-photo-taken", "steps-worked", "run-photo", "caution-pad", "now-pairs-short")
LARGE += ("whatif-longer", "whatif-typing", "whatif-gauge")
LARGE += ("sheets-box", "newsheet-begin", "newsheet-band", "newsheet-speeds", "newsheet-last")
LARGE += ("jobs-code", "jobs-code-refused", "run-gone")
LARGE += ("jobs-more", "compare-list", "compare-copy", "spans-refused")
LARGE += ("plan", "plan-span", "plan-box", "plan-weak", "plan-ways", "plan-length", "plan-stop")
LARGE += ("plan-names", "plan-names-box", "plan-bonding", "plan-moving", "new-load")
LARGE += (
    "fault-walk",
    "fault-dead",
    "fault-mend",
    "fault-load",
    "fault-test",
    "fault-truth",
    "fault-agree",
)
LARGE += ("practice-list", "practice-jobs", "practice-so-far", "practice-now", "practice-went")
LARGE += ("practice-taken", "practice-lights", "practice-pairs")
LARGE += ("return-visit", "return-visit-many", "return-leave", "return-leave-light", "return-begun")
LARGE += ("return-leave-unsure", "return-verdict", "return-jobs")
LARGE += tuple(
    shot.name
    for shots in (ALL_DONE, READ_TWICE, SET_ASIDE, FORTY, LONG_NAMES, SPLIT, COLLAPSED)
    for shot in shots
)
LARGE += ("put-in", "reel-sound", "reel-clad", "reel-ohms", "reel-none")
LARGE += ("hand-signed", "sign-empty", "sign-drawn")
LARGE += ("settings", "settings-foot", "settings-meters", "settings-away", "everything")
LARGE += ("shapes", "shapes-verdicts", "shapes-foot", "meter-begin", "meter-volts", "meter-day")
LARGE += ("meter-last", "meter-changed")
LARGE += ("phone-tab", "phone-foot", "phone-newer", "jobs-copies", "jobs-newer", "leave-copies")
LARGE += ("hand-older", "hand-made", "hand-share", "hand-foot")
AS_PHONE = """import runpy, flet
flet.PagePlatform.is_mobile = lambda self: True
runpy.run_module("fieldapp", run_name="__main__", alter_sys=True)"""
"""the app where every page is a phone's: sharing is offered there. A browser that only says so
gives no names without a finger on its glass."""
AS_INSTALLED = """import asyncio, runpy
from fieldapp import services
from fieldapp.installed import Installed
class Link:
    async def states(self):
        yield {state!r}
        await asyncio.Event().wait()
    async def ask_to_stay(self):
        pass
real = services.Services
services.Services = lambda *means: real(*means, link=Link())
runpy.run_module("fieldapp", run_name="__main__", alter_sys=True)"""
"""the app where every page was installed, and knows this of itself"""
DOUBLE = """document.addEventListener("readystatechange",
  () => { document.documentElement.style.fontSize = "32px"; });"""


async def _chosen(folder: Path, **settings: str | bool) -> None:
    """A folder of the app's in which this is chosen already."""
    store = await open_files(folder, now=lambda: "2031-06-03T08:00:00Z", draw=lambda: "d0d0")
    for name, value in settings.items():
        store.put_setting(name, value)
    store.close()


@contextmanager
def served(*docs: dict | str, code: str = "") -> Iterator[str]:
    """The app on a folder of its own, with these jobs in it, in the language that is spoken
    here; its address. Of a job that is only named the journal cannot be read. ``code`` starts it
    in a way of its own."""
    from browser import start_app

    with tempfile.TemporaryDirectory() as folder:
        whole = [doc for doc in docs if not isinstance(doc, str)]
        files = [Path(folder) / f"{n}.json" for n, _ in enumerate(whole)]
        for file, doc in zip(files, whole, strict=True):
            file.write_text(json.dumps(doc), encoding="utf-8")
        data = str(Path(folder) / "data")
        choosing = _chosen(Path(data), language=words.manner().language, asked_to_stay=True)
        with ThreadPoolExecutor() as pool:  # the browser has a loop running in this thread
            pool.submit(asyncio.run, choosing).result()
        for name in (doc for doc in docs if isinstance(doc, str)):
            torn = Path(data) / "jobs" / f"{name}.journal"
            torn.write_text("no journal at all\n", encoding="utf-8")
        args = ["--no-browser", "--port", "0", "--data", data, *map(str, files)]
        paths = os.pathsep.join((str(ROOT), os.environ.get("PYTHONPATH", "")))
        module = ["-c", code] if code else ["-m", "fieldapp"]
        app = start_app([sys.executable, *module, *args], {"PYTHONPATH": paths})
        try:
            yield app.url
        finally:
            app.kill9()


def take(hand: Phone, url: str, shots: tuple[Shot, ...], folder: Path, look: str) -> list[str]:
    """Photograph the shots one after another; what went wrong, one line each."""
    troubles = []
    hand.open(url)
    hand.pause(SETTLE)
    for shot in shots:
        hand.go("/settings")
        hand.wait_route("/settings")
        try:
            if shot.place != "/settings":  # a slow machine shows the last place a while longer
                hand.wait_for(SETTING)
                hand.go(shot.place)
                hand.wait_gone(SETTING)
            hand.pause(SETTLE)
            shot.act(hand)
        except AssertionError as trouble:
            troubles.append(f"{shot.name} {look}: {str(trouble).splitlines()[0]}")
        hand.pause(SETTLE / 2)
        hand.screenshot(folder / f"{shot.name}-{look}.png")
    troubles += [f"{look}: console: {line}" for line in hand.console_errors]
    troubles += [f"{look}: outside: {line}" for line in hand.outside_requests]
    return troubles


def states() -> tuple[tuple[tuple[Shot, ...], tuple[dict, ...], bool], ...]:
    """What is photographed: shots, the jobs they are of, and whether the page is a phone's."""
    begun, mended, trips, broken = (warned(doc()) for doc in practice_jobs.PICTURED)
    samples = tuple(json.loads(path.read_text(encoding="utf-8")) for path in SAMPLES)
    faulty = tuple(doc() for doc in FAULTY)
    one_page = (
        (BEGIN, ()),
        (SETTLED, (planned(),)),
        (CAUTIONED, samples),
        (PLANNED, (planned(),)),
        (HALF_WAY, (half_way(),)),
        (GONE_DARK, (gone_dark(),)),
        (READS_LOW, (reads_low(),)),
        (GONE_HOME, (gone_home(),)),
        (WORKED, (worked_on(),)),
        (HANDED, (handed_over(), without_boxes())),
        (SHARED, (handed_over(),)),
        (SIGNED, (signed(),)),
        (ACCEPTED, (accepted(),)),
        (TWO_PLANS, (two_plans(),)),
        (LETS_GO, (lets_go(),)),
        (POOR, (poor(),)),
        (REELS_GOOD, (reels_good(),)),
        (REELS_ODD, (reels_odd(),)),
        (REELS_OPEN, (reels_open(),)),
        (EDITED, plan_jobs.pictured()),
        (EDITING, (planned(),)),
        (NEW_RUN, ()),
        (COMPARED, (planned(), farther(), samples[-1])),
        (LOOSE, (loose(),)),
        (FAULTS, faulty),
        (ALL_DONE, (all_done(),)),
        (READ_TWICE, (read_twice(),)),
        (SET_ASIDE, (set_aside(),)),
        (FORTY, (forty(),)),
        (LONG_NAMES, (long_named(),)),
        (SPLIT, (split(),)),
        (COLLAPSED, (collapsed(),)),
        (TWO_BOXES, (warned(plan_jobs.of_boxes(2)),)),
        (RETURN_LEFT, (left_again(),)),
        (RETURN_MANY, (left_much_open(),)),
        (RETURN_DRIFTED, (drifted_since(),)),
        (RETURN_STEADY, (as_it_was(),)),
        (PRACTICE, (begun,)),
        (PRACTISED, (mended,)),
        (TRIPS, (trips,)),
        (BROKEN, (broken,)),
    )
    return tuple((shots, tuple(map(counted, docs)), shots is SHARED) for shots, docs in one_page)


def every_page() -> Iterator[tuple[tuple[Shot, ...], tuple[dict | str, ...], str]]:
    """Shots, the jobs they are of, and what starts the app for them where that is not its own."""
    for shots, docs, as_phone in states():
        yield shots, docs, AS_PHONE if as_phone else ""
    yield TORN, (planned(), "TORN-ONE"), ""
    for shots, installed in ON_A_PHONE:
        yield shots, (worked_on(),), AS_INSTALLED.format(state=installed)


def main(folder: Path, ways: tuple[str, ...], names: tuple[str, ...] = ()) -> int:
    """Write all pictures into `folder`; 1 if something went wrong on the way."""
    from browser import chromium_path, phone
    from playwright.sync_api import sync_playwright

    large = "large" in ways
    looks = {look: colour for look, colour in LOOKS.items() if look in ways} or LOOKS
    size = WINDOWS[next((way for way in ways if way in WINDOWS), "phone")]
    folder.mkdir(parents=True, exist_ok=True)
    executable = chromium_path()
    if executable is None:
        print("no Chromium: install one, or set FAREND_CHROMIUM to its path", file=sys.stderr)
        return 2
    troubles = []
    with sync_playwright() as playwright:
        for shots, docs, code in every_page():
            if large:
                shots = tuple(shot for shot in shots if shot.name in LARGE)
            if names:
                shots = tuple(shot for shot in shots if shot.name.startswith(names))
            for look, colour in looks.items() if shots else ():
                window = phone(playwright, executable, colour=colour, size=size)
                with served(*docs, code=code) as url, window as hand:
                    if large:
                        hand.page.add_init_script(DOUBLE)
                    name = "-".join((look, *(way for way in ways if way not in LOOKS)))
                    troubles += take(hand, url, shots, folder, name)
    print("\n".join(troubles))
    return 1 if troubles else 0


if __name__ == "__main__":
    if len(sys.argv) < 2:
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    asked = sys.argv[2:]
    ways = tuple(one for one in asked if one in WAYS)
    wanted = tuple(one for one in asked if one not in ways)
    sys.exit(main(Path(sys.argv[1]), ways, wanted))
