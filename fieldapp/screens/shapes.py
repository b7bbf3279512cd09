"""What the shapes say: every sign, drawn by the kit that draws the screens, with one line of words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import flet as ft

from engine.job import Box, BoxSheet
from engine.sheets import STARTER
from fieldapp import words
from fieldapp.buttons import quiet
from fieldapp.drawing.boxes import Sides
from fieldapp.drawing.legend import Said, sign
from fieldapp.drawing.shapes import Picture
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, rule, text
from fieldapp.routes import SETTINGS
from fieldapp.runline import outline
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send


@dataclass(frozen=True)
class Group:
    """Signs that stand together, and how many beside each other; alone, words stand at the right."""

    name: str
    signs: tuple[str, ...]
    beside: int = 2


GROUPS = (
    Group(
        "boxes",
        (
            "source",
            "injector",
            "repeater",
            "long-span",
            "arrestor",
            "splitter",
            "joint",
            "endpoint",
        ),
    ),
    Group("sides", ("round", "teeth", "jack", "wrong", "earth"), 1),
    Group("cable", ("copper", "empty", "striped", "cut", "printed", "short", "open", "branch")),
    Group("verdicts", ("inside", "unclear", "outside", "no-band"), 1),
    Group("readings", ("sleeve", "bead", "design-band", "earlier")),
    Group("line", ("fan-design", "fan-today", "floor", "here")),
    Group("leaving", ("knot", "taped", "plug"), 1),
    Group("odds", ("odds",), 1),
)
"""the page from top to bottom"""
SHEETS: Mapping[str, str] = MappingProxyType(
    {
        "source": "generic.source-60w",
        "injector": "generic.injector-60w",
        "repeater": "generic.repeater-1000",
        "long-span": "generic.long-span",
        "arrestor": "generic.arrestor-1000-outdoor",
        "splitter": "generic.splitter-2",
    }
)
"""the starter sheet whose ports tell what the sides of a kind look like"""
FOR_WORDS = 20.0
"""between a sign and the words at its right [dp]"""
LEFT = 116.0
"""how wide a sign with words at its right is [dp]"""
AT_M = 207.0


def shapes(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Groups of signs under each other."""
    said = Said(
        words.WORDING, lambda value: words.figure(value, "volts"), "", words.sign_stop(), AT_M
    )
    body: list[ft.Control] = []
    for number, group in enumerate(GROUPS):
        body += [ft.Container(rule(look), padding=ft.Padding.only(top=16))] if number else []
        title = text(look, words.sign_group(group.name), 21, face="TB", cap=1.5)
        body.append(padded(title, top=14, bottom=8))
        body += _group(group, said, look)
    body.append(ft.Container(height=MARGIN))
    back = quiet(look, words.FIXED.back, Send(send, Go(SETTINGS)), key="back", height=56)
    return frame(
        look,
        top=[header(look, back, words.shapes_title(), "", None)],
        body=[ft.ListView(body, expand=True, padding=0)],
        actions=[],
        scroll=False,
    )


def _group(group: Group, said: Said, look: Look) -> list[ft.Control]:
    """Signs beside each other over their words; with large letters each has a row."""
    if group.beside == 1 or look.scale >= LARGE:
        return [_row(key, said, look) for key in group.signs]
    room = (look.width - 2 * MARGIN - GAP * (group.beside - 1)) / group.beside
    rows: list[ft.Control] = []
    for start in range(0, len(group.signs), group.beside):
        row = group.signs[start : start + group.beside]
        drawn = [sign(key, room - FOR_WORDS, sides(), said) for key in row]
        high = max(one.height for one in drawn)
        pairs = zip(row, drawn, strict=True)
        cells = [_cell(key, picture, high, room, look) for key, picture in pairs]
        start_at = ft.CrossAxisAlignment.START
        rows.append(padded(ft.Row(cells, spacing=GAP, vertical_alignment=start_at), bottom=12))
    return rows


def _cell(key: str, picture: Picture, high: float, room: float, look: Look) -> ft.Control:
    """Signs beside each other have their words on one level."""
    drawn = ft.Container(canvas(look, picture), height=high)
    inside = ft.Column([drawn, *_words(key, look)], spacing=2, tight=True)
    return ft.Container(_told(key, inside), width=room, key=f"sign-{key}")


def _row(key: str, said: Said, look: Look) -> ft.Control:
    drawn = canvas(look, sign(key, LEFT, sides(), said))
    beside = ft.Column(_words(key, look), spacing=0, tight=True, expand=True)
    middle = ft.CrossAxisAlignment.CENTER
    inside = ft.Row([drawn, beside], spacing=FOR_WORDS, vertical_alignment=middle)
    return ft.Container(_told(key, padded(inside, bottom=10)), key=f"sign-{key}")


def _words(key: str, look: Look) -> list[ft.Control]:
    return [
        text(look, words.sign_name(key), 20, face="TB", cap=1.5),
        text(look, words.sign_line(key), 17, "soft", cap=1.7),
    ]


def _told(key: str, content: ft.Control) -> ft.Control:
    """A sign and its words are one thing to a screen reader."""
    said = words.speak_sign(key)
    return ft.Semantics(label=said, exclude_semantics=True, container=True, content=content)


def sides() -> Mapping[str, Sides]:
    """The outlines left and right of a box of each kind, as its sheet has them: left is the feed's."""
    out: dict[str, Sides] = {}
    for kind, name in SHEETS.items():
        sheet = STARTER[name]
        assert isinstance(sheet, BoxSheet)
        box = Box(kind, sheet, kind, "")
        ports = box.sheet.facts.ports
        out[kind] = (
            "flat" if kind == "source" else outline(box, ports[0]),
            outline(box, ports[-1]),
        )
    return MappingProxyType(out)
