"""The design band of a reading: all that a job built to plan can show, of every kind.

A reading beyond it, by more than its meter can be out, says that the job is not as planned,
whatever else was measured. Each kind has its row in ``BANDS``.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from statistics import median_low

from attrs import evolve, field, frozen

from engine.band import CORNERS, Band, Corner
from engine.circuit import ambient_celsius, wire_ohms
from engine.job import Accuracy, Point
from engine.links import Link
from engine.log import Reading, State
from engine.network import Network, Standing
from engine.operating import Conditions, Operating
from engine.predict import ranges
from engine.say import Say, say
from engine.standards.dc import DC
from engine.standards.ethernet import errors_allowed
from engine.states import comparable, settle
from engine.study import Prediction, Range


@frozen
class Wanted:
    """What a band is wanted for before it is read, with the names that a reading gives it.

    ``seconds`` an error count ran, ``celsius`` of the cable.
    """

    at: str
    kind: str
    standing: Standing
    seconds: float | None = None
    celsius: float | None = None


Asked = Reading | Wanted


@frozen
class Solves:
    """The three corners with one thing standing there; ``cut`` feeds let go as expected."""

    low: Operating
    expected: Operating
    high: Operating
    cut: frozenset[Point]

    def ranges(self, point: Point) -> dict[str, Range]:
        """Volts, amps and watts of a point."""
        return ranges((self.low, self.expected, self.high), point)


@frozen
class DesignBands:
    """The design bands of one job. What was solved once for a standing serves all its readings."""

    state: State
    prediction: Prediction
    _solved: dict[Hashable, Solves] = field(factory=dict, init=False, eq=False, repr=False)
    _found: dict[Hashable, Range | Say] = field(factory=dict, init=False, eq=False, repr=False)

    def of(self, asked: Asked) -> Range | Say:
        """The band of what was or might be read, or why there is none."""
        # what a ``Wanted`` has, for more than that no band looks at
        key = (asked.at, asked.kind, asked.standing.key, asked.seconds, asked.celsius)
        if key not in self._found:
            self._found[key] = BANDS[asked.kind](self, asked)
        return self._found[key]

    def solves(self, standing: Standing, measured: Point) -> Solves:
        """The job's corners while a reading is taken: with the swing of its loads in.

        ``*`` in the standing unplugs what is behind the point that was measured.
        """
        if standing.beyond is not None:
            standing = evolve(standing, beyond=measured)
        if standing.key not in self._solved:
            self._solved[standing.key] = self._solve(standing)
        return self._solved[standing.key]

    def _solve(self, standing: Standing) -> Solves:
        study = self.prediction.study
        given = Conditions(swing=True, standing=standing)
        (low, _), (expected, cut), (high, _) = (
            settle(study.circuits[corner], study.limits, evolve(given, volts=corner))
            for corner in CORNERS
        )
        low, high = (comparable(study.network, expected, corner) for corner in (low, high))
        return Solves(low, expected, high, cut)


def band_for(
    state: State, prediction: Prediction, at: str, kind: str, standing: Standing
) -> Range | Say:
    """The band of what might be read at a place, before it is."""
    return DesignBands(state, prediction).of(Wanted(at, kind, standing))


# ---------------------------------------------------------------- what flows


def _flow(bands: DesignBands, asked: Asked) -> Range | Say:
    prediction, point = bands.prediction, Point.parse(asked.at)
    known = prediction.points.get(point)
    if known is None or known.feed is None:
        return say("no-band-unpowered", at=asked.at)
    stands_in = asked.standing.off | set(asked.standing.known)
    unknown = sorted(stands_in - set(prediction.job.boxes))
    if unknown:
        return say("no-band-no-such-box", at=asked.at, box=unknown[0])
    if known.feed.box in stands_in:
        return say("no-band-unpowered", at=asked.at)
    solves = bands.solves(asked.standing, point)
    found = solves.ranges(point)
    if found["volts"].expected is None:
        return say(_why_dark(prediction.study.network, solves, point), at=asked.at)
    drawn = solves.ranges(known.feed)["amps"].expected
    source = prediction.sources[known.feed]
    if source.limit.probes and not drawn:
        return say("no-band-unplugged", at=asked.at, box=source.answers)
    if asked.kind == "milliamps":
        return found["amps"].map(lambda amps: amps * 1000)
    return found[asked.kind]


def _why_dark(network: Network, solves: Solves, point: Point) -> str:
    """Why a point shows nothing steady: that of its own tree, or of the first dark one in front."""
    tree = network.trees[network.where[point][0]]
    if tree.feed in {failed.feed for failed, _ in solves.expected.failed}:
        return "no-band-collapse"
    if tree.feed in solves.cut:
        return "no-band-tripped"
    entry = Point(tree.box.id, "in")
    in_front = tree.box.sheet.regenerates and entry in network.where
    if in_front and entry not in solves.expected.flows:
        return _why_dark(network, solves, entry)
    return "no-band-unpowered"


# ---------------------------------------------------------------- data


def _speed(bands: DesignBands, asked: Asked) -> Range | Say:
    link = _link_at(bands.prediction, asked)
    if link is None:
        return say("no-band-not-judged", at=asked.at, kind=asked.kind)
    dark = _dark_end(bands, link, asked)
    if dark is not None:
        return dark
    speed = float(link.expected_mbps)
    fastest = float(link.offers[0].mbps) if link.offers else speed
    return Range(speed if link.assured else 0.0, speed, fastest)


def _errors(bands: DesignBands, asked: Asked) -> Range | Say:
    """At full load, at the speed to be expected: more than enough for a link that idles."""
    link = _link_at(bands.prediction, asked)
    if link is None or not link.expected_mbps:
        return say("no-band-not-judged", at=asked.at, kind=asked.kind)
    dark = _dark_end(bands, link, asked)
    if dark is not None:
        return dark
    if not asked.seconds:
        return say("no-band-no-seconds", at=asked.at)
    return Range(0.0, 0.0, errors_allowed(link.expected_mbps, asked.seconds))


def _link_at(prediction: Prediction, asked: Asked) -> Link | None:
    """The link that ends at a point, if its speeds are known and both its ends stand there."""
    point, standing = Point.parse(asked.at), asked.standing
    gone = standing.off | set(standing.known)
    for link in prediction.links:
        ends = (link.start, link.end)
        if point in ends and link.known and not standing.beyond:
            return None if gone & {end.box for end in ends} else link
    return None


def _dark_end(bands: DesignBands, link: Link, asked: Asked) -> Say | None:
    """Why there is no link, where one of its ends has no power to answer with."""
    network = bands.prediction.study.network
    solves = bands.solves(asked.standing, Point.parse(asked.at))
    for end in (link.start, link.end):
        entry = network.upstream_port(end.box)
        if entry is not None and entry not in solves.expected.flows:
            return say(_why_dark(network, solves, entry), at=asked.at)
    return None


# ---------------------------------------------------------------- spans, earths, stops


def _loop(bands: DesignBands, asked: Asked) -> Range | Say:
    """One pair, far end shorted, the probes' own ohms already taken off by who reads."""
    span = bands.state.job.spans.get(asked.at)
    if span is None:
        return say("no-band-not-judged", at=asked.at, kind=asked.kind)
    planned = bands.prediction.spans[asked.at].loop_ohms
    celsius = asked.celsius
    if celsius is None:
        return planned
    job = bands.state.job

    def at_its_temperature(corner: Corner) -> float | None:
        ohms = planned.at(corner)
        warmer = celsius - ambient_celsius(job, span, corner)
        more = wire_ohms(job, span, corner, warmer) - wire_ohms(job, span, corner)
        return None if ohms is None else ohms + 2 * more

    return Range(*(at_its_temperature(corner) for corner in CORNERS))


def _unbalance(bands: DesignBands, asked: Asked) -> Range | Say:
    """Between the two wires of a pair: a share of its loop, or a few contacts' worth."""
    loop = _loop(bands, asked)
    if isinstance(loop, Say):
        return loop
    assert loop.high is not None  # ohms hang on no operating point
    share = DC["channel-pair-unbalance"].value / 100 * loop.high
    return Range(0.0, None, max(share, DC["channel-pair-unbalance-ohms"].value))


def _metres(bands: DesignBands, asked: Asked) -> Range | Say:
    span = bands.state.job.spans.get(asked.at)
    if span is None:
        return say("no-band-not-judged", at=asked.at, kind=asked.kind)
    return _range(span.length_m)


def _earth(bands: DesignBands, asked: Asked) -> Range | Say:
    earth = bands.state.job.earths.get(asked.at)
    if earth is None or earth.target_ohms is None:
        return say("no-band-no-target", at=asked.at)
    return Range(0.0, None, earth.target_ohms)


def _celsius(bands: DesignBands, asked: Asked) -> Range | Say:
    stop, site = bands.state.job.stops.get(asked.at), bands.state.job.site
    if stop is None:
        return say("no-band-not-judged", at=asked.at, kind=asked.kind)
    return _range(site.indoor_c or site.ambient_c) if stop.indoor else _range(site.ambient_c)


def _range(band: Band) -> Range:
    return Range(band.low, band.expected, band.high)


BANDS: dict[str, Callable[[DesignBands, Asked], Range | Say]] = {
    "volts": _flow,
    "milliamps": _flow,
    "watts": _flow,
    "mbps": _speed,
    "error_count": _errors,
    "loop_ohms": _loop,
    "unbalance_ohms": _unbalance,
    "metres": _metres,
    "earth_ohms": _earth,
    "celsius": _celsius,
}


# ---------------------------------------------------------------- one pair against the others


def odd_pairs(reading: Reading, accuracy: Accuracy | None) -> tuple[str, ...]:
    """Pairs of one reading whose ohms stand apart from the others', as no lay of wires does.

    They are held against the middle pair (the lower of two middles: what is wrong with a
    pair mostly adds ohms). The meter's percent part moves all pairs alike; its digits do not.
    """
    if reading.kind != "loop_ohms" or not reading.pairs:
        return ()
    middle = median_low(reading.pairs.values())
    most = DC["pair-lay-spread"].band.high / 100 * middle
    if accuracy is not None:
        most += 2 * accuracy.digits * accuracy.resolution
    return tuple(name for name, ohms in reading.pairs.items() if abs(ohms - middle) > most)


def apart(state: State, reading: Reading) -> Say | None:
    """What is to be said of pairs that stand apart; it is no verdict of its own."""
    odd = odd_pairs(reading, state.job.accuracy(reading.meter, reading.kind))
    if not odd or reading.pairs is None:
        return None
    return say(
        "pairs-apart",
        at=reading.at,
        pairs=odd,
        ohms=tuple(reading.pairs[name] for name in odd),
        others=median_low(reading.pairs.values()),
    )
