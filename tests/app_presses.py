"""What a hand does in the real app, by accessible names, and the figures that it types."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from real_app import FIXED, JOB, SAMPLE, judged, spoken

from engine.job import Point
from engine.jobfile import load, read_job
from engine.judge import Judgement, judge
from engine.leave import Hold
from engine.step import Step
from engine.verdict import INSIDE, UNCLEAR
from fieldapp import words
from fieldapp.screens.shared import slab_words
from fieldapp.store.journal import Decoded

if TYPE_CHECKING:
    from browser import Phone


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


def type_figure_on(hand: Phone, standing: str, more: str) -> None:
    """Go on with digits that stand already."""
    hand.tap(more, exact=True)
    hand.wait_for(words.typed_with_unit(standing + more, "volts"))


def state_of(held: Decoded, ident: str) -> str:
    """The state of a step by the journal."""
    return next(step.state for step in judged(held).steps if step.id == ident)


def with_cautions_read(log: list[dict]) -> dict:
    """The sample with this log, after all cautions were read today."""
    from pictured_jobs import counted, warned

    doc = warned(json.loads(SAMPLE.read_text(encoding="utf-8")))
    return counted({**doc, "log": [*doc["log"], *log]})
