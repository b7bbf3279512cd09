"""A state of a screen, and what is done to bring it about."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass

from headless import Phone
from screen_jobs import REEDBED, Doc

from fieldapp.handover.codes import code_text

Act = Callable[[Phone], Awaitable[None]]


@dataclass(frozen=True)
class State:
    """A state of a screen: jobs on the phone, where one goes, what one does there, what is seen."""

    name: str
    docs: Callable[[], tuple[Doc, ...]]
    route: str
    act: Act | None = None
    sees: tuple[str, ...] = ()
    """keys that must be there"""
    lacks: tuple[str, ...] = ()
    """keys that must not"""


def tapping(*keys: str) -> Act:
    async def act(phone: Phone) -> None:
        for key in keys:
            await phone.tap(key)

    return act


def typing(digits: str) -> Act:
    async def act(phone: Phone) -> None:
        await phone.digits(digits)

    return act


def filling(**fields: str) -> Act:
    async def act(phone: Phone) -> None:
        for key, text in fields.items():
            await phone.type(key.replace("__", "/").replace("_", "-"), text)

    return act


async def one_end_then_steps(phone: Phone) -> None:
    await phone.tap("end-J1.b")
    await phone.go(f"{REEDBED}/steps")


async def edits_name(phone: Phone) -> None:
    await phone.type("edit-boxes/E/name", "Gate post")


async def edits_nonsense(phone: Phone) -> None:
    await phone.type("edit-boxes/E/name", " ")


CODE = code_text("HERON-HIDE", "L1")


async def types_refused(phone: Phone) -> None:
    await phone.type("code", CODE)
    await phone.tap("code-open")


def one(doc: Callable[[], Doc]) -> Callable[[], tuple[Doc, ...]]:
    return lambda: (doc(),)


BAR = ("bar-now", "bar-run", "bar-leave")
