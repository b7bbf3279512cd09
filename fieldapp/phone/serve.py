"""``farend serve``: a bundle on this machine's own loopback, to try it or to hand it over a cable.

Standard library only. One caching rule for every file: ask again each time, and answer 304
where nothing changed. A bundle's files keep their names from version to version, so nobody
could tell an old one from a new one by its address: a browser that believed its own copy of one
would hand the service worker bytes of another version, their hash would not fit, and the update
would be refused for as long as that copy lasted. Nothing is lost by asking: once it is installed
the page starts from the service worker's own cache and asks for nothing but ``sw.js``.
"""

from __future__ import annotations

import argparse
import contextlib
import errno
import gzip
import hashlib
import signal
import socketserver
import sys
import threading
from collections.abc import Iterator, Mapping
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from queue import SimpleQueue
from types import MappingProxyType
from typing import Any, NamedTuple
from urllib.parse import unquote, urlsplit

from fieldapp.phone.policy import POLICY

LOOPBACK = "127.0.0.1"
NAME = "localhost"
PORT = 8765
"""data belong to an origin *and its port*, so it is always the same one unless asked (ours)"""
NAMES = frozenset({LOOPBACK, NAME})
"""any other name that leads here was made to, by a page that wants to read ours"""
NEEDED = ("index.html", "sw.js")
"""a folder without these is no bundle"""
IDLE = 30.0
"""a connection on which nothing is asked is closed after this time, ours [s]"""

HEADERS = (
    ("Content-Security-Policy", POLICY),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cache-Control", "no-cache"),
)

TYPES: Mapping[str, str] = MappingProxyType(
    {
        ".html": "text/html; charset=utf-8",
        ".js": "text/javascript; charset=utf-8",
        ".mjs": "text/javascript; charset=utf-8",
        ".css": "text/css; charset=utf-8",
        ".txt": "text/plain; charset=utf-8",
        ".json": "application/json",
        ".webmanifest": "application/manifest+json",
        ".wasm": "application/wasm",
        ".svg": "image/svg+xml",
        ".png": "image/png",
        ".woff2": "font/woff2",
        ".ttf": "font/ttf",
        ".otf": "font/otf",
        ".zip": "application/zip",
    }
)
"""not taken from the system: there other programs change them"""
UNKNOWN = "application/octet-stream"
SHRINKS = frozenset(TYPES) - {".png", ".woff2", ".zip"}
"""what is worth compressing; the rest is compressed already"""


class Body(NamedTuple):
    """One file as it is sent: its bytes, how they are encoded, and a tag that names both."""

    data: bytes
    encoding: str
    tag: str


class Bundle:
    """The files of one folder, read and compressed once for as long as they stay the same."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder.resolve()
        self._kept: dict[Path, tuple[tuple[int, int], dict[str, Body]]] = {}

    def find(self, address: str) -> Path | None:
        """The file that an address means; None where there is none inside the folder."""
        name = unquote(urlsplit(address).path, errors="replace")
        if not name.startswith("/") or "\0" in name or "\\" in name:
            return None
        parts = (name[1:] or "index.html").split("/")
        if any(part in ("", ".", "..") or ":" in part for part in parts):
            return None
        try:
            path = self._folder.joinpath(*parts).resolve()  # a link may lead outside
            return path if path.is_relative_to(self._folder) and path.is_file() else None
        except OSError:
            return None

    def body(self, path: Path, takes_gzip: bool) -> Body:
        """A file's bytes, compressed where it is worth it and asked for. Raises OSError."""
        seen = path.stat()
        stamp = (seen.st_mtime_ns, seen.st_size)
        kept, bodies = self._kept.get(path, (None, {}))
        if kept != stamp:
            # Two requests at once may both do this; what either keeps is right.
            bodies = {}
            self._kept[path] = (stamp, bodies)
        encoding = "gzip" if takes_gzip and path.suffix in SHRINKS else ""
        if encoding not in bodies:
            plain = bodies.get("") or _plain(path)
            bodies[""] = plain
            if encoding:
                data = gzip.compress(plain.data, compresslevel=6, mtime=0)
                bodies[encoding] = Body(data, encoding, plain.tag[:-1] + '-gz"')
        return bodies[encoding]


def _plain(path: Path) -> Body:
    data = path.read_bytes()
    return Body(data, "", f'"{hashlib.sha256(data).hexdigest()[:32]}"')


def takes_gzip(header: str) -> bool:
    """Whether an ``Accept-Encoding`` takes gzip (RFC 9110, 12.5.3)."""
    for one in header.lower().split(","):
        name, _, weight = one.partition(";")
        if name.strip() in ("gzip", "*"):
            return weight.replace(" ", "") not in ("q=0", "q=0.0", "q=0.00", "q=0.000")
    return False


def names_us(host: str) -> bool:
    """Whether a ``Host`` is one of our own names. The port may be that of the phone's end."""
    name, _, port = host.lower().partition(":")
    return name in NAMES and (port.isdecimal() or not port)


class _Asked(BaseHTTPRequestHandler):
    """One connection."""

    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True  # head and body are two writes, and the second would wait
    timeout = IDLE
    server: _Server

    def do_GET(self) -> None:
        self._answer()

    def do_HEAD(self) -> None:
        self._answer()

    def _answer(self) -> None:
        if not names_us(self.headers.get("Host", "")):
            self.send_error(HTTPStatus.MISDIRECTED_REQUEST)
            return
        path = self.server.bundle.find(self.path)
        if path is None:
            self.send_error(HTTPStatus.NOT_FOUND)
            return
        try:
            body = self.server.bundle.body(
                path, takes_gzip(self.headers.get("Accept-Encoding", ""))
            )
        except OSError:
            self.send_error(HTTPStatus.NOT_FOUND)
            return
        known = self.headers.get("If-None-Match", "")
        if body.tag in (tag.strip().removeprefix("W/") for tag in known.split(",")):
            self.send_response(HTTPStatus.NOT_MODIFIED)
            self._tell(path, body)
            self.end_headers()
            return
        self.send_response(HTTPStatus.OK)
        self._tell(path, body)
        self.send_header("Content-Type", TYPES.get(path.suffix, UNKNOWN))
        self.send_header("Content-Length", str(len(body.data)))
        if body.encoding:
            self.send_header("Content-Encoding", body.encoding)
        self.end_headers()
        self._write(body.data)

    def _tell(self, path: Path, body: Body) -> None:
        """What an answer with a file and one without it have in common."""
        self.send_header("ETag", body.tag)
        if path.suffix in SHRINKS:
            self.send_header("Vary", "Accept-Encoding")

    def _write(self, data: bytes) -> None:
        if self.command != "HEAD":
            with contextlib.suppress(ConnectionError):  # a page that was closed reads no further
                self.wfile.write(data)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """A short text instead of the library's page, and the connection ends."""
        text = f"{HTTPStatus(code).phrase}\n".encode()
        self.send_response(code)
        self.send_header("Content-Type", TYPES[".txt"])
        self.send_header("Content-Length", str(len(text)))
        self.send_header("Connection", "close")
        self.end_headers()
        self._write(text)

    def end_headers(self) -> None:
        """Ours go with every answer."""
        for name, value in HEADERS:
            self.send_header(name, value)
        super().end_headers()

    def version_string(self) -> str:
        return "farend"

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - its name there
        """Nothing: the terminal shows the address."""


class _Server(ThreadingHTTPServer):
    """Holds the bundle for its connections."""

    daemon_threads = True
    request_queue_size = 64
    # There two programs could otherwise have one port.
    allow_reuse_address = sys.platform != "win32"

    def __init__(self, bundle: Bundle, port: int) -> None:
        self.bundle = bundle
        super().__init__((LOOPBACK, port), _Asked)

    def server_bind(self) -> None:
        """Without asking what this machine is called, which takes seconds on some."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = NAME, self.server_address[1]

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A connection that broke is the browser's affair; anything else is shown."""
        if not isinstance(sys.exc_info()[1], ConnectionError | TimeoutError):
            super().handle_error(request, client_address)


@contextlib.contextmanager
def serving(folder: Path, port: int = PORT) -> Iterator[str]:
    """Serve a folder while the block runs; gives its address, ``http://localhost:PORT/``.

    ``port`` 0 takes a free one. Raises OSError where the port is not to be had.
    """
    with _Server(Bundle(folder), port) as server:
        running = threading.Thread(target=server.serve_forever, args=(0.1,), daemon=True)
        running.start()
        try:
            yield f"http://{NAME}:{server.server_port}/"
        finally:
            server.shutdown()
            running.join()


def lacking(folder: Path) -> str:
    """What keeps a folder from being served, as a sentence; empty where nothing does."""
    if not folder.is_dir():
        return f"{folder}: there is no such folder."
    missing = [name for name in NEEDED if not (folder / name).is_file()]
    if missing:
        return f"{folder} is no bundle: {' and '.join(missing)} not in it. farend bundle makes one."
    return ""


def _port(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and int(text) <= 65535):
        raise argparse.ArgumentTypeError(f"{text} is no port: 0 to 65535")
    return int(text)


def parser() -> argparse.ArgumentParser:
    """The grammar of ``farend serve``."""
    top = argparse.ArgumentParser(
        prog="farend serve",
        description="Serve a bundle to this computer, and over a cable to a phone.",
    )
    top.add_argument("folder", metavar="DIR", type=Path, help="what farend bundle has made")
    top.add_argument("--port", type=_port, default=PORT, help=f"{PORT}; 0 takes a free one")
    return top


def told(address: str) -> tuple[str, ...]:
    """What is printed once the server answers: the address, the cable, what a port means.

    The phone's end of a cable has the one port always, whichever it is here.
    """
    port = urlsplit(address).port
    lines = [
        address,
        f"a phone on a cable: adb reverse tcp:{PORT} tcp:{port}, then http://{NAME}:{PORT}/ on it",
    ]
    if port != PORT:
        lines.append(f"in a browser here, jobs kept under port {PORT} do not show under {port}")
    return tuple(lines)


@contextlib.contextmanager
def _until_stopped() -> Iterator[SimpleQueue[int]]:
    """A queue that SIGINT and SIGTERM write to; what they did before is put back.

    Not an event: its lock could be held by the very thread that the signal breaks in on.
    """
    stop: SimpleQueue[int] = SimpleQueue()
    before = {
        number: signal.signal(number, lambda number, _frame: stop.put(number))
        for number in (signal.SIGINT, signal.SIGTERM)
    }
    try:
        yield stop
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def serve(words: list[str]) -> int:
    """Run ``farend serve`` until SIGINT or SIGTERM; 0, or 2 where it cannot be served."""
    args = parser().parse_args(words)
    if problem := lacking(args.folder):
        print(problem, file=sys.stderr)
        return 2
    try:
        with _until_stopped() as stop, serving(args.folder, args.port) as address:
            print(*told(address), sep="\n", flush=True)
            stop.get()
    except OSError as error:
        why = "is in use" if error.errno == errno.EADDRINUSE else f"cannot be had ({error})"
        print(f"port {args.port} {why}: choose another with --port.", file=sys.stderr)
        return 2
    return 0
