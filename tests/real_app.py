"""The app as a real process, what its journal holds, and a phone on it that a battery can leave."""

from __future__ import annotations

import json
import re
import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from random import randrange
from typing import TYPE_CHECKING

import pytest

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import Decoded, decode, head_of

if TYPE_CHECKING:
    from app_process import App
    from browser import Phone

ROOT = Path(__file__).parent.parent
SAMPLE = ROOT / "sample_jobs" / "reedbed-hide.json"
JOB = "REEDBED-HIDE"
FIXED = words.FIXED
ENVIRONMENT = {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}


PAGE_LEFT = re.compile(
    r"^[^\n]*Receive loop error: WebSocket is not connected.*?WebSocketDisconnected: [^\n]*"
    r"|^Task exception was never retrieved\nfuture: [^\n]*__updates_scheduler[^\n]*'put_nowait'"
    r".*?^AttributeError: [^\n]*'put_nowait'$",
    re.DOTALL | re.MULTILINE,
)
"""what Flet's own server prints when a page goes while it is being listened to, or drawn anew:
`App.send` begins the drawing again"""


def spoken(marked: str) -> str:
    """A sentence without its marks of stress."""
    return marked.replace("**", "")


def free_port() -> int:
    """A port that nobody listens on now, of those that the system hands out to nobody else in
    the meantime: an app that starts again has to find its own free."""
    while True:
        port = randrange(20000, 30000)
        with closing(socket.socket()) as one, suppress(OSError):
            one.bind(("127.0.0.1", port))
            return port


@pytest.fixture
def serve(tmp_path: Path) -> Iterator[Callable[..., App]]:
    """Starts `python -m fieldapp` on a data folder of this test; ends it with the test."""
    from app_process import start_app

    apps = []

    def start(*files: Path, port: int = 0) -> App:
        data = ["--data", str(tmp_path / "data")]
        args = ["--no-browser", "--port", str(port), *data, *map(str, files)]
        apps.append(start_app([sys.executable, "-m", "fieldapp", *args], ENVIRONMENT))
        return apps[-1]

    yield start
    for app in apps:
        app.kill9()
        output = PAGE_LEFT.sub("", app.output)
        assert "Traceback" not in output, output


def kept(data: Path, job: str = JOB) -> Decoded:
    """What the journal holds on the disk now."""
    return decode(read_journal(data, job))


Held = Callable[[], Decoded]
"""what the journal of one job holds, asked anew"""


def judged(decoded: Decoded) -> Judgement:
    """The engine's own judgement of a journal."""
    plan = head_of(decoded, JOB).plan
    return judge(read_job({**plan, "log": list(decoded.records[1:])}))


def nothing_went_wrong(hand: Phone) -> None:
    assert hand.outside_requests == []
    assert hand.console_errors == []


@pytest.fixture
def on_site(serve, new_phone, tmp_path: Path):
    """Opens a job, as a document, on a phone: the phone, what its journal holds, and again after
    the battery died."""
    port, started = free_port(), []

    def begin(doc: dict | None = None) -> tuple[Phone, Callable[[], Decoded]]:
        files = () if doc is None else (written(tmp_path / "job.json", doc),)
        for app, hand in started:
            app.kill9()
            hand.page.close()
        app, hand = serve(*files, port=port), new_phone()
        hand.open(app.url)
        started[:] = [(app, hand)]
        return hand, lambda: kept(tmp_path / "data")

    yield begin
    nothing_went_wrong(started[-1][1])


def written(path: Path, doc: dict) -> Path:
    """A job as a file."""
    path.write_text(json.dumps(doc), encoding="utf-8")
    return path
