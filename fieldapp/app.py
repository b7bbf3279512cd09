"""The Flet entry: one component with one model, and the page's own events as messages."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import flet as ft

from fieldapp import words
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
    SheetClosed,
    TablePicked,
    WatchPhone,
)
from fieldapp.model import TABLE, Model
from fieldapp.routes import JOBS, place_of, stack_for
from fieldapp.services import Services
from fieldapp.sideways import where
from fieldapp.typed import Typed
from fieldapp.update import update
from fieldapp.viewstack import views


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
    drawn = shown.current = views(model, send, camera, typed.current)

    async def follow() -> None:
        """A line wider than its column is moved until what is chosen on it is seen."""
        if line is not None:
            with contextlib.suppress(Exception):  # it may be gone before it is drawn
                send(LineMoved(where(latest.current.place), line.data[1]))
                await line.scroll_to(offset=line.data[1])

    line = row_in(drawn[-1].controls)
    chosen = line.data[0] if line is not None else None
    ft.use_effect(follow, dependencies=[model.route, line is not None, chosen])
    return drawn


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
    return bool(page.platform_brightness == ft.Brightness.DARK)


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
