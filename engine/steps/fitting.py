"""Steps at the boxes: earthed, fitted the right way round, photographed."""

from __future__ import annotations

from collections.abc import Iterator

from engine.job import Point
from engine.say import say
from engine.standards.surge import lead_volts
from engine.step import PHOTO, Asks
from engine.steps.rule import (
    Found,
    Rule,
    at_box,
    at_site,
    bonded,
    endpoints,
    long_spans,
    orientable,
)
from engine.study import Prediction

_TELLING = ("exposed", "long-span", "source", "endpoint", "equipment", "any")


def _bond(prediction: Prediction) -> Iterator[Found]:
    for box in bonded(prediction.job):
        bond = box.bond
        lead_m = bond.lead_m if bond and box.kind == "arrestor" else None
        yield at_box(
            box,
            say(
                "step-bond",
                box=box.id,
                earth=bond.to if bond else None,
                lead_m=bond.lead_m if bond else None,
                mm2=bond.mm2 if bond else None,
                volts=lead_volts(lead_m) if lead_m else None,
            ),
        )


def _earth(prediction: Prediction) -> Iterator[Found]:
    job = prediction.job
    leads: dict[str, list[str]] = {}
    for box in bonded(job):
        if box.bond:
            leads.setdefault(box.bond.to, []).append(f"bond.{box.id}")
    for earth in job.earths.values():
        if earth.id in leads:
            yield Found(
                earth.id,
                earth.stop,
                say("step-earth", earth=earth.id, target=earth.target_ohms),
                asks=Asks(earth.id, "earth_ohms"),
                rests_on=tuple(leads[earth.id]),
            )


def _fit(prediction: Prediction) -> Iterator[Found]:
    """Every box between feed and endpoint, each port with the next box's port."""
    job = prediction.job
    pulled = {span.id for span in long_spans(job)}
    for box in job.boxes.values():
        if box.kind in ("source", "endpoint"):
            continue
        ports = []
        for port in job.ports(box):
            span = job.span_at(Point(box.id, port))
            if span is not None:
                far = span.far(Point(box.id, port))
                ports.append((port, box.sheet.faces(port), str(far), span.id))
        yield at_box(
            box,
            say("step-fit", box=box.id, kind=box.kind, ports=tuple(sorted(ports, key=_telling))),
            rests_on=tuple(f"pairs.{span}" for *_, span in ports if span in pulled),
        )


def _telling(port: tuple[str, ...]) -> int:
    """The port whose side matters most comes first in the sentence."""
    return _TELLING.index(port[1])


def _mount(prediction: Prediction) -> Iterator[Found]:
    for box in endpoints(prediction.job):
        yield at_box(box, say("step-mount", box=box.id, name=box.name))


def _photo(prediction: Prediction) -> Iterator[Found]:
    """A picture of each box that has a way round, and of each earth lead."""
    job = prediction.job
    for box in job.boxes.values():
        if orientable(job, box):
            words = say("step-photo", box=box.id, kind=box.kind)
            yield at_box(box, words, asks=Asks(box.id, PHOTO), rests_on=(f"fit.{box.id}",))
    for box in bonded(job):
        of = f"bond.{box.id}"
        words = say("step-photo-bond", box=box.id, earth=box.bond.to if box.bond else None)
        yield Found(of, box.stop, words, box=box.id, asks=Asks(of, PHOTO), rests_on=(of,))


RULES = (
    Rule("bond", "fit", "dead", 6, _bond, ("off@all", "screens@all"), "responsible"),
    Rule("earth", "fit", "dead", 6, _earth, (), "responsible"),
    Rule("fit", "fit", "dead", 4, _fit, ("bond@here", "off@all"), "self"),
    Rule("mount", "fit", "dead", 15, _mount, ("off@all",)),
    Rule("photo", "fit", "any", 1, _photo, (), "self", ("camera",)),
    Rule(
        "look",
        "look",
        "dead",
        5,
        at_site(say("step-look")),
        ("off@all", "fit@all", "mount@all", "pairs@all", "earth@all"),
    ),
)
