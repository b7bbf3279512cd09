"""Everything as one file: what it holds, and the ways out."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet, slab
from fieldapp.drawing.filling import filling
from fieldapp.effects import SAVE, SHARE
from fieldapp.foundout import Holding
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import AllPressed, Go
from fieldapp.model import Model
from fieldapp.paint import GAP, MARGIN, Look, canvas
from fieldapp.parts import padded, text, told
from fieldapp.routes import SETTINGS
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send


def everything(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What is in it, once that is known; while it is made, how far that is."""
    back = quiet(look, words.FIXED.back, Send(send, Go(SETTINGS)), key="back", height=56)
    holding = model.holding
    said = words.being_weighed() if holding is None else _held(holding)
    body = [padded(text(look, said, 28, cap=1.4), top=16)]
    if holding is not None and holding.jobs:
        body.append(padded(text(look, words.everything_how(), 19, "soft", cap=1.7), top=8))
    body += [padded(text(look, line, 19, cap=1.7), top=8) for line in _without(holding)]
    return frame(
        look,
        top=[header(look, back, words.everything_title(), "", None), *told(look, model)],
        body=body,
        actions=[*_making(model, look), *_ways(model, send, look)],
    )


def _held(holding: Holding) -> str:
    if not holding.jobs:
        return words.everything_none()
    return words.everything_holds(holding.jobs, holding.photos, holding.bytes)


def _without(holding: Holding | None) -> list[str]:
    """What will not be in it."""
    if holding is None:
        return []
    out = [words.everything_lacking(holding.lacking)] if holding.lacking else []
    return [*out, *([words.everything_unread(holding.unread)] if holding.unread else [])]


def _making(model: Model, look: Look) -> list[ft.Control]:
    """A jacket that fills with copper, job by job."""
    if model.gathered is None:
        return []
    done, of = model.gathered
    said = text(look, words.everything_made(done, of), 18, cap=1.6)
    drawn = canvas(look, filling(look.width - 2 * MARGIN, done / of))
    return [
        ft.Column(
            [
                ft.Semantics(content=said, live_region=True),
                ft.Semantics(content=drawn, exclude_semantics=True),
            ],
            spacing=GAP,
            tight=True,
            key="making",
        )
    ]


def _ways(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Shared where the phone does that, into a file anywhere."""
    ready = model.holding is not None and model.holding.jobs and model.gathered is None
    share, save = (Send(send, AllPressed(way)) if ready else None for way in (SHARE, SAVE))
    if not model.can_share:
        return [slab(look, words.to_a_file(), "", save, key="save-all")]
    wide = look.width - 2 * MARGIN
    return [
        slab(look, words.share(), "", share, key="share-all"),
        quiet(look, words.to_a_file(), save, key="save-all", width=wide, height=56),
    ]
