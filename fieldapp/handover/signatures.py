"""Who signed the record: each with the state of the log that was signed, its sum, its drawing."""

from __future__ import annotations

from engine.log import State
from engine.signed import signatures
from fieldapp import words
from fieldapp.drawing.signature import signature
from fieldapp.handover.page import Blank, Drawing, Paragraph, Parts
from fieldapp.handover.rows import table, when

WIDTH = 60 / 25.4 * 96
"""of a drawn name: 60 mm at 96 to the inch. [px]"""
GROUP = 8
"""digits of a sum that stand together"""
PEN_LINES = 2


def signed(state: State) -> Parts:
    """The signatures that stand, and room for a pen; nothing where nobody signed but that room."""
    found = signatures(state)
    rows = (
        (one.by, one.role, when(one.t), words.signed_state(one.is_tied, one.holds, one.since))
        for one in found
    )
    yield from tuple(filter(None, table("by role time state", rows))) or (
        Paragraph(words.record_nothing("signatures")),
    )
    for one in found:
        if one.strokes:
            yield Drawing(signature(one.strokes, WIDTH), words.speak_signature(one.by))
        if one.strokes and not one.is_tied:
            yield Paragraph(words.speak_signature(one.by))
        if one.is_tied:
            groups = [one.sha256[i : i + GROUP] for i in range(0, len(one.sha256), GROUP)]
            yield Paragraph(words.record_sum(one.by, groups))
    if found:
        yield Paragraph(words.record_sum_how())
        yield Paragraph(words.sign_caution())
    for _ in range(PEN_LINES):
        yield Blank(words.record_sign_here())
