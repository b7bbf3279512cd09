"""A harness that drives the real app in a real Chromium, the way a hand and a screen reader do.

`Phone` is one browser window the size of a phone. It finds things by their accessible names in
the semantics tree that Flutter lays over its canvas, taps them with a finger, and keeps a list
of every request, so that a test can say that none went outside this machine.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import time
from collections import Counter
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from app_process import ADDRESS, PATIENCE
from semantics_read import READ_SEMANTICS, Box, Node, best, one_line

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page, Playwright

try:
    from playwright.sync_api import Error as BrowserError
except ImportError:  # what has a name, and which name fits best, is asked without a browser too

    class BrowserError(Exception):
        """Never raised."""


FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    # No graphics card is imitated: the client then draws with the processor by itself, in half
    # the time, and leaves the other core to whoever needs it.
    "--disable-software-rasterizer",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # A second list is taken in place of Playwright's, so most of that stands here too. The last
    # three are pages of the browser's own bar, which nobody sees: a quarter of each start.
    "--disable-features=AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,"
    "HttpsUpgrades,HttpsFirstBalancedModeAutoEnable,LensOverlay,MediaRouter,PaintHolding,"
    "ThirdPartyStoragePartitioning,AvoidCorsURLLoaderRestartOnRedirect,OptimizationHints,"
    "NetworkTimeServiceQuerying,AimEnabled,PreconnectToSearch,"
    "WebUIOmniboxPopup,WebUIOmniboxAimPopup,WebUIOmniboxFullPopup",
    # A second wall beside the request filter: no outside name resolves, sockets included.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
)
INSIDE = re.compile(
    r"^(?:(?:https?|wss?)://(?:127\.0\.0\.1|localhost|\[::1\])(?=[:/]|$)|data:|blob:)"
)
OUTSIDE = re.compile(rf"^(?!{INSIDE.pattern[1:]})")

# What the client itself says until the app's first view is there: not a screen of the app.
STARTING = ("Working...", "Waiting for Farend to answer")

SCROLLERS = """() => [...document.querySelectorAll("flt-semantics")]
  .filter((el) => el.style.overflowY === "scroll")
  .map((el) => el.getBoundingClientRect())
  .map((r) => [r.left, r.top, r.width, r.height])"""


# Flutter draws, and mends its tree of names, in the first of these.
FRAMES = """() => new Promise((done) => {
  let left = 4;
  const next = () => left-- ? requestAnimationFrame(next) : done();
  next();
})"""


def chromium_path() -> str | None:
    """The Chromium to drive: $FAREND_CHROMIUM if set, else `chromium` on the path; or none."""
    return shutil.which(os.environ.get("FAREND_CHROMIUM") or "chromium")


class Phone:
    """One window, the size of a phone. Make it with `phone(...)`."""

    def __init__(self, context: BrowserContext) -> None:
        self.context = context
        self.requests: list[str] = []
        self.outside_requests: list[str] = []
        self.console_errors: list[str] = []
        self.taps = 0
        self.first_screen_seconds = 0.0
        context.on("request", lambda request: self._note(request.url))
        context.on("console", lambda message: self._console(message.type, message.text))
        context.on("weberror", lambda problem: self.console_errors.append(str(problem.error)))
        context.route(OUTSIDE, lambda route: route.abort())
        self.page: Page = context.pages[0] if context.pages else context.new_page()
        self.page.on("websocket", lambda ws: self._note(ws.url))

    def _note(self, url: str) -> None:
        self.requests.append(url)
        if not INSIDE.match(url):
            self.outside_requests.append(url)

    def _console(self, kind: str, text: str) -> None:
        if kind == "error":
            self.console_errors.append(text)
        if "Content Security Policy" in text:
            # The page's own policy stopped it before it became a request: still an attempt.
            tried = [url for url in ADDRESS.findall(text) if not INSIDE.match(url)]
            self.outside_requests.extend(tried)

    # --- going places ---------------------------------------------------------------------

    def open(self, url: str, *, timeout: float = 60) -> None:
        """Load `url` and return when the first named thing is on the screen."""
        began = time.monotonic()
        self.page.goto(url, wait_until="commit")
        self._wake(began, timeout)

    def reload(self, *, timeout: float = 60) -> None:
        began = time.monotonic()
        self.page.reload(wait_until="commit")
        self._wake(began, timeout)

    def _wake(self, began: float, timeout: float) -> None:
        """Ask Flutter for its semantics tree, as a screen reader's user does."""

        def asked() -> bool:
            return self.page.evaluate(
                "() => { const p = document.querySelector('flt-semantics-placeholder');"
                " if (p) p.click(); return !!p || !!document.querySelector('flt-semantics'); }"
            )

        self.wait_until(asked, timeout, "Flutter to start")
        self.wait_until(self._shown, timeout, "anything with a name")
        self.first_screen_seconds = time.monotonic() - began

    def _shown(self) -> bool:
        """Whether the app shows something, and the client no longer says that it waits."""
        names = {node.name for node in self.nodes()}
        return bool(names) and names.isdisjoint(STARTING)

    def go(self, route: str) -> None:
        """Change the route in the address bar, as a deep link in an open tab does."""
        self.page.evaluate("(route) => { location.hash = route; }", route)

    def back(self) -> None:
        """The browser's back button."""
        self.page.evaluate("() => history.back()")

    @property
    def route(self) -> str:
        """The app's place according to the address bar, such as /j/ID/now."""
        return self.page.evaluate("() => decodeURI(location.hash.slice(1)) || '/'")

    def wait_route(self, route: str, *, timeout: float = 10) -> None:
        self.wait_until(lambda: self.route == route, timeout, f"the place {route}")

    # --- reading --------------------------------------------------------------------------

    def nodes(self, *, hidden: bool = False) -> list[Node]:
        """Everything with an accessible name, in reading order; `hidden` adds what is scrolled
        away but still known to the tree."""
        nodes = [
            Node(
                name=raw["name"],
                role=raw["role"],
                box=Box(*raw["whole"]),
                seen=Box(*raw["seen"]),
                tappable=raw["tappable"],
                enabled=raw["enabled"],
                checked=raw["checked"],
                value=raw["value"],
            )
            for raw in json.loads(self.page.evaluate(READ_SEMANTICS))
        ]
        return [node for node in nodes if hidden or node.visible]

    def names(self) -> list[tuple[str, str]]:
        """(name on one line, role) of everything visible."""
        return [(node.line, node.role) for node in self.nodes()]

    def texts(self) -> str:
        """Every visible name, one a line: for messages and for looking at."""
        return "\n".join(f"{role}: {name}" for name, role in self.names())

    def has(self, text: str) -> bool:
        """Whether a visible name contains `text`."""
        return any(one_line(text) in name for name, _ in self.names())

    def find(self, name: str, *, exact: bool = False, role: str | None = None) -> Node:
        """The one visible thing called `name`; AssertionError when there are none or several.

        A thing that can be tapped wins over a text of the same name.
        """
        found = self._called(name, exact, role)
        assert found, f"nothing is called {name!r}; there is:\n{self.texts()}"
        assert len(found) == 1, f"{len(found)} things are called {name!r}: {found}"
        return found[0]

    def _called(self, name: str, exact: bool, role: str | None) -> list[Node]:
        nodes = [node for node in self.nodes() if role is None or node.role == role]
        found = best(nodes, name, exact=exact)
        return [node for node in found if node.tappable] or found

    def box(self, name: str, *, exact: bool = False, role: str | None = None) -> Box:
        """Where `name` is, whole, in CSS pixels."""
        return self.find(name, exact=exact, role=role).box

    # --- waiting --------------------------------------------------------------------------

    def pause(self, milliseconds: float) -> None:
        """Wait, with the browser's events coming in (time.sleep would keep them out)."""
        self.page.wait_for_timeout(milliseconds)

    def frames(self) -> None:
        """Wait until what was just done to the page has been drawn."""
        self.page.evaluate(FRAMES)

    def still(self) -> list[Node]:
        """Everything with a name, also what is scrolled away, once it no longer moves: a busy
        machine gives the same twice in the middle of a movement, so it is looked at thrice."""
        before: list[Node] = []
        alike = 0
        for _ in range(40):
            self.frames()
            now = self.nodes(hidden=True)
            alike = alike + 1 if now and now == before else 0
            if alike == 2:
                break
            if alike:
                self.pause(60)
            before = now
        return before

    def wait_until(self, true: Callable[[], object], timeout: float, what: str) -> None:
        """Poll `true` until it holds; AssertionError after `timeout` seconds, or several times
        that: nobody waits longer because of it than the machine is slow."""
        timeout *= PATIENCE
        end = time.monotonic() + timeout
        while True:
            try:
                if true():
                    return
            except BrowserError as problem:  # the page is just being exchanged
                if "context was destroyed" not in str(problem):
                    raise
            assert time.monotonic() < end, f"waited {timeout} s for {what}; {self._state()}"
            self.pause(80)  # each look costs the browser time too

    def _state(self) -> str:
        try:
            return f"there is:\n{self.texts()}\nconsole: {self.console_errors[-5:]}"
        except BrowserError as problem:
            return f"the page does not answer: {problem}"

    def wait_for(self, text: str, *, timeout: float = 10) -> None:
        self.wait_until(lambda: self.has(text), timeout, repr(text))

    def wait_gone(self, text: str, *, timeout: float = 10) -> None:
        def gone() -> bool:
            # a screen that is being drawn anew has no names for a moment
            names = self.names()
            return bool(names) and not any(one_line(text) in name for name, _ in names)

        self.wait_until(gone, timeout, f"{text!r} to go")

    # --- doing ----------------------------------------------------------------------------

    def tap(
        self, name: str, *, exact: bool = False, role: str | None = None, timeout: float = 10
    ) -> Node:
        """Tap the thing called `name` with a finger, scrolling to it if need be; returns it."""
        self.scroll_to(name, exact=exact, role=role, timeout=timeout)
        self.frames()  # what the last press did has come
        found: list[Node] = []

        def there() -> bool:
            # a screen that is being drawn anew has no names for a moment, and a list that was
            # turned still moves: two looks have to see the same
            before = list(found)
            found[:] = self._called(name, exact, role)
            return bool(found) and found == before

        self.wait_until(there, timeout, repr(name))
        assert len(found) == 1, f"{len(found)} things are called {name!r}: {found}"
        node = found[0]
        assert node.enabled, f"{name!r} cannot be tapped: it is disabled"
        self.tap_at(*node.seen.centre)
        return node

    def tap_at(self, x: float, y: float) -> None:
        self.taps += 1
        self.page.touchscreen.tap(x, y)

    def take_photo(self, name: str, data: bytes, *, exact: bool = False) -> None:
        """Tap what opens the camera, and let it bring this picture."""
        with self.page.expect_file_chooser() as chosen:
            self.tap(name, exact=exact, role="button")
        chosen.value.set_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": data})

    def scroll_to(
        self, name: str, *, exact: bool = False, role: str | None = None, timeout: float = 10
    ) -> None:
        """Bring `name` onto the screen: wait for it, turn to where it is known to be, or look
        for it by turning each list down, then up."""

        def known() -> list[Node]:
            nodes = [one for one in self.nodes(hidden=True) if role is None or one.role == role]
            return best(nodes, name, exact=exact)

        def shown() -> bool:
            nodes = [node for node in self.nodes() if role is None or node.role == role]
            return any(_mostly_seen(node) for node in best(nodes, name, exact=exact))

        if shown():
            return
        end = time.monotonic() + timeout * PATIENCE
        soon = time.monotonic() + min(1.5, timeout)
        while not known() and time.monotonic() < soon:
            self.pause(50)
        while not shown():
            if there := known():
                middle = self.page.evaluate("() => innerHeight / 2")
                self._wheel(there[0].box.centre[1] - middle)
                if shown():
                    return
            turned = False
            for by in (400, -400):
                turned = turned or self._turn(by, shown)
            if turned:
                return
            assert time.monotonic() < end, f"nothing is called {name!r}; {self._state()}"
            self.pause(50)

    def whole_nodes(self) -> list[Node]:
        """Every named thing of the screen in its whole size, also what is scrolled away.

        The tree cuts only what lies across an end of a list. So the screen is read again with
        its lists turned a little, and the largest of all sizes is taken; what comes in sight
        only at the last turn may be cut, and is left out.
        """
        found: dict[tuple[str, str, int], Node] = {}
        for turn, by in enumerate((0, 130, 130, 130)):
            met: Counter[tuple[str, str]] = Counter()
            for node in self._wheel(by):
                met[node.name, node.role] += 1
                key = (node.name, node.role, met[node.name, node.role])
                if (turn < 3 and key not in found) or (
                    key in found and found[key].box.height < node.box.height
                ):
                    found[key] = node
        return list(found.values())

    def _wheel(self, by: float) -> list[Node]:
        """Turn what lies in the middle; what is there afterwards, scrolled away or not."""
        width, height = self.page.evaluate("() => [innerWidth, innerHeight]")
        self.page.mouse.move(width / 2, height / 2)
        self.page.mouse.wheel(0, by)
        return self.still()

    def _turn(self, by: float, shown: Callable[[], bool]) -> bool:
        """Turn every scrolling part by `by` pixels a time to its end; whether `shown` came."""
        for raw in self.page.evaluate(SCROLLERS):
            self.page.mouse.move(*Box(*raw).centre)
            before: list[Node] = []
            for _ in range(60):
                now = self.still()
                if now == before:
                    break
                before = now
                self.page.mouse.wheel(0, by)
                self.frames()
                if shown():
                    return True
        return False

    @property
    def focused(self) -> str:
        """The name, on one line, of what has the keyboard."""
        said = "() => document.activeElement?.ariaLabel || document.activeElement?.innerText || ''"
        return one_line(self.page.evaluate(said))

    def wait_keyboard(self, name: str) -> None:
        """Wait until keys go into the field called `name`: it is there a while before, and what
        comes in between goes nowhere."""
        self.wait_until(lambda: self.focused == one_line(name), 10, f"the keyboard in {name!r}")

    def type_into(self, name: str, text: str) -> None:
        """Tap the field called `name`, replace what is in it by `text`."""
        self.tap(name, role="textbox")
        self.wait_keyboard(name)
        self.frames()
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text, delay=25)

    def press(self, *keys: str) -> None:
        """Press keys of the keyboard, such as 'Tab', 'Enter', '4'."""
        for key in keys:
            self.page.keyboard.press(key)

    def screenshot(self, path: Path | str) -> None:
        self.pause(100)
        self.page.screenshot(path=str(path))


def _mostly_seen(node: Node) -> bool:
    """Whether a finger would find it: half of it, or 40 pixels, are on the screen."""
    return node.seen.height >= min(40, node.box.height / 2)


@contextmanager
def phone(
    playwright: Playwright,
    executable: str,
    *,
    size: tuple[int, int] = (390, 844),
    scale: float = 1,
    colour: str = "light",
    profile: Path | None = None,
    moves: bool = False,
):
    """A `Phone` with a fresh profile, or with the one kept in the folder `profile`.

    `colour` is light or dark, `scale` the device pixels per CSS pixel. Unless it `moves`, the
    phone was asked for less motion: each press then costs the few pictures that it needs.
    """
    look = {
        "viewport": {"width": size[0], "height": size[1]},
        "device_scale_factor": scale,
        "color_scheme": colour,
        "has_touch": True,
        "reduced_motion": "no-preference" if moves else "reduce",
    }
    start = {"executable_path": executable, "args": list(FLAGS), "headless": True}
    if profile is not None:
        context = playwright.chromium.launch_persistent_context(str(profile), **start, **look)
        try:
            yield Phone(context)
        finally:
            context.close()
        return
    browser = playwright.chromium.launch(**start)
    try:
        yield Phone(browser.new_context(**look))
    finally:
        browser.close()
