"""The shape of a window, from its size alone: here and nowhere else it is decided how things stand."""

from __future__ import annotations

UPRIGHT, TURNED, WIDE = "upright", "turned", "wide"
"""a phone in the hand, a phone on its side, room for two columns"""
WIDE_FROM, LIST_FROM = 840.0, 1240.0
"""widths from which there are two columns, and a third one in the plan [dp]"""
TURNED_UNDER, TURNED_FROM = 480.0, 560.0
"""a phone lies on its side when it is lower than the one and at least as wide as the other: the
keys that come up over an upright one leave it low, but not wide [dp]"""
COLUMN = 640.0
"""no column of text is wider [dp]"""


def shape_of(width: float, height: float) -> str:
    """The shape of a window of this size [dp]."""
    if height < TURNED_UNDER:
        return TURNED if width >= TURNED_FROM else UPRIGHT
    return WIDE if width >= WIDE_FROM else UPRIGHT


def has_list(width: float, height: float) -> bool:
    """Whether the plan has a third column, for the sheets of what is chosen."""
    return shape_of(width, height) == WIDE and width >= LIST_FROM
