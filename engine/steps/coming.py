"""Steps on coming back to a site that was left: what is read again, what is looked at.

There are none on a first stay. Which they are is worked out for a return as a whole (``revisit``);
here each becomes a step. None of them holds anybody on site: nobody is made to measure again, but
what was seen to have drifted is a hold of its own (``leave``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from engine.cautions import READ_LIKE
from engine.job import Point
from engine.log import stop_of
from engine.step import AGAIN, BACK, Asks
from engine.steps.rule import Found, Rule
from engine.study import Prediction

if TYPE_CHECKING:
    from engine.revisit import Ask

LOOK_OVER = "lookover"
NEEDS = {"volts": ("break-out lead",), "loop_ohms": ("far-end short",)}
"""what a kind of reading needs besides a meter"""


def rules(asks: Iterable[Ask]) -> tuple[Rule, ...]:
    """The rows of one return: a row for each kind of reading, and one for what is looked at."""
    rows: dict[str, list[Ask]] = {}
    for ask in asks:
        rows.setdefault(ask.kind, []).append(ask)
    looked_last = sorted(rows.items(), key=lambda row: not row[0])
    return tuple(_rule(kind, tuple(group)) for kind, group in looked_last)


def part_of(rule: Rule, on_return: bool) -> str:
    """In which part of the work a row comes: what everybody does on arriving goes in front of
    what a return begins with."""
    return BACK if on_return and rule.each_visit else rule.part


def _rule(kind: str, asks: tuple[Ask, ...]) -> Rule:
    def find(prediction: Prediction) -> Iterator[Found]:
        for ask in asks:
            yield _found(prediction, ask)

    if not kind:
        return Rule(LOOK_OVER, BACK, "any", 0, find, ("announce@all",), each_visit=True)
    _, power = READ_LIKE.get(kind, (kind, "live"))
    return Rule(
        AGAIN,
        BACK,
        power,
        0,
        find,
        ("announce@all", "meter@all"),
        needs=NEEDS.get(kind, ()),
        both_ends=kind == "loop_ohms",
    )


def _found(prediction: Prediction, ask: Ask) -> Found:
    job = prediction.job
    box = Point.parse(ask.at).box
    return Found(
        f"{ask.at}.{ask.kind}" if ask.kinds else ask.stop,
        ask.stop,
        ask.say,
        box=box if box in job.boxes and stop_of(job, ask.at) else None,
        span=ask.at if ask.at in job.spans else None,
        asks=Asks(ask.at, ask.kind) if ask.kinds else None,
        minutes=ask.minutes,
    )
