"""The phone's text scale, told by the height of a text that nobody sees or hears."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from fieldapp.messages import ScaleSeen

PROBE = 100.0
"""the letters of the text at scale 1 [dp]"""


class _Scale:
    """Reports the height of a probe text as the phone's text scale."""

    def __init__(self, send: Callable[[Any], None]) -> None:
        self._send = send

    def __call__(self, event: Any) -> None:
        self._send(ScaleSeen(round(max(event.height / PROBE, 0.8), 2)))

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self)

    def __hash__(self) -> int:
        return hash(type(self))


def scale_probe(send: Callable[[Any], None]) -> ft.Control:
    """A text nobody sees or hears, whose height tells the phone's text scale.

    It stands free in a stack: a box around it would be measured instead.
    """
    probe = ft.Text(
        "",
        style=ft.TextStyle(size=PROBE, height=1),
        opacity=0.001,
        on_size_change=_Scale(send),
    )
    return ft.Stack(
        [ft.Container(ft.Semantics(content=probe, exclude_semantics=True), left=-400, top=-400)],
        key="probe",
        width=1,
        height=1,
        clip_behavior=ft.ClipBehavior.NONE,
    )
