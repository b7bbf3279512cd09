"""What a rule is: its id in the contract, what it rests on, and its check."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from attrs import frozen

from engine.say import Say
from engine.standards import Sourced
from engine.study import Prediction

Broken = Iterator[tuple[str, str, Say]]
"""where, how severe, what is to be said"""


@frozen
class Rule:
    """One rule of design. A check that rests on a number from memory warns at most."""

    id: str
    source: str
    check: Callable[[Prediction], Broken]
    rows: tuple[Sourced, ...] = ()

    def severity(self, wanted: str) -> str:
        """The severity that the rule's numbers bear."""
        bears = all(row.may_stop for row in self.rows)
        return wanted if bears or wanted != "stop" else "warn"


SHEETS = "the job's own sheets"
FORMAT = "job format, sections 1 and 4"
PRACTICE = "common practice"
