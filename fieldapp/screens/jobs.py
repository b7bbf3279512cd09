"""Jobs: every job with its own falling line in miniature; New; Settings."""

from __future__ import annotations

import flet as ft

from fieldapp import words
from fieldapp.drawing.falling import miniature
from fieldapp.drawing.run import RunBox, RunLine, RunSpan, RunStop
from fieldapp.messages import FilePressed, Go, OpenJobPressed
from fieldapp.model import JobRow, Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import (
    MARGIN,
    Send,
    frame,
    padded,
    quiet,
    row_button,
    slab,
    text,
    told,
)
from fieldapp.pressing import spoken
from fieldapp.routes import NEW, SAMPLES, SETTINGS
from fieldapp.runline import fall_points, run_length_m, run_line
from fieldapp.screens.shared import SendAny


def jobs(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The list of jobs; the one in hand on the slab."""
    fixed = words.FIXED
    head = ft.Container(
        ft.Row(
            [
                ft.Container(text(look, fixed.jobs, 30, face="TB", cap=1.3), expand=True),
                quiet(look, fixed.new, Send(send, Go(NEW)), key="new", height=56),
                quiet(look, fixed.settings, Send(send, Go(SETTINGS)), key="settings", height=56),
            ],
            spacing=8,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
        padding=ft.Padding.only(left=MARGIN, right=12, top=10, bottom=8),
    )
    rows = [_row(one, send, look) for one in model.rows]
    if not rows:
        return frame(
            look,
            top=[head, *told(look, model)],
            body=[_bare_line(look), padded(text(look, fixed.no_jobs, 28))],
            actions=[
                slab(look, fixed.plan_a_run, fixed.plan_a_run_more, Send(send, Go(NEW))),
                quiet(
                    look,
                    fixed.open_file,
                    Send(send, FilePressed()),
                    key="open-file",
                    width=look.width - 2 * MARGIN,
                ),
                quiet(
                    look,
                    fixed.try_sample,
                    Send(send, Go(SAMPLES)),
                    key="samples",
                    width=look.width - 2 * MARGIN,
                ),
            ],
        )
    return frame(
        look,
        top=[head, *told(look, model)],
        body=rows,
        actions=[
            *_slab(model, send, look),
            quiet(
                look,
                fixed.open_file,
                Send(send, FilePressed()),
                key="open-file",
                width=look.width - 2 * MARGIN,
            ),
        ],
    )


def _slab(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Go on with the job in hand, if there is one that can be read."""
    readable = [row for row in model.rows if row.trouble is None]
    if not readable:
        return []
    last = next((row for row in readable if row.id == model.last_job), readable[0])
    press = Send(send, OpenJobPressed(last.id))
    return [slab(look, words.go_on(last.judgement.state.job.title), "", press)]


def _row(row: JobRow, send: SendAny, look: Look) -> ft.Control:
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
    judgement = row.judgement
    job = judgement.state.job
    line = run_line(judgement)
    picture = miniature(line, fall_points(judgement), look.width - 2 * MARGIN)
    step = row.next_step
    stop = job.stops[step.stop].name.lower() if step else ""
    second = words.job_line(run_length_m(judgement), len(job.boxes), stop)
    content = ft.Column(
        [
            spoken(look, picture, words.speak_mini(job.title)),
            text(look, job.title, 22, face="TB", cap=1.5),
            ft.Row(
                [
                    text(look, second, 17, "soft", expand=True),
                    text(look, words.held_by(len(judgement.blockers)), 17, "ink", "TM"),
                ]
            ),
        ],
        spacing=2,
        tight=True,
    )
    return ft.Container(
        row_button(
            look,
            ft.Container(content, padding=ft.Padding.symmetric(vertical=12)),
            Send(send, OpenJobPressed(row.id)),
            key=f"job-{row.id}",
        ),
        border=border,
    )


def _bare_line(look: Look) -> ft.Control:
    """An unlabelled line from a source to nothing."""
    boxes = (RunBox("s", "source", 0, "a", "flat", "jack"), RunBox("n", "joint", 100, "b"))
    line = RunLine(
        boxes, (RunSpan("c", "s", "n", 100),), (RunStop("a", "", 0), RunStop("b", "", 100))
    )
    picture = miniature(line, {}, look.width)
    return ft.Container(canvas(look, picture), padding=ft.Padding.only(top=60, bottom=24))
