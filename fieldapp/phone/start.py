"""The app in a phone's browser: what the page's worker imports, and begins once it has the lock.

The only room that knows Pyodide's own modules, besides the store's adapter.
"""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Callable
from typing import Any

from fieldapp.phone.methods import use

use()  # before whatever is imported: what classes write of themselves was compiled beforehand

import farend_page  # noqa: E402
import flet as ft  # noqa: E402
import js  # noqa: E402
from pyodide.ffi import create_proxy, to_js  # noqa: E402

from fieldapp import messages as m  # noqa: E402
from fieldapp.app import main_for  # noqa: E402
from fieldapp.means import means_of  # noqa: E402
from fieldapp.phone.link import PageLink  # noqa: E402
from fieldapp.services import Services, World  # noqa: E402
from fieldapp.shelf import Shelf  # noqa: E402
from fieldapp.store import Store, StoreBusy  # noqa: E402
from fieldapp.store.opfs import open_opfs  # noqa: E402

TRIES, APART = 30, 0.1
"""a page that was just closed may hold its files for a moment longer than its lock (ours) [s]"""


async def begin() -> None:
    """Open the store and let Flet's client in. Raises as ``open_opfs`` does."""
    world, page = World(), _Page()
    link = PageLink(page)
    store = await _opened(world)
    page.close_with(store.close)
    link.dress(store)
    shelf = Shelf(store, world)
    main = main_for(lambda page: _services(shelf, link, page))

    async def shown(page: ft.Page) -> None:
        await main(page)
        link.shown()

    ft.run(shown)


class _Page:
    """See ``link.Page``."""

    async def ask(self, what: str, detail: Any = None) -> Any:
        answer = await farend_page.ask(what, _as_js(detail))
        return answer.to_py() if hasattr(answer, "to_py") else answer

    def tell(self, what: str, value: Any) -> None:
        farend_page.tell(what, _as_js(value))

    def listen(self, heard: Callable[[Any], None]) -> None:
        farend_page.listen(create_proxy(lambda news: heard(news.to_py())))

    def close_with(self, close: Callable[[], None]) -> None:
        """What is done before another window takes over."""
        farend_page.closing(create_proxy(close))


def _as_js(value: Any) -> Any:
    return to_js(value, dict_converter=js.Object.fromEntries)


async def _opened(world: World) -> Store:
    folder = await farend_page.folder()
    tries = 0
    while True:
        try:
            return await open_opfs(folder, now=world.stamp, draw=lambda: secrets.token_hex(4))
        except StoreBusy:
            tries += 1
            if tries == TRIES:
                raise
            await asyncio.sleep(APART)


def _services(shelf: Shelf, link: PageLink, page: ft.Page) -> Services:
    _, comforts, redraw, shares = means_of(page)
    services = Services(
        shelf, link.put, comforts, redraw, link.share if shares is not None else None, link=link
    )
    keep = services.actions[m.PutSetting]

    async def keep_and_dress(effect: m.PutSetting, send: Callable[[Any], None]) -> None:
        await keep(effect, send)
        link.dress(shelf.store)

    services.actions[m.PutSetting] = keep_and_dress
    return services
