"""Today's band: what a reading should show by the plan and by all that was measured before it.

Every unknown of the site starts with its mean and deviation (``unknowns``). A reading moves
with them by its slopes (``sensitivity``), so each accepted one narrows them all at once, with
what they have in common (``knowing``). The site is solved anew at the present means for each
reading, since boxes of constant power are not linear; where even two deviations are too far
for a straight line, as near collapse, the ends of the band are solved for themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import hypot, sqrt

from attrs import evolve, field, frozen

from engine.figures import FLOW_KINDS, STEADY_KINDS, Asked, Figure, Figures
from engine.job import Job, Point
from engine.knowing import Known, Row, sumprod
from engine.limits import FeedLimit
from engine.log import Reading
from engine.network import AS_PLANNED, Network, Standing
from engine.say import Say, say
from engine.standards.dc import DC
from engine.standards.meters import METERS
from engine.study import Range
from engine.unknowns import RECTANGULAR, Key, Unknown, scoped

REACH = METERS["coverage-factor"].value
"""a band reaches this many deviations either way"""
FLOOR_VOLTS = METERS["plug-floor-volts"].value
PAIR_LAY = DC["pair-lay-spread"].value / 100 / 2 / RECTANGULAR
"""deviation of one pair's ohms from those of all, as a share"""
JUDGED_TODAY = frozenset({*FLOW_KINDS, *STEADY_KINDS})
STRAIGHT = 0.1
"""share of a band's half by which a solved end may lie off the straight line's"""
SETTLED = 0.1
"""share of a reading's own deviation within which the straight line must meet the solve"""
LEAST_NOISE = 1e-6
"""no reading is written more finely, in whatever unit, even by a meter without errors"""
MOST_ROUNDS = 8
MOST_HALVINGS = 6


@frozen
class Predicted:
    """What a reading should show, by what was known before it.

    ``expected`` is what the meter should show, its gain as far as it is known in it; ``band``
    two deviations of that either way; an end is None where the network cannot be held that far
    out. ``own`` is its deviation on the straight line, ``noise`` that of what is the reading's
    alone. ``row`` is how it moves with the unknowns, ``about`` the means where it was taken.
    """

    expected: float
    band: Range
    own: float
    noise: float
    row: Row
    about: Row
    per_ohm: float | None

    @property
    def total(self) -> float:
        """Deviation of a reading about what is expected of it, all in."""
        return hypot(self.own, self.noise)

    def z(self, value: float) -> float:
        """Deviations between a value and what was expected; each side has its own."""
        off = value - self.expected
        end = self.band.low if off < 0 else self.band.high
        own = self.own if end is None else abs(end - self.expected) / REACH
        return off / hypot(own, self.noise)


Bearing = dict[Key, tuple[Key, int | None, float]]
"""of each unknown as it bears on a reading: its full key, its column, its deviation"""


@frozen
class Columns:
    """The unknowns of a site side by side, with those of the moments, visits, meters so far."""

    figures: Figures
    unsure: Mapping[Key, Unknown]
    place: Mapping[Key, int]
    forgot: bool = False
    """what some moments, visits or meters had of their own is in it no more"""
    _known: dict[tuple[int, str], Bearing] = field(factory=dict, init=False, eq=False, repr=False)

    @classmethod
    def of(cls, figures: Figures) -> Columns:
        """Those of the site alone."""
        unsure = {key: one for key, one in figures.site.unknowns.items() if one.sd > 0}
        alone = (key for key in unsure if scoped(key, 0, "") == key)
        return cls(figures, unsure, {key: place for place, key in enumerate(alone)})

    def with_those_of(self, asked: Asked) -> Columns:
        """With what a reading has of its own: its moment's, its visit's, its meter's."""
        new = [key for key in self.wanted_by(asked) if key not in self.place]
        if not new:
            return self
        first = len(self.place)
        more = {key: first + i for i, key in enumerate(new)}
        return evolve(self, place={**self.place, **more})

    def wanted_by(self, asked: Asked) -> list[Key]:
        """The unknowns that bear on a reading."""
        own = [scoped(key, asked.visit, asked.moment) for key in self.unsure]
        key, gain = self.gain(asked)
        return [*own, key] if gain.sd else own

    def bent(self, figures: Figures, changed: Mapping[Key, Unknown]) -> Columns:
        """Those of a site on which a few unknowns are others; all keep their places.

        An unknown that was exact before has none yet: ``with_those_of`` gives it one.
        """
        out = evolve(self, figures=figures, unsure={**self.unsure, **changed})
        if changed.keys() <= self.unsure.keys():
            for circumstances, bearing in self._known.items():
                out._known[circumstances] = bearing | {
                    key: (*bearing[key][:2], one.sd) for key, one in changed.items()
                }
        return out

    def only(self, is_wanted: Callable[[Key], bool]) -> tuple[Columns, list[int]]:
        """Those of the site, and of the others the wanted ones; the places they had before."""
        kept = [
            (key, place)
            for key, place in self.place.items()
            if key in self.figures.site.unknowns or is_wanted(key)
        ]
        place = {key: i for i, (key, _) in enumerate(kept)}
        return evolve(self, place=place, forgot=True), [before for _, before in kept]

    def gain(self, asked: Asked) -> tuple[Key, Unknown]:
        """By what share a meter reads high: one unknown for all it shows of a kind in a visit."""
        key = ("gain", asked.meter or "", asked.kind, str(asked.visit))
        accuracy = self.figures.job.accuracy(asked.meter, asked.kind)
        percent = accuracy.percent if accuracy and asked.meter is not None else 0.0
        return key, Unknown(0.0, percent / 100 / RECTANGULAR)

    def noise(self, asked: Asked) -> float:
        """Deviation of what is a reading's own: digits, the contact's volts, its wandering."""
        limits = []
        accuracy = self.figures.job.accuracy(asked.meter, asked.kind)
        if accuracy:
            # half a step is within 'digits' (JCGM 100, F.2.2.1), unless a sheet states none
            limits.append(max(accuracy.digits, 0.5) * accuracy.resolution)
        if asked.kind == "volts":
            limits.append(FLOOR_VOLTS)
        if asked.unsteady:
            limits.append((asked.unsteady[1] - asked.unsteady[0]) / 2)
        return max(sqrt(sum(limit * limit for limit in limits)) / RECTANGULAR, LEAST_NOISE)

    def values(
        self, mean: Row, asked: Asked, fresh: Mapping[Key, float] | None = None
    ) -> dict[Key, float]:
        """The unknowns as they bear on a reading: means in deviations, ``fresh`` ones besides."""
        out = dict(self.figures.site.means)
        for key, (full, place, sd) in self._bearing(asked).items():
            if place is not None:
                out[key] += sd * mean[place]
            elif fresh:
                out[key] += sd * fresh.get(full, 0.0)
        return out

    def row(self, figure: Figure, asked: Asked) -> tuple[Row, dict[Key, float]]:
        """A figure's slopes by deviations: of the columns, and of what has none yet."""
        row, fresh = [0.0] * len(self.place), {}
        bearing = self._bearing(asked)
        for key, by in figure.slope.items():
            if (bears := bearing.get(key)) is not None:
                full, place, sd = bears
                if place is None:
                    fresh[full] = by * sd
                else:
                    row[place] += by * sd
        return row, fresh

    def _bearing(self, asked: Asked) -> Bearing:
        """The unknowns as they bear on a reading."""
        circumstances = (asked.visit, asked.moment)
        if circumstances not in self._known:
            self._known[circumstances] = {
                key: (full := scoped(key, *circumstances), self.place.get(full), unknown.sd)
                for key, unknown in self.unsure.items()
            }
        return self._known[circumstances]


@frozen
class Today:
    """What is known of a site after the readings that were accepted so far."""

    columns: Columns
    known: Known
    visit: int = 0
    """the one that a fresh reading would belong to"""

    @classmethod
    def start(cls, job: Job, network: Network, limits: Mapping[Point, FeedLimit]) -> Today:
        """Before any reading."""
        columns = Columns.of(Figures(job, network, limits))
        return cls(columns, Known.nothing(len(columns.place)))

    def meeting(self, asked: Asked) -> Today:
        """The same, with room for what a reading brings that no other had."""
        columns = self.columns.with_those_of(asked)
        if columns is self.columns:
            return self
        return evolve(self, columns=columns, known=self.known.wider(len(columns.place)))

    def forgetting(self, is_wanted: Callable[[Key], bool]) -> Today:
        """The same without what is known of others' moments, visits and meters.

        No prediction of what is still wanted moves by it, not in its last digit.
        """
        columns, places = self.columns.only(is_wanted)
        return evolve(self, columns=columns, known=self.known.only(places))

    def metered(self, job: Job) -> Today:
        """The same, asked with the meters of ``job``, the same plan otherwise."""
        return evolve(self, columns=evolve(self.columns, figures=self.columns.figures.metered(job)))

    def gathered(self) -> Today:
        """The same in fewer numbers, where more readings came than there are unknowns."""
        return evolve(self, known=self.known.gathered())

    def band(
        self,
        at: str,
        kind: str,
        standing: Standing = AS_PLANNED,
        meter: str | None = None,
        moment: str = "",
    ) -> Range | Say:
        """What a fresh reading should show, by all that was accepted."""
        found = self.predict(Asked(at, kind, standing, meter, moment, self.visit))
        return found if isinstance(found, Say) else found.band

    def predict(self, asked: Asked) -> Predicted | Say:
        """What a reading should show, by what was accepted before it."""
        if asked.kind not in JUDGED_TODAY:
            return say("no-band-not-judged", at=asked.at, kind=asked.kind)
        return self._predict(asked, self.known.mean, ends=True)

    def _predict(self, asked: Asked, mean: Row, *, ends: bool) -> Predicted | Say:
        """The prediction, with the site solved at ``mean``."""
        columns = self.columns
        figure = columns.figures.at(columns.values(mean, asked), asked)
        if isinstance(figure, Say):
            return figure
        row, fresh = columns.row(figure, asked)
        unseen = sum(by * by for by in fresh.values())
        bare = sqrt(self.known.variance(row) + unseen)
        sides: tuple[float | None, float | None] = (bare, bare)
        if ends and REACH * bare > STRAIGHT / 2 * figure.bends:
            sides = self._sides(asked, figure.value, bare, self.known.along(row), fresh)
        key, gain = columns.gain(asked)
        place, by = columns.place.get(key), figure.value * gain.sd
        if place is None:
            shown, own = figure.value, hypot(bare, by)
        else:
            row[place] += by
            shown = figure.value + by * mean[place]
            own = sqrt(self.known.variance(row) + unseen)

        def end(sign: int, side: float | None) -> float | None:
            if side is None:
                return None
            return shown + sign * REACH * sqrt(max(own**2 - bare**2 + side**2, 0.0))

        band = Range(end(-1, sides[0]), shown, end(1, sides[1]))
        lay = PAIR_LAY * figure.value if asked.one_pair else 0.0
        noise = hypot(columns.noise(asked), lay)
        return Predicted(shown, band, own, noise, row, mean, figure.per_ohm)

    def _sides(
        self, asked: Asked, middle: float, bare: float, along: Row, fresh: Mapping[Key, float]
    ) -> tuple[float | None, float | None]:
        """One deviation down and up, from ends that are solved where no straight line will do.

        The ends lie two deviations out, the way in which the unknowns move the figure most.
        """
        columns = self.columns

        def side(sign: int) -> float | None:
            share = sign * REACH / bare
            mean = [m + share * a for m, a in zip(self.known.mean, along, strict=True)]
            moved = {key: share * by for key, by in fresh.items()}
            figure = columns.figures.at(columns.values(mean, asked, moved), asked, slopes=False)
            return None if isinstance(figure, Say) else abs(figure.value - middle) / REACH

        low, high = side(-1), side(1)
        if low is None or high is None:
            return low, high
        bent = max(abs(low - bare), abs(high - bare)) > STRAIGHT * bare
        return (low, high) if bent else (bare, bare)

    def told(self, reading: Reading, predicted: Predicted) -> Today:
        """What is known once a reading is accepted.

        Where it moves the means so far that the straight line no longer meets the solve, the
        line is drawn anew about the new means (the iterated form of the same update).
        """
        asked, value = Asked.by(reading), abs(reading.figure)
        for _ in range(MOST_ROUNDS):
            back = [m - a for m, a in zip(self.known.mean, predicted.about, strict=True)]
            surplus = value - predicted.expected - sumprod(predicted.row, back)
            known = self.known.told(predicted.row, surplus, predicted.noise)
            forth = [m - a for m, a in zip(known.mean, predicted.about, strict=True)]
            forecast = predicted.expected + sumprod(predicted.row, forth)
            shown = self._shown(asked, known.mean)
            if shown is not None and abs(shown - forecast) < SETTLED * predicted.noise:
                return evolve(self, known=known)
            again = self._nearer(asked, known.mean, predicted.about)
            if again is None:
                return self
            predicted = again
        return evolve(self, known=known)

    def _nearer(self, asked: Asked, far: Row, near: Row) -> Predicted | None:
        """The prediction about ``far``, or as far towards it as the network can be held."""
        for _ in range(MOST_HALVINGS):
            found = self._predict(asked, far, ends=False)
            if isinstance(found, Predicted):
                return found
            far = [(f + n) / 2 for f, n in zip(far, near, strict=True)]
        return None

    def _shown(self, asked: Asked, mean: Row) -> float | None:
        """What a meter would show with the unknowns at ``mean``."""
        columns = self.columns
        figure = columns.figures.at(columns.values(mean, asked), asked, slopes=False)
        if isinstance(figure, Say):
            return None
        key, gain = columns.gain(asked)
        place = columns.place.get(key)
        return figure.value * (1 + (gain.sd * mean[place] if place is not None else 0.0))
