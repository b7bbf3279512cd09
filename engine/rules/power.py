"""Rules of power: volts that hold, what ports grant and bear, start-up, current and heat."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from attrs import frozen

from engine.band import Corner
from engine.job import Box, Point, Span
from engine.limits import ROUNDING, FeedLimit, together
from engine.network import Node
from engine.operating import Conditions, Operating, run
from engine.rules.rule import SHEETS, Broken, Rule
from engine.say import say
from engine.standards import heat, startup
from engine.standards.power import drawn_watts, granted_watts
from engine.states import starving
from engine.study import Prediction

EITHER: tuple[tuple[str, Corner], ...] = (("stop", "expected"), ("warn", "low"))
"""what the expected job breaks stops it; what only the worst corner breaks warns"""


def _at(prediction: Prediction, corner: Corner) -> Operating:
    study = prediction.study
    return study.expected if corner == "expected" else study.worst


def _loads(prediction: Prediction) -> Iterator[tuple[Node, Box]]:
    for tree in prediction.study.network.trees:
        for node in tree.nodes:
            if node.load is not None:
                yield node, node.load


# ---------------------------------------------------------------- volts


def _volts_low(prediction: Prediction) -> Broken:
    """Boxes under their cut-off where the wires alone would still hold a voltage."""
    study = prediction.study
    told: set[Point] = set()
    corners: tuple[tuple[Corner, Operating, str], ...] = (
        ("expected", study.expected, "stop"),
        ("low", study.at_worst, "warn"),
    )
    for corner, held, severity in corners:
        if held.holds:
            continue
        given = Conditions(corner, hold_cutoffs=False, cut=study.cuts[corner])
        wires = run(study.circuits[corner], given)
        for node, box in _loads(prediction):
            flow, cutoff = wires.flows.get(node.point), box.sheet.cutoff_volts
            if flow is not None and flow.volts < cutoff and node.point not in told:
                told.add(node.point)
                at = str(node.point)
                yield at, severity, say("volts-low", at=at, volts=flow.volts, cutoff=cutoff)


def _collapse(prediction: Prediction) -> Broken:
    collapse, study = prediction.collapse, prediction.study
    if collapse is not None:
        at = str(collapse.at)
        wires = run(study.circuits["expected"], Conditions(hold_cutoffs=False, cut=study.cut))
        seen = wires.flows.get(collapse.at)
        box = prediction.job.boxes[collapse.feed.box]
        parts = {
            "volts": collapse.volts_needed,
            "share": collapse.load_share,
            "feed": str(collapse.feed),
            "ohms": collapse.loop_ohms,
            "seen": seen.volts if seen else None,
            "idle": box.id if box.sheet.regenerates else None,
        }
        yield at, "stop", say("collapse", at=at, **parts)


def _collapse_worst(prediction: Prediction) -> Broken:
    study = prediction.study
    if not study.expected.holds:
        return
    for tree, failure in study.at_worst.failed:
        at = str(tree.nodes[starving(tree, failure.node)].point)
        yield at, "warn", say("collapse-worst", at=at, feed=str(tree.feed))


def _start_up(prediction: Prediction) -> Broken:
    """Each box, drawing nothing yet and all others on, must see its turn-on volts."""
    for node, box in _loads(prediction):
        at, needed = str(node.point), box.sheet.on_volts
        if prediction.points[node.point].state == "cycling" and _starves(prediction, node.point):
            yield at, "stop", say("start-up-cycling", at=at)
            continue
        for severity, corner in EITHER:
            volts = _idle_volts(prediction, node.point, box, corner)
            if volts is not None and volts < needed:
                yield at, severity, say("start-up", at=at, volts=volts, needed=needed)
                break


def _starves(prediction: Prediction, point: Point) -> bool:
    return prediction.collapse is not None and prediction.collapse.at == point


def _idle_volts(prediction: Prediction, point: Point, box: Box, corner: Corner) -> float | None:
    """Volts that a box sees before it draws; its loaded volts where those already suffice."""
    loaded = _at(prediction, corner).flows.get(point)
    if loaded is None or loaded.volts >= box.sheet.on_volts:
        return loaded.volts if loaded else None
    study = prediction.study
    idle = frozenset({box.id})
    given = Conditions(corner, hold_cutoffs=False, cut=study.cuts[corner], idle=idle)
    flow = run(study.circuits[corner], given).flows.get(point)
    return flow.volts if flow else None


# ---------------------------------------------------------------- what ports grant and bear


@frozen
class Asked:
    """Watts that a feed is asked for."""

    expected: float
    worst: float


def _asked(prediction: Prediction, feed: Point) -> Asked:
    """Watts that a feed is asked for, as expected and at worst; all outs of a box together.

    Where a corner has no operating point, at least what the boxes draw without any loss.
    """
    feeds = together(feed, prediction.study.limits)
    known = [prediction.sources[one].watts for one in feeds]
    drawn = [
        {corner: _drawn(prediction, one, corner) for corner in ("expected", "low")} for one in feeds
    ]

    def total(name: str, corner: Corner) -> float:
        found = [getattr(watts, name) for watts in known]
        return sum(least[corner] for least in drawn) if None in found else sum(found)

    return Asked(total("expected", "expected"), total("high", "low"))


def _drawn(prediction: Prediction, feed: Point, corner: Corner) -> float:
    """Watts that all boxes behind a feed draw, without the loss of the wires. [W]"""
    circuit = prediction.study.circuits[corner]
    network = circuit.network
    total = 0.0
    for node in network.trees[network.where[feed][0]].nodes:
        box = node.load
        if box is None:
            continue
        own = circuit.draws[box.id]
        if box.sheet.regenerates:
            outs = (tree.feed for tree in network.trees if tree.box.id == box.id)
            passed_on = sum(_drawn(prediction, out, corner) for out in outs)
            own = (own + passed_on) / circuit.efficiency[box.id]
        total += own
    return total


def _limits(prediction: Prediction) -> Iterator[tuple[str, FeedLimit, Asked]]:
    told: set[Point] = set()
    for feed, limit in prediction.study.limits.items():
        if feed not in told:
            told |= together(feed, prediction.study.limits)
            yield str(feed), limit, _asked(prediction, feed)


def _port_trip(prediction: Prediction) -> Broken:
    for at, limit, asked in _limits(prediction):
        if limit.exceeds_grant(asked.expected):
            yield at, "stop", say("port-trip", **_grant(at, limit, asked.expected))


def _grant(at: str, limit: FeedLimit, watts: float) -> dict[str, Any]:
    return {
        "at": at,
        "watts": watts,
        "granted": limit.granted_watts,
        "box": limit.answering.id if limit.answering else None,
        "class_": limit.asks_class,
    }


def _class(prediction: Prediction) -> Broken:
    """Grants that only the worst case exceeds, classes cut short, boxes above their class."""
    for at, limit, asked in _limits(prediction):
        if limit.granted_watts is None or limit.asks_class is None:
            continue
        if limit.exceeds_grant(asked.worst) and not limit.exceeds_grant(asked.expected):
            yield at, "warn", say("class-tight", **_grant(at, limit, asked.worst))
        elif limit.granted_watts < granted_watts(limit.asks_class):
            yield at, "warn", say("class-short", **_grant(at, limit, asked.expected))
    classified = {
        limit.answers.point for limit in prediction.study.limits.values() if limit.answers
    }
    for node, box in _loads(prediction):
        class_ = box.sheet.class_
        seen = node.point in classified or box.kind == "endpoint"
        if class_ is not None and seen:
            yield from _above_class(prediction, node, class_)


def _above_class(prediction: Prediction, node: Node, class_: int) -> Broken:
    at, most = str(node.point), drawn_watts(class_)
    for severity, corner in EITHER:
        flow = _at(prediction, corner).flows.get(node.point)
        if flow is not None and flow.watts > most * ROUNDING:
            parts = {"watts": flow.watts, "class_": class_, "most": most}
            yield at, severity, say("class-above", at=at, **parts)
            return


def _port_power(prediction: Prediction) -> Broken:
    for at, limit, asked in _limits(prediction):
        for severity, watts in (("stop", asked.expected), ("warn", asked.worst)):
            if limit.exceeds_limit(watts):
                yield at, severity, say("port-power", at=at, watts=watts, most=limit.limit_watts)
                break


def _class_far(prediction: Prediction) -> Broken:
    """Class 4 and above is not sure to be read through a long pair."""
    worst = prediction.study.circuits["low"]
    for at, limit, _ in _limits(prediction):
        first, box = limit.answers, limit.answering
        if first is None or box is None or limit.asks_class is None or limit.asks_class < 4:
            continue
        place, i = prediction.study.network.where[first.point]
        nodes, ohms = prediction.study.network.trees[place].nodes, 0.0
        while i > 0:
            ohms += worst.trees[place].ohms[i] * nodes[i].loop_pairs / 2
            i = nodes[i].parent
        if ohms > startup.CLASS_FAR_OHMS.value:
            class_ = limit.asks_class
            yield at, "warn", say("class-far", at=at, box=box.id, class_=class_, ohms=ohms)


def _keep_alive(prediction: Prediction) -> Broken:
    best = prediction.study.best
    for at, limit, _ in _limits(prediction):
        flow = best.flows.get(limit.feed)
        if limit.answers is None or flow is None:
            continue
        least = startup.keep_alive_amps(limit.asks_class)
        if flow.amps < least:
            yield at, "warn", say("keep-alive", at=at, amps=flow.amps, least=least)


def _budget(prediction: Prediction) -> Broken:
    job = prediction.job
    for budget in job.budgets.values():
        asked = [
            _asked(prediction, feed)
            for feed in prediction.sources
            if job.boxes[feed.box].budget == budget.id
        ]
        expected, worst = (
            sum(getattr(one, name) for one in asked) + budget.other_watts
            for name in ("expected", "worst")
        )
        for severity, watts in (("stop", expected), ("warn", worst)):
            if asked and watts > budget.watts:
                parts = {"watts": watts, "most": budget.watts}
                yield budget.id, severity, say("budget", budget=budget.id, **parts)
                break


# ---------------------------------------------------------------- current and heat


def _current(prediction: Prediction) -> Broken:
    """The span of each tree whose conductors carry the most, where that is beyond the limit."""
    for tree in prediction.study.network.trees:
        found = []
        for node in tree.nodes:
            if not isinstance(node.via, Span):
                continue
            amps = prediction.spans[node.via.id].conductor_amps
            if amps:
                most = heat.conductor_amps_limit(node.loop_pairs).value
                found.append((amps / most, amps, most, node.via.id))
        if found and max(found)[0] > 1:
            _, amps, most, span = max(found)
            yield span, "warn", say("current", span=span, amps=amps, most=most)


def _heat(prediction: Prediction) -> Broken:
    """Conductors beyond their rating, or a bundle that warms more than is recommended."""
    for name, span in prediction.spans.items():
        celsius, rise = span.celsius.high, span.rise or 0.0
        if celsius is not None and celsius > heat.RATED_CELSIUS.value:
            parts = {"celsius": celsius, "most": heat.RATED_CELSIUS.value}
            yield name, "warn", say("heat", span=name, **parts)
        elif rise > heat.RISE_MOST.value:
            yield name, "warn", say("heat-bundle", span=name, rise=rise, most=heat.RISE_MOST.value)


_CIRCUIT = "circuit theory; the boxes' cut-offs from their sheets"
_CLASSES = "IEEE 802.3 clauses 33 and 145: what a class is granted and may draw"

RULES = (
    Rule("collapse", _CIRCUIT, _collapse),
    Rule("volts-low", SHEETS, _volts_low),
    Rule("start-up", SHEETS, _start_up),
    Rule("port-trip", f"{_CLASSES}; common practice", _port_trip),
    Rule("port-power", SHEETS, _port_power),
    Rule("budget", SHEETS, _budget),
    Rule("class", _CLASSES, _class),
    Rule("collapse-worst", _CIRCUIT, _collapse_worst),
    Rule("class-far", "IEEE 802.3 class volts and currents", _class_far, (startup.CLASS_FAR_OHMS,)),
    Rule("keep-alive", "IEEE 802.3: least current that keeps a port on", _keep_alive),
    Rule("current", "ISO/IEC TS 29125, IEC 60364-7-716", _current),
    Rule("heat", "cable ratings; TIA guidance", _heat, (heat.RATED_CELSIUS, heat.RISE_MOST)),
)
