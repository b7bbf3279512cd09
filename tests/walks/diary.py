"""What a day took: taps, digits and waits by screen, and a picture of each screen that decides."""

from __future__ import annotations

import shutil
import subprocess
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app_process import PATIENCE
from browser import BrowserError
from semantics_read import best, one_line

from fieldapp import words

if TYPE_CHECKING:
    from browser import Phone
    from semantics_read import Node

KEYS = frozenset("0123456789") | {words.FIXED.reading_key_point}
"""the keys of the pad that type a digit or the point"""
SHEET_BYTES = 250_000
"""the most that the small picture of a day may weigh"""
LATE = 5.0
"""a screen that has not moved so long after a press is said to have been silent [s]"""
COLUMNS = ("screen", "visits", "taps", "digits", "letters", "seconds", "longest wait", "looked for")


@dataclass
class Visit:
    """One stay on a screen."""

    screen: str
    began: float
    """[s], of a clock that only runs"""
    taps: int = 0
    """presses that typed no digit"""
    digits: int = 0
    letters: int = 0
    longest: float = 0.0
    """from a press to the first thing that moved [s]"""
    pressed: list[str] = field(default_factory=list)
    looked_for: list[str] = field(default_factory=list)
    """what was pressed and did not stand in sight"""
    ended: float = 0.0


class Diary:
    """Watches a phone from the moment it is made: every tap goes through it."""

    def __init__(self, hand: Phone, folder: Path, day: str) -> None:
        self.hand, self.folder, self.day = hand, folder, day
        self.about = ""
        """what the screen is about where its place does not say it: the kind of a step"""
        self.visits: list[Visit] = []
        self.pictures: list[Path] = []
        self._seen: set[str] = set()
        self._tap, self._type = hand.tap, hand.type_into
        hand.tap, hand.type_into = self.tap, self.type_into
        folder.mkdir(parents=True, exist_ok=True)

    # --- where one is ---------------------------------------------------------------------

    def screen(self) -> str:
        """The screen that is there, in a few words."""
        place, _, asks = self.hand.route.partition("?")
        parts = [one for one in place.split("/") if one]
        if not parts or parts[0] != "j":
            return " ".join(parts) or "jobs"
        name, more = {"practice": "practised"}.get(parts[2], parts[2]), parts[3:]
        if self.hand.has(words.understood()):
            return "caution"
        if name in ("now", "wires", "reel") and len(more) < 2:
            return f"{name}: {self.about}" if self.about and name == "now" else name
        if name == "verdict":
            said = [one for one in words.VERDICTS.values() if self.hand.has(one)]
            return f"verdict: {said[0]}" if said else name
        shown = more[-1] if name in ("read", "reel") else ""
        return f"{name} {shown}".strip() + (" again" if "again=" in asks else "")

    def here(self) -> Visit:
        """The stay on the screen that is there; a new one where it is another."""
        now, name = time.monotonic(), self.screen()
        last = self.visits[-1] if self.visits else None
        if last is not None and last.screen == name:
            return last
        if last is not None:
            last.ended = now
        self.visits.append(Visit(name, now, ended=now))
        if name not in self._seen:
            self._seen.add(name)
            self.picture(name)
        return self.visits[-1]

    def picture(self, name: str) -> None:
        """A picture of what is there, numbered in the order of the day."""
        self.hand.still()
        said = "".join(c if c.isalnum() else "-" for c in name.lower()).strip("-")
        path = self.folder / f"{self.day}-{len(self.pictures) + 1:02d}-{said}.png"
        self.hand.screenshot(path)
        self.pictures.append(path)

    # --- what is pressed ------------------------------------------------------------------

    def tap(self, name: str, **how: Any) -> Node:
        """Tap it as the phone does, noted on the screen where it stood."""
        visit = self.here()
        if name in KEYS and how.get("exact"):
            visit.digits += 1
            return self._tap(name, **how)
        if not self._in_sight(name, how):
            visit.looked_for.append(one_line(name))
        visit.taps += 1
        visit.pressed.append(one_line(name))
        before, began = self.hand.texts(), time.monotonic()
        node = self._tap(name, **how)
        while self._texts() in ("", before) and time.monotonic() - began < LATE:
            self.hand.pause(30)
        visit.longest = max(visit.longest, time.monotonic() - began)
        visit.ended = time.monotonic()
        return node

    def _texts(self) -> str:
        try:
            return self.hand.texts()
        except BrowserError:  # the page is just being exchanged
            return ""

    def _in_sight(self, name: str, how: dict[str, Any]) -> bool:
        """Whether a finger would find it without turning the list, once the screen is there."""

        def called(hidden: bool) -> list[Node]:
            role = how.get("role")
            nodes = [n for n in self.hand.nodes(hidden=hidden) if role in (None, n.role)]
            return best(nodes, name, exact=how.get("exact", False))

        end = time.monotonic() + 1.5 * PATIENCE
        while not (known := called(True)) and time.monotonic() < end:
            self.hand.pause(50)
        whole = max((node.box.height for node in known), default=0.0)
        return any(node.seen.height >= min(40, whole / 2) for node in called(False))

    def type_into(self, name: str, text: str) -> None:
        """Type into a field: its letters are counted, and the tap that opens it."""
        self._type(name, text)
        self.here().letters += len(text)

    # --- what came of it ------------------------------------------------------------------

    @property
    def taps(self) -> int:
        return sum(one.taps for one in self.visits)

    @property
    def digits(self) -> int:
        return sum(one.digits for one in self.visits)

    @property
    def seconds(self) -> float:
        """From the first screen to the last press. [s]"""
        return self.visits[-1].ended - self.visits[0].began if self.visits else 0.0

    def rows(self) -> list[tuple[str, ...]]:
        """One row a screen, in the order in which they were first met."""
        return [_row(name, those) for name, those in _grouped(self.visits, lambda v: v.screen)]

    def write(self, told: Iterable[str]) -> Path:
        """The day as a page: what came of it, then its screens, then every stay with its presses."""
        table = [COLUMNS, ("---",) * len(COLUMNS), *self.rows()]
        stays = [f"- {v.screen}: {', '.join(v.pressed) or 'looked'}" for v in self.visits]
        lines = [f"# {self.day}", "", *told, "", *map(_line, table), "", *stays, ""]
        path = self.folder / f"{self.day}.md"
        path.write_text("\n".join(lines), encoding="utf-8")
        return path


def _row(name: str, visits: list[Visit]) -> tuple[str, ...]:
    """How often, how many presses, how long."""
    looked = dict.fromkeys(one for visit in visits for one in visit.looked_for)
    return (
        name,
        str(len(visits)),
        str(sum(v.taps for v in visits)),
        str(sum(v.digits for v in visits)),
        str(sum(v.letters for v in visits)),
        f"{sum(v.ended - v.began for v in visits):.0f}",
        f"{max(v.longest for v in visits):.1f}",
        "; ".join(looked),
    )


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _grouped(visits: list[Visit], key: Callable[[Visit], str]) -> list[tuple[str, list[Visit]]]:
    groups: dict[str, list[Visit]] = {}
    for visit in visits:
        groups.setdefault(key(visit), []).append(visit)
    return list(groups.items())


def contact_sheet(pictures: list[Path], out: Path, across: int = 8) -> None:
    """The pictures of a day beside each other, as large as their weight allows.

    Raises
    ------
    RuntimeError : no ImageMagick here, or even the smallest is too heavy.
    """
    program = shutil.which("montage")
    if program is None:
        raise RuntimeError("no montage on the path: install the package imagemagick")
    out.parent.mkdir(parents=True, exist_ok=True)
    for wide, colours in ((195, 24), (156, 16), (130, 12), (110, 8)):
        spaced = ["-tile", f"{across}x", "-geometry", f"{wide}x+6+6", "-background", "#c9c5b8"]
        small = ["-colors", str(colours), "+dither", "-depth", "8", f"PNG8:{out}"]
        subprocess.run([program, *map(str, pictures), *spaced, *small], check=True)
        if out.stat().st_size < SHEET_BYTES:
            return
    raise RuntimeError(f"{out} has {out.stat().st_size} bytes, of {SHEET_BYTES}")
