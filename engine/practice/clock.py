"""The practice clock: the minutes that walking and measuring would have taken, by the log.

Work and pace are those by which the next test is chosen. Nothing is counted but readings: what
was taken back is not, and volts with amps and watts of one moment are one look.
"""

from __future__ import annotations

from collections.abc import Hashable

from attrs import frozen

from engine.diagnose.candidates import MINUTES
from engine.figures import FLOW_KINDS
from engine.log import Reading, State, stop_of
from engine.network import Standing
from engine.practice.after import BEGUN, PRACTICE
from engine.steps.fitting import RULES
from engine.walks import PACE_M_PER_MIN, between

SWITCHED = MINUTES["loop"].value + MINUTES["switching"].value
BY_KIND = {
    "mbps": MINUTES["look"].value,
    "celsius": MINUTES["look"].value,
    "loop_ohms": SWITCHED,
    "unbalance_ohms": SWITCHED,
    "metres": MINUTES["marks"].value,
    "earth_ohms": next(float(rule.minutes) for rule in RULES if rule.kind == "earth"),
}
"""work of one reading; of what flows it hangs on what was plugged in [min]"""
AT_BOTH_ENDS = frozenset({"loop_ohms", "unbalance_ohms", "metres"})


@frozen
class Clock:
    """What a practice run has taken so far."""

    work: float
    """[min]"""
    walk_m: float
    readings: int

    @property
    def minutes(self) -> float:
        """Work and walks together. [min]"""
        return self.work + self.walk_m / PACE_M_PER_MIN


def clock(state: State) -> Clock:
    """The minutes since a practice run began, in the order of its readings."""
    begun, here = _begin(state)
    seen: set[Hashable] = set()
    work = walk = 0.0
    count = 0
    for reading in sorted(state.readings, key=lambda one: one.place):
        if reading.place <= begun or reading.id in state.voided:
            continue
        count += 1
        look = _look(reading)
        if look in seen:  # taken together with the one before
            continue
        seen.add(look)
        more, here = _walk(state, reading, here)
        walk += more
        work += _work(reading)
    return Clock(work, walk, count)


def _begin(state: State) -> tuple[int, str]:
    """Place of the entry that begins the practice, and the stop where one stands then."""
    first = next(iter(state.job.stops), "")
    for place, entry in state.notes_with(PRACTICE):
        if entry.body[PRACTICE] == BEGUN:
            return place, stop_of(state.job, entry.body.get("at", "")) or first
    return -1, first


def _look(reading: Reading) -> Hashable:
    """What is read in one go has the same."""
    if reading.kind in FLOW_KINDS:
        return (reading.at, "flow", reading.standing.key, reading.moment)
    if reading.kind in ("loop_ohms", "unbalance_ohms"):
        return (reading.at, "loop", reading.moment)
    return (reading.id,)


def _work(reading: Reading) -> float:
    if reading.kind in FLOW_KINDS:
        return MINUTES[_plugged(reading.standing)].value
    if reading.kind == "error_count":
        return (reading.seconds or 0.0) / 60
    return BY_KIND[reading.kind]


def _plugged(standing: Standing) -> str:
    """The row of the minutes for what was put in or taken out for a reading."""
    if standing.known:
        return "known"
    return "look" if standing.as_planned else "off"


def _walk(state: State, reading: Reading, here: str) -> tuple[float, str]:
    """Metres to where a reading is taken, and the stop where one then stands.

    Of a span one goes to the nearer end, and on to the other where both must be seen to.
    """
    job = state.job
    span = job.spans.get(reading.at)
    if span is None:
        stop = stop_of(job, reading.at)
        return (between(job, here, stop), stop) if stop else (0.0, here)
    ends = [job.boxes[end.box].stop for end in (span.a, span.b)]
    near, far = sorted(ends, key=lambda stop: between(job, here, stop))
    there = between(job, here, near)
    if reading.kind not in AT_BOTH_ENDS:
        return there, near
    return there + between(job, near, far), far
