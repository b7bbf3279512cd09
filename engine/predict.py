"""What each box should show: bands of volts, amps and watts, links, and what the plan breaks."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import evolve

from engine import rules
from engine.band import CORNERS
from engine.circuit import Circuit, ambient_celsius, edge_ohms, span_ohms, wire
from engine.headroom import first_to_starve, load_share, watts_to_spare
from engine.job import Job, Point, Span
from engine.limits import feed_limits, together
from engine.links import find as find_links
from engine.network import build
from engine.operating import Conditions, Flow, Operating, holds, run
from engine.pairs import conductor_amps
from engine.sliced import Progress, finish
from engine.states import comparable, settle, states_at
from engine.study import (
    NOTHING,
    Collapse,
    PointPrediction,
    Prediction,
    Range,
    SourcePrediction,
    SpanPrediction,
    Study,
)

Three = tuple[Operating, Operating, Operating]
"""the low, expected and high corner"""


def predict(job: Job) -> Prediction:
    """The prediction of a job, in one go. See ``predicting`` for slices."""
    return finish(predicting(job))


def predicting(job: Job) -> Progress[Prediction]:
    """The prediction of a job, yielding the share done."""
    study = _study(job)
    yield 0.2
    circuit = study.circuits["expected"]
    share = load_share(circuit) if study.network.trees else None
    yield 0.5
    endpoints = [box.id for box in job.boxes.values() if box.kind == "endpoint"]
    spare = {}
    held = (study.expected.holds and not study.cut) or holds(circuit, Conditions())
    for count, name in enumerate(endpoints, start=1):
        if study.network.upstream_port(name):
            spare[name] = watts_to_spare(circuit, name, held)
        yield 0.5 + 0.4 * count / len(endpoints)
    collapse = _collapse(study, share)
    prediction = Prediction(
        job,
        study,
        points=_points(study, collapse),
        spans={span.id: _span(study, span) for span in job.spans.values()},
        sources=_sources(study),
        load_share=share,
        watts_to_spare=spare,
        collapse=collapse,
    )
    return evolve(prediction, findings=rules.findings(prediction))


def _study(job: Job) -> Study:
    network = build(job)
    circuits = {corner: wire(job, network, corner) for corner in CORNERS}
    limits = feed_limits(network)
    solved = {corner: settle(circuits[corner], limits, Conditions(corner)) for corner in CORNERS}
    expected, at_worst, at_best = (solved[corner][0] for corner in ("expected", "low", "high"))
    return Study(
        job,
        network,
        circuits,
        limits,
        expected,
        worst=comparable(network, expected, at_worst),
        best=comparable(network, expected, at_best),
        at_worst=at_worst,
        cuts={corner: cut for corner, (_, cut) in solved.items()},
        links=find_links(job, network, {"expected": expected.rises, "high": at_worst.rises}),
    )


def ranges(operatings: Three, point: Point) -> dict[str, Range]:
    """Volts, amps and watts of a point from the low, expected and high corner.

    The corner of low volts is the one of high amps and watts.
    """
    low, expected, high = (one.flows.get(point) for one in operatings)

    def three(name: str, first: Flow | None, last: Flow | None) -> Range:
        return Range(*(getattr(f, name) if f else None for f in (first, expected, last)))

    return {
        "volts": three("volts", low, high),
        "amps": three("amps", high, low),
        "watts": three("watts", high, low),
    }


def _collapse(study: Study, share: float | None) -> Collapse | None:
    if study.expected.holds or share is None:
        return None
    tree, failure = study.expected.failed[0]
    circuit = study.circuits["expected"]
    starving = first_to_starve(circuit, share * (1 - 1e-6)) if share else None
    if starving is None or starving[0] not in {node.point for node in tree.nodes}:
        node = tree.nodes[failure.node]
        needed = node.load.sheet.cutoff_volts if node.load else failure.volts_needed
        starving = (node.point, needed)
    at, needed = starving
    return Collapse(at, needed, share, tree.feed, _path_ohms(circuit, at))


def _path_ohms(circuit: Circuit, at: Point) -> float:
    """Loop ohms between a point and its feed. [ohm]"""
    place, i = circuit.network.where[at]
    numbers, ohms = circuit.trees[place], 0.0
    while i >= 0:
        ohms += numbers.ohms[i]
        i = numbers.parent[i]
    return ohms


def _points(study: Study, collapse: Collapse | None) -> Mapping[Point, PointPrediction]:
    job, network = study.job, study.network
    states = states_at(study.circuits["expected"], study.expected, study.cut, collapse)
    at_worst = states_at(study.circuits["low"], study.at_worst, study.cuts["low"], collapse)
    if_held = run(study.circuits["expected"], Conditions()) if study.cut else study.expected
    out = {}
    for box in job.boxes.values():
        for port in job.ports(box):
            point = Point(box.id, port)
            place = network.where.get(point)
            if place is None:
                out[point] = PointPrediction()
                continue
            tree = network.trees[place[0]]
            told = _told((study.worst, study.expected, study.best), point)
            if point in if_held.flows and point not in study.expected.flows:
                told = _if_held(if_held.flows[point])
            out[point] = PointPrediction(
                volts=told["volts"],
                amps=told["amps"],
                watts=told["watts"],
                pairs=tree.nodes[place[1]].pairs,
                state=states.get(point, "on"),
                at_worst=at_worst.get(point, "on"),
                feed=tree.feed,
            )
    return out


def _told(three: Three, point: Point) -> dict[str, Range]:
    """The ranges of a point; none where the expected job has no operating point there."""
    found = ranges(three, point)
    return found if point in three[1].flows else dict.fromkeys(found, NOTHING)


def _if_held(flow: Flow) -> dict[str, Range]:
    """What a point would show if its port held on: a figure to mend by, not a band."""
    return {name: Range(None, getattr(flow, name), None) for name in ("volts", "amps", "watts")}


def _span(study: Study, span: Span) -> SpanPrediction:
    job, network = study.job, study.network
    place = max(network.where.get(end, (-1, -1)) for end in (span.a, span.b))
    node = network.trees[place[0]].nodes[place[1]] if place[0] >= 0 else None
    node = node if node is not None and node.via == span else None
    pairs = node.pairs if node else span.pairs_carried
    low, expected, high = study.worst, study.expected, study.best
    rises = [one.rises.get(span.id, 0.0) for one in (high, expected, low)]
    return SpanPrediction(
        loop_ohms=Range(*(span_ohms(job, span, pairs, corner) * pairs for corner in CORNERS)),
        drop_volts=_drop(study, place) if node else NOTHING,
        celsius=Range(
            *(
                ambient_celsius(job, span, corner) + rise
                for corner, rise in zip(CORNERS, rises, strict=True)
            )
        ),
        rise=low.rises.get(span.id) if node else None,
        conductor_amps=_most_amps(study, place) if node else None,
    )


def _drop(study: Study, place: tuple[int, int]) -> Range:
    """Volts lost between the two ends of a node's edge: fewest in the best corner."""
    nodes = study.network.trees[place[0]].nodes
    here = nodes[place[1]]
    ends = [
        (one.flows.get(nodes[here.parent].point), one.flows.get(here.point))
        for one in (study.best, study.expected, study.worst)
    ]
    return Range(*(a.volts - b.volts if a and b else None for a, b in ends))


def _most_amps(study: Study, place: tuple[int, int]) -> float | None:
    """What one conductor carries at worst; the sets differ most where a section has few ohms."""
    tree = study.network.trees[place[0]]
    here = tree.nodes[place[1]]
    flow = study.worst.flows.get(here.point) or study.expected.flows.get(here.point)
    if flow is None:
        return None
    loop = sum(
        edge_ohms(study.job, node, tree.box.sheet, "high")
        for node in tree.nodes
        if node.section == here.section and node.via is not None
    )
    return conductor_amps(flow.amps, here.loop_pairs, loop)


def _sources(study: Study) -> Mapping[Point, SourcePrediction]:
    held = (study.worst, study.expected, study.best)
    somewhere = frozenset().union(*study.cuts.values())
    return {
        feed: SourcePrediction(
            _told(_asked(study, feed) if feed in somewhere else held, feed)["watts"],
            limit,
            lets_go=feed in study.cut,
        )
        for feed, limit in study.limits.items()
    }


def _asked(study: Study, feed: Point) -> Three:
    """What would flow if a port that lets go held on."""
    own = together(feed, study.limits)
    low, expected, high = (
        run(study.circuits[corner], Conditions(corner, cut=study.cuts[corner] - own))
        for corner in CORNERS
    )
    return low, expected, high
