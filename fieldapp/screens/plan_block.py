"""The white block of the plan: the first thing it breaks, and the smallest change that mends it."""

from __future__ import annotations

import flet as ft

from engine.study import Finding, Prediction
from fieldapp import words
from fieldapp.advising import breaks, margin, offered, other_ways, remarks
from fieldapp.buttons import ARROW, quiet, slab
from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.run import RunBox
from fieldapp.drawing.shapes import Line, Picture, Shape
from fieldapp.faces import lines_needed
from fieldapp.foundout import PlanAdvice, Way
from fieldapp.messages import AdviceTaken, SheetOpened
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import text
from fieldapp.pressing import spoken
from fieldapp.runline import run_line
from fieldapp.screens.plan_ways import SHEET as WAYS
from fieldapp.screens.plan_ways import holds
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

MOST_NAMED = 2
"""endpoints whose watts to spare are told; more would not be read"""
SLAB_EDGES = 40.0
"""left and right of the words in a slab [dp]"""
WIDE, TALL = 96.0, 60.0
"""the drawing beside a finding [dp]"""


def block(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """A finding with its way out, or what is to spare where nothing breaks."""
    found = breaks(model)
    prediction = model.open_job.judgement.prediction
    inside: list[ft.Control]
    if found:
        inside = [_told(model, found[0], look), *_way_out(model, send, look)]
    else:
        inside = [text(look, _nothing_breaks(model), 19, cap=1.8)]
    lines = [words.sentence(one.say) for one in remarks(model)] if not found else []
    if offered(model) is None and not (model.place.at and not found):
        lines += _headroom(prediction)
    inside += [text(look, one, 17, "soft", cap=1.8) for one in lines]
    inside += _limits(model, look) if not found else []
    edge = ft.BorderSide(2.5, look.tokens["ink"])
    return [
        ft.Container(
            ft.Column(inside, spacing=12),
            bgcolor=look.tokens["sheet"],
            border=ft.Border.only(top=edge, bottom=edge),
            padding=MARGIN,
        )
    ]


def _told(model: Model, finding: Finding, look: Look) -> ft.Control:
    said = text(look, words.sentence(finding.say), 19, cap=1.8, expand=True)
    name = finding.at.partition(".")[0]
    boxes = run_line(model.open_job.judgement).boxes
    box = next((one for one in boxes if one.id == name), None)
    if box is None or look.scale >= LARGE:
        return ft.Row([said])
    drawn = spoken(look, drawn_box(box), words.speak_plan_box(box.id))
    return ft.Row([drawn, said], spacing=12)


def drawn_box(box: RunBox) -> Picture:
    """A box as it is planned, with the break between it and the cable where it is wrong."""
    left, w, h = 38.0, 52.0, 48.0
    top = (TALL - h) / 2
    shapes: list[Shape] = [
        Line(0, TALL / 2 + y, left + 6, TALL / 2 + y, "ink", 2.0) for y in (-5.0, 5.0)
    ]
    if box.wrong:
        shapes += break_marks(20, TALL / 2, 34)
    token = "signal" if box.wrong else "ink"
    shapes += box_shapes(box.kind, (box.left, box.right), left, top, w, h, token=token)
    return Picture(WIDE, TALL, tuple(shapes))


def _way_out(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The slab with the change to make; while it is looked for, how far the search is."""
    advice, way = model.advice, offered(model)
    if advice is None:
        return []
    if way is not None:
        return [*_slab(advice, way, send, look), *_other_ways(model, advice, send, look)]
    if advice.ways is None:
        lines = [words.looking(advice.share)]
    else:
        limit = advice.limited
        lines = [words.sentence(limit) if limit is not None else words.no_change()]
    left = len(breaks(model)) - 1
    lines += [words.then_more(left)] if left > 0 else []
    return [text(look, one, 17, "soft", cap=1.8) for one in lines]


def _slab(advice: PlanAdvice, way: Way, send: SendAny, look: Look) -> list[ft.Control]:
    """A change, and what it does; below the slab where that has no room in it."""
    title = words.sentence(way.change.say)
    more = words.advice_more(way.change.volts_gained, way.left, holds(way))
    room = look.width - 2 * MARGIN - SLAB_EDGES - ARROW
    full = lines_needed("TB", 22, title, room) > 1 or lines_needed("T", 16, more, room) > 1
    full = full or look.scale >= LARGE
    press = Send(send, AdviceTaken(advice.of, way.key))
    made = slab(look, title, "" if full else more, press, key="advice")
    return [made, *([text(look, more, 17, "soft", cap=1.8)] if full else [])]


def _other_ways(model: Model, advice: PlanAdvice, send: SendAny, look: Look) -> list[ft.Control]:
    """The way to them; while they are looked for, that the change above may not be the last word."""
    if advice.ways is None:
        return [text(look, words.still_looking(advice.share), 17, "soft", cap=1.8)]
    if not other_ways(model):
        return []
    press, wide = Send(send, SheetOpened(WAYS, "")), look.width - 2 * MARGIN
    return [quiet(look, words.other_ways(), press, key="other-ways", width=wide)]


def _limits(model: Model, look: Look) -> list[ft.Control]:
    """What the plan would still bear; of a thing that is chosen other things are to be read."""
    advice = model.advice
    if model.place.at or advice is None:
        return []
    if advice.limits is None:
        return [text(look, words.limits_sought(), 17, "soft", cap=1.8)]
    if not advice.limits:
        return []
    lines = [words.sentence(one.say) for one in advice.limits]
    said = [text(look, one, 17, "soft", cap=1.8) for one in lines]
    return [
        ft.Column(
            [text(look, words.limits_title(), 17, face="TM", cap=1.8), *said], spacing=4, tight=True
        )
    ]


def _headroom(prediction: Prediction) -> list[str]:
    """How much more the run would bear, unless it bears nothing or cannot be overloaded."""
    share = prediction.load_share
    if share is None or not prediction.operates or prediction.study.cut:
        return []
    spare = [(name, watts) for name, watts in prediction.watts_to_spare.items() if watts]
    return [words.would_bear(share, spare[:MOST_NAMED])]


def _nothing_breaks(model: Model) -> str:
    spare, low, _ = margin(model.open_job.judgement.prediction)
    if low is None:
        return words.FIXED.no_finding
    return words.plan_answer(low, spare)
