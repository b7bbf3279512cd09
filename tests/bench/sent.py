"""What a press sends to the page and how long that takes, beside Flet's own page with one counter.

Headless: the real component, store and services; every message is packed as for the wire. The job
has 40 boxes, its line is some 2,000 dp wide, its steps are some hundreds of rows. Told are the
shapes on the page's drawings, the bytes of all messages of one press, and the processor's
milliseconds until all is sent; ``echo.py`` times what a finger sees.
Run: ``python tests/bench/sent.py [--rounds N]``.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Awaitable, Callable
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

import flet as ft  # noqa: E402
import flet.canvas as cv  # noqa: E402
import headless  # noqa: E402
import msgpack  # noqa: E402
import shots  # noqa: E402
from flet.controls.base_control import BaseControl  # noqa: E402
from flet.messaging.protocol import configure_encode_object_for_msgpack  # noqa: E402
from headless import CountedWorld, Phone, drive  # noqa: E402

import fieldapp.app as app  # noqa: E402

JOB = "/j/POSTS-40"
PAD_TIMES, KEEP_TIMES = 1.5, 2.0
"""what is aimed at in a browser, where drawing takes most of the time: ``echo.py`` measures it"""


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


async def table(rounds: int) -> None:
    """Print a row an act."""
    flet = await counted(4 * rounds)
    print(f"{'Flet, one counter':34} {flet:26.1f} ms")
    world = CountedWorld()
    phone = await Phone.start(world=world, docs=(headless.warned(shots.forty()),))
    sent = Sent(phone)
    point = next(e["at"] for e in reversed(shots.forty()["log"]) if e.get("kind") == "volts")
    other = next(e["at"] for e in shots.forty()["log"] if e.get("kind") == "volts")

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
        print(f"{name:34} {drawn:5} shapes {size:8,} bytes in {messages} {ms:6.1f} ms"
              f" {ms / flet:6.1f} times", flush=True)  # fmt: skip

    async def keep() -> None:
        await phone.tap("keep")

    async def typed() -> None:
        await phone.go(f"{JOB}/read/{point}/volts")
        await phone.digits("47.9")

    async def tick() -> None:
        await phone.tap(next(k for k in phone.keys if k.startswith("tick-")))

    run, pad, steps = f"{JOB}/run?at={other}", f"{JOB}/read/{point}/volts", f"{JOB}/steps"
    await row("Run of 40 boxes opened", go(run), go("/settings"), go("/settings"))
    await row("another box chosen on it", go(f"{JOB}/run?at={point}"), go(run), go(run))
    await row("a key of the pad", tap("key-4"), tap("key-rub"), go(pad))
    await row("Keep, until the verdict", keep, typed, typed)
    await row("Steps opened", go(steps), go("/settings"), go("/settings"))
    rows = sum(key.startswith("tick-") for key in phone.keys)
    await row(f"one step of {rows or 'all'} ticked", tick, tick, go(steps))
    await phone.go(steps)
    scrolls = [c for c in phone.controls() if getattr(c, "on_scroll", None) is not None]
    whole = [c for c in phone.controls() if isinstance(c, ft.ListView)]
    print(f"Steps: {len(whole)} list, {len(whole[0].controls)} rows in it; "
          f"{len(scrolls)} of it tell when it is scrolled")  # fmt: skip
    phone.stop()


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rounds", type=int, default=5)
    rounds = options.parse_args().rounds
    drive(lambda: table(rounds))


if __name__ == "__main__":
    main()
