"""Where one goes: what a route needs when one arrives there, and that it is remembered. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from fieldapp import messages as m
from fieldapp.keeping import Result, ask
from fieldapp.model import Model
from fieldapp.pad import pad_for, place_record
from fieldapp.planpads import plan_pad
from fieldapp.planpads import without_pad as without_figure
from fieldapp.reeling import reel_pad, without_pad
from fieldapp.routes import Place, place_of, route_of

METER_KEPT = "told-meter-kept"
"""what is said of a meter on the list, and nowhere else"""
BY_THE_CLOCK = frozenset({"now", "power", "read"})
"""screens that ask once a day, or show a timer"""
PADS = {"read": pad_for, "reelpad": reel_pad, "planpad": plan_pad}


def arrive(model: Model, route: str) -> Result:
    """The model at a route: a pad where one is typed on, nothing half-open elsewhere."""
    place = place_of(route)
    if place.job and not model.has_open(place.job):
        load = m.LoadJob(place.job, route)
        return replace(model, route=route, waiting=load), (load,)
    model = replace(model, route=route, sheet=None, edit=None, trial=None, waiting=None)
    model = replace(model, mending=None)
    if route != model.opened_at:
        model = replace(model, opened_at="", people=0)
    if place.screen in PADS:
        of_another = model.pad is not None and model.pad.job != place.job
        model = replace(model, pad=None) if of_another else model
        pad = PADS[place.screen](model, place)
        model = replace(model, pad=replace(pad, job=place.job))
    if place.screen != "settings":
        is_told = model.told is not None and model.told.code == METER_KEPT
        model = replace(model, meter_away=None, told=None if is_told else model.told)
    if place.screen == "reel":
        model = without_pad(model)
    if place.screen == "plan":
        model = without_figure(model)
    if place.screen in ("jobs", "compare"):
        return remembered(model, m.ListJobs())
    if place.screen == "hand":
        return remembered(model, m.Weigh(place.job), m.LookAtClock())
    if place.screen == "everything":
        return remembered(model, m.WeighAll())
    if place.screen == "found":
        return remembered(model, m.CountFound())
    if place.screen in BY_THE_CLOCK:
        return remembered(model, m.LookAtClock())
    return remembered(model)


def remembered(model: Model, *effects: Any) -> Result:
    """Store where one is with whatever else is to be done."""
    return model, (m.SavePlace(place_record(model)), *effects)


def _route_changed(model: Model, message: m.RouteChanged) -> Result:
    if message.route == model.route and not model.waiting:
        return model, ()
    return arrive(model, message.route)


def go(model: Model, message: m.Go) -> Result:
    """Arrive at a route and show it."""
    model, effects = arrive(model, message.route)
    return model, (m.Push(message.route), *effects)


def _open_job(model: Model, message: m.OpenJobPressed) -> Result:
    route = message.route or route_of(Place("now", message.job))
    model = replace(model, opened_at=route)
    if model.has_open(message.job):
        return go(model, m.Go(route))
    return ask(model, m.LoadJob(message.job, route))


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.RouteChanged: _route_changed,
    m.Go: go,
    m.OpenJobPressed: _open_job,
}
