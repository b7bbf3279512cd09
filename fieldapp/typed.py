"""What stands in the fields of a page: what is typed is never written over by what was typed before.

A letter is on its way to the model and back while the next ones are typed already. The model's
text is then the older one; sent to the client it would take the newer letters away.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft


class Typed:
    """The fields of the page in hand, by their keys."""

    def __init__(self) -> None:
        self._told: dict[str, str] = {}
        self._shown: dict[str, ft.TextField] = {}

    def leave(self) -> None:
        """Another page has other fields."""
        self._told.clear()
        self._shown.clear()

    def stands(self, key: str, text: str) -> str:
        """What a field shows whose text in the model is this: where the model only knows what it
        was told last, what stands there by now; else the model's own.
        """
        shown = self._shown.get(key)
        return shown.value if shown is not None and self._told.get(key) == text else text

    def shows(self, key: str, control: ft.TextField) -> ft.TextField:
        """Remember a field that is drawn; the client keeps its value up to date."""
        self._shown[key] = control
        return control

    def hears(self, key: str, then: Callable[[Any], None]) -> Heard:
        """The handler of a field's changes."""
        return Heard(self._told, key, then)


class Heard:
    """Notes what the model is told of a field, then tells it."""

    def __init__(self, told: dict[str, str], key: str, then: Callable[[Any], None]) -> None:
        self._told, self._key, self.then = told, key, then

    def __call__(self, event: Any) -> None:
        self._told[self._key] = event.control.value
        self.then(event)

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self.then == other.then

    def __hash__(self) -> int:
        return hash(self.then)
