"""Steps: the checklist. A press on the jacket's end ticks a step off; the rest opens its page."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import flet as ft

from engine.log import StepMark
from engine.step import Asks, Step
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import half, row_button
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.shapes import Picture, Rect
from fieldapp.faces import text_width
from fieldapp.framing import frame
from fieldapp.messages import Go, StepPressed, StepsShown
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look, canvas
from fieldapp.parts import padded, tag, text, told
from fieldapp.questions import here as stop_here
from fieldapp.questions import next_step, shared_out
from fieldapp.screens.shared import SendAny, ribbon_of, short_of, step_route, strip
from fieldapp.sending import Send
from fieldapp.wires import made_ends
from fieldapp.worldclock import clock_of

END = 64.0
FILLS_ITSELF = frozenset({"copy", "sign"})
"""kinds of step that an entry of another kind does"""


def steps(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """All steps in the order to be done, under the stop where each is done."""
    judgement = model.open_job.judgement
    done = sum(one.state == "done" for one in judgement.steps)
    following = next_step(model.open_job)
    short = words.step(following.say).short if following is not None else ""
    title = words.steps_title(done, len(judgement.steps), short)
    rows: list[ft.Control] = []
    here = None
    who = shared_out(model.open_job)
    for step in _shown(model, model.open_job.work.listed):
        if step.stop != here:
            here = step.stop
            stop = judgement.state.job.stops[here]
            rows.append(
                ft.Container(
                    _stop_tag(words.stop_header(stop.name, stop.at_m), look),
                    padding=ft.Padding.only(left=MARGIN, top=14, bottom=6),
                    key=f"stop-{here}-{step.id}",
                )
            )
        under = _under(step, judgement.state.steps.get(step.id), who.get(step.id, ()), model)
        rows.append(_row(step, under, model, send, look))
    body = [
        padded(text(look, title, 21, cap=1.4), top=12),
        padded(_halves(model, send, look)),
        *_for_two(model, look),
        ft.ListView(rows, expand=True, spacing=0),
    ]
    return frame(
        look,
        top=[ribbon_of(model, send, look), *told(look, model)],
        body=body,
        actions=strip(model, send, look),
        foot=bar(look, model, send),
        scroll=False,
    )


def _for_two(model: Model, look: Look) -> list[ft.Control]:
    if model.open_job.work.people < 2:
        return []
    return [padded(text(look, words.for_two(), 17, "soft", "TI", cap=1.6))]


def _shown(model: Model, steps: Sequence[Step]) -> list[Step]:
    """The steps of the chosen half."""
    stop = stop_here(model)
    keeps: Mapping[str, Callable[[Step], bool]] = {
        "all": lambda step: True,
        "here": lambda step: step.stop == stop,
        "open": lambda step: step.state == "open",
    }
    return [step for step in steps if keeps[model.shown](step)]


def _stop_tag(said: str, look: Look) -> ft.Control:
    """The stop's tag; a name too long for the column takes two lines within it."""
    wide = text_width("PB", 18 * min(look.scale, 1.4), said) + 20
    one = tag(look, said)
    room = look.width - 2 * MARGIN
    return ft.Row([one if wide <= room else ft.Container(one, width=room)])


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


def _row(step: Step, under: str, model: Model, send: SendAny, look: Look) -> ft.Control:
    said = words.step(step.say)
    lines: list[ft.Control] = [text(look, said.short, 19, face="TM", cap=1.8)]
    lines.append(text(look, under, 16, "soft", "TI"))
    words_part = row_button(
        look,
        ft.Container(
            ft.Column(lines, spacing=0, alignment=ft.MainAxisAlignment.CENTER, tight=True),
            padding=ft.Padding.symmetric(vertical=13),
        ),
        Send(send, Go(step_route(model, step))),
        key=f"step-{step.id}",
        left=8,
        expand=True,
    )
    return ft.Container(
        ft.Row(
            [_end(step, said.short, model, send, look), words_part],
            spacing=0,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        border=ft.Border.only(bottom=ft.BorderSide(1, look.tokens["hair"])),
        padding=ft.Padding.only(left=8),
        key=f"row-{step.id}",
    )


def _under(step: Step, mark: StepMark | None, who: tuple[int, ...], model: Model) -> str:
    """Who did it and when, why it was put aside, what opened it again; else what it takes."""
    takes = words.by_whom(words.takes(step.minutes, step.needs), who)
    if step.reopened_by:
        return words.reopened(short_of(model, step.reopened_by))
    if step.state == "not-here" and mark is not None:
        return words.not_here(mark.why)
    if step.state == "done":
        if step.asks is not None:
            return words.done_by(*_who_read(step.asks, model))
        return words.done_by(mark.by, clock_of(mark.t)) if mark is not None else words.FIXED.done
    return takes


def _who_read(asks: Asks, model: Model) -> tuple[str, str]:
    """Who read what a step asks for, and when; a photo says it by being there."""
    for verdict in reversed(model.open_job.judgement.verdicts):
        reading = verdict.reading
        if verdict.current and (reading.at, reading.kind) == (asks.at, asks.kind):
            return reading.by, clock_of(reading.t)
    return "", ""


def _end(step: Step, short: str, model: Model, send: SendAny, look: Look) -> ft.Control:
    """The jacket's end. What asks for a reading, a photo or a copy has none to press: its cable
    runs on, and fills when the thing is there. Of a cable with one end made, half is filled."""
    done = step.state == "done"
    pressed = step.asks is None and step.kind not in FILLS_ITSELF
    y, long = 36.0, END - 8 if pressed else END
    shapes = jacket(((0, y), (long, y)), "copper" if done else "empty", 20.0)
    if step.wires and not done and made_ends(model.open_job.judgement.state, step):
        shapes = (*shapes, *jacket(((0, y), (long / 2, y)), "copper", 20.0))
    if not pressed:
        return ft.Container(canvas(look, Picture(END, 72.0, tuple(shapes))), width=END)
    shapes = (*shapes, Rect(long - 2, y - 13, 7, 26, "ink", radius=1.5))
    drawn = canvas(look, Picture(END, 72.0, tuple(shapes)))
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
