"""The value that is tried, under the thumb: its figure between two steps, and the ruler that is dragged."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import flet as ft

from fieldapp import words
from fieldapp.buttons import cut, half
from fieldapp.drawing.arrow import stepper
from fieldapp.drawing.slider import Ruler, ruler_over, slider, stepped
from fieldapp.knobs import GAUGE, Knob, allowed
from fieldapp.messages import (
    TrialMoved,
    TrialPad,
    TrialStepped,
)
from fieldapp.model import Model
from fieldapp.paint import GAP, Look, canvas
from fieldapp.parts import padded, text
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.trial import (
    Edge,
    edge,
    ends_of,
    gauges_of,
    knob_of,
    outcome,
    plan_of,
    planned_value,
    solved,
    trial_of,
)
from fieldapp.words import units

DRAG_MS = 24
"""between two events of a drag: a prediction and a picture take less"""
STEPPER = 58.0


def moving(model: Model, value: float, send: SendAny, look: Look) -> list[ft.Control]:
    """The value between its two steps over its ruler; of a cable its gauges."""
    knob = knob_of(model)
    if knob is None:
        return [_gauges(model, value, send, look)]
    job, thing = model.open_job.judgement.state.job, trial_of(model).thing
    plan = planned_value(model)
    assert plan is not None  # it has one where there is something to move
    last = edge(model.open_job.judgement, knob, thing)
    least, most = allowed(job, knob, thing)
    steps = [
        _stepper(way, min(max(stepped(value, knob.step, by), least), most), by, knob, send, look)
        for way, by in (("left", -1), ("right", 1))
    ]
    shown = words.tried_value(value, knob.kind)
    inside = ft.Column(
        [
            text(look, shown, 44, face="TM", cap=1.15, max_lines=1),
            text(look, words.tried_apart(value - plan, knob.kind), 16, "soft", "P", cap=1.2),
        ],
        spacing=0,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )
    face = ft.Button(
        key="trial-type",
        content=ft.Semantics(
            label=words.tried_type(shown),
            exclude_semantics=True,
            content=ft.Row([inside], alignment=ft.MainAxisAlignment.CENTER),
        ),
        on_click=Send(send, TrialPad(True)),
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ground"],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=ft.Padding.symmetric(vertical=4),
            shape=cut(10, ft.BorderSide(1.5, look.tokens["ink"])),
        ),
        expand=True,
    )
    row = ft.Row(
        [steps[0], face, steps[1]],
        spacing=GAP,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return [padded(row), _slider(value, plan, last, knob, send, look)]


def _stepper(way: str, to: float, by: int, knob: Knob, send: SendAny, look: Look) -> ft.Control:
    shown = words.tried_value(to, knob.kind)
    return ft.Button(
        key=f"trial-{way}",
        content=ft.Semantics(
            label=words.tried_up(shown) if by > 0 else words.tried_down(shown),
            exclude_semantics=True,
            content=canvas(look, stepper(way)),
        ),
        on_click=Send(send, TrialStepped(by)),
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ground"],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=0,
            shape=cut(10, ft.BorderSide(2.5, look.tokens["ink"])),
        ),
        width=STEPPER,
        height=STEPPER,
    )


class Dragged:
    """A handler of a drag or a press on the ruler: the same ruler, the same handler."""

    def __init__(self, send: SendAny, ruler: Ruler, kind: str) -> None:
        self._send, self.ruler, self._kind = send, ruler, kind

    def __call__(self, event: Any) -> None:
        if event.local_position is not None:
            value = self.ruler.value(event.local_position.x)
            self._send(TrialMoved(units.kept(value, self._kind)))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Dragged)
            and type(other) is type(self)
            and (self.ruler, self._kind) == (other.ruler, other._kind)
        )

    def __hash__(self) -> int:
        return hash((self.ruler, self._kind))


def _slider(
    value: float, plan: float, last: Edge, knob: Knob, send: SendAny, look: Look
) -> ft.Control:
    """The ruler has the units that are shown; what is kept of a drag has the format's."""

    def shown_as(figure: float) -> float:
        return units.shown(figure, knob.kind)

    end = None if last.value is None else shown_as(last.value)
    step = round(knob.step * units.per(knob.kind), 9)
    own = replace(knob.as_shown, step=step)
    ruler = ruler_over(*ends_of(own, shown_as(plan), replace(last, value=end)), step, look.width)
    near, far = (ruler.low, ruler.high)[:: knob.worse]
    hatched: tuple[float, float] | None
    if last.value is None or end is None:
        hatched, said = (far, near), words.tried_nowhere()
    elif last.ends and (far - end) * knob.worse > 0:
        hatched = (end, far)
        said = words.tried_last(words.tried_value(last.value, knob.kind), knob.worse > 0)
    else:
        hatched, said = None, words.tried_all()
    mark = words.tried_plan_mark(words.tried_value(plan, knob.kind))
    picture = slider(
        ruler,
        shown_as(value),
        shown_as(plan),
        hatched,
        look.width,
        words.tried_figure,
        (mark, said),
        look.scale,
    )
    moves = Dragged(send, ruler, knob.kind)
    shown = words.tried_value(value, knob.kind)
    up, down = (words.tried_value(stepped(value, knob.step, by), knob.kind) for by in (1, -1))
    return ft.GestureDetector(
        key="trial-ruler",
        content=ft.Semantics(
            label=words.tried_slider(words.TRIED[knob.name]),
            slider=True,
            value=shown,
            increased_value=up,
            decreased_value=down,
            on_increase=Send(send, TrialStepped(1)),
            on_decrease=Send(send, TrialStepped(-1)),
            exclude_semantics=True,
            content=canvas(look, picture),
        ),
        on_horizontal_drag_start=moves,
        on_horizontal_drag_update=moves,
        on_tap_up=moves,
        drag_interval=DRAG_MS,
    )


def _gauges(model: Model, value: float, send: SendAny, look: Look) -> ft.Control:
    """A gauge is chosen; under each stands whether the plan holds with it."""
    own, thing = model.open_job.judgement, trial_of(model).thing
    plan = plan_of(own)
    row = [
        half(
            look,
            words.tried_gauge_name(gauge),
            words.tried_gauge(outcome(plan, solved(own, GAUGE, thing, gauge)).holds),
            Send(send, TrialMoved(float(gauge))),
            chosen=gauge == value,
            key=f"trial-awg-{gauge}",
        )
        for gauge in gauges_of(model)
    ]
    return padded(ft.Row(row, spacing=0))
