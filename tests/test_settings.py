"""Settings: choices, one's own meters from the list to the log, everything as one file and in again."""

from __future__ import annotations

import asyncio
import io
import zipfile
from collections.abc import Mapping
from dataclasses import replace
from hashlib import sha256
from typing import Any

import flet as ft
import pytest
from headless import CountedWorld, Phone, drive, warned
from jpegs import made as picture
from memory_disk import MemoryDisk
from samples import sample

from engine.jobfile import BadFile, read_job
from engine.judge import judge
from engine.say import say
from fieldapp import messages as m
from fieldapp import words
from fieldapp.exchange import LIMITS, pack
from fieldapp.exchange.everything import everything, parts_of
from fieldapp.exchange.packing import Packed
from fieldapp.foundout import Holding
from fieldapp.gathering import Gathering
from fieldapp.handover.giving import BLINK, PRESS
from fieldapp.jpeg import without_place
from fieldapp.meters import BROUGHT, OwnMeter, brought, meters_from, meters_of, with_own
from fieldapp.model import Model, OpenJob
from fieldapp.questions import last_edits
from fieldapp.settings import CHOICES, Settings, settings_kept
from fieldapp.update import update
from fieldapp.words.manner import LANGUAGES, Manner

JOB = "REEDBED-HIDE"
PAD = f"/j/{JOB}/read/S.out/volts"
SHOWN = ("lengths", "wire", "look", "letters", "hand", "buzz", "awake", "language")
SHEET = {"kind": "meter", "title": "Ida’s", "volts": {"percent": 3, "digits": 5, "resolution": 0.1}}
IDAS = OwnMeter("ida-s-4f3a9c", "Ida’s", SHEET, "QX 12", "2031-02-14")


def on_a_phone(*docs: Mapping[str, Any]):
    """A test on a phone that holds these jobs, their cautions read."""

    def wrap(journey):
        def test() -> None:
            async def whole() -> None:
                phone = await Phone.start(docs=docs)
                await journey(phone)

            drive(whole)

        test.__name__, test.__doc__ = journey.__name__, journey.__doc__
        return test

    return wrap


def reedbed() -> dict[str, Any]:
    return warned(sample("reedbed-hide"))


async def log_of(phone: Phone, job: str = JOB) -> list[dict[str, Any]]:
    return [one for one in (await phone.shelf.journal(job)).records[1:] if one["what"] != "note"]


# ---------------------------------------------------------------- what is chosen


@on_a_phone()
async def test_each_choice_is_a_row_that_says_what_is_chosen(phone: Phone) -> None:
    """Pressed, it is kept, shown and spoken at once, in the language of that moment."""
    await phone.go("/settings")
    for key in SHOWN:
        for value in reversed(CHOICES[key]):
            await phone.tap(f"{key}-{value}")
            assert phone.store.setting(key) == value
            manner = settings_kept(phone.store.setting).manner
            with words.speaking(manner):
                name, said = words.setting_name(key), words.setting_choice(key, value)
                assert phone.shows(name) and said in phone.texts(phone.find(f"{key}-{value}"))
                spoken = [one for one in phone.speech() if one.startswith(f"{name}: ")]
                assert spoken.count(words.speak_setting(name, said, True)) == 1
                assert len(spoken) == len(CHOICES[key])
    assert [LANGUAGES[one].name for one in LANGUAGES] == ["English", "Deutsch"]


@on_a_phone(reedbed())
async def test_language_and_lengths_hold_at_once_and_after_a_kill(phone: Phone) -> None:
    await phone.go("/settings")
    await phone.tap("language-de")
    await phone.tap("lengths-feet")
    await phone.tap("look-dark")
    with words.speaking(Manner("de", "feet")):
        assert phone.shows(words.shapes_title()) and phone.shows(words.FIXED.settings)
        assert words.shapes_title() != "What the shapes say"
        await phone.go(f"/j/{JOB}/run")
        assert any(f"{words.NBSP}ft" in one or " ft" in one for one in phone.texts())
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        await again.go("/settings")
        assert words.speak_setting(words.setting_name("lengths"), "Fuß", True) in again.speech()
        assert again.grounds == phone.grounds
        again.stop()


def test_what_another_version_kept_falls_back() -> None:
    kept = {"look": "moon", "lengths": "cubits", "language": "xx", "letters": 3, "name": "Orla"}
    assert settings_kept(lambda key, default: kept.get(key, default)) == Settings(name="Orla")


def test_all_of_it_lies_one_level_below_settings() -> None:
    """Lying on its side in the dark, and at 200 %: all rows are there, Back leads where one was."""

    async def journey() -> None:
        disk = MemoryDisk()
        phone = await Phone.start(disk)
        phone.store.put_setting("language", "de")
        phone.store.put_setting("meters", [IDAS.kept])
        phone.stop()
        phone = await Phone.start(disk)
        for size, scale, dark in (((844, 390), 1, True), ((390, 844), 2, False)):
            await phone.wear(size=size, scale=scale, dark=dark)
            for route, keys in (
                ("/settings", ("name", "meter-add", "shapes", "found", "everything")),
                (f"/settings/meter/{IDAS.id}", ("own-title", "serial", "ask-volts", "away")),
                ("/settings/meter", ("begin-generic.meter", f"begin-{IDAS.id}")),
                ("/settings/meter/gone", ("back",)),
                ("/settings/everything", ("save-all",)),
            ):
                await phone.go(route)
                assert set(keys) <= set(phone.keys), (route, size)
                await phone.back()
                assert phone.route == ("/" if route == "/settings" else "/settings")
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- one's own meters


async def typed(phone: Phone, name: str = "Ida’s") -> None:
    """A meter: its volts at 0.3 %, all else as the pocket meter, no day."""
    await phone.go("/settings")
    await phone.tap("meter-add")
    await phone.tap("begin-generic.meter")
    for key in ("0", ",", "3"):  # a keyboard's decimal comma
        event = ft.KeyboardEvent("keyboard_event", phone.page, key=key, shift=False, ctrl=False,
                                 alt=False, meta=False)  # fmt: skip
        phone.page.on_keyboard_event(event)
        await phone.settle()
    while phone.has("on"):
        await phone.tap("on")
    await phone.type("own-title", name)
    await phone.tap("keep")


@on_a_phone(reedbed())
async def test_a_meter_is_typed_kept_and_stands_on_the_pad(phone: Phone) -> None:
    """Question by question with the template's answers ready; the log gets it with the reading."""
    await typed(phone)
    assert phone.route == "/settings" and phone.shows(told("told-meter-kept", name="Ida’s"))
    (kept,) = phone.store.setting("meters")
    assert kept["sheet"]["volts"] == {"percent": 0.3, "digits": 2, "resolution": 0.01}
    assert kept["name"] == kept["sheet"]["title"] == "Ida’s" and "calibrated" not in kept
    said = words.meter_accuracy({"volts": (0.3, 2)})
    assert any(one.startswith(said) for one in phone.texts(phone.find(f"meter-{kept['id']}")))

    await phone.go(PAD)
    await phone.tap("meter")
    reach = words.meter_reach(0.003 * 53.4 + 0.02, "volts")
    assert phone.texts(phone.find("meter"))[0] == "Ida’s"
    await phone.digits("53.4")
    assert phone.texts(phone.find("meter"))[1] == reach
    await phone.tap("keep")
    sheet, row, reading = await log_of(phone)
    assert [sheet["path"], row["path"]] == [["sheets", f"my.{kept['id']}"], ["meters"]]
    assert row["value"]["id"] == reading["meter"] == kept["id"]
    assert phone.route.endswith(reading["id"])
    assert (await phone.shelf.read(JOB)).entries, "and the job can be read with it"

    await phone.go(PAD.replace("S.out", "L1.in"))
    assert phone.texts(phone.find("meter"))[0] == "Ida’s", "remembered"
    await phone.digits("53.3")
    await phone.tap("keep")
    assert [one["what"] for one in (await log_of(phone))[3:]] == ["reading"], "it is there already"

    await phone.go(f"/settings/meter/{kept['id']}")
    assert not phone.takes("keep"), "nothing is changed"
    await phone.tap("ask-calibrated")
    for digit in "31022031":
        await phone.tap(f"day-{digit}")
    assert not phone.takes("on") and phone.shows(words.day_none_such())
    for _ in range(8):
        await phone.tap("day-rub")
    for digit in "14022031":
        await phone.tap(f"day-{digit}")
    await phone.tap("on")
    await phone.type("serial", "QX 12")
    await phone.tap("keep")
    await phone.go(PAD.replace("S.out", "J1.a"))
    await phone.digits("52.0")
    await phone.tap("keep")
    change, reading = (await log_of(phone))[4:]
    assert (change["what"], change["path"]) == ("set", ["meters", kept["id"]])
    dated = {key: change["value"][key] for key in ("serial", "calibrated")}
    assert dated == {"serial": "QX 12", "calibrated": "2031-02-14"} and reading["value"] == 52.0

    await phone.tap("take-back")
    meters = judge(await phone.shelf.read(JOB)).state.job.meters
    assert meters[kept["id"]].calibrated == "2031-02-14", "the record still names its meter"
    await phone.go(f"/j/{JOB}/plan")
    assert not phone.has("undo") or not phone.takes("undo"), "nobody pressed that into the plan"


@on_a_phone()
async def test_taken_away_and_put_back_with_one_press(phone: Phone) -> None:
    await typed(phone, "Ida’s")
    await typed(phone, "Bench")
    ids = [one["id"] for one in phone.store.setting("meters")]
    assert len(set(ids)) == 2 and ids[0].startswith("ida-s-") and ids[1].startswith("bench-")
    await phone.tap(f"meter-{ids[0]}")
    await phone.tap("away")
    assert phone.route == "/settings" and not phone.has(f"meter-{ids[0]}")
    assert [one["id"] for one in phone.store.setting("meters")] == ids[1:]
    await phone.tap("meter-back")
    assert [one["id"] for one in phone.store.setting("meters")] == ids, "where it was"
    assert not phone.has("meter-back")
    await phone.tap(f"meter-{ids[1]}")
    await phone.tap("away")
    await phone.tap("shapes")
    await phone.tap("back")
    assert not phone.has("meter-back"), "what was left behind is over"
    await typed(phone, "Third")
    assert phone.shows(told("told-meter-kept", name="Third"))
    await phone.tap("shapes")
    assert not phone.shows(told("told-meter-kept", name="Third"))
    phone.kill()
    again = await Phone.start(phone.disk, phone.world)
    await again.go("/settings")
    assert again.has(f"meter-{ids[0]}") and not again.has(f"meter-{ids[1]}")
    again.stop()


def opened(doc: Mapping[str, Any], *meters: OwnMeter, route: str = PAD) -> Model:
    file = read_job(dict(doc))
    job = OpenJob(file.plan.id, file, judge(file))
    return Model(route=route, job=job, own_meters=meters)


def test_the_pad_foretells_what_the_reading_is_then_judged_by() -> None:
    """The band with a meter that is not in the job yet is the one that it has once it is."""
    from fieldapp.stepview import bands_of

    model = opened(reedbed(), IDAS)
    ahead = bands_of(model, "J1.a", "volts", meter=IDAS.id).today
    plain = bands_of(model, "J1.a", "volts", meter="M1").today
    doc = {
        **reedbed(),
        "log": [{**one, "id": f"a{n}"} for n, one in enumerate(brought(model, IDAS.id))],
    }
    there = opened(doc, IDAS)
    assert brought(there, IDAS.id) == ()
    after = bands_of(there, "J1.a", "volts", meter=IDAS.id).today
    assert (ahead.low, ahead.high) == pytest.approx((after.low, after.high), abs=1e-12)
    assert ahead.high - ahead.low > plain.high - plain.low + 0.5, (
        "3 % is coarser than the job's own"
    )
    assert with_own(model, model.job).accuracy(IDAS.id, "volts").percent == 3


def test_only_meters_that_read_it_and_none_on_a_made_up_site() -> None:
    from practice_jobs import PICTURED

    model = opened(reedbed(), IDAS)
    assert meters_of(model, model.job, "volts") == ("M1", IDAS.id)
    assert IDAS.id not in meters_of(model, model.job, "loop_ohms")
    made_up = opened(PICTURED[0](), IDAS)
    assert IDAS.id not in meters_of(made_up, made_up.job, "volts")


def test_what_others_changed_of_it_in_a_job_stays_until_it_is_changed_here() -> None:
    model = opened(reedbed(), IDAS)
    log = [{**one, "id": f"a{n}", "device": "d", "n": n + 1} for n, one in
           enumerate(brought(model, IDAS.id))]  # fmt: skip
    log.append({"id": "b", "device": "e", "n": 1, "seen": {"d": 9}, "what": "set",
                "path": ["meters", IDAS.id, "name"], "value": "Hers", "was": IDAS.name})  # fmt: skip
    there = opened({**reedbed(), "log": log}, IDAS)
    assert brought(there, IDAS.id) == ()
    assert there.job.judgement.state.job.meters[IDAS.id].name == "Hers"
    assert last_edits(there) == ("b",), "Undo of the plan passes over what a reading brought"
    (edit,) = brought(replace(there, own_meters=(replace(IDAS, serial="QX 13"),)), IDAS.id)
    assert edit["what"] == "set" and edit["value"]["serial"] == "QX 13" and edit[BROUGHT] == IDAS.id


def test_the_ohms_of_a_reel_bring_their_meter_too() -> None:
    ohms = {**SHEET, "loop_ohms": {"percent": 1, "digits": 2, "resolution": 0.1}}
    model = opened(reedbed(), replace(IDAS, sheet=ohms), route="/")
    model, _ = update(model, m.Go(f"/j/{JOB}/reel/C4/ohms"))
    model, _ = update(model, m.ReelMeter())
    for digit in "24":
        model, _ = update(model, m.KeyPressed(digit))
    _, effects = update(model, m.ReelKept())
    (keep,) = [one for one in effects if isinstance(one, m.Keep)]
    assert [one["what"] for one in keep.drafts] == ["add", "add", "note"]


@pytest.mark.parametrize(
    "row",
    [
        None,
        {},
        {"id": "x", "name": "X"},
        {**IDAS.kept, "id": "with space"},
        {**IDAS.kept, "calibrated": "yesterday"},
        {**IDAS.kept, "serial": 7},
        {**IDAS.kept, "sheet": {"kind": "cable"}},
        {**IDAS.kept, "sheet": {**SHEET, "volts": {"percent": "lots"}}},
    ],
)
def test_of_a_list_that_was_kept_what_is_no_meter_is_left_out(row: Any) -> None:
    assert meters_from([row, IDAS.kept]) == (IDAS,)
    assert meters_from(row) == ()


# ---------------------------------------------------------------- everything as one file


def pictured(data: bytes) -> dict[str, Any]:
    """A job with a photo on this phone and one that is not."""
    doc = sample("orchard-gate")
    shots = [
        {"id": f"p{n}", "device": "a7f3", "n": n, "what": "photo", "of": "S", "sha256": name,
         "bytes": len(data), "width": 37, "height": 21}
        for n, name in enumerate((sha256(data).hexdigest(), "ab" * 32), len(doc["log"]) + 1)
    ]  # fmt: skip
    return {**doc, "log": [*doc["log"], *shots]}


PICTURE = without_place(picture("baseline"))


async def filled() -> Phone:
    phone = await Phone.start(docs=(reedbed(), pictured(PICTURE)))
    await phone.store.keep_photo("ORCHARD-GATE", PICTURE)
    await phone.go("/settings")
    await phone.tap("everything")
    return phone


async def take_in(phone: Phone, name: str, data: bytes) -> None:
    await phone.go("/")
    await phone.tap("open-file")
    files = [{"id": 1, "name": name, "size": len(data), "bytes": data}]
    await phone.fire(phone.camera, "result", {"files": files})


def told(code: str, **parts: Any) -> str:
    return words.sentence(say(code, **parts)).replace("**", "")


def test_all_jobs_go_out_as_one_file_and_come_in_again() -> None:
    """It says what it holds; each job is logged as copied once; another phone has it all."""

    async def journey() -> None:
        phone = await filled()
        assert any(one.startswith("2 jobs, 1 photo, ") for one in phone.texts()), phone.texts()
        assert phone.shows(words.everything_lacking(1))
        await phone.tap("save-all")
        ((name, data),) = phone.copies
        assert name == "farend-2031-06-03.zip"
        assert phone.shows(told("told-everything-out", name=name, jobs=2))
        inside = zipfile.ZipFile(io.BytesIO(data))
        assert sorted(inside.namelist()) == ["orchard-gate.zip", "reedbed-hide.json"]
        sent = {job: len((await phone.shelf.read(job)).entries) for job in JOBS}
        for job in JOBS:
            last = (await phone.shelf.read(job)).entries[-1]
            assert last.what == "export" and last.body["to"] == name
        await phone.tap("save-all")
        assert len(phone.copies) == 2
        again = {job: len((await phone.shelf.read(job)).entries) for job in JOBS}
        assert again == sent, "nothing is new since the copy"
        files = {job: (await phone.shelf.read(job)) for job in JOBS}
        phone.stop()

        other = await Phone.start()
        await take_in(other, name, data)
        assert other.route == "/"
        assert other.shows(told("told-everything-in", name=name, new=2, more=0))
        for job in JOBS:
            here = (await other.shelf.read(job)).entries
            assert [one.id for one in here] == [one.id for one in files[job].entries[:-1]]
        (photo,) = await other.store.photos("ORCHARD-GATE")
        assert await other.store.photo("ORCHARD-GATE", photo) == PICTURE
        await take_in(other, name, data)
        assert other.shows(told("told-everything-in", name=name, new=0, more=0))
        broken = everything((Packed("x.json", b"{}"), pack(reedbed())))
        await take_in(other, name, broken)
        assert other.shows("x.json") and len(await other.store.list_jobs()) == 2
        other.stop()

    drive(journey)


JOBS = (JOB, "ORCHARD-GATE")


class Slow(CountedWorld):
    """Each look at the clock takes so long."""

    step = 0.0

    def elapsed(self) -> float:
        self.passed += self.step
        return self.passed


def test_what_takes_long_tells_how_far_it_is_and_is_shared_by_a_second_press() -> None:
    """Longer than a blink: job by job. Longer than a press lasts: it is held for the next one."""

    async def journey() -> None:
        phone = await Phone.start(world=Slow(), docs=(reedbed(), sample("orchard-gate")))
        shared: list[str] = []

        async def share(files: Any) -> bool:
            shared.extend(one.name for one in files)
            return True

        gathering, said = Gathering(phone.shelf, None, share), []
        phone.world.step = BLINK / 10
        await gathering.give(m.GiveAll(m.SHARE), said.append)
        assert shared == ["farend-2031-06-03.zip"]
        assert not [one for one in said if isinstance(one, m.AllMade)], "no longer than a blink"

        phone.world.step, shared[:] = PRESS, []
        await gathering.give(m.GiveAll(m.SHARE), said.append)
        assert [one.done for one in said if isinstance(one, m.AllMade)] == [(1, 2), (2, 2), None]
        assert said[-1] == m.Told(say("told-made-now")) and not shared
        await gathering.give(m.GiveAll(m.SHARE), said.append)
        assert shared == ["farend-2031-06-03.zip"]

        async def leaves(message: Any) -> None:
            await gathering.stop(m.StopGivingAll(), said.append)

        shared.clear()
        tasks: list[Any] = []
        await gathering.give(
            m.GiveAll(m.SHARE), lambda message: tasks.append(asyncio.ensure_future(leaves(message)))
        )
        assert not shared, "nobody waits any more"
        phone.stop()

    drive(journey)


def test_leaving_the_page_gives_it_up() -> None:
    model = replace(Model(route="/settings/everything"), holding=Holding(2, 0, 1), gathered=(1, 2))
    left, effects = update(model, m.Go("/settings"))
    assert left.gathered is None and m.StopGivingAll() in effects
    late, _ = update(left, m.AllMade((2, 2)))
    assert late.gathered is None
    _, effects = update(model, m.AllPressed(m.SAVE))
    assert effects == (), "one at a time"


def test_only_a_zip_of_jobs_is_taken_for_one() -> None:
    one = pack(reedbed())
    alike = everything((one, one))
    assert [name for name, _ in parts_of(alike)] == ["reedbed-hide.json", "reedbed-hide-2.json"]
    of_one = pack(pictured(PICTURE), {"ab" * 32: PICTURE})
    assert parts_of(of_one.data) is None, "a job with its photos"
    assert parts_of(everything((one,))) is None, "nor one job alone: it is read as that"
    assert dict(parts_of(everything((of_one,)))) == {of_one.name: of_one.data}
    assert parts_of(everything((one, Packed("note.txt", b"x")))) is None
    assert parts_of(b"PK\x03\x04 no zip") is None and parts_of(one.data) is None
    assert parts_of(alike, replace(LIMITS, jobs=1)) is None
    with pytest.raises(BadFile):
        list(parts_of(alike, replace(LIMITS, all_bytes=len(one.data))))
    torn = bytearray(alike)
    torn[200] ^= 255
    with pytest.raises(BadFile):
        list(parts_of(bytes(torn)))
