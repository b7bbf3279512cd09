"""Leave: what holds one on site, a knot a hold; waived ones stay, taped, with who and why."""

from __future__ import annotations

from typing import Any

import flet as ft

from engine.leave import COPIED, FOUND, Hold
from engine.step import PHOTO
from engine.verdict import OUTSIDE
from fieldapp import words
from fieldapp.bar import bar
from fieldapp.buttons import quiet, row_button, slab
from fieldapp.drawing.knots import knot_cable
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.shapes import Picture
from fieldapp.faces import lines_needed, text_width
from fieldapp.faultview import suspect_of
from fieldapp.framing import frame
from fieldapp.messages import (
    CopyPressed,
    Go,
    LeavePressed,
    OutAgain,
    PhotoPressed,
    PlanChosen,
    SheetClosed,
    SheetOpened,
    SheetTyped,
    TakeBack,
    WaivePressed,
)
from fieldapp.model import Model
from fieldapp.paint import LARGE, MARGIN, Look, canvas
from fieldapp.parts import padded, rule, tag, text, told
from fieldapp.questions import conflict_of, here, hold_of, visit_is_over, waive_is_ready
from fieldapp.routes import Place, route_of
from fieldapp.runline import verdict_of
from fieldapp.screens.change import change_actions, change_body
from fieldapp.screens.fields import field
from fieldapp.screens.hand import hand_button
from fieldapp.screens.photo import opens_camera
from fieldapp.screens.shared import Parts, SendAny, kept_so_far, ribbon_of, strip
from fieldapp.screens.since import since_block
from fieldapp.sending import Send, SendText
from fieldapp.staying import promised
from fieldapp.worldclock import clock_of, day_of

CABLE = 64.0
WORDS = 20.0
PLUG, AROUND = 56.0, 400.0
"""the least the cable takes to its plug, and what stands above and below it where nothing more is
told: it comes down to the box that it plugs into [dp]"""
SUSPECT = 18.0
"""letters of what an outside reading points to"""


def leave(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The holds in walking order, those that are answered for behind the others, and the box the
    cable plugs into."""
    judgement = model.open_job.judgement
    number = len(judgement.blockers)
    holds = sorted(judgement.holds, key=lambda hold: hold.waiver is not None)
    rows = [_Row(hold, model, send, look) for hold in holds]
    since = since_block(model, send, look)
    left = look.height - AROUND - sum(row.height for row in rows)
    down = PLUG if since else max(PLUG, left)
    pictures = knot_cable([(row.height, row.state) for row in rows] + [(down, "plug")])
    body: list[ft.Control] = [
        *since,
        padded(text(look, words.held_title(number), 28, cap=1.4), top=12),
    ]
    body += _oddities(model, send, look)
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
    kept = strip(model, send, look)
    sheet = _sheet(model, send, look)
    if sheet is not None:
        return frame(look, top=top, body=sheet[0], actions=sheet[1], foot=foot)
    return frame(
        look,
        top=top,
        body=body,
        actions=[
            *kept,
            _box(model, number, send, look),
            *([hand_button(model, send, look)] if _is_handed_over_now(model) else ()),
        ],
        foot=foot,
    )


def _is_handed_over_now(model: Model) -> bool:
    """Whether one has left, or nothing holds one here but that no copy is off this phone."""
    holds = model.open_job.judgement.blockers
    return visit_is_over(model.open_job) or all(one.say.code == "hold-copied" for one in holds)


def _sheet(model: Model, send: SendAny, look: Look) -> Parts | None:
    """The sheet that is open: its body and its actions."""
    if model.sheet is None:
        return None
    what, hold = model.sheet.what, hold_of(model, model.sheet.of)
    if what == "change":
        return change_body(model, send, look), change_actions(model, send, look)
    if what == "odd":
        return _odd(model, look), [not_now(send, look)]
    if what == "waive" and hold is not None:
        return _waive(hold, model, send, look), _waive_slab(model, send, look)
    if what == "choose" and hold is not None:
        return _choose(hold, model, send, look), [not_now(send, look)]
    return None


def not_now(send: SendAny, look: Look) -> ft.Control:
    """Out of a sheet with nothing done."""
    return quiet(
        look,
        words.FIXED.not_now,
        Send(send, SheetClosed()),
        key="sheet-close",
        width=look.width - 2 * MARGIN,
    )


def _odd(model: Model, look: Look) -> list[ft.Control]:
    """What is odd in the log, one sentence each."""
    said = [words.sentence(one.say) for one in model.open_job.judgement.state.oddities]
    return [
        padded(text(look, words.oddities_title(), 24, cap=1.6), top=12),
        *(padded(text(look, one, 20), top=4) for one in said),
    ]


def _choose(hold: Hold, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Two plans: what each says and who wrote it; one press keeps one."""
    conflict = conflict_of(model, hold.id)
    if conflict is None:
        return [padded(text(look, words.gone_conflict(), 24), top=12)]
    rows = zip(conflict.entries, conflict.values, conflict.by, strict=True)
    return [
        padded(text(look, words.choose_title(conflict.path), 27, cap=1.4), top=12),
        *(
            padded(
                ft.Column(
                    [
                        slab(
                            look,
                            words.conflict_value(conflict.path, value),
                            "",
                            Send(send, PlanChosen(hold.id, entry)),
                            key=f"keep-{entry}",
                            plain=True,
                        ),
                        text(look, words.written_by(by, entry == conflict.shown), 19, "soft"),
                    ],
                    spacing=4,
                )
            )
            for entry, value, by in rows
        ),
    ]


def _oddities(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """A quiet line that leads to what is odd in the log."""
    number = len(model.open_job.judgement.state.oddities)
    if not number:
        return []
    line = text(look, words.oddities(number), 17, "soft", "TI", cap=1.6)
    return [row_button(look, line, Send(send, SheetOpened("odd", "")), key="odd", height=56)]


def _box(model: Model, number: int, send: SendAny, look: Look) -> ft.Control:
    fixed = words.FIXED
    if not number:
        return slab(look, fixed.leave_site, fixed.leave_site_more, Send(send, LeavePressed()))
    more = kept_so_far(model.open_job.judgement)
    return slab(look, words.held_box(number), more, None, plain=True, key="held")


def _when(stamp: str | None, now: str) -> str:
    """The clock of today, or the day."""
    is_today = not now or day_of(stamp) == day_of(now)
    return clock_of(stamp) if is_today else words.on_day(stamp, now)


class _Row:
    """One hold: its words, its buttons, and the height its piece of cable must have."""

    def __init__(self, hold: Hold, model: Model, send: SendAny, look: Look) -> None:
        self.hold, self.model, self.send, self.look = hold, model, send, look
        self.state = "open" if hold.waiver is None else "waived"
        self.says = words.sentence(hold.say)
        if hold.id == COPIED and promised(model) is False:
            self.says = words.copied_matters(self.says)
        self.suspect = ""
        if hold.reading is not None and self._is_outside():
            self.suspect = suspect_of(model, hold.reading)
        room = look.width - CABLE - MARGIN - 4
        grown = WORDS * min(look.scale, 2.0)
        lines = lines_needed("T", grown, self.says, room)
        rows = len(self._buttons()) if self.state == "open" else 0
        tail = rows * (64.0 if look.scale < LARGE else 76.0)
        waived = 0.0
        if hold.waiver is not None:
            self.waived = words.waived_by(
                _when(hold.waiver.t, model.now), hold.waiver.by, hold.waiver.reason
            )
            waived = 24.0 * look.scale * lines_needed("T", 17 * look.scale, self.waived, room)
        points = 0.0
        if self.suspect:
            size = SUSPECT * min(look.scale, 2.0)
            points = lines_needed("TM", size, self.suspect, room) * size * 1.25 + 8
        head = 46.0 * min(look.scale, 1.4)
        self.height = head + lines * grown * 1.25 + points + tail + waived + 14

    def control(self, picture: Picture) -> ft.Control:
        look, model, hold = self.look, self.model, self.hold
        stops = model.open_job.judgement.state.job.stops
        stop = stops.get(hold.stop or "")
        place = words.where_you_stand(stop.name, stop.id == here(model)) if stop else ""
        size = 17 * min(look.scale, 1.4)
        beside = text_width("PB", 18 * min(look.scale, 1.4), self._thing()) + 30
        place = shorten(place, "TI", size, look.width - CABLE - MARGIN - beside - 6)
        beside_it = (
            [text(look, place, 17, "soft", "TI", cap=1.4, expand=True, max_lines=1)]
            if place
            else []
        )
        column: list[ft.Control] = [
            ft.Row(
                [
                    tag(look, self._thing()),
                    *beside_it,
                ],
                spacing=10,
            ),
            text(look, self.says, WORDS, cap=2.0),
        ]
        if self.suspect:
            column.append(text(look, self.suspect, SUSPECT, face="TM", cap=2.0))
        if hold.waiver is not None:
            column.append(text(look, self.waived, 17, "soft"))
        else:
            column += [ft.Row(row, spacing=8) for row in self._buttons()]
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

    def _thing(self) -> str:
        """The name of what holds."""
        stop = self.model.open_job.judgement.state.job.stops.get(self.hold.at)
        return stop.name if stop else words.spot(words.thing_of(self.hold.at))

    def _buttons(self) -> list[list[ft.Control]]:
        """What can be done, two in a row, or one where letters are large; then the repair."""
        hold, fixed = self.hold, words.FIXED
        out = []
        out.append(self._button("mend", *self._act(), strong=True))
        if hold.can_waive != "no":
            title = fixed.who_answers if hold.can_waive == "responsible" else fixed.waive
            out.append(self._button("waive", title, SheetOpened("waive", hold.id)))
        rows = [[one] for one in out] if self.look.scale >= LARGE else [out]
        if self._is_outside():
            rows.append([self._button("mended", words.mended(), SheetOpened("change", hold.at))])
        if hold.say.code == "hold-found":
            back = TakeBack(hold.id.removeprefix(FOUND))
            rows.append([self._button("back", fixed.take_back, back)])
        return rows

    def _button(self, key: str, title: str, message: Any, *, strong: bool = False) -> ft.Control:
        takes_photo = isinstance(message, PhotoPressed)
        return quiet(
            self.look,
            title,
            Send(self.send, message),
            key=f"{key}-{self.hold.id}",
            strong=strong,
            height=56,
            expand=True,
            action=opens_camera(self.look) if takes_photo else None,
            says="\n".join((title, self._thing(), words.plain(self.says))),
        )

    def _is_outside(self) -> bool:
        found = verdict_of(self.model.open_job.judgement, self.hold.reading or "")
        return found is not None and found.verdict == OUTSIDE

    def _act(self) -> tuple[str, Any]:
        """What would free this hold: its step, its reading again, the plan."""
        hold, job = self.hold, self.model.open_job
        fixed = words.FIXED
        if conflict_of(self.model, hold.id) is not None:
            return words.choose(), SheetOpened("choose", hold.id)
        if hold.say.code == "hold-copied":
            return words.copy_it(), CopyPressed()
        if hold.say.code == "hold-fitted":
            return words.it_is_out(), OutAgain(hold.id)
        if hold.say.code == "hold-found":
            return words.mended(), SheetOpened("change", hold.at)
        if hold.step is not None:
            step = next(s for s in job.judgement.steps if s.id == hold.step)
            if step.asks is not None and step.asks.kind == PHOTO:
                return words.photo_it(), PhotoPressed(step.asks.at)
            if step.asks is not None:
                place = Place("read", job.id, step.asks.at, step.asks.kind)
                return fixed.measure_it, Go(route_of(place))
            return fixed.do_it, Go(route_of(Place("now", job.id, step.id)))
        if self._is_outside():
            return words.find_fault(), Go(route_of(Place("fault", job.id)))
        if hold.reading is not None:
            return fixed.see_it, Go(route_of(Place("verdict", job.id, hold.reading)))
        return fixed.mend_plan, Go(route_of(Place("plan", job.id)))


def _waive(hold: Hold, model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """What stays wrong, why it may, and who answers."""
    fixed = words.FIXED
    sheet = model.open_sheet
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
        not_now(send, look),
    ]
