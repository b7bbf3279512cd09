"""Practice: which made-up site, the mark on all its screens, and how it went."""

from __future__ import annotations

from dataclasses import replace

import flet as ft

from engine.practice.after import asked, is_made_up
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import half, pair, quiet, row_button, slab
from fieldapp.foundout import PracticeSite
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go, LevelPicked, MakeUp, SitePicked, SoundSaid, TruthShown
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.practising import Went, went
from fieldapp.routes import JOBS, PRACTICE, Place, route_of
from fieldapp.screens.shared import SendAny, ribbon_of
from fieldapp.sending import Send

BAND = 56.0


def practice(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """How much is hidden, and the sites, a row each; a press makes one up."""
    back = quiet(look, words.FIXED.back, Send(send, Go(JOBS)), key="back", height=56)
    makes = isinstance(model.waiting, MakeUp)
    more = words.making_up() if makes else words.practice_more()
    levels = [
        half(
            look,
            title,
            means,
            Send(send, LevelPicked(level)),
            chosen=model.level == level,
            key=f"level-{level}",
        )
        for level, (title, means) in words.PRACTICE_LEVELS.items()
    ]
    return frame(
        look,
        top=[header(look, back, words.capital(words.made_up()), "", None), *told(look, model)],
        body=[
            padded(
                ft.Semantics(content=text(look, more, 19, "soft", cap=1.8), live_region=makes),
                top=8,
            ),
            padded(text(look, words.level_title(), 21, cap=1.6), top=8),
            padded(ft.Row(levels, spacing=0)),
            padded(text(look, words.practice_title(), 21, cap=1.6), top=12),
            *(_site(site, send, look) for site in model.sites),
        ],
        actions=[],
    )


def _site(site: PracticeSite, send: SendAny, look: Look) -> ft.Control:
    line = words.site_line(site.length_m, site.boxes, site.pairs, site.ends)
    row = row_button(
        look,
        ft.Container(
            ft.Column(
                [
                    text(look, site.title, 22, face="TB", cap=1.5),
                    text(look, line, 17, "soft"),
                ],
                spacing=2,
                tight=True,
            ),
            padding=ft.Padding.symmetric(vertical=12),
        ),
        Send(send, SitePicked(site.name)),
        key=f"site-{site.name}",
    )
    return ft.Container(row, border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])))


# ---------------------------------------------------------------- the mark


def marked(model: Model, send: SendAny, look: Look) -> Look:
    """The look of a screen; of a made-up site with its mark above."""
    if model.place.screen == "practised" or not is_made_up(model.open_job.file.doc):
        return look
    return replace(look, above=_band(model, send, look))


def _band(model: Model, send: SendAny, look: Look) -> ft.Control:
    """That nobody measured this, what it took so far, and the way to how it went."""
    stands = went(model.open_job)
    says, leads = words.made_up(), words.see_practice()
    if stands is not None:
        says = words.band_line(stands.clock.minutes, stands.clock.readings)
        leads = words.how_it_went() if stands.is_over else leads
    row = row_button(
        look,
        ft.Row(
            [
                text(look, words.capital(says), 17, face="TM", cap=1.8, expand=True),
                text(look, leads, 17, face="TB", cap=1.4),
            ],
            spacing=12,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        Send(send, Go(route_of(Place("practised", model.open_job.id)))),
        key="made-up",
        height=BAND if look.scale < LARGE else None,
    )
    line = ft.BorderSide(1.5, look.tokens["rule"])
    return ft.Container(row, bgcolor=look.tokens["sheet"], border=ft.Border.only(bottom=line))


# ---------------------------------------------------------------- how it went


def practised(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What it took so far; once it is over, what was hidden and what was said of it."""
    stands = went(model.open_job)
    title = words.how_it_went() if stands is not None and stands.is_over else words.see_practice()
    back = Send(send, Go(route_of(Place("now", model.open_job.id))))
    head = header(
        look,
        quiet(look, words.FIXED.back, back, key="back", height=56),
        title,
        words.capital(words.made_up()),
        None,
    )
    body: list[ft.Control] = []
    actions: list[ft.Control] = []
    if stands is None:
        body.append(padded(text(look, words.so_far_title(""), 27, cap=1.4), top=12))
    elif stands.is_over:
        body, actions = _over(stands, model, send, look), _again(back, send, look)
    else:
        body, actions = _so_far(stands, model, look), _on(back, send, look)
    return frame(
        look,
        top=[ribbon_of(model, send, look), head, *told(look, model)],
        body=body,
        actions=actions,
        foot=bar(look, model, send),
    )


def _so_far(stands: Went, model: Model, look: Look) -> list[ft.Control]:
    said = asked(model.open_job.file)
    assert said is not None  # else nothing is known of how it stands
    level = said.level
    altered = [padded(text(look, words.altered_line(stands.altered), 19))] if stands.altered else []
    return [
        padded(text(look, words.so_far_title(level), 27, cap=1.4), top=12),
        padded(text(look, words.so_far_more(), 19, "soft")),
        *_took(stands, look),
        *altered,
    ]


def _took(stands: Went, look: Look) -> list[ft.Control]:
    clock = stands.clock
    said = words.took(clock.minutes, clock.work, clock.walk_m, clock.readings)
    return [
        padded(text(look, said, 21, cap=1.8), top=8),
        padded(text(look, words.took_why(), 17, "soft")),
    ]


def _on(back: Send, send: SendAny, look: Look) -> list[ft.Control]:
    sound = quiet(
        look, words.nothing_wrong(), Send(send, SoundSaid()), key="nothing-wrong", expand=True
    )
    show = quiet(look, words.show_me(), Send(send, TruthShown()), key="show-me", expand=True)
    return [slab(look, words.go_on_practising(), "", back), pair(look, sound, show)]


def _over(stands: Went, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    truth = stands.truth
    hidden = words.truth_line(truth.cause, truth.where, truth.end)
    said = words.said_line(stands.found, stands.altered, stands.said_sound)
    return [
        padded(
            ft.Semantics(
                content=text(look, words.went(stands.outcome), 30, cap=1.4), live_region=True
            ),
            top=12,
        ),
        *_part(words.was_hidden(), hidden, look),
        *_part(words.you_said(), said, look),
        *_took(stands, look),
    ]


def _part(title: str, said: str, look: Look) -> list[ft.Control]:
    return [
        padded(
            ft.Column(
                [text(look, title, 17, "soft", "TMI", cap=1.6), text(look, said, 21, cap=1.8)],
                spacing=2,
            ),
            top=4,
        )
    ]


def _again(back: Send, send: SendAny, look: Look) -> list[ft.Control]:
    wide = look.width - 2 * MARGIN
    return [
        slab(look, words.another_one(), "", Send(send, Go(PRACTICE))),
        quiet(look, words.back_to_job(), back, key="back-to-job", width=wide),
    ]
