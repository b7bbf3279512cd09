"""The app as an installed page, in a real browser: with the host gone, with two windows, through a
new version, on a full phone. Things are found by their accessible names."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pages import ACTIVE, Host, Pocket, built, host, pick, pocket, works_without_signal

from fieldapp import words
from fieldapp.phone.policy import PAGE_POLICY

if TYPE_CHECKING:
    from playwright.sync_api import Playwright

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parent.parent
FIXED = words.FIXED
SAYS = words.PAGE_SAYS


@pytest.fixture(scope="session")
def page_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bundle, one for all workers of a run."""
    base = tmp_path_factory.getbasetemp()
    return built(base.parent if base.name.startswith("popen-") else base)


@pytest.fixture
def pockets(_playwright: Playwright, chromium: str, tmp_path: Path) -> Iterator[Callable]:
    """Makes a browser with a profile of its own."""
    with ExitStack() as stack:
        yield lambda name="profile": stack.enter_context(
            pocket(_playwright, chromium, tmp_path / name)
        )


@pytest.fixture
def site(page_folder: Path) -> Iterator[Host]:
    with host(page_folder) as one:
        yield one


def kept_files(folder: Path) -> dict[str, str]:
    """What a service worker keeps, by path, as it stands in ``sw.js``."""
    text = (folder / "sw.js").read_text("utf-8")
    return json.loads(re.search(r"const FILES = (\{.*?\});", text)[1])


def test_a_first_visit_asks_nobody_else_and_ends_ready(site: Host, pockets: Callable) -> None:
    hand = pockets().open(site.url)
    hand.wait_for(FIXED.no_jobs)
    works_without_signal(hand)
    hand.pause(300)
    assert hand.outside_requests == [] and hand.console_errors == []
    asked = {url.removeprefix(site.url).partition("?")[0] for url in hand.requests}
    other = {name for name in kept_files(site.folder) if "canvaskit/canvaskit." in name}
    assert set(kept_files(site.folder)) - other <= asked and not other & asked
    assert asked - set(kept_files(site.folder)) == {"", "sw.js"}
    session = hand.context.new_cdp_session(hand.page)
    manifest = session.send("Page.getAppManifest")
    assert manifest["url"] and manifest["errors"] == []
    assert session.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    policy = hand.page.evaluate(
        "() => document.querySelector('meta[http-equiv=Content-Security-Policy]').content"
    )
    assert policy == PAGE_POLICY and "connect-src 'self'" in policy
