"""Cautions in front of a pad, wherever it was opened from: once a stop and a day, and what is half
typed outlives them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from headless import CountedWorld, Phone, drive, warned
from memory_disk import MemoryDisk
from messages_sent import after, keeps, kept, model_at
from screen_jobs import REEDBED, entries, reading, reedbed

from engine.say import say
from fieldapp import messages as m
from fieldapp import words

JOB = "REEDBED-HIDE"
PAD = f"{REEDBED}/read/L2.in/volts"
A_DAY = 24 * 60
LOW = reading("low", "L2.in", "volts", 30.0)


def read(phone: Phone) -> list[tuple[str, str]]:
    """The cautions that the journal holds, each with its stop, in their order."""
    return [
        (e["at"], e["x_caution"].removeprefix("caution-"))
        for e in entries(phone, JOB)
        if "x_caution" in e
    ]


def all_read_but_at(stop: str) -> dict:
    doc = warned(reedbed())
    return {**doc, "log": [entry for entry in doc["log"] if entry["at"] != stop]}


def figure(phone: Phone) -> bool:
    """Whether the pad itself is in front."""
    return phone.has("keep") and not phone.has("understood")


async def from_run(phone: Phone) -> None:
    await phone.go(f"{REEDBED}/run?at=L2.out")  # nothing was read there
    await phone.tap("slab")


async def from_verdict(phone: Phone) -> None:
    await phone.go(f"{REEDBED}/verdict/low")
    await phone.tap("again")


async def from_leave(phone: Phone) -> None:
    await phone.go(f"{REEDBED}/leave")
    await phone.tap("mend-step.volts.L2.out")


async def from_a_link(phone: Phone) -> None:
    await phone.go(PAD)


AT_THE_HIDE = ["thunder", "ladder", "live", "unplug"]
"""before volts on a live pair up there"""
WAYS = [from_run, from_verdict, from_leave, from_a_link]


@pytest.mark.parametrize("opens", WAYS, ids=lambda way: way.__name__)
def test_a_pad_is_cautioned_wherever_it_was_opened(opens):
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(LOW),))
        await opens(phone)
        assert "/read/L2." in phone.route and phone.has("understood"), phone.route
        assert not phone.has("keep") and not phone.has("key-1"), "no figure before it was read"
        await phone.tap("understood")
        assert figure(phone)
        assert read(phone) == [("hide", code) for code in AT_THE_HIDE]
        await opens(phone)
        assert figure(phone), "not again at this stop today"
        await phone.go(f"{REEDBED}/run")
        phone.world.pass_minutes(A_DAY)
        await opens(phone)
        assert phone.has("understood"), "again the next day"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(
    ("at", "kind", "told"),
    [
        ("L2.in", "volts", AT_THE_HIDE),
        ("L2.in", "milliamps", AT_THE_HIDE),
        ("L2.in", "watts", AT_THE_HIDE),
        ("L1.out", "volts", ["live", "unplug"]),
        ("C3", "loop_ohms", ["thunder", "off", "insulation"]),
        ("C4", "loop_ohms", ["thunder", "ladder", "off", "insulation"]),
        ("EB1", "earth_ohms", ["off", "earth", "metal"]),
        ("L1.out", "mbps", []),
        ("L2.in", "mbps", ["thunder", "ladder"]),
    ],
)
def test_each_kind_of_reading_has_its_own(at, kind, told):
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/read/{at}/{kind}")
        assert phone.has("understood") == bool(told)
        lead = words.step(say("step-volts", at=at)).caution
        assert phone.shows(lead) == ("live" in told)
        if told:
            await phone.tap("understood")
        assert [code for _, code in read(phone)] == told
        assert not phone.has("understood")
        phone.stop()

    drive(journey)


def test_what_was_read_before_the_step_counts_for_the_pad_and_the_other_way_round():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{REEDBED}/now?step=volts.L2.in")
        await phone.tap("understood")
        await phone.go(PAD)
        assert figure(phone)
        await phone.go(f"{REEDBED}/read/L1.out/volts")
        await phone.tap("understood")
        assert ("hut", "live") in read(phone), "the other stop's own"
        await phone.go(f"{REEDBED}/now?step=volts.L1.out")
        assert phone.has("slab") and not phone.has("understood")
        phone.stop()

    drive(journey)


def test_what_is_half_typed_outlives_the_caution():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(PAD)
        await phone.digits("47.")
        phone.world.pass_minutes(A_DAY)
        await phone.go(f"{REEDBED}/run")
        await phone.go(PAD)
        assert phone.has("understood")
        await phone.tap("understood")
        await phone.digits("3")
        await phone.tap("keep")
        entry = entries(phone, JOB)[-1]
        assert (entry["at"], entry["value"]) == ("L2.in", 47.3)
        phone.stop()

    drive(journey)


def test_the_digits_that_go_to_another_stop_wait_behind_its_caution():
    async def journey() -> None:
        phone = await Phone.start(docs=(all_read_but_at("hut"),))
        await phone.go(PAD)
        await phone.digits("52.1")
        await phone.tap("point")
        await phone.tap("point-L1.in")
        assert phone.route == f"{REEDBED}/read/L1.in/volts" and phone.has("understood")
        await phone.tap("understood")
        await phone.tap("keep")
        entry = entries(phone, JOB)[-1]
        assert (entry["at"], entry["value"]) == ("L1.in", 52.1)
        phone.stop()

    drive(journey)


def test_a_battery_that_dies_behind_a_caution_costs_no_digit():
    async def journey() -> None:
        disk, world = MemoryDisk(), CountedWorld()
        phone = await Phone.start(disk, world, docs=(all_read_but_at("hut"),))
        await phone.go(PAD)
        await phone.digits("47.3")
        await phone.tap("point")
        await phone.tap("point-L1.in")
        assert phone.has("understood")
        phone.kill()
        phone = await Phone.start(disk, world)
        assert phone.route == f"{REEDBED}/read/L1.in/volts" and phone.has("understood")
        await phone.tap("understood")
        await phone.tap("keep")
        entry = entries(phone, JOB)[-1]
        assert (entry["at"], entry["value"]) == ("L1.in", 47.3)
        phone.stop()

    drive(journey)


def test_two_presses_in_one_breath_read_it_once():
    now = "2031-06-03T08:00:00Z"
    model, effects = after(model_at(PAD, now=now), m.ReadingUnderstood())
    (keep,) = keeps(effects)
    assert len(keep.drafts) == len(AT_THE_HIDE)
    model, more = after(model, m.ReadingUnderstood())
    assert not keeps(more), "while the first is on its way"
    answer = kept(effects)
    answer = replace(answer, entries=tuple({**entry, "t": now} for entry in answer.entries))
    model, more = after(model, answer, m.ReadingUnderstood())
    assert not keeps(more) and model.route == PAD


def test_the_ladder_at_the_other_end_is_read_with_one_press():
    """Kept where it stands: else the press would never free the page of a step at both ends."""
    doc = reedbed()
    doc["stops"]["hide"]["needs"], doc["stops"]["sluice"]["needs"] = [], ["ladder"]

    async def journey() -> None:
        for place in (f"{REEDBED}/now?step=pull.C4", f"{REEDBED}/read/C4/loop_ohms"):
            phone = await Phone.start(docs=(doc,))
            await phone.go(place)
            await phone.tap("understood")
            assert not phone.has("understood"), place
            at = {code: stop for stop, code in read(phone)}
            assert (at["ladder"], at["off"]) == ("sluice", "hide")

    drive(journey)
