"""The work as a careful installer does it, derived from the plan: one row a rule.

A rule looks at the plan and yields the steps it calls for. Its row says in which part of
the work they come, whether the run must be switched off, their minutes, what they rest on
and whether an open one forbids leaving. All ``common practice``; local codes and licensed
people rule for earthing, mains and height.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Set

from attrs import evolve, frozen

from engine.job import Box, Job, Point, Span
from engine.log import State, StepMark
from engine.route import in_order
from engine.say import say
from engine.standards.surge import lead_volts
from engine.step import Asks, Step
from engine.study import Prediction


@frozen
class Rule:
    """One row: the steps a plan calls for, and what they rest on (``kind@scope``)."""

    kind: str
    part: str
    power: str
    minutes: float
    find: Callable[[State, Prediction], Iterator[dict]]
    rests_on: tuple[str, ...] = ()
    holds: str | None = None


def derive(
    state: State, prediction: Prediction, read: Set[tuple[str, str]] | None = None
) -> tuple[Step, ...]:
    """All steps of a job in the order to be done, each with its state from the log.

    ``read``: place and kind of every current reading of the plan as it is, where they are
    known already.
    """
    steps = [
        Step(
            id=f"{rule.kind}.{found.pop('of')}",
            part=rule.part,
            power=rule.power,
            minutes=rule.minutes,
            holds=rule.holds,
            after=(*rule.rests_on, *found.pop("rests_on", ())),
            **found,
        )
        for rule in RULES
        for found in rule.find(state, prediction)
    ]
    along = {str(point): i for i, point in enumerate(prediction.study.network.where)}
    row = {rule.kind: i for i, rule in enumerate(RULES)}
    steps = {step.id: step for step in in_order(state.job, along, row, _resolve(steps))}
    if read is None:
        current = (reading for reading in state.readings if reading.id in state.current)
        read = {(one.at, one.kind) for one in current if one.standing.as_planned}
    return tuple(_with_state(state, step, steps, read) for step in steps.values())


# ---------------------------------------------------------------- the rules' findings


def _feeds(state: State, prediction: Prediction) -> Iterator[Box]:
    return (box for box in state.job.boxes.values() if box.sheet.facts.feeds)


def _long_spans(job: Job) -> Iterator[Span]:
    """Spans that are pulled: those that leave one stop for another."""
    for span in job.spans.values():
        if job.boxes[span.a.box].stop != job.boxes[span.b.box].stop:
            yield span


def _outer(job: Job, prediction: Prediction, span: Span) -> Point:
    """The end of a span that lies farther from the feed."""
    where = prediction.study.network.where
    return max((span.a, span.b), key=lambda end: where.get(end, (0, 0)))


def _at_site(code: str) -> Callable:
    def find(state: State, prediction: Prediction):
        if state.job.stops:
            first = min(state.job.stops.values(), key=lambda stop: (stop.at_m, stop.id))
            yield {"of": "site", "stop": first.id, "say": say(code)}

    return find


def _feed(state, prediction):
    for box in _feeds(state, prediction):
        source = prediction.sources.get(Point(box.id, box.sheet.facts.feeds))
        yield {
            "of": box.id,
            "stop": box.stop,
            "box": box.id,
            "say": say(
                "step-feed",
                box=box.id,
                name=box.name,
                volts=box.sheet.volts.expected,
                granted=source.limit.granted_watts if source else None,
            ),
        }


def _off(state, prediction):
    for box in _feeds(state, prediction):
        yield {"of": box.id, "stop": box.stop, "box": box.id, "say": say("step-off", box=box.id)}


def _pull(state, prediction):
    job = state.job
    for span in _long_spans(job):
        end = _outer(job, prediction, span)
        near, far = job.boxes[span.far(end).box].stop, job.boxes[end.box].stop
        yield {
            "of": span.id,
            "stop": far,
            "span": span.id,
            "both_ends": True,
            "say": say(
                "step-pull",
                span=span.id,
                length_m=span.length_m.expected,
                near=job.stops[near].name,
                far=job.stops[far].name,
                outdoor=job.is_exposed(span),
            ),
        }


def _terminate(state, prediction):
    for span in _long_spans(state.job):
        end = _outer(state.job, prediction, span)
        yield {
            "of": span.id,
            "stop": state.job.boxes[end.box].stop,
            "span": span.id,
            "both_ends": True,
            "say": say("step-terminate", span=span.id),
        }


def _pairs(state, prediction):
    for span in _long_spans(state.job):
        end = _outer(state.job, prediction, span)
        yield {
            "of": span.id,
            "stop": state.job.boxes[end.box].stop,
            "span": span.id,
            "both_ends": True,
            "asks": Asks(span.id, "loop_ohms"),
            "say": say("step-pairs", span=span.id),
        }


def _sheet(state, prediction):
    for box in state.job.boxes.values():
        if box.sheet.facts.active:
            yield {
                "of": box.id,
                "stop": box.stop,
                "box": box.id,
                "say": say("step-sheet", box=box.id, title=box.sheet.title or box.sheet.id),
            }


def _speeds(state, prediction):
    for link in prediction.links:
        gigabit_only = [
            str(end)
            for end, listed in ((link.start, link.start_speeds), (link.end, link.end_speeds))
            if listed == (1000,)
        ]
        yield {
            "of": str(link.end),
            "stop": state.job.boxes[link.end.box].stop,
            "box": link.end.box,
            "say": say(
                "step-speeds",
                start=str(link.start),
                start_mbps=link.start_speeds,
                end=str(link.end),
                end_mbps=link.end_speeds,
                gigabit_only=tuple(gigabit_only),
            ),
        }


def _bond(state, prediction):
    for box in state.job.boxes.values():
        if box.kind == "arrestor":
            bond = box.bond
            yield {
                "of": box.id,
                "stop": box.stop,
                "box": box.id,
                "say": say(
                    "step-bond",
                    box=box.id,
                    earth=bond.to if bond else None,
                    lead_m=bond.lead_m if bond else None,
                    mm2=bond.mm2 if bond else None,
                    volts=lead_volts(bond.lead_m) if bond and bond.lead_m else None,
                ),
            }


def _earth(state, prediction):
    leads: dict[str, list[str]] = {}
    for box in state.job.boxes.values():
        if box.bond and box.kind == "arrestor":
            leads.setdefault(box.bond.to, []).append(f"bond.{box.id}")
    for earth in state.job.earths.values():
        if earth.id in leads:
            yield {
                "of": earth.id,
                "stop": earth.stop,
                "rests_on": tuple(leads[earth.id]),
                "asks": Asks(earth.id, "earth_ohms"),
                "say": say("step-earth", earth=earth.id, target=earth.target_ohms),
            }


def _fit(state, prediction):
    """Every box between feed and endpoint, each port with what it goes to."""
    job = state.job
    for box in job.boxes.values():
        if box.kind in ("source", "endpoint"):
            continue
        ports = []
        for port in job.ports(box):
            span = job.span_at(Point(box.id, port))
            if span is not None:
                far = span.far(Point(box.id, port))
                ports.append((port, box.sheet.faces(port), str(far), span.id))
        yield {
            "of": box.id,
            "stop": box.stop,
            "box": box.id,
            "say": say(
                "step-fit", box=box.id, kind=box.kind, ports=tuple(sorted(ports, key=_telling))
            ),
        }


_TELLING = ("exposed", "long-span", "source", "endpoint", "equipment", "any")


def _telling(port: tuple) -> int:
    """The port whose side matters most comes first in the sentence."""
    return _TELLING.index(port[1])


def _mount(state, prediction):
    for box in _endpoints(state.job):
        yield {
            "of": box.id,
            "stop": box.stop,
            "box": box.id,
            "say": say("step-mount", box=box.id, name=box.name),
        }


def _endpoints(job: Job) -> Iterator[Box]:
    return (box for box in job.boxes.values() if box.kind == "endpoint")


def _energise(state, prediction):
    for box in _feeds(state, prediction):
        yield {
            "of": box.id,
            "stop": box.stop,
            "box": box.id,
            "say": say("step-energise", box=box.id),
        }


def _volts(state, prediction):
    for point in measured_points(state.job, prediction):
        yield {
            "of": str(point),
            "stop": state.job.boxes[point.box].stop,
            "box": point.box,
            "asks": Asks(str(point), "volts"),
            "say": say("step-volts", at=str(point)),
        }


def measured_points(job: Job, prediction: Prediction) -> Iterator[Point]:
    """The ports of active boxes that power reaches, from the source outwards."""
    for point in prediction.study.network.where:
        if job.boxes[point.box].sheet.facts.active and job.span_at(point) is not None:
            yield point


def _link(state, prediction):
    for link in prediction.links:
        yield {
            "of": str(link.end),
            "stop": state.job.boxes[link.end.box].stop,
            "box": link.end.box,
            "asks": Asks(str(link.end), "mbps"),
            "say": say("step-link", at=str(link.end), far=str(link.start)),
        }


def _full(state, prediction):
    for box in _endpoints(state.job):
        yield {
            "of": box.id,
            "stop": box.stop,
            "box": box.id,
            "say": say("step-full", box=box.id, watts=box.sheet.watts.high),
        }


def _cold(state, prediction):
    for box in _feeds(state, prediction):
        yield {"of": box.id, "stop": box.stop, "box": box.id, "say": say("step-cold", box=box.id)}


def _close(state, prediction):
    for stop in state.job.stops.values():
        inside = [box.id for box in state.job.boxes.values() if box.stop == stop.id]
        if inside and not stop.indoor:
            yield {
                "of": stop.id,
                "stop": stop.id,
                "say": say("step-close", stop=stop.name, boxes=tuple(inside)),
            }


def _labels(state, prediction):
    for stop in state.job.stops.values():
        if any(box.stop == stop.id for box in state.job.boxes.values()):
            yield {"of": stop.id, "stop": stop.id, "say": say("step-labels", stop=stop.name)}


RULES: tuple[Rule, ...] = (
    Rule("announce", "arrive", "any", 5, _at_site("step-announce")),
    Rule("meter", "arrive", "any", 3, _at_site("step-meter")),
    Rule("feed", "arrive", "any", 3, _feed, ("announce@all",), "self"),
    Rule("off", "off", "any", 2, _off, ("feed@own",)),
    Rule("pull", "pull", "dead", 30, _pull, ("off@all",)),
    Rule("terminate", "pull", "dead", 12, _terminate, ("pull@own",)),
    Rule("pairs", "pull", "dead", 8, _pairs, ("terminate@own",)),
    Rule("sheet", "fit", "any", 2, _sheet),
    Rule("speeds", "fit", "any", 1, _speeds, (), "self"),
    Rule("bond", "fit", "dead", 6, _bond, ("off@all",), "responsible"),
    Rule("earth", "fit", "dead", 6, _earth, (), "responsible"),
    Rule("fit", "fit", "dead", 4, _fit, ("bond@here", "off@all"), "self"),
    Rule("mount", "fit", "dead", 15, _mount),
    Rule("look", "look", "dead", 5, _at_site("step-look"), ("fit@all", "mount@all", "pairs@all")),
    Rule("energise", "power", "live", 2, _energise, ("look@all", "bond@all", "feed@own")),
    Rule("volts", "power", "live", 1, _volts, ("energise@all",), "self"),
    Rule("link", "power", "live", 1, _link, ("energise@all",), "self"),
    Rule("full", "load", "live", 15, _full, ("volts@all", "link@all"), "self"),
    Rule("cold", "load", "live", 6, _cold, ("full@all",), "self"),
    Rule("close", "leave", "any", 5, _close, ("full@all",)),
    Rule("labels", "leave", "any", 4, _labels, ("full@all",), "self"),
    Rule("take-back", "leave", "any", 4, _at_site("step-take-back"), ("full@all",), "self"),
)
"""what a step rests on: ``kind@own`` the one of its own thing, ``@here`` those at its stop, ``@all``"""


# ---------------------------------------------------------------- order and state


def _resolve(steps: list[Step]) -> list[Step]:
    """What a row says that a step rests on becomes the ids of the steps there are."""
    out = []
    for step in steps:
        of = step.id.partition(".")[2]
        after: list[str] = []
        for word in step.after:
            kind, _, scope = word.partition("@")
            if not scope:  # the rule named the step itself
                after.append(word)
                continue
            for other in steps:
                its_kind, _, its = other.id.partition(".")
                near = {"own": its == of, "here": other.stop == step.stop, "all": True}[scope]
                if its_kind == kind and near:
                    after.append(other.id)
        out.append(evolve(step, after=tuple(after)))
    return out


def _with_state(
    state: State, step: Step, steps: Mapping[str, Step], read: Set[tuple[str, str]]
) -> Step:
    mark = state.steps.get(step.id)
    if step.asks is not None:
        there = (step.asks.at, step.asks.kind) in read
        return evolve(step, state=_asked_state(there, mark))
    if mark is None or mark.state == "undone":
        return evolve(step, state="open")
    if step.id.startswith("take-back.") and mark.place < state.fitted:
        return evolve(step, state="open")  # a known load went in again since
    if mark.state == "done":
        reopened = _reopened(state, step, steps, mark.place)
        if reopened is not None:
            return evolve(step, state="open", reopened_by=reopened)
    return evolve(step, state=mark.state)


def _asked_state(there: bool, mark: StepMark | None) -> str:
    """Only a reading does a step that asks for one; it can be put aside all the same."""
    if there:
        return "done"
    return "not-here" if mark is not None and mark.state == "not-here" else "open"


def _reopened(state: State, step: Step, steps: Mapping[str, Step], since: int) -> str | None:
    """The step that was undone after this one was done, and on which it rests."""
    waiting, seen = list(step.after), set()
    while waiting:
        name = waiting.pop()
        if name in seen or name not in steps:
            continue
        seen.add(name)
        if state.undone.get(name, -1) > since:
            return name
        waiting.extend(steps[name].after)
    return None
