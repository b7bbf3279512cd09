"""A line that is wider than its column scrolls sideways: how far it is moved, and how far it is to
be moved so that what is chosen is seen. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from fieldapp import messages as m
from fieldapp.drawing.run import RunLine
from fieldapp.model import Model
from fieldapp.routes import Place

SEEN = 40.0
"""what is nearer to the edge than this is not seen well enough [dp]"""


def where(place: Place) -> str:
    """What a line is moved for: it stays where it is while another thing is chosen there."""
    return f"{place.job}/{place.screen}"


def along(model: Model) -> float:
    """How far the line of this screen is moved. [dp]"""
    of, moved = model.along
    return moved if of == where(model.place) else 0.0


def wanted(target: float | None, moved: float, whole: float, seen: float) -> float:
    """How far a line is to be moved: as far as it is, unless what is chosen would not be seen.

    Parameters
    ----------
    target : where on the picture the chosen thing is; None: nothing is chosen. [dp]
    moved, whole, seen : how far it is moved, its width, and the width of its column. [dp]

    >>> wanted(1000, 0, 2200, 390), wanted(200, 0, 2200, 390), wanted(2190, 0, 2200, 390)
    (805.0, 0, 1810)
    """
    most = max(whole - seen, 0)
    if target is None or moved + SEEN <= target <= moved + seen - SEEN:
        return min(moved, most)
    return min(max(target - seen / 2, 0.0), most)


def end_of(line: RunLine, thing: str) -> str:
    """The box of a line that stands for a thing of it: of a span the one at its far end."""
    return next((span.b for span in line.spans if span.id == thing), thing)


def _line_moved(model: Model, message: m.LineMoved) -> tuple[Model, m.Effects]:
    return replace(model, along=(message.of, message.by)), ()


HANDLERS: Mapping[type, Callable[[Model, Any], tuple[Model, m.Effects]]] = MappingProxyType(
    {m.LineMoved: _line_moved}
)
