"""Python sources turned into what Python 3.14 runs at once: the phone starts a second sooner.

Done by this interpreter where it is of that language itself, else by the browser's Python out of
flet-web, in `node`. Where neither is at hand the sources stay as they are, and run as well.
"""

from __future__ import annotations

import inspect
import shutil
import subprocess
import sys
import tempfile
import threading
import warnings
import zipfile
from collections.abc import Callable, Mapping
from importlib.util import MAGIC_NUMBER
from json import dumps
from pathlib import Path

from fieldapp.phone.core import CORE, LOCK, checked, core_folder

MAGIC = bytes.fromhex("2b0e0d0a")
"""the first bytes of what Python 3.14 compiles; read in the browser's Python of flet-web 1.0.5"""
PATIENCE = 300.0
"""a node that is not done by then is given up, ours [s]"""
SCRIPT = Path(__file__).with_name("compile.mjs")

Rows = Mapping[str, bytes]
Tell = Callable[[float], None]


def compiled(
    zips: Mapping[str, Rows], tell: Tell = lambda share: None, node: str = "node"
) -> tuple[dict[str, dict[str, bytes]], str]:
    """Archives, by their names, with a sourceless ``.pyc`` in place of each ``.py``.

    Parameters
    ----------
    zips : rows of each archive; what is not a ``.py``, or does not compile, goes through unchanged.
    tell : is told how far it is, from 0 to 1.
    node : the command, found on the path, that runs JavaScript.

    Returns
    -------
    The archives, and how: ``"python"``, ``"node"``, or ``""`` where neither could: unchanged then.
    The same sources give the same bytes by the same way; the two ways may differ in bytes.

    Raises
    ------
    BundleError : the browser's Python of flet-web is not the known one.
    """
    if MAGIC_NUMBER == MAGIC:
        return by_this_python(zips, tell), "python"
    made = by_node(zips, tell, shutil.which(node))
    return (
        ({name: dict(rows) for name, rows in zips.items()}, "") if made is None else (made, "node")
    )


def bytecode(place: str, source: bytes) -> bytes:
    """One module as this interpreter compiles it, never compared with a source again.

    `place` is what a traceback calls the file. SyntaxError or ValueError where it cannot be read.
    """
    # Run by its text in the browser's Python too: it may use nothing from outside itself.
    from importlib._bootstrap_external import _code_to_hash_pyc

    code = compile(source, place, "exec", dont_inherit=True, optimize=0)
    return bytes(_code_to_hash_pyc(code, b"\0" * 8, False))


def by_this_python(zips: Mapping[str, Rows], tell: Tell) -> dict[str, dict[str, bytes]]:
    """The archives as this interpreter compiles them."""
    total, done = sum(map(len, zips.values())) or 1, 0
    out: dict[str, dict[str, bytes]] = {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of other people's sources
        for name, rows in zips.items():
            out[name] = {}
            for place, data in rows.items():
                new, held = _one(place, data)
                out[name][new] = held
                done += 1
                tell(done / total)
    return out


def _one(place: str, data: bytes) -> tuple[str, bytes]:
    if place.endswith(".py"):
        try:
            return f"{place}c", bytecode(place, data)
        except (SyntaxError, ValueError):
            pass
    return place, data


def by_node(
    zips: Mapping[str, Rows], tell: Tell, node: str | None
) -> dict[str, dict[str, bytes]] | None:
    """The archives as the browser's Python compiles them in `node`; None where that fails.

    Nothing is asked of a network: the core comes from flet-web and names no package.
    Raises BundleError where that core is not the known one.
    """
    if node is None:
        return None
    for name in CORE:
        checked(f"pyodide/{name}")
    with tempfile.TemporaryDirectory(prefix="farend-") as made:
        folder = Path(made)
        for number, rows in enumerate(zips.values()):
            with zipfile.ZipFile(folder / f"{number}.zip", "w") as archive:
                for place, data in rows.items():
                    archive.writestr(place, data)
        job = {
            "core": core_folder().as_posix(),
            "lock": dict(LOCK),
            "zips": [f"{number}.zip" for number in range(len(zips))],
            "bytecode": inspect.getsource(bytecode),
        }
        (folder / "job.json").write_text(dumps(job), encoding="utf-8")
        if not _ran([node, str(SCRIPT), str(folder)], tell):
            return None
        return _taken(zips, folder)


def _taken(zips: Mapping[str, Rows], folder: Path) -> dict[str, dict[str, bytes]] | None:
    """What lies in the folder now, if it is whole and of the right language."""
    out: dict[str, dict[str, bytes]] = {}
    try:
        for number, (name, rows) in enumerate(zips.items()):
            with zipfile.ZipFile(folder / f"{number}.zip") as archive:
                out[name] = {place: archive.read(place) for place in archive.namelist()}
            sources = {place.removesuffix("c") for place in out[name]}
            if sources != {place.removesuffix("c") for place in rows}:
                return None
    except (OSError, zipfile.BadZipFile):
        return None
    made = [data for rows in out.values() for place, data in rows.items() if place.endswith(".pyc")]
    return out if all(data.startswith(MAGIC) for data in made) else None


def _ran(command: list[str], tell: Tell) -> bool:
    """Whether a program ended well; each line it writes is how far it is, in thousandths."""
    try:
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL
        )
    except OSError:
        return False
    with process:
        clock = threading.Timer(PATIENCE, process.kill)
        clock.start()
        try:
            for line in process.stdout or ():
                if line.strip().isdigit():
                    tell(min(int(line), 1000) / 1000)
        finally:
            clock.cancel()
            if sys.exc_info()[0] is not None:
                process.kill()
    return process.returncode == 0
