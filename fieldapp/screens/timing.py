"""Steps that take their time: the slab that starts a timer, waits for it, and goes on from it.

How long is left is reckoned from the entry that started it, so a phone that died in between
shows the right rest.
"""

from __future__ import annotations

import flet as ft

from engine.step import Step
from engine.timers import Timer, left, timers
from fieldapp import words
from fieldapp.buttons import slab
from fieldapp.messages import StepPressed, TimerStarted
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import padded, text
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

SECONDS = {"full": 900.0, "cold": 10.0}
"""how long the steps of a kind run, a round [s]"""
ROUNDS = {"cold": 2}


def kind_of(step: Step) -> str:
    """The kind of a step, as the table above has it."""
    return step.id.partition(".")[0]


def is_timed(step: Step) -> bool:
    """Whether a step runs against a timer."""
    return kind_of(step) in SECONDS and step.state != "done"


def running(model: Model, name: str) -> tuple[Timer | None, float]:
    """The timer last started for a step, and what is left of it [s]."""
    timer = timers(model.open_job.judgement.state).get(name)
    return timer, left(timer, model.now) if timer is not None and model.now else 0.0


def countdown(seconds: float, look: Look) -> ft.Control:
    """What is left, large."""
    shown = text(look, words.clock_left(seconds), 84, face="TM", cap=1.0)
    return padded(
        ft.Semantics(label=words.speak_left(seconds), exclude_semantics=True, content=shown)
    )


def timed_body(model: Model, step: Step, look: Look) -> list[ft.Control]:
    """The rest while it runs; after a round, what to look for."""
    timer, rest = running(model, step.id)
    if timer is None:
        return []
    if rest > 0:
        return [countdown(rest, look)]
    if kind_of(step) == "cold" and step.box is not None:
        return [padded(text(look, words.back_by_itself(step.box), 24, cap=1.6))]
    return []


def timed_slab(model: Model, step: Step, more: str, send: SendAny, look: Look) -> ft.Control:
    """Start, wait, once more, done: one press each."""
    timer, rest = running(model, step.id)
    kind = kind_of(step)
    seconds, rounds = SECONDS[kind], ROUNDS.get(kind, 1)
    if timer is None:
        title = (
            words.start_off(step.box or "", seconds)
            if kind == "cold"
            else words.start_timer(seconds)
        )
        start = TimerStarted(step.id, seconds, 1)
        return slab(look, title, words.runs_on(), Send(send, start))
    if rest > 0:
        return slab(look, words.wait_still(rest), words.runs_on(), None, key="waiting")
    if timer.round < rounds:
        again = TimerStarted(step.id, seconds, timer.round + 1)
        return slab(look, words.off_again(seconds), words.first_time_back(), Send(send, again))
    return slab(look, words.step(step.say).after, more, Send(send, StepPressed(step.id, "done")))
