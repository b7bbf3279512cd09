"""What goes into the phone's page: whole, pure, the same at every run, and nothing it would miss."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
import sys
import zipfile
from fnmatch import fnmatch
from functools import cache
from importlib.metadata import PackageNotFoundError, requires
from importlib.util import MAGIC_NUMBER
from io import BytesIO
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from fieldapp.phone import core, site
from fieldapp.phone.bytecode import MAGIC, METHODS, compiled
from fieldapp.phone.errors import BundleError
from fieldapp.phone.site import licence_rows, site_rows, stdlib_rows, zipped

ROOT = Path(__file__).parent.parent
PHONE = {
    "sys_platform": "emscripten",
    "platform_system": "Emscripten",
    "os_name": "posix",
    "platform_machine": "wasm32",
    "python_version": "3.14",
    "python_full_version": "3.14.2",
    "implementation_name": "cpython",
    "extra": "",
}
BROWSERS_OWN = {"js", "pyodide", "pyodide_js", "flet_js", "farend_page", "_pyodide"}
"""what only the browser's Python has"""


@cache
def rows() -> dict[str, bytes]:
    return site_rows()


@cache
def library() -> dict[str, bytes]:
    return stdlib_rows(core.checked("pyodide/python_stdlib.zip"))


# ---------------------------------------------------------------- what is in, and what is not


def test_rows_are_plain_python_and_its_data():
    """Nothing compiled, no tests, nothing from beside a package, no font of the page's own."""
    kinds = {Path(name).suffix for name in rows()}
    assert kinds == {".py", ".json", ".ttf", ".txt"}
    parts = {part for name in rows() for part in Path(name).parts}
    assert not parts & {"tests", "testing", "__pycache__", "..", "/"}
    assert not [part for part in parts if part.endswith((".dist-info", ".egg-info"))]


def test_tables_of_what_is_left_out_still_fit():
    """Each row of a table leaves out something that is there: a table nobody needs misleads."""
    site_packages = Path(core.client_folder()).parent.parent
    for pattern in site.TRIMMED:
        assert any(site_packages.glob(pattern.replace("*/tests/*", "qrcode/tests/*"))), pattern
    ours = [path.relative_to(ROOT).as_posix() for name in site.OWN for path in files(ROOT / name)]
    unused = [p for p in site.LEFT_OUT if not any(fnmatch(place, p) for place in ours)]
    assert set(unused) <= {"*/__pycache__/*", "fieldapp/samples/*"}


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_samples_fonts_of_the_paper_and_licences_are_in():
    """What is read as a file there: the sample jobs, the faces that paper takes, the licences."""
    for path in (ROOT / "sample_jobs").rglob("*.json"):
        name = f"fieldapp/samples/{path.relative_to(ROOT / 'sample_jobs').as_posix()}"
        assert rows()[name] == path.read_bytes()
    assert sum(name.endswith(".ttf") for name in rows()) == 8
    assert "fieldapp/licences/farend-mit.txt" in rows()
    of = {name.split("/")[1] for name, text in licence_rows().items() if len(text) > 500}
    assert of == set(site.DISTRIBUTIONS) - {"flet"}  # flet's package carries none


def test_distributions_are_what_the_requirements_come_to_on_the_phone():
    """The table is compared with a walk of the requirements, their markers read for the browser."""
    found, todo = set(), ["farend"]
    while todo:
        for text in requires(todo.pop()) or ():
            one = Requirement(text)
            name = canonicalize_name(one.name)
            wanted = one.marker is None or one.marker.evaluate(PHONE)
            if wanted and name not in found:
                found.add(name)
                todo += [name] if name not in site.NOT_TAKEN else []
    assert found == {*site.DISTRIBUTIONS, *site.NOT_TAKEN}


# ---------------------------------------------------------------- nothing that is missed

IMPORT = re.compile(
    r"^([ \t]*)(?:from[ \t]+(\.*[\w.]*)[ \t]+import[ \t]*(\([^)]*\)|[^#\n;]+)|import[ \t]+([\w., \t]+))",
    re.MULTILINE,
)
EXCUSED = {
    # for another kind of client, another version of Python, or in a command of its own
    "flet.app": {
        "flet.messaging.flet_socket_server",
        "flet.messaging.flet_dart_bridge_server",
        "flet_web",
    },
    "flet.auth.authorization_service": {"httpx", "oauthlib"},
    "flet.auth.providers.github_oauth_provider": {"httpx"},
    "flet.controls.base_control": {"typing_extensions"},
    "flet.controls.value_types": {"typing_extensions"},
    "flet.utils.pip": {"flet_web"},
    "qrcode.image.styles.moduledrawers": {"qrcode.image.styles.moduledrawers.pil"},
    "qrcode.main": {"qrcode.image.pil"},
}
NEVER = {"platformdirs", "typing_extensions", "httpx", "oauthlib", "flet_web"}


def module(place: str) -> str:
    """The import name of a row."""
    return place.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def imports(place: str, source: str, *, at_once: bool = False) -> set[str]:
    """Every module a source may import, names taken from a module as if they were modules too;
    with `at_once` those alone that stand at the margin."""
    name = module(place)
    package = name if place.endswith("/__init__.py") else name.rpartition(".")[0]
    out: set[str] = set()
    for margin, origin, taken, plain in IMPORT.findall(source):
        if at_once and margin:
            continue
        if plain:
            out |= {one.split(" as ")[0].strip() for one in plain.split(",")}
            continue
        dots = len(origin) - len(origin.lstrip("."))
        above = package.rsplit(".", dots - 1)[0] if dots > 1 else package
        base = ".".join(part for part in (above if dots else "", origin.lstrip(".")) if part)
        names = re.sub(r"#[^\n]*|[()]", "", taken).strip().rstrip(",").split(",")
        out |= {base, *(f"{base}.{one.split(' as ')[0].strip()}" for one in names)}
    return out


def test_reader_of_imports_sees_what_it_should():
    source = (
        "from . import a\nfrom ..b import (\n    c as d,  # why\n    e,\n)\n  import f.g as h, i\n"
    )
    assert imports("p/q/r.py", source) == {"p.q", "p.q.a", "p.b", "p.b.c", "p.b.e", "f.g", "i"}
    assert imports("p/q/__init__.py", "from .a import b\n  import c", at_once=True) == {
        "p.q.a",
        "p.q.a.b",
    }


def test_nothing_left_out_is_imported_by_what_is_in():
    """Not in any function of the site, nor at the start of any module of the library."""
    packed = core.checked("pyodide/python_stdlib.zip")
    whole = {module(n) for n in zipfile.ZipFile(BytesIO(packed)).namelist() if n.endswith(".py")}
    lost = whole - {module(name) for name in library()}
    parts = [path for name in site.OWN for path in (ROOT / name).rglob("*.py")]
    lost |= {module(path.relative_to(ROOT).as_posix()) for path in parts}
    folder = Path(core.client_folder()).parent.parent
    for name in ("flet", "qrcode", "tinydb", "msgpack", "attr", "attrs"):
        lost |= {module(p.relative_to(folder).as_posix()) for p in (folder / name).rglob("*.py")}
    lost -= {module(name) for name in rows()}
    missed = {}
    for held, at_once in ((rows(), False), (library(), True)):
        for name, data in held.items():
            if name.endswith(".py") and not name.startswith("encodings/"):
                asked = imports(name, data.decode(), at_once=at_once)
                asked = asked & lost | {one.split(".")[0] for one in asked} & NEVER
                asked -= EXCUSED.get(module(name), set())
                missed |= {module(name): asked} if asked else {}
    assert missed == {}


def test_the_app_starts_from_the_rows_alone(tmp_path):
    """A fresh interpreter without this environment imports all of the app, unpacked as there."""
    zipfile.ZipFile(BytesIO(zipped(rows()))).extractall(tmp_path)
    names = [module(n) for n in rows() if n.startswith(("engine/", "fieldapp/")) and ".py" in n]
    assert {*site.START, "fieldapp.store.keeper"} <= set(names)
    script = f"""
import importlib, json, sys
sys.dont_write_bytecode = True
sys.path.insert(0, {str(tmp_path)!r})
missing = {{}}
for name in {names!r}:
    try:
        importlib.import_module(name)
    except ImportError as error:
        if error.name not in {BROWSERS_OWN!r}:
            missing[name] = str(error)
import flet.app, msgpack.fallback, flet.messaging.session
from fieldapp.handover.pdf import typeface
from fieldapp.shipped import practice_sites, sample_names
foreign = [m.__name__ for m in list(sys.modules.values())
           if (getattr(m, "__file__", None) or {str(tmp_path)!r}).endswith(".so")]
print(json.dumps([missing, len(sample_names()), len(practice_sites()), typeface("PB").weight]))
"""
    ran = subprocess.run(
        [sys.executable, "-I", "-S", "-c", script], capture_output=True, text=True, timeout=120
    )
    assert ran.returncode == 0, ran.stderr
    assert json.loads(ran.stdout) == [{}, 3, 5, 600]


# ---------------------------------------------------------------- the same at every run


def test_the_same_words_of_both_languages_stand_side_by_side():
    """One stream over what is alike is shorter."""
    names = zipfile.ZipFile(BytesIO(zipped(rows()))).namelist()
    places = {name: place for place, name in enumerate(names)}
    twins = [one for one in names if one.startswith("fieldapp/words/english/")]
    for one in twins:
        other = one.replace("/english/", "/german/")
        assert other not in places or abs(places[one] - places[other]) == 1, one
    assert len(twins) > 20 and sorted(names) == sorted(rows())


def test_two_runs_give_the_same_bytes():
    first, second = site_rows(), site_rows()
    assert zipped(first) == zipped(dict(reversed(second.items())))
    packed = zipfile.ZipFile(BytesIO(zipped({"b.py": b"2", "a/c.py": b"1"}))).infolist()
    assert [(i.filename, i.date_time, i.create_system, i.external_attr) for i in packed] == [
        ("b.py", (1980, 1, 1, 0, 0, 0), 3, 0o100644 << 16),
        ("a/c.py", (1980, 1, 1, 0, 0, 0), 3, 0o100644 << 16),
    ]


# ---------------------------------------------------------------- stock files


def test_every_stock_file_is_the_known_one():
    assert {name for name in core.SUMS if core.checked(name)} == set(core.SUMS)
    assert {f"pyodide/{name}" for name in core.CORE} < set(core.SUMS)


def test_the_lock_is_the_cores_own_without_its_packages():
    installed = json.loads((core.core_folder() / "pyodide-lock.json").read_bytes())
    assert {"info": installed["info"], "packages": {}} == core.LOCK
    assert installed["info"]["python"].startswith("3.14.")


def test_another_file_is_refused_with_one_line(monkeypatch, tmp_path):
    (tmp_path / "flutter.js").write_bytes(b"something else")
    monkeypatch.setattr(core, "client_folder", lambda: tmp_path)
    known, found = core.SUMS["flutter.js"], hashlib.sha256(b"something else").hexdigest()
    with pytest.raises(BundleError) as refused:
        core.checked("flutter.js")
    assert str(refused.value) == f"flutter.js: sha256 {known} expected, {found} found."
    with pytest.raises(BundleError, match=r"^main\.dart\.js: cannot be read \(No such file.*\)\.$"):
        core.checked("main.dart.js")
    with pytest.raises(BundleError, match=r"^index\.html: no sum of this file is known\.$"):
        core.checked("index.html")


@pytest.mark.parametrize(
    ("found", "says"),
    [
        ("1.0.6", "flet-web 1.0.5 is wanted, 1.0.6 is installed."),
        (None, "flet-web is not installed: pip install flet-web==1.0.5"),
    ],
)
def test_another_release_is_refused_with_one_line(monkeypatch, found, says):
    def version(name):
        if found is None:
            raise PackageNotFoundError(name)
        return found

    monkeypatch.setattr(core, "version", version)
    core.client_folder.cache_clear()
    with pytest.raises(BundleError) as refused:
        core.client_folder()
    assert str(refused.value) == says


def test_a_distribution_that_is_not_there_is_named(monkeypatch):
    monkeypatch.setattr(site, "DISTRIBUTIONS", ("no-such-thing",))
    with pytest.raises(BundleError, match=r"^no-such-thing is not installed: pip install no-such"):
        site_rows()


# ---------------------------------------------------------------- bytecode

SMALL = {
    "site.zip": {
        "two/__init__.py": b'"""Doc."""\n\n\ndef twice(x):\n    """Doc."""\n    return x + x\n',
        "two/data.json": b'{"a": 1}',
        "two/classy.py": b'class A:\n    """Kept."""\n\n\ndef bare():\n    """Doc."""\n',
        "two/broken.py": b"def (:\n",
    },
    "other.zip": {"one.py": b"def fall():\n    assert False\n"},
}


def test_without_node_the_sources_stay():
    made, how = compiled(SMALL, node="no-such-program-here")
    assert (made, how) == (SMALL, "") if MAGIC_NUMBER != MAGIC else how == "python"


@pytest.mark.skipif(MAGIC_NUMBER == MAGIC, reason="this Python compiles by itself")
@pytest.mark.parametrize("script", ["exit 1", "exit 0", "echo 500; kill -9 $$"])
def test_a_node_that_fails_leaves_the_sources(tmp_path, script):
    """Too old, or silent, or killed: nothing is taken from it."""
    node = tmp_path / "node"
    node.write_text(f"#!/bin/sh\n{script}\n")
    node.chmod(0o755)
    assert compiled(SMALL, node=str(node)) == (SMALL, "")


THINGS = b"""
from dataclasses import dataclass
from attrs import frozen

@frozen
class A:
    x: int

@dataclass(frozen=True)
class B:
    x: int = 2
"""


def with_classes() -> dict[str, dict[str, bytes]]:
    """The small archives, with classes in the first whose methods attrs and dataclasses write."""
    wanted = ("attr/", "attrs/", "fieldapp/__init__", "fieldapp/phone/__init__", "fieldapp/phone/m")
    needed = {name: data for name, data in rows().items() if name.startswith(wanted)}
    return {**SMALL, "site.zip": {**SMALL["site.zip"], **needed, "two/things.py": THINGS}}


@pytest.fixture(scope="module")
def made():
    """Those archives compiled, how, and what was told on the way."""
    if MAGIC_NUMBER != MAGIC and shutil.which("node") is None:
        pytest.skip("neither Python 3.14 nor node at hand")
    told: list[float] = []
    return *compiled(with_classes(), told.append, start=["two.things"]), told


def test_compiled_as_the_browsers_python_wants_it(made):
    """The right magic, no stamp to compare, names as in the archive, only docstrings lost."""
    zips, how, told = made
    assert how == ("python" if MAGIC_NUMBER == MAGIC else "node")
    assert set(zips["other.zip"]) == {"one.pyc"}
    assert {name for name in zips["site.zip"] if name.startswith("two/")} == {
        *("two/__init__.pyc", "two/data.json", "two/classy.pyc", "two/broken.py"),
        "two/things.pyc",
    }
    assert zips["site.zip"][METHODS].startswith(MAGIC)
    assert zips["site.zip"]["two/broken.py"] == SMALL["site.zip"]["two/broken.py"]
    for place, data in {**zips["site.zip"], **zips["other.zip"]}.items():
        if place.endswith(".pyc"):
            # magic; flags: by hash, never checked; the hash
            assert data[:16] == MAGIC + b"\x01\0\0\0" + bytes(8)
            assert place.removesuffix("c").encode() in data
    assert b"Doc." not in zips["site.zip"]["two/__init__.pyc"]
    assert b"Kept." in zips["site.zip"]["two/classy.pyc"]
    assert told == sorted(told) and told[-1] == 1


RUN = """
import {{ loadPyodide }} from {module};
const folder = {folder}, core = {core};
const python = await loadPyodide({{ indexURL: core, packageBaseUrl: core,
  stdLibURL: folder + "/library.zip", lockFileContents: {lock} }});
const {{ readFileSync }} = await import("node:fs");
const archive = new Uint8Array(readFileSync(folder + "/site.zip"));
python.unpackArchive(archive, "zip", {{ extractDir: "/lib/site" }});
console.log(python.runPython(`
import json, sys, traceback
sys.path.insert(0, "/lib/site")
from fieldapp.phone import methods
held = methods.use()
anew = []
compile_it = methods._compiled
methods._compiled = lambda text, name: anew.append(name) or compile_it(text, name)
import two, one
from two.classy import bare
from two.things import A, B
same = [A(1) == A(1), hash(A(1)) == hash(A(1)), A(1) == A(2), repr(A(3)), repr(B())]
before = list(anew)
from dataclasses import dataclass
@dataclass
class C:
    new: int
try:
    one.fall()
except AssertionError as error:
    where = traceback.extract_tb(error.__traceback__)[-1]
json.dumps([two.twice(21), two.__file__, bare(), where.filename, where.lineno,
            held > 1, before, same, len(anew) > 0])`));
process.exit(0);
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="no node on the path")
def test_the_browsers_python_runs_what_was_compiled(made, tmp_path):
    """With the cut library in place of the stock one, from an archive as the page unpacks it; and
    a second run compiles to the same bytes."""
    assert compiled(with_classes(), start=["two.things"])[0] == made[0]
    rows = {k: v for part in made[0].values() for k, v in part.items()}
    (tmp_path / "site.zip").write_bytes(zipped(rows))
    (tmp_path / "library.zip").write_bytes(zipped(library()))
    folder = core.core_folder()
    script = RUN.format(
        module=json.dumps((folder / "pyodide.mjs").as_uri()),
        folder=json.dumps(tmp_path.as_posix()),
        core=json.dumps(f"{folder.as_posix()}/"),
        lock=json.dumps(dict(core.LOCK)),
    )
    (tmp_path / "run.mjs").write_text(script, encoding="utf-8")
    ran = subprocess.run(
        ["node", str(tmp_path / "run.mjs")], capture_output=True, text=True, timeout=120
    )
    assert ran.returncode == 0, ran.stderr[-2000:]
    place = "/lib/site/two/__init__.pyc"
    same = [True, True, False, "A(x=3)", "B(x=2)"]
    assert json.loads(ran.stdout) == [42, place, None, "one.py", 2, True, [], same, True]
