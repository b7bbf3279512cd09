"""The entry of the packages that Flet builds for a phone: the app on the phone's own files.

``[tool.flet]`` in ``pyproject.toml`` names it. Flet starts it in the same process as its client,
in a folder of the app's own that outlives updates. Imports nothing compiled and nothing that
only a laptop has. Not run here: the phone itself; all but it is (``tests/test_phone_builds.py``).

Source: read in flet-cli 1.0.5 and in Flet's build template.
"""

from __future__ import annotations

import asyncio
import os
import secrets
from collections.abc import Awaitable, Callable
from pathlib import Path

import flet as ft

from fieldapp.app import main_for
from fieldapp.faces import font_files
from fieldapp.means import means_of
from fieldapp.services import Services, World
from fieldapp.shelf import Shelf
from fieldapp.store.files import open_files

DATA = "FLET_APP_STORAGE_DATA"
"""where Flet says which folder is the app's own and is kept"""
ASSETS = "assets"

Main = Callable[[ft.Page], Awaitable[None]]


async def shelf_in(folder: Path) -> Shelf:
    """The jobs in a folder, which is made if need be. Raises StoreError."""
    world = World()
    store = await open_files(folder, now=world.stamp, draw=lambda: secrets.token_hex(4))
    return Shelf(store, world)


def main_on(shelf: Shelf) -> Main:
    """What Flet calls for each session: the app on these jobs, in its own letters.

    Android may keep the process and begin another session in it: the jobs stay open all along.
    """
    inner = main_for(lambda page: Services(shelf, *means_of(page)))

    async def main(page: ft.Page) -> None:
        page.fonts = font_files()  # the patched browser client has them built in, this one not
        await inner(page)

    return main


async def start(folder: Path, run: Callable[..., Awaitable[None]] = ft.run_async) -> None:
    """Open the jobs and run the app on them until it is closed.

    Raises StoreError where they cannot be opened; Flet's client then shows what it was.
    """
    shelf = await shelf_in(folder)
    try:
        await run(main_on(shelf), assets_dir=ASSETS)
    finally:
        shelf.store.close()


if __name__ == "__main__":
    asyncio.run(start(Path(os.environ[DATA])))
