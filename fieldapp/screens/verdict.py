"""Verdict: the word on a reading, its gauge, how sure and where it starts."""

from __future__ import annotations

import flet as ft

from engine.verdict import INSIDE, OUTSIDE, UNCLEAR, Verdict
from fieldapp import words
from fieldapp.drawing.digits import reading_picture
from fieldapp.drawing.gauge import gauge, mark
from fieldapp.drawing.shapes import Picture
from fieldapp.messages import Go, TakeBack
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import Send, bar, frame, padded, pair, quiet, slab, spoken, text, told
from fieldapp.routes import Place, route_of
from fieldapp.runline import dimension, last_good_before, verdict_of
from fieldapp.screens.shared import SendAny, ribbon_of, step_route
from fieldapp.stepview import sleeve
from fieldapp.update import next_step
from fieldapp.worldclock import clock_of


def verdict(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The verdict on one reading; one press goes on, nothing goes on by itself."""
    found = verdict_of(model.job.judgement, model.place.at)
    top = [ribbon_of(model, send, look), *told(look, model)]
    foot = bar(look, model, send)
    if found is None:
        body = [padded(text(look, words.gone(), 24), top=16)]
        return frame(look, top=top, body=body, actions=[], foot=foot)
    return frame(
        look,
        top=top,
        body=_body(model, found, look),
        actions=_actions(model, found, send, look),
        foot=foot,
    )


def _body(model: Model, found: Verdict, look: Look) -> list[ft.Control]:
    reading = found.reading
    ink = "signal" if found.verdict == OUTSIDE else "ink"
    state = words.verdict_state(reading.standing.beyond is not None, clock_of(reading.t))
    head = padded(
        ft.Row(
            [
                text(look, words.point(reading.at), 22, face="TB", cap=1.3, expand=True),
                text(look, state, 18, "soft", "TI", cap=1.3),
            ]
        ),
        top=10,
    )
    word = ft.Row(
        [
            canvas(look, Picture(112, 40, tuple(mark(found.verdict, 0, 2, 2.0)))),
            ft.Semantics(
                content=text(look, words.VERDICTS[found.verdict], 40, ink, "TB", cap=1.2),
                live_region=True,
                expand=True,
            ),
        ],
        spacing=14,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    tall = 104.0 if look.height >= 780 else 80.0
    return [
        head,
        _figure(found, look, tall),
        padded(word),
        *_gauge(found, look),
        *([padded(text(look, words.sentence(found.say), 22, cap=1.6))] if found.current else []),
        *_where(model, found, look),
    ]


def _figure(found: Verdict, look: Look, tall: float) -> ft.Control:
    reading = found.reading
    said = words.with_unit(abs(reading.figure), reading.kind)
    number, _, unit = said.partition(words.NBSP)
    picture = reading_picture(number, unit, look.width, tall)
    return spoken(look, picture, said)


def _gauge(found: Verdict, look: Look) -> list[ft.Control]:
    reading = found.reading
    band = sleeve(found.band)
    if band is None or reading.kind == "mbps":
        return []
    value = abs(reading.figure)
    picture = gauge(
        band,
        None,
        value,
        found.reach,
        words.UNITS[reading.kind],
        found.verdict,
        dimension(found),
        look.width,
        150 if found.verdict == OUTSIDE else 112,
        figure=lambda number: words.figure(number, reading.kind),
    )
    speech = words.speak_gauge(
        value, found.reach, band[0], band[2], reading.kind, words.VERDICTS[found.verdict]
    )
    return [spoken(look, picture, speech)]


def _where(model: Model, found: Verdict, look: Look) -> list[ft.Control]:
    """Where a loss starts: past the last box that was as expected."""
    if not found.current:
        return [padded(text(look, words.no_longer_counts(), 22, cap=1.6))]
    if found.verdict != OUTSIDE or found.reading.kind != "volts":
        return []
    good = last_good_before(model.job.judgement, found.reading.at)
    said = words.starts_past(good) if good else words.starts_at_feed()
    return [padded(text(look, said, 22, cap=1.6))]


def _actions(model: Model, found: Verdict, send: SendAny, look: Look) -> list[ft.Control]:
    fixed = words.FIXED
    job = model.job
    reading = found.reading
    again = Send(send, Go(route_of(Place("read", job.id, reading.at, reading.kind))))
    quiets = pair(
        look,
        quiet(look, fixed.measure_again, again, key="again", expand=True),
        quiet(
            look, fixed.take_back, Send(send, TakeBack(reading.id)), key="take-back", expand=True
        ),
    )
    if not found.current:
        return [_go_on(model, send, look)]
    if found.verdict == OUTSIDE:
        there = Send(send, Go(route_of(Place("run", job.id, _point_of(model, reading.at)))))
        return [slab(look, fixed.see_run, words.not_found_yet(), there), quiets]
    if found.verdict == UNCLEAR:
        there = Send(send, Go(route_of(Place("run", job.id, _point_of(model, reading.at)))))
        return [
            slab(look, fixed.measure_again, words.both_used(), again),
            pair(
                look,
                quiet(look, fixed.see_run, there, key="see-run", expand=True),
                quiet(
                    look,
                    fixed.take_back,
                    Send(send, TakeBack(reading.id)),
                    key="take-back",
                    expand=True,
                ),
            ),
        ]
    if found.verdict == INSIDE and reading.kind == "volts" and not _amps_read(model, found):
        amps = Send(send, Go(route_of(Place("read", job.id, reading.at, "milliamps"))))
        on = Send(send, Go(route_of(Place("now", job.id))))
        return [
            slab(look, fixed.and_milliamps, words.amps_why(), amps),
            pair(
                look,
                quiet(look, words.no_lead(), on, key="no-lead", expand=True),
                quiet(
                    look,
                    fixed.take_back,
                    Send(send, TakeBack(reading.id)),
                    key="take-back",
                    expand=True,
                ),
            ),
        ]
    return [_go_on(model, send, look), quiets]


def _point_of(model: Model, at: str) -> str:
    """A point to show on Run; a span is shown at its end."""
    span = model.job.judgement.state.job.spans.get(at)
    return str(span.b) if span else at


def _amps_read(model: Model, found: Verdict) -> bool:
    return any(
        v.current and v.reading.at == found.reading.at and v.reading.kind == "milliamps"
        for v in model.job.judgement.verdicts
    )


def _go_on(model: Model, send: SendAny, look: Look) -> ft.Control:
    step = next_step(model.job)
    if step is None:
        leave = Send(send, Go(route_of(Place("leave", model.job.id))))
        return slab(look, words.FIXED.see_leave, "", leave)
    on = Send(send, Go(step_route(model, step)))
    return slab(look, words.go_on_to(words.step(step.say).short), "", on)
