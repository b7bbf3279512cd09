"""The house rules that no reader should have to trust: who imports what, and what the core may touch."""

from __future__ import annotations

import ast
import importlib.util
import json
import re
import subprocess
import sys
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ENGINE = sorted((ROOT / "engine").rglob("*.py"))
OUTSIDE_WORLD = {"jobfile.py", "__main__.py"}


def dotted(path: Path) -> str:
    """The import name of a module's file."""
    parts = list(path.relative_to(ROOT).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def modules(*folders: str) -> list[str]:
    """Every module below these folders, or the module itself; those not yet there are left out."""
    out = []
    for folder in folders:
        place = ROOT / folder
        files = place.rglob("*.py") if place.is_dir() else [place.with_suffix(".py")]
        out += [dotted(path) for path in sorted(files) if path.is_file()]
    return out


_PROBE = """
import importlib, json, sys
names = json.loads(sys.argv[1])
before = set(sys.modules)
for name in names:
    importlib.import_module(name)
rows = {}
for name, module in list(sys.modules.items()):
    if name in before and name.partition(".")[0] not in ("engine", "fieldapp"):
        continue
    spec = getattr(module, "__spec__", None)
    rows[name] = (getattr(spec, "origin", None) or getattr(module, "__file__", None) or "")
print(json.dumps(rows))
"""


@cache
def imported_by(*names: str) -> dict[str, str]:
    """What a fresh interpreter holds after importing these: name -> file."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", _PROBE, json.dumps(names)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def tops(names) -> set[str]:
    return {name.partition(".")[0] for name in names}


def compiled(rows: dict[str, str]) -> dict[str, str]:
    """Modules from outside the standard library whose file is not plain Python."""
    return {
        name: origin
        for name, origin in rows.items()
        if name.partition(".")[0] not in sys.stdlib_module_names
        and origin
        and not origin.endswith(".py")
    }


def test_the_probe_sees_what_it_should():
    """It must be able to find a compiled module, or the tests below would say nothing."""
    if importlib.util.find_spec("numpy") is None:
        pytest.skip("no numpy here")
    rows = imported_by("numpy")
    assert "numpy" in tops(rows) and compiled(rows)


def test_every_engine_module_is_imported_here():
    assert set(modules("engine")) <= set(imported_by(*modules("engine"))) | {"engine.__main__"}


def test_the_engine_imports_attrs_and_nothing_else():
    found = tops(imported_by(*modules("engine"))) - set(sys.stdlib_module_names)
    assert found <= {"engine", "attr", "attrs"}, found
    assert not found & {"flet", "tinydb", "qrcode", "fieldapp", "numpy", "platformdirs"}


def test_nothing_compiled_comes_in_with_the_engine():
    assert compiled(imported_by(*modules("engine"))) == {}


FLETLESS = (
    "fieldapp/drawing",
    "fieldapp/store",
    "fieldapp/exchange",
    "fieldapp/handover",
    "fieldapp/handover",
    "fieldapp/faces",
    "fieldapp/model",
    "fieldapp/words",
    "fieldapp/routes",
)


@pytest.mark.parametrize("place", FLETLESS)
def test_these_rooms_know_no_screen(place):
    names = modules(place)
    if not names:
        pytest.skip(f"{place} is not built yet")
    rows = imported_by(*names)
    assert not tops(rows) & {"flet", "flet_web", "flet_desktop"}
    assert compiled(rows) == {}


def test_rooms_that_must_stand_are_there():
    assert modules("fieldapp/drawing") and modules("fieldapp/store") and modules("fieldapp/faces")


# ---------------------------------------------------------------- what the core may touch

WORLD = {
    "time",
    "random",
    "secrets",
    "uuid",
    "os",
    "io",
    "shutil",
    "socket",
    "subprocess",
    "tempfile",
    "threading",
    "asyncio",
    "urllib",
    "http",
    "locale",
    "logging",
    "numpy",
    "flet",
    "fieldapp",
}
CALLS = {"open", "print", "input", "exec", "eval", "__import__", "breakpoint"}
METHODS = {
    "now",
    "today",
    "utcnow",
    "read_text",
    "read_bytes",
    "write_text",
    "write_bytes",
    "unlink",
    "mkdir",
}


def touches(tree: ast.AST) -> set[str]:
    """The names by which a module reaches out of itself."""
    out = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            out |= {alias.name.partition(".")[0] for alias in node.names} & (
                WORLD | {"pathlib", "sys"}
            )
        elif isinstance(node, ast.ImportFrom):
            out |= {(node.module or "").partition(".")[0]} & (WORLD | {"pathlib", "sys"})
        elif isinstance(node, ast.Call):
            name = node.func
            if isinstance(name, ast.Name) and name.id in CALLS:
                out.add(name.id)
            if isinstance(name, ast.Attribute) and name.attr in METHODS:
                out.add(name.attr)
        elif isinstance(node, ast.Global):
            out.add("global")
    return out


def test_the_reader_of_sources_sees_what_it_should():
    text = "import time\nfrom random import Random\nopen('x')\nprint(datetime.now())\n"
    assert touches(ast.parse(text)) == {"time", "random", "open", "print", "now"}


@pytest.mark.parametrize("path", ENGINE, ids=lambda path: str(path.relative_to(ROOT)))
def test_the_core_reads_no_clock_draws_no_number_and_opens_no_file(path):
    found = touches(ast.parse(path.read_text(encoding="utf-8")))
    if path.name in OUTSIDE_WORLD:
        allowed = {"pathlib", "read_bytes", "read_text"}
        allowed |= {"sys", "print", "os", "write_text"} if path.name == "__main__.py" else set()
        assert found <= allowed, found - allowed
    else:
        assert found == set()


@pytest.mark.parametrize("path", ENGINE, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_stand_at_the_top(path):
    """An import inside a function hides a circle between rooms."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    inner = [
        node.lineno
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Import | ast.ImportFrom)
    ]
    assert inner == []


@pytest.mark.parametrize("path", ENGINE, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_room_says_what_it_is_and_stays_small(path):
    text = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)), "no docstring"
    assert len(text.splitlines()) <= 550


def test_the_top_level_is_the_two_packages():
    packages = {path.parent.name for path in ROOT.glob("*/__init__.py")}
    assert packages == {"engine", "fieldapp"}


@pytest.mark.parametrize("package", ["engine", "fieldapp"])
def test_the_house_list_names_every_room_and_none_that_is_gone(package):
    blocks = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("```")[1::2]
    house = next(block for block in blocks if block.startswith("\nengine/"))
    part = re.split(r"^(?=\w+/)", house, flags=re.MULTILINE)
    rows = next(text for text in part if text.startswith(f"{package}/"))
    named = re.findall(r"(?<!\S)[\w*]+(?:\.py|/)(?=\s)", rows)[1:]
    there = {path.name for path in (ROOT / package).glob("*.py")}
    there |= {f"{path.name}/" for path in (ROOT / package).iterdir() if path.is_dir()}
    there -= {"__init__.py", "__pycache__/"}
    assert {one for one in there if not any(fnmatch(one, name) for name in named)} == set()
    assert {name for name in named if not any(fnmatch(one, name) for one in there)} == set()
