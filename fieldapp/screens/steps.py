"""Steps: the checklist. A press on the jacket's end ticks a step off; the rest opens its page."""

from __future__ import annotations

import flet as ft

from engine.log import StepMark
from engine.step import Step
from fieldapp import words
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.shapes import Picture
from fieldapp.messages import Go, StepPressed, StepsShown
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import MARGIN, Send, bar, frame, half, padded, row_button, tag, text, told
from fieldapp.questions import here as stop_here
from fieldapp.screens.shared import SendAny, ribbon_of, short_of, step_route
from fieldapp.worldclock import clock_of

END = 64.0


def steps(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """All steps in the order to be done, under the stop where each is done."""
    judgement = model.job.judgement
    done = sum(one.state == "done" for one in judgement.steps)
    rows: list[ft.Control] = []
    here = None
    for step in _shown(model):
        if step.stop != here:
            here = step.stop
            stop = judgement.state.job.stops[here]
            rows.append(
                ft.Container(
                    ft.Row([tag(look, words.stop_header(stop.name, stop.at_m))]),
                    padding=ft.Padding.only(left=MARGIN, top=14, bottom=6),
                )
            )
        rows.append(_row(step, judgement.state.steps.get(step.id), model, send, look))
    body = [
        padded(text(look, words.steps_title(done, len(judgement.steps)), 21), top=12),
        padded(_halves(model, send, look)),
        ft.Column(rows, spacing=0),
    ]
    return frame(
        look,
        top=[ribbon_of(model, send, look), *told(look, model)],
        body=body,
        actions=[],
        foot=bar(look, model, send),
    )


def _shown(model: Model) -> list[Step]:
    """The steps of the chosen half."""
    stop = stop_here(model)
    keeps = {
        "all": lambda step: True,
        "here": lambda step: step.stop == stop,
        "open": lambda step: step.state == "open",
    }[model.shown]
    return [step for step in model.job.judgement.steps if keeps(step)]


def _halves(model: Model, send: SendAny, look: Look) -> ft.Control:
    fixed = words.FIXED
    names = (("all", fixed.all), ("here", fixed.here), ("open", fixed.open_only))
    return ft.Row(
        [
            half(
                look,
                title,
                "",
                Send(send, StepsShown(which)),
                chosen=model.shown == which,
                key=f"shown-{which}",
            )
            for which, title in names
        ],
        spacing=0,
    )


def _row(step: Step, mark: StepMark | None, model: Model, send: SendAny, look: Look) -> ft.Control:
    said = words.step(step.say)
    lines: list[ft.Control] = [text(look, said.short, 19, face="TM", cap=1.8)]
    under = _under(step, mark, model)
    if under:
        lines.append(text(look, under, 16, "soft", "TI"))
    words_part = row_button(
        look,
        ft.Container(
            ft.Column(lines, spacing=0, alignment=ft.MainAxisAlignment.CENTER, tight=True),
            padding=ft.Padding.symmetric(vertical=10 if under else 22),
        ),
        Send(send, Go(step_route(model, step))),
        key=f"step-{step.id}",
        left=8,
        expand=True,
    )
    return ft.Container(
        ft.Row(
            [_end(step, said.short, send, look), words_part],
            spacing=0,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        border=ft.Border.only(bottom=ft.BorderSide(1, look.tokens["hair"])),
        padding=ft.Padding.only(left=8),
    )


def _under(step: Step, mark: StepMark | None, model: Model) -> str:
    if step.reopened_by:
        return words.reopened(short_of(model, step.reopened_by))
    if mark is None or step.state == "open":
        return ""
    if step.state == "not-here":
        return words.not_here(mark.why)
    return words.done_by(mark.by, clock_of(mark.t))


def _end(step: Step, short: str, send: SendAny, look: Look) -> ft.Control:
    """The jacket's end. A step that asks for a reading has none to press: it fills by itself."""
    done = step.state == "done"
    state = "copper" if done else "empty"
    y = 36.0
    shapes = jacket(((0, y), (END - 8, y)), state, 20.0)
    drawn = canvas(look, Picture(END, 72.0, tuple(shapes)))
    if step.asks is not None:
        return ft.Container(drawn, width=END, opacity=1.0 if done else 0.45)
    press = StepPressed(step.id, "undone" if done else "done")
    return ft.Stack(
        [
            ft.Semantics(content=drawn, exclude_semantics=True),
            ft.TextButton(
                key=f"tick-{step.id}",
                content=ft.Text("", semantics_label=words.press_end(short, done)),
                on_click=Send(send, press),
                width=END,
                height=72,
                style=ft.ButtonStyle(
                    padding=0,
                    shape=ft.RoundedRectangleBorder(radius=0),
                    overlay_color=ft.Colors.with_opacity(0.2, look.tokens["rule"]),
                ),
            ),
        ],
        width=END,
        height=72,
    )
