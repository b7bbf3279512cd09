"""Journeys through the screens, pressed by name in the real component without a browser."""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256
from typing import Any

import flet as ft
from headless import CountedWorld, Phone, drive, sample, warned
from jpegs import JFIF, WIDE, made
from test_screens import (
    CHOICE,
    LOW,
    MILL,
    ORCHARD,
    REEDBED,
    entries,
    figure_for,
    mill,
    orchard,
    photo,
    powered,
    reading,
    reedbed,
    short_in,
    two_plans,
    unclear,
    worked,
)

from engine.design_band import band_for
from engine.job import Point
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import Standing
from engine.say import say
from engine.step import PHOTO
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR
from engine.worked import worked as worked_by
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.exchange.unpacking import unpack
from fieldapp.onsite import TICK_SECONDS
from fieldapp.store.memory import MemoryDisk
from fieldapp.wires import PLUGS

Doc = dict[str, Any]

# ---------------------------------------------------------------- journeys


def test_from_a_sample_to_two_steps_and_back_one():
    async def journey() -> None:
        phone = await Phone.start()
        assert phone.shows(words.FIXED.no_jobs)
        await phone.tap("samples")
        assert phone.route == "/samples"
        await phone.tap("sample-reedbed-hide")
        assert phone.route == f"{REEDBED}/plan"
        await phone.tap("done")
        assert phone.route == f"{REEDBED}/now"
        await phone.tap("understood")
        (told,) = entries(phone, "REEDBED-HIDE")
        assert (told["what"], told["at"], told["x_caution"]) == ("note", "hut", "caution-thunder")
        await phone.tap("slab")
        assert phone.has("strip-undo")
        await phone.tap("cannot")
        await phone.tap(f"reason-{words.CANNOT[0]}")
        _, *log = entries(phone, "REEDBED-HIDE")
        assert [(e["step"], e["state"]) for e in log] == [
            ("announce.site", "done"),
            ("walk.site", "not-here"),
        ]
        assert all(e["device"] == "d0d0" and e["t"].endswith("Z") for e in log)
        await phone.tap("strip-undo")
        log = entries(phone, "REEDBED-HIDE")
        assert log[-1]["what"] == "void" and log[-1]["of"] == log[2]["id"]
        assert not phone.has("strip-undo")
        assert phone.shows(words.step(judge(read_job(reedbed())).steps[1].say).sentence)
        assert len(log) == 4, "what was done stays in the log"
        phone.stop()

    drive(journey)


def test_the_strip_goes_by_itself_and_only_the_last_one():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now")
        await phone.tap("slab")
        first = list(phone.world.waits)
        phone.world.waits.clear()
        await phone.go(f"{REEDBED}/now?step=meter.site")
        await phone.tap("slab")
        for _, gate in first:
            gate.set()
        await phone.settle()
        assert phone.has("strip-undo"), "an older wait must not take a newer strip"
        assert {seconds for seconds, _ in first} == {8.0}
        phone.world.let_go()
        await phone.settle()
        assert not phone.has("strip-undo")
        phone.stop()

    drive(journey)


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


def test_three_presses_log_a_reading_at_any_box_and_it_can_be_taken_back():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(orchard()),))
        await phone.go(f"{ORCHARD}/run")
        await phone.tap("box-R1")
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/read/R1.in/volts"
        await phone.digits("44.0")
        await phone.tap("keep")
        (entry,) = entries(phone, "ORCHARD-GATE")
        assert (entry["at"], entry["kind"], entry["value"]) == ("R1.in", "volts", 44.0)
        assert phone.route == f"{ORCHARD}/verdict/{entry['id']}"
        assert phone.shows(words.VERDICTS[OUTSIDE])
        await phone.tap("take-back")
        log = entries(phone, "ORCHARD-GATE")
        assert [e["what"] for e in log] == ["reading", "void"] and log[1]["of"] == entry["id"]
        assert phone.route == f"{ORCHARD}/verdict/{entry['id']}", "it answers where one is"
        assert phone.shows(words.taken_back())
        assert not phone.has("take-back"), "what is taken back is not taken back again"
        await phone.tap("point-R1.out")
        moved = entries(phone, "ORCHARD-GATE")[-1]
        assert (moved["what"], moved["at"], moved["value"]) == ("reading", "R1.out", 44.0)
        assert moved["moment"] == entry["id"] and moved["meter"] == entry["meter"]
        assert phone.route == f"{ORCHARD}/verdict/{moved['id']}"
        phone.stop()

    drive(journey)


def test_inside_leads_to_the_milliamps_and_outside_to_the_fault():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(orchard()),))
        await phone.go(f"{ORCHARD}/read/R1.in/volts")
        await phone.digits("50.9")
        await phone.tap("keep")
        assert phone.shows(words.VERDICTS[INSIDE])
        await phone.tap("slab")
        first = entries(phone, "ORCHARD-GATE")[-1]
        assert phone.route == f"{ORCHARD}/read/R1.in/milliamps?beside={first['id']}"
        assert not phone.shows("50.9"), "the volts are not carried over"
        phone.world.pass_minutes(9)
        await phone.digits("319")
        await phone.tap("keep")
        assert phone.shows(words.VERDICTS[INSIDE])
        assert entries(phone, "ORCHARD-GATE")[-1]["moment"] == first["id"]
        await phone.go(f"{ORCHARD}/read/E.in/volts")
        await phone.digits("41")
        await phone.tap("keep")
        assert phone.shows(words.VERDICTS[OUTSIDE]) and phone.shows(words.starts_past("R1"))
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/fault"
        phone.stop()

    drive(journey)


def test_an_unclear_reading_is_measured_again_and_both_are_used():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(unclear()),))
        await phone.go(f"{ORCHARD}/verdict/mid")
        assert phone.shows(words.VERDICTS[UNCLEAR])
        await phone.tap("slab")
        await phone.digits("50.51")
        await phone.tap("keep")
        judged = judge(await phone.shelf.read("ORCHARD-GATE"))
        volts = [
            verdict.reading
            for verdict in judged.verdicts
            if verdict.current and (verdict.reading.at, verdict.reading.kind) == ("R1.in", "volts")
        ]
        assert {one.value for one in volts} >= {50.51, unclear()["log"][0]["value"]}
        assert len({one.moment for one in volts}) == len(volts)
        phone.stop()

    drive(journey)


def test_a_repair_strikes_what_was_read_before_it_and_says_so():
    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(LOW),))
        await phone.go(f"{ORCHARD}/verdict/low")
        await phone.tap("mended")
        assert not phone.takes("keep-mended")
        await phone.tap("where-C1")
        await phone.tap(f"did-{words.MENDED[0]}")
        await phone.tap("keep-mended")
        last = entries(phone, "ORCHARD-GATE")[-1]
        assert (last["what"], last["where"], last["did"]) == ("change", "C1", words.MENDED[0])
        assert phone.route == f"{ORCHARD}/now" and phone.has("strip-undo")
        said = say("strip-change", where="C1", did=words.MENDED[0], struck=1)
        assert phone.shows(words.sentence(said))
        await phone.go(f"{ORCHARD}/verdict/low")
        assert phone.shows(words.no_longer_counts())
        phone.stop()

    drive(journey)


def test_of_two_plans_one_is_kept_and_the_place_is_marked_until_then():
    async def journey() -> None:
        phone = await Phone.start(docs=(two_plans(),))
        await phone.go(f"{ORCHARD}/run")
        marked = words.plans_disagree("spans/C2/length_m")
        assert phone.shows(marked)
        await phone.tap(CHOICE.replace(".", "-"))
        assert phone.route == f"{ORCHARD}/leave"
        await phone.tap(f"mend-{CHOICE}")
        for value, by in ((121, "Orla"), (110, "Ivo")):
            assert phone.shows(words.conflict_value("spans/C2/length_m", value))
            assert any(words.written_by(by, False) in one for one in phone.texts())
        await phone.tap("keep-x")
        last = entries(phone, "ORCHARD-GATE")[-1]
        assert (last["what"], last["keep"], set(last["of"])) == ("resolve", "x", {"x", "y"})
        assert not phone.has(f"hold-{CHOICE}")
        await phone.go(f"{ORCHARD}/plan/C2")
        assert not phone.shows(marked)
        assert words.metres(121) in phone.texts(phone.find("length"))
        phone.stop()

    drive(journey)


def test_what_is_odd_in_a_log_is_told_in_sentences():
    async def journey() -> None:
        phone = await Phone.start(docs=(two_plans(),))
        await phone.go(f"{ORCHARD}/leave")
        odd = judge(read_job(two_plans())).state.oddities
        assert phone.shows(words.oddities(len(odd)))
        await phone.tap("odd")
        for one in odd:
            assert phone.shows(words.sentence(one.say))
        await phone.tap("sheet-close")
        assert phone.has("held")
        phone.stop()

    drive(journey)


def test_what_a_bare_meter_cannot_see_is_said_before_it_is_kept():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/read/S.out/volts")
        await phone.tap("standing-open")
        judged = judge(read_job(reedbed()))
        beyond = Standing(beyond=Point("S", "out"))
        why = band_for(judged.state, judged.prediction, "S.out", "volts", beyond)
        assert phone.shows(words.sentence(why))
        await phone.tap("standing-loaded")
        assert not phone.shows(words.sentence(why))
        phone.stop()

    drive(journey)


def test_the_sleeve_narrows_as_more_is_read():
    """What the pad says aloud are today's ends, and they draw in with each accepted reading."""

    async def journey() -> None:
        widths = []
        log: list[Doc] = []
        for more in ((), ("S.out", 53.9), ("J1.a", 51.5)):
            if more:
                log.append(reading(f"g{len(log)}", more[0], "volts", more[1]))
            phone = await Phone.start(docs=(warned(reedbed(*log)),))
            await phone.go(f"{REEDBED}/read/A2.line/volts")
            today = judge(read_job(reedbed(*log))).today.band("A2.line", "volts", meter="M1")
            said = words.speak_gauge(None, 0, today.low, today.high, "volts", "", today=True)
            assert any(said in one for one in phone.speech()), phone.speech()
            widths.append(today.high - today.low)
            phone.stop()
        assert widths == sorted(widths, reverse=True) and widths[-1] < widths[0] / 1.5

    drive(journey)


def test_the_digits_go_with_one_to_another_point():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(orchard()),))
        await phone.go(f"{ORCHARD}/read/R1.in/volts")
        await phone.digits("47.3")
        await phone.tap("point")
        await phone.tap("point-E.in")
        assert phone.route == f"{ORCHARD}/read/E.in/volts"
        await phone.tap("keep")
        (entry,) = entries(phone, "ORCHARD-GATE")
        assert (entry["at"], entry["value"]) == ("E.in", 47.3)
        phone.stop()

    drive(journey)


def test_back_goes_one_level_down_until_the_jobs():
    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/plan")
        seen = []
        for _ in range(3):
            await phone.back()
            seen.append(phone.route)
        assert seen == [f"{ORCHARD}/run", "/", "/"]
        phone.stop()

    drive(journey)


def test_a_hold_is_waived_by_a_name_that_somebody_types():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go("/settings")
        await phone.type("name", "Orla")
        await phone.go(f"{REEDBED}/leave")
        await phone.tap("waive-step.bond.A2")
        assert phone.find("waive-name").value == "" and phone.find("waive-role").value == ""
        assert not phone.takes("waive-it")
        await phone.tap(f"reason-{words.WAIVERS[0]}")
        assert not phone.takes("waive-it"), "one's own name does not answer for an earth"
        await phone.type("waive-name", "Ottar")
        assert not phone.takes("waive-it")
        await phone.type("waive-role", "owner")
        await phone.tap("waive-it")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert last["what"] == "waive" and last["of"] == "step.bond.A2"
        assert (last["by"], last["role"], last["reason"]) == ("Ottar", "owner", words.WAIVERS[0])
        assert phone.has("hold-step.bond.A2") and not phone.has("waive-step.bond.A2")
        await phone.tap("waive-step.fit.L2")
        assert not phone.has("waive-name"), "one's own name is known"
        await phone.type("waive-reason", "the client fits it")
        await phone.tap("waive-it")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["by"], last["reason"]) == ("Orla", "the client fits it")
        assert "role" not in last
        await phone.tap("waive-step.fit.A1")
        await phone.tap("sheet-close")
        assert phone.has("waive-step.fit.A1")
        phone.stop()

    drive(journey)


def test_a_length_and_a_name_are_changed_in_the_plan():
    async def journey() -> None:
        phone = await Phone.start(docs=(orchard(),))
        await phone.go(f"{ORCHARD}/plan/C1")
        await phone.tap("length")
        await phone.digits("95.5")
        await phone.tap("keep")
        (entry,) = entries(phone, "ORCHARD-GATE")
        assert entry["what"] == "set" and entry["path"] == ["spans", "C1", "length_m"]
        assert entry["value"] == 95.5 and entry["was"] == {"low": 91, "expected": 92, "high": 93}
        assert phone.route == f"{ORCHARD}/plan/C1"
        assert words.metres(95.5) in phone.texts(phone.find("length"))
        await phone.go(f"{ORCHARD}/plan")
        await phone.type("edit-title", "Cider gate")
        await phone.submit("edit-title")
        assert entries(phone, "ORCHARD-GATE")[-1]["value"] == "Cider gate"
        await phone.type("edit-title", " ")
        assert not phone.takes("keep-change")
        await phone.back()
        assert phone.shows("Cider gate")
        await phone.go(f"{ORCHARD}/plan")
        assert phone.find("edit-title").value == "Cider gate", "nothing was not kept"
        phone.stop()

    drive(journey)


async def does_what_comes_next(phone: Phone, job: str) -> None:
    """One thing on Now, whatever it is: read a caution, press, measure, photograph, wait, copy."""
    judged = judge(await phone.shelf.read(job))
    if phone.has("understood"):
        await phone.tap("understood")
        return
    step = next(s for s in judged.steps if s.state == "open")
    if phone.has("waiting"):
        phone.world.pass_minutes(15)
        phone.world.let_go()
        await phone.settle()
        assert not phone.has("waiting"), "the timer is over"
        return
    if step.asks is not None and step.asks.kind == PHOTO:
        await phone.take_photo("slab", made("baseline"))
        return
    await phone.tap("slab")
    if "/wires/" in phone.route:
        for key in [key for key in phone.keys if key.startswith("end-")]:
            await phone.tap(key)
    if "/reel/" in phone.route:
        for key, digits in (("slab", "1"), ("keep", "101"), ("keep", "16.9"), ("keep", "")):
            await phone.tap(key)
            await phone.digits(digits)
        assert phone.shows(words.reel_pull())
        await phone.tap("slab")
    if phone.route.endswith("/sign"):
        await phone.type("sign-name", "Orla")
        await phone.tap("sign-slab")
    if "/read/" in phone.route:
        pad = phone.route.split("/read/")[1].split("/")
        step = next(s for s in judged.steps if s.asks and [s.asks.at, s.asks.kind] == pad)
        value = figure_for(judged, step)
        if step.asks.kind == "mbps":
            await phone.tap(f"speed-{value:.0f}")
        else:
            await phone.digits(f"{value:g}")
            await phone.tap("keep")
        assert "/verdict/" in phone.route


async def somebody_answers(phone: Phone, hold: str) -> None:
    """A hold is waived by a name and a role that are typed."""
    await phone.go(f"{ORCHARD}/leave")
    await phone.tap(f"waive-{hold}")
    await phone.tap(f"reason-{words.WAIVERS[1]}")
    await phone.type("waive-name", "Rafe")
    await phone.type("waive-role", "owner")
    await phone.tap("waive-it")


def test_the_smallest_sample_from_its_first_step_to_leaving():
    """Every step by its slab, every reading by the pad; an outside one is waived; then one leaves."""

    async def journey() -> None:
        phone = await Phone.start(docs=(sample("orchard-gate"),))
        shown = words.FIXED.all_done
        for _ in range(120):
            await phone.go(f"{ORCHARD}/now")
            if phone.shows(shown):
                break
            if phone.has("mended"):
                assert phone.shows(words.power_halted("E", "outside")), "the clad cable halts"
                await somebody_answers(phone, "reading.og-11")
                continue
            await does_what_comes_next(phone, "ORCHARD-GATE")
        assert phone.shows(shown)
        done_ = entries(phone, "ORCHARD-GATE")
        assert sum(e["what"] == "photo" for e in done_) == 1
        assert len(phone.copies) == 1 and done_[-2]["what"] == "export"
        copy = unpack(phone.copies[0][1]).file
        assert [e.id for e in copy.entries] == [e["id"] for e in done_[:-2]]
        assert done_[-2]["sha256"] == sha256(phone.copies[0][1]).hexdigest()
        timers = [(e["at"], e.get("x_round")) for e in done_ if "x_timer" in e]
        assert timers == [("full.E", 1), ("cold.S", 1), ("cold.S", 2)]
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/leave"
        holding = [k.removeprefix("waive-") for k in phone.keys if k.startswith("waive-")]
        assert holding == ["reading.og-13"], "the clad cable still holds"
        await somebody_answers(phone, "reading.og-13")
        assert not phone.shows(words.held_title(0)), "the waivers are on this phone only"
        await phone.tap("mend-copied")
        assert phone.shows(words.held_title(0)) and not phone.has("held")
        await phone.tap("slab")
        assert phone.route == f"{ORCHARD}/hand"
        last = entries(phone, "ORCHARD-GATE")[-1]
        assert last["what"] == "leave" and last["open"] == ["reading.og-11", "reading.og-13"]
        await phone.go("/")
        assert phone.shows(words.row_left(f"3{words.NBSP}June"))
        log = entries(phone, "ORCHARD-GATE")
        assert len({e["id"] for e in log}) == len(log)
        await phone.tap("job-ORCHARD-GATE")
        assert phone.shows(words.visit_why())
        await phone.tap("people-2")
        await phone.tap("visit-storm")
        visit = entries(phone, "ORCHARD-GATE")[-1]
        assert (visit["people"], visit["reason"]) == (2, "storm")
        assert not phone.shows(words.visit_why())
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


def test_the_power_up_walk_halts_at_a_dark_box_and_goes_on_when_it_is_lit():
    async def journey() -> None:
        phone = await Phone.start(docs=(powered(read=("S",)),))
        await phone.go(f"{REEDBED}/now")
        assert phone.shows(words.power_title("L1", 2, 4))
        await phone.tap("slab")
        assert entries(phone, "REEDBED-HIDE")[-1]["at"] == "wait.L1"
        await phone.tap("dark")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert (last["at"], last["x_dark"]) == ("L1", True)
        assert phone.shows(words.power_halted("L1", "dark")) and not phone.has("dark")
        await phone.tap("slab")
        assert phone.route == f"{REEDBED}/run?at=L1.out"
        await phone.go(f"{REEDBED}/now")
        await phone.tap("lit")
        assert entries(phone, "REEDBED-HIDE")[-1]["x_dark"] is False
        assert phone.shows(words.power_title("L1", 2, 4))
        phone.stop()

    drive(journey)


def test_an_outside_box_halts_the_walk_until_it_is_mended():
    async def journey() -> None:
        phone = await Phone.start(docs=(powered(read=("S",)),))
        await phone.go(f"{REEDBED}/read/L1.out/volts")
        await phone.digits("44")
        await phone.tap("keep")
        await phone.go(f"{REEDBED}/now")
        assert phone.shows(words.power_halted("L1", "outside"))
        await phone.tap("mended")
        await phone.tap("where-C1")
        await phone.tap(f"did-{words.MENDED[0]}")
        await phone.tap("keep-mended")
        assert not phone.shows(words.power_halted("L1", "outside"))
        assert phone.shows(words.power_title("S", 1, 4)), (
            "all that was read of its run is asked again"
        )
        phone.stop()

    drive(journey)


def test_the_address_follows_whoever_went_elsewhere_while_a_place_was_on_its_way():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/now")
        client, sent = phone.session.invoke_method, []

        async def slow(control: int, name: str, args: object = None, timeout: object = None):
            if name == "push_route":
                sent.append(args["route"])
                return None
            return await client(control, name, args, timeout)

        phone.session.invoke_method = slow
        await phone.tap("bar-run")
        await phone.go(f"{REEDBED}/leave")  # a link, before the client has heard of Run
        assert sent == [f"{REEDBED}/run"]
        phone.session.apply_page_patch({"route": sent[0]})
        await phone.fire(phone.page, "route_change", {"route": sent[0]})
        assert sent[1:] == [f"{REEDBED}/leave"], "the address says where one is"
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


def test_a_kept_reading_leads_straight_to_the_next_of_the_same_box_and_to_another_by_its_lights():
    from pictured_jobs import switched_on

    async def journey() -> None:
        phone = await Phone.start(docs=(warned(switched_on()),))
        await phone.go(f"{REEDBED}/read/S.out/volts")
        await phone.digits("53.9")
        await phone.tap("keep")
        await phone.tap("no-lead")
        assert phone.route == f"{REEDBED}/now", "the next box is to be plugged in first"
        await phone.go(f"{REEDBED}/read/L1.out/volts")
        await phone.digits("53.8")
        await phone.tap("keep")
        await phone.tap("no-lead")
        assert phone.route == f"{REEDBED}/read/L1.out/mbps"
        await phone.tap("speed-1000")
        await phone.tap("slab")
        assert phone.route == f"{REEDBED}/read/L1.in/volts"
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


def test_a_dead_battery_costs_nothing_that_was_typed_or_kept():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(warned(reedbed()),))
        await phone.go("/settings")
        await phone.tap("look-dark")
        await phone.go(f"{REEDBED}/now")
        await phone.tap("slab")
        await phone.go(f"{REEDBED}/read/L2.in/volts")
        await phone.tap("standing-open")
        await phone.digits("41.")
        before = entries(phone, "REEDBED-HIDE")
        phone.kill()

        phone = await Phone.start(disk, world)
        assert phone.route == f"{REEDBED}/read/L2.in/volts"
        assert phone.grounds == {DARK["ground"]}
        assert any(text.startswith(words.were_typing("41.", "L2.in", "")) for text in phone.texts())
        assert entries(phone, "REEDBED-HIDE") == before
        await phone.digits("0")
        assert not phone.shows(words.were_typing("41.", "L2.in", ""))
        await phone.tap("keep")
        last = entries(phone, "REEDBED-HIDE")[-1]
        assert last["value"] == 41.0 and last["with"] == {"*": "off"}
        assert last["n"] > before[-1]["n"] and last["seen"] == {"d0d0": before[-1]["n"]}
        verdict = phone.route
        phone.kill()

        phone = await Phone.start(disk, world)
        assert phone.route == verdict and phone.shows(words.VERDICTS[OUTSIDE])
        await phone.go(f"{REEDBED}/read/L2.in/volts")
        assert not phone.takes("keep"), "what was kept does not stand on the pad again"
        phone.stop()

    drive(journey)


def test_a_link_opens_its_place_whatever_was_open_last():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(reedbed(), warned(orchard())))
        await phone.go(f"{REEDBED}/now")
        phone.stop()
        phone = await Phone.start(disk, world, link=f"{ORCHARD}/read/E.in/volts")
        assert phone.route == f"{ORCHARD}/read/E.in/volts" and phone.has("keep")
        await phone.back()
        assert phone.route == f"{ORCHARD}/now"
        phone.stop()

    drive(journey)


def test_the_phones_own_look_and_letters_are_followed():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now")
        assert phone.grounds == {SUN["ground"]}
        await phone.wear(dark=True)
        assert phone.grounds == {DARK["ground"]}
        await phone.go("/settings")
        await phone.tap("look-sun")
        assert phone.grounds == {SUN["ground"]}
        await phone.tap("look-phone")
        assert phone.grounds == {DARK["ground"]}
        await phone.go(f"{REEDBED}/now")
        assert phone.find("slab").height is not None
        await phone.wear(scale=2.0)
        assert phone.find("slab").height is None
        await phone.wear(scale=1.0)
        assert phone.find("slab").height is not None
        phone.stop()

    drive(journey)


def test_every_drawing_and_every_bare_button_has_words():
    async def journey() -> None:
        phone = await Phone.start(docs=(worked(reedbed()), mill()))
        for route in (
            "/",
            f"{REEDBED}/now",
            f"{REEDBED}/run",
            f"{REEDBED}/steps",
            f"{REEDBED}/plan",
            f"{MILL}/run",
        ):
            await phone.go(route)
            for control in phone.controls():
                if isinstance(control, ft.Semantics) and control.image:
                    assert control.label, route
                if isinstance(control, ft.TextButton) and isinstance(control.content, ft.Text):
                    bare = control.content.semantics_label or control.content.value
                    assert bare, (route, control.key)
        phone.stop()

    drive(journey)
