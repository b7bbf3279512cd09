"""``farend FILE…``: job files and zips of them come in as by an import, then the app opens on them."""

from __future__ import annotations

import asyncio
import json
import zipfile

import pytest
from test_cli_exchange import ZIP, Desk, put
from test_exchange import NUMBERED, PICTURE, SUM, reading, with_log

from engine.jobfile import write
from fieldapp.store.files import open_files, read_picture

HELD = {"id": "r9", "device": "d9", "n": 1}


@pytest.fixture
def desk(tmp_path, capsys, monkeypatch) -> Desk:
    """A desk whose app stops once it has said where it is."""

    async def serve(*_, on_ready, **__):
        on_ready("http://here")

    place = tmp_path / "here"
    place.mkdir()
    monkeypatch.chdir(place)
    monkeypatch.setattr("fieldapp.webserver.serve", serve)
    return Desk(tmp_path, capsys)


def opened(desk: Desk, *words: str) -> int:
    return desk.farend(*words, "--no-browser")


def place_of(desk: Desk) -> dict:
    """Where the app opens next."""

    async def ask() -> dict:
        store = await open_files(desk.data, now=lambda: "", draw=lambda: "ab")
        try:
            return await store.load_place() or {}
        finally:
            store.close()

    return asyncio.run(ask())


def test_what_export_wrote_is_opened_elsewhere_with_its_photos(desk):
    put("b.zip", ZIP)
    assert opened(desk, "b.zip") == 0
    assert (desk.out, desk.err) == ("http://here\n", "")
    assert place_of(desk) == {"route": "/j/TRIAL/now", "job": "TRIAL"}
    assert read_picture(desk.data, "TRIAL", SUM) == PICTURE
    assert desk.farend("export", "TRIAL", "-o", "c.zip") == 0
    desk.data = desk.data.parent / "other"
    assert opened(desk, "c.zip") == 0 and read_picture(desk.data, "TRIAL", SUM) == PICTURE


def test_a_job_that_is_here_gets_the_news_and_loses_nothing(desk):
    put("a.json", write(with_log(reading("r9", 50.0, n=1))))
    put("b.zip", ZIP)
    assert opened(desk, "a.json") == 0
    assert opened(desk, "b.zip") == 0
    assert desk.out == "http://here\n"
    assert desk.err == "b.zip: TRIAL, 4 entries and 1 photo more.\n"
    held = {entry["id"] for entry in desk.kept()["log"]}
    assert held == {"r9", *(entry["id"] for entry in NUMBERED["log"])}
    assert opened(desk, "a.json", "b.zip") == 0 and desk.err == "", "all of it was there"
    assert {entry["id"] for entry in desk.kept()["log"]} == held


def test_it_comes_to_what_an_import_comes_to(desk):
    put("a.json", write(with_log(reading("r9", 50.0, n=1))))
    put("b.json", write(with_log(reading("r9", 51.0, n=1), reading("r8", 50.0, n=2))))
    assert opened(desk, "a.json") == 0 and opened(desk, "b.json") == 0
    assert "r9 stands for two different entries; both are kept.\n" in desk.err
    kept, desk.data = desk.kept(), desk.data.parent / "other"
    assert desk.farend("import", "a.json", "b.json") == 0
    assert desk.kept() == kept


def test_the_first_of_several_is_opened(desk):
    other = {**with_log(), "id": "OTHER"}
    put("a.json", write(other))
    put("b.zip", ZIP)
    assert opened(desk, "b.zip", "a.json") == 0
    assert place_of(desk)["job"] == "TRIAL" and desk.kept("OTHER")["id"] == "OTHER"


BAD = {
    "no-job.zip": (None, "the zip: found no job file, expected one, beside its photos."),
    "cut.zip": (ZIP[:-30], "the zip: found damaged bytes, expected a whole zip."),
    "no.json": (b"{", "line 1, letter 2: found no JSON, expected a job as JSON."),
    "gone.json": (
        b"",
        "the file: found no such file or directory, expected a job file, or a zip of one.",
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_cannot_be_read_is_one_line_and_nothing_starts(desk, name):
    data, said = BAD[name]
    if data is None:
        with zipfile.ZipFile(name, "w") as archive:
            archive.writestr("photos/readme.txt", "x")
    elif data:
        put(name, data)
    put("a.json", write(with_log()))
    assert opened(desk, "a.json", name) == 2
    assert desk.out == "" and desk.err.splitlines()[0] == f"{name}: {said}"
    assert data is None or len(desk.err.splitlines()) == 1
    assert not desk.data.exists(), "not even the file that could be read came in"


def test_another_job_under_the_same_id_is_refused_and_told(desk):
    put("a.json", write(with_log(reading("r9", 50.0, n=1))))
    other = with_log()
    other["title"] = "Another"
    put("b.json", write(other))
    assert opened(desk, "a.json") == 0
    before = json.dumps(desk.kept())
    assert opened(desk, "b.json") == 2
    assert desk.out == "" and len(desk.err.splitlines()) == 1 and "b.json: " in desk.err
    assert "not the same job" in desk.err and json.dumps(desk.kept()) == before


def test_beside_another_farend_what_that_one_has_is_shown(desk):
    put("b.zip", ZIP)
    assert opened(desk, "b.zip") == 0

    async def both() -> tuple[int, str, str]:
        store = await open_files(desk.data, now=lambda: "", draw=lambda: "ab")
        try:
            status = await asyncio.to_thread(opened, desk, "b.zip")
        finally:
            store.close()
        return status, desk.out, desk.err

    status, out, err = asyncio.run(both())
    assert status == 0 and out == "http://here\n" and len(err.splitlines()) == 1
