"""What is wrong on a site, looked for in slices between the taps; nothing of it is stored.

A search is of one log: how long it is says whether what was found still holds.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from engine.diagnose.account import Account, Fault, accounting
from engine.job import Job, Point
from engine.judge import Judgement
from engine.settled import is_return
from engine.verdict import OUTSIDE, UNCLEAR
from fieldapp import messages as m
from fieldapp.breath import Breath
from fieldapp.foundout import Faults
from fieldapp.keeping import Result
from fieldapp.model import Model
from fieldapp.priors import rates_for, tally_of
from fieldapp.questions import here

NEEDED = frozenset({"now", "power", "run", "leave", "verdict"})
"""screens that show what is suspect, where a reading is not as it should be"""
ASKED = frozenset({"fault", "test"})
"""screens that speak of causes, whatever was read"""
SUSPECT = 0.4
"""from here on a place is drawn striped (screens: perhaps)"""
TOLD_SHARES = 10
"""how often a search says how far it is, at most"""
FIRST_REST_S = 0.1
"""what was pressed is drawn before the search takes the processor"""


def is_troubled(judgement: Judgement) -> bool:
    """Whether a reading that counts is not as it should be, or not yet for certain."""
    return any(one.current and one.verdict in (OUTSIDE, UNCLEAR) for one in judgement.verdicts)


def log_of(judgement: Judgement) -> int:
    """How many entries a judgement rests on."""
    return len(judgement.state.entries) + len(judgement.state.beside)


def found_of(model: Model) -> Faults | None:
    """What was found of the job in hand, as its log is now; None while nothing is known."""
    job = model.open_job
    faults = model.faults.get(job.id)
    return (
        faults if faults is not None and faults.of[:2] == (job.id, log_of(job.judgement)) else None
    )


def account_of(model: Model) -> Account | None:
    """The account of the job in hand, once it is there."""
    faults = found_of(model)
    return faults.account if faults is not None else None


def told_apart(fault: Fault) -> tuple[str, str]:
    """The cause and the place by which routes and presses name a fault; of two at once, which
    are at no one place, the place is both causes with theirs."""
    return fault.cause, fault.where or "+".join(f"{cause}@{where}" for cause, where in fault.parts)


# ---------------------------------------------------------------- what is suspect


def suspects(model: Model, ident: str, judgement: Judgement) -> frozenset[str] | None:
    """The spans and boxes that a job's readings point to; None while that is not worked out."""
    faults = model.faults.get(ident)
    if faults is None or faults.account is None or faults.of[:2] != (ident, log_of(judgement)):
        return None
    odds: dict[str, float] = {}
    for fault in faults.account.faults:
        places = [where for _, where in fault.parts] or [fault.where]
        for thing in {thing_at(judgement.state.job, where) for where in places} - {""}:
            odds[thing] = odds.get(thing, 0.0) + fault.probability
    return frozenset(thing for thing, share in odds.items() if share >= SUSPECT)


def thing_at(job: Job, where: str) -> str:
    """The span or box of a place; nothing for an earth, a meter or an entry."""
    if where in job.spans or where in job.boxes:
        return where
    box = Point.parse(where).box
    return box if box in job.boxes else ""


# ---------------------------------------------------------------- when it is looked for


def with_faults(model: Model, effects: m.Effects) -> Result:
    """Start the search where it is wanted, end it where it is not any more."""
    wanted = _wanted(model)
    if wanted is None:
        if model.finding is None:
            return model, effects
        return replace(model, finding=None), (*effects, m.StopFinding())
    if wanted.of == model.finding:
        return model, effects
    model = with_found(replace(model, finding=wanted.of), Faults(wanted.of))
    return model, (*effects, wanted)


def _wanted(model: Model) -> m.Find | None:
    """The search that this place wants, and has not yet."""
    place = model.place
    if place.screen == "jobs":
        rows = ((row.id, row.judgement) for row in model.rows if row.judgement is not None)
        each = (_search(model, ident, judgement, "") for ident, judgement in rows)
        return next((one for one in each if one is not None), None)
    if not place.job or not model.has_open(place.job):
        return None
    if place.screen not in ASKED and place.screen not in NEEDED:
        return None
    job = model.open_job
    asked = place.screen in ASKED
    return _search(model, job.id, job.judgement, here(model), asked=asked)


def _search(
    model: Model, ident: str, judgement: Judgement, stop: str, *, asked: bool = False
) -> m.Find | None:
    """The search of a job, unless it is done or nobody needs it."""
    if not asked and not is_troubled(judgement):
        return None
    tally = tally_of(model, first=not is_return(judgement.state), but=ident)
    of = (ident, log_of(judgement), stop, tally.jobs)
    faults = model.faults.get(ident)
    # a row of the list does not ask where one stands: it has no next test
    known = 4 if stop else 2
    if faults is not None and faults.of[:known] == of[:known] and faults.is_over:
        return None
    return m.Find(of, judgement, rates_for(model, ident, judgement))


def with_found(model: Model, faults: Faults) -> Model:
    """The model with what is known of one job's faults now; what was known of the same log stands
    until there is more."""
    old = model.faults.get(faults.of[0])
    if old is not None and old.account and old.of[:2] == faults.of[:2] and not faults.is_over:
        return model
    return replace(model, faults=MappingProxyType({**model.faults, faults.of[0]: faults}))


# ---------------------------------------------------------------- the search


async def find(effect: m.Find, send: Callable[[Any], None], wanted: Callable[[], bool]) -> None:
    """Look on while it is wanted; between two slices everything else has its turn."""
    ident, _, stop, _ = effect.of
    told = 0
    await asyncio.sleep(FIRST_REST_S)
    breath = Breath()
    try:
        slices = accounting(effect.judgement, rates=effect.rates, here=stop or None)
        while wanted():
            try:
                share = next(slices)
            except StopIteration as end:
                send(m.FaultsCame(Faults(effect.of, 1.0, end.value)))
                return
            news = int(share * TOLD_SHARES)
            if news != told:
                told = news
                send(m.FaultsCame(Faults(effect.of, share)))
            await breath.taken()
    except Exception:  # a screen that waits for ever would tell nobody
        logging.getLogger(__name__).exception("the causes of %s", ident)
        send(m.FaultsCame(Faults(effect.of, 1.0, gave_up=True)))


def _faults_came(model: Model, message: m.FaultsCame) -> Result:
    """What comes of a log that has grown since is not looked at."""
    faults = message.faults
    if model.finding != faults.of:
        return model, ()
    over = replace(model, finding=None) if faults.is_over else model
    return with_found(over, faults), ()


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = {m.FaultsCame: _faults_came}
