"""Handlers of what is mended: what was done, and what it was in truth, kept in one go. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from engine.diagnose.account import Fault
from engine.places import is_there
from fieldapp import messages as m
from fieldapp import words
from fieldapp.drafts import Draft
from fieldapp.finding import account_of, told_apart
from fieldapp.halfdone import Mending
from fieldapp.keeping import Result, keep
from fieldapp.model import Model
from fieldapp.practising import after_mending


def fault_of(model: Model, cause: str, where: str) -> Fault | None:
    """A cause at its place, of what was found."""
    account = account_of(model)
    faults = account.faults if account is not None else ()
    return next((one for one in faults if told_apart(one) == (cause, where)), None)


def can_be_mended(model: Model, fault: Fault) -> bool:
    """Whether its place is one of the plan's, so that older readings of its run stop counting."""
    return bool(mended_at(model, fault))


def mended_at(model: Model, fault: Fault) -> str:
    """Where something is done about a fault; of two at once at the first. Empty: at no place."""
    where = fault.parts[0][1] if fault.parts else fault.where
    return where if where and is_there(model.open_job.judgement.state.job, where) else ""


def mended_drafts(model: Model) -> tuple[Draft, ...]:
    """What was done, and what it was; nothing while it is not said what it was."""
    mending = model.mending
    if mending is None or mending.truth is None:
        return ()
    fault = fault_of(model, mending.cause, mending.where)
    if fault is None or not can_be_mended(model, fault):
        return ()
    cause, where = mending.truth
    mended = fault_of(model, cause, where) if cause else fault
    at = mended_at(model, fault)
    there = where and is_there(model.open_job.judgement.state.job, where)
    do = mended.do if mended is not None else None
    did = words.plain(words.sentence(do)) if do is not None else words.cause_at(cause, where)
    change: Draft = {"what": "change", "where": where if there else at, "did": did}
    if not cause:
        return (change,)
    # of two at once both were found, whichever is mended first
    finds = fault.parts if cause == fault.cause and fault.parts else ((cause, where or at),)
    found = tuple(_found(*one) for one in finds)
    # what is altered after a find is what mends it
    return *found, change


def _found(cause: str, where: str) -> Draft:
    text = words.cause_at(cause, where)
    return {"what": "found", "where": where, "cause": cause, "sure": True, "text": text}


def _opened(model: Model, message: m.MendingOpened) -> Result:
    fault = fault_of(model, message.cause, message.where)
    if fault is None or not can_be_mended(model, fault):
        return model, ()
    return replace(model, mending=Mending(message.cause, message.where)), ()


def _closed(model: Model, message: m.MendingClosed) -> Result:
    return replace(model, mending=None), ()


def _truth_asked(model: Model, message: m.TruthAsked) -> Result:
    if model.mending is None:
        return model, ()
    return replace(model, mending=replace(model.mending, asks=True, truth=None)), ()


def _truth_said(model: Model, message: m.TruthSaid) -> Result:
    mending = model.mending
    if mending is None:
        return model, ()
    truth = (message.cause, message.where)
    asks = mending.asks and truth not in (("", ""), (mending.cause, mending.where))
    return replace(model, mending=replace(mending, truth=truth, asks=asks)), ()


def _mended(model: Model, message: m.MendedPressed) -> Result:
    """Older readings of its run stop counting, so Now asks for them again; practice is told."""
    drafts = mended_drafts(model)
    if not drafts:
        return model, ()
    return keep(replace(model, mending=None), *drafts, then=after_mending(model.open_job))


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = {
    m.MendingOpened: _opened,
    m.MendingClosed: _closed,
    m.TruthAsked: _truth_asked,
    m.TruthSaid: _truth_said,
    m.MendedPressed: _mended,
}
