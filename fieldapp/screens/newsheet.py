"""A sheet of one's own: one question a screen, from a template whose figures stand ready."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import flet as ft

from engine.choices import choices, is_own, kind_of, sheet_of, users_of
from engine.edits import GONE
from fieldapp import words
from fieldapp.buttons import half, quiet, row_button, slab
from fieldapp.drawing.digits import digits_picture
from fieldapp.framing import frame
from fieldapp.halfdone import OwnSheet
from fieldapp.heading import header
from fieldapp.messages import (
    Go,
    OwnAsked,
    OwnBack,
    OwnBegun,
    OwnKey,
    OwnLeft,
    OwnNamed,
    OwnOn,
    OwnPart,
    OwnPicked,
    OwnUsed,
)
from fieldapp.meters import NOBODYS
from fieldapp.model import Model
from fieldapp.ownsheet import (
    BEGIN,
    answer_of,
    ask_at,
    body_of,
    changed_users,
    is_unchanged,
    lacking,
    missing_part,
    order,
    own_of,
    part_at,
    template_of,
    typed_at,
)
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.keypad import keys
from fieldapp.screens.shared import SendAny
from fieldapp.screens.sheets import figures_of
from fieldapp.sending import Send, SendText
from fieldapp.sheetquestions import (
    Ask,
    answer_kind,
    asks,
    default_of,
    is_several,
    must_say,
    options_of,
    parts_of,
    tolerance_of,
    value_in,
)
from fieldapp.window import WIDE
from fieldapp.words import units

SHORT = 6
"""letters of a choice that fits beside two others"""
IN_A_ROW = 3
LOW = 780.0
"""a window under this has less room for the figure [dp]"""
LOWER = 700.0
"""under this the keys are lower, and what can wait scrolls [dp]"""


def newsheet(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The page where one is: the template, a question, or the name and all that was answered."""
    own, thing = own_of(model), model.place.at
    if sheet_of(model.open_job.judgement.state.job, thing) is None:
        top = [head_of(model, Go(_plan(model)), "", "", send, look)]
        gone = padded(text(look, words.not_in_job(thing), 24), top=16)
        return frame(look, top=top, body=[gone], actions=[])
    if own is None or own.at == BEGIN:
        return _begin(model, send, look)
    ask = ask_at(model, own)
    if ask is None:
        return _last(model, own, send, look)
    return question_page(model, own, ask, send, look)


def _plan(model: Model) -> str:
    return route_of(Place("plan", model.open_job.id, model.place.at))


def head_of(
    model: Model, back: Any, title: str, more: str, send: SendAny, look: Look
) -> ft.Control:
    behind = quiet(look, words.FIXED.back, Send(send, back), key="back", height=56)
    return header(look, behind, title, more, None)


def _title(model: Model, own: OwnSheet) -> str:
    if own.job == NOBODYS:
        return own.title or words.meter_new()
    return words.own_title(own.thing, own.title if own.changes else "")


# ---------------------------------------------------------------- the template


def _begin(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Sheets of the thing's kind to begin from, the one in use first; an own one can be changed."""
    state, thing = model.open_job.judgement.state, model.place.at
    now = sheet_of(state.job, thing)
    assert now is not None  # of what is gone the screen has said so
    body: list[ft.Control] = [
        padded(text(look, words.own_begin(), 28, cap=1.4), top=8),
        padded(text(look, words.own_begin_why(), 18, "soft", cap=1.6), bottom=6),
    ]
    if is_own(state.doc, now.id):
        follow = words.own_follow(users_of(state.job, now.id))
        act = OwnBegun(thing, now.id, changes=True)
        title = words.own_change(words.sheet_name(now))
        body.append(line_of("change", title, follow, act, send, look))
    fits = [one.sheet for one in choices(state.doc, thing) if one.kind == kind_of(now)]
    for sheet in sorted(fits, key=lambda one: one.id != now.id):
        act, title = OwnBegun(thing, sheet.id), words.sheet_name(sheet)
        mark = "" if is_own(state.doc, sheet.id) else words.sheet_generic()
        row = line_of(f"begin-{sheet.id}", title, figures_of(sheet), act, send, look, mark)
        body.append(row)
    top = [head_of(model, Go(_plan(model)), words.own_title(thing, ""), "", send, look)]
    return frame(look, top=[*top, *told(look, model)], body=body, actions=[])


def line_of(
    key: str, title: str, more: str, act: Any, send: SendAny, look: Look, mark: str = ""
) -> ft.Control:
    """A row that opens something: its title, a line under it, and what is marked about it."""
    lines = [text(look, title, 19, face="TM", cap=1.6), text(look, more, 16, "soft", cap=1.8)]
    lines += [text(look, mark, 15, "soft", "TI", cap=1.8)] if mark else []
    inside = ft.Container(
        ft.Column(lines, spacing=2, tight=True), padding=ft.Padding.symmetric(vertical=12)
    )
    return ft.Container(
        row_button(look, inside, Send(send, act), key=key),
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
    )


# ---------------------------------------------------------------- a question


def question_page(
    model: Model, own: OwnSheet, ask: Ask, send: SendAny, look: Look
) -> list[ft.Control]:
    """The page of one question: typed or chosen, as its answer is."""
    kind = answer_kind(body_of(model, own)["kind"], ask)
    page = _typing if parts_of(kind) else _choosing
    return page(model, own, ask, kind, send, look)


def _asking(
    model: Model, own: OwnSheet, ask: Ask, send: SendAny, look: Look
) -> tuple[list[ft.Control], list[ft.Control], list[ft.Control]]:
    """What every question has: the head, the words of it, and what is meant by them."""
    every = order(model, own)
    known = ask.key in every
    line = words.own_progress(every.index(ask.key) + 1, len(every)) if known else ""
    is_meter = template_of(model, own)["kind"] == "meter"
    question = words.own_question_meter(ask.key) if is_meter else words.own_question(ask.key)
    top = [head_of(model, OwnBack(), _title(model, own), line, send, look), *told(look, model)]
    meant = words.capital(words.own_meant(ask.key, is_meter))
    under = [padded(text(look, meant, 18, "soft", "TI", cap=1.5))] if meant else []
    return top, [padded(text(look, question, 28 if look.height >= LOWER else 24, cap=1.4))], under


def _shown(ask: Ask, value: Any) -> str:
    return words.own_value(ask.key, None if value is GONE else value, ask.times)


def _typing(
    model: Model, own: OwnSheet, ask: Ask, kind: Any, send: SendAny, look: Look
) -> list[ft.Control]:
    """A figure, or the few figures of one answer, on the app's own pad.

    In a low window what is meant, and the way round the question, scroll below the figures.
    """
    top, asked, meant = _asking(model, own, ask, send, look)
    figures, halves = _figures_typed(model, own, ask, kind, send, look)
    title, press = _slab_words(model, own, ask)
    on = slab(look, title, "", Send(send, OwnOn()) if press else None, key="on", fixed=True)
    sheet, without = template_of(model, own)["kind"], []
    if answer_of(model, own, ask) is not GONE and not must_say(sheet, ask):
        without = [_without(sheet, send, look)]
    if look.height < LOWER:
        body, actions = [*asked, *figures, *meant, *map(padded, without)], [on]
    else:
        body, actions = [*asked, *meant, *figures], [on, *without]

    def press_key(key: str) -> Send:
        return Send(send, OwnKey(key))

    foot = ft.Column(
        [
            keys(look, press_key, prefix="own", left=[ft.Row([one]) for one in halves]),
            padded(ft.Column(actions, spacing=8, tight=True), top=8, bottom=8),
        ],
        spacing=0,
    )
    return frame(look, top=top, body=body, actions=[], foot=foot)


def _figures_typed(
    model: Model, own: OwnSheet, ask: Ask, kind: Any, send: SendAny, look: Look
) -> tuple[list[ft.Control], list[ft.Control]]:
    """The digits, which of the figures they are, what follows; and the figures to choose from."""
    part, several = part_at(own, kind), parts_of(kind) if len(parts_of(kind)) > 1 else ()
    digits, unit = typed_at(own, ask, part), words.own_unit(ask.key, part)
    height = (112.0 if several else 132.0) if look.height >= LOW else 72.0
    said = words.reel_typed(digits, unit) if digits else words.reel_type_it(False)
    out = [spoken(look, digits_picture(words.as_typed(digits), unit, look.width, height), said)]
    answer = _figures(kind, answer_of(model, own, ask)) if several else {}
    halves = [_figure(one, part, answer, ask, send, look) for one in several]
    if halves and look.shape != WIDE:
        out.append(padded(ft.Row(halves, spacing=0)))
    comment = _comment(model, own, ask, kind)
    if comment:
        out.append(padded(text(look, comment, 17, "soft", cap=1.5)))
    return out, halves


def _figure(one: str, part: str, answer: Any, ask: Ask, send: SendAny, look: Look) -> ft.Control:
    """One of the figures of an answer, as the answer stands."""
    value = units.shown(answer.get(one, 0.0) * ask.times, units.sheet_kind(ask.key, one))
    shown = words.own_figure(value) if one in answer else ""
    press = Send(send, OwnPart(one))
    return half(look, words.own_part(one), shown, press, chosen=one == part, key=f"part-{one}")


def _figures(kind: Any, answer: Any) -> Mapping[str, float]:
    """The figures that an answer comes to; those of a bare one by its tolerance."""
    if isinstance(answer, Mapping):
        return answer
    if not isinstance(answer, int | float):
        return {}
    tolerance = tolerance_of(kind)
    assert tolerance is not None  # of a band alone one figure is typed
    band = tolerance.spread(answer)
    return {part: float(f"{getattr(band, part):.4g}") for part in parts_of(kind)}


def _comment(model: Model, own: OwnSheet, ask: Ask, kind: Any) -> str:
    """What a figure alone is taken as; while there is none, what is taken without it."""
    value = answer_of(model, own, ask)
    if value is GONE:
        default = default_of(ask)
        return words.own_default(default.says) if default is not None else ""
    tolerance = tolerance_of(kind)
    if tolerance is None or isinstance(value, Mapping):
        return ""
    return words.own_alone(tolerance.says)


def _is_typed(own: OwnSheet, ask: Ask, kind: Any) -> bool:
    return any(typed_at(own, ask, part).strip(".") for part in parts_of(kind))


def _slab_words(model: Model, own: OwnSheet, ask: Ask) -> tuple[str, bool]:
    """What the slab does, and whether it can be pressed."""
    body = body_of(model, own)
    kind = answer_kind(body["kind"], ask)
    missing, value = missing_part(model, own, ask), answer_of(model, own, ask)
    if missing is not None:
        return words.own_type_part(missing), True
    if _is_typed(own, ask, kind):
        return words.own_take(_shown(ask, value)), True
    if value is GONE:
        needed = must_say(body["kind"], ask)
        return (words.own_needed(), False) if needed else (words.own_keep_open(), True)
    if is_several(kind) and not value:
        return words.own_choose(), False
    return words.own_keep(_shown(ask, value)), True


def _without(kind: str, send: SendAny, look: Look) -> ft.Control:
    title = words.own_not_measured() if kind == "meter" else words.own_without()
    wide = look.width - 2 * MARGIN
    return quiet(look, title, Send(send, OwnLeft()), key="without", width=wide, height=56)


def _choosing(
    model: Model, own: OwnSheet, ask: Ask, kind: Any, send: SendAny, look: Look
) -> list[ft.Control]:
    """A choice: one press is the answer; of several, a press each, then the slab."""
    top, asked, meant = _asking(model, own, ask, send, look)
    body = [*asked, *meant]
    stands = value_in(body_of(model, own), ask)
    several, options = is_several(kind), options_of(kind, ask)
    now = (() if stands is GONE else stands) if several else (stands,)
    named = [(one, words.own_choice(ask.key, one)) for one in options]
    if all(len(title) <= SHORT for _, title in named) and len(named) > IN_A_ROW:
        for start in range(0, len(named), IN_A_ROW):
            row = [
                _short(one, title, one in now, send, look)
                for one, title in named[start : start + IN_A_ROW]
            ]
            row += [ft.Container(expand=True)] * (IN_A_ROW - len(row))
            body.append(padded(ft.Row(row, spacing=8)))
    else:
        wide = look.width - 2 * MARGIN
        rows = [
            quiet(
                look,
                title,
                Send(send, OwnPicked(one)),
                key=f"pick-{one}",
                strong=one in now,
                width=wide,
                height=68,
                size=20,
            )
            for one, title in named
        ]
        body.append(padded(ft.Column(rows, spacing=8)))
    title, press = _slab_words(model, own, ask)
    actions = [slab(look, title, "", Send(send, OwnOn()) if press else None, key="on", fixed=True)]
    if stands is not GONE and not must_say(template_of(model, own)["kind"], ask):
        actions.append(_without(template_of(model, own)["kind"], send, look))
    return frame(look, top=top, body=body, actions=actions)


def _short(one: Any, title: str, chosen: bool, send: SendAny, look: Look) -> ft.Control:
    return quiet(
        look,
        title,
        Send(send, OwnPicked(one)),
        key=f"pick-{one}",
        strong=chosen,
        height=72,
        size=22,
        expand=True,
    )


# ---------------------------------------------------------------- the last page


def _last(model: Model, own: OwnSheet, send: SendAny, look: Look) -> list[ft.Control]:
    """The name, and every answer: a press on one asks for it again."""
    body_now = body_of(model, own)
    users = changed_users(model, own)
    body: list[ft.Control] = [padded(text(look, words.own_last(), 28, cap=1.4), top=8)]
    body.append(
        padded(
            field(look, words.own_name(), own.title, SendText(send, OwnNamed), key="own-title"),
            top=6,
        )
    )
    if users:
        body.append(padded(text(look, words.capital(words.own_follow(users)), 18, cap=1.6)))
    is_meter = body_now["kind"] == "meter"
    for ask in asks(body_now):
        question = words.own_question_meter(ask.key) if is_meter else words.own_question(ask.key)
        shown = _shown(ask, value_in(body_now, ask))
        body.append(line_of(f"ask-{ask.key}", shown, question, OwnAsked(ask.key), send, look))
    top = [
        head_of(model, OwnBack(), _title(model, own), words.own_kind(body_now["kind"]), send, look)
    ]
    return frame(
        look,
        top=[*top, *told(look, model)],
        body=body,
        actions=[_use(model, own, users, send, look)],
    )


def _use(
    model: Model, own: OwnSheet, users: tuple[str, ...], send: SendAny, look: Look
) -> ft.Control:
    title = words.own_change_slab(len(users)) if users else words.own_use(own.thing)
    needed = lacking(model, own)
    if not own.title.strip():
        return slab(look, title, words.own_name_it(), None, key="use")
    if needed:
        more = words.own_missing(words.own_question(needed[0].key))
        return slab(look, title, more, None, key="use")
    if is_unchanged(model, own):
        return slab(look, title, words.own_unchanged(), None, key="use")
    return slab(look, title, "", Send(send, OwnUsed()), key="use")
