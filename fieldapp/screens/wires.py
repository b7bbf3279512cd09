"""The eight wires of a span's ends, to be read with both hands full; one press an end."""

from __future__ import annotations

from collections.abc import Mapping

import flet as ft

from engine.job import Point
from engine.step import Step
from fieldapp import words
from fieldapp.buttons import SLAB, cut, half, quiet, slab
from fieldapp.drawing.wires import end_picture, wire_picture
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import EndPressed, Go, PinoutPicked
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, text, told
from fieldapp.routes import Place, route_of
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send
from fieldapp.wires import PLUGS, Made, Wire, ends_of, made_ends, pinout_of
from fieldapp.worldclock import clock_of

ROW = 72.0
LEAST = 48.0
AROUND = 78.0 + 68.0 + SLAB + 2 * GAP
"""head, choice and the two ends: the wires share what is left"""


def wires(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Eight wires in order, both ends below."""
    job = model.open_job.judgement.state
    pinout = pinout_of(job)
    span = model.place.at
    step = next(
        (one for one in model.open_job.judgement.steps if one.wires and one.span == span), None
    )
    is_done = step is not None and step.state == "done"
    behind = Place("now", model.open_job.id, step.id if step is not None and not is_done else "")
    leads_on = Send(send, Go(route_of(behind)))
    back = quiet(look, words.FIXED.back, leads_on, key="back", height=56)
    top = [
        header(look, back, words.wires_title(span, pinout), words.wires_line(), None),
        *told(look, model),
    ]
    body: list[ft.Control] = [padded(_choice(pinout, send, look))]
    made = made_ends(job, step) if step is not None else {}
    around = AROUND
    if len({one.pinout for one in made.values() if one.pinout}) > 1:
        body.append(padded(text(look, words.ends_differ(), 20, cap=1.4)))
        around += 2 * 24.0 * min(look.scale, 1.4) + 12.0
    around += SLAB + GAP if is_done else 0
    high = max(min((look.height - around) / len(PLUGS[pinout]), ROW), LEAST)
    body.append(ft.Column([_row(wire, high, look) for wire in PLUGS[pinout]], spacing=0))
    actions = [_ends(model, step, span, made, send, look)] if step is not None else []
    if is_done:  # at the thumb: nobody reaches for the top of the page to go on
        actions = [slab(look, words.on_to_now(), "", leads_on), *actions]
    return frame(look, top=top, body=body, actions=actions)


def _choice(pinout: str, send: SendAny, look: Look) -> ft.Control:
    return ft.Row(
        [
            half(
                look,
                name,
                "",
                Send(send, PinoutPicked(name)),
                chosen=name == pinout,
                key=f"pinout-{name}",
            )
            for name in PLUGS
        ],
        spacing=0,
    )


def _row(wire: Wire, high: float, look: Look) -> ft.Control:
    """One wire: its contact, how it looks in ink, its colour in a word, its pair."""
    said = words.speak_wire(wire.contact, wire.colour, wire.striped)
    word = words.wire_word(wire.colour, wire.striped)
    large = look.scale >= LARGE
    row = ft.Row(
        [
            ft.Container(text(look, str(wire.contact), 34, face="PB", cap=1.0), width=30),
            canvas(look, wire_picture(wire.striped, 72 if large else 104, min(high - 8, 40))),
            ft.Column(
                [
                    text(look, word, 22, cap=1.1, max_lines=1),
                    text(look, words.pair_of(wire.pair), 15, "soft", "TI", cap=1.1),
                ],
                spacing=0,
                expand=True,
                alignment=ft.MainAxisAlignment.CENTER,
            ),
        ],
        spacing=12,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return ft.Semantics(
        label=said,
        exclude_semantics=True,
        content=ft.Container(
            row,
            height=high,
            border=ft.Border.only(bottom=ft.BorderSide(1, look.tokens["hair"])),
            padding=ft.Padding.only(left=MARGIN, right=MARGIN),
        ),
    )


def _ends(
    model: Model, step: Step, span: str, made: Mapping[str, Made], send: SendAny, look: Look
) -> ft.Control:
    """Both ends, the nearer one at the left. Their letters hardly grow: the wires need the room."""
    state = model.open_job.judgement.state
    ends = ends_of(state.job, state.network, span)
    buttons = [_end(model, step, end, made.get(str(end)), send, look) for end in ends]
    return ft.Row(buttons, spacing=GAP)


def _end(
    model: Model, step: Step, end: Point, made: Made | None, send: SendAny, look: Look
) -> ft.Control:
    plan = model.open_job.judgement.state.job
    is_made = made is not None or step.state == "done"
    ink = "ink" if is_made else "ground"
    if made is not None:
        more = words.end_made(clock_of(made.t), made.pinout)
    else:
        stop = plan.stops[plan.boxes[end.box].stop].name
        more = words.end_made("", "") if is_made else words.end_open(stop)
    short = {"max_lines": 1, "overflow": ft.TextOverflow.ELLIPSIS}
    lines = [
        text(look, words.end_slab(str(end), is_made), 19, ink, "TB", cap=1.1, **short),
        text(look, more, 15, ink, "P", cap=1.1, **short),
    ]
    side = ft.BorderSide(2.5, look.tokens["ink"])
    row: list[ft.Control] = [ft.Column(lines, spacing=1, tight=True, expand=True)]
    if is_made:
        row.append(canvas(look, end_picture(True)))
    return ft.Button(
        key=f"end-{end}",
        content=ft.Row(row, spacing=6, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        on_click=Send(send, EndPressed(step.id, str(end))),
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ground" if is_made else "ink"],
            color=look.tokens[ink],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=ft.Padding.symmetric(horizontal=12),
            shape=cut(14, side),
        ),
        height=SLAB,
        expand=True,
    )
