"""Reading: the number pad. The gauge moves as one types; nothing is judged before it is kept."""

from __future__ import annotations

from dataclasses import replace

import flet as ft

from engine.entries import BY_METHOD
from engine.figures import FLOW_KINDS
from engine.job import Point
from engine.log import stop_of
from fieldapp import words
from fieldapp.buttons import half, quiet, slab
from fieldapp.drafts import moment_of, standing_of
from fieldapp.drawing.digits import digits_picture
from fieldapp.drawing.gauge import gauge
from fieldapp.framing import frame
from fieldapp.halfdone import Pad
from fieldapp.heading import header
from fieldapp.messages import (
    Go,
    KeepPressed,
    KeyPressed,
    MethodPicked,
    NextMeter,
    SheetClosed,
    SheetOpened,
    SpeedPicked,
    StandingPicked,
)
from fieldapp.meters import with_own
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, text, told
from fieldapp.pressing import spoken
from fieldapp.questions import places_for, reading_cautions, stand_ins
from fieldapp.routes import Place, route_of
from fieldapp.screens.caution import pad_cautions
from fieldapp.screens.keypad import keys
from fieldapp.screens.load import load_actions, load_body
from fieldapp.screens.madeup import made_up_meter, shown_beside
from fieldapp.screens.shared import SendAny, places
from fieldapp.sending import Send
from fieldapp.stepview import Bands, bands_of, sleeve
from fieldapp.window import TURNED, WIDE
from fieldapp.words.units import kept_figure

SPEEDS = (0, 10, 100, 1000)


def reading(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """The pad for a kind of reading at a place; link speeds have buttons of their own."""
    pad = model.open_pad
    fixed = words.FIXED
    plan = model.open_job.judgement.state.job
    stop = plan.stops.get(stop_of(plan, pad.at) or "")
    line = words.here_line(pad.kind, stop.name if stop else "", stop.at_m if stop else None)
    back = Send(send, Go(route_of(Place("now", model.open_job.id))))
    sheet = model.sheet.what if model.sheet is not None else ""
    choosing = sheet == "points"
    pick = SheetClosed() if choosing else SheetOpened("points", pad.at)
    top = [
        header(
            look,
            quiet(look, fixed.back, back, key="back", height=56),
            words.point(pad.at),
            line,
            quiet(look, fixed.point, Send(send, pick), key="point", height=56)
            if Point.parse(pad.at).box
            else None,
        ),
        *told(look, model),
    ]
    if choosing:
        return frame(look, top=top, body=[_points(model, send, look)], actions=[])
    if sheet == "load":
        body = load_body(model, send, look)
        return frame(look, top=top, body=body, actions=load_actions(model, send, look))
    due = reading_cautions(model)
    if due:
        body, actions = pad_cautions(pad, due, send, look)
        return frame(look, top=top, body=body, actions=actions)
    meter = made_up_meter(model, send, look)
    if meter:  # its button says what the mark says, and the keys need the height
        look = replace(look, above=None)
    if pad.kind == "mbps":
        body, speeds = [padded(one, top=12) for one in meter], _speeds(pad, send, look)
        if look.shape == WIDE:
            return frame(look, top=top, body=[*body, speeds], actions=[])
        said = words.measure_at(pad.at, pad.kind)
        if look.shape != TURNED:
            body = [padded(text(look, said, 28, cap=1.4), top=16), *body]
        return frame(look, top=top, body=body, actions=[], foot=speeds)  # at the thumb
    moment = moment_of(pad, model.open_job.judgement.state)
    bands = bands_of(model, pad.at, pad.kind, standing_of(pad), pad.meter, moment)
    ways = _ways(model, pad, bands, send, look)
    body = [
        *_restored(pad, look),
        _digits(pad, look, low=bool(meter)),
        *shown_beside(pad, look),
        _gauge(model, pad, bands, look),
    ]
    if look.shape != WIDE:
        body.append(padded(ft.Row(ways, spacing=0), bottom=4))
    return frame(
        look,
        top=top,
        body=body,
        actions=[],
        foot=ft.Column(
            [
                *(padded(one, bottom=8) for one in meter),
                keys(look, lambda key: Send(send, KeyPressed(key)), left=_below_another(ways)),
                padded(_keep(pad, bands, send, look), top=8, bottom=8),
            ],
            spacing=0,
        ),
    )


def _restored(pad: Pad, look: Look) -> list[ft.Control]:
    if not (pad.restored and pad.digits):
        return []
    return [padded(text(look, words.were_typing(pad.digits, pad.at, pad.since), 17, "soft", "TI"))]


def _digits(pad: Pad, look: Look, *, low: bool) -> ft.Control:
    height = 138.0 if look.height >= 780 and not low else 84.0
    picture = digits_picture(
        words.as_typed(pad.digits), words.unit_of(pad.kind), look.width, height
    )
    said = words.typed_with_unit(pad.digits, pad.kind) if pad.digits else words.FIXED.type_it
    return spoken(look, picture, said)


def _gauge(model: Model, pad: Pad, bands: Bands, look: Look) -> ft.Control:
    if bands.why is not None:
        height = 104 if look.scale < 1.3 else None
        why = text(look, words.sentence(bands.why), 19, cap=1.6)
        return ft.Container(padded(why, top=8), height=height)
    value = kept_figure(pad.digits, pad.kind)
    accuracy = with_own(model, model.open_job).accuracy(pad.meter, pad.kind)
    reach = accuracy.reach(value) if accuracy and value is not None else 0.0
    shown = sleeve(bands.shown)
    picture = gauge(
        shown,
        bands.behind,
        value if shown else None,
        reach,
        words.unit_of(pad.kind),
        None,
        "",
        look.width,
        104,
        figure=lambda number: words.figure(number, pad.kind),
        scale=words.scale_of(pad.kind),
        letters=look.scale,
    )
    low, high = (shown[0], shown[2]) if shown else (None, None)
    said = words.speak_gauge(value, reach, low, high, pad.kind, "", today=bands.today is not None)
    return spoken(look, picture, said)


def _below_another(ways: list[ft.Control]) -> list[ft.Control]:
    """The choices left of the keys, where there is room for that."""
    return [ft.Row([way]) for way in ways]


def _ways(model: Model, pad: Pad, bands: Bands, send: SendAny, look: Look) -> list[ft.Control]:
    """What stands beyond the point, and with which meter."""
    fixed = words.FIXED
    plan = with_own(model, model.open_job)
    value = kept_figure(pad.digits, pad.kind)
    accuracy = plan.accuracy(pad.meter, pad.kind)
    meter = plan.meters.get(pad.meter)
    band = bands.shown
    expected = band.expected if band is not None and band.expected is not None else 0.0
    reach = accuracy.reach(expected if value is None else value) if accuracy else None
    row: list[ft.Control] = []
    narrow = pad.kind in FLOW_KINDS
    if pad.kind in BY_METHOD:
        row += [
            half(
                look,
                title,
                means,
                Send(send, MethodPicked(method)),
                chosen=pad.method == method,
                key=f"method-{method}",
                face="PB",
                share=3,
            )
            for method, (title, means) in words.EARTH_METHODS.items()
        ]
    if narrow:
        set_to = words.load_state(pad.box, pad.watts) or fixed.known_means
        ways = [("loaded", fixed.loaded, fixed.loaded_means, 3)]
        if stand_ins(model.open_job, pad.at):
            ways.append(("known", fixed.known, set_to, 4))
        ways.append(("open", fixed.open, fixed.open_means, 3))
        row += [
            half(
                look,
                title,
                means,
                Send(send, StandingPicked(name)),
                chosen=pad.standing == name,
                key=f"standing-{name}",
                face="PB",
                share=share,
            )
            for name, title, means, share in ways
        ]
    row.append(
        half(
            look,
            meter.name if meter else fixed.no_meter,
            words.meter_reach(reach, pad.kind) if reach is not None else fixed.no_reach,
            Send(send, NextMeter()),
            chosen=False,
            key="meter",
            face="PB" if narrow else "TB",
            share=4,
        )
    )
    return row


def _keep(pad: Pad, bands: Bands, send: SendAny, look: Look) -> ft.Control:
    value = kept_figure(pad.digits, pad.kind)
    if value is None:
        return slab(look, words.FIXED.type_it, "", None, key="keep", fixed=True)
    keep = slab(
        look,
        words.keep_slab(pad.digits, pad.kind),
        comment(pad, value, bands),
        Send(send, KeepPressed()),
        key="keep",
        fixed=True,
    )
    keep.content = ft.Semantics(content=keep.content, live_region=pad.quiet)
    return keep


def comment(pad: Pad, value: float, bands: Bands) -> str:
    """The only comment on what is typed; never a refusal."""
    band, today = bands.shown, bands.today is not None
    if value > words.MOST.get(pad.kind, float("inf")):
        return words.over_range(pad.digits, pad.kind)
    if band is None:
        return words.FIXED.kept_as_is
    if band.low is not None and value < band.low:
        return words.below(band.low, pad.kind)
    if band.high is not None and value > band.high:
        return words.above(band.high, pad.kind)
    if band.low is not None and band.high is not None:
        return words.within(band.low, band.high, pad.kind, today)
    return words.FIXED.kept_as_is


def _speeds(pad: Pad, send: SendAny, look: Look) -> ft.Control:
    """No pad for link speeds: the few there are."""
    shown = pad.shown
    return padded(
        ft.Column(
            [
                quiet(
                    look,
                    words.capital(words.speed(speed)),
                    Send(send, SpeedPicked(speed)),
                    key=f"speed-{speed}",
                    strong=shown is not None and shown.digits == str(speed),
                    height=84,
                    size=26,
                    corner=14,
                    width=look.width - 2 * MARGIN,
                )
                for speed in SPEEDS
            ],
            spacing=12,
        ),
        top=16,
        bottom=12,
    )


def _points(model: Model, send: SendAny, look: Look) -> ft.Control:
    """This stop's points first; the digits stay."""
    pad = model.open_pad

    def press(at: str) -> Go:
        return Go(route_of(Place("read", model.open_job.id, at, pad.kind)))

    return padded(places(places_for(model.open_job, pad.kind, pad.at), press, send, look), top=8)
