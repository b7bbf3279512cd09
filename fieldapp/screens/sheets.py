"""The sheets that a box, a span or a meter can have: one press and the plan goes by it."""

from __future__ import annotations

from itertools import groupby

import flet as ft

from engine.choices import Choice, choices, kind_of, sheet_of, users_of
from engine.circuit import conductor_ohms
from engine.job import AnySheet, BoxSheet, CableSheet, Job
from fieldapp import words
from fieldapp.buttons import quiet, row_button, slab
from fieldapp.framing import frame
from fieldapp.heading import header
from fieldapp.messages import Go, SheetPicked
from fieldapp.model import Model
from fieldapp.paint import Look
from fieldapp.parts import padded, text, told
from fieldapp.routes import Place, route_of
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send

ALWAYS = "always"


def sheets(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """All that fit, in groups; what each would do to the far end comes in as it is worked out."""
    job, thing = model.open_job, model.place.at
    plan, doc = job.judgement.state.job, job.judgement.state.doc
    there = route_of(Place("plan", job.id, thing))
    back = quiet(look, words.FIXED.back, Send(send, Go(there)), key="back", height=56)
    now = sheet_of(plan, thing)
    if now is None:
        gone = padded(text(look, words.not_in_job(thing), 24), top=16)
        top = [header(look, back, words.sheets_title(thing), "", None)]
        return frame(look, top=top, body=[gone], actions=[])
    behind = back if model.place.screen == "sheets" else None  # else it stands beside the plan
    top = [header(look, behind, words.sheets_title(thing), words.sheet_name(now), None)]
    rows: list[ft.Control] = []
    for (kind, group), row in groupby(choices(doc, thing), lambda one: _heading(one, kind_of(now))):
        title = words.sheets_group(group) if group else words.sheets_instead(kind)
        rows.append(_head(title, look))
        rows += [_row(one, now, plan, model, send, look) for one in row]
    new = Send(send, Go(route_of(Place("newsheet", job.id, thing))))
    return frame(
        look,
        top=[*top, *told(look, model)],
        body=[ft.ListView(rows, expand=True, padding=0)],
        actions=[slab(look, words.type_own(), words.type_own_more(), new, key="type-own")],
        scroll=False,
    )


def _heading(one: Choice, here: str) -> tuple[str, str]:
    """Of the thing's own kind each sort has a heading; any other kind has one."""
    return (one.kind, one.group if one.kind == here else "")


def _head(title: str, look: Look) -> ft.Control:
    return padded(text(look, title, 21, face="TB", cap=1.5), top=18, bottom=8)


def _row(
    one: Choice, now: AnySheet, plan: Job, model: Model, send: SendAny, look: Look
) -> ft.Control:
    """Title, figures, what it would do, whether it is generic; the one in use says so."""
    sheet, thing, chosen = one.sheet, model.place.at, one.sheet.id == now.id
    lines: list[ft.Control] = [text(look, words.sheet_name(sheet), 19, face="TM", cap=1.6)]
    lines.append(text(look, figures_of(sheet), 16, "soft", cap=1.8))
    said, ink = _outcome(model, sheet.id)
    here = [words.sheet_in_use()] if chosen else []
    others = () if chosen else users_of(plan, sheet.id)
    here += [words.sheet_used_by(len(others))] if others else []
    if here or said:
        parts = [text(look, line, 17, face="TB", cap=1.6) for line in here]
        parts += [text(look, said, 17, ink, "TM", cap=1.6)] if said else []
        lines.append(ft.Row(parts, spacing=14, run_spacing=0, wrap=True))
    if one.group != "own":
        lines.append(text(look, words.sheet_generic(), 15, "soft", "TI", cap=1.8))
    act = Go(route_of(Place("plan", model.open_job.id, thing))) if chosen else None
    press = Send(send, act or SheetPicked(thing, sheet.id))
    inside = ft.Container(
        ft.Column(lines, spacing=2, tight=True), padding=ft.Padding.symmetric(vertical=12)
    )
    return ft.Container(
        row_button(look, inside, press, key=f"sheet-{sheet.id}"),
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
        bgcolor=look.tokens["sheet"] if chosen else None,
    )


def _outcome(model: Model, sheet: str) -> tuple[str, str]:
    """What the plan comes to with it, and in which ink: volts are a prediction's."""
    thing, plan = model.place.at, model.open_job.judgement.state.job
    if thing not in plan.boxes and thing not in plan.spans:
        return "", "ink"
    found = model.outcomes.found if model.outcomes is not None else {}
    if sheet not in found:
        return words.sheet_trying(), "soft"
    one = found[sheet]
    if one is None:
        return words.sheet_unfit(), "ink"
    said = words.sheet_outcome(one.works, one.works_at_worst, one.low_volts, one.more)
    return said, "tide" if one.works_at_worst and one.more <= 0 else "ink"


def figures_of(sheet: AnySheet) -> str:
    """The few figures of a sheet that matter for its kind."""
    if isinstance(sheet, CableSheet):
        ohms = conductor_ohms(sheet).expected
        gauge = sheet.awg or 0
        return words.cable_figures(
            sheet.category or "", gauge, sheet.material, sheet.stranded, ohms
        )
    if not isinstance(sheet, BoxSheet):
        return words.meter_figures({kind: one.percent for kind, one in sheet.accuracy.items()})
    if sheet.facts.feeds:
        assert sheet.volts is not None  # no sheet of a feed is read without them
        always, most = sheet.grants == ALWAYS, sheet.watts_max
        return words.feed_figures(sheet.volts.expected, most, sheet.class_, always, sheet.pairs)
    if sheet.kind == "endpoint":
        watts = sheet.watts
        return words.endpoint_figures(watts.expected, watts.high, sheet.cutoff_volts, sheet.class_)
    if not sheet.facts.active:
        return words.passive_figures(sheet.ohms_per_conductor.expected, sheet.speeds_mbps)
    out = sheet.out_volts if sheet.regenerates else None
    anew = out.expected if out is not None else None
    return words.box_figures(
        sheet.cutoff_volts, sheet.own_watts.expected, _reach(sheet), anew, sheet.out_watts_max
    )


def _reach(sheet: BoxSheet) -> float | None:
    """How far its long side reaches at most; None where it has none. [m]"""
    tables = [
        port.reach_m.values()
        for port in sheet.ports.values()
        if port.faces == "long-span" and port.reach_m
    ]
    return max((metres for table in tables for metres in table), default=None)
