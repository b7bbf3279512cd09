"""How much room a text has where it is shown: widths as the client lays rows, columns, boxes and
buttons out, and letters as wide as ``faces`` has them. Nothing else of a page is known here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import flet as ft
import flet.canvas as cv

from fieldapp.faces import FACES, lines_needed, text_width
from fieldapp.keyboard import MAIN
from fieldapp.paint import LARGE

BY_FAMILY = {face.family: name for name, face in FACES.items()}
SLAB, SECOND, QUIET, HALF, BAR, ROW, TEXT = "slab", "second", "quiet", "half", "bar", "row", "text"
"""what a text is part of; ``second`` is the second line of a slab"""


@dataclass(frozen=True)
class Room:
    """What a text has where it is shown: what it is part of, its faces and size, the width it may
    fill [dp], and how many lines it may take; none: as many as it likes."""

    part: str
    face: str
    strong: str
    size: float
    width: float
    lines: int | None
    key: str
    spacing: float = 0.0
    """between two letters; large ones are set closer [dp]"""

    def over(self, text: str) -> float:
        """By how much a text is too wide for it [dp]: the whole of one line, else its longest word."""
        if self.lines == 1:
            wide = _wide(self.face, self.size, text, self.strong)
            return wide + self.spacing * len(text) - self.width
        pieces = text.replace("**", "").replace("-", "- ").split()
        widest = max(
            (text_width(self.face, self.size, one) + self.spacing * len(one) for one in pieces),
            default=0.0,
        )
        takes = lines_needed(self.face, self.size, text, self.width, self.strong)
        is_cut = self.lines is not None and takes > self.lines
        return max(widest - self.width, self.size if is_cut else 0.0)


def _wide(face: str, size: float, text: str, strong: str = "TB") -> float:
    """How wide one line of text is, what is stressed in its own face [dp]."""
    pieces = enumerate(text.split("**"))
    return sum(text_width(strong if i % 2 else face, size, one) for i, one in pieces)


def _style(control: Any, scale: float = 1.0) -> tuple[str, float]:
    """Face and size of letters, grown as the phone grows them."""
    return BY_FAMILY[control.style.font_family], control.style.size * scale


def _letters(control: ft.Text) -> tuple[str, str]:
    """The letters of a text with their marks of stress, and the face of what is stressed."""
    if not control.spans:
        return control.value or "", "TB"
    face, _ = _style(control)
    strong, out = "TB", ""
    for span in control.spans:
        its = BY_FAMILY[span.style.font_family]
        stressed = its != face
        strong = its if stressed else strong
        out += f"**{span.text}**" if stressed else span.text
    return out, strong


def _sides(padding: Any) -> float:
    """What a padding takes of the width [dp]."""
    if padding is None:
        return 0.0
    if isinstance(padding, int | float):
        return 2.0 * padding
    return (padding.left or 0) + (padding.right or 0)


def _padding(control: Any) -> float:
    if isinstance(control, ft.Button | ft.TextButton):
        return _sides(control.style.padding)
    if isinstance(control, ft.Container):
        return _sides(control.padding) + _sides(control.margin)
    return 0.0


def _inside(control: Any) -> list[Any]:
    several = getattr(control, "controls", None)
    content = getattr(control, "content", None)
    inside = list(several) if several else [content] if content is not None else []
    return [one for one in inside if isinstance(one, ft.Control) and one.visible is not False]


def natural(control: Any, scale: float = 1.0) -> float:
    """The width that a control takes where nothing bounds it [dp]."""
    if getattr(control, "width", None) is not None:
        return float(control.width)
    if isinstance(control, ft.Text):
        text, strong = _letters(control)
        return _wide(*_style(control, scale), text, strong)
    inside = [natural(one, scale) for one in _inside(control)]
    if isinstance(control, ft.Row) and not control.wrap:
        return sum(inside) + (control.spacing or 0) * max(len(inside) - 1, 0)
    return max(inside, default=0.0) + _padding(control)


def rooms(
    control: Any, width: float, scale: float = 1.0, part: str = TEXT, key: str = ""
) -> Iterator[tuple[str, Room]]:
    """All texts in a control that is given this width, each with its room; ``scale`` is how much
    the phone's letters are grown. From ``LARGE`` on nothing need stay in one line."""
    if isinstance(control, ft.Text):
        yield from _room(control, width, scale, part, key)
        return
    if isinstance(control, cv.Canvas):
        return
    key = getattr(control, "key", None) or key
    wide = min(float(control.width), width) if getattr(control, "width", None) else width
    part, wide = _part(control, part), wide - _padding(control)
    if isinstance(control, ft.Row) and not control.wrap:
        yield from _in_row(control, wide, scale, part, key)
        return
    for number, one in enumerate(_inside(control)):
        second = part == SLAB and isinstance(control, ft.Column) and number > 0
        yield from rooms(one, wide, scale, SECOND if second else part, key)


def _in_row(
    row: ft.Row, width: float, scale: float, part: str, key: str
) -> Iterator[tuple[str, Room]]:
    inside = _inside(row)
    shares = [float(one.expand or 0) for one in inside]
    fixed = [
        0.0 if share else natural(one, scale) for one, share in zip(inside, shares, strict=True)
    ]
    rest = width - sum(fixed) - (row.spacing or 0) * max(len(inside) - 1, 0)
    for one, share, takes in zip(inside, shares, fixed, strict=True):
        # what has no share is not bounded: it may take what the others leave
        room = max(rest, 0.0) * share / sum(shares) if share else takes + rest
        yield from rooms(one, room, scale, part, key)


def _part(control: Any, part: str) -> str:
    """What texts below are part of."""
    if isinstance(control, ft.TextButton):
        return ROW
    if not isinstance(control, ft.Button):
        return part
    if control.data == MAIN:
        return SLAB
    if str(control.key).startswith("bar-"):
        return BAR
    inside = control.content
    if isinstance(inside, ft.Semantics):
        inside = inside.content
    if isinstance(inside, ft.Row) and len(inside.controls) == 1:
        return QUIET
    return HALF


ONE_LINE = (SLAB, SECOND, QUIET, BAR)


def _room(
    control: ft.Text, width: float, scale: float, part: str, key: str
) -> Iterator[tuple[str, Room]]:
    text, strong = _letters(control)
    if text and control.style is not None:
        lines = 1 if part in ONE_LINE and scale < LARGE else control.max_lines
        face, size = _style(control, scale)
        yield (
            text,
            Room(part, face, strong, size, width, lines, key, control.style.letter_spacing or 0.0),
        )


# ---------------------------------------------------------------- in drawings


def running_off(canvas: cv.Canvas) -> Iterator[tuple[str, float]]:
    """The labels of a drawing, each with how far it runs off at a side [dp]; turned ones not."""
    for one in canvas.shapes:
        if isinstance(one, cv.Text) and one.value and not one.rotate:
            wide = text_width(*_style(one), one.value)
            start = one.x - wide * (one.alignment.x + 1) / 2
            yield one.value, max(-start, start + wide - canvas.width)
