"""Measure how soon the falling line moves after a tap, against what Flet needs to echo a tap.

Chromium shows two apps in turns: the real one on the reedbed sample, and a page of Flet's own
kind with one text and one button that counts. Inside the page the time is taken from the finger
leaving the glass to the accessible name that changes: the count, the digits of the pad, the
volts of the falling line. All is told as a ratio to the count, in one run.
Run: ``python tests/bench/echo.py [--rounds N]``; it needs Chromium.
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import clock
import flet as ft
from app_process import App, start_app
from browser import Phone, chromium_path, phone
from clock import ROOT, SAMPLES, Turns
from playwright.sync_api import sync_playwright
from promises import rows_of
from rows import Row, told

from fieldapp import words
from fieldapp.webserver import serve

REEDBED = SAMPLES / "reedbed-hide.json"
JOB = "/j/REEDBED-HIDE"
COUNTED = "counted so far: "
SETTLE_MS = 350
"""between two taps, so that none waits for the other"""

WATCH = """(wanted) => {
  const names = () => [...document.querySelectorAll("flt-semantics, flt-semantics *")].map(
    (el) => el.getAttribute("aria-label") || (el.children.length ? "" : el.textContent));
  const shown = () => names().find((name) => new RegExp(wanted).test(name)) || "";
  const before = shown();
  const told = {before, lifted: 0, ms: null, after: ""};
  window.told = told;
  const lift = () => { told.lifted = told.lifted || performance.now(); };
  window.addEventListener("pointerup", lift, {capture: true, once: true});
  const look = new MutationObserver(() => {
    const after = shown();
    if (told.lifted && told.ms === null && after && after !== before) {
      told.ms = performance.now() - told.lifted;
      told.after = after;
      look.disconnect();
    }
  });
  look.observe(document.body, {subtree: true, childList: true, characterData: true,
                               attributes: true, attributeFilter: ["aria-label"]});
}"""


@ft.component
def Counter() -> ft.Control:
    """One text, one button."""
    count, set_count = ft.use_state(0)
    return ft.Column(
        [
            ft.Text(f"{COUNTED}{count}"),
            ft.Button("one more", on_click=lambda: set_count(count + 1), width=200, height=80),
        ]
    )


async def serve_counter() -> None:
    """The counting page at an address of its own, which is printed."""

    def main(page: ft.Page) -> None:
        page.render(Counter)

    with tempfile.TemporaryDirectory() as folder:
        await serve(
            main,
            assets_dir=ROOT / "fieldapp" / "assets",
            web_dir=Path(folder) / "client",
            on_ready=lambda address: print(address, flush=True),
        )


def timed(hand: Phone, wanted: str, x: float, y: float) -> float:
    """From a finger leaving the glass here to another name of this form. [ms]"""
    hand.pause(SETTLE_MS)
    hand.page.evaluate(WATCH, wanted)
    hand.tap_at(x, y)
    hand.wait_until(lambda: hand.page.evaluate("() => window.told.ms !== null"), 15, wanted)
    return float(hand.page.evaluate("() => window.told.ms"))


def press(name: str, wanted: str) -> Callable[[Phone], float]:
    """A measured tap on what is called so."""

    def act(hand: Phone) -> float:
        hand.scroll_to(name)
        return timed(hand, wanted, *hand.find(name).seen.centre)

    return act


LINE = "^Volts: "
"""the falling line, as it is said"""
TYPED = words.tried_type("[0-9]+.m")
"""the value that is tried, as it is said"""


def count(hand: Phone) -> Iterator[float]:
    """Flet's own echo."""
    act = press("one more", f"^{COUNTED}")
    while True:
        yield act(hand)


def pad(hand: Phone) -> Iterator[float]:
    """A key of the pad, which moves the digits."""
    hand.go("/new")
    hand.wait_for(words.how_far())
    while True:
        for key in ("4", "1"):
            node = hand.find(key, exact=True, role="button")
            yield timed(hand, words.far_metres("[0-9]+"), *node.seen.centre)
        for _ in range(2):
            hand.tap(words.FIXED.reading_key_rub)


def keeps(hand: Phone) -> Iterator[float]:
    """Keep, until the verdict is there, inside; the same point again and again."""
    any_word = f"^(?:{'|'.join(words.VERDICTS.values())})$"
    while True:
        hand.go(f"{JOB}/read/L1.in/volts")
        while not hand.has(words.FIXED.type_it):
            if hand.has(words.understood()):  # once a stop and a day
                hand.tap(words.understood(), role="button")
            hand.pause(SETTLE_MS)
        for key in ("5", "3", words.FIXED.reading_key_point, "9"):
            hand.tap(key, exact=True, role="button")
        hand.wait_for(words.keep_slab("53.9", "volts"))
        node = hand.find(words.keep_slab("53.9", "volts"))
        yield timed(hand, any_word, *node.seen.centre)


def edits(hand: Phone) -> Iterator[float]:
    """A joint put into C4, and taken back."""
    while True:
        hand.go(f"{JOB}/plan/C4")
        hand.wait_for(words.put_into("C4"))
        yield press("joint", LINE)(hand)
        yield press(words.FIXED.undo, LINE)(hand)


def steps(hand: Phone) -> Iterator[float]:
    """One step of a what-if, up and down."""
    hand.go(f"{JOB}/whatif/C4")
    hand.wait_for(words.tried_up(""))
    while True:
        yield press(words.tried_up(""), TYPED)(hand)
        yield press(words.tried_down(""), TYPED)(hand)


def jumps(hand: Phone) -> Iterator[float]:
    """A press on the ruler of a what-if, to and fro: as a drag, one event at a time."""
    hand.go(f"{JOB}/whatif/C4")
    hand.wait_for(words.tried_up(""))
    ruler = hand.find(words.tried_slider(words.TRIED["length"])).box
    while True:
        for share in (0.2, 0.9):
            x, y = ruler.x + share * ruler.width, ruler.y + 0.45 * ruler.height
            yield timed(hand, LINE, x, y)


ACTS = {act.__name__: act for act in (pad, keeps, edits, steps, jumps)}


@contextmanager
def apps(files: tuple[Path, ...]) -> Iterator[tuple[App, App]]:
    """The real app on these jobs, and the counting page."""
    with tempfile.TemporaryDirectory() as folder:
        args = ["--no-browser", "--port", "0", "--data", folder, *map(str, files)]
        paths = {"PYTHONPATH": str(ROOT)}
        real = start_app([sys.executable, "-m", "fieldapp", *args], paths)
        plain = start_app([sys.executable, __file__, "--counter"], paths)
        try:
            yield real, plain
        finally:
            real.kill9()
            plain.kill9()


def rows(rounds: int = 12) -> list[Row]:
    """The promised ratios."""
    chromium = chromium_path()
    if chromium is None:
        sys.exit("no Chromium: install one, or set FAREND_CHROMIUM to its path")
    row, out = rows_of("echo"), []
    with (
        apps((REEDBED,)) as (real, plain),
        sync_playwright() as playwright,
        phone(playwright, chromium) as other,
        phone(playwright, chromium) as hand,
    ):
        other.open(plain.url)
        hand.open(real.url)
        echo = count(other)
        next(echo)
        for name, act in ACTS.items():
            hand.go("/settings")
            hand.pause(SETTLE_MS)
            taps = act(hand)
            next(taps), next(taps)
            there_and_back = rounds + rounds % 2  # what is put in is taken out again
            pairs = [(next(echo) / 1e3, next(taps) / 1e3) for _ in range(there_and_back)]
            turns = Turns(dict(zip(("flet", "ours"), zip(*pairs, strict=True), strict=True)))
            beside = f"{turns.ms('ours'):.0f} ms, Flet's own echo {turns.ms('flet'):.0f} ms"
            out.append(row(name, turns.times("ours", "flet"), beside))
    return out


def main() -> int:
    """Print the table."""
    options = clock.options(__doc__, rounds=12)
    options.add_argument("--counter", action="store_true", help="serve the counting page only")
    given = options.parse_args()
    if given.counter:
        asyncio.run(serve_counter())
        return 0
    return told(rows(given.rounds))


if __name__ == "__main__":
    sys.exit(main())
