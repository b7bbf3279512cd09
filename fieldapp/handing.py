"""Files in and out: what a press on them does, what a merge brought. Handlers, and pure.

What came by a file is derived from the log; only where it begins and ends in it is stored, so
that it is told once, also after a kill.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from engine.copied import behind, handed, matters, not_copied
from engine.entries import Entry
from engine.log import State
from fieldapp import messages as m
from fieldapp.finding import found_of
from fieldapp.foundout import Came
from fieldapp.handover.documents import DOCUMENTS, Papers, stamp_of
from fieldapp.handover.making import Written
from fieldapp.keeping import Result, ask
from fieldapp.model import Model, OpenJob
from fieldapp.pad import place_record
from fieldapp.priors import rates_for
from fieldapp.questions import stop_of_entry
from fieldapp.routes import Place, route_of

MOST_WRITTEN = 8
"""of so many documents it is remembered what they came to"""


def _file_pressed(model: Model, message: m.FilePressed) -> Result:
    """The picker opens by itself, within the press; what it brings is no photo."""
    return replace(model, told=None, photo_of="", picks=""), ()


def _file_picked(model: Model, message: m.FilePicked) -> Result:
    return ask(model, m.TakeIn(message.name, message.data))


def _news_came(model: Model, message: m.NewsCame) -> Result:
    model = replace(model, came=message.came)
    return model, (m.SavePlace(place_record(model)),)


def _news_seen(model: Model, message: m.NewsSeen) -> Result:
    """To where the first reading was taken, else to the list of steps."""
    news = news_of(model)
    if news is None:
        return replace(model, came=None), ()
    place = (
        Place("run", model.open_job.id, news.at) if news.at else Place("steps", model.open_job.id)
    )
    route = route_of(place)
    model = replace(model, came=None, route=route, sheet=None, edit=None)
    return model, (m.Push(route), m.SavePlace(place_record(model)))


def _hand_pressed(model: Model, message: m.HandPressed) -> Result:
    """Causes that were sought already, or are to be, come into the report."""
    job = model.job
    if job is None:
        return model, ()
    faults = found_of(model)
    effect = m.CopyOff(
        job.id,
        model.settings.name,
        message.what,
        message.way,
        papers_of(model),
        judgement=job.judgement,
        account=faults.account if faults is not None else None,
        seek=faults is None or not faults.gave_up,
        rates=rates_for(model),
    )
    return replace(model, told=None), (effect,)


def _making_came(model: Model, message: m.MakingCame) -> Result:
    is_here = model.place.screen == "hand" and message.making.of[0] == model.place.job
    return (replace(model, making=message.making), ()) if is_here else (model, ())


def _making_over(model: Model, message: m.MakingOver) -> Result:
    written = {**model.written, **{one.of: one for one in message.written}}
    last = dict(list(written.items())[-MOST_WRITTEN:])
    return replace(model, making=None, written=MappingProxyType(last)), ()


def with_making(before: Model, model: Model, effects: m.Effects) -> Result:
    """What is being made is given up where one goes away from it, or it would be of older news."""
    was, place = before.place, model.place
    is_away = was.screen == "hand" and (place.screen, place.job) != (was.screen, was.job)
    making = model.making
    is_old = making is not None and making.of != stamp(model, making.part)
    if not (is_away or is_old):
        return model, effects
    return replace(model, making=None), (*effects, m.StopMaking())


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


def handed_of(state: State, what: str) -> Sent | None:
    """The same for what is made of the job; None where it never was."""
    if what == m.WHOLE:
        return sent_of(state)
    last = handed(state, what)
    if last is None:
        return None
    return Sent(last.t, behind(state, last.seen, DOCUMENTS[what].counts(state)) > 0)


# ---------------------------------------------------------------- how it is written


def papers_of(model: Model) -> Papers:
    """How documents are written, by the settings."""
    settings = model.settings
    return Papers(settings.paper, settings.kind, settings.labels, settings.manner)


def stamp(model: Model, what: str) -> tuple[Any, ...]:
    """What a document of the job in hand would be made of now."""
    return stamp_of(what, model.open_job.judgement.state, papers_of(model))


def written_of(model: Model, what: str) -> Written | None:
    """What is known of a document of the job as it is now, if one was made."""
    return model.written.get(stamp(model, what))


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.FilePressed: _file_pressed,
    m.FilePicked: _file_picked,
    m.NewsCame: _news_came,
    m.NewsSeen: _news_seen,
    m.HandPressed: _hand_pressed,
    m.Weighed: _weighed,
    m.MakingCame: _making_came,
    m.MakingOver: _making_over,
}
