"""What a diagnosis comes to, as a person or a file wants it: faults with their reasons, how well
they fit, and the next test. Everything is derived from a judgement; nothing of it is stored."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from attrs import evolve, field, frozen

from engine.diagnose import Diagnosis, Guess, diagnosing
from engine.diagnose.asking import Test, asked_for
from engine.diagnose.evidence import AGAINST, EITHER, FOR, Evidence, Hearing, seen_as
from engine.diagnose.nexttest import seeking
from engine.diagnose.remedies import AFTER_LOOP, REMEDIES, UNSEEN, Remedy
from engine.diagnose.scene import Scene
from engine.diagnose.sizing import ends_of, ends_of_span, kinds_of, size_of
from engine.diagnose.trial import Trial
from engine.faults import NONE, OTHER, PAIR, SLIPS
from engine.faults import places as at_places
from engine.faults.sizes import Rates, rate
from engine.job import Point
from engine.judge import Judgement
from engine.say import Say, say
from engine.settled import is_return
from engine.since import DRIFTED
from engine.sliced import Progress, Steps, at, finish, part
from engine.verdict import Verdict

__all__ = [
    "AGAINST",
    "EITHER",
    "FOR",
    "Account",
    "Evidence",
    "Fault",
    "account",
    "accounting",
    "current",
]

DIAGNOSED = 0.8
"""share of the work that is done once the causes are ranked"""
LEAST_SLIP = 0.001
"""a misread figure less likely than this is one of all that is not listed (job format, section 5)"""
HEARD = 0.002
"""a guess less likely than this is told without its readings (our choice)"""
MOST_HEARD = 12

Named = dict[str, Any]
"""parts of a statement by their names"""


@frozen
class Fault:
    """A cause that the readings point to: where, how likely, how large, and why.

    ``size`` are numbers with their unit in the key (``factor``, ``ohms``, ``watts``, ``volts``,
    ``percent``, ``metres``); ``kinds`` what it may be at heart, ``ends`` which end of a span, each with its
    share of 1. ``say`` is what it is, where, and what it does; ``do`` what to do; ``look`` what
    to look for; ``sure`` what would make it sure. ``parts`` are the two, where there are two at
    once; ``beside`` is the other entry, where two figures stand in each other's place.
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
    beside: str = ""


@frozen
class Account:
    """Faults, most likely first, summing to 1; how well the best explains the readings.

    ``doubtful`` is the reading that fits worst where no cause explains them all, ``doubt`` what
    is to be said of that. ``unseen`` is what no reading of this job can see, and what would.
    """

    faults: tuple[Fault, ...]
    misfit: float
    readings: int
    fits: bool
    next_test: Test | None
    doubtful: str | None
    diagnosis: Diagnosis = field(repr=False)
    doubt: Say | None = None
    unseen: tuple[Say, ...] = ()

    @property
    def best(self) -> Fault:
        """The most likely one."""
        return self.faults[0]


# ---------------------------------------------------------------- what is weighed


def current(judgement: Judgement) -> tuple[Verdict, ...]:
    """The readings that a diagnosis weighs, in their order: those that count, and on a return
    those taken since the site was left, for what was so then may have changed."""
    state = judgement.state
    verdicts = tuple(verdict for verdict in judgement.verdicts if verdict.current)
    if not is_return(state):
        return verdicts
    left = max((visit.number for visit in state.visits[:-1] if visit.left), default=-1)
    return tuple(one for one in verdicts if one.reading.visit > left)


def accounting(
    judgement: Judgement, *, rates: Rates | None = None, here: str | None = None
) -> Progress[Account]:
    """The account of a judgement, yielding the share done. ``here``: the stop one stands at.

    ``rates`` are how often each cause is there; without them those of our table, for a first
    visit or a return.
    """
    if rates is None:
        rates = partial(rate, first=not is_return(judgement.state))
    work = diagnosing(judgement.prediction, current(judgement), rates=rates)
    found = yield from part(work, 0.0, DIAGNOSED)
    best = yield from part(seeking(found, here=here), DIAGNOSED, 1.0)
    test = asked_for(judgement, found, best, here)
    telling = _Telling(judgement, found)
    faults = yield from at(telling.faults(), 1.0)
    misfit, readings = telling.misfit()
    fits = found.fits and faults[0].cause != OTHER
    doubtful = None if fits else telling.doubtful()
    return Account(
        faults,
        misfit,
        readings,
        fits,
        test,
        doubtful.id if doubtful else None,
        found,
        None if fits else telling.doubt(doubtful),
        tuple(unseen(found.scene)),
    )


def account(
    judgement: Judgement, *, rates: Rates | None = None, here: str | None = None
) -> Account:
    """The account of a judgement, in one go."""
    return finish(accounting(judgement, rates=rates, here=here))


# ---------------------------------------------------------------- what is told


class _Telling:
    """Goes through the guesses of a diagnosis and tells of each."""

    def __init__(self, judgement: Judgement, found: Diagnosis) -> None:
        self.judgement, self.found, self.scene = judgement, found, found.scene
        self.hearing = Hearing(judgement, found)
        self.verdicts = {one.id: one for one in self.hearing.verdicts}

    def faults(self) -> Steps[tuple[Fault, ...]]:
        """All guesses told; misread figures too unlikely to name are in ``other``."""
        guesses = _merged(self.found.guesses)
        heard = [one for one in guesses if one.probability >= HEARD][:MOST_HEARD]
        heard += [one for one in guesses if one.cause in (NONE, OTHER)]
        out = []
        for one in guesses:
            yield
            out.append(self._fault(one, heard=one in heard))
        return tuple(out)

    def _fault(self, guess: Guess, *, heard: bool) -> Fault:
        row = REMEDIES[guess.cause]
        where = self._place(guess)
        size: dict[str, float] = {}
        kinds: tuple[tuple[str, float], ...] = ()
        if heard and guess.fit is not None and guess.cause not in (NONE, OTHER, PAIR, *SLIPS):
            trial = Trial(self.scene, guess.bend)
            size = size_of(guess, trial)
            kinds = kinds_of(guess, trial) if guess.cause == "span.high" else ()
        do, look, sure = (
            say(code, **where) if code else None
            for code in (self._do(row), row.look, self._sure(row, guess.where))
        )
        return Fault(
            guess.cause,
            guess.where,
            guess.probability,
            self._what(row, guess, where, size),
            do,
            look,
            sure,
            size,
            kinds,
            ends_of(self.judgement, self.scene, guess.cause, guess.where),
            self.hearing.of(guess) if heard else (),
            guess.parts,
            guess.beside,
        )

    def _do(self, row: Remedy) -> str:
        """What to do: where nothing is wrong, what is outside is measured again."""
        return "do-again" if row.cause == NONE and self.hearing.outside else row.do

    def _sure(self, row: Remedy, where: str) -> str:
        """What would make it sure: of a loop that is read already, what comes after."""
        read = any(one.at == where and one.kind == "loop_ohms" for one in self.scene.readings)
        return AFTER_LOOP.get(row.sure, row.sure) if read else row.sure

    def _what(self, row: Remedy, guess: Guess, where: Named, size: Mapping[str, float]) -> Say:
        """What it is, where from and to, and what it does."""
        more: Named = {row.size: size.get(row.size)} if row.size else {}
        if guess.cause == NONE:
            more = {
                "readings": len(self.scene.readings),
                "outside": self.hearing.outside,
                "drifted": self._drifted(),
            }
        if guess.cause == OTHER:
            first = self.hearing.first_outside
            more = {"first": first.reading.at if first else None}
        if guess.cause == PAIR:
            more = {"both": guess.parts}
        return say(row.fault, **where, **more)

    def _drifted(self) -> int:
        """How many readings are no longer as they were when the site was left."""
        drifts = self.judgement.drifts
        return sum(one.verdict == DRIFTED and not one.altered for one in drifts)

    # ------------------------------------------------------------ where

    def _place(self, guess: Guess) -> Named:
        """Where a guess is, in the parts of its statement."""
        job, where = self.scene.job, guess.where
        if not where:
            return {}
        if guess.cause in SLIPS:
            return self._misread(guess)
        if where in job.spans:
            near, far = ends_of_span(self.scene, job.spans[where])
            return {"at": where, "near": self._stop(near.box), "far": self._stop(far.box)}
        if where in job.boxes:
            return {"at": where, "stop": self._stop(where)}
        if where in job.earths:
            return {"at": where, "stop": self._named(job.earths[where].stop)}
        link = next((one for one in self.scene.planned_links if str(one.start) == where), None)
        if link is not None:
            stop = self._stop(Point.parse(where).box)
            return {"at": where, "to": str(link.end), "stop": stop}
        return {"at": where}

    def _misread(self, guess: Guess) -> Named:
        """Which figure it is, and whose it is where two were exchanged."""
        beside = self.verdicts.get(guess.beside)
        seen = seen_as(self.verdicts[guess.where].reading)
        seen.pop("stood")
        return {**seen, "beside": beside.reading.at if beside else None}

    def _stop(self, box: str) -> str:
        return self._named(self.scene.job.boxes[box].stop)

    def _named(self, stop: str) -> str:
        known = self.scene.job.stops.get(stop)
        return known.name or stop if known else stop

    # ------------------------------------------------------------ where nothing fits

    def misfit(self) -> tuple[float, int]:
        """What the best cause leaves, over how many steady readings; of an unknown one, which
        explains all by explaining nothing, what the best known one leaves."""
        known = (one.fit for one in self.found.guesses if one.cause != OTHER and one.fit)
        fit = next(known, None)
        if self.found.best.cause != OTHER or fit is None:
            return self.found.misfit, self.found.readings
        return fit.misfit, fit.count

    def doubtful(self) -> Verdict | None:
        """The reading that the best guess explains worst."""
        best = self.found.best
        if best.cause == OTHER or best.fit is None or not best.fit.ids:
            return self.hearing.first_outside
        alone = best.fit.alone()
        worst = max(alone, key=lambda ident: abs(alone[ident].z))
        return self.verdicts.get(worst)

    def doubt(self, doubtful: Verdict | None) -> Say:
        """No single cause explains it all: what to do then."""
        if doubtful is None:
            return say("no-cause-fits", at=None, kind=None, value=None)
        reading = doubtful.reading
        return say("no-cause-fits", at=reading.at, kind=reading.kind, value=reading.figure)


def _merged(guesses: tuple[Guess, ...]) -> tuple[Guess, ...]:
    """Guesses with unlikely misread figures gathered in ``other``; they sum to 1 all the same."""
    small = [one for one in guesses if one.cause in SLIPS and one.probability <= LEAST_SLIP]
    kept = [one for one in guesses if one not in small]
    rest = sum(one.probability for one in small)
    other = next((one for one in kept if one.cause == OTHER), Guess(OTHER, "", 0.0))
    kept = [one for one in kept if one.cause != OTHER]
    kept.append(evolve(other, probability=other.probability + rest))
    return tuple(sorted(kept, key=lambda one: (-one.probability, one.cause, one.where)))


def unseen(scene: Scene) -> Iterator[Say]:
    """What readings of this job cannot see, with its places, and what does."""
    read = {one.kind for one in scene.readings}
    earths = at_places.earths(scene)
    if arrestors := at_places.boxes_of("arrestor", wired=False)(scene):
        yield say(UNSEEN["arrestor.reversed"], at=arrestors)
    if earths and "earth_ohms" not in read:
        yield say(UNSEEN["earth.open"], at=earths)
        yield say(UNSEEN["earth.high"], at=earths)
    exposed = tuple(name for name, span in scene.job.spans.items() if scene.job.is_exposed(span))
    if exposed:
        yield say(UNSEEN["joint.wet"], at=exposed)
    asks = tuple(
        box
        for box, feed in at_places.fed(scene).items()
        if scene.limits[feed].granted_watts is not None
    )
    if asks:
        yield say(UNSEEN["port.class"], at=asks)
    if feeds := at_places.feeds(scene):
        yield say(UNSEEN["feed.twice"], at=feeds)
