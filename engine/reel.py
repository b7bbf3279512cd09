"""Is this reel what the plan wants: long enough, and of the sheet's wire? Asked before it is pulled.

Two marks on the jacket give the length, one pair with its far end shorted gives the loop ohms.
What the wire can be of is weighed in ``reel_wire``; the word on the sheet's own wire follows the
decision rule for readings. A check never stops a job: its rates are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from engine import kinds_of_span as kinds
from engine.band import Band
from engine.job import Job, Span
from engine.kinds_of_span import CLAD, LONGER, OTHER, THIN
from engine.reel_wire import LEAST_METRES, Reel, Settle
from engine.say import Say, say
from engine.study import Range
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR


@frozen
class ReelReading:
    """What is known of a reel: marks of its two ends, metres wanted, and what was measured."""

    first_mark_m: float | None = None
    second_mark_m: float | None = None
    wanted_m: float = 0.0
    loop_ohms: float | None = None
    celsius: float | None = None
    meter: str | None = None
    grams_per_m: float | None = None
    """a metre cut off and weighed, jacket and all"""

    @property
    def length_m(self) -> float | None:
        """Metres between the marks."""
        if self.first_mark_m is None or self.second_mark_m is None:
            return None
        return abs(self.second_mark_m - self.first_mark_m)


@frozen
class ReelCheck:
    """What is to be thought of a reel. Bands are loop ohms for its length and temperature."""

    span: str
    sheet_metal: str
    """the metal of the sheet"""
    wrong_metal: str
    """the metal that is sold for it: clad for copper"""
    length_m: float | None
    wanted_m: float
    spare_m: float | None
    """metres left over; below nothing: so many short"""
    planned: Range | None
    """the sheet's wire"""
    other_metal: Range | None
    """the same gauge in the wrong metal"""
    ohms: float | None
    reach: float
    verdict: str
    """the word on the sheet's wire"""
    kinds: Mapping[str, float]
    """probabilities, most likely first, summing to 1"""
    measured_ohms_per_km: Band | None
    """of one conductor at 20 °C, as measured"""
    material: str
    """the metal that the most likely kind is of"""
    settle: tuple[Settle, ...]
    length_say: Say
    wire_say: Say

    @property
    def kind(self) -> str:
        """The most likely kind."""
        return next(iter(self.kinds))

    @property
    def fits(self) -> bool:
        """Long enough, as far as the marks are to be believed."""
        return self.spare_m is not None and self.spare_m >= 0

    @property
    def wrong_wire(self) -> bool:
        """A wire that is not the sheet's: no matter of a misread mark or a bad short."""
        return self.verdict == OUTSIDE and self.kind not in (LONGER, OTHER)


def check_reel(job: Job, span: Span, reading: ReelReading) -> ReelCheck:
    """Check a reel against the sheet and the length of a span.

    Without both marks there is a length to ask for and no band; without ohms there are bands,
    and the kinds are as often as before anything was measured (or as its weight says).
    """
    there = Reel(job, span.cable, reading)
    length = reading.length_m
    measurable = length is not None and length >= LEAST_METRES
    ohms = reading.loop_ohms if measurable else None
    likely = there.likely(ohms)
    word = there.word(ohms, likely) if ohms is not None else NO_BAND
    top = next(iter(likely))
    material = kinds.CLAD if top == CLAD else span.cable.material
    if top == kinds.COPPER:
        material = kinds.COPPER
    return ReelCheck(
        span.id,
        span.cable.material,
        there.metal,
        length,
        reading.wanted_m,
        None if length is None else length - reading.wanted_m,
        there.band(there.planned) if measurable else None,
        there.band(*kinds.wires_of(kinds.wrong_metal(span.cable), span.cable))
        if measurable
        else None,
        ohms,
        there.reach(ohms) if ohms is not None else 0.0,
        word,
        likely,
        there.per_km(ohms, material) if ohms else None,
        material,
        there.settle(likely) if ohms is not None else (),
        _length_say(span, reading),
        _wire_say(span, there, word, likely, ohms),
    )


# ---------------------------------------------------------------- what is said


def _length_say(span: Span, reading: ReelReading) -> Say:
    marks = [m for m in (reading.first_mark_m, reading.second_mark_m) if m is not None]
    if not marks:
        return say("reel-no-marks", span=span.id, wanted_m=reading.wanted_m)
    if reading.length_m is None:
        return say("reel-one-mark", span=span.id, mark_m=marks[0])
    spare = reading.length_m - reading.wanted_m
    if spare < 0:
        return say("reel-short", span=span.id, by_m=-spare)
    return say("reel-long-enough", span=span.id, length_m=reading.length_m, spare_m=spare)


def _wire_say(
    span: Span, reel: Reel, word: str, likely: Mapping[str, float], ohms: float | None
) -> Say:
    if ohms is None:
        return say("reel-not-measured", span=span.id)
    metal, top = span.cable.material, next(iter(likely))
    if word == INSIDE:
        return say("reel-as-sheet", span=span.id, metal=metal)
    if word == UNCLEAR:
        return say("reel-unclear", span=span.id, metal=metal)
    chance = likely[top]
    if top == THIN:
        return say("reel-thin", span=span.id, chance=chance)
    if top == LONGER:
        return say("reel-longer", span=span.id, chance=chance)
    if top == OTHER:
        low = ohms < reel.loop(reel.planned).mean
        return say("reel-other", span=span.id, low=low)
    return say("reel-metal", span=span.id, metal=top, chance=chance)
