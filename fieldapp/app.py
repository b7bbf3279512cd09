"""The Flet entry: one component, one model, one guard around everything that could fail."""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import flet as ft

from fieldapp import words
from fieldapp.buttons import slab
from fieldapp.comfort import letters_scale
from fieldapp.framing import frame
from fieldapp.keyboard import BACK, MOVES, pressed
from fieldapp.longline import row_in
from fieldapp.messages import (
    AskWishes,
    CameBack,
    FilePicked,
    Go,
    LineMoved,
    LookChanged,
    PhotoPicked,
    Push,
    Resized,
    RouteChanged,
    ScaleSeen,
    SheetClosed,
    TablePicked,
    WatchPhone,
)
from fieldapp.model import TABLE, Model
from fieldapp.paint import Look, look_for
from fieldapp.parts import padded, text
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
from fieldapp.services import Services
from fieldapp.sideways import where
from fieldapp.typed import Typed
from fieldapp.update import update
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


class _Scale:
    """Reports the height of a probe text as the phone's text scale."""

    def __init__(self, send: Callable[[Any], None]) -> None:
        self._send = send

    def __call__(self, event: Any) -> None:
        self._send(ScaleSeen(round(max(event.height / PROBE, 0.8), 2)))

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self)

    def __hash__(self) -> int:
        return hash(type(self))


PROBE = 100.0


def scale_probe(send: Callable[[Any], None]) -> ft.Control:
    """A text nobody sees or hears, whose height tells the phone's text scale.

    It stands free in a stack: a box around it would be measured instead.
    """
    probe = ft.Text(
        "",
        style=ft.TextStyle(size=PROBE, height=1),
        opacity=0.001,
        on_size_change=_Scale(send),
    )
    return ft.Stack(
        [ft.Container(ft.Semantics(content=probe, exclude_semantics=True), left=-400, top=-400)],
        key="probe",
        width=1,
        height=1,
        clip_behavior=ft.ClipBehavior.NONE,
    )


@ft.component
def App(  # noqa: N802 - a component
    services: Services, first: Model, route: str, camera: ft.FilePicker | None = None
) -> list[ft.View]:
    """The only component: every screen is a plain function, so nothing fails out of sight."""
    page = ft.context.page
    model, set_model = ft.use_state(first)
    latest = ft.use_ref(model)

    ours = ft.use_ref(list[str]())
    shown = ft.use_ref(list[ft.View]())
    walked = ft.use_ref(False)
    typed = ft.use_ref(Typed())

    async def perform(effect: Any) -> None:
        if isinstance(effect, Push):
            waited_for = ours.current[-1] if ours.current else page.route
            if waited_for != effect.route:  # else no echo comes
                ours.current.append(effect.route)
                await page.push_route(effect.route)
        else:
            await services.perform(effect, send)

    def revive() -> None:
        """Rendering goes on after a screen that broke; while all is well this does nothing."""
        with contextlib.suppress(Exception):
            page.session.start_updates_scheduler()

    def entitle() -> None:
        """The page's title is in the language spoken: the page takes its own language from it."""
        if page.title != words.FIXED.title:
            page.title = words.FIXED.title
            page.update()

    def send(message: Any) -> None:
        revive()
        changed, effects = update(latest.current, message)
        if changed.route != latest.current.route:
            walked.current = False
            typed.current.leave()
        if replace(changed, keeping=latest.current.keeping) != latest.current:
            set_model(changed)  # that an entry is on its way is nowhere seen: nothing is drawn
        latest.current = changed
        words.speak(changed.settings.manner)  # to the tasks that carry out the effects
        entitle()
        for effect in effects:
            page.run_task(perform, effect)

    def wire() -> None:
        def moved(event: Any) -> None:
            # the echo of a route of our own may come late, when we are elsewhere already
            if event.route in ours.current:
                revive()
                del ours.current[: ours.current.index(event.route) + 1]
                if not ours.current and event.route != latest.current.route:
                    # someone went elsewhere while it was on its way: the address follows
                    page.run_task(perform, Push(latest.current.route))
            else:
                send(RouteChanged(event.route))

        page.on_route_change = moved
        page.on_resize = lambda event: send(Resized(event.width, event.height))
        page.on_platform_brightness_change = lambda event: send(LookChanged(_is_dark(page)))

        def back(_event: Any) -> None:
            below = (JOBS, *stack_for(latest.current.route))[-2]
            send(Go(below))

        def keyed(event: Any) -> None:
            """A press of a keyboard's key; the browser's own ones go past."""
            if event.ctrl or event.alt or event.meta:
                return
            if event.key == BACK:
                send(SheetClosed()) if latest.current.sheet is not None else back(event)
                return
            press = pressed(shown.current[-1].controls, event.key, moved=walked.current)
            walked.current = walked.current or event.key in MOVES
            if press is not None:
                press()

        def lived(event: Any) -> None:
            if event.state is ft.AppLifecycleState.RESUME:
                send(CameBack())

        page.on_app_lifecycle_state_change = lived
        page.on_view_pop = back
        page.on_keyboard_event = keyed
        if camera is not None:
            camera.on_result = lambda event: _picked(event, send, latest.current)
        send(LookChanged(_is_dark(page)))
        page.run_task(perform, AskWishes())
        watching = page.run_task(perform, WatchPhone())
        page.on_close = lambda event: watching.cancel()
        if page.width and page.height:
            send(Resized(page.width, page.height))
        asked = page.route if page.route not in ("", "/") else route
        send(Go(asked) if place_of(asked).screen != "jobs" else Go(JOBS))

    ft.use_effect(wire, dependencies=[])
    shown.current = views(model, send, camera, typed.current)

    async def follow() -> None:
        """A line wider than its column is moved until what is chosen on it is seen."""
        if line is not None:
            with contextlib.suppress(Exception):  # it may be gone before it is drawn
                send(LineMoved(where(latest.current.place), line.data[1]))
                await line.scroll_to(offset=line.data[1])

    line = row_in(shown.current[-1].controls)
    chosen = line.data[0] if line is not None else None
    ft.use_effect(follow, dependencies=[model.route, line is not None, chosen])
    return shown.current


def _picked(event: Any, send: Callable[[Any], None], model: Model) -> None:
    """What the picker brought: a photo or a table where one was asked for, else a job; nothing:
    closed."""
    if not event.files or not event.files[0].bytes:
        return
    one = event.files[0]
    if model.photo_of:
        send(PhotoPicked(one.bytes))
    else:
        send((TablePicked if model.picks == TABLE else FilePicked)(one.name, one.bytes))


def _is_dark(page: ft.Page) -> bool:
    return page.platform_brightness == ft.Brightness.DARK


def themed(page: ft.Page) -> None:
    """Standard density, so that targets keep their size where a mouse is attached; pages change
    at once, so that what stands on both stands still. An iPhone keeps its swipe back."""
    still = ft.PageTransitionTheme.NONE
    for name in ("theme", "dark_theme"):
        setattr(
            page,
            name,
            ft.Theme(
                font_family="Farend Text",
                visual_density=ft.VisualDensity.STANDARD,
                page_transitions=ft.PageTransitionsTheme(
                    android=still, linux=still, macos=still, windows=still
                ),
                use_material3=True,
            ),
        )


def main_for(services_for: Callable[[ft.Page], Services]) -> Callable[[ft.Page], Any]:
    """The function Flet calls for each session."""

    async def main(page: ft.Page) -> None:
        page.title = words.FIXED.title
        themed(page)
        services = services_for(page)
        first, route = await services.first_model()
        camera = ft.FilePicker()
        page.services.append(camera)
        page.render_views(App, services, first, route, camera)

    return main
