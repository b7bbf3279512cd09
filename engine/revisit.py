"""Coming back: the few readings with which a return visit begins, and what to look at."""

from __future__ import annotations

from attrs import frozen

from engine.entries import VISIT_REASONS
from engine.network import Standing
from engine.say import Say

REASONS = VISIT_REASONS


@frozen
class Ask:
    """One thing to read again, or to look at, on coming back.

    ``kinds`` are read together at ``at`` (volts with milliamps); none: look, at a stop.
    ``minutes`` of work, ``walk_m`` from the ask before. ``shows``: cause and place of all that it
    would show as drifted.
    """

    at: str
    kinds: tuple[str, ...]
    standing: Standing
    stop: str
    minutes: float
    walk_m: float
    shows: tuple[tuple[str, str], ...]
    say: Say
