"""Journeys through the screens, by name and without a browser: from the first job to leaving, and back."""

from __future__ import annotations

from hashlib import sha256

import flet as ft
from headless import CountedWorld, Phone, drive, warned
from jpegs import made
from memory_disk import MemoryDisk
from samples import sample
from screen_jobs import (
    CHOICE,
    MILL,
    ORCHARD,
    REEDBED,
    entries,
    figure_for,
    mill,
    orchard,
    reedbed,
    two_plans,
    worked,
)

from engine.jobfile import read_job
from engine.judge import judge
from engine.step import PHOTO
from engine.verdict import OUTSIDE
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.exchange.unpacking import unpack


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
