"""Steps of the cable: pulled, its marks read, its ends made, its pairs measured."""

from __future__ import annotations

from collections.abc import Iterator

from engine.rules.wiring import cable_runs
from engine.say import say
from engine.step import Asks
from engine.steps.rule import Found, Rule, at_far_end, long_spans, outer
from engine.study import Prediction


def _pull(prediction: Prediction) -> Iterator[Found]:
    job = prediction.job
    for span in long_spans(job):
        end = outer(prediction, span)
        near, far = job.boxes[span.far(end).box].stop, job.boxes[end.box].stop
        yield at_far_end(
            prediction,
            span,
            say(
                "step-pull",
                span=span.id,
                length_m=span.length_m.expected,
                near=job.stops[near].name,
                far=job.stops[far].name,
                outdoor=job.is_exposed(span),
            ),
        )


def _marks(prediction: Prediction) -> Iterator[Found]:
    """The mark at the near end was written down when the pull began."""
    for span in long_spans(prediction.job):
        words = say("step-marks", span=span.id, length_m=span.length_m.expected)
        yield at_far_end(prediction, span, words, asks=Asks(span.id, "metres"))


def _terminate(prediction: Prediction) -> Iterator[Found]:
    for span in long_spans(prediction.job):
        yield at_far_end(prediction, span, say("step-terminate", span=span.id))


def _pairs(prediction: Prediction) -> Iterator[Found]:
    for span in long_spans(prediction.job):
        words = say("step-pairs", span=span.id)
        yield at_far_end(prediction, span, words, asks=Asks(span.id, "loop_ohms"))


def _screens(prediction: Prediction) -> Iterator[Found]:
    """A screen from one named building to another joins their earths. Looked at through joints;
    without a screen nothing is joined."""
    job = prediction.job
    for run in cable_runs(job, lambda span: span.cable.screened):
        stops = [job.stops[job.boxes[end.box].stop] for end in run.ends]
        if len({stop.building for stop in stops} - {None}) < 2:
            continue
        spans = [job.spans[name] for name in run.spans]
        if not all(span.cable.screened for span in spans):
            continue
        there, here = sorted(run.ends, key=lambda end: prediction.study.network.where.get(end, ()))
        span = next(span for span in spans if here in (span.a, span.b))
        names = [job.stops[job.boxes[end.box].stop] for end in (here, there)]
        yield Found(
            span.id,
            names[0].id,
            say("step-screens", span=span.id, here=names[0].name, there=names[1].name),
            span=span.id,
            rests_on=tuple(f"pull.{one.id}" for one in long_spans(job) if one in spans),
        )


RULES = (
    Rule(
        "pull",
        "pull",
        "dead",
        30,
        _pull,
        ("off@all", "reel@own"),
        needs=("partner",),
        both_ends=True,
    ),
    Rule("marks", "pull", "any", 2, _marks, ("pull@own",)),
    Rule("terminate", "pull", "dead", 12, _terminate, ("pull@own",), both_ends=True, wires=True),
    Rule(
        "pairs",
        "pull",
        "dead",
        8,
        _pairs,
        ("terminate@own",),
        needs=("far-end short",),
        both_ends=True,
    ),
    Rule("screens", "fit", "dead", 3, _screens, ("off@all",)),
)
