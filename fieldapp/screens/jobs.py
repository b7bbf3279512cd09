"""Jobs: every job with its own falling line in miniature, and what else can be done with it; New;
Settings."""

from __future__ import annotations

from collections.abc import Set
from typing import Any

import flet as ft

from engine.practice.after import is_made_up
from fieldapp import words
from fieldapp.buttons import pair, quiet, row_button, slab
from fieldapp.drawing.miniature import miniature
from fieldapp.drawing.run import RunBox, RunLine, RunSpan, RunStop
from fieldapp.finding import suspects
from fieldapp.framing import frame
from fieldapp.labelled import refusal
from fieldapp.messages import (
    CodePressed,
    CodeTyped,
    CopyJobPressed,
    FilePressed,
    Go,
    OpenJobPressed,
    SheetClosed,
    SheetOpened,
)
from fieldapp.model import JobRow, Model
from fieldapp.paint import LARGE, MARGIN, Look, canvas
from fieldapp.parts import notice, padded, text, told
from fieldapp.pressing import spoken
from fieldapp.returning import leave_of
from fieldapp.routes import NEW, PRACTICE, SAMPLES, SETTINGS, Place, route_of
from fieldapp.runline import fall_points, run_length_m, run_line
from fieldapp.screens.fields import field
from fieldapp.screens.hand import news_line
from fieldapp.screens.phone import phone_line
from fieldapp.screens.photo import opens_file
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText

SHEET = "more"
"""the sheet from below with what else can be done with a job"""
MORE = 84.0
"""how wide the way to it is [dp]"""


def jobs(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The list of jobs; the one in hand on the slab."""
    fixed = words.FIXED
    head = ft.Container(
        ft.Row(
            look.sided(
                [
                    ft.Container(text(look, fixed.jobs, 30, face="TB", cap=1.2), expand=True),
                    quiet(look, fixed.new, Send(send, Go(NEW)), key="new", height=56),
                    quiet(
                        look, fixed.settings, Send(send, Go(SETTINGS)), key="settings", height=56
                    ),
                ],
            ),
            spacing=8,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        padding=ft.Padding.only(left=MARGIN, right=12, top=10, bottom=8),
    )
    rows = [_row(one, model, send, look) for one in model.rows]
    if not rows:
        return frame(
            look,
            top=[head, *told(look, model), *news_line(model, send, look)],
            body=[
                *phone_line(model, send, look),
                _bare_line(look),
                padded(text(look, fixed.no_jobs, 28)),
                *_code(model, send, look),
            ],
            actions=[
                slab(look, fixed.plan_a_run, fixed.plan_a_run_more, Send(send, Go(NEW))),
                quiet(
                    look,
                    fixed.open_file,
                    Send(send, FilePressed()),
                    key="open-file",
                    action=opens_file(look),
                    width=look.width - 2 * MARGIN,
                ),
                quiet(
                    look,
                    fixed.try_sample,
                    Send(send, Go(SAMPLES)),
                    key="samples",
                    width=look.width - 2 * MARGIN,
                ),
                _practise(send, look, width=look.width - 2 * MARGIN),
            ],
        )
    asked = next((one for one in model.rows if _is_asked(one, model)), None)
    if asked is not None:
        return frame(
            look,
            top=[head, *told(look, model), *news_line(model, send, look)],
            body=[*_code(model, send, look), *rows],
            actions=_more(asked, model, send, look),
        )
    body = [*phone_line(model, send, look), *_code(model, send, look), *rows]
    actions = _slab(model, send, look)
    open_file = quiet(
        look,
        fixed.open_file,
        Send(send, FilePressed()),
        key="open-file",
        action=opens_file(look),
        expand=True,
    )
    seconds = pair(look, open_file, _practise(send, look, expand=True))
    if look.scale >= LARGE:  # the slab stands fast, the others scroll with the list
        body.append(padded(seconds, top=12, bottom=12))
    else:
        actions.append(seconds)
    return frame(
        look,
        top=[head, *told(look, model), *news_line(model, send, look)],
        body=body,
        actions=actions,
    )


def _code(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The field for a label's code, above the list; its button once something is typed, or why
    it opened nothing."""
    code, press = model.code, Send(send, CodePressed())
    line = field(
        look,
        words.code_label(),
        code.text,
        SendText(send, CodeTyped),
        key="code",
        on_submit=press,
        printed=True,
    )
    why = refusal(model)
    out = [padded(line, top=12)]
    if why is not None:
        out.append(notice(look, words.sentence(why)))
    elif code.text.strip():
        wide = look.width - 2 * MARGIN
        button = quiet(look, words.code_open(), press, key="code-open", width=wide)
        out.append(padded(button, top=8))
    return [ft.Container(ft.Column(out, spacing=0, tight=True), padding=ft.Padding.only(bottom=12))]


def _practise(send: SendAny, look: Look, **room: Any) -> ft.Button:
    """The way to the made-up sites."""
    return quiet(look, words.practise(), Send(send, Go(PRACTICE)), key="practise", **room)


def _is_asked(row: JobRow, model: Model) -> bool:
    """Whether the sheet from below speaks of this job."""
    sheet = model.sheet
    return sheet is not None and (sheet.what, sheet.of) == (SHEET, row.id) and row.trouble is None


def _slab(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Go on with the job in hand, if there is one that can be read."""
    readable = [row for row in model.rows if row.trouble is None]
    if not readable:
        return []
    last = next((row for row in readable if row.id == model.last_job), readable[0])
    press = Send(send, OpenJobPressed(last.id))
    return [slab(look, words.go_on(last.judged.state.job.title), "", press)]


def _row(row: JobRow, model: Model, send: SendAny, look: Look) -> ft.Control:
    border = ft.Border.only(bottom=ft.BorderSide(1.5, look.tokens["rule"]))
    if row.trouble is not None:
        return ft.Container(
            ft.Column(
                [
                    text(look, row.title, 22, face="TB", cap=1.5),
                    text(look, words.sentence(row.trouble), 17, "soft"),
                ],
                spacing=4,
            ),
            padding=MARGIN,
            border=border,
            key=f"job-{row.id}",
        )
    beside = MORE if look.scale < LARGE else 0
    striped = suspects(model, row.id, row.judged)
    title = title_of(row, model)
    stands = _stands(row, model)
    lines = job_lines(row, look, title, stands=stands, beside=beside, striped=striped)
    opens = row_button(
        look,
        ft.Container(
            ft.Column(lines, spacing=2, tight=True), padding=ft.Padding.symmetric(vertical=12)
        ),
        Send(send, OpenJobPressed(row.id)),
        key=f"job-{row.id}",
    )
    more = quiet(
        look,
        words.more_button(),
        Send(send, SheetOpened(SHEET, row.id)),
        key=f"more-{row.id}",
        height=56,
        width=MORE if look.scale < LARGE else None,
    )
    # a screen reader goes from button to button: each says whose it is
    more.content.controls[0].semantics_label = words.speak_more(title)
    if look.scale >= LARGE:
        inside: ft.Control = ft.Column([opens, padded(more, bottom=12)], spacing=0)
    else:
        inside = ft.Stack([opens, ft.Container(more, right=MARGIN, bottom=14)])
    return ft.Container(inside, border=border)


def title_of(row: JobRow, model: Model) -> str:
    """A job's title in a list; with its id where another job has the same one."""
    title = row.judged.state.job.title
    others = (one.title for one in model.rows if one.id != row.id)
    return f"{title}, {row.id}" if title in others else title


def _stands(row: JobRow, model: Model) -> str:
    """When the site was left, where nobody is on it; else what holds there."""
    entry = leave_of(row.judged.state)
    if entry is not None:
        return words.row_left(words.on_day(entry.t, model.now))
    return words.held_by(len(row.judged.blockers))


def job_lines(
    row: JobRow,
    look: Look,
    title: str,
    *,
    stands: str = "",
    beside: float = 0,
    striped: Set[str] | None = None,
) -> list[ft.Control]:
    """A job in a list: its line in miniature, its title, what it is; ``stands``: what holds
    there, or when it was left. ``beside`` is kept free at the right of the words [dp]; ``striped`` is what is suspect.
    """
    judgement = row.judged
    job = judgement.state.job
    line = run_line(judgement, suspects=striped)
    picture = miniature(line, fall_points(judgement), look.width - 2 * MARGIN)
    step = row.next_step
    stop = job.stops[step.stop].name if step else ""
    second = words.job_line(run_length_m(judgement), len(job.boxes), stop)
    said: list[ft.Control] = [
        text(look, title, 22, face="TB", cap=1.5),
        text(look, second, 17, "soft"),
    ]
    if is_made_up(judgement.state.doc):
        said.append(text(look, words.capital(words.made_up()), 17, "ink", "TM"))
    if stands:
        said.append(text(look, stands, 17, "ink", "TM"))
    return [
        spoken(look, picture, words.speak_mini(title)),
        ft.Container(
            ft.Column(said, spacing=2, tight=True),
            padding=ft.Padding.only(right=beside + 8 if beside else 0),
        ),
    ]


# ---------------------------------------------------------------- what else can be done with one


def _more(row: JobRow, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Its plan, a copy of it, another beside it."""
    title = title_of(row, model)
    copy = CopyJobPressed(row.id, words.copy_title(row.judged.state.job.title))
    choices = [
        ("plan", words.plan_button(), OpenJobPressed(row.id, route_of(Place("plan", row.id)))),
        ("duplicate", words.duplicate_button(), copy),
    ]
    if any(other.judgement is not None and other.id != row.id for other in model.rows):
        beside = OpenJobPressed(row.id, route_of(Place("compare", row.id)))
        choices.append(("compare", words.compare_job(), beside))
    wide = look.width - 2 * MARGIN
    return [
        ft.Container(
            ft.Column(
                [
                    text(look, words.more_title(title), 24, cap=1.4),
                    *(
                        quiet(look, name, Send(send, message), key=f"{key}-{row.id}", width=wide)
                        for key, name, message in choices
                    ),
                    quiet(
                        look,
                        words.FIXED.not_now,
                        Send(send, SheetClosed()),
                        key="sheet-close",
                        width=wide,
                    ),
                ],
                spacing=12,
            ),
            padding=ft.Padding.only(top=12),
        )
    ]


def _bare_line(look: Look) -> ft.Control:
    """An unlabelled line from a source to nothing."""
    boxes = (RunBox("s", "source", 0, "a", "flat", "jack"), RunBox("n", "joint", 100, "b"))
    line = RunLine(
        boxes, (RunSpan("c", "s", "n", 100),), (RunStop("a", "", 0), RunStop("b", "", 100))
    )
    picture = miniature(line, {}, look.width)
    return ft.Container(canvas(look, picture), padding=ft.Padding.only(top=60, bottom=24))
