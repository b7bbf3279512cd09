"""What an installed page asks of its browser, carried out: watched, asked, renewed."""

from __future__ import annotations

import contextlib
from collections.abc import Awaitable, Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from engine.say import say
from fieldapp import messages as m
from fieldapp.installed import Installed, Link

if TYPE_CHECKING:
    from fieldapp.services import Send
    from fieldapp.shelf import Shelf

ANSWER_SECONDS = 1.0
"""so long after it was asked a browser has answered, ours"""


class Linked:
    """The effects of one session; without a link there is nothing to tell.

    What a browser's own calls raise is of no kind known here: none of it gets beyond this.
    """

    def __init__(
        self, link: Link | None, shelf: Shelf, save: Callable[[Any, Send], Awaitable[None]]
    ) -> None:
        """``save`` stores where one is."""
        self.link, self.shelf, self.save = link, shelf, save
        self.actions: dict[type, Callable[[Any, Send], Awaitable[None]]] = {
            m.WatchPhone: self._watch,
            m.AskToStay: self._ask,
            m.Renew: self._renew,
        }

    async def _watch(self, effect: m.WatchPhone, send: Send) -> None:
        """Until the session ends. Where that is sooner, nothing is claimed that nobody watches."""
        if self.link is None:
            return
        last: Installed | None = None
        try:
            async for last in self.link.states():
                send(m.PhoneSeen(last))
        except Exception:
            if last is not None:
                send(m.PhoneSeen(replace(last, offline=False, newer=False)))

    async def _ask(self, effect: m.AskToStay, send: Send) -> None:
        """A browser that cannot be asked made no promise."""
        with contextlib.suppress(Exception):
            if self.link is not None:
                await self.link.ask_to_stay()
        await self.shelf.world.wait(ANSWER_SECONDS)
        send(m.StayAnswered())

    async def _renew(self, effect: m.Renew, send: Send) -> None:
        """The place first; where it cannot be stored the page stays."""
        await self.save(m.SavePlace(effect.place), send)
        try:
            if self.link is not None:
                await self.link.renew()
        except Exception:
            send(m.Told(say("told-not-renewed")))
