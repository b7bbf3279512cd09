"""What is wrong on a site, by all that was read there: causes with places, most likely first.

Each guess is fitted to all readings at once (``fit``), lights and pairs are weighed beside it
(``chances``), and the priors are those of ``faults.sizes``. ``none`` and ``other`` are among the
guesses, so that the probabilities mean what they say; two faults at once are tried among the
best five where no single one explains the readings.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from math import exp, inf, log, sqrt

from attrs import field, frozen

from engine.diagnose.chances import UNKNOWN, each_chance, log_chance
from engine.diagnose.fit import Fit, Fitting, Start, begin, fitting
from engine.diagnose.fits import Fits, most_misfit
from engine.diagnose.scene import Scene
from engine.diagnose.slips import SCALES, log_slips
from engine.diagnose.trial import Trial
from engine.faults import FAULTS, NONE, OTHER, PAIR, SLIPS
from engine.faults.bends import AS_PLANNED, Bend, Bends
from engine.faults.sizes import Rates, rate
from engine.sliced import Progress, Steps, at, part
from engine.study import Prediction
from engine.verdict import OUTSIDE, Verdict

SINGLES = 0.7
"""share of the work that goes into single causes, where two are looked for too"""
FIRSTS = 2
"""so many single causes, each at a place of its own, are joined with every other"""
BEST = 5
"""so many pairs of causes are fitted"""
DIM = log(0.1)
"""a light that a guess makes less likely than this is not explained by it"""
OTHER_WIDER = 10.0
"""times its scatter that a reading may be out where something unknown is wrong"""
LEAST_WAY = 0.02
"""share from which on one of several things that a guess may be is asked what it foretells"""
MOST_TOLD, LEAST_TOLD = 16, 1e-3
"""so many of the likeliest guesses can be asked what they foretell, and none that is less likely
than this share of the best"""

Parts = tuple[tuple[str, str], ...]
"""causes with their places"""


@frozen
class Guess:
    """One cause at one place, and how likely it is. ``parts``: both, where there are two.

    ``beside`` is the other entry, where two figures stand in each other's place. ``ways`` are
    the things it may be, each with its share of 1, its bend and its fit, where there are several;
    ``bend`` and ``fit`` are those of the likeliest.
    """

    cause: str
    where: str
    probability: float
    fit: Fit | None = field(default=None, repr=False)
    bend: Bend = field(default=AS_PLANNED, repr=False)
    parts: Parts = ()
    beside: str = ""
    ways: tuple[tuple[float, Bend, Fit], ...] = field(default=(), repr=False)

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


def diagnosing(
    prediction: Prediction, verdicts: Sequence[Verdict], *, rates: Rates = rate
) -> Progress[Diagnosis]:
    """The diagnosis, yielding the share done. ``verdicts`` are the current ones, in their order;
    ``rates`` is how often each cause is there at one of its places."""
    scene = Scene(prediction, verdicts)
    fits = yield from at(Fits.beginning(scene), 0.0)
    work = _Work(scene, rates, fits)
    yield from part(work.singles(), 0.0, SINGLES)
    yield from part(work.pairs(), SINGLES, 1.0)
    return (yield from at(work.diagnosis(), 1.0))


@frozen
class _Weighed:
    cause: str
    where: str
    weight: float
    """log prior odds and log evidence"""
    fit: Fit | None
    bend: Bend = AS_PLANNED
    parts: Parts = ()
    beside: str = ""
    ways: tuple[tuple[float, Bend], ...] = ()


_Hope = tuple[float, float, Fitting, Parts]
"""what may come of two at once, and their odds, as logarithms; the fit as it is begun"""


class _Work:
    """Goes through the guesses; fits with the same figures are made once."""

    def __init__(self, scene: Scene, rates: Rates, fits: Fits) -> None:
        self.scene, self.rates = scene, rates
        self.found: list[_Weighed] = []
        self.fits = fits
        self.healthy, self.start = fits.healthy, fits.start

    def singles(self) -> Progress[None]:
        """Nothing, something unknown, each cause at each place, each figure misread."""
        yield from at(self._weigh(NONE, "", 0.0, ((1.0, AS_PLANNED),)), 0.0)
        yield from at(self._other(), 0.0)
        yield from at(self._slips(), 0.0)
        read = {one.kind for one in self.scene.readings}
        every = [
            (row, where)
            for row in FAULTS.values()
            if self._odds(row.id) > -inf and (not row.only or row.only in read)
            for where in row.places(self.scene)
        ]
        self.every = [(row, where, row.at(self.scene, where)) for row, where in every]
        ways: dict[Hashable, tuple[float, Bend]] = {}
        for row, _, bends in self.every:
            for share, bend in bends:
                odds = self._odds(row.id) + log(share)
                ways[bend.key] = max(ways.get(bend.key, (-inf, bend)), (odds, bend), key=_first)
        best = max((one.weight for one in self.found), default=-inf)
        yield from self.fits.all_of(ways, best)
        for row, where, bends in self.every:
            yield from at(self._weigh(row.id, where, self._odds(row.id), bends), 1.0)

    def _slips(self) -> Steps[None]:
        """Each figure misread. They come before the causes, for most of them fit at once, and a
        cause that comes nowhere near them need not be followed."""
        base = self.fits.base
        if base is not None:
            lights = log_chance(self.healthy)
            least = self.fits.least()
            for slip in log_slips(self.scene, self.healthy, base, self.start, least):
                yield
                if slip is None:
                    continue
                weight = self._odds(slip.cause) + slip.evidence + lights
                self.found.append(
                    _Weighed(slip.cause, slip.where, weight, slip.rest, beside=slip.beside)
                )

    def _odds(self, cause: str) -> float:
        """How likely a cause is beforehand at one place, as a logarithm of odds."""
        often = self.rates(cause)
        return log(often / (1 - often)) if often > 0 else -inf

    def _weigh(
        self, cause: str, where: str, prior: float, bends: Bends, parts: Parts = ()
    ) -> Steps[None]:
        """A guess, with each thing it may be."""
        ways = []
        for share, bend in bends:
            made = yield from self.fits.of(bend)
            if made is not None:
                trial = Trial(self.scene, bend)
                ways.append((log(share) + made.evidence + log_chance(trial), made, bend))
                yield
        if not ways:
            return
        top = max(weight for weight, _, _ in ways)
        total = top + log(sum(exp(weight - top) for weight, _, _ in ways))
        _, made, bend = max(ways, key=lambda way: way[0])
        shares = tuple((exp(weight - total), bend) for weight, _, bend in ways)
        likely = tuple(way for way in shares if way[0] > LEAST_WAY)
        self.found.append(_Weighed(cause, where, prior + total, made, bend, parts, ways=likely))

    def _other(self) -> Steps[None]:
        """From the first reading that is outside on, figures may be anything."""
        doubted = self._doubted()
        wider = dict.fromkeys(doubted, OTHER_WIDER)
        loose = yield from fitting(self.healthy, self.start, wider=wider)
        without = yield from fitting(self.healthy, self.start, without=frozenset(doubted))
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

    def pairs(self) -> Progress[None]:
        """Two at once, where no single cause explains the readings.

        The likeliest single causes are joined with every other; of these pairs all get their
        first straight line, the most hopeful are fitted.
        """
        singles = sorted(self.found, key=lambda one: -one.weight)
        if self._explains(singles[0]):
            return
        hopes: list[_Hope] = []
        firsts: dict[str, _Weighed] = {}
        for one in singles:
            if one.cause in FAULTS and one.fit and len(firsts) < FIRSTS:
                firsts.setdefault(one.where, one)
        for turn, first in enumerate(firsts.values()):
            share = turn / len(firsts)
            fit = yield from at(self.fits.in_full(first.bend), share)
            if fit is None:
                continue
            start = begin(Trial(self.scene, first.bend), fit)
            for number, (row, where, bends) in enumerate(self.every):
                share = (turn + number / len(self.every)) / len(firsts)
                hopes += yield from at(self._joined(first, start, row.id, where, bends), share)
                yield share
        known: set[frozenset[tuple[str, str]]] = set()
        for _, odds, begun, parts in sorted(hopes, key=lambda one: -one[0]):
            if frozenset(parts) in known or len(known) == BEST:
                continue
            known.add(frozenset(parts))
            both = begun.trial.bend
            if both.key not in self.fits.made:
                self.fits.made[both.key] = yield from at(begun.settling(), 1.0)
            yield from at(self._weigh(PAIR, "", odds, ((1.0, both),), parts), 1.0)

    def _joined(
        self, first: _Weighed, start: Start, cause: str, where: str, bends: Bends
    ) -> Steps[list[_Hope]]:
        """A cause beside one that is fitted, begun where that one ended: what may come of it."""
        out: list[_Hope] = []
        if (cause, where) == (first.cause, first.where):
            return out
        for share, bend in bends:
            if not _meet(first.bend, bend):
                both = first.bend.and_(bend)
                begun = yield from self.fits.joined(both, bend, start)
                odds = log(share) + self._odds(first.cause) + self._odds(cause)
                hope = odds + begun.hope() + log_chance(begun.trial)
                parts = ((first.cause, first.where), (cause, where))
                out.append((hope, odds, begun, parts))
        return out

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

    def _told(self, one: _Weighed, is_told: bool) -> Steps[Fit | None]:
        """The fit of a guess; in full where that may be asked for."""
        own = one.cause != OTHER and one.cause not in SLIPS
        return (yield from self.fits.in_full(one.bend)) if own and is_told else one.fit

    def _ways(self, one: _Weighed, is_told: bool) -> Steps[tuple[tuple[float, Bend, Fit], ...]]:
        """What a guess may be, with the fit of each, where there are several."""
        if len(one.ways) < 2 or not is_told:
            return ()
        out = []
        for share, bend in one.ways:
            found = yield from self.fits.in_full(bend)
            if found is not None:
                out.append((share, bend, found))
        return tuple(out)

    def diagnosis(self) -> Steps[Diagnosis]:
        """All guesses with their probabilities."""
        top = max(one.weight for one in self.found)
        total = sum(exp(one.weight - top) for one in self.found)
        ranked = sorted(self.found, key=lambda one: (-one.weight, one.cause, one.where))
        likely = sum(one.weight - top > log(LEAST_TOLD) for one in ranked)
        told = range(min(likely, MOST_TOLD))
        guesses = []
        for number, one in enumerate(ranked):
            probability = exp(one.weight - top) / total
            found = yield from self._told(one, number in told)
            ways = yield from self._ways(one, number in told)
            who = (one.cause, one.where, probability)
            guesses.append(Guess(*who, found, one.bend, one.parts, one.beside, ways))
            yield
        best = ranked[0].fit
        return Diagnosis(
            tuple(guesses), best.misfit if best else 0.0, best.count if best else 0, self.scene
        )


def _first(pair: tuple[float, Bend]) -> float:
    return pair[0]


def _meet(a: Bend, b: Bend) -> bool:
    """Whether two faults would change the same quantity."""
    return bool(set(a.quantities) & set(b.quantities))
