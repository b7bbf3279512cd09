"""Handlers of the number pad: its keys, what stands beyond the point, the meter, Keep. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from fieldapp import messages as m
from fieldapp.drafts import reading_draft
from fieldapp.keeping import Result, keep
from fieldapp.meters import brought, meters_of
from fieldapp.model import Model, Sheet
from fieldapp.moving import remembered
from fieldapp.pad import typed, types_gauge
from fieldapp.questions import stand_ins
from fieldapp.words.units import kept_figure

QUIET_SECONDS = 0.6
"""after a key, until what is said of the figure is read aloud"""
MOST_WATTS = 100.0
"""more than any port here gives: a known load is not set higher"""


def _key_pressed(model: Model, message: m.KeyPressed) -> Result:
    pad = model.pad
    if pad is None:
        return model, ()
    digits = typed(pad.digits, message.key, zeros=types_gauge(pad))
    keyed = pad.keyed + 1
    now = replace(pad, digits=digits, restored=False, keyed=keyed, quiet=False)
    model = replace(model, pad=now, told=None)
    first = not pad.digits and digits
    then: list[Any] = [m.TellTime()] if first else []
    if model.place.screen == "read":
        then.append(m.Later(QUIET_SECONDS, m.PadQuiet(keyed)))
    return remembered(model, *then)


def _pad_quiet(model: Model, message: m.PadQuiet) -> Result:
    """Only the last key's wait counts: a comment on each digit would be in the way."""
    if model.pad is None or model.pad.keyed != message.keyed:
        return model, ()
    return replace(model, pad=replace(model.pad, quiet=True)), ()


def _key_timed(model: Model, message: m.KeyTimed) -> Result:
    if model.pad is None:
        return model, ()
    return remembered(replace(model, pad=replace(model.pad, since=message.at)))


def _standing_picked(model: Model, message: m.StandingPicked) -> Result:
    """A known load asks what it is: the first time at a stop, and when it is pressed again."""
    pad = model.open_pad
    boxes = stand_ins(model.open_job, pad.at)
    if message.standing == "known":
        if not boxes:
            return model, ()
        known = pad.box in boxes and pad.watts is not None
        if not known or pad.standing == "known":
            return replace(model, sheet=Sheet("load", pad.at)), ()
    return remembered(replace(model, pad=replace(pad, standing=message.standing)))


def _method_picked(model: Model, message: m.MethodPicked) -> Result:
    return remembered(replace(model, pad=replace(model.open_pad, method=message.method)))


def _load_picked(model: Model, message: m.LoadPicked) -> Result:
    watts = min(max(message.watts, 0.0), MOST_WATTS)
    pad = replace(model.open_pad, standing="known", box=message.box, watts=watts)
    return remembered(replace(model, pad=pad))


def _next_meter(model: Model, message: m.NextMeter) -> Result:
    pad = model.open_pad
    meters = meters_of(model, model.open_job, pad.kind)
    if not meters:
        return model, ()
    place = meters.index(pad.meter) if pad.meter in meters else -1
    chosen = meters[(place + 1) % len(meters)]
    return remembered(replace(model, pad=replace(pad, meter=chosen)))


def _keep_pressed(model: Model, message: m.KeepPressed) -> Result:
    pad = model.pad
    value = kept_figure(pad.digits, pad.kind) if pad is not None else None
    if pad is None or value is None:
        return model, ()
    return keep(model, *brought(model, pad.meter), reading_draft(model, value))


def _speed_picked(model: Model, message: m.SpeedPicked) -> Result:
    return keep(model, reading_draft(model, message.mbps))


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.KeyPressed: _key_pressed,
        m.PadQuiet: _pad_quiet,
        m.KeyTimed: _key_timed,
        m.StandingPicked: _standing_picked,
        m.MethodPicked: _method_picked,
        m.LoadPicked: _load_picked,
        m.NextMeter: _next_meter,
        m.KeepPressed: _keep_pressed,
        m.SpeedPicked: _speed_picked,
    }
)
