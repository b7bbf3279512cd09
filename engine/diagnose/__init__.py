"""What is wrong on a site, by all that was read there: causes with places, most likely first.

Each guess is fitted to all readings at once (``fit``), lights and pairs are weighed beside it
(``chances``), and the priors are those of ``faults.sizes``. ``none`` and ``other`` are among the
guesses, so that the probabilities mean what they say; two faults at once are tried among the
best five where no single one explains the readings.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from math import exp, inf, log, sqrt

from attrs import field, frozen

from engine.diagnose.chances import UNKNOWN, each_chance, log_chance
from engine.diagnose.fit import Fit, Fitting, Start, begin, fit, redrawn
from engine.diagnose.scene import Scene
from engine.diagnose.slips import SCALES, log_slips
from engine.diagnose.trial import Trial
from engine.faults import FAULTS, NONE, OTHER, PAIR
from engine.faults.bends import AS_PLANNED, CONTACT, Bend, Bends
from engine.faults.sizes import Rates, rate
from engine.knowing import Row
from engine.study import Prediction
from engine.unknowns import Unknown
from engine.verdict import OUTSIDE, Verdict

FIRSTS = 2
"""so many single causes, each at a place of its own, are joined with every other"""
BEST = 5
"""so many pairs of causes are fitted"""
DIM = log(0.1)
"""a light that a guess makes less likely than this is not explained by it"""
OTHER_WIDER = 10.0
"""times its scatter that a reading may be out where something unknown is wrong"""
HOPELESS = 40.0
"""by so much behind the best, as a logarithm, a guess is not followed any further"""
FORESEEN = 0.25
"""share of a misfit foreseen by the healthy straight line that may be left in the end"""
LITTLE = 8.0
"""deviations of its own scatter by which a reading may move on the straight line"""
NOTHING = Unknown(0.0)
UNLIKELY = 10.0
"""by so much behind the best, odds and all, it is not worth knowing a guess more exactly"""
WILD = 10.0
"""times the misfit that chance explains from which on the healthy fit is no place to start from"""


@frozen
class Guess:
    """One cause at one place, and how likely it is. ``parts``: both, where there are two.

    ``beside`` is the other entry, where two figures stand in each other's place.
    """

    cause: str
    where: str
    probability: float
    fit: Fit | None = field(default=None, repr=False)
    bend: Bend = field(default=AS_PLANNED, repr=False)
    parts: tuple[tuple[str, str], ...] = ()
    beside: str = ""

    @property
    def misfit(self) -> float:
        """The sum of squares that is left."""
        return self.fit.misfit if self.fit else 0.0


@frozen
class Diagnosis:
    """All guesses, most likely first, their probabilities summing to 1.

    ``misfit`` is the sum of squares of the best guess, over ``readings`` steady ones; it ``fits``
    where that is no more than chance explains.
    """

    guesses: tuple[Guess, ...]
    misfit: float
    readings: int
    scene: Scene = field(repr=False)

    @property
    def best(self) -> Guess:
        """The most likely guess."""
        return self.guesses[0]

    @property
    def fits(self) -> bool:
        """Whether the best guess explains the readings."""
        return self.misfit <= most_misfit(self.readings)


def most_misfit(readings: int) -> float:
    """The sum of squares that chance explains, of so many readings (design: m + 2 √2m)."""
    return readings + 2 * sqrt(2 * readings)


def diagnosing(
    prediction: Prediction, verdicts: Sequence[Verdict], *, rates: Rates = rate
) -> Generator[float, None, Diagnosis]:
    """The diagnosis, yielding the share done. ``verdicts`` are the current ones, in their order;
    ``rates`` is how often each cause is there at one of its places."""
    scene = Scene(prediction, verdicts)
    work = _Work(scene, rates)
    yield from work.singles()
    yield from work.pairs()
    return work.diagnosis()


@frozen
class _Weighed:
    cause: str
    where: str
    weight: float
    """log prior odds and log evidence"""
    fit: Fit | None
    bend: Bend = AS_PLANNED
    parts: tuple[tuple[str, str], ...] = ()
    beside: str = ""


class _Work:
    """Goes through the guesses; fits with the same figures are made once."""

    def __init__(self, scene: Scene, rates: Rates) -> None:
        self.scene, self.rates = scene, rates
        self.found: list[_Weighed] = []
        self.fits: dict[tuple, Fit | None] = {}
        self.healthy = Trial(scene, AS_PLANNED)
        self.base = fit(self.healthy)
        sound = self.base is not None and self.base.misfit < WILD * most_misfit(self.base.count)
        self.start = begin(self.healthy, self.base) if sound else None
        self.fits[AS_PLANNED.key] = self.base
        self.count = len(scene.seen)

    def singles(self) -> Generator[float, None, None]:
        """Nothing, something unknown, each cause at each place, each figure misread."""
        self._weigh(NONE, "", 0.0, ((1.0, AS_PLANNED),))
        self._other()
        read = {one.kind for one in self.scene.readings}
        every = [
            (row, where)
            for row in FAULTS.values()
            if self._odds(row.id) > -inf and (not row.only or row.only in read)
            for where in row.places(self.scene)
        ]
        self.every = [(row, where, row.at(self.scene, where)) for row, where in every]
        yield from self._fits(
            [
                (self._odds(row.id) + log(share), bend)
                for row, _, bends in self.every
                for share, bend in bends
            ]
        )
        for row, where, bends in self.every:
            self._weigh(row.id, where, self._odds(row.id), bends)
        if self.base is not None:
            lights = log_chance(self.healthy)
            least = self._least()
            for slip in log_slips(self.scene, self.healthy, self.base, self.start, least):
                weight = self._odds(slip.cause) + slip.evidence + lights
                self.found.append(
                    _Weighed(slip.cause, slip.where, weight, slip.rest, beside=slip.beside)
                )

    def _odds(self, cause: str) -> float:
        """How likely a cause is beforehand at one place, as a logarithm of odds."""
        often = self.rates(cause)
        return log(often / (1 - often)) if often > 0 else -inf

    def _weigh(self, cause: str, where: str, prior: float, bends, parts=()) -> None:
        """A guess, with each thing it may be."""
        ways = []
        for share, bend in bends:
            made = self._fit(bend)
            if made is not None:
                trial = Trial(self.scene, bend)
                ways.append((log(share) + made.evidence + log_chance(trial), made, bend))
        if not ways:
            return
        top = max(weight for weight, _, _ in ways)
        total = top + log(sum(exp(weight - top) for weight, _, _ in ways))
        _, made, bend = max(ways, key=lambda way: way[0])
        self.found.append(_Weighed(cause, where, prior + total, made, bend, parts))

    def _fits(self, guesses: list[tuple[float, Bend]]) -> Generator[float, None, None]:
        """Fit all of these, the most hopeful first, so that the others soon have no hope.

        ``guesses`` are bends with the odds of what they stand for, as logarithms.
        """
        odds: dict[tuple, float] = {}
        for by, bend in guesses:
            odds[bend.key] = max(by, odds.get(bend.key, -inf))
        begun: dict[tuple, Fitting] = {}
        for number, (_, bend) in enumerate(guesses):
            if bend.key not in self.fits and bend.key not in begun:
                line = self._by_line(bend)
                if line is not None:
                    self.fits[bend.key] = line
                else:
                    trial = Trial(self.scene, bend)
                    begun[bend.key] = Fitting(trial, self._start(bend), least=self._least())
            yield number / len(guesses) / 2
        ranked = sorted(begun, key=lambda key: -odds[key] - begun[key].hope())
        best = max((one.weight for one in self.found if one.cause == NONE), default=-inf)
        for number, key in enumerate(ranked):
            made = begun[key].settled(max(self._least(), best - UNLIKELY - odds[key]))
            self.fits[key] = made
            if made is not None:
                best = max(best, odds[key] + made.evidence + log_chance(begun[key].trial))
            yield (1 + number / len(ranked)) / 2

    def _by_line(self, bend: Bend) -> Fit | None:
        """A guess of one quantity on a site that seems sound, by the healthy straight line.

        Only where that moves little, or so much that nothing is left of it.
        """
        if self.base is None or not self.base.rows:
            return None
        if self.base.misfit > most_misfit(self.base.count):
            return None
        found = self._way_of(bend)
        if found is None:
            return None
        by, bent, place, planned = found
        fit, most = redrawn(self.base, by, bent, place, planned)
        hope = fit.evidence + (1 - FORESEEN) * fit.misfit / 2
        return fit if most < LITTLE or hope < self._least() else None

    def _way_of(self, bend: Bend) -> tuple[Row, Unknown, int | None, Unknown] | None:
        """How each reading moves with the one quantity of a guess, and what is known of it."""
        if not bend.is_one_quantity:
            return None
        (((name, *where), change),) = bend.quantities.items()
        new = name == CONTACT
        key = ("ends" if new else name, *where)
        columns = self.healthy.columns
        place, planned = columns.place.get(key), columns.unsure.get(key)
        if place is None or planned is None:
            return None
        by = [row[place] / planned.sd for row in self.base.rows]
        if not new:
            return by, change.of(planned), place, planned
        # a bad wire moves the run as its ends do, but not what a loop shows of the other pairs
        looped = any(one.pairs and one.asked.at in where for one in self.scene.seen)
        return None if looped else (by, change.of(NOTHING), None, NOTHING)

    def _fit(self, bend: Bend) -> Fit | None:
        if bend.key not in self.fits:
            self.fits[bend.key] = Fitting(Trial(self.scene, bend), self._start(bend)).settled()
        return self.fits[bend.key]

    def _start(self, bend: Bend) -> Start:
        """Where the healthy fit ended; of what a fault has changed that one says nothing."""
        return _apart_from(self.start or {}, bend)

    def _least(self) -> float:
        """The evidence below which a guess no longer matters."""
        return max((one.evidence for one in self.fits.values() if one), default=-inf) - HOPELESS

    def _other(self) -> None:
        """From the first reading that is outside on, figures may be anything."""
        doubted = self._doubted()
        loose = fit(self.healthy, self.start, wider=dict.fromkeys(doubted, OTHER_WIDER))
        without = fit(self.healthy, self.start, without=frozenset(doubted))
        ways = [loose.evidence] if loose else []
        if without is not None:
            flat = -sum(
                log(SCALES[one.asked.kind] + one.value)
                for one in self.scene.seen
                if one.id in doubted
            )
            ways.append(without.evidence + flat)
        if not ways:
            return
        top = max(ways)
        lights = dict.fromkeys(self.scene.job.spans, UNKNOWN)
        seen = log_chance(Trial(self.scene, Bend(lights=lights)))
        weight = self._odds(OTHER) + top + log(sum(exp(w - top) for w in ways) / 2) + seen
        best = loose if loose and loose.evidence == top else without
        self.found.append(_Weighed(OTHER, "", weight, best))

    def _doubted(self) -> frozenset[str]:
        words = self.scene.words
        order = [one.id for one in self.scene.seen]
        first = next((i for i, ident in enumerate(order) if words[ident] == OUTSIDE), 0)
        return frozenset(order[first:])

    def pairs(self) -> Generator[float, None, None]:
        """Two at once, where no single cause explains the readings.

        The likeliest single causes are joined with every other; of these pairs all get their
        first straight line, the most hopeful are fitted.
        """
        singles = sorted(self.found, key=lambda one: -one.weight)
        if self._explains(singles[0]):
            return
        hopes = []
        firsts: dict[str, _Weighed] = {}
        for one in singles:
            if one.cause in FAULTS and one.fit and len(firsts) < FIRSTS:
                firsts.setdefault(one.where, one)
        for first in firsts.values():
            start = begin(Trial(self.scene, first.bend), first.fit)
            for number, (row, where, bends) in enumerate(self.every):
                hopes += self._joined(first, start, row.id, where, bends)
                yield number / len(self.every)
        known: set[frozenset] = set()
        for _, odds, begun, parts in sorted(hopes, key=lambda one: -one[0]):
            if frozenset(parts) in known or len(known) == BEST:
                continue
            known.add(frozenset(parts))
            both = begun.trial.bend
            if both.key not in self.fits:
                self.fits[both.key] = begun.settled()
            self._weigh(PAIR, "", odds, ((1.0, both),), parts)

    def _joined(self, first: _Weighed, start: Start, cause: str, where: str, bends: Bends):
        """A cause beside one that is fitted, begun where that one ended: what may come of it."""
        if (cause, where) == (first.cause, first.where):
            return
        for share, bend in bends:
            if not _meet(first.bend, bend):
                both = first.bend.and_(bend)
                begun = Fitting(Trial(self.scene, both), _apart_from(start, bend))
                odds = log(share) + self._odds(first.cause) + self._odds(cause)
                hope = odds + begun.hope() + log_chance(begun.trial)
                yield hope, odds, begun, ((first.cause, first.where), (cause, where))

    def _explains(self, best: _Weighed) -> bool:
        """Whether a guess leaves nothing that another cause beside it would explain."""
        if best.fit is None:
            return True
        count = best.fit.count
        dim = (
            by
            for reading, by in each_chance(Trial(self.scene, best.bend))
            if reading.kind == "mbps"
        )
        return best.fit.misfit <= count + sqrt(2 * count) and min(dim, default=0.0) > DIM

    def diagnosis(self) -> Diagnosis:
        """All guesses with their probabilities."""
        top = max(one.weight for one in self.found)
        total = sum(exp(one.weight - top) for one in self.found)
        ranked = sorted(self.found, key=lambda one: (-one.weight, one.cause, one.where))
        guesses = tuple(
            Guess(
                one.cause,
                one.where,
                exp(one.weight - top) / total,
                one.fit,
                one.bend,
                one.parts,
                one.beside,
            )
            for one in ranked
        )
        best = ranked[0].fit
        return Diagnosis(
            guesses, best.misfit if best else 0.0, best.count if best else 0, self.scene
        )


def _apart_from(start: Start, bend: Bend) -> Start:
    """A place to begin at without what a fault changes, at whatever moment."""
    return {key: by for key, by in start.items() if not {key, key[:-1]} & bend.quantities.keys()}


def _meet(a: Bend, b: Bend) -> bool:
    """Whether two faults would change the same quantity."""
    return bool(set(a.quantities) & set(b.quantities))
