"""What if: a value of the plan under the thumb; the falling line follows, the plan stays."""

from __future__ import annotations

import flet as ft

from engine.advise.ground import Ground
from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drawing.digits import digits_picture
from fieldapp.drawing.falling import falling_line
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.knobs import GAUGE, SITE, alike, allowed, has_gauge, offered
from fieldapp.longline import in_column
from fieldapp.messages import (
    Go,
    TrialDropped,
    TrialKey,
    TrialPad,
    TrialPicked,
    TrialPlanned,
)
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.runline import fall_points, floor_of, run_line
from fieldapp.screens.keypad import keys
from fieldapp.screens.shared import SendAny, broken_line
from fieldapp.screens.whatif_value import moving
from fieldapp.sending import Send
from fieldapp.sideways import end_of
from fieldapp.trial import (
    as_planned,
    counts_as,
    fits,
    knob_of,
    outcome,
    plan_of,
    planned_value,
    trial_of,
    tried,
    tried_value,
    typed_value,
)

HEIGHT, LOW, LOWEST = 206.0, 176.0, 164.0
"""of the line; of the line over the pad; where letters are large [dp]"""
SMALL = 780.0
"""a window lower than this has no room for a high line"""
BACK = 56.0


def whatif(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One value tried: the line with it, what comes of it, the value, and the way to plan it so."""
    value, plan = tried_value(model), planned_value(model)
    trial = trial_of(model)
    at = "" if trial.thing == SITE else trial.thing
    typing = trial.digits is not None
    back = Send(
        send, TrialPad(False) if typing else Go(route_of(Place("plan", model.open_job.id, at)))
    )
    behind = quiet(look, words.FIXED.back, back, key="back", height=56)
    title = words.tried_title(at) if at else words.tried_site_title()
    if value is None or plan is None:
        nothing = padded(text(look, words.tried_nothing(), 22, "soft", cap=1.5), top=40)
        return frame(look, top=[header(look, behind, title, "", None)], body=[nothing], actions=[])
    line = words.tried_line(trial.knob, words.tried_value(plan, _kind(model)))
    top = [header(look, behind, title, line, None), *told(look, model)]
    after = tried(model)
    body = [
        *([] if typing else _choices(model, send, look)),
        _line(model, after, send, look, low=typing or look.height < SMALL or look.scale >= LARGE),
        *_said(model, after, value, look),
    ]
    if typing:
        return frame(look, top=top, body=body, actions=[], foot=_typing(model, send, look))
    foot = [*moving(model, value, send, look), *_ends(model, value, plan, after, send, look)]
    column = ft.Column([*foot, ft.Container(height=GAP)], spacing=GAP, tight=True)
    return frame(look, top=top, body=body, actions=[], foot=column)


def _kind(model: Model) -> str:
    """The kind of figure that is tried, for its unit."""
    knob = knob_of(model)
    return knob.kind if knob is not None else GAUGE


def _choices(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Which value of the thing is tried, where it has several."""
    job, trial = model.open_job.judgement.state.job, trial_of(model)
    names = [knob.name for knob in offered(job, trial.thing)]
    names += [GAUGE] if has_gauge(job, trial.thing) else []
    if len(names) < 2:
        return []
    row = [
        half(
            look,
            words.TRIED[name],
            "",
            Send(send, TrialPicked(name)),
            chosen=name == trial.knob,
            key=f"trial-{name}",
        )
        for name in names
    ]
    return [padded(ft.Row(row, spacing=0))]


# ---------------------------------------------------------------- what comes of it


def _line(
    model: Model, after: Ground | None, send: SendAny, look: Look, *, low: bool
) -> ft.Control:
    """The falling line as tried, the plan's own thin beneath it."""
    crowded = low and look.scale >= LARGE
    own = model.open_job.judgement
    plan = plan_of(own)
    after = after if after is not None else plan
    judgement = as_planned(own, after)
    floor = floor_of(judgement.prediction)
    floor_words = words.floor(*floor) if floor else ""
    points = fall_points(judgement)
    line = run_line(judgement)
    last = points.get(line.boxes[-1].id) if line.boxes else None
    extremes = None
    if last is not None and last.low is not None and last.high is not None and not crowded:
        extremes = (words.at_best(last.high), words.at_worst(last.low))
    beneath = None
    if after is not plan:
        beneath = (words.tried_beneath(), fall_points(as_planned(own, plan)))
    picture = falling_line(
        line,
        points,
        floor[0] if floor else None,
        floor_words,
        None,
        look.width,
        LOWEST if crowded else LOW if low else HEIGHT,
        key=False,
        collapse=broken_line(judgement),
        extremes=extremes,
        beneath=beneath,
        wording=words.WORDING,
        letters=look.scale,
    )
    speech = words.speak_line([(name, p.expected, "") for name, p in points.items()], floor_words)
    drawn = spoken(look, picture, speech)
    return in_column(model, send, look, line, picture, drawn, end_of(line, trial_of(model).thing))


def _said(model: Model, after: Ground | None, value: float, look: Look) -> list[ft.Control]:
    """One sentence of what happens; then what else is to be known."""
    kind = _kind(model)
    shown = words.tried_value(value, kind)
    come = outcome(plan_of(model.open_job.judgement), after)
    more = []
    if after is None:
        said = words.tried_unheld(shown)
    elif come.holds:
        volts, bare = come.volts, words.tried_holds_bare()
        said = _holds(come.box, volts, come.spare) if volts is not None else bare
        more += [words.sentence(come.finding.say)] if come.finding is not None else []
    elif come.box:
        said = words.tried_drops(shown, come.box, come.at_worst)
    elif come.finding is not None:
        said = words.tried_breaks(shown, words.sentence(come.finding.say))
    else:
        said = words.tried_no_more(shown)
    same = alike(model.open_job.judgement.state.job, trial_of(model).thing)
    if len(same) > 1:
        more.append(words.tried_alike(", ".join(same)))
    return [
        padded(ft.Semantics(content=text(look, said, 19, cap=1.25), live_region=True)),
        *(padded(text(look, one, 17, "soft", cap=1.25)) for one in more),
    ]


def _holds(box: str, volts: float, spare: float) -> str:
    return words.tried_holds(box, volts, spare)


# ---------------------------------------------------------------- the ways on


def _ends(
    model: Model, value: float, plan: float, after: Ground | None, send: SendAny, look: Look
) -> list[ft.Control]:
    """Plan it so, or back to the plan's own; while it is the plan's own, neither."""
    shown = words.tried_value(plan, _kind(model))
    if value == plan:
        return [
            padded(
                slab(
                    look,
                    words.tried_is_plan(),
                    words.tried_how(_kind(model) == GAUGE),
                    key="trial-plan",
                    fixed=True,
                )
            ),
            ft.Container(height=BACK),  # what comes there later moves nothing
        ]
    press = Send(send, TrialPlanned()) if after is not None else None
    more = words.tried_counts(counts_as(model) == "change")
    wide = look.width - 2 * MARGIN
    drop = Send(send, TrialDropped())
    return [
        padded(slab(look, words.tried_plan_it(), more, press, key="trial-plan", fixed=True)),
        padded(
            quiet(look, words.tried_back(shown), drop, key="trial-back", width=wide, height=BACK)
        ),
    ]


def _typing(model: Model, send: SendAny, look: Look) -> ft.Control:
    """The pad; the line follows what is typed."""
    trial, knob = trial_of(model), knob_of(model)
    assert knob is not None  # a gauge is chosen, not typed
    digits = trial.digits or ""
    unit = words.unit_of(knob.kind)
    height = 96.0 if look.height >= SMALL else 72.0
    said = words.reel_typed(digits, unit) if digits else words.tried_type_it(knob.kind)
    value = typed_value(model)
    if value is None:
        keep = slab(look, words.FIXED.back, words.tried_type_it(knob.kind), _close(send), plain=True,
                    key="trial-use", fixed=True)  # fmt: skip
    elif not fits(model, value):
        job = model.open_job.judgement.state.job
        least, most = allowed(job, knob, trial.thing)
        why = words.tried_range(least, most, knob.kind)
        keep = slab(look, why, "", None, key="trial-use", fixed=True)
    else:
        keep = slab(look, words.tried_use(words.tried_value(value, knob.kind)), "", _close(send),
                    key="trial-use", fixed=True)  # fmt: skip
    pad = keys(look, lambda key: Send(send, TrialKey(key)), prefix="trial-key")
    drawn = spoken(look, digits_picture(words.as_typed(digits), unit, look.width, height), said)
    return ft.Column([drawn, pad, padded(keep, top=8, bottom=8)], spacing=0, tight=True)


def _close(send: SendAny) -> Send:
    return Send(send, TrialPad(False))
