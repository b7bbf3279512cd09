"""Measure the installed page against the least page that Flet can make, built the same way.

Both are bundles: the app's, and one of a single button (``bare_page.py``). Told are what a phone
fetches once (gzip), starts with the host gone and a new browser process each (the two in turns),
and a tap: on the bare page to its count, in the app from ``Keep`` to the verdict on screen, the
reading flushed. All as ratios, in one run.
Run: ``python tests/bench/page.py [--rounds N] [--readings N]``; it needs Chromium.
"""

from __future__ import annotations

import gzip
import json
import sys
import tempfile
import zipfile
from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path
from statistics import median

import clock
from app_presses import type_figure
from bare_page import bare
from browser import STARTING, Phone, chromium_path
from clock import Turns
from echo import timed
from pages import Host, Pocket, host, pick, pocket, works_without_signal
from playwright.sync_api import Playwright, sync_playwright
from promises import rows_of
from real_app import JOB, SAMPLE
from rows import Row, told
from test_phone_page import PAD, at_the_pad

from fieldapp import words
from fieldapp.phone.bundle import Bundle, app, bundle, sizes, write

FONTS = (".woff2", ".ttf")

# From the navigation to the first thing with a name that is not the client's own waiting.
FIRST = """(starting) => {
  const look = () => {
    const placeholder = document.querySelector("flt-semantics-placeholder");
    if (placeholder) placeholder.click();
    const named = [...document.querySelectorAll("flt-semantics")]
      .map((el) => el.getAttribute("aria-label") || el.textContent)
      .filter((name) => name && !starting.includes(name));
    const first = document.getElementById("first");
    if (named.length && (!first || first.hidden)) window.toldFirst = performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}"""


def started(own: Pocket, url: str) -> float:
    """Start a browser on a page, with nobody there to answer; from the navigation to the first
    screen [ms]."""
    hand = own.open()
    hand.page.add_init_script(f"({FIRST})({json.dumps(STARTING)})")
    hand.page.goto(url, wait_until="commit")
    told = "() => window.toldFirst ?? null"
    hand.wait_until(lambda: hand.page.evaluate(told) is not None, 60, "the first screen")
    taken = float(hand.page.evaluate(told))
    own.close()
    return taken


def font_bytes(made: Bundle) -> int:
    """What of it is letters, as they are sent."""
    sent = sum(
        len(gzip.compress(data, 6)) for name, data in made.files.items() if name.endswith(FONTS)
    )
    with zipfile.ZipFile(BytesIO(site_zip(made))) as site:
        inside = [one for one in site.infolist() if one.filename.endswith(FONTS)]
        return sent + sum(len(gzip.compress(site.read(one), 9)) for one in inside)


def site_zip(made: Bundle) -> bytes:
    """The archive of the site, unpacked once."""
    return gzip.decompress(made.files["site.bin"])


def taps(hand: Phone, rounds: int) -> list[float]:
    """Flet's own echo on the bare page [ms]."""
    out = []
    for number in range(rounds):
        out.append(timed(hand, f"^{number + 1}$|^{number}$", *hand.find("Press").seen.centre))
    return out


def readings(hand: Phone, rounds: int) -> list[float]:
    """Keep to the verdict [ms]."""
    out = []
    at_the_pad(hand)
    for number in range(rounds):
        hand.go(PAD)
        hand.wait_for(words.FIXED.type_it)
        digits = words.figure(53.0 + number % 9 / 10)
        type_figure(hand, digits)
        slab = words.keep_slab(digits, "volts")
        hand.wait_for(slab)
        node = hand.find(slab)
        out.append(timed(hand, f"^{words.FIXED.take_back}", *node.seen.centre))
    return out


def visited(playwright: Playwright, path: str, site: Host, profile: Path, then: Callable) -> list:
    """Install the page in a profile, and do something there."""
    with pocket(playwright, path, profile) as own:
        hand = own.open(site.url)
        works_without_signal(hand)
        return then(hand)


def rows(rounds: int = 7, many: int = 12) -> list[Row]:
    """The promised ratios: so many starts, so many readings."""
    made = {"bare": bundle(bare()), "app": bundle(app())}
    out = fetched(made)
    path = chromium_path()
    if path is None:
        sys.exit("no Chromium: install one, or set FAREND_CHROMIUM to its path")
    row = rows_of("page")

    def in_app(hand: Phone) -> list[float]:
        pick(hand, words.FIXED.open_file, SAMPLE.name, SAMPLE.read_bytes())
        hand.wait_route(f"/j/{JOB}/now", timeout=20)
        return readings(hand, many)

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        base = Path(folder)
        for name, one in made.items():
            write(one, base / name)
        starts: dict[str, list[float]] = {"bare": [], "app": []}
        with host(base / "bare") as plain, host(base / "app") as ours:
            tap = visited(playwright, path, plain, base / "p-bare", lambda hand: taps(hand, many))
            kept = visited(playwright, path, ours, base / "p-app", in_app)
            plain.off()
            ours.off()
            for _ in range(rounds):
                for name, one in (("bare", plain), ("app", ours)):
                    with pocket(playwright, path, base / f"p-{name}") as own:
                        starts[name].append(started(own, one.url) / 1e3)
    turns = Turns(starts)
    began = f"{turns.ms('app'):.0f} ms, {turns.ms('bare'):.0f} ms"
    each = f"{median(kept):.0f} ms, {median(tap):.0f} ms"
    out.append(row("start", turns.middle("app") / turns.middle("bare"), began))
    return [*out, row("tap", median(kept) / median(tap), each)]


def fetched(made: Mapping[str, Bundle]) -> list[Row]:
    """What a phone fetches once."""
    row = rows_of("page")
    fonts = {name: font_bytes(one) for name, one in made.items()}
    sent = {name: sum(row[2] for row in sizes(one)) for name, one in made.items()}
    rest = {name: sent[name] - fonts[name] for name in made}
    beside = f"{rest['app'] / 1e6:.2f} MB, {rest['bare'] / 1e6:.2f} MB"
    return [
        row("bytes", rest["app"] / rest["bare"], beside),
        row("letters", fonts["app"], f"{fonts['bare']:,} of the bare page"),
    ]


def main() -> int:
    """Print the table."""
    parser = clock.options(__doc__, rounds=7)
    parser.add_argument("--readings", type=int, default=12)
    given = parser.parse_args()
    return told(rows(given.rounds, given.readings))


if __name__ == "__main__":
    sys.exit(main())
