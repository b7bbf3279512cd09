"""The power-up walk: box by box from the feed outwards; the first wrong one halts it."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.log import Reading
from engine.powerup import PowerWalk, Stage
from engine.timers import WAIT
from engine.verdict import OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import pair, quiet, slab
from fieldapp.drawing.jacket import jacket
from fieldapp.drawing.shapes import Picture
from fieldapp.faultview import find_more
from fieldapp.framing import frame
from fieldapp.messages import DarkSaid, Go, SheetOpened, TimerStarted
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, tag, text, told
from fieldapp.questions import (
    Spot,
    answered_for,
    cautions_of,
    power_spot,
    step_at_hand,
    walk_of,
)
from fieldapp.routes import Place, route_of
from fieldapp.screens.caution import cautions
from fieldapp.screens.change import change_actions, change_body
from fieldapp.screens.shared import Parts, SendAny, ribbon_of, steps_button, strip
from fieldapp.screens.timing import countdown, running
from fieldapp.sending import Send

JACKET = 56.0


def power(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The box that is next, or the one that halts the walk; below it all boxes in order."""
    walk = walk_of(model.open_job)
    spot = power_spot(model.open_job, walk)
    top = [ribbon_of(model, send, look), *told(look, model)]
    foot = bar(look, model, send)
    step = step_at_hand(model)
    due = cautions_of(model, step) if step is not None else ()
    if model.sheet is not None and model.sheet.what == "change":
        body, actions = change_body(model, send, look), change_actions(model, send, look)
    elif spot is None:
        body, actions = _over(walk, model, send, look)
    elif spot.stage.box == walk.halted and walk.halted not in answered_for(model.open_job, walk):
        body, actions = _halted(walk, spot, model, send, look)
    elif step is not None and due:
        body, actions = cautions(step, due, send, look)
    else:
        body, actions = _here(walk, spot, model, send, look)
    if model.sheet is None:
        actions = [*strip(model, send, look), *actions]
    return frame(look, top=top, body=body, actions=actions, foot=foot)


def _over(walk: PowerWalk, model: Model, send: SendAny, look: Look) -> Parts:
    """Every box is proven, or there is none."""
    said = words.power_all_proven(len(walk.stages)) if walk.stages else words.power_none()
    now = Go(route_of(Place("now", model.open_job.id)))
    body = [padded(text(look, said, 28, cap=1.4), top=14), *_rows(walk, None, model, look)]
    return body, [slab(look, words.on_to_now(), "", Send(send, now))]


def _here(walk: PowerWalk, spot: Spot, model: Model, send: SendAny, look: Look) -> Parts:
    """Wait for its lights, then its readings one after another."""
    stage = spot.stage
    number = walk.stages.index(stage) + 1
    timer, rest = running(model, f"{WAIT}{stage.box}")
    untouched = not stage.done and stage.state == "open"
    waits = untouched and timer is not None and rest > 0
    title = words.power_title(stage.box, number, len(walk.stages))
    body: list[ft.Control] = [padded(text(look, title, 28, cap=1.4), top=14)]
    if untouched:
        body.append(padded(text(look, words.sentence(stage.lights), 21, cap=1.8)))
    if waits:
        body.append(countdown(rest, look))
    body += _rows(walk, spot, model, look)
    read = Send(send, Go(route_of(Place("read", model.open_job.id, spot.at, spot.kind))))
    dark = quiet(look, words.is_dark(), Send(send, DarkSaid(stage.box)), key="dark", expand=True)
    if waits:
        lit = quiet(look, words.lights_are_up(), read, key="lit", expand=True)
        wait = slab(look, words.wait_still(rest), words.runs_on(), None, key="waiting")
        return body, [wait, pair(look, lit, dark)]
    second = pair(look, dark, steps_button(model, send, look))
    if untouched and timer is None:
        start = Send(send, TimerStarted(f"{WAIT}{stage.box}", stage.wait_s))
        plug = words.plug_in(stage.box, stage.at if number > 1 else "")
        return body, [slab(look, plug, words.wait_starts(stage.wait_s), start), second]
    again = _unclear_at(model, stage)
    if stage.state == "unclear" and again is not None:
        place = Place("read", model.open_job.id, again.at, again.kind, again=again.id)
        title = words.measure_again_at(stage.box)
        return body, [
            slab(look, title, words.both_used(), Send(send, Go(route_of(place)))),
            second,
        ]
    return body, [slab(look, words.measure_at(spot.at, spot.kind), "", read), second]


def _unclear_at(model: Model, stage: Stage) -> Reading | None:
    """The reading of a box that is not yet for certain."""
    return next(
        (
            verdict.reading
            for verdict in model.open_job.judgement.verdicts
            if verdict.current
            and verdict.verdict == UNCLEAR
            and (verdict.reading.at, verdict.reading.kind) in stage.asks
        ),
        None,
    )


def _halted(walk: PowerWalk, spot: Spot, model: Model, send: SendAny, look: Look) -> Parts:
    """The first wrong box: nothing behind it is plugged in until it is mended."""
    stage = spot.stage
    body = [
        padded(text(look, words.power_halted(stage.box, stage.state), 28, "ink", cap=1.4), top=14),
        padded(text(look, words.power_halted_why(), 20, cap=1.8)),
        *_rows(walk, spot, model, look),
    ]
    run = Go(route_of(Place("run", model.open_job.id, stage.at)))
    read = Go(route_of(Place("read", model.open_job.id, stage.at, "volts")))

    def button(key: str, title: str, message: Any) -> ft.Control:
        return quiet(look, title, Send(send, message), key=key, expand=True)

    rows = [
        pair(
            look,
            button("again", words.FIXED.measure_again, read),
            button("mended", words.mended(), SheetOpened("change", stage.at)),
        )
    ]
    third = steps_button(model, send, look)
    if _is_said_dark(model, stage):
        rows.append(pair(look, button("lit", words.is_lit(), DarkSaid(stage.box, False)), third))
    elif (spot.at, spot.kind) not in stage.done:
        other = Go(route_of(Place("read", model.open_job.id, spot.at, spot.kind)))
        rows.append(pair(look, button("other", words.its(spot.kind), other), third))
    else:
        rows.append(pair(look, third))
    if look.scale >= LARGE:  # one button stands fast, the others scroll with the words
        body, rows = [*body, *(padded(row) for row in rows)], []
    if stage.state == OUTSIDE:
        find = Send(send, Go(route_of(Place("fault", model.open_job.id))))
        return body, [slab(look, words.find_fault(), find_more(model), find), *rows]
    title, more = words.see_readings(stage.box), words.power_halted_more()
    return body, [slab(look, title, more, Send(send, run)), *rows]


def _is_said_dark(model: Model, stage: Stage) -> bool:
    """Whether it is dark by somebody's word, and not by a reading."""
    return stage.state == "dark" and not any(
        verdict.current and verdict.reading.at == stage.at and not verdict.reading.figure
        for verdict in model.open_job.judgement.verdicts
    )


def _rows(walk: PowerWalk, spot: Spot | None, model: Model, look: Look) -> list[ft.Control]:
    """All boxes in order: proven ones copper, the one that is wrong striped, the others empty."""
    here = spot.stage if spot is not None else None
    return [
        ft.Column(
            [_row(stage, stage is here, walk, model, look) for stage in walk.stages], spacing=0
        )
    ]


def _row(stage: Stage, is_here: bool, walk: PowerWalk, model: Model, look: Look) -> ft.Control:
    state = stage.state
    answered = answered_for(model.open_job, walk)
    fill = {"proven": "copper", "outside": "striped", "dark": "striped"}.get(state, "empty")
    drawn = Picture(JACKET, 24.0, tuple(jacket(((0, 12), (JACKET - 6, 12)), fill, 18.0)))
    waits = stage.box in walk.waiting and walk.halted not in answered
    behind = waits or (state == "open" and not is_here)
    word = words.stage_waits() if behind else words.stage_state(state)
    ink = "signal" if state in ("outside", "dark") and not behind else "ink" if is_here else "soft"
    name: ft.Control = (
        ft.Row([tag(look, stage.box)])
        if is_here
        else text(look, stage.box, 19, "ink" if state == "proven" else "soft", "PB", cap=1.4)
    )
    figures, large = _read(stage, model, look), look.scale >= LARGE
    return ft.Container(
        ft.Row(
            [
                ft.Semantics(content=canvas(look, drawn), exclude_semantics=True),
                ft.Container(name, width=78 * min(look.scale, 1.4)),
                ft.Column(
                    [
                        text(look, word, 19, ink, "TM" if is_here else "T", cap=1.6, max_lines=1),
                        *(figures if large else ()),
                    ],
                    spacing=0,
                    expand=True,
                ),
                *(() if large else figures),
            ],
            spacing=8,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        padding=ft.Padding.only(right=MARGIN, top=8, bottom=8),
        border=ft.Border.only(bottom=ft.BorderSide(1, look.tokens["hair"])),
    )


def _read(stage: Stage, model: Model, look: Look) -> list[ft.Control]:
    """What was read at a box: its figures, if any."""
    figures = [
        words.with_unit(abs(verdict.reading.figure), verdict.reading.kind)
        for verdict in model.open_job.judgement.verdicts
        if verdict.current and (verdict.reading.at, verdict.reading.kind) in stage.done
    ]
    return [text(look, words.listed(figures), 17, "soft", "P", cap=1.6)] if figures else []
