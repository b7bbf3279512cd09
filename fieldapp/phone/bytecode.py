"""Python sources turned into what Python 3.14 runs at once: the phone starts a second sooner.

Done by this interpreter where it is of that language itself, else by the browser's Python out of
flet-web, in ``node``. Where neither is at hand the sources stay as they are, and run as well.

What is compiled loses what nobody reads there: the docstrings of modules and functions, the types
of our own functions, and the columns of each line, which a traceback points at in a source it has.
Together more than a fourth of it.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import threading
import zipfile
from collections.abc import Callable, Mapping, Sequence
from importlib.util import MAGIC_NUMBER
from json import dumps
from pathlib import Path

from fieldapp.phone.core import CORE, LOCK, checked, core_folder

MAGIC = bytes.fromhex("2b0e0d0a")
"""the first bytes of what Python 3.14 compiles; read in the browser's Python of flet-web 1.0.5"""
PATIENCE = 300.0
"""a compiler that is not done by then is given up, ours [s]"""
METHODS = "fieldapp/phone/methods.bin"
SCRIPT = Path(__file__).with_name("compile.mjs")

# Run by either Python, in an interpreter of its own. A class keeps its docstring: a dataclass
# without one writes one at every start.
COMPILE = r'''
import ast, sys, warnings, zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

def bytecode(place, source):
    """One module, never compared with a source again; `place` is its name in tracebacks."""
    tree, is_own = ast.parse(source, place), place.startswith(("engine/", "fieldapp/"))
    for node in ast.walk(tree):
        is_function = isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))
        if is_function or isinstance(node, ast.Module):
            match node.body:
                case [ast.Expr(ast.Constant(str())) as said, *rest]:
                    node.body = rest or [ast.Pass(lineno=said.lineno, col_offset=0)]
        if is_function and is_own:  # nobody of ours asks a function for its types while it runs
            node.returns, of = None, node.args
            for one in (*of.posonlyargs, *of.args, *of.kwonlyargs, of.vararg, of.kwarg):
                if one is not None:
                    one.annotation = None
    code = compile(tree, place, "exec", dont_inherit=True, optimize=0)
    return bytes(_code_to_hash_pyc(code, b"\0" * 8, False))

def compile_all(names, tell):
    """Each zip compiled, beside itself with `.new` to its name; `tell` gets thousandths."""
    warnings.simplefilter("ignore")  # of other people's sources
    held = [zipfile.ZipFile(name) for name in names]
    total, done = sum(len(archive.namelist()) for archive in held) or 1, 0
    for name, archive in zip(names, held):
        with zipfile.ZipFile(name + ".new", "w") as out:
            for place in archive.namelist():
                data = archive.read(place)
                if place.endswith(".py"):
                    try:
                        data = bytecode(place, data)
                        place += "c"
                    except (SyntaxError, ValueError):
                        pass
                out.writestr(place, data)
                done += 1
                if done % 20 == 0 or done == total:
                    tell(done * 1000 // total)

def add_methods(name, start):
    """What the classes of these modules write of themselves, as one more row of a compiled zip."""
    import importlib
    sys.path.insert(0, name)
    methods = importlib.import_module("fieldapp.phone.methods")
    said = methods.record()
    for module in start:
        importlib.import_module(module)
    with zipfile.ZipFile(name, "a") as out:
        out.writestr("fieldapp/phone/" + methods.NAME, said())

def work(names, start, tell):
    compile_all(names, tell)
    try:
        if start:
            add_methods(names[0] + ".new", start)
    except ImportError:
        pass  # one that only the phone can import: it starts without, and a little later
'''
HERE = """
import json
work(sys.argv[2:], json.loads(sys.argv[1]), lambda share: print(share, flush=True))
"""

Rows = Mapping[str, bytes]
Tell = Callable[[float], None]


def compiled(
    zips: Mapping[str, Rows],
    tell: Tell = lambda share: None,
    node: str = "node",
    start: Sequence[str] = (),
) -> tuple[dict[str, dict[str, bytes]], str]:
    """Archives, by their names, with a sourceless ``.pyc`` in place of each ``.py``.

    Parameters
    ----------
    zips : rows of each archive; what is not a ``.py``, or does not compile, goes through unchanged.
    tell : is told how far it is, from 0 to 1.
    node : the command, found on the path, that runs JavaScript.
    start : modules of the first archive that a start imports; what their classes write of
        themselves is compiled too and becomes one more row there, see ``fieldapp.phone.methods``.

    Returns
    -------
    The archives, and how: ``"python"``, ``"node"``, or ``""`` where neither could: unchanged then.
    The same sources give the same bytes by the same way; the two ways may differ in bytes.

    Raises
    ------
    BundleError : the browser's Python of flet-web is not the known one.
    """
    ways: tuple[tuple[str, str | None], ...] = (
        ("python", sys.executable if MAGIC_NUMBER == MAGIC else None),
        ("node", shutil.which(node)),
    )
    for how, program in ways:
        made = _made(zips, tell, how, program, start) if program else None
        if made is not None:
            return made, how
    return {name: dict(rows) for name, rows in zips.items()}, ""


def _made(
    zips: Mapping[str, Rows], tell: Tell, how: str, program: str, start: Sequence[str]
) -> dict[str, dict[str, bytes]] | None:
    """The archives as a program compiles them; None where that fails."""
    with tempfile.TemporaryDirectory(prefix="farend-") as made:
        folder = Path(made)
        names = [f"{number}.zip" for number in range(len(zips))]
        for name, rows in zip(names, zips.values(), strict=True):
            with zipfile.ZipFile(folder / name, "w") as archive:
                for place, data in rows.items():
                    archive.writestr(place, data)
        command = [program, "-I", "-X", "no_debug_ranges", "-c", COMPILE + HERE]
        command += [dumps(list(start))]
        command += [str(folder / name) for name in names]
        if how == "node":
            command = [program, str(SCRIPT), str(_job(folder, names, start))]
        return _taken(zips, folder) if _ran(command, tell) else None


def _job(folder: Path, names: list[str], start: Sequence[str]) -> Path:
    """The folder, with what ``compile.mjs`` needs to know.

    Nothing is asked of a network: the core comes from flet-web and its lock names no package.
    """
    for name in CORE:
        checked(f"pyodide/{name}")
    told = {"core": core_folder().as_posix(), "lock": dict(LOCK), "python": COMPILE}
    told |= {"zips": names, "start": list(start)}
    (folder / "job.json").write_text(dumps(told), encoding="utf-8")
    return folder


def _taken(zips: Mapping[str, Rows], folder: Path) -> dict[str, dict[str, bytes]] | None:
    """What lies in the folder now, if it is whole and of the right language."""
    out: dict[str, dict[str, bytes]] = {}
    try:
        for number, (name, rows) in enumerate(zips.items()):
            with zipfile.ZipFile(folder / f"{number}.zip.new") as archive:
                out[name] = {place: archive.read(place) for place in archive.namelist()}
            if {place.removesuffix("c") for place in out[name]} - {METHODS} != set(rows):
                return None
    except (OSError, zipfile.BadZipFile):
        return None
    made = [data for rows in out.values() for place, data in rows.items() if place.endswith(".pyc")]
    return out if all(data.startswith(MAGIC) for data in made) else None


def _ran(command: list[str], tell: Tell) -> bool:
    """Whether a program ended well; each line it writes is how far it is, in thousandths."""
    quiet = subprocess.DEVNULL
    try:
        process = subprocess.Popen(command, stdin=quiet, stdout=subprocess.PIPE, stderr=quiet)
    except OSError:
        return False
    with process:
        clock = threading.Timer(PATIENCE, process.kill)
        clock.start()
        try:
            for line in process.stdout or ():
                if line.strip().isdigit():
                    tell(min(int(line), 1000) / 1000)
        except BaseException:
            process.kill()  # nobody waits for it any more
            raise
        finally:
            clock.cancel()
    return process.returncode == 0
