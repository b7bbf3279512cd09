"""Effects carried out on a store in memory: what is kept, what is told, and what never changes."""

from __future__ import annotations

import asyncio
import re
import uuid
from datetime import UTC, datetime
from random import Random
from typing import Any

import pytest
from headless import Phone, drive, warned
from samples import sample
from service_bench import DRAFT, Bench, on_a_bench

from engine.copied import not_copied
from engine.entries import read_entry
from engine.judge import judge
from engine.merge import NotOneJob
from engine.say import say
from fieldapp import messages as m
from fieldapp import words
from fieldapp.haptics import Comforts
from fieldapp.services import (
    Services,
    World,
    trouble_say,
    uuid7,
)
from fieldapp.store.errors import (
    JobExists,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreFailed,
    StoreFull,
    StoreReadOnly,
)

# ---------------------------------------------------------------- ids


def test_an_id_has_the_bits_that_the_standard_wants():
    """RFC 9562: the time in 48 bits, version 7, variant 10, the rest chance."""
    at = 0x017F22E279B0
    text = uuid7(at, 0)
    assert text == "017f22e2-79b0-7000-8000-000000000000"
    full = uuid7(at, (1 << 74) - 1)
    assert full == "017f22e2-79b0-7fff-bfff-ffffffffffff"
    read = uuid.UUID(full)
    assert read.version == 7 and read.variant == uuid.RFC_4122
    assert read.int >> 80 == at


def test_every_bit_of_chance_is_used_once():
    seen = {uuid7(0, 1 << bit) for bit in range(74)} | {uuid7(0, 0)}
    assert len(seen) == 75
    assert uuid7(0, 1 << 74) == uuid7(0, 0), "74 bits and no more"


def test_ids_sort_by_their_time():
    rng = Random(7)
    times = sorted(rng.sample(range(1 << 48), 200))
    ids = [uuid7(at, rng.getrandbits(74)) for at in times]
    assert ids == sorted(ids)


def test_the_real_world_gives_ids_and_times_that_an_entry_takes():
    world = World()
    ids = {world.ident() for _ in range(50)}
    assert len(ids) == 50
    entry = read_entry({**DRAFT, "id": ids.pop(), "t": world.stamp()})
    age = datetime.now(UTC) - datetime.fromisoformat(entry.t)
    assert abs(age.total_seconds()) < 60
    assert re.fullmatch(r"\d\d:\d\d", world.clock())
    stamp = "2031-05-04T09:30:00Z"
    assert world.clock(stamp) == datetime.fromisoformat(stamp).astimezone().strftime("%H:%M")


# ---------------------------------------------------------------- keeping


@on_a_bench
async def test_a_draft_becomes_a_whole_entry(bench: Bench):
    await bench.bring("reedbed-hide")
    (kept,) = await bench.do(m.Keep("REEDBED-HIDE", ({**DRAFT, "by": ""},), "/next"))
    assert isinstance(kept, m.Kept) and kept.job == "REEDBED-HIDE" and kept.then == "/next"
    (entry,) = kept.entries
    assert entry == bench.log("REEDBED-HIDE")[0]
    assert {**entry, **DRAFT} == entry
    assert entry["device"] == "d0d0" and entry["n"] == 1 and entry["seen"] == {}
    assert "by" not in entry, "nobody is not a name"
    assert read_entry(entry).id == entry["id"]
    assert kept.at == bench.world.clock(bench.world.at.isoformat())


@on_a_bench
async def test_what_is_seen_counts_every_device(bench: Bench):
    old = [
        {"id": "x1", "device": "bb", "n": 4, "what": "note", "text": "a"},
        {"id": "x2", "device": "aa", "n": 2, "what": "note", "text": "b"},
        {"id": "x3", "device": "bb", "n": 3, "what": "note", "text": "c"},
        {"id": "x4", "what": "note", "text": "by hand"},
    ]
    await bench.bring("reedbed-hide", old)
    await bench.do(m.Keep("REEDBED-HIDE", (DRAFT, DRAFT)))
    await bench.do(m.Keep("REEDBED-HIDE", (DRAFT,)))
    first, second, third = bench.log("REEDBED-HIDE")[4:]
    assert first["seen"] == {"bb": 4, "aa": 2}
    assert second["seen"] == {"bb": 4, "aa": 2, "d0d0": first["n"]}
    assert third["seen"] == {"bb": 4, "aa": 2, "d0d0": second["n"]}
    assert first["n"] < second["n"] < third["n"]
    assert len({e["id"] for e in (first, second, third)}) == 3


@on_a_bench
async def test_what_is_kept_comes_behind_a_log_written_by_hand(bench: Bench):
    """Its entries count as their places, and nothing can say that it has seen them."""
    by_hand = [
        {"id": "x1", "what": "visit", "people": 1},
        *({"id": f"y{k}", "what": "note", "text": "by hand"} for k in range(40)),
        {"id": "x2", "what": "leave"},
    ]
    await bench.bring("reedbed-hide", by_hand)
    await bench.do(m.Keep("REEDBED-HIDE", ({"what": "visit", "people": 1},)))
    judgement = judge(await bench.shelf.read("REEDBED-HIDE"))
    assert [one.left != "" for one in judgement.state.visits] == [True, False]
    assert judgement.state.entries[-1].id == bench.log("REEDBED-HIDE")[-1]["id"]
    assert not_copied(judgement.state) == 40
    await bench.do(m.Keep("REEDBED-HIDE", ({"what": "export", "to": "job.json"},)))
    assert not_copied(judge(await bench.shelf.read("REEDBED-HIDE")).state) == 0


@on_a_bench
async def test_a_full_store_is_told_and_the_next_try_keeps_once(bench: Bench):
    await bench.bring("reedbed-hide")
    bench.disk.fail_at = {bench.disk.adds + 1: StoreFull}
    (told,) = await bench.do(m.Keep("REEDBED-HIDE", (DRAFT,)))
    assert told == m.NotKept(say("told-full"))
    assert bench.log("REEDBED-HIDE") == []
    (kept,) = await bench.do(m.Keep("REEDBED-HIDE", (DRAFT,)))
    assert isinstance(kept, m.Kept)
    assert bench.log("REEDBED-HIDE") == list(kept.entries)


@pytest.mark.parametrize(
    ("trouble", "code"),
    [
        (StoreFull("A"), "told-full"),
        (StoreReadOnly("A"), "told-read-only"),
        (StoreBusy("A"), "told-busy"),
        (StoreFailed("A", 5), "told-failed"),
        (JobExists("A"), "told-here-already"),
        (NotOneJob("A"), "told-other-plan"),
        (NoSuchJob("A"), "told-no-name"),
        (JobUnreadable("A"), "told-no-start"),
        (JobUnreadable("A", "newer"), "told-newer"),
    ],
)
def test_every_trouble_has_its_own_sentence(trouble, code):
    told = trouble_say(trouble, "A")
    assert told.code == code and words.sentence(told)


@on_a_bench
async def test_nothing_escapes_whatever_the_store_does(bench: Bench):
    await bench.bring("reedbed-hide")
    bench.disk.trouble = StoreReadOnly
    for effect in (
        m.Keep("REEDBED-HIDE", (DRAFT,)),
        m.SavePlace({"route": "/"}),
        m.PutSetting("look", "dark"),
    ):
        (told,) = await bench.do(effect)
        assert told == m.NotKept(say("told-read-only")), effect
    pick = m.CopySample("tide-mill")
    assert await bench.do(pick) == [m.NotOpened(pick, say("told-read-only"))]
    assert bench.log("REEDBED-HIDE") == []
    assert set(bench.disk.journals) == {"REEDBED-HIDE"}


# ---------------------------------------------------------------- place, settings, time


@on_a_bench
async def test_where_one_was_comes_back_with_the_digits(bench: Bench):
    place = {
        "route": "/j/A/read/L2.in/volts",
        "job": "A",
        "stop": "hide",
        "pad": {
            "at": "L2.in",
            "kind": "volts",
            "digits": "41.",
            "standing": "open",
            "meter": "M1",
            "since": "14:31",
        },
    }
    await bench.do(m.SavePlace(place))
    await bench.do(m.PutSetting("look", "dark"))
    await bench.do(m.PutSetting("name", "Orla"))
    bench.store.close()
    await bench.open()
    model, route = await bench.services.first_model()
    assert route == place["route"] and model.last_job == "A" and model.stop == "hide"
    assert (model.pad.digits, model.pad.standing, model.pad.since) == ("41.", "open", "14:31")
    assert model.pad.restored and model.pad.job == "A"
    assert (model.settings.look, model.settings.name) == ("dark", "Orla")
    assert len(model.samples) == 3


@pytest.mark.parametrize("place", [None, {}, {"pad": 3}, {"route": None, "job": None, "pad": None}])
def test_a_first_start_and_an_odd_place_begin_at_the_jobs(place):
    async def journey(bench: Bench) -> None:
        if place is not None:
            bench.store.save_place(place)
        model, route = await bench.services.first_model()
        assert route == "/" and model.pad is None and model.job is None
        assert (model.settings.look, model.settings.name) == ("phone", "")

    on_a_bench(journey)()


@on_a_bench
async def test_the_time_is_told_and_a_message_comes_later(bench: Bench):
    (timed,) = await bench.do(m.TellTime())
    assert timed == m.KeyTimed(bench.world.clock(bench.world.at.isoformat()))
    sent: list[Any] = []
    later = m.Later(8.0, m.StripGone(3))
    task = asyncio.create_task(bench.services.perform(later, sent.append))
    await asyncio.sleep(0)
    assert sent == [] and bench.world.waits[0][0] == 8.0
    bench.world.let_go()
    await task
    assert sent == [m.StripGone(3)]


# ---------------------------------------------------------------- seen from the screen


def test_when_the_phone_is_full_the_digits_stay_and_the_next_press_keeps_once():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned({**sample("reedbed-hide"), "log": []}),))
        await phone.go("/j/REEDBED-HIDE/read/L2.in/volts")
        await phone.digits("45.1")
        phone.disk.fail_at = {phone.disk.adds + 1: StoreFull}
        await phone.tap("keep")
        assert phone.shows(words.sentence(say("told-full")))
        assert phone.shows("45.1") and phone.takes("keep")
        assert phone.route == "/j/REEDBED-HIDE/read/L2.in/volts"
        await phone.tap("keep")
        assert "/verdict/" in phone.route
        assert not phone.shows(words.sentence(say("told-full")))
        log = phone.shelf.journals["REEDBED-HIDE"].records[1:]
        assert [entry["value"] for entry in log if entry["what"] == "reading"] == [45.1]
        phone.stop()

    drive(journey)


def test_two_presses_in_one_breath_keep_a_reading_once():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned({**sample("reedbed-hide"), "log": []}),))
        await phone.go("/j/REEDBED-HIDE/read/L2.in/volts")
        await phone.digits("45.1")
        keep = phone.find("keep")
        await asyncio.gather(
            phone.session.dispatch_event(keep._i, "click", None),
            phone.session.dispatch_event(keep._i, "click", None),
        )
        await phone.settle()
        log = phone.shelf.journals["REEDBED-HIDE"].records[1:]
        assert [entry["value"] for entry in log if entry["what"] == "reading"] == [45.1]
        phone.stop()

    drive(journey)


def test_a_setting_that_cannot_be_written_is_told_where_it_was_picked():
    async def journey() -> None:
        phone = await Phone.start()
        await phone.go("/settings")
        phone.disk.trouble = StoreFull
        await phone.tap("look-dark")
        assert phone.shows(words.sentence(say("told-full")))
        phone.stop()

    drive(journey)


def test_a_job_is_found_by_its_id_in_small_letters_too():
    """Ids are compared without case: a link may have been typed by hand."""

    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link="/j/reedbed-hide/run")
        assert phone.has("box-L2")
        loads = [name for name, _ in phone.calls if name == "push_route"]
        assert len(loads) < 6, "the app runs in a circle"
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- the clock, the light


@on_a_bench
async def test_the_clock_is_told_at_once_or_after_a_wait(bench: Bench):
    (now,) = await bench.do(m.LookAtClock())
    assert now == m.Ticked(bench.world.at.isoformat().replace("+00:00", "Z"))
    waiting = asyncio.ensure_future(bench.do(m.LookAtClock(1.0, again=True)))
    await asyncio.sleep(0)
    assert bench.world.waits[0][0] == 1.0 and not waiting.done()
    bench.world.let_go()
    (later,) = await waiting
    assert later.again and later.at > now.at


@on_a_bench
async def test_the_screen_is_kept_lit_where_the_page_can(bench: Bench):
    assert await bench.do(m.StayAwake(True)) == []
    asked: list[bool] = []

    async def lamp(on: bool) -> None:
        asked.append(on)

    bench.services = Services(bench.shelf, comforts=Comforts(lit=lamp))
    await bench.do(m.StayAwake(True))
    await bench.do(m.StayAwake(False))
    assert asked == [True, False]


# ---------------------------------------------------------------- the same page


def test_another_place_on_the_same_page_is_no_other_page():
    """The client puts up a new page for another route, and loses a press that comes just then."""

    async def journey() -> None:
        phone = await Phone.start(docs=(warned(sample("reedbed-hide")),))
        await phone.go("/j/REEDBED-HIDE/run")
        was = phone.views[-1]._i, phone.views[-1].route, phone.find("slab")._i
        await phone.tap("box-L2")
        assert phone.route == "/j/REEDBED-HIDE/run?at=L2.in"
        assert (phone.views[-1]._i, phone.views[-1].route, phone.find("slab")._i) == was
        await phone.tap("slab")
        assert phone.route == "/j/REEDBED-HIDE/read/L2.in/volts"

    drive(journey)
