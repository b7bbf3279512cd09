"""What is chosen in the plan: a span that a box can be put into, a box, or the whole of it."""

from __future__ import annotations

import flet as ft

from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.screens.plan_box import chosen_box
from fieldapp.screens.plan_span import chosen_span
from fieldapp.screens.plan_whole import whole
from fieldapp.screens.shared import SendAny


def chosen(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The span or box of the route; without one the names of the job and all there is."""
    job, at = model.open_job.judgement.state.job, model.place.at
    if at in job.spans:
        return chosen_span(job.spans[at], model, send, look)
    if at in job.boxes:
        return chosen_box(job.boxes[at], model, send, look)
    return whole(model, send, look)
