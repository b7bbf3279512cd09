"""The working tree's engine in the browser's Python: what flet-web carries, nothing from outside.

`open_session` serves a page on loopback, opens it in a headless Chromium and hands out a
`Session` that runs Python source there. The engine, the tests and the plain Python packages
they need go into it as one archive, taken from this environment.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
import time
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.metadata import distribution, version
from importlib.util import find_spec
from io import BytesIO
from math import isclose
from pathlib import Path
from typing import Any

from browser import FLAGS, INSIDE, OUTSIDE
from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
SAMPLES = tuple(sorted((ROOT / "sample_jobs").glob("*.json")))
PACKAGES = (
    *("attrs", "pytest", "iniconfig", "pluggy", "packaging", "pygments"),
    *("hypothesis", "sortedcontainers"),
)
CORE = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")
TYPES = {".mjs": "text/javascript", ".js": "text/javascript", ".wasm": "application/wasm"}
TYPES |= {".html": "text/html", ".json": "application/json", ".zip": "application/zip"}

LOAD = """
from engine.jobfile import load
from engine.predict import predict
from engine.log import fold
from engine.weigh import judge_all
file = load("{}/sample_jobs/{}")
job, state, prediction = file.plan, fold(file), predict(file.plan)
"""
THERE = "/farend/repo"
"""where the repository's files stand in the browser's Python"""


class PythonError(Exception):
    """What the browser's Python raised, with its traceback, or that it did not answer."""


class Session:
    """One page with its Python. Make it with `open_session`."""

    def __init__(self, page: Page, outside: list[str]) -> None:
        self._page = page
        self.outside = outside
        """every address asked for that is not on this machine"""
        begun = time.perf_counter()
        self.version: str = self.run("import sys; sys.version.split()[0]")
        self.start_seconds = time.perf_counter() - begun

    def run(self, source: str, *, seconds: float = 120) -> Any:
        """Run Python there; the value of its last expression, through JSON. `await` may stand.

        PythonError if it raises, or gives no answer within `seconds`. Each call has names of
        its own; modules once imported stay.
        """
        wanted = {"source": source, "milliseconds": seconds * 1000}
        reply = self._page.evaluate("(wanted) => ask(wanted)", wanted)
        if "error" in reply:
            raise PythonError(reply["error"])
        return json.loads(reply["json"])

    def limit(self, bytes_kept: int | None) -> None:
        """Let the page's origin keep so many bytes; None: as many as there is room for."""
        where = {"origin": self._page.evaluate("location.origin")}
        if bytes_kept is not None:
            where["quotaSize"] = bytes_kept
        self._page.context.new_cdp_session(self._page).send("Storage.overrideQuotaForOrigin", where)

    def time(self, source: str, repeats: int, setup: str = "") -> list[float]:
        """Milliseconds of each of `repeats` runs of `source` there, after one not counted."""
        return self.run(f"from both import times; times({source!r}, {repeats}, {setup!r})")

    def predictions(self) -> dict[str, Any]:
        """What it predicts for each sample job, as `predict --json` says it."""
        return self.run(f"from both import predictions; predictions({f'{THERE}/sample_jobs'!r})")

    def time_predict(self, sample: str, repeats: int) -> list[float]:
        """Milliseconds of each of `repeats` predictions of a sample job there."""
        return self.time("predict(job)", repeats, LOAD.format(THERE, sample))

    def run_tests(self, *args: str) -> dict[str, Any]:
        """Run pytest there with these arguments; see `inside.run_tests`."""
        call = f"import inside; inside.run_tests({THERE!r}, {list(args)!r})"
        return self.run(call, seconds=900)


def core_folder() -> Path | None:
    """Where this environment's flet-web keeps the browser's Python, if it does."""
    spec = find_spec("flet_web")
    if spec is None or spec.origin is None:
        return None
    folder = Path(spec.origin).parent / "web" / "pyodide"
    return folder if all((folder / name).is_file() for name in CORE) else None


def archive() -> bytes:
    """The site: packages, engine, tests and samples of this environment, as a zip file."""
    rows = _packed(PACKAGES)
    bits = HERE / "bits.py"
    native = "site/hypothesis/_native"
    rows[f"{native}/__init__.py"] = f"__version__ = {version('hypothesis')!r}\n".encode()
    rows[f"{native}/internal/__init__.py"] = b""
    rows[f"{native}/internal/floats.py"] = rows[f"{native}/internal/cathetus.py"] = bits
    for name in ("inside.py", "both.py"):
        rows[f"harness/{name}"] = HERE / name
    repository = [ROOT / "pyproject.toml", *SAMPLES, *(ROOT / "tests").glob("*.py")]
    repository += [path for path in (ROOT / "engine").rglob("*") if path.is_file()]
    repository += [ROOT / "fieldapp" / name for name in ("__init__.py", "jpeg.py", "shrink.py")]
    return _zipped(rows | _kept(repository))


def store_archive() -> bytes:
    """The site with the store alone."""
    files = [ROOT / "fieldapp" / name for name in ("__init__.py", "jpeg.py")]
    files += (ROOT / "fieldapp" / "store").glob("*.py")
    return _zipped(_packed(("attrs", "tinydb")) | _kept(files))


def _packed(packages: Iterable[str]) -> dict[str, bytes | Path]:
    return {
        f"site/{file}": Path(str(file.locate()))
        for name in packages
        for file in distribution(name).files or ()
        if file.suffix == ".py" and ".." not in file.parts
    }


def _kept(files: Iterable[Path]) -> dict[str, bytes | Path]:
    paths = (path for path in files if "__pycache__" not in path.parts)
    return {f"repo/{path.relative_to(ROOT)}": path for path in paths}


def _zipped(rows: Mapping[str, bytes | Path]) -> bytes:
    out = BytesIO()
    with zipfile.ZipFile(out, "w") as site:
        for name, held in rows.items():
            site.writestr(name, held if isinstance(held, bytes) else held.read_bytes())
    return out.getvalue()


def served(site: bytes) -> dict[str, bytes | Path]:
    """Every address the server answers, and with what."""
    core = core_folder()
    assert core is not None, "flet-web carries no Python for the browser"
    # No package is named in the lock, so none can be looked up or fetched.
    lock = {**json.loads((core / "pyodide-lock.json").read_bytes()), "packages": {}}
    return {
        "/page.html": HERE / "page.html",
        "/worker.js": HERE / "worker.js",
        "/site.zip": site,
        "/pyodide/pyodide-lock.json": json.dumps(lock).encode(),
        **{f"/pyodide/{name}": core / name for name in CORE},
    }


@contextmanager
def serving(files: Mapping[str, bytes | Path]) -> Iterator[str]:
    """The address of a loopback server that answers with these files and no others."""

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            held = files.get(self.path)
            body = held.read_bytes() if isinstance(held, Path) else held
            self.send_response(404 if body is None else 200)
            self.send_header("Content-Type", TYPES.get(Path(self.path).suffix, "text/plain"))
            self.send_header("Content-Length", str(len(body or b"")))
            # Alone in its process, a page is given a clock of 5 µs instead of 100 µs.
            self.send_header("Cross-Origin-Opener-Policy", "same-origin")
            self.send_header("Cross-Origin-Embedder-Policy", "require-corp")
            self.end_headers()
            self.wfile.write(body or b"")

        def log_message(self, *_args: object) -> None:
            """Says nothing: the tests' output is not the place for it."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Answer) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            thread.join()


@contextmanager
def open_session(executable: str, site: bytes | None = None) -> Iterator[Session]:
    """A `Session` in the Chromium at `executable`, with what the working tree holds now.

    `site` is another archive than `archive()`.
    """
    outside: list[str] = []

    def note(url: str) -> None:
        if not INSIDE.match(url):
            outside.append(url)

    with (
        serving(served(archive() if site is None else site)) as address,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=executable, args=list(FLAGS))
        try:
            context = browser.new_context()
            context.on("request", lambda request: note(request.url))
            context.route(OUTSIDE, lambda route: route.abort())
            page = context.new_page()
            page.goto(f"{address}/page.html")
            yield Session(page, outside)
        finally:
            browser.close()


def collected(*args: str) -> list[str]:
    """The names of the tests that pytest finds with these arguments in this Python."""
    command = [sys.executable, "-m", "pytest", "--collect-only", "-q", "-p", "no:cacheprovider"]
    environment = {key: value for key, value in os.environ.items() if key != "PYTEST_ADDOPTS"}
    done = subprocess.run(
        [*command, *args], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return [line for line in done.stdout.splitlines() if "::" in line]


def pure_files() -> list[str]:
    """The test files in which the mark `pure` stands, from the root of the repository."""
    files = sorted((ROOT / "tests").glob("test_*.py"))
    marked = [path for path in files if "pytest.mark.pure" in path.read_text(encoding="utf-8")]
    return [str(path.relative_to(ROOT)) for path in marked]


def differences(here: Any, there: Any, place: str = "") -> list[str]:
    """Where two JSON values differ: floats by more than 1e-12 of themselves, others at all.

    What is as good as nothing is nothing: the odds of a cause are powers of e, and multiply what
    the last digit of an exponent differs by.
    """
    if type(here) is not type(there):
        return [f"{place}: {here!r} here, {there!r} there"]
    if isinstance(here, dict):
        if list(here) != list(there):
            return [f"{place}: keys {list(here)} here, {list(there)} there"]
        rows = [(f"{place}.{key}", value, there[key]) for key, value in here.items()]
    elif isinstance(here, list):
        if len(here) != len(there):
            return [f"{place}: {len(here)} items here, {len(there)} there"]
        rows = [(f"{place}[{i}]", *pair) for i, pair in enumerate(zip(here, there, strict=True))]
    else:
        real = isinstance(here, float)
        same = isclose(here, there, rel_tol=1e-12, abs_tol=1e-30) if real else here == there
        return [] if same else [f"{place}: {here!r} here, {there!r} there"]
    return [line for where, one, two in rows for line in differences(one, two, where)]
