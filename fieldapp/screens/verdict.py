"""Verdict: the word on a reading, its gauge, how sure and where it starts."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import flet as ft

from engine.design_band import band_for
from engine.figures import FLOW_KINDS
from engine.job import Point
from engine.log import Reading
from engine.powerup import OPEN, PROVEN
from engine.since import DRIFTED
from engine.step import Step
from engine.study import Range
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR, Verdict
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import pair, quiet, slab
from fieldapp.drafts import standing_like
from fieldapp.drawing.digits import reading_picture
from fieldapp.drawing.gauge import gauge, mark
from fieldapp.drawing.shapes import Picture
from fieldapp.faces import lines_needed
from fieldapp.faultview import find_more
from fieldapp.framing import frame
from fieldapp.messages import Go, PutElsewhere, SheetOpened, TakeBack
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.questions import (
    next_step,
    places_for,
    power_spot,
    powers_up,
    taken_back,
    walk_of,
)
from fieldapp.returning import day_before, drift_of
from fieldapp.routes import Place, route_of
from fieldapp.runline import dimension, last_good_before, verdict_of
from fieldapp.screens.change import change_actions, change_body
from fieldapp.screens.shared import SendAny, places, ribbon_of, step_route
from fieldapp.sending import Send
from fieldapp.stepview import ends, sleeve
from fieldapp.worldclock import clock_of

CLOSE = 60.0
"""how high the figure is where much is said below it [dp]"""
FEW_LINES = 3
"""of what is told, above two rows of buttons"""
MARK_LINES = 2
"""lines that the mark of a made-up site takes away"""
LOW = 700.0
"""a window lower than this has no room for two rows of buttons [dp]"""


def verdict(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The verdict on one reading; one press goes on, nothing goes on by itself."""
    found = verdict_of(model.open_job.judgement, model.place.at)
    top = [ribbon_of(model, send, look), *told(look, model)]
    foot = bar(look, model, send)
    if found is None:
        body = [padded(text(look, words.gone(), 24), top=16)]
        return frame(look, top=top, body=body, actions=[], foot=foot)
    if model.sheet is not None and model.sheet.what == "change":
        body, actions = change_body(model, send, look), change_actions(model, send, look)
    elif found.id in taken_back(model.open_job.judgement.state):
        body, actions = _taken_back(model, found, send, look), [_go_on(model, found, send, look)]
    else:
        body, actions = _body(model, found, look), _actions(model, found, send, look)
        # where room is short few buttons stand fast: the others scroll with the words
        tight = look.height < LOW or _is_long(model, found, look)
        fast = 1 if look.scale >= LARGE else 2 if tight else len(actions)
        body, actions = [*body, *(padded(one) for one in actions[fast:])], actions[:fast]
    return frame(look, top=top, body=body, actions=actions, foot=foot)


def _is_long(model: Model, found: Verdict, look: Look) -> bool:
    """Whether what is told takes the room of a row of buttons."""
    wide = look.width - 2 * MARGIN
    few = FEW_LINES - (MARK_LINES if look.above is not None else 0)
    return lines_needed("T", 22, _told(model, found), wide) > few


def _head(reading: Reading, look: Look) -> ft.Control:
    state = words.verdict_state(_standing_words(reading), clock_of(reading.t))
    return padded(
        ft.Row(
            [
                text(look, words.point(reading.at), 22, face="TB", cap=1.3, expand=True),
                text(look, state, 18, "soft", "TI", cap=1.3),
            ]
        ),
        top=10,
    )


def _standing_words(reading: Reading) -> str:
    """What stood behind it, where the figure depends on that: ohms of a span know no load."""
    if reading.kind not in FLOW_KINDS and reading.standing.as_planned:
        return ""
    way, box, watts = standing_like(reading)
    fixed = words.FIXED
    return {"open": fixed.open, "loaded": fixed.loaded}.get(way) or words.load_state(box, watts)


def _taken_back(model: Model, found: Verdict, send: SendAny, look: Look) -> list[ft.Control]:
    """It stays in the record, struck; the wrong point is mended by one press on the right one."""
    reading = found.reading
    names = [at for at in places_for(model.open_job, reading.kind, reading.at) if at != reading.at]
    word = ft.Semantics(
        content=text(look, words.taken_back(), 34, face="TB", cap=1.2), live_region=True
    )
    out = [
        _head(reading, look),
        _figure(found, look, 84.0, struck=True),
        padded(word),
        padded(text(look, words.taken_back_line(), 19, "soft", cap=1.6)),
    ]
    if names:
        kept = words.with_unit(abs(reading.figure), reading.kind)

        def press(at: str) -> PutElsewhere:
            return PutElsewhere(reading.id, at)

        out.append(padded(text(look, words.put_elsewhere(kept), 22, face="TB", cap=1.4), top=4))
        out.append(padded(places(names, press, send, look), bottom=8))
    return out


def _body(model: Model, found: Verdict, look: Look) -> list[ft.Control]:
    ink = "signal" if found.verdict == OUTSIDE else "ink"
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
    room = look.height >= 780 and found.verdict != OUTSIDE
    tall = 104.0 if room else 84.0
    if found.verdict == OUTSIDE and drift_of(model.open_job.judgement, found.id) is not None:
        tall = CLOSE  # one line more is told below
    return [
        _head(found.reading, look),
        _figure(found, look, tall),
        padded(word),
        *_gauge(model, found, look),
        *_was(model, found, look),
        padded(text(look, _told(model, found), 22, cap=1.6)),
        *_least(found, look),
    ]


def _figure(found: Verdict, look: Look, tall: float, *, struck: bool = False) -> ft.Control:
    reading = found.reading
    said = words.with_unit(abs(reading.figure), reading.kind)
    number, _, unit = said.partition(words.NBSP)
    picture = reading_picture(number, unit, look.width, tall, struck=struck)
    return spoken(look, picture, said)


def _gauge(model: Model, found: Verdict, look: Look) -> list[ft.Control]:
    """The band that spoke as the sleeve; where that is today's, the plan's lies behind it."""
    reading = found.reading
    band = sleeve(found.band)
    if band is None or reading.kind == "mbps":
        return []
    value, today = abs(reading.figure), found.by == "today"
    picture = gauge(
        band,
        _behind(model, reading) if today else None,
        value,
        found.reach,
        words.unit_of(reading.kind),
        found.verdict,
        dimension(found),
        look.width,
        138 if found.verdict == OUTSIDE else 112,
        figure=lambda number: words.figure(number, reading.kind),
        scale=words.scale_of(reading.kind),
        letters=look.scale,
    )
    speech = words.speak_gauge(
        value,
        found.reach,
        band[0],
        band[2],
        reading.kind,
        words.VERDICTS[found.verdict],
        today=today,
    )
    return [spoken(look, picture, speech)]


def _behind(model: Model, reading: Reading) -> tuple[float, float] | None:
    judgement = model.open_job.judgement
    design = band_for(
        judgement.state, judgement.prediction, reading.at, reading.kind, reading.standing
    )
    return ends(design) if isinstance(design, Range) else None


def _was(model: Model, found: Verdict, look: Look) -> list[ft.Control]:
    """On a return, what was read here before the site was left."""
    drift = drift_of(model.open_job.judgement, found.id)
    if drift is None:
        return []
    day = day_before(model, drift)
    said = words.as_then(drift.before, drift.kind, day, drift.verdict)
    ink = "signal" if drift.verdict == DRIFTED else "ink"
    return [padded(text(look, said, 19, ink, cap=1.6))]


def _told(model: Model, found: Verdict) -> str:
    """How sure, and where a loss starts: past the last box that was as expected."""
    if not found.current:
        return words.no_longer_counts()
    said = words.sentence(found.say)
    if found.verdict != OUTSIDE or found.reading.kind != "volts":
        return said
    good = last_good_before(model.open_job.judgement, found.reading.at)
    return words.one_after_the_other(
        said, words.starts_past(good) if good else words.starts_at_feed()
    )


def _least(found: Verdict, look: Look) -> list[ft.Control]:
    """How small a fault this reading would still have told."""
    told_nothing = found.verdict in (OUTSIDE, NO_BAND)
    if found.smallest_ohms is None or told_nothing or not found.current:
        return []
    said = words.would_have_shown(found.smallest_ohms)
    return [padded(text(look, said, 18, "soft", cap=1.6))]


def _actions(model: Model, found: Verdict, send: SendAny, look: Look) -> list[ft.Control]:
    """The slab by the word; below it what may be wanted besides."""
    if not found.current:
        return [_go_on(model, found, send, look)]
    fixed, job, reading = words.FIXED, model.open_job, found.reading

    def button(key: str, title: str, message: Any) -> ft.Control:
        return quiet(look, title, Send(send, message), key=key, expand=True)

    def pad(kind: str, **more: str) -> Go:
        return Go(route_of(Place("read", job.id, reading.at, kind, **more)))

    there = Go(route_of(Place("run", job.id, _point_of(model, reading.at))))
    wants_amps = reading.kind == "volts" and _amps_are_open(model, reading)
    amps = pad("milliamps", beside=reading.id)
    back = button("take-back", fixed.take_back, TakeBack(reading.id))
    if found.verdict == OUTSIDE:
        mended = button("mended", words.mended(), SheetOpened("change", reading.at))
        again = button("again", fixed.measure_again, pad(reading.kind))
        beside = button("amps", fixed.milliamps_too, amps)
        find = Send(send, Go(route_of(Place("fault", job.id))))
        return [
            slab(look, words.find_fault(), find_more(model), find),
            pair(look, again, back),
            pair(look, *([beside] if wants_amps else []), mended),
        ]
    if found.verdict == UNCLEAR:
        beside = button("amps", fixed.milliamps_too, amps)
        other = beside if wants_amps else button("see-run", fixed.see_run, there)
        again = Send(send, pad(reading.kind, again=reading.id))
        return [
            slab(look, fixed.measure_again, words.both_used(), again),
            pair(look, other, back),
        ]
    if found.verdict == INSIDE and wants_amps:
        fault = route_of(Place("fault", job.id))
        onward = fault if _is_looked_for(model) else _steps_on(model, found)
        on = button("no-lead", words.no_lead(), Go(onward))
        return [
            slab(look, fixed.and_milliamps, words.amps_why(), Send(send, amps)),
            pair(look, on, back),
        ]
    if _is_looked_for(model):
        find = Send(send, Go(route_of(Place("fault", job.id))))
        on = button("go-on", words.reel_go_on(), Go(_steps_on(model, found)))
        return [slab(look, words.find_fault(), find_more(model), find), pair(look, on, back)]
    again = button("again", fixed.measure_again, pad(reading.kind))
    return [_go_on(model, found, send, look), pair(look, again, back)]


def _is_looked_for(model: Model) -> bool:
    """Whether a reading elsewhere is outside and nobody answers for it: this one was its test."""
    judgement = model.open_job.judgement
    holding = {hold.reading for hold in judgement.blockers if hold.reading}
    return any(
        one.current and one.verdict == OUTSIDE and one.id in holding for one in judgement.verdicts
    )


def _steps_on(model: Model, found: Verdict) -> str:
    """Where the steps go on, or Now where none is left."""
    step = next_step(model.open_job)
    now = route_of(Place("now", model.open_job.id))
    return _onward(model, found, step) if step is not None else now


def _point_of(model: Model, at: str) -> str:
    """A point to show on Run; a span is shown at its end."""
    span = model.open_job.judgement.state.job.spans.get(at)
    return str(span.b) if span else at


def _amps_are_open(model: Model, reading: Reading) -> bool:
    """Whether amps can be read beside these volts, and were not."""
    judgement = model.open_job.judgement
    seen = judgement.prediction.points.get(Point.parse(reading.at))
    return (
        seen is not None
        and seen.feed is not None
        and not any(
            one.current
            and one.reading.kind == "milliamps"
            and (one.reading.at, one.reading.moment) == (reading.at, reading.moment)
            for one in judgement.verdicts
        )
    )


def _go_on(model: Model, found: Verdict, send: SendAny, look: Look) -> ft.Control:
    step = next_step(model.open_job)
    if step is None:
        leave = Send(send, Go(route_of(Place("leave", model.open_job.id))))
        return slab(look, words.FIXED.see_leave, "", leave)
    on = Send(send, Go(_onward(model, found, step)))
    return slab(look, words.go_on_to(words.step(step.say).short), "", on)


def _onward(model: Model, found: Verdict, step: Step) -> str:
    """Where the work goes on: of a box that is up and at hand straight to what it is asked next."""
    job, now = model.open_job, route_of(Place("now", model.open_job.id))
    if step.asks is None or not powers_up(replace(model, route=now)):
        return step_route(model, step)
    walk, box = walk_of(job), Point.parse(found.reading.at).box
    spot = power_spot(job, walk)
    if spot is None or (spot.at, spot.kind) != (step.asks.at, step.asks.kind):
        return now
    if spot.stage.box == box and spot.stage.state in (OPEN, PROVEN):
        return route_of(Place("read", job.id, spot.at, spot.kind))
    return now
