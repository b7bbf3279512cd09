"""The way onto a phone that others build: Flet's own packages.

No package is built here: that takes Flutter's tools. What can be had without them is held: the
keys that the configuration uses, the files that it names, and the app behind its entry.
"""

from __future__ import annotations

import asyncio
import json
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import flet as ft
import pytest
from flet.controls.context import _context_page
from flet.messaging.protocol import Message, MessageAction, RegisterClientResponseBody
from flet.messaging.session import Session

from engine.jobfile import read_job
from fieldapp import main as entry
from fieldapp import words
from fieldapp.assets.icons.build_icons import PICTURES
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.faces import FACES
from fieldapp.store.errors import StoreBusy
from tests.headless import TURNS, _Wire, readable, walk
from tests.test_architecture import compiled, tops

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
FLET = PROJECT["tool"]["flet"]
APP = ROOT / FLET["app"]["path"]

# ---------------------------------------------------------------- Flet's packages

# Those of the keys that flet-cli 1.0.5 reads which are used; a table is named as a whole where
# its keys are the platform's own. Read in its commands and in its template.
READ = {
    "org",
    "bundle_id",
    "product",
    "copyright",
    "icon_background",
    "app.path",
    "app.module",
    "app.exclude",
    "dev_packages.*",
    "splash.color",
    "splash.dark_color",
    "boot_screen.name",
    *(
        f"boot_screen.flet.{key}"
        for key in (
            "theme_mode",
            "bgcolor_light",
            "bgcolor_dark",
            "spinner_color_light",
            "spinner_color_dark",
            "spinner_size",
            "prepare_message",
            "startup_message",
        )
    ),
    "android.dependencies",
    "android.min_sdk_version",
    "android.permission.*",
    "android.gradle_properties.*",
    "android.manifest_application.*",
    "ios.dependencies",
    "ios.info.*",
}


def keys(table: dict[str, Any], before: str = "") -> Iterator[str]:
    for name, value in table.items():
        here = f"{before}{name}"
        if f"{before}*" in READ:
            yield f"{before}*"
        elif isinstance(value, dict):
            yield from keys(value, f"{here}.")
        else:
            yield here


def test_every_key_is_one_that_the_builder_reads():
    assert set(keys(FLET)) == READ


def test_the_entry_the_pictures_and_the_letters_are_where_the_builder_looks():
    assert (APP / f"{FLET['app']['module']}.py").is_file()
    for name in ("icon.png", "splash.png", "splash_dark.png"):
        assert name in PICTURES and (APP / "assets" / name).is_file()
    assert all((APP / "assets" / face.file).is_file() for face in FACES.values())


def test_the_source_is_not_taken_twice():
    """The folders come inside the package itself; the entry's folder holds the assets alone."""
    left_out = FLET["app"]["exclude"]
    assert all((APP / name).exists() for name in left_out)
    folders = {path.name for path in APP.iterdir() if path.is_dir()} - {"__pycache__", "assets"}
    assert folders == {name for name in left_out if "/" not in name}
    name = PROJECT["project"]["name"]
    assert FLET["dev_packages"] == {name: "."}
    assert FLET["android"]["dependencies"] == FLET["ios"]["dependencies"] == [name]


def test_a_package_asks_the_phone_for_nothing_and_has_our_colours():
    assert set(FLET["android"]["permission"].values()) == {False}
    assert "android.permission.INTERNET" in FLET["android"]["permission"]  # else it is given
    boot = FLET["boot_screen"]["flet"]
    assert FLET["splash"]["color"] == boot["bgcolor_light"] == SUN["ground"]
    assert FLET["splash"]["dark_color"] == boot["bgcolor_dark"] == DARK["ground"]
    assert FLET["icon_background"] == SUN["ground"]
    spinners = boot["spinner_color_light"], boot["spinner_color_dark"]
    assert spinners == (SUN["copper"], DARK["copper"])
    assert set(FLET["ios"]["info"]["CFBundleLocalizations"]) == set(words.LANGUAGES)


# ---------------------------------------------------------------- the app behind the entry


async def shown(main: entry.Main) -> tuple[ft.Page, list[str]]:
    """One session of it, and what can be read."""
    wire = _Wire()
    session = Session(wire)
    _context_page.set(session.page)

    async def client(*_: Any, **__: Any) -> None:
        """A phone that answers nothing."""

    session.invoke_method = client
    body = RegisterClientResponseBody(
        session_id=session.id, page_patch=session.get_page_patch(), error=""
    )
    wire.send_message(Message(MessageAction.REGISTER_CLIENT, body))
    await main(session.page)
    for _ in range(TURNS):
        await asyncio.sleep(0)
    assert wire.crashes == []
    session._Session__closed = True
    session._Session__updates_ready.set()
    await asyncio.sleep(0)
    return session.page, [text for one in walk(session.page.views) for text in readable(one)]


def test_the_entry_shows_the_jobs_of_the_apps_own_folder_in_its_own_letters(tmp_path):
    """Twice in one process, as Android may; what was kept before is there."""
    sample = json.loads((ROOT / "sample_jobs/reedbed-hide.json").read_text("utf-8"))
    seen = []

    async def run(main: entry.Main, assets_dir: str) -> None:
        assert (APP / assets_dir / "fonts").is_dir()
        with pytest.raises(StoreBusy):
            await entry.shelf_in(tmp_path / "data")
        for _ in range(2):
            seen.append(await shown(main))

    async def both() -> None:
        await entry.start(tmp_path / "data", run)
        shelf = await entry.shelf_in(tmp_path / "data")
        await shelf.bring_in(read_job(sample), "reedbed-hide.json")
        shelf.store.close()
        await entry.start(tmp_path / "data", run)

    asyncio.run(both())

    assert [words.FIXED.no_jobs in texts for _, texts in seen] == [True, True, False, False]
    assert [sample["title"] in texts for _, texts in seen] == [False, False, True, True]
    letters = {face.family: face.file for face in FACES.values()}
    assert all(page.fonts == letters for page, _ in seen)


_AS_PACKAGED = """
import json, runpy, sys
import flet

async def run(main, assets_dir):
    print(json.dumps([callable(main), assets_dir, {
        name: getattr(module, "__file__", None) or "" for name, module in sys.modules.items()
    }]))

flet.run_async = run
sys.path.insert(0, sys.argv[1])
runpy.run_module("main", run_name="__main__")
"""


def test_as_packaged_it_starts_and_takes_nothing_that_only_a_laptop_has(tmp_path):
    """The entry's folder as the builder leaves it stands first on the path, as on a phone."""
    app = tmp_path / "app"
    shutil.copytree(APP, app, ignore=lambda *_: {"__pycache__", *map(str, FLET["app"]["exclude"])})
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", _AS_PACKAGED, str(app)],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={entry.DATA: str(tmp_path / "data"), "PATH": "", "HOME": str(tmp_path)},
        timeout=60,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    is_main, assets, rows = json.loads(done.stdout)
    assert (is_main, assets) == (True, "assets")
    assert (tmp_path / "data" / "jobs").is_dir()
    laptop = {"flet_web", "flet_desktop", "uvicorn", "starlette", "fastapi", "webbrowser"}
    assert not tops(rows) & (laptop | {"fontTools", "numpy"})
    assert tops(compiled(rows)) <= {"msgpack"}  # which Flet brings, with a pure form of its own
    assert not [name for name, file in rows.items() if file.startswith(str(app))]
