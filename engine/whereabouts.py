"""A place in a file and what stands there, in the words that a person is told."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Iterable
from typing import Any

LONGEST_SHOWN = 40
"""letters of what was found, or of a key in a place"""
LONGEST_LIKENED = 80
"""letters of a word that is looked for among the known ones; no known one is longer"""
_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]+")
MISSING: Any = object()
"""what stands where a key is missing"""


def show(value: Any) -> str:
    """A JSON value as a short word for a person."""
    if value is MISSING:
        return "nothing"
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    text = json.dumps(value, ensure_ascii=True)
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."


At = str | tuple[Any, str | int]
"""a place: its text, or that above it and a key; of most, which are read well, no text is made"""


def place(at: At) -> str:
    """A place as text."""
    return at if isinstance(at, str) else join(*at)


def join(at: At, key: str | int) -> str:
    """The place of ``key`` below ``at``: ``boxes[2].sheet``, ``sheets["my.radio"].watts``."""
    at = place(at)
    if isinstance(key, int):
        return f"{at}[{key}]"
    if len(key) > LONGEST_SHOWN or not _PLAIN_KEY.fullmatch(key):
        return f"{at}[{show(key)}]"
    return f"{at}.{key}" if at else key


def nearest(word: object, choices: Iterable[object]) -> str | None:
    """The known word most like the one found, if any is near."""
    if len(str(word)) > LONGEST_LIKENED:
        return None
    known = [str(choice) for choice in choices]
    lowered = {choice.lower(): choice for choice in known}
    found = difflib.get_close_matches(str(word).lower(), lowered, n=1, cutoff=0.6)
    return lowered[found[0]] if found else None
