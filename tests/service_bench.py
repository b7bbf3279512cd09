"""Services on a disk in memory, and all the messages they send."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any

from headless import CountedWorld
from memory_disk import MemoryDisk, open_memory
from samples import sample

from engine.jobfile import read_job
from fieldapp.services import (
    Services,
    Shelf,
)

DRAFT = {"what": "reading", "at": "L2.in", "kind": "volts", "value": 45.1, "meter": "M1"}


class Bench:
    """Services on a disk in memory, and all the messages they send."""

    def __init__(self) -> None:
        self.disk, self.world = MemoryDisk(), CountedWorld()
        self.sent: list[Any] = []

    async def open(self) -> Services:
        self.store = await open_memory(self.disk, now=self.world.stamp, draw=lambda: "d0d0")
        self.shelf = Shelf(self.store, self.world)
        self.services = Services(self.shelf)
        return self.services

    async def do(self, effect: Any) -> list[Any]:
        """The messages that come of one effect."""
        self.sent = []
        await self.services.perform(effect, self.sent.append)
        return self.sent

    async def bring(self, name: str, log: list | None = None) -> None:
        doc = sample(name) if log is None else {**sample(name), "log": log}
        await self.shelf.bring_in(read_job(doc), f"{name}.json")

    def log(self, job: str) -> list[dict]:
        return list(self.shelf.journals[job].records[1:])


def on_a_bench(journey: Callable[[Bench], Awaitable[None]]) -> Callable[[], None]:
    """A test that has a bench of its own."""

    def test() -> None:
        async def whole() -> None:
            bench = Bench()
            await bench.open()
            await journey(bench)

        asyncio.run(whole())

    test.__name__, test.__doc__ = journey.__name__, journey.__doc__
    return test
