"""The page behind the app, in place of a real one: what it is asked, what it is told, what comes
back; and a share that asks for a tap of its own holds nothing for another press."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from handed_page import exports
from headless import Phone, drive, warned
from samples import sample

from engine.say import say
from fieldapp import messages as m
from fieldapp.gathering import Gathering
from fieldapp.handover.documents import Made
from fieldapp.handover.giving import BLINK, PRESS, Hands, OwnTap, is_too_late
from fieldapp.installed import Installed
from fieldapp.linked import Linked
from fieldapp.phone.link import PageLink

STATE = {"version": "a1b2", "offline": True, "stays": None, "newer": False, "home": True}
SEEN = Installed("a1b2", offline=True, stays=None, newer=False, on_home=True)
DOC = warned(sample("reedbed-hide"))


class Page:
    """See ``link.Page``; what it answers stands in ``answers``, an exception is raised."""

    def __init__(self, **answers: Any) -> None:
        self.answers = {"states": STATE, "stay": {**STATE, "stays": True}, **answers}
        self.asked: list[tuple[str, Any]] = []
        self.told: list[tuple[str, Any]] = []
        self.news: Callable[[Any], None] = lambda news: None

    async def ask(self, what: str, detail: Any = None) -> Any:
        self.asked.append((what, detail))
        answer = self.answers.get(what)
        if isinstance(answer, Exception):
            raise answer
        return answer

    def tell(self, what: str, value: Any) -> None:
        self.told.append((what, value))

    def listen(self, heard: Callable[[Any], None]) -> None:
        self.news = heard


# ---------------------------------------------------------------- what it knows of itself


def test_the_state_comes_first_then_each_change_and_none_is_lost() -> None:
    async def journey() -> None:
        page = Page()
        link = PageLink(page)
        page.news({**STATE, "offline": False})  # before anybody looked
        states = link.states()
        assert await anext(states) == SEEN
        assert await anext(states) == replace(SEEN, offline=False)
        waiting = asyncio.ensure_future(anext(states))
        await asyncio.sleep(0)
        assert not waiting.done()
        page.news({**STATE, "newer": True})
        assert await waiting == replace(SEEN, newer=True)
        await states.aclose()

    asyncio.run(journey())


class Null:
    """What a browser's Python gives for the null of JavaScript: neither None nor true."""

    def __bool__(self) -> bool:
        return False


@pytest.mark.parametrize(("stays", "known"), [(True, True), (False, False), (Null(), None)])
def test_of_what_was_not_asked_nothing_is_known(stays: Any, known: bool | None) -> None:
    async def journey() -> None:
        link = PageLink(Page(states={**STATE, "stays": stays}))
        assert (await anext(link.states())).stays is known

    asyncio.run(journey())


def test_to_be_kept_is_asked_and_the_answer_comes_as_a_state() -> None:
    async def journey() -> None:
        page = Page()
        link = PageLink(page)
        states = link.states()
        await anext(states)
        await link.ask_to_stay()
        assert await anext(states) == replace(SEEN, stays=True)
        await link.renew()
        assert [what for what, _ in page.asked] == ["states", "stay", "renew"]

    asyncio.run(journey())


def test_a_page_that_fails_is_told_and_no_more_is_claimed() -> None:
    """Not asked for ever; a newer version that cannot be taken is said."""

    async def journey() -> None:
        async def wait(seconds: float) -> None:
            """A browser's answer is not waited for here."""

        shelf = SimpleNamespace(world=SimpleNamespace(wait=wait))
        trouble = RuntimeError("no such promise")
        link = PageLink(Page(stay=trouble, renew=trouble))
        said: list[Any] = []

        async def saved(effect: Any, send: Any) -> None:
            said.append(effect)

        linked = Linked(link, shelf, saved).actions
        await linked[m.AskToStay](m.AskToStay(), said.append)
        await linked[m.Renew](m.Renew({"route": "/"}), said.append)
        assert said == [
            m.StayAnswered(),
            m.SavePlace({"route": "/"}),
            m.Told(say("told-not-renewed")),
        ]
        silent = Linked(PageLink(Page(states=trouble)), shelf, saved).actions
        said.clear()
        await silent[m.WatchPhone](m.WatchPhone(), said.append)
        assert said == []

    asyncio.run(journey())


@pytest.mark.parametrize("look", ["sun", "dark", "phone"])
def test_the_page_is_dressed_as_was_chosen(look: str) -> None:
    """As the phone is: the page follows it by itself."""
    kept = {"look": look, "language": "de"}
    page = Page()
    link = PageLink(page)
    link.dress(SimpleNamespace(setting=kept.get))
    link.shown()
    assert page.told == [
        ("dressed", {"look": "" if look == "phone" else look, "language": "de"}),
        ("shown", True),
    ]


# ---------------------------------------------------------------- files


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("hide-record.pdf", "application/pdf"),
        ("hide-record.html", "text/html"),
        ("hide-readings.csv", "text/csv"),
        ("hide.json", "application/json"),
        ("farend-2031-06-03.zip", "application/zip"),
        ("hide-run.svg", "image/svg+xml"),
        ("hide.farend", "application/octet-stream"),
    ],
)
def test_a_file_goes_to_the_downloads_as_what_it_is(name: str, kind: str) -> None:
    page = Page(give=True)
    assert asyncio.run(PageLink(page).put(name, b"\x00\xff")) is True
    row = {"name": name, "type": kind, "bytes": b"\x00\xff"}
    assert page.asked == [("give", {"way": "save", "files": [row]})]


TWO = (Made("a.pdf", b"%PDF", "application/pdf", 1), Made("a.csv", b"1,2", "text/csv"))


@pytest.mark.parametrize(
    ("answer", "went"), [(True, True), (False, False), ("closed", None), (Null(), False)]
)
def test_what_came_of_a_share_is_what_the_page_says(answer: Any, went: bool | None) -> None:
    page = Page(give=answer)
    assert asyncio.run(PageLink(page).share(TWO)) is went
    rows = [{"name": one.name, "type": one.media, "bytes": one.data} for one in TWO]
    assert page.asked == [("give", {"way": "share", "files": rows})]


def test_a_file_that_was_not_wanted_went_nowhere() -> None:
    assert asyncio.run(PageLink(Page(give="closed")).put("a.csv", b"")) is False


def test_a_page_that_breaks_while_it_gives_says_so() -> None:
    link = PageLink(Page(give=RuntimeError("out of memory")))
    with pytest.raises(RuntimeError, match="out of memory"):
        asyncio.run(link.put("a.csv", b""))


# ---------------------------------------------------------------- a tap of its own


async def other(files: Any) -> bool:
    """A share as a laptop's page has it."""
    return True


def test_only_a_share_with_a_tap_of_its_own_is_never_too_late() -> None:
    own = PageLink(Page()).share
    assert isinstance(own, OwnTap)
    assert [is_too_late(share, PRESS + 1) for share in (other, own, None)] == [True, False, True]
    assert not is_too_late(other, PRESS)


class Slow:
    """Stands before the clock of a phone: each look at it costs so much. [s]"""

    def __init__(self, real: Callable[[], float]) -> None:
        self.real, self.step, self.passed = real, 0.0, 0.0

    def __call__(self) -> float:
        self.passed += self.step
        return self.real() + self.passed


def told(heard: list[Any]) -> list[str]:
    """What of it is said to whoever holds the phone, by its code."""
    return [one.say.code for one in heard if isinstance(one, m.Told)]


SHARES = m.CopyOff("REEDBED-HIDE", what="whole", way=m.SHARE)


@pytest.mark.parametrize(
    ("answer", "said"), [(True, ""), (False, "told-share-unknown"), ("closed", "")]
)
def test_what_took_long_is_given_to_the_page_at_once(answer: Any, said: str) -> None:
    """Logged only where it went; who closed the sheet knows that it did not."""

    async def journey() -> None:
        phone = await Phone.start(docs=(DOC,))
        phone.world.elapsed = Slow(phone.world.elapsed)
        page, heard = Page(give=answer), []
        hands = Hands(phone.shelf)

        async def keep(effect: m.Keep, send: Any) -> None:
            phone.shelf.keep(await phone.shelf.journal(effect.job), effect.drafts)

        phone.world.elapsed.step = PRESS + BLINK
        await hands.give(SHARES, heard.append, None, other, keep)
        assert told(heard) == ["told-made-now"], "a laptop's browser would not take it now"
        assert exports(phone) == []
        heard.clear()
        await Hands(phone.shelf).give(SHARES, heard.append, None, PageLink(page).share, keep)
        assert [one["name"] for _, asked in page.asked for one in asked["files"]] == [
            "reedbed-hide.json"
        ]
        assert told(heard) == ([said] if said else [])
        assert exports(phone) == (["reedbed-hide.json"] if answer is True else [])
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(("answer", "said"), [(True, "told-everything-out"), ("closed", "")])
def test_everything_that_took_long_too(answer: Any, said: str) -> None:
    async def journey() -> None:
        phone = await Phone.start(docs=(DOC,))
        await phone.shelf.journal("REEDBED-HIDE")
        phone.world.elapsed = Slow(phone.world.elapsed)
        phone.world.elapsed.step = PRESS + BLINK
        page, heard = Page(give=answer), []
        gathering = Gathering(phone.shelf, None, PageLink(page).share)
        await gathering.give(m.GiveAll(m.SHARE), heard.append)
        assert len(page.asked) == 1
        assert told(heard) == ([said] if said else [])
        assert len(exports(phone)) == (answer is True)
        phone.stop()

    drive(journey)
