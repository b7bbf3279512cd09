"""Serve the app to a browser on this machine, or behind a door on its network.

A small server for the patched client of ``webclient``; no request leaves the machine. Used by the start-up on a
laptop only; screens, store and engine never import it, because what it imports is partly
compiled.

Sources: read in flet-web 1.0.5 (``fastapi/app.py``, ``fastapi/flet_app.py``).
"""

from __future__ import annotations

import asyncio
import contextlib
import errno
import mimetypes
import signal
import socket
import sys
import threading
from collections.abc import AsyncIterator, Callable, Iterator, Mapping
from pathlib import Path
from urllib.parse import urlsplit

import flet as ft
import uvicorn
from flet_web.fastapi import FletApp, app_manager
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, WebSocketRoute
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Scope
from starlette.websockets import WebSocket

from fieldapp.doorway import PATH, Doorway
from fieldapp.exchange.limits import LIMITS
from fieldapp.phone.policy import POLICY
from fieldapp.webclient import build_client

ROUND_A_FILE = 1_000_000
"""bytes that a message has besides the file in it, at the most (ours)"""
LOOPBACK = ("127.0.0.1", "localhost", "::1")

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    # Ask again each time: a browser that guesses would run an old client after an upgrade.
    "Cache-Control": "no-cache",
}


class PortTakenError(OSError):
    """Another program already listens on the wanted port. ``port`` is its number."""

    def __init__(self, host: str, port: int) -> None:
        super().__init__(errno.EADDRINUSE, "port in use")
        self.host = host
        self.port = port

    def __str__(self) -> str:
        return (
            f"Port {self.port} on {self.host} is already in use. Close the other program, "
            "or choose another port."
        )


class _Files(StaticFiles):
    """The client's files, then the app's own, under one root, with our headers."""

    def __init__(self, client: Path, assets_dir: Path) -> None:
        super().__init__(directory=client, html=True)
        self.all_directories = [client, assets_dir]

    async def get_response(self, path: str, scope: Scope) -> Response:
        try:
            response = await super().get_response(path, scope)
        except HTTPException as missing:
            response = _not_there(missing, scope)
        response.headers.update(HEADERS)
        return response


def _not_there(missing: HTTPException, scope: Scope) -> Response:
    """Send a person who typed /j/ID/now to that place in the app; programs get the plain 404."""
    accept = dict(scope["headers"]).get(b"accept", b"").decode("latin-1")
    if missing.status_code != 404 or "text/html" not in accept:
        return Response(status_code=missing.status_code)
    query = scope["query_string"].decode("latin-1")
    return RedirectResponse(f"/#{scope['path']}{'?' if query else ''}{query}")


def _same_origin(websocket: WebSocket) -> bool:
    """Whether the page that asks came from here: any web page may try to open a socket to us."""
    origin = websocket.headers.get("origin")
    return origin is None or urlsplit(origin).netloc == websocket.headers.get("host")


def asgi_app(
    main: Callable[[ft.Page], object],
    client: Path,
    assets_dir: Path,
    host: str,
    doorway: Doorway | None = None,
) -> ASGIApp:
    """The web application: the client's files at `/` and the app's socket at `/ws`."""
    # Windows reads these from its registry, where other programs change them.
    mimetypes.add_type("text/javascript", ".js")
    mimetypes.add_type("text/javascript", ".mjs")
    mimetypes.add_type("application/wasm", ".wasm")

    async def session(websocket: WebSocket) -> None:
        if not _same_origin(websocket):
            await websocket.close(1008)
            return
        await FletApp(
            loop=asyncio.get_running_loop(),
            executor=app_manager.executor,
            main=main,
            before_main=None,
        ).handle(websocket)

    @contextlib.asynccontextmanager
    async def lifespan(_app: Starlette) -> AsyncIterator[None]:
        await app_manager.start()
        try:
            yield
        finally:
            await app_manager.shutdown()

    # A name elsewhere that is made to point here must not open the app in another's page.
    names = [*LOOPBACK, "[::1]"] if host in LOOPBACK else [host]
    app: ASGIApp = Starlette(
        routes=[WebSocketRoute("/ws", session), Mount("/", _Files(client, assets_dir))],
        lifespan=lifespan,
    )
    return TrustedHostMiddleware(doorway.around(app) if doorway else app, allowed_hosts=names)


def listen(host: str, port: int) -> socket.socket:
    """A socket bound to `host` and `port` (0: any free one). Raises PortTakenError, OSError."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    sock = socket.socket(family, socket.SOCK_STREAM)
    try:
        if sys.platform == "win32":
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind((host, port))
        sock.listen(128)
    except OSError as problem:
        sock.close()
        taken = problem.errno == errno.EADDRINUSE or (
            sys.platform == "win32" and problem.errno in (errno.EACCES, 10013, 10048)
        )
        if taken:
            raise PortTakenError(host, port) from problem
        raise
    return sock


class _Server(uvicorn.Server):
    """A server that stops on a signal without raising it again, so that the caller goes on."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        before = {
            number: signal.signal(number, self.handle_exit)
            for number in (signal.SIGINT, signal.SIGTERM)
        }
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)


async def _answers(host: str, port: int, path: str) -> None:
    """Return once the server has answered one request for this page with 200."""
    while True:
        try:
            reader, writer = await asyncio.open_connection(host, port)
            try:
                name = f"[{host}]" if ":" in host else host
                request = (
                    f"HEAD {path} HTTP/1.1\r\nHost: {name}:{port}\r\nConnection: close\r\n\r\n"
                )
                writer.write(request.encode())
                status = await reader.readline()
            finally:
                writer.close()
                with contextlib.suppress(OSError):
                    await writer.wait_closed()
            if b" 200 " in status:
                return
        except OSError:
            pass
        await asyncio.sleep(0.02)


async def serve(
    main: Callable[[ft.Page], object],
    *,
    host: str = "127.0.0.1",
    port: int = 0,
    assets_dir: Path,
    web_dir: Path,
    on_ready: Callable[[str], None],
    families: Mapping[str, str] | None = None,
    doorway: Doorway | None = None,
) -> None:
    """Run the app for browsers until SIGINT, SIGTERM or cancellation; then return.

    `port` 0 takes a free one. `on_ready` is called once, with the address, when the page is
    really answered. `web_dir` is a cache folder for the client, `assets_dir` the app's files
    (its `fonts` folder holds the faces; `families` names more of them). Deep links are
    `ADDRESS/#/route`. Any `host` but this machine's own names needs a `doorway`. Raises PortTakenError at once where the port is in use, ClientError where
    the installed client is unknown, OSError where a file or address is not to be had.
    """
    if host not in LOOPBACK and doorway is None:
        raise ValueError(f"{host} is open to others, and there is no door")
    with contextlib.closing(listen(host, port)) as sock:
        client = build_client(web_dir, assets_dir, families)
        port = sock.getsockname()[1]
        server = _Server(
            uvicorn.Config(
                asgi_app(main, client, assets_dir, host, doorway),
                log_config=None,
                log_level="critical",
                access_log=False,
                server_header=False,
                ws="websockets-sansio",
                ws_per_message_deflate=False,
                ws_max_size=LIMITS.zip_bytes + ROUND_A_FILE,
                lifespan="on",
                timeout_graceful_shutdown=1,
            )
        )

        async def announce() -> None:
            await _answers(host, port, PATH if doorway else "/")
            on_ready(f"http://{f'[{host}]' if ':' in host else host}:{port}")

        telling = asyncio.create_task(announce())
        running = asyncio.create_task(server.serve(sockets=[sock]))
        try:
            await asyncio.wait({telling, running}, return_when=asyncio.FIRST_COMPLETED)
            if telling.done():
                telling.result()  # a problem in on_ready must reach the caller
            await running
        finally:
            telling.cancel()
            server.should_exit = True
            await asyncio.wait({running})
