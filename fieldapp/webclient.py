"""The client that a browser loads: the stock Flet web client, patched so that nothing leaves.

Built once into a cache folder, aside and then renamed. Used by the start-up on a laptop only.

Sources: read in flet-web 1.0.5 (``fastapi/flet_static_files.py``, ``patch_index.py`` and its
``web`` folder).
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import flet_web
import flet_web.version

from fieldapp import words

TITLE = "Farend"
GROUND_SUN = "#FBFAF5"
GROUND_DARK = "#0A0F12"
WAITING = "Waiting for Farend to answer"

BODY_FONT = "farend-text-400.ttf"
STRESS_FONT = "farend-text-600.ttf"

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
    # It looks for colours that the system forces alone, as one system does; others ask like this.
    (
        "more contrast",
        r'"\(forced-colors: active\)"',
        '"(forced-colors: active), (prefers-contrast: more)"',
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
  // The app's title is in its language, and the client tells the page no more of it.
  const languages = LANGUAGES, page = document.documentElement;
  new MutationObserver(() => { page.lang = languages[document.title] || page.lang; })
    .observe(document.head, { childList: true, subtree: true, characterData: true });
  window.addEventListener("flutter-first-frame",
    () => document.getElementById("loading")?.remove(), { once: true });
  const config = {
    renderer: flet.webRenderer, multiViewEnabled: false,
    entrypointBaseUrl: flet.entrypointBaseUrl, assetBase: flet.assetBase,
    canvasKitBaseUrl: flet.canvasKitBaseUrl, canvasKitVariant: flet.canvasKitVariant,
    fontFallbackBaseUrl: flet.fontFallbackBaseUrl
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


def patched_dart(dart: str, patches: tuple[tuple[str, str, str], ...] = PATCHES) -> str:
    """The client's code with everything in `patches` replaced.

    Raises ClientError unless each of them stands there exactly once.
    """
    for what, where, instead in patches:
        dart, found = re.subn(where, instead, dart)
        if found != 1:
            raise ClientError(f"The client names {what} {found} times, expected once.")
    return dart


def canvaskit_build(bootstrap: str) -> dict[str, Any]:
    """Flutter's build description, read from the stock start script, CanvasKit build only.

    Raises ClientError where there is none.
    """
    match = re.search(r"_flutter\.buildConfig = (\{.*?\});\n", bootstrap)
    config = json.loads(match[1]) if match else {}
    builds = [b for b in config.get("builds", ()) if b.get("renderer") == "canvaskit"]
    if not builds:
        raise ClientError("The client's start script describes no CanvasKit build.")
    return {**config, "builds": builds}


def font_manifest(
    stock: list[dict[str, Any]], families: Mapping[str, str], named: Callable[[str], str] = str
) -> list[dict[str, Any]]:
    """The client's list of fonts: the stock icon fonts that are kept, then our own.

    The body font stands as `Roboto`, the family the client draws everything with and would
    otherwise fetch from outside. `families` maps further family names to font file names; ``named`` turns a
    file's name into the one that is served.
    """
    kept = [f for f in stock if not any(word in f["family"] for word in NOT_SHIPPED)]
    roboto = {
        "family": "Roboto",
        "fonts": [
            {"asset": f"fonts/{named(BODY_FONT)}", "weight": 400},
            {"asset": f"fonts/{named(STRESS_FONT)}", "weight": 700},
        ],
    }
    own = [
        {"family": name, "fonts": [{"asset": f"fonts/{file}"}]} for name, file in families.items()
    ]
    return [*kept, roboto, *own]


def _font_files(families: Mapping[str, str]) -> list[str]:
    return sorted({BODY_FONT, STRESS_FONT, *families.values()})


def languages() -> dict[str, str]:
    """Which language the page is in, by the title that the app gives it."""
    out = {}
    for code in words.LANGUAGES:
        with words.speaking(words.Manner(code)):
            out[words.FIXED.title] = code
    return out


def _key(fonts_dir: Path, families: Mapping[str, str]) -> str:
    """What the built client depends on: its version, this module, the titles, the fonts."""
    digest = hashlib.sha256(Path(__file__).read_bytes())
    digest.update(json.dumps((sorted(families.items()), sorted(languages().items()))).encode())
    for name in _font_files(families):
        digest.update(name.encode() + hashlib.sha256((fonts_dir / name).read_bytes()).digest())
    return f"client-{flet_web.version.version}-{digest.hexdigest()[:16]}"


def _sizes(folder: Path) -> dict[str, int]:
    files = sorted(p for p in folder.rglob("*") if p.is_file() and p.name != "built.json")
    return {p.relative_to(folder).as_posix(): p.stat().st_size for p in files}


def _is_whole(folder: Path) -> bool:
    """Whether every file is there at its size: a machine that lost power may have kept half."""
    try:
        told: object = json.loads((folder / "built.json").read_text("utf-8"))
        return told == _sizes(folder)
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
        "start.js": START_JS.replace("BUILD_CONFIG", json.dumps(build)).replace(
            "LANGUAGES", json.dumps(languages())
        ),
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
