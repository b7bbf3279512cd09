"""``farend bundle DIR``: the app as a folder of files that any static host can serve.

All of it comes from what pip installed here: the Flet web client and the browser's Python out of
``flet-web``, the pure Python distributions, ``engine`` and ``fieldapp``. Nothing is fetched. The
same installation gives the same bytes, and the folder runs under any address.
"""

from __future__ import annotations

import argparse
import gzip
import hashlib
import json
import shutil
import sys
import tempfile
from base64 import b64encode
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from fieldapp import words
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.faces import FACES
from fieldapp.phone import core
from fieldapp.phone import site as sites
from fieldapp.phone.bytecode import compiled
from fieldapp.phone.errors import BundleError
from fieldapp.phone.manifest import manifest
from fieldapp.phone.policy import PAGE_POLICY
from fieldapp.phone.site import licence_rows, site_rows, stdlib_rows, zipped
from fieldapp.webclient import (
    NOT_SHIPPED,
    RIVE_STUB,
    START_JS,
    STOCK_FILES,
    STOCK_FOLDERS,
    ClientError,
    canvaskit_build,
    font_manifest,
    languages,
    patched_dart,
)

START = "fieldapp.phone.start"
CORE = "pyodide/"
SITE = "site.bin"
STDLIB = f"{CORE}python_stdlib.zip"
NOT_KEPT = ("licences/", "assets/NOTICES")
"""what stands in the folder for whoever wants to read it, and is not kept on a phone"""

Rows = Mapping[str, bytes]
Tell = Callable[[str, float], None]


@dataclass(frozen=True)
class Bundle:
    """A folder's files by path, and how they came to be."""

    files: Rows
    version: str
    compiled_by: str
    """what made the byte code: ``python``, ``node``, or nothing: these are sources"""


@dataclass(frozen=True)
class Site:
    """What Python finds there: its modules as rows, the one that begins, and those that a start
    imports anyway, whose classes are made ready beforehand."""

    rows: Rows
    start: str
    imports: Sequence[str]


def app() -> Site:
    """The app itself. Raises BundleError where something of it is not installed."""
    return Site(site_rows(), START, sites.START)


def bundle(site: Site, tell: Tell = lambda what, share: None) -> Bundle:
    """All files of a bundle that runs a site.

    Raises BundleError where what is installed is not what this version knows.
    """
    tell("checking what is installed", 0.0)
    stdlib = stdlib_rows(core.checked(STDLIB))
    zips, how = compiled(
        {SITE: site.rows, STDLIB: stdlib},
        lambda share: tell("compiling", 0.05 + 0.75 * share),
        start=site.imports,
    )
    tell("packing", 0.8)
    out = {
        **_stock(),
        **_fonts(),
        **_licences(),
        **licence_rows(),
        STDLIB: zipped(zips[STDLIB]),
        SITE: gzip.compress(zipped(zips[SITE], packed=False), 9, mtime=0),
        **{f"icons/{name}": data for name, data in _icons().items()},
        **{name: text.encode() for name, text in _texts(site.start).items()},
    }
    _require_fonts(out)
    out["manifest.webmanifest"] = _json(manifest()).encode()
    sums = {name: _sum(data) for name, data in sorted(out.items()) if _is_kept(name)}
    version = hashlib.sha256(_json(sums).encode()).hexdigest()[:12]
    out["index.html"] = out["index.html"].replace(b"THE_VERSION", version.encode())
    sums["index.html"] = _sum(out["index.html"])
    worker = _page("sw.js").replace("THE_FILES", _json(sums)).replace("THE_VERSION", version)
    out["sw.js"] = worker.encode()
    tell("packing", 1.0)
    return Bundle(dict(sorted(out.items())), version, how)


def _require_fonts(out: Rows) -> None:
    """Raise BundleError where a font is listed and not there: it would be asked for at every frame."""
    for family in json.loads(out["assets/FontManifest.json"]):
        for font in family["fonts"]:
            if f"assets/{font['asset']}" not in out:
                raise BundleError(f"{font['asset']} is not among the fonts that are installed.")


def _is_kept(name: str) -> bool:
    return not name.startswith(NOT_KEPT)


def _sum(data: bytes) -> str:
    return b64encode(hashlib.sha256(data).digest()).decode()


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _page(name: str) -> str:
    return (files("fieldapp.phone") / "page" / name).read_text("utf-8")


def _web(name: str) -> str:
    """The face of a font as the page loads it."""
    return Path(name).with_suffix(".woff2").name


def _texts(start: str) -> dict[str, str]:
    """The few files that are written for this bundle."""
    build = canvaskit_build(core.checked("flutter_bootstrap.js").decode())
    says = {}
    for code in words.LANGUAGES:
        with words.speaking(words.Manner(code)):
            says[code] = words.PAGE_SAYS
    fonts = json.loads((core.client_folder() / "assets/FontManifest.json").read_bytes())
    families = {face.family: _web(face.file) for face in FACES.values()}
    css = _page("page.css")
    for name, token in (
        ("GROUND", "ground"),
        ("INK", "ink"),
        ("SOFT", "soft"),
        ("COPPER", "copper"),
    ):
        css = css.replace(f"{name}_SUN", SUN[token]).replace(f"{name}_DARK", DARK[token])
    body = _web(FACES["T"].file)
    return {
        "index.html": _page("index.html").replace("POLICY", PAGE_POLICY),
        "page.css": css,
        "boot.js": _page("boot.js").replace("THE_SAYS", _json(says)).replace("BODY_FONT", body),
        "start.js": START_JS.replace("BUILD_CONFIG", _json(build)).replace(
            "LANGUAGES", _json(languages())
        ),
        "worker.js": _page("worker.js")
        .replace("THE_LOCK", _json(dict(core.LOCK)))
        .replace("THE_START", start),
        "rive/wasm/rive_native.js": RIVE_STUB,
        "main.dart.js": patched_dart(core.checked("main.dart.js").decode()),
        "assets/FontManifest.json": _json(font_manifest(fonts, families, _web)),
    }


def _file(name: str) -> bytes:
    """Code as it was read and tried; of pictures and lists no sum is known."""
    return core.checked(name) if name in core.SUMS else (core.client_folder() / name).read_bytes()


def _stock() -> dict[str, bytes]:
    """What is taken as it is: the client's files, the icon fonts, the browser's Python."""
    names = [name for name in STOCK_FILES if name != "main.dart.js"]
    names += [f"{CORE}{name}" for name in core.CORE if f"{CORE}{name}" != STDLIB]
    out = {name: _file(name) for name in names}
    for folder in STOCK_FOLDERS:
        for path in (core.client_folder() / folder).rglob("*"):
            if path.is_file() and not any(word in path.parts for word in NOT_SHIPPED):
                out[path.relative_to(core.client_folder()).as_posix()] = path.read_bytes()
    out["assets/NOTICES"] = (core.client_folder() / "assets/NOTICES").read_bytes()
    return out


def _assets(folder: str, *ends: str) -> Iterable[tuple[str, bytes]]:
    """The files of these kinds; what makes them lies beside, once installed with its byte code."""
    for path in (files("fieldapp") / "assets" / folder).iterdir():
        if path.name.endswith(ends):
            yield path.name, path.read_bytes()


def _fonts() -> dict[str, bytes]:
    return {f"assets/fonts/{name}": data for name, data in _assets("fonts", ".woff2")}


def _icons() -> dict[str, bytes]:
    return dict(_assets("icons", ".png", ".svg"))


def _licences() -> dict[str, bytes]:
    return {
        f"licences/{path.name}": path.read_bytes()
        for path in (files("fieldapp") / "licences").iterdir()
    }


# ---------------------------------------------------------------- the command


def parser() -> argparse.ArgumentParser:
    """The grammar of ``farend bundle``."""
    top = argparse.ArgumentParser(
        prog="farend bundle",
        description="Write the app as a folder that a phone can install from any static HTTPS host.",
    )
    top.add_argument("folder", metavar="DIR", help="a new folder, or one written by this command")
    top.add_argument("--quiet", action="store_true", help="say nothing on the way")
    return top


def run(arguments: Sequence[str]) -> int:
    """Write a bundle; 0, or 2 with one line where that cannot be."""
    args = parser().parse_args(arguments)
    folder = Path(args.folder)
    try:
        refuse_others(folder)
        made = bundle(app(), (lambda what, share: None) if args.quiet else progress)
        write(made, folder)
    except (BundleError, ClientError, OSError) as trouble:
        print(f"farend bundle: {trouble}", file=sys.stderr)
        return 2
    for line in account(made, folder):
        print(line)
    return 0


def refuse_others(folder: Path) -> None:
    """Raise BundleError unless the folder is new, empty or a bundle: nothing else is replaced."""
    if folder.is_file():
        raise BundleError(f"{folder} is a file; a folder was expected.")
    if folder.is_dir() and any(folder.iterdir()):
        marks = [(folder / name).is_file() for name in ("sw.js", "worker.js")]
        if not all(marks):
            raise BundleError(f"{folder} holds other files; a new or empty folder was expected.")


def write(made: Bundle, folder: Path) -> None:
    """Put the files where they belong, beside first: a folder is never half old and half new."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    making = Path(tempfile.mkdtemp(prefix=".making-", dir=folder.parent))
    try:
        for name, data in made.files.items():
            path = making / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        making.chmod(0o755)
        if folder.exists():
            shutil.rmtree(folder)
        making.rename(folder)
    finally:
        shutil.rmtree(making, ignore_errors=True)


def progress(what: str, share: float) -> None:
    """A bar on a terminal; nothing in a log."""
    if sys.stderr.isatty():
        full = round(30 * share)
        end = "\n" if share >= 1 else ""
        bar = "#" * full + "." * (30 - full)
        print(f"\r[{bar}] {share:4.0%}  {what:<28}", end=end, file=sys.stderr, flush=True)


PARTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("the drawing library, one of two", ("canvaskit/",)),
    ("the client", ("main.dart.js", "flutter.js")),
    ("the browser's Python", (f"{CORE}pyodide.",)),
    ("Python's own library", (STDLIB,)),
    ("Farend and what it rests on", (SITE,)),
    ("letters and signs", ("assets/fonts/", "assets/packages/")),
    ("the page, its icons, the rest", ("",)),
)


def sizes(made: Bundle) -> list[tuple[str, int, int]]:
    """By part: bytes, and bytes as most hosts send them (gzip). Of the two shapes of the drawing
    library the one that most phones load counts.
    """
    left = {name: data for name, data in made.files.items() if _is_kept(name)}
    rows = []
    for what, starts in PARTS:
        taken = {name: left.pop(name) for name in list(left) if name.startswith(starts)}
        if starts == ("canvaskit/",):
            taken = {n: data for n, data in taken.items() if n.startswith("canvaskit/chromium/")}
        sent = [len(gzip.compress(data, 6, mtime=0)) for data in taken.values()]
        rows.append((what, sum(map(len, taken.values())), sum(sent)))
    return rows


def account(made: Bundle, folder: Path) -> list[str]:
    """What is said at the end."""
    rows = sizes(made)
    rows.append(("all that a phone fetches", sum(r[1] for r in rows), sum(r[2] for r in rows)))
    how = {
        "python": "Compiled by this Python.",
        "node": "Compiled by the browser's own Python, run in Node.",
        "": "Sources only: neither Python 3.14 nor Node is here. It starts about a second slower.",
    }[made.compiled_by]
    return [
        f"{folder}: {len(made.files)} files, version {made.version}. {how}",
        "",
        f"{'':34}{'MB':>7}{'MB, gzip':>11}",
        *(f"{what:34}{raw / 1e6:7.2f}{sent / 1e6:11.2f}" for what, raw, sent in rows),
        "",
        "Try it here:       farend serve " + str(folder),
        "Put it on a phone: copy the folder to any static host with HTTPS and open it there once,",
        "                   or by a cable: see the README, On a phone.",
    ]
