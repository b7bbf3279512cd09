"""Settings: the look, and the name that stands beside what is kept."""

from __future__ import annotations

import flet as ft

from engine import __version__
from fieldapp import words
from fieldapp.messages import Go, SettingPicked
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import MARGIN, Send, SendText, frame, half, header, padded, quiet, text, told
from fieldapp.routes import JOBS, Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny


def settings(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Choices as rows of halves."""
    fixed = words.FIXED
    back = quiet(look, fixed.back, Send(send, Go(JOBS)), key="back", height=56)
    looks = (("sun", fixed.sun), ("dark", fixed.dark), ("phone", fixed.phone))
    return frame(
        look,
        top=[header(look, back, fixed.settings, "", None), *told(look, model)],
        body=[
            padded(text(look, fixed.look, 21, face="TB"), top=12),
            padded(
                ft.Row(
                    [
                        half(
                            look,
                            title,
                            "",
                            Send(send, SettingPicked("look", value)),
                            chosen=model.settings.look == value,
                            key=f"look-{value}",
                        )
                        for value, title in looks
                    ],
                    spacing=0,
                )
            ),
            padded(text(look, fixed.name, 21, face="TB"), top=16),
            padded(text(look, fixed.name_more, 17, "soft")),
            padded(
                field(
                    look,
                    fixed.own_name_label,
                    model.settings.name,
                    SendText(send, SettingPicked, "name"),
                    key="name",
                )
            ),
            padded(
                quiet(
                    look,
                    words.found_title(),
                    Send(send, Go(route_of(Place("found")))),
                    key="found",
                    width=look.width - 2 * MARGIN,
                ),
                top=20,
            ),
            ft.Container(text(look, words.version(__version__), 16, "soft", "TI"), padding=MARGIN),
        ],
        actions=[],
    )
