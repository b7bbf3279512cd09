"""Before a test on a dead run: who switched what off and when, what is put in; then the pad."""

from __future__ import annotations

from collections.abc import Iterator

import flet as ft

from engine.cautions import called_for, of_reading
from engine.fitted import SHORT
from engine.job import Point
from engine.judge import Judgement
from engine.places import runs_of
from engine.say import Say
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import quiet, slab
from fieldapp.framing import frame
from fieldapp.messages import Go, OutAgain, PutIn, StepPressed
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.routes import Place, route_of
from fieldapp.screens.caution import caution
from fieldapp.screens.putin import in_here
from fieldapp.screens.shared import SendAny, ribbon_of, strip
from fieldapp.sending import Send
from fieldapp.wires import ends_of
from fieldapp.worldclock import clock_of

OFF = "caution-off"
"""the caution that names who switched what off"""
SHORTED = "loop_ohms"
"""the kind of reading that wants its far end shorted"""


def testing(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The cautions first, then what is to be off and in; the slab waits for a word on the power."""
    place, judgement = model.place, model.open_job.judgement
    said = _cautions(judgement, place.at, place.kind)
    marks = {box: (by, t) for box, by, t in _marks(said)}
    body = [
        padded(text(look, words.test_title(place.kind, place.at), 27, cap=1.4), top=12),
        *(caution(words.sentence(one), look) for one in said),
    ]
    boxes = tuple(dict.fromkeys(_feeds(judgement, place.at)))
    for box in boxes:
        body.append(padded(_off(box, marks.get(box), send, look)))
    waits = [box for box in boxes if box not in marks]
    puts_in = place.kind == SHORTED and place.at in judgement.state.job.spans
    fast = puts_in and not waits and look.scale < LARGE  # nobody is to measure past it
    short = [_short(model, place.at, send, look)] if puts_in else []
    body += [] if fast else map(padded, short)
    body.append(padded(text(look, words.test_hold(), 18, "soft", "TI", cap=1.8), bottom=8))
    pad = Go(route_of(Place("read", model.open_job.id, place.at, place.kind, load=place.load)))
    press = Send(send, pad) if not waits else None
    more = words.waits_for_off(waits) if waits else ""
    main = slab(look, words.measure_at(place.at, place.kind), more, press)
    actions = [*short, main] if fast else [main]
    top = [ribbon_of(model, send, look), *told(look, model)]
    foot = bar(look, model, send)
    return frame(look, top=top, body=body, actions=[*strip(model, send, look), *actions], foot=foot)


def _cautions(judgement: Judgement, at: str, kind: str) -> tuple[Say, ...]:
    """All cautions of the reading, that of a dead run first."""
    step = of_reading(judgement.state, judgement.steps, at, kind)
    if step is None:
        return ()
    return tuple(sorted(called_for(judgement.state, step), key=lambda one: one.code != OFF))


def _marks(said: tuple[Say, ...]) -> Iterator[tuple[str, str, str | None]]:
    """What somebody said is off: box, who, when."""
    for one in said:
        if one.code == OFF:
            yield from one.parts["said"]


def _feeds(judgement: Judgement, at: str) -> Iterator[str]:
    """The boxes that feed the run of a place, and those that feed them."""
    state = judgement.state
    steps = {step.box for step in judgement.steps if step.kind == "off" and step.box is not None}
    runs = {Point.parse(feed).box for feed in runs_of(state.job, state.network, at)}
    yield from sorted(runs & steps or steps)


def _off(box: str, said: tuple[str, str | None] | None, send: SendAny, look: Look) -> ft.Control:
    """One press that a feed is said to be off; then whose word that is."""
    if said is not None:
        return text(look, words.is_off_said(box, said[0], clock_of(said[1])), 20, cap=1.6)
    press = Send(send, StepPressed(f"off.{box}", "done"))
    return _wide(words.is_off(box), press, f"off-{box}", look)


def _short(model: Model, span: str, send: SendAny, look: Look) -> ft.Control:
    """One press that the far end is shorted; then that it is out again."""
    state = model.open_job.judgement.state
    far = str(ends_of(state.job, state.network, span)[1])
    there = [one for one in in_here(model, None, span) if one.what == SHORT]
    if there:
        act = Send(send, OutAgain(f"fitted.{there[-1].entry}"))
        return _wide(words.is_out_again(SHORT, there[-1].at), act, "short", look)
    return _wide(words.is_in_at(SHORT, far), Send(send, PutIn(SHORT, far)), "short", look)


def _wide(title: str, press: Send, key: str, look: Look) -> ft.Control:
    return quiet(look, title, press, key=key, width=look.width - 2 * MARGIN, height=72)
