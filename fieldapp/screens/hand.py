"""Hand over: the job as one file, its readings as a table; and what a merge brought, told once."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.effects import READINGS, SAVE, SHARE, WHOLE
from fieldapp.handing import news_of, sent_of
from fieldapp.messages import Go, HandPressed, NewsSeen
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import GAP, LARGE, MARGIN, Send, bar, frame, padded, quiet, text, told
from fieldapp.routes import Place, route_of
from fieldapp.screens.shared import SendAny, ribbon_of, strip
from fieldapp.worldclock import clock_of

ROW = 72.0


def hand(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """A row a file; each can be saved, and shared where the phone does that."""
    judgement = model.job.judgement
    rows = (
        (WHOLE, words.job_file(), _size(model)),
        (READINGS, words.readings_table(), words.hand_rows_line(len(judgement.verdicts))),
    )
    title = words.hand_title(judgement.state.job.title)
    body = [
        padded(text(look, title, 27, cap=1.4), top=12),
        padded(text(look, _sent(model), 18, "soft", "TI", cap=1.6)),
        *(_row(what, name, more, model, send, look) for what, name, more in rows),
    ]
    top = [ribbon_of(model, send, look), *told(look, model)]
    return frame(
        look, top=top, body=body, actions=strip(model, send, look), foot=bar(look, model, send)
    )


def hand_button(model: Model, send: SendAny, look: Look) -> ft.Control:
    """The way here from another page."""
    press = Send(send, Go(route_of(Place("hand", model.job.id))))
    wide = look.width - 2 * MARGIN
    return quiet(look, words.hand_over(), press, key="hand-over", width=wide)


def news_line(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Who kept what elsewhere, as a file brought it, and a quiet way there."""
    news = news_of(model)
    if news is None:
        return []
    said = words.news(news.names, news.readings, news.others, news.stops)
    line = ft.Semantics(content=text(look, said, 18, expand=True), live_region=True, expand=True)
    see = quiet(look, words.news_see(), Send(send, NewsSeen()), key="news-see", height=56)
    return [padded(ft.Row([line, see], spacing=GAP), top=8)]


def _size(model: Model) -> str:
    weight = model.weight
    if weight is None or not model.has_open(weight.job):
        return words.being_weighed()
    return words.size_line(weight.bytes, weight.photos, weight.lacking)


def _sent(model: Model) -> str:
    sent = sent_of(model.job.judgement.state)
    if sent is None:
        return words.sent_never()
    at = words.sent_at(clock_of(sent.t), (sent.t or "")[:10], model.today)
    return words.sent_newer(at) if sent.is_older else words.sent_same(at)


def _row(what: str, name: str, more: str, model: Model, send: SendAny, look: Look) -> ft.Control:
    ways = ((SHARE, words.share()), (SAVE, words.to_a_file()))
    buttons = [
        quiet(
            look,
            title,
            Send(send, HandPressed(what, way)),
            key=f"{way}-{what}",
            height=56,
            says=words.speak_hand(name, title),
        )
        for way, title in ways
        if way == SAVE or model.can_share
    ]
    said = ft.Column(
        [text(look, name, 21, face="TB", cap=1.5), text(look, more, 17, "soft", cap=1.6)],
        spacing=2,
        tight=True,
        expand=look.scale < LARGE,
    )
    inside: ft.Control
    if look.scale < LARGE:
        centre = ft.CrossAxisAlignment.CENTER
        inside = ft.Row([said, *buttons], spacing=GAP, vertical_alignment=centre)
    else:
        inside = ft.Column([said, ft.Row(buttons, spacing=GAP)], spacing=GAP, tight=True)
    return ft.Container(
        inside,
        padding=ft.Padding.symmetric(horizontal=MARGIN, vertical=8),
        height=ROW if look.scale < LARGE else None,
        border=ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"])),
        key=f"hand-{what}",
    )
