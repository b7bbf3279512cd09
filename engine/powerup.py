"""The walk that powers up: box by box outwards, what to wait for and what to read at each.

The first box that is outside or dark halts the walk: the newest one is the wrong one, and
what is behind it waits (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from attrs import frozen

from engine.job import Box, Job, Point
from engine.log import State
from engine.network import Network
from engine.say import Say, say
from engine.standards.startup import STARTUP
from engine.study import Prediction
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR, Verdict, confirmed
from engine.weigh import Judged

DARK = "x_dark"
"""key of a note at a box: none of its lights is on (true), or they are again (false)"""

OPEN, PROVEN, IS_OUTSIDE, IS_DARK, IS_UNCLEAR = "open", "proven", "outside", "dark", "unclear"
HALTS = frozenset({IS_OUTSIDE, IS_DARK})
WORST_FIRST = (OUTSIDE, UNCLEAR, NO_BAND, INSIDE)

Ask = tuple[str, str]
"""a place, and the kind of reading that is asked for there"""


@frozen
class Stage:
    """One box of the walk: where it is fed, how long to wait, what to see and what to read."""

    box: str
    stop: str
    at: str
    """the port towards the feed"""
    wait_s: int
    lights: Say
    asks: tuple[Ask, ...]
    """place and kind, in the order of reading"""
    done: frozenset[Ask]
    """those of them that were read"""
    worst: str | None
    """the worst word among its current readings"""
    state: str


@frozen
class PowerWalk:
    """All boxes, from each feed outwards, and the one that comes next."""

    stages: tuple[Stage, ...]
    here: Stage | None
    """where the walk stands; None when every box is proven"""
    halted: str | None
    """the box that halts it"""
    waiting: frozenset[str] = frozenset()
    """the boxes behind one that halts"""


def power_walk(state: State, prediction: Prediction, judged: Judged) -> PowerWalk:
    """How far the run is proven, by what was read at each box."""
    read = _Read(state, prediction, judged)
    stages = tuple(read.stage(point) for point in _entries(state.job, prediction.study.network))
    at = {stage.box: Point.parse(stage.at) for stage in stages}
    halting = {stage.box for stage in stages if stage.state in HALTS}
    waiting = set()
    for stage in stages:  # outwards, so what is in front was looked at before
        front = _in_front(prediction.study.network, at, stage.box)
        if front in halting or front in waiting:
            waiting.add(stage.box)
    halted = next((s for s in stages if s.state in HALTS and s.box not in waiting), None)
    unproven = next((s for s in stages if s.state != PROVEN), None)
    return PowerWalk(stages, halted or unproven, halted.box if halted else None, frozenset(waiting))


def _entries(job: Job, network: Network) -> Iterator[Point]:
    """The port at which each feed and each powered box is met, from the feeds outwards."""
    seen = set()
    for point in network.where:
        facts = job.boxes[point.box].sheet.facts
        if point.box in seen or job.span_at(point) is None:
            continue
        if facts.active or facts.feeds == point.port:
            seen.add(point.box)
            yield point


def _in_front(network: Network, at: Mapping[str, Point], box: str) -> str | None:
    """The box of the walk that feeds this one."""
    tree, i = network.where[at[box]]
    nodes = network.trees[tree].nodes
    while i >= 0:
        name = nodes[i].point.box
        if name != box and name in at:
            return name
        i = nodes[i].parent
    return None


class _Read:
    """What was seen at the places of a walk."""

    def __init__(self, state: State, prediction: Prediction, judged: Judged) -> None:
        self.job = state.job
        self.links = {link.end for link in prediction.links}
        self.verdicts: dict[tuple[str, str], list[Verdict]] = {}
        latest: dict[str, int] = {}
        settled = confirmed(judged.verdicts)
        for verdict in judged.verdicts:
            reading = verdict.reading
            if verdict.current and not _is_idle(verdict) and verdict.id not in settled:
                self.verdicts.setdefault((reading.at, reading.kind), []).append(verdict)
                box = Point.parse(reading.at).box
                latest[box] = max(reading.place, latest.get(box, -1))
        self.dark = {box for box, place in _said_dark(state).items() if place > latest.get(box, -1)}

    def stage(self, point: Point) -> Stage:
        """The stage of the box that is met at this port."""
        box, at = self.job.boxes[point.box], str(point)
        kinds = ["volts", "milliamps"] + (["mbps"] if point in self.links else [])
        asks = tuple((at, kind) for kind in kinds)
        found = [verdict for ask in asks for verdict in self.verdicts.get(ask, ())]
        words = {verdict.verdict for verdict in found}
        done = frozenset(ask for ask in asks if ask in self.verdicts)
        return Stage(
            box.id,
            box.stop,
            at,
            _wait_s(box),
            _lights(box),
            asks,
            done,
            next((word for word in WORST_FIRST if word in words), None),
            self._state(box, found, done, asks),
        )

    def _state(
        self, box: Box, found: list[Verdict], done: frozenset[Ask], asks: tuple[Ask, ...]
    ) -> str:
        if box.id in self.dark or any(map(_shows_nothing, found)):
            return IS_DARK
        words = {verdict.verdict for verdict in found}
        if OUTSIDE in words:
            return IS_OUTSIDE
        # nobody need have a lead for the current
        if any(ask not in done for ask in asks if ask[1] != "milliamps"):
            return IS_UNCLEAR if UNCLEAR in words else OPEN
        volts = {v.verdict for v in found if v.reading.kind == "volts"}
        return IS_UNCLEAR if UNCLEAR in words or INSIDE not in volts else PROVEN


def _is_idle(verdict: Verdict) -> bool:
    """Read with something unplugged, where nothing steady is to be seen: it tells nothing."""
    return verdict.verdict == NO_BAND and not verdict.reading.standing.as_planned


def _shows_nothing(verdict: Verdict) -> bool:
    """No volts, or no link where one is expected."""
    kind, value = verdict.reading.kind, abs(verdict.reading.figure)
    if kind == "volts":
        return value < STARTUP["dark-volts"].value
    return kind == "mbps" and value == 0 and verdict.verdict == OUTSIDE


def _said_dark(state: State) -> dict[str, int]:
    """Place of the last word on each box of which somebody said that its lights are off."""
    out: dict[str, int] = {}
    for place, entry in state.notes_with(DARK):
        at = state.job.named(entry.body.get("at") or "")
        box = at if at in state.job.boxes else Point.parse(at).box
        out.pop(box, None)
        if entry.body[DARK] is True:
            out[box] = place
    return out


def _wait_s(box: Box) -> int:
    """How long to wait before a box is judged. [s]"""
    if box.sheet.facts.feeds:
        row = "grant-time"
    else:
        row = "endpoint-up-most" if box.kind == "endpoint" else "wait-a-box"
    return round(STARTUP[row].value)


def _lights(box: Box) -> Say:
    """What its lights should do, and how soon. [s]"""
    times = {name: round(row.value) for name, row in STARTUP.items() if row.unit == "s"}
    if box.sheet.facts.feeds:
        return say("lights-feed", box=box.id, within_s=times["grant-time"])
    if box.kind == "endpoint":
        slow, quick = times["endpoint-up-most"], times["endpoint-up-least"]
        return say("lights-endpoint", box=box.id, from_s=quick, to_s=slow)
    power = times["anew-time" if box.sheet.regenerates else "through-time"]
    return say("lights-box", box=box.id, power_s=power, link_s=times["link-up-time"])
