"""Coming back in the app: the page that asks why, what is compared, and that nothing begins by itself."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from headless import CountedWorld, Phone, drive
from left_jobs import (
    DRIFTED,
    JOB,
    LEFT,
    STEADY,
    THERE,
    again,
    busy,
    came_back,
    cautioned,
    left_job,
    reading,
    visit,
)
from looked_over import LOOKS, look_over
from memory_disk import MemoryDisk
from screen_jobs import entries

from engine.entries import VISIT_REASONS
from engine.jobfile import read_job
from engine.judge import judge
from engine.walks import PACE_M_PER_MIN
from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.handover.codes import code_text
from fieldapp.routes import place_of
from fieldapp.runline import fall_points
from fieldapp.worldclock import clock_of

THIS_YEAR, NEXT_YEAR = (
    datetime(2031, 11, 5, 9, tzinfo=UTC),
    datetime(2032, 5, 11, 9, 30, tzinfo=UTC),
)
DAY = words.on_day(LEFT, "2031-11-05T09:00:00Z")
LATER = words.on_day(LEFT, "2032-05-11T09:00:00Z")


def world(at: datetime = NEXT_YEAR) -> CountedWorld:
    made = CountedWorld()
    made.at = at
    return made


async def opened(doc: dict[str, Any], link: str = "", at: datetime = NEXT_YEAR, **more) -> Phone:
    return await Phone.start(world=world(at), docs=(cautioned(doc),), link=link, **more)


def kept(phone: Phone) -> list[dict[str, Any]]:
    """What the phone itself has kept."""
    return [one for one in entries(phone, JOB) if one["device"] == "d0d0"]


# ---------------------------------------------------------------- the day


def test_a_day_has_its_year_only_where_it_is_not_this_one():
    assert f"3{words.NBSP}June" == DAY
    assert f"3{words.NBSP}June{words.NBSP}2031" == LATER
    assert words.on_day("yesterday", "2031-11-05T09:00:00Z") == words.on_day(None, "") == ""
    assert words.on_day(LEFT, "") == LATER, "where nobody knows the year it is told"


# ---------------------------------------------------------------- a new visit


def test_a_left_job_says_so_in_the_list_and_asks_why_when_it_is_opened():
    async def journey() -> None:
        phone = await opened(left_job(), at=THIS_YEAR)
        assert phone.shows(words.row_left(DAY))
        await phone.tap(f"job-{JOB}")
        assert phone.shows(words.visit_title("Orla", DAY))
        assert phone.shows(words.visit_had(17, 1))
        assert phone.shows("No photo of L1")
        assert phone.shows(words.visit_answered("P. Quill", "warden", "lens fogged"))
        assert not kept(phone) and not phone.has("slab")
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("reason", VISIT_REASONS)
def test_one_press_begins_it_and_tells_why(reason):
    async def journey() -> None:
        phone = await opened(left_job(), f"{THERE}/now")
        await phone.tap(f"visit-{reason}")
        (entry,) = kept(phone)
        assert (entry["what"], entry["people"], entry["reason"]) == ("visit", 1, reason)
        assert not phone.shows(words.visit_why()) and phone.has("slab")
        phone.stop()

    drive(journey)


def test_two_presses_where_two_have_come_and_the_next_time_one():
    async def journey() -> None:
        phone = await opened(left_job(), f"{THERE}/now")
        await phone.tap("people-2")
        assert not kept(phone), "how many is no beginning"
        await phone.tap("visit-storm")
        assert kept(phone)[-1]["people"] == 2
        phone.stop()
        more = [visit(people=2), {"id": "again", "t": LEFT, "what": "leave", "open": []}]
        phone = await opened(left_job(*more), f"{THERE}/now")
        await phone.tap("visit-yearly")
        assert kept(phone)[-1]["people"] == 2, "as on the last visit"
        phone.stop()

    drive(journey)


def test_much_that_was_left_open_is_told_in_part():
    open_ = ("photo.L1", "photo.bond.A1", "photo.L2", "photo.bond.A2", "photo.nowhere")

    async def journey() -> None:
        phone = await opened(left_job(open_=open_), f"{THERE}/now")
        assert phone.shows(words.visit_had(17, 5)) and phone.shows(words.visit_more_open(2))
        phone.stop()

    drive(journey)


def test_what_is_no_hold_any_more_still_has_who_answered():
    async def journey() -> None:
        phone = await opened(left_job(open_=("photo.nowhere",)), f"{THERE}/now")
        assert phone.shows(words.visit_answered("P. Quill", "warden", "lens fogged"))
        phone.stop()

    drive(journey)


def test_only_look_begins_nothing_and_now_asks_again():
    async def journey() -> None:
        phone = await opened(left_job(), f"{THERE}/now")
        await phone.tap("only-look")
        assert place_of(phone.route).screen == "run" and phone.has("step-left")
        await phone.tap("bar-now")
        assert phone.shows(words.visit_why())
        assert not kept(phone)
        phone.stop()

    drive(journey)


def test_a_visit_begun_by_a_slip_is_taken_back_in_one_press():
    async def journey() -> None:
        phone = await opened(left_job(), f"{THERE}/now")
        await phone.tap("visit-fault")
        await phone.tap("strip-undo")
        first, last = kept(phone)
        assert (last["what"], last["of"]) == ("void", first["id"])
        assert phone.shows(words.visit_why())
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("choice", ["visit-storm", "only-look"])
def test_a_labels_code_asks_first_and_then_stands_at_its_box(choice):
    async def journey() -> None:
        disk = MemoryDisk()
        phone = await Phone.start(disk, world(), docs=(cautioned(left_job()),))
        await phone.type("code", code_text(JOB, "L2"))
        await phone.tap("code-open")
        assert phone.shows(words.visit_why())
        phone.kill()
        phone = await Phone.start(disk, world())
        assert phone.shows(words.visit_why()), "killed and opened again: the same page"
        await phone.tap(choice)
        place = place_of(phone.route)
        assert (place.screen, place.at) == ("run", "L2") and phone.has("step-left")
        assert len(kept(phone)) == (choice != "only-look")
        await phone.tap("bar-leave")
        await phone.tap("bar-run")
        assert phone.has("step-left"), "asked once"
        phone.stop()

    drive(journey)


def test_killed_and_opened_again_it_is_the_same_page():
    async def journey() -> None:
        disk = MemoryDisk()
        phone = await Phone.start(disk, world(), docs=(cautioned(left_job()),))
        await phone.tap(f"job-{JOB}")
        phone.kill()
        phone = await Phone.start(disk, world())
        assert phone.shows(words.visit_why()) and not kept(phone)
        phone.stop()

    drive(journey)


def test_who_is_on_site_is_asked_nothing():
    async def journey() -> None:
        phone = await opened(left_job(visit()), f"{THERE}/now")
        assert not phone.shows(words.visit_why()) and phone.has("slab")
        await phone.go("/")
        assert phone.shows(words.held_by(1)) and not phone.shows(words.row_left(LATER))
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- why these first


def test_now_says_why_it_begins_with_these_until_one_is_read():
    why = words.AGAIN_SHOWS["storm"]

    async def journey() -> None:
        phone = await opened(left_job(), f"{THERE}/now")
        await phone.tap("visit-storm")
        assert phone.shows(why)
        phone.stop()
        phone = await opened(came_back(STEADY), f"{THERE}/now")
        assert not phone.shows(why)
        phone.stop()

    drive(journey)


def test_the_line_counts_what_the_engine_asks_for():
    judged = judge(read_job(cautioned(left_job(visit()))))
    asks = judged.back.asks
    readings = [one for one in asks if one.kinds]
    minutes = sum(one.minutes + one.walk_m / PACE_M_PER_MIN for one in asks)
    assert readings and len(readings) < len(asks)
    line = words.again_line(len(readings), len(asks) - len(readings), minutes, "storm")

    async def journey() -> None:
        phone = await opened(left_job(visit()), f"{THERE}/now")
        assert phone.shows(line)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- since


def test_before_anything_is_read_again_leave_says_so():
    async def journey() -> None:
        phone = await opened(left_job(visit()), f"{THERE}/leave")
        assert phone.shows(words.since_title(LATER)) and phone.shows(words.since_nothing())
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("doc", [left_job(), {**left_job(), "log": []}], ids=["left", "first"])
def test_there_is_nothing_since_on_a_first_stay_nor_while_nobody_is_back(doc):
    async def journey() -> None:
        phone = await opened(doc, f"{THERE}/leave")
        assert not any(text.startswith("Since") for text in phone.texts())
        phone.stop()

    drive(journey)


def test_what_was_altered_after_it_drifted_is_told_in_a_line_with_what_is_read_since():
    then = {"by": "Orla", "t": "2032-05-11T09:20:00Z"}
    change = {"id": "cut", **then, "what": "change", "where": "C4", "did": "cut back"}
    later = reading("r3-L2.in", "L2.in", 48.0, t="2032-05-11T09:30:00Z")
    by = words.drift_by(48.1, 45.9, "volts", LATER)

    async def journey() -> None:
        phone = await opened(left_job(visit(), *again(DRIFTED), change), f"{THERE}/leave")
        assert phone.shows(words.drift_altered(by, "volts", None))
        assert not phone.has("since-fault") and not phone.has("since-again-r2-L2.in")
        await phone.tap("since-read-r2-L2.in")
        place = place_of(phone.route)
        assert (place.screen, place.at, place.again) == ("read", "L2.in", "")
        phone.stop()
        phone = await opened(left_job(visit(), *again(DRIFTED), change, later), f"{THERE}/leave")
        said = words.drift_altered(by, "volts", (48.0, "inside"))
        assert phone.shows(said) and words.with_unit(48.0) in said
        assert not phone.has("since-read-r2-L2.in"), "it was read"
        phone.stop()

    drive(journey)


def test_what_drifted_stands_first_with_its_two_beads_and_leads_to_the_fault():
    async def journey() -> None:
        phone = await opened(came_back(DRIFTED), f"{THERE}/leave")
        texts = [text.replace("**", "") for text in phone.texts()]
        said = words.drift_by(48.1, 45.9, "volts", LATER)
        assert said in texts
        assert texts.index(words.since_title(LATER)) < texts.index(said)
        held = next(text for text in texts if "hold you here" in text)
        assert texts.index(said) < texts.index(held), "before what holds"
        assert phone.shows(words.drift_past("J1"))
        assert phone.shows(words.since_steady(3))
        spoken = next(one for one in phone.speech() if one.startswith("Volts at L2"))
        for part in (words.with_unit(45.9), words.with_unit(48.1), LATER, "Drifted"):
            assert part in spoken
        await phone.tap("since-again-r2-L2.in")
        place = place_of(phone.route)
        assert (place.screen, place.at, place.again) == ("read", "L2.in", "r2-L2.in")
        await phone.go(f"{THERE}/leave")
        await phone.tap("since-fault")
        assert place_of(phone.route).screen == "fault"
        phone.stop()

    drive(journey)


def test_behind_what_drifted_one_is_sent_to_it_and_the_way_to_the_fault_stands_once():
    async def journey() -> None:
        phone = await opened(came_back({"L2.in": -2.2, "C.in": -2.2}), f"{THERE}/leave")
        assert phone.keys.count("since-fault") == 1
        assert phone.shows(words.drift_at_feed()), "nothing in front of L2 was read again"
        assert phone.shows(words.drift_behind("L2.in"))
        phone.stop()

    drive(journey)


def test_at_the_source_it_starts_at_the_feed():
    async def journey() -> None:
        phone = await opened(came_back({"S.out": -0.4}), f"{THERE}/leave")
        assert phone.shows(words.drift_at_source())
        assert phone.has("hold-drift.r2-S.out"), "inside, and no longer as it was: that holds"
        phone.stop()

    drive(journey)


def test_a_light_is_told_in_words_and_what_is_not_certain_can_be_measured_again():
    async def journey() -> None:
        phone = await opened(left_job(*busy()), f"{THERE}/leave")
        assert phone.shows(words.drift_by(1000, 10, "mbps", LATER))
        assert phone.shows(words.drift_unsure(words.drift_by(12.5, 21.0, "earth_ohms", LATER)))
        await phone.tap("since-again-r2-earth")
        place = place_of(phone.route)
        assert (place.at, place.kind, place.again) == ("EB2", "earth_ohms", "r2-earth")
        phone.stop()

    drive(journey)


def test_another_meter_is_said_to_be_less_sure():
    other = {"id": "M2", "sheet": "generic.meter", "name": "Ivo's"}
    far = reading("r2-L2.in", "L2.in", 44.6, meter="M2")
    doc = left_job(visit(), far)
    sheet = next(one["sheet"] for one in doc["meters"] if one["id"] == "M1")
    doc = {**doc, "meters": [*doc["meters"], {**other, "sheet": sheet}]}

    async def journey() -> None:
        phone = await opened(doc, f"{THERE}/leave")
        assert phone.shows("Another meter, so less sure.")
        phone.stop()
        phone = await opened(left_job(visit(), {**far, "meter": "M1"}), f"{THERE}/leave")
        assert phone.shows("Same meter.")
        phone.stop()

    drive(journey)


def test_an_old_waiver_has_its_day_and_one_of_today_its_hour():
    mine = {"id": "w", "by": "Orla", "t": "2032-05-11T09:00:00Z", "what": "waive", "of": "copied"}

    async def journey() -> None:
        doc = left_job(visit(), {**mine, "reason": "no signal", "role": ""})
        phone = await opened(doc, f"{THERE}/leave")
        assert phone.shows(words.waived_by(LATER, "P. Quill", "lens fogged"))
        hour = clock_of(mine["t"])
        assert phone.shows(words.waived_by(hour, "Orla", "no signal"))
        phone.stop()

    drive(journey)


def test_what_is_answered_for_stands_behind_what_still_holds():
    async def journey() -> None:
        phone = await opened(came_back(DRIFTED), f"{THERE}/leave")
        judged = judge(read_job(cautioned(came_back(DRIFTED))))
        waived = [f"hold-{one.id}" for one in judged.holds if one.waiver]
        holds = [key for key in phone.keys if key.startswith("hold-")]
        assert waived and len(holds) > len(waived), "some of both"
        assert holds[-len(waived) :] == waived
        assert judged.holds[-1].waiver is None, "by their places one of them would stand in front"
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- on a verdict, and on Run


@pytest.mark.parametrize(
    ("at", "was", "word"), [("L2.in", 48.1, "drifted"), ("J1.a", 51.4, "steady")]
)
def test_a_verdict_says_what_was_read_here_last_time(at, was, word):
    async def journey() -> None:
        phone = await opened(came_back(DRIFTED), f"{THERE}/verdict/r2-{at}")
        assert phone.shows(words.as_then(was, "volts", LATER, word))
        await phone.go(f"{THERE}/verdict/r1-{at}")
        assert not phone.shows(words.was_line(was, "volts", LATER)), "the earlier one has none"
        phone.stop()

    drive(journey)


def test_the_loss_starts_past_what_was_read_on_this_visit():
    """What was as expected a year ago is no sign that it still is."""

    async def journey() -> None:
        alone = {"L2.in": -2.2}
        phone = await opened(came_back(alone), f"{THERE}/verdict/r2-L2.in")
        assert phone.shows(words.starts_at_feed())
        phone.stop()
        phone = await opened(came_back(DRIFTED), f"{THERE}/verdict/r2-L2.in")
        assert phone.shows(words.starts_past("J1"))
        phone.stop()

    drive(journey)


def test_run_says_it_where_there_is_room():
    async def journey() -> None:
        phone = await opened(came_back(DRIFTED), f"{THERE}/run?at=J1.a")
        assert phone.shows(words.was_short(51.4, "volts"))
        await phone.go(f"{THERE}/run?at=C.in")
        assert not phone.shows(words.was_short(48.0, "volts")), "not read again"
        phone.stop()

    drive(journey)


def test_on_the_line_last_years_readings_are_rings_and_no_beads():
    points = fall_points(judge(read_job(came_back(DRIFTED))))
    assert (points["L2"].reading, points["L2"].earlier) == (45.9, (48.1, 48.1))
    assert (points["C"].reading, points["C"].verdict, points["C"].earlier) == (None, None, (48.0,))
    first = fall_points(judge(read_job(left_job())))
    assert first["C"].reading == 48.0, "while nobody is back it is what was read last"


# ---------------------------------------------------------------- in every look

PAGES = {
    "visit": (lambda: left_job(), "/now"),
    "visit-much-open": (
        lambda: left_job(open_=("photo.L1", "photo.bond.A1", "photo.L2", "photo.bond.A2")),
        "/now",
    ),
    "now": (lambda: left_job(visit()), "/now"),
    "none": (lambda: left_job(visit()), "/leave"),
    "busy": (lambda: left_job(*busy()), "/leave"),
    "steady": (lambda: came_back(STEADY), "/leave"),
    "all": (lambda: came_back(dict.fromkeys(STEADY, -3.0)), "/leave"),
    "verdict": (lambda: came_back(DRIFTED), "/verdict/r2-L2.in"),
    "run": (lambda: came_back(DRIFTED), "/run?at=J1.a"),
    "step": (lambda: left_job(visit("yearly")), "/now?step=again.L1.out.volts"),
    "over": (lambda: left_job(visit("yearly")), "/now?step=lookover.hide"),
}


@pytest.mark.parametrize("name", PAGES)
def test_it_is_drawn_in_every_look(name):
    make, route = PAGES[name]

    async def journey() -> None:
        phone = await opened(make(), f"{THERE}{route}")
        for _, size, dark, scale in (*LOOKS, ("turned", (844, 390), False, 1.0)):
            await phone.wear(dark=dark, size=size, scale=scale)
            look_over(phone, DARK if dark else SUN, scale)
        phone.stop()

    drive(journey)
