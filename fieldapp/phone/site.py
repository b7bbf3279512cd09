"""What the browser's Python finds on the phone: the site and its standard library, as rows.

A row is a path inside an archive and the bytes that stand there. What is installed and tested is
what ships: the rows are taken from this environment, nothing is fetched. Plain Python and its data
alone; whatever is compiled for this machine could not be loaded there.

The tables below say what is left out, and why. `tests/test_phone_site.py` follows every import of
what is left, so that a row that becomes needed is missed there and not on a phone.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator, Mapping
from fnmatch import fnmatch
from importlib.metadata import PackageNotFoundError, PackagePath, distribution
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from types import MappingProxyType

from fieldapp.phone.errors import BundleError
from fieldapp.shipped import sample_files

DISTRIBUTIONS = ("attrs", "flet", "msgpack", "pydyf", "qrcode", "repath", "six", "tinydb")
"""what the app needs there, by the names they are installed under; msgpack falls back to its own
plain Python"""

NOT_TAKEN = MappingProxyType(
    {
        "flet-web": "its client is served beside the site, and its server stays on the laptop",
        "platformdirs": "asked only where the command keeps its files",
    }
)
"""what else the app's own requirements name on the phone's platform, and why it stays away"""

KINDS = (".py", ".json")
"""what of a distribution is code, or data that code reads; not its types and not its compiled parts"""

TRIMMED = MappingProxyType(
    {
        "*/tests/*": "tests",
        "flet/fastapi/*": "a laptop's server",
        "flet/testing/*": "drives an app from outside",
        "flet/pytest_plugin.py": "drives an app from outside",
        "flet/messaging/flet_socket_server.py": "for a client in another process",
        "flet/messaging/flet_dart_bridge_server.py": "for a client in the same process, not a page",
        "flet/utils/griffe_deprecations.py": "for the makers' manual",
        "qrcode/console_scripts.py": "a command",
        "qrcode/release.py": "for its makers",
        "qrcode/compat/etree.py": "the app draws its codes itself",
        "qrcode/image/pil.py": "the app draws its codes itself",
        "qrcode/image/styledpil.py": "the app draws its codes itself",
        "qrcode/image/styles/colormasks.py": "the app draws its codes itself",
        "qrcode/image/styles/moduledrawers/pil.py": "the app draws its codes itself",
        "qrcode/image/styles/moduledrawers/svg.py": "the app draws its codes itself",
        "qrcode/image/svg.py": "the app draws its codes itself, and this one needs xml",
    }
)
"""rows of distributions that are left out, and why"""

LEFT_OUT = MappingProxyType(
    {
        "*/__pycache__/*": "made again by whoever imports",
        "*/py.typed": "for those who check types",
        "engine/__main__.py": "the command line",
        "engine/advise_json.py": "the command line's words",
        "engine/advise_text.py": "the command line's words",
        "engine/diagnose_json.py": "the command line's words",
        "engine/diagnose_text.py": "the command line's words",
        "engine/judgement_text.py": "the command line's words",
        "engine/phrases/*": "the command line's words",
        "engine/report_json.py": "the command line's words",
        "engine/report_text.py": "the command line's words",
        "engine/since_text.py": "the command line's words",
        "engine/sources_text.py": "the command line's words",
        "engine/steps_text.py": "the command line's words",
        "engine/job.schema.json": "for those who check a file with other tools",
        "fieldapp/CHANGELOG.md": "for whoever reads it in the repository or in the wheel",
        "fieldapp/__main__.py": "the command",
        "fieldapp/main.py": "the entry of packages for a phone, which have files of their own",
        "fieldapp/door.py": "lets a phone in to a laptop",
        "fieldapp/doorway.py": "lets a phone in to a laptop",
        "fieldapp/webclient.py": "builds the page that a laptop serves",
        "fieldapp/webserver.py": "a laptop's server",
        "fieldapp/exchange/command.py": "a command",
        "fieldapp/handover/label_command.py": "a command",
        "fieldapp/handover/report.py": "a command",
        "fieldapp/phone/bundle.py": "builds the page",
        "fieldapp/phone/bytecode.py": "builds the page",
        "fieldapp/phone/core.py": "builds the page",
        "fieldapp/phone/errors.py": "builds the page",
        "fieldapp/phone/site.py": "builds the page",
        "fieldapp/phone/manifest.py": "builds the page",
        "fieldapp/phone/policy.py": "builds the page",
        "fieldapp/phone/serve.py": "a laptop's server",
        "fieldapp/phone/compile.mjs": "builds the page",
        "fieldapp/phone/page/*": "stands beside the site, as the page itself",
        "fieldapp/assets/icons/*": "the page's own",
        "fieldapp/assets/*.png": "for the shops' packages",
        "fieldapp/assets/fonts/build_fonts.py": "makes the fonts",
        "fieldapp/assets/fonts/*.woff2": "the page's own; paper takes the others",
        "fieldapp/samples/*": "taken from where the samples are",
        "fieldapp/store/files.py": "a laptop's disk",
        "fieldapp/store/locks.py": "a laptop's disk",
        "fieldapp/store/system.py": "a laptop's disk",
    }
)
"""files of our own packages that are left out, and why; every other one goes in"""

START = (
    *("fieldapp.app", "fieldapp.services", "fieldapp.means"),
    *("fieldapp.store.opfs", "fieldapp.phone.link"),
)
"""what a start imports, as far as it can be imported elsewhere too"""

OWN = ("engine", "fieldapp")
WORDS = "fieldapp/words"
"""with a folder for each language"""
LIBRARY = (
    ("this antigravity __hello__ __phello__ idlelib tkinter turtle turtledemo", "jokes and toys"),
    ("unittest doctest test lib2to3", "tests"),
    ("pdb bdb cmd pydoc pydoc_data _pyrepl trace", "nobody types into it"),
    ("cProfile profile pstats timeit modulefinder", "measures programs"),
    ("compileall py_compile zipapp tabnanny pyclbr symtable pickletools", "works on programs"),
    ("multiprocessing concurrent/futures/process.py pty tty", "there is one process, no terminal"),
    ("xmlrpc wsgiref socketserver http/server.py", "servers"),
    ("ftplib imaplib poplib smtplib mailbox netrc nturl2path", "nothing goes through them"),
    ("ctypes _aix_support _ios_support _android_support", "no foreign code is called"),
    ("optparse getpass fileinput asyncio/__main__.py asyncio/tools.py", "for commands"),
    ("json/__main__.py json/tool.py sysconfig/__main__.py", "commands"),
    ("logging/config.py logging/handlers.py configparser plistlib", "no settings are read"),
    ("sqlite3 shelve dbm", "jobs are kept as journals"),
    ("xml", "qrcode's pictures alone would need it, and the app draws codes itself"),
    ("tomllib wave colorsys", "no such file is read"),
    ("tarfile", "what is packed here is a zip"),
    ("venv ensurepip", "nothing is installed there"),
    ("_pyio _pydatetime _pydecimal", "stand-ins for what is compiled in"),
    ("sre_compile sre_constants sre_parse", "old names"),
    ("sched graphlib filecmp", "nobody asks for them"),
)
"""modules, packages and files of the standard library that are left out, and why. Kept, though
little used: `ssl`, which `asyncio` looks for, and `email` and `http`, which `urllib.request` and
`importlib.metadata` import."""

CODECS = (
    *("__init__", "aliases", "ascii", "base64_codec", "charmap", "cp1252", "cp437", "hex_codec"),
    *("idna", "latin_1", "punycode", "raw_unicode_escape", "undefined", "unicode_escape"),
    *("utf_16", "utf_16_be", "utf_16_le", "utf_32", "utf_32_be", "utf_32_le"),
    *("utf_7", "utf_8", "utf_8_sig", "zlib_codec"),
)
"""the codecs that stay; the others are tables of old letters, an eighth of the whole library. A zip
made elsewhere can name its files in cp437."""

FIRST_DAY = (1980, 1, 1, 0, 0, 0)
UNIX = 3
READABLE = 0o100644 << 16


def site_rows() -> dict[str, bytes]:
    """Everything that goes on the browser's path: distributions, engine, app and sample jobs.

    Raises BundleError where one of them is not installed whole.
    """
    rows: dict[str, bytes] = {}
    for name in DISTRIBUTIONS:
        rows |= _of_distribution(name)
    for package in OWN:
        rows |= _of_own(package)
    folder = sample_files()[0].parent
    for path in folder.rglob("*.json"):
        rows[f"fieldapp/samples/{path.relative_to(folder).as_posix()}"] = path.read_bytes()
    return dict(sorted(rows.items()))


def licence_rows() -> dict[str, bytes]:
    """The licence texts of the distributions, as they lie beside each: `licences/NAME/FILE`.

    They go with the page, because their code does. Raises as `site_rows` does.
    """
    rows = {}
    for name in DISTRIBUTIONS:
        for file in _files(name):
            stem = file.name.lower().partition(".")[0]
            if "dist-info" in str(file.parts[0]) and stem in {"license", "licence", "copying"}:
                rows[f"licences/{name}/{file.name}"] = Path(str(file.locate())).read_bytes()
    return dict(sorted(rows.items()))


def stdlib_rows(zip_bytes: bytes) -> dict[str, bytes]:
    """The standard library's modules, from the archive that the browser's Python comes with,
    without those of `LIBRARY` and the codecs that are not in `CODECS`.
    """
    dropped = {name for names, _ in LIBRARY for name in names.split()}
    with zipfile.ZipFile(BytesIO(zip_bytes)) as held:
        names = [name for name in held.namelist() if name.endswith(".py")]
        kept = sorted(name for name in names if not _is_dropped(name, dropped))
        return {name: held.read(name) for name in kept}


def zipped(rows: Mapping[str, bytes], *, packed: bool = True) -> bytes:
    """One archive of rows: one order, one date, one set of permissions; ``packed`` row by row.

    The same rows give the same bytes wherever the same zlib packs them; a machine with another
    zlib (some systems ship a faster one) may pack the same rows into other bytes.
    """
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(rows, key=_beside_its_like):
            entry = zipfile.ZipInfo(name, FIRST_DAY)
            entry.create_system, entry.external_attr = UNIX, READABLE
            entry.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
            archive.writestr(entry, rows[name], compresslevel=9)
    return out.getvalue()


def _beside_its_like(name: str) -> tuple[str, ...]:
    """Sorts by folder, the same words in all languages together: one stream over what is alike is
    shorter by 1 %."""
    folder, _, file = name.rpartition("/")
    kind = file.rpartition(".")[2]
    return (kind, WORDS, file, name) if folder.startswith(WORDS) else (kind, folder, file, name)


def _is_dropped(name: str, dropped: set[str]) -> bool:
    """Whether a file of the standard library is left out."""
    top, _, rest = name.partition("/")
    if top == "encodings":
        return rest.removesuffix(".py") not in CODECS
    return name in dropped or top.removesuffix(".py") in dropped


def _files(name: str) -> list[PackagePath]:
    """What an installed distribution says it consists of."""
    try:
        return list(distribution(name).files or ())
    except PackageNotFoundError:
        raise BundleError(f"{name} is not installed: pip install {name}") from None


def _of_distribution(name: str) -> dict[str, bytes]:
    rows = {}
    for file in _files(name):
        place = file.as_posix()
        is_code = file.suffix in KINDS and not file.parts[0].endswith(".dist-info")
        if is_code and ".." not in file.parts and not _listed(place, TRIMMED):
            rows[place] = _read(Path(str(file.locate())), name)
    if not rows:
        raise BundleError(f"{name} is installed without a list of its files: install it by pip.")
    return rows


def _of_own(package: str) -> dict[str, bytes]:
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise BundleError(f"{package} is not installed.")
    folder = Path(spec.origin).parent
    rows = {}
    for path in _below(folder):
        place = f"{package}/{path.relative_to(folder).as_posix()}"
        if not _listed(place, LEFT_OUT):
            rows[place] = _read(path, package)
    return rows


def _below(folder: Path) -> Iterator[Path]:
    return (path for path in folder.rglob("*") if path.is_file())


def _listed(place: str, table: Mapping[str, str]) -> bool:
    return any(fnmatch(place, pattern) for pattern in table)


def _read(path: Path, of: str) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        raise BundleError(f"{of}: {path.name} cannot be read; install it again.") from None
