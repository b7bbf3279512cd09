"""Steps through the screens, by name and without a browser: photos, timers, wires, cautions, two people."""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256

import flet as ft
from headless import CountedWorld, Phone, drive, warned
from jpegs import JFIF, WIDE, made
from memory_disk import MemoryDisk
from screen_jobs import (
    REEDBED,
    entries,
    photo,
    reedbed,
    short_in,
)

from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from engine.worked import worked as worked_by
from fieldapp import words
from fieldapp.onsite import TICK_SECONDS
from fieldapp.wires import PLUGS


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
