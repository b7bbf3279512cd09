"""The app as a phone installs it: built once a run, served by its own server, opened in a browser
whose profile outlives it, that can be ended like a battery that dies."""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from app_process import App, start_app
from browser import phone

from fieldapp.phone.bundle import app, bundle, write

if TYPE_CHECKING:
    from browser import Phone
    from playwright.sync_api import Playwright

ROOT = Path(__file__).parent.parent
PATIENT = 300
"""a build takes seconds; a machine that takes minutes is broken [s]"""
ACTIVE = "async () => (await navigator.serviceWorker.getRegistration())?.active?.state"


def built(folder: Path) -> Path:
    """The bundle, made once by whichever worker of the test run comes first; or the one in the
    folder that ``FAREND_PAGE`` names."""
    if ready := os.environ.get("FAREND_PAGE"):
        return Path(ready)
    done, out = folder / "page-is-built", folder / "page"
    try:
        os.close(os.open(folder / "page-is-being-built", os.O_CREAT | os.O_EXCL))
    except FileExistsError:
        end = time.monotonic() + PATIENT
        while not done.exists():
            assert time.monotonic() < end, "another worker did not build the page"
            time.sleep(0.2)
        return out
    write(bundle(app()), out)
    done.touch()
    return out


class Pocket:
    """A phone's browser with one profile: opened, closed, killed, opened again."""

    def __init__(self, playwright: Playwright, executable: str, profile: Path) -> None:
        self._playwright, self._executable = playwright, executable
        self.profile = profile
        self._open = ExitStack()

    def open(self, url: str = "", *, timeout: float = 60, **look: object) -> Phone:
        """Start the browser; with a ``url`` open it there. The profile is as it was left."""
        hand = self._open.enter_context(
            phone(self._playwright, self._executable, profile=self.profile, **look)
        )
        if url:
            hand.open(url, timeout=timeout)
        return hand

    def close(self) -> None:
        """As a person closes it."""
        self._open.close()

    def kill(self) -> None:
        """End every process of the browser at once; nothing is saved, nothing is closed."""
        for number in _processes(self.profile):
            with suppress(ProcessLookupError):
                os.kill(number, signal.SIGKILL)
        with suppress(Exception):  # it is not there any more to be closed
            self._open.close()
        self._open = ExitStack()
        for lock in self.profile.glob("Singleton*"):
            lock.unlink(missing_ok=True)


def _processes(profile: Path) -> list[int]:
    wanted = f"--user-data-dir={profile}".encode()
    found = []
    for entry in Path("/proc").glob("[0-9]*/cmdline"):
        with suppress(OSError):
            if wanted in entry.read_bytes():
                found.append(int(entry.parent.name))
    return found


@contextmanager
def pocket(playwright: Playwright, executable: str, profile: Path) -> Iterator[Pocket]:
    """One `Pocket`, closed at the end."""
    one = Pocket(playwright, executable, profile)
    try:
        yield one
    finally:
        with suppress(Exception):
            one.close()


class Host:
    """A host in a process of its own, that can be killed, started again and given other files,
    always at one address."""

    def __init__(self, folder: Path) -> None:
        self._port, self.folder = 0, folder
        self._app: App | None = None
        self.on(folder)
        self.url = self._app.url
        self._port = int(self.url.rstrip("/").rpartition(":")[2])

    def on(self, folder: Path | None = None) -> None:
        """There, with these files."""
        self.off()
        self.folder = folder or self.folder
        self._app = start_app(
            [
                *(sys.executable, "-m", "fieldapp", "serve", str(self.folder)),
                *("--port", str(self._port)),
            ],
            {"PYTHONPATH": str(ROOT)},
        )

    def off(self) -> None:
        """Gone, and every connection with it: a server that is only closed goes on answering on
        those that are open."""
        if self._app is not None:
            self._app.kill9()
        self._app = None


@contextmanager
def host(folder: Path) -> Iterator[Host]:
    """One `Host`, off at the end."""
    one = Host(folder)
    try:
        yield one
    finally:
        one.off()


def works_without_signal(hand: Phone) -> None:
    """Wait until everything is kept for it."""
    hand.wait_until(lambda: hand.page.evaluate(ACTIVE) == "activated", 30, "the service worker")


def pick(hand: Phone, name: str, file: str, data: bytes) -> None:
    """Tap what opens a file, and let it bring this one."""
    with hand.page.expect_file_chooser() as chosen:
        hand.tap(name, role="button")
    chosen.value.set_files({"name": file, "mimeType": "application/json", "buffer": data})


Opens = Callable[..., "Phone"]

JOURNALS = """async () => {
  const root = await (await navigator.storage.getDirectory()).getDirectoryHandle("farend");
  const found = {};
  for await (const [name, handle] of (await root.getDirectoryHandle("jobs")).entries()) {
    if (handle.kind === "file") found[name] = await (await handle.getFile()).text();
  }
  return found;
}"""


def records(hand: Phone, job: str) -> tuple[dict, ...]:
    """The plan and the entries in the journal of a job, read past the app from the browser's own
    files."""
    from fieldapp.store.journal import decode, head_of

    there = hand.page.evaluate(JOURNALS)
    texts = [
        text
        for name, text in there.items()
        if name.partition(".")[0] == job and name.endswith(".journal")
    ]
    assert len(texts) == 1, sorted(there)
    decoded = decode(texts[0].encode())
    return head_of(decoded, job).plan, *decoded.records[1:]
