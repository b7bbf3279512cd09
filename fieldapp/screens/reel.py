"""Reel check: is the reel long enough and of the sheet's wire? Asked before it is pulled."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.reel import ReelCheck
from engine.study import Range
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import half, pair, quiet, slab
from fieldapp.drawing.gauge import Sleeve, mark, sleeves
from fieldapp.drawing.reel import reel_picture
from fieldapp.drawing.shapes import Picture
from fieldapp.framing import frame
from fieldapp.messages import (
    Go,
    ReelRefused,
    ReelTaken,
    SheetClosed,
    SheetOpened,
    SheetTyped,
)
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, text, told
from fieldapp.pressing import pressable, spoken
from fieldapp.reeling import (
    OnReel,
    air_of,
    near_stop,
    reel_at_hand,
    reel_check,
    reel_route,
    wanted_m,
)
from fieldapp.routes import Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.putin import still_in
from fieldapp.screens.shared import Parts, SendAny, ribbon_of
from fieldapp.sending import Send, SendText
from fieldapp.worldclock import clock_of

USE = "reel-use"
"""the sheet that asks why a reel is used all the same"""
GAUGE = 116.0


def reel(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """One reel for one span: what is known of it, what it is found to be, what to do."""
    job, span = model.open_job, model.place.at
    top = [ribbon_of(model, send, look), *told(look, model)]
    foot = bar(look, model, send)
    one = reel_at_hand(model, span)
    if one is None:
        gone = padded(text(look, words.not_in_job(span), 24), top=16)
        return frame(look, top=top, body=[gone], actions=[], foot=foot)
    check = reel_check(job, one)
    if model.sheet is not None and model.sheet.what == USE:
        body, actions = _why(model, one, check, send, look)
        return frame(look, top=top, body=body, actions=actions, foot=foot)
    body = [
        padded(text(look, _finding(one, check), 27, cap=1.4), top=10),
        _drawn(model, one, check, send, look),
        *_ohms(model, one, check, look),
        *reel_gauge(one.span, check, look),
        *_settling(check, look),
        *_low_mark(model, one, check, look),
        *map(padded, still_in(model, None, span, look)),
        _besides(model, one, send, look),
    ]
    actions = _actions(model, one, check, send, look)
    if look.scale >= LARGE:  # the quiet ones scroll with the words
        body, actions = [*body, *map(padded, actions[1:])], actions[:1]
    return frame(look, top=top, body=body, actions=actions, foot=foot)


def _finding(one: OnReel, check: ReelCheck) -> str:
    if one.taken:
        return words.reel_taken(one.span, clock_of(one.at))
    return words.reel_finding(one.number, check.length_say, check.wire_say)


def _drawn(model: Model, one: OnReel, check: ReelCheck, send: SendAny, look: Look) -> ft.Control:
    """The reel; a press on a mark types it."""
    wanted = wanted_m(model.open_job.judgement.state.job.spans[one.span])
    free, inner = (
        words.reel_no_mark() if known is None else words.reel_mark(known)
        for known in (one.first, one.second)
    )
    length = check.length_m
    amount = words.metres(length) if length is not None else words.reel_no_mark()
    slack = wanted - model.open_job.judgement.state.job.spans[one.span].length_m.expected
    more: tuple[str, ...]
    short = check.spare_m is not None and check.spare_m < 0
    if check.spare_m is not None and short:
        figure, more = words.metres(-check.spare_m), (words.reel_too_short(one.span),)
    else:
        figure, more = words.metres(wanted), (words.reel_wanted(one.span), words.reel_slack(slack))
    state = "copper" if check.verdict == INSIDE else "striped" if check.wrong_wire else "empty"
    titles = words.REEL_FIELDS
    picture = reel_picture(
        free,
        inner,
        amount,
        words.reel_amount(length is not None),
        figure,
        more,
        state,
        look.width,
        letters=look.scale,
        short=short,
        free_name=titles["first"][0],
        inner_name=titles["second"][0],
    )
    said = words.speak_reel(free, inner, amount, " ".join((figure, *more)))

    def press(name: str) -> Send:
        return Send(send, Go(reel_route(model, one.span, name)))

    return pressable(look, picture, said, press, prefix="mark")


def _ohms(model: Model, one: OnReel, check: ReelCheck, look: Look) -> list[ft.Control]:
    """The loop as measured, large, with its word."""
    if check.ohms is None:
        return []
    said = words.with_unit(check.ohms, "loop_ohms")
    how = words.reel_how(one.celsius, *air_of(model.open_job, one))
    ink = "signal" if check.verdict == OUTSIDE else "ink"
    word = ft.Row(
        [
            canvas(look, Picture(52, 20, tuple(mark(check.verdict, 0, 1, 1.0)))),
            ft.Semantics(
                content=text(look, words.VERDICTS[check.verdict], 24, ink, "TB", cap=1.3),
                live_region=True,
            ),
        ],
        spacing=10,
    )
    lines = [word, text(look, how, 17, "soft", "TI", cap=1.2)]
    figure = text(look, said, 50, face="TM", cap=1.1)
    if look.scale >= LARGE:  # the word is as wide as there is room beside the figure
        return [padded(ft.Column([figure, *lines], spacing=2, tight=True))]
    row = ft.Row(
        [figure, ft.Column(lines, spacing=2, tight=True, expand=True)],
        spacing=14,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return [padded(row)]


def reel_gauge(
    span: str, check: ReelCheck, look: Look, ohms: float | None = None
) -> list[ft.Control]:
    """Two sleeves on one line: the sheet's wire, and the metal that is sold for it."""
    if check.planned is None or check.other_metal is None:
        return []
    rows = [
        _sleeve(check.planned, check.sheet_metal, dashed=False),
        _sleeve(check.other_metal, check.wrong_metal, dashed=True),
    ]
    shown = check.ohms if ohms is None else ohms
    picture = sleeves(
        rows,
        look.width,
        GAUGE,
        reading=shown,
        reach=check.reach,
        scale=words.scale_of("loop_ohms"),
        letters=look.scale,
    )
    said = ", ".join(f"{row.name} {row.text}" for row in rows)
    word = words.VERDICTS.get(check.verdict, "")
    return [spoken(look, picture, words.speak_reel_gauge(shown, check.reach, said, word))]


def _sleeve(band: Range, metal: str, *, dashed: bool) -> Sleeve:
    name = words.reel_sleeve_name(metal)
    low, high = band.low, band.high
    assert low is not None and high is not None  # ohms hang on no operating point
    shown = words.reel_sleeve(low, high)
    return Sleeve(low, high, name, shown, above=True, dashed=dashed)


def _settling(check: ReelCheck, look: Look) -> list[ft.Control]:
    """What would tell more, the most for its time first."""
    said = [words.reel_settle(one.id) for one in check.settle[:2]]
    if not said:
        return []
    lines = [text(look, line, 19, cap=1.6) for line in said]
    return [padded(ft.Column(lines, spacing=6))]


def _low_mark(model: Model, one: OnReel, check: ReelCheck, look: Look) -> list[ft.Control]:
    """Which mark goes where, once letters are so large that the slab has no second line."""
    if check.verdict != INSIDE or not check.fits or one.taken or look.scale < LARGE:
        return []
    said = words.capital(words.reel_keep_low(one.low_mark, near_stop(model.open_job, one.span)))
    return [padded(text(look, said, 19, cap=1.6))]


def _besides(model: Model, one: OnReel, send: SendAny, look: Look) -> ft.Control:
    """The temperature and the weight, for who has them."""

    def way(name: str, title: str, more: str) -> ft.Control:
        there = Send(send, Go(reel_route(model, one.span, name)))
        return half(look, title, more, there, chosen=False, key=f"reel-{name}")

    warm = words.reel_warmth(one.celsius), words.reel_warmth_why(one.celsius is not None)
    row = ft.Row(
        [
            way("celsius", *warm),
            way("grams", words.reel_weight(one.grams), words.reel_second_opinion()),
        ],
        spacing=0,
    )
    return padded(row, bottom=8)


# ---------------------------------------------------------------- what can be done


def _actions(
    model: Model, one: OnReel, check: ReelCheck, send: SendAny, look: Look
) -> list[ft.Control]:
    span = one.span

    def button(key: str, title: str, message: Any) -> ft.Control:
        return quiet(look, title, Send(send, message), key=key, expand=True)

    def main(title: str, more: str, message: Any) -> ft.Control:
        return slab(look, title, more, Send(send, message))

    def pad(name: str) -> Go:
        return Go(reel_route(model, span, name))

    now = Go(route_of(Place("now", model.open_job.id)))
    off = ReelRefused(span, words.plain(_finding(one, check)))
    other = button("reel-other", words.reel_other_one(), ReelRefused(span, words.reel_other_one()))
    again = button("reel-again", words.FIXED.measure_again, pad("ohms"))
    marks = button("reel-marks", words.reel_marks_again(), pad("first"))
    use = button("reel-use", words.reel_use(), SheetOpened(USE, span))
    more = check.settle[0].id if check.settle and check.fits else ""
    keep_off = main(words.reel_keep_off(), words.reel_then(more), off)
    back = button("reel-back", words.FIXED.back, now)
    if one.taken:
        return [main(words.reel_go_on(), "", now), pair(look, other)]
    if one.missing and check.length_m is None:
        title = words.reel_type(one.missing)
        return [main(title, words.reel_for(span, check.wanted_m), pad(one.missing)), back]
    if not check.fits:
        return [keep_off, pair(look, marks, use)]
    if one.missing or check.ohms is None:
        more = words.reel_meant("ohms")
        return [main(words.reel_type("ohms"), more, pad("ohms")), pair(look, marks, other)]
    if check.verdict == INSIDE:
        where = words.reel_keep_low(one.low_mark, near_stop(model.open_job, span))
        return [main(words.reel_pull(), where, ReelTaken(span)), pair(look, again, other)]
    if check.wrong_wire:
        return [keep_off, pair(look, again, use)]
    if check.verdict == UNCLEAR or check.kind == "other":
        title = words.FIXED.measure_again
        return [main(title, words.reel_again_why(), pad("ohms")), pair(look, use, other)]
    title = words.reel_marks_again()
    return [main(title, words.reel_marks_why(), pad("first")), pair(look, use, other)]


def _why(model: Model, one: OnReel, check: ReelCheck, send: SendAny, look: Look) -> Parts:
    """Nobody pulls a reel that is not right without saying why."""
    typed, wide = model.open_sheet.reason, look.width - 2 * MARGIN
    reasons = [
        quiet(
            look,
            reason,
            Send(send, SheetTyped("reason", reason)),
            key=f"reel-why-{reason}",
            strong=typed == reason,
            width=wide,
        )
        for reason in words.REEL_REASONS
    ]
    own = typed if typed not in words.REEL_REASONS else ""
    write = SendText(send, SheetTyped, "reason")
    body = [
        padded(text(look, words.reel_why_use(), 24, face="TB", cap=1.4), top=12),
        padded(text(look, _finding(one, check), 19, "soft", cap=1.4)),
        padded(
            ft.Column(
                [*reasons, field(look, words.reel_own_reason(), own, write, key="reel-why")],
                spacing=8,
            ),
            bottom=8,
        ),
    ]
    ready = Send(send, ReelTaken(one.span)) if typed.strip() else None
    then = words.reel_use_then(check.wrong_wire)
    more = then if ready else words.reel_needs_reason()
    close = quiet(look, words.FIXED.not_now, Send(send, SheetClosed()), key="close", width=wide)
    return body, [slab(look, words.reel_use_it(), more, ready, key="reel-use-it"), close]


# ---------------------------------------------------------------- the pad
