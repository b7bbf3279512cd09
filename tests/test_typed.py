"""What is typed quickly stays: the model's older text is never written over the client's newer one."""

from __future__ import annotations

from typing import Any

import pytest
from headless import Phone, drive
from test_spans_page import at_table

from fieldapp.typed import Typed


async def typed_on(phone: Phone, key: str, first: str, then: str) -> str:
    """Type one text; before it has come back, more of it is typed already. What stands there."""
    ident = phone.find(key)._i
    phone.session.apply_patch(ident, {"value": first})
    await phone.session.dispatch_event(ident, "change", first)  # the model has it, nothing is drawn
    phone.session.apply_patch(ident, {"value": then})
    await phone.settle()
    return phone.find(key).value


@pytest.mark.parametrize(("route", "key"), [("/", "code"), ("/settings", "name")])
def test_letters_typed_while_others_are_on_their_way_stay(route: str, key: str) -> None:
    async def run() -> None:
        phone = await Phone.start(link=route)
        await phone.settle()
        assert await typed_on(phone, key, "FA", "FAR") == "FAR"
        await phone.type(key, "FARE")
        assert phone.find(key).value == "FARE"

    drive(run)


def test_so_does_a_table() -> None:
    async def run() -> None:
        phone = await at_table()
        assert await typed_on(phone, "table", "id,from", "id,from,to") == "id,from,to"

    drive(run)


def shown(typed: Typed, key: str, text: str) -> str:
    """One drawing of a field."""
    import flet as ft

    field = ft.TextField(key=key, value=typed.stands(key, text))
    return typed.shows(key, field).value


class Event:
    """A change of a field."""

    def __init__(self, control: Any) -> None:
        self.control = control


def test_what_the_app_itself_puts_there_stands() -> None:
    """Cleared, taken from elsewhere, or another page: then the model's text counts."""
    typed, heard = Typed(), []
    assert shown(typed, "one", "") == ""
    field = typed._shown["one"]
    field.value = "ab"
    typed.hears("one", heard.append)(Event(field))
    field.value = "abc"
    assert shown(typed, "one", "ab") == "abc"
    assert shown(typed, "one", "") == "" and shown(typed, "one", "else") == "else"
    typed.leave()
    assert shown(typed, "one", "ab") == "ab" and len(heard) == 1
