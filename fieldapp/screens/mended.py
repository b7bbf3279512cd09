"""What was mended, and what it was in truth: said with one press, kept with the next."""

from __future__ import annotations

import flet as ft

from engine.cautions import of_mending
from engine.diagnose.account import Fault
from engine.faults import NONE, OTHER, PAIR
from fieldapp import faultview as view
from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.finding import account_of, told_apart
from fieldapp.mending import fault_of, mended_drafts
from fieldapp.messages import MendedPressed, MendingClosed, TruthAsked, TruthSaid
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.screens import fault_parts as parts
from fieldapp.screens.caution import caution
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

MOST_ASKED = 8
"""causes that are offered for what it was"""


def mended_body(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What is to be done, what to look for, and the question: was it that?"""
    mending = model.open_mending
    fault = fault_of(model, mending.cause, mending.where)
    if fault is None:
        return [padded(text(look, words.gone(), 24), top=16)]
    title = words.sentence(fault.do) if fault.do is not None else words.sentence(fault.say)
    asked = _asked(fault, model, send, look) if look.scale >= LARGE else []
    body = [
        padded(text(look, title, 27, cap=1.4), top=12),
        *(
            caution(words.sentence(one), look)
            for one in of_mending(model.open_job.judgement.state, fault.do)
        ),
        *parts.how_to(fault, look),
        *map(padded, asked),
        padded(text(look, words.for_next_time(), 17, "soft", "TI", cap=1.8)),
    ]
    return [*body, *(_list(model, send, look) if _chosen(fault, model) == "else" else ())]


def _chosen(fault: Fault, model: Model) -> str:
    """Which answer is chosen; nothing while none is."""
    mending = model.open_mending
    if mending.truth is None:
        return "else" if mending.asks else ""
    chosen = {told_apart(fault): "that", ("", ""): "unseen"}.get(mending.truth, "")
    return "else" if mending.asks or not chosen else chosen


def _asked(fault: Fault, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Was it that? With the answers, one press each."""
    answers = (
        ("that", words.it_was_that(), TruthSaid(*told_apart(fault))),
        ("else", words.it_was_else(), TruthAsked()),
        ("unseen", words.it_was_unseen(), TruthSaid()),
    )
    chosen = _chosen(fault, model)
    halves = [
        half(look, name, "", Send(send, said), chosen=key == chosen, key=f"was-{key}", face="TM")
        for key, name, said in answers
    ]
    row: ft.Control = ft.Row(halves, spacing=0)
    if look.scale >= LARGE:
        row = ft.Column([ft.Row([one]) for one in halves], spacing=0)
    return [text(look, words.was_it_that(), 22, face="TB", cap=1.4), row]


def _list(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What it can have been: the other causes, and what is on no list."""
    mending = model.open_mending
    own = (mending.cause, mending.where)
    account = account_of(model)
    found = account.faults if account is not None else ()
    able = [
        (one.cause, one.where)
        for one in found
        if one.cause not in (NONE, OTHER, PAIR)
        and not view.misread(one)
        and (one.cause, one.where) != own
    ]
    rows = [*able[:MOST_ASKED], (OTHER, "" if mending.cause == PAIR else mending.where)]
    return [
        padded(text(look, words.what_was_it(), 22, face="TB", cap=1.4)),
        padded(
            ft.Column(
                [
                    quiet(
                        look,
                        words.cause_at(*one),
                        Send(send, TruthSaid(*one)),
                        key=f"truth-{one[0]}-{one[1]}",
                        strong=mending.truth == one,
                        width=look.width - 2 * MARGIN,
                        height=56,
                    )
                    for one in rows
                ],
                spacing=8,
            ),
            bottom=8,
        ),
    ]


def mended_actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Keep it, once it is said what it was."""
    ready = bool(mended_drafts(model))
    press = Send(send, MendedPressed()) if ready else None
    more = words.mended_asks() if ready else words.was_it_missing()
    wide = look.width - 2 * MARGIN
    closes = Send(send, MendingClosed())
    fault = fault_of(model, model.open_mending.cause, model.open_mending.where)
    asked: list[ft.Control] = []
    if fault is not None and look.scale < LARGE:  # the slab waits for it: never out of sight
        asked = _asked(fault, model, send, look)
    return [
        *asked,
        slab(look, words.mended_slab(), more, press, key="mended-slab"),
        quiet(look, words.FIXED.not_now, closes, key="mending-close", width=wide),
    ]
