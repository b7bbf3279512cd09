"""Files in and out: what a press on them does, what a merge brought. Handlers, and pure.

What came by a file is derived from the log; only where it begins and ends in it is stored, so
that it is told once, also after a kill.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from engine.copied import matters, not_copied
from engine.entries import Entry
from engine.log import State
from fieldapp import messages as m
from fieldapp.keeping import Result
from fieldapp.model import Came, Model, OpenJob
from fieldapp.pad import place_record
from fieldapp.questions import stop_of_entry
from fieldapp.routes import Place, route_of


def _file_pressed(model: Model, message: m.FilePressed) -> Result:
    """The picker opens by itself, within the press; what it brings is no photo."""
    return replace(model, told=None, photo_of=""), ()


def _file_picked(model: Model, message: m.FilePicked) -> Result:
    return replace(model, told=None, waiting=True), (m.TakeIn(message.name, message.data),)


def _news_came(model: Model, message: m.NewsCame) -> Result:
    model = replace(model, came=message.came)
    return model, (m.SavePlace(place_record(model)),)


def _news_seen(model: Model, message: m.NewsSeen) -> Result:
    """To where the first reading was taken, else to the list of steps."""
    news = news_of(model)
    if news is None:
        return replace(model, came=None), ()
    place = Place("run", model.job.id, news.at) if news.at else Place("steps", model.job.id)
    route = route_of(place)
    model = replace(model, came=None, route=route, sheet=None, edit=None)
    return model, (m.Push(route), m.SavePlace(place_record(model)))


def _hand_pressed(model: Model, message: m.HandPressed) -> Result:
    if model.job is None:
        return model, ()
    effect = m.CopyOff(model.job.id, model.settings.name, message.what, message.way)
    return replace(model, told=None), (effect,)


def _weighed(model: Model, message: m.Weighed) -> Result:
    return replace(model, weight=message.weight), ()


# ---------------------------------------------------------------- what came


@dataclass(frozen=True)
class News:
    """What others did, as a file brought it.

    ``names`` of those who kept it, the busiest first; how many readings and other things; the
    ``stops`` where, by name; the point of the first reading.
    """

    names: tuple[str, ...]
    readings: int
    others: int
    stops: tuple[str, ...]
    at: str = ""


def news_of(model: Model) -> News | None:
    """What came by the last file, as long as nothing else was kept since."""
    came, job = model.came, model.job
    if came is None or job is None or not model.has_open(came.job):
        return None
    if len(job.file.entries) != came.end:
        return None
    return _news(job, job.file.entries[came.start : came.end])


def _news(job: OpenJob, entries: tuple[Entry, ...]) -> News | None:
    """Of entries that matter; who read a caution tells nobody anything."""
    telling = tuple(entry for entry in entries if matters(entry))
    if not telling:
        return None
    readings = [entry for entry in telling if entry.what == "reading"]
    kept_by = Counter(entry.by for entry in telling if entry.by)
    places = (stop_of_entry(job, entry) for entry in readings or telling)
    named = job.judgement.state.job.stops
    stops = dict.fromkeys(named[place].name for place in places if place in named)
    return News(
        tuple(name for name, _ in kept_by.most_common()),
        len(readings),
        len(telling) - len(readings),
        tuple(stops),
        _point_of(job, readings),
    )


def _point_of(job: OpenJob, readings: list[Entry]) -> str:
    """The first point of the run that was read; a span or an earth has no place on Run."""
    points = {str(point) for point in job.judgement.prediction.points}
    state = job.judgement.state.job
    named = (state.named(entry.body["at"]) for entry in readings)
    return next((at for at in named if at in points), "")


def came_of(record: Any) -> Came | None:
    """What came, as it was stored."""
    if not isinstance(record, Mapping):
        return None
    start, end = record.get("start"), record.get("end")
    if not (isinstance(start, int) and isinstance(end, int) and 0 <= start < end):
        return None
    return Came(str(record.get("job") or ""), start, end)


# ---------------------------------------------------------------- what was sent


@dataclass(frozen=True)
class Sent:
    """The last time that the whole job was handed over, and whether there is more since."""

    t: str | None
    is_older: bool


def sent_of(state: State) -> Sent | None:
    """None where it never was."""
    sent = [e for e in state.entries if e.what == "export" and e.id not in state.voided]
    return Sent(sent[-1].t, not_copied(state) > 0) if sent else None


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.FilePressed: _file_pressed,
    m.FilePicked: _file_picked,
    m.NewsCame: _news_came,
    m.NewsSeen: _news_seen,
    m.HandPressed: _hand_pressed,
    m.Weighed: _weighed,
}
