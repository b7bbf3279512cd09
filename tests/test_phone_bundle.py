"""What ``farend bundle`` writes: every file by its sum, the same bytes twice, no address in it, and
one clear line where it cannot."""

from __future__ import annotations

import base64
import gzip
import hashlib
import io
import json
import re
import zipfile
from pathlib import Path

import pytest

from fieldapp.__main__ import main
from fieldapp.phone import bundle as building
from fieldapp.phone.bundle import Bundle, Site, account, app, bundle, write
from fieldapp.phone.errors import BundleError
from fieldapp.webclient import ClientError

OURS = ("index.html", "boot.js", "start.js", "worker.js", "sw.js", "page.css")
ADDRESS = re.compile(r"""https?://|["'(=]/\w""")
INSIDE_PYTHON = "/lib/site"
"""a folder in the memory of the browser's Python"""
DRAWING = 'xmlns="http://www.w3.org/2000/svg"'


@pytest.fixture(scope="module")
def made() -> Bundle:
    """The app's bundle where nothing is there that could compile it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PATH", "")
        return bundle(app())


def files_in(made: Bundle) -> dict[str, str]:
    """What the service worker keeps, as it stands there."""
    text = made.files["sw.js"].decode()
    return json.loads(re.search(r"const FILES = (\{.*?\});", text)[1])


def test_every_kept_file_is_known_by_its_sum(made: Bundle) -> None:
    listed = files_in(made)
    for name, sum_ in listed.items():
        assert base64.b64decode(sum_) == hashlib.sha256(made.files[name]).digest(), name
    left = set(made.files) - set(listed)
    assert left >= {"sw.js", "licences/farend-mit.txt", "licences/tinydb/LICENSE"}
    assert {name for name in left if not name.startswith("licences/")} == {
        "sw.js",
        "assets/NOTICES",
    }


def test_no_file_of_ours_names_an_address_or_where_it_lies(made: Bundle) -> None:
    for name in OURS:
        text = made.files[name].decode().replace(DRAWING, "").replace(INSIDE_PYTHON, "")
        text = re.sub(r"^\s*//.*$|/\*.*?\*/", "", text, flags=re.MULTILINE)
        assert ADDRESS.search(text) is None, (name, ADDRESS.search(text))
    manifest = json.loads(made.files["manifest.webmanifest"])
    assert manifest["start_url"] == "." and manifest["scope"] == "."


def test_the_reader_of_addresses_sees_what_it_should() -> None:
    for text in ("fetch('/x')", 'href="/a"', "url(/b)", "https://a.test", "from=/c"):
        assert ADDRESS.search(text), text
    assert not ADDRESS.search("fetch('./x'); a / b; 'canvaskit/'")


def test_nothing_is_left_to_be_filled_in(made: Bundle) -> None:
    for name in OURS:
        assert not re.search(rb"\bTHE_[A-Z]+|_SUN\b|_DARK\b|BODY_FONT|POLICY", made.files[name]), (
            name
        )


def test_the_same_installation_gives_the_same_bytes(made: Bundle, monkeypatch) -> None:
    monkeypatch.setenv("PATH", "")
    again = bundle(app())
    assert again.version == made.version and again.files == made.files


def test_another_site_is_another_version(made: Bundle, monkeypatch) -> None:
    monkeypatch.setenv("PATH", "")
    ours = app()
    other = bundle(Site({**ours.rows, "more.py": b"x = 1\n"}, ours.start, ours.imports))
    assert other.version != made.version
    changed = {name for name in made.files if made.files[name] != other.files[name]}
    assert changed == {"site.bin", "sw.js", "index.html"}


def test_the_site_is_one_stream_of_plain_python(made: Bundle) -> None:
    with zipfile.ZipFile(io.BytesIO(gzip.decompress(made.files["site.bin"]))) as site:
        names = site.namelist()
        assert "fieldapp/phone/start.py" in names and site.testzip() is None
    assert not [name for name in names if name.endswith((".so", ".pyi"))]
    assert made.compiled_by == ""
    assert any("Sources only" in line for line in account(made, Path("there")))


def test_a_font_that_is_listed_and_lacks_is_refused(monkeypatch) -> None:
    monkeypatch.setenv("PATH", "")
    fonts = building._fonts()
    fonts.pop("assets/fonts/farend-text-600.woff2")
    monkeypatch.setattr(building, "_fonts", lambda: fonts)
    with pytest.raises(BundleError, match="farend-text-600"):
        bundle(app())


def refused(*arguments: str, capsys) -> str:
    assert main(["bundle", *arguments]) == 2
    return capsys.readouterr().err.strip()


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path: Path, capsys) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    said = refused(str(tmp_path), capsys=capsys)
    assert "\n" not in said and "new or empty folder was expected" in said
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
    assert "a folder was expected" in refused(str(tmp_path / "mine.txt"), capsys=capsys)


def test_an_unknown_client_is_refused_in_one_line(tmp_path: Path, monkeypatch, capsys) -> None:
    def unknown(dart: str) -> str:
        raise ClientError("The client names an outside script 2 times, expected once.")

    monkeypatch.setenv("PATH", "")
    monkeypatch.setattr(building, "patched_dart", unknown)
    said = refused(str(tmp_path / "out"), "--quiet", capsys=capsys)
    assert "\n" not in said and "2 times, expected once" in said
    assert not (tmp_path / "out").exists()


def test_a_bundle_takes_the_place_of_one_whole(made: Bundle, tmp_path: Path) -> None:
    folder = tmp_path / "page"
    write(made, folder)
    (folder / "old.txt").write_text("of the version before")
    building.refuse_others(folder)
    write(made, folder)
    there = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert there == set(made.files)
    assert [path.name for path in tmp_path.iterdir()] == ["page"]
