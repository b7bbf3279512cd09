"""The made-up meter on the pad: the press that takes its reading, and what it shows beside it."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.halfdone import Pad
from fieldapp.messages import MeterTaken
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.practising import practises
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send


def made_up_meter(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The button, and on a page of link speeds what the lights show; nothing on a real site."""
    if not practises(model.job):
        return []
    press = Send(send, MeterTaken())
    wide = look.width - 2 * MARGIN
    says = words.take_made_up()
    title = says if look.scale < LARGE else words.take_made_up_short()
    button = quiet(look, title, press, key="made-up-meter", height=56, width=wide, says=says)
    pad = model.open_pad
    shown = pad.shown
    if pad.kind != "mbps" or shown is None:
        return [button]
    said = text(look, words.lights_show(float(shown.digits)), 22, cap=1.6)
    return [button, ft.Semantics(content=said, live_region=True)]


def shown_beside(pad: Pad, look: Look) -> list[ft.Control]:
    """Between what a figure moves, or the ohms of each pair."""
    shown = pad.shown
    keys = shown.keys if shown is not None else {}
    if "pairs" in keys:
        said = words.pairs_read(keys["pairs"])
    elif "unsteady" in keys:
        low, high = keys["unsteady"]
        said = words.moves_between(low, high, pad.kind)
    else:
        return []
    return [
        padded(ft.Semantics(content=text(look, said, 18, "ink", "TM", cap=1.4), live_region=True))
    ]
