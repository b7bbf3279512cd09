"""What the proofs of the installed page work with: the page in a profile of its own, promises, jobs."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from browser import Phone
from pages import Host, Pocket, host, pick, pocket, works_without_signal
from playwright.sync_api import Playwright

from fieldapp import words
from fieldapp.words.manner import Manner

FIXED = words.FIXED
JOB = "REEDBED-HIDE"


@dataclass
class Kit:
    """What a proof works with."""

    playwright: Playwright
    path: str
    page: Path
    """the folder of the bundle"""
    base: Path
    """a folder for profiles and copies"""
    kills: int
    whole: bool
    """whether a screen is opened for every job that is photographed on it, not for one"""
    broken: list[str] = field(default_factory=list)

    def want(self, true: object, what: str) -> bool:
        """A promise: whether it held; told and counted where it did not."""
        if not true:
            self.broken.append(what)
            print(f"  BROKEN: {what}", flush=True)
        return bool(true)

    @contextmanager
    def installed(self, name: str) -> Iterator[tuple[Host, Pocket, Phone]]:
        """The page, installed in a profile of its own; its host is still there."""
        with host(self.page) as site, pocket(self.playwright, self.path, self.base / name) as own:
            hand = own.open(site.url)
            hand.wait_for(FIXED.no_jobs, timeout=30)
            works_without_signal(hand)
            yield site, own, hand


def told(line: str) -> None:
    print(f"  {line}", flush=True)


def brought(hand: Phone, doc: dict, *, timeout: float = 30) -> float:
    """Bring a job in through the picker; until its first screen is there [s]."""
    if hand.route != "/":
        hand.go("/")
    hand.scroll_to(FIXED.open_file)
    data = json.dumps(doc).encode()
    began = time.monotonic()
    pick(hand, FIXED.open_file, f"{doc['id']}.json", data)
    hand.wait_until(lambda: hand.route.startswith(f"/j/{doc['id']}/"), timeout, "the job")
    hand.wait_gone(FIXED.open_file)
    return time.monotonic() - began


def elsewhere(hand: Phone, route: str, there: str) -> None:
    """Go somewhere and wait for a name that stands there alone."""
    if hand.route != route:
        hand.go(route)
    hand.wait_for(there, timeout=20)


def length_setting(choice: str, is_chosen: bool) -> str:
    name = words.setting_name("lengths")
    return words.speak_setting(name, words.setting_choice("lengths", choice), is_chosen)


NAMES = """async () => {
  const root = await (await navigator.storage.getDirectory()).getDirectoryHandle("farend");
  const found = [];
  for await (const name of (await root.getDirectoryHandle("jobs")).keys()) {
    if (name.endsWith(".journal")) found.push(name);
  }
  return found;
}"""


def doubled(profile: Path) -> None:
    """In this profile the browser's letters are twice as large, as a person sets it there."""
    (profile / "Default").mkdir(parents=True)
    fonts = {"default_font_size": 32, "minimum_font_size": 0}
    text = json.dumps({"webkit": {"webprefs": fonts}})
    (profile / "Default" / "Preferences").write_text(text, encoding="utf-8")


ROOT_SIZE = "() => getComputedStyle(document.documentElement).fontSize"


def in_german(hand: Phone) -> None:
    elsewhere(hand, "/settings", words.setting_name("lengths"))
    hand.tap(words.speak_setting(words.setting_name("language"), "Deutsch", False), role="button")
    with words.speaking(Manner("de")):
        hand.wait_for(words.FIXED.settings)
