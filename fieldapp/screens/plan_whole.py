"""The whole plan: its names, where else it leads, and everything in it to be chosen from a list."""

from __future__ import annotations

from itertools import zip_longest

import flet as ft

from fieldapp import words
from fieldapp.drawing.run import Branch, RunLine
from fieldapp.knobs import SITE, offered
from fieldapp.messages import CopyJobPressed
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import padded, text
from fieldapp.runline import run_line
from fieldapp.screens.plan_parts import go, name_field, side_by_side, thing_row, thing_title, wide
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send


def whole(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The names of job and site, the further places, every box, span and meter."""
    job = model.open_job.judgement.state.job
    names = ((("title",), words.FIXED.title_label), (("site", "name"), words.site_label()))
    fields = [name_field(path, label, model, send, look) for path, label in names]
    copy = Send(send, CopyJobPressed(job.id, words.copy_title(job.title)))
    ways = [(words.compare_button(), go(model, send, "compare"), "compare")]
    if offered(job, SITE):
        ways.append((words.what_if(), go(model, send, "whatif", SITE), "what-if"))
    return [
        padded(ft.Column(fields, spacing=12), top=8),
        side_by_side(look, *ways),
        wide(look, words.spans_button(), go(model, send, "spans"), key="spans"),
        wide(look, words.duplicate_button(), copy, key="duplicate"),
        padded(text(look, words.nothing_chosen(), 21, face="TB", cap=1.5), top=8),
        *(
            thing_row(one, "plan", thing_title(job, one), model, send, look)
            for one in _things(model)
        ),
        *(
            thing_row(name, "sheets", words.meter_title(name, one.name), model, send, look)
            for name, one in job.meters.items()
        ),
    ]


def _things(model: Model) -> list[str]:
    """Boxes and spans in the order of the run, then those of the branches and any other."""
    job = model.open_job.judgement.state.job
    line = run_line(model.open_job.judgement)
    order: list[str] = []
    parts: tuple[RunLine | Branch, ...] = (line, *line.branches)
    for part in parts:
        spans = [span.id for span in part.spans]
        boxes = [box.id for box in part.boxes]
        rows = (spans, boxes) if part is not line else (boxes, spans)
        order += [one for both in zip_longest(*rows) for one in both if one is not None]
    return list(dict.fromkeys([*order, *job.boxes, *job.spans]))
