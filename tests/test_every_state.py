"""Every screen in every state that is photographed, in all looks, letters, languages, windows.

The states are those of ``shots``: what is done there with a finger on glass is done here, on the
headless page, by the same names. Each state is drawn once more, in another way: each two of
window, look, size of letters and language meet in any sixteen states.
"""

from __future__ import annotations

import asyncio
import gc
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from inspect import signature
from itertools import combinations, product
from types import SimpleNamespace
from typing import Any

import flet as ft
import flet.canvas as cv
import pytest
from contrasts import undeclared
from flet.controls.base_control import BaseControl
from headless import TURNS, CountedWorld, _hidden, readable
from memory_disk import MemoryDisk, open_memory
from pictured_jobs import worked_on
from semantics_read import Box, Node, best, one_line
from shots import states as table
from shots.beginning import ON_A_PHONE
from shots.shot import Shot
from shots.taking import WINDOWS as SIZES

import fieldapp.viewstack as viewstack
from engine.jobfile import read_job
from fieldapp.installed import Installed
from fieldapp.messages import Go, PhotoPicked, Push, RouteChanged
from fieldapp.model import Model
from fieldapp.services import Services
from fieldapp.shelf import Shelf
from fieldapp.update import update
from fieldapp.words.manner import LANGUAGES

WINDOWS = tuple(SIZES.values())
LOOKS = tuple(product((False, True), (False, True)))
"""dark, and more contrast"""
SCALES = (1.0, 2.0)
SPOKEN = tuple(LANGUAGES)
FACTORS = (WINDOWS, LOOKS, SCALES, SPOKEN)


def way(number: int) -> tuple[Any, ...]:
    """One way to see a state: a window, a look, a size of letters, a language."""
    n, turn = number % 4, number // 4 % 4
    return (
        WINDOWS[n],
        LOOKS[(n + turn) % 4],
        SCALES[(n + turn // 2) % 2],
        SPOKEN[(n // 2 + turn) % 2],
    )


def test_each_two_of_window_look_letters_and_language_meet() -> None:
    """In any sixteen states that come one after another."""
    met = [way(number) for number in range(16)]
    for (i, one), (j, other) in combinations(enumerate(FACTORS), 2):
        assert {(way[i], way[j]) for way in met} == set(product(one, other))


# ---------------------------------------------------------------- what is on a page


def kids(node: Any) -> Iterator[BaseControl]:
    """What stands directly in a control and is in sight."""
    hidden = _hidden(type(node))
    kept = {**vars(node), **node._values}
    for name, value in kept.items():
        if name not in hidden:
            for one in value if isinstance(value, list | tuple) else (value,):
                if isinstance(one, BaseControl) and getattr(one, "visible", True) is not False:
                    yield one


Around = tuple[BaseControl, ...]


def within(node: BaseControl, around: Around = ()) -> Iterator[tuple[BaseControl, Around]]:
    """A control and all that is in sight in it, each with what it stands in."""
    yield node, around
    for kid in kids(node):
        yield from within(kid, (*around, node))


def said(node: BaseControl) -> list[str]:
    """The lines that a screen reader has for a control."""
    own: list[str] = []
    if isinstance(node, ft.Semantics):
        own = [node.label] if node.label else []
        if node.exclude_semantics:
            return own
    elif isinstance(node, ft.Text):
        return [one for one in (node.semantics_label or "".join(readable(node)),) if one]
    elif isinstance(node, ft.TextField):
        return [node.label] if node.label else []
    elif isinstance(node, ft.Image):
        return [node.semantics_label] if node.semantics_label else []
    return own + [line for kid in kids(node) for line in said(kid)]


BUTTONS = (ft.Button, ft.TextButton)
PRESSED = (*BUTTONS, ft.TextField, ft.GestureDetector)


def nodes_of(page: BaseControl) -> list[tuple[Node, BaseControl]]:
    """What has a name, as the browser's tree of names would tell it."""
    found = []
    waiting = [page]
    while waiting:
        one = waiting.pop()
        pressed = isinstance(one, PRESSED) or getattr(one, "on_click", None) is not None
        silent = isinstance(one, ft.Semantics) and one.exclude_semantics
        if pressed or isinstance(one, ft.Text) or silent or isinstance(one, ft.Image):
            role = "textbox" if isinstance(one, ft.TextField) else "button" if pressed else "text"
            box = Box(0.0, float(len(found)), 1.0, 1.0)
            can = not getattr(one, "disabled", False)
            name = "\n".join(said(one))
            value = getattr(one, "value", "") or ""
            found.append((Node(name, role, box, box, pressed, can, None, value), one))
        else:
            waiting += reversed(list(kids(one)))
    return found


# ---------------------------------------------------------------- the hand


class Day(CountedWorld):
    """Noon of today: what was read this morning was read today."""

    def __init__(self) -> None:
        super().__init__()
        self.at = datetime.now(UTC).replace(hour=12)

    def now(self) -> datetime:
        self.at += timedelta(milliseconds=10)
        return self.at


class Hand:
    """Does what a state of ``shots`` wants done, by the same names, without a page: a press is a
    message, and what is seen is drawn when it is looked at."""

    def __init__(self, docs: tuple[dict[str, Any], ...]) -> None:
        self.loop, self.field = asyncio.new_event_loop(), None
        keyboard = SimpleNamespace(insert_text=self._insert)
        self.page = SimpleNamespace(keyboard=keyboard, reload=self._reload)
        self.tasks: set[asyncio.Task[Any]] = set()
        self.drawn: tuple[Model, ft.View] | None = None
        self.loop.run_until_complete(self._start(docs))
        self.settle()

    async def _start(self, docs: tuple[dict[str, Any], ...]) -> None:
        self.world = Day()
        store = await open_memory(MemoryDisk(), now=self.world.stamp, draw=lambda: "d0d0")
        shelf = Shelf(store, self.world)
        for doc in docs:
            await shelf.bring_in(read_job(doc), "test.json")
        self.services = Services(shelf, self._put)
        await self._open()

    async def _open(self) -> None:
        self.model, route = await self.services.first_model()
        self.send(Go(route))

    def _reload(self) -> None:
        self.loop.run_until_complete(self._open())
        self.settle()

    async def _put(self, _name: str, _data: bytes) -> bool:
        return True

    def send(self, message: Any) -> None:
        self.model, effects = update(self.model, message)
        for effect in effects:
            if not isinstance(effect, Push):  # the address line
                task = self.loop.create_task(self.services.perform(effect, self.send))
                self.tasks.add(task)
                task.add_done_callback(self.tasks.discard)

    def settle(self) -> None:
        """Let all that follows happen."""

        async def turns() -> None:
            for _ in range(TURNS):
                await asyncio.sleep(0)

        self.loop.run_until_complete(turns())

    def end(self) -> None:
        for task in self.tasks:
            task.cancel()
        self.settle()
        self.loop.close()

    def view(self) -> ft.View:
        if self.drawn is None or self.drawn[0] is not self.model:
            self.drawn = self.model, viewstack.views(self.model, self.send)[-1]
        return self.drawn[1]

    def go(self, route: str) -> None:
        self.send(RouteChanged(route))
        self.settle()

    def pause(self, _milliseconds: float = 0) -> None:
        self.world.let_go()
        self.settle()

    def nodes(self) -> list[Node]:
        return [node for node, _ in nodes_of(self.view())]

    def _until(self, found: Callable[[], Any], what: str) -> Any:
        for _ in range(4000):
            if it := found():
                return it
            self.settle()
        raise AssertionError(f"{what}; there is {[node.line for node in self.nodes()]}")

    def _called(self, name: str, exact: bool, role: str | None) -> tuple[Node, BaseControl] | None:
        both = [one for one in nodes_of(self.view()) if role in (None, one[0].role)]
        found = best([node for node, _ in both], name, exact=exact)
        pressed = [node for node in found if node.tappable] or found
        return next((one for one in both if pressed and one[0] is pressed[0]), None)

    def _has(self, name: str) -> bool:
        return any(one_line(name) in node.line for node in self.nodes())

    def wait_for(self, name: str) -> None:
        self._until(lambda: self._has(name), f"{name!r} does not come")

    def wait_gone(self, name: str) -> None:
        self._until(lambda: not self._has(name), f"{name!r} stays")

    def scroll_to(self, name: str, *, exact: bool = False, role: str | None = None) -> Any:
        return self._until(lambda: self._called(name, exact, role), f"nothing is called {name!r}")

    def tap(self, name: str, *, exact: bool = False, role: str | None = None) -> None:
        self._press(*self.scroll_to(name, exact=exact, role=role))

    def tap_at(self, _x: float, y: float) -> None:
        self._press(*nodes_of(self.view())[int(y)])

    def _press(self, node: Node, control: BaseControl) -> None:
        assert node.enabled, f"{node.line!r} takes no press"
        if node.role == "textbox":
            self.field = control
        else:
            self._fire(control.on_click, "")

    def type_into(self, name: str, text: str) -> None:
        self.tap(name, role="textbox")
        self._insert(text)

    def _insert(self, text: str) -> None:
        self._fire(self.field.on_change, text)

    def _fire(self, handler: Callable[..., Any], text: str) -> None:
        """As Flet does: with the event where the handler takes one."""
        event = SimpleNamespace(control=SimpleNamespace(value=text))
        handler(*[event][: len(signature(handler).parameters)])
        self.settle()

    def press(self, *keys: str) -> None:
        for _ in keys:
            again = next(c for c, _ in within(self.view()) if c.key == self.field.key)
            self._fire(again.on_submit, again.value)

    def take_photo(self, name: str, data: bytes) -> None:
        self.tap(name, role="button")
        self.send(PhotoPicked(data))
        self.settle()


# ---------------------------------------------------------------- what must be so

UNITS = r"(?:mV|mA|kW|Ω|V|A|W|m|km|cm|mm|mm²|°C|ft|feet|AWG|Mb/s|Mbit/s|%|kB|MB|kg|min|s)"
PARTED = re.compile(rf"\d {UNITS}(?![\w²/])")
"""a figure and its unit with a plain blank between them: a line may end there"""


def troubles(view: ft.View, *, alike: bool = False) -> Iterator[str]:
    """What is not as it must be on a page, one line each."""
    keys: Counter[str] = Counter()
    names: Counter[str] = Counter()
    for one, around in within(view):
        key = getattr(one, "key", None)
        keys[key] += key is not None
        if any(isinstance(outer, PRESSED) for outer in around) and isinstance(one, BUTTONS):
            yield f"{key}: a button in a button"
        if isinstance(one, PRESSED) or getattr(one, "on_click", None) is not None:
            name = one_line(" ".join(said(one)))
            if not name:
                yield f"{key}: pressed, and has no name"
            names[name] += isinstance(one, BUTTONS)
        yield from _letters(one, around)
        if isinstance(one, cv.Canvas):
            yield from _drawing(one, around)
        if isinstance(one, ft.Semantics) and one.label and not one.exclude_semantics:
            heard = said(one)[1:]
            if heard and not one.container:
                yield f"read twice: {one.label!r} and {heard}"
    yield from (f"{n} things are keyed {k}" for k, n in keys.items() if n > 1 and k not in TWICE)
    if not alike:
        yield from (f"{n} buttons are called {one!r}" for one, n in names.items() if n > 1 and one)


def _letters(one: BaseControl, around: Around) -> Iterator[str]:
    if isinstance(one, ft.Text | cv.Text):
        letters = "".join(readable(one))
        spoken = getattr(one, "semantics_label", None)
        probe = getattr(one, "on_size_change", None)
        if not (letters.strip() or spoken or probe):
            yield f"a text without letters, in {type(around[-1]).__name__} {around[-1].key}"
    else:
        letters = "\n".join(readable(one))
    for text in (letters, getattr(one, "label", None), getattr(one, "semantics_label", None)):
        if isinstance(text, str) and (parted := PARTED.search(text)):
            yield f"parted from its unit: {parted[0]!r} in {text!r}"


QUIET = 64.0
"""a drawing up to this size may be an ornament beside words that say the same [dp]"""


def _drawing(canvas: cv.Canvas, around: Around) -> Iterator[str]:
    told = any(isinstance(outer, ft.Semantics) and outer.label for outer in around)
    hushed = any(isinstance(outer, ft.Semantics) and outer.exclude_semantics for outer in around)
    if told or hushed:
        return
    letters = [shape.value for shape in canvas.shapes if isinstance(shape, cv.Text)]
    if letters:
        yield f"a drawing with the letters {letters} says nothing"
    elif (canvas.width or 0) > QUIET and (canvas.height or 0) > QUIET:
        yield f"a drawing of {canvas.width:.0f} x {canvas.height:.0f} says nothing"


SAME_NAME = frozenset({"fault-jobs", "compare-names-list"})
"""a list of jobs that are one job in many states: what is alike there is called alike"""
TWICE = {"line": "beside the line of a wide window what-if has one of its own"}
"""keys that stand twice on a page"""
ON_GLASS = {
    "sign-drawn": "a finger draws: in the browser's trials",
    "hand-share": "sharing is offered by a phone's page alone: in the browser's trials",
    "hand-share-unknown": "the same",
}
"""states that want more than names"""


def test_every_state_in_every_way(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any) -> None:
        raise

    monkeypatch.setattr(viewstack, "failure", broken)
    wrong: list[str] = []
    turn = 0
    gc.disable()
    try:
        for group, docs, installed in states():
            hand = Hand(docs)
            if installed is not None:
                chosen = replace(hand.model.settings, asked_to_stay=True)
                said = {"installed": installed, "says_offline": installed.offline}
                hand.model = replace(hand.model, settings=chosen, **said)
            for shot in group:
                if shot.name in ON_GLASS:
                    continue
                hand.go("/settings")
                hand.go(shot.place)
                try:
                    shot.act(hand)
                except AssertionError as trouble:
                    wrong.append(f"{shot.name}: {trouble}")
                wrong += [
                    f"{shot.name}: {one}"
                    for one in troubles(hand.view(), alike=shot.name in SAME_NAME)
                ]
                wrong += drawn_otherwise(hand, shot.name, turn)
                turn += 1
            hand.end()
    finally:
        gc.enable()
    assert not wrong, f"{len(wrong)}\n" + "\n".join(sorted(set(wrong)))


def states() -> Iterator[tuple[tuple[Shot, ...], tuple[Any, ...], Installed | None]]:
    """All that is photographed, with what the page knows of itself where it is an installed one."""
    yield from ((group, docs, None) for group, docs, _ in table.states())
    yield from ((group, (worked_on(),), page) for group, page in ON_A_PHONE)


def drawn_otherwise(hand: Hand, name: str, turn: int) -> Iterator[str]:
    """What is wrong where a state is drawn in another way."""
    (width, height), (dark, contrast), scale, language = way(turn)
    look = {"width": width, "height": height, "scale": scale, "contrast": contrast}
    settings = replace(hand.model.settings, look="phone", language=language)
    window = replace(hand.model.window, dark=dark, **look)
    view = viewstack.views(replace(hand.model, window=window, settings=settings), hand.send)[-1]
    wrong = [*troubles(view, alike=name in SAME_NAME)]
    if dark and not contrast:
        wrong += undeclared(view)
    where = f"{name} {width}x{height} {'dark' if dark else 'sun'} x{scale:g} {language}"
    yield from (f"{where}: {one}" for one in wrong)
