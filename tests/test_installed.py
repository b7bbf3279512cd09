"""The app as an installed page: what it says of itself and when, what it asks of the browser, how a
newer version comes, all behind a link that a test holds; without one nothing of it is there."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest
from headless import Phone, drive, warned
from left_jobs import reading
from memory_disk import MemoryDisk
from messages_sent import after, model_at, open_job
from practice_jobs import PICTURED
from samples import sample

from engine.edits import GONE
from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from fieldapp import messages as m
from fieldapp import words
from fieldapp.exchange import pack
from fieldapp.halfdone import OwnSheet, SpanTable
from fieldapp.installed import Installed
from fieldapp.model import JobRow, Model
from fieldapp.staying import half_from, said_on_jobs, uncopied, whole_place
from fieldapp.update import update
from fieldapp.words.manner import Manner

ID = "REEDBED-HIDE"
JOB = f"/j/{ID}"
PHONE = "/settings/phone"
NO_PROMISE = Installed("b7", offline=True, stays=False)


class Page:
    """A page behind the app: its state, its browser's answer, and what was asked of it."""

    def __init__(self, *, answer: bool | None = None, mute: bool = False, **state: Any) -> None:
        self.state = Installed("b7", **state)
        self.answer, self.mute = answer, mute
        """what the browser says; whether it says nothing where that is nothing new"""
        self.breaks = False
        self.asked, self.renewed, self.left = 0, 0, False
        self.news: asyncio.Queue[Installed | None] = asyncio.Queue()

    async def states(self) -> AsyncIterator[Installed]:
        try:
            yield self.state
            while (state := await self.news.get()) is not None:
                yield state
            raise RuntimeError("the page is gone")
        finally:
            self.left = True

    def tell(self, **changes: Any) -> None:
        """Something changes there."""
        self.state = replace(self.state, **changes)
        self.news.put_nowait(self.state)

    async def ask_to_stay(self) -> None:
        self.asked += 1
        self._may_break()
        if self.answer is not None and not (self.mute and self.answer == self.state.stays):
            self.tell(stays=self.answer)

    async def renew(self) -> None:
        self._may_break()
        self.renewed += 1

    def _may_break(self) -> None:
        if self.breaks:
            raise RuntimeError("no such call")


async def at(page: Page | None, route: str, *docs: Any, **more: Any) -> Phone:
    """The app on this page, at a route."""
    phone = await Phone.start(docs=docs, installed=page, **more)
    await phone.go(route)
    return phone


def worked() -> dict[str, Any]:
    """A job with a reading that no copy holds."""
    return warned({**sample("reedbed-hide"), "log": [reading("r1", "S.out", 53.9)]})


def row(doc: dict[str, Any]) -> JobRow:
    return JobRow(doc["id"], doc["title"], judge(read_job(doc)))


def told(phone: Phone, code: str) -> bool:
    return phone.shows(words.SAYS[code]())


# ---------------------------------------------------------------- where nobody installed it


def test_without_a_link_nothing_of_it_is_there() -> None:
    async def journey() -> None:
        phone = await at(None, "/settings", worked())
        assert not phone.has("phone") and phone.has("everything")
        await phone.go(PHONE)
        assert phone.has("lengths-metres") and not phone.has("ask-to-stay")
        await phone.go(f"{JOB}/leave")
        assert any("on this phone only" in one for one in phone.texts())
        assert not any("may clear" in one for one in phone.texts())
        await phone.go("/")
        assert not phone.has("phone-line")
        assert not phone.store.setting("asked_to_stay", False)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- what the browser promises


async def _lay(phone: Phone) -> None:
    for key in ("new-1", "new-2", "new-0", "go-on", "lay"):
        await phone.tap(key)


async def _copy(phone: Phone) -> None:
    await phone.tap("samples")
    await phone.tap("sample-orchard-gate")


async def _take_in(phone: Phone) -> None:
    await phone.go("/")
    await phone.pick_file("open-file", "mill.json", pack(sample("tide-mill")).data)


@pytest.mark.parametrize("brings", [_lay, _copy, _take_in])
def test_the_browser_is_asked_once_there_is_a_job_and_its_answer_is_told(brings) -> None:
    async def journey() -> None:
        page = Page(answer=True)
        phone = await at(page, "/new")
        assert page.asked == 0
        await brings(phone)
        assert phone.route.startswith("/j/") and page.asked == 1
        assert told(phone, "told-stays") and set(phone.pulses) <= {"selection_click"}
        for route in ("/", "/settings", "/"):
            await phone.go(route)
        phone.world.let_go()
        await phone.settle()
        assert page.asked == 1
        phone.stop()

    drive(journey)


def test_it_is_asked_once_and_not_at_every_start_and_again_when_somebody_wants_it() -> None:
    async def journey() -> None:
        disk, page = MemoryDisk(), Page(answer=False, mute=True)
        phone = await at(page, PHONE, worked(), disk=disk)
        assert page.asked == 1 and told(phone, "told-may-clear")
        assert phone.shows(words.stays_is(False)) and phone.shows(words.stays_ask(True))
        phone.kill()
        page = Page(answer=False, mute=True)
        phone = await at(page, PHONE, disk=disk)
        assert page.asked == 0 and phone.shows(words.stays_is(False))
        page.tell(stays=False)  # it was asked: that is no answer
        await phone.settle()
        assert not told(phone, "told-may-clear")
        await phone.tap("ask-to-stay")
        assert page.asked == 1 and phone.shows(words.stays_asking())
        phone.world.let_go()  # it says what it said before, and so nothing
        await phone.settle()
        assert told(phone, "told-may-clear") and phone.has("ask-to-stay")
        page.answer = True
        await phone.tap("ask-to-stay")
        assert page.asked == 2 and told(phone, "told-stays") and not phone.has("ask-to-stay")
        phone.stop()

    drive(journey)


def test_a_browser_that_cannot_be_asked_promised_nothing() -> None:
    async def journey() -> None:
        page = Page()
        page.breaks = True
        phone = await at(page, PHONE, worked())
        assert page.asked == 1 and phone.shows(words.stays_asking())
        phone.world.let_go()
        await phone.settle()
        assert told(phone, "told-may-clear") and phone.shows(words.stays_is(False))
        phone.stop()

    drive(journey)


def test_a_promise_that_was_given_is_not_asked_for() -> None:
    async def journey() -> None:
        page = Page(stays=True)
        phone = await at(page, PHONE, worked())
        assert page.asked == 0 and phone.shows(words.stays_is(True))
        assert not phone.has("ask-to-stay")
        await phone.go(f"{JOB}/leave")
        assert not any("may clear" in one for one in phone.texts())
        phone.stop()

    drive(journey)


def test_before_there_is_a_job_it_says_that_nobody_asked() -> None:
    async def journey() -> None:
        page = Page(answer=True)
        phone = await at(page, PHONE)
        assert page.asked == 0 and phone.shows(words.stays_is(None))
        await phone.tap("ask-to-stay")
        assert page.asked == 1 and phone.shows(words.stays_is(True))
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- copies


def test_work_in_no_copy_is_reminded_of_until_the_day_is_over_or_it_is_copied() -> None:
    async def journey() -> None:
        disk, page = MemoryDisk(), Page(stays=False)
        phone = await at(page, "/", worked(), sample("tide-mill"), disk=disk)
        assert phone.shows(words.copies_line(1)) and phone.takes("slab")
        await phone.tap("copy-off")
        assert phone.route == "/settings/everything"
        await phone.go("/")
        await phone.tap("not-today")
        assert not phone.has("phone-line")
        phone.kill()
        phone = await at(page, "/", disk=disk, world=phone.world)
        assert not phone.has("phone-line")
        phone.kill()
        phone.world.pass_minutes(24 * 60)
        phone = await at(page, "/", disk=disk, world=phone.world)
        assert phone.shows(words.copies_line(1))
        await phone.tap("copy-off")
        await phone.tap("save-all")
        await phone.go("/")
        assert phone.copies and not phone.has("phone-line")
        phone.stop()

    drive(journey)


def test_a_promise_needs_no_reminder_and_a_made_up_site_is_no_work() -> None:
    doc, made_up = worked(), warned(PICTURED[1]())
    model = Model(rows=(row(doc),), installed=NO_PROMISE, now="2031-06-03T08:00:00Z")
    assert said_on_jobs(model) == "copies" and uncopied(model.rows) == 1
    assert said_on_jobs(replace(model, installed=Installed(stays=True))) == ""
    assert said_on_jobs(replace(model, installed=None)) == ""
    assert uncopied((row(made_up), row(sample("tide-mill")))) == 0
    assert JobRow("X", "X").only_here == 0


def test_leave_says_why_a_copy_matters_here() -> None:
    async def journey() -> None:
        phone = await at(Page(stays=False), f"{JOB}/leave", worked())
        hold = phone.find("hold-copied")
        assert any(one.endswith(words.copied_matters("")) for one in phone.texts(hold))
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- without signal


def test_that_it_works_without_signal_is_said_once_and_only_where_it_is_so() -> None:
    async def journey() -> None:
        disk, page = MemoryDisk(), Page(stays=True)
        phone = await at(page, "/settings", sample("tide-mill"), disk=disk)
        assert phone.shows(words.phone_row(False, False, True))
        await phone.go("/")
        assert not phone.has("phone-line")
        page.tell(offline=True)
        await phone.settle()
        assert phone.shows(words.offline_line())
        await phone.go(PHONE)
        assert phone.shows(words.offline_is(True))
        phone.kill()
        phone = await at(page, "/", disk=disk)
        assert not phone.has("phone-line")
        await phone.tap("settings")
        await phone.tap("phone")
        assert phone.route == PHONE and phone.shows(words.offline_is(True))
        phone.stop()

    drive(journey)


def test_a_page_that_tells_no_more_is_trusted_no_more() -> None:
    """What it raises goes nowhere; the session's end is the end of it."""

    async def journey() -> None:
        page = Page(stays=True, offline=True, newer=True)
        phone = await at(page, PHONE, sample("tide-mill"))
        assert phone.shows(words.offline_is(True)) and phone.has("renew")
        page.news.put_nowait(None)
        await phone.settle()
        assert phone.shows(words.offline_is(False)) and not phone.has("renew")
        phone.stop()
        page = Page()
        phone = await at(page, "/")
        assert not page.left
        await phone.fire(phone.page, "close")
        assert page.left
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- a newer version

QUIET = (f"{JOB}/now", f"{JOB}/read/S.out/volts", f"{JOB}/verdict/r1", f"{JOB}/run", f"{JOB}/leave")
"""places of the work"""


def test_a_newer_version_is_told_where_nobody_works_and_comes_by_a_tap() -> None:
    async def journey() -> None:
        page = Page(stays=False, offline=True)
        phone = await at(page, "/", worked())
        page.tell(newer=True)
        await phone.settle()
        assert phone.shows(words.newer_line()) and not phone.has("not-today")
        for route in QUIET:
            await phone.go(route)
            assert phone.route == route
            assert not phone.has("renew") and not phone.shows(words.newer_line())
        await phone.go("/settings")
        assert phone.shows(words.phone_row(True, True, False))
        await phone.go(PHONE)
        assert phone.takes("renew") and page.renewed == 0
        await phone.tap("renew")
        assert page.renewed == 1
        await phone.go("/")
        page.breaks = True
        await phone.tap("renew")
        assert page.renewed == 1 and told(phone, "told-not-renewed")
        phone.stop()

    drive(journey)


def test_what_is_half_typed_anywhere_is_there_in_the_newer_version() -> None:
    async def journey() -> None:
        disk, page = MemoryDisk(), Page(stays=True, newer=True)
        phone = await at(page, f"{JOB}/read/S.out/volts", worked(), disk=disk)
        await phone.digits("53")
        await phone.go(f"{JOB}/spans")
        await phone.type("table", "id,from\nC9")
        await phone.go("/new")
        for key in ("new-3", "new-1"):
            await phone.tap(key)
        await phone.go(f"{JOB}/newsheet/L2")
        await phone.tap(next(key for key in phone.keys if key.startswith("begin-")))
        at_question = phone.texts()
        await phone.go("/")
        await phone.tap("renew")
        assert page.renewed == 1
        phone.kill()  # as a page that loads anew
        phone = await at(Page(stays=True), "/new", disk=disk, world=phone.world)
        assert phone.shows("31")
        await phone.go(f"{JOB}/newsheet/L2")
        assert phone.texts() == at_question
        await phone.go(f"{JOB}/spans")
        assert phone.find("table").value == "id,from\nC9"
        await phone.go(f"{JOB}/read/S.out/volts")
        assert phone.shows("53")
        phone.stop()

    drive(journey)


def test_it_waits_until_nothing_is_on_its_way_to_the_store() -> None:
    job = open_job("reedbed-hide")
    newer = Installed(stays=True, newer=True)
    model = replace(model_at("/"), installed=newer, job=job, keeping=True)
    model, effects = update(model, m.RenewPressed())
    assert not [one for one in effects if isinstance(one, m.Renew)]
    model, effects = update(model, m.NotKept(say("told-full")))
    assert [type(one) for one in effects if isinstance(one, m.Renew)] == [m.Renew]
    model, effects = after(model, m.Told(say("told-full")))
    assert not [one for one in effects if isinstance(one, m.Renew)]
    assert update(replace(model, installed=Installed()), m.RenewPressed())[0].renewing is False


def test_what_is_half_done_goes_through_the_place_and_what_is_no_such_record_is_left_out() -> None:
    answers = {"volts": {"percent": 3, "digits": 5}, "watts": GONE, "speeds": [10, 100]}
    own = OwnSheet(
        ID, "L2", "generic.x", at="volts", answers=MappingProxyType(answers),
        typed=MappingProxyType({"volts:percent": "3."}), title="Ida’s", single=True,
    )  # fmt: skip
    model = Model(own=own, table=SpanTable(ID, "id,from", 4))
    half = half_from(whole_place(model)["half"])
    assert half["own"] == own and half["own"].answers["watts"] is GONE
    assert (half["table"].job, half["table"].text) == (ID, "id,from") and "new" not in half
    assert "half" not in whole_place(Model())
    for odd in (None, 7, {"own": {"answers": 3}}, {"own": {"typed": {}}}, {"table": [1]}):
        assert half_from(odd) == {}


# ---------------------------------------------------------------- both languages, all sizes

STATES = (
    {"stays": False},
    {"stays": False, "offline": True, "newer": True},
    {"stays": True, "offline": True, "on_home": True},
)


@pytest.mark.parametrize("state", STATES)
def test_it_is_all_there_in_german_at_200_percent_and_lying_on_its_side(state) -> None:
    async def journey() -> None:
        page = Page(**state)
        phone = await at(page, "/", worked(), settings={"language": "de", "asked_to_stay": True})
        for size, scale, dark in (((390, 844), 2, False), ((844, 390), 1, True)):
            await phone.wear(size=size, scale=scale, dark=dark)
            with words.speaking(Manner("de")):
                await phone.go("/")
                newer, offline, stays = (page.state.newer, page.state.offline, page.state.stays)
                line = words.newer_line() if newer else words.copies_line(1)
                assert phone.shows(line) == (newer or not stays) and phone.takes("slab")
                await phone.go("/settings")
                assert phone.shows(words.phone_row(newer, offline, stays))
                await phone.go(PHONE)
                for said in (
                    words.offline_is(offline),
                    words.stays_is(stays),
                    words.home_is(page.state.on_home),
                    words.phone_version("b7"),
                ):
                    assert phone.shows(said)
                assert phone.shows(words.home_week()) != page.state.on_home
                assert phone.has("renew") == newer and phone.has("everything")
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- what a picker brings


def test_a_picked_file_goes_to_what_was_asked_for_last() -> None:
    """A press whose picker was closed is over with the next press."""

    async def journey() -> None:
        mill, table = pack(sample("tide-mill")).data, b"id,from,to,cable,metres\n"
        phone = await at(None, f"{JOB}/spans", sample("reedbed-hide"))
        await phone.pick_file("open-table", "", b"")
        await phone.go("/")
        await phone.pick_file("open-file", "mill.json", mill)
        assert phone.route == "/j/TIDE-MILL/now"
        await phone.go(f"{JOB}/spans")
        await phone.pick_file("open-table", "spans.csv", table)
        assert phone.route == f"{JOB}/spans" and phone.find("table").value == table.decode()
        phone.stop()
        model, _ = update(Model(photo_of="L1"), m.TablePressed())
        assert (model.photo_of, model.picks) == ("", "table")
        model, _ = update(model, m.PhotoPressed("L1"))
        assert model.photo_of == "L1"
        assert update(model, m.FilePressed())[0].picks == ""

    drive(journey)
