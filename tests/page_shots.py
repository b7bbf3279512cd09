"""Photographs of the installed page with no host behind it: ``python -m tests.page_shots DIR [NAME...]``.

Run it at the root of the repository. What the page itself says, before the app is there or where
it is not, is brought about with a worker that does nothing by itself: in both looks, in German, in
letters of twice the size. The app's screens are those of the real one, installed, its host gone.
With ``--page FOLDER`` a bundle that is there already is taken. ``--small FILE`` puts three of the
pictures beside each other as one small one.
"""

from __future__ import annotations

import argparse
import base64
import json
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "bench")]

import pictured_jobs  # noqa: E402
from browser import Phone, chromium_path  # noqa: E402
from page_kit import Kit, brought, doubled, in_german  # noqa: E402
from page_proofs import version  # noqa: E402
from pages import Pocket, built  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from fieldapp import words  # noqa: E402
from fieldapp.words.manner import Manner  # noqa: E402

JOB, FAULT = "REEDBED-HIDE", "F-WALK"
IDLE = """globalThis.Worker = class { constructor() { globalThis.idle = this; } postMessage() {} terminate() {} };"""
"""a worker that does nothing until a picture has it say something"""
FILES = [{"name": "reedbed-hide-record.pdf", "type": "application/pdf", "bytes": [1]}]
LONG = [{**FILES[0], "name": "reedbed-hide-at-the-old-sluice-keepers-house-record.pdf"}]
SAID: dict[str, dict] = {
    "first": {},
    "elsewhere": {"elsewhere": True},
    "moved": {"moved": True},
    "failed": {"failed": "NoModificationAllowedError: no access handle could be made"},
    "save": {"ask": "give", "number": 1, "detail": {"way": "file", "files": FILES}},
    "save-long": {"ask": "give", "number": 1, "detail": {"way": "file", "files": LONG}},
    "share": {"ask": "give", "number": 1, "detail": {"way": "share", "files": FILES}},
}
"""by picture: what the worker says then"""
CAN_SHARE = "Navigator.prototype.canShare = () => true;"
ACTIVE = """Object.defineProperty(navigator, "userActivation", {value: {isActive: false}});"""
LOOKS = {"sun": "light", "dark": "dark"}


def own_page(own: Pocket, url: str, folder: Path, name: str, colour: str, language: str) -> None:
    """Every state of the page without the app."""
    hand = own.open(colour=colour)
    hand.page.add_init_script(IDLE + CAN_SHARE + ACTIVE)
    noted = json.dumps(json.dumps({"language": language}))
    hand.page.add_init_script(f"localStorage.setItem('farend-page', {noted})")
    for what, said in SAID.items():
        hand.page.goto(url, wait_until="load")
        hand.page.evaluate(
            "said => { if (Object.keys(said).length) idle.onmessage({data: said}); }", said
        )
        hand.pause(350)
        hand.screenshot(folder / f"own-{what}-{name}.png")
        over = hand.page.evaluate(
            "() => [...document.querySelectorAll('#first, #sheet[open]')]"
            ".map((el) => [el.id, el.scrollWidth - el.clientWidth, el.scrollHeight - el.clientHeight])"
        )
        print(f"own-{what}-{name}: wider and higher than its window by {over}", flush=True)
    own.close()


def _weighed(hand: Phone) -> None:
    hand.wait_gone(words.weighing(0.5).partition(":")[0], timeout=30)


SCREENS: dict[str, tuple[str, Callable[[Phone], object]]] = {
    "jobs": ("/", lambda hand: None),
    "now": (f"/j/{JOB}/now", lambda hand: None),
    "run": (f"/j/{JOB}/run?at=L2.in", lambda hand: None),
    "verdict": (f"/j/{JOB}/verdict/outside", lambda hand: None),
    "fault": (f"/j/{FAULT}/fault", _weighed),
    "phone": ("/settings/phone", lambda hand: None),
    "settings": ("/settings", lambda hand: None),
}


def app_page(hand: Phone, folder: Path, name: str) -> None:
    """The app's own screens."""
    for what, (place, act) in SCREENS.items():
        hand.go(place)
        hand.pause(1500)
        act(hand)
        hand.still()
        hand.screenshot(folder / f"app-{what}-{name}.png")


def beside(hand: Phone, folder: Path, names: tuple[str, ...], out: Path) -> None:
    """Several pictures as one, each as high as a hand."""
    pictures = [base64.b64encode((folder / name).read_bytes()).decode() for name in names]
    tags = "".join(f"<img src='data:image/png;base64,{one}'>" for one in pictures)
    style = "body{margin:0;display:flex;gap:16px;background:#fff}img{height:560px}"
    page = hand.context.new_page()
    page.set_viewport_size({"width": len(names) * 275 - 16 + 1, "height": 560})
    page.set_content(f"<style>{style}</style>{tags}")
    page.wait_for_timeout(400)
    page.screenshot(path=str(out))


def main() -> int:
    """Write all pictures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--page", type=Path)
    parser.add_argument("--small", type=Path)
    parser.add_argument("--only", choices=("own", "app"))
    asked, path = parser.parse_args(), chromium_path()
    if path is None:
        print("no Chromium", file=sys.stderr)
        return 2
    asked.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        base = Path(folder)
        kit = Kit(playwright, path, asked.page or built(base), base, 0, False)
        for size in ("", "large"):
            if size:
                doubled(base / "p-large")
            with kit.installed(f"p-{size}") as (site, own, hand):
                for doc in (
                    pictured_jobs.worked_on(),
                    *(one for one in _faulty() if one["id"] == FAULT),
                ):
                    brought(hand, pictured_jobs.counted(doc))
                if asked.only != "app":
                    own.close()
                    site.off()
                    for look, language in (("sun", "en"), ("dark", "en"), ("sun", "de")):
                        name = "-".join(filter(None, (look, language, size)))
                        own_page(own, site.url, asked.folder, name, LOOKS[look], language)
                    site.on()
                    hand = own.open(site.url)
                if asked.only == "own":
                    continue
                own.close()
                site.off()
                for look, colour in LOOKS.items():
                    hand = own.open(site.url, colour=colour)
                    app_page(hand, asked.folder, "-".join(filter(None, (look, "en", size))))
                    if look == "sun" and not size and asked.small:
                        three = tuple(
                            f"app-{one}-sun-en.png" for one in ("jobs", "verdict", "phone")
                        )
                        beside(hand, asked.folder, three, asked.small)
                    own.close()
                site.on(version(kit.page, base / f"newer{size}", f"newer{size}"))
                hand = own.open(site.url)
                hand.go("/")
                hand.wait_for(words.newer_line(), timeout=30)
                hand.still()
                hand.screenshot(asked.folder / f"app-newer-sun-en{size}.png")
                site.off()
                in_german(hand)
                with words.speaking(Manner("de")):
                    app_page(hand, asked.folder, "-".join(filter(None, ("sun", "de", size))))
    return 0


def _faulty() -> tuple[dict, ...]:
    return tuple(make() for make in pictured_jobs.FAULTY)


if __name__ == "__main__":
    sys.exit(main())
