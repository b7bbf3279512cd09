"""A finger that draws in a real browser: touches of the screen, one after another."""

from __future__ import annotations

from collections.abc import Iterable
from math import sin
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from browser import Phone

Stroke = Iterable[tuple[float, float]]
STEP_MS = 16
"""between two touches, as a screen reports them"""


def draw(hand: Phone, name: str, *strokes: Stroke) -> None:
    """Draw over the thing called ``name``; points are shares of its width and its height."""
    box = hand.find(name).seen
    device = hand.page.context.new_cdp_session(hand.page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        at = [{"x": box.x + x * box.width, "y": box.y + y * box.height} for x, y in points]
        device.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
        hand.page.wait_for_timeout(STEP_MS)

    for stroke in strokes:
        first, *rest = stroke
        touch("touchStart", first)
        for point in rest:
            touch("touchMove", point)
        touch("touchEnd")
    device.detach()


def scrawl() -> tuple[list[tuple[float, float]], ...]:
    """Something like a name: loops, a bar beneath, a dot."""
    loops = [(0.1 + i / 95, 0.5 - 0.32 * sin(i / 2.1) * (1 - i / 90)) for i in range(60)]
    bar = [(0.3 + i / 20, 0.86 - i / 200) for i in range(9)]
    return loops, bar, [(0.83, 0.3)]
