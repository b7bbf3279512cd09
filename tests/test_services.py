"""Effects carried out on a store in memory: what is kept, what is told, and what never changes."""

from __future__ import annotations

import asyncio
import json
import re
import uuid
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from hashlib import sha256
from random import Random
from typing import Any

import pytest
from headless import CountedWorld, Phone, drive, sample, warned
from jpegs import HIGH, JFIF, WIDE, made, segment

from engine.copied import not_copied
from engine.entries import read_entry
from engine.jobfile import read_job, write
from engine.judge import judge
from engine.merge import NotOneJob
from engine.say import say
from fieldapp import breath, words
from fieldapp import messages as m
from fieldapp.haptics import Comforts
from fieldapp.services import (
    Services,
    Shelf,
    World,
    sample_files,
    sample_names,
    trouble_say,
    uuid7,
)
from fieldapp.shipped import practice_sites
from fieldapp.store.errors import (
    JobExists,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreFailed,
    StoreFull,
    StoreReadOnly,
)
from fieldapp.store.journal import encode
from fieldapp.store.memory import MemoryDisk, open_memory

DRAFT = {"what": "reading", "at": "L2.in", "kind": "volts", "value": 45.1, "meter": "M1"}


class Bench:
    """Services on a disk in memory, and all the messages they send."""

    def __init__(self) -> None:
        self.disk, self.world = MemoryDisk(), CountedWorld()
        self.sent: list[Any] = []

    async def open(self) -> Services:
        self.store = await open_memory(self.disk, now=self.world.stamp, draw=lambda: "d0d0")
        self.shelf = Shelf(self.store, self.world)
        self.services = Services(self.shelf)
        return self.services

    async def do(self, effect: Any) -> list[Any]:
        """The messages that come of one effect."""
        self.sent = []
        await self.services.perform(effect, self.sent.append)
        return self.sent

    async def bring(self, name: str, log: list | None = None) -> None:
        doc = sample(name) if log is None else {**sample(name), "log": log}
        await self.shelf.bring_in(read_job(doc), f"{name}.json")

    def log(self, job: str) -> list[dict]:
        return list(self.shelf.journals[job].records[1:])


def on_a_bench(journey: Callable[[Bench], Awaitable[None]]) -> Callable[[], None]:
    """A test that has a bench of its own."""

    def test() -> None:
        async def whole() -> None:
            bench = Bench()
            await bench.open()
            await journey(bench)

        asyncio.run(whole())

    test.__name__, test.__doc__ = journey.__name__, journey.__doc__
    return test


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


# ---------------------------------------------------------------- jobs in and out


@on_a_bench
async def test_a_sample_is_copied_under_an_id_of_its_own_each_time(bench: Bench):
    ids = []
    for _ in range(3):
        (loaded,) = await bench.do(m.CopySample("orchard-gate"))
        assert isinstance(loaded, m.JobLoaded) and loaded.route == f"/j/{loaded.job.id}/plan"
        assert loaded.job.file.plan.id == loaded.job.id
        ids.append(loaded.job.id)
    assert ids == ["ORCHARD-GATE", "ORCHARD-GATE-2", "ORCHARD-GATE-3"]
    assert set(bench.disk.journals) == set(ids)
    plain = sample("orchard-gate")
    assert bench.log("ORCHARD-GATE-2") == plain["log"]
    assert bench.shelf.journals["ORCHARD-GATE-2"].records[0]["title"] == plain["title"]


def test_every_sample_can_be_picked():
    assert [name for name, _ in sample_names()] == ["orchard-gate", "reedbed-hide", "tide-mill"]
    assert len(sample_files()) == 3
    assert all(title for _, title in sample_names())


@on_a_bench
async def test_a_picked_file_is_copied_in_and_opened(bench: Bench):
    mill = m.TakeIn("mill.json", write(sample("tide-mill")).encode())
    (loaded,) = await bench.do(mill)
    assert (loaded.job.id, loaded.route) == ("TIDE-MILL", "/j/TIDE-MILL/now")
    assert set(bench.disk.journals) == {"TIDE-MILL"}
    loaded, told = await bench.do(mill)
    assert loaded.job.id == "TIDE-MILL" and told == m.Told(
        say("told-nothing-new", name="mill.json")
    )


BROKEN = [
    b"",
    b"\xff\xfe\x00",
    b"no json",
    b"[]",
    b'{"format": "farend-job/2"}',
    json.dumps({**sample("tide-mill"), "boxes": []}).encode(),
    json.dumps({**sample("tide-mill"), "surprise": 1}).encode(),
]


@pytest.mark.parametrize("data", BROKEN, ids=range(len(BROKEN)))
def test_a_file_that_makes_no_sense_is_one_sentence_and_changes_nothing(data):
    async def journey(bench: Bench) -> None:
        await bench.bring("reedbed-hide")
        before = dict(bench.disk.journals)
        (told,) = await bench.do(m.TakeIn("odd.json", data))
        assert isinstance(told, m.NotOpened) and told.say.code == "told-unreadable"
        sentence = words.sentence(told.say)
        assert sentence.startswith("odd.json") and "\n" not in sentence
        assert bench.disk.journals == before

    on_a_bench(journey)()


@on_a_bench
async def test_a_job_is_read_as_its_journal_has_it(bench: Bench):
    await bench.bring("orchard-gate")
    (loaded,) = await bench.do(m.LoadJob("orchard-gate", "/j/ORCHARD-GATE/run"))
    job = loaded.job
    assert job.id == "ORCHARD-GATE" and loaded.route == "/j/ORCHARD-GATE/run"
    assert len(job.file.entries) == len(sample("orchard-gate")["log"])
    assert job.judgement.verdicts == judge(job.file).verdicts != ()
    assert job.kept == bench.world.clock("2031-05-04T10:41:00Z")


@on_a_bench
async def test_a_job_that_is_not_here_is_told_and_leads_to_the_jobs(bench: Bench):
    load = m.LoadJob("NOWHERE", "/j/NOWHERE/now")
    told = m.NotOpened(load, say("told-no-name", name="NOWHERE"), "/")
    assert await bench.do(load) == [told]


@on_a_bench
async def test_the_list_has_every_job_and_the_trouble_with_one(bench: Bench):
    await bench.bring("reedbed-hide")
    await bench.bring("tide-mill")
    bench.store.close()
    bench.disk.journals["TIDE-MILL"] = b"nothing that was ever written\n"
    await bench.open()
    (listed,) = await bench.do(m.ListJobs())
    rows = {row.id: row for row in listed.rows}
    assert set(rows) == {"REEDBED-HIDE", "TIDE-MILL"}
    assert rows["REEDBED-HIDE"].judgement is not None and rows["REEDBED-HIDE"].trouble is None
    assert rows["TIDE-MILL"].judgement is None
    assert rows["TIDE-MILL"].trouble == say("row-unreadable")
    assert bench.disk.journals["TIDE-MILL"] == b"nothing that was ever written\n"


@on_a_bench
async def test_the_list_says_which_job_a_newer_one_keeps(bench: Bench):
    await bench.bring("tide-mill")
    bench.store.close()
    newer = encode({"format": "farend-journal/3", "plan": {}})
    bench.disk.journals["TIDE-MILL"] = newer
    await bench.open()
    (listed,) = await bench.do(m.ListJobs())
    assert [row.trouble for row in listed.rows] == [say("row-newer")]
    load = m.LoadJob("TIDE-MILL", "/j/TIDE-MILL/now")
    told = m.NotOpened(load, say("told-newer", name="TIDE-MILL"), "/")
    assert await bench.do(load) == [told]
    assert bench.disk.journals["TIDE-MILL"] == newer


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


# ---------------------------------------------------------------- photos, copies, the clock


@on_a_bench
async def test_a_picture_is_durable_before_its_entry_is_made(bench: Bench):
    await bench.bring("reedbed-hide")
    data = made("baseline", JFIF, behind=b"Saltmarsh 54.1N")
    (kept,) = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", data, "Orla"))
    (entry,) = kept.entries
    assert entry == bench.log("REEDBED-HIDE")[0]
    assert (entry["what"], entry["of"], entry["by"]) == ("photo", "L1", "Orla")
    assert (entry["width"], entry["height"]) == (WIDE, HIGH)
    kept_bytes = await bench.store.photo("REEDBED-HIDE", entry["sha256"])
    assert sha256(kept_bytes).hexdigest() == entry["sha256"]
    assert len(kept_bytes) == entry["bytes"] and b"Saltmarsh" not in kept_bytes
    (read,) = await bench.do(m.ReadPictures("REEDBED-HIDE", (entry["sha256"], "ab" * 32)))
    assert read == m.PicturesRead({entry["sha256"]: kept_bytes, "ab" * 32: None})


@on_a_bench
async def test_what_is_no_picture_is_told_and_makes_no_entry(bench: Bench):
    await bench.bring("reedbed-hide")
    wrong = {
        b"GIF89a" + bytes(40): say("told-photo-kind", found="a GIF picture"),
        b"{}": say("told-photo-kind", found=""),
        made("baseline")[:-9]: say("told-photo-broken", found=""),
        made("baseline", *[FAT] * 70): say("told-photo-large", found="4.6 MB"),
    }
    for data, told in wrong.items():
        assert await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", data)) == [m.NotKept(told)]
    assert bench.log("REEDBED-HIDE") == []


FAT = segment(0xE2, b"ICC_PROFILE\0" + bytes(65_000))


@on_a_bench
async def test_a_picture_is_made_smaller_before_it_is_kept(bench: Bench):
    """Also one that would be refused as it came; what was drawn is cleaned like any other."""
    await bench.bring("reedbed-hide")
    large = made("colours", *[FAT] * 70)

    async def redraw(data: bytes) -> bytes:
        assert data is large
        return made("baseline", JFIF, behind=b"Saltmarsh 54.1N")

    bench.services.redraw = redraw
    (kept,) = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", large))
    data = await bench.store.photo("REEDBED-HIDE", kept.entries[0]["sha256"])
    assert data == made("baseline", JFIF)


@on_a_bench
async def test_a_large_picture_kept_at_full_size_is_told_of_once(bench: Bench):
    """After it is kept, and not again for every box; a smaller one is nothing to speak of."""
    await bench.bring("reedbed-hide")
    told = m.Told(say("told-photo-full-size", found="1.2 MB"))

    async def cannot(data: bytes) -> bytes:
        raise RuntimeError("no canvas")

    for redraw in (None, cannot):
        bench.services = Services(bench.shelf, redraw=redraw)
        answers = [
            await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", made("baseline", *[FAT] * count)))
            for count in (15, 18, 17)
        ]
        assert [len(messages) for messages in answers] == [1, 2, 1]
        assert all(isinstance(messages[0], m.Kept) for messages in answers)
        assert answers[1][1] == told


@on_a_bench
async def test_of_a_picture_that_was_not_kept_only_that_is_told(bench: Bench):
    await bench.bring("reedbed-hide")

    def full(*_args: Any) -> Any:
        raise StoreFull("no room")

    bench.shelf.journals["REEDBED-HIDE"].append_all = full
    told = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", made("baseline", *[FAT] * 18)))
    assert told == [m.NotKept(say("told-photo-full"))]
    assert not bench.services.said_full_size


@on_a_bench
async def test_a_full_phone_keeps_neither_picture_nor_entry(bench: Bench):
    await bench.bring("reedbed-hide")

    async def full(*_args: Any) -> Any:
        raise StoreFull("no room")

    bench.store.keep_photo = full
    told = await bench.do(m.KeepPhoto("REEDBED-HIDE", "L1", made("baseline")))
    assert told == [m.NotKept(say("told-photo-full"))]
    assert bench.log("REEDBED-HIDE") == []


@on_a_bench
async def test_a_copy_is_logged_only_where_it_was_put_somewhere(bench: Bench):
    await bench.bring("reedbed-hide", [{"id": "a", "what": "note", "text": "wet"}])
    put: list[tuple[str, bytes]] = []

    async def refuses(name: str, data: bytes) -> bool:
        return False

    async def takes(name: str, data: bytes) -> bool:
        put.append((name, data))
        return True

    copy = m.CopyOff("REEDBED-HIDE", "Orla")
    assert await bench.do(copy) == [], "no page to put it with"
    bench.services.put = refuses
    assert await bench.do(copy) == [] and len(bench.log("REEDBED-HIDE")) == 1
    bench.services.put = takes
    (kept,) = await bench.do(copy)
    ((name, data),) = put
    assert name == "reedbed-hide.json"
    assert [entry.id for entry in read_job(json.loads(data)).entries] == ["a"]
    assert kept.entries[0]["sha256"] == sha256(data).hexdigest()
    assert (kept.entries[0]["what"], kept.entries[0]["by"]) == ("export", "Orla")


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


# ---------------------------------------------------------------- between the taps


@pytest.fixture
def sliced(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every step of long work stands aside."""
    monkeypatch.setattr(breath, "SLICE", 0.0)


def test_a_job_that_is_read_has_what_was_kept_meanwhile(sliced):
    async def journey(bench: Bench) -> None:
        await bench.bring("orchard-gate")
        was = len(bench.log("ORCHARD-GATE"))
        sent: list[Any] = []
        load = m.LoadJob("ORCHARD-GATE", "/")
        opening = asyncio.create_task(bench.services.perform(load, sent.append))
        for _ in range(20):
            await asyncio.sleep(0)
        assert not opening.done()
        (kept,) = await bench.do(m.Keep("ORCHARD-GATE", ({**DRAFT, "at": "S.out"},)))
        assert sent == [], "kept while the job is being judged"
        await opening
        job = sent[0].job
        assert len(job.file.entries) == was + 1
        assert job.file.entries[-1].id == kept.entries[0]["id"]
        assert job.judgement.verdicts == judge(job.file).verdicts

    on_a_bench(journey)()


def test_the_later_list_of_jobs_is_the_one_that_is_told(sliced):
    async def journey(bench: Bench) -> None:
        await bench.bring("orchard-gate")
        await bench.bring("tide-mill")
        first, later = [], []
        await asyncio.gather(
            bench.services.perform(m.ListJobs(), first.append),
            bench.services.perform(m.ListJobs(), later.append),
        )
        assert first == [] and {row.id for row in later[0].rows} == {"ORCHARD-GATE", "TIDE-MILL"}
        assert all(row.judgement is not None for row in later[0].rows)

    on_a_bench(journey)()


LONG_WORK = {
    "list": m.ListJobs(),
    "open": m.LoadJob("ORCHARD-GATE", "/"),
    "copy": m.CopyJob("ORCHARD-GATE", "Copy"),
    "sample": m.CopySample("orchard-gate"),
    "weigh": m.Weigh("ORCHARD-GATE"),
    "count": m.CountFound(),
    "practice": m.MakeUp(practice_sites()[0].name, "perhaps"),
}


@pytest.mark.parametrize("name", LONG_WORK)
def test_long_work_lets_other_things_have_their_turn(name, monkeypatch):
    """How many turns of the loop pass until it is done: more where it stands aside."""
    turns: dict[float, int] = {}

    async def journey(bench: Bench) -> None:
        await bench.shelf.bring_in(read_job(sample("orchard-gate")), "a site.json")
        await bench.do(m.Keep("ORCHARD-GATE", ({"what": "leave", "open": []},)))
        task = asyncio.create_task(bench.services.perform(LONG_WORK[name], bench.sent.append))
        turns[breath.SLICE] = 0
        while not task.done():
            await asyncio.sleep(0)
            turns[breath.SLICE] += 1
        await task

    for seconds in (0.0, 1e9):
        monkeypatch.setattr(breath, "SLICE", seconds)
        on_a_bench(journey)()
    assert turns[0.0] >= turns[1e9] + breath.TURNS * LEAST_SLICES[name]


LEAST_SLICES = {**dict.fromkeys(LONG_WORK, 5), "weigh": 1, "copy": 2}
"""how often each stands aside at least, with a short job"""


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
