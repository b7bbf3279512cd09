"""Steps with power on: box by box outwards, then everything on, then off and on again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.say import say
from engine.step import Asks
from engine.steps.rule import Found, Rule, at_box, at_site, endpoints, feeds, measured_points
from engine.study import Prediction

BOXES_BEFORE_LOAD = 2
"""powered boxes between feed and endpoint from which on a known load is worth carrying (a
choice): with fewer, the volts and amps of the endpoint itself tell enough"""


def _energise(prediction: Prediction) -> Iterator[Found]:
    for box in feeds(prediction.job):
        yield at_box(box, say("step-energise", box=box.id))


def _far_off(prediction: Prediction) -> Mapping[str, float]:
    """Endpoints behind enough powered boxes, with their expected watts."""
    job, network = prediction.job, prediction.study.network
    out = {}
    for box in endpoints(job):
        passed = {point.box for point in network.way_to(network.upstream_port(box.id))}
        facts = {name: job.boxes[name].sheet.facts for name in passed}
        before = {name for name, one in facts.items() if one.active and one.passes_power}
        if len(before) >= BOXES_BEFORE_LOAD:
            out[box.id] = box.sheet.watts.expected
    return out


def _load(prediction: Prediction) -> Iterator[Found]:
    for name, watts in _far_off(prediction).items():
        yield at_box(prediction.job.boxes[name], say("step-load", box=name, watts=watts))


def _volts(prediction: Prediction) -> Iterator[Found]:
    job, loads = prediction.job, _far_off(prediction)
    for point in measured_points(job, prediction):
        yield Found(
            str(point),
            job.boxes[point.box].stop,
            say("step-volts", at=str(point)),
            box=point.box,
            asks=Asks(str(point), "volts"),
            rests_on=(f"load.{point.box}",) if point.box in loads else (),
        )


def _link(prediction: Prediction) -> Iterator[Found]:
    loads = _far_off(prediction)
    for link in prediction.links:
        at = link.end
        yield Found(
            str(at),
            prediction.job.boxes[at.box].stop,
            say("step-link", at=str(at), far=str(link.start)),
            box=at.box,
            asks=Asks(str(at), "mbps"),
            rests_on=(f"load.{at.box}",) if at.box in loads else (),
        )


def _full(prediction: Prediction) -> Iterator[Found]:
    for box in endpoints(prediction.job):
        yield at_box(box, say("step-full", box=box.id, watts=box.sheet.watts.high))


def _cold(prediction: Prediction) -> Iterator[Found]:
    for box in feeds(prediction.job):
        yield at_box(box, say("step-cold", box=box.id))


def _settings(prediction: Prediction) -> Iterator[Found]:
    """A source that asks for a class has settings; one that always feeds has none to lose."""
    for box in feeds(prediction.job):
        if box.kind == "source" and box.sheet.grants != "always":
            yield at_box(box, say("step-settings", box=box.id, name=box.name))


RULES = (
    Rule("clear", "look", "any", 1, at_site(say("step-clear")), ("look@all",)),
    Rule(
        "energise",
        "power",
        "live",
        2,
        _energise,
        ("clear@all", "bond@all", "feed@own", "sheet@all", "speeds@all"),
    ),
    Rule("volts", "power", "live", 1, _volts, ("energise@all",), "self", needs=("break-out lead",)),
    Rule("link", "power", "live", 1, _link, ("energise@all",), "self"),
    Rule(
        "load",
        "power",
        "live",
        8,
        _load,
        ("energise@all",),
        needs=("known load", "break-out lead"),
    ),
    Rule("full", "load", "live", 15, _full, ("energise@all", "volts@all", "link@all"), "self"),
    Rule("cold", "load", "live", 6, _cold, ("energise@all", "full@all"), "self"),
    Rule("settings", "load", "any", 3, _settings, ("cold@own",)),
)
