"""What each reading says of a guess, beside a sound site: it speaks for it, against it, or neither.

Both are asked in the order of judging, each reading by those before it: under the guess by all of
them, of a sound site by those that agreed with the plan, so that a fault is not explained away.
What a figure is then foretold to be is told by all the other readings together.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import log, pi, sqrt

from attrs import frozen

from engine.bands import JUDGED_TODAY, REACH, Predicted
from engine.diagnose import Diagnosis, Guess
from engine.diagnose.chances import each_chance, full_speed
from engine.diagnose.cholesky import forward
from engine.diagnose.fit import Fit
from engine.diagnose.lining import flag
from engine.diagnose.trial import Loose, Trial
from engine.faults import NONE, OTHER, SLIPS
from engine.faults.bends import AS_PLANNED, Bend
from engine.figures import Asked
from engine.judge import Judgement
from engine.knowing import sumprod
from engine.log import Reading
from engine.say import Say, say
from engine.verdict import INSIDE, LIMITED_KINDS, OUTSIDE, Verdict

FOR, AGAINST, EITHER = "for", "against", "either"
"""what a reading says of a fault: it speaks for it, against it, or for neither"""
TELLS = log(3)
"""a reading speaks where it is three times as likely one way as the other (our choice)"""
FULL, DOUBTFUL, DARK = "full", "doubtful", "dark"
"""how a link does under a guess: as it should, slower or not at all, not at all"""
LEAST_FULL, MOST_DARK = 0.9, 0.1
ALIKE, APART, SOME_OPEN, ALL_OPEN = "alike", "apart", "some-open", "all-open"
"""how the pairs of a span come out under a guess"""


@frozen
class Evidence:
    """One reading and what it says of a fault, beside a sound site."""

    reading: str
    speaks: str
    say: Say


@frozen
class _Foretold:
    """How readily a reading is as it was, as a logarithm, and how many deviations it is out."""

    density: float
    z: float


class Hearing:
    """The readings of a diagnosis, to be asked what they say of any guess of it."""

    def __init__(self, judgement: Judgement, found: Diagnosis) -> None:
        self.scene = found.scene
        ids = {reading.id for reading in found.scene.readings}
        self.verdicts = tuple(one for one in judgement.verdicts if one.id in ids)
        self.sound = dict(_sound(judgement, ids))
        self.healthy = {one.id: by for one, by in each_chance(Trial(self.scene, AS_PLANNED))}
        self.seen = {one.id: one for one in self.scene.seen}

    @property
    def outside(self) -> int:
        """How many readings are outside."""
        return sum(one.verdict == OUTSIDE for one in self.verdicts)

    @property
    def first_outside(self) -> Verdict | None:
        """The first reading that is outside, in the order of judging."""
        return next((one for one in self.verdicts if one.verdict == OUTSIDE), None)

    def of(self, guess: Guess) -> tuple[Evidence, ...]:
        """What every reading says of a guess, the most telling first."""
        if guess.cause in (NONE, OTHER):
            return tuple(self._by_word(guess.cause, one) for one in self.verdicts)
        if guess.cause in SLIPS:
            return tuple(self._of_slip(guess.where, one) for one in self.verdicts)
        if guess.fit is None:
            return ()
        witness = _Witness(self, guess, guess.fit)
        heard = [witness.of(one) for one in self.verdicts]
        return tuple(one for _, one in sorted(heard, key=lambda pair: -pair[0]))

    # ------------------------------------------------------------ where words will do

    def _by_word(self, cause: str, verdict: Verdict) -> Evidence:
        """Of nothing at all, and of something unknown, the verdicts speak."""
        speaks = {
            (NONE, INSIDE): FOR,
            (NONE, OUTSIDE): AGAINST,
            (OTHER, OUTSIDE): FOR,
        }.get((cause, verdict.verdict), EITHER)
        return Evidence(verdict.id, speaks, self._against_plan(verdict, speaks))

    def _of_slip(self, where: str, verdict: Verdict) -> Evidence:
        """A misread figure stands alone: what else is outside speaks against it."""
        if verdict.id == where:
            told = self._against_plan(verdict, FOR)
            return Evidence(verdict.id, FOR, say("because-slip", **told.parts))
        kind = next((one.reading.kind for one in self.verdicts if one.id == where), "")
        speaks = AGAINST if verdict.verdict == OUTSIDE else EITHER
        if verdict.verdict == INSIDE and verdict.reading.kind == kind:
            speaks = FOR
        return Evidence(verdict.id, speaks, self._against_plan(verdict, speaks))

    def _against_plan(self, verdict: Verdict, speaks: str) -> Say:
        low, high = sound_band(verdict)
        return say(
            "because-plan",
            **seen_as(verdict.reading),
            sound=(low, high),
            word=verdict.verdict,
            speaks=speaks,
        )


class _Witness:
    """All readings under one guess."""

    def __init__(self, hearing: Hearing, guess: Guess, fit: Fit) -> None:
        self.hearing, self.guess, self.fit = hearing, guess, fit
        self.trial = Trial(hearing.scene, guess.bend)
        self.chain = dict(_chain(fit))
        self.alone = fit.alone()
        self.chances = {one.id: by for one, by in each_chance(self.trial)}

    def of(self, verdict: Verdict) -> tuple[float, Evidence]:
        """How much a reading tells, and what."""
        ident, reading = verdict.id, verdict.reading
        lean, told = self._figure(verdict)
        if ident in self.chances:
            by = self.chances[ident] - self.hearing.healthy.get(ident, 0.0)
            if told is None or abs(by) > abs(lean):
                told = self._chance(verdict)
            lean += by
        speaks = FOR if lean > TELLS else AGAINST if lean < -TELLS else EITHER
        if told is None:
            told = self.hearing._against_plan(verdict, EITHER)
            return 0.0, Evidence(ident, EITHER, told)
        parts = {**seen_as(reading), **told.parts, "speaks": speaks}
        return abs(lean), Evidence(ident, speaks, Say(told.code, parts))

    # ------------------------------------------------------------ figures

    def _figure(self, verdict: Verdict) -> tuple[float, Say | None]:
        """By how much a figure leans to the guess, and what it foretells."""
        ident = verdict.id
        sound, seen = self.hearing.sound.get(ident), self.hearing.seen.get(ident)
        if seen is None:
            return 0.0, None
        band = sound_band(verdict)
        if ident in self.chain:
            there, alone = self.chain[ident], self.alone[ident]
            middle, half = seen.value - alone.over, REACH * alone.sd
            lean = _lean(there, sound)
            ends = (max(middle - half, 0.0), middle + half)
            return lean, say("because-figure", foretold=ends, sound=band)
        asked = self.trial.asked(seen)
        values = self.trial.columns.values(self.fit.mean, asked)
        shown = self.trial.shows(values, asked, slopes=False)
        if not isinstance(shown, Loose):
            return 0.0, None
        lean = shown.log_density(seen.value) - sound.density if sound else 0.0
        lean += flag(asked, shown.comes_and_goes) - flag(asked, False)
        ends = (shown.low, shown.high)
        code = "because-moves" if shown.comes_and_goes else "because-nothing"
        code = "because-search" if code == "because-nothing" and shown.high > shown.low else code
        return lean, say(code, foretold=ends, sound=band)

    # ------------------------------------------------------------ yes or no

    def _chance(self, verdict: Verdict) -> Say:
        reading, bend = verdict.reading, self.guess.bend
        if reading.kind == "mbps":
            return self._light(reading)
        if reading.kind == "error_count":
            link = self.hearing.scene.link_at(reading.at)
            bad = bool(link and bend.frames & set(link.through))
            return say("because-frames", many=verdict.verdict == OUTSIDE, bad=bad)
        if reading.kind in LIMITED_KINDS:
            bad = reading.at in bend.earths | bend.uneven.keys()
            return say("because-most", most=sound_band(verdict)[1], bad=bad)
        ohms = tuple((reading.pairs or {}).values())
        return say("because-pairs", ohms=ohms, come_out=pairs_of(bend, reading.at))

    def _light(self, reading: Reading) -> Say:
        link = self.hearing.scene.link_at(reading.at)
        assert link is not None  # what is seen elsewhere has no chance that could speak
        chance = full_speed(self.trial, link)
        shows = FULL if chance >= LEAST_FULL else DARK if chance <= MOST_DARK else DOUBTFUL
        return say("because-light", planned=int(link.expected_mbps), shows=shows)


def pairs_of(bend: Bend, span: str) -> str:
    """How the pairs of a span come out."""
    if span in bend.lost:
        return ALL_OPEN if bend.lost[span] == "all" else SOME_OPEN
    return APART if span in bend.uneven else ALIKE


def seen_as(reading: Reading) -> dict[str, object]:
    """Where, of what and how much was read, and with what standing there (no watts: off)."""
    standing = reading.standing
    stood = [*((box, 0.0) for box in sorted(standing.off)), *sorted(standing.known.items())]
    if standing.beyond is not None:
        stood.append(("*", 0.0))
    return {
        "at": reading.at,
        "kind": reading.kind,
        "value": reading.figure,
        "stood": tuple(stood),
    }


def sound_band(verdict: Verdict) -> tuple[float | None, float | None]:
    """What a sound site would show, as its verdict has it."""
    return (verdict.band.low, verdict.band.high) if verdict.band else (None, None)


def _lean(there: _Foretold, sound: _Foretold | None) -> float:
    """How much likelier a reading is under a guess; nothing where the likelier is farther out."""
    if sound is None:
        return 0.0
    by = there.density - sound.density
    farther = abs(there.z) > abs(sound.z)
    return 0.0 if (by > 0) == farther else by


def _chain(found: Fit) -> Iterator[tuple[str, _Foretold]]:
    """Each reading by those before it: the factor of all is the way there (Cholesky, textbook)."""
    back = [off + sumprod(row, found.mean) for off, row in zip(found.off, found.rows, strict=True)]
    half = forward(found.factor, back)
    for i, ident in enumerate(found.ids):
        sd = found.factor[i][i] * found.noise[i]
        yield ident, _Foretold(-(half[i] ** 2) / 2 - log(sd * sqrt(2 * pi)), half[i])


def _sound(judgement: Judgement, ids: set[str]) -> Iterator[tuple[str, _Foretold]]:
    """Each reading on a sound site, by what was accepted before it."""
    judged = judgement.judged
    for verdict, stage in zip(judged.verdicts, judged.stages, strict=True):
        if verdict.id not in ids or verdict.reading.kind not in JUDGED_TODAY:
            continue
        if verdict.z is None:
            continue
        asked = Asked.by(verdict.reading)
        predicted = stage.meeting(asked).predict(asked)
        if isinstance(predicted, Predicted):
            z = predicted.z(abs(verdict.reading.figure))
            density = -z * z / 2 - log(predicted.total * sqrt(2 * pi))
            yield verdict.id, _Foretold(density, z)
