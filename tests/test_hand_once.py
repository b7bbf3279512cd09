"""Handing over to a phone that is slow, closes its sheet, or does not manage: no copy too many."""

from __future__ import annotations

import asyncio
from typing import Any

import flet as ft
import pytest
from handed_page import exports
from headless import Phone, drive, warned
from samples import sample

import fieldapp.app as app
from fieldapp.exchange.packing import pack
from fieldapp.exchange.unpacking import unpack
from fieldapp.handover import giving
from fieldapp.means import means_of

JOB = "/j/REEDBED-HIDE"
DOC = warned(sample("reedbed-hide"))


async def at_the_page(**how: Any) -> Phone:
    phone = await Phone.start(docs=(DOC,), **how)
    await phone.go(f"{JOB}/hand")
    return phone


# ---------------------------------------------------------------- one press, one copy


def test_a_second_press_while_a_copy_is_under_way_makes_none(monkeypatch):
    gate, put = asyncio.Event(), Phone._put

    async def slowly(phone: Phone, name: str, data: bytes) -> bool:
        await gate.wait()
        return await put(phone, name, data)

    monkeypatch.setattr(Phone, "_put", slowly)

    async def journey() -> None:
        phone = await at_the_page()
        await phone.tap("save-whole")
        await phone.tap("save-whole")
        await phone.tap("save-readings")
        assert phone.copies == []
        gate.set()
        await phone.settle()
        names = ["reedbed-hide.json", "reedbed-hide-readings.csv"]
        assert [name for name, _ in phone.copies] == names, "another file is another press"
        assert exports(phone) == names[:1]
        await phone.tap("save-whole")
        assert len(phone.copies) == 2, "in the same breath"
        phone.stop()

    drive(journey)


def test_another_copy_can_be_made_a_breath_later():
    async def journey() -> None:
        phone = await at_the_page()
        await phone.tap("save-whole")
        phone.world.pass_minutes(giving.BREATH / 60)
        await phone.tap("save-whole")
        assert len(phone.copies) == len(exports(phone)) == 2
        phone.stop()

    drive(journey)


def test_what_was_kept_since_goes_out_in_the_same_breath():
    async def journey() -> None:
        phone = await at_the_page()
        await phone.tap("save-whole")
        journal = phone.shelf.journals["REEDBED-HIDE"]
        phone.shelf.keep(journal, ({"what": "visit", "people": 2},))
        await phone.tap("save-whole")
        assert len(phone.copies) == len(exports(phone)) == 2
        first, second = (len(unpack(data).file.entries) for _, data in phone.copies)
        assert second == first + 2, "the copy, and what was kept since"
        phone.stop()

    drive(journey)


def test_a_client_that_never_answers_is_not_waited_for_for_ever(monkeypatch):
    asked: list[str] = []

    async def never(_phone: Phone, name: str, _data: bytes) -> bool:
        asked.append(name)
        return await asyncio.Event().wait()

    monkeypatch.setattr(Phone, "_put", never)

    async def journey() -> None:
        phone = await at_the_page()
        await phone.tap("save-whole")
        await phone.tap("save-whole")
        assert len(asked) == 1
        phone.world.pass_minutes(giving.PATIENCE / 60)
        await phone.tap("save-whole")
        assert len(asked) == 2 and exports(phone) == []
        phone.stop()

    drive(journey)


def test_a_client_that_does_not_manage_is_told(monkeypatch):
    tries: list[str] = []

    async def broken(_phone: Phone, name: str, _data: bytes) -> bool:
        tries.append(name)
        raise RuntimeError("no such permission")

    monkeypatch.setattr(Phone, "_put", broken)

    async def journey() -> None:
        phone = await at_the_page()
        for _ in range(2):
            await phone.tap("save-whole")
            assert phone.shows("reedbed-hide.json could not be put anywhere")
        assert len(tries) == 2 and exports(phone) == []
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- what a page can do


class Client:
    """Answers what a page asks of its client, in place of one."""

    def __init__(self, page: ft.Page, platform: ft.PagePlatform, answer: Any) -> None:
        self.asked: list[tuple[str, dict[str, Any]]] = []
        self.answer = answer
        page.platform = platform
        self._before, page.session.invoke_method = page.session.invoke_method, self

    async def __call__(self, ident: int, name: str, args: Any = None, timeout: Any = None) -> Any:
        if name not in ("share_files", "save_file"):
            return await self._before(ident, name, args, timeout)
        self.asked.append((name, args))
        if isinstance(self.answer, Exception):
            raise self.answer
        return self.answer


def with_means(monkeypatch, platform: ft.PagePlatform, answer: Any) -> list[Client]:
    """Let the page have the means of a real one, whose client answers so."""
    real, clients = app.Services, []

    def services(shelf: Any, *_means: Any, **_more: Any) -> Any:
        clients.append(Client(ft.context.page, platform, answer))
        return real(shelf, *means_of(ft.context.page))

    monkeypatch.setattr("headless.Services", services)
    return clients


SENT = {"status": "success", "raw": "mail"}
UNSENT = ({"status": "dismissed", "raw": ""}, {"status": "unavailable", "raw": ""}, TimeoutError())
MOBILE, LAPTOP = ft.PagePlatform.ANDROID, ft.PagePlatform.LINUX


def test_a_shared_file_is_what_the_log_says(monkeypatch):
    clients = with_means(monkeypatch, MOBILE, SENT)

    async def journey() -> None:
        phone = await at_the_page()
        await phone.tap("share-whole")
        ((name, asked),) = clients[0].asked
        (file,) = asked["files"]
        assert name == "share_files" and asked["download_fallback_enabled"] is False
        assert (file.name, file.mime_type) == ("reedbed-hide.json", "application/json")
        packed = pack((await phone.shelf.read("REEDBED-HIDE")).doc)
        assert exports(phone) == [packed.name]
        assert file.data.startswith(packed.data[:200]), "the log has grown by the copy since"
        await phone.tap("share-readings")
        (table,) = clients[0].asked[1][1]["files"]
        assert (table.name, table.mime_type) == ("reedbed-hide-readings.csv", "text/csv")
        assert exports(phone) == [packed.name]
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("answer", UNSENT, ids=str)
def test_a_share_that_did_not_go_is_told_and_not_logged(monkeypatch, answer):
    clients = with_means(monkeypatch, MOBILE, answer)

    async def journey() -> None:
        phone = await at_the_page()
        for _ in range(2):
            await phone.tap("share-whole")
            assert phone.shows("does not say that it went anywhere")
        assert len(clients[0].asked) == 2 and exports(phone) == []
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(("answer", "went"), [("/home/ida/hide.json", True), (None, False)])
def test_a_laptop_saves_and_offers_no_sharing(monkeypatch, answer, went):
    """Its dialog may be closed: then nothing went, and nothing is said of it."""
    clients = with_means(monkeypatch, LAPTOP, answer)

    async def journey() -> None:
        phone = await at_the_page()
        assert not phone.has("share-whole")
        await phone.tap("save-whole")
        ((name, asked),) = clients[0].asked
        assert (name, asked["file_name"]) == ("save_file", "reedbed-hide.json")
        assert exports(phone) == (["reedbed-hide.json"] if went else [])
        phone.stop()

    drive(journey)
