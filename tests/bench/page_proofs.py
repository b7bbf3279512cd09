"""What the installed page promises, tried at length in a real Chromium, the host gone.

``kills`` ends the browser at once, right after the screen said that something is kept, and looks
for it on the disk and in the app. ``big`` imports a job of 40 boxes and one of 5,000 entries and
starts with each, the host gone. ``requests`` opens every screen in both languages with letters of
twice the size and counts what is asked of whom. ``quota`` fills the phone. ``german`` and
``double`` start once so. ``two`` puts two versions on one host, one in a folder of the other.
Told is what was done, with counts; 1 is the way out where a promise broke.
Run: ``python tests/bench/page_proofs.py [--kills N] [--whole] [--only NAME...]
[--page FOLDER]``.
"""

from __future__ import annotations

import base64
import json
import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import clock
import pictured_jobs
import plan_jobs
from app_presses import type_figure
from browser import Phone, chromium_path
from log import log_of, orchard
from page_asked import requests
from page_kills import KEEPING, Acknowledged, a_photo, a_reading, a_setting, kills, looked_for
from page_kit import (
    FIXED,
    JOB,
    NAMES,
    ROOT_SIZE,
    Kit,
    brought,
    doubled,
    elsewhere,
    in_german,
    length_setting,
    told,
)
from pages import Host, Pocket, built, host, pocket, records, works_without_signal
from playwright.sync_api import sync_playwright
from promises import rows_of
from real_app import spoken
from rows import Row
from rows import told as ended

from engine.say import say
from fieldapp import words
from fieldapp.words.manner import Manner

# ---------------------------------------------------------------- large


def of_many(repeats: bool, name: str) -> dict:
    """A job with 5,000 entries, four readings in five; with ``repeats`` most replaced."""
    return pictured_jobs.warned({**orchard(), "id": name, "log": log_of(5_000, 0, repeats)})


def big(kit: Kit) -> None:
    """A job of 40 boxes, one of 5,000 entries most replaced, one of as many all current."""
    tried = (
        ("POSTS-40", "p3.in", pictured_jobs.counted(pictured_jobs.warned(plan_jobs.posts(40)))),
        ("LONG-MOST", "E.in", of_many(True, "LONG-MOST")),
        ("LONG-ALL", "E.in", of_many(False, "LONG-ALL")),
    )
    for job, at, doc in tried:
        with kit.installed(f"big-{job}") as (site, own, hand):
            if job == "POSTS-40":
                at = f"{doc['boxes'][20]['id']}.in"
            began = brought(hand, doc, timeout=120)
            entries = len(records(hand, job))
            site.off()
            moment = time.monotonic()
            elsewhere(hand, f"/j/{job}/run", words.put_in())
            run = time.monotonic() - moment
            elsewhere(hand, f"/j/{job}/read/{at}/volts", FIXED.type_it)
            type_figure(hand, "47.9")
            moment = time.monotonic()
            hand.tap(words.keep_slab("47.9", "volts"))
            hand.wait_for(FIXED.take_back, timeout=60)
            keep = time.monotonic() - moment
            own.kill()
            hand = own.open(site.url, timeout=120)
            there = records(hand, job)
            kit.want(hand.route.startswith(f"/j/{job}/verdict"), f"{job}: at {hand.route}")
            hand.wait_for(FIXED.take_back, timeout=60)
            kit.want(len(there) == entries + 1, f"{job}: {len(there)} records of {entries + 1}")
            kit.want(there[-1].get("value") == 47.9, f"{job}: the last is {there[-1]}")
            told(
                f"{job}: {len(doc['boxes'])} boxes, {len(doc['log'])} entries, "
                f"{len(json.dumps(doc)) / 1e6:.1f} MB: brought in {began:.1f} s, Run {run:.1f}, "
                f"kept {keep:.1f}, killed, started without host {hand.first_screen_seconds:.1f} s"
            )


# ---------------------------------------------------------------- full, German, twice the size


def quota(kit: Kit) -> None:
    """A full phone: told for a reading, a photo, a new job; nothing is lost; then it goes on."""
    full = spoken(words.sentence(say("told-full")))
    with kit.installed("quota") as (site, own, hand):
        brought(hand, pictured_jobs.counted(pictured_jobs.planned()))
        kept, origin = Acknowledged(), site.url.rstrip("/")
        a_reading(hand, kept, 0)
        for number, what in enumerate(("a reading", "a photo", "a job"), 1):
            # A browser takes room for a file in large pieces: what fits into one that it has is
            # kept on a full phone too. A file that was opened anew has none yet.
            own.kill()
            hand = own.open(site.url)
            session = hand.context.new_cdp_session(hand.page)
            before = (records(hand, JOB), hand.page.evaluate(NAMES))
            session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
            (lay_a_run if what == "a job" else pressed(KEEPING[what]))(hand, kept, number)
            hand.wait_for(full)
            kit.want((records(hand, JOB), hand.page.evaluate(NAMES)) == before, f"{what}: changed")
            session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
            if what == "a job":
                hand.tap(words.lay_button())
                elsewhere(hand, "/settings", words.FIXED.settings)
            elif what == "a reading":  # its digits stand there still
                hand.tap(words.keep_slab(words.figure(50 + number / 10), "volts"))
                hand.wait_for(FIXED.take_back)
                kept.values.append(50 + number / 10)
            else:
                hand.pause(1500)  # the same press once more counts a breath later
                a_photo(hand, kept, number + 20)
            told(f"{what}: full, told, nothing changed; with room again kept")
        own.kill()
        site.off()
        hand = own.open(site.url)
        for missing in looked_for(hand, kept):
            kit.want(False, f"afterwards: {missing}")
        kit.want(len(hand.page.evaluate(NAMES)) == 2, "afterwards: a job is missing")


def pressed(act: Callable) -> Callable:
    """The same act, of which nothing is kept: the phone is full."""

    def press(hand: Phone, kept: Acknowledged, number: int) -> None:
        patience, trial = hand.wait_for, replace(kept, values=[], photos=list(kept.photos))
        said = (FIXED.take_back, spoken(words.sentence(say("strip-photo", of="box:A1"))))
        hand.wait_for = lambda text, **how: text in said or "strip" in text or patience(text, **how)
        try:
            act(hand, trial, number)
        finally:
            del hand.wait_for

    return press


def lay_a_run(hand: Phone, kept: Acknowledged, number: int) -> None:
    elsewhere(hand, "/new", words.how_far())
    for key in "463":
        hand.tap(key, exact=True)
    hand.tap(words.next_button())
    hand.tap(words.lay_button())


def german(kit: Kit) -> None:
    """Started once in German with the host gone: place and settings as they were."""
    with kit.installed("german") as (site, own, hand):
        brought(hand, pictured_jobs.counted(pictured_jobs.planned()))
        in_german(hand)
        stays_so(kit, site, own, hand, "de")


def double(kit: Kit) -> None:
    """Started once with letters of twice the size and the host gone."""
    doubled(kit.base / "double")
    with kit.installed("double") as (site, own, hand):
        brought(hand, pictured_jobs.counted(pictured_jobs.planned()))
        a_setting(hand, Acknowledged(), 0)
        hand = stays_so(kit, site, own, hand, "en")
        kit.want(hand.page.evaluate(ROOT_SIZE) == "32px", "the letters are not twice as large")
        elsewhere(hand, "/settings", words.setting_name("lengths"))
        kit.want(hand.has(length_setting("feet", True)), "feet are not chosen any more")


def stays_so(kit: Kit, site: Host, own: Pocket, hand: Phone, language: str) -> Phone:
    """Closed at a place, started there again with nobody to answer."""
    with words.speaking(Manner(language)):
        place = f"/j/{JOB}/run?at=L2.in"
        elsewhere(hand, place, words.log_here())
        elsewhere(hand, "/settings", words.FIXED.settings)
        elsewhere(hand, place, words.log_here())
        hand.still()
        before = hand.texts().splitlines()
        own.close()
        site.off()
        hand = own.open(site.url)
        hand.wait_for(words.log_here(), timeout=20)
        hand.still()
        kit.want(hand.route == place, f"at {hand.route}, not {place}")
        gone = set(before) - set(hand.texts().splitlines())  # what was told is told once
        kit.want(len(gone) <= 1, f"not shown any more: {gone}")
        told(f"started in {hand.first_screen_seconds:.1f} s at {hand.route}")
    return hand


CACHES = "async () => (await caches.keys()).sort()"
MARK = """async () => [[...document.childNodes].map((one) => one.data ?? "").join(),
  await (await fetch("page.css")).text()]"""
WAITS = "async () => (await navigator.serviceWorker.getRegistration())?.waiting?.state ?? null"


def version(folder: Path, out: Path, name: str) -> Path:
    """A bundle with other bytes in its style and its page, under a version of its own."""
    shutil.copytree(folder, out, copy_function=os.link)
    text = (folder / "sw.js").read_text("utf-8")
    files = json.loads(re.search(r"const FILES = (\{.*?\});", text)[1])
    for path, mark in (("page.css", f"/* {name} */"), ("index.html", f"<!-- {name} -->")):
        data = (folder / path).read_bytes() + mark.encode()
        text = text.replace(files[path], base64.b64encode(sha256(data).digest()).decode())
        (out / path).unlink()
        (out / path).write_bytes(data)
    (out / "sw.js").unlink()
    text = text.replace(re.search(r'VERSION = "(\w+)"', text)[1], name)
    (out / "sw.js").write_text(text, "utf-8")
    return out


def two(kit: Kit) -> None:
    """Two on one host, at / and at /tool/: each has its own version and cache."""
    root = version(kit.page, kit.base / "root", "root1")
    version(kit.page, root / "tool", "tool1")
    next_tool = version(kit.page, kit.base / "next", "tool2")
    with host(root) as site, pocket(kit.playwright, kit.path, kit.base / "two") as own:
        tool = f"{site.url}tool/index.html"
        hand = own.open(site.url)
        works_without_signal(hand)
        says(kit, hand, "root1", "root, first visit")
        hand.open(tool)
        works_without_signal(hand)
        says(kit, hand, "tool1", "tool, first visit, with the other installed")
        hand.reload()
        says(kit, hand, "tool1", "tool, second visit")
        had = hand.page.evaluate(CACHES)
        kit.want(len(had) == 2, f"caches: {had}")
        shutil.rmtree(root / "tool")
        shutil.copytree(next_tool, root / "tool")
        hand.reload()
        hand.wait_until(lambda: hand.page.evaluate(WAITS) == "installed", 30, "the new version")
        hand.go("/")
        hand.tap(words.newer_take(), role="button")
        hand.wait_until(lambda: "tool2" in hand.page.evaluate(MARK)[1], 30, "the new version")
        hand.wait_until(lambda: len(hand.page.evaluate(CACHES)) == 2, 30, "the old one to go")
        now = hand.page.evaluate(CACHES)
        told(f"caches before {had}, after the update of /tool/ {now}")
        kit.want(len(set(had) & set(now)) == 1, "the other's cache was touched")
        site.off()
        own.kill()
        for address, name in ((tool, "tool2"), (site.url, "root1")):
            hand = own.open(address)
            says(kit, hand, name, "host gone")
            own.close()


def says(kit: Kit, hand: Phone, name: str, when: str) -> None:
    """Whether the page and its style are of this version."""
    page, style = hand.page.evaluate(MARK)
    kit.want(name in style, f"{when}: page.css is not of {name}")
    kit.want(name in page, f"{when}: index.html is not of {name}")


PROOFS: dict[str, Callable[[Kit], None]] = {
    one.__name__: one for one in (kills, big, requests, quota, german, double, two)
}


def rows(
    kills: int = 100,
    only: Sequence[str] = tuple(PROOFS),
    whole: bool = False,
    page: Path | None = None,
) -> list[Row]:
    """How many promises broke in each proof that is asked for."""
    row, out, path = rows_of("page_proofs"), [], chromium_path()
    if path is None:
        sys.exit("no Chromium: install one, or set FAREND_CHROMIUM to its path")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        base = Path(folder)
        page = page or built(base)
        for name in only:
            kit = Kit(playwright, path, page, base, kills, whole)
            print(f"{name}: {PROOFS[name].__doc__.splitlines()[0]}", flush=True)
            began = time.monotonic()
            try:
                PROOFS[name](kit)
            except AssertionError as trouble:
                kit.want(False, str(trouble))
            taken = f"{time.monotonic() - began:.0f} s"
            of = f"of {kills} kills, {taken}" if name == "kills" else taken
            out.append(row(name, len(kit.broken), "; ".join([*kit.broken[:3], of])))
    return out


def main() -> int:
    """Try what is asked for; 1 if a promise broke."""
    parser = clock.options(__doc__)
    parser.add_argument("--kills", type=int, default=100)
    parser.add_argument("--only", nargs="+", choices=PROOFS, default=list(PROOFS))
    parser.add_argument("--whole", action="store_true", help="every job on every screen of it")
    parser.add_argument("--page", type=Path, help="a bundle; default: one is built")
    given = parser.parse_args()
    return ended(rows(given.kills, given.only, given.whole, given.page))


if __name__ == "__main__":
    sys.exit(main())
