"""All readings of a job judged in turn: from the source outwards, each by those before it.

The order is one of the run, not of the typing, so the result is a function of the set. What
stood in the order before an entry that comes now is left as it was judged; only what stands
behind it is judged anew.
"""

from __future__ import annotations

from bisect import bisect, bisect_left
from collections.abc import Collection, Hashable, Iterable, Mapping
from functools import cached_property

from attrs import evolve, field, frozen

from engine.bands import Predicted, Today
from engine.design_band import DesignBands
from engine.figures import FLOW_KINDS, Asked
from engine.job import Point
from engine.log import Reading, State
from engine.logged import Slot
from engine.network import AS_PLANNED, Network
from engine.readings import Readings
from engine.say import Say
from engine.sliced import Progress, finish
from engine.study import Prediction
from engine.unknowns import PER_MOMENT, Key
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR, Rule, Verdict, planned_readings, z_out

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
DOUBTFUL = frozenset({OUTSIDE, UNCLEAR})
ROOM = 64
"""so many unknowns, or readings, more than there need be before any are let go"""
LAST = 10**6
END = "~"
"""behind the ids of all entries"""
Turn = tuple[int | str, ...]
"""where a reading stands in the order of judging"""
Order = tuple[tuple[Turn, Reading], ...]


@frozen
class Judged:
    """All verdicts in the order of judging, and what is known of the site after them."""

    verdicts: tuple[Verdict, ...]
    today: Today
    rule: Rule = field(repr=False)
    stages: tuple[Today, ...] = field(repr=False)
    """what was known before each verdict"""
    order: Order = field(repr=False)
    slots: Mapping[Slot, tuple[Reading, ...]] = field(repr=False)
    """current readings, as they came"""
    state: State = field(repr=False)
    doubtful: tuple[Verdict, ...] = ()
    """of current readings, those that are outside or unclear, in the order of judging"""

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
        known, before = _nothing(state, prediction), Readings()
    else:
        before = known.state.work.readings
    turns = _Turns(prediction.study.network)
    fresh = [turns.row(one) for one in state.work.readings.rows.behind(len(known.order))]
    moved = sorted(state.work.readings.moved(before), key=lambda one: one.place)
    slots = _slots(known.slots, state, moved)
    weighed, had = _weighed(slots), _weighed(known.slots)
    others = ({**had, **weighed}[ident] for ident in weighed.keys() ^ had.keys())
    changed = (*fresh, *map(turns.row, (*moved, *others))) if known.order else ()
    first = min((bisect_left(known.order, row) for row in changed), default=len(known.order))
    order = known.order[:first] + tuple(sorted((*known.order[first:], *fresh)))
    if _reaches_back(state, weighed, known, order, first):
        first = 0
    turn = _Turn(state, weighed, known, order, first)
    for number, (_, reading) in enumerate(order[first:], first):
        turn.judge(reading)
        yield number / len(order)
    return Judged(
        known.verdicts[:first] + tuple(turn.verdicts),
        evolve(turn.today, visit=state.work.visits),
        known.rule,
        known.stages[:first] + tuple(turn.stages),
        order,
        slots,
        state,
        _doubtful(known, first, turn.verdicts),
    )


def _doubtful(known: Judged, first: int, fresh: Iterable[Verdict]) -> tuple[Verdict, ...]:
    """What is doubtful after those that were judged anew from ``first`` on."""
    anew = {one.id for one in known.verdicts[first:]}
    still = (one for one in known.doubtful if one.id not in anew)
    return (*still, *(one for one in fresh if one.current and one.verdict in DOUBTFUL))


def _nothing(state: State, prediction: Prediction) -> Judged:
    study = prediction.study
    today = Today.start(state.job, study.network, study.limits)
    rule = Rule(DesignBands(state, prediction), z_out(planned_readings(state.job)))
    return Judged((), today, rule, (), (), {}, state)


def _goes_on(known: Judged, state: State, prediction: Prediction) -> bool:
    """Whether the same plan has the same readings as then, and perhaps more."""
    same = known.rule.bands.prediction is prediction
    return same and state.work.readings.rows.goes_on(known.state.work.readings.rows)


def _slots(
    slots: Mapping[Slot, tuple[Reading, ...]], state: State, moved: Iterable[Reading]
) -> dict[Slot, tuple[Reading, ...]]:
    """Current readings by slot, after those that ``moved``, as they were taken, have come or gone."""
    out = dict(slots)
    by_slot: dict[Slot, list[Reading]] = {}
    for reading in moved:
        by_slot.setdefault(reading.slot, []).append(reading)
    for slot, readings in by_slot.items():
        come = tuple(one for one in readings if state.is_current(one))
        gone = {one.id for one in readings} - {one.id for one in come}
        rest = out.get(slot, ())
        if gone:
            rest = tuple(one for one in rest if one.id not in gone)
        out[slot] = (*rest, *come)
        if rest and come and rest[-1].place > come[0].place:
            out[slot] = tuple(sorted(out[slot], key=lambda one: one.place))
    return out


def _weighed(slots: Mapping[Slot, tuple[Reading, ...]]) -> dict[str, Reading]:
    return {one.id: one for slot in slots.values() for one in slot[-MOST_WEIGHED:]}


def run_order(network: Network, at: str, kind: str) -> Turn:
    """The order of judging: points outwards, at each volts, milliamps, watts; then the other kinds; lights last."""
    place = network.where.get(Point.parse(at), (LAST, 0))
    if kind in FLOW_KINDS:
        return (0, *place, FLOW_KINDS.index(kind), at)
    return (1, OTHER_KINDS.index(kind), *place, at)


class _Turns:
    """Rows of the order of judging; where a place and kind stand is worked out once."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._known: dict[tuple[str, str], Turn] = {}

    def row(self, reading: Reading) -> tuple[Turn, Reading]:
        spot = reading.at, reading.kind
        if spot not in self._known:
            self._known[spot] = run_order(self._network, *spot)
        return (*self._known[spot], reading.id), reading


def _wanted(state: State, weighed: Collection[str], stage: Today, reading: Reading) -> list[Key]:
    """The unknowns that bear on a reading and not on the site alone; none on one that was struck."""
    if not state.is_current(reading):
        return []
    wanted = stage.columns.wanted_by(Asked.by(reading))
    return [key for key in wanted if reading.id in weighed or key[0] not in PER_MOMENT]


def _reaches_back(
    state: State, weighed: Collection[str], known: Judged, order: Order, first: int
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
        self, state: State, weighed: Collection[str], known: Judged, order: Order, first: int
    ) -> None:
        self.state, self.rule, self.weighed, self.order = state, known.rule, weighed, order
        self.first = first
        self.verdicts: list[Verdict] = []
        self.stages: list[Today] = []
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
            self._tidy(self.first + len(self.verdicts))
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
