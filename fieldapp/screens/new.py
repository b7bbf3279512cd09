"""New: pick a sample; its copy opens in the plan, where names and lengths are changed."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go, SamplePicked
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.routes import JOBS
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send


def new(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The samples, one button each."""
    fixed = words.FIXED
    back = quiet(look, fixed.back, Send(send, Go(JOBS)), key="back", height=56)
    rows = [
        quiet(
            look,
            title,
            Send(send, SamplePicked(name)),
            key=f"sample-{name}",
            height=72,
            size=22,
            corner=14,
            width=look.width - 2 * MARGIN,
        )
        for name, title in model.samples
    ]
    return frame(
        look,
        top=[header(look, back, fixed.new, "", None), *told(look, model)],
        body=[
            padded(text(look, fixed.pick_sample, 28), top=12),
            padded(text(look, fixed.pick_sample_more, 18, "soft")),
            padded(ft.Column(rows, spacing=12), top=12),
        ],
        actions=[],
    )
