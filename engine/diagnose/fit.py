"""The unknowns fitted to all readings at once under one guess, and how well that explains them.

The algebra is done in the space of readings, of which there are fewer than unknowns: with J the
rows of all readings in deviations (prior the unit matrix) and D their own scatter,
S = J Jᵀ + D, and the log evidence at the settled point is -½ rᵀS⁻¹r - ½ log det S. For this
model that is Laplace's approximation itself (MacKay, Information Theory, chapter 27, from
memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf, log, pi, sqrt
from types import MappingProxyType

from attrs import evolve, frozen

from engine.diagnose.cholesky import across, backward, factoring, forward, half_log_det
from engine.diagnose.lining import A_SLICE, Line, lining
from engine.diagnose.scene import Seen
from engine.diagnose.trial import Trial
from engine.knowing import Row, sumprod
from engine.sliced import Steps, finish
from engine.unknowns import Key, Unknown

MOST_ROUNDS = 6
SETTLED = 0.02
"""by so much may the misfit differ from what the straight line foretold"""
MUCH = 30.0
"""a misfit from which on nobody needs it so exactly"""
SHORTER = 0.4
"""a step that makes things worse is cut to this"""
MOST_CUTS = 5
FIRST_LINE = 0.2
"""share of the misfit foretold by the first straight line that may be left in the end"""
NEAR_LINE, MANY = 0.7, 100.0
"""and where it foretells no more than that many squares"""


Start = Mapping[Key, float]
"""unknowns in deviations of their own"""


def begin(trial: Trial, found: Fit) -> Start:
    """Where to begin another guess: what was learned under this one."""
    return dict(zip(trial.columns.place, found.mean, strict=True))


@frozen
class Fit:
    """One guess fitted to all readings.

    ``evidence`` is the logarithm of how readily the guess shows them. ``misfit`` is the sum of
    squares, of readings and unknowns, at the settled point; ``count`` how many steady readings
    there are. ``mean`` are the unknowns in deviations, ``rows`` and ``factor`` what a new figure
    is foretold with.
    """

    evidence: float
    misfit: float
    count: int
    mean: Row
    rows: tuple[Row, ...] = ()
    factor: tuple[Row, ...] = ()
    off: Sequence[float] = ()
    """surplus of each reading at the settled point, in deviations of its own scatter"""
    noise: Sequence[float] = ()
    ids: tuple[str, ...] = ()

    def alone(self) -> dict[str, Alone]:
        """Of each steady reading what all others say of it, in closed form (leave one out)."""
        return finish(self.standing_alone())

    def standing_alone(self) -> Steps[dict[str, Alone]]:
        """The same in steps."""
        back = _unmoved(self.off, self.rows, self.mean)
        weights = backward(self.factor, forward(self.factor, back))
        out = {}
        for i, ident in enumerate(self.ids):
            half = _unit_forward(self.factor, i)
            variance = 1 / sumprod(half, half)
            out[ident] = Alone(
                weights[i] * variance * self.noise[i], sqrt(variance) * self.noise[i]
            )
            if i % A_SLICE == A_SLICE - 1:
                yield
        return out

    def spread(self, row: Row) -> float:
        """Deviation of a new figure whose row this is, its own scatter left out."""
        return sqrt(max(self.covariances([row])[0][0], 0.0))

    def covariances(self, figures: Sequence[Row]) -> list[Row]:
        """Covariances of new figures whose rows these are, after all readings."""
        told = [forward(self.factor, [sumprod(row, one) for row in self.rows]) for one in figures]
        return [
            [sumprod(a, b) - sumprod(by_a, by_b) for b, by_b in zip(figures, told, strict=True)]
            for a, by_a in zip(figures, told, strict=True)
        ]

    @property
    def drawn(self) -> Drawn:
        """The straight line at the settled point."""
        back = _unmoved(self.off, self.rows, self.mean)
        plain = self.evidence + self.misfit / 2 + half_log_det(self.factor)
        return Drawn(self.rows, self.factor, back, plain)

    def instead(self, evidence: float, misfit: float) -> Fit:
        """What is known of another guess by the straight line of this one."""
        return evolve(self, evidence=evidence, misfit=misfit)


@frozen
class Drawn:
    """A straight line of all readings: how they move, and where they would be with no unknown
    off its mean. ``plain`` is the evidence but for misfit and spread."""

    rows: tuple[Row, ...]
    factor: tuple[Row, ...]
    back: Row
    plain: float

    def foreseen(
        self, by: Row, bent: Unknown, place: int | None, planned: Unknown
    ) -> tuple[float, float, float]:
        """What would come of another unknown beforehand, if the line were right.

        Gives evidence, misfit, and by how many deviations of its own scatter a reading moves at
        most. S changes by one outer product (Sherman-Morrison, textbook).

        Parameters
        ----------
        by : how each reading moves with the quantity, in deviations of its own scatter.
        bent : what is known of the quantity under the guess.
        place, planned : its column, and what is known of it here; without one it is nothing.
        """
        moved = [one * (bent.mean - planned.mean) for one in by]
        wider = bent.sd**2 - (planned.sd**2 if place is not None else 0.0)
        back = [one - move for one, move in zip(self.back, moved, strict=True)]
        half, side = forward(self.factor, back), forward(self.factor, by)
        grown = max(1 + wider * sumprod(side, side), 1e-12)
        misfit = sumprod(half, half) - wider * sumprod(half, side) ** 2 / grown
        evidence = self.plain - half_log_det(self.factor) - log(grown) / 2 - misfit / 2
        return evidence, misfit, max(map(abs, moved), default=0.0)


def redrawing(
    found: Fit, by: Row, bent: Unknown, place: int | None, planned: Unknown
) -> Steps[Fit]:
    """A fit with another unknown beforehand, by its straight line (``Drawn.foreseen``), in full."""
    moved = [one * (bent.mean - planned.mean) for one in by]
    line = found.drawn
    back = [one - move for one, move in zip(line.back, moved, strict=True)]
    at = len(found.mean) if place is None else place
    rows = [
        [*row[:at], one * bent.sd, *row[at + 1 :]] for row, one in zip(found.rows, by, strict=True)
    ]
    factor = yield from factoring(rows)
    half = forward(factor, back)
    mean = across(rows, backward(factor, half), len(rows[0]) if rows else len(found.mean))
    misfit = sumprod(half, half)
    return evolve(
        found,
        evidence=line.plain - misfit / 2 - half_log_det(factor),
        misfit=misfit,
        mean=mean,
        rows=tuple(rows),
        factor=tuple(factor),
        off=[b - sumprod(row, mean) for b, row in zip(back, rows, strict=True)],
    )


@frozen
class Alone:
    """A reading against all others: by how much it is over, and the deviation of that."""

    over: float
    sd: float

    @property
    def z(self) -> float:
        """Deviations between it and what the others say."""
        return self.over / self.sd

    def log_density(self, over: float | None = None) -> float:
        """How readily the others let it be there, or so much above; as a logarithm."""
        z = (self.over if over is None else over) / self.sd
        return -z * z / 2 - log(self.sd * sqrt(2 * pi))


class Fitting:
    """A guess on its way to the readings of its scene. Make it with ``drawing``."""

    def __init__(
        self, trial: Trial, seen: tuple[Seen, ...], wider: Mapping[str, float], mean: Row
    ) -> None:
        self.trial, self.seen, self.wider, self.mean = trial, seen, wider, mean
        self.line: Line | None = None

    @classmethod
    def drawing(
        cls,
        trial: Trial,
        start: Start | None = None,
        without: frozenset[str] = frozenset(),
        wider: Mapping[str, float] = MappingProxyType({}),
        least: float = -inf,
    ) -> Steps[Fitting]:
        """One with its first straight line drawn.

        ``start`` are unknowns to begin at, each by its key; ``without`` are readings to be left
        out, ``wider`` those whose own scatter is so many times the meter's.
        """
        place = trial.columns.place
        mean = [start.get(key, 0.0) for key in place] if start else [0.0] * len(place)
        seen = tuple(one for one in trial.scene.seen if one.id not in without)
        line = yield from lining(trial, seen, mean, wider, least)
        if line is None:
            mean = [0.0] * len(place)
            line = yield from lining(trial, seen, mean, wider)
        out = cls(trial, seen, wider, mean)
        if line is not None:
            yield from out._draw(line)
        return out

    def _draw(self, line: Line) -> Steps[None]:
        """What a line says of the point where the misfit is least."""
        self.line = line
        self.factor = yield from factoring(line.rows)
        back = _unmoved(line.off, line.rows, self.mean)
        self.half = forward(self.factor, back)
        self.foretold = sumprod(self.half, self.half)

    @property
    def drawn(self) -> Drawn | None:
        """The straight line as it stands."""
        if self.line is None:
            return None
        rows = self.line.rows
        back = _unmoved(self.line.off, rows, self.mean)
        plain = self.line.loose - _own(self.line.noise)
        return Drawn(tuple(rows), tuple(self.factor), back, plain)

    def hope(self, share: float = 1.0) -> float:
        """The evidence that it comes to if so much of the misfit is left as the line foretells."""
        if self.line is None:
            return -inf
        return self.line.loose - share * self.foretold / 2 - _size(self.factor, self.line)

    def settling(self, least: float = -inf) -> Steps[Fit | None]:
        """The fit; None where nothing of the guess can be worked out.

        A guess whose evidence will not come to ``least`` is not followed any further; what it
        has then is what the straight line foretells.
        """
        if self.line is None:
            return None
        for number in range(MOST_ROUNDS):
            if not self.line.rows:
                self.mean = [0.0] * len(self.mean)
                break
            far = FIRST_LINE if self.foretold > MANY else NEAR_LINE
            if self.hope(1.0 if number else far) < least:
                break
            weights = backward(self.factor, self.half)
            aim = across(self.line.rows, weights, len(self.mean))
            self.mean, line, done = yield from _stepping(
                self.trial, self.seen, self.mean, aim, self.line, self.foretold, self.wider
            )
            yield from self._draw(line)
            if done:
                break
        line, misfit = self.line, self.line.misfit(self.mean)
        return Fit(
            line.loose - misfit / 2 - _size(self.factor, line),
            misfit,
            len(line.rows),
            self.mean,
            tuple(line.rows),
            tuple(self.factor),
            line.off,
            line.noise,
            tuple(line.ids),
        )


def fit(
    trial: Trial,
    start: Start | None = None,
    without: frozenset[str] = frozenset(),
    wider: Mapping[str, float] = MappingProxyType({}),
) -> Fit | None:
    """A guess fitted to the readings of its scene, to the end, in one go."""
    return finish(fitting(trial, start, without, wider))


def fitting(
    trial: Trial,
    start: Start | None = None,
    without: frozenset[str] = frozenset(),
    wider: Mapping[str, float] = MappingProxyType({}),
    least: float = -inf,
) -> Steps[Fit | None]:
    """The same in steps; one whose evidence will not come to ``least`` is not followed."""
    begun = yield from Fitting.drawing(trial, start, without, wider, least)
    return (yield from begun.settling(least))


def _unmoved(off: Sequence[float], rows: Sequence[Row], mean: Row) -> Row:
    """The surplus of each reading over a straight line, were no unknown off its mean."""
    return [one + sumprod(row, mean) for one, row in zip(off, rows, strict=True)]


def _unit_forward(factor: Sequence[Row], place: int) -> Row:
    """x of L x = b, b being 1 at a place and else 0, from that place on: in front of it x is 0."""
    out = [1.0 / factor[place][place]]
    for i in range(place + 1, len(factor)):
        row = factor[i]
        out.append(-sumprod(row[place:i], out) / row[i])
    return out


def _size(factor: list[Row], line: Line) -> float:
    """The logarithm of how wide all readings may scatter together."""
    return _own(line.noise) + half_log_det(factor)


def _own(noise: Sequence[float]) -> float:
    return sum(log(one) + log(2 * pi) / 2 for one in noise)


def _stepping(
    trial: Trial,
    seen: tuple[Seen, ...],
    mean: Row,
    aim: Row,
    line: Line,
    foretold: float,
    wider: Mapping[str, float],
) -> Steps[tuple[Row, Line, bool]]:
    """Go towards ``aim``, as far as it makes things no worse; whether that settles it."""
    before, share = line.misfit(mean), 1.0
    for _ in range(MOST_CUTS):
        there = [m + share * (a - m) for m, a in zip(mean, aim, strict=True)]
        found = yield from lining(trial, seen, there, wider)
        if found is not None and len(found.rows) == len(line.rows):
            now = found.misfit(there)
            if now <= before + SETTLED:
                near = abs(now - foretold) < SETTLED * max(1.0, now / MUCH)
                return there, found, share == 1.0 and near
        share *= SHORTER
    return mean, line, True
