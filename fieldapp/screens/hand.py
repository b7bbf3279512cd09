"""Hand over: report, labels and the job as one file, a row each, all in one press; how old each is by
now, how far it is made; and what a merge brought, told once."""

from __future__ import annotations

from dataclasses import replace

import flet as ft
from attrs import evolve

from engine.practice.after import is_made_up
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import half, quiet, slab
from fieldapp.drawing.filling import filling
from fieldapp.drawing.tokens import SUN
from fieldapp.effects import ALL, LABELS, READINGS, REPORT, SAVE, SHARE, WHOLE
from fieldapp.framing import frame
from fieldapp.handing import handed_of, news_of, written_of
from fieldapp.handover.documents import label_count, parts_of
from fieldapp.handover.preview import label_picture
from fieldapp.handover.sheets import GRIDS
from fieldapp.messages import Go, HandPressed, NewsSeen, SettingPicked
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.screens.shared import SendAny, ribbon_of, strip
from fieldapp.screens.sign import sign_rows
from fieldapp.sending import Send
from fieldapp.settings import CHOICES
from fieldapp.worldclock import clock_of

ROW = 72.0
ROWS = (REPORT, LABELS, WHOLE, READINGS)
MOST_LABEL = 358.0
"""how wide a label is shown, at most: it is no poster [dp]"""
BETWEEN = 16.0
"""between two kinds of choices in one row [dp]"""


def hand(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """A row a document; each can be put into a file, and shared where the phone does that."""
    state = model.open_job.judgement.state
    body = [
        padded(text(look, words.hand_title(state.job.title), 27, cap=1.4), top=12),
        *([_made_up(look)] if is_made_up(state.doc) else ()),
        ft.Column([_row(what, model, send, look) for what in ROWS], spacing=0),
        *sign_rows(model, send, look),
        *_papers(model, send, look),
    ]
    return frame(
        look,
        top=[ribbon_of(model, send, look), *told(look, model)],
        body=body,
        actions=[*_making(model, look), *strip(model, send, look), *_all(model, send, look)],
        foot=bar(look, model, send),
    )


def hand_button(model: Model, send: SendAny, look: Look) -> ft.Control:
    """The way here from another page."""
    press = Send(send, Go(route_of(Place("hand", model.open_job.id))))
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


# ---------------------------------------------------------------- a row a document


def _made_up(look: Look) -> ft.Control:
    return padded(text(look, words.hand_made_up(), 18, "soft", cap=1.6))


def _line(what: str, model: Model) -> str:
    """What is known of a document."""
    return LINES[what](model)


def _report_line(model: Model) -> str:
    known = written_of(model, REPORT)
    if known is not None:
        return words.written_line(known.pages, known.bytes, known.lacking)
    judgement, weight = model.open_job.judgement, model.weight
    photos = len({name for names in judgement.state.photos.values() for name in names})
    lacking = weight.lacking if weight is not None and model.has_open(weight.job) else 0
    lacking = min(lacking, photos)
    return words.report_line(photos - lacking, lacking, len(judgement.verdicts))


def _labels_line(model: Model) -> str:
    known = written_of(model, LABELS)
    many = label_count(model.open_job.judgement.state)
    return words.labels_line(many, known.pages if known is not None else None)


def _whole_line(model: Model) -> str:
    weight = model.weight
    if weight is None or not model.has_open(weight.job):
        return words.being_weighed()
    return words.size_line(weight.bytes, weight.photos, weight.lacking)


def _readings_line(model: Model) -> str:
    many = len(model.open_job.judgement.verdicts)
    return words.hand_rows_line(many) if many else words.no_readings()


LINES = {
    REPORT: _report_line,
    LABELS: _labels_line,
    WHOLE: _whole_line,
    READINGS: _readings_line,
}


def _sent(what: str, model: Model) -> str:
    """How old the last one that was sent is; of the job itself also that none was."""
    if what == READINGS:
        return ""
    sent = handed_of(model.open_job.judgement.state, what)
    if sent is None:
        return words.sent_never() if what == WHOLE else ""
    at = words.sent_at(clock_of(sent.t), (sent.t or "")[:10], model.today)
    return words.sent_newer(at) if sent.is_older else words.sent_same(at)


def _row(what: str, model: Model, send: SendAny, look: Look) -> ft.Control:
    name = words.document(what)
    lines = [
        text(look, name, 21, face="TB", cap=1.5),
        text(look, _line(what, model), 17, "soft", cap=1.6),
    ]
    sent = _sent(what, model)
    aged = [text(look, sent, 17, "soft", "TI", cap=1.6)] if sent else []
    large = look.scale >= LARGE
    said = ft.Column(lines, spacing=2, tight=True, expand=not large)
    buttons = _buttons(what, name, model, send, look)
    inside: list[ft.Control]
    if large:
        inside = [said, *aged, *([ft.Row(buttons, spacing=GAP, wrap=True)] if buttons else ())]
    else:
        centre = ft.CrossAxisAlignment.CENTER
        inside = [ft.Row([said, *buttons], spacing=GAP, vertical_alignment=centre), *aged]
    return ft.Container(
        ft.Column(
            inside,
            spacing=GAP if large else 0,
            tight=True,
            alignment=ft.MainAxisAlignment.CENTER,
        ),
        padding=ft.Padding.symmetric(horizontal=MARGIN, vertical=8),
        height=None if large or sent else ROW,
        border=ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"])),
        key=f"hand-{what}",
    )


def _buttons(what: str, name: str, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Its ways out; without a box in the plan labels have none."""
    if what == LABELS and not label_count(model.open_job.judgement.state):
        return []
    ways = ((SHARE, words.share()), (SAVE, words.to_a_file()))
    return [
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


# ---------------------------------------------------------------- all of them


def _all(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One press for all: shared as they are where the phone does that, and as one file anywhere."""
    many = len(parts_of(ALL, model.open_job.judgement.state))
    share, save = (Send(send, HandPressed(ALL, way)) for way in (SHARE, SAVE))
    named = words.all_named(many)
    if not model.can_share:
        return [slab(look, words.all_in_one(many), named, save, key="save-all")]
    wide = look.width - 2 * MARGIN
    return [
        slab(look, words.all_at_once(many), named, share, key="share-all"),
        quiet(look, words.all_in_one(many), save, key="save-all", width=wide, height=56),
    ]


def _making(model: Model, look: Look) -> list[ft.Control]:
    """What is being made, and how far it is: a jacket that fills with copper."""
    making = model.making
    if making is None:
        return []
    said = text(look, words.being_made(making.part), 18, cap=1.6)
    return [
        ft.Column(
            [
                ft.Semantics(content=said, live_region=True),
                ft.Semantics(
                    content=canvas(look, filling(look.width - 2 * MARGIN, making.share)),
                    exclude_semantics=True,
                ),
            ],
            spacing=GAP,
            tight=True,
            key="making",
        )
    ]


# ---------------------------------------------------------------- how they are written


def _papers(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What the labels look like, their sheets, the report's paper."""
    out: list[ft.Control] = []
    label = model.open_job.label
    if label is not None:
        size = GRIDS[model.settings.labels].size
        wide = min(look.width - 2 * MARGIN, MOST_LABEL)
        picture = label_picture(evolve(label, date=model.today), wide, size)
        # paper is white in the dark too
        drawn = spoken(replace(look, tokens=SUN), picture, words.speak_label(label.thing))
        out += [
            padded(text(look, words.labels_as(), 21, face="TB", cap=1.5), top=12),
            padded(_choice("labels", model, send, look)),
            padded(
                ft.Row([drawn]),
                bottom=4,
            ),
        ]
    choices = [_choice(key, model, send, look) for key in ("paper", "kind")]
    row: ft.Control
    if look.scale < LARGE:
        row = ft.Row([ft.Container(one, expand=True) for one in choices], spacing=BETWEEN)
    else:
        row = ft.Column(choices, spacing=GAP)
    out += [
        padded(text(look, words.report_as(), 21, face="TB", cap=1.5), top=12),
        padded(row, bottom=16),
    ]
    return out


def _choice(key: str, model: Model, send: SendAny, look: Look) -> ft.Control:
    """One setting as halves."""
    chosen = getattr(model.settings, key)
    name = words.labels_as() if key == "labels" else words.report_as()
    halves = []
    for value in CHOICES[key]:
        said = words.kind_of_file(value) if key == "kind" else words.paper(value)
        halves.append(
            half(
                look,
                said,
                _grid(value) if key == "labels" else "",
                Send(send, SettingPicked(key, value)),
                chosen=value == chosen,
                key=f"{key}-{value}",
                says=words.speak_setting(name, said, value == chosen),
            )
        )
    return ft.Row(halves, spacing=0)


def _grid(value: str) -> str:
    """How many labels of which size stand on a sheet."""
    grid = GRIDS[value]
    return words.sheet_of_labels(grid.across * grid.down, grid.size.width, grid.size.height)
