"""Advice on a plan: when it is looked for, and the search itself, in slices between the taps."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from engine.advise import Change, advising
from engine.propose import propose
from engine.study import Finding
from fieldapp import messages as m
from fieldapp.keeping import Result
from fieldapp.model import Model, PlanAdvice

TOLD_SHARES = 10
"""how often a search says how far it is, at most"""


def breaks(model: Model) -> tuple[Finding, ...]:
    """What the plan breaks, what stops it first."""
    found = model.job.judgement.prediction.findings
    return tuple(one for word in ("stop", "warn") for one in found if one.severity == word)


def advised_on(model: Model) -> tuple[str, int] | None:
    """The plan that advice is wanted for: the job, and how long its log is."""
    place = model.place
    if place.screen != "plan" or not model.has_open(place.job) or not breaks(model):
        return None
    return (model.job.id, len(model.job.file.entries))


def with_advice(model: Model, effects: m.Effects) -> Result:
    """Start the search where it is wanted, end it where it is not any more."""
    of = advised_on(model)
    if of is None:
        if model.advice is None:
            return model, effects
        return replace(model, advice=None), (*effects, m.StopAdvising())
    if model.advice is not None and model.advice.of == of:
        return model, effects
    doc = model.job.judgement.state.doc
    return replace(model, advice=PlanAdvice(of)), (*effects, m.Advise(of, doc))


def offered(model: Model) -> Change | None:
    """The change to offer: of those that mend the first finding the smallest, else the best."""
    advice = model.advice
    if advice is None:
        return None
    if advice.advice is None:
        return advice.best
    changes = advice.advice.changes
    first = breaks(model)[:1]
    mending = [one for one in changes if first and first[0].rule in one.mends]
    return next(iter([*sorted(mending, key=lambda one: one.effort), *changes]), None)


async def search(effect: m.Advise, send: Callable[[Any], None], wanted: Callable[[], bool]) -> None:
    """Look on while it is wanted; between two slices everything else has its turn."""
    told: tuple[int, Change | None] = (-1, None)
    slices = advising(effect.doc)
    while wanted():
        try:
            sofar = next(slices)
        except StopIteration as end:
            send(m.AdviceCame(effect.of, 1.0, None, end.value))
            return
        news = (int(sofar.share * TOLD_SHARES), sofar.best)
        if news != told:
            told = news
            send(m.AdviceCame(effect.of, sofar.share, sofar.best))
        await asyncio.sleep(0)


def laid(effect: m.LayRun) -> dict[str, Any]:
    """The document of a new run. Raises ``BadPlan`` as ``propose`` does."""
    ident = f"RUN-{effect.metres:g}".replace(".", "-").replace("+", "")
    return propose(
        effect.metres,
        watts=effect.watts,
        mbps=effect.mbps,
        outdoor=effect.outdoor,
        title=effect.title,
        ident=ident,
    )
