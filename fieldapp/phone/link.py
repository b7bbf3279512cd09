"""The page that stands behind the app in a phone's browser: what it is asked, and what it tells.

Only what a page can do and a worker cannot: ask the browser to keep what is here, take a newer
version, put files among the downloads, open the phone's share sheet.
"""

from __future__ import annotations

import asyncio
import mimetypes
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from typing import Any, Protocol

from fieldapp.handover.documents import Made
from fieldapp.handover.giving import OwnTap
from fieldapp.installed import Installed
from fieldapp.settings import settings_kept
from fieldapp.store import Store

ANY = "application/octet-stream"
WENT, CLOSED = True, "closed"
"""what the page says of files it was to give: they went; whoever holds the phone would not"""


class Page(Protocol):
    """What ``worker.js`` brings, in plain Python values."""

    async def ask(self, what: str, detail: Any = None) -> Any:
        """Have the page do something, and wait for what comes of it. Raises what it says."""

    def tell(self, what: str, value: Any) -> None:
        """Let the page know."""

    def listen(self, heard: Callable[[Any], None]) -> None:
        """Be told of what changes there."""


class PageLink:
    """See ``installed.Link``; and the ways out for files."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._changed = asyncio.Queue[Installed]()
        page.listen(lambda news: self._changed.put_nowait(installed(news)))
        self.share = OwnTap(self._share)
        """shares within a tap, one of its own where the press is over"""

    async def states(self) -> AsyncIterator[Installed]:
        """What the page knows of itself now, then each change."""
        yield installed(await self._page.ask("states"))
        while True:
            yield await self._changed.get()

    async def ask_to_stay(self) -> None:
        """Ask the browser not to clear what is kept; the answer comes as a state."""
        self._changed.put_nowait(installed(await self._page.ask("stay")))

    async def renew(self) -> None:
        """Take the newer version: the page loads anew."""
        await self._page.ask("renew")

    async def put(self, name: str, data: bytes) -> bool:
        """Put a file among the downloads. A browser does not say where."""
        media = mimetypes.guess_type(name)[0] or ANY
        return bool(await self._give("save", [(name, media, data)]))

    async def _share(self, files: Sequence[Made]) -> bool | None:
        """Whether the phone says that they went somewhere; None: it was closed."""
        return await self._give("share", [(one.name, one.media, one.data) for one in files])

    async def _give(self, way: str, files: Sequence[tuple[str, str, bytes]]) -> bool | None:
        rows = [{"name": name, "type": media, "bytes": data} for name, media, data in files]
        answer = await self._page.ask("give", {"way": way, "files": rows})
        return None if answer == CLOSED else answer is WENT

    def shown(self) -> None:
        """The app's first screen is on its way: the page's own may go."""
        self._page.tell("shown", True)

    def dress(self, store: Store) -> None:
        """Let the page's own words and colours be those that were chosen."""
        chosen = settings_kept(store.setting)
        look = "" if chosen.look == "phone" else chosen.look
        self._page.tell("dressed", {"look": look, "language": chosen.language})


def installed(state: Mapping[str, Any]) -> Installed:
    """A page's state as the app takes it. That Python runs here at all means that the lock and the
    files are held: what is left to know of use without signal is the service worker.
    """
    stays = state["stays"]  # a browser's own null is no None
    return Installed(
        version=str(state["version"]),
        offline=bool(state["offline"]),
        stays=stays if isinstance(stays, bool) else None,
        newer=bool(state["newer"]),
        on_home=bool(state["home"]),
    )
