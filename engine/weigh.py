"""All readings of a job judged in turn: from the source outwards, each by those before it.

The order is one of the run, not of the typing, so the result is a function of the set. What
stood in the order before an entry that comes now is left as it was judged; only what stands
behind it is judged anew.
"""

from __future__ import annotations

from bisect import bisect, insort
from collections.abc import Hashable, Mapping, Sequence
from functools import cached_property

from attrs import evolve, field, frozen

from engine.bands import Predicted, Today
from engine.design_band import DesignBands
from engine.figures import FLOW_KINDS, Asked
from engine.job import Point
from engine.log import Reading, State
from engine.logged import Slot
from engine.network import AS_PLANNED, Network
from engine.say import Say
from engine.sliced import Progress, finish
from engine.study import Prediction
from engine.unknowns import PER_MOMENT, Key
from engine.verdict import INSIDE, UNCLEAR, Rule, Verdict, planned_readings, z_out

MOST_WEIGHED = 4
"""at one place, of one kind, with the same standing, the newest so many are learned from; older
ones are judged, each as if it were of a moment of its own"""
OTHER_KINDS = (
    "loop_ohms",
    "unbalance_ohms",
    "metres",
    "celsius",
    "earth_ohms",
    "error_count",
    "mbps",
)
ACCEPTED = frozenset({INSIDE, UNCLEAR})
"""what is learned from: not what is outside, nor where nothing steady was to be seen"""
ROOM = 64
"""so many unknowns, or readings, more than there need be before any are let go"""
LAST = 10**6
END = "~"
"""behind the ids of all entries"""
Turn = tuple[int | str, ...]
"""where a reading stands in the order of judging"""
Order = Sequence[tuple[Turn, Reading]]


@frozen
class Judged:
    """All verdicts in the order of judging, and what is known of the site after them."""

    verdicts: tuple[Verdict, ...]
    today: Today
    rule: Rule = field(repr=False)
    stages: tuple[Today, ...] = field(repr=False)
    """what was known before each verdict"""
    order: tuple[tuple[Turn, Reading], ...] = field(repr=False)
    slots: Mapping[Slot, tuple[Reading, ...]] = field(repr=False)
    """current readings, as they came"""
    state: State = field(repr=False)

    @property
    def read(self) -> frozenset[tuple[str, str]]:
        """Place and kind of every current reading with the plan as it is."""
        return frozenset(
            (at, kind)
            for (at, kind, standing), readings in self.slots.items()
            if readings and standing == AS_PLANNED.key
        )

    def before(self, at: str, kind: str) -> Today:
        """What one more reading at a place would be held against."""
        network = self.rule.bands.prediction.study.network
        place = bisect(self.order, (*run_order(network, at, kind), END), key=lambda one: one[0])
        return evolve(self.stage(place), visit=self.today.visit)

    def stage(self, place: int) -> Today:
        """What was known before the reading at a place in the order, or after all."""
        return self.stages[place] if place < len(self.stages) else self.today


def judge_all(state: State, prediction: Prediction, known: Judged | None = None) -> Judged:
    """Verdicts on all readings, in one go."""
    return finish(weighing(state, prediction, known))


def weighing(state: State, prediction: Prediction, known: Judged | None = None) -> Progress[Judged]:
    """Verdicts on all readings, yielding the share done, a reading at a time. What ``known``
    holds that still stands is taken from it.

    Each current one is held against what the accepted ones before it lead one to expect. One
    that is outside is not learned from, so that a fault is not explained away.
    """
    if known is None or not _goes_on(known, state, prediction):
        known = _nothing(state, prediction)
    network = prediction.study.network
    came = state.readings[len(known.order) :]
    turns = {spot: run_order(network, *spot) for spot in {(one.at, one.kind) for one in came}}
    fresh = [((*turns[one.at, one.kind], one.id), one) for one in came]
    order = list(known.order) or sorted(fresh)
    for row in fresh if known.order else ():
        insort(order, row)
    moved = state.current ^ known.state.current
    slots = _slots(known.slots, state, moved)
    changed = moved | (_weighed(slots) ^ _weighed(known.slots))
    first = 0
    for (_, reading), verdict in zip(order, known.verdicts, strict=False):
        if reading is not verdict.reading or reading.id in changed:
            break
        first += 1
    weighed = _weighed(slots)
    if _reaches_back(state, weighed, known, order, first):
        first = 0
    turn = _Turn(state, weighed, known, order, first)
    for number, (_, reading) in enumerate(order[first:], first):
        turn.judge(reading)
        yield number / len(order)
    return Judged(
        tuple(turn.verdicts),
        evolve(turn.today, visit=state.work.visits),
        known.rule,
        tuple(turn.stages),
        tuple(order),
        slots,
        state,
    )


def _nothing(state: State, prediction: Prediction) -> Judged:
    study = prediction.study
    today = Today.start(state.job, study.network, study.limits)
    rule = Rule(DesignBands(state, prediction), z_out(planned_readings(state.job)))
    before = evolve(state, readings=(), current=frozenset())
    return Judged((), today, rule, (), (), {}, before)


def _goes_on(known: Judged, state: State, prediction: Prediction) -> bool:
    """Whether the same plan has the same readings as then, and perhaps more."""
    before = known.state.readings
    same = known.rule.bands.prediction is prediction
    return same and state.readings[: len(before)] == before


def _slots(
    slots: Mapping[Slot, tuple[Reading, ...]], state: State, moved: frozenset[str]
) -> dict[Slot, tuple[Reading, ...]]:
    """Current readings by slot, after those that ``moved`` have come or gone."""
    out = dict(slots)
    come: dict[Slot, list[Reading]] = {}
    for reading in state.readings if moved else ():
        if reading.id in moved:
            come.setdefault(reading.slot, []).append(reading)
    for slot, readings in come.items():
        rest = [one for one in out.get(slot, ()) if one.id not in moved]
        rest += (reading for reading in readings if reading.id in state.current)
        out[slot] = tuple(sorted(rest, key=lambda one: one.place))
    return out


def _weighed(slots: Mapping[Slot, tuple[Reading, ...]]) -> frozenset[str]:
    return frozenset(one.id for slot in slots.values() for one in slot[-MOST_WEIGHED:])


def run_order(network: Network, at: str, kind: str) -> Turn:
    """The order of judging: points outwards, at each volts, milliamps, watts; then the other kinds; lights last."""
    place = network.where.get(Point.parse(at), (LAST, 0))
    if kind in FLOW_KINDS:
        return (0, *place, FLOW_KINDS.index(kind), at)
    return (1, OTHER_KINDS.index(kind), *place, at)


def _wanted(state: State, weighed: frozenset[str], stage: Today, reading: Reading) -> list[Key]:
    """The unknowns that bear on a reading and not on the site alone; none on one that was struck."""
    if not state.is_current(reading):
        return []
    wanted = stage.columns.wanted_by(Asked.by(reading))
    return [key for key in wanted if reading.id in weighed or key[0] not in PER_MOMENT]


def _reaches_back(
    state: State, weighed: frozenset[str], known: Judged, order: Order, first: int
) -> bool:
    """Whether readings from ``first`` on share with earlier ones what was forgotten on the way."""
    stage = known.stage(first)
    if not stage.columns.forgot:
        return False
    lost: set[Key] = set()
    for _, reading in order[first:]:
        lost.update(_wanted(state, weighed, stage, reading))
    lost -= stage.columns.place.keys()
    return any(
        not lost.isdisjoint(_wanted(state, weighed, stage, reading)) for _, reading in order[:first]
    )


class _Turn:
    """Goes through the order from ``first`` on, learning as it goes."""

    def __init__(
        self, state: State, weighed: frozenset[str], known: Judged, order: Order, first: int
    ) -> None:
        self.state, self.rule, self.weighed, self.order = state, known.rule, weighed, order
        self.verdicts = list(known.verdicts[:first])
        self.stages = list(known.stages[:first])
        self.today = known.stage(first)
        self.struck = {one.id: one for one in known.verdicts[first:] if not one.current}
        self._alike: dict[Hashable, Predicted | Say] = {}
        self._room = len(self.today.columns.place) + ROOM

    def judge(self, reading: Reading) -> None:
        self.stages.append(self.today)
        if not self.state.is_current(reading):
            verdict = self.struck.get(reading.id) or self.rule.judge(reading, None, False)
        elif reading.id in self.weighed:
            verdict = self._weigh(reading)
            self._tidy(len(self.verdicts))
        else:
            verdict = self.rule.judge(reading, self._as_if_fresh(reading), True)
        self.verdicts.append(verdict)

    def _weigh(self, reading: Reading) -> Verdict:
        asked = Asked.by(reading)
        today = self.today.meeting(asked)
        predicted = today.predict(asked)
        verdict = self.rule.judge(reading, predicted, True)
        if isinstance(predicted, Predicted) and verdict.verdict in ACCEPTED:
            self.today = today.told(reading, predicted)
            self._alike.clear()
        return verdict

    def _tidy(self, here: int) -> None:
        """Now and then let go of what nothing to come will ask for."""
        if len(self.today.columns.place) > self._room:
            self.today = self.today.forgetting(lambda key: self._is_wanted(key, here))
            self._room = 2 * len(self.today.columns.place) + ROOM
        known = self.today.known
        if len(known.narrowed) > 2 * len(known.mean) + ROOM:
            self.today = self.today.gathered()

    def _is_wanted(self, key: Key, here: int) -> bool:
        """Whether a reading to come has this unknown: one that is there, or that is taken next."""
        return self._until.get(key, -1) > here or key[-1] in self._now

    @cached_property
    def _until(self) -> dict[Key, int]:
        """The last in the order that has each unknown."""
        return {
            key: place
            for place, (_, reading) in enumerate(self.order)
            for key in _wanted(self.state, self.weighed, self.today, reading)
        }

    @cached_property
    def _now(self) -> tuple[str, str]:
        """The visit and the moment of what is taken next, if it is one of those that were."""
        return str(self.state.work.visits), self.state.readings[-1].moment

    def _as_if_fresh(self, reading: Reading) -> Predicted | Say:
        own = (reading.meter, reading.visit, reading.unsteady, reading.celsius)
        key = (*reading.slot, *own, reading.pairs is None)
        if key not in self._alike:
            self._alike[key] = self.today.predict(evolve(Asked.by(reading), moment=""))
        return self._alike[key]
