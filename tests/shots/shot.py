"""One picture, and what many of them want done before the shutter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldapp import words

if TYPE_CHECKING:
    from browser import Phone

FIXED = words.FIXED
JOB = "/j/REEDBED-HIDE"
SETTLE = 900
"""milliseconds until fonts and pictures stand still"""


@dataclass(frozen=True)
class Shot:
    """One picture: its name, the place, and what is done there before the shutter."""

    name: str
    place: str
    act: Callable[[Phone], object] = lambda hand: None


def typed(hand: Phone) -> None:
    for key in "47":
        hand.tap(key, exact=True)
    hand.tap(FIXED.reading_key_point, exact=True)
    hand.tap("9", exact=True)


def pressed(name: str) -> Callable[[Phone], object]:
    """Tap the first thing of this name: there may be many."""

    def press(hand: Phone) -> None:
        hand.wait_for(name)
        called = (node for node in hand.nodes() if name in (node.line, node.first_line))
        first = next(node for node in called if node.tappable)
        hand.tap_at(*first.seen.centre)

    return press


def found(name: str) -> Callable[[Phone], object]:
    """Tap the one button of this name, wherever it has to be scrolled to."""
    return lambda hand: hand.tap(name, role="button")


def scrolled(text: str) -> Callable[[Phone], object]:
    return lambda hand: hand.scroll_to(text)


def on_pad(digits: str) -> Callable[[Phone], object]:
    def act(hand: Phone) -> None:
        for key in digits:
            hand.tap(key, exact=True)

    return act


def weighed(hand: Phone) -> None:
    hand.wait_gone(words.weighing(0.5).partition(":")[0])
