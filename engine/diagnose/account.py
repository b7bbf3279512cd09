"""What a diagnosis comes to, as a person or a file wants it: faults with their reasons, how well
they fit, and the next test. Everything is derived from a judgement; nothing of it is stored."""

from __future__ import annotations

from collections.abc import Generator, Mapping

from attrs import field, frozen

from engine.diagnose import Diagnosis, diagnosing
from engine.diagnose.nexttest import NextTest, next_test
from engine.faults.sizes import Rates, rate
from engine.judge import Judgement
from engine.predict import finish
from engine.say import Say, say
from engine.verdict import Verdict

FOR, AGAINST, EITHER = "for", "against", "either"
"""what a reading says of a fault: it speaks for it, against it, or for neither"""


@frozen
class Evidence:
    """One reading and what it says of a fault, beside a sound site."""

    reading: str
    speaks: str
    say: Say


@frozen
class Fault:
    """A cause that the readings point to: where, how likely, how large, and why.

    ``size`` are numbers with their unit in the key (``factor``, ``ohms``, ``watts``, ``volts``);
    ``kinds`` what it may be at heart, ``ends`` which end of a span, each with its share of 1.
    ``say`` is what it is, where, and what it does; ``do`` what to do; ``look`` what to look for;
    ``sure`` what would make it sure. ``parts`` are the two, where there are two at once.
    """

    cause: str
    where: str
    probability: float
    say: Say
    do: Say | None = None
    look: Say | None = None
    sure: Say | None = None
    size: Mapping[str, float] = field(factory=dict)
    kinds: tuple[tuple[str, float], ...] = ()
    ends: tuple[tuple[str, float], ...] = ()
    because: tuple[Evidence, ...] = ()
    parts: tuple[tuple[str, str], ...] = ()


@frozen
class Account:
    """Faults, most likely first, summing to 1; how well the best explains the readings.

    ``doubtful`` is the reading that fits worst where no cause explains them all.
    """

    faults: tuple[Fault, ...]
    misfit: float
    readings: int
    fits: bool
    next_test: NextTest | None
    doubtful: str | None
    diagnosis: Diagnosis = field(repr=False)

    @property
    def best(self) -> Fault:
        """The most likely one."""
        return self.faults[0]


def current(judgement: Judgement) -> tuple[Verdict, ...]:
    """The readings that a diagnosis weighs, in their order."""
    return tuple(verdict for verdict in judgement.verdicts if verdict.current)


def accounting(
    judgement: Judgement, *, rates: Rates = rate, here: str | None = None
) -> Generator[float, None, Account]:
    """The account of a judgement, yielding the share done. ``here``: the stop one stands at."""
    found = yield from diagnosing(judgement.prediction, current(judgement), rates=rates)
    test = next_test(found, here=here)
    faults = tuple(
        Fault(
            guess.cause,
            guess.where,
            guess.probability,
            say(f"fault-{guess.cause}", at=guess.where),
            parts=guess.parts,
        )
        for guess in found.guesses
    )
    return Account(faults, found.misfit, found.readings, found.fits, test, None, found)


def account(judgement: Judgement, *, rates: Rates = rate, here: str | None = None) -> Account:
    """The account of a judgement, in one go."""
    return finish(accounting(judgement, rates=rates, here=here))
