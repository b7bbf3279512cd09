"""Serve the app to a browser on this machine, with no request leaving it.

What it is: a patched copy of the stock Flet web client, built once into a cache folder, and a
small loopback server for it. Used by the start-up on a laptop only; screens, store and engine
never import it, because what it imports is partly compiled.

Sources: read in flet-web 1.0.5 (``fastapi/app.py``, ``fastapi/flet_app.py``,
``fastapi/flet_static_files.py``, ``patch_index.py`` and its ``web`` folder).
"""

from __future__ import annotations

import asyncio
import contextlib
import errno
import hashlib
import json
import mimetypes
import re
import shutil
import signal
import socket
import sys
import tempfile
import threading
from collections.abc import AsyncIterator, Callable, Iterator, Mapping
from pathlib import Path
from urllib.parse import urlsplit

import flet as ft
import flet_web
import flet_web.version
import uvicorn
from flet_web.fastapi import FletApp, app_manager
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, WebSocketRoute
from starlette.staticfiles import StaticFiles
from starlette.types import Scope
from starlette.websockets import WebSocket

TITLE = "Farend"
GROUND_SUN = "#FBFAF5"
GROUND_DARK = "#0A0F12"
WAITING = "Waiting for Farend to answer"

BODY_FONT = "farend-text-400.ttf"
STRESS_FONT = "farend-text-600.ttf"

LOOPBACK = ("127.0.0.1", "localhost", "::1")

# The page may talk to the server it came from and to nobody else; Dart needs no eval and
# CanvasKit only WebAssembly.
POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval' blob:",
        "style-src 'self' 'unsafe-inline'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob: data:",
        "font-src 'self' data:",
        "connect-src 'self' blob: data:",
        "worker-src 'self' blob:",
        "object-src 'none'",
        "base-uri 'self'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    # Ask again each time: a browser that guesses would run an old client after an upgrade.
    "Cache-Control": "no-cache",
}

# Stock files the client needs. Not taken: the other renderers, Pyodide, the service worker
# that only unregisters itself, and the maker's own page, icons and pictures.
STOCK_FILES = (
    "main.dart.js",
    "flutter.js",
    "canvaskit/canvaskit.js",
    "canvaskit/canvaskit.wasm",
    "canvaskit/chromium/canvaskit.js",
    "canvaskit/chromium/canvaskit.wasm",
    "assets/AssetManifest.bin",
    "assets/AssetManifest.bin.json",
    "assets/fonts/MaterialIcons-Regular.otf",
)
STOCK_FOLDERS = ("assets/packages", "assets/shaders")
NOT_SHIPPED = ("flutter_map", "flutter_math_fork", "media_kit", "record_web")

# (what, where it stands in the client's code, what takes its place)
PATCHES = (
    ("an outside script", r'"https://[^"]*/@rive-app/[^"]*/"', '"rive/"'),
    # Shown before the first view, and over the app while the server does not answer.
    (
        "start options",
        r"{spinner_size:0,startup_message:1}",
        "{bgcolor_light:0,bgcolor_dark:1,startup_message:2}",
    ),
    (
        "start values",
        r'\[30,"Working\.\.\."\]',
        json.dumps([GROUND_SUN, GROUND_DARK, WAITING]),
    ),
)
# Never settles: whoever waits for the animation runtime waits for ever, and nobody here does.
RIVE_STUB = "globalThis.RiveNative = () => new Promise(() => {});\n"

INDEX = f"""<!DOCTYPE html>
<html lang="en">
<head>
<base href="/">
<meta charset="UTF-8">
<meta name="color-scheme" content="light dark">
<title>{TITLE}</title>
<link rel="icon" type="image/svg+xml" href="farend.svg">
<link rel="stylesheet" href="page.css">
</head>
<body>
<div id="loading" role="status" aria-label="Starting"></div>
<noscript>This page needs JavaScript.</noscript>
<script src="boot.js"></script>
<script src="flutter.js"></script>
<script src="start.js"></script>
</body>
</html>
"""

PAGE_CSS = f"""html, body, #loading {{ background: {GROUND_SUN}; }}
#loading {{ position: fixed; inset: 0; pointer-events: none; }}
@media (prefers-color-scheme: dark) {{
  html, body, #loading {{ background: {GROUND_DARK}; }}
}}
"""

# A cable with a box at its far end, in ink on the ground colour.
ICON = f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">
<path fill="{GROUND_SUN}" d="M0 0h32v32H0z"/>
<path fill="none" stroke="#10171A" stroke-width="3" d="M2 10c10 0 10 11 17 11"/>
<path fill="#10171A" d="M18 15h8l4 4v8H18z"/>
</svg>
"""

# A glyph that no bundled font has makes the client fetch a fallback font, and try again at
# every frame while that fails. The question mark turns whatever it asks for into the body font.
BOOT_JS = f"""var flet = {{
  pyodide: false, multiView: false, noCdn: true, webSocketEndpoint: "/ws",
  entrypointBaseUrl: "/", assetBase: "/", routeUrlStrategy: "hash",
  canvasKitBaseUrl: "/canvaskit/", webRenderer: "canvaskit",
  fontFallbackBaseUrl: "/assets/fonts/{BODY_FONT}?"
}};
flet.flutterAppLoaded = new Promise((done) => {{ flet.flutterAppResolve = done; }});
// WebKit brings a page back from its history with the frame clock stopped: load it anew.
window.addEventListener("pageshow", (event) => {{
  if (event.persisted && (navigator.vendor || "").startsWith("Apple")) location.reload();
}});
"""

START_JS = """(() => {
  window.addEventListener("flutter-first-frame",
    () => document.getElementById("loading")?.remove(), { once: true });
  const config = {
    renderer: flet.webRenderer, multiViewEnabled: false,
    entrypointBaseUrl: flet.entrypointBaseUrl, assetBase: flet.assetBase,
    canvasKitBaseUrl: flet.canvasKitBaseUrl, fontFallbackBaseUrl: flet.fontFallbackBaseUrl
  };
  _flutter.buildConfig = BUILD_CONFIG;
  _flutter.loader.load({
    config,
    onEntrypointLoaded: async (initializer) => {
      const engine = await initializer.initializeEngine(config);
      flet.flutterApp = await engine.runApp();
      flet.flutterAppResolve(flet.flutterApp);
    }
  });
})();
"""


class ClientError(RuntimeError):
    """The installed Flet web client is not the one this module knows how to patch."""


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


# --- the client -------------------------------------------------------------------------------


def patched_dart(dart: str, patches: tuple[tuple[str, str, str], ...] = PATCHES) -> str:
    """The client's code with everything in `patches` replaced.

    Raises ClientError unless each of them stands there exactly once.
    """
    for what, where, instead in patches:
        dart, found = re.subn(where, instead, dart)
        if found != 1:
            raise ClientError(f"The client names {what} {found} times, expected once.")
    return dart


def canvaskit_build(bootstrap: str) -> dict:
    """Flutter's build description, read from the stock start script, CanvasKit build only.

    Raises ClientError where there is none.
    """
    match = re.search(r"_flutter\.buildConfig = (\{.*?\});\n", bootstrap)
    config = json.loads(match[1]) if match else {}
    builds = [b for b in config.get("builds", ()) if b.get("renderer") == "canvaskit"]
    if not builds:
        raise ClientError("The client's start script describes no CanvasKit build.")
    return {**config, "builds": builds}


def font_manifest(stock: list[dict], families: Mapping[str, str]) -> list[dict]:
    """The client's list of fonts: the stock icon fonts that are kept, then our own.

    The body font stands as `Roboto`, the family the client draws everything with and would
    otherwise fetch from outside. `families` maps further family names to font file names.
    """
    kept = [f for f in stock if not any(word in f["family"] for word in NOT_SHIPPED)]
    roboto = {
        "family": "Roboto",
        "fonts": [
            {"asset": f"fonts/{BODY_FONT}", "weight": 400},
            {"asset": f"fonts/{STRESS_FONT}", "weight": 700},
        ],
    }
    own = [
        {"family": name, "fonts": [{"asset": f"fonts/{file}"}]} for name, file in families.items()
    ]
    return [*kept, roboto, *own]


def _font_files(families: Mapping[str, str]) -> list[str]:
    return sorted({BODY_FONT, STRESS_FONT, *families.values()})


def _key(fonts_dir: Path, families: Mapping[str, str]) -> str:
    """What the built client depends on: the client's version, this module, the fonts."""
    digest = hashlib.sha256(Path(__file__).read_bytes())
    digest.update(json.dumps(sorted(families.items())).encode())
    for name in _font_files(families):
        digest.update(name.encode() + hashlib.sha256((fonts_dir / name).read_bytes()).digest())
    return f"client-{flet_web.version.version}-{digest.hexdigest()[:16]}"


def _sizes(folder: Path) -> dict[str, int]:
    files = sorted(p for p in folder.rglob("*") if p.is_file() and p.name != "built.json")
    return {p.relative_to(folder).as_posix(): p.stat().st_size for p in files}


def _is_whole(folder: Path) -> bool:
    """Whether every file is there at its size: a machine that lost power may have kept half."""
    try:
        return json.loads((folder / "built.json").read_text("utf-8")) == _sizes(folder)
    except (OSError, ValueError):
        return False


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(source, target)


def _copy_stock(stock: Path, target: Path) -> None:
    for name in STOCK_FILES:
        _copy(stock / name, target / name)
    for folder in STOCK_FOLDERS:
        for path in sorted((stock / folder).rglob("*")):
            if path.is_file() and not any(word in path.parts for word in NOT_SHIPPED):
                _copy(path, target / path.relative_to(stock))


def _write_own(stock: Path, target: Path, families: Mapping[str, str]) -> None:
    build = canvaskit_build((stock / "flutter_bootstrap.js").read_text("utf-8"))
    fonts = json.loads((stock / "assets/FontManifest.json").read_text("utf-8"))
    texts = {
        "index.html": INDEX,
        "page.css": PAGE_CSS,
        "farend.svg": ICON,
        "boot.js": BOOT_JS,
        "start.js": START_JS.replace("BUILD_CONFIG", json.dumps(build)),
        "rive/wasm/rive_native.js": RIVE_STUB,
        "main.dart.js": patched_dart((stock / "main.dart.js").read_text("utf-8")),
        "assets/FontManifest.json": json.dumps(font_manifest(fonts, families)),
    }
    for name, text in texts.items():
        path = target / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())


def build_client(
    web_dir: Path, assets_dir: Path, families: Mapping[str, str] | None = None
) -> Path:
    """The folder with the patched web client, built below `web_dir` if it is not there whole.

    It is made beside its place and renamed, so that a start that was interrupted, or a second
    one at the same time, never leaves half a client. Fonts are read from `assets_dir`/fonts.
    Raises ClientError where the installed client cannot be patched, OSError where a font is
    missing or the folder cannot be written.
    """
    families = families or {}
    stock = Path(flet_web.__file__).parent / "web"
    fonts_dir = assets_dir / "fonts"
    place = web_dir / _key(fonts_dir, families)
    if _is_whole(place):
        return place
    web_dir.mkdir(parents=True, exist_ok=True)
    making = Path(tempfile.mkdtemp(prefix=".making-", dir=web_dir))
    try:
        _copy_stock(stock, making)
        _write_own(stock, making, families)
        for name in _font_files(families):
            _copy(fonts_dir / name, making / "assets/fonts" / name)
        (making / "built.json").write_text(json.dumps(_sizes(making)), "utf-8")
        if place.exists() and not _is_whole(place):
            shutil.rmtree(place)
        try:
            making.rename(place)
        except OSError:
            if not _is_whole(place):  # else another start was quicker, with the same files
                raise
    finally:
        shutil.rmtree(making, ignore_errors=True)
    return place


# --- the server -------------------------------------------------------------------------------


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
    main: Callable[[ft.Page], object], client: Path, assets_dir: Path, host: str
) -> Starlette:
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
    guard = [Middleware(TrustedHostMiddleware, allowed_hosts=[*LOOPBACK, "[::1]"])]
    return Starlette(
        routes=[WebSocketRoute("/ws", session), Mount("/", _Files(client, assets_dir))],
        middleware=guard if host in LOOPBACK else [],
        lifespan=lifespan,
    )


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


async def _answers(host: str, port: int) -> None:
    """Return once the server has answered one request for the page with 200."""
    while True:
        try:
            reader, writer = await asyncio.open_connection(host, port)
            try:
                name = f"[{host}]" if ":" in host else host
                request = f"HEAD / HTTP/1.1\r\nHost: {name}:{port}\r\nConnection: close\r\n\r\n"
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
) -> None:
    """Run the app for browsers until SIGINT, SIGTERM or cancellation; then return.

    `port` 0 takes a free one. `on_ready` is called once, with the address, when the page is
    really answered. `web_dir` is a cache folder for the client, `assets_dir` the app's files
    (its `fonts` folder holds the faces; `families` names more of them). Deep links are
    `ADDRESS/#/route`. Raises PortTakenError at once where the port is in use, ClientError where
    the installed client is unknown, OSError where a file or address is not to be had.
    """
    with contextlib.closing(listen(host, port)) as sock:
        client = build_client(web_dir, assets_dir, families)
        port = sock.getsockname()[1]
        near = {"0.0.0.0": "127.0.0.1", "::": "::1", "": "127.0.0.1"}.get(host, host)
        server = _Server(
            uvicorn.Config(
                asgi_app(main, client, assets_dir, host),
                log_config=None,
                log_level="critical",
                access_log=False,
                server_header=False,
                ws="websockets-sansio",
                ws_per_message_deflate=False,
                lifespan="on",
                timeout_graceful_shutdown=1,
            )
        )

        async def announce() -> None:
            await _answers(near, port)
            on_ready(f"http://{f'[{near}]' if ':' in near else near}:{port}")

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
