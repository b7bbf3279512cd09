"""How the words are said: the language, and the units that the technician thinks in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import NamedTuple


@dataclass(frozen=True)
class Manner:
    """``language``: a key of ``LANGUAGES``; ``lengths``: ``metres`` or ``feet``; ``wire``: how
    thick a conductor is, ``mm2`` or ``awg``."""

    language: str = "en"
    lengths: str = "metres"
    wire: str = "mm2"


class Language(NamedTuple):
    """The name a language has for itself, and its decimal mark."""

    name: str
    mark: str


LANGUAGES = {"en": Language("English", "."), "de": Language("Deutsch", ",")}

EVERYDAY = Manner()
_HERE: ContextVar[Manner] = ContextVar("manner", default=EVERYDAY)
"""Of the task at work: two people at one server need not speak alike."""


def manner() -> Manner:
    """How words are said here and now."""
    return _HERE.get()


def speak(how: Manner) -> None:
    """From here on, in this task and those it starts, words are said so."""
    _HERE.set(how)


@contextmanager
def speaking(how: Manner) -> Iterator[None]:
    """Words are said so within this block."""
    before = _HERE.set(how)
    try:
        yield
    finally:
        _HERE.reset(before)


def decimal_mark() -> str:
    """What stands between a figure's whole and its tenths."""
    return LANGUAGES[_HERE.get().language].mark
