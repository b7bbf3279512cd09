"""Run: the whole line as it falls, and what stands at the chosen point."""

from __future__ import annotations

import flet as ft

from engine.job import Point
from engine.judge import Judgement
from engine.verdict import OUTSIDE, UNCLEAR, Verdict
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import cut, pair, quiet, slab
from fieldapp.drawing.arrow import stepper
from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.gauge import mark
from fieldapp.drawing.shapes import Picture
from fieldapp.faultview import find_more
from fieldapp.finding import suspects
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.longline import height_for, in_column
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import LARGE, Look, canvas
from fieldapp.parts import notice, padded, text, told
from fieldapp.pressing import pressable
from fieldapp.questions import here, point_named
from fieldapp.returning import drift_of
from fieldapp.routes import JOBS, Place, route_of
from fieldapp.runline import (
    dimension,
    fall_points,
    floor_of,
    latest_at,
    ordered_points,
    run_length_m,
    run_line,
)
from fieldapp.screens.photo import photo_button
from fieldapp.screens.points import expected, points_body
from fieldapp.screens.putin import (
    SHEET,
    in_here,
    open_button,
    sheet_actions,
    sheet_body,
    still_in,
)
from fieldapp.screens.shared import SendAny, broken_line, conflict_lines, strip
from fieldapp.sending import Send
from fieldapp.window import TURNED, WIDE

HEAD = 84.0
AROUND = HEAD + 84.0 + 92.0 + 66.0
"""head, detail, slab and bar: the line gets what is left"""
LEAST, MOST = 300.0, 540.0
"""how high the line is [dp]"""
TEST = 68.0
"""what the quiets below the slab take, with their gap; where letters are large the slab itself"""
STILL_IN = 32.0
"""and a line about what is in for a test"""
CONFLICT = 64.0
"""what a line about two plans takes of it"""


def run(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The falling line, and the chosen point's reading or prediction."""
    judgement = model.open_job.judgement
    at = chosen_point(model)
    top = [*told(look, model), *_not_here(model, look), *conflict_lines(model, send, look)]
    if look.shape == WIDE:  # head and line stand at the left all the time
        body = points_body(model, at, send, look)
    else:
        top = [run_head(model, send, look), *top]
        around = _around(model, at, look)
        height = min(max(look.height - around, LEAST), MOST)
        body = [line_of(model, at.box if at else None, height, send, look)]
    verdict = latest_at(judgement, str(at)) if at else None
    if at is not None and model.sheet is not None and model.sheet.what == SHEET:
        body = sheet_body(model, send, look)
        actions = sheet_actions(send, look)
        return frame(look, top=top, body=body, actions=actions, foot=bar(look, model, send))
    actions = [
        *strip(model, send, look),
        _detail(model, at, verdict, send, look),
        *(still_in(model, at.box, None, look) if at else ()),
        _slab(model, at, verdict, send, look),
    ]
    seconds = [*_ways(model, at, send, look), _seconds(at, send, look)] if at else []
    if look.scale >= LARGE:  # the slab stands fast, the others scroll with the line
        body = [*body, *map(padded, seconds)]
    else:
        actions += seconds
    return frame(look, top=top, body=body, actions=actions, foot=bar(look, model, send))


def chosen_point(model: Model) -> Point | None:
    """The point asked for, else the last one read, else the feed."""
    judgement = model.open_job.judgement
    points = ordered_points(judgement.prediction)
    asked = point_named(judgement, model.place.at)
    if asked is not None:
        return asked
    read = [v.reading.at for v in judgement.verdicts if v.current and v.reading.kind == "volts"]
    if read:
        return Point.parse(read[-1])
    return points[0] if points else None


def _is_lost(model: Model) -> bool:
    """Whether one came for a thing that the plan does not have now."""
    asked = model.place.at
    return bool(asked) and point_named(model.open_job.judgement, asked) is None


def _not_here(model: Model, look: Look) -> list[ft.Control]:
    if not _is_lost(model):
        return []
    return [notice(look, words.not_in_job(model.place.at))]


def run_head(model: Model, send: SendAny, look: Look) -> ft.Control:
    """The job's name, its length and when it was last kept, between the ways out."""
    fixed, job = words.FIXED, model.open_job
    plan = Send(send, Go(route_of(Place("plan", job.id))))
    return header(
        look,
        quiet(look, fixed.jobs, Send(send, Go(JOBS)), key="to-jobs", height=56),
        job.judgement.state.job.title,
        words.run_line(run_length_m(job.judgement), job.kept),
        quiet(look, fixed.plan, plan, key="to-plan", height=56),
    )


def _around(model: Model, at: Point | None, look: Look) -> float:
    """What stands above and below the line [dp]."""
    conflicts = CONFLICT * (len(model.open_job.judgement.state.conflicts) + _is_lost(model))
    if look.shape == TURNED:
        return HEAD + conflicts
    around = AROUND + conflicts
    around += TEST * bool(at and _ends_beyond(model.open_job.judgement, at.box))
    return around + TEST + STILL_IN * (len(in_here(model, at.box)) if at else 0)


def line_of(
    model: Model,
    chosen: str | None,
    height: float,
    send: SendAny,
    look: Look,
    *,
    mark: bool = False,
) -> ft.Control:
    """The falling line with what was read, a box on it chosen; a press on a box leads to Run.

    ``mark``: what is chosen has a bar under it, as its words stand somewhere else.
    """
    judgement = model.open_job.judgement
    floor = floor_of(judgement.prediction)
    points = fall_points(judgement, today=True)
    suspect = suspects(model, model.open_job.id, judgement)
    # the branch that is walked is the thick line
    line = run_line(judgement, here(model), towards=chosen or "", suspects=suspect)
    picture = falling_line(
        line,
        points,
        floor[0] if floor else None,
        words.floor(*floor) if floor else "",
        chosen,
        look.width,
        height_for(line, height),
        collapse=broken_line(judgement),
        mark=mark,
        wording=words.WORDING,
        letters=look.scale,
    )

    def press(key: str) -> Send:
        target = point_named(judgement, key)
        return Send(send, Go(route_of(Place("run", model.open_job.id, str(target)))))

    told_volts = [
        (name, p.reading if p.reading is not None else p.expected, p.verdict or "")
        for name, p in points.items()
    ]
    speech = words.speak_line(told_volts, words.floor(*floor) if floor else "")
    drawn = pressable(look, picture, speech, press, prefix="box")
    return in_column(model, send, look, line, picture, drawn, chosen or "")


def _detail(
    model: Model, at: Point | None, verdict: Verdict | None, send: SendAny, look: Look
) -> ft.Control:
    if at is None:
        return ft.Container()
    points = ordered_points(model.open_job.judgement.prediction)
    i, number = points.index(at), len(points)
    ways = [("left", points[i - 1]), ("right", points[(i + 1) % number])]
    if number <= 2:  # the other one, if there is one, is on one side alone
        ways = ways[:1] if i else ways[1:number]
    left, right = (
        [_stepper(way, to, model, send, look) for way, to in ways if way == side]
        for side in ("left", "right")
    )
    if verdict is not None:
        ink = "signal" if verdict.verdict == OUTSIDE else "ink"
        drawn = Picture(60, 20, tuple(mark(verdict.verdict, 0, 1)))
        name = text(look, words.point(str(at)), 20, face="TB", cap=1.2, expand=True, max_lines=1)
        figure = words.with_unit(abs(verdict.reading.figure))
        # read in one, else its figure comes behind the line below
        first = ft.MergeSemantics(ft.Row([name, text(look, figure, 20, face="TB", cap=1.2)]))
        word = words.VERDICTS[verdict.verdict]
        by = dimension(verdict) or _was(model, verdict)
        second = ft.Row(
            [
                *(() if look.scale >= LARGE else (canvas(look, drawn),)),  # room for the word
                text(look, word, 19, ink, "TB", cap=1.2, expand=True, max_lines=1),
                *([text(look, by, 16, "soft", cap=1.2)] if by else ()),
            ],
            spacing=6,
        )
    else:
        first = text(look, words.point(str(at)), 20, face="TB", cap=1.2, max_lines=1)
        second = text(look, expected(model, at), 17, "soft", cap=1.2, max_lines=2)
    return ft.Row(
        [
            *left,
            ft.Column([first, second], spacing=2, expand=True),
            *right,
        ],
        spacing=10,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )


def _was(model: Model, verdict: Verdict) -> str:
    """On a return, what was read here before the site was left."""
    drift = drift_of(model.open_job.judgement, verdict.id)
    return words.was_short(drift.before, drift.kind) if drift else ""


def _stepper(way: str, to: Point, model: Model, send: SendAny, look: Look) -> ft.Control:
    return ft.Button(
        key=f"step-{way}",
        content=ft.Semantics(
            label=words.point(str(to)),
            exclude_semantics=True,
            content=canvas(look, stepper(way)),
        ),
        on_click=Send(send, Go(route_of(Place("run", model.open_job.id, str(to))))),
        style=ft.ButtonStyle(
            bgcolor=look.tokens["ground"],
            elevation=0,
            padding=0,
            shape=cut(10, ft.BorderSide(2.5, look.tokens["ink"])),
        ),
        width=58,
        height=58,
    )


def _slab(
    model: Model, at: Point | None, verdict: Verdict | None, send: SendAny, look: Look
) -> ft.Control:
    fixed = words.FIXED
    if at is None:
        return padded(text(look, words.no_predicted(), 18))
    if verdict is not None and verdict.verdict == OUTSIDE:
        find = Send(send, Go(route_of(Place("fault", model.open_job.id))))
        return slab(look, words.find_fault(), find_more(model), find)
    press = Go(route_of(Place("read", model.open_job.id, str(at), "volts")))
    title = words.log_here() if verdict is None else fixed.measure_again
    if verdict is not None and verdict.verdict != UNCLEAR:
        press = Go(route_of(Place("verdict", model.open_job.id, verdict.id)))
        title = words.see_verdict()
    return slab(look, title, words.point(str(at)), Send(send, press))


def _ends_beyond(judgement: Judgement, box: str) -> tuple[str, ...]:
    """The far ends beyond a box at which the run parts; none where it does not."""
    line = run_line(judgement, towards=box)
    ends = [branch.boxes[-1].id for branch in line.branches if branch.from_box == box]
    return (line.boxes[-1].id, *ends) if ends else ()


def _ways(model: Model, at: Point, send: SendAny, look: Look) -> list[ft.Control]:
    """At a fork, which way is meant."""
    judgement = model.open_job.judgement
    buttons = [
        quiet(
            look,
            words.way_to(end),
            Send(
                send,
                Go(route_of(Place("run", model.open_job.id, str(point_named(judgement, end))))),
            ),
            key=f"way-{end}",
            expand=True,
        )
        for end in _ends_beyond(judgement, at.box)
    ]
    return [pair(look, *buttons)] if buttons else []


def _seconds(at: Point, send: SendAny, look: Look) -> ft.Control:
    """What is put in for a test at the point, and a photo of its box."""
    large = look.scale >= LARGE
    title = words.photo_of(at.box) if large else words.photo_short()
    photo = photo_button(at.box, title, send, look, expand=True if large else 2)
    return pair(look, open_button(at, send, look), photo)
