"""The number pad: what it is at a place, what a key does to its digits, what of it is stored. Pure."""

from __future__ import annotations

from dataclasses import asdict, replace
from types import MappingProxyType
from typing import Any

from engine.entries import BY_METHOD, READING_KINDS
from engine.figures import FLOW_KINDS
from engine.log import stop_of
from fieldapp.drafts import reading_of, standing_like
from fieldapp.halfdone import Pad
from fieldapp.meters import meters_of
from fieldapp.model import Model, OpenJob
from fieldapp.planpads import MM2, figure_of
from fieldapp.questions import stand_ins
from fieldapp.routes import ALONE, Place
from fieldapp.words.units import LENGTH, in_gauges

MOST_DIGITS = 7
TYPED_ON = frozenset({"read", "reelpad", "planpad"})
"""screens with a pad"""


def typed(digits: str, key: str, *, zeros: bool = False) -> str:
    """The digits after a key, as they are kept: with a point, whatever mark the key shows.

    ``zeros``: one nought behind another is told apart, as gauges are.
    """
    if key == "rub":
        return digits[:-1]
    if key in ".,":
        return digits if "." in digits else (digits or "0") + "."
    if len(digits.replace(".", "")) >= MOST_DIGITS:
        return digits
    return key if digits == "0" and not zeros else digits + key


def types_gauge(pad: Pad) -> bool:
    """Whether what is typed is a gauge, where 00 is thicker than 0."""
    return figure_of(pad) == MM2 and in_gauges()


def without_figures(model: Model) -> Model:
    """The units were changed: what is half typed in the others would mean something else."""
    own, trial, pad = model.own, model.trial, model.pad
    if pad is not None and (pad.kind == LENGTH or pad.kind not in READING_KINDS):
        pad = None
    if own is not None:
        typed = {key: one for key, one in own.typed.items() if "reach_m" not in key}
        own = replace(own, typed=MappingProxyType(typed))
    return replace(
        model,
        pad=pad,
        new=replace(model.new, digits=""),
        trial=replace(trial, digits=None) if trial is not None else None,
        own=own,
    )


def pad_for(model: Model, place: Place) -> Pad:
    """The pad of a place: meter and standing as last at this stop, as the reading it goes with, or
    as the place says."""
    pad, job = model.pad, model.open_job
    asked = (place.at, place.kind, place.beside, place.again)
    if pad is not None and (pad.at, pad.kind, pad.beside, pad.again) == asked:
        return pad if pad.digits else _with_load(pad, job, place)
    meters = meters_of(model, job, place.kind)
    kept_meter = pad.meter if pad is not None and pad.meter in meters else None
    digits = pad.digits if pad is not None and pad.kind == place.kind else ""
    new = Pad(
        at=place.at,
        kind=place.kind,
        digits=digits,
        meter=kept_meter or (meters[0] if meters else ""),
        method=pad.method if pad is not None and place.kind in BY_METHOD else "",
        since=pad.since if pad is not None and digits else "",
        beside=place.beside,
        again=place.again,
    )
    first = reading_of(job.judgement.state, place.beside or place.again)
    if first is not None:
        way, box, watts = standing_like(first)
        new = replace(new, meter=first.meter if first.meter in meters else new.meter)
    elif pad is not None and _same_stop(job, pad.at, place.at):
        way, box, watts = pad.standing, pad.box, pad.watts
    else:
        return _with_load(new, job, place)
    if place.load:
        return _with_load(new, job, place)
    if place.kind not in FLOW_KINDS or (way == "known" and box not in stand_ins(job, place.at)):
        return replace(new, box=box, watts=watts)
    return replace(new, standing=way, box=box, watts=watts)


def _with_load(pad: Pad, job: OpenJob, place: Place) -> Pad:
    """The pad with the known load that its place asks for; one that makes no sense is left."""
    if place.load == ALONE:
        return replace(pad, standing="open")
    box, _, watts = place.load.partition(":")
    if box not in stand_ins(job, place.at) or not watts.replace(".", "", 1).isdigit():
        return pad
    return replace(pad, standing="known", box=box, watts=float(watts))


def _same_stop(job: OpenJob, a: str, b: str) -> bool:
    plan = job.judgement.state.job
    return stop_of(plan, a) == stop_of(plan, b) is not None


def place_record(model: Model) -> dict[str, Any]:
    """Where one is, as a record: the route, and what stands on the pad, digits or none yet."""
    pad = model.pad if model.place.screen in TYPED_ON else None
    return {
        "route": model.route,
        "job": model.job.id if model.job else model.last_job,
        "stop": model.stop,
        **({"came": asdict(model.came)} if model.came else {}),
        **({"signing": asdict(model.signing)} if model.signing else {}),
        **({"opened": True} if model.opened_at == model.route else {}),
        **({"code": model.code.text} if model.code.text else {}),
        "pad": {
            "at": pad.at,
            "kind": pad.kind,
            "digits": pad.digits,
            "standing": pad.standing,
            "box": pad.box,
            "watts": pad.watts,
            "meter": pad.meter,
            "method": pad.method,
            "since": pad.since,
            "beside": pad.beside,
            "again": pad.again,
        }
        if pad is not None
        else None,
    }
