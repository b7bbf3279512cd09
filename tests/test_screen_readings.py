"""Readings through the screens, by name and without a browser: taken, judged, repeated, put right."""

from __future__ import annotations

from headless import Phone, drive, warned
from screen_jobs import (
    LOW,
    ORCHARD,
    REEDBED,
    Doc,
    entries,
    orchard,
    powered,
    reading,
    reedbed,
    unclear,
)

from engine.design_band import band_for
from engine.job import Point
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import Standing
from engine.say import say
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR
from fieldapp import words


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
