"""Who may come in from the network: a one-time code, and what a wrong one costs. Pure.

The door is a value; ``knock`` gives the door as it is afterwards. Time is seconds of any clock
that only runs forward, and what is drawn by chance comes from outside.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from dataclasses import dataclass, replace

DIGITS = 8
"""of a code: one wrong guess in a hundred million is right, and guesses are slow"""
FIRST_WAIT, LONGEST_WAIT = 1.0, 60.0
"""after a wrong code the door looks at no other for so long; doubled each time [s]"""
WRONG_A_CODE = 10
"""so many wrong ones, and another code counts: what was learned by guessing is worth nothing"""
MOST_INSIDE = 16
"""phones let in at a time; the one that came first is sent out"""

TOO_SOON, WRONG, OPENED = "too-soon", "wrong", "opened"


@dataclass(frozen=True)
class Door:
    """The code of the moment, who is inside, and what was tried.

    ``inside``: the tokens given out, oldest first. ``wrong``: wrong codes in all; ``in_a_row``:
    since somebody came in; ``of_this``: since this code was drawn. ``shut_until``: time before
    which no code is looked at [s].
    """

    code: str
    inside: tuple[str, ...] = ()
    wrong: int = 0
    in_a_row: int = 0
    of_this: int = 0
    shut_until: float = 0.0


@dataclass(frozen=True)
class Answer:
    """What a knock brought: ``opened`` with a token, ``wrong``, or ``too-soon``; then the wait [s]."""

    what: str
    token: str = ""
    wait: float = 0.0


def knock(door: Door, given: str, now: float, code: str, token: str) -> tuple[Door, Answer]:
    """Try a code. ``code`` and ``token`` are fresh ones, used where this needs them."""
    if now < door.shut_until:
        return door, Answer(TOO_SOON, wait=door.shut_until - now)
    if _same(plain(given), door.code):
        inside = (*door.inside, token)[-MOST_INSIDE:]
        return Door(code, inside, door.wrong), Answer(OPENED, token)
    wait = min(FIRST_WAIT * 2.0 ** min(door.in_a_row, 30), LONGEST_WAIT)
    spent = door.of_this + 1 >= WRONG_A_CODE
    after = replace(
        door,
        code=code if spent else door.code,
        wrong=door.wrong + 1,
        in_a_row=door.in_a_row + 1,
        of_this=0 if spent else door.of_this + 1,
        shut_until=now + wait,
    )
    return after, Answer(WRONG, wait=wait)


def is_inside(door: Door, tokens: Iterable[str]) -> bool:
    """Whether one of these tokens was given out here."""
    return any(_same(token, one) for token in tokens for one in door.inside)


def plain(given: str) -> str:
    """A code as typed, without what people put between digits.

    >>> plain(" 4823-0917")
    '48230917'
    """
    return "".join(given.replace("-", " ").split())


def shown(code: str) -> str:
    """A code as it is read aloud.

    >>> shown("48230917")
    '4823 0917'
    """
    half = len(code) // 2
    return f"{code[:half]} {code[half:]}"


def _same(a: str, b: str) -> bool:
    """Whether two texts are one, in a time that does not tell how far they agree."""
    return hmac.compare_digest(a.encode("utf-8", "replace"), b.encode("utf-8", "replace"))
