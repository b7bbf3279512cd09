"""Photos of a thing: small, those that are not on this phone as an empty frame, and one more."""

from __future__ import annotations

from typing import Any

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet, slab
from fieldapp.messages import PhotoPressed
from fieldapp.model import Model
from fieldapp.paint import GAP, Look
from fieldapp.parts import padded, text
from fieldapp.questions import photographed_here
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

SMALL = (104.0, 78.0)
QUALITY = 80
"""how hard a phone squeezes a picture before it is handed over [%]; browsers leave it as it is
(``from memory``)"""


def opens_camera(look: Look) -> ft.ClientAction | None:
    """What the client does within the press: the phone's own picker, camera or files."""
    if look.camera is None:
        return None
    return ft.PickFiles(
        look.camera,
        file_type=ft.FilePickerFileType.IMAGE,
        with_data=True,
        compression_quality=QUALITY,
        cancel_upload_on_window_blur=False,
    )


def opens_file(look: Look) -> ft.ClientAction | None:
    """The same for a file of any kind: phones grey out what they know no name for."""
    if look.camera is None:
        return None
    return ft.PickFiles(look.camera, with_data=True, cancel_upload_on_window_blur=False)


def photo_slab(of: str, number: int, more: str, send: SendAny, look: Look) -> ft.Control:
    """The slab of a step that asks for a photo."""
    title = words.one_more_photo() if number else words.take_photo()
    return slab(look, title, more, Send(send, PhotoPressed(of)), action=opens_camera(look))


def photo_button(of: str, title: str, send: SendAny, look: Look, **more: Any) -> ft.Control:
    """A second button that takes one."""
    press = Send(send, PhotoPressed(of))
    return quiet(look, title, press, key=f"photo-{of}", action=opens_camera(look), **more)


def photo_row(model: Model, of: str, send: SendAny, look: Look, *, button: bool) -> ft.Control:
    """The pictures there are of a thing, and, where no slab does it, the press for one more."""
    row: list[ft.Control] = [_picture(model, name, of, look) for name in photographed_here(model)]
    if button:
        row.append(photo_button(of, words.take_photo(), send, look, height=SMALL[1]))
    if not row:
        return ft.Container()
    return padded(ft.Row(row, spacing=GAP, wrap=True, run_spacing=GAP))


def _picture(model: Model, name: str, of: str, look: Look) -> ft.Control:
    """One picture; a frame with words while it is read, or where it is missing."""
    data = model.pictures.get(name, b"")
    wide, high = SMALL
    if data:
        shown = ft.Image(
            src=data,
            width=wide,
            height=high,
            fit=ft.BoxFit.COVER,
            error_content=_frame(words.photo_missing(), look),
        )
        return ft.Semantics(
            label=words.photo_of(of), image=True, exclude_semantics=True, content=shown
        )
    return _frame(words.photo_missing() if data is None else words.photo_reading(), look)


def _frame(title: str, look: Look) -> ft.Control:
    wide, high = SMALL
    return ft.Container(
        text(look, title, 16, "soft", "TI", cap=1.2, text_align=ft.TextAlign.CENTER),
        width=max(wide, wide * min(look.scale, 1.2)),
        height=high,
        border=ft.Border.all(1.5, look.tokens["rule"]),
        alignment=ft.Alignment.CENTER,
        padding=6,
    )
