"""Plan: whether it works at worst, the first thing it breaks, names and lengths to change."""

from __future__ import annotations

import flet as ft

from engine.study import Prediction
from fieldapp import words
from fieldapp.drawing.falling import falling_line
from fieldapp.messages import EditAccepted, EditTyped, Go, TakeBack
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import (
    MARGIN,
    Send,
    SendText,
    frame,
    header,
    padded,
    quiet,
    slab,
    text,
    told,
)
from fieldapp.pressing import spoken
from fieldapp.questions import edit_value, last_edit, value_at
from fieldapp.routes import Place, route_of
from fieldapp.runline import fall_points, floor_of, run_length_m, run_line
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny, broken_line, conflict_lines

MOST_NAMED = 2
"""endpoints whose watts to spare are told; more would not be read"""


def plan(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The plan as it stands; each change is an entry of the log once it is kept."""
    fixed = words.FIXED
    job = model.job
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
    ]
    paths = [
        (("title",), fixed.title_label),
        (("site", "name"), words.site_label()),
        *((("boxes", box.id, "name"), words.name_of(box.id)) for box in state.job.boxes.values()),
        *(
            (("spans", span.id, "length_m"), words.length_of(span.id, span.a.box, span.b.box))
            for span in state.job.spans.values()
        ),
    ]
    rows = [_field(path, label, model, send, look) for path, label in paths]
    body = [
        _line(model, look),
        *conflict_lines(model, send, look),
        *_findings(model, look),
        padded(ft.Column(rows, spacing=12), top=8, bottom=16),
    ]
    return frame(look, top=top, body=body, actions=_actions(model, send, look))


def _undo(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The last change of the plan can be taken back; what was taken back stays in the log."""
    entry = last_edit(model)
    if entry is None:
        return []
    press = Send(send, TakeBack(entry))
    return [quiet(look, words.FIXED.undo, press, key="undo", height=56)]


def _line(model: Model, look: Look) -> ft.Control:
    judgement = model.job.judgement
    floor = floor_of(judgement.prediction)
    picture = falling_line(
        run_line(judgement),
        fall_points(judgement),
        floor[0] if floor else None,
        words.floor(*floor) if floor else "",
        None,
        look.width,
        300,
        key=False,
        collapse=broken_line(judgement),
        wording=words.WORDING,
        letters=look.scale,
    )
    speech = words.speak_line(
        [(name, p.expected, "") for name, p in fall_points(judgement).items()],
        words.floor(*floor) if floor else "",
    )
    drawn = spoken(look, picture, speech)
    if picture.width > look.width:
        return ft.Row([drawn], scroll=ft.ScrollMode.ALWAYS)
    return drawn


def _findings(model: Model, look: Look) -> list[ft.Control]:
    """The first findings as white blocks, or the worst volts when nothing breaks."""
    prediction = model.job.judgement.prediction
    found = [f for f in prediction.findings if f.severity in ("stop", "warn")]
    said = [words.sentence(finding.say) for finding in found] or [_nothing_breaks(model)]
    said += _headroom(prediction)
    edge = ft.BorderSide(2.5, look.tokens["ink"])
    return [
        ft.Container(
            ft.Column([text(look, one, 19, cap=1.8) for one in said], spacing=8),
            bgcolor=look.tokens["sheet"],
            border=ft.Border.only(top=edge, bottom=edge),
            padding=MARGIN,
        )
    ]


def _headroom(prediction: Prediction) -> list[str]:
    """How much more the run would bear, unless it bears nothing or cannot be overloaded."""
    share = prediction.load_share
    if share is None or not prediction.operates or prediction.study.cut:
        return []
    spare = [(name, watts) for name, watts in prediction.watts_to_spare.items() if watts]
    return [words.would_bear(share, spare[:MOST_NAMED])]


def _nothing_breaks(model: Model) -> str:
    margins = [
        (seen.volts.low - node.load.sheet.cutoff_volts, seen.volts.low)
        for tree in model.job.judgement.prediction.study.network.trees
        for node in tree.nodes
        if node.load is not None
        and (seen := model.job.judgement.prediction.points[node.point]).volts.low is not None
    ]
    if not margins:
        return words.FIXED.no_finding
    spare, low = min(margins)
    return words.plan_answer(low, spare)


def _field(
    path: tuple[str, ...], label: str, model: Model, send: SendAny, look: Look
) -> ft.Control:
    edit = model.edit
    stands = value_at(model.job.judgement.state.doc, path)
    shown = edit.text if edit is not None and edit.path == path else words.plan_value(stands)
    return field(
        look,
        label,
        shown,
        SendText(send, EditTyped, path),
        key="edit-" + "/".join(path),
        on_submit=Send(send, EditAccepted()),
        numeric=path[-1] == "length_m",
    )


def _actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    if model.edit is None:
        return []
    ready = edit_value(model.edit) is not None
    press = Send(send, EditAccepted()) if ready else None
    more = "" if ready else words.type_a_value()
    return [slab(look, words.FIXED.keep_change, more, press, key="keep-change")]
