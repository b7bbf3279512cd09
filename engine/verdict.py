"""Does a reading agree with the prediction? The decision rule, and who spoke.

Two speak, and the worse word stands. *Today*: how many deviations lie between the reading and
what the accepted ones before it lead one to expect; the limit is set for the site as a whole,
not for a reading. *Design*: 'can a job built to plan show this at all?', with the meter's full
limit U as guard (JCGM 106).
"""

from __future__ import annotations

from math import inf
from statistics import NormalDist

from attrs import evolve, frozen

from engine.bands import REACH, Predicted, Today
from engine.figures import FLOW_KINDS, Asked
from engine.job import Job, Point
from engine.log import Reading, State
from engine.network import Standing
from engine.operating import Operating
from engine.predict import ranges, while_reading
from engine.say import Say, say
from engine.study import Prediction, Range

INSIDE, UNCLEAR, OUTSIDE, NO_BAND = "inside", "unclear", "outside", "no-band"
SEVERITY = {INSIDE: 0, UNCLEAR: 1, OUTSIDE: 2}
SITE_RATE = 0.97
"""share of healthy sites that see no reading outside (a choice: job format, section 5)"""
LIMITED_KINDS = frozenset({"earth_ohms", "unbalance_ohms"})
"""kinds that have a most, and nothing that is expected"""
LAST = 10**6


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
    """the least extra loop ohms in front that this reading would have shown as outside,
    more likely than not. [ohm]"""

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.reading.id


@frozen
class Judged:
    """All verdicts, in the order of judging, and what is known of the site after them."""

    verdicts: tuple[Verdict, ...]
    today: Today


def planned_readings(job: Job) -> int:
    """Readings that the plan asks for: volts and amps at each port of an active box, and the
    watts at the source (job format, section 5)."""
    ports = sum(len(job.ports(box)) for box in job.boxes.values() if box.sheet.facts.active)
    return 2 * ports + 1


def z_out(readings: int) -> float:
    """Deviations beyond which one of so many readings is outside: 3 % of sites see a false one.

    The chance of each is such that all together stay inside with 97 % (Sidak, for independent
    normal readings).

    >>> round(z_out(1), 3), round(z_out(13), 3)
    (2.17, 3.034)
    """
    each = SITE_RATE ** (1 / readings)
    return NormalDist().inv_cdf(1 - (1 - each) / 2)


def judge_all(state: State, prediction: Prediction) -> Judged:
    """Verdicts on all readings, from the source outwards; spans' ohms and lights last.

    Each current one is held against what the accepted ones before it lead one to expect. One
    that is outside is not learned from, so that a fault is not explained away.
    """
    order = sorted(state.readings, key=lambda one: _run_order(prediction, one))
    counting = [one for one in order if state.is_current(one)]
    study = prediction.study
    today = Today.start(state.job, study.network, study.limits, counting)
    judge = _Judge(state, prediction, z_out(planned_readings(state.job)))
    out = []
    for reading in order:
        verdict, today = judge.one(reading, today)
        out.append(verdict)
    return Judged(tuple(out), today)


OTHER_KINDS = ("loop_ohms", "unbalance_ohms", "metres", "celsius", "earth_ohms", "error_count")


def _run_order(prediction: Prediction, reading: Reading) -> tuple:
    """Points outwards, at each volts, milliamps, watts; then the other kinds; lights last."""
    place = prediction.study.network.where.get(Point.parse(reading.at))
    if reading.kind in FLOW_KINDS:
        return (0, *(place or (LAST, 0)), FLOW_KINDS.index(reading.kind), reading.id)
    kind = OTHER_KINDS.index(reading.kind) if reading.kind in OTHER_KINDS else LAST
    return (1, kind, *(place or (LAST, 0)), f"{reading.at} {reading.id}")


class _Judge:
    """The rule, for one job as it stands."""

    def __init__(self, state: State, prediction: Prediction, limit: float) -> None:
        self.state, self.prediction, self.limit = state, prediction, limit
        self.bands = DesignBands(state, prediction)

    def one(self, reading: Reading, today: Today) -> tuple[Verdict, Today]:
        """The verdict on a reading, and what is known after it."""
        accuracy = self.state.job.accuracy(reading.meter, reading.kind)
        reach = accuracy.reach(reading.figure) if accuracy else 0.0
        current = self.state.is_current(reading)
        band = self.bands.of(reading)
        if isinstance(band, Say):
            return Verdict(reading, None, reach, NO_BAND, "design", current, band), today
        word, statement = by_design(reading, band, reach)
        plain = Verdict(reading, band, reach, word, "design", current, statement)
        predicted = today.predict(Asked.by(reading)) if current else None
        if not isinstance(predicted, Predicted):
            return plain, today
        z = predicted.z(abs(reading.figure))
        said, statement = by_today(reading, predicted, z, self.limit, reach)
        if SEVERITY[said] >= SEVERITY[word]:
            plain = evolve(plain, band=predicted.band, verdict=said, by="today", say=statement)
        verdict = evolve(plain, z=z, smallest_ohms=self._smallest(predicted))
        accepted = verdict.verdict != OUTSIDE
        return verdict, today.told(reading, predicted) if accepted else today

    def _smallest(self, predicted: Predicted) -> float | None:
        per_ohm = abs(predicted.per_ohm or 0.0)
        return self.limit * predicted.total / per_ohm if per_ohm else None


def beyond(value: float, band: Range, guard: float = 0.0) -> float:
    """How far a value lies beyond the nearer end of a band that ``guard`` widens; else <= 0.

    Guarded rejection (JCGM 106:2012, 8.3): with the guard at U, a value is turned down only
    where its true one is almost surely out. A guard below 0 narrows the band instead.
    """
    below = -inf if band.low is None else band.low - value
    above = -inf if band.high is None else value - band.high
    return max(below, above) - guard


def by_design(reading: Reading, band: Range, reach: float) -> tuple[str, Say]:
    """Can a job built to plan show this at all? Outside is beyond the band by more than U."""
    value, at, kind = abs(reading.figure), reading.at, reading.kind
    if beyond(value, band, reach) <= 0:
        return INSIDE, say("verdict-inside", at=at, kind=kind)
    if kind == "mbps":
        return OUTSIDE, say("verdict-slow", at=at, mbps=int(value), expected=int(band.expected))
    if kind == "error_count":
        return OUTSIDE, say("verdict-errors", at=at, count=value, most=band.high)
    if kind in LIMITED_KINDS:
        return OUTSIDE, say("verdict-over", at=at, kind=kind, value=value, most=band.high)
    return OUTSIDE, _outside(reading, band, reach, "design")


def by_today(
    reading: Reading, predicted: Predicted, z: float, limit: float, reach: float
) -> tuple[str, Say]:
    """The word for a reading that lies ``z`` deviations from what today leads one to expect.

    An end of the band that has none, because nothing would hold there, turns nothing down.
    """
    value, at, kind = abs(reading.figure), reading.at, reading.kind
    end = predicted.band.low if z < 0 else predicted.band.high
    if abs(z) <= REACH or end is None:
        return INSIDE, say("verdict-inside", at=at, kind=kind)
    if abs(z) <= limit:
        off = max(beyond(value, predicted.band), 0.0)
        return UNCLEAR, say("verdict-unclear", at=at, kind=kind, by=off, low=z < 0)
    return OUTSIDE, _outside(reading, predicted.band, reach, "today")


def _outside(reading: Reading, band: Range, reach: float, spoke: str) -> Say:
    value = abs(reading.figure)
    low = band.low is not None and value < band.low
    code = "verdict-outside-low" if low else "verdict-outside-high"
    off = beyond(value, band)
    return say(code, at=reading.at, kind=reading.kind, by=off, reach=reach, spoke=spoke)


class DesignBands:
    def __init__(self, state, prediction):
        self.state, self.prediction = state, prediction

    def of(self, reading):
        return band_for(self.state, self.prediction, reading.at, reading.kind, reading.standing)


def band_for(
    state: State, prediction: Prediction, at: str, kind: str, standing: Standing
) -> Range | Say:
    """The design band of a kind at a place, or why there is none."""
    if kind in FLOW_KINDS:
        return _flow_band(prediction, Point.parse(at), kind, standing)
    if kind == "mbps":
        return _speed_band(prediction, Point.parse(at))
    if kind == "earth_ohms":
        earth = state.job.earths.get(at)
        if earth is None or earth.target_ohms is None:
            return say("no-band-no-target", at=at)
        return Range(0.0, None, earth.target_ohms)
    if kind == "loop_ohms" and at in state.job.spans:
        return prediction.spans[at].loop_ohms
    return say("no-band-not-judged", at=at, kind=kind)


def _flow_band(prediction: Prediction, point: Point, kind: str, standing: Standing) -> Range | Say:
    known = prediction.points.get(point)
    if known is None or known.feed is None:
        return say("no-band-unpowered", at=str(point))
    solves = while_reading(prediction.study, standing, point)
    found = ranges(solves, point)
    if found["volts"].expected is None:
        return say(_why_no_volts(prediction, solves[1], point), at=str(point))
    drawn = ranges(solves, known.feed)["amps"].expected
    if prediction.sources[known.feed].limit.probes and not drawn:
        return say("no-band-unplugged", at=str(point))
    if kind == "milliamps":
        return found["amps"].map(lambda amps: amps * 1000)
    return found[kind]


def _why_no_volts(prediction: Prediction, solved: Operating, point: Point) -> str:
    """Nothing can be held, a port has let go, or the point hangs on a box that is dark."""
    if not solved.holds:
        return "no-band-collapse"
    dark = {tree.feed for tree in solved.off}
    lets_go = any(prediction.sources[feed].lets_go for feed in dark)
    return "no-band-tripped" if lets_go else "no-band-unpowered"


def _speed_band(prediction: Prediction, point: Point) -> Range | Say:
    for link in prediction.links:
        if point in (link.start, link.end) and link.known:
            speed = float(link.expected_mbps)
            fastest = float(link.offers[0].mbps) if link.offers else speed
            return Range(speed if link.assured else 0.0, speed, fastest)
    return say("no-band-not-judged", at=str(point), kind="mbps")
