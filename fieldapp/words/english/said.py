"""Statements by their code: each file of words enters those it says."""

from __future__ import annotations

from collections.abc import Callable

from engine.say import Say
from fieldapp.words import codes

SAYS: dict[str, Callable[..., str]] = {}

says = codes.entered_in(SAYS)


def sentence(said: Say) -> str:
    """The sentence of a statement."""
    return SAYS[said.code](**said.parts)
