"""Texts broken into lines by the widths of their letters."""

from __future__ import annotations

import re
import unicodedata

from fieldapp.handover.pdf.letters import Typeface, plain, typeface

GAPS = re.compile("[ \u2003\u2009]+")
"""where a line may end; a space that does not break is none"""
CLINGING = ("M", "Cf", "Sk")
"""categories of what is not parted from the letter before"""


def words_of(text: str) -> list[str]:
    """The words of a text as it is written."""
    return [word for word in GAPS.split(plain(text)) if word]


def broken(text: str, face: str, size: float, width: float, indent: float = 0.0) -> list[str]:
    """The lines of a text in this room; at least one, and never a wider one but for one letter.

    A word too long for a line is broken anywhere. The first line begins at ``indent``.

    >>> broken("falls to 41 volts", "T", 10, 45)
    ['falls to', '41 volts']
    """
    letters = typeface(face)
    space = letters.width(size, " ")
    lines: list[str] = []
    line, used = "", indent
    for word in words_of(text):
        wide = letters.width(size, word)
        if line and used + space + wide <= width:
            line, used = f"{line} {word}", used + space + wide
            continue
        if line or (indent and not lines and used + wide > width):
            lines.append(line)
            line, used = "", 0.0
        while wide > width - used:
            cut = _fitting(word, letters, size, width - used)
            lines.append(word[:cut])
            word, used = word[cut:], 0.0
            if not word:
                break
            wide = letters.width(size, word)
        else:
            line, used = word, used + wide
    if line or not lines:
        lines.append(line)
    return lines


def _fitting(word: str, letters: Typeface, size: float, width: float) -> int:
    """How many letters of a word fit, one at least; marks stay with their letter."""
    used = 0.0
    count = 0
    for letter in word:
        used += letters.advance(letter) * size / 1000
        if used > width:
            break
        count += 1
    while 1 < count < len(word) and _clings(word[count]):
        count -= 1
    return max(count, 1)


def _clings(letter: str) -> bool:
    return unicodedata.category(letter).startswith(CLINGING)


def longest_word(text: str, face: str, size: float) -> float:
    """The room without which a word would be broken."""
    letters = typeface(face)
    return max((letters.width(size, word) for word in words_of(text)), default=0.0)


def whole(text: str, face: str, size: float) -> float:
    """The room in which a text stands in one line."""
    return typeface(face).width(size, " ".join(words_of(text)))
