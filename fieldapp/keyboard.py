"""A keyboard beside the glass: which button of the page a key presses.

The pad's own buttons say which key they are, so a key does what a thumb on them does, on whatever
page there is a pad. Where something can be written in a field, all keys but Escape are the field's.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import flet as ft

MAIN = "main"
"""what marks the one main action of a page"""
ALIKE = {",": ".", "Decimal": ".", "Comma": ".", "Backspace": "rub", "Delete": "rub"}
"""names of keys that are another key of the pad; a decimal comma is a point"""
BACK = "Escape"
KEEP = "Enter"
MOVES = frozenset({"Tab", "Arrow Left", "Arrow Right", "Arrow Up", "Arrow Down"})
"""keys that go from button to button: from then on Enter belongs to the one that has been reached"""


def on_pad(key: str) -> str:
    """What marks the button of one key of the pad."""
    return f"key {key}"


def pressed(screen: list[ft.Control], key: str, *, moved: bool = False) -> Any:
    """What a key presses on a page with a pad: the handler of its button, or None.

    Parameters
    ----------
    key : the key's name as Flet gives it; of the keys in the block at the side without that word.
    moved : one has gone from button to button, so that Enter presses another button already.
    """
    every = [*_controls(screen)]
    marked = {one.data: one for one in every if isinstance(one, ft.Button) and one.data}
    has_field = any(isinstance(one, ft.TextField) for one in every)
    if has_field or on_pad("1") not in marked:
        return None
    key = key.removeprefix("Numpad ")
    if key == KEEP and moved:
        return None
    found = marked.get(MAIN if key == KEEP else on_pad(ALIKE.get(key, key)))
    return found.on_click if found is not None and not found.disabled else None


def _controls(node: Any) -> Iterator[ft.Control]:
    """All controls of a screen that can be seen."""
    if isinstance(node, list):
        for one in node:
            yield from _controls(one)
    elif isinstance(node, ft.Control) and node.visible is not False:
        yield node
        for name in ("content", "controls"):
            yield from _controls(getattr(node, name, None))
