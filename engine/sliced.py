"""Long work in slices: generators that yield now and then, and return what came of it in the end."""

from __future__ import annotations

from collections.abc import Generator
from typing import TypeVar

Result = TypeVar("Result")
Share = TypeVar("Share")
Progress = Generator[float, None, Result]
"""long work yields the share that is done, so that a browser can run it in slices"""
Steps = Generator[None, None, Result]
"""a piece of long work that yields now and then, and knows of no share"""


def part(work: Progress[Result], low: float, high: float) -> Progress[Result]:
    """A part of a longer work: its share done as that of the whole, from ``low`` to ``high``."""
    while True:
        try:
            done = next(work)
        except StopIteration as end:
            result: Result = end.value
            return result
        yield low + (high - low) * done


def at(work: Steps[Result], share: Share) -> Generator[Share, None, Result]:
    """A piece of a longer work, of which so much is done while it lasts."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            result: Result = end.value
            return result
        yield share


def finish(work: Generator[object, None, Result]) -> Result:
    """Run long work to its end without looking at its progress."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            result: Result = end.value
            return result
