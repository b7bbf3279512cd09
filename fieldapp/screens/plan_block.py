"""The white block of the plan: the first thing it breaks, and the smallest change that mends it."""

from __future__ import annotations

import flet as ft

from engine.study import Finding, Prediction
from fieldapp import words
from fieldapp.advising import breaks, offered
from fieldapp.drawing.boxes import box_shapes, break_marks
from fieldapp.drawing.run import RunBox
from fieldapp.drawing.shapes import Line, Picture
from fieldapp.messages import AdviceTaken
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import LARGE, MARGIN, Send, slab, text
from fieldapp.pressing import spoken
from fieldapp.runline import run_line
from fieldapp.screens.shared import SendAny

MOST_NAMED = 2
"""endpoints whose watts to spare are told; more would not be read"""
WIDE, TALL = 96.0, 60.0
"""the drawing beside a finding [dp]"""


def block(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """A finding with its way out, or what is to spare where nothing breaks."""
    found = breaks(model)
    prediction = model.job.judgement.prediction
    inside: list[ft.Control]
    if found:
        inside = [_told(model, found[0], look), *_way_out(model, send, look)]
    else:
        inside = [text(look, _nothing_breaks(model), 19, cap=1.8)]
    if not found or offered(model) is None:
        inside += [text(look, one, 17, "soft", cap=1.8) for one in _headroom(prediction)]
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
    boxes = run_line(model.job.judgement).boxes
    box = next((one for one in boxes if one.id == name), None)
    if box is None or look.scale >= LARGE:
        return ft.Row([said])
    drawn = spoken(look, drawn_box(box), words.speak_plan_box(box.id))
    return ft.Row([drawn, said], spacing=12)


def drawn_box(box: RunBox) -> Picture:
    """A box as it is planned, with the break between it and the cable where it is wrong."""
    left, w, h = 38.0, 52.0, 48.0
    top = (TALL - h) / 2
    shapes = [Line(0, TALL / 2 + y, left + 6, TALL / 2 + y, "ink", 2.0) for y in (-5.0, 5.0)]
    if box.wrong:
        shapes += break_marks(20, TALL / 2, 34)
    token = "signal" if box.wrong else "ink"
    shapes += box_shapes(box.kind, (box.left, box.right), left, top, w, h, token=token)
    return Picture(WIDE, TALL, tuple(shapes))


def _way_out(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The slab with the smallest change; while it is looked for, how far the search is."""
    advice, change = model.advice, offered(model)
    left = len(breaks(model)) - 1
    if change is not None:
        kinds = {finding.rule for finding in breaks(model)}
        left = max(len(kinds - set(change.mends)), 0)
        press = Send(send, AdviceTaken(advice.of))
        more = words.advice_more(change.volts_gained, left)
        return [slab(look, words.sentence(change.say), more, press, key="advice")]
    if advice is None:
        return []
    if advice.advice is None:
        lines = [words.looking(advice.share)]
    else:
        limit = advice.advice.limited_by
        lines = [words.sentence(limit) if limit is not None else words.no_change()]
    lines += [words.then_more(left)] if left > 0 else []
    return [text(look, one, 17, "soft", cap=1.8) for one in lines]


def _headroom(prediction: Prediction) -> list[str]:
    """How much more the run would bear, unless it bears nothing or cannot be overloaded."""
    share = prediction.load_share
    if share is None or not prediction.operates or prediction.study.cut:
        return []
    spare = [(name, watts) for name, watts in prediction.watts_to_spare.items() if watts]
    return [words.would_bear(share, spare[:MOST_NAMED])]


def _nothing_breaks(model: Model) -> str:
    prediction = model.job.judgement.prediction
    margins = [
        (seen.volts.low - node.load.sheet.cutoff_volts, seen.volts.low)
        for tree in prediction.study.network.trees
        for node in tree.nodes
        if node.load is not None and (seen := prediction.points[node.point]).volts.low is not None
    ]
    if not margins:
        return words.FIXED.no_finding
    spare, low = min(margins)
    return words.plan_answer(low, spare)
