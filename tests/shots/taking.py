"""Taking pictures: the app on a folder of its own, a phone that goes to each place."""

from __future__ import annotations

import asyncio
import json
import os
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from pictured_jobs import ROOT

from fieldapp import words
from fieldapp.store.files import open_files
from shots.shot import SETTLE, Shot
from shots.states import LARGE, every_page

if TYPE_CHECKING:
    from browser import Phone

LOOKS = {"sun": "light", "dark": "dark"}
WINDOWS = {"phone": (390, 844), "wide": (1180, 820), "wider": (1240, 900), "turned": (844, 390)}
"""the sizes of windows [px]"""
WAYS = ("large", "german", *LOOKS, *WINDOWS)
SETTING = words.setting_name("lengths")
"""what the page has that each picture is begun from"""
DOUBLE = """document.addEventListener("readystatechange",
  () => { document.documentElement.style.fontSize = "32px"; });"""


async def _chosen(folder: Path, **settings: str | bool) -> None:
    """A folder of the app's in which this is chosen already."""
    store = await open_files(folder, now=lambda: "2031-06-03T08:00:00Z", draw=lambda: "d0d0")
    for name, value in settings.items():
        store.put_setting(name, value)
    store.close()


@contextmanager
def served(*docs: dict | str, code: str = "") -> Iterator[str]:
    """The app on a folder of its own, with these jobs in it, in the language that is spoken
    here; its address. Of a job that is only named the journal cannot be read. ``code`` starts it
    in a way of its own."""
    from app_process import start_app

    with tempfile.TemporaryDirectory() as folder:
        whole = [doc for doc in docs if not isinstance(doc, str)]
        files = [Path(folder) / f"{n}.json" for n, _ in enumerate(whole)]
        for file, doc in zip(files, whole, strict=True):
            file.write_text(json.dumps(doc), encoding="utf-8")
        data = str(Path(folder) / "data")
        choosing = _chosen(Path(data), language=words.manner().language, asked_to_stay=True)
        with ThreadPoolExecutor() as pool:  # the browser has a loop running in this thread
            pool.submit(asyncio.run, choosing).result()
        for name in (doc for doc in docs if isinstance(doc, str)):
            torn = Path(data) / "jobs" / f"{name}.journal"
            torn.write_text("no journal at all\n", encoding="utf-8")
        args = ["--no-browser", "--port", "0", "--data", data, *map(str, files)]
        paths = os.pathsep.join((str(ROOT), os.environ.get("PYTHONPATH", "")))
        module = ["-c", code] if code else ["-m", "fieldapp"]
        app = start_app([sys.executable, *module, *args], {"PYTHONPATH": paths})
        try:
            yield app.url
        finally:
            app.kill9()


def take(hand: Phone, url: str, shots: tuple[Shot, ...], folder: Path, look: str) -> list[str]:
    """Photograph the shots one after another; what went wrong, one line each."""
    troubles = []
    hand.open(url)
    hand.pause(SETTLE)
    for shot in shots:
        hand.go("/settings")
        hand.wait_route("/settings")
        try:
            if shot.place != "/settings":  # a slow machine shows the last place a while longer
                hand.wait_for(SETTING)
                hand.go(shot.place)
                hand.wait_gone(SETTING)
            hand.pause(SETTLE)
            shot.act(hand)
        except AssertionError as trouble:
            troubles.append(f"{shot.name} {look}: {str(trouble).splitlines()[0]}")
        hand.pause(SETTLE / 2)
        hand.screenshot(folder / f"{shot.name}-{look}.png")
    troubles += [f"{look}: console: {line}" for line in hand.console_errors]
    troubles += [f"{look}: outside: {line}" for line in hand.outside_requests]
    return troubles


def take_all(folder: Path, ways: tuple[str, ...], names: tuple[str, ...] = ()) -> int:
    """Write all pictures into `folder`; 1 if something went wrong on the way."""
    from browser import chromium_path, phone
    from playwright.sync_api import sync_playwright

    large = "large" in ways
    looks = {look: colour for look, colour in LOOKS.items() if look in ways} or LOOKS
    size = WINDOWS[next((way for way in ways if way in WINDOWS), "phone")]
    folder.mkdir(parents=True, exist_ok=True)
    executable = chromium_path()
    if executable is None:
        print("no Chromium: install one, or set FAREND_CHROMIUM to its path", file=sys.stderr)
        return 2
    troubles = []
    with sync_playwright() as playwright:
        for shots, docs, code in every_page():
            if large:
                shots = tuple(shot for shot in shots if shot.name in LARGE)
            if names:
                shots = tuple(shot for shot in shots if shot.name.startswith(names))
            for look, colour in looks.items() if shots else ():
                window = phone(playwright, executable, colour=colour, size=size)
                with served(*docs, code=code) as url, window as hand:
                    if large:
                        hand.page.add_init_script(DOUBLE)
                    name = "-".join((look, *(way for way in ways if way not in LOOKS)))
                    troubles += take(hand, url, shots, folder, name)
    print("\n".join(troubles))
    return 1 if troubles else 0
