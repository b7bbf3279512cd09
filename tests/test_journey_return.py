"""Back at a site that was left, after a storm, in a real browser: why, the first readings, what has
drifted, and that it holds."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from app_presses import does, type_figure
from left_jobs import in_days, left_job
from real_app import FIXED, judged, nothing_went_wrong, on_site, serve, spoken

from engine.since import DRIFTED
from engine.step import AGAIN, BACK, Step
from engine.verdict import INSIDE
from engine.worked import worked
from fieldapp import words
from fieldapp.screens.shared import slab_words

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["on_site", "serve"]

TARGET = 56.0


def left_last_june() -> dict:
    """The job as it was left, with all cautions read today."""
    from pictured_jobs import counted, warned

    today = datetime.now(UTC).date()
    doc = left_job(open_=())
    return counted(warned(in_days(doc, f"{today.year - 1}-06-03", today.isoformat())))


def next_open(held: Callable) -> Step:
    """The step that comes next, by the journal."""
    steps = worked(judged(held()), 1).steps
    return next(step for step in steps if step.state == "open")


def reads(hand: Phone, step: Step, digits: str) -> None:
    """What a step asks for, read on the pad that its slab opens, and kept."""
    hand.tap(slab_words(step), role="button")
    hand.wait_for(FIXED.type_it)
    type_figure(hand, digits, step.asks.kind)
    hand.tap(words.keep_slab(digits, step.asks.kind))


@pytest.mark.browser
def test_back_after_a_storm_the_drift_stands_first_on_leave_and_holds(on_site) -> None:
    hand, held = on_site(left_last_june())
    hand.go("/")
    hand.wait_for("left 3")
    day = f"3{words.NBSP}June{words.NBSP}{datetime.now(UTC).year - 1}"
    assert hand.has(words.row_left(day))

    hand.tap("Reedbed hide", role="button")
    hand.wait_for(spoken(words.visit_title("Orla", day)))
    storm = words.visit_reason("storm")
    assert hand.box(storm, role="button").height >= TARGET
    log = len(held().records)
    before = hand.taps
    hand.tap(storm, role="button")
    hand.wait_gone(words.visit_why())
    assert hand.taps - before == 1, "one press where as many have come as the last time"
    visit = held().records[-1]
    assert (visit["what"], visit["people"], visit["reason"]) == ("visit", 1, "storm")
    assert len(held().records) == log + 1

    asks = judged(held()).back.asks
    assert asks and hand.has(words.AGAIN_SHOWS["storm"])
    while next_open(held).kind != AGAIN:
        step = next_open(held)
        assert step.part == BACK, "nothing comes before what a return begins with"
        does(hand, step)
    first = next_open(held)
    assert (first.asks.at, first.asks.kind) == ("EB1", "earth_ohms")
    reads(hand, first, "5.0")
    hand.wait_for(spoken(words.as_then(5.0, "earth_ohms", day, "steady")))
    hand.tap(FIXED.now, exact=True)

    light = next_open(held)
    assert light.asks.kind == "mbps"
    hand.tap(slab_words(light), role="button")
    hand.tap(words.speed(1000), role="button")
    hand.wait_for(words.VERDICTS[INSIDE])
    hand.tap(FIXED.now, exact=True)

    volts = next_open(held)
    assert (volts.asks.at, volts.asks.kind) == ("C.in", "volts")
    reads(hand, volts, "45.0")
    hand.wait_for(spoken(words.as_then(48.0, "volts", day, "drifted")))

    judgement = judged(held())
    (drift,) = [one for one in judgement.drifts if one.verdict == DRIFTED]
    assert (drift.at, drift.before, drift.now) == ("C.in", 48.0, 45.0)
    hand.tap(words.leave_bar(len(judgement.blockers)), exact=True)
    hand.wait_for(words.since_title(day))
    beads = f"{words.with_unit(45.0)} today, {words.was_line(48.0, 'volts', day)}"
    assert hand.has(beads) and hand.has("Drifted."), "the beads speak"
    assert any(hold.reading == drift.now_id for hold in judgement.blockers), "it holds"
    assert hand.box(words.find_fault(), role="button").height >= TARGET
    hand.scroll_to(words.since_steady(2))
    nothing_went_wrong(hand)
