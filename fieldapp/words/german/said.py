"""Was an einem Plan auffällt, und was gesagt wird, wenn etwas anders ging."""

from __future__ import annotations

from collections.abc import Callable

from engine.say import Say

SAYS: dict[str, Callable[..., str]] = {}


def says(code: str):
    """Register the sentence of a code."""

    def keep(function: Callable[..., str]) -> Callable[..., str]:
        SAYS[code] = function
        return function

    return keep


def sentence(said: Say) -> str:
    """The sentence of a statement."""
    return SAYS[said.code](**said.parts)
