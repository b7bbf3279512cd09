"""The app as a process of its own, which can be killed like a battery that dies."""

from __future__ import annotations

import os
import re
import subprocess
import threading
import time
from collections.abc import Mapping, Sequence

ADDRESS = re.compile(r"(?:https?|wss?)://[^\s'\"]*[^\s'\".,]")

PATIENCE = 4
"""how many times the seconds that a wait is given it may take: the machine may be busy"""


class App:
    """The app as a process of its own, with the address it printed."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self.lines: list[str] = []
        self._address = threading.Event()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        self.url = ""

    def _read(self) -> None:
        # Goes on to the end: a full pipe would stop the app.
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.lines.append(line.rstrip("\n"))
            if not self._address.is_set() and (match := ADDRESS.search(line)):
                self.url = match[0]
                self._address.set()
        self._address.set()

    def wait_address(self, timeout: float) -> None:
        self._address.wait(timeout)
        if not self.url:
            self.kill9()
            raise AssertionError("no address was printed:\n" + "\n".join(self.lines))

    def wait_output(self, text: str, timeout: float = 10) -> None:
        """Wait until it has printed `text`: what it does is seen before its words have come."""
        end = time.monotonic() + timeout * PATIENCE
        while text not in self.output:
            assert time.monotonic() < end, f"{text!r} was not printed:\n{self.output}"
            time.sleep(0.05)

    def kill9(self) -> None:
        """End it like a dead battery: nothing is saved, nothing is closed."""
        self.process.kill()
        self._end()

    def stop(self, *, timeout: float = 15) -> int:
        """Ask it to stop; its exit code. Kills it, and fails, if it does not."""
        self.process.terminate()
        try:
            self.process.wait(timeout)
        except subprocess.TimeoutExpired:
            self.kill9()
            raise AssertionError(f"still running after {timeout} s:\n{self.output}") from None
        self._end()
        return self.process.returncode

    def _end(self) -> None:
        self.process.wait()
        self._reader.join(5)
        if self.process.stdout is not None and not self._reader.is_alive():
            self.process.stdout.close()

    @property
    def output(self) -> str:
        """All it printed, errors included."""
        return "\n".join(self.lines)


def start_app(
    args: Sequence[str], env: Mapping[str, str] | None = None, *, timeout: float = 60
) -> App:
    """Run `args`, read the address it prints on one line, return the running App.

    `env` is added to this process's environment. AssertionError, with all it printed, when it
    ends or `timeout` seconds pass without an address.
    """
    process = subprocess.Popen(
        list(args),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONUNBUFFERED": "1", **(env or {})},
    )
    app = App(process)
    app.wait_address(timeout)
    return app
