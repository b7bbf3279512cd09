"""Leave: what holds one on site, a knot a hold; waived ones stay, taped, with who and why."""

from __future__ import annotations

import flet as ft

from engine.leave import Hold
from fieldapp import words
from fieldapp.drawing.knots import knot_cable
from fieldapp.drawing.shapes import Picture
from fieldapp.faces import lines_needed
from fieldapp.messages import (
    Go,
    LeavePressed,
    SheetClosed,
    SheetOpened,
    SheetTyped,
    WaivePressed,
)
from fieldapp.model import Model
from fieldapp.paint import Look, canvas
from fieldapp.parts import (
    MARGIN,
    Send,
    SendText,
    bar,
    frame,
    padded,
    quiet,
    rule,
    slab,
    tag,
    text,
    told,
)
from fieldapp.routes import Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny, ribbon_of
from fieldapp.update import here, hold_of, waive_is_ready
from fieldapp.worldclock import clock_of

CABLE = 64.0
WORDS = 20.0


def leave(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The holds in walking order, and the box the cable plugs into."""
    judgement = model.job.judgement
    number = len(judgement.blockers)
    rows = [_Row(hold, model, send, look) for hold in judgement.holds]
    pictures = knot_cable([(row.height, row.state) for row in rows] + [(56.0, "plug")])
    body: list[ft.Control] = [padded(text(look, words.held_title(number), 28, cap=1.4), top=12)]
    body.append(
        ft.Column(
            [
                *(row.control(picture) for row, picture in zip(rows, pictures, strict=False)),
                ft.Container(canvas(look, pictures[-1])),
            ],
            spacing=0,
        )
    )
    top = [ribbon_of(model, send, look), *told(look, model)]
    foot = bar(look, model, send)
    if model.sheet is not None and model.sheet.what == "waive":
        hold = hold_of(model, model.sheet.of)
        if hold is not None:
            sheet = _waive(hold, model, send, look)
            return frame(
                look, top=top, body=sheet, actions=_waive_slab(model, send, look), foot=foot
            )
    return frame(look, top=top, body=body, actions=[_box(model, number, send, look)], foot=foot)


def _box(model: Model, number: int, send: SendAny, look: Look) -> ft.Control:
    fixed = words.FIXED
    if not number:
        return slab(look, fixed.leave_site, fixed.leave_site_more, Send(send, LeavePressed()))
    judgement = model.job.judgement
    done = sum(step.state == "done" for step in judgement.steps)
    readings = sum(v.current for v in judgement.verdicts)
    more = words.leave_summary(done, len(judgement.steps), readings)
    return slab(look, words.held_box(number), more, None, plain=True, key="held")


class _Row:
    """One hold: its words, its buttons, and the height its piece of cable must have."""

    def __init__(self, hold: Hold, model: Model, send: SendAny, look: Look) -> None:
        self.hold, self.model, self.send, self.look = hold, model, send, look
        self.state = "open" if hold.waiver is None else "waived"
        self.says = words.sentence(hold.say)
        room = look.width - CABLE - MARGIN - 4
        grown = WORDS * min(look.scale, 2.0)
        lines = lines_needed("T", grown, self.says, room)
        tail = 64.0 * max(1.0, min(look.scale, 1.4)) if self.state == "open" else 0.0
        waived = 0.0
        if hold.waiver is not None:
            self.waived = words.waived_by(
                clock_of(hold.waiver.t), hold.waiver.by, hold.waiver.reason
            )
            waived = 24.0 * look.scale * lines_needed("T", 17 * look.scale, self.waived, room)
        self.height = 46.0 * min(look.scale, 1.4) + lines * grown * 1.25 + tail + waived + 14

    def control(self, picture: Picture) -> ft.Control:
        look, model, hold = self.look, self.model, self.hold
        stops = model.job.judgement.state.job.stops
        stop = stops.get(hold.stop or "")
        place = words.where_you_stand(stop.name, stop.id == here(model)) if stop else ""
        column: list[ft.Control] = [
            ft.Row(
                [
                    tag(look, stops[hold.at].name if hold.at in stops else hold.at),
                    text(look, place, 17, "soft", "TI", cap=1.4, expand=True, max_lines=1),
                ],
                spacing=10,
            ),
            text(look, self.says, WORDS, cap=2.0),
        ]
        if hold.waiver is not None:
            column.append(text(look, self.waived, 17, "soft"))
        else:
            column.append(ft.Row(self._buttons(), spacing=8))
        return ft.Row(
            [
                canvas(look, picture),
                ft.Container(
                    ft.Column(column, spacing=8),
                    expand=True,
                    height=self.height,
                    padding=ft.Padding.only(top=6, right=MARGIN),
                ),
            ],
            spacing=4,
            vertical_alignment=ft.CrossAxisAlignment.START,
            key=f"hold-{hold.id}",
        )

    def _buttons(self) -> list[ft.Control]:
        hold, look, send = self.hold, self.look, self.send
        fixed = words.FIXED
        out: list[ft.Control] = []
        act = self._act()
        if act is not None:
            title, message = act
            out.append(
                quiet(
                    look,
                    title,
                    Send(send, message),
                    key=f"mend-{hold.id}",
                    strong=True,
                    height=56,
                    expand=3,
                )
            )
        if hold.can_waive != "no":
            title = fixed.who_answers if hold.can_waive == "responsible" else fixed.waive
            out.append(
                quiet(
                    look,
                    title,
                    Send(send, SheetOpened("waive", hold.id)),
                    key=f"waive-{hold.id}",
                    height=56,
                    expand=3,
                )
            )
        return out

    def _act(self):
        """What would free this hold: its step, its reading again, the plan."""
        hold, job = self.hold, self.model.job
        fixed = words.FIXED
        if hold.step is not None:
            step = next(s for s in job.judgement.steps if s.id == hold.step)
            if step.asks is not None:
                place = Place("read", job.id, step.asks.at, step.asks.kind)
                return fixed.measure_it, Go(route_of(place))
            return fixed.do_it, Go(route_of(Place("now", job.id, step.id)))
        if hold.reading is not None:
            return fixed.see_it, Go(route_of(Place("verdict", job.id, hold.reading)))
        return fixed.mend_plan, Go(route_of(Place("plan", job.id)))


def _waive(hold: Hold, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What stays wrong, why it may, and who answers."""
    fixed = words.FIXED
    sheet = model.sheet
    reasons = [
        quiet(
            look,
            reason,
            Send(send, SheetTyped("reason", reason)),
            key=f"reason-{reason}",
            strong=sheet.reason == reason,
            width=look.width - 2 * MARGIN,
            height=56,
        )
        for reason in words.WAIVERS
    ]
    own = sheet.reason if sheet.reason not in words.WAIVERS else ""
    asked = [("reason", fixed.own_words, own)]
    if hold.can_waive == "responsible":
        asked += [("name", fixed.name_label, sheet.name), ("role", fixed.role_label, sheet.role)]
    elif not model.settings.name:
        asked.append(("name", fixed.own_name_label, sheet.name))
    fields = [
        field(look, label, value, SendText(send, SheetTyped, name), key=f"waive-{name}")
        for name, label, value in asked
    ]
    return [
        padded(text(look, words.stays_wrong(words.sentence(hold.say)), 22, cap=1.6), top=12),
        padded(text(look, fixed.reasons_title, 19, "soft", "TMI")),
        padded(ft.Column([*reasons, *fields], spacing=8)),
        rule(look, 0),
    ]


def _waive_slab(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    fixed = words.FIXED
    press = Send(send, WaivePressed()) if waive_is_ready(model) else None
    return [
        slab(look, fixed.waive_it, "" if press else words.what_is_missing(), press, key="waive-it"),
        quiet(
            look,
            fixed.not_now,
            Send(send, SheetClosed()),
            key="sheet-close",
            width=look.width - 2 * MARGIN,
        ),
    ]
