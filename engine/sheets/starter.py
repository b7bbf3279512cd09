"""What a starter sheet is: the keys of a job file's sheet, and where each figure comes from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from attrs import field, frozen

from engine.standards import Mark

GENERIC = "generic: replace with your maker's numbers"


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


@frozen
class Figure:
    """Where some numeric keys of a row come from, and how far to trust them.

    Where one row mixes several origins, ``mark`` is that of the least trusted.
    """

    keys: tuple[str, ...] = field(converter=_words)
    source: str
    mark: Mark

    @property
    def sentence(self) -> str:
        """The figure as one sentence of a note."""
        words = ", ".join(key.replace("_", " ") for key in self.keys)
        return f"{words[0].upper()}{words[1:]}: {self.source}, {self.mark}."


@frozen
class Starter:
    """One generic sheet. Its note is made from its figures, so that the two cannot differ."""

    id: str
    keys: Mapping[str, Any]
    figures: tuple[Figure, ...]

    @property
    def note(self) -> str:
        """That the row is generic, then each figure's source and mark."""
        return " ".join([f"{GENERIC}.", *(figure.sentence for figure in self.figures)])

    @property
    def sheet(self) -> dict[str, Any]:
        """The row as a job file would hold it."""
        return {**self.keys, "note": self.note}


def starter(id_: str, kind: str, title: str, *figures: Figure, **keys: Any) -> Starter:
    """A row: its id without the common beginning, its kind, title, figures and other keys.

    ``class_`` stands for the key ``class``, which is a word of Python.
    """
    named = {name.removesuffix("_"): value for name, value in keys.items()}
    return Starter(f"generic.{id_}", {"kind": kind, "title": title, **named}, figures)


def band(low: float, expected: float, high: float) -> dict[str, float]:
    """Low, expected and high as a job file writes them."""
    return {"low": low, "expected": expected, "high": high}
