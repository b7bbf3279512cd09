"""The text of a square code and its squares: a label's second way into the job. Pure.

The text is ``FAREND:1:JOB:THING:`` and two check characters; THING is a box or a span. It has
capitals, digits, ``-`` and ``:`` only, so it takes the alphanumeric mode of ISO/IEC 18004.

The check is of the form that ISO/IEC 7064 (from memory) calls pure, with two characters, as its
MOD 1271-36 is. That standard's alphabet lacks ``-`` and ``:``, and a character left out of the sum
is not looked after; so the text is read as a number of base 38, and the check is its remainder by
1291, a prime, written in base 36. As 1291 divides no difference of two characters, no power of 38
and neither 37 nor 39, every single wrong character and every swap of neighbours is found; any
other mistake passes once in 1291 times.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from attrs import frozen
from qrcode.exceptions import DataOverflowError

from fieldapp.handover.masks import best, coded, field_of

NAME, EDITION = "FAREND", "1"
LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SIGNS = f"{LETTERS}-:"
PRIME = 1291
"""the largest prime below 36², so that two letters hold every remainder"""
VERSION = 3
"""as small as it gets, so that the codes of one job look alike; a longer text takes a larger one"""
MOST_LETTERS = 34
"""of JOB and THING together at version 3, level Q: 47 characters (computed from qrcode 8.2)"""
QUIET = 4
"""blank modules on all sides (ISO/IEC 18004, published by its inventor)"""

FOREIGN, NEWER, PARTS, MISTYPED = "code-foreign", "code-newer", "code-parts", "code-mistyped"
"""why a text is not taken for a code"""

Bar = tuple[int, int, int]
"""column and row of its left end, and its length. [modules, the quiet rim included]"""


class BadCode(Exception):
    """A text that is no code of ours; ``why`` says which of the four it is."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class TooLong(Exception):
    """A text that no square code holds."""


@frozen
class Code:
    """What a square code names: a job, and a box or span of it. Ids are without case: capitals."""

    job: str
    thing: str


@frozen
class Square:
    """The modules of a square code without its quiet rim, row by row, True = black."""

    text: str
    version: int
    rows: tuple[tuple[bool, ...], ...]

    @property
    def side(self) -> int:
        """Modules of one side, the quiet rim included."""
        return len(self.rows) + 2 * QUIET

    @property
    def is_larger(self) -> bool:
        """Whether its ids are too long for the usual version."""
        return self.version > VERSION

    def bars(self) -> Iterator[Bar]:
        """The black bars of all rows."""
        return _bars(self.rows)

    def joins(self) -> Iterator[Bar]:
        """Where two rows are black one below the other: bars with the upper one's row."""
        return _bars(
            tuple(a and b for a, b in zip(row, below, strict=True))
            for row, below in pairwise(self.rows)
        )


def check(text: str) -> str:
    """The two check characters of a text made of ``SIGNS``.

    >>> check("FAREND:1:HERON-HIDE:B1:")
    'BW'
    """
    left = 0
    for sign in text:
        left = (left * len(SIGNS) + SIGNS.index(sign)) % PRIME
    return LETTERS[left // len(LETTERS)] + LETTERS[left % len(LETTERS)]


def code_text(job: str, thing: str) -> str:
    """What the square code of a box or span says.

    Raises
    ------
    ValueError : an id has more in it than letters of A to Z, digits and ``-``.
    """
    if not (_is_id(job.upper()) and _is_id(thing.upper())):
        raise ValueError(f"{job!r}, {thing!r}: an id has letters, digits and - only")
    text = f"{NAME}:{EDITION}:{job.upper()}:{thing.upper()}:"
    return text + check(text)


def read_code(text: str) -> Code:
    """The job and thing of a code that was typed, pasted or read; case and blanks do not count.

    Raises
    ------
    BadCode : with ``why``: not one of ours, of a later edition, a part missing, or mistyped.
    """
    whole = "".join(text.split()).upper()
    name, *parts = whole.split(":")
    if name != NAME:
        raise BadCode(FOREIGN)
    if parts and parts[0].isdecimal() and parts[0] != EDITION:
        raise BadCode(NEWER)
    if len(parts) != 4 or not all(parts):
        raise BadCode(PARTS)
    if not set(whole) <= set(SIGNS) or check(whole[: -len(parts[3])]) != parts[3]:
        raise BadCode(MISTYPED)
    return Code(parts[1], parts[2])


def square_of(text: str) -> Square:
    """The square code of a text of ``SIGNS``, at level Q, in the least version from 3 up.

    Raises
    ------
    TooLong : no version holds it.

    Source
    ------
    ISO/IEC 18004, through ``qrcode``; its matrix needs no picture library.
    """
    try:
        maker = coded(text, VERSION, 0)
    except (DataOverflowError, ValueError) as error:
        raise TooLong(text) from error
    field = best(field_of(maker.get_matrix()), maker.version)
    return Square(text, maker.version, field.lines())


def _is_id(text: str) -> bool:
    return bool(text) and set(text) <= set(LETTERS) | {"-"}


def _bars(rows: Iterable[tuple[bool, ...]]) -> Iterator[Bar]:
    for y, row in enumerate(rows, QUIET):
        start = None
        for x, black in enumerate((*row, False), QUIET):
            if black and start is None:
                start = x
            elif not black and start is not None:
                yield start, y, x - start
                start = None
