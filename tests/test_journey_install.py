"""A whole installation on the phone: every kind of step, from the first word to the gate.

The hand does what the screen offers, as somebody would who has never seen the plan: the slab that
is there, the caution first, the lights of each box before its volts. What the screen should offer
next comes from the engine, asked of the journal on the disk. On the way something cannot be done
yet, a step is undone, a box stays dark, and leaving is tried too early.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from app_presses import state_of, type_figure
from jpegs import JFIF
from jpegs import made as made_picture
from real_app import FIXED, JOB, SAMPLE, judged, nothing_went_wrong, on_site, serve, spoken
from test_reel_journey import SOUND, checks

from engine.judge import Judgement
from engine.powerup import power_walk
from engine.say import say
from engine.step import Step
from engine.worked import worked
from fieldapp import words
from fieldapp.screens.shared import slab_words

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["on_site", "serve"]

PICTURE = made_picture("colours", JFIF, behind=b"Reedbed 54.1N")
COPY = words.step(say("step-copy")).after
"""the slab of the step that copies the record"""
HELPED = ("sheet.C", "sheet.L1", "sheet.L2", "speeds.L1.out", "speeds.L2.in", "pull.C3")
HELPED += ("terminate.C3", "fit.J1", "fit.A2", "fit.L2", "bond.A2", "labels.sluice", "labels.hide")
HELPED += ("reel.C3", "fit.L1", "close.sluice", "after-close.sluice")
READ = {("metres", "C3"), ("loop_ohms", "C3"), ("earth_ohms", "EB2")}
SEEN = {"A1", "L1", "A2", "bond.A2"}
"""what a colleague did, read and photographed before; of each kind of step one is left to the hand"""
OWN_FIGURES = {"earth_ohms": 4.2}
"""what no plan predicts"""


def next_of(one: Judgement) -> Step | None:
    """The step that comes next by the engine."""
    return next((step for step in worked(one, 1).steps if step.state == "open"), None)


def figure_for(one: Judgement, at: str, kind: str) -> float:
    """What a sound site shows there: the middle of today's band."""
    if kind in OWN_FIGURES:
        return OWN_FIGURES[kind]
    return one.judged.before(at, kind).band(at, kind).expected


class Installer:
    """One person with a phone: looks, and presses what is there."""

    def __init__(self, hand: Phone, held: Callable) -> None:
        self.hand, self.held = hand, held
        self.done: list[str] = []
        asks = [(step.asks.at, step.asks.kind) for step in self.now().steps if step.asks]
        self.measures = {words.measure_at(*ask): ask for ask in asks if ask[1] != "photo"}
        self.plugs = {words.plug_in(box, at) for box, at in words_of_walk(self.now())}

    def now(self) -> Judgement:
        """The job as its journal on the disk has it."""
        return judged(self.held())

    def press(self, name: str) -> None:
        """Press a button and wait until it is no longer there."""
        self.hand.tap(name, role="button")
        self.hand.wait_gone(name)

    def offered(self) -> set[str]:
        """The first lines of all buttons that can be pressed."""
        return {n.first_line for n in self.hand.nodes() if n.role == "button" and n.enabled}

    def goes_on(self) -> None:
        """One thing of the work: whatever the screen offers."""
        known = (
            {words.understood(), words.no_lead(), words.lights_are_up(), words.take_photo()}
            | {COPY, words.start_timer(900), FIXED.see_leave, words.on_to_now()}
            | {words.start_off("S", 10), words.off_again(10)}
            | self.plugs
            | set(self.measures)
        )
        seen: dict[int, Step | None] = {}
        """the step that comes next, by how many entries are kept"""
        found: list[tuple[set[str], Step | None]] = []

        def offers() -> bool:
            if "/read/" in self.hand.route:  # the same box asks for more
                found[:] = [(set(), None)]
                return True
            # the last press may only now be kept, so what comes next is asked at each look
            count = len(self.held().records)
            if count not in seen:
                seen[count] = next_of(self.now())
            step, here = seen[count], self.offered()
            titles = {words.step(step.say).after, slab_words(step)} if step is not None else set()
            those = {n for n in here if n in known | titles or n.startswith(words.go_on_to(""))}
            found[:] = [(those, step)] if those else []
            return bool(found)

        self.hand.wait_until(offers, 15, "something to do")
        here, step = found[0]
        if here:
            self._does(here, step)
        else:
            self._types()

    def _does(self, here: set[str], step: Step | None) -> None:
        on = {name for name in here if name.startswith(words.go_on_to(""))}
        quick = (words.understood(), words.no_lead(), words.lights_are_up(), words.on_to_now())
        first = [name for name in (*quick, *on) if name in here]
        if words.lights_are_up() in first:
            self.hand.tap(words.lights_are_up(), role="button")
            self._types()
        elif first:
            self.press(first[0])
        elif asked := here & set(self.measures):
            self.hand.tap(asked.pop(), role="button")
            self._types()
        elif words.take_photo() in here and step.asks is not None:
            self.hand.take_photo(words.take_photo(), PICTURE)
            self.hand.wait_for(spoken(words.sentence(say("strip-photo", of=step.asks.at))))
            self.hand.wait_until(lambda: state_of(self.held(), step.id) == "done", 10, step.id)
        elif step.wires:
            self._terminates(step)
        elif step.kind == "reel":
            self._checks_reel(step)
        elif step.kind == "copy":
            self._copies()
        elif step.kind == "sign":
            self._signs()
        elif timed := here & {words.start_timer(900), words.start_off("S", 10)}:
            self._waits(step, timed.pop())
        else:
            self.press((here - {words.take_photo()}).pop())

    def _types(self) -> None:
        """The pad that opened: its digits, or the speed that both ends share."""
        self.hand.wait_until(lambda: "/read/" in self.hand.route, 10, "the pad")
        at, kind = self.hand.route.partition("/read/")[2].split("?")[0].split("/")
        if kind == "mbps":
            self.hand.tap(words.capital(words.speed(1000)), role="button")
        else:
            digits = words.figure(figure_for(self.now(), at, kind), kind)
            self.hand.wait_for(FIXED.type_it)
            type_figure(self.hand, digits, kind)
            self.hand.tap(words.keep_slab(digits, kind), role="button")
        self.hand.wait_until(lambda: "/verdict/" in self.hand.route, 10, "the verdict")
        assert self.now().verdicts[-1].verdict != "outside", self.held().records[-1]

    def _terminates(self, step: Step) -> None:
        self.press(words.wires_slab(step.span))
        span = self.now().state.job.spans[step.span]
        for end in (str(span.a), str(span.b)):
            self.press(words.end_slab(end, False))
        self.hand.wait_until(lambda: state_of(self.held(), step.id) == "done", 10, step.id)
        self.hand.go(f"/j/{JOB}/now")

    def _checks_reel(self, step: Step) -> None:
        self.press(words.reel_slab(step.span))
        checks(self.hand, step.span, SOUND)
        self.hand.tap(words.reel_pull(), role="button")
        self.hand.wait_until(lambda: state_of(self.held(), step.id) == "done", 10, step.id)

    def _copies(self) -> None:
        with self.hand.page.expect_download() as loaded:
            self.hand.tap(COPY, role="button")
        copy = Path(loaded.value.path()).read_bytes()
        self.hand.wait_until(lambda: self.held().records[-1]["what"] == "export", 10, "the copy")
        assert self.held().records[-1]["sha256"] == sha256(copy).hexdigest()

    def _signs(self) -> None:
        self.hand.tap(words.sign_title(), role="button")
        self.hand.wait_for(words.sign_lacks())
        self.hand.type_into(words.sign_name_label(), "Orla")
        self.hand.tap(words.sign_slab(), role="button")
        self.hand.wait_until(lambda: self.held().records[-1]["what"] == "sign", 10, "the name")
        self.hand.go(f"/j/{JOB}/now")

    def _waits(self, step: Step, title: str) -> None:
        """Ten seconds off, twice. A quarter of an hour is not sat out here: Steps takes it too."""
        self.press(title)
        if step.kind == "cold":
            self.hand.wait_for(words.off_again(10), timeout=15)
            self.press(words.off_again(10))
            self.hand.wait_for(words.step(step.say).after, timeout=15)
            self.press(words.step(step.say).after)
            return
        self.hand.wait_for(words.speak_left(890)[:4])
        self.ticks(step, False)
        self.hand.go(f"/j/{JOB}/now")

    def ticks(self, step: Step, was_done: bool) -> None:
        """In Steps: a press on the jacket's end."""
        short = words.step(step.say).short
        self.hand.go(f"/j/{JOB}/steps")
        self.hand.tap(words.press_end(short, was_done), exact=True)
        self.hand.wait_for(words.press_end(short, not was_done))


def words_of_walk(one: Judgement) -> list[tuple[str, str]]:
    """Each box of the power-up walk and the port at which it is plugged in; the feed has none."""
    walk = power_walk(one.state, one.prediction, one.judged)
    return [(stage.box, stage.at if i else "") for i, stage in enumerate(walk.stages)]


def helped() -> list[dict]:
    """What the colleague kept."""
    from pictured_jobs import finished

    ticked = [
        {"id": f"h-{ident}", "by": "Ida", "what": "step", "step": ident, "state": "done"}
        for ident in HELPED
    ]
    looked = [
        {**entry, "by": "Ida"}
        for entry in finished()["log"]
        if (entry.get("kind"), entry.get("at")) in READ
        or (entry["what"] == "photo" and entry["of"] in SEEN)
    ]
    assert len(looked) == len(READ) + len(SEEN)
    return ticked + looked


@pytest.mark.slow
@pytest.mark.browser
def test_a_whole_installation(on_site, tmp_path: Path) -> None:
    hand, held = on_site({**json.loads(SAMPLE.read_text(encoding="utf-8")), "log": helped()})
    me = Installer(hand, held)
    assert {step.kind for step in me.now().steps if step.state == "open"} == {
        step.kind for step in me.now().steps
    }, "every kind of step is still to be done"
    hand.wait_route(f"/j/{JOB}/now")
    steps = {step.id: step for step in me.now().steps}
    put_off = undone = dark = tried = False
    for _ in range(20 * len(steps)):
        step = next_of(me.now())
        if step is None:
            break
        if step.id == "meter.site" and not put_off:
            put_off = True
            hand.wait_for(slab_words(step))
            hand.tap(FIXED.cannot, role="button")
            hand.tap(words.CANNOT[1], role="button")
            hand.wait_until(lambda: state_of(held(), "meter.site") == "not-here", 10, "put off")
            hand.wait_gone(slab_words(step))
        elif step.id == "fit.A1" and not undone:
            undone = True
            me.ticks(steps["bond.A1"], True)
            hand.go(f"/j/{JOB}/now")
            assert next_of(me.now()).id == "bond.A1", "what was undone comes again"
        elif hand.has(words.plug_in("L1", "L1.out")) and not dark:
            dark = True
            me.press(words.is_dark())
            hand.wait_for(spoken(words.power_halted("L1", "dark")))
            assert not hand.has(words.measure_at("L1.out", "volts")), "nothing behind it goes on"
            me.press(words.is_lit())
        elif step.kind == "take-back" and not tried:
            tried = True
            holds = me.now().blockers
            assert {"step.take-back.site", "copied"} <= {hold.id for hold in holds}
            hand.tap(words.leave_bar(len(holds)), exact=True)
            hand.wait_for(words.held_box(len(holds)))
            assert not hand.has(FIXED.leave_site)
            hand.tap(FIXED.now, exact=True)
            hand.wait_gone(words.held_box(len(holds)))
        else:
            me.goes_on()
    assert put_off and undone and dark and tried
    one = me.now()
    assert {step.id for step in one.steps if step.state != "done"} == {"meter.site"}
    assert one.blockers == (), [hold.id for hold in one.blockers]
    for what, of in (("photo", "bond.A1"), ("photo", "L2")):
        assert any(r["what"] == what and r["of"] == of for r in held().records[1:])
    hand.tap(words.leave_bar(0), exact=True)
    hand.tap(FIXED.leave_site, role="button")
    hand.wait_route(f"/j/{JOB}/hand")
    assert held().records[-1]["what"] == "leave"
    nothing_went_wrong(hand)
