"""The browser ended at once, right after the screen said that something is kept."""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

import pictured_jobs
from app_presses import type_figure
from browser import Phone
from jpegs import JFIF
from jpegs import made as made_picture
from page_kit import FIXED, JOB, Kit, brought, elsewhere, length_setting, told
from pages import records
from real_app import spoken

from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from fieldapp import words
from fieldapp.store.journal import JOURNAL_FORMAT, Decoded, decode

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
class Acknowledged:
    """What the screen said is kept, since the beginning."""

    values: list[float] = field(default_factory=list)
    ticks: list[str] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)
    lengths: str = "metres"
    typed: str = ""


def a_reading(hand: Phone, kept: Acknowledged, number: int) -> None:
    value = 50 + number / 10
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


def half_typed(hand: Phone, kept: Acknowledged, number: int) -> None:
    digits = words.figure(40 + number / 10)[:-1]
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
STEPS = judge(read_job(pictured_jobs.planned())).steps


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
        brought(hand, pictured_jobs.counted(pictured_jobs.planned()))
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
        there, at = True, f"/j/{JOB}/read/A2.line/volts"
        try:
            hand.wait_for(words.typed_with_unit(kept.typed, "volts"))
        except AssertionError as trouble:
            there = False
            told(str(trouble))
        told_of = f"try {number}: {kept.typed!r} did not come back, {hand.route}"
        if not kit.want(there and hand.route == at, told_of):
            return
        hand.tap("7", exact=True)
        hand.tap(words.keep_slab(kept.typed + "7", "volts"))
        hand.wait_for(FIXED.take_back)
        kept.values.append(float(kept.typed + "7"))
