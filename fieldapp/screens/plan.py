"""The plan editor: the line as planned, the first thing it breaks and the smallest change that
mends it, and what is chosen."""

from __future__ import annotations

from dataclasses import replace

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet, slab
from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.openings import with_chosen
from fieldapp.framing import across, frame, share_of
from fieldapp.heading import header
from fieldapp.longline import AROUND, in_column
from fieldapp.messages import EditAccepted, Go, PlanUndone
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import notice, padded, told
from fieldapp.pressing import pressable
from fieldapp.questions import edit_value, last_edits
from fieldapp.routes import Place, route_of
from fieldapp.runline import fall_points, floor_of, run_length_m, run_line
from fieldapp.screens import plan_box, plan_move, plan_ways
from fieldapp.screens.hand import hand_button
from fieldapp.screens.plan_block import block
from fieldapp.screens.plan_chosen import chosen
from fieldapp.screens.shared import SendAny, broken_line, conflict_lines
from fieldapp.screens.sheets import sheets
from fieldapp.sending import Send
from fieldapp.window import TURNED, WIDE, has_list

HEIGHT, HEAD = 290.0, 76.0
"""of the line: the finding and the first button below it stay on a small phone; of what stands
above it, where a phone lies on its side [dp]"""


SHEETS = {
    plan_move.SHEET: (plan_move.move_body, plan_move.move_actions),
    plan_box.SHEET: (plan_box.bond_body, plan_box.bond_actions),
    plan_ways.SHEET: (plan_ways.ways_body, plan_ways.ways_actions),
}
"""what is chosen from in the place of the plan, and how one leaves it"""


def plan(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The plan as it stands; each press is one or more entries of the log."""
    job = model.open_job
    state = job.judgement.state
    done = Send(send, Go(route_of(Place("now", job.id))))
    top = [
        header(
            look,
            None,
            state.job.title,
            words.plan_line(run_length_m(job.judgement), len(state.job.boxes)),
            ft.Row(
                [
                    *_undo(model, send, look),
                    quiet(look, words.done_button(), done, key="done", height=56),
                ],
                spacing=8,
                tight=True,
            ),
        ),
        *told(look, model),
        *_not_here(model, look),
    ]
    if look.shape == WIDE:
        return _across(model, top, send, look)
    if _asks(model):
        body, actions = (draw(model, send, look) for draw in SHEETS[model.open_sheet.what])
        return frame(look, top=top, body=body, actions=actions)
    line, actions = _line(model, send, look), _actions(model, send, look)
    rest = [
        *conflict_lines(model, send, look),
        *block(model, send, look),
        *chosen(model, send, look),
        *([] if model.place.at else [padded(hand_button(model, send, look))]),
    ]
    if look.shape == TURNED:
        right = ft.Column([*rest, *map(padded, actions)], spacing=12)
        return frame(look, top=top, body=[line], actions=[], foot=right)
    return frame(look, top=top, body=[line, *rest], actions=actions)


def _across(model: Model, top: list[ft.Control], send: SendAny, look: Look) -> list[ft.Control]:
    """The line across the window; below it what it breaks, what is chosen, the sheets for that."""
    plan = model.open_job.judgement.state.job
    listed = has_list(look.whole, look.height) and model.place.at in (*plan.boxes, *plan.spans)
    columns = 3 if listed else 2
    one = replace(look.into(share_of(look, columns)), above=None)
    line = _line(model, send, look.across())
    found = [*conflict_lines(model, send, one), *block(model, send, one)]
    if _asks(model):
        body, actions = (draw(model, send, one) for draw in SHEETS[model.open_sheet.what])
    else:
        body, actions = chosen(model, send, one), _actions(model, send, one)
        body += [] if model.place.at else [padded(hand_button(model, send, one))]
    screens = [
        frame(one, top=[], body=found, actions=[]),
        frame(one, top=[], body=body, actions=actions),
        *([sheets(model, send, one)] if listed else []),
    ]
    return across(look, [*top, line], screens, one)


def _not_here(model: Model, look: Look) -> list[ft.Control]:
    """Said where one came for a thing that the plan does not have now."""
    plan, at = model.open_job.judgement.state.job, model.place.at
    return [] if at in ("", *plan.boxes, *plan.spans) else [notice(look, words.not_in_job(at))]


def _asks(model: Model) -> bool:
    """Whether something is to be chosen: a stop, an earth, another change."""
    return model.sheet is not None and model.sheet.what in SHEETS


def _undo(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The last press can be taken back; what was taken back stays in the log."""
    if not last_edits(model):
        return []
    return [quiet(look, words.FIXED.undo, Send(send, PlanUndone()), key="undo", height=56)]


def _line(model: Model, send: SendAny, look: Look) -> ft.Control:
    judgement = model.open_job.judgement
    floor = floor_of(judgement.prediction)
    points = fall_points(judgement)
    at = model.place.at
    line = run_line(judgement, towards=at)
    last = points.get(line.boxes[-1].id) if line.boxes else None
    extremes = None
    if last is not None and last.low is not None and last.high is not None:
        extremes = (words.at_best(last.high), words.at_worst(last.low))
    plan = judgement.state.job
    picture = falling_line(
        line,
        points,
        floor[0] if floor else None,
        words.floor(*floor) if floor else "",
        at if at in plan.boxes else None,
        look.width,
        min(HEIGHT, look.height - HEAD - AROUND) if look.shape == TURNED else HEIGHT,
        key=False,
        collapse=broken_line(judgement),
        extremes=extremes,
        openings=True,
        wording=words.WORDING,
        letters=look.scale,
    )
    if at in plan.spans:
        metres = words.metres(plan.spans[at].length_m.expected)
        picture = with_chosen(picture, f"+{at}", metres)

    def press(key: str) -> Send:
        return Send(send, Go(route_of(Place("plan", model.open_job.id, key.removeprefix("+")))))

    speech = words.speak_line(
        [(name, p.expected, "") for name, p in points.items()],
        words.floor(*floor) if floor else "",
    )
    drawn = pressable(look, picture, speech, press, prefix="plan")
    key = f"+{at}" if at in plan.spans else at
    return in_column(model, send, look, line, picture, drawn, key)


def _actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    if model.edit is None:
        return []
    ready = edit_value(model.edit) is not None
    press = Send(send, EditAccepted()) if ready else None
    more = "" if ready else words.type_a_value()
    return [slab(look, words.FIXED.keep_change, more, press, key="keep-change")]
