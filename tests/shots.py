"""Photographs of every screen in both looks: `python -m tests.shots DIR [large]`.

Run it at the root of the repository. It starts the app on the samples, goes to each place,
brings it into its state by accessible names, and writes SCREEN-STATE-LOOK.png. With `large`
the browser's letters are twice as big, on the screens where that hurts most.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]  # as pytest finds them

from browser import Phone, chromium_path, phone, start_app  # noqa: E402

from fieldapp import words  # noqa: E402

FIXED = words.FIXED
SAMPLES = tuple(sorted((ROOT / "sample_jobs").glob("*.json")))
REEDBED = ROOT / "sample_jobs" / "reedbed-hide.json"
JOB = "/j/REEDBED-HIDE"
LOOKS = {"sun": "light", "dark": "dark"}
SETTLE = 900
"""milliseconds until fonts and pictures stand still"""
READINGS = (
    ("inside", "S.out", "volts", 53.9),
    ("amps", "S.out", "milliamps", 430),
    ("near", "L1.in", "volts", 53.6),
    ("unclear", "A2.line", "volts", 41.5),
    ("outside", "L2.in", "volts", 38.4),
    ("dead", "L2.in", "mbps", 0),
)
DONE = ("announce.site", "meter.site", "feed.S", "off.S", "pull.C3", "terminate.C3", "bond.A1")


def worked_on() -> dict:
    """The reedbed job half done: steps, readings of every verdict, a hold that was waived."""
    bodies: list[dict] = [{"what": "step", "step": step, "state": "done"} for step in DONE]
    bodies += [
        {"id": name, "what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1"}
        for name, at, kind, value in READINGS
    ]
    bodies.append(
        {
            "what": "waive",
            "of": "step.bond.A2",
            "reason": "part on order",
            "by": "P. Quill",
            "role": "warden",
        }
    )
    log = [
        {"id": f"e{n}", "device": "d", "n": n, "by": "Orla", "t": f"2025-06-03T14:{n:02d}:00Z"}
        | body
        for n, body in enumerate(bodies, 1)
    ]
    return {**json.loads(REEDBED.read_text(encoding="utf-8")), "log": log}


def lets_go() -> dict:
    """The sample with long-span units that show too small a class: its port lets go."""
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
    doc["sheets"]["my.longspan"]["class"] = 3
    return doc


def poor() -> dict:
    """The sample with much that warns: clad indoor cable in the sun, poor earth leads."""
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
    cable = doc["sheets"]["my.cable"]
    cable.update(material="clad", outdoor=False)
    del cable["ohms_per_km"]
    doc["boxes"][2]["bond"]["lead_m"] = 2
    doc["boxes"][4]["bond"]["mm2"] = 1
    doc["spans"][3].update(sun=True, bundle=24)
    return doc


@dataclass(frozen=True)
class Shot:
    """One picture: its name, the place, and what is done there before the shutter."""

    name: str
    place: str
    act: Callable[[Phone], object] = lambda hand: None


def _typed(hand: Phone) -> None:
    for key in "47":
        hand.tap(key, exact=True)
    hand.tap(FIXED.reading_key_point, exact=True)
    hand.tap("9", exact=True)


def _pressed(name: str) -> Callable[[Phone], object]:
    """Tap the first thing of this name: there may be many."""

    def press(hand: Phone) -> None:
        hand.wait_for(name)
        first = next(node for node in hand.nodes() if node.line == name and node.tappable)
        hand.tap_at(*first.seen.centre)

    return press


BEGIN = (
    Shot("jobs-empty", "/"),
    Shot("new", "/new"),
    Shot("settings", "/settings"),
)
PLANNED = (
    Shot("jobs-three", "/"),
    Shot("now-first", f"{JOB}/now"),
    Shot("now-fit", f"{JOB}/now?step=fit.L2"),
    Shot("now-bond", f"{JOB}/now?step=bond.A2"),
    Shot("now-volts", f"{JOB}/now?step=volts.L2.in"),
    Shot("now-speeds", f"{JOB}/now?step=speeds.L1.out"),
    Shot("now-pull", f"{JOB}/now?step=pull.C4"),
    Shot("now-cannot", f"{JOB}/now?step=fit.L2", _pressed(FIXED.cannot)),
    Shot("steps-fresh", f"{JOB}/steps"),
    Shot("run-planned", f"{JOB}/run"),
    Shot("read-empty", f"{JOB}/read/L2.in/volts"),
    Shot("read-typed", f"{JOB}/read/A2.line/volts", _typed),
    Shot("read-speed", f"{JOB}/read/C.in/mbps"),
    Shot("leave-held", f"{JOB}/leave"),
    Shot("plan", f"{JOB}/plan"),
)
WORKED = (
    Shot("steps-worked", f"{JOB}/steps"),
    Shot("run-readings", f"{JOB}/run?at=L2.in"),
    Shot("run-unclear", f"{JOB}/run?at=A2.line"),
    Shot("verdict-inside", f"{JOB}/verdict/near"),
    Shot("verdict-outside", f"{JOB}/verdict/outside"),
    Shot("verdict-unclear", f"{JOB}/verdict/unclear"),
    Shot("verdict-speed", f"{JOB}/verdict/dead"),
    Shot("leave-worked", f"{JOB}/leave"),
    Shot("leave-waive", f"{JOB}/leave", _pressed(FIXED.waive)),
    Shot("leave-answers", f"{JOB}/leave", _pressed(FIXED.who_answers)),
)
LETS_GO = (
    Shot("plan-lets-go", f"{JOB}/plan"),
    Shot("run-lets-go", f"{JOB}/run"),
    Shot("leave-lets-go", f"{JOB}/leave"),
)
POOR = (Shot("plan-poor", f"{JOB}/plan"), Shot("run-poor", f"{JOB}/run"))
LARGE = ("now-first", "now-fit", "steps-fresh", "read-empty", "read-typed", "leave-held")
DOUBLE = """document.addEventListener("readystatechange",
  () => { document.documentElement.style.fontSize = "32px"; });"""


@contextmanager
def served(*files: Path) -> Iterator[str]:
    """The app on a folder of its own, with these jobs in it; its address."""
    with tempfile.TemporaryDirectory() as folder:
        args = ["--no-browser", "--port", "0", "--data", folder, *map(str, files)]
        paths = os.pathsep.join((str(ROOT), os.environ.get("PYTHONPATH", "")))
        app = start_app([sys.executable, "-m", "fieldapp", *args], {"PYTHONPATH": paths})
        try:
            yield app.url
        finally:
            app.kill9()


def take(hand: Phone, url: str, shots: tuple[Shot, ...], folder: Path, look: str) -> list[str]:
    """Photograph the shots one after another; what went wrong, one line each."""
    troubles = []
    hand.open(url)
    hand.pause(SETTLE)
    for shot in shots:
        hand.go("/settings")
        hand.wait_route("/settings")
        hand.go(shot.place)
        hand.pause(SETTLE)
        try:
            shot.act(hand)
        except AssertionError as trouble:
            troubles.append(f"{shot.name} {look}: {str(trouble).splitlines()[0]}")
        hand.pause(SETTLE / 2)
        hand.screenshot(folder / f"{shot.name}-{look}.png")
    troubles += [f"{look}: console: {line}" for line in hand.console_errors]
    troubles += [f"{look}: outside: {line}" for line in hand.outside_requests]
    return troubles


def main(folder: Path, large: bool) -> int:
    """Write all pictures into `folder`; 1 if something went wrong on the way."""
    folder.mkdir(parents=True, exist_ok=True)
    executable = chromium_path()
    if executable is None:
        print("no Chromium: install one, or set FAREND_CHROMIUM to its path", file=sys.stderr)
        return 2
    made = {}
    for doc in (worked_on, lets_go, poor):
        made[doc] = folder / f"{doc.__name__}.json"
        made[doc].write_text(json.dumps(doc()), encoding="utf-8")
    sets = (
        (BEGIN, ()),
        (PLANNED, SAMPLES),
        (WORKED, (made[worked_on],)),
        (LETS_GO, (made[lets_go],)),
        (POOR, (made[poor],)),
    )
    troubles = []
    with sync_playwright() as playwright:
        for shots, files in sets:
            if large:
                shots = tuple(shot for shot in shots if shot.name in LARGE)
            for look, colour in LOOKS.items() if shots else ():
                with served(*files) as url, phone(playwright, executable, colour=colour) as hand:
                    if large:
                        hand.page.add_init_script(DOUBLE)
                    name = f"{look}-large" if large else look
                    troubles += take(hand, url, shots, folder, name)
    for path in made.values():
        path.unlink()
    print("\n".join(troubles))
    return 1 if troubles else 0


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3) or sys.argv[2:] not in ([], ["large"]):
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    sys.exit(main(Path(sys.argv[1]), large=len(sys.argv) == 3))
