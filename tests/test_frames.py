"""A frame larger than any file that is read ends its own connection, and nothing else."""

from __future__ import annotations

import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from fieldapp.exchange.limits import LIMITS
from fieldapp.webserver import ROUND_A_FILE

if TYPE_CHECKING:
    from app_process import App

ROOT = Path(__file__).parent.parent
SAMPLE = ROOT / "sample_jobs" / "reedbed-hide.json"
MOST = LIMITS.zip_bytes + ROUND_A_FILE
PING, PONG, CLOSE = 0x89, 0x8A, 0x88
TOO_LARGE = 1009
"""RFC 6455, 7.4.1: a message too big to process"""
PLAIN = bytes(4)
"""a mask that alters nothing"""


@pytest.fixture
def serve(tmp_path: Path) -> Iterator[Callable[..., App]]:
    """Starts the app on a data folder of this test; ends it with the test."""
    from app_process import start_app

    apps = []

    def start(*files: Path, program: tuple[str, ...] = ("-m", "fieldapp")) -> App:
        args = ["--no-browser", "--port", "0", "--data", str(tmp_path), *map(str, files)]
        environment = {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
        apps.append(start_app([sys.executable, *program, *args], environment))
        return apps[-1]

    yield start
    for app in apps:
        app.kill9()


def connected(url: str) -> socket.socket:
    """A connection to the app's socket, as a page has one."""
    address = urlsplit(url)
    sock = socket.create_connection((address.hostname, address.port), timeout=10)
    lines = (
        "GET /ws HTTP/1.1",
        f"Host: {address.netloc}",
        f"Origin: {url}",
        "Connection: Upgrade",
        "Upgrade: websocket",
        "Sec-WebSocket-Version: 13",
        "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==",
        "",
        "",
    )
    sock.sendall("\r\n".join(lines).encode())
    answer = b""
    while not answer.endswith(b"\r\n\r\n"):
        answer += sock.recv(1)
    assert answer.startswith(b"HTTP/1.1 101 "), answer
    return sock


def began(size: int) -> bytes:
    """The beginning of a frame of so many bytes."""
    return bytes([0x82, 0x80 | 127]) + size.to_bytes(8, "big") + PLAIN


def heard(sock: socket.socket) -> tuple[int, bytes]:
    """The next short frame that the server sends: its first byte and what is in it."""
    head = sock.recv(2, socket.MSG_WAITALL)
    return head[0], sock.recv(head[1], socket.MSG_WAITALL)


def is_answered(sock: socket.socket) -> bool:
    """Whether the other end is there and listens."""
    sock.sendall(bytes([PING, 0x80 | 4]) + PLAIN + b"here")
    return heard(sock) == (PONG, b"here")


def test_a_frame_too_large_ends_its_own_connection_alone(serve) -> None:
    app = serve()
    with closing(connected(app.url)) as other, closing(connected(app.url)) as sock:
        assert is_answered(other) and is_answered(sock)
        sock.sendall(began(MOST + 1))
        kind, said = heard(sock)
        assert (kind, int.from_bytes(said[:2], "big")) == (CLOSE, TOO_LARGE)
        assert is_answered(other)
        with closing(connected(app.url)) as later:
            assert is_answered(later)
    assert app.process.poll() is None


def test_the_largest_frame_is_waited_for(serve) -> None:
    """One of a file as large as may be is not refused; one that never comes whole harms nobody."""
    app = serve()
    with closing(connected(app.url)) as sock:
        sock.sendall(began(MOST) + bytes(100_000))
        sock.settimeout(0.5)
        with pytest.raises(TimeoutError):
            heard(sock)
        with closing(connected(app.url)) as other:
            assert is_answered(other)
    with closing(connected(app.url)) as other:
        assert is_answered(other)


FEW = 1_000_000
LESS = f"""
import sys
from dataclasses import replace
from fieldapp import webserver
from fieldapp.__main__ import main
webserver.LIMITS = replace(webserver.LIMITS, zip_bytes={FEW})
sys.exit(main(sys.argv[1:]))
"""
"""the app that takes files of a megabyte: what drives the browser holds every frame several times"""
SPIED = """(() => {
  const Real = window.WebSocket;
  window.sockets = [];
  window.codes = [];
  window.WebSocket = class extends Real {
    constructor(...how) {
      super(...how);
      window.sockets.push(this);
      this.addEventListener("close", (event) => window.codes.push(event.code));
    }
  };
})()"""
"""the page's sockets at hand, and why they were closed"""


@pytest.mark.slow
@pytest.mark.browser
def test_what_is_typed_stays_when_a_frame_was_too_large(serve, new_phone) -> None:
    """The page comes back by itself, with the digits, and goes on typing."""
    from app_presses import pad_opens, type_figure
    from real_app import JOB

    from fieldapp import words

    app = serve(SAMPLE, program=("-c", LESS))
    hand = new_phone()
    hand.page.add_init_script(SPIED)
    hand.open(f"{app.url}/#/j/{JOB}/read/S.out/volts")
    pad_opens(hand)
    type_figure(hand, "53.")

    hand.page.evaluate(
        "(size) => window.sockets.at(-1).send(new Uint8Array(size))", FEW + ROUND_A_FILE + 1
    )
    hand.wait_until(lambda: hand.page.evaluate("window.codes.length"), 30, "an end of it")
    assert hand.page.evaluate("window.codes") == [TOO_LARGE]
    hand.wait_until(
        lambda: hand.page.evaluate("window.sockets.at(-1).readyState == 1"), 30, "the page back"
    )

    hand.wait_for(words.typed_with_unit("53.", "volts"), timeout=30)
    hand.tap("4", exact=True)
    hand.wait_for(words.typed_with_unit("53.4", "volts"))
    assert app.process.poll() is None
    assert hand.outside_requests == []
