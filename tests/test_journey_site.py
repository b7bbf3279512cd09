"""Work on site in a real browser: ticks, photos, wires, the way of the power, timers, leaving."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from app_presses import (
    does,
    fresh,
    inside_volts,
    state_of,
    step_called,
    type_figure,
    understands,
    with_cautions_read,
)
from jpegs import JFIF
from jpegs import made as made_picture
from real_app import FIXED, JOB, SAMPLE, judged, on_site, serve, spoken

from engine.jobfile import read_job
from engine.say import say
from engine.verdict import INSIDE
from fieldapp import words
from fieldapp.screens.shared import slab_words
from fieldapp.wires import PLUGS

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["on_site", "serve"]


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
