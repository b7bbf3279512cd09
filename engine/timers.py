"""Clocks that were started in the log: which still run, and what is left of each."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TypeGuard

from attrs import frozen

from engine.job import Point
from engine.log import State

STARTED, ROUND = "x_timer", "x_round"
"""keys of a note: seconds that were started at a step, and which time in turn"""

WAIT = "wait."
"""what stands in front of a box whose coming up is waited for; a reading there ends it"""


@frozen
class Timer:
    """A clock that somebody started. What is left of it only a clock can tell."""

    step: str
    seconds: float
    started: str
    """RFC 3339"""
    entry: str
    round: int = 1
    """which in turn: a cold start is done twice"""


def timers(state: State) -> Mapping[str, Timer]:
    """The last clock started for each step since the last word on it."""
    out: dict[str, Timer] = {}
    ended = _ended(state)
    for place, entry in state.notes_with(STARTED):
        seconds, step = entry.body[STARTED], entry.body.get("at")
        started = entry.t or ""
        if not step or _time(started) is None or not _is_number(seconds) or seconds <= 0:
            continue
        if place > ended.get(step, -1):
            turn = entry.body.get(ROUND)
            turn = int(turn) if _is_number(turn) and turn >= 1 else 1
            out[step] = Timer(step, float(seconds), started, entry.id, turn)
    return out


def _ended(state: State) -> dict[str, int]:
    """Place of the last word on each step, and of the last reading at each box."""
    out = {name: mark.place for name, mark in state.steps.items()}
    for reading in state.readings:
        box = Point.parse(reading.at).box
        if box and reading.id not in state.voided:
            out[WAIT + box] = max(reading.place, out.get(WAIT + box, -1))
    return out


def left(timer: Timer, now: str) -> float:
    """What is left of a clock; 0 when it is over. [s]

    A clock of the phone that was put back leaves no more than there was.

    Parameters
    ----------
    now : the time, RFC 3339.

    >>> left(Timer("full.E", 900, "2031-05-04T09:00:00Z", "e1"), "2031-05-04T09:10:00Z")
    300.0
    """
    gone = datetime.fromisoformat(now) - datetime.fromisoformat(timer.started)
    return min(max(timer.seconds - gone.total_seconds(), 0.0), timer.seconds)


def _time(text: str) -> datetime | None:
    """A time as the log writes it, or None where it is none (a month 13)."""
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)
