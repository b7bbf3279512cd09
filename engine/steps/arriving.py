"""Steps on arrival: who is told, what is looked at, what is proven before anything is touched."""

from __future__ import annotations

from collections.abc import Iterator

from engine.circuit import conductor_ohms, feed_volts
from engine.job import Point
from engine.say import say
from engine.step import PHOTO, Asks
from engine.steps.rule import (
    Found,
    Rule,
    at_box,
    at_site,
    at_van,
    endpoints,
    feeds,
    first_stop,
    long_spans,
    used_stops,
)
from engine.study import Prediction
from engine.walks import PACE_M_PER_MIN, metres_between

LOOK_AROUND_MIN = 2.0
"""minutes to look around at each stop (a choice)"""


def _walk(prediction: Prediction) -> Iterator[Found]:
    """Out along the route and back, where there is more than one stop."""
    job = prediction.job
    stops = used_stops(job)
    start = first_stop(job)
    if start is None or len(stops) < 2:
        return
    away = metres_between(job, [start.id, *(stop.id for stop in stops)])[0][1:]
    metres, far = max(zip(away, stops, strict=True), key=lambda row: (row[0], row[1].id))
    names = tuple(stop.name for stop in stops)
    yield Found(
        "site",
        start.id,
        say("step-walk", stops=names, far=far.name, metres=metres),
        asks=Asks(f"stop:{far.id}", PHOTO),
        minutes=2 * metres / PACE_M_PER_MIN + LOOK_AROUND_MIN * len(stops),
    )


def _feed(prediction: Prediction) -> Iterator[Found]:
    for box in feeds(prediction.job):
        port = box.sheet.facts.feeds
        source = prediction.sources.get(Point(box.id, port)) if port else None
        yield at_box(
            box,
            say(
                "step-feed",
                box=box.id,
                name=box.name,
                volts=feed_volts(box.sheet).expected,
                granted=source.limit.granted_watts if source else None,
            ),
        )


def _sheet(prediction: Prediction) -> Iterator[Found]:
    """At the van: the wrong variant is carried nowhere."""
    for box in prediction.job.boxes.values():
        if box.sheet.facts.active:
            title = box.sheet.title or box.sheet.id
            yield at_van(prediction, box, say("step-sheet", box=box.id, title=title))


def _speeds(prediction: Prediction) -> Iterator[Found]:
    start = first_stop(prediction.job)
    if start is None:
        return
    for link in prediction.links:
        ends = ((link.start, link.start_speeds), (link.end, link.end_speeds))
        yield Found(
            str(link.end),
            start.id,
            say(
                "step-speeds",
                start=str(link.start),
                start_mbps=link.start_speeds,
                end=str(link.end),
                end_mbps=link.end_speeds,
                gigabit_only=tuple(str(end) for end, listed in ends if listed == (1000,)),
            ),
            box=link.end.box,
        )


def _reel(prediction: Prediction) -> Iterator[Found]:
    """At the van, before a reel is carried out. Its ohms are asked for once it lies."""
    job = prediction.job
    start = first_stop(job)
    if start is None:
        return
    for span in long_spans(job):
        loop = 2 * conductor_ohms(span.cable).expected / 10
        yield Found(
            span.id,
            start.id,
            say(
                "step-reel",
                span=span.id,
                length_m=span.length_m.expected,
                title=span.cable.title or span.cable.id,
                ohms=loop or None,
            ),
            span=span.id,
        )


def _rehearsed(prediction: Prediction) -> list[str]:
    """The powered boxes in the order in which power reaches them."""
    job, where = prediction.job, prediction.study.network.where
    reached = dict.fromkeys(point.box for point in where)
    return [box for box in reached if job.boxes[box].sheet.facts.active]


def _rehearse(prediction: Prediction) -> Iterator[Found]:
    """Where a feed and an endpoint are there to be tried together."""
    job, boxes = prediction.job, _rehearsed(prediction)
    start = first_stop(job)
    if start and boxes and any(box.id in boxes for box in endpoints(job)):
        yield Found("site", start.id, say("step-rehearse", boxes=tuple(boxes)))


def _off(prediction: Prediction) -> Iterator[Found]:
    for box in feeds(prediction.job):
        yield at_box(box, say("step-off", box=box.id))


RULES = (
    Rule("announce", "arrive", "any", 5, at_site(say("step-announce")), each_visit=True),
    Rule("walk", "arrive", "any", 0, _walk, ("announce@all",), needs=("camera",)),
    Rule("meter", "arrive", "any", 3, at_site(say("step-meter")), each_visit=True),
    Rule("feed", "arrive", "any", 3, _feed, ("announce@all",), "self"),
    Rule("reel", "arrive", "any", 4, _reel, needs=("far-end short",)),
    Rule("sheet", "arrive", "any", 2, _sheet, ("announce@all",)),
    Rule("speeds", "arrive", "any", 1, _speeds, ("sheet@all",), "self"),
    Rule("rehearse", "arrive", "any", 15, _rehearse, ("feed@all", "sheet@all", "speeds@all")),
    Rule("off", "off", "any", 2, _off, ("feed@own", "rehearse@all")),
)
