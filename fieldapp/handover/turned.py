"""Which letters of a line read from right to left, and how they stand on paper.

A line of the record runs from left to right as a whole, so that a name cannot reorder what stands
beside it.
"""

from __future__ import annotations

import unicodedata
from itertools import groupby

RIGHT_TO_LEFT = frozenset({"R", "AL"})
LEFT_TO_RIGHT, LEFT_MARK = "L", "\u200e"
FIGURES = frozenset({"EN", "AN", "ES", "CS"})
MARK = "NSM"
"""classes of letters (Unicode UAX 9, table 4)"""


def runs(text: str) -> list[tuple[str, bool]]:
    """The text in pieces, each with whether it reads from right to left.

    What has no direction goes with the letters from right to left only between two of them.
    """
    kinds = [unicodedata.bidirectional(letter) for letter in text]
    if RIGHT_TO_LEFT.isdisjoint(kinds):
        return [(text, False)]
    turned = [kind in RIGHT_TO_LEFT for kind in kinds]
    last = None
    for i, kind in enumerate(kinds):
        if turned[i]:
            if last is not None:
                turned[last:i] = [True] * (i - last)
            last = i
        elif kind == LEFT_TO_RIGHT:
            last = None
    pairs = zip(text, turned, strict=True)
    groups = groupby(pairs, key=lambda pair: pair[1])
    return [("".join(letter for letter, _ in group), way) for way, group in groups]


def in_line(text: str) -> str:
    """The text with a mark behind each piece from right to left, so that a figure that follows
    keeps its place beside its unit: a screen turns the letters itself, and the figure with them.

    >>> in_line("Hide, 463 m"), in_line("\u05de\u05d0, 463 m")
    ('Hide, 463 m', '\u05de\u05d0\u200e, 463 m')
    """
    pieces = runs(text)
    return "".join(piece + LEFT_MARK if turned else piece for piece, turned in pieces)


def visual(text: str) -> str:
    """The letters in the order in which they stand from left to right."""
    return "".join(_backwards(piece) if turned else piece for piece, turned in runs(text))


def _backwards(text: str) -> str:
    """Turned about, but for its figures; marks stay behind the letter they belong to."""
    groups: list[str] = []
    was_figure = False
    for letter in text:
        kind = unicodedata.bidirectional(letter)
        is_figure = kind in FIGURES
        if groups and (kind == MARK or (is_figure and was_figure)):
            groups[-1] += letter
        else:
            groups.append(letter)
        was_figure = is_figure
    return "".join(reversed(groups))
