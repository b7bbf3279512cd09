"""What you have found: each cause with how often, the table's rate and one's own; counting anew."""

from __future__ import annotations

import flet as ft

from engine.faults.priors import WEIGHED, rates
from engine.faults.sizes import RATES, Rates, rate
from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go, SettingPicked
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.priors import counted_up_to, found_in, tally_of
from fieldapp.routes import SETTINGS, Place, route_of
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

RETURN = "return"
"""what the route says of visits after the site was left"""


def found(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Causes that were found first, the most often found leading; then all the others."""
    first = model.place.at != RETURN
    tally, times = tally_of(model, first=first), found_in(model)
    back = quiet(look, words.FIXED.back, Send(send, Go(SETTINGS)), key="back", height=56)
    which = ft.Row(
        [
            half(look, title, "", Send(send, Go(route)), chosen=chosen, key=f"visit-{title}")
            for title, route, chosen in (
                (words.first_visits(), route_of(Place("found")), first),
                (words.returns(), route_of(Place("found", at=RETURN)), not first),
            )
        ],
        spacing=0,
    )
    own = rates(tally, first=first)
    mine = sorted(times, key=lambda cause: (-times[cause][0], words.cause_name(cause)))
    others = [cause for cause in WEIGHED if cause not in times]
    said = words.found_more(sum(tally.found.values()), tally.jobs)
    anew = [words.counted_anew()] if model.settings.found_from else []
    rows = [
        padded(text(look, said, 24, cap=1.4), top=8, bottom=8),
        *(padded(text(look, line, 18, face="TM", cap=1.6), bottom=8) for line in anew),
        padded(text(look, words.found_why(), 17, "soft"), bottom=12),
        padded(which, bottom=8),
        *(_row(cause, times[cause], own, look, first=first) for cause in mine),
        padded(text(look, words.never_found(), 21, face="TB"), top=18, bottom=8),
        *(_row(cause, (0, 0), own, look, first=first) for cause in others),
    ]
    return frame(
        look,
        top=[header(look, back, words.found_title(), "", None), *told(look, model)],
        body=[ft.ListView(rows, expand=True, padding=0)],
        actions=_actions(model, send, look),
        scroll=False,
    )


def _row(cause: str, times: tuple[int, int], own: Rates, look: Look, *, first: bool) -> ft.Control:
    """A cause: how often found, the table's rate in words, and one's own where that is another."""
    lines = [text(look, words.capital(words.cause_name(cause)), 19, face="TM", cap=1.6)]
    if times[0]:
        lines.append(text(look, words.found_times(*times), 17, cap=1.8))
    if cause in WEIGHED:
        unit = RATES[f"{cause} first"].unit
        table = words.often(cause, rate(cause, first=first), unit)
        yours = words.often(cause, own(cause), unit)
        lines.append(text(look, words.table_says(table), 16, "soft", cap=1.8))
        if yours != table:
            lines.append(text(look, words.yours_say(yours), 16, "ink", "TM", cap=1.8))
    else:
        lines.append(text(look, words.no_rate(), 16, "soft", cap=1.8))
    return ft.Container(
        ft.Column(lines, spacing=2, tight=True),
        key=f"cause-{cause}",
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
        padding=ft.Padding.symmetric(vertical=12, horizontal=MARGIN),
    )


def _actions(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Counting anew, and that taken back; nothing where nothing counts."""
    begun, last = model.settings.found_from, counted_up_to(model)
    out: list[ft.Control] = []
    if last > begun:
        press = Send(send, SettingPicked("found_from", last))
        out.append(
            slab(look, words.count_anew(), words.count_anew_more(), press, key="anew", plain=True)
        )
    if begun:
        press = Send(send, SettingPicked("found_from", 0))
        out.append(quiet(look, words.count_all(), press, key="all", width=look.width - 2 * MARGIN))
    return out
