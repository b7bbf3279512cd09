"""Texts from elsewhere made fit to be shown: letters stay, what steers a screen or terminal goes.

Names and notes come in files from anywhere. A control character could move a terminal's cursor
or send it a command; a sign that turns the way of writing could make a name read as another.
Letters of every script stay as they are.
"""

from __future__ import annotations

import re
from typing import Any, TextIO

_STEERING = re.compile(
    "["
    "\x00-\x08\x0b-\x1f\x7f-\x9f"  # C0, DEL and C1; tab and newline aside
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # bidi controls: Unicode UAX 9, section 2
    "\u2028\u2029"  # they end a line where nobody looks for one
    "\ufff9-\ufffb\U000e0000-\U000e007f"  # notes between lines, tags: never drawn
    "\ufeff]"
)
_HALF = re.compile("[\ud800-\udfff]")
"""half of a pair that has no other half: no letter, and no UTF-8"""


def showable(text: str) -> str:
    """The text as it may stand on a screen, in a terminal or in a record.

    Newlines stay, a tab becomes a space, half a surrogate pair the sign for an unreadable letter.

    >>> showable("Hide\\x1b[2J \\u202egnp.exe")
    'Hide[2J gnp.exe'
    """
    return _HALF.sub("\ufffd", _STEERING.sub("", text)).replace("\t", " ")


def escaped(text: str) -> str:
    """The same JSON with what steers, and half pairs, written as escapes: nothing is lost.

    Outside its strings JSON has none of them.
    """
    return _STEERING.sub(_as_escape, _HALF.sub(_as_escape, text))


def _as_escape(found: re.Match[str]) -> str:
    """One letter as JSON escapes it; one beyond the first plane as its pair."""
    units = found[0].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[i]:02x}{units[i + 1]:02x}" for i in range(0, len(units), 2))


class Shown:
    """A stream of text that shows only what is showable; in all else the stream behind it."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Pass a text on, made showable."""
        return self._stream.write(showable(text))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)
