"""A new visit: the site was left, so the first thing said is how many are here now."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.messages import Go, VisitOpened
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import MARGIN, Send, bar, frame, padded, quiet, text, told
from fieldapp.routes import Place, route_of
from fieldapp.screens.shared import SendAny, ribbon_of

PEOPLE = (1, 2)


def visit(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One or two; or only look, which opens nothing."""
    wide = look.width - 2 * MARGIN
    run = Go(route_of(Place("run", model.job.id)))
    body = [
        padded(text(look, words.visit_title(), 28, cap=1.4), top=14),
        padded(text(look, words.visit_people(), 22, cap=1.6)),
        padded(text(look, words.visit_more(), 19, "soft", cap=1.8)),
    ]
    actions: list[ft.Control] = [
        quiet(
            look,
            words.capital(words.people(number)),
            Send(send, VisitOpened(number)),
            key=f"people-{number}",
            strong=True,
            height=84,
            size=24,
            corner=14,
            width=wide,
        )
        for number in PEOPLE
    ]
    actions.append(quiet(look, words.only_look(), Send(send, run), key="only-look", width=wide))
    return frame(
        look,
        top=[ribbon_of(model, send, look), *told(look, model)],
        body=body,
        actions=actions,
        foot=bar(look, model, send),
    )
