"""Steps before one goes: closed, labelled, taken back, told, copied, signed."""

from __future__ import annotations

from collections.abc import Iterator

from engine.job import Point, Stop
from engine.say import say
from engine.steps.rule import Found, Rule, at_site, measured_points, used_stops
from engine.study import Prediction


def _outdoors(prediction: Prediction) -> Iterator[Stop]:
    return (stop for stop in used_stops(prediction.job) if not stop.indoor)


def _close(prediction: Prediction) -> Iterator[Found]:
    for stop in _outdoors(prediction):
        inside = tuple(box.id for box in prediction.job.boxes.values() if box.stop == stop.id)
        yield Found(stop.id, stop.id, say("step-close", stop=stop.name, boxes=inside))


def _after_close(prediction: Prediction) -> Iterator[Found]:
    """At the outermost point of a closed stop, or the next one inwards where it has none."""
    job = prediction.job
    for stop in _outdoors(prediction):
        point = _to_look_at(prediction, stop.id)
        if point is not None:
            here = job.boxes[point.box]
            yield Found(
                stop.id,
                here.stop,
                say("step-after-close", stop=stop.name, at=str(point)),
                box=here.id,
            )


def _to_look_at(prediction: Prediction, stop: str) -> Point | None:
    job, network = prediction.job, prediction.study.network
    measured = tuple(measured_points(job, prediction))
    own = [point for point in measured if job.boxes[point.box].stop == stop]
    if own:
        return own[-1]
    place = next((at for p, at in network.where.items() if job.boxes[p.box].stop == stop), None)
    while place is not None and place[1] >= 0:
        node = network.trees[place[0]].nodes[place[1]]
        if node.point in measured:
            return node.point
        place = (place[0], node.parent)
    return None


def _labels(prediction: Prediction) -> Iterator[Found]:
    for stop in used_stops(prediction.job):
        yield Found(stop.id, stop.id, say("step-labels", stop=stop.name))


RULES = (
    Rule("close", "leave", "any", 5, _close, ("full@all",)),
    Rule("after-close", "leave", "live", 2, _after_close, ("close@own", "energise@all")),
    Rule("labels", "leave", "any", 4, _labels, ("full@all",), "self"),
    Rule(
        "take-back",
        "leave",
        "any",
        4,
        at_site(say("step-take-back")),
        ("full@all", "cold@all", "after-close@all", "labels@all"),
        "self",
    ),
    Rule("tell", "leave", "any", 5, at_site(say("step-tell")), ("take-back@all",)),
    Rule(
        "copy",
        "leave",
        "any",
        2,
        at_site(say("step-copy")),
        (
            *("tell@all", "take-back@all", "labels@all", "again@all", "lookover@all"),
            *("volts@all", "link@all"),  # read anew after a repair, all that lies between done
        ),
    ),
    Rule(
        "sign",
        "leave",
        "any",
        2,
        at_site(say("step-sign")),
        ("copy@all", "settings@all", "after-close@all"),
    ),
)
