"""The app as a technician meets it: a real process, a real browser, a battery that dies.

Things are found by their accessible names, and those are asked of `fieldapp.words`, so that a
better wording breaks nothing here. What the screens should say comes from the engine.
"""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from random import randrange
from typing import TYPE_CHECKING

import pytest
from jpegs import JFIF
from jpegs import made as made_picture

from engine.job import Point
from engine.jobfile import load, read_job
from engine.judge import Judgement, judge
from engine.leave import Hold
from engine.say import say
from engine.step import Step
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.screens.shared import slab_words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import Decoded, decode, head_of
from fieldapp.wires import PLUGS

if TYPE_CHECKING:
    from browser import App, Phone

ROOT = Path(__file__).parent.parent
SAMPLE = ROOT / "sample_jobs" / "reedbed-hide.json"
JOB = "REEDBED-HIDE"
FIXED = words.FIXED
ENVIRONMENT = {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}


PAGE_LEFT = re.compile(
    r"^[^\n]*Receive loop error: WebSocket is not connected.*?WebSocketDisconnected: [^\n]*"
    r"|^Task exception was never retrieved\nfuture: [^\n]*__updates_scheduler[^\n]*'put_nowait'"
    r".*?^AttributeError: [^\n]*'put_nowait'$",
    re.DOTALL | re.MULTILINE,
)
"""what Flet's own server prints when a page goes while it is being listened to, or drawn anew:
`App.send` begins the drawing again"""


def spoken(marked: str) -> str:
    """A sentence without its marks of stress."""
    return marked.replace("**", "")


# ---------------------------------------------------------------- the app


def free_port() -> int:
    """A port that nobody listens on now, of those that the system hands out to nobody else in
    the meantime: an app that starts again has to find its own free."""
    while True:
        port = randrange(20000, 30000)
        with closing(socket.socket()) as one, suppress(OSError):
            one.bind(("127.0.0.1", port))
            return port


@pytest.fixture
def serve(tmp_path: Path) -> Iterator[Callable[..., App]]:
    """Starts `python -m fieldapp` on a data folder of this test; ends it with the test."""
    from browser import start_app

    apps = []

    def start(*files: Path, port: int = 0) -> App:
        data = ["--data", str(tmp_path / "data")]
        args = ["--no-browser", "--port", str(port), *data, *map(str, files)]
        apps.append(start_app([sys.executable, "-m", "fieldapp", *args], ENVIRONMENT))
        return apps[-1]

    yield start
    for app in apps:
        app.kill9()
        output = PAGE_LEFT.sub("", app.output)
        assert "Traceback" not in output, output


def kept(data: Path, job: str = JOB) -> Decoded:
    """What the journal holds on the disk now."""
    return decode(read_journal(data, job))


Held = Callable[[], Decoded]
"""what the journal of one job holds, asked anew"""


def judged(decoded: Decoded) -> Judgement:
    """The engine's own judgement of a journal."""
    plan = head_of(decoded, JOB).plan
    return judge(read_job({**plan, "log": list(decoded.records[1:])}))


# ---------------------------------------------------------------- one journey


def fresh() -> Judgement:
    """The sample before anything is done."""
    return judge(load(SAMPLE))


def inside_volts(at: str) -> float:
    """What the engine expects at a point, as a meter with one decimal shows it."""
    return round(fresh().prediction.points[Point.parse(at)].volts.expected, 1)


def outside_volts(at: str) -> float:
    """A reading well under what a job built to plan can show at a point."""
    return round(fresh().prediction.points[Point.parse(at)].volts.low - 5, 1)


def unclear_volts(at: str) -> float:
    """The first reading below what is expected at a point that is not yet for certain."""
    doc = json.loads(SAMPLE.read_text(encoding="utf-8"))
    value, word = inside_volts(at), INSIDE
    while word == INSIDE:
        value = round(value - 0.1, 1)
        read = {"id": "r", "what": "reading", "at": at, "kind": "volts", "value": value}
        word = judge(read_job({**doc, "log": [{**read, "meter": "M1"}]})).verdicts[0].verdict
    assert word == UNCLEAR
    return value


def type_figure(hand: Phone, digits: str, kind: str = "volts") -> None:
    for key in digits:
        hand.tap(FIXED.reading_key_point if key == "." else key, exact=True)
    hand.wait_for(words.typed_with_unit(digits, kind))


def pad_opens(hand: Phone) -> int:
    """The pad, after what is asked once a stop and a day; how many presses that took."""
    asked = words.understood()
    hand.wait_until(lambda: hand.has(asked) or hand.has(FIXED.type_it), 10, "the pad")
    if not hand.has(asked):
        return 0
    understands(hand)
    hand.wait_for(FIXED.type_it)
    return 1


def log_volts(hand: Phone, box: str, at: str, volts: float, job: str = JOB) -> None:
    """From Run: the box, `Log volts here`, the digits, Keep."""
    digits = words.figure(volts)
    before = hand.taps
    hand.tap(box, exact=True, role="button")
    hand.wait_until(lambda: "?at=" in hand.route, 10, "the box to be chosen")
    hand.wait_for(f"{words.log_here()} {words.point(at)}")
    hand.tap(words.log_here(), role="button")
    hand.wait_route(f"/j/{job}/read/{at}/volts")
    before += pad_opens(hand)
    type_figure(hand, digits)
    hand.tap(words.keep_slab(digits, "volts"))
    assert hand.taps - before == 3 + len(digits)


def understands(hand: Phone) -> None:
    """The cautions before a step are read: one press."""
    before = hand.taps
    hand.tap(words.understood(), role="button")
    hand.wait_gone(words.understood())
    assert hand.taps - before == 1


def does(hand: Phone, step: Step) -> None:
    """A step with one press on the slab, which says what is true afterwards."""
    before = hand.taps
    hand.tap(slab_words(step), role="button")
    hand.wait_gone(slab_words(step))
    assert hand.taps - before == 1


def step_called(ident: str) -> Step:
    """A step of the sample."""
    return next(step for step in fresh().steps if step.id == ident)


def tick_and_undo(hand: Phone, step: Step) -> None:
    """In Steps: one press on the jacket's end ticks off, another opens again."""
    short = words.step(step.say).short
    hand.tap(words.press_end(short, False), exact=True)
    hand.wait_for(words.press_end(short, True))
    hand.tap(words.press_end(short, True), exact=True)
    hand.wait_for(words.press_end(short, False))


def person_is_asked_for(hand: Phone, hold: Hold) -> None:
    """The hold's row asks who answers, and the sheet neither fills it in nor lets it be empty."""
    hand.scroll_to(spoken(words.sentence(hold.say)))
    hand.scroll_to(words.find_fault(), exact=True)
    row = hand.box(words.find_fault(), exact=True).y
    asked = [node for node in hand.nodes() if node.box.y == row and node.tappable]
    assert [node.first_line for node in asked] == [words.find_fault(), FIXED.who_answers]
    hand.tap_at(*asked[1].box.centre)
    for label in (FIXED.name_label, FIXED.role_label):
        hand.scroll_to(label, role="textbox")
        assert hand.find(label, role="textbox").value == ""
    assert not hand.find(FIXED.waive_it).enabled
    assert hand.has(words.what_is_missing())
    hand.tap(FIXED.not_now)


def nothing_went_wrong(hand: Phone) -> None:
    assert hand.outside_requests == []
    assert hand.console_errors == []


@pytest.mark.browser
def test_a_day_with_a_dead_battery(serve, new_phone, tmp_path: Path) -> None:
    data, steps, port = tmp_path / "data", fresh().steps, free_port()
    app = serve(SAMPLE, port=port)
    hand: Phone = new_phone()
    hand.open(app.url)
    hand.wait_route(f"/j/{JOB}/now")

    understands(hand)
    does(hand, steps[0])
    hand.wait_for(slab_words(steps[1]))
    hand.tap(words.all_steps(len(steps)))
    hand.tap(words.press_end(words.step(steps[2].say).short, False), exact=True)
    hand.wait_for(words.press_end(words.step(steps[2].say).short, True))
    tick_and_undo(hand, steps[3])

    boxes = fresh().state.job.boxes
    hand.tap(FIXED.run, exact=True)
    log_volts(hand, boxes["S"].name, "S.out", inside_volts("S.out"))
    hand.wait_for(words.VERDICTS[INSIDE])
    hand.tap(FIXED.run, exact=True)
    log_volts(hand, boxes["L2"].name, "L2.in", outside_volts("L2.in"))
    hand.wait_for(words.VERDICTS[OUTSIDE])

    now = judged(kept(data))
    words_of = {one.reading.at: one.verdict for one in now.verdicts}
    assert words_of == {"S.out": INSIDE, "L2.in": OUTSIDE}
    hand.tap(words.leave_bar(len(now.blockers)), exact=True)
    hand.wait_for(spoken(words.held_title(len(now.blockers))))
    assert hand.has(words.held_box(len(now.blockers)))
    person_is_asked_for(hand, next(hold for hold in now.blockers if hold.reading))

    hand.tap(FIXED.run, exact=True)
    hand.tap(boxes["A2"].name, exact=True, role="button")
    hand.tap(words.log_here(), role="button")
    hand.wait_for(words.point("A2.line"))
    type_figure(hand, "47.")
    nothing_went_wrong(hand)
    app.kill9()
    before = kept(data)
    hand.page.close()

    app = serve(port=port)
    second: Phone = new_phone()
    second.open(app.url)
    second.wait_route(f"/j/{JOB}/read/A2.line/volts")
    second.wait_for(words.were_typing("47.", "A2.line", ""))
    assert second.has(words.typed_with_unit("47.", "volts"))
    after = kept(data)
    assert after.records == before.records
    assert (after.why, after.torn, after.damaged) == (None, 0, ())

    type_figure_on(second, "47.", "5")
    second.tap(words.keep_slab("47.5", "volts"))
    second.wait_for(FIXED.take_back)  # the verdict is on the screen, so the entry is kept
    last = kept(data)
    assert last.records[:-1] == before.records
    assert (last.records[-1]["at"], last.records[-1]["value"]) == ("A2.line", 47.5)

    states = [step.state for step in judged(last).steps]
    assert states[:4] == ["done", "open", "done", "open"]
    second.tap(FIXED.now, exact=True)
    second.tap(words.all_steps(len(steps)))
    following = words.step(steps[1].say).short
    second.wait_for(spoken(words.steps_title(states.count("done"), len(steps), following)))
    for step in (steps[0], steps[2]):
        assert second.has(words.press_end(words.step(step.say).short, True))
    second.tap(FIXED.run, exact=True)
    second.wait_for(f"S {words.figure(inside_volts('S.out'))}, {words.VERDICTS[INSIDE]}")
    assert second.has(f"L2 {words.figure(outside_volts('L2.in'))}, {words.VERDICTS[OUTSIDE]}")
    nothing_went_wrong(second)


def type_figure_on(hand: Phone, standing: str, more: str) -> None:
    """Go on with digits that stand already."""
    hand.tap(more, exact=True)
    hand.wait_for(words.typed_with_unit(standing + more, "volts"))


# ---------------------------------------------------------------- readings that go together


@pytest.mark.slow
@pytest.mark.browser
def test_readings_that_go_together(serve, new_phone, tmp_path: Path) -> None:
    """Each on a job that nothing was read on yet, all of them on one phone."""
    doc, files, parts = json.loads(SAMPLE.read_text(encoding="utf-8")), [], {}
    for part in (volts_then_milliamps, measured_again, mended, a_known_load):
        parts[job := f"{JOB}-{len(parts)}"] = part
        files.append(written(tmp_path / f"{job}.json", {**doc, "id": job, "title": job}))
    app, hand = serve(*files), new_phone()
    hand.open(app.url)
    for job, part in parts.items():
        hand.go("/settings")
        hand.wait_for(words.setting_name("look"))
        hand.go(f"/j/{job}/run")
        hand.wait_gone(words.setting_name("look"))
        part(hand, job, lambda job=job: kept(tmp_path / "data", job))
    nothing_went_wrong(hand)


def volts_then_milliamps(hand: Phone, job: str, held: Held) -> None:
    """Two presses more, and both are of one moment whatever the clock says between them."""
    log_volts(hand, fresh().state.job.boxes["L2"].name, "L2.in", inside_volts("L2.in"), job)
    hand.wait_for(words.VERDICTS[INSIDE])
    before = hand.taps
    hand.tap(FIXED.and_milliamps, role="button")
    hand.wait_for(FIXED.type_it)
    amps = fresh().prediction.points[Point("L2", "in")].amps.expected
    digits = f"{amps * 1000:.0f}"
    type_figure(hand, digits, "milliamps")
    hand.tap(words.keep_slab(digits, "milliamps"))
    hand.wait_for(words.with_unit(float(digits), "milliamps"))
    hand.wait_for(words.VERDICTS[INSIDE])
    assert hand.taps - before == 2 + len(digits)
    now = judged(held())
    assert [(one.reading.kind, one.verdict) for one in now.verdicts] == [
        ("volts", INSIDE),
        ("milliamps", INSIDE),
    ]
    assert len({one.reading.moment for one in now.verdicts}) == 1


def measured_again(hand: Phone, job: str, held: Held) -> None:
    """An unclear reading: both are used."""
    value = unclear_volts("L2.in")
    log_volts(hand, fresh().state.job.boxes["L2"].name, "L2.in", value, job)
    hand.wait_for(words.VERDICTS[UNCLEAR])
    assert hand.has(words.both_used())
    before = hand.taps
    hand.tap(FIXED.measure_again, role="button")
    hand.wait_for(FIXED.type_it)
    again = words.figure(value + 0.1)
    type_figure(hand, again)
    hand.tap(words.keep_slab(again, "volts"))
    hand.wait_for(FIXED.take_back)
    assert hand.taps - before == 2 + len(again)
    now = judged(held())
    assert [one.current for one in now.verdicts] == [True, True], "the repeat strikes nothing"
    assert len({one.reading.moment for one in now.verdicts}) == 2


def mended(hand: Phone, job: str, held: Held) -> None:
    """A repair strikes the readings of its run."""
    boxes = fresh().state.job.boxes
    log_volts(hand, boxes["S"].name, "S.out", inside_volts("S.out"), job)
    hand.wait_for(words.VERDICTS[INSIDE])
    hand.tap(FIXED.run, exact=True)
    log_volts(hand, boxes["L2"].name, "L2.in", outside_volts("L2.in"), job)
    hand.wait_for(words.VERDICTS[OUTSIDE])
    before = hand.taps
    hand.tap(words.mended(), role="button")
    hand.wait_for(words.mended_where())
    assert not hand.find(words.keep_mended(), role="button").enabled
    length = words.metres(fresh().state.job.spans["C4"].length_m.expected)
    hand.tap(f"C4 {length}", role="button")
    hand.tap(words.MENDED[0], role="button")
    hand.tap(words.keep_mended(), role="button")
    hand.wait_route(f"/j/{job}/now")
    hand.wait_for(
        spoken(words.sentence(say("strip-change", where="C4", did="", struck=2))), timeout=6
    )
    assert hand.taps - before == 4
    last = held().records[-1]
    assert (last["what"], last["where"], last["did"]) == ("change", "C4", words.MENDED[0])
    now = judged(held())
    assert [one.current for one in now.verdicts] == [False, False]
    states = {step.id: step.state for step in now.steps}
    assert states["volts.L2.in"] == "open"


def a_known_load(hand: Phone, job: str, held: Held) -> None:
    """Set in three presses once; it is in the entry, and Leave lets nobody wave it through."""
    hand.tap(fresh().state.job.boxes["L2"].name, exact=True, role="button")
    hand.tap(words.log_here(), role="button")
    pad_opens(hand)
    before = hand.taps
    hand.tap(FIXED.known, role="button")
    hand.wait_for(words.load_watts())
    hand.tap(words.watts(15), role="button")
    hand.tap(words.load_slab("C", 15), role="button")
    hand.wait_for(words.load_state("C", 15))
    assert hand.taps - before == 3
    type_figure(hand, "48.4")
    hand.tap(words.keep_slab("48.4", "volts"))
    hand.wait_for(FIXED.take_back)
    assert held().records[-1]["with"] == {"C": {"watts": 15}}
    out = next(one for one in judged(held()).blockers if one.id == "step.take-back.site")
    assert out.can_waive == "no"
    hand.tap(words.leave_bar(len(judged(held()).blockers)), exact=True)
    hand.scroll_to(spoken(words.sentence(out.say)))


def with_two_plans(folder: Path) -> Path:
    """The sample with one length changed on two phones that had not seen each other."""
    change = {"what": "set", "path": ["spans", "C4", "length_m"], "was": 256}
    doc = json.loads(SAMPLE.read_text(encoding="utf-8"))
    doc["log"] = [
        {"id": "x", "device": "a", "n": 1, "by": "Orla", "value": 262, **change},
        {"id": "y", "device": "b", "n": 1, "by": "Ivo", "value": 249, **change},
    ]
    path = folder / "two-plans.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    return path


@pytest.mark.slow
@pytest.mark.browser
def test_of_two_plans_one_is_chosen_in_two_presses(serve, new_phone, tmp_path: Path) -> None:
    job = with_two_plans(tmp_path)
    hand: Phone = new_phone()
    hand.open(serve(job).url)
    path = "spans/C4/length_m"
    number = len(judge(load(job)).blockers)
    hand.tap(words.leave_bar(number), exact=True)
    hand.scroll_to(words.choose(), role="button")
    before = hand.taps
    hand.tap(words.choose(), role="button")
    hand.wait_for(words.written_by("Orla", False))
    hand.tap(words.conflict_value(path, 262), role="button")
    hand.wait_for(words.leave_bar(number - 1))
    assert hand.taps - before == 2
    decoded = kept(tmp_path / "data")
    last = decoded.records[-1]
    assert (last["what"], last["keep"], set(last["of"])) == ("resolve", "x", {"x", "y"})
    now = judged(decoded).state
    assert now.conflicts == () and now.job.spans["C4"].length_m.expected == 262
    nothing_went_wrong(hand)


# ---------------------------------------------------------------- a whole installation


@pytest.fixture
def on_site(serve, new_phone, tmp_path: Path):
    """Opens a job, as a document, on a phone: the phone, what its journal holds, and again after
    the battery died."""
    port, started = free_port(), []

    def begin(doc: dict | None = None) -> tuple[Phone, Callable[[], Decoded]]:
        files = () if doc is None else (written(tmp_path / "job.json", doc),)
        for app, hand in started:
            app.kill9()
            hand.page.close()
        app, hand = serve(*files, port=port), new_phone()
        hand.open(app.url)
        started[:] = [(app, hand)]
        return hand, lambda: kept(tmp_path / "data")

    yield begin
    nothing_went_wrong(started[-1][1])


def state_of(held: Decoded, ident: str) -> str:
    """The state of a step by the journal."""
    return next(step.state for step in judged(held).steps if step.id == ident)


@pytest.mark.slow
@pytest.mark.browser
def test_ticking_putting_aside_undoing_and_a_photo(on_site, tmp_path: Path) -> None:
    """The first steps on site. A caution, a tick, a photo: one press each; 'cannot': two."""
    hand, held = on_site(json.loads(SAMPLE.read_text(encoding="utf-8")))
    hand.wait_route(f"/j/{JOB}/now")
    understands(hand)
    does(hand, step_called("announce.site"))

    before = hand.taps
    hand.take_photo(words.take_photo(), made_picture("colours", JFIF, behind=b"Saltmarsh 54.1N"))
    hand.wait_for(spoken(words.sentence(say("strip-photo", of="stop:hide"))))
    assert hand.taps - before == 1
    entry = held().records[-1]
    assert (entry["what"], entry["of"]) == ("photo", "stop:hide")
    assert state_of(held(), "walk.site") == "done"
    (picture,) = (p for p in (tmp_path / "data").rglob("*") if entry["sha256"] in p.name)
    data = picture.read_bytes()
    assert sha256(data).hexdigest() == entry["sha256"] and b"54.1N" not in data

    hand.wait_for(slab_words(step_called("meter.site")))
    before = hand.taps
    hand.tap(FIXED.cannot, role="button")
    hand.tap(words.CANNOT[1], role="button")
    hand.wait_until(lambda: state_of(held(), "meter.site") == "not-here", 10, "put off")
    assert hand.taps - before == 2

    hand.go(f"/j/{JOB}/steps")
    hand.wait_for(words.not_here(words.CANNOT[1]))
    for ident in ("feed.S", "off.S"):
        short = words.step(step_called(ident).say).short
        hand.tap(words.press_end(short, False), exact=True)
        hand.wait_for(words.press_end(short, True))
    feed = words.step(step_called("feed.S").say).short
    hand.go(f"/j/{JOB}/now")
    hand.go(f"/j/{JOB}/steps")  # from the top again: what is turned away above is out of reach
    hand.tap(words.press_end(feed, True), exact=True)
    hand.wait_for(words.press_end(feed, False))
    hand.scroll_to(words.reopened(feed))
    assert state_of(held(), "off.S") == "open", "what rested on it is open again"
    hand.go(f"/j/{JOB}/now")
    hand.go(f"/j/{JOB}/steps")
    hand.scroll_to(words.step(step_called("walk.site").say).short)
    names = [node.line for node in hand.nodes()]
    assert words.press_end(words.step(step_called("walk.site").say).short, True) not in names


@pytest.mark.slow
@pytest.mark.browser
def test_both_ends_are_made_by_the_wires_and_nothing_is_touched_to_read_them(on_site) -> None:
    hand, held = on_site(with_cautions_read([]))
    hand.go(f"/j/{JOB}/now?step=terminate.C4")
    hand.tap(words.wires_slab("C4"), role="button")
    hand.wait_route(f"/j/{JOB}/wires/C4")
    for wire in PLUGS["T568B"]:
        node = hand.find(words.speak_wire(wire.contact, wire.colour, wire.striped))
        assert node.seen == node.box and node.box.height >= 68, "whole, without a touch"
    before = hand.taps
    hand.tap(words.end_slab("J1.b", False), role="button")
    hand.wait_gone(words.end_slab("J1.b", False))
    assert state_of(held(), "terminate.C4") == "open"
    hand.tap(words.end_slab("A2.line", False), role="button")
    hand.wait_gone(words.end_slab("A2.line", False))
    assert hand.taps - before == 2
    assert state_of(held(), "terminate.C4") == "done"


def measures(hand: Phone, at: str, kind: str, digits: str) -> None:
    """The reading that the power-up walk asks for: the slab, the digits, Keep."""
    before = hand.taps
    hand.tap(words.measure_at(at, kind), role="button")
    if kind == "mbps":
        hand.tap(words.capital(words.speed(float(digits))), role="button")
        digits = ""
    else:
        hand.wait_for(FIXED.type_it)
        type_figure(hand, digits, kind)
        hand.tap(words.keep_slab(digits, kind))
    hand.wait_for(words.VERDICTS[INSIDE])
    assert hand.taps - before == 2 + len(digits)


@pytest.mark.slow
@pytest.mark.browser
def test_a_dark_box_halts_the_power_up_and_a_repair_lets_it_go_on(on_site) -> None:
    from pictured_jobs import counted, switched_on

    hand, held = on_site(counted(switched_on()))
    hand.wait_for(spoken(words.power_title("S", 1, 4)))
    hand.tap(words.plug_in("S", ""), role="button")
    hand.wait_for(words.measure_at("S.out", "volts"))  # three seconds later, by itself
    measures(hand, "S.out", "volts", words.figure(inside_volts("S.out")))
    hand.tap(words.no_lead(), role="button")

    hand.wait_for(spoken(words.power_title("L1", 2, 4)))
    hand.tap(words.plug_in("L1", "L1.out"), role="button")
    hand.wait_for(words.lights_are_up())
    before = hand.taps
    hand.tap(words.is_dark(), role="button")
    hand.wait_for(spoken(words.power_halted("L1", "dark")))
    assert hand.taps - before == 1
    assert held().records[-1]["x_dark"] is True
    assert not hand.has(words.measure_at("L1.out", "volts"))

    hand.tap(words.mended(), role="button")
    hand.wait_for(words.mended_where())
    hand.tap(f"C1 {words.metres(2)}", role="button")
    hand.tap(words.MENDED[0], role="button")
    hand.tap(words.keep_mended(), role="button")
    hand.wait_for(words.is_lit())
    assert state_of(held(), "volts.S.out") == "open", "the repair struck what was read"
    hand.tap(words.is_lit(), role="button")
    hand.wait_for(spoken(words.power_title("S", 1, 4)))
    hand.tap(words.plug_in("S", ""), role="button")
    hand.wait_for(words.measure_at("S.out", "volts"))
    measures(hand, "S.out", "volts", words.figure(inside_volts("S.out")))
    hand.tap(words.no_lead(), role="button")
    hand.wait_for(spoken(words.power_title("L1", 2, 4)))
    if hand.has(words.lights_are_up()):  # its wait still runs
        hand.tap(words.lights_are_up(), role="button")
    else:
        hand.tap(words.measure_at("L1.out", "volts"), role="button")
    hand.wait_for(FIXED.type_it)
    digits = words.figure(inside_volts("L1.out"))
    type_figure(hand, digits)
    hand.tap(words.keep_slab(digits, "volts"))
    hand.wait_for(words.VERDICTS[INSIDE])
    hand.tap(words.no_lead(), role="button")
    hand.tap(words.capital(words.speed(1000)), role="button")  # the same box asks for more
    hand.wait_for(words.go_on_to(""))
    hand.tap(words.go_on_to(""), role="button")
    hand.wait_route(f"/j/{JOB}/read/L1.in/volts")
    assert state_of(held(), "link.L1.out") == "done"


@pytest.mark.slow
@pytest.mark.browser
def test_a_timer_shows_the_right_rest_after_a_dead_battery(on_site) -> None:
    hand, held = on_site(with_cautions_read([]))
    hand.go(f"/j/{JOB}/now?step=full.C")
    hand.tap(words.start_timer(900), role="button")
    hand.wait_for("Wait 14:5")
    began = datetime.fromisoformat(held().records[-1]["t"])
    hand, held = on_site()
    hand.wait_route(f"/j/{JOB}/now?step=full.C")
    for _ in range(3):  # it is right, and goes on being right
        hand.wait_for("Wait 14:")
        shown = next(n.line for n in hand.nodes() if n.line.startswith("Wait 14:"))
        left = 900 - (datetime.now(UTC) - began).total_seconds()
        minutes, seconds = shown.split()[1].split(":")
        assert abs(int(minutes) * 60 + int(seconds) - left) < 2.5, (shown, left)
        hand.pause(1300)
    assert [r for r in held().records if r.get("x_timer")][-1]["at"] == "full.C"
    assert state_of(held(), "full.C") == "open"


@pytest.mark.browser
def test_leaving_is_held_then_free_and_a_new_visit_asks_why_and_how_many(
    on_site, tmp_path: Path
) -> None:
    """Two taps to leave with nothing open; what was left stands in the entry."""
    from pictured_jobs import counted, finished

    hand, held = on_site(counted(finished(leave_open=("take-back.site",))))
    holds = judged(held()).blockers
    assert {hold.id for hold in holds} == {"step.take-back.site", "copied"}
    hand.tap(words.leave_bar(2), exact=True)
    hand.wait_for(words.held_box(2))
    hand.tap(FIXED.do_it, role="button")
    does(hand, step_called("take-back.site"))
    hand.tap(words.leave_bar(1), exact=True)
    hand.wait_for(words.held_box(1))
    with hand.page.expect_download() as loaded:
        hand.tap(words.copy_it(), role="button")
    hand.wait_for(spoken(words.held_title(0)))
    copy = Path(loaded.value.path()).read_bytes()
    entry = held().records[-1]
    assert (entry["what"], entry["sha256"]) == ("export", sha256(copy).hexdigest())
    assert read_job(json.loads(copy)).plan.id == JOB
    hand.tap(FIXED.now, exact=True)
    before = hand.taps
    hand.tap(words.leave_bar(0), exact=True)
    hand.tap(FIXED.leave_site, role="button")
    hand.wait_route(f"/j/{JOB}/hand")
    assert hand.taps - before == 2
    assert held().records[-1]["what"] == "leave"
    hand.wait_for(spoken(words.hand_title(fresh().state.job.title)))
    hand.go("/")

    hand.tap(fresh().state.job.title, role="button")
    hand.wait_for(words.visit_why())
    before = hand.taps
    hand.tap(words.capital(words.people(2)), role="button")
    hand.tap(words.visit_reason("yearly"), role="button")
    hand.wait_gone(words.visit_why())
    assert hand.taps - before == 2
    visit = held().records[-1]
    assert (visit["what"], visit["people"], visit["reason"]) == ("visit", 2, "yearly")


# ---------------------------------------------------------------- the command line


def ran(*args: str) -> tuple[int, str, str]:
    """One finished process: its code, what it printed, what it complained of."""
    done = subprocess.run(
        [sys.executable, "-m", "fieldapp", *args],
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        env={**os.environ, **ENVIRONMENT},
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def refused(*args: str) -> str:
    """The one line with which it refuses."""
    code, out, err = ran(*args)
    assert (code, out) == (2, ""), err
    assert err.count("\n") == 1, err
    return err


def test_a_broken_file_is_told_in_one_line_and_nothing_is_made(tmp_path: Path) -> None:
    broken, data = tmp_path / "broken.json", tmp_path / "data"
    broken.write_text('{"format": "farend-job/1", "id"', encoding="utf-8")
    said = refused("--no-browser", "--port", "0", "--data", str(data), str(broken))
    assert "JSON" in said
    assert not data.exists()


def test_a_broken_file_stops_the_good_one_beside_it_too(tmp_path: Path) -> None:
    """All or nothing: half of what was asked for would be found out on site."""
    wrong, data = tmp_path / "wrong.json", tmp_path / "data"
    doc = json.loads(SAMPLE.read_text(encoding="utf-8"))
    wrong.write_text(json.dumps({**doc, "title": 7}), encoding="utf-8")
    said = refused("--no-browser", "--port", "0", "--data", str(data), str(SAMPLE), str(wrong))
    assert said.startswith(f"{wrong}: title:")
    assert not data.exists()


def test_the_engine_answers_behind_the_same_name() -> None:
    code, out, err = ran("predict", str(SAMPLE))
    assert (code, err) == (0, "")
    assert str(fresh().state.job.title) in out
    assert words.figure(inside_volts("L2.in")) in out


def test_every_file_named_is_copied_in(serve, tmp_path: Path) -> None:
    samples = sorted((ROOT / "sample_jobs").glob("*.json"))
    serve(*samples)
    for path in samples:
        plan = load(path).plan
        head = head_of(decode(read_journal(tmp_path / "data", plan.id)), plan.id)
        assert head.plan["title"] == plan.title


def test_a_taken_port_is_told_in_one_line(tmp_path: Path) -> None:
    with closing(socket.socket()) as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        assert port in refused("--no-browser", "--port", port, "--data", str(tmp_path / "data"))


def test_a_port_that_cannot_be_is_told_in_one_line(tmp_path: Path) -> None:
    assert "port" in refused("--no-browser", "--port", "99999", "--data", str(tmp_path / "data"))


def test_a_data_folder_that_is_a_file_is_told_in_one_line(tmp_path: Path) -> None:
    data = tmp_path / "data"
    data.write_text("a shopping list", encoding="utf-8")
    refused("--no-browser", "--port", "0", "--data", str(data))
    assert data.read_text(encoding="utf-8") == "a shopping list"


# ---------------------------------------------------------------- jobs for these and other journeys


def with_cautions_read(log: list[dict]) -> dict:
    """The sample with this log, after all cautions were read today."""
    from pictured_jobs import counted, warned

    doc = warned(json.loads(SAMPLE.read_text(encoding="utf-8")))
    return counted({**doc, "log": [*doc["log"], *log]})


def written(path: Path, doc: dict) -> Path:
    """A job as a file."""
    path.write_text(json.dumps(doc), encoding="utf-8")
    return path
