"""A text field in the app's own dress: a ruled line, no filled box."""

from __future__ import annotations

import flet as ft

from fieldapp.paint import MARGIN, Look, style
from fieldapp.sending import Send, SendText


def field(
    look: Look,
    label: str,
    value: str,
    on_change: SendText,
    *,
    key: str,
    on_submit: Send | None = None,
    numeric: bool = False,
    printed: bool = False,
) -> ft.TextField:
    """One line to type on; what is typed is stored as typed.

    ``printed``: it is copied letter by letter, in capitals, and no keyboard is to mend it.
    """
    ink, rule = look.tokens["ink"], look.tokens["rule"]
    made = ft.TextField(
        key=key,
        width=look.width - 2 * MARGIN,
        label=label,
        value=look.typed.stands(key, value),
        on_change=look.typed.hears(key, on_change),
        on_submit=on_submit,
        text_style=style(look, "TM", 20),
        label_style=style(look, "T", 21, "soft"),  # afloat it is three quarters of that
        border={
            ft.ControlState.FOCUSED: ft.OutlineInputBorder(ft.BorderSide(2.5, ink), 0),
            ft.ControlState.DEFAULT: ft.OutlineInputBorder(ft.BorderSide(1.5, rule), 0),
        },
        cursor_color=look.tokens["copper"],
        keyboard_type=ft.KeyboardType.NUMBER if numeric else ft.KeyboardType.TEXT,
        height=64 if look.scale < 1.3 else None,
        capitalization=ft.TextCapitalization.CHARACTERS if printed else None,
        autocorrect=not printed,
        enable_suggestions=not printed,
        scroll_padding=ft.Padding.only(bottom=200),
    )
    return look.typed.shows(key, made)
