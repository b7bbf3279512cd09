"""Now: the one next thing, its drawing as it should look from where one stands, and why."""

from __future__ import annotations

import flet as ft

from engine.leave import Hold
from engine.step import PHOTO, Step
from fieldapp import returning, words
from fieldapp.bar import bar
from fieldapp.buttons import pair, quiet, slab, slab_room
from fieldapp.drawing.shapes import Picture
from fieldapp.faces import text_width
from fieldapp.framing import frame
from fieldapp.messages import (
    Go,
    SheetClosed,
    SheetOpened,
    SheetTyped,
    StepPressed,
)
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, rule, text, told
from fieldapp.pressing import spoken
from fieldapp.questions import cautions_of, photo_place, powers_up, step_shown
from fieldapp.routes import Place, route_of
from fieldapp.screens.caution import cautions
from fieldapp.screens.fields import field
from fieldapp.screens.hand import news_line
from fieldapp.screens.photo import photo_button, photo_row, photo_slab
from fieldapp.screens.power import power
from fieldapp.screens.putin import (
    put_in_button,
    shorts_first,
    shorts_in,
    still_anywhere,
    still_in,
)
from fieldapp.screens.shared import (
    Parts,
    SendAny,
    act_of,
    kept_so_far,
    ribbon_of,
    short_of,
    slab_words,
    steps_button,
    strip,
)
from fieldapp.screens.timing import is_timed, running, timed_body, timed_slab
from fieldapp.sending import Send, SendText
from fieldapp.stepview import drawing_of, turned_of
from fieldapp.wires import made_ends


def now(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The next step, or the stop finding that comes before it, or nothing left."""
    stop_finding = next(
        (
            hold
            for hold in model.open_job.judgement.blockers
            if hold.id.startswith("finding.") and not model.place.at
        ),
        None,
    )
    step = step_shown(model)
    top = [
        ribbon_of(model, send, look),
        *told(look, model),
        *news_line(model, send, look),
    ]
    foot = bar(look, model, send)
    if stop_finding is None and powers_up(model):
        return power(model, send, look)
    due = cautions_of(model, step) if step is not None else ()
    if stop_finding is not None:
        body, actions = _finding(stop_finding, model, send, look)
    elif step is None:
        body, actions = _nothing(model, send, look)
    elif due and model.sheet is None:
        body, actions = cautions(step, due, send, look)
    else:
        body, actions = _step(step, model, send, look)
    if model.sheet is None:
        actions = [*strip(model, send, look), *actions]
    return frame(look, top=top, body=body, actions=actions, foot=foot)


def _finding(hold: Hold, model: Model, send: SendAny, look: Look) -> Parts:
    fixed = words.FIXED
    plan = Send(
        send, Go(route_of(Place("plan", model.open_job.id, hold.at.rpartition(".")[0] or hold.at)))
    )
    leave = Send(send, Go(route_of(Place("leave", model.open_job.id))))
    body = [padded(text(look, words.sentence(hold.say), 28, cap=1.4), top=16)]
    actions = [
        slab(look, words.mend_the_plan(), fixed.first_mend, plan),
        pair(
            look,
            quiet(look, fixed.waive, leave, key="to-waive", expand=True),
            steps_button(model, send, look),
        ),
    ]
    return body, actions


def _nothing(model: Model, send: SendAny, look: Look) -> Parts:
    fixed = words.FIXED
    leave = Send(send, Go(route_of(Place("leave", model.open_job.id))))
    body = [
        padded(text(look, fixed.all_done, 30, cap=1.4), top=16),
        padded(text(look, kept_so_far(model.open_job.judgement), 20, "soft", cap=1.8)),
    ]
    return body, [
        slab(look, fixed.see_leave, "", leave),
        pair(look, steps_button(model, send, look)),
    ]


def _step(step: Step, model: Model, send: SendAny, look: Look) -> Parts:
    fixed = words.FIXED
    said = words.step(step.say)
    room = max(look.width, 320)
    why_these = returning.why_these(model)
    body: list[ft.Control] = (
        [padded(text(look, why_these, 19, cap=1.8), top=12)] if why_these else []
    )
    body.append(padded(text(look, said.sentence, 28, cap=1.4), top=14))
    shorts = shorts_in(model) if step.kind == "energise" and step.box is not None else ()
    if shorts and step.box is not None:
        body += map(padded, shorts_first(step.box, shorts, send, look))
    body += timed_body(model, step, look) if is_timed(step) else []
    drawing = drawing_of(model, step, room, _drawing_height(look), look.scale)
    counts = is_timed(step) and running(model, step.id)[1] > 0
    of = photo_place(step)
    pictured = _asks_photo(step) and bool(model.open_job.judgement.state.photos.get(of))
    if pictured:
        body.append(photo_row(model, of, send, look, button=False))
    if drawing is not None and not (counts or pictured or shorts):  # these take its room
        picture, speech = drawing
        body.append(ft.Container(spoken(look, picture, speech), padding=ft.Padding.only(top=4)))
    turned = turned_of(model, step)
    if turned is not None and said.turned:
        body.append(_turned(turned, said.turned, look))
    body.append(padded(text(look, f"**{fixed.why}**  {said.why}", 20, strong="TMI")))
    if step.reopened_by:
        body.append(
            padded(text(look, words.reopened(short_of(model, step.reopened_by)), 18, "soft", "TI"))
        )
    takes = text(look, words.takes(step.minutes, step.needs), 18, "soft", "TI", expand=True)
    side: list[ft.Control] = []
    if of and not _asks_photo(step):
        if model.open_job.judgement.state.photos.get(of) or look.scale >= LARGE:
            below = [photo_row(model, of, send, look, button=True)]
        else:  # beside what it takes, so that both stay in sight
            side, below = [photo_button(of, words.take_photo(), send, look, height=56)], []
    else:
        below = []
    body.append(padded(ft.Row([takes, *side], spacing=GAP)))
    switches = step.kind == "energise"
    there = still_anywhere(model, look) if switches else still_in(model, step.box, step.span, look)
    body += map(padded, there)
    body += below
    small = said.caution or (words.sentence(step.caution) if step.caution is not None else "")
    if small:
        body.append(_caution(small, look))
    if model.sheet is not None and model.sheet.what == "cannot":
        return body, _cannot(step, model, send, look)
    second = put_in_button(step, model, send, look)
    if look.scale >= LARGE:  # it scrolls with the words
        return [*body, *map(padded, second)], _actions(step, model, send, look)
    main, *quiets = _actions(step, model, send, look)
    return body, [main, *second, *quiets]


def _asks_photo(step: Step) -> bool:
    return step.asks is not None and step.asks.kind == PHOTO


def _drawing_height(look: Look) -> float:
    """Less where the window is low, so that the reason stays in sight."""
    return 190.0 if look.height >= 780 else 140.0


def _turned(picture: Picture, cost: str, look: Look) -> ft.Control:
    title = text(look, words.FIXED.turned, 18, "signal", "TB")
    return padded(
        ft.Row(
            [
                ft.Semantics(content=canvas(look, picture), exclude_semantics=True),
                ft.Column([title, text(look, cost, 18)], spacing=0, expand=True),
            ],
            spacing=12,
        )
    )


def _caution(caution: str, look: Look) -> ft.Control:
    return padded(
        ft.Container(
            ft.Column(
                [
                    text(look, words.FIXED.before, 17, "soft", "TMI"),
                    text(look, caution, 18),
                ],
                spacing=2,
            ),
            bgcolor=look.tokens["sheet"],
            border=ft.Border.only(left=ft.BorderSide(5, look.tokens["ink"])),
            padding=ft.Padding.only(left=12, right=12, top=8, bottom=8),
        ),
        bottom=8,
    )


def _actions(step: Step, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    judgement = model.open_job.judgement
    done = sum(one.state == "done" for one in judgement.steps)
    more = _progress(done, len(judgement.steps), _following(step, model), look)
    if step.asks is not None and step.asks.kind == PHOTO:
        taken = judgement.state.photos.get(step.asks.at, ())
        main = photo_slab(step.asks.at, len(taken), more, send, look)
    elif is_timed(step):
        main = timed_slab(model, step, more, send, look)
    elif step.wires:
        made = 2 if step.state == "done" else len(made_ends(judgement.state, step))
        main = slab(look, slab_words(step), words.wires_more(made), Send(send, act_of(model, step)))
    elif step.state == "done" and step.asks is None and step.kind != "sign":
        main = slab(
            look,
            words.press_end(words.step(step.say).short, True),
            more,
            Send(send, StepPressed(step.id, "undone")),
            plain=True,
        )
    else:
        dark = step.kind == "energise" and bool(shorts_in(model))
        main = slab(look, slab_words(step), more, Send(send, act_of(model, step)), plain=dark)
    return [
        main,
        pair(
            look,
            quiet(
                look,
                words.FIXED.cannot,
                Send(send, SheetOpened("cannot", step.id)),
                key="cannot",
                expand=True,
                short=words.cannot_short(),
            ),
            steps_button(model, send, look),
        ),
    ]


def _progress(done: int, total: int, following: str, look: Look) -> str:
    """How far one is and what follows; what follows has a name to be read whole, or none."""
    said = (words.progress(done, total, following), words.progress_short(done, total, following))
    fits = [one for one in said if text_width("T", 16, one) <= slab_room(look)]
    return fits[0] if fits else words.progress(done, total, "")


def _following(step: Step, model: Model) -> str:
    rest = [one for one in model.open_job.steps if one.state == "open" and one.id != step.id]
    if not rest:
        return ""
    return words.step(rest[0].say).short


def _cannot(step: Step, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The sheet of ready reasons."""
    fixed = words.FIXED
    reasons = [
        quiet(
            look,
            reason,
            Send(send, StepPressed(step.id, "not-here", reason)),
            key=f"reason-{reason}",
            width=look.width - 2 * MARGIN,
        )
        for reason in words.CANNOT
    ]
    own_words = model.open_sheet.reason
    typed = own_words.strip()
    keep = Send(send, StepPressed(step.id, "not-here", typed)) if typed else None
    own: list[ft.Control] = [
        field(
            look,
            fixed.something_else,
            own_words,
            SendText(send, SheetTyped, "reason"),
            key="cannot-own",
            on_submit=keep,
        )
    ]
    if keep is not None:
        own.append(
            quiet(
                look,
                fixed.keep_reason,
                keep,
                key="cannot-keep",
                strong=True,
                width=look.width - 2 * MARGIN,
            )
        )
    return [
        rule(look),
        text(look, fixed.cannot_question, 21, face="TB"),
        *reasons,
        *own,
        quiet(
            look,
            fixed.not_now,
            Send(send, SheetClosed()),
            key="sheet-close",
            width=look.width - 2 * MARGIN,
        ),
    ]
