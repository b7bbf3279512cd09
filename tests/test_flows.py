"""What is done most on site, and how many taps of a real finger it takes; digits are not counted.

One phone goes through all of it, on four jobs: two just begun, one with a single reading to go,
one with nothing left open.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from app_presses import inside_volts, step_called, type_figure, with_cautions_read
from headless import CountedWorld, drive, warned
from headless import Phone as Silent
from memory_disk import MemoryDisk
from real_app import FIXED, nothing_went_wrong, serve, spoken
from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import words
from fieldapp.pad import typed
from fieldapp.screens.shared import slab_words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["serve"]

Doc = dict[str, Any]
BEGUN, DARK, NEARLY, READY = (f"REEDBED-{one}" for one in ("HIDE", "DARK", "NEARLY", "READY"))
COPIED = {"id": "copy", "what": "export", "to": "job.json", "by": "Orla"}


def jobs() -> dict[str, Doc]:
    """The jobs by their ids."""
    from pictured_jobs import counted, finished

    done = finished()
    nearly = [e for e in done["log"] if (e.get("at"), e.get("kind")) != ("L2.in", "volts")]
    return {
        BEGUN: with_cautions_read([]),
        DARK: {**with_cautions_read([]), "id": DARK, "title": "Dark at the far end"},
        NEARLY: counted({**done, "id": NEARLY, "title": "Nearly done", "log": [*nearly, COPIED]}),
        READY: counted({**done, "id": READY, "title": "All done", "log": [*done["log"], COPIED]}),
    }


@contextmanager
def taps(hand: Phone, number: int, flow: str) -> Iterator[None]:
    """What is done inside takes so many taps, no more and no fewer."""
    before = hand.taps
    yield
    assert (flow, hand.taps - before) == (flow, number)


def types(hand: Phone, digits: str) -> None:
    """A figure on the pad: its keys are no taps here."""
    before = hand.taps
    type_figure(hand, digits)
    hand.taps = before


def keeps(hand: Phone, digits: str, *, is_there: bool = False) -> None:
    """A figure, and the slab that keeps it; the verdict is there."""
    if not is_there:
        types(hand, digits)
    hand.tap(words.keep_slab(digits, "volts"))
    hand.wait_until(lambda: "/verdict/" in hand.route, 10, "a verdict")
    hand.wait_for(FIXED.take_back)


def to_a_pad(hand: Phone, box: str, at: str) -> None:
    """From Run, the box and what logs its volts."""
    hand.tap(box, exact=True, role="button")
    hand.wait_for(f"{words.log_here()} {words.point(at)}")
    hand.tap(words.log_here(), role="button")
    hand.wait_for(FIXED.type_it)


@pytest.mark.browser
def test_what_is_done_most_takes_few_taps(serve, new_phone, tmp_path: Path) -> None:
    files = []
    for ident, doc in jobs().items():
        files.append(tmp_path / f"{ident}.json")
        files[-1].write_text(json.dumps(doc), encoding="utf-8")
    app, hand = serve(*files), new_phone()

    def log(job: str) -> tuple[Doc, ...]:
        return decode(read_journal(tmp_path / "data", job)).records[1:]

    evening: Phone = new_phone()
    evening.open(f"{app.url}/#/settings")
    evening.type_into(FIXED.own_name_label, "Ola")
    evening.go(f"/j/{NEARLY}/now")
    evening.wait_for(words.measure_at("L2.in", "volts"))
    evening.page.close()
    for flow in (begins_the_day, reads_what_is_next, reads_anywhere, does_and_undoes):
        flow(hand, app.url, log)
    for flow in (finds_the_wrong_box, goes_on_to_the_next_test, waives, leaves):
        flow(hand, app.url, log)
    nothing_went_wrong(hand)


Log = Callable[[str], tuple[Doc, ...]]


def begins_the_day(hand: Phone, url: str, _log: Log) -> None:
    with taps(hand, 0, "start of day to the first step"):
        hand.open(url)
        hand.wait_route(f"/j/{NEARLY}/now")
        hand.wait_for(words.measure_at("L2.in", "volts"))
    hand.press("Escape")  # as the phone's own Back
    hand.wait_route("/")
    with taps(hand, 1, "from another job"):
        hand.tap(jobs()[BEGUN]["title"], role="button")
        hand.wait_route(f"/j/{BEGUN}/now")
        hand.wait_for(slab_words(step_called("announce.site")))


def reads_what_is_next(hand: Phone, _url: str, log: Log) -> None:
    hand.go(f"/j/{NEARLY}/now")
    hand.wait_for(words.measure_at("L2.in", "volts"))
    with taps(hand, 2, "log volts when it is the next step"):
        hand.tap(words.measure_at("L2.in", "volts"), role="button")
        keeps(hand, "48.1")
    assert (log(NEARLY)[-1]["at"], log(NEARLY)[-1]["value"]) == ("L2.in", 48.1)


def reads_anywhere(hand: Phone, _url: str, log: Log) -> None:
    boxes = {one["id"]: one["name"] for one in jobs()[BEGUN]["boxes"]}
    hand.go(f"/j/{BEGUN}/run")
    with taps(hand, 3, "log volts at any box"):
        to_a_pad(hand, boxes["L1"], "L1.out")
        keeps(hand, words.figure(inside_volts("L1.out")))
    hand.tap(FIXED.run, exact=True)
    with taps(hand, 3 + 1, "another state first"):
        to_a_pad(hand, boxes["L2"], "L2.in")
        hand.tap(FIXED.open, role="button")
        keeps(hand, "53.7")
    hand.tap(FIXED.run, exact=True)
    with taps(hand, 3, "the state is remembered for this stop"):
        to_a_pad(hand, boxes["A2"], "A2.line")
        keeps(hand, "53.8")
    assert [(e["at"], e.get("with")) for e in log(BEGUN)[-3:]] == [
        ("L1.out", None),
        ("L2.in", {"*": "off"}),
        ("A2.line", {"*": "off"}),
    ]


def does_and_undoes(hand: Phone, _url: str, log: Log) -> None:
    step = step_called("announce.site")
    hand.go(f"/j/{BEGUN}/now?step={step.id}")
    with taps(hand, 1, "step done"):
        hand.tap(slab_words(step), role="button")
        hand.wait_for(FIXED.take_back)
    assert (log(BEGUN)[-1]["step"], log(BEGUN)[-1]["state"]) == (step.id, "done")
    with taps(hand, 1, "undo, on the strip"):
        hand.tap(FIXED.take_back, role="button")
        hand.wait_gone(FIXED.take_back)
    done, void = log(BEGUN)[-2:]
    assert (void["what"], void["of"]) == ("void", done["id"])


def finds_the_wrong_box(hand: Phone, _url: str, log: Log) -> None:
    hand.go(f"/j/{BEGUN}/read/L1.in/volts")
    types(hand, "53.9")
    with taps(hand, 2, "wrong box, seen before it is kept"):
        hand.tap(FIXED.point, exact=True, role="button")
        hand.tap(words.point("S.out"), exact=True, role="button")
        hand.wait_route(f"/j/{BEGUN}/read/S.out/volts")
        hand.wait_for(words.typed_with_unit("53.9", "volts"))
    keeps(hand, "53.9", is_there=True)
    assert (log(BEGUN)[-1]["at"], log(BEGUN)[-1]["value"]) == ("S.out", 53.9)
    wrong = log(BEGUN)[-1]["id"]
    with taps(hand, 1, "undo, on the verdict"):
        hand.tap(FIXED.take_back, role="button")
        hand.wait_for(words.taken_back())
    with taps(hand, 1, "and wrong box after the fact: 2"):
        hand.tap(words.point("L1.in"), exact=True, role="button")
        hand.wait_for(FIXED.take_back)
    void, moved = log(BEGUN)[-2:]
    assert (void["of"], moved["at"], moved["value"]) == (wrong, "L1.in", 53.9)


def goes_on_to_the_next_test(hand: Phone, _url: str, _log: Log) -> None:
    hand.go(f"/j/{DARK}/read/L2.in/volts")
    keeps(hand, "0")
    with taps(hand, 2, "kept reading to the next test"):
        hand.tap(words.find_fault(), role="button")
        hand.tap(words.walk_to("S", 463, True), role="button")
        hand.wait_route(f"/j/{DARK}/read/S.out/volts")


def waives(hand: Phone, _url: str, log: Log) -> None:
    hand.go(f"/j/{BEGUN}/leave")
    held = judge(read_job({**jobs()[BEGUN], "log": list(log(BEGUN))})).blockers
    hold = next(one for one in held if one.can_waive not in ("no", "responsible"))
    hand.wait_for(words.held_box(len(held)))
    with taps(hand, 3, "waive one thing"):
        hand.tap(f"{FIXED.waive} {hold_named(hold)}", role="button")
        hand.tap(words.WAIVERS[0], role="button")
        hand.wait_until(lambda: hand.find(FIXED.waive_it).enabled, 10, "the slab to take it")
        hand.tap(FIXED.waive_it, role="button")
        hand.wait_for(words.held_box(len(held) - 1))
    last = log(BEGUN)[-1]
    assert (last["what"], last["of"], last["reason"]) == ("waive", hold.id, words.WAIVERS[0])


def hold_named(hold: Any) -> str:
    """What a screen reader hears of a hold behind its button's word."""
    return f"{words.spot(words.thing_of(hold.at))} {spoken(words.sentence(hold.say))}"


def leaves(hand: Phone, _url: str, log: Log) -> None:
    hand.go(f"/j/{READY}/now")
    hand.wait_for(words.leave_bar(0))
    with taps(hand, 2, "leave with nothing open"):
        hand.tap(words.leave_bar(0), exact=True)
        hand.tap(FIXED.leave_site, role="button")
        hand.wait_route(f"/j/{READY}/hand")
    assert log(READY)[-1]["what"] == "leave"


# ---------------------------------------------------------------- interruptions

KEYS = ("standing-open", "meter", "key-4", "key-1", "key-.", "key-5", "key-rub", "key-0")
POINT = f"/j/{BEGUN}/read/A2.line/volts"


def two_meters() -> Doc:
    """The job with a second meter for volts."""
    doc = warned(sample("reedbed-hide"))
    first = next(one for one in doc["meters"] if one["id"] == "M1")
    return {**doc, "meters": [*doc["meters"], {**first, "id": "M9", "name": "Spare meter"}]}


def stands(phone: Silent, digits: str) -> tuple[Any, ...]:
    """What is on the pad: the place, which state and which meter are chosen; the digits are."""
    shown = words.typed_with_unit(digits, "volts") if digits else FIXED.type_it
    assert shown in phone.speech()
    chosen = phone.find("standing-open").style.bgcolor
    return phone.route, chosen, phone.texts(phone.find("meter"))[0], digits


def test_after_every_key_a_dead_battery_costs_nothing() -> None:
    """State, meter and digits are there again, and the line says what was being typed."""

    async def journey() -> None:
        disk, world, digits = MemoryDisk(), CountedWorld(), ""
        phone = await Silent.start(disk, world, docs=(two_meters(),))
        await phone.go(POINT)
        for key in KEYS:
            before = stands(phone, digits)
            await phone.tap(key)
            if key.startswith("key-"):
                digits = typed(digits, key.removeprefix("key-"))
            after = stands(phone, digits)
            assert after != before, f"{key} changes something"
            phone.kill()
            phone = await Silent.start(disk, world)
            assert stands(phone, digits) == after
            line = words.were_typing(digits, "A2.line", "")
            assert any(text.startswith(line) for text in phone.texts()) == bool(digits), key
        phone.kill()
        world.pass_minutes(10 * 60 + 1)
        phone = await Silent.start(disk, world)
        assert phone.route == f"/j/{BEGUN}/now", "ten hours later nobody is typing"
        await phone.go(POINT)
        stands(phone, "")
        phone.stop()

    drive(journey)
