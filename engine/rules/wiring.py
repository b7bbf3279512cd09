"""Rules of what is joined to what: feeds, the way round, surge and earth, places, materials."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from attrs import frozen

from engine.defaults import DEFAULTS
from engine.job import Job, Point, Span
from engine.links import FACING_PASSES, next_port
from engine.network import Network
from engine.rules.rule import FORMAT, PRACTICE, SHEETS, Broken, Rule
from engine.say import Say, say
from engine.standards import conductors, surge
from engine.study import Prediction


def _feed(prediction: Prediction) -> Broken:
    """Boxes that get no power, and boxes that hang on nothing at all."""
    job = prediction.job
    for box in job.boxes.values():
        loose = all(job.span_at(Point(box.id, port)) is None for port in job.ports(box))
        if loose and box.kind != "source":
            yield box.id, "stop", say("feed-unplugged", box=box.id)
        elif box.id in prediction.study.network.unfed:
            yield box.id, "stop", say("feed", box=box.id)


def _feed_twice(prediction: Prediction) -> Broken:
    for box, first, second in prediction.study.network.twice:
        yield box, "stop", say("feed-twice", box=box, first=str(first), second=str(second))


def _orientation(prediction: Prediction) -> Broken:
    """Boxes to be turned round. A port that only meets a turned box is not accused with it."""
    job, network = prediction.job, prediction.study.network
    wrong: dict[str, list[Say]] = {}
    for box in job.boxes.values():
        looked_at = [wrong_facing(job, network, Point(box.id, port)) for port in job.ports(box)]
        wrong[box.id] = [one for one in looked_at if one is not None]
    for name, found in wrong.items():
        for one in found:
            other = Point.parse(one.parts["meets"]).box if one.parts["meets"] else None
            if other is None or len(wrong[other]) <= len(found):
                yield name, "stop", one
                break


def wrong_facing(job: Job, network: Network, point: Point) -> Say | None:
    """What is wrong with what a port meets, or None."""
    box = job.boxes[point.box]
    wants = box.sheet.faces(point.port)
    if wants in ("any", "exposed"):
        return None
    if wants in ("source", "endpoint"):
        first = network.upstream_port(box.id)
        towards_source = first == point
        if first is None or job.span_at(point) is None or towards_source == (wants == "source"):
            return None
        return say("orientation", box=box.id, port=point.port, wants=wants, meets=None)
    way = next_port(job, point, FACING_PASSES)
    if way is None:
        return None
    meets = job.boxes[way.end.box].sheet.faces(way.end.port)
    if (wants == "long-span") == (meets == "long-span"):
        return None
    return say("orientation", box=box.id, port=point.port, wants=wants, meets=str(way.end))


# ---------------------------------------------------------------- surge and earth


@frozen
class CableRun:
    """Cable from one box that is no joint to the next, with the joints between."""

    ends: tuple[Point, ...]
    spans: tuple[str, ...]


def cable_runs(job: Job, wanted: Callable[[Span], bool] = lambda _: True) -> Iterator[CableRun]:
    """Every stretch of cable with a span of this sort in it."""
    told: set[str] = set()
    for span in job.spans.values():
        if span.id in told or not wanted(span):
            continue
        ends, spans = [], [span.id]
        for near in (span.a, span.b):
            end, through = _past_joints(job, span.far(near))
            spans += through
            if end is not None:
                ends.append(end)
        told.update(spans)
        yield CableRun(tuple(ends), tuple(dict.fromkeys(spans)))


def _past_joints(job: Job, end: Point) -> tuple[Point | None, list[str]]:
    """The port where a run ends, looking through joints; None at a joint with a loose end."""
    box = job.boxes[end.box]
    if box.kind != "joint":
        return end, []
    other = next(Point(box.id, port) for port in job.ports(box) if port != end.port)
    way = next_port(job, other, frozenset({"joint"}))
    return (way.end, list(way.spans)) if way else (None, [])


def _arrestor_missing(prediction: Prediction) -> Broken:
    job = prediction.job
    for run in cable_runs(job, job.is_exposed):
        for end in run.ends:
            if job.boxes[end.box].kind != "arrestor":
                yield str(end), "stop", say("arrestor-missing", at=str(end), span=run.spans[0])


def _separate_buildings(prediction: Prediction) -> Broken:
    """Also where the way is indoors: two buildings may have two earths."""
    job = prediction.job
    for run in cable_runs(job):
        stops = (job.stops[job.boxes[end.box].stop] for end in run.ends)
        buildings = {stop.building for stop in stops if stop.building is not None}
        if len(buildings) == 2:
            names = tuple(sorted(buildings))
            yield run.spans[0], "warn", say("separate-buildings", spans=run.spans, buildings=names)


def _arrestor_facing(prediction: Prediction) -> Broken:
    job = prediction.job
    for box in job.boxes.values():
        if box.kind != "arrestor":
            continue
        outward = [p for p in job.ports(box) if box.sheet.faces(p) == "exposed"]
        inward = [p for p in job.ports(box) if p not in outward]
        if any(_exposed(job, box.id, port) for port in outward):
            continue
        back = next((port for port in inward if _exposed(job, box.id, port)), None)
        span = job.span_at(Point(box.id, back)) if back else None
        if outward and span:
            yield box.id, "stop", say("arrestor-facing", box=box.id, port=outward[0], span=span.id)


def _exposed(job: Job, box: str, port: str) -> bool:
    span = job.span_at(Point(box, port))
    return span is not None and job.is_exposed(span)


def _bond(prediction: Prediction) -> Broken:
    """An arrestor without an earth lead, or with one that is too long or too thin."""
    for box in prediction.job.boxes.values():
        if box.kind != "arrestor":
            continue
        if box.bond is None:
            yield box.id, "stop", say("bond", box=box.id)
            continue
        metres, mm2 = box.bond.lead_m, box.bond.mm2
        if metres is not None and metres > surge.LEAD_MOST.value:
            volts = surge.lead_volts(metres)
            yield box.id, "stop", say("bond-long", box=box.id, lead_m=metres, volts=volts)
        elif mm2 is not None and mm2 < surge.LEAD_LEAST_MM2.value:
            yield box.id, "stop", say("bond-thin", box=box.id, mm2=mm2)


# ---------------------------------------------------------------- places and materials


def _box_place(prediction: Prediction) -> Broken:
    job = prediction.job
    for box in job.boxes.values():
        if not job.stops[box.stop].indoor and not box.sheet.outdoor:
            yield box.id, "warn", say("box-place", box=box.id, stop=box.stop)


def _cable_place(prediction: Prediction) -> Broken:
    for span in prediction.job.spans.values():
        if prediction.job.is_exposed(span) and not span.cable.outdoor:
            yield span.id, "warn", say("cable-place", span=span.id)


def _cable_material(prediction: Prediction) -> Broken:
    for span in prediction.job.spans.values():
        material = span.cable.material
        if material != "copper":
            parts = {"span": span.id, "material": material, "factor": _against_copper(span)}
            yield span.id, "warn", say("cable-material", **parts)


def _against_copper(span: Span) -> float:
    """How many times the ohms of copper of the same gauge."""
    gauge = span.cable.awg if span.cable.awg is not None else int(DEFAULTS["gauge"].value)
    share = span.cable.copper_percent or DEFAULTS["copper-share"].value
    other = conductors.ohms_per_km(gauge, span.cable.material, copper_percent=share)
    return other.expected / conductors.ohms_per_km(gauge, "copper").expected


_CODES = "common practice: an arrestor where the cable enters; IEC 61643-22, 62305-4 from memory"

FIRST = (
    Rule("feed", FORMAT, _feed),
    Rule("feed-twice", FORMAT, _feed_twice),
    Rule("orientation", SHEETS, _orientation),
)
"""what makes all other figures idle"""

LAST = (
    Rule("arrestor-missing", _CODES, _arrestor_missing),
    Rule("arrestor-facing", PRACTICE, _arrestor_facing),
    Rule(
        "bond",
        "common practice; the lead by U = L di/dt",
        _bond,
        (surge.LEAD_MOST, surge.LEAD_LEAST_MM2),
    ),
    Rule("separate-buildings", PRACTICE, _separate_buildings),
    Rule("box-place", PRACTICE, _box_place),
    Rule("cable-place", PRACTICE, _cable_place),
    Rule("cable-material", "cabling standards ask for copper; from memory", _cable_material),
)
