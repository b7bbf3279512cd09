"""Coming back to a site that was left: how it was left, what begins a visit, what has drifted. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from engine.entries import Entry
from engine.job import Point
from engine.judge import Judgement
from engine.leave import Hold
from engine.log import State
from engine.logged import Waiver
from engine.since import DRIFTED, STEADY, Drift
from engine.stays import came_back, left_at
from engine.step import BACK
from engine.verdict import Verdict
from engine.walks import PACE_M_PER_MIN
from fieldapp import messages as m
from fieldapp import words
from fieldapp.keeping import Result, keep
from fieldapp.model import Model, people_here
from fieldapp.moving import go
from fieldapp.questions import step_shown, visit_is_over
from fieldapp.routes import Place, route_of

WORK = frozenset({"now", "steps", "power", "wires", "read", "reel", "reelpad"})
"""screens from which something is done; after a leave a visit is opened first"""
COUNTED = frozenset({"mbps", "error_count"})
"""kinds of reading that are set beside each other in words alone"""


def asks_why(model: Model) -> bool:
    """Whether this place asks first why one has come: to work, or by opening a job that was left."""
    opened = bool(model.opened_at) and model.opened_at == model.route
    return bool(model.place.job) and (
        (model.place.screen in WORK or opened) and visit_is_over(model.open_job)
    )


# ---------------------------------------------------------------- how it was left


@dataclass(frozen=True)
class LeftOpen:
    """Something that was left open: what it is, as far as it still is, and who answered."""

    hold: Hold | None
    waiver: Waiver | None


@dataclass(frozen=True)
class Left:
    """The last leave of a site: its entry, what was open then, and how many readings count."""

    entry: Entry
    open: tuple[LeftOpen, ...]
    readings: int


def leave_of(state: State) -> Entry | None:
    """The entry by which a site that nobody is on was left."""
    last = state.visits[-1].left if state.visits else ""
    return next((one for one in reversed(state.entries) if one.id == last), None)


def left(judgement: Judgement) -> Left | None:
    """How the site was left, where nobody has come back since."""
    state = judgement.state
    entry = leave_of(state)
    if entry is None:
        return None
    holds = {hold.id: hold for hold in judgement.holds}
    names = state.visits[-1].open
    still = tuple(LeftOpen(holds.get(name), state.waivers.get(name)) for name in names)
    return Left(entry, still, sum(verdict.current for verdict in judgement.verdicts))


def people_asked(model: Model) -> int:
    """How many have come, as pressed on the page of a new visit, else as last time."""
    return model.people or people_here(model.open_job.judgement)


# ---------------------------------------------------------------- what has drifted


def since_day(model: Model) -> str:
    """The day of the leave before this visit, in words."""
    entry = left_at(model.open_job.judgement.state)
    return words.on_day(entry.t if entry is not None else None, model.now)


def drift_of(judgement: Judgement, reading: str) -> Drift | None:
    """What a reading of this visit is beside the same one of an earlier visit."""
    return next((one for one in judgement.drifts if one.now_id == reading), None)


def read_since(judgement: Judgement, drift: Drift) -> Verdict | None:
    """What counts at the same place of the same kind, read after something was altered there."""
    found = [
        one
        for one in judgement.verdicts
        if one.current and (one.reading.at, one.reading.kind) == (drift.at, drift.kind)
    ]
    return found[-1] if found else None


def day_before(model: Model, drift: Drift) -> str:
    """The day of the earlier reading, in words."""
    return words.on_day(drift.before_t, model.now)


def explained(drift: Drift) -> float:
    """How much of a difference can come from meters, load and weather, in its own direction: two
    deviations beyond what was expected. [unit of the kind]"""
    seen = drift.now - drift.before
    towards = drift.expected if seen >= 0 else -drift.expected
    return max(towards + 2 * drift.s, 0.0)


def expected_now(drift: Drift) -> tuple[float, float, float]:
    """Where today's reading would be no news: low, expected, high, two deviations either way."""
    middle = drift.before + drift.expected
    return middle - 2 * drift.s, middle, middle + 2 * drift.s


def _in_front(judgement: Judgement, at: str) -> Drift | None:
    """The nearest point in front of another of whose volts it is known whether they are as they
    were; None where none is."""
    network = judgement.prediction.study.network
    known = {
        one.at: one
        for one in judgement.drifts
        if one.kind == "volts" and one.verdict in (STEADY, DRIFTED)
    }
    tree, i = network.where[Point.parse(at)]
    nodes = network.trees[tree].nodes
    i = nodes[i].parent
    while i >= 0:
        if str(nodes[i].point) in known:
            return known[str(nodes[i].point)]
        i = nodes[i].parent
    return None


def where_it_starts(judgement: Judgement, drift: Drift) -> str:
    """Of volts that drifted, past which box; blank for other kinds and where no feed reaches."""
    place = judgement.prediction.study.network.where.get(Point.parse(drift.at))
    if drift.kind != "volts" or place is None:
        return ""
    if place[1] == 0:
        return words.drift_at_source()
    front = _in_front(judgement, drift.at)
    if front is None:
        return words.drift_at_feed()
    if front.verdict == DRIFTED:
        return words.drift_behind(front.at)
    return words.drift_past(Point.parse(front.at).box)


def why_these(model: Model) -> str:
    """Why Now begins with these few readings and looks, until one of them is read; else blank."""
    judgement = model.open_job.judgement
    back = came_back(judgement.state)
    step = step_shown(model)
    if back is None or step is None or step.part != BACK:
        return ""
    if any(one.place > back.place for one in judgement.state.readings):
        return ""
    asks = judgement.back.asks
    minutes = sum(one.minutes + one.walk_m / PACE_M_PER_MIN for one in asks)
    looks = sum(not one.kinds for one in asks)
    return words.again_line(len(asks) - looks, looks, minutes, back.reason) if asks else ""


# ---------------------------------------------------------------- what is pressed


def _people_counted(model: Model, message: m.PeopleCounted) -> Result:
    return replace(model, people=message.people), ()


def _visit_opened(model: Model, message: m.VisitOpened) -> Result:
    if not visit_is_over(model.open_job):
        return model, ()
    draft = {"what": "visit", "people": people_asked(model), "reason": message.reason}
    return keep(replace(model, people=0, opened_at=""), draft)


def _only_look(model: Model, message: m.OnlyLook) -> Result:
    """Nothing begins; one stays where the job was opened, unless something is done there."""
    there = model.route if model.place.screen not in WORK else ""
    route = there or route_of(Place("run", model.open_job.id))
    return go(replace(model, opened_at="", people=0), m.Go(route))


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.PeopleCounted: _people_counted,
    m.VisitOpened: _visit_opened,
    m.OnlyLook: _only_look,
}
