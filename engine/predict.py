"""What each box should show: bands of volts, amps and watts, links, and what the plan breaks."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from typing import Any

from attrs import evolve

from engine import rules
from engine.band import Corner
from engine.circuit import Circuit, ambient_celsius, edge_ohms, span_ohms, wire
from engine.headroom import first_to_starve, load_share, watts_to_spare
from engine.job import Job, Point, Span
from engine.limits import FeedLimit, feed_limits, over, together
from engine.links import find as find_links
from engine.network import Network, Node, Standing, Tree, build
from engine.operating import Conditions, Operating, run
from engine.pairs import conductor_amps
from engine.study import (
    NOTHING,
    Collapse,
    PointPrediction,
    Prediction,
    Progress,
    Range,
    Result,
    SourcePrediction,
    SpanPrediction,
    Study,
)

CORNERS: tuple[Corner, ...] = ("low", "expected", "high")
Three = tuple[Operating, Operating, Operating]
"""the low, expected and high corner"""


def finish(work: Generator[Any, None, Result]) -> Result:
    """Run long work to its end without looking at its progress."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            return end.value


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
    for count, name in enumerate(endpoints, start=1):
        if study.network.upstream_port(name):
            spare[name] = watts_to_spare(circuit, name)
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
    expected, cut = settle(circuits["expected"], limits, Conditions())
    at_worst, at_best = (
        run(circuits[corner], Conditions(corner, cut=cut)) for corner in ("low", "high")
    )
    return Study(
        job,
        network,
        circuits,
        limits,
        expected,
        worst=_comparable(network, expected, at_worst),
        best=_comparable(network, expected, at_best),
        at_worst=at_worst,
        cut=cut,
        links=find_links(job, network, {"expected": expected.rises, "high": at_worst.rises}),
    )


def settle(
    circuit: Circuit, limits: Mapping[Point, FeedLimit], conditions: Conditions
) -> tuple[Operating, frozenset[Point]]:
    """The operating point once every port that is asked for too much has let go.

    Ports farthest out go first: what is behind one that lets go no longer loads the others.
    """
    cut: frozenset[Point] = conditions.cut
    while True:
        operating = run(circuit, evolve(conditions, cut=cut))
        found = over(limits, operating)
        if not found:
            return operating, cut
        cut |= together(found[0], limits)


def ranges(operatings: Three, point: Point) -> dict[str, Range]:
    """Volts, amps and watts of a point from the low, expected and high corner.

    The corner of low volts is the one of high amps and watts.
    """
    low, expected, high = (one.flows.get(point) for one in operatings)

    def three(name: str, first, last) -> Range:
        return Range(*(getattr(f, name) if f else None for f in (first, expected, last)))

    return {
        "volts": three("volts", low, high),
        "amps": three("amps", high, low),
        "watts": three("watts", high, low),
    }


def while_reading(study: Study, standing: Standing, measured: Point) -> Three:
    """Low, expected and high solve that a reading is held against: with the load's swing in.

    ``*`` in the standing unplugs what is behind the point that was measured.
    """
    if standing.beyond is not None:
        standing = evolve(standing, beyond=measured)
    given = Conditions(swing=True, standing=standing)
    expected, cut = settle(study.circuits["expected"], study.limits, given)
    low, high = (
        run(study.circuits[corner], evolve(given, volts=corner, cut=cut))
        for corner in ("low", "high")
    )
    low, high = (_comparable(study.network, expected, corner) for corner in (low, high))
    return low, expected, high


def _comparable(network: Network, expected: Operating, corner: Operating) -> Operating:
    """A corner without the trees in which something switched against the expected job.

    A tree that fails in one of the two alone leaves its feed idle there, and lifts the volts
    in front of it: that is another state of the run, not the end of a band.
    """
    dark_expected, dark_here = _dark(expected), _dark(corner)
    switched = [tree for tree in network.trees if tree.feed in dark_expected ^ dark_here]
    in_front: set[Point] = set()
    while switched:
        tree = switched.pop()
        place = network.where.get(Point(tree.box.id, "in"))
        if tree.box.sheet.regenerates and place is not None:
            upstream = network.trees[place[0]]
            in_front |= {node.point for node in upstream.nodes}
            switched.append(upstream)
    flows = {point: flow for point, flow in corner.flows.items() if point not in in_front}
    return evolve(corner, flows=flows)


def _dark(operating: Operating) -> set[Point]:
    """Feeds behind which nothing runs."""
    return {tree.feed for tree, _ in operating.failed} | {tree.feed for tree in operating.off}


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
    states = _states(study, "expected", study.expected, study.cut, collapse)
    over_at_worst = frozenset(over(study.limits, study.at_worst))
    at_worst = _states(study, "low", study.at_worst, study.cut | over_at_worst, collapse)
    out = {}
    for box in job.boxes.values():
        for port in job.ports(box):
            point = Point(box.id, port)
            place = network.where.get(point)
            if place is None:
                out[point] = PointPrediction()
                continue
            tree = network.trees[place[0]]
            out[point] = PointPrediction(
                **_told((study.worst, study.expected, study.best), point),
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


def _states(
    study: Study,
    corner: Corner,
    operating: Operating,
    cut: frozenset[Point],
    collapse: Collapse | None,
) -> dict[Point, str]:
    """The state of every point that is not on at a corner."""
    network = study.network
    states: dict[Point, str] = {}
    for tree in (*operating.off, *(network.trees[network.where[feed][0]] for feed in cut)):
        for node in tree.nodes:
            states[node.point] = "cycling" if tree.feed in cut else "off"
    for tree, failure in operating.failed:
        start = failure.node
        if collapse and collapse.at in {node.point for node in tree.nodes}:
            start = network.where[collapse.at][1]
        behind = _behind(tree.nodes, start)
        restarts = _restarts(study.circuits[corner], tree, start)
        for i, node in enumerate(tree.nodes):
            states[node.point] = "off" if i in behind else restarts
    for tree in network.trees:  # upstream ones first: what hangs on a dark box is dark
        place = Point(tree.box.id, "in")
        if tree.box.sheet.regenerates and states.get(place, "on") != "on":
            states.update((node.point, "off") for node in tree.nodes)
    return states


def _behind(nodes: tuple[Node, ...], start: int) -> set[int]:
    inside = {start}
    for i, node in enumerate(nodes):
        if node.parent in inside:
            inside.add(i)
    return inside - {start}


def _restarts(circuit: Circuit, tree: Tree, start: int) -> str:
    """``cycling`` when the starving box sees its turn-on volts as long as it draws nothing."""
    node = tree.nodes[start]
    if node.load is None:
        return "starved"
    standing = Standing(beyond=node.point)
    idle = run(circuit, Conditions(circuit.corner, standing=standing, hold_cutoffs=False))
    flow = idle.flows.get(node.point)
    return "cycling" if flow and flow.volts >= node.load.sheet.on_volts else "starved"


def _span(study: Study, span: Span) -> SpanPrediction:
    job, network = study.job, study.network
    place = max(network.where.get(end, (-1, -1)) for end in (span.a, span.b))
    node = network.trees[place[0]].nodes[place[1]] if place[0] >= 0 else None
    powered = node is not None and node.via == span
    pairs = node.pairs if powered else span.pairs_carried
    low, expected, high = study.worst, study.expected, study.best
    rises = [one.rises.get(span.id, 0.0) for one in (high, expected, low)]
    return SpanPrediction(
        loop_ohms=Range(*(span_ohms(job, span, pairs, corner) * pairs for corner in CORNERS)),
        drop_volts=_drop(study, place) if powered else NOTHING,
        celsius=Range(
            *(
                ambient_celsius(job, span, corner) + rise
                for corner, rise in zip(CORNERS, rises, strict=True)
            )
        ),
        rise=low.rises.get(span.id) if powered else None,
        conductor_amps=_most_amps(study, place) if powered else None,
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
    flow = study.worst.flows.get(here.point)
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
    return {
        feed: SourcePrediction(
            _told(_asked(study, feed) if feed in study.cut else held, feed)["watts"],
            limit,
            lets_go=feed in study.cut,
        )
        for feed, limit in study.limits.items()
    }


def _asked(study: Study, feed: Point) -> Three:
    """What would flow if a port that lets go held on."""
    cut = study.cut - together(feed, study.limits)
    low, expected, high = (
        run(study.circuits[corner], Conditions(corner, cut=cut)) for corner in CORNERS
    )
    return low, expected, high
