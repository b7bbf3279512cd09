"""What the installed page promises, tried at length in a real Chromium, the host gone.

``kills`` ends the browser at once, right after the screen said that something is kept, and looks
for it on the disk and in the app. ``big`` imports a job of 40 boxes and one of 5,000 entries and
starts with each, the host gone. ``requests`` opens every screen in both languages with letters of
twice the size and counts what is asked of whom. ``quota`` fills the phone. ``german`` and
``double`` start once so. ``two`` puts two versions on one host, one in a folder of the other.
Told is what was done, with counts; 1 is the way out where a promise broke.
Run: ``python tests/bench/page_proofs.py [--kills N] [--only NAME...] [--page FOLDER]``.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "bench")]

import shots  # noqa: E402
from browser import Phone, chromium_path  # noqa: E402
from jpegs import JFIF  # noqa: E402
from jpegs import made as made_picture  # noqa: E402
from pages import Host, Pocket, built, host, pick, pocket, records, works_without_signal  # noqa: E402
from playwright.sync_api import Playwright, sync_playwright  # noqa: E402
from test_journey import spoken, type_figure  # noqa: E402

from engine.jobfile import read_job  # noqa: E402
from engine.judge import judge  # noqa: E402
from engine.say import say  # noqa: E402
from fieldapp import words  # noqa: E402
from fieldapp.store.journal import JOURNAL_FORMAT, Decoded, decode  # noqa: E402

FIXED = words.FIXED
JOB = "REEDBED-HIDE"
PHOTO_FILE = """async ([job, sum]) => {
  const root = await (await navigator.storage.getDirectory()).getDirectoryHandle("farend");
  const jobs = await root.getDirectoryHandle("jobs");
  const sums = [];
  for await (const [name, folder] of jobs.entries()) {
    if (folder.kind !== "directory" || !name.startsWith(job)) continue;
    for await (const [, one] of folder.entries()) {
      const bytes = await (await one.getFile()).arrayBuffer();
      const made = await crypto.subtle.digest("SHA-256", bytes);
      sums.push([...new Uint8Array(made)].map((b) => b.toString(16).padStart(2, "0")).join(""));
    }
  }
  return sums.includes(sum);
}"""


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
    elsewhere(hand, "/", FIXED.open_file)
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


# ---------------------------------------------------------------- killed


@dataclass
class Acknowledged:
    """What the screen said is kept, since the beginning."""

    values: list[float] = field(default_factory=list)
    ticks: list[str] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)
    lengths: str = "metres"
    typed: str = ""


def a_reading(hand: Phone, kept: Acknowledged, number: int) -> None:
    value = 50 + number / 100
    digits = words.figure(value)
    elsewhere(hand, f"/j/{JOB}/read/S.out/volts", FIXED.type_it)
    type_figure(hand, digits)
    hand.tap(words.keep_slab(digits, "volts"))
    hand.wait_for(FIXED.take_back)
    kept.values.append(float(digits))


def a_tick(hand: Phone, kept: Acknowledged, number: int) -> None:
    step = next(one for one in STEPS if one.id == "announce.site")
    is_done = bool(kept.ticks) and kept.ticks[-1] == "done"
    short = words.step(step.say).short
    elsewhere(hand, f"/j/{JOB}/steps", words.press_end(short, is_done))
    hand.tap(words.press_end(short, is_done), exact=True)
    hand.wait_for(words.press_end(short, not is_done))
    kept.ticks.append("undone" if is_done else "done")


def a_photo(hand: Phone, kept: Acknowledged, number: int) -> None:
    step = next(one for one in STEPS if one.id == "photo.bond.A1")
    title = words.one_more_photo() if kept.photos else words.take_photo()
    elsewhere(hand, f"/j/{JOB}/now?step={step.id}", title)
    picture = made_picture("colours", JFIF, behind=b"%d" % number)
    hand.take_photo(title, picture)
    hand.wait_for(spoken(words.sentence(say("strip-photo", of=step.asks.at))))
    kept.photos.append("")  # its sum is told by the journal


def a_setting(hand: Phone, kept: Acknowledged, number: int) -> None:
    wanted = "feet" if kept.lengths == "metres" else "metres"
    elsewhere(hand, "/settings", words.setting_name("lengths"))
    hand.tap(length_setting(wanted, False), role="button")
    hand.wait_for(length_setting(wanted, True))
    kept.lengths = wanted


def length_setting(choice: str, is_chosen: bool) -> str:
    name = words.setting_name("lengths")
    return words.speak_setting(name, words.setting_choice("lengths", choice), is_chosen)


def half_typed(hand: Phone, kept: Acknowledged, number: int) -> None:
    digits = words.figure(40 + number / 100)[:-1]
    elsewhere(hand, f"/j/{JOB}/read/A2.line/volts", FIXED.type_it)
    type_figure(hand, digits)
    kept.typed = digits


KEEPING = {
    "a reading": a_reading,
    "a tick": a_tick,
    "a photo": a_photo,
    "a setting": a_setting,
    "half typed": half_typed,
}
STEPS = judge(read_job(shots.planned())).steps


def journals_on_disk(profile: Path) -> list[Decoded]:
    """The journals as the dead browser left them in its profile, before anything mends them."""
    found = []
    for path in profile.rglob("*"):
        if "File System" in path.parts and path.is_file():
            data = path.read_bytes()
            if JOURNAL_FORMAT.encode() in data[:400]:
                found.append(decode(data))
    return found


def looked_for(hand: Phone, kept: Acknowledged) -> list[str]:
    """What of it is missing."""
    there, missing = records(hand, JOB), []
    values = [one["value"] for one in there if one.get("what") == "reading"]
    if values != kept.values:
        missing.append(f"readings {kept.values[-3:]}, there are {values[-3:]}")
    ticks = [one["state"] for one in there if one.get("what") == "step"]
    if ticks != kept.ticks:
        missing.append(f"ticks {kept.ticks[-3:]}, there are {ticks[-3:]}")
    sums = [one["sha256"] for one in there if one.get("what") == "photo"]
    if len(sums) != len(kept.photos):
        missing.append(f"{len(kept.photos)} photos, there are {len(sums)} in the journal")
    for at in (-1, 0) if sums else ():  # the newest and the oldest, byte for byte
        if not hand.page.evaluate(PHOTO_FILE, [JOB, sums[at]]):
            missing.append(f"the bytes of photo {at}")
    return missing


def kills(kit: Kit) -> None:
    """Killed right after the screen said it; nothing it said is gone."""
    kept, times, torn, tries = Acknowledged(), [], 0, Counter()
    with kit.installed("kills") as (site, own, hand):
        brought(hand, shots.counted(shots.planned()))
        site.off()
        for number in range(kit.kills):
            what, act = list(KEEPING.items())[number % len(KEEPING)]
            act(hand, kept, number)
            own.kill()
            tries[what] += 1
            left = journals_on_disk(own.profile)
            kit.want(len(left) == 1, f"try {number}, {what}: {len(left)} journals on the disk")
            bad = sum(bool(one.torn or one.damaged) for one in left)
            torn += bad
            kit.want(not bad, f"try {number}, {what}: a torn or damaged journal on the disk")
            began = time.monotonic()
            hand = own.open(site.url)
            times.append(time.monotonic() - began)
            for missing in looked_for(hand, kept):
                kit.want(False, f"try {number}, {what}: {missing}")
            came_back(kit, hand, kept, what, number)
            if number % 10 == 9:
                told(f"{number + 1} tries, {len(kit.broken)} promises broken")
        kit.want(hand.outside_requests == [], f"asked outside: {hand.outside_requests}")
    told(f"{sum(tries.values())} kills: " + ", ".join(f"{n} {what}" for what, n in tries.items()))
    told(
        f"{len(kept.values)} readings, {len(kept.ticks)} ticks, {len(kept.photos)} photos there; "
        f"{torn} journals torn; reopened in {median(times):.1f} s, at most {max(times):.1f}"
    )


def came_back(kit: Kit, hand: Phone, kept: Acknowledged, what: str, number: int) -> None:
    """What is no entry: the setting, the digits. The digits are typed on and kept."""
    if what == "a setting":
        elsewhere(hand, "/settings", words.setting_name("lengths"))
        said = hand.has(length_setting(kept.lengths, True))
        kit.want(said, f"try {number}: {kept.lengths} is not chosen any more")
        kept.lengths = kept.lengths if said else "feet" if kept.lengths == "metres" else "metres"
    if what == "half typed":
        at = hand.route == f"/j/{JOB}/read/A2.line/volts"
        there = at and hand.has(words.typed_with_unit(kept.typed, "volts"))
        if not kit.want(there, f"try {number}: {kept.typed!r} did not come back, {hand.route}"):
            return
        hand.tap("7", exact=True)
        hand.tap(words.keep_slab(kept.typed + "7", "volts"))
        hand.wait_for(FIXED.take_back)
        kept.values.append(float(kept.typed + "7"))


PROOFS: dict[str, Callable[[Kit], None]] = {"kills": kills}


def main() -> int:
    """Try what is asked for; 1 if a promise broke."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=100)
    parser.add_argument("--only", nargs="+", choices=PROOFS, default=list(PROOFS))
    parser.add_argument("--page", type=Path, help="a bundle; default: one is built")
    asked, path = parser.parse_args(), chromium_path()
    if path is None:
        print("no Chromium", file=sys.stderr)
        return 2
    failed = 0
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        base = Path(folder)
        page = asked.page or built(base)
        for name in asked.only:
            kit = Kit(playwright, path, page, base, asked.kills)
            print(f"{name}: {PROOFS[name].__doc__.splitlines()[0]}", flush=True)
            began = time.monotonic()
            try:
                PROOFS[name](kit)
            except AssertionError as trouble:
                kit.want(False, str(trouble))
            taken = time.monotonic() - began
            print(f"  {len(kit.broken)} promises broken, {taken:.0f} s", flush=True)
            failed += len(kit.broken)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
