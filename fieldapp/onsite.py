"""What is pressed while the work goes on: cautions, timers, the power-up walk, ends of cables,
photos. Handlers of messages, as ``update`` calls them. Pure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from engine.fitted import fitted
from engine.say import Say
from engine.step import Step
from engine.timers import left
from fieldapp import messages as m
from fieldapp.drafts import (
    caution_drafts,
    dark_draft,
    end_drafts,
    in_draft,
    out_draft,
    pinout_draft,
    timer_draft,
)
from fieldapp.keeping import Result, keep
from fieldapp.model import Model
from fieldapp.questions import (
    cautions_of,
    hold_of,
    photographed_here,
    reading_cautions,
    reading_step,
    step_of,
    timer_shown,
)
from fieldapp.wires import PLUGS, pinout_of

TICK_SECONDS = 1.0


def _understood(model: Model, message: m.Understood) -> Result:
    step = step_of(model, message.step)
    return _read(model, step, cautions_of(model, step)) if step is not None else (model, ())


def _reading_understood(model: Model, message: m.ReadingUnderstood) -> Result:
    """What is half typed stays as it is."""
    step = reading_step(model) if model.pad is not None else None
    return _read(model, step, reading_cautions(model)) if step is not None else (model, ())


def _read(model: Model, step: Step, cautions: tuple[Say, ...]) -> Result:
    drafts = caution_drafts(model.open_job.judgement.state.job, step, cautions)
    return keep(model, *drafts) if drafts else (model, ())


def _timer_started(model: Model, message: m.TimerStarted) -> Result:
    return keep(model, timer_draft(message.step, message.seconds, message.round))


def _dark_said(model: Model, message: m.DarkSaid) -> Result:
    return keep(model, dark_draft(message.box, message.dark))


def _end_pressed(model: Model, message: m.EndPressed) -> Result:
    step = step_of(model, message.step)
    if step is None:
        return model, ()
    return keep(model, *end_drafts(model.open_job.judgement, step, message.at))


def _pinout_picked(model: Model, message: m.PinoutPicked) -> Result:
    state = model.open_job.judgement.state
    if message.pinout not in PLUGS or message.pinout == pinout_of(state):
        return model, ()
    return keep(model, pinout_draft(state, message.pinout))


def _put_in(model: Model, message: m.PutIn) -> Result:
    """One press is enough: what is in already is not put in again."""
    state = model.open_job.judgement.state
    there = any((one.what, one.at) == (message.fitted, message.at) for one in fitted(state))
    model = replace(model, sheet=None)
    return (model, ()) if there else keep(model, in_draft(message.fitted, message.at))


def _out_again(model: Model, message: m.OutAgain) -> Result:
    hold = hold_of(model, message.hold)
    model = replace(model, sheet=None)
    return keep(model, out_draft(hold)) if hold is not None else (model, ())


def _photo_pressed(model: Model, message: m.PhotoPressed) -> Result:
    """The picker opens by itself, within the press; here it is only noted what for."""
    return replace(model, photo_of=message.of, told=None), ()


def _photo_picked(model: Model, message: m.PhotoPicked) -> Result:
    if model.job is None or not model.photo_of or model.keeping:
        return model, ()
    effect = m.KeepPhoto(model.job.id, model.photo_of, message.data, model.settings.name)
    return replace(model, photo_of="", keeping=True), (effect,)


def _pictures_read(model: Model, message: m.PicturesRead) -> Result:
    pictures = MappingProxyType({**model.pictures, **message.pictures})
    return replace(model, pictures=pictures), ()


def _copy_pressed(model: Model, message: m.CopyPressed) -> Result:
    return replace(model, told=None), (m.CopyOff(model.open_job.id, model.settings.name),)


def _ticked(model: Model, message: m.Ticked) -> Result:
    ticking = model.ticking and not message.again
    return replace(model, now=message.at, ticking=ticking), ()


def with_what_is_shown(before: Model, model: Model, effects: m.Effects) -> Result:
    """What a place needs while it is shown: the clock for a timer, its pictures."""
    more: list[Any] = []
    if model.job is None or not model.has_open(model.place.job):
        return model, (*effects, *more)
    timer = timer_shown(model)
    if timer is not None and not model.ticking and left(timer, model.now) > 0:
        model = replace(model, ticking=True)
        more.append(m.LookAtClock(TICK_SECONDS, again=True))
    wanted = photographed_here(model)
    lacking = tuple(name for name in wanted if name not in model.pictures)
    if lacking or len(model.pictures) > len(wanted):
        held = {name: model.pictures[name] for name in wanted if name in model.pictures}
        # what is asked for stands as empty bytes until it comes
        held |= dict.fromkeys(lacking, b"")
        model = replace(model, pictures=MappingProxyType(held))
        if lacking:
            more.append(m.ReadPictures(model.open_job.id, lacking))
    return model, (*effects, *more)


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.Understood: _understood,
    m.ReadingUnderstood: _reading_understood,
    m.TimerStarted: _timer_started,
    m.DarkSaid: _dark_said,
    m.EndPressed: _end_pressed,
    m.PinoutPicked: _pinout_picked,
    m.PutIn: _put_in,
    m.OutAgain: _out_again,
    m.PhotoPressed: _photo_pressed,
    m.PhotoPicked: _photo_picked,
    m.PicturesRead: _pictures_read,
    m.CopyPressed: _copy_pressed,
    m.Ticked: _ticked,
}
