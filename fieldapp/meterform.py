"""A meter of one's own typed, kept, taken away and put back. Handlers, and pure but for ``put_meters``."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from engine.fields import Text
from engine.format import METER_KINDS
from engine.say import say
from engine.sheets import AS_TYPED
from fieldapp import messages as m
from fieldapp.halfdone import OwnSheet
from fieldapp.keeping import Result
from fieldapp.meters import DAY_DIGITS, KEPT_AS, NOBODYS, OwnMeter, day_of, form_of, meters_from
from fieldapp.model import Model
from fieldapp.moving import METER_KEPT, go
from fieldapp.ownsheet import DAY, LAST, TITLE_LETTERS, body_of, final_body, order
from fieldapp.routes import SETTINGS
from fieldapp.sheetquestions import reads

if TYPE_CHECKING:
    from fieldapp.services import Send
    from fieldapp.shelf import Shelf

SERIAL_LETTERS = 60
"""of a serial number (``engine/format.py``)"""
STEM, CHANCE = 12, 6
"""letters of an id: of the name, and drawn"""


# ---------------------------------------------------------------- typed


def _formed(act: Callable[[Model, OwnSheet, Any], Result]) -> Callable[[Model, Any], Result]:
    """A handler that does nothing where no meter is being typed."""

    def handle(model: Model, message: Any) -> Result:
        own = form_of(model) if model.place.screen == "meter" else None
        return (model, ()) if own is None else act(model, own, message)

    return handle


def _begun(model: Model, message: m.MeterBegun) -> Result:
    """From a template; what was typed already over the same one is still there."""
    known = {*AS_TYPED, *(one.id for one in model.own_meters)}
    if model.place.screen != "meter" or model.place.at or message.template not in known:
        return model, ()
    own = form_of(model)
    if own is None or own.template != message.template:
        own = OwnSheet(NOBODYS, "", message.template)
    own = replace(own, at=order(model, own)[0], part="", single=False)
    return replace(model, own=own, told=None), ()


def _serial(model: Model, own: OwnSheet, message: m.MeterSerial) -> Result:
    return replace(model, own=replace(own, serial=message.text), told=None), ()


def _day_key(model: Model, own: OwnSheet, message: m.DayKey) -> Result:
    """Eight digits and no more; the point of the pad is nothing here."""
    day = own.day[:-1] if message.key == "rub" else own.day
    if message.key.isdigit() and len(day) < DAY_DIGITS:
        day += message.key
    return replace(model, own=replace(own, day=day), told=None), ()


def _day_on(model: Model, own: OwnSheet, message: m.DayOn) -> Result:
    """A day that was, or none; then the name."""
    if own.at != DAY or not day_stands(model, own):
        return model, ()
    return replace(model, own=replace(own, at=LAST)), ()


def day_stands(model: Model, own: OwnSheet) -> bool:
    """Whether the digits of the day are none at all, or a day that is not still to come."""
    day = day_of(own.day)
    return not own.day or (bool(day) and (not model.today or day <= model.today))


# ---------------------------------------------------------------- kept


def meter_of(model: Model, own: OwnSheet) -> OwnMeter:
    """The meter as typed; a new one has no id yet."""
    day = day_of(own.day)
    return OwnMeter(own.thing, own.title.strip(), final_body(model, own), own.serial.strip(), day)


def reads_something(model: Model, own: OwnSheet) -> bool:
    """Whether there is a kind of reading that it takes."""
    return any(kind in body_of(model, own) for kind in METER_KINDS)


def is_as_kept(model: Model, own: OwnSheet) -> bool:
    """Whether a meter that is on the list already is still as it was."""
    old = next((one for one in model.own_meters if one.id == own.thing), None)
    new = meter_of(model, own)
    if old is None:
        return False
    same = all(new.sheet.get(kind) == old.sheet.get(kind) for kind in METER_KINDS)
    return same and (new.name, new.serial, new.calibrated) == (old.name, old.serial, old.calibrated)


def _kept(model: Model, own: OwnSheet, message: m.MeterKept) -> Result:
    """The list with it; it stays on the page until that is durable."""
    is_ready = own.title.strip() and reads_something(model, own) and day_stands(model, own)
    if not is_ready or model.keeping or is_as_kept(model, own):
        return model, ()
    if not reads(Text(TITLE_LETTERS), own.title.strip()):
        return replace(model, told=say("own-name", most=TITLE_LETTERS)), ()
    if own.serial.strip() and not reads(Text(SERIAL_LETTERS), own.serial.strip()):
        return replace(model, told=say("told-meter-serial", most=SERIAL_LETTERS)), ()
    new, every = meter_of(model, own), list(model.own_meters)
    place = next((i for i, one in enumerate(every) if one.id == new.id), len(every))
    every[place : place + 1] = [new]
    effect = m.PutMeters(tuple(one.kept for one in every))
    return replace(model, keeping=True), (effect,)


def _away(model: Model, message: m.MeterAway) -> Result:
    every = model.own_meters
    place = next((i for i, one in enumerate(every) if one.id == message.meter), None)
    if place is None:
        return model, ()
    rest = tuple(one.kept for one in every if one.id != message.meter)
    return model, (m.PutMeters(rest, (place, every[place])),)


def _back(model: Model, message: m.MeterBack) -> Result:
    if model.meter_away is None:
        return model, ()
    place, meter = model.meter_away
    every = [one.kept for one in model.own_meters]
    every.insert(place, meter.kept)
    return model, (m.PutMeters(tuple(every)),)


def _put(model: Model, message: m.MetersPut) -> Result:
    """Back on the list; what was typed of a meter is over."""
    own = model.own if model.own is None or model.own.job != NOBODYS else None
    typed = form_of(model) if model.place.screen == "meter" else None
    model = replace(model, own_meters=message.meters, own=own, told=None, keeping=False)
    effects: tuple[Any, ...] = ()
    if typed is not None:
        model, effects = go(model, m.Go(SETTINGS))
    if typed is not None and message.away is None:
        model = replace(model, told=say(METER_KEPT, name=typed.title.strip()))
    return replace(model, meter_away=message.away), effects


async def put_meters(effect: m.PutMeters, send: Send, shelf: Shelf) -> None:
    """Keep the list; a new meter is named for good, by its name and by chance.

    Two phones must never give one id to two meters: their jobs are merged.
    """
    rows = [
        {**row, "id": row["id"] or _id_for(str(row["name"]), shelf.world.ident())}
        for row in effect.meters
    ]
    shelf.store.put_setting(KEPT_AS, rows)
    send(m.MetersPut(meters_from(rows), effect.away))


def _id_for(name: str, chance: str) -> str:
    """An id: what of a name an id can hold, and some letters that nobody foresees."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower())[:STEM].strip("-") or "meter"
    return f"{plain}-{chance.replace('-', '')[-CHANCE:]}"


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.MeterBegun: _begun,
        m.MeterSerial: _formed(_serial),
        m.DayKey: _formed(_day_key),
        m.DayOn: _formed(_day_on),
        m.MeterKept: _formed(_kept),
        m.MeterAway: _away,
        m.MeterBack: _back,
        m.MetersPut: _put,
    }
)
