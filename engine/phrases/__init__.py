"""The engine's English: one function a code, parts in, words out.

The app has its own sentences in ``fieldapp/words``; these are what the command line
prints. ``english`` is total over the codes: a test asks for each of them.
"""

from __future__ import annotations

from engine.phrases import (  # noqa: F401, they fill the book
    advice,
    cautions,
    evidence,
    faults,
    findings,
    judging,
    leaving,
    log,
    planning,
    powerup,
    reel,
    remedies,
    steps,
)
from engine.phrases.book import PHRASES, READINGS, Phrase, english

__all__ = ["PHRASES", "READINGS", "Phrase", "english"]
