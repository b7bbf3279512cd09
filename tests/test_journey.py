"""The app as a technician meets it: a real process, a real browser, a battery that dies.

Things are found by their accessible names, and those are asked of `fieldapp.words`, so that a
better wording breaks nothing here. What the screens should say comes from the engine.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from app_presses import (
    does,
    fresh,
    inside_volts,
    log_volts,
    outside_volts,
    pad_opens,
    person_is_asked_for,
    tick_and_undo,
    type_figure,
    type_figure_on,
    unclear_volts,
    understands,
)
from real_app import (
    FIXED,
    JOB,
    SAMPLE,
    Held,
    free_port,
    judged,
    kept,
    nothing_went_wrong,
    serve,
    spoken,
    written,
)

from engine.job import Point
from engine.jobfile import load
from engine.judge import judge
from engine.say import say
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.screens.shared import slab_words

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["serve"]

# ---------------------------------------------------------------- one journey


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
