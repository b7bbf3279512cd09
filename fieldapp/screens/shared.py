"""What several screens show: the ribbon, the wording of drawings, the steps' state in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from engine.job import Point
from engine.judge import Judgement
from engine.step import PHOTO, Step
from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.comfort import RUN_SECONDS
from fieldapp.drawing.ribbon import cores, ribbon
from fieldapp.drawing.run import RunLine
from fieldapp.finding import suspects
from fieldapp.messages import CopyPressed, Go, StepPressed, TakeBack
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.pressing import pressable
from fieldapp.questions import here
from fieldapp.routes import Place, route_of
from fieldapp.runline import run_length_m, run_line
from fieldapp.sending import Send
from fieldapp.window import UPRIGHT

SendAny = Callable[[Any], None]
Parts = tuple[list[ft.Control], list[ft.Control]]
"""what a screen shows, and what can be done at the thumb"""


def ribbon_of(
    model: Model,
    send: SendAny,
    look: Look,
    *,
    says: str = "",
    walk: tuple[str, str] | None = None,
) -> ft.Control:
    """The run on top of every job screen; a press on a stop goes to Run there.

    ``says`` stands at the right in place of when it was last kept; ``walk`` leads from a stop to
    another, dotted. Only an upright phone has it: a wide window shows the line itself, a lying one has no height.
    """
    if look.shape != UPRIGHT:
        return ft.Container(visible=False)
    job = model.open_job
    stop = here(model)
    line = run_line(job.judgement, stop, suspects=suspects(model, job.id, job.judgement))
    picture = ribbon(
        line,
        look.width,
        job.judgement.state.job.title,
        says or words.kept(job.kept),
        walk=walk,
        wording=words.WORDING,
        letters=look.scale,
    )

    def press(key: str) -> Send:
        box = next((one.id for one in line.boxes if one.stop == key), "")
        at = job.judgement.prediction.study.network.upstream_port(box) or Point(box, "")
        return Send(send, Go(route_of(Place("run", job.id, str(at)))))

    over = _covers(model, line, picture.width, look)
    return pressable(
        look,
        picture,
        speak_ribbon(line, run_length_m(job.judgement), stop),
        press,
        prefix="stop",
        over=over,
    )


def _covers(model: Model, line: RunLine, width: float, look: Look) -> list[ft.Control]:
    """What lies on copper that runs in: it draws back towards the end that was proven."""
    running = model.running
    if running is None:
        return []
    return [
        ft.Container(
            bgcolor=look.tokens[core.fill],
            width=0 if running.goes else core.w,
            height=core.h,
            right=width - core.x - core.w,
            top=core.y,
            animate=ft.Animation(int(1000 * RUN_SECONDS), ft.AnimationCurve.EASE_IN_OUT),
        )
        for core in cores(
            line, look.width, running.spans, wording=words.WORDING, letters=look.scale
        )
        if core.fill is not None
    ]


def broken_line(judgement: Judgement) -> str:
    """Why the line does not hold, for the falling line; empty where it does."""
    prediction = judgement.prediction
    collapse = prediction.collapse
    if collapse is not None:
        return words.collapse_line(str(collapse.at), collapse.volts_needed)
    for feed, source in prediction.sources.items():
        asked, most = source.watts.expected, source.limit.most
        if source.lets_go and asked is not None and most is not None:
            return words.lets_go_line(str(feed), asked, most)
    return ""


def speak_ribbon(line: RunLine, metres: float, stop: str) -> str:
    """The ribbon in words: how far it is proven, what is suspect, where one stands."""
    names = {one.id: one.name for one in line.stops}
    boxes = {one.id: one for one in line.boxes}
    proven = ""
    for span in line.spans:
        if span.state == "copper":
            proven = names.get(boxes[span.b].stop, "")
    suspect = tuple(span.id for span in line.spans if span.state == "striped")
    suspect += tuple(box.id for box in line.boxes if box.suspect)
    return words.speak_ribbon(metres, names.get(stop, ""), proven, suspect)


def step_route(model: Model, step: Step) -> str:
    """The Now page of one step."""
    return route_of(Place("now", model.open_job.id, step.id))


def kept_so_far(judgement: Judgement) -> str:
    """How many steps are done, and what is kept, in a line."""
    done = sum(step.state == "done" for step in judgement.steps)
    readings = sum(v.current for v in judgement.verdicts)
    photos = sum(len(names) for names in judgement.state.photos.values())
    return words.leave_summary(done, len(judgement.steps), readings, photos)


def short_of(model: Model, ident: str) -> str:
    """A step's name in a list, by its id."""
    found = next((step for step in model.open_job.judgement.steps if step.id == ident), None)
    return words.step(found.say).short if found else ""


def act_of(model: Model, step: Step) -> Any:
    """What pressing a step's slab does: log a reading, show the wires, or say it is done."""
    if step.wires and step.span is not None:
        return Go(route_of(Place("wires", model.open_job.id, step.span)))
    if step.kind == "reel" and step.span is not None:
        return Go(route_of(Place("reel", model.open_job.id, step.span)))
    if step.kind == "copy":
        return CopyPressed()
    if step.kind == "sign":
        return Go(route_of(Place("sign", model.open_job.id)))
    if step.asks is not None:
        return Go(route_of(Place("read", model.open_job.id, step.asks.at, step.asks.kind)))
    return StepPressed(step.id, "done")


def steps_button(model: Model, send: SendAny, look: Look) -> ft.Control:
    """The quiet way to all steps."""
    total = len(model.open_job.judgement.steps)
    route = route_of(Place("steps", model.open_job.id))
    press, short = Send(send, Go(route)), words.steps_short()
    return quiet(look, words.all_steps(total), press, key="all-steps", expand=True, short=short)


def strip(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What was just done, and the one press that takes it back."""
    if model.strip is None:
        return []
    return [
        ft.Row(
            [
                ft.Semantics(
                    content=text(look, words.sentence(model.strip.say), 17, cap=1.4, expand=True),
                    live_region=True,
                    expand=True,
                ),
                quiet(
                    look,
                    words.FIXED.take_back,
                    Send(send, TakeBack(model.strip.entry, model.strip.also)),
                    key="strip-undo",
                    height=56,
                ),
            ],
            spacing=8,
        )
    ]


def places(
    names: Sequence[str], press: Callable[[str], Any], send: SendAny, look: Look
) -> ft.Control:
    """A column of places, one press each."""
    return ft.Column(
        [
            quiet(
                look,
                words.point(at),
                Send(send, press(at)),
                key=f"point-{at}",
                width=look.width - 2 * MARGIN,
            )
            for at in names
        ],
        spacing=8,
    )


def conflict_lines(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Where two plans stand against each other; a press leads to where one chooses."""
    route = route_of(Place("leave", model.open_job.id))
    return [
        padded(
            quiet(
                look,
                words.plans_disagree(conflict.path),
                Send(send, Go(route)),
                key=f"conflict-{conflict.path}",
                width=look.width - 2 * MARGIN,
                height=56,
            ),
            top=4,
        )
        for conflict in model.open_job.judgement.state.conflicts
    ]


def slab_words(step: Step) -> str:
    """The slab of a step states what is true afterwards."""
    if step.wires and step.span is not None:
        return words.wires_slab(step.span)
    if step.kind == "reel" and step.span is not None:
        return words.reel_slab(step.span)
    if step.kind == "sign":
        return words.sign_title()
    if step.asks is not None and step.asks.kind == PHOTO:
        return words.take_photo()
    if step.asks is not None:
        return words.measure_at(step.asks.at, step.asks.kind)
    return words.step(step.say).after
