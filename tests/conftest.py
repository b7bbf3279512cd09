"""How the suite is shared out and how patient it is; fixtures that need a real browser."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

from engine.showable import showable

# Imported where they are used: tests that need no browser must run without Playwright too.
if TYPE_CHECKING:
    from browser import Phone
    from playwright.sync_api import Playwright

    from fieldapp.handover.page import Record

# How long one example takes says how busy the machine is, not whether the engine is right.
# The browser's Python brings settings of its own.
if sys.platform != "emscripten":
    slow = [*settings().suppress_health_check, HealthCheck.too_slow]
    # so many random examples of each where a test does not say; more of them by hand
    examples = int(os.environ.get("FAREND_EXAMPLES", "50"))
    settings.register_profile(
        "patient",
        settings(),
        deadline=None,
        suppress_health_check=slow,
        max_examples=examples,
    )
    settings.load_profile("patient")


def pytest_configure(config: pytest.Config) -> None:
    """With workers (`-n 2`) a file goes to one of them whole, so that its fixtures are made once,
    and the files go in the order of the collection."""
    if config.getoption("dist", "no") == "load":
        config.option.dist, config.option.loadscopereorder = "loadfile", False


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Slow ones are run by who asks for them. A worker begins with the files that drive a browser:
    they take longest, and at the end there are short ones to even things out."""
    if not config.option.markexpr and sys.platform != "emscripten":
        named = [arg for arg in config.args if "::" in arg]
        slow = [item for item in items if item.get_closest_marker("slow") and not named]
        if slow:
            config.hook.pytest_deselected(items=slow)
            items[:] = [item for item in items if item not in set(slow)]
    if hasattr(config, "workerinput"):
        driving = {item.path for item in items if item.get_closest_marker("browser")}
        items.sort(key=lambda item: item.path not in driving)


def _absent(reason: str) -> None:
    """Skip, except on a build server, where a test that did not run must not look green."""
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of a Chromium to drive."""
    if find_spec("playwright") is None:
        _absent("no Playwright: install the 'test' extra")
    from browser import chromium_path

    path = chromium_path()
    if path is None:
        _absent("no Chromium: install one, or set FAREND_CHROMIUM to its path")
    return path


# One for each test: while it lives it runs an event loop, and other tests start their own.
@pytest.fixture
def _playwright(chromium: str) -> Iterator[Playwright]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture
def new_phone(_playwright: Playwright, chromium: str) -> Iterator[Callable[..., Phone]]:
    """Makes phones: `new_phone(size=(360, 740), scale=2, colour="dark", profile=folder)`."""
    from browser import phone

    with ExitStack() as stack:
        yield lambda **look: stack.enter_context(phone(_playwright, chromium, **look))


PROGRAMS = {
    **dict.fromkeys(("pdfinfo", "pdftotext", "pdffonts", "pdfimages", "pdftoppm"), "poppler-utils"),
    "qpdf": "qpdf",
    "zbarimg": "zbar-tools",
    "convert": "imagemagick",
}
"""general-purpose programs that read what is handed over, and the Debian package of each"""


@pytest.fixture(scope="session")
def outside() -> Callable[..., bytes]:
    """Runs a program of ``PROGRAMS`` on some arguments and gives what it prints."""

    def run(name: str, *arguments: object, fine: tuple[int, ...] = (0,)) -> bytes:
        path = shutil.which(name)
        if path is None:
            _absent(f"no {name} on the path: install the package {PROGRAMS[name]}")
        done = subprocess.run([path, *map(str, arguments)], capture_output=True, check=False)
        assert done.returncode in fine, done.stderr.decode(errors="replace")
        return done.stdout

    return run


@pytest.fixture
def read(outside: Callable[..., bytes], tmp_path: Path) -> Callable[..., str]:
    """What a program says of a document, a ``Document`` of ``handover.pdf``."""

    def run(document: object, name: str, *arguments: object) -> str:
        path = tmp_path / "one.pdf"
        path.write_bytes(document.file())
        outside("qpdf", "--check", path)
        tail = ("-",) if name == "pdftotext" else ()
        return outside(name, *arguments, path, *tail).decode("utf-8")

    return run


@pytest.fixture
def pixels(outside: Callable[..., bytes], tmp_path: Path) -> Callable[[object], list[bytes]]:
    """The page as rows of greys, a dot a point."""

    def run(document: object) -> list[bytes]:
        path = tmp_path / "one.pdf"
        path.write_bytes(document.file())
        head = tmp_path / "page"
        outside("pdftoppm", "-r", 72, "-gray", "-aa", "no", "-aaVector", "no", path, head)
        (file,) = tmp_path.glob("page*.pgm")
        kind, wide, high, _, data = re.match(
            rb"(P5)\s+(\d+)\s+(\d+)\s+(255)\s(.*)", file.read_bytes(), re.DOTALL
        ).groups()
        assert kind == b"P5" and len(data) == int(wide) * int(high)
        return [data[i * int(wide) : (i + 1) * int(wide)] for i in range(int(high))]

    return run


@pytest.fixture
def whole_pages(outside: Callable[..., bytes], tmp_path: Path) -> Callable[..., list[str]]:
    """The text of each page of a record as PDF, in the order in which it was written."""

    def run(made: Record, pictures: dict | None = None, paper: str = "a4") -> list[str]:
        from fieldapp.handover.report_pdf import record_pdf

        path = tmp_path / "one.pdf"
        path.write_bytes(record_pdf(made, pictures or {}, paper))
        outside("qpdf", "--check", path)
        told = outside("pdftotext", "-raw", path, "-").decode("utf-8")
        return [showable(text) for text in told.split("\f")[:-1]]

    return run


@pytest.fixture
def pages(whole_pages: Callable[..., list[str]]) -> Callable[..., list[str]]:
    """The same without what stands on every page."""

    def run(made: Record, pictures: dict | None = None, paper: str = "a4") -> list[str]:
        texts = whole_pages(made, pictures, paper)
        for i, text in enumerate(texts, 1):
            assert f"page {i} of {len(texts)}" in text
        return [text[: text.rindex(f"{made.job} ")] for text in texts]

    return run
