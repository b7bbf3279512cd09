"""What each box should show: bands of volts, amps and watts, links, and what the plan breaks."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from typing import Any

from attrs import evolve

from engine import rules
from engine.job import Job, Point
from engine.links import find as find_links
from engine.network import Network, Node, Standing, Tree, build
from engine.operating import (
    EXPECTED,
    Conditions,
    Operating,
    first_to_starve,
    load_share,
    operate,
    watts_to_spare,
)
from engine.standards.power import granted_watts
from engine.study import (
    NOTHING,
    Collapse,
    PointPrediction,
    Prediction,
    Progress,
    Range,
    Result,
    SourcePrediction,
    Study,
)


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
    network = build(job)
    expected = operate(job, network, EXPECTED)
    study = Study(
        job,
        network,
        expected,
        worst=_comparable(network, expected, operate(job, network, Conditions("low"))),
        best=_comparable(network, expected, operate(job, network, Conditions("high"))),
        links=find_links(job, network),
    )
    yield 0.2
    fed = bool(network.trees)
    share = load_share(job, network) if fed else None
    yield 0.5
    endpoints = [box.id for box in job.boxes.values() if box.kind == "endpoint"]
    spare = {}
    for count, name in enumerate(endpoints, start=1):
        if network.upstream_port(name):
            spare[name] = watts_to_spare(job, network, name)
        yield 0.5 + 0.4 * count / len(endpoints)
    collapse = _collapse(study, share)
    prediction = Prediction(
        job,
        study,
        points=_points(study, collapse),
        sources=_sources(study),
        load_share=share,
        watts_to_spare=spare,
        collapse=collapse,
    )
    return evolve(prediction, findings=rules.findings(prediction))


def ranges(operatings: tuple[Operating, Operating, Operating], point: Point) -> dict[str, Range]:
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


def while_reading(
    study: Study, standing: Standing, measured: Point
) -> tuple[Operating, Operating, Operating]:
    """Low, expected and high solve that a reading is held against: with the load's swing in.

    ``*`` in the standing unplugs what is behind the point that was measured.
    """
    if standing.beyond is not None:
        standing = evolve(standing, beyond=measured)
    low, expected, high = (
        operate(study.job, study.network, Conditions(corner, swing=True, standing=standing))
        for corner in ("low", "expected", "high")
    )
    low, high = (_comparable(study.network, expected, corner) for corner in (low, high))
    return low, expected, high


def _comparable(network: Network, expected: Operating, corner: Operating) -> Operating:
    """A corner without the trees in which something switched that runs in the expected job.

    A tree that fails in the corner alone leaves its feed idle, and lifts the volts in front
    of it: that is another state of the run, not the end of a band.
    """
    failed = {tree.feed for tree, _ in expected.failed} | {tree.feed for tree in expected.off}
    switched = [tree for tree, _ in corner.failed if tree.feed not in failed]
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


def _collapse(study: Study, share: float | None) -> Collapse | None:
    if study.expected.holds or share is None:
        return None
    tree, failure = study.expected.failed[0]
    starving = first_to_starve(study.job, study.network, share * (1 - 1e-6)) if share else None
    if starving is None or starving[0] not in {node.point for node in tree.nodes}:
        node = tree.nodes[failure.node]
        needed = node.load.sheet.cutoff_volts if node.load else failure.volts_needed
        starving = (node.point, needed)
    return Collapse(starving[0], starving[1], share)


def _points(study: Study, collapse: Collapse | None) -> Mapping[Point, PointPrediction]:
    job, network = study.job, study.network
    states = _states(study, collapse)
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
                **_told(study, point),
                pairs=tree.nodes[place[1]].pairs,
                state=states.get(point, "on"),
                feed=tree.feed,
            )
    return out


def _told(study: Study, point: Point) -> dict[str, Range]:
    """The ranges of a point; none where the expected job has no operating point there."""
    found = ranges((study.worst, study.expected, study.best), point)
    return found if point in study.expected.flows else dict.fromkeys(found, NOTHING)


def _states(study: Study, collapse: Collapse | None) -> dict[Point, str]:
    """The state of every point that has no operating point in the expected job."""
    states = {node.point: "off" for tree in study.expected.off for node in tree.nodes}
    for tree, failure in study.expected.failed:
        start = failure.node
        if collapse and collapse.at in {node.point for node in tree.nodes}:
            start = study.network.where[collapse.at][1]
        behind = _behind(tree.nodes, start)
        restarts = _restarts(study, tree, start)
        for i, node in enumerate(tree.nodes):
            states[node.point] = "off" if i in behind else restarts
    return states


def _behind(nodes: tuple[Node, ...], start: int) -> set[int]:
    inside = {start}
    for i, node in enumerate(nodes):
        if node.parent in inside:
            inside.add(i)
    return inside - {start}


def _restarts(study: Study, tree: Tree, start: int) -> str:
    """``cycling`` when the starving box sees its turn-on volts as long as it draws nothing."""
    node = tree.nodes[start]
    if node.load is None:
        return "starved"
    standing = Standing(beyond=node.point)
    idle = operate(study.job, study.network, Conditions(standing=standing, hold_cutoffs=False))
    flow = idle.flows.get(node.point)
    return "cycling" if flow and flow.volts >= node.load.sheet.on_volts else "starved"


def _sources(study: Study) -> Mapping[Point, SourcePrediction]:
    out = {}
    for tree in study.network.trees:
        sheet = tree.box.sheet
        first = next(
            (node.load for node in tree.nodes if node.load and node.load.sheet.class_ is not None),
            None,
        )
        by_class = sheet.grants == "by-class" or (sheet.grants is None and sheet.kind == "source")
        out[tree.feed] = SourcePrediction(
            watts=_told(study, tree.feed)["watts"],
            limit_watts=sheet.out_watts_max if sheet.regenerates else sheet.watts_max,
            granted_watts=granted_watts(first.sheet.class_) if first and by_class else None,
            answers=first.id if first and by_class else None,
            probes=by_class,
        )
    return out
