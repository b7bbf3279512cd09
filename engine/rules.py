"""Design rules as a table: each a small function that looks at a study and names what breaks.

Severity follows the job format, section 4: what the job's own sheets say, and common
practice, may stop a job; a limit known only from memory warns at most.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from attrs import frozen

from engine.job import Job, Point
from engine.links import FACING_PASSES, next_port
from engine.operating import Conditions, operate
from engine.say import Say, say
from engine.study import Finding, Prediction


@frozen
class Rule:
    """One rule: its id in the contract, what it rests on, and the check.

    ``check`` yields (place, severity, what is to be said).
    """

    id: str
    source: str
    check: Callable[[Prediction], Iterator[tuple[str, str, Say]]]


def findings(prediction: Prediction) -> tuple[Finding, ...]:
    """Everything the plan breaks, in the order of the table, stops first."""
    found = [
        Finding(rule.id, at, severity, what)
        for rule in RULES
        for at, severity, what in rule.check(prediction)
    ]
    order = {"stop": 0, "warn": 1, "note": 2}
    return tuple(sorted(found, key=lambda finding: order[finding.severity]))


def _feed(prediction: Prediction):
    for box in prediction.study.network.unfed:
        yield box, "stop", say("feed", box=box)


def _feed_twice(prediction: Prediction):
    for box, first, second in prediction.study.network.twice:
        yield box, "stop", say("feed-twice", box=box, first=str(first), second=str(second))


def _orientation(prediction: Prediction):
    """Boxes to be turned round. A port that only meets a turned box is not accused with it."""
    job = prediction.job
    wrong: dict[str, list[Say]] = {}
    for box in job.boxes.values():
        found = [wrong_facing(job, prediction, Point(box.id, port)) for port in job.ports(box)]
        wrong[box.id] = [one for one in found if one is not None]
    for name, found in wrong.items():
        for one in found:
            other = Point.parse(one.parts["meets"]).box if one.parts["meets"] else None
            if other is None or len(wrong[other]) <= len(found):
                yield name, "stop", one
                break


def wrong_facing(job: Job, prediction: Prediction, point: Point) -> Say | None:
    """What is wrong with what a port meets, or None."""
    box = job.boxes[point.box]
    wants = box.sheet.faces(point.port)
    if wants in ("any", "exposed"):
        return None
    if wants in ("source", "endpoint"):
        first = prediction.study.network.upstream_port(box.id)
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


def _arrestor_facing(prediction: Prediction):
    job = prediction.job
    for box in job.boxes.values():
        if box.kind != "arrestor":
            continue
        outward = [p for p in job.ports(box) if box.sheet.faces(p) == "exposed"]
        inward = [p for p in job.ports(box) if p not in outward]
        if any(_exposed(job, box.id, port) for port in outward):
            continue
        back = next((port for port in inward if _exposed(job, box.id, port)), None)
        if outward and back:
            span = job.span_at(Point(box.id, back))
            yield box.id, "stop", say("arrestor-facing", box=box.id, port=outward[0], span=span.id)


def _exposed(job: Job, box: str, port: str) -> bool:
    span = job.span_at(Point(box, port))
    return span is not None and job.is_exposed(span)


def _bond(prediction: Prediction):
    for box in prediction.job.boxes.values():
        if box.kind == "arrestor" and box.bond is None:
            yield box.id, "stop", say("bond", box=box.id)


def _volts_low(prediction: Prediction):
    """Boxes under their cut-off where the wires alone would still hold a voltage."""
    study = prediction.study
    told: set[Point] = set()
    for corner, held, severity in (
        ("expected", study.expected, "stop"),
        ("low", study.worst, "warn"),
    ):
        if held.holds:
            continue
        wires = operate(study.job, study.network, Conditions(corner, hold_cutoffs=False))
        for point, box in _loads(prediction):
            flow, cutoff = wires.flows.get(point), box.sheet.cutoff_volts
            if flow is not None and flow.volts < cutoff and point not in told:
                told.add(point)
                at = str(point)
                yield at, severity, say("volts-low", at=at, volts=flow.volts, cutoff=cutoff)


def _loads(prediction: Prediction):
    for tree in prediction.study.network.trees:
        for node in tree.nodes:
            if node.load is not None:
                yield node.point, node.load


def _collapse(prediction: Prediction):
    collapse = prediction.collapse
    if collapse is not None:
        at = str(collapse.at)
        yield (
            at,
            "stop",
            say("collapse", at=at, volts=collapse.volts_needed, share=collapse.load_share),
        )


def _collapse_worst(prediction: Prediction):
    study = prediction.study
    if not study.expected.holds:
        return
    for tree, failure in study.worst.failed:
        at = str(_loaded(tree, failure.node))
        yield at, "warn", say("collapse-worst", at=at, feed=str(tree.feed))


def _loaded(tree, start: int) -> Point:
    """The box with a load nearest a node that cannot be held: a joint does not starve."""
    behind = {start}
    for i, node in enumerate(tree.nodes):
        if node.parent in behind:
            behind.add(i)
        if i in behind and node.load is not None:
            return node.point
    i = start
    while tree.nodes[i].load is None and tree.nodes[i].parent >= 0:
        i = tree.nodes[i].parent
    return tree.nodes[i].point


def _speed_mismatch(prediction: Prediction):
    """Ends that share no speed, or only ones that the pairs or a box between cannot carry."""
    for link in prediction.links:
        if not (link.start_speeds and link.end_speeds) or link.expected_mbps:
            continue
        at, far = str(link.start), str(link.end)
        if not link.shared:
            parts = {"mbps": link.start_speeds, "far_mbps": link.end_speeds}
            yield at, "stop", say("speed-mismatch", at=at, far=far, **parts)
        elif "reach" not in link.limits.values():
            yield (
                at,
                "stop",
                say("speed-unfit", at=at, far=far, mbps=link.shared, pairs=link.pairs),
            )


def _reach(prediction: Prediction):
    for link in prediction.links:
        at = str(link.start)
        parts = {"at": at, "far": str(link.end), "length_m": link.length_m}
        too_far = [speed for speed, why in link.limits.items() if why == "reach"]
        if too_far:
            yield at, "stop", say("reach-stated", mbps=max(too_far), **parts)
        elif not link.assured:
            yield at, "warn", say("reach-ordinary", mbps=link.expected_mbps, **parts)


def _assumed(prediction: Prediction):
    for one in prediction.job.assumed:
        yield (
            f"{one.at}.{one.quantity}",
            "note",
            say("assumed", quantity=one.quantity, of=one.of, taken=one.default.says),
        )


_SHEETS = "the job's own sheets"
_FORMAT = "job format, sections 1 and 4"
_PRACTICE = "common practice"

RULES: tuple[Rule, ...] = (
    Rule("feed", _FORMAT, _feed),
    Rule("feed-twice", _FORMAT, _feed_twice),
    Rule("orientation", _SHEETS, _orientation),
    Rule("arrestor-facing", _PRACTICE, _arrestor_facing),
    Rule("bond", _PRACTICE, _bond),
    Rule("speed-mismatch", "IEEE 802.3 clause 28: no mode in common, no link", _speed_mismatch),
    Rule("reach", "the port's sheet; else ISO/IEC 11801 and TIA-568: 100 m", _reach),
    Rule("collapse", "circuit theory; the boxes' cut-offs from their sheets", _collapse),
    Rule(
        "collapse-worst", "circuit theory; the boxes' cut-offs from their sheets", _collapse_worst
    ),
    Rule("volts-low", _SHEETS, _volts_low),
    Rule("assumed", _FORMAT, _assumed),
)
