"""What is shown of the model: the stack of views, on top a screen for the place.

One guard stands around every screen: where one cannot be drawn, that is said.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

import flet as ft

from fieldapp import words
from fieldapp.buttons import slab
from fieldapp.comfort import letters_scale
from fieldapp.framing import frame
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import Look, look_for
from fieldapp.parts import padded, text
from fieldapp.probe import scale_probe
from fieldapp.returning import asks_why
from fieldapp.routes import JOBS, place_of, stack_for
from fieldapp.screens.compare import comparing
from fieldapp.screens.everything import everything
from fieldapp.screens.fault import fault
from fieldapp.screens.found import found
from fieldapp.screens.hand import hand
from fieldapp.screens.jobs import jobs
from fieldapp.screens.leave import leave
from fieldapp.screens.meter import meter
from fieldapp.screens.new import new
from fieldapp.screens.newjob import newjob
from fieldapp.screens.newsheet import newsheet
from fieldapp.screens.now import now
from fieldapp.screens.phone import phone
from fieldapp.screens.plan import plan
from fieldapp.screens.plan_pad import plan_typing
from fieldapp.screens.power import power
from fieldapp.screens.practice import marked, practice, practised
from fieldapp.screens.reading import reading
from fieldapp.screens.reel import reel
from fieldapp.screens.reel_pad import reel_typing
from fieldapp.screens.run import run
from fieldapp.screens.settings import settings
from fieldapp.screens.shapes import shapes
from fieldapp.screens.sheets import sheets
from fieldapp.screens.sign import sign
from fieldapp.screens.spans import spans
from fieldapp.screens.steps import steps
from fieldapp.screens.testing import testing
from fieldapp.screens.verdict import verdict
from fieldapp.screens.visit import visit
from fieldapp.screens.whatif import whatif
from fieldapp.screens.wires import wires
from fieldapp.sending import Send
from fieldapp.typed import Typed
from fieldapp.wide import placed

SCREENS: dict[str, Callable[[Model, Callable[[Any], None], Look], list[ft.Control]]] = {
    "jobs": jobs,
    "new": newjob,
    "samples": new,
    "settings": settings,
    "meter": meter,
    "everything": everything,
    "phone": phone,
    "shapes": shapes,
    "found": found,
    "now": now,
    "steps": steps,
    "power": power,
    "wires": wires,
    "reel": reel,
    "reelpad": reel_typing,
    "run": run,
    "read": reading,
    "verdict": verdict,
    "fault": fault,
    "test": testing,
    "leave": leave,
    "hand": hand,
    "sign": sign,
    "plan": plan,
    "planpad": plan_typing,
    "sheets": sheets,
    "newsheet": newsheet,
    "whatif": whatif,
    "practice": practice,
    "practised": practised,
    "compare": comparing,
    "spans": spans,
}


def controls_for(model: Model, send: Callable[[Any], None], look: Look) -> list[ft.Control]:
    """The controls of the place where the model is."""
    place = model.place
    if place.job and not model.has_open(place.job):
        waiting = padded(text(look, words.FIXED.waiting, 22, "soft"), top=80)
        return frame(look, top=[], body=[waiting], actions=[])
    look = marked(model, send, look) if place.job else look
    if asks_why(model):
        return placed(model, send, look, visit)
    return placed(model, send, look, SCREENS[place.screen])


def failure(send: Callable[[Any], None], look: Look) -> list[ft.Control]:
    """What is shown when a screen cannot be drawn: what was kept is still there."""
    fixed = words.FIXED
    return frame(
        look,
        top=[],
        body=[
            padded(text(look, fixed.went_wrong, 28), top=80),
            padded(text(look, fixed.went_wrong_more, 20, "soft")),
        ],
        actions=[slab(look, fixed.to_jobs, "", Send(send, Go(JOBS)))],
    )


ON_ONE_PAGE = frozenset({"read", "verdict"})
"""screens that follow each other at once"""


def views(
    model: Model,
    send: Callable[[Any], None],
    camera: ft.FilePicker | None = None,
    typed: Typed | None = None,
) -> list[ft.View]:
    """The view stack; only the top one is filled, what lies below is drawn when it is reached."""
    with words.speaking(model.settings.manner):
        return _views(model, send, camera, typed)


def _views(
    model: Model,
    send: Callable[[Any], None],
    camera: ft.FilePicker | None,
    typed: Typed | None,
) -> list[ft.View]:
    window, chosen = model.window, model.settings
    look = look_for(
        model.is_dark,
        window.width,
        window.height,
        letters_scale(window.scale, chosen.letters),
        camera,
        contrast=window.contrast,
        phone=window.scale,
        left_handed=chosen.hand == "left",
        typed=typed,
    )
    stack = stack_for(model.route)
    out = []
    for route in stack:
        on_top = route == stack[-1]
        if on_top:
            try:
                inside = controls_for(model, send, look)
            except Exception:
                logging.getLogger(__name__).exception("%s", route)
                inside = failure(send, look)
        else:
            inside = []
        controls = [*inside, *([scale_probe(send)] if on_top else [])]
        # the client puts up another page for another route, which takes it long, and what is pressed
        # just then is lost: the pad and its verdict are one page to it
        place = place_of(route)
        page = f"/j/{place.job}/pad" if place.screen in ON_ONE_PAGE else route.partition("?")[0]
        for number, part in enumerate(controls):
            part.key = part.key or f"{route.partition('?')[0]} {number}"
        out.append(
            ft.View(
                key=page,
                route=page,
                data=route,
                controls=controls,
                bgcolor=look.tokens["ground"],
                padding=0,
                spacing=0,
            )
        )
    return out
