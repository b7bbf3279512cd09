"""What a press sends to the page and how long that takes, beside Flet's own page with one counter.

Headless: the real component, store and services; every message is packed as for the wire. The job
has 40 boxes, its line is some 2,000 dp wide, its steps are some hundreds of rows. Told are the
shapes on the page's drawings, the bytes of all messages of one press, and the processor's
milliseconds until all is sent; ``echo.py`` times what a finger sees.
Run: ``python tests/bench/sent.py [--rounds N]``.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from statistics import median
from typing import Any

import clock
import flet as ft
import flet.canvas as cv
import headless
import msgpack
import pictured_jobs
from flet.controls.base_control import BaseControl
from flet.messaging.protocol import configure_encode_object_for_msgpack
from headless import CountedWorld, Phone, drive
from promises import rows_of
from rows import Row, told

import fieldapp.app as app

JOB = "/j/POSTS-40"
RUN, PAD, KEEP = "Run of 40 boxes opened", "a key of the pad", "Keep, until the verdict"


@ft.component
def Counter(*_: Any) -> list[ft.View]:
    """One text, one button."""
    count, set_count = ft.use_state(0)
    more = ft.Button("one more", key="more", on_click=lambda: set_count(count + 1))
    return [ft.View(route="/", controls=[ft.Text(f"counted so far: {count}"), more])]


class Sent:
    """Counts what goes over the wire."""

    def __init__(self, phone: Phone) -> None:
        self.bytes = self.messages = 0
        phone.wire.send_message = self._send

    def _send(self, message: Any) -> None:
        encode = configure_encode_object_for_msgpack(BaseControl)
        self.bytes += len(msgpack.packb([message.action, message.body], default=encode))
        self.messages += 1

    def forget(self) -> None:
        """Begin anew."""
        self.bytes = self.messages = 0


def shapes(phone: Phone) -> int:
    """How much is drawn on the page."""
    return sum(len(c.shapes) for c in phone.controls() if isinstance(c, cv.Canvas))


async def counted(rounds: int) -> float:
    """A press on Flet's own page. [ms]"""
    real, app.App = app.App, Counter
    try:
        phone = await Phone.start()
    finally:
        app.App = real
    times = []
    for _ in range(rounds):
        began = time.process_time()
        await phone.tap("more")
        times.append(1000 * (time.process_time() - began))
    phone.stop()
    return median(times)


Act = Callable[[], Awaitable[Any]]


async def measured(sent: Sent, rounds: int, act: Act, back: Act) -> tuple[int, int, float]:
    """Bytes and messages of one act, and how long it takes [ms]; ``back`` undoes it unmeasured."""
    times = []
    for _ in range(rounds):
        sent.forget()
        began = time.process_time()
        await act()
        times.append(1000 * (time.process_time() - began))
        of_one = sent.bytes, sent.messages
        await back()
    return *of_one, median(times)


@dataclass(frozen=True)
class Told:
    """What one act sends, and how long that takes beside Flet's own page. [ms] [times]"""

    shapes: int
    bytes: int
    messages: int
    ms: float
    times: float


async def acts(rounds: int, whole: bool) -> tuple[dict[str, Told], int, int]:
    """Each act by its name; how many rows Steps has, and parts that tell when it is scrolled.

    ``whole`` has the acts on the steps too, which take longest.
    """
    flet, out = await counted(4 * rounds), {}
    world = CountedWorld()
    phone = await Phone.start(world=world, docs=(headless.warned(pictured_jobs.forty()),))
    sent = Sent(phone)
    point = next(
        e["at"] for e in reversed(pictured_jobs.forty()["log"]) if e.get("kind") == "volts"
    )
    other = next(e["at"] for e in pictured_jobs.forty()["log"] if e.get("kind") == "volts")

    def go(route: str) -> Act:
        return lambda: phone.go(route)

    def tap(key: str) -> Act:
        return lambda: phone.tap(key)

    async def row(name: str, act: Act, back: Act, first: Act) -> None:
        await first()
        size, messages, ms = await measured(sent, rounds, act, back)
        await act()
        drawn = shapes(phone)
        await back()
        out[name] = Told(drawn, size, messages, ms, ms / flet)

    async def keep() -> None:
        await phone.tap("keep")

    async def typed() -> None:
        await phone.go(f"{JOB}/read/{point}/volts")
        await phone.digits("47.9")

    async def tick() -> None:
        await phone.tap(next(k for k in phone.keys if k.startswith("tick-")))

    run, pad, steps = f"{JOB}/run?at={other}", f"{JOB}/read/{point}/volts", f"{JOB}/steps"
    await row(RUN, go(run), go("/settings"), go("/settings"))
    await row("another box chosen on it", go(f"{JOB}/run?at={point}"), go(run), go(run))
    await row(PAD, tap("key-4"), tap("key-rub"), go(pad))
    await row(KEEP, keep, typed, typed)
    if whole:
        await row("Steps opened", go(steps), go("/settings"), go("/settings"))
        await row("one step ticked", tick, tick, go(steps))
    await phone.go(steps)
    scrolls = [c for c in phone.controls() if getattr(c, "on_scroll", None) is not None]
    (listed,) = [c for c in phone.controls() if isinstance(c, ft.ListView)]
    phone.stop()
    return out, len(listed.controls), len(scrolls)


def rows(rounds: int = 5, show: bool = False) -> list[Row]:
    """What is promised and told of presses; with ``show`` every act is printed."""
    row, found = rows_of("sent"), []

    async def all_acts() -> None:
        found.append(await acts(rounds, show))

    drive(all_acts)
    ((each, listed, scrolls),) = found
    for name, of in each.items() if show else ():
        print(f"{name:34} {of.shapes:5} shapes {of.bytes:8,} bytes in {of.messages}"
              f" {of.ms:6.1f} ms {of.times:6.1f} times", flush=True)  # fmt: skip
    return [
        row("scroll", scrolls, f"one list of {listed} rows"),
        row("shapes", each[RUN].shapes),
        row("bytes", each[RUN].bytes, f"in {each[RUN].messages} message"),
        row("key", each[PAD].times, f"{each[PAD].ms:.1f} ms, {each[PAD].bytes:,} bytes"),
        row("keep", each[KEEP].times, f"{each[KEEP].ms:.1f} ms, {each[KEEP].bytes:,} bytes"),
    ]


def main() -> int:
    """Print the table."""
    return told(rows(clock.options(__doc__, rounds=5).parse_args().rounds, show=True))


if __name__ == "__main__":
    sys.exit(main())
