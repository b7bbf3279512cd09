"""The app as an installed page, in a real browser: with the host gone, with two windows, through a
new version, on a full phone. Things are found by their accessible names."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import shutil
import sys
import tarfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from subprocess import run
from typing import TYPE_CHECKING

import pytest
from app_presses import type_figure, understands
from pages import Host, built, host, pick, pocket, records, works_without_signal
from real_app import JOB, SAMPLE, spoken

from engine.say import say
from fieldapp import words
from fieldapp.phone.policy import PAGE_POLICY

if TYPE_CHECKING:
    from browser import Phone
    from playwright.sync_api import Playwright

try:
    from playwright.sync_api import expect
except ImportError:  # then every test here is skipped
    expect = None

pytestmark = pytest.mark.browser
FIXED = words.FIXED
SAYS = words.PAGE_SAYS
ROOT = Path(__file__).parent.parent
PAD = f"/j/{JOB}/read/S.out/volts"
LONG = 120_000
"""a machine that is busy may take so long to start it [ms]"""
WAITING = "async () => (await navigator.serviceWorker.getRegistration())?.waiting?.state ?? null"
STYLE = "async () => (await fetch('page.css')).text()"


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
    size = hand.page.evaluate("() => getComputedStyle(document.documentElement).fontSize")
    assert size == "16px", "the client takes the scale of all letters from it"
    policy = hand.page.evaluate(
        "() => document.querySelector('meta[http-equiv=Content-Security-Policy]').content"
    )
    assert policy == PAGE_POLICY and "connect-src 'self'" in policy


def with_the_sample(hand: Phone) -> None:
    """Bring the sample in from a file."""
    pick(hand, FIXED.open_file, SAMPLE.name, SAMPLE.read_bytes())
    hand.wait_route(f"/j/{JOB}/now", timeout=20)


def at_the_pad(hand: Phone) -> None:
    """Go to the pad of a point, and past what is asked there once a stop and a day."""
    hand.go(PAD)
    hand.wait_for(words.understood())
    understands(hand)


def keeps(hand: Phone, digits: str) -> None:
    """Type a figure, keep it, and see its verdict: then it is kept."""
    hand.wait_for(FIXED.type_it)
    type_figure(hand, digits)
    hand.tap(words.keep_slab(digits, "volts"))
    hand.wait_for(FIXED.take_back)


def test_what_is_kept_outlives_the_host_and_a_dead_battery(site: Host, pockets: Callable) -> None:
    """Kept, killed at once, opened with nobody there to answer: all of it is there, twice."""
    own = pockets()
    hand = own.open(site.url)
    with_the_sample(hand)
    works_without_signal(hand)
    site.off()
    at_the_pad(hand)
    for number in range(1, 3):
        keeps(hand, words.figure(53.0 + number / 10))
        own.kill()
        hand = own.open(site.url)
        assert hand.route.startswith(f"/j/{JOB}/verdict")
        values = [one["value"] for one in records(hand, JOB) if one.get("kind") == "volts"]
        assert values == [round(53.0 + count / 10, 1) for count in range(1, number + 1)]
        hand.go(PAD)
    assert hand.outside_requests == []


NO_PYTHON = """
  window.Worker = class {
    constructor() { setTimeout(() => this.onmessage({ data: { failed: "no Python" } })); }
    postMessage() {}
    terminate() {}
  };
"""


@pytest.mark.slow
def test_what_is_kept_can_be_copied_where_python_does_not_start(
    site: Host, pockets: Callable, tmp_path: Path
) -> None:
    """As an archive that, unpacked on a laptop, is a data folder of its own."""
    own = pockets()
    hand = own.open(site.url)
    with_the_sample(hand)
    at_the_pad(hand)
    keeps(hand, words.figure(53.1))
    works_without_signal(hand)
    hand.page.add_init_script(NO_PYTHON)
    hand.page.reload()
    with hand.page.expect_download() as saved:
        hand.page.get_by_role("button", name=SAYS["copy"]).click()
    with tarfile.open(saved.value.path()) as archive:
        archive.extractall(tmp_path, filter="data")
    command = [sys.executable, "-m", "fieldapp", "export", JOB, "-o", str(tmp_path / "job.json")]
    run([*command, "--data", str(tmp_path / "farend-kept")], cwd=ROOT, check=True)
    log = json.loads((tmp_path / "job.json").read_text("utf-8"))["log"]
    assert [one["value"] for one in log if one.get("kind") == "volts"] == [53.1]


def test_a_second_window_waits_is_told_and_goes_on(site: Host, pockets: Callable) -> None:
    """One at a time writes: the other says so, takes over by a press, or when the first is closed."""
    hand = pockets().open(site.url)
    hand.wait_for(FIXED.no_jobs)
    first, second = hand.page, hand.context.new_page()
    second.goto(site.url)
    title, button = second.locator("#first h1"), second.get_by_role("button", name=SAYS["here"])
    expect(title).to_have_text(SAYS["elsewhere"], timeout=LONG)
    button.click()
    expect(second.locator("#first")).to_be_hidden(timeout=LONG)
    expect(first.locator("#first h1")).to_have_text(SAYS["moved"], timeout=LONG)
    third = hand.context.new_page()
    third.goto(site.url)
    expect(third.locator("#first h1")).to_have_text(SAYS["elsewhere"], timeout=LONG)
    second.close()
    expect(third.locator("#first")).to_be_hidden(timeout=LONG)


def another_version(folder: Path, out: Path, *, whole: bool = True) -> Path:
    """A bundle in which one file is another; unless it is ``whole`` that file was damaged on its
    way."""
    shutil.copytree(folder, out, copy_function=os.link)
    files = kept_files(folder)
    data = (folder / "page.css").read_bytes() + f"/* {out.name} */\n".encode()
    text = (folder / "sw.js").read_text("utf-8")
    sum_ = base64.b64encode(hashlib.sha256(data).digest()).decode()
    text = text.replace(files["page.css"], sum_)
    version = re.search(r'VERSION = "(\w+)"', text)[1]
    for name, new in (("sw.js", text.replace(version, out.name)), ("page.css", data)):
        (out / name).unlink()
        body = new.encode() if isinstance(new, str) else new
        (out / name).write_bytes(body if whole or name == "sw.js" else body + b"?")
    return out


def test_a_new_version_waits_for_a_press_and_a_broken_one_never_comes(
    site: Host, pockets: Callable, page_folder: Path, tmp_path: Path
) -> None:
    """Told, not forced; only what changed is fetched; what was kept stays. A file that is not what
    it should be: the old version goes on, with the host gone too."""
    own = pockets()
    hand = own.open(site.url)
    with_the_sample(hand)
    works_without_signal(hand)
    before = records(hand, JOB)

    site.off()
    site.on(another_version(page_folder, tmp_path / "two"))
    hand.requests.clear()
    hand.reload()
    hand.wait_until(lambda: hand.page.evaluate(WAITING) == "installed", 30, "the new version")
    asked = Counter(url.removeprefix(site.url).partition("?")[0] for url in hand.requests)
    again = {name for name, times in asked.items() if times > 1}
    by_the_page = {name for name in again if name.startswith(("assets/fonts/", "icons/"))}
    assert again - by_the_page == {"page.css"}, "only what changed was fetched anew"
    hand.go("/")
    hand.wait_for(words.newer_line())
    assert "two" not in hand.page.evaluate(STYLE)
    hand.wait_for("Reedbed hide")
    hand.pause(700)  # a page that is just put up takes no press
    hand.tap(words.newer_take(), role="button")
    hand.wait_until(lambda: "two" in hand.page.evaluate(STYLE), 30, "the page to load anew")
    hand.wait_until(lambda: hand.page.evaluate(WAITING) is None, 30, "the old one to go")
    hand.page.wait_for_selector("flt-semantics-placeholder", state="attached")
    hand._wake(time.monotonic(), 30)
    assert records(hand, JOB) == before

    site.off()
    site.on(another_version(tmp_path / "two", tmp_path / "three", whole=False))
    hand.reload()
    hand.page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
    hand.pause(1500)
    assert hand.page.evaluate(WAITING) is None
    site.off()
    own.kill()
    hand = own.open(site.url)
    assert "two" in hand.page.evaluate(STYLE) and records(hand, JOB) == before


@pytest.mark.slow
def test_a_full_phone_is_told_and_nothing_kept_is_lost(site: Host, pockets: Callable) -> None:
    hand = pockets().open(site.url)
    with_the_sample(hand)
    at_the_pad(hand)
    type_figure(hand, "53.0")
    session = hand.context.new_cdp_session(hand.page)
    origin = site.url.rstrip("/")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    hand.reload()  # an open file has some room set apart
    hand.wait_for(words.typed_with_unit("53.0", "volts"))
    before = records(hand, JOB)
    hand.tap(words.keep_slab("53.0", "volts"))
    hand.wait_for(spoken(words.sentence(say("told-full"))))
    assert records(hand, JOB) == before
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    hand.tap(words.keep_slab("53.0", "volts"))
    hand.wait_for(FIXED.take_back)
    assert len(records(hand, JOB)) == len(before) + 1
