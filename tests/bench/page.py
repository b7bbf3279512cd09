"""Measure the installed page against the least page that Flet can make, built the same way.

Both are bundles: the app's, and one of a single button (``bare_page.py``). Told are what a phone
fetches once (gzip), starts with the host gone and a new browser process each (the two in turns),
and a tap: on the bare page to its count, in the app from ``Keep`` to the verdict on screen, the
reading flushed. All as ratios, in one run.
Run: ``python tests/bench/page.py [--rounds N] [--readings N]``; it needs Chromium.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from bare_page import bare  # noqa: E402
from browser import STARTING, Phone, chromium_path  # noqa: E402
from echo import timed  # noqa: E402
from pages import Host, Pocket, host, pick, pocket, works_without_signal  # noqa: E402
from playwright.sync_api import Playwright, sync_playwright  # noqa: E402
from test_journey import JOB, SAMPLE, type_figure  # noqa: E402
from test_phone_page import PAD, at_the_pad  # noqa: E402

from fieldapp import words  # noqa: E402
from fieldapp.phone.bundle import Bundle, app, bundle, sizes, write  # noqa: E402

PROMISED = {"bytes": 1.15, "start": 1.3, "tap": 2.5}
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
    import gzip
    import zipfile
    from io import BytesIO

    sent = sum(
        len(gzip.compress(data, 6)) for name, data in made.files.items() if name.endswith(FONTS)
    )
    with zipfile.ZipFile(BytesIO(site_zip(made))) as site:
        inside = [one for one in site.infolist() if one.filename.endswith(FONTS)]
        return sent + sum(len(gzip.compress(site.read(one), 9)) for one in inside)


def site_zip(made: Bundle) -> bytes:
    """The archive of the site, unpacked once."""
    import gzip

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


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--readings", type=int, default=12)
    asked, path = parser.parse_args(), chromium_path()
    if path is None:
        print("no Chromium", file=sys.stderr)
        return 2
    made = {"bare": bundle(bare()), "app": bundle(app())}
    sent = {name: sum(row[2] for row in sizes(one)) for name, one in made.items()}
    fonts = {name: font_bytes(one) for name, one in made.items()}
    for name in made:
        print(f"{name:6} {sent[name] / 1e6:6.2f} MB sent, of it letters {fonts[name] / 1e6:.2f} MB")
    told("bytes", sent["app"] - fonts["app"], sent["bare"] - fonts["bare"], "without letters")

    def in_app(hand: Phone) -> list[float]:
        pick(hand, words.FIXED.open_file, SAMPLE.name, SAMPLE.read_bytes())
        hand.wait_route(f"/j/{JOB}/now", timeout=20)
        return readings(hand, asked.readings)

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        base = Path(folder)
        for name, one in made.items():
            write(one, base / name)
        starts: dict[str, list[float]] = {"bare": [], "app": []}
        with host(base / "bare") as plain, host(base / "app") as ours:
            tap = visited(
                playwright, path, plain, base / "p-bare", lambda hand: taps(hand, asked.readings)
            )
            kept = visited(playwright, path, ours, base / "p-app", in_app)
            plain.off()
            ours.off()
            for _ in range(asked.rounds):
                for name, one in (("bare", plain), ("app", ours)):
                    with pocket(playwright, path, base / f"p-{name}") as own:
                        starts[name].append(started(own, one.url))
        told("tap", median(kept), median(tap), f"{median(kept):.0f} ms, {median(tap):.0f} ms")
        told(
            "start",
            median(starts["app"]),
            median(starts["bare"]),
            f"{median(starts['app']):.0f} ms, {median(starts['bare']):.0f} ms, host gone",
        )
    return 0


def told(what: str, ours: float, bare: float, how: str) -> None:
    print(f"{what:6} {ours / bare:5.2f} times the bare page; promised {PROMISED[what]}. {how}")


if __name__ == "__main__":
    sys.exit(main())
