"""What is found out about a plan while one looks at it, in slices between the taps: the smallest
changes that mend it, or, where nothing breaks, how far it could be stretched."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Generator, Mapping
from dataclasses import replace
from typing import Any

from engine.advise import STANDS, Change, Limit, Sofar, advising
from engine.advise.ground import TOLD, Ground
from engine.advise.limits import still_working
from engine.planning import applied
from engine.propose import propose
from engine.study import Finding, Prediction
from fieldapp import messages as m
from fieldapp.breath import Breath
from fieldapp.foundout import PlanAdvice, Way
from fieldapp.keeping import Result
from fieldapp.model import Model

TOLD_SHARES = 10
"""how often a search says how far it is, at most"""
FIRST_REST_S = 0.3
"""the moved line is drawn before the search takes the processor"""
OTHER_WAYS = 5
"""beside the change that is offered; more nobody reads"""
KINDS = ("limit-length", "limit-load", "limit-heat", "limit-gauge")
"""what a plan is stretched by; of each kind the tightest is told"""


def found_in(prediction: Prediction) -> tuple[Finding, ...]:
    """What a plan breaks and could be mended, what stops it first."""
    told = [one for one in prediction.findings if one.rule not in STANDS]
    return tuple(one for word in ("stop", "warn") for one in told if one.severity == word)


def breaks(model: Model) -> tuple[Finding, ...]:
    """What the plan breaks."""
    return found_in(model.open_job.judgement.prediction)


def remarks(model: Model) -> tuple[Finding, ...]:
    """What is to be known of the place itself: no change of the plan mends it."""
    found = model.open_job.judgement.prediction.findings
    return tuple(one for one in found if one.rule in STANDS and one.severity in TOLD)


def margin(prediction: Prediction) -> tuple[float, float | None, str]:
    """Of all boxes the fewest volts to spare at worst, the volts there, the box."""
    rows = [
        (low - node.load.sheet.cutoff_volts, low, node.load.id)
        for tree in prediction.study.network.trees
        for node in tree.nodes
        if node.load is not None and (low := prediction.points[node.point].volts.low) is not None
    ]
    return min(rows, default=(0.0, None, ""))


def advised_on(model: Model) -> tuple[str, int] | None:
    """The plan one looks at: the job, and how long its log is."""
    place = model.place
    if place.screen != "plan" or not model.has_open(place.job):
        return None
    return (model.open_job.id, len(model.open_job.file.entries))


def with_advice(model: Model, effects: m.Effects) -> Result:
    """Start the search where it is wanted, end it where it is not any more."""
    of = advised_on(model)
    if of is None:
        if model.advice is None:
            return model, effects
        return replace(model, advice=None), (*effects, m.StopAdvising())
    if model.advice is not None and model.advice.of == of:
        return model, effects
    first = next((one.rule for one in breaks(model)), "")
    effect = m.Advise(of, model.open_job.judgement.state.doc, first)
    return replace(model, advice=PlanAdvice(of)), (*effects, effect)


def offered(model: Model) -> Way | None:
    """The change to offer: the lightest that leaves the plan working at worst, if there is one.

    While the search goes on, the best so far, where it mends what is told first.
    """
    advice = model.advice
    if advice is None:
        return None
    if advice.ways is not None:
        return next(iter(advice.ways), None)
    first = next((one.rule for one in breaks(model)), "")
    return advice.best if advice.best is not None and first in advice.best.change.mends else None


def other_ways(model: Model) -> tuple[Way, ...]:
    """The changes to be had beside the one that is offered."""
    return (model.advice.ways or ())[1:] if model.advice is not None else ()


def best_first(changes: tuple[Change, ...], first: str) -> list[Change]:
    """Works at worst before all else; then what mends the first finding, works, costs least."""

    def rank(change: Change) -> tuple[bool, bool, bool, float]:
        mends = first in change.mends
        return not change.works_at_worst, not mends, not change.works, change.effort

    return sorted(changes, key=rank)


def tightest(limits: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Of each kind of limit the one nearest to what is planned."""
    out = []
    for code in KINDS:
        kind = [one for one in limits if one.say.code == code]
        out += sorted(kind, key=lambda one: one.value / one.now if one.now else 0.0)[:1]
    return tuple(out)


# ---------------------------------------------------------------- the search


async def search(effect: m.Advise, send: Callable[[Any], None], wanted: Callable[[], bool]) -> None:
    """Look on while it is wanted; between two slices everything else has its turn."""
    steps = _ways(effect) if effect.first else _limits(effect)
    await asyncio.sleep(FIRST_REST_S)
    breath = Breath()
    while wanted():
        try:
            found = next(steps)
        except StopIteration:
            return
        if found is not None and wanted():
            send(m.AdviceCame(found))
        await breath.taken()


Steps = Generator[PlanAdvice | None, None, None]


def _ways(effect: m.Advise) -> Steps:
    """How far the search for changes is, the best so far, and the best of all in the end."""
    told, best = -1, None
    slices = advising(effect.doc)
    while True:
        try:
            sofar: Sofar = next(slices)
        except StopIteration as end:
            advice = end.value
            break
        news = int(sofar.share * TOLD_SHARES)
        if sofar.best is not None and (best is None or best.change != sofar.best):
            best, told = _way(effect.doc, sofar.best), -1
        yield PlanAdvice(effect.of, sofar.share, best) if news != told else None
        told = news
    ways = []
    for change in best_first(advice.changes, effect.first)[: 1 + OTHER_WAYS]:
        ways.append(_way(effect.doc, change))
        yield None
    yield PlanAdvice(effect.of, 1.0, None, tuple(ways), advice.limited_by)


def _way(doc: Mapping[str, Any], change: Change) -> Way:
    """A change, and what is left after it; the plan with it is solved once more."""
    plan = {key: value for key, value in doc.items() if key != "log"}
    after = Ground.of(applied(plan, change.edits))
    return Way(change, len(found_in(after.prediction)))


def _limits(effect: m.Advise) -> Steps:
    slices = still_working(effect.doc)
    while True:
        try:
            next(slices)
        except StopIteration as end:
            yield PlanAdvice(effect.of, 1.0, None, None, None, tightest(end.value))
            return
        yield None


def laid(effect: m.LayRun) -> dict[str, Any]:
    """The document of a new run. Raises ``BadPlan`` as ``propose`` does."""
    ident = f"RUN-{round(effect.metres, 1):g}".replace(".", "-").replace("+", "")
    return propose(
        effect.metres,
        watts=effect.watts,
        mbps=effect.mbps,
        outdoor=effect.outdoor,
        title=effect.title,
        ident=ident,
    )
