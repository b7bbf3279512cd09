"""The one test that tells most for its minutes.

For each test that can be made here, what it would show is foretold under each likely guess, from
that guess's own fit. What it is expected to tell of the guesses (mutual information, in bits;
Shannon, textbook) is divided by its minutes, walk and all. Outcomes are drawn on a fixed grid, so
the same readings always ask for the same test.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from functools import cached_property
from math import hypot, log2, sqrt

from attrs import evolve, frozen

from engine.diagnose import Diagnosis, Guess
from engine.diagnose.candidates import REMAKE, Candidate, plugs, possible
from engine.diagnose.chances import full_speed
from engine.diagnose.fit import Fit
from engine.diagnose.lining import foretell
from engine.diagnose.outcomes import Blob, Outcome, information, middle
from engine.diagnose.sizing import AT_AN_END
from engine.diagnose.trial import Loose, Trial
from engine.faults import NONE, OTHER
from engine.faults.bends import Bend
from engine.faults.sizes import CHANCES
from engine.figures import Asked, Figure
from engine.job import ANY_METER, Point
from engine.knowing import Row
from engine.log import Reading
from engine.network import Standing
from engine.places import stop_of
from engine.sliced import finish
from engine.unknowns import Key
from engine.verdict import OUTSIDE, UNCLEAR
from engine.walks import PACE_M_PER_MIN, between

SURE = 0.95
"""from here on no test is asked for (design: stopping)"""
LIKELY = 0.004
MOST_GUESSES = 6
LEAST_BITS = 0.05
"""a test that tells less is none (our choice)"""
LEAST_A_MINUTE = 0.01
"""nor is one that tells less for its minutes: an hour's walk for a coin's toss (our choice)"""
LEAST_UNDOUBTED = 0.03
"""nor, where no reading is in doubt, one that tells less than this: whoever reads what was
planned wants no quarter of an hour more on the off chance (our choice)"""
APART = 2.0
"""deviations between what two guesses foretell from which on a test parts them"""
CATEGORIES = ("open", "uneven", "even")
UNEVEN_SEEN = {"joint.high": 0.75, "contact.high": 0.95}
"""how readily pairs then differ by more than their lay (from memory)"""
UNEVEN_SOUND = 0.01


@frozen
class Foretold:
    """What a test would show under one guess: the figure it is read by, and its deviation."""

    cause: str
    where: str
    mean: float
    sd: float


@frozen
class NextTest:
    """One test: where, of what, with what standing there; what it takes and what it tells."""

    at: str
    kind: str
    standing: Standing
    minutes: float
    walk_m: float
    bits: float
    dead: bool
    needs: tuple[str, ...]
    foretold: tuple[Foretold, ...]

    @property
    def parts(self) -> tuple[tuple[str, str], ...]:
        """The best guess and those that this test tells from it."""
        best, *others = self.foretold
        apart = [
            other
            for other in others
            if abs(other.mean - best.mean) > APART * hypot(other.sd, best.sd)
        ]
        return tuple((one.cause, one.where) for one in (best, *apart))


_Way = tuple[float, Bend, Fit, Trial]
"""one of the things that a guess may be, with its share of 1"""


def next_test(found: Diagnosis, *, here: str | None = None) -> NextTest | None:
    """The test with the most bits a minute; None where one guess is sure, or nothing tells.

    ``here``: the stop where one stands; without it, where the latest reading was taken.
    """
    return finish(seeking(found, here=here))


def seeking(
    found: Diagnosis, *, here: str | None = None
) -> Generator[float, None, NextTest | None]:
    """The next test, yielding the share done."""
    if found.best.probability >= SURE:
        return None
    search = _Search(found, here)
    best = yield from search.best(list(possible(search.scene, search.walk)))
    if best is None:
        best = yield from search.best(list(plugs(search.scene, search.guesses)))
    return best


class _Search:
    """All tests of one site, under the likely guesses."""

    def __init__(self, found: Diagnosis, here: str | None) -> None:
        self.scene = found.scene
        likely = [one for one in found.guesses if one.probability > LIKELY and one.fit]
        self.guesses: list[Guess] = likely[:MOST_GUESSES]
        total = sum(one.probability for one in self.guesses)
        self.shares = [one.probability / total for one in self.guesses]
        self.ways = [self._ways(one) for one in self.guesses]
        last = max(self.scene.readings, key=lambda one: one.place, default=None)
        self.last: Reading | None = last
        self.here = here or (self._stop(last.at) if last else None) or self._first_stop()

    def _ways(self, guess: Guess) -> list[_Way]:
        ways = guess.ways or (((1.0, guess.bend, guess.fit),) if guess.fit else ())
        whole = sum(share for share, _, _ in ways)
        return [(share / whole, bend, fit, Trial(self.scene, bend)) for share, bend, fit in ways]

    def _first_stop(self) -> str:
        tree = next(iter(self.scene.network.trees), None)
        return tree.box.stop if tree else next(iter(self.scene.job.stops), "")

    def _stop(self, at: str) -> str | None:
        span = self.scene.job.spans.get(at)
        return self.scene.job.boxes[span.a.box].stop if span else stop_of(self.scene.job, at)

    def walk(self, stop: str) -> float:
        """Metres from where one stands."""
        stops = self.scene.job.stops
        return between(self.scene.job, self.here, stop) if self.here in stops else 0.0

    # ------------------------------------------------------------ what it tells

    def best(self, candidates: list[Candidate]) -> Generator[float, None, NextTest | None]:
        """The test that tells most for its minutes, if one is worth them.

        The quick ones are weighed first: no test tells more than there is to know, so one that
        takes long enough need not be weighed at all.
        """
        doubted = any(word in (OUTSIDE, UNCLEAR) for word in self.scene.words.values())
        rate = LEAST_A_MINUTE if doubted else LEAST_UNDOUBTED
        unknown = -sum(share * log2(share) for share in self.shares if share > 0)
        found: NextTest | None = None
        for number, one in enumerate(sorted(candidates, key=self.takes)):
            if unknown < rate * self.takes(one):
                break
            test = self.test(one)
            if test is not None and test.bits >= max(LEAST_BITS, rate * test.minutes):
                better = (test.bits / test.minutes, -test.walk_m)
                if found is None or better > (found.bits / found.minutes, -found.walk_m):
                    found, rate = test, test.bits / test.minutes
            yield number / len(candidates)
        return found

    def takes(self, one: Candidate) -> float:
        """Work and walk of a test. [min]"""
        return one.work + (self.walk(one.stop) + one.both_ends_m) / PACE_M_PER_MIN

    def test(self, one: Candidate) -> NextTest | None:
        """A candidate with what it takes and what it tells."""
        mixed = [
            self._mixed(guess, ways, one)
            for guess, ways in zip(self.guesses, self.ways, strict=True)
        ]
        outcomes = [outcome for outcome in mixed if outcome is not None]
        if len(outcomes) < len(mixed):
            return None
        walk = self.walk(one.stop) + one.both_ends_m
        foretold = tuple(
            Foretold(guess.cause, guess.where, *middle(outcome))
            for guess, outcome in zip(self.guesses, outcomes, strict=True)
        )
        bits = information(self.shares, outcomes)
        return NextTest(
            one.at,
            one.kind,
            one.standing,
            self.takes(one),
            walk,
            bits,
            one.dead,
            one.needs,
            foretold,
        )

    def _mixed(self, guess: Guess, ways: Sequence[_Way], one: Candidate) -> Outcome | None:
        """What may come of a test under a guess, whichever of several things it is."""
        out: list[Blob] = []
        for share, bend, fit, trial in ways:
            found = self._outcome(evolve(guess, bend=bend, fit=fit), fit, trial, one)
            if found is None:
                return None
            out += [evolve(blob, share=share * blob.share) for blob in found]
        return tuple(out)

    def _outcome(self, guess: Guess, fit: Fit, trial: Trial, one: Candidate) -> Outcome | None:
        if one.kind == "mbps":
            link = self.scene.link_at(one.at)
            if link is None:
                return None
            full = full_speed(trial, link) if guess.cause != OTHER else CHANCES["light other"].value
            return (Blob(full, "full"), Blob(1 - full, "less"))
        if one.kind == REMAKE:
            mended = self._mended(guess, one.at)
            return (Blob(mended, "mended"), Blob(1 - mended, "as before"))
        kinds = ("volts", "milliamps") if one.kind == "volts" else (one.kind,)
        asked = [self._asked(one, kind) for kind in kinds]
        blob = self._blob(guess.cause, fit, trial, asked)
        if blob is None:
            return None
        if one.kind == "loop_ohms":
            shares = _pairs(guess.bend, one.at)
            return tuple(
                evolve(blob, share=share, word=word)
                for word, share in zip(CATEGORIES, shares, strict=True)
                if share > 0
            )
        return (blob,)

    def _mended(self, guess: Guess, at: str) -> float:
        """How readily a plug made anew puts things right, one of the two that may be it.

        A sound link whose light was slow comes up as it should when it is plugged in again.
        """
        span = self.scene.job.span_at(Point.parse(at))
        assert span is not None  # it is asked for only where one is plugged in
        causes = guess.parts or ((guess.cause, guess.where),)
        if any(cause in AT_AN_END and where == span.id for cause, where in causes):
            return 0.5
        ways = (link for link in self.scene.planned_links if span.id in link.through)
        dim = any(
            one.kind == "mbps" and one.figure < link.expected_mbps
            for link in ways
            for one in self.scene.counted
            if self.scene.link_at(one.at) == link
        )
        return 1.0 if guess.cause == NONE and dim else 0.0

    def _asked(self, one: Candidate, kind: str) -> Asked:
        visit = self.last.visit if self.last else 0
        return Asked(one.at, kind, one.standing, self._meter(kind), "the next test", visit)

    def _meter(self, kind: str) -> str:
        """The meter that was used for this kind, else the first that measures it."""
        return self._meters.get(kind) or next(
            (m.id for m in self.scene.job.meters.values() if kind in m.sheet.accuracy), ANY_METER
        )

    @cached_property
    def _meters(self) -> dict[str, str]:
        return {one.kind: one.meter for one in self.scene.readings if one.meter}

    def _blob(self, cause: str, fit: Fit, trial: Trial, asked: list[Asked]) -> Blob | None:
        """Volts with amps, or one figure, as this guess foretells them."""
        mean = fit.mean
        columns = trial.columns
        values = columns.values(mean, asked[0])
        means, noises, word = [], [], "steady"
        rows: list[Row | None] = []
        freshes: list[Mapping[Key, float]] = []
        for one in asked:
            shown = trial.shows(values, one)
            if isinstance(shown, Loose):
                means.append((shown.low + shown.high) / 2)
                noises.append(hypot((shown.high - shown.low) / sqrt(12), shown.sd))
                rows.append(None)
                freshes.append({})
                word = "moving" if shown.comes_and_goes else word
                continue
            if not isinstance(shown, Figure):
                return None
            row, expected, noise = foretell(trial, one, shown, mean)
            _, fresh = columns.row(shown, one)
            key, gain, _ = trial.scatter(one)
            if columns.place.get(key) is None:
                noise = hypot(noise, shown.value * gain.sd)
            if cause == OTHER:
                noise *= 10
            means.append(expected)
            noises.append(noise)
            rows.append(row)
            freshes.append(fresh)
        sure = [row for row in rows if row]
        known = fit.covariances(sure)
        spreads = iter([sqrt(max(known[i][i], 0.0)) for i in range(len(sure))])
        sds = [
            hypot(noise, next(spreads), *fresh.values()) if row else noise
            for noise, row, fresh in zip(noises, rows, freshes, strict=True)
        ]
        both = 0.0
        if len(sure) == 2:
            both = known[0][1]
            both += sum(by * freshes[1].get(key, 0.0) for key, by in freshes[0].items())
        second = sds[1] ** 2 if len(sds) == 2 else 1.0
        return Blob(1.0, word, tuple(means), (sds[0] ** 2, both, second))


def _pairs(bend: Bend, span: str) -> tuple[float, float, float]:
    """How readily pairs of a span do not close, differ, or are alike."""
    gone = CHANCES["pair open bad" if span in bend.lost else "pair open sound"].value
    differ = UNEVEN_SEEN.get(bend.uneven.get(span, ""), UNEVEN_SOUND)
    return gone, (1 - gone) * differ, (1 - gone) * (1 - differ)
