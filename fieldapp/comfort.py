"""What makes the app bearable in a glove, in sun, with large letters: how large letters are, what
is felt of a press, when the screen stays lit, the one thing that moves. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from engine.judge import Judgement
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR
from fieldapp import messages as m
from fieldapp.keeping import Result
from fieldapp.model import Model, Running
from fieldapp.settings import Settings
from fieldapp.spanstates import span_states

LETTERS: Mapping[str, float] = MappingProxyType({"phone": 1.0, "larger": 1.3, "largest": 1.6})
"""by choice: so many times as large as the phone has them, ours"""
MOST = 2.0
"""the screens are laid out for letters up to twice as large; a choice never leads beyond it"""
AWAKE = frozenset({"wires"})
"""screens that are read with both hands full: the phone stays lit"""
MOUNT_SECONDS, RUN_SECONDS = 0.1, 0.4
"""until what moves stands on the page; until the copper is in"""


def letters_scale(phone: float, letters: str) -> float:
    """How large letters are in all: what the phone asks for, times what was chosen here.

    >>> letters_scale(1.0, "larger"), letters_scale(1.5, "largest"), letters_scale(2.4, "larger")
    (1.3, 2.0, 2.4)
    """
    return max(phone, min(phone * LETTERS[letters], MOST))


# ---------------------------------------------------------------- what is felt of a press

KEY, KEPT_INSIDE, KEPT_OTHER, REFUSED = "key", "inside", "other", "refused"
TYPED: Mapping[type, Callable[[Model], Any]] = MappingProxyType(
    {
        m.KeyPressed: lambda model: model.pad and model.pad.digits,
        m.NewKey: lambda model: model.new.digits,
        m.OwnKey: lambda model: model.own and model.own.typed,
        m.DayKey: lambda model: model.own and model.own.day,
        m.TrialKey: lambda model: model.trial and model.trial.digits,
    }
)
"""by key of a pad: what it types on"""
KEPT: Mapping[str, str] = MappingProxyType(
    {INSIDE: KEPT_INSIDE, UNCLEAR: KEPT_OTHER, OUTSIDE: KEPT_OTHER}
)
"""by verdict of a reading that was kept; with nothing to judge by there is nothing to tell"""


def buzz_of(before: Model, message: Any, after: Model) -> str:
    """What is felt of a message; nothing of most. It is always seen as well.

    A key that changes nothing was refused, as was whatever is answered by the one sentence.
    """
    if type(message) in TYPED:
        was, typed = (TYPED[type(message)](model) for model in (before, after))
        return "" if typed is None else KEY if typed != was else REFUSED
    if isinstance(message, m.Kept):
        return _of_reading(message, after)
    if isinstance(message, m.CodePressed):
        return REFUSED if after.code.pressed else ""
    if isinstance(
        message, m.Told | m.PhoneSeen | m.StayAnswered
    ):  # what the world has to say was not asked for
        return ""
    return REFUSED if after.told is not None and after.told is not before.told else ""


def _of_reading(message: m.Kept, after: Model) -> str:
    if after.job is None or message.entries[0].get("what") != "reading":
        return ""
    ident = message.entries[0]["id"]
    found = (one.verdict for one in after.job.judgement.verdicts if one.reading.id == ident)
    return KEPT.get(next(found, ""), "")


# ---------------------------------------------------------------- the one thing that moves


def proven_anew(before: Judgement, after: Judgement) -> tuple[str, ...]:
    """The spans that are copper now and were not."""
    was, now = span_states(before), span_states(after)
    return tuple(span for span in now if now[span] == "copper" != was.get(span))


def _running(before: Model, message: Any, model: Model) -> Result:
    """After a reading copper runs into what it proves, unless less motion was asked for."""
    is_new = isinstance(message, m.Kept) and before.has_open(message.job)
    if not is_new or model.window.still or message.entries[0].get("what") != "reading":
        return model, ()
    spans = proven_anew(before.open_job.judgement, model.open_job.judgement)
    if not spans:
        return model, ()
    return replace(model, running=Running(spans)), (m.Later(MOUNT_SECONDS, m.CopperStarts()),)


def _copper_starts(model: Model, message: m.CopperStarts) -> Result:
    if model.running is None:
        return model, ()
    running = replace(model.running, goes=True)
    return replace(model, running=running), (m.Later(RUN_SECONDS, m.CopperIsIn()),)


def _copper_is_in(model: Model, message: m.CopperIsIn) -> Result:
    return replace(model, running=None), ()


# ---------------------------------------------------------------- what the phone was asked for


def _resized(model: Model, message: m.Resized) -> Result:
    window = replace(model.window, width=message.width, height=message.height)
    return replace(model, window=window), ()


def _look_changed(model: Model, message: m.LookChanged) -> Result:
    return replace(model, window=replace(model.window, dark=message.dark)), ()


def _scale_seen(model: Model, message: m.ScaleSeen) -> Result:
    return replace(model, window=replace(model.window, scale=message.scale)), ()


def _wishes_seen(model: Model, message: m.WishesSeen) -> Result:
    window = replace(model.window, still=message.still, contrast=message.contrast)
    running = None if message.still else model.running
    return replace(model, window=window, running=running), ()


def _came_back(model: Model, message: m.CameBack) -> Result:
    """A phone lets go of the light when the app is out of sight: it is asked for again."""
    return replace(model, lit=False), (m.AskWishes(),)


def stays_lit(settings: Settings, screen: str) -> bool:
    """Whether the phone is to stay lit: all the time if that was chosen, on some screens always."""
    return settings.awake == "on" or screen in AWAKE


def with_comfort(before: Model, message: Any, model: Model, effects: m.Effects) -> Result:
    """What goes along with a message: copper that runs, a buzz, a lit screen."""
    model, more = _running(before, message, model)
    buzz = buzz_of(before, message, model) if model.settings.buzz == "on" else ""
    if buzz:
        more = (*more, m.Buzz(buzz))
    lit = stays_lit(model.settings, model.place.screen)
    if lit != model.lit:
        model, more = replace(model, lit=lit), (*more, m.StayAwake(lit))
    return model, (*effects, *more)


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.Resized: _resized,
    m.LookChanged: _look_changed,
    m.ScaleSeen: _scale_seen,
    m.WishesSeen: _wishes_seen,
    m.CameBack: _came_back,
    m.CopperStarts: _copper_starts,
    m.CopperIsIn: _copper_is_in,
}
