"""The pages of sheets on the phone, and one sheet typed in a real browser."""

from __future__ import annotations

from typing import Any

import pytest
from headless import Phone, drive
from real_app import on_site, serve
from samples import sample
from sheets_typed import J

from engine.sheets import AS_TYPED
from fieldapp import words
from fieldapp.routes import place_of
from fieldapp.sheetquestions import TABLE, asks

__all__ = ["on_site", "serve"]


# ---------------------------------------------------------------- on the phone


def test_the_list_says_what_is_in_use_what_is_generic_and_what_each_would_do():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/sheets/C4")
        for _ in range(3):
            await phone.settle()
        in_use = phone.texts(phone.find("sheet-my.cable"))
        assert words.sheet_in_use() in in_use and words.sheet_generic() not in in_use
        other = phone.texts(phone.find("sheet-generic.cat5e-outdoor"))
        assert words.sheet_generic() in other and words.sheet_in_use() not in other
        assert any(line.endswith("at worst") for line in other)
        clad = phone.texts(phone.find("sheet-generic.clad-10"))
        assert words.sheet_outcome(True, False, None, 0) in clad
        assert not phone.shows(words.sheet_trying())
        await phone.tap("sheet-my.cable")
        assert (
            phone.route == f"{J}/plan/C4" and not phone.shelf.journals["REEDBED-HIDE"].records[1:]
        )
        await phone.go(f"{J}/sheets/Q9")
        assert phone.shows(words.not_in_job("Q9"))
        await phone.go(f"{J}/newsheet/Q9")
        assert phone.shows(words.not_in_job("Q9"))
        phone.stop()

    drive(journey)


def test_another_cable_is_one_press_and_the_plan_goes_by_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/sheets/C4")
        await phone.settle()
        await phone.tap("sheet-generic.cat6a-22-outdoor")
        added, put = phone.shelf.journals["REEDBED-HIDE"].records[-2:]
        assert added["path"] == ["sheets", "generic.cat6a-22-outdoor"]
        assert (put["path"], put["was"]) == (["spans", "C4", "cable"], "my.cable")
        assert phone.route == f"{J}/plan/C4"
        await phone.go(f"{J}/sheets/C4")
        used_now = phone.texts(phone.find("sheet-generic.cat6a-22-outdoor"))
        assert words.sheet_in_use() in used_now
        phone.stop()

    drive(journey)


def test_a_sheet_of_one_s_own_is_typed_used_and_changed_for_both():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/sheets/L2")
        await phone.tap("type-own")
        assert phone.route == f"{J}/newsheet/L2" and phone.shows(words.own_follow(("L1", "L2")))
        await phone.tap("begin-my.longspan")
        assert phone.shows(words.own_progress(1, 12))
        await phone.tap("on")
        for key in "99":
            await phone.tap(f"own-{key}")
        await phone.tap("own-9")
        await phone.tap("on")
        assert phone.shows("It can be") and phone.shows("999")
        for _ in range(3):
            await phone.tap("own-rub")
        assert phone.shows(words.own_keep("2 to 3"))
        await phone.tap("on")
        assert phone.shows(words.own_progress(3, 12))
        await phone.tap("back")
        await phone.tap("on")
        for _ in range(10):
            await phone.tap("on")
        assert not phone.takes("use")
        await phone.type("own-title", "Wader 2")
        await phone.tap("use")
        added, put = phone.shelf.journals["REEDBED-HIDE"].records[-2:]
        assert added["path"] == ["sheets", "my.wader-2"] and put["path"] == ["boxes", "L2", "sheet"]
        assert phone.route == f"{J}/plan/L2"

        await phone.go(f"{J}/newsheet/L1")
        await phone.tap("change")
        assert not phone.takes("use") and phone.shows(words.own_unchanged())
        await phone.tap("ask-cutoff_volts")
        for key in "38":
            await phone.tap(f"own-{key}")
        await phone.tap("on")
        await phone.tap("use")
        changed = phone.shelf.journals["REEDBED-HIDE"].records[-1]
        assert changed["path"] == ["sheets", "my.longspan"]
        assert changed["value"]["cutoff_volts"] == 38
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("thing", ["S", "L1", "A2", "J1", "C", "C1", "M1"])
@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_every_page_of_every_kind_can_be_drawn(thing, scale):
    """Flet takes each control of the list and of every question, and the words are whole."""

    async def journey() -> None:
        doc = sample("reedbed-hide")
        phone = await Phone.start(docs=(doc,), link=f"{J}/sheets/{thing}", scale=scale)
        await phone.tap("type-own")
        begins = [key for key in phone.keys if key.startswith("begin-")]
        await phone.tap(begins[-1])
        seen = set()
        while not phone.has("own-title"):
            assert phone.route == f"{J}/newsheet/{thing}"
            seen.add(phone.texts())
            await phone.tap("on")
        assert len(seen) == len(TABLE[_kind(doc, thing)]) - _passed(begins[-1], seen)
        phone.stop()

    drive(journey)


def _kind(doc: dict[str, Any], thing: str) -> str:
    every = [*doc["boxes"], *doc["spans"], *doc["meters"]]
    row = next(one for one in every if one["id"] == thing)
    return doc["sheets"][row.get("sheet") or row["cable"]]["kind"]


def _passed(begin: str, seen: set) -> int:
    """How many questions of the table do not apply to a starter sheet, less those that follow."""
    template = AS_TYPED[begin.removeprefix("begin-")]
    return len(TABLE[template["kind"]]) - len(asks(template))


def test_the_phone_s_back_leads_from_both_pages_to_the_thing_in_the_plan():
    async def journey() -> None:
        for page in ("sheets", "newsheet"):
            phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{J}/{page}/L2")
            await phone.back()
            assert phone.route == f"{J}/plan/L2" and place_of(phone.route).at == "L2"
            phone.stop()

    drive(journey)


# ---------------------------------------------------------------- in a real browser


@pytest.mark.slow
@pytest.mark.browser
def test_a_joint_of_one_s_own(on_site) -> None:
    """From the list to its questions, one figure typed, one chosen, named, used: the box has it."""
    hand, held = on_site(sample("reedbed-hide"))
    hand.go(f"{J}/sheets/J1")
    hand.wait_for("at worst")
    hand.tap(words.type_own(), role="button")
    hand.wait_route(f"{J}/newsheet/J1")
    hand.tap("Gel joint, outdoor", role="button")
    hand.wait_for(words.own_progress(1, 3))
    for key in (words.FIXED.reading_key_point, "5"):
        hand.tap(key, exact=True)
    hand.tap(words.own_take(f"0.5{words.NBSP}Ω"), role="button")
    hand.tap(words.own_keep(words.own_value("pairs", 4, 1)), role="button")
    hand.tap(words.own_choice("outdoor", False), exact=True)
    hand.type_into(words.own_name(), "Marsh 7")
    hand.tap(words.own_use("J1"), role="button")
    hand.wait_route(f"{J}/plan/J1")
    added, put = held().records[-2:]
    assert added["path"] == ["sheets", "my.marsh-7"]
    assert (put["path"], put["value"]) == (["boxes", "J1", "sheet"], "my.marsh-7")
    sheet = added["value"]
    assert (sheet["ohms_per_conductor"], sheet["pairs"], sheet["outdoor"]) == (0.5, 4, False)
