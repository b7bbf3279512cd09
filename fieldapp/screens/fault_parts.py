"""What the page of a fault is made of: odds, evidence, the other causes, the next test's gauge."""

from __future__ import annotations

import flet as ft

from engine.diagnose.account import AGAINST, EITHER, Account, Evidence, Fault
from engine.diagnose.asking import Test
from engine.faults import OTHER
from engine.verdict import Verdict
from fieldapp import faultview as view
from fieldapp import words
from fieldapp.buttons import row_button
from fieldapp.drawing.gauge import conductor_ends, mark, sleeves
from fieldapp.drawing.shapes import Picture
from fieldapp.faces import text_width
from fieldapp.finding import told_apart
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, rule, tag, text
from fieldapp.pressing import spoken
from fieldapp.routes import Place, route_of
from fieldapp.runline import verdict_of
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

MARK, MARK_SCALE = 50.0, 0.9
"""what the mark of a reading takes in its row, and how large it is [dp, 1]"""
MOST_TOLD = 3
"""readings that are told; more would not be read"""
TAG = 52.0
"""the least that the tags of the causes take [dp]"""
GAUGE = 112.0
LEAST_SLEEVES = 2
ENDS, CLOSE_ENDS, ENDS_GAP = (174.0, 20.0), (145.0, 20.0), 10.0
SMALL_ENDS = (98.0, 10.0)
"""the conductor ends of the cause on top, closer where its odds are long, and of a row [dp]"""


def odds_row(probability: float, look: Look) -> ft.Control:
    """Ten conductor ends, so many of them copper, and the odds in words."""
    long = text_width("TB", 19, words.odds(probability))
    (wide, high), r, pitch = (ENDS, 7.5, 17.6)
    if look.scale < LARGE and ENDS[0] + ENDS_GAP + long > look.width - 2 * MARGIN:
        (wide, high), r, pitch = (CLOSE_ENDS, 6.2, 14.6)  # rather than words on a line below
    ends = conductor_ends(view.tenths(probability), view.TEN, 0, 10, r, pitch)
    drawn = canvas(look, Picture(wide, high, ends))
    said = text(look, words.odds(probability), 19, face="TB", cap=1.6)
    row = ft.Row([drawn, said], spacing=ENDS_GAP, wrap=True, run_spacing=4)
    spoken_odds = words.capital(words.odds(probability))
    return padded(ft.Semantics(content=row, label=spoken_odds, exclude_semantics=True))


# ---------------------------------------------------------------- why


def evidence(model: Model, fault: Fault, look: Look) -> list[ft.Control]:
    """One line a reading that speaks for or against it, with its mark; the others in one."""
    telling = [one for one in fault.because if one.speaks != EITHER]
    shown = telling[:MOST_TOLD]
    rows = [_evidence(model, one, look) for one in shown]
    more, silent = len(telling) - len(shown), len(fault.because) - len(telling)
    if more or silent:
        said = words.others_say(more, silent)
        rows.append(padded(text(look, said, 17, "soft", "TI", cap=1.8)))
    return [ft.Column(rows, spacing=6)] if rows else []


def _evidence(model: Model, one: Evidence, look: Look) -> ft.Control:
    verdict = verdict_of(model.open_job.judgement, one.reading)
    said = words.sentence(one.say)
    if one.speaks == AGAINST:
        said = words.speaks_against(said)
    return _marked(verdict.verdict if verdict else "", said, look)


def reading_row(verdict: Verdict, look: Look) -> ft.Control:
    """A reading with its mark, while nothing more is known of it."""
    reading = verdict.reading
    said = words.read_there(reading.at, words.with_unit(abs(reading.figure), reading.kind))
    return _marked(verdict.verdict, said, look)


def _marked(word: str, said: str, look: Look) -> ft.Control:
    drawn = Picture(MARK, 20.0, mark(word, 0, 2, MARK_SCALE))
    return padded(
        ft.Row(
            [
                ft.Semantics(content=canvas(look, drawn), exclude_semantics=True),
                text(look, said, 18, cap=1.8, expand=True),
            ],
            spacing=10,
            vertical_alignment=ft.CrossAxisAlignment.START,
        )
    )


def where_else(account: Account, fault: Fault, look: Look) -> list[ft.Control]:
    """Where it may be as well: no reading tells these places apart."""
    same = view.alike(account, fault)
    if not same:
        return []
    together = fault.probability + sum(one.probability for one in same)
    said = words.may_be_in([words.spot(one.where) for one in same], together)
    return [padded(text(look, said, 18, cap=1.8))]


def what_it_may_be(fault: Fault, look: Look) -> list[ft.Control]:
    """What it is at heart, and at which end; that readings cannot tell more."""
    lines = []
    if fault.kinds:
        lines.append(words.kinds_told(fault.kinds))
    if fault.ends:
        lines.append(words.ends_told(fault.ends))
    return [padded(text(look, one, 18, "soft", cap=1.8)) for one in lines]


def how_to(fault: Fault, look: Look) -> list[ft.Control]:
    """What eye and hand look for, and what would make it sure."""
    rows = ((words.look_for(), fault.look), (words.to_be_sure(), fault.sure))
    return [
        padded(text(look, f"**{name}**  {words.sentence(said)}", 19, strong="TMI", cap=1.8))
        for name, said in rows
        if said is not None
    ]


def point_of(said: str, look: Look) -> ft.Control:
    """One of several things, on a line of its own behind a short bar."""
    return padded(
        ft.Container(
            text(look, said, 18, cap=1.8),
            border=ft.Border.only(left=ft.BorderSide(4, look.tokens["rule"])),
            padding=ft.Padding.only(left=12),
        )
    )


# ---------------------------------------------------------------- the other causes


def others(
    account: Account, on_top: Fault, model: Model, send: SendAny, look: Look
) -> list[ft.Control]:
    """A row for each; a press puts it on top. What is left over stands in the last one."""
    found = view.others(account, on_top)
    job = model.open_job.judgement.state.job
    tags = [view.tags_of(job, model.open_job.judgement, one) for one in found.rows]
    column = max((_tag_width(one, look) for one in tags), default=TAG)
    rows = [_row(one, column, model, send, look) for one in found.rows]
    if found.rest >= view.LEAST_ROW or (rows and found.rest >= view.LEAST_SEEN):
        rows.append(_rest(found, column, look))
    if not rows:
        return []
    lines: list[ft.Control] = [rule(look, 1.5)]
    for row in rows:
        lines += [row, rule(look, 1.5)]
    return [ft.Column(lines, spacing=0)]


def _row(fault: Fault, column: float, model: Model, send: SendAny, look: Look) -> ft.Control:
    judgement = model.open_job.judgement
    where = view.where_of(judgement, fault)
    cause, at = told_apart(fault)
    press = Go(route_of(Place("fault", model.open_job.id, at, cause)))
    inside = ft.Semantics(
        label=words.speak_cause(fault.cause, where, fault.probability),
        exclude_semantics=True,
        content=_columns(
            view.tags_of(judgement.state.job, judgement, fault),
            words.cause_name(fault.cause),
            where,
            fault.probability,
            column,
            look,
        ),
    )
    key = f"cause-{cause}-{at}"
    return row_button(look, inside, Send(send, press), key=key)


def _rest(found: view.Others, column: float, look: Look) -> ft.Control:
    line = words.rest_of(found.named)
    columns = _columns("…", words.cause_name(OTHER), line, found.rest, column, look)
    label = words.speak_cause(OTHER, "", found.rest)
    inside = ft.Semantics(label=label, exclude_semantics=True, content=columns)
    return ft.Container(inside, padding=ft.Padding.symmetric(horizontal=MARGIN))


def _columns(
    name: str, title: str, where: str, probability: float, column: float, look: Look
) -> ft.Control:
    """Tag, cause over place, odds over small conductor ends; below one another at large letters.

    ``column`` is the widest tag of the list, so that the causes stand below each other [dp].
    """
    ends = conductor_ends(view.tenths(probability), view.TEN, 0, 5, 4.0, 9.8)
    lines: list[ft.Control] = [text(look, title, 18, face="TB", cap=1.6)]
    if where:
        lines.append(text(look, where, 16, "soft", cap=1.6))
    odds = text(look, words.in_ten(probability), 18, face="TB", cap=1.6)
    large = look.scale >= LARGE
    if large:
        lines.append(odds)
    tagged = ft.Row([tag(look, name)], tight=True)
    row = [
        ft.Container(tagged, width=None if large else column),
        ft.Column(lines, spacing=1, tight=True, expand=True),
    ]
    if not large:
        drawn = canvas(look, Picture(*SMALL_ENDS, ends))
        row.append(
            ft.Column(
                [odds, drawn],
                spacing=4,
                tight=True,
                horizontal_alignment=ft.CrossAxisAlignment.END,
            )
        )
    return ft.Container(
        ft.Row(row, spacing=10, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        padding=ft.Padding.symmetric(vertical=11),
    )


def _tag_width(name: str, look: Look) -> float:
    """What a tag takes, and some more. [dp]"""
    grown = 18 * min(look.scale, 1.4)
    return max(TAG, text_width("PB", grown, name) + 22)


# ---------------------------------------------------------------- the next test


def next_test(test: Test, rows: tuple[view.Told, ...], look: Look) -> list[ft.Control]:
    """The gauge of the next test, a sleeve for each cause: one sees why the walk pays."""
    name = words.test_name(test.kind, test.at)
    one_line = look.scale < LARGE
    title = text(look, words.one_test(len(test.parts)), 20, face="TB", cap=1.6)
    what = text(look, name, 18, "soft", "TI", cap=1.6)
    head: ft.Control = (
        ft.Row([title, what], alignment=ft.MainAxisAlignment.SPACE_BETWEEN, wrap=True)
        if one_line
        else ft.Column([title, what], spacing=2)
    )
    needs = words.test_takes(test.minutes, test.needs)
    out = [padded(head, top=8), *_foretold(rows, test, name, look)]
    return [*out, padded(text(look, needs, 17, "soft", "TI", cap=1.6), bottom=8)]


def _foretold(rows: tuple[view.Told, ...], test: Test, name: str, look: Look) -> list[ft.Control]:
    """Sleeves on one line; of a light, which shows a speed or none, a line for each cause. One
    sleeve alone shows nothing."""
    kind = test.kind
    if len(rows) < LEAST_SLEEVES:
        return [padded(text(look, words.sentence(test.why), 19, cap=1.8))]
    if kind == "mbps":
        said = [f"**{row.name}**: {row.text}" for row in rows]
        return [padded(text(look, one, 19, cap=1.8)) for one in said]
    sleeved = [row.sleeve for row in rows]
    picture = sleeves(
        sleeved,
        look.width,
        GAUGE,
        scale=words.scale_of(kind),
        letters=look.scale,
    )
    return [spoken(look, picture, words.speak_sleeves([(r.name, r.text) for r in rows], name))]
