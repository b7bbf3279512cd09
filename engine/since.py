"""What has drifted since the site was left: a reading beside the same one of an earlier stay.

The difference of the two is a random variable. The site is the same, so what nobody knows
exactly of it (ohms of spans and boxes, volts of the source, watts of the boxes) moves both
readings alike and cancels through the same slopes. What is drawn anew does not: the warmth of
each visit, the load of each moment, digits and contact of each reading.

*The meter's percent part.* Of one and the same meter it is one unknown in both (JCGM 100:2008,
5.2.2, with a correlation of 1): the difference is far better known than either figure. It is
taken as two draws where the meters are two, where only a sheet is named and nobody knows which
meter it was, and where the job says that the meter was calibrated in between.

*Given what is in front.* Differences are judged in the order of the run, at a point the amps and
watts before the volts; each is held against what the accepted ones before it lead one to expect.
So amps that rose with the load do not make the volts look drifted. One that drifted is not
learned from, so that it is not explained away behind it.

*The word.* ``steady`` up to two deviations, ``drifted`` beyond the limit that the verdicts of a
site have (3 % false ones a site, not a reading), ``unsure`` between. A light that is slower than
before has drifted, one that is faster is unsure; more damaged frames than are allowed, where
they were not before, is drifted. Such differences are counted, not measured: ``s`` and ``z`` are 0.

*Not the same run.* Where something was altered between the two readings there is no pair; a
reading of this stay from before such a change is still one, and says that it was altered since.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from attrs import evolve, frozen

from engine.bands import REACH
from engine.entries import COUNTED
from engine.figures import FLOW_KINDS, Asked
from engine.job import Point
from engine.logged import Reading, Slot, State
from engine.say import Say
from engine.stays import Return, came_back
from engine.unchanged import Difference, Learned, Unchanged, meter_key
from engine.verdict import planned_readings, z_out
from engine.weigh import Judged, Turn, run_order

STEADY, UNSURE, DRIFTED = "steady", "unsure", "drifted"
NEVER_DRIFTS = frozenset({"metres", "celsius"})
"""a length stays; the weather is no drift of the run, but tells what to expect of it"""
FLOWS_FIRST = ("milliamps", "watts", "volts")
"""what is judged first at a point: the load, then what it makes of the volts"""


@frozen
class Drift:
    """One place and kind that was read before the site was left, and again in this stay.

    ``before`` and ``now`` are in the unit of the kind; ``expected`` is what the difference
    now - before would be on an unchanged run, by what is in front of it, mostly about 0; ``s``
    the standard deviation of the difference, ``z`` how many of them it lies off. ``ohms`` is the
    extra loop ohms in the span in front that would explain it (of ``loop_ohms`` in the pair that
    is read); None where that cannot be told, as behind a point that drifted too. ``altered``: it was altered there since.
    """

    at: str
    kind: str
    before: float
    now: float
    expected: float
    s: float
    z: float
    verdict: str
    same_meter: bool
    before_id: str
    now_id: str
    before_t: str | None
    ohms: float | None = None
    altered: bool = False


@frozen
class Pair:
    """Two readings at one place, of one kind, with the same things standing there."""

    before: Reading
    now: Reading
    altered: bool = False


def drifts(state: State, judged: Judged) -> tuple[Drift, ...]:
    """What was read again in this stay, beside what it was; in run order. () on a first stay."""
    back = came_back(state)
    if back is None:
        return ()
    network = judged.rule.bands.prediction.study.network

    def order(pair: Pair) -> Turn:
        at, kind = pair.now.at, pair.now.kind
        turn = run_order(network, at, kind)
        if kind in FLOW_KINDS:
            turn = (*turn[:-2], FLOWS_FIRST.index(kind), at)
        return (*turn, pair.now.place)

    found = sorted(_pairs(state, back), key=order)
    limit = z_out(max(planned_readings(state.job), len(found)))
    work = _Work(judged, limit)
    work.weather(state)
    return tuple(drift for pair in found if (drift := work.drift(pair)) is not None)


def not_alike(state: State) -> tuple[tuple[str, str], ...]:
    """Place and kind of what was read before and in this stay, but with a change in between."""
    back = came_back(state)
    if back is None:
        return ()
    paired = {(one.now.at, one.now.kind) for one in _pairs(state, back)}
    before, now = _by_slot(state, back)
    apart = dict.fromkeys((slot[0], slot[1]) for slot in now if slot in before)
    return tuple(one for one in apart if one not in paired and one[1] not in NEVER_DRIFTS)


# ---------------------------------------------------------------- which two


def at_the_leave(state: State, back: Return) -> dict[Slot, Reading]:
    """What was current when the site was left, the last of each place, kind and standing."""
    out = {}
    for reading in state.readings:
        if reading.place < back.left_place and reading.id not in state.voided:
            altered = _altered(state, reading.at)
            if not any(reading.place < one < back.left_place for one in altered):
                out[reading.slot] = reading
    return out


def _by_slot(
    state: State, back: Return
) -> tuple[Mapping[Slot, Reading], Mapping[Slot, list[Reading]]]:
    now: dict[Slot, list[Reading]] = {}
    for reading in state.readings:
        if reading.place > back.place and reading.id not in state.voided:
            now.setdefault(reading.slot, []).append(reading)
    return at_the_leave(state, back), now


def _pairs(state: State, back: Return) -> Iterator[Pair]:
    """Of several in this stay the last that was taken of the run as it was found."""
    before, now = _by_slot(state, back)
    for slot, readings in now.items():
        first = before.get(slot)
        if first is None or first.kind in NEVER_DRIFTS:
            continue
        altered = [one for one in _altered(state, first.at) if one > first.place]
        end = min(altered, default=len(state.entries))
        same_run = [one for one in readings if one.place < end]
        if same_run:
            yield Pair(first, same_run[-1], bool(altered))


def _altered(state: State, at: str) -> tuple[int, ...]:
    return state.work.readings.altered_at(at, state.voided)


# ---------------------------------------------------------------- how two differ


def same_meter(state: State, before: Reading, now: Reading) -> bool:
    """Whether both were taken with one meter that was not calibrated in between."""
    meter = state.job.meters.get(now.meter or "")
    if meter is None or before.meter != now.meter:
        return False
    days = [(one.t or "")[:10] for one in (before, now)]
    after_first = not days[0] or days[0] < meter.calibrated
    until_second = not days[1] or meter.calibrated <= days[1]
    return not (meter.calibrated and after_first and until_second)


class _Work:
    """Goes through the pairs in their order, learning as it goes."""

    def __init__(self, judged: Judged, limit: float) -> None:
        self.state, self.rule, self.limit = judged.state, judged.rule, limit
        self.site = Unchanged(judged.today)
        self.learned = Learned()
        self.network = self.rule.bands.prediction.study.network
        self.drifted: set[Point] = set()
        """points whose volts drifted"""

    def weather(self, state: State) -> None:
        """How warm it was on each visit, as far as somebody read it."""
        last = {
            (one.at, one.visit): one
            for one in state.readings
            if one.kind == "celsius" and one.id not in state.voided and one.at in state.job.stops
        }
        for reading in last.values():
            asked = Asked.by(reading)
            seen = self.site.shown(asked, (*meter_key(asked), str(reading.visit)))
            if seen is not None:
                figure, row = seen
                one = Difference(figure.value, row, self.site.noise(asked, figure, 0.0))
                expected, s = self.learned.foretell(one)
                if abs(reading.figure - expected) <= self.limit * s:
                    self.learned.learn(one, reading.figure)

    def drift(self, pair: Pair) -> Drift | None:
        before, now = pair.before, pair.now
        same = same_meter(self.state, before, now)
        kept = Drift(
            now.at,
            now.kind,
            abs(before.figure),
            abs(now.figure),
            expected=0.0,
            s=0.0,
            z=0.0,
            verdict=STEADY,
            same_meter=same,
            before_id=before.id,
            now_id=now.id,
            before_t=before.t,
            altered=pair.altered,
        )
        if now.kind in COUNTED:
            return evolve(kept, verdict=self._counted(before, now))
        about = (kept.before + kept.now) / 2
        one = self.site.between(Asked.by(before), Asked.by(now), same_meter=same, about=about)
        if one is None:
            return None
        expected, s = self.learned.foretell(one)
        seen = kept.now - kept.before
        z = (seen - expected) / s
        word = STEADY if abs(z) <= REACH else UNSURE if abs(z) <= self.limit else DRIFTED
        if word != DRIFTED:
            self.learned.learn(one, seen)
        ohms = None
        if word != STEADY and one.per_ohm and self._begins_here(now):
            ohms = (seen - expected) / one.per_ohm
        if word == DRIFTED and now.kind == "volts":
            self.drifted.add(Point.parse(now.at))
        ohms = ohms if ohms is not None and ohms > 0 else None
        return evolve(kept, expected=expected, s=s, z=z, verdict=word, ohms=ohms)

    def _begins_here(self, now: Reading) -> bool:
        """Whether ohms in the span in front would explain it: nothing nearer the feed drifted."""
        if now.kind == "volts":
            return self.drifted.isdisjoint(self.network.way_to(Point.parse(now.at)))
        return now.kind == "loop_ohms"

    def _counted(self, before: Reading, now: Reading) -> str:
        if now.kind == "mbps":
            slower, faster = now.figure < before.figure, now.figure > before.figure
            return DRIFTED if slower else UNSURE if faster else STEADY
        over = [self._over(one) for one in (before, now)]
        return DRIFTED if over == [False, True] else STEADY

    def _over(self, reading: Reading) -> bool:
        band = self.rule.bands.of(reading)
        return not isinstance(band, Say) and band.high is not None and reading.figure > band.high
