"""Does a reading agree with the prediction? The decision rule, and who spoke.

Two speak, and the worse word stands. *Today*: how many deviations lie between the reading and
what the accepted ones before it lead one to expect; the limit is set for the site as a whole,
not for a reading. *Design*: 'can a job built to plan show this at all?', with the meter's full
limit U as guard (JCGM 106).
"""

from __future__ import annotations

from collections.abc import Iterable
from math import inf
from statistics import NormalDist

from attrs import frozen

from engine.bands import REACH, Predicted
from engine.design_band import DesignBands, band_for
from engine.job import Job
from engine.log import Reading
from engine.say import Say, say
from engine.study import Range

__all__ = ["INSIDE", "NO_BAND", "OUTSIDE", "UNCLEAR", "Verdict", "band_for", "confirmed"]

INSIDE, UNCLEAR, OUTSIDE, NO_BAND = "inside", "unclear", "outside", "no-band"
SEVERITY = {INSIDE: 0, UNCLEAR: 1, OUTSIDE: 2}
SITE_RATE = 0.97
"""share of healthy sites that see no reading outside (a choice: job format, section 5)"""
LIMITED_KINDS = frozenset({"earth_ohms", "unbalance_ohms"})
"""kinds that have a most, and nothing that is expected"""


@frozen
class Verdict:
    """What is to be thought of one reading: the word, the band it rests on, who spoke, why.

    ``band`` is that of the one who spoke: ``today``, by what was measured before it, or
    ``design``, by the plan alone. ``z`` counts deviations from what today expected.
    """

    reading: Reading
    band: Range | None
    reach: float
    """half-width of the meter's limits at this value, in the reading's unit"""
    verdict: str
    by: str
    current: bool
    say: Say
    z: float | None = None
    smallest_ohms: float | None = None
    """the least extra loop ohms in front of it that this reading would have shown as outside,
    more likely than not. [ohm]"""

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.reading.id


def confirmed(verdicts: Iterable[Verdict]) -> frozenset[str]:
    """Ids of the unclear readings that a repeat found inside: same place, kind and load, later.

    Such a pair holds nobody up. Both stay, and what they show together is known from then on:
    a third reading would tell no more (a choice; what is read behind them does).
    """
    inside: dict[tuple[object, ...], int] = {}
    unclear: list[Verdict] = []
    for one in verdicts:
        if one.current and one.verdict == INSIDE:
            inside[_asked(one)] = max(one.reading.place, inside.get(_asked(one), -1))
        elif one.current and one.verdict == UNCLEAR:
            unclear.append(one)
    return frozenset(one.id for one in unclear if inside.get(_asked(one), -1) > one.reading.place)


def _asked(one: Verdict) -> tuple[object, ...]:
    """What was read, whenever that was."""
    return (one.reading.at, one.reading.kind, one.reading.standing.key)


def planned_readings(job: Job) -> int:
    """How many readings the plan asks for.

    Volts and amps at each port of an active box, and the watts at the source (job format,
    section 5), whatever has been read.
    """
    ports = sum(len(job.ports(box)) for box in job.boxes.values() if box.sheet.facts.active)
    return 2 * ports + 1


def z_out(readings: int) -> float:
    """Deviations beyond which one of so many readings is outside.

    Set so that all readings of a healthy site together stay inside with ``SITE_RATE``, if they
    were independent and normal (Sidak's bound, textbook).

    >>> round(z_out(1), 3), round(z_out(13), 3)
    (2.17, 3.042)
    """
    each = SITE_RATE ** (1 / readings)
    return NormalDist().inv_cdf(1 - (1 - each) / 2)


def beyond(value: float, band: Range, guard: float = 0.0) -> float:
    """How far a value lies beyond the nearer end of a band that ``guard`` widens; else <= 0.

    Guarded rejection (JCGM 106:2012, 8.3): with the guard at U a value is turned down only
    where its true one is almost surely out. A guard below 0 narrows the band instead.
    """
    below = -inf if band.low is None else band.low - value
    above = -inf if band.high is None else value - band.high
    return max(below, above) - guard


@frozen
class Rule:
    """The decision rule of one job: its plan's bands, and the limit of a site's readings."""

    bands: DesignBands
    limit: float

    def judge(self, reading: Reading, predicted: Predicted | Say | None, current: bool) -> Verdict:
        """The verdict on a reading, by the plan and by what was ``predicted`` of it today."""
        accuracy = self.bands.state.job.accuracy(reading.meter, reading.kind)
        reach = accuracy.reach(reading.figure) if accuracy else 0.0
        band = self.bands.of(reading)
        if isinstance(band, Say):
            return Verdict(reading, None, reach, NO_BAND, "design", current, band)
        word, statement = by_design(reading, band, reach)
        if not isinstance(predicted, Predicted):
            return Verdict(reading, band, reach, word, "design", current, statement)
        by, z = "design", predicted.z(abs(reading.figure))
        per_ohm = abs(predicted.per_ohm or 0.0)
        smallest = self.limit * predicted.total / per_ohm if per_ohm else None
        said, today = by_today(reading, predicted, z, self.limit, reach)
        if SEVERITY[said] >= SEVERITY[word]:
            band, word, by, statement = predicted.band, said, "today", today
        return Verdict(reading, band, reach, word, by, current, statement, z, smallest)


def by_design(reading: Reading, band: Range, reach: float) -> tuple[str, Say]:
    """Can a job built to plan show this at all? Outside is beyond the band by more than U."""
    value, at, kind = abs(reading.figure), reading.at, reading.kind
    if beyond(value, band, reach) <= 0:
        return INSIDE, say("verdict-inside", at=at, kind=kind)
    if kind == "mbps":
        expected = int(band.expected or 0)
        return OUTSIDE, say("verdict-slow", at=at, mbps=int(value), expected=expected)
    if kind == "error_count":
        return OUTSIDE, say("verdict-errors", at=at, count=value, most=band.high)
    if kind in LIMITED_KINDS:
        return OUTSIDE, say("verdict-over", at=at, kind=kind, value=value, most=band.high)
    return OUTSIDE, _outside(reading, band, reach, "design")


def by_today(
    reading: Reading, predicted: Predicted, z: float, limit: float, reach: float
) -> tuple[str, Say]:
    """The word for a reading that lies ``z`` deviations from what today leads one to expect.

    Where a band has no end, because nothing would hold there, nothing is turned down.
    """
    at, kind, band = reading.at, reading.kind, predicted.band
    end = band.low if z < 0 else band.high
    if abs(z) <= REACH or end is None:
        return INSIDE, say("verdict-inside", at=at, kind=kind)
    if abs(z) <= limit:
        off = max(beyond(abs(reading.figure), band), 0.0)
        return UNCLEAR, say("verdict-unclear", at=at, kind=kind, by=off, low=z < 0)
    return OUTSIDE, _outside(reading, band, reach, "today")


def _outside(reading: Reading, band: Range, reach: float, spoke: str) -> Say:
    value = abs(reading.figure)
    low = band.low is not None and value < band.low
    code = "verdict-outside-low" if low else "verdict-outside-high"
    off = beyond(value, band)
    return say(code, at=reading.at, kind=reading.kind, by=off, reach=reach, spoke=spoke)
