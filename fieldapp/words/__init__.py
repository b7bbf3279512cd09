"""The one face of the words: ``words.NAME`` is the name in the language that is spoken here.

Every language is a package with the same names, parts and codes (``tests/test_german.py`` holds
them together); numbers, units and the decimal mark are formatted there and nowhere else. Callers
ask inside functions, never once for all: the next caller may speak another language.
"""

from __future__ import annotations

from types import ModuleType
from typing import TYPE_CHECKING, Any

from fieldapp.words import english, german
from fieldapp.words.manner import (
    LANGUAGES,
    Language,
    Manner,
    decimal_mark,
    manner,
    speak,
    speaking,
)

if TYPE_CHECKING:
    from fieldapp.words.english import *  # noqa: F403

__all__ = ["LANGUAGES", "Language", "Manner", "decimal_mark", "manner", "speak", "speaking"]

FACES: dict[str, ModuleType] = {"en": english, "de": german}


def __getattr__(name: str) -> Any:
    return getattr(FACES[manner().language], name)
