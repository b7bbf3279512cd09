"""What a data sheet is called."""

from __future__ import annotations

import re
from typing import Protocol

from fieldapp.words.english.figures import NBSP

_PARTED = re.compile(r"(?<=\d) (?=(?:W|V|AWG|%)(?!\w))")


class Named(Protocol):
    """Whatever has an id, and perhaps a title."""

    @property
    def id(self) -> str: ...

    @property
    def title(self) -> str | None: ...


def held_together(title: str) -> str:
    """A title with its figures bound to their units: it is written by hand, with plain blanks."""
    return _PARTED.sub(NBSP, title)


def sheet_name(sheet: Named) -> str:
    """The sheet's own title; its id where it has none."""
    return held_together(sheet.title or sheet.id)
