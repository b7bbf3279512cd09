"""A wide window: the falling line always in sight at the left, the screen at the right.

A screen is drawn as on a phone, into its own column; only what is twice to see then is left out
there: the ribbon, the bar, and on Run the line.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import flet as ft

from engine.job import Point
from fieldapp.bar import HEIGHT as BAR_HEIGHT
from fieldapp.bar import bar
from fieldapp.faultview import shown
from fieldapp.finding import account_of, thing_at
from fieldapp.framing import LINE, beside, centred, scrolling
from fieldapp.model import Model
from fieldapp.paint import LARGE, Look
from fieldapp.questions import step_shown
from fieldapp.runline import run_line, verdict_of
from fieldapp.screens.run import HEAD, chosen_point, line_of, run_head
from fieldapp.screens.shared import SendAny
from fieldapp.window import UPRIGHT, WIDE

LEFT = 440.0
"""the column of the line [dp]"""
LEAST, MOST = 300.0, 760.0
"""how high the line is [dp]"""
ALONE = frozenset({"compare"})
"""screens of a job that are a drawing of the line themselves"""
ACROSS = frozenset({"plan"})
"""screens that take the whole window"""

Screen = Callable[[Model, SendAny, Look], list[ft.Control]]


def placed(model: Model, send: SendAny, look: Look, screen: Screen) -> list[ft.Control]:
    """A screen in its window."""
    place = model.place
    if look.shape != WIDE or place.screen in ACROSS:
        return screen(model, send, look)
    if not place.job or place.screen in ALONE:
        return centred(screen(model, send, look), look)
    left, right = look.into(LEFT, UPRIGHT), look.into(look.whole - LEFT - LINE)
    return beside(_line(model, send, left), left, screen(model, send, right), right)


def _line(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The head of Run, the line with what the screen speaks of, the bar."""
    grown = 1.0 if look.scale < LARGE else 1.2
    height = look.height - (HEAD + BAR_HEIGHT) * grown
    high = min(max(height, LEAST), MOST)
    drawn = line_of(model, spoken_of(model), high, send, look, mark=True)
    return [run_head(model, send, look), scrolling([drawn]), bar(look, model, send)]


def spoken_of(model: Model) -> str | None:
    """The box that the screen speaks of; of a span the one at its end."""
    thing = THINGS.get(model.place.screen, _of_place)(model)
    return _box(model, thing) if thing else None


def _box(model: Model, thing: str) -> str | None:
    job = model.open_job.judgement.state.job
    if thing in job.boxes:
        return thing
    span = job.spans.get(thing)
    if span is None:
        box = Point.parse(thing).box
        return box if box in job.boxes else None
    order = [box.id for box in run_line(model.open_job.judgement).boxes]
    ends = [end.box for end in (span.a, span.b) if end.box in order]
    return max(ends, key=order.index, default=None)


def _of_place(model: Model) -> str:
    return model.place.at


def _of_step(model: Model) -> str:
    step = step_shown(model)
    return (step.box or step.span or "") if step is not None else ""


def _of_run(model: Model) -> str:
    at = chosen_point(model)
    return at.box if at is not None else ""


def _of_verdict(model: Model) -> str:
    found = verdict_of(model.open_job.judgement, model.place.at)
    return found.reading.at if found is not None else ""


def _of_fault(model: Model) -> str:
    """The cause on top."""
    account = account_of(model)
    return (
        thing_at(model.open_job.judgement.state.job, shown(model, account).where) if account else ""
    )


def _of_hold(model: Model) -> str:
    """The hold that is open in a sheet."""
    of = model.sheet.of if model.sheet is not None else ""
    return next((hold.at for hold in model.open_job.judgement.holds if hold.id == of), of)


THINGS: Mapping[str, Callable[[Model], Any]] = {
    "now": _of_step,
    "steps": _of_step,
    "power": _of_step,
    "run": _of_run,
    "verdict": _of_verdict,
    "fault": _of_fault,
    "leave": _of_hold,
}
"""what a screen speaks of, where its place does not say so"""
