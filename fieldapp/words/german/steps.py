"""Was zu tun ist: die Handlung, ihr Grund, ihre Vorsicht."""

from __future__ import annotations

from collections.abc import Callable

from engine.say import Say
from fieldapp.words.steps import StepWords

STEPS: dict[str, Callable[..., StepWords]] = {}


def step_words(code: str):
    """Register the words of a step's code."""

    def keep(function: Callable[..., StepWords]) -> Callable[..., StepWords]:
        STEPS[code] = function
        return function

    return keep


def step(said: Say) -> StepWords:
    """The words of a step."""
    return STEPS[said.code](**said.parts)
