"""The bar at the thumb: Now, Run, Leave, the three places one works from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from fieldapp import words
from fieldapp.buttons import cut
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import LARGE, Look
from fieldapp.parts import text
from fieldapp.routes import BAR, BEHIND, Place, route_of
from fieldapp.sending import Send
from fieldapp.window import TURNED, WIDE

HEIGHT, ROW = 66.0, 56.0
"""of the bar; of one of its rows where the phone lies on its side [dp]"""


def bar(look: Look, model: Model, send: Callable[[Any], None]) -> ft.Control | None:
    """Now, Run, Leave: always at the thumb; the place one is in is a black box on the line.

    In a wide window it stands below the line at the left, so that a screen has none of its own.
    """
    if look.shape == WIDE:
        return None
    here = model.place.screen
    while here not in BAR:
        here = BEHIND[here] or ""
    names = {
        "now": words.FIXED.now,
        "run": words.FIXED.run,
        "leave": words.leave_bar(len(model.open_job.judgement.blockers)),
    }
    if look.scale >= LARGE:
        names["leave"] = words.leave_bar_short(len(model.open_job.judgement.blockers))
    buttons = [
        _bar_button(
            look,
            names[place],
            Send(send, Go(route_of(Place(place, model.open_job.id)))),
            chosen=place == here,
            key=f"bar-{place}",
            share=4 if place == "leave" else 3,
        )
        for place in BAR
    ]
    lying = look.shape == TURNED
    return ft.Container(
        ft.Column(
            buttons, spacing=0, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH
        )
        if lying
        else ft.Row(buttons, spacing=0),
        border=ft.Border.only(top=ft.BorderSide(2.5, look.tokens["ink"])),
        height=HEIGHT if look.scale < LARGE and not lying else None,
    )


def _bar_button(
    look: Look, title: str, on_click: Send, *, chosen: bool, key: str, share: int
) -> ft.Button:
    ink, lying = "ground" if chosen else "ink", look.shape == TURNED
    return ft.Button(
        key=key,
        content=ft.Row(
            [text(look, title, 18, ink, "TM", cap=1.3)], alignment=ft.MainAxisAlignment.CENTER
        ),
        on_click=on_click,
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ink" if chosen else "ground"],
            color=look.tokens[ink],
            overlay_color=ft.Colors.with_opacity(0.35, look.tokens["rule"]),
            elevation=0,
            padding=ft.Padding.symmetric(vertical=0 if look.scale < LARGE else 18),
            shape=cut(14) if chosen else ft.RoundedRectangleBorder(radius=0),
        ),
        height=(ROW if lying else HEIGHT - 2.5) if look.scale < LARGE else None,
        expand=None if lying else share,
    )
