"""The app without a browser: the real component, store and services behind a page nobody sees.

Flet's own diff, validation and packing run on every change, so a control that a client would
choke on is found here. It leans on private names of the one Flet version that is pinned; all
of them are in this file.
"""

from __future__ import annotations

import asyncio
import copy
import dataclasses
import gc
import logging
import sys
import traceback
from collections.abc import Awaitable, Callable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

import flet as ft
import flet.canvas as cv
import msgpack
from flet.controls.base_control import BaseControl
from flet.controls.context import _context_page
from flet.messaging.connection import Connection
from flet.messaging.protocol import (
    Message,
    MessageAction,
    RegisterClientResponseBody,
    configure_encode_object_for_msgpack,
)
from flet.messaging.session import Session
from flet.pubsub.pubsub_hub import PubSubHub
from memory_disk import MemoryDisk, open_memory

import fieldapp.app as app
import fieldapp.viewstack as viewstack
from engine.cautions import CODES
from engine.jobfile import read_job
from fieldapp import messages as m
from fieldapp.haptics import Comforts
from fieldapp.installed import Link
from fieldapp.model import Window
from fieldapp.probe import PROBE
from fieldapp.services import OPENS, Services, World
from fieldapp.shelf import Shelf

WAITED_FOR = (*OPENS, m.ListJobs, m.Judge, m.CountFound)
"""effects of which something comes before anything else is pressed"""
TURNS = 60
"""turns of the loop after an event: enough for effect, message, render, and those once more"""


class CountedWorld(World):
    """A clock that moves by a third of a minute a look, ids that count, waits let go by hand."""

    def __init__(self) -> None:
        self.at = datetime(2031, 6, 3, 8, 0, tzinfo=UTC)
        self.passed = 0.0
        self.count = 0
        self.waits: list[tuple[float, asyncio.Event]] = []

    def now(self) -> datetime:
        self.at += timedelta(seconds=20)
        return self.at

    def elapsed(self) -> float:
        """Nothing passes between two presses but what a test lets pass."""
        return self.passed

    def pass_minutes(self, minutes: float) -> None:
        """Let time pass, so that the next reading is of another moment."""
        self.at += timedelta(minutes=minutes)
        self.passed += 60 * minutes

    def ident(self) -> str:
        self.count += 1
        return f"t{self.count:05}"

    async def wait(self, seconds: float) -> None:
        gate = asyncio.Event()
        self.waits.append((seconds, gate))
        await gate.wait()

    def let_go(self) -> None:
        """End all waits."""
        for _, gate in self.waits:
            gate.set()
        self.waits.clear()


class _Wire(Connection):
    """Takes what the client would be sent. Packing arms the differ: it must not be skipped."""

    def __init__(self) -> None:
        super().__init__()
        self.crashes: list[str] = []
        self.page_url = "http://test"
        self.pubsubhub, self.loop = PubSubHub(), asyncio.get_running_loop()

    def send_message(self, message: Message) -> None:
        encode = configure_encode_object_for_msgpack(BaseControl)
        msgpack.packb([message.action, message.body], default=encode)
        if message.action is MessageAction.SESSION_CRASHED:
            self.crashes.append(message.body.message)


class _Ears(logging.Handler):
    """What a task that failed leaves in the log, and nowhere else."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        text = record.getMessage()
        if record.exc_info:
            text += "\n" + "".join(traceback.format_exception(*record.exc_info))
        self.heard.append(text)


_running: list[Phone] = []
"""the sessions that have not been stopped"""


class Phone:
    """One session of the app on a disk that outlives it. ``await Phone.start(...)``."""

    def __init__(self, disk: MemoryDisk, world: CountedWorld) -> None:
        self.disk, self.world = disk, world
        self.broken: list[str] = []
        """what went wrong in screens that showed the failure view instead"""
        self.may_break = False
        """whether a screen that cannot be drawn is what the test is about"""
        self.copies: list[tuple[str, bytes]] = []
        """what was put somewhere else"""
        self.lit: list[bool] = []
        """what was asked of the lamp"""
        self.pulses: list[str] = []
        """what was asked of the motor"""
        self.wishes = (False, False)
        """whether less motion and more contrast are asked for"""
        self.busy = 0
        """how much is worked on that is waited for"""
        self._page_walked: tuple[BaseControl, ...] = ()

    @classmethod
    async def start(
        cls,
        disk: MemoryDisk | None = None,
        world: CountedWorld | None = None,
        *,
        docs: tuple[Mapping[str, Any], ...] = (),
        size: tuple[float, float] = (390, 844),
        scale: float = 1.0,
        look: str = "",
        settings: Mapping[str, str] | None = None,
        link: str = "",
        installed: Link | None = None,
    ) -> Phone:
        """Start the app, with jobs already on the disk; ``link`` is the route it is opened by,
        ``installed`` tells of a page that a phone installed."""
        phone = cls(disk or MemoryDisk(), world or CountedWorld())
        _running.append(phone)
        world, phone.ears = phone.world, _Ears()
        phone.unwatched = viewstack.failure
        phone.loggers = [logging.getLogger(n) for n in ("flet", "asyncio", "concurrent.futures")]
        for logger in phone.loggers:
            logger.addHandler(phone.ears)
        phone.store = await open_memory(phone.disk, now=world.stamp, draw=lambda: "d0d0")
        phone.shelf = Shelf(phone.store, world)
        for doc in docs:
            await phone.shelf.bring_in(read_job(copy.deepcopy(dict(doc))), "test.json")
        if look:
            phone.store.put_setting("look", look)
        for key, value in (settings or {}).items():
            phone.store.put_setting(key, value)
        phone.wire = _Wire()
        phone.session = session = Session(phone.wire)
        phone.page, session.invoke_method = session.page, phone._client
        phone.calls = []
        _context_page.set(phone.page)
        phone.page.route = link or "/"
        phone.wire.send_message(
            Message(
                MessageAction.REGISTER_CLIENT,
                RegisterClientResponseBody(
                    session_id=session.id, page_patch=session.get_page_patch(), error=""
                ),
            )
        )
        phone.camera = ft.FilePicker()
        phone.page.services.append(phone.camera)
        comforts = Comforts(phone._stay_lit, phone._pulses, phone._wishes)
        services = Services(phone.shelf, phone._put, comforts, link=installed)
        phone._watch_work(services)
        first, route = await services.first_model()
        window = Window(width=size[0], height=size[1], scale=scale)
        phone._watch_failures()
        first = dataclasses.replace(first, window=window)
        phone.page.render_views(app.App, services, first, route, phone.camera)
        await phone.settle()
        return phone

    def _watch_work(self, services: Services) -> None:
        """Note what is worked on that is waited for; a search goes on while one does else."""
        perform = services.perform

        async def watched(effect: Any, send: Any) -> None:
            counts = isinstance(effect, WAITED_FOR)
            self.busy += counts
            try:
                await perform(effect, send)
            finally:
                self.busy -= counts

        services.perform = watched

    def _watch_failures(self) -> None:
        """Note why the failure view is shown; it is shown all the same."""
        phone, shown = self, self.unwatched

        def failure(*args: Any) -> Any:
            phone.broken.append("".join(traceback.format_exception(*sys.exc_info())))
            return shown(*args)

        viewstack.failure = failure

    def kill(self) -> None:
        """The battery dies: nothing is closed, the disk stays as it is."""
        self._let_page_go()
        self.disk.is_held = False

    def stop(self) -> None:
        """Close the app in good order."""
        self._let_page_go()
        self.store.close()

    def _let_page_go(self) -> None:
        """Leave the module and the loggers as they were found."""
        _running.remove(self)
        viewstack.failure = self.unwatched
        for logger in self.loggers:
            logger.removeHandler(self.ears)
        if hasattr(self, "session"):
            self.session._Session__closed = True
            self.session._Session__updates_ready.set()

    async def _put(self, name: str, data: bytes) -> bool:
        self.copies.append((name, data))
        return True

    async def _stay_lit(self, on: bool) -> None:
        self.lit.append(on)

    async def _pulses(self, names: tuple[str, ...]) -> None:
        self.pulses += names

    async def _wishes(self) -> tuple[bool, bool]:
        return self.wishes

    # ------------------------------------------------------------ what one does

    async def _client(self, control_id: int, name: str, args: Any = None, timeout: Any = None):
        self.calls.append((name, args))
        if name == "push_route":
            self.session.apply_page_patch({"route": args["route"]})
            await self.session.dispatch_event(
                self.page._i, "route_change", {"route": args["route"]}
            )

    async def settle(self) -> None:
        """Let all that follows happen, and look whether anything died of it."""
        for _ in range(TURNS):
            await asyncio.sleep(0)
        loop = asyncio.get_running_loop()
        while self.busy and loop._ready:  # long work that has stood aside, and goes on
            await asyncio.sleep(0)
        self._page_walked = ()
        assert not self.wire.crashes, self.wire.crashes[0]
        assert self.may_break or not self.ears.heard, self.ears.heard[0]
        task = self.session._Session__updates_task
        assert task is not None, "no rendering"
        if task.done() and not self.may_break:
            raise AssertionError("rendering ended") from task.exception()
        assert self.may_break or not self.broken, self.broken[0]

    async def fire(self, control: BaseControl, event: str, data: Any = None) -> None:
        """An event of a control, as the client would send it."""
        await self._send(control, event, data)
        await self.settle()

    async def _send(self, control: BaseControl, event: str, data: Any) -> None:
        await self.session.dispatch_event(control._i, event, data)

    async def tap(self, key: str) -> None:
        """Press a button. One that is not there, or takes no press, is an error."""
        control = self.find(key)
        assert control.on_click is not None, f"{key} takes no press"
        await self.fire(control, "click")

    async def type(self, key: str, text: str) -> None:
        """Type into a field."""
        self.session.apply_patch(self.find(key)._i, {"value": text})
        await self.fire(self.find(key), "change", text)

    async def submit(self, key: str) -> None:
        """Press the keyboard's own end key in a field."""
        await self.fire(self.find(key), "submit", self.find(key).value)

    async def take_photo(self, key: str, data: bytes) -> None:
        """Press a button that opens the camera, and let it bring this; nothing: it was closed."""
        action = self.find(key).action
        assert action is not None and action.method == "pick_files", f"{key} opens no camera"
        assert action.service_id == self.camera._i
        await self.tap(key)
        files = [{"id": 1, "name": "photo.jpg", "size": len(data), "bytes": data}] if data else []
        await self.fire(self.camera, "result", {"files": files})

    async def pick_file(self, key: str, name: str, data: bytes) -> None:
        """Press a button that opens the picker, and let it bring this; no bytes: it was closed."""
        action = self.find(key).action
        assert action is not None and action.method == "pick_files", f"{key} opens no picker"
        assert action.service_id == self.camera._i and action.args["with_data"] is True
        await self.tap(key)
        files = [{"id": 1, "name": name, "size": len(data), "bytes": data}] if data else []
        await self.fire(self.camera, "result", {"files": files})

    async def digits(self, text: str) -> None:
        """Type a figure on the pad."""
        for digit in text:
            await self.tap(f"key-{digit}")

    async def go(self, route: str) -> None:
        """Open a route, as a link or the address line would."""
        self.session.apply_page_patch({"route": route})
        await self.fire(self.page, "route_change", {"route": route})

    async def back(self) -> None:
        """The phone's own Back."""
        await self.fire(self.page, "view_pop", {"route": self.route})

    async def wear(
        self,
        *,
        dark: bool | None = None,
        size: tuple[float, float] | None = None,
        scale: float | None = None,
    ) -> None:
        """The phone's own look, the window's size or the letters' scale change, all at once."""
        if dark is not None:
            brightness = ft.Brightness.DARK if dark else ft.Brightness.LIGHT
            self.page.platform_brightness = brightness
            await self._send(self.page, "platform_brightness_change", {"brightness": brightness})
        if size is not None:
            window = dict(zip(("width", "height"), size, strict=True))
            self.session.apply_page_patch(window)
            await self._send(self.page, "resize", window)
        if scale is not None:  # the probe text is measured anew
            probe = next(c for c in self.controls() if getattr(c, "on_size_change", None))
            await self._send(probe, "size_change", {"w": 0.0, "h": PROBE * scale})
        await self.settle()

    # ------------------------------------------------------------ what one sees

    def controls(self) -> tuple[BaseControl, ...]:
        """Everything on the page since the last event."""
        if not self._page_walked:
            self._page_walked = tuple(walk(self.page.views))
        return self._page_walked

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of all that has one."""
        return tuple(c.key for c in self.controls() if isinstance(getattr(c, "key", None), str))

    def find(self, key: str) -> BaseControl:
        """The control with this key."""
        for control in self.controls():
            if getattr(control, "key", None) == key:
                return control
        raise AssertionError(f"nothing here is called {key}: {sorted(self.keys)}")

    def has(self, key: str) -> bool:
        """Whether something with this key is on the page."""
        return key in self.keys

    def takes(self, key: str) -> bool:
        """Whether a button can be pressed."""
        return self.find(key).on_click is not None

    def texts(self, under: BaseControl | None = None) -> tuple[str, ...]:
        """All text that can be read: letters, letters in drawings, labels and values of fields."""
        where = self.controls() if under is None else walk(under)
        return tuple(text for control in where for text in readable(control) if text)

    def shows(self, text: str) -> bool:
        """Whether a text stands somewhere, marks of stress aside."""
        plain = text.replace("**", "")
        return any(plain in one for one in self.texts())

    def speech(self) -> tuple[str, ...]:
        """What drawings and bare buttons say to a screen reader."""
        return tuple(text for control in self.controls() for text in spoken(control) if text)

    @property
    def views(self) -> tuple[ft.View, ...]:
        """The stack of views, the one in sight last."""
        return tuple(c for c in self.controls() if isinstance(c, ft.View))

    @property
    def route(self) -> str:
        """Where one is."""
        return self.views[-1].data

    @property
    def grounds(self) -> set[str]:
        """The colours of the views' grounds."""
        return {view.bgcolor for view in self.views}


def walk(node: Any) -> Iterator[BaseControl]:
    """All controls below a node, each once."""
    seen: set[int] = set()
    waiting = [node]
    while waiting:
        node = waiting.pop()
        if isinstance(node, list | tuple):
            waiting.extend(reversed(node))
        elif isinstance(node, BaseControl) and id(node) not in seen:
            seen.add(id(node))
            yield node
            # Flet stores what differs from the default in one place, lists in another
            hidden = _hidden(type(node))
            kept = {**vars(node), **node._values}
            waiting.extend(kept[name] for name in reversed(kept) if name not in hidden)


@cache
def _hidden(kind: type) -> frozenset[str]:
    """The fields of a control that are no part of what is shown."""
    skipped = {field.name for field in dataclasses.fields(kind) if field.metadata.get("skip")}
    return frozenset(skipped | {"_parent", "_values", "_dirty"})


def readable(control: BaseControl) -> tuple[str, ...]:
    """The letters of one control."""
    match control:
        case ft.Text():
            spans = "".join(span.text or "" for span in control.spans or ())
            return (control.value or "", spans)
        case cv.Text():
            return (control.value or "",)
        case ft.TextField():
            return (control.label or "", control.value or "")
        case _:
            return ()


def spoken(control: BaseControl) -> tuple[str, ...]:
    """The words of one control that only a screen reader says."""
    match control:
        case ft.Semantics():
            return (control.label or "",)
        case ft.Text():
            return (control.semantics_label or "",)
        case _:
            return ()


def drive(journey: Callable[[], Awaitable[None]]) -> None:
    """Run one journey in a loop of its own."""
    gc.disable()  # a page is one web of circles: looking for dead ones doubles the time
    try:
        asyncio.run(journey())
    finally:
        gc.enable()
        for phone in reversed(_running[:]):  # of a journey that ended early
            phone._let_page_go()


READ = "c-read-"
"""how the ids of cautions begin that were read beforehand"""
CAUTIONS = tuple(code.removeprefix("caution-") for code in CODES)


def warned(doc: dict[str, Any]) -> dict[str, Any]:
    """The job with every caution read at every stop today."""
    notes = [
        {
            "id": f"{READ}{stop}-{code}",
            "t": "2031-06-03T06:00:00Z",
            "what": "note",
            "at": stop,
            "text": code,
            "x_caution": f"caution-{code}",
        }
        for stop in doc["stops"]
        for code in CAUTIONS
    ]
    return {**doc, "log": [*doc["log"], *notes]}
