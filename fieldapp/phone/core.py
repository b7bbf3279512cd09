"""The stock files that the phone's page is built from, each known by its sum.

``flet-web`` carries the browser client and the core of Pyodide, the browser's Python. Nothing of
it is taken that is not, byte for byte, what was read and tried: another release may hold another
client, and its page would ask for who knows what.
"""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path
from types import MappingProxyType

from fieldapp.phone.errors import BundleError

VERSION = "1.0.5"
"""the release of flet-web whose files are known here"""

SUMS = MappingProxyType(
    {
        "pyodide/pyodide.mjs": "6f1d60f7bf529beb300f0f47983c921d3982363640ba20af0e38efdddbc66109",
        "pyodide/pyodide.asm.mjs": "f7cdc8ece80678ceb712f8e65ebe6d3a83203a180c399865f49612a051693635",
        "pyodide/pyodide.asm.wasm": "cc36e3cab04fdfc9a63ff13eb52eae2b911bf46c025cc7b281f394bd3de1d5e6",
        "pyodide/python_stdlib.zip": "fa1957e5777068fc4f7437f96d860ae2fbe9c19732ba06c84e004ec16dd7dd7a",
        "main.dart.js": "ab4f1dae4d5c4511adc941ddaac6fc1837752c227f9eed27cff78c8e04f90c16",
        "flutter.js": "a483fd28f51ed2fadd0da3fade5b672eba56310d549d736ce62eabf624a6a578",
        "flutter_bootstrap.js": "fbddf77eab302c4c1b991e21445d53a9132eb292143530a441afecb69f19d895",
        "canvaskit/canvaskit.js": "7361b744487f98262f77ac507006b3eae37830430048ab7811a626b79f34a52c",
        "canvaskit/canvaskit.wasm": "6bdfaa51c76845c02ea90153d44f56f99da51de44a7ee0ea15ccaeb33ed8f476",
        "canvaskit/chromium/canvaskit.js": "d2aceb0e24ead163ab289a165ca0e26a36fa26d7118f5a295b8854d59d892896",
        "canvaskit/chromium/canvaskit.wasm": "c2fc2864763540922c71d464e983bebf97b3a5312fd01c6a8988969747d13314",
    }
)
"""sha256 of each stock file, by its path below the client; all read from flet-web 1.0.5 as pip
installed it (its Pyodide is 314.0.7, its Flutter engine that of Flutter 3.44.8)"""

CORE = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")
"""what the browser's Python consists of, below the folder `pyodide`"""

LOCK = MappingProxyType(
    {
        "info": {
            "abi_version": "2026_0",
            "arch": "wasm32",
            "platform": "emscripten_5_0_3",
            "python": "3.14.2",
        },
        "packages": {},
    }
)
"""the lock that the browser's Python starts with: what it is itself, as its own `pyodide-lock.json`
says, and no packages at all, so that nothing can be looked up or fetched"""


@cache
def client_folder() -> Path:
    """Where the installed flet-web keeps its client.

    Raises BundleError where there is none, or of another release than the known one.
    """
    spec = find_spec("flet_web")
    try:
        found = version("flet-web")
    except PackageNotFoundError:
        found = ""
    if spec is None or spec.origin is None or not found:
        raise BundleError(f"flet-web is not installed: pip install flet-web=={VERSION}")
    if found != VERSION:
        raise BundleError(f"flet-web {VERSION} is wanted, {found} is installed.")
    return Path(spec.origin).parent / "web"


def core_folder() -> Path:
    """Where the installed flet-web keeps the browser's Python. Raises as `client_folder` does."""
    return client_folder() / "pyodide"


def checked(name: str) -> bytes:
    """A stock file by its path below the client, a key of `SUMS`.

    Raises BundleError that names the file, the sum expected and the sum found, unless they agree;
    also where no sum is known, or the file cannot be read.
    """
    if name not in SUMS:
        raise BundleError(f"{name}: no sum of this file is known.")
    try:
        data = (client_folder() / name).read_bytes()
    except OSError as error:
        raise BundleError(
            f"{name}: cannot be read ({error.strerror or 'no reason given'})."
        ) from None
    found = hashlib.sha256(data).hexdigest()
    if found != SUMS[name]:
        raise BundleError(f"{name}: sha256 {SUMS[name]} expected, {found} found.")
    return data
