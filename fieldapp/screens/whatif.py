"""What if: a value of the plan under the thumb; the falling line follows, the plan stays."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import flet as ft

from engine.advise.ground import Ground
from fieldapp import words
from fieldapp.drawing.arrow import stepper
from fieldapp.drawing.digits import digits_picture
from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.slider import Ruler, ruler_over, slider, stepped
from fieldapp.knobs import GAUGE, SITE, Knob, alike, allowed, has_gauge, offered
from fieldapp.longline import in_column
from fieldapp.messages import (
    Go,
    TrialDropped,
    TrialKey,
    TrialMoved,
    TrialPad,
    TrialPicked,
    TrialPlanned,
    TrialStepped,
)
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import (
    GAP,
    LARGE,
    MARGIN,
    Send,
    cut,
    frame,
    half,
    header,
    padded,
    quiet,
    slab,
    text,
    told,
)
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.runline import fall_points, floor_of, run_line
from fieldapp.screens.keypad import keys
from fieldapp.screens.shared import SendAny, broken_line
from fieldapp.sideways import end_of
from fieldapp.trial import (
    Edge,
    as_planned,
    counts_as,
    edge,
    ends_of,
    fits,
    gauges_of,
    knob_of,
    outcome,
    plan_of,
    planned_value,
    solved,
    trial_of,
    tried,
    tried_value,
    typed_value,
)
from fieldapp.words import units

HEIGHT, LOW, LOWEST = 206.0, 176.0, 164.0
"""of the line; of the line over the pad; where letters are large [dp]"""
SMALL = 780.0
"""a window lower than this has no room for a high line"""
DRAG_MS = 24
"""between two events of a drag: a prediction and a picture take less"""
STEPPER = 58.0
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
    foot = [*_moving(model, value, send, look), *_ends(model, value, plan, after, send, look)]
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
    if last is not None and None not in (last.low, last.high) and not crowded:
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
        bare = come.volts is None
        said = words.tried_holds_bare() if bare else _holds(come.box, come.volts, come.spare)
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


# ---------------------------------------------------------------- the value under the thumb


def _moving(model: Model, value: float, send: SendAny, look: Look) -> list[ft.Control]:
    knob = knob_of(model)
    if knob is None:
        return [_gauges(model, value, send, look)]
    job, thing = model.open_job.judgement.state.job, trial_of(model).thing
    plan = planned_value(model)
    last = edge(model.open_job.judgement, knob, thing)
    least, most = allowed(job, knob, thing)
    steps = [
        _stepper(way, min(max(stepped(value, knob.step, by), least), most), by, knob, send, look)
        for way, by in (("left", -1), ("right", 1))
    ]
    shown = words.tried_value(value, knob.kind)
    inside = ft.Column(
        [
            text(look, shown, 44, face="TM", cap=1.15, max_lines=1),
            text(look, words.tried_apart(value - plan, knob.kind), 16, "soft", "P", cap=1.2),
        ],
        spacing=0,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )
    face = ft.Button(
        key="trial-type",
        content=ft.Semantics(
            label=words.tried_type(shown),
            exclude_semantics=True,
            content=ft.Row([inside], alignment=ft.MainAxisAlignment.CENTER),
        ),
        on_click=Send(send, TrialPad(True)),
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ground"],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=ft.Padding.symmetric(vertical=4),
            shape=cut(10, ft.BorderSide(1.5, look.tokens["ink"])),
        ),
        expand=True,
    )
    row = ft.Row(
        [steps[0], face, steps[1]],
        spacing=GAP,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return [padded(row), _slider(value, plan, last, knob, send, look)]


def _stepper(way: str, to: float, by: int, knob: Knob, send: SendAny, look: Look) -> ft.Control:
    shown = words.tried_value(to, knob.kind)
    return ft.Button(
        key=f"trial-{way}",
        content=ft.Semantics(
            label=words.tried_up(shown) if by > 0 else words.tried_down(shown),
            exclude_semantics=True,
            content=canvas(look, stepper(way)),
        ),
        on_click=Send(send, TrialStepped(by)),
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ground"],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=0,
            shape=cut(10, ft.BorderSide(2.5, look.tokens["ink"])),
        ),
        width=STEPPER,
        height=STEPPER,
    )


class Dragged:
    """A handler of a drag or a press on the ruler: the same ruler, the same handler."""

    def __init__(self, send: SendAny, ruler: Ruler, kind: str) -> None:
        self._send, self.ruler, self._kind = send, ruler, kind

    def __call__(self, event: Any) -> None:
        if event.local_position is not None:
            value = self.ruler.value(event.local_position.x)
            self._send(TrialMoved(units.kept(value, self._kind)))

    def __eq__(self, other: object) -> bool:
        alike = type(other) is type(self)
        return alike and (self.ruler, self._kind) == (other.ruler, other._kind)

    def __hash__(self) -> int:
        return hash((self.ruler, self._kind))


def _slider(
    value: float, plan: float, last: Edge, knob: Knob, send: SendAny, look: Look
) -> ft.Control:
    """The ruler has the units that are shown; what is kept of a drag has the format's."""

    def shown_as(figure: float) -> float:
        return units.shown(figure, knob.kind)

    end = None if last.value is None else shown_as(last.value)
    step = round(knob.step * units.per(knob.kind), 9)
    own = replace(knob.as_shown, step=step)
    ruler = ruler_over(*ends_of(own, shown_as(plan), replace(last, value=end)), step, look.width)
    far = ruler.high if knob.worse > 0 else ruler.low
    if end is None:
        hatched, said = (ruler.high, ruler.low)[:: knob.worse], words.tried_nowhere()
    elif last.ends and (far - end) * knob.worse > 0:
        hatched = (end, far)
        said = words.tried_last(words.tried_value(last.value, knob.kind), knob.worse > 0)
    else:
        hatched, said = None, words.tried_all()
    mark = words.tried_plan_mark(words.tried_value(plan, knob.kind))
    picture = slider(
        ruler,
        shown_as(value),
        shown_as(plan),
        hatched,
        look.width,
        words.tried_figure,
        (mark, said),
        look.scale,
    )
    moves = Dragged(send, ruler, knob.kind)
    shown = words.tried_value(value, knob.kind)
    up, down = (words.tried_value(stepped(value, knob.step, by), knob.kind) for by in (1, -1))
    return ft.GestureDetector(
        key="trial-ruler",
        content=ft.Semantics(
            label=words.tried_slider(words.TRIED[knob.name]),
            slider=True,
            value=shown,
            increased_value=up,
            decreased_value=down,
            on_increase=Send(send, TrialStepped(1)),
            on_decrease=Send(send, TrialStepped(-1)),
            exclude_semantics=True,
            content=canvas(look, picture),
        ),
        on_horizontal_drag_start=moves,
        on_horizontal_drag_update=moves,
        on_tap_up=moves,
        drag_interval=DRAG_MS,
    )


def _gauges(model: Model, value: float, send: SendAny, look: Look) -> ft.Control:
    """A gauge is chosen; under each stands whether the plan holds with it."""
    own, thing = model.open_job.judgement, trial_of(model).thing
    plan = plan_of(own)
    row = [
        half(
            look,
            words.tried_gauge_name(gauge),
            words.tried_gauge(outcome(plan, solved(own, GAUGE, thing, gauge)).holds),
            Send(send, TrialMoved(float(gauge))),
            chosen=gauge == value,
            key=f"trial-awg-{gauge}",
        )
        for gauge in gauges_of(model)
    ]
    return padded(ft.Row(row, spacing=0))


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
