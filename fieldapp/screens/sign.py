"""Sign the record: what is signed, by whom, and a field to draw in; what signatures stand for."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.signed import Signature
from engine.strokes import ACROSS
from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drawing.signature import signature, signing_field
from fieldapp.framing import frame
from fieldapp.halfdone import Signing
from fieldapp.handover.record import verdict_sentence
from fieldapp.heading import header
from fieldapp.messages import (
    DrawAgain,
    Go,
    SignPressed,
    SignTyped,
    StrokeBegun,
    StrokeDrawn,
    StrokeEnded,
    TakeBack,
)
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText
from fieldapp.signing import signing_of
from fieldapp.window import TURNED
from fieldapp.worldclock import clock_of

DRAG_MS = 16
"""between two places of a finger: as often as most screens are drawn"""
MOST_OF_HEIGHT = 0.65
"""a field above what is pressed is no wider than so much of the window's height: the words above
need room"""
SMALL = 130.0
"""width of a drawn name in a row [dp]"""


def sign(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What is signed, by whom, and the field; the field scrolls with nothing, so that a finger
    that draws downwards moves no page."""
    signing = signing_of(model)
    back = Send(send, Go(route_of(Place("hand", model.open_job.id))))
    behind = quiet(look, words.FIXED.back, back, key="back", height=56)
    title = model.open_job.judgement.state.job.title
    return _framed(
        look,
        top=[header(look, behind, words.sign_title(), title, None), *told(look, model)],
        body=_body(model, signing, send, look),
        drawing=_field(signing, send, look),
        again=_again(signing, send, look),
        main=_slab(signing, send, look),
    )


def _framed(
    look: Look,
    *,
    top: list[ft.Control],
    body: list[ft.Control],
    drawing: ft.Control,
    again: ft.Control,
    main: ft.Control,
) -> list[ft.Control]:
    if look.shape == TURNED:  # its action block scrolls, what stands below it does not
        below = ft.Container(drawing, padding=ft.Padding.only(left=MARGIN, bottom=GAP))
        return frame(look, top=top, body=body, actions=[again, main], foot=below)
    return frame(look, top=top, body=body, actions=[drawing, again, main])


def _body(model: Model, signing: Signing, send: SendAny, look: Look) -> list[ft.Control]:
    judgement = model.open_job.judgement
    read = sum(one.current for one in judgement.verdicts)
    done = sum(step.state == "done" for step in judgement.steps)
    what = words.sign_what(read, done, len(judgement.steps))
    own = signing.role if signing.role not in words.SIGN_ROLES else ""
    roles = [
        half(
            look,
            role,
            "",
            Send(send, SignTyped("role", "" if signing.role == role else role)),
            chosen=signing.role == role,
            key=f"role-{number}",
        )
        for number, role in enumerate(words.SIGN_ROLES)
    ]
    ready: ft.Control = ft.Row(roles, spacing=0)
    if look.scale >= LARGE:
        ready = ft.Column([ft.Row([one]) for one in roles], spacing=0)
    asked = (
        ("name", words.sign_name_label(), signing.name),
        ("role", words.sign_role_label(), own),
    )
    name, role = (
        padded(field(look, label, value, SendText(send, SignTyped, key), key=f"sign-{key}"), top=4)
        for key, label, value in asked
    )
    return [
        padded(text(look, what, 22, cap=1.4), top=8),
        padded(text(look, verdict_sentence(judgement), 18, cap=1.6)),
        name,
        padded(ready),
        role,
        padded(text(look, words.sign_caution(), 16, "soft", "TI", cap=1.8), bottom=8),
    ]


class Drawn:
    """A handler of a finger on the field: what it sends of a place, on a field of what width."""

    def __init__(self, send: SendAny, make: type, width: float) -> None:
        self._send, self.make, self.width = send, make, width

    def __call__(self, event: Any) -> None:
        at = event.local_position
        if at is not None:
            scale = ACROSS / self.width
            self._send(self.make(round(at.x * scale), round(at.y * scale)))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Drawn)
            and type(other) is type(self)
            and (self.make, self.width) == (other.make, other.width)
        )

    def __hash__(self) -> int:
        return hash((self.make, self.width))


class Lifted(Send):
    """The same of a finger that was lifted; where does not matter."""

    def __call__(self, _event: Any = None) -> None:
        super().__call__()


def _field(signing: Signing, send: SendAny, look: Look) -> ft.Control:
    width = look.width - 2 * MARGIN
    if look.shape != TURNED:
        width = min(width, look.height * MOST_OF_HEIGHT)
    picture = signing_field(signing.strokes, width, words.sign_hint(), look.scale)
    ends = Lifted(send, StrokeEnded())
    finger = ft.GestureDetector(
        key="sign-field",
        content=spoken(look, picture, words.speak_sign_field(len(signing.strokes))),
        on_pan_down=Drawn(send, StrokeBegun, width),
        on_pan_update=Drawn(send, StrokeDrawn, width),
        on_pan_end=ends,
        on_pan_cancel=ends,
        drag_interval=DRAG_MS,
    )
    return ft.Row([finger], alignment=ft.MainAxisAlignment.CENTER)


def _again(signing: Signing, send: SendAny, look: Look) -> ft.Control:
    """Empties the field. While there is nothing to empty it is not seen, yet keeps its room: a field
    that moved with the first touch would bend what is drawn."""
    drawn = bool(signing.strokes)
    press = Send(send, DrawAgain()) if drawn else None
    wide = look.width - 2 * MARGIN
    button = quiet(look, words.sign_again(), press, key="sign-again", width=wide, height=56)
    return ft.Container(button, opacity=1.0 if drawn else 0.0)


def _slab(signing: Signing, send: SendAny, look: Look) -> ft.Control:
    name = signing.name.strip()
    if not name:
        return slab(look, words.sign_lacks(), "", None, key="sign-slab")
    more = words.sign_as(name, signing.role.strip(), bool(signing.strokes))
    return slab(look, words.sign_slab(), more, Send(send, SignPressed()), key="sign-slab")


# ---------------------------------------------------------------- signatures that stand


def sign_rows(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """For Hand-over: each signature with what it still stands for, and the quiet way to sign."""
    found = model.open_job.signatures
    press = Send(send, Go(route_of(Place("sign", model.open_job.id))))
    wide = look.width - 2 * MARGIN
    nobody = padded(text(look, words.signed_by_nobody(), 17, "soft", cap=1.6))
    return [
        padded(text(look, words.signed_head(), 21, face="TB", cap=1.5), top=12),
        *([_row(one, model, send, look) for one in found] or [nobody]),
        padded(quiet(look, words.sign_title(), press, key="to-sign", width=wide), bottom=12),
    ]


def _row(one: Signature, model: Model, send: SendAny, look: Look) -> ft.Control:
    at = words.sent_at(clock_of(one.t), (one.t or "")[:10], model.today)
    state = words.signed_state(one.is_tied, one.holds, one.since)
    lines: list[ft.Control] = [
        text(look, words.signed_who(one.by, one.role), 20, face="TB", cap=1.5),
        text(look, at, 16, "soft", "TI", cap=1.6),
        text(look, state, 17, "soft" if one.holds and not one.since else "ink", cap=1.6),
    ]
    if one.strokes:
        name = spoken(look, signature(one.strokes, SMALL), words.speak_signature(one.by))
        lines.append(ft.Row([name]))
    said = ft.Column(
        lines,
        spacing=2,
        tight=True,
        expand=look.scale < LARGE,
        # all as wide as there is room, else a short line is read before a long one above it
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )
    back = quiet(
        look,
        words.FIXED.take_back,
        Send(send, TakeBack(one.entry)),
        key=f"unsign-{one.entry}",
        height=56,
        says=words.speak_take_back(one.by),
    )
    inside: ft.Control
    if look.scale < LARGE:
        middle = ft.CrossAxisAlignment.CENTER
        inside = ft.Row([said, back], spacing=GAP, vertical_alignment=middle)
    else:
        inside = ft.Column([said, back], spacing=GAP, tight=True)
    return ft.Container(
        inside,
        padding=ft.Padding.symmetric(horizontal=MARGIN, vertical=8),
        border=ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"])),
        key=f"signed-{one.entry}",
    )
