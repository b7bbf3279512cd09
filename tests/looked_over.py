"""What must hold of any screen in any look."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import flet as ft
from contrasts import undeclared
from headless import Phone

from fieldapp.drawing.tokens import DARK
from fieldapp.faces import FACES


def boxes_with_presses(phone: Phone) -> list[Any]:
    return [c for c in phone.controls() if getattr(c, "on_click", None) is not None]


def look_over(phone: Phone, tokens: Mapping[str, str], scale: float) -> None:
    """What must hold of any screen in any look."""
    assert phone.grounds == {tokens["ground"]}
    assert phone.texts(), "an empty screen"
    if tokens is DARK:
        assert not set(undeclared(phone.page.views)), "colours that nobody measured"
    assert all(route.startswith("/") for route in [view.route for view in phone.views])
    assert len({view.key for view in phone.views}) == len(phone.views)
    keys = [key for key in phone.keys if not key.startswith("/")]
    assert len(keys) == len(set(keys)), "a key twice"
    for control in phone.controls():
        for name in ("width", "height"):
            value = getattr(control, name, None)
            assert not isinstance(value, int | float) or value >= 0, (control, name)
        if isinstance(control, ft.Text) and control.style is not None:
            assert control.style.font_family in {face.family for face in FACES.values()} | {None}
    for control in boxes_with_presses(phone):
        if control.height is not None:
            assert control.height >= 56, f"{control.key} is {control.height} high"
        if scale >= 2 and control.key in ("slab", "keep", "held", "waive-it", "keep-change"):
            assert control.height is None, f"{control.key} clips large letters"


LOOKS = [
    ("sun", (390, 844), False, 1.0),
    ("dark and small", (360, 640), True, 1.0),
    ("small with large letters", (360, 640), False, 2.0),
    ("wide", (1240, 900), False, 1.0),
]
