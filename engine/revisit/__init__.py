"""Coming back: the few readings with which a return visit begins, and what to look at.

Somebody who comes back wants to know what has drifted, and not to measure a whole site again.
What can be read is what the earlier stays have, so that a difference can be taken (``since``),
and what the plan asks for where power was seen to arrive. Of these the smallest set is taken
that shows ``ENOUGH`` of all that any of them would show of what goes wrong with time, by what
each adds for its minutes (``choose``). How often a cause is met on a return stands in
``faults.sizes``, how large it is too; after a storm ``STORM`` says more.

What no reading shows (an arrestor turned round, a bond that came off, water in a box) is looked
at: after a storm every arrestor and bond, each earth with its reading; yearly these with the
seals and the labels (``common practice``). The ways to there cost nothing more for a reading.

The set hangs on the plan, on what was current when the site was left and on why one came, never
on what is read in this stay: so it stands still while it is worked through.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from attrs import evolve, field, frozen

from engine.diagnose.candidates import MINUTES
from engine.entries import VISIT_REASONS
from engine.faults import FAULTS
from engine.faults.bends import Bends
from engine.faults.sizes import Rates, rate
from engine.figures import FLOW_KINDS
from engine.job import Job, Point, Span
from engine.log import Reading, State, stop_of
from engine.logged import Slot
from engine.network import AS_PLANNED, Standing
from engine.revisit.choose import Choice, Set, Wish, chosen
from engine.revisit.showing import Look, Showing
from engine.say import Say, say
from engine.since import at_the_leave
from engine.standards import Sourced, table
from engine.stays import came_back
from engine.steps.rule import bonded, first_stop, measured_points
from engine.study import Prediction
from engine.walks import PACE_M_PER_MIN, metres_between

if TYPE_CHECKING:
    from engine.judge import Judgement

__all__ = ["NOTHING", "REASONS", "Ask", "Revisit", "first_readings", "revisit"]

REASONS = VISIT_REASONS
STORM_REASON, YEARLY, OTHER_REASON = "storm", "yearly", "other"
ENOUGH = 0.9
"""share of the odds that any look would show from which on no more is asked for (our choice)"""
WORTH = 0.005
"""nor where a look adds less of it for each of its minutes: a quarter of an hour for a fourteenth
(our choice)"""
SHOWN = 0.8
"""from this chance on a look is said to show a cause (our choice)"""

_CAUSES = "our table of causes"
_OURS = "our estimate: nothing was counted"
STORM = table(
    Sourced("arrestor.short storm", 0.03, "1", f"{_CAUSES}: after a storm 3 %", "from memory"),
    Sourced("arrestor.open storm", 0.01, "1", f"{_OURS}; dies open", "from memory"),
    Sourced("box.dead storm", 0.01, "1", f"{_OURS}; a port that took the surge", "from memory"),
    Sourced("earth.open storm", 0.01, "1", f"{_OURS}; a lead torn off", "from memory"),
)
"""how often a cause is there at one of its places after a storm"""
OF_A_STORM = frozenset({"arrestor.short"})
"""causes whose rate on a return is that after a storm: on other returns it is as on a first visit"""
SEEN_AT_ONCE = frozenset({"load.varies", "reading.state", "reading.lead", "reading.no-short"})
"""causes of the log rather than of time"""
WORK = table(
    Sourced("lookover", 2, "min", f"{_OURS}; at one stop", "from memory"),
    Sourced("earth again", 6, "min", "the step that measures an earth", "common practice"),
    Sourced("frames again", 15, "min", "error count over 15 min: our table", "common practice"),
)


@frozen
class Ask:
    """One thing to read again on coming back, or to look at.

    ``kinds`` are read together at ``at`` (volts with milliamps); where there are none ``at`` is
    a stop, at which one looks. ``minutes`` are those of the work, ``walk_m`` from the ask before,
    of a loop to its far end too. ``shows``: cause and place of what it would very likely show.
    """

    at: str
    kinds: tuple[str, ...]
    standing: Standing
    stop: str
    minutes: float
    walk_m: float
    shows: tuple[tuple[str, str], ...]
    say: Say

    @property
    def kind(self) -> str:
        """What it is asked for by; '' where one looks."""
        return self.kinds[0] if self.kinds else ""


@frozen
class Revisit:
    """What a return begins with; ``key`` is all that it hangs on."""

    key: tuple[object, ...] = ()
    asks: tuple[Ask, ...] = ()


NOTHING = Revisit()


def revisit(state: State, prediction: Prediction, known: Revisit = NOTHING) -> Revisit:
    """What the present stay begins with; nothing on a first one. ``known``: an earlier answer."""
    back = came_back(state)
    if back is None:
        return NOTHING
    before = at_the_leave(state, back)
    reason = back.reason or OTHER_REASON
    off = _is_off(state)
    key = (prediction, back.visit.id, reason, off, tuple(one.id for one in before.values()))
    if known.key and known.key[0] is prediction and known.key[1:] == key[1:]:
        return known
    if off:
        return Revisit(key)
    return Revisit(key, _Search(state, prediction, before, reason).asks())


def first_readings(judgement: Judgement, reason: str, at: str | None = None) -> tuple[Ask, ...]:
    """What a return for this reason begins with, in walking order; () on a first stay.

    ``at``: the stop where one stands; without it where one arrives.

    Raises
    ------
    ValueError : the reason is none of ``REASONS``.
    """
    if reason not in REASONS:
        raise ValueError(f"found {reason}, expected one of {', '.join(REASONS)}")
    state, prediction = judgement.state, judgement.prediction
    back = came_back(state)
    if back is None or _is_off(state):
        return ()
    return _Search(state, prediction, at_the_leave(state, back), reason).asks(at)


def _is_off(state: State) -> bool:
    """Whether somebody said that a feed is off, and nobody since that it is on."""
    for name, mark in state.steps.items():
        kind, _, box = name.partition(".")
        if kind == "off" and mark.state == "done":
            on = state.steps.get(f"energise.{box}")
            if on is None or on.state != "done" or on.place < mark.place:
                return True
    return False


def odds_of(cause: str, reason: str, rates: Rates | None = None) -> float:
    """How likely a cause is at one of its places on a return, as odds."""
    if reason == STORM_REASON and f"{cause} storm" in STORM:
        often = STORM[f"{cause} storm"].value
    elif cause in OF_A_STORM:
        often = rate(cause, first=True)
    else:
        often = rates(cause) if rates else rate(cause, first=False)
    return often / (1 - often)


class _Search:
    """One return: what may be wrong, what can be read, what of it is worth its minutes."""

    def __init__(
        self,
        state: State,
        prediction: Prediction,
        before: Mapping[Slot, Reading],
        reason: str,
    ) -> None:
        self.state, self.prediction, self.reason = state, prediction, reason
        self.job: Job = prediction.job
        self.before = {
            (one.at, one.kind): one for one in before.values() if one.standing.as_planned
        }
        self.showing = Showing(prediction, state.work.visits)
        self.looks = list(self._looks()) if self._was_powered() else []
        self.causes = [
            (cause, where, bends)
            for cause, row in FAULTS.items()
            if cause not in SEEN_AT_ONCE and odds_of(cause, reason) > 0
            for where in row.places(self.showing.scene)
            for bends in [row.at(self.showing.scene, where)]
        ]

    # ------------------------------------------------------------ what can be read

    def _was_powered(self) -> bool:
        """Whether an earlier stay has a reading of the run at work."""
        return any(kind in (*FLOW_KINDS, "mbps") for _, kind in self.before)

    def _looks(self) -> Iterator[Look]:
        look = MINUTES["look"].value
        reached = self._reached()
        for point in measured_points(self.job, self.prediction):
            if point in reached:
                yield self._look(str(point), ("volts", "milliamps"), look)
        for at, kind in self.before:
            if kind == "watts" and (at, "volts") not in self.before:
                yield self._look(at, ("watts",), look)
        for link in self.prediction.links:
            ends = [str(link.end), str(link.start)]
            read = [at for at in ends if (at, "mbps") in self.before]
            if link.known and (read or {link.start, link.end} <= reached):
                yield self._look((read or ends)[0], ("mbps",), look)
        loops = MINUTES["loop"].value + MINUTES["switching"].value
        for at, kind in self.before:
            if kind == "loop_ohms" and at in self.job.spans:
                yield self._look(at, ("loop_ohms",), loops)
            elif kind == "earth_ohms" and at in self.job.earths:
                yield self._look(at, ("earth_ohms",), WORK["earth again"].value)
            elif kind == "error_count":
                yield self._look(at, ("error_count",), WORK["frames again"].value)

    def _look(self, at: str, kinds: tuple[str, ...], work: float) -> Look:
        before = {kind: self.before[at, kind] for kind in kinds if (at, kind) in self.before}
        span = self.job.spans.get(at)
        if span is None:
            return Look(at, kinds, stop_of(self.job, at) or self._first(), work, before)
        near, far = self._ends(span)
        away = metres_between(self.job, (near, far))[0][1]
        return Look(at, kinds, near, work, before, away)

    def _ends(self, span: Span) -> tuple[str, str]:
        """The stops of a span, the inner one first."""
        stops = [self.job.boxes[end.box].stop for end in (span.a, span.b)]
        near, far = sorted(stops, key=lambda stop: self.job.stops[stop].at_m)
        return near, far

    def _first(self) -> str:
        stop = first_stop(self.job)
        return stop.id if stop else next(iter(self.job.stops))

    def _reached(self) -> set[Point]:
        """Points that power was seen to arrive at: those read, and all in front of them."""
        network = self.prediction.study.network
        read = {Point.parse(at) for at, kind in self.before if kind in (*FLOW_KINDS, "mbps")}
        return {there for point in read for there in network.way_to(point)}

    # ------------------------------------------------------------ what is worth it

    def asks(self, at: str | None = None) -> tuple[Ask, ...]:
        """The looks that are taken and the stops that are looked over, in walking order."""
        start = at if at is not None and at in self.job.stops else self._first()
        bends: list[Bends] = [one for _, _, one in self.causes]
        shows = [self.showing.of(look, bends) for look in self.looks]
        odds = [odds_of(cause, self.reason) for cause, _, _ in self.causes]
        overs = self._overs()
        always = tuple(
            i
            for i, look in enumerate(self.looks)
            if look.kinds == ("earth_ohms",) and self.reason == STORM_REASON
        )
        walks = _Walks(self.job, [start, *overs, *(look.stop for look in self.looks)])

        def minutes(taken: Set) -> float:
            looks = [self.looks[i] for i in {*taken, *always}]
            stops = [*overs, *(look.stop for look in looks)]
            inside = sum(look.work + look.ends_m / PACE_M_PER_MIN for look in looks)
            return inside + walks.metres(walks.order(start, stops)) / PACE_M_PER_MIN

        taken = chosen(Choice(shows, odds, minutes), Wish(ENOUGH, WORTH))
        picked = sorted({*taken, *always})
        asks = [self._ask(self.looks[i], shows[i]) for i in picked]
        asks += [self._over(stop) for stop in overs]
        return self._walked(walks, start, asks)

    def _ask(self, look: Look, shows: Sequence[float]) -> Ask:
        before = look.before.get(look.kinds[0])
        told = tuple(
            (cause, where)
            for (cause, where, _), share in zip(self.causes, shows, strict=True)
            if share >= SHOWN
        )
        sentence = say(
            "step-again",
            at=look.at,
            kind=look.kinds[0],
            was=before.figure if before else None,
        )
        return Ask(
            look.at, look.kinds, AS_PLANNED, look.stop, look.work, look.ends_m, told, sentence
        )

    # ------------------------------------------------------------ what is looked at

    def _overs(self) -> dict[str, tuple[str, ...]]:
        """Stops to look over, each with the boxes that are looked at there."""
        if self.reason not in (STORM_REASON, YEARLY):
            return {}
        out: dict[str, tuple[str, ...]] = {}
        for box in bonded(self.job):
            out[box.stop] = (*out.get(box.stop, ()), box.id)
        if self.reason == YEARLY:
            for box in self.job.boxes.values():
                if not self.job.stops[box.stop].indoor and box.id not in out.get(box.stop, ()):
                    out[box.stop] = (*out.get(box.stop, ()), box.id)
        return out

    def _over(self, stop: str) -> Ask:
        boxes = self._overs()[stop]
        earthed = tuple(box.id for box in bonded(self.job) if box.id in boxes)
        sentence = say(
            "step-look-over",
            stop=self.job.stops[stop].name,
            boxes=boxes,
            earthed=earthed,
            reason=self.reason,
        )
        return Ask(stop, (), AS_PLANNED, stop, WORK["lookover"].value, 0.0, (), sentence)

    def _walked(self, walks: _Walks, start: str, asks: Iterable[Ask]) -> tuple[Ask, ...]:
        """In walking order; at a stop what is read before what is looked at."""
        by_stop: dict[str, list[Ask]] = {}
        for ask in asks:
            by_stop.setdefault(ask.stop, []).append(ask)
        way = walks.order(start, by_stop)
        ways = dict(zip(way[1:], (walks.metres(pair) for pair in pairwise(way)), strict=True))
        out = []
        for stop in way:
            rows = sorted(by_stop.get(stop, ()), key=lambda one: not one.kinds)
            for number, ask in enumerate(rows):
                here = ways.get(stop, 0.0) if number == 0 else 0.0
                out.append(evolve(ask, walk_m=ask.walk_m + here))
        return tuple(out)


@frozen
class _Walks:
    """Ways between some stops of a job; the nearest one comes next."""

    job: Job
    _stops: Sequence[str]
    _place: dict[str, int] = field(init=False)
    _table: tuple[tuple[float, ...], ...] = field(init=False)

    @_place.default
    def _places(self) -> dict[str, int]:
        return {stop: i for i, stop in enumerate(dict.fromkeys(self._stops))}

    @_table.default
    def _metres(self) -> tuple[tuple[float, ...], ...]:
        return metres_between(self.job, self._place)

    def order(self, start: str, stops: Iterable[str]) -> tuple[str, ...]:
        """From the start to the nearest that is left, and on; the start comes first."""
        left, way = set(stops) - {start}, [start]
        while left:
            row = self._table[self._place[way[-1]]]
            here = min(left, key=lambda stop: (row[self._place[stop]], stop))
            way.append(here)
            left.remove(here)
        return tuple(way)

    def metres(self, way: Sequence[str]) -> float:
        """Metres along an order of stops."""
        return sum(self._table[self._place[a]][self._place[b]] for a, b in pairwise(way))
