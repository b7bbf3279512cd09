"""The changes that would mend a plan beside the one that is offered: one press each."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.advising import other_ways
from fieldapp.buttons import quiet
from fieldapp.foundout import Way
from fieldapp.messages import AdviceTaken, SheetClosed
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.screens.plan_parts import row
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

SHEET = "ways"


def holds(way: Way) -> str:
    """How far the plan holds with a change: ``worst``, ``expected`` or ``not``."""
    if way.change.works_at_worst:
        return "worst"
    return "expected" if way.change.works else "not"


def ways_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Each with its effort, and what it does to the volts of the far end."""
    return [
        padded(text(look, words.ways_title(), 24, cap=1.4), top=12),
        padded(text(look, words.ways_meant(), 17, "soft", cap=1.8)),
        *(_way(model, way, send, look) for way in other_ways(model)),
    ]


def _way(model: Model, way: Way, send: SendAny, look: Look) -> ft.Control:
    advice, change = model.advice, way.change
    assert advice is not None  # it has a way
    said = words.way_line(change.effort, change.volts_gained, holds(way), way.left)
    lines = ft.Column(
        [
            text(look, words.sentence(change.say), 19, face="TM", cap=1.6),
            text(look, said, 17, "soft", cap=1.8),
        ],
        spacing=2,
        tight=True,
    )
    press = Send(send, AdviceTaken(advice.of, way.key))
    number = other_ways(model).index(way)
    return row(look, lines, press, key=f"way-{number}", high=12)


def ways_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Leave it."""
    close, wide = Send(send, SheetClosed()), look.width - 2 * MARGIN
    return [quiet(look, words.FIXED.not_now, close, key="sheet-close", width=wide)]
