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
from engine.stays import left_at
from fieldapp import messages as m
from fieldapp import words
from fieldapp.keeping import Result, keep
from fieldapp.model import Model, OpenJob, people_here
from fieldapp.moving import go
from fieldapp.questions import visit_is_over
from fieldapp.routes import Place, route_of

WORK = frozenset({"now", "steps", "power", "wires", "read", "reel", "reelpad"})
"""screens from which something is done; after a leave a visit is opened first"""
COUNTED = frozenset({"mbps", "error_count"})
"""kinds of reading that are set beside each other in words alone"""


def asks_why(model: Model) -> bool:
    """Whether this place asks first why one has come: to work, or by opening a job that was left."""
    opened = bool(model.opened_at) and model.opened_at == model.route
    return bool(model.place.job) and (
        (model.place.screen in WORK or opened) and visit_is_over(model.job)
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
    return model.people or people_here(model.job.judgement)


# ---------------------------------------------------------------- what has drifted


def since_day(model: Model) -> str:
    """The day of the leave before this visit, in words."""
    entry = left_at(model.job.judgement.state)
    return words.on_day(entry.t if entry is not None else None, model.now)


def drift_of(judgement: Judgement, reading: str) -> Drift | None:
    """What a reading of this visit is beside the same one of an earlier visit."""
    return next((one for one in judgement.drifts if one.now_id == reading), None)


def drift_at(judgement: Judgement, at: str, kind: str = "volts") -> Drift | None:
    """The same by place and kind: the last."""
    found = [one for one in judgement.drifts if (one.at, one.kind) == (at, kind)]
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


def steady_before(judgement: Judgement, at: str) -> str | None:
    """The nearest box in front of a point whose volts are as they were; None where none was read
    again."""
    network = judgement.prediction.study.network
    place = network.where.get(Point.parse(at))
    if place is None:
        return None
    still = {one.at for one in judgement.drifts if (one.kind, one.verdict) == ("volts", STEADY)}
    nodes = network.trees[place[0]].nodes
    i = nodes[place[1]].parent
    while i >= 0:
        if str(nodes[i].point) in still:
            return nodes[i].point.box
        i = nodes[i].parent
    return None


def is_at_feed(judgement: Judgement, at: str) -> bool:
    """Whether nothing lies in front of a point."""
    place = judgement.prediction.study.network.where.get(Point.parse(at))
    return place is not None and place[1] == 0


def where_it_starts(judgement: Judgement, drift: Drift) -> str:
    """Of volts that drifted, past which box; blank for other kinds and where no feed reaches."""
    network = judgement.prediction.study.network
    if drift.kind != "volts" or Point.parse(drift.at) not in network.where:
        return ""
    if is_at_feed(judgement, drift.at):
        return words.drift_at_source()
    box = steady_before(judgement, drift.at)
    return words.drift_past(box) if box else words.drift_at_feed()


def has_drifted(job: OpenJob) -> bool:
    """Whether anything is no longer as it was."""
    return any(one.verdict == DRIFTED for one in job.judgement.drifts)


# ---------------------------------------------------------------- what is pressed


def _people_counted(model: Model, message: m.PeopleCounted) -> Result:
    return replace(model, people=message.people), ()


def _visit_opened(model: Model, message: m.VisitOpened) -> Result:
    if not visit_is_over(model.job):
        return model, ()
    draft = {"what": "visit", "people": people_asked(model), "reason": message.reason}
    return keep(replace(model, people=0, opened_at=""), draft)


def _only_look(model: Model, message: m.OnlyLook) -> Result:
    """Nothing begins; one stays where the job was opened, unless something is done there."""
    there = model.route if model.place.screen not in WORK else ""
    route = there or route_of(Place("run", model.job.id))
    return go(replace(model, opened_at="", people=0), m.Go(route))


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.PeopleCounted: _people_counted,
    m.VisitOpened: _visit_opened,
    m.OnlyLook: _only_look,
}
