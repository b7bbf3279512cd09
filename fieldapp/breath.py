"""A pause in long work, so that what was pressed meanwhile is answered.

In the browser's Python the loop's own ``sleep(0)`` is no such pause: its turns come before what
the page has sent, which then waits for tenths of a second. A message of one's own stands behind
those of the page, and what they set going is given a few turns more.
"""

from __future__ import annotations

import asyncio
import sys
import time
from collections.abc import Generator
from typing import Any

from engine.sliced import Result

SLICE = 0.02
"""so long something is worked on before everything else has its turn (ours) [s]"""
TURNS = 6
"""of the loop that an answer to a press may take until it is on its way (ours)"""


async def breathe() -> None:
    """Let all have their turn that wait for one, messages from the page among them."""
    if sys.platform == "emscripten":
        await _behind_messages()
    for _ in range(TURNS):
        await asyncio.sleep(0)


class Breath:
    """Long work that breathes now and then: ``taken`` is awaited at each of its steps."""

    def __init__(self) -> None:
        self._since = time.perf_counter()

    @property
    def is_due(self) -> bool:
        """Whether one has worked long enough."""
        return time.perf_counter() - self._since > SLICE

    async def taken(self, *, now: bool = False) -> None:
        """Breathe if it is time, or ``now``."""
        if now or self.is_due:
            await breathe()
            self._since = time.perf_counter()


async def in_slices(work: Generator[Any, None, Result]) -> Result:
    """What comes of long work, everything else having its turn in between."""
    breath = Breath()
    while True:
        try:
            next(work)
        except StopIteration as end:
            result: Result = end.value
            return result
        await breath.taken()


async def _behind_messages() -> None:
    """Wait until the browser has handed over all messages that came before."""
    from js import MessageChannel
    from pyodide.ffi import create_once_callable

    turn = asyncio.get_running_loop().create_future()

    def came(_event: object) -> None:
        if not turn.done():
            turn.set_result(None)

    channel = MessageChannel.new()
    channel.port1.onmessage = create_once_callable(came)
    channel.port2.postMessage(None)
    try:
        await turn
    finally:
        channel.port1.close()
