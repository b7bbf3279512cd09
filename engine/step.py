"""The nouns of the work: one step, and what it asks to be measured."""

from __future__ import annotations

from attrs import frozen

from engine.say import Say

PARTS = ("arrive", "off", "pull", "fit", "look", "power", "load", "leave")
"""the parts of the work, in order"""


@frozen
class Asks:
    """What a step wants measured."""

    at: str
    kind: str


@frozen
class Step:
    """One thing to do at one stop."""

    id: str
    stop: str
    part: str
    say: Say
    power: str
    minutes: float
    holds: str | None
    """who may waive it when it forbids leaving; None when it does not hold"""
    box: str | None = None
    span: str | None = None
    both_ends: bool = False
    asks: Asks | None = None
    after: tuple[str, ...] = ()
    state: str = "open"
    reopened_by: str | None = None
