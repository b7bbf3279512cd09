"""Does a reading agree with the prediction? The decision rule, and who spoke.

Now in force: the check against the *design band*, 'can a job built to plan show this at
all?', with the meter's full limit U as guard (JCGM 106). The narrower band of today, from
what has been measured before, joins here (``judge_one``): the worse of the two will stand.
"""

from __future__ import annotations

from attrs import frozen

from engine.job import Point
from engine.log import Reading, State
from engine.network import Standing
from engine.operating import Operating
from engine.predict import ranges, while_reading
from engine.say import Say, say
from engine.study import Prediction, Range

INSIDE, UNCLEAR, OUTSIDE, NO_BAND = "inside", "unclear", "outside", "no-band"


@frozen
class Verdict:
    """What is to be thought of one reading: the word, the band it rests on, who spoke, why."""

    reading: Reading
    band: Range | None
    reach: float
    """half-width of the meter's limits at this value, in the reading's unit"""
    verdict: str
    by: str
    current: bool
    say: Say
    z: float | None = None

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.reading.id


def judge_all(state: State, prediction: Prediction) -> tuple[Verdict, ...]:
    """Verdicts on all readings, from the source outwards; spans' ohms and lights last."""
    return tuple(
        judge_one(state, prediction, reading)
        for reading in sorted(state.readings, key=lambda one: _run_order(prediction, one))
    )


FLOW_KINDS = ("volts", "milliamps", "watts")
"""kinds that follow from the operating point, in the order they are judged at a point"""


def _run_order(prediction: Prediction, reading: Reading) -> tuple:
    place = prediction.study.network.where.get(Point.parse(reading.at))
    if reading.kind in FLOW_KINDS and place is not None:
        return (0, *place, FLOW_KINDS.index(reading.kind), reading.id)
    return (1, 0, 0, 0, f"{reading.kind}{reading.at}{reading.id}")


def judge_one(state: State, prediction: Prediction, reading: Reading) -> Verdict:
    """The verdict on one reading."""
    accuracy = state.job.accuracy(reading.meter, reading.kind)
    reach = accuracy.reach(reading.figure) if accuracy else 0.0
    band = band_for(state, prediction, reading.at, reading.kind, reading.standing)
    current = state.is_current(reading)
    if isinstance(band, Say):
        return Verdict(reading, None, reach, NO_BAND, "design", current, band)
    word, statement = decide(reading, band, reach)
    return Verdict(reading, band, reach, word, "design", current, statement)


def decide(reading: Reading, band: Range, reach: float) -> tuple[str, Say]:
    """The word for a value against a band, with the meter's reach as guard (JCGM 106, 8.3)."""
    value, at, kind = abs(reading.figure), reading.at, reading.kind
    if kind == "mbps":
        if value >= (band.low or 0) and value <= (band.high or 0):
            return INSIDE, say("verdict-inside", at=at, kind=kind)
        return OUTSIDE, say(
            "verdict-slow", at=at, mbps=int(value), expected=int(band.expected or 0)
        )
    below = 0.0 if band.low is None else band.low - value
    above = 0.0 if band.high is None else value - band.high
    off = max(below, above)
    if off <= 0:
        return INSIDE, say("verdict-inside", at=at, kind=kind)
    if off <= reach:
        return UNCLEAR, say("verdict-unclear", at=at, kind=kind, reach=reach)
    code = "verdict-outside-low" if below > above else "verdict-outside-high"
    return OUTSIDE, say(code, at=at, kind=kind, by=off)


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
